"""What docs/workbook.md says of each column against what stands in the files, column by
column, with no engine: light enough for `make check`.

1. The sheets and the heads are those of the docs, in their order.
2. A column called live holds formulas in one farm or the other, and no other column does,
   sums at the foot apart.
3. Every column of money is live or solved, unless it was given as it is; and so is every
   margin, break-even and step of the losses.
4. In such a column of the demo a number that is no formula is one behind which nothing stands
   that can change: the reasons are listed.
5. Sheets to plant by can be read in print: a page of A4 lying down is 146 characters wide at full size (11 points);
   a third more prints at 8.
6. Formulas use functions that every engine knows, none of which looks at the clock.

usage: columns.py PROGRAM"""
import os
import re
import subprocess
import sys
import tempfile

import xlsx

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
# farm, date, formulas at least (a farm that stops being read would pass unseen), options
FARMS = {
    "demo": (os.path.join(ROOT, "recipes-demo"), "2026-11-14", 3000, []),
    "every-rule": (os.path.join(ROOT, "tests", "farms", "every-rule"), "2026-11-20", 1000, []),
    "gaps": (os.path.join(ROOT, "tests", "farms", "gaps"), "2026-11-20", 200, []),
    "with-past": (os.path.join(ROOT, "tests", "farms", "every-rule"), "2026-11-20", 1000, ["--with-past"]),
    "took": (os.path.join(ROOT, "tests", "farms", "took"), "2026-11-10", 150, []),
    "drying": (os.path.join(ROOT, "tests", "farms", "drying"), "2026-09-20", 150, []),
    "single": (os.path.join(ROOT, "tests", "farms", "single"), "2026-11-20", 100, []),
    "hang": (os.path.join(ROOT, "tests", "farms", "hang"), "2026-07-28", 60, []),
    "odd-names": (os.path.join(ROOT, "tests", "farms", "odd-names"), "2026-11-20", 150, []),
    "plant": (os.path.join(ROOT, "tests", "farms", "plant"), "2026-11-20", 150, []),
    "seasons": (os.path.join(ROOT, "tests", "farms", "seasons"), "2026-11-20", 100, []),
}
SHEETS = ["Summary", "Inputs", "Charts", "Prices", "Cost build-up", "Cost lines", "Stem costs",
          "Beds", "Dried share", "Losses", "Stock", "Boxes", "Moves", "Planting plan", "Sowing calendar",
          "Growing costs", "Targets", "Drying line", "Reach", "Best mix", "Pull list", "What matters most", "Orders", "Outlets", "Cost sold", "Aims", "Took",
          "Bench log", "Next runs", "Is it dry", "Weighings", "What happened", "Cautions"]
READ_IN_PRINT = ("Planting plan", "Growing costs", "Targets", "Drying line")
WIDE = 190
FUNCTIONS = {"ABS", "AND", "COUNT", "IF", "INDEX", "INT", "ISNUMBER", "MATCH", "MAX", "MIN", "N",
             "ROUND", "SUM", "SUMPRODUCT"}
FIRST = {"Inputs": 9, "Summary": 4}  # row of the first cells; else 5
CURRENCY = "EUR"  # of all these farms that have one
# Columns of money that were given as they stand.
GIVEN = {("Beds", "money"), ("Beds", "planting"), ("What happened", "price")}
# Cost, price, margin, break-even, earnings and the losses where the head has no currency in it.
RATES = [("Prices", "margin"), ("Prices", "break_even"), ("Prices", "rank"), ("Prices", "verdict"),
         ("Stem costs", "field"), ("Stem costs", "drying"), ("Stem costs", "storage"), ("Stem costs", "bench"),
         ("Stem costs", "left"), ("Dried share", "hung"), ("Dried share", "normal"), ("Dried share", "lost"),
         ("Losses", "line"), ("Losses", "in_use"), ("Losses", "verdict"), ("Boxes", "left"), ("Boxes", "worth"),
         ("Boxes", "past"), ("Boxes", "good"), ("Moves", "left"), ("Moves", "worth"), ("Stock", "left"),
         ("Stock", "worth"), ("Stock", "whole"), ("Stock", "past"), ("Best mix", "margin"), ("Aims", "rate"),
         ("Aims", "left"), ("Aims", "fee"), ("Outlets", "spoils"), ("Cost sold", "spoils"), ("Cost sold", "ratio"),
         ("Took", "over")]
# Plain numbers in live columns of the demo, and why nothing can change behind them.
PLAIN = {
    ("Boxes", "each"): "bought in: the price on the box",
    ("Orders", "price"): "as agreed",
    ("Outlets", "charged"): "nothing is charged there",
    ("Outlets", "stall"): "no stall",
    ("Took", "stems"): "no stems can be told by crop",
    ("Took", "dearer"): "nothing was drawn from a box with a price",
}


def documented():
    """Sheet -> [key, head, kind] of its columns, from docs/workbook.md."""
    kinds, sheet = {}, None
    with open(os.path.join(ROOT, "docs", "workbook.md"), encoding="utf-8") as f:
        for line in f:
            if line.startswith("### "):
                sheet = line[4:].strip()
                kinds[sheet] = []
            elif line.startswith("| `") and sheet:
                key, head, kind = [c.strip() for c in line.split("|")[1:4]]
                kinds[sheet].append((key.strip("`"), head, kind))
    return kinds


def cells_of(book, sheet, number):
    """(address, cell) of a column below its head."""
    for ref, c in book[sheet].items():
        letters, row = xlsx.split(ref)
        if row >= FIRST.get(sheet, 5) and xlsx.column_number(letters) == number:
            yield ref, c


def head_of(book, sheet, number):
    """Words and unit."""
    for ref, c in book[sheet].items():
        letters, row = xlsx.split(ref)
        if row == 4 and xlsx.column_number(letters) == number and isinstance(c.value, str):
            words, _, unit = c.value.partition("\n")
            return words, unit
    return "-", ""


def is_money(unit):
    return unit.split(" ")[0] == CURRENCY


def heads(books, kinds):
    if list(kinds) != SHEETS:
        yield "docs/workbook.md has other sheets: %s" % ", ".join(set(SHEETS) ^ set(kinds))
    for name, book in books.items():
        if list(book) != SHEETS:
            yield "%s has the sheets %s" % (name, ", ".join(book))
        for sheet, columns in kinds.items():
            for number, (key, head, _) in enumerate(columns, 1):
                found = head_of(book, sheet, number)[0]
                months = (sheet, key) == ("Sowing calendar", "weeks")  # under their months
                if sheet != "Summary" and not months and found != head:
                    yield "%s: %s on %s has the head %r" % (name, key, sheet, found)


def kinds_are_true(books, kinds):
    for sheet, columns in kinds.items():
        for number, (key, _, kind) in enumerate(columns, 1):
            found = [ref for book in books.values() for ref, c in cells_of(book, sheet, number)
                     if c.formula is not None and (kind == "live" or not c.formula.startswith("SUM("))]
            if bool(found) != (kind == "live"):
                yield "%s on %s is called %s: formulas in %s" % (key, sheet, kind, ", ".join(found[:3]) or "none")


def must_live(books, kinds):
    """(sheet, number, key) of what has to follow the inputs, and what is missing of it."""
    wanted, bad = [], []
    for sheet, columns in kinds.items():
        for number, (key, _, kind) in enumerate(columns, 1):
            money = any(is_money(head_of(b, sheet, number)[1]) for b in books.values())
            if not (money or (sheet, key) in RATES) or (sheet, key) in GIVEN:
                continue
            if kind == "live":
                wanted.append((sheet, number, key))
            elif kind != "solved":
                bad.append("%s on %s should follow the inputs and is a %s" % (key, sheet, kind))
    known = {(s, c[0]) for s, columns in kinds.items() for c in columns}
    bad += ["no column %s on %s" % (k, s) for s, k in RATES + sorted(GIVEN) if (s, k) not in known]
    return wanted, bad


def plain_numbers(demo, wanted):
    for sheet, number, key in wanted:
        plain = [ref for ref, c in cells_of(demo, sheet, number)
                 if c.formula is None and isinstance(c.value, float)]
        if bool(plain) != ((sheet, key) in PLAIN):
            yield "%s on %s: plain numbers in %s" % (key, sheet, ", ".join(plain[:5]) or "no cell any more")


def unknown_functions(book):
    for sheet, cells in book.items():
        for ref, c in cells.items():
            if c.formula:
                bare = re.sub(r'"[^"]*"|\'[^\']*\'', "", c.formula)
                unknown = set(re.findall(r"([A-Z][A-Z0-9.]*)\(", bare)) - FUNCTIONS
                if unknown:
                    yield "%s!%s: %s" % (sheet, ref, ", ".join(unknown))


def write(program, farm, folder):
    path, on, _, options = FARMS[farm]
    out = os.path.join(folder, farm + ".xlsx")
    run = subprocess.run([program, "book", path, "--on", on, "--output", out, "--quiet"] + options,
                         stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=300)
    if run.returncode not in (0, 5):  # 5: a search was stopped; the file is whole
        sys.exit("%s: exit %d: %s" % (farm, run.returncode, run.stdout.decode("utf-8", "replace")))
    return out


def too_wide(widths):
    for sheet in READ_IN_PRINT:
        if not 50 < widths.get(sheet, 0) <= WIDE:
            yield "%s is %.0f characters wide" % (sheet, widths.get(sheet, 0))


def sees_faults(books, kinds, wanted):
    """The checks must be able to fail: a formula that became a number is seen, and so is a
    column of money that became a value."""
    book = {sheet: dict(cells) for sheet, cells in books["demo"].items()}
    c = book["Prices"]["I5"]
    book["Prices"]["I5"] = xlsx.Cell(c.value, None, c.kind)
    if not list(plain_numbers(book, wanted)):
        yield "a margin without its formula passes"
    other = dict(kinds, Took=[(k, h, "value" if k == "longer" else w) for k, h, w in kinds["Took"]])
    if not must_live(books, other)[1] or not list(kinds_are_true(books, other)):
        yield "a column of money may be called a value"
    if not list(too_wide({sheet: 240 for sheet in READ_IN_PRINT})):
        yield "a sheet may be as wide as it likes"
    if not list(unknown_functions({"x": {"A1": xlsx.Cell(1.0, "TODAY()", "n")}})):
        yield "a formula may look at the clock"


def main():
    program, passed, failed = sys.argv[1], 0, 0
    kinds = documented()
    with tempfile.TemporaryDirectory() as folder:
        paths = {farm: write(program, farm, folder) for farm in FARMS}
        books = {farm: xlsx.read(path) for farm, path in paths.items()}
        widths = xlsx.widths(paths["demo"])
    wanted, missing = must_live(books, kinds)
    results = [("heads as documented", list(heads(books, kinds))),
               ("kinds as documented", list(kinds_are_true(books, kinds))),
               ("money, margins and losses follow (%d columns)" % len(wanted), missing),
               ("plain numbers have their reason", list(plain_numbers(books["demo"], wanted))),
               ("to be read in print", list(too_wide(widths))),
               ("faults are seen", list(sees_faults(books, kinds, wanted)))]
    for farm, book in books.items():
        results.append(("functions " + farm, list(unknown_functions(book))))
        n = sum(c.formula is not None for cells in book.values() for c in cells.values())
        results.append(("formulas " + farm, [] if n >= FARMS[farm][2] else ["only %d" % n]))
    for what, found in results:
        passed, failed = passed + (not found), failed + bool(found)
        if found:
            print("FAILED %s:\n    %s" % (what, "\n    ".join(found[:20])))
    print("%d passed, %d failed" % (passed, failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

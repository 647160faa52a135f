#!/usr/bin/env python3
"""The sheets Planting plan, Growing costs and Targets of a farm that is worked by hand: every cell.

360 stems are needed of statice.  They are 500 cut less 10% in the field and 20% in drying; 500 / (10 a
plant x 90% that live) = 55.6, so 56 plants; 56 / 80% = 70 cells, 2 trays of 50, 2 packets of 40; 19 plants
in each of 3 rows, 30 cm apart, are 5.7 m.  Growing took 2 h for 4 m last year.  Eucalyptus stands, and
poppies are bought in, for an order at a price of its own.  Days by a calendar on the wall.

    python3 tests/book/by_hand.py build/release/thrave
"""
import datetime
import os
import subprocess
import sys
import tempfile

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import xlsx  # noqa: E402

FARM = """farm By Hand
  currency  EUR
  wage      10 per h
  growing   2 per m of bed
  frost     last 2027-04-24
  beds      20 m
crop Statice
  loses   10% field, 20% drying
  hangs   10 stem per bundle, 10 cm of line per bundle, 14 days
  works   cut 360, bundle 180 stem per h
  spends  0.05 per bundle
  sows    8 weeks before last frost, germinates 80%, 50 cells per tray, 3.00 per 40 seeds
  plants  2 weeks after last frost, 30 cm apart, 3 rows, 90% live
  cuts    from 10 weeks after planting, over 4 weeks, 10 stem per plant
crop Eucalyptus
  works   cut 180 stem per h
  hangs   10 stem per bundle, 14 days
  boxes   9 stem per box
  spends  0.20 per box
  stands  10 m of bed, planted 2023-05-10, bears 5 years, 50 to plant
  cuts    on 2026-07-20, over 4 weeks, 10 stem per plant
crop Poppy pods
  buys at 0.30 per stem
piece Bunch
  needs   36 stem Statice
  takes   6 min tying
  sells   market at 20
piece Sprig
  needs   6 stem Eucalyptus
  needs   4 stem Poppy pods
  sells   market at 8
outlet market
  fee     10%
target Bunch
  sell    10 by 2027-12-01 at market
"""
BEDS = "bed,crop,metres,hours,cut\nS1,Statice,4,2,300\n"
ORDERS = "order,piece,outlet,count,due,price\nO1,Sprig,market,3,2027-11-30,9\n"
STATICE = {
    "Planting plan": {
        "C": 360, "D": 0, "E": 500, "F": 56, "G": 70, "H": 2, "I": 70, "J": 2, "K": 5.7,
        "L": "2027-02-27", "M": "2027-05-08", "N": "2027-07-17", "O": "2027-08-13", "P": "2027-08-27"},
    "Growing costs": {
        "B": 500, "C": 450, "D": 360, "E": 5.7,
        "F": 2 * 3.00,                # packets
        "G": 5.7 * 2,                 # the field's share
        "H": 5.7 * 2 / 4,             # as last year
        "I": 500 / 360 + 450 / 180,   # cutting all, bundling what is hung
        "J": (2.85 + 500 / 360 + 2.5) * 10,
        "K": 45 * 0.05,               # bands
        "N": 6 + 11.4 + (2.85 + 500 / 360 + 2.5) * 10 + 2.25,
        "O": (6 + 11.4 + (2.85 + 500 / 360 + 2.5) * 10 + 2.25) / 360,
        "P": 360,
        "Q": (6 + 11.4 + (2.85 + 500 / 360 + 2.5) * 10 + 2.25) / 360},
    "Targets": {
        "C": 10, "D": 10, "E": "2027-12-01", "I": 20, "J": 200,
        "K": 20 - 2 - 1, "L": 170},   # less the fee and 6 min
}
EUCALYPTUS = {  # 2 boxes; 50 to plant, over 5 years; no bed of its own on record
    "Planting plan": {"C": 18, "D": 0, "E": 18, "K": 10, "N": "2027-07-20", "O": "2027-08-16", "P": "2027-08-30"},
    "Growing costs": {
        "B": 18, "C": 18, "D": 18, "E": 10, "G": 20, "H": 5, "I": 0.1, "J": 51, "K": 0.40, "L": 10,
        "N": 81.4, "O": 81.4 / 18, "P": 18, "Q": 81.4 / 18},
    "Targets": {"C": 3, "D": 3, "E": "2027-11-30", "I": 9, "J": 27, "K": 9 - 0.9, "L": 24.3},  # the order
}
POPPY = {
    "Planting plan": {"C": 12, "D": 0, "E": 12},
    "Growing costs": {"B": 12, "M": 3.6, "N": 3.6, "O": 0.30, "P": 12, "Q": 0.30},
    "Targets": {"C": 13, "D": 13, "J": 227, "L": 194.3},  # together
}
ROWS = [STATICE, EUCALYPTUS, POPPY]  # from row 5 on
# Where a number has to be a formula; what is empty in a row needs none.
LIVE = {"Planting plan": "FHIJK", "Growing costs": "BCDEFGHIJKLMNOQ", "Targets": "IJKL"}
# Below: what growing takes in all, and what is left when it is paid.
GROWN = 6 + 11.4 + (2.85 + 500 / 360 + 2.5) * 10 + 2.25 + 81.4 + 3.6
BELOW = {"Growing costs": {"N8": GROWN}, "Targets": {"L8": GROWN, "L9": 194.3 - GROWN},
         "Planting plan": {"K8": 15.7, "K11": 15.7, "K12": 20, "K13": 4.3}}

# The Sowing calendar over week 53: its Mondays by a calendar on the wall (ISO 8601-1:2019, section 3.1.1.23, from
# memory: a week belongs to the year of its Thursday; 2026 has 53).
SOUTH = """farm South
  frost  last 2027-09-20, first 2027-05-10
crop Statice
  sows   on 2026-12-15, germinates 80%, 50 cells per tray
  plants on 2027-01-03, 30 cm apart, 3 rows
  cuts   on 2027-01-25, over 8 days, 10 stem per plant
piece Bunch
  needs  36 stem Statice
target Bunch
  sell   10 by 2027-06-01
"""
WEEKS = [("51", "S"), ("52", ""), ("53", "P"), ("1", ""), ("2", ""), ("3", ""), ("4", "C"), ("5", "C")]


def serial(iso):
    return (datetime.date.fromisoformat(iso) - datetime.date(1899, 12, 30)).days


def fault(cell, name, want, live):
    got = cell.value if cell else None
    want = serial(want) if isinstance(want, str) else want
    if not isinstance(got, (int, float)) or abs(got - want) > 1e-9 * max(1, abs(want)):
        return "%s is %r, not %r" % (name, got, want)
    return "%s is no formula" % name if live and not cell.formula else None


def wrong(book):
    for row, sheets in enumerate(ROWS, 5):
        for sheet, cells in sheets.items():
            for column, want in cells.items():
                yield fault(book[sheet].get("%s%d" % (column, row)), "%s!%s%d" % (sheet, column, row), want,
                            column in LIVE[sheet])
    for sheet, cells in BELOW.items():
        for at, want in cells.items():
            yield fault(book[sheet].get(at), "%s!%s" % (sheet, at), want, True)


def wrong_weeks(book):
    cells = book["Sowing calendar"]
    letters = "CDEFGHIJ"
    heads = [str(cells["%s4" % c].value).split("\n") for c in letters]
    found = [(h[-1], (cells[c + "5"].value or "") if c + "5" in cells else "") for c, h in zip(letters, heads)]
    if found != WEEKS:
        yield "the calendar's weeks are %r" % found
    if heads[0][:2] != ["2026", "Dec"] or heads[3][:2] != ["2027", "Jan"]:
        yield "the heads of the calendar are %r" % heads
    if "K4" in cells:
        yield "the calendar goes on after the last cut: %r" % cells["K4"].value


def write(program, files):
    with tempfile.TemporaryDirectory() as folder:
        for name, text in files.items():
            with open(os.path.join(folder, name), "w") as f:
                f.write(text)
        path = os.path.join(folder, "farm.xlsx")
        subprocess.run([program, "book", folder, "--on", "2026-11-25", "--output", path, "--quiet"], check=True,
                       stdout=subprocess.DEVNULL, timeout=120)
        return xlsx.read(path)


def main():
    program, passed, failed = os.path.abspath(sys.argv[1]), 0, 0
    for bad in ([b for b in wrong(write(program, {"farm.txt": FARM, "beds.csv": BEDS, "orders.csv": ORDERS})) if b],
                list(wrong_weeks(write(program, {"farm.txt": SOUTH})))):
        passed, failed = passed + (not bad), failed + bool(bad)
        for line in bad:
            print("    " + line)
    print("%d passed, %d failed" % (passed, failed))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

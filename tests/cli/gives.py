"""What `hang` says that gives must give: each way is done on the farm's own files, by the amount that people
are shown, and the program must then find the peak gone, and nothing of the kind over that was not before.

The loft is written anew with every day and count said, so that what is changed is what is reckoned.
"""
import csv
import datetime
import json
import os
import re
import subprocess
import tempfile

LOFT = """farm Loft
  line  7 m
  racks 1 m2
  boxes 16 of 60 x 40 x 30 cm
"""
STATICE = """crop Statice
  hangs  10 stem per bundle, 10 cm of line per bundle, 12 days
  boxes  100 stem per box
  works  cut 100 stem per h
"""
STRAWFLOWER = """crop Strawflower
  hangs  10 stem per bundle, 9 cm of line per bundle, 14 days
  boxes  150 stem per box
  works  cut 100 stem per h
"""
MANTLE = """crop Lady's mantle
  lies   250 stem per m2 of rack, 10 days
  boxes  200 stem per box
"""
# Two crops that hang, two that lie; one batch more than there is room for, now and then.
FARM = LOFT + STATICE + STRAWFLOWER + MANTLE + """crop Poppy pods
  lies   400 stem per m2 of rack, 9 days
"""
BEDS = "bed,crop,metres,cut\nA,Statice,6,1\nB,Strawflower,4,1\nC,Lady's mantle,3,1\n"
# batch, crop, bed, hung, boxed, stems hung (all cut, none lost)
BATCHES = [
    ("A1", "Statice", "A", "2026-07-06", "2026-07-19", 300), ("A2", "Statice", "A", "2026-07-13", "2026-07-26", 250),
    ("B1", "Strawflower", "B", "2026-07-11", "2026-07-25", 250), ("B2", "Strawflower", "B", "2026-07-25", "2026-08-08", 420),
    ("A3", "Statice", "A", "2026-08-01", "2026-08-13", 430), ("A4", "Statice", "A", "2026-08-20", "2026-09-01", 100),
    ("L1", "Lady's mantle", "C", "2026-07-08", "2026-07-18", 180), ("P1", "Poppy pods", "", "2026-07-15", "2026-07-24", 190),
    ("L2", "Lady's mantle", "C", "2026-08-10", "2026-08-20", 290)]
ON = "2026-09-10"

# The next season: metres, plants and stems of each crop follow from one target of its own, and nothing is lost.
NEXT = LOFT + STATICE + """  plants on 2027-05-01, 25 cm apart, 1 rows, 100% live
  cuts   on 2027-07-10, over 5 weeks, 2 stem per plant
""" + STRAWFLOWER + """  plants on 2027-05-01, 20 cm apart, 1 rows, 100% live
  cuts   on 2027-07-03, over 6 weeks, 3 stem per plant
""" + MANTLE + """  plants on 2027-04-20, 30 cm apart, 1 rows, 100% live
  cuts   on 2027-06-12, over 3 weeks, 4 stem per plant
"""
COUNTS = {"Statice": 1500, "Strawflower": 1800, "Lady's mantle": 900}
APART = {"Statice": .25, "Strawflower": .2, "Lady's mantle": .3}


def write(folder, batches):
    for name, text in (("farm.txt", FARM), ("beds.csv", BEDS)):
        with open(os.path.join(folder, name), "w", encoding="utf-8") as f:
            f.write(text)
    with open(os.path.join(folder, "batches.csv"), "w", encoding="utf-8", newline="") as f:
        out = csv.writer(f)
        out.writerow("batch crop bed".split() + ["cut on", "hung on", "boxed on", "cut", "hung", "boxed"])
        for batch, crop, bed, hung, boxed, n in batches:
            out.writerow([batch, crop, bed, hung, hung, boxed, n, n, n])


def write_next(folder, counts):
    with open(os.path.join(folder, "farm.txt"), "w", encoding="utf-8") as f:
        f.write(NEXT)
        for crop, count in counts.items():
            f.write("piece One %s\n  needs 1 stem %s\n" % (crop, crop))
            if count:
                f.write("target One %s\n  sell %d by 2027-12-01\n" % (crop, count))


def ask(thrave, season, suppose=(), more=(), write=write):
    """Rows of the table of peaks, and beside each the amount that people see."""
    with tempfile.TemporaryDirectory() as folder:
        write(folder, season)
        argv = [thrave, "hang", folder, "--on", ON, "--table", "peaks"] + list(more)
        for s in suppose:
            argv += ["--suppose", s]
        done = subprocess.run(argv + ["--json"], capture_output=True, timeout=120)
        assert done.returncode in (0, 1), done.stderr.decode("utf-8")
        rows = json.loads(done.stdout)["tables"]["peaks"]
        text = subprocess.run(argv + ["--quiet"], capture_output=True, timeout=120).stdout.decode("utf-8")
    shown = [m[1] for m in re.finditer(r"^  \S.*?  +(not enough|[0-9.]+)(?:  .*)?$", text, re.M)]
    assert len(shown) == len(rows), (len(shown), len(rows), text)
    return [(row, None if n == "not enough" else float(n)) for row, n in zip(rows, shown)]


def days(text, back):
    return (datetime.date.fromisoformat(text) - datetime.timedelta(back)).isoformat()


def done_to(row, amount, batches):
    """The season with one of the ways done."""
    out = []
    for batch, crop, bed, hung, boxed, n in batches:
        there = hung <= row["to"] and boxed > row["from"]
        of_it = row["crop"] in (None, crop)
        if row["way"] == "earlier" and there and of_it:
            hung, boxed = days(hung, amount), days(boxed, amount)
        elif row["way"] == "sooner" and there:
            boxed = max(days(boxed, amount), days(hung, -1))
        elif row["way"] == "fewer" and of_it:
            n = round(n * (1 - amount / 100), 6)
        out.append((batch, crop, bed, hung, boxed, n))
    return out


def suppositions(row, amount):
    """Ways that are no batch's: more of it, or closer."""
    base = {"line": 7, "racks": 1, "boxes": 16}
    if row["way"] == "more" and row["what"] in base:
        return ["%s = %.2f%s" % (row["what"], base[row["what"]] + amount, {"line": " m", "racks": " m2"}.get(row["what"], ""))]
    if row["way"] == "closer" and row["what"] == "line":
        return ["%s line per bundle = %.6f m" % (crop, per * (1 - amount / 100)) for crop, per in (("Statice", .1), ("Strawflower", .09))]
    if row["way"] == "closer":
        return ["%s stems per m2 = %.4f" % (crop, per / (1 - amount / 100)) for crop, per in (("Lady's mantle", 250), ("Poppy pods", 400))]
    return []


def over(rows, what):
    found = set()
    for row, _ in rows:
        d = datetime.date.fromisoformat(row["from"])
        while row["what"] == what and d.isoformat() <= row["to"]:
            found.add(d.isoformat())
            d += datetime.timedelta(1)
    return found


def each_way(thrave, more, tried):
    before = ask(thrave, BATCHES, more=more)
    assert before, "nothing is over: nothing is tested"
    for row, amount in before:
        if amount is None:
            continue
        tried[row["what"], row["way"]] = tried.get((row["what"], row["way"]), 0) + 1
        limit = more
        if row["what"] == "hours" and row["way"] == "more":
            limit = ["--hours", "%g" % (float(more[1]) + amount)]
        now = ask(thrave, done_to(row, amount, BATCHES), suppositions(row, amount), limit)
        still = over(now, row["what"])
        peak = over([(row, amount)], row["what"])
        assert not still & peak, "%s: %s %s %g is done, and still over on %s" % (
            row["what"], row["way"], row["crop"], amount, ", ".join(sorted(still & peak)))
        assert still <= over(before, row["what"]), "%s: %s pushes other days over" % (row["what"], row["way"])
        # And it is not simply much: a day, or half of it, less does not do.
        less = amount - 1 if row["unit"] == "days" else amount / 2
        if row["what"] == "hours" and row["way"] == "more":
            limit = ["--hours", "%g" % (float(more[1]) + less)]
        now = over(ask(thrave, done_to(row, less, BATCHES), suppositions(row, less), limit), row["what"])
        assert now & peak or now - over(before, row["what"]), "%s: %s needs less than %g" % (row["what"], row["way"], amount)


def fewer_metres(thrave, tried):
    """`--next`: so many metres fewer are planted, for so many pieces fewer."""
    more = ["--next", "--hours", "5.5"]
    before = ask(thrave, COUNTS, more=more, write=write_next)
    for row, amount in before:
        if row["way"] != "fewer" or amount is None:
            continue
        peak = over([(row, amount)], row["what"])
        for share, enough in ((amount, True), (amount / 2, False)):
            counts = {crop: int(n * (1 - share / 100) + 1e-9) if row["crop"] in (None, crop) else n for crop, n in COUNTS.items()}
            now = ask(thrave, counts, more=more, write=write_next)
            still = over(now, row["what"])
            assert not enough or (not still & peak and still <= over(before, row["what"])), (
                "--next: %s: %g%% fewer %s, and still over on %s" % (row["what"], share, row["crop"], ", ".join(sorted(still & peak))))
            assert enough or still & peak, "--next: %s: fewer %s needs less than %g%%" % (row["what"], row["crop"], amount)
            for r, _ in now:
                left = r["crop"] == row["crop"] and r["metres_of"] is not None and row["metres_of"] - row["metres"] * share / amount
                assert not left or abs(r["metres_of"] - left) <= APART[r["crop"]] + 1e-6, (
                    "--next: %g%% fewer %s leave %g m, not %g" % (share, row["crop"], r["metres_of"], left))
                tried["metres"] = tried.get("metres", 0) + bool(left)
        tried["next", row["what"], row["crop"] is None] = 1


def check(thrave):
    tried = {}
    try:
        fewer_metres(thrave, tried)
        each_way(thrave, [], tried)
        each_way(thrave, ["--hours", "5"], tried)
    except AssertionError as fault:
        return [str(fault)]
    wanted = {("line", way) for way in ("more", "earlier", "sooner", "closer", "fewer")} | {
        ("racks", way) for way in ("more", "closer", "fewer")} | {("boxes", "more"), ("hours", "more"), ("hours", "fewer")}
    wanted |= {("next", "line", False), ("next", "racks", False), ("next", "boxes", True), ("next", "hours", False), "metres"}
    return ["not tried: %s" % (w,) for w in sorted(wanted - set(tried), key=str)]

"""Seasons over the new year, week 53 and 29 February, through the plan, the drying line and the workbook's
calendar, against Python's calendar and a count of their own.

That a week belongs to the year of its Thursday, and that 2004, 2009, 2015, 2020, 2026 and 2032 have 53 of them:
ISO 8601-1:2019, section 3.1.1.23 (from memory); 2026-W53 from 28 December 2026 to 3 January 2027.
"""
import datetime
import json
import math
import os
import subprocess
import tempfile

DAY = datetime.timedelta(1)
LONG = (2004, 2009, 2015, 2020, 2026, 2032)
# South of the equator: sown in spring, cut over the new year; 15 to a bundle of 10 cm, 12 days on the line.
FARM = """farm Southwind
  frost last {y}-09-20, first {y}-05-10
  line  90 m
crop Statice
  hangs  15 stem per bundle, 10 cm of line per bundle, 12 days
  sows   9 weeks before last frost, germinates 100%, 128 cells per tray
  plants 2 weeks after last frost, 30 cm apart, 3 rows, 100% live
  cuts   from 11 weeks after planting, over 5 weeks, 10 stem per plant
crop Larkspur
  sows   on {leap}, direct, germinates 100%
  plants on {leap}, 20 cm apart, 4 rows, 100% live
  cuts   from 10 weeks after planting, over 1 weeks, 5 stem per plant
  hangs  20 stem per bundle, 10 cm of line per bundle, 10 days
piece Bunch
  needs 25 stem Statice
piece Blue bunch
  needs 10 stem Larkspur
target Bunch
  sell 100 by {n}-07-01
target Blue bunch
  sell 10 by {n}-07-01
"""


def iso(d):
    year, week, _ = d.isocalendar()
    return "%04d-W%02d" % (year, week)


def monday(d):
    return d - DAY * d.weekday()


def run(thrave, *argv):
    done = subprocess.run([thrave, *argv], capture_output=True, timeout=120)
    if done.returncode not in (0, 1):
        raise AssertionError(done.stderr.decode("utf-8"))
    return json.loads(done.stdout)["tables"] if "--json" in argv else done.stdout.decode("utf-8")


def cut_by_week(first, days, stems):
    """Monday -> stems, cut evenly."""
    out = {}
    for i in range(days):
        d = first + DAY * i
        out[monday(d)] = out.get(monday(d), 0) + stems / days
    return out


def hung_by_week(first, weeks):
    """Monday -> metres on the fullest day: a week's cut is hung together on its first day of cutting."""
    lots = [(max(first, m), math.ceil(n / 15 - 1e-9) * 0.1) for m, n in sorted(weeks.items())]
    out = {}
    for i in range((lots[-1][0] - lots[0][0]).days + 12):
        d = lots[0][0] + DAY * i
        used = sum(m for hung, m in lots if hung <= d < hung + 12 * DAY)
        out[monday(d)] = max(out.get(monday(d), 0), used)
    return out


def near(a, b):
    return a.keys() == b.keys() and all(abs(a[k] - b[k]) < 1e-6 for k in a)


def season(thrave, year, folder):
    leap = datetime.date(year + 1, 2, 28) + DAY  # 29 February where there is one
    with open(os.path.join(folder, "farm.txt"), "w", encoding="utf-8") as f:
        f.write(FARM.format(y=year, n=year + 1, leap=leap))
    on = ["--on", "%d-06-01" % year]
    frost = datetime.date(year, 9, 20)
    plant = frost + 14 * DAY
    first = plant + 77 * DAY
    days = run(thrave, "plant", folder, *on, "--json")["days"]
    rows = {r["crop"]: r for r in days}
    want = {"sow": frost - 63 * DAY, "plant": plant, "first_cut": first, "last_cut": first + 34 * DAY,
            "last_boxed": first + 46 * DAY}
    for key, d in want.items():
        if rows["Statice"][key] != d.isoformat():
            yield "%d: %s is %s, not %s" % (year, key, rows["Statice"][key], d)
    blue = leap + 70 * DAY
    if (rows["Larkspur"]["sow"], rows["Larkspur"]["first_cut"]) != (leap.isoformat(), blue.isoformat()):
        yield "%d: Larkspur %r" % (year, rows["Larkspur"])
    weeks = cut_by_week(first, 35, rows["Statice"]["stems"])
    got = run(thrave, "plant", folder, *on, "--why", "Statice", "--json")["weeks"]
    if [r["week"] for r in got] != [iso(m) for m in sorted(weeks)] or not near(
            {datetime.date.fromisoformat(r["begins"]): r["stems"] for r in got}, weeks):
        yield "%d: the cut by week is %r" % (year, got)
    names = {r["week"] for r in got}
    if ("%d-W53" % year in names) != (year in LONG):
        yield "%d: weeks %s" % (year, ", ".join(sorted(names)))
    hung = run(thrave, "hang", folder, *on, "--next", "--json")["weeks"]
    line = hung_by_week(first, weeks)
    got = {datetime.date.fromisoformat(r["begins"]): r["line"] for r in hung}
    if not near({m: got.get(m) or 0 for m in line}, line):
        yield "%d: the line by week is %r, not %r" % (year, got, line)
    if any(r["week"] != iso(datetime.date.fromisoformat(r["begins"])) for r in hung):
        yield "%d: the weeks of the line are %r" % (year, [r["week"] for r in hung])


def check(thrave):
    faults = []
    for year in range(2003, 2033):
        with tempfile.TemporaryDirectory() as folder:
            try:
                faults += list(season(thrave, year, folder))
            except (AssertionError, KeyError, ValueError) as fault:
                faults.append("%d: %r" % (year, fault))
    return faults


if __name__ == "__main__":
    import sys
    print("\n".join(check(sys.argv[1])))

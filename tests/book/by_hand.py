#!/usr/bin/env python3
"""The sheet Planting plan of a farm that is worked by hand: every cell of its one row.

360 stems are needed.  They are 500 cut less 10% in the field and 20% in drying; 500 / (10 a plant x
90% that live) = 55.6, so 56 plants; 56 / 80% = 70 cells, 2 trays of 50, 2 packets of 40; 19 plants in
each of 3 rows, 30 cm apart, are 5.7 m.  Days by a calendar on the wall.

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
piece Bunch
  needs   36 stem Statice
  sells   market at 20
outlet market
target Bunch
  sell    10 by 2027-12-01 at market
"""
ROW = 5
CELLS = {
    "C": 360, "D": 0, "E": 500, "F": 56, "G": 70, "H": 2, "I": 70, "J": 2, "K": 5.7,
    "L": "2027-02-27", "M": "2027-05-08", "N": "2027-07-17", "O": "2027-08-13", "P": "2027-08-27",
    "Q": 2 * 3.00,                # packets
    "R": 5.7 * 2,                 # the field's share
    "S": 500 / 360 + 450 / 180,   # cutting all, bundling what is hung; none on record for growing
    "T": (500 / 360 + 450 / 180) * 10,
    "U": 45 * 0.05,               # bands
    "V": 6 + 11.4 + (500 / 360 + 2.5) * 10 + 2.25,
    "W": 360, "X": (6 + 11.4 + (500 / 360 + 2.5) * 10 + 2.25) / 360,
}
LIVE = "FHIJKQRSTVX"


def serial(iso):
    return (datetime.date.fromisoformat(iso) - datetime.date(1899, 12, 30)).days


def wrong(cells):
    for column, want in CELLS.items():
        cell = cells.get("%s%d" % (column, ROW))
        got = cell.value if cell else None
        want = serial(want) if isinstance(want, str) else want
        if not isinstance(got, (int, float)) or abs(got - want) > 1e-9 * max(1, abs(want)):
            yield "%s%d is %r, not %r" % (column, ROW, got, want)
        elif column in LIVE and not cell.formula:
            yield "%s%d is no formula" % (column, ROW)


def main():
    program = os.path.abspath(sys.argv[1])
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "farm.txt"), "w") as f:
            f.write(FARM)
        path = os.path.join(folder, "farm.xlsx")
        subprocess.run([program, "book", folder, "--on", "2026-11-25", "--output", path, "--quiet"], check=True,
                       stdout=subprocess.DEVNULL, timeout=120)
        bad = list(wrong(xlsx.read(path)["Planting plan"]))
    for line in bad:
        print("    " + line)
    print("%d passed, %d failed" % (not bad, bool(bad)))
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())

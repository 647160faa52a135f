"""The proven bound of `mix` against another solver.

Farms made up by chance are written as plain programs by plain.py and solved by lp_solve,
to the end.  What the program found must be no more than that optimum, and what it has
proven no less, also where it was stopped early; where it has proven all, both are equal.
"""
import json
import os
import random
import re
import subprocess
import sys
import tempfile

import plain
from reckon import day

ON, LATER = "2026-11-25", ("2026-11-25", "2026-12-05", "2027-01-20", "")
FARMS = 150
SLOW = {3, 17, 18, 38, 43, 60, 66, 71, 75, 80, 90, 113, 126, 131, 135, 136, 141, 148}  # for lp_solve
SECONDS = 30
WRITTEN = (("tests/farms/mix", "2026-11-10"), ("tests/farms/full", "2026-11-10"))
DEMO = ("recipes-demo", "2026-11-10")  # too hard for lp_solve but as fractions
NEAR = 2e-6  # money of the program is whole thousand-millionths, lp_solve prints six digits
COLOURS = ("blue", "white")


# ---- farms by chance ----

def crop_way(r, crops):
    colour = r.choice(["", "", "", ", colour blue", ", colour blue or white",
                       ", one colour of blue, white"])
    length = r.choice(["", "", ", from 20 cm", ", from 20 cm to 40 cm"])
    count = r.choice(["1", "2", "3", "5", "1/3", "3/2"])
    return f"{count} stem Crop {r.randrange(crops)}{colour}{length}"


def needs(r, crops, parts, supply=True):
    lines = []
    for _ in range(r.randint(1, 3)):
        kind = r.random()
        if kind < 0.2 and supply:
            lines.append(f"needs {r.choice(['1 each', '2 each', '1/2 each'])} Ring")
        elif kind < 0.5 and parts:
            lines.append(f"needs {r.randint(1, 3)} each Part {r.randrange(parts)}")
        else:
            lines.append(f"needs {crop_way(r, crops)}")
        if r.random() < 0.35:
            lines.append(f"  or {crop_way(r, crops)}")
    return lines


def work(r):
    lines = [f"takes {r.randint(1, 5) * 4} min tying"]
    if r.random() < 0.5:
        minutes, batch = r.randint(1, 4) * 10, r.randint(2, 5)
        lines.append(f"takes {minutes} min setting up, for each batch of up to {batch}")
    return lines


def demand(r):
    likely, more = r.randint(0, 3), r.randint(0, 3)
    upto = f", up to {likely + more}"
    return r.choice([f", likely {likely}{upto}", upto, f", likely {likely}"])


def farm_text(r, large=False):
    """Text of a farm and its numbers of crops, parts and pieces."""
    crops, parts, pieces = r.randint(1, 3), r.randint(0, 2), r.randint(2, 4)
    if large:
        crops, parts, pieces = 40, 10, 400
    wage = f"wage {r.choice([9, 12, 14.50])} per h, plus {r.choice([0, 20])}%"
    blocks = [["farm Chance", "currency EUR", wage]]
    if r.random() < 0.7:
        blocks[0].append(f"bench {r.randint(2, 12)} h until 2026-12-12")
    for i in range(crops):
        lines = [f"crop Crop {i}", "bunch 10 stem",
                 f"loses {r.choice([0, 2, 6])}% storage per month, {r.choice([0, 4, 10])}% bench"]
        if r.random() < 0.25:
            lines += ["carries 0.15 per stem into next season", "keeps 15 months from boxing"]
        if r.random() < 0.2:
            lines.append(f"reserve {r.randint(1, 4)} stem")
        blocks.append(lines)
    blocks.append(["supply Ring", f"costs {r.choice([0.4, 1.2])} per each"])
    for i in range(parts):
        makes = f"makes {r.choice([1, 1, 2, 3])} each"
        blocks.append([f"part Part {i}", makes, *needs(r, crops, i, False), *work(r)])
    stall = r.random() < 0.6
    for i in range(pieces):
        lines = [f"piece Piece {i}", *needs(r, crops, parts), *work(r),
                 f"packs {r.randint(0, 4)} min, carton 0.{r.randint(0, 9)}",
                 f"sells shop at {r.randint(8, 40)}{demand(r)}"]
        if stall and r.random() < 0.7:
            lines.append(f"sells fair at {r.randint(8, 40)}{demand(r)}")
        blocks.append(lines)
    blocks.append(["outlet shop", f"fee {r.choice([0, 5, 20])}%, plus 0.45 per order", "orders 1.5 pieces each",
                   f"tax {r.choice([0, 19])}% in the price", f"spoils {r.choice([0, 3])}%"])
    if stall:
        day_ = f"stall {r.randint(2, 25)} per day, {r.choice([0.5, 2])} h, {r.randint(1, 3)} days"
        blocks.append(["outlet fair", day_ + ", travel 10 km at 0.30"])
    return "\n\n".join("\n  ".join(lines) for lines in blocks) + "\n", crops, parts, pieces


def make_farm(r, folder, large=False):
    text, crops, parts, pieces = farm_text(r, large)
    rows = []
    for i in range(crops):
        for _ in range(r.randint(1, 4)):
            rows.append((f"Crop {i}", r.choice(COLOURS + ("",)), r.randint(4, 25),
                         r.choice(["15", "30", "50", ""]), r.choice(["2026-08-10", "2026-09-10"]),
                         "2026-11-01"))
    for i in range(parts):
        rows += [(f"Part {i}", "", r.randint(1, 4), "", "", ON)] * (r.random() < 0.4)
    rows += [("Ring", "", r.randint(0, 5), "", "", ON)] * (r.random() < 0.6)
    rows += [("Piece 0", "", r.randint(1, 3), "", "", ON)] * (r.random() < 0.4)
    orders = []
    if r.random() < 0.3:
        orders = [(i, f"Piece {r.randrange(pieces)}", r.randint(1, 2), r.choice(LATER), 25)
                  for i in range(r.randint(1, 2))]
    files = {"farm.txt": text,
             "stock.csv": "what,colour,count,length,boxed,counted\n" + lines_of(rows),
             "orders.csv": "order,piece,count,due,price\n" + lines_of(orders)}
    for name, text in files.items():
        with open(os.path.join(folder, name), "w", encoding="utf-8") as out:
            out.write(text)


def lines_of(rows):
    return "".join(",".join(str(cell) for cell in row) + "\n" for row in rows)


# ---- both solvers ----

def mix(thrave, folder, on, *options):
    done = subprocess.run([thrave, "mix", folder, "--on", on, "--json", *options], capture_output=True,
                          text=True, timeout=120, check=False)
    if done.returncode not in (0, 1, 5):
        raise ValueError(done.stdout[-400:] + done.stderr[-400:])
    return json.loads(done.stdout)["tables"]


def other(program, path, *options):
    """The optimum by lp_solve; None: cannot be met; "long": not found in time."""
    program.write(path)
    try:
        done = subprocess.run(["lp_solve", "-fmps", path, "-S3", "-e", "1e-7", *options], capture_output=True,
                              text=True, timeout=SECONDS, check=False)
    except subprocess.TimeoutExpired:
        return "long"
    if "infeasible" in done.stdout:
        return None
    value = re.search(r"Value of objective function: (\S+)", done.stdout)
    if not value:
        raise ValueError(done.stdout[-400:])
    return program.constant - float(value.group(1))


def compare(tables, best, must_prove):
    total, short = tables["totals"][0], len(tables["shorts"]) > 0
    if short != (best is None):
        return [f"orders short: {short}, the other's best {best}"]
    if best is None:
        return []
    if total["state"] == "nothing found" and not must_prove:
        return []
    value, bound, near = total["value"], total["bound"], NEAR + 1e-8 * abs(best)
    faults = [f"{value} is more than {best}"] * (value > best + near)
    faults += [f"proven {bound}, but there is {best}"] * (bound < best - near)
    if total["state"] == "proven" and must_prove and value < best - near:
        faults.append(f"{value} called best, but there is {best}")
    if total["state"] != "proven" and must_prove:
        faults.append("not proven")
    return faults


def one_farm(thrave, seed, folder):
    r = random.Random(seed)
    make_farm(r, folder)
    own, none = r.random() < 0.25, r.random() < 0.2
    options = ["--own-labour"] * own + ["--no-buying"] * none + ["--stall-hours"] * (seed % 4 == 0)
    program = plain.Plain(folder, day(ON), own, none, seed % 4 == 0).p
    best = other(program, os.path.join(folder, "plain.mps"))
    if best == "long":
        return "long", []
    faults = compare(mix(thrave, folder, ON, "--to-the-end", "--nodes", "100000", *options), best, True)
    faults += compare(mix(thrave, folder, ON, "--within", "20%", "--nodes", "1", *options), best, False)
    return "short" if best is None else "met", faults


def check_itself():
    """A sum too high, a bound too low and a wrong proof must be seen."""
    def faults(value, bound, state, best):
        total = {"value": value, "bound": bound, "state": state}
        return compare({"totals": [total], "shorts": []}, best, True)
    wrong = ((11, 11, "proven", 10), (9, 9.5, "stopped", 10), (9, 11, "proven", 10), (10, 10, "proven", None))
    return [f"not seen: {case}" for case in wrong if not faults(*case)] + faults(10, 10, "proven", 10)


def seconds_end_it(thrave):
    """A mix that cannot be proven in a second: what it says then holds for the one found by steps."""
    with tempfile.TemporaryDirectory() as folder:
        make_farm(random.Random(5), folder, True)
        first = mix(thrave, folder, ON, "--seconds", "1", "--within", "0.0001%")["totals"][0]
        later = mix(thrave, folder, ON, "--nodes", "1", "--within", "1%")["totals"][0]
    faults = [] if first["state"] == "stopped" else [f"ended as {first['state']}, not by its seconds"]
    if not 0 < first["value"] <= first["bound"] or first["bound"] < later["value"] - NEAR:
        faults.append(f"{first['value']} to {first['bound']}, later {later['value']}")
    return faults


def written_farms(thrave):
    """Farms of the tests, and the demo against the same program in fractions."""
    with tempfile.TemporaryDirectory() as place:
        path = os.path.join(place, "plain.mps")
        for folder, on in WRITTEN:
            best = other(plain.Plain(folder, day(on)).p, path)
            yield folder, compare(mix(thrave, folder, on, "--to-the-end", "--nodes", "100000"), best, True)
        best = other(plain.Plain(DEMO[0], day(DEMO[1])).p, path, "-noint")
        total = mix(thrave, *DEMO, "--nodes", "1")["totals"][0]
        yield DEMO[0], [] if total["value"] <= best + NEAR else [f"{total['value']} is more than {best}"]


def main():
    thrave = sys.argv[1]
    seeds = [int(s) for s in sys.argv[2:]] or [s for s in range(1, FARMS + 1) if s not in SLOW]
    count, passed, failed = {"long": 0, "short": 0, "met": 0}, 0, 0
    for seed in seeds:
        with tempfile.TemporaryDirectory() as folder:
            what, faults = one_farm(thrave, seed, folder)
        count[what] += 1
        passed, failed = passed + (not faults), failed + bool(faults)
        for fault in faults:
            print(f"farm {seed}: {fault}")
    print(f"{count['met']} farms met, {count['short']} short of their orders, "
          f"{count['long']} too long for lp_solve")
    if len(sys.argv) == 2:
        if count["met"] < FARMS // 2 or count["short"] < 5 or count["long"] > FARMS // 20:
            print("the farms are not what they are there for")
            failed += 1
        for name, faults in [("the harness", check_itself()), ("seconds", seconds_end_it(thrave)),
                             *written_farms(thrave)]:
            passed, failed = passed + (not faults), failed + bool(faults)
            for fault in faults:
                print(f"{name}: {fault}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

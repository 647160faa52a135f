"""A farm beside a copy with one figure written otherwise must show what `--suppose` of that
figure shows as today and supposed, in all that it shows and in what it leaves out; beside
itself it must show nothing.

Nothing but the program is behind the expected values here: what is tested is that the two ways
agree.  The values themselves are held against published cases elsewhere.
"""
import json
import os
import shutil
import subprocess
import tempfile

FARM = "tests/farms/beside"
DAY = "2026-11-10"
# The line in farm.txt, what it becomes, the same said with --suppose, and a table that it must move.
CHANGES = (
    ("  wage 18 per h", "  wage 21.50 per h", "wage = 21.50", "costs"),
    ("  costs 0.20 per stem boxed", "  costs 0.26 per stem boxed", "Statice cost = 0.26", "crops"),
    ("1% storage per month, 2% bench", "3% storage per month, 2% bench", "Statice storage loss = 3%", "crops"),
    ("  loses 5% bench", "  loses 15% bench", "Larkspur bench loss = 15%", "reach"),
    ("  costs 1.40 per each", "  costs 2 per each", "Ring cost = 2", "supplies"),
    ("  aim margin 20%", "  aim margin 35%", "market aim margin = 35%", "prices"),
    ("online at 29.95", "online at 33", "Wreath online price = 33", "prices"),
)


def tables(thrave, *argv):
    done = subprocess.run([thrave, *argv, "--on", DAY, "--json"], capture_output=True, timeout=120)
    assert done.returncode in (0, 1), done.stderr.decode("utf-8")
    return json.loads(done.stdout)["tables"]


def close(a, b):
    if a is None or b is None:
        return a is b
    return abs(a - b) <= 1e-9 * max(1, abs(a), abs(b))


def supposed(thrave, figure):
    """What --suppose shows: (table, names, figure) -> (today, supposed)."""
    want = {}
    suppose = ("--suppose", figure)
    cost, stock = tables(thrave, "cost", FARM, *suppose), tables(thrave, "stock", FARM, *suppose)
    for kind in ("piece", "part"):
        for row in cost[kind + "s"]:
            want["costs", row[kind], "cost"] = row["total_today"], row["total"]
    for row in cost["stems"]:
        want["crops", row["crop"], "cost"] = row["per_usable_today"], row["per_usable"]
    for row in stock["stems"]:
        want["crops", row["crop"], "good"] = row["good_today"], row["good"]
    for row in tables(thrave, "reach", FARM, *suppose)["pieces"]:
        want["reach", row["piece"], "can_make"] = row["can_make_today"], row["can_make"]
    for row in tables(thrave, "price", FARM, *suppose)["prices"]:
        names = row["piece"] + " at " + row["outlet"]
        if row["asked"] is None:
            want["prices", names, "price"] = row["point_today"], row["point"]
        if row["asked"] is None or not figure.endswith("price = 33"):
            paid = row["asked"], row["asked"]
            paid = paid if row["asked"] is not None else (row["point_today"], row["point"])
            # The outlets of this farm take no tax: what is left over what is paid is the margin.
            want["prices", names, "margin"] = row["left_today"] / paid[0], row["left"] / paid[1]
    return want


def shown(found):
    """The same of a report of `beside`, and where its difference is not second less first."""
    got, faults = {}, []
    for table, rows in found.items():
        if table == "sides":
            continue
        for row in rows:
            name = row.get("made") or row.get("crop") or row.get("supply") or row["piece"]
            if table == "prices":
                name += " at " + row["outlet"]
            for key in (k[:-6] for k in row if k.endswith("_first")):
                if key + "_difference" not in row:
                    continue
                first, second, less = (row[f"{key}_{end}"] for end in ("first", "second", "difference"))
                got[table, name, key] = first, second
                if first is not None and second is not None and not close(second - first, less):
                    faults.append(f"{table} {name} {key}: {second} - {first} is not {less}")
    return got, faults


def check_change(thrave, old, new, figure, table):
    with tempfile.TemporaryDirectory() as folder:
        other = os.path.join(folder, "other")
        shutil.copytree(FARM, other)
        path = os.path.join(other, "farm.txt")
        text = open(path, encoding="utf-8").read()
        assert text.count(old) == 1, old
        open(path, "w", encoding="utf-8").write(text.replace(old, new))
        every, faults = shown(tables(thrave, "beside", FARM, other, "--all"))
        some, more = shown(tables(thrave, "beside", FARM, other))
    faults += more
    want = supposed(thrave, figure)
    for key, (today, then) in want.items():
        if key not in every:
            faults.append(f"{key} is not shown")
        elif not (close(every[key][0], today) and close(every[key][1], then)):
            faults.append(f"{key}: beside {every[key]}, --suppose {today, then}")
    for key, pair in every.items():
        if not close(*pair) and key not in some:
            faults.append(f"{key} differs and is left out without --all")
    lines = {key[:2] for key, pair in every.items() if not close(*pair)}
    for line in {key[:2] for key in some} - lines:
        faults.append(f"{line} is the same and not left out")
    if not any(line[0] == table for line in lines):
        faults.append(f"nothing differs in {table}")
    return [f"{figure}: {fault}" for fault in faults]


def check_slight(thrave):
    """A wire that costs a millionth more moves everything by less than people are shown: no line
    of zeros in the text, but a word on it; CSV and JSON keep the differences."""
    with tempfile.TemporaryDirectory() as folder:
        other = os.path.join(folder, "other")
        shutil.copytree(FARM, other)
        path = os.path.join(other, "farm.txt")
        text = open(path, encoding="utf-8").read()
        open(path, "w", encoding="utf-8").write(text.replace("costs 1.40 per each", "costs 1.400001 per each"))
        said = [subprocess.run([thrave, "beside", FARM, other, "--on", "2026-11-10", "--quiet", *more],
                               capture_output=True, text=True, timeout=60).stdout for more in ([], ["--all"])]
        machines, _ = shown(tables(thrave, "beside", FARM, other))
    faults = [] if "differ by less than can be shown" in said[0] else ["slight: nothing is said of it"]
    faults += ["slight: it is shown"] if "differ-" in said[0] else []
    faults += [] if "differ-" in said[1] else ["slight: --all does not show it"]
    return faults + ([] if machines else ["slight: machines get nothing"])


def check(thrave):
    faults = check_slight(thrave)
    for farm in (FARM, "tests/farms/full", "tests/farms/odd-names", "tests/farms/least"):
        with tempfile.TemporaryDirectory() as folder:
            other = os.path.join(folder, "copy")
            shutil.copytree(farm, other)
            found, wrong = shown(tables(thrave, "beside", farm, other))
            every, _ = shown(tables(thrave, "beside", farm, other, "--all"))
        faults += wrong + [f"{farm} beside itself: {key} {pair}" for key, pair in found.items()]
        if not every:
            faults.append(f"{farm} beside itself: --all shows nothing")
    for change in CHANGES:
        faults += check_change(thrave, *change)
    return faults

"""Published models of planning, said as farm folders and solved by `thrave mix`; published
intervals and yields by `thrave loss` (losses.py).

    tests/published/check.py THRAVE      prints a line for each case, then the count

The cases stand in product_mix.py, fixed_charge.py and transport.py, each with its source;
farms.py says how a model becomes a farm.  What is compared is the published optimum, the
published solution where there is only one, and what the counts printed come to by the
model's own rows and prices, in fractions.  A farm makes whole pieces: of a published
linear program its integer optimum stands here.
"""
import json
import os
import subprocess
import sys
import tempfile

import fixed_charge
import losses
import product_mix
import transport

ENV = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C", "TZ": "UTC"}
MONEY = 1e-6  # prices and costs are kept to a thousand-millionth

# What is no farm, and where it is tested instead.
NOT_A_FARM = [
    ("Cutting stock in whole rolls (453, 47, 19, 73)", "a stem is cut to one need, so that one stem never "
     "gives several widths; the linear values are here, the whole ones in test_solve_cases.c"),
    ("Williams, Model Building, 12.1 and 12.2, blending", "fractions of a ton, and hardness as a mean; "
     "test_solve_cases.c"),
    ("Williams, 12.3, factory planning", "months with stock between them; test_solve_cases.c"),
    ("coin-or/Cbc 293 and 740, HiGHS 2957 and 3043", "fractions, and numbers below nothing; test_solve.c"),
    ("Taha, Example 3.5-3, its first row", "a difference of two counts; it is left out, and the case is as "
     "endless without it"),
]


def solve(thrave, case, folder):
    """Exit status and the JSON of one farm."""
    for name, text in (("farm.txt", case.farm), ("stock.csv", case.stock), ("orders.csv", case.orders)):
        if text:
            with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
                file.write(text)
    argv = [thrave, "mix", folder, "--on", "2026-11-25", "--to-the-end", "--json", *case.options]
    done = subprocess.run(argv, capture_output=True, timeout=120, env=ENV, text=True)
    if not done.stdout:
        raise ValueError(f"exit {done.returncode}: {done.stderr[-400:]}")
    return done.returncode, json.loads(done.stdout)


def made(tables):
    """Pieces by name, over all outlets."""
    counts = {}
    for row in tables["pieces"]:
        counts[row["piece"]] = counts.get(row["piece"], 0) + row["make"] + row["shelf"]
    return counts


def faults(thrave, case):
    with tempfile.TemporaryDirectory() as folder:
        status, document = solve(thrave, case, folder)
    tables, wrong = document["tables"], []
    total, counts = tables["totals"][0], made(tables)
    if status != case.status or total["state"] != "proven":
        wrong.append(f"exit {status}, {total['state']}")
    want = float(case.income) - float(case.optimum) if case.income else float(case.optimum)
    for key in ("value", "bound"):
        if abs(total[key] - want) > MONEY + 1e-9 * abs(want):
            wrong.append(f"{key} {total[key]!r}, published {want!r}")
    if case.solution is not None and counts != case.solution:
        wrong.append(f"makes {counts}, published {case.solution}")
    if case.holds:
        wrong += case.holds(counts)
    if case.more:
        wrong += case.more(document)
    return wrong


def check_itself(thrave, case):
    """A wrong optimum, a wrong solution and a wrong status must be seen."""
    changes = ({"optimum": case.optimum + 1}, {"solution": {"A": 1}}, {"status": 1})
    return [f"not seen: {change}" for change in changes if not faults(thrave, case._replace(**change))]


def main():
    thrave, passed, failed = sys.argv[1], 0, 0
    cases = product_mix.CASES + fixed_charge.CASES + transport.CASES
    for case in [None] + cases:
        try:
            wrong = faults(thrave, case) if case else check_itself(thrave, cases[0])
        except (ValueError, KeyError, subprocess.TimeoutExpired) as fault:
            wrong = [repr(fault)]
        name = f"{case.name}: {case.optimum} ({case.source})" if case else "the harness"
        print(f"{'not ok' if wrong else 'ok'} {passed + failed + 1} - {name}")
        for line in wrong:
            print("    " + line)
        passed, failed = passed + (not wrong), failed + bool(wrong)
    for name, wrong in losses.checks(thrave):
        print(f"{'not ok' if wrong else 'ok'} {passed + failed + 1} - {name}")
        for line in wrong:
            print("    " + line)
        passed, failed = passed + (not wrong), failed + bool(wrong)
    for name, why in NOT_A_FARM:
        print(f"# no farm: {name}: {why}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

"""Published models of planning, said as farm folders and solved by `thrave mix`; published
intervals and yields by `thrave loss` (losses.py).

    tests/published/check.py THRAVE      prints a line for each case, then the count

The cases stand in product_mix.py, fixed_charge.py and transport.py, each with its source;
farms.py says how a model becomes a farm.  What is compared is the published optimum, the
published solution where there is only one, and what the counts printed come to by the
model's own rows and prices, in fractions.  A farm makes whole pieces: of a published
linear program its integer optimum stands here.
"""
import sys

import fixed_charge
import losses
import product_mix
import runner
import transport

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


def solve(thrave, case):
    """Exit status and the JSON of one farm."""
    files = {"farm.txt": case.farm, "stock.csv": case.stock, "orders.csv": case.orders}
    return runner.ask(thrave, files, "mix", "--to-the-end", *case.options)


def made(tables):
    """Pieces by name, over all outlets."""
    counts = {}
    for row in tables["pieces"]:
        counts[row["piece"]] = counts.get(row["piece"], 0) + row["make"] + row["shelf"]
    return counts


def faults(thrave, case):
    status, document = solve(thrave, case)
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


def main(thrave):
    cases = product_mix.CASES + fixed_charge.CASES + transport.CASES
    models = runner.each(cases, lambda case: f"{case.name}: {case.optimum} ({case.source})",
                         lambda case: faults(thrave, case), lambda case: check_itself(thrave, case))
    runner.report([*models, *losses.checks(thrave)], NOT_A_FARM)


if __name__ == "__main__":
    main(sys.argv[1])

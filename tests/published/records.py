"""Published examples of variances, repeat-work curves, yield and moisture, said as small
farms and reckoned by `thrave took`, `thrave dry` and `thrave cost`.

    tests/published/records.py THRAVE      prints a line for each case, then the count

The cases stand in variances.py, repeat_work.py, yields.py and moisture.py, each with its
source.  A case is a folder of files, the words of a command, and cells of its --json: table,
which row, column, published value.
"""
import sys

import moisture
import repeat_work
import runner
import variances
import yields

# What is no farm, and where it is tested instead.
NOT_A_FARM = [
    ("Kerzner, sec. 18, unit 250 at 75%", "no log has 250 runs of one; test_learning.c"),
    ("Stevenson and Heizer & Render, all rows of the unit tables", "some are here; test_learning.c has them all"),
    ("OpenStax, sec. 8.1, standard cost card", "supplies are not in the log; test_variance.c"),
    ("OpenStax, sec. 6.1, 1,250,000 hours", "more minutes than a log may say; test_variance.c"),
    ("IRRI, wet basis from dry basis; UVM, 100 kg to 22.2 kg; Dahiya et al., heads of 0.154 to 0.215 g",
     "from two moistures to a weight, where a farm has weights; test_drying.c"),
]


def cell_of(tables, check):
    rows = [row for row in tables.get(check.table, ()) if all(row[k] == v for k, v in check.row.items())]
    if len(rows) != 1:
        raise ValueError(f"{check.table} {check.row}: {len(rows)} rows")
    return rows[0][check.column]


def differs(got, check):
    if isinstance(check.value, (int, float)) and not isinstance(check.value, bool):
        return got is None or abs(got - check.value) > check.within
    return got != check.value


def faults(thrave, case):
    status, document = runner.ask(thrave, case.files, *case.words)
    tables = document["tables"]
    wrong = [] if status == case.status else [f"exit {status}, not {case.status}"]
    for check in case.checks:
        got = cell_of(tables, check)
        if differs(got, check) is check.same:
            be = "is" if check.same else "must not be"
            wrong.append(f"{check.table} {check.row} {check.column}: {got!r}, {be} {check.value!r}")
    return wrong


def check_itself(thrave, case):
    """A value that is off by little more than it may be must be seen, and a wrong status."""
    first = case.checks[0]
    off = first._replace(value=first.value + 2 * first.within)
    changes = (case._replace(checks=(off,)), case._replace(status=1))
    return [f"not seen: {change}" for change in changes if not faults(thrave, change)]


def main(thrave):
    cases = variances.CASES + repeat_work.CASES + yields.CASES + moisture.CASES
    runner.report(runner.each(cases, lambda case: f"{case.name} ({case.source})", lambda case: faults(thrave, case),
                              lambda case: check_itself(thrave, case)), NOT_A_FARM)


if __name__ == "__main__":
    main(sys.argv[1])

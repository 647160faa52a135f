"""How work gets quicker.  One rate is two curves: at 80% the second one takes 60 of 100 by the
cumulative average (Wright) and 80 by the unit model (Crawford)."""
from math import log2

from record import case, check, log

AVERAGE, UNIT = "cumulative average (Wright)", "unit (Crawford)"
FARM = {"farm.txt": "piece P\n  takes 100 min tying\n"}


def runs(counts, minutes):
    return {**FARM, "bench.csv": log(*[(f"2026-11-{day + 1:02}", "P", n, f"{m:.10g}", "")
                                       for day, (n, m) in enumerate(zip(counts, minutes))])}


def rate(model, value, within=1e-6, **more):
    return check("curves", "rate", value, within, model=model, **more)


# By the rule of the unit model and its factors at 80%, n^(log .8 / log 2).
UNITS = [100 * n ** log2(0.8) for n in range(1, 17)]

CASES = [
    # Blocks of 1, 1, 2, 4 and 8.  The last is printed as 254.76; 655.36 - 409.6 is 245.76,
    # and its average of 30.72 agrees.
    case("80%, first 100 h: blocks of 100, 60, 96, 153.6, 245.76", "Kaplan, ACCA study text, ch. 15",
         runs((1, 1, 2, 4, 8), (100, 60, 96, 153.6, 245.76)), ["took", "--of", "P"],
         rate(AVERAGE, 0.8), check("curves", "first", 100, model=AVERAGE),
         check("curves", "second", 60, model=AVERAGE), check("pieces", "minutes", 655.36, name="P"),
         check("curves", "second", 60, 3, same=False, model=UNIT)),
    case("the same four: average of 4 is 64%", "R. M. Wideman, appendix 2, maxwideman.com",
         runs((1, 1, 2), (100, 60, 96)), ["took"],
         rate(AVERAGE, 0.8), check("pieces", "over", 0.64 - 1, name="P")),
    # The block of the next 8 from the unit totals, 8.9201 - 5.3459 of the first.
    case("80%, unit factors: .8, .702, .640, .596, .562, .535, .512; of eight 5.346, of sixteen 8.920",
         "Stevenson, Operations Management, Table 7S.1; Heizer & Render, Table E.3; from memory",
         runs((1,) * 8, UNITS[:8]), ["took", "--of", "P"],
         rate(UNIT, 0.8), check("curves", "first", 100, model=UNIT), check("curves", "second", 80, model=UNIT),
         check("pieces", "minutes", 534.59, 0.005, name="P"),
         check("curves", "second", 80, 3, same=False, model=AVERAGE)),
    case("90%, the twentieth: .634", "Stevenson, manual, ch. 7S, second hand",
         runs((1,) * 19, [100 * n ** log2(0.9) for n in range(1, 20)]), ["took"],
         rate(UNIT, 0.9), check("next", "minutes", 63.4, 0.05, name="P")),
    # A key labels .583 as 80%; it is the 85% column, and 80% is .477.
    case("the tenth at 80% is .477", "Stevenson, manual, ch. 7S, second hand",
         runs((1,) * 9, UNITS[:9]), ["took"],
         check("next", "minutes", 47.7, 0.06, name="P"), check("next", "minutes", 58.3, 1, same=False, name="P")),
    case("the tenth at 85% is .583", "Stevenson, manual, ch. 7S, second hand",
         runs((1,) * 9, [100 * n ** log2(0.85) for n in range(1, 10)]), ["took"],
         check("next", "minutes", 58.3, 0.05, name="P")),
    # 4.0 h and 3.2 h; the 4th 2.56, the 8th 2.048, the 16th 1.6384 (by the case's own rule).
    case("4 h, 3.2 h: the sixteenth takes 1.6384 h", "a case of a course in operations management, second hand",
         runs((1,) * 15, [2.4 * minutes for minutes in UNITS[:15]]), ["took", "--of", "P"],
         rate(UNIT, 0.8), check("curves", "second", 192, model=UNIT),
         check("next", "minutes", 60 * 1.6384, 1e-4, name="P")),
    case("75%, first 812 h", "Kerzner, Project Management, sec. 18",
         runs((1,) * 12, [812 * n ** log2(0.75) for n in range(1, 13)]), ["took", "--of", "P"],
         rate(UNIT, 0.75), check("curves", "first", 812, 1e-3, model=UNIT)),
]

"""Product mixes, whole-number programs and knapsacks.

Data, section numbers and answers marked (memory) were recalled, the others read second
hand; all were solved again by two other solvers.  Where the published optimum is of a
linear program and not whole, the integer optimum stands here; of small ones farms.py tries
all counts.
"""
from farms import block, case, orders, product_mix, stock

ITEMS = [  # Rosetta Code, Knapsack problem/Bounded: weight, value, how many
    (9, 150, 1), (13, 35, 1), (153, 200, 2), (50, 60, 2), (15, 60, 2), (68, 45, 3), (27, 60, 3),
    (39, 40, 3), (23, 30, 1), (52, 10, 3), (11, 70, 1), (32, 30, 1), (24, 15, 2), (48, 10, 2),
    (73, 40, 1), (42, 70, 1), (43, 75, 1), (22, 80, 1), (7, 20, 1), (18, 12, 2), (4, 50, 1),
    (30, 10, 2)]
WEIGHTS, VALUES, COUNTS = (list(column) for column in zip(*ITEMS))

CASES = [
    product_mix(
        "three plants", "Hillier & Lieberman, Introduction to Operations Research, sec. 3.1 (section: memory)",
        [3, 5], [("stems", "Statice", [1, 0], 4), ("supply", "Ring", [0, 2], 12),
                 ("hours", "tying", [3, 2], 18)],
        36, solution=[2, 6]),
    product_mix(
        "two toys", "Winston, Operations Research, sec. 3.1 (section: memory)",
        [3, 2], [("hours", "tying", [2, 1], 100), ("stems", "Statice", [1, 1], 80)],
        180, most=[40, None], solution=[20, 60]),
    product_mix(
        "three pieces of furniture", "Winston, chs. 4-6 (chapters: memory)",
        [60, 30, 20], [("stems", "Statice", [8, 6, 1], 48), ("hours", "tying", [4, 2, "3/2"], 20),
                       ("supply", "Wire", [2, "3/2", "1/2"], 8)],
        280, most=[None, 5, None], solution=[2, 0, 8]),
    # At 35 the second product costs nothing to bring in: of the whole answers one is left.
    product_mix(
        "three pieces of furniture, a tie", "Winston, sec. 4.7 (memory)",
        [60, 35, 20], [("stems", "Statice", [8, 6, 1], 48), ("hours", "tying", [4, 2, "3/2"], 20),
                       ("supply", "Wire", [2, "3/2", "1/2"], 8)],
        280, most=[None, 5, None], solution=[2, 0, 8]),
    # Five times as much of each row: both vertices of the tie are whole, (10, 0, 40) and
    # (0, 8, 56), with others between.  Which of them is told by the order in the file: most
    # of what stands first.
    product_mix(
        "three pieces of furniture, five times: a tie", "Winston, sec. 4.7 (memory); times five: reckoned",
        [60, 35, 20], [("stems", "Statice", [8, 6, 1], 240), ("hours", "tying", [4, 2, "3/2"], 100),
                       ("supply", "Wire", [2, "3/2", "1/2"], 40)],
        1400, most=[None, 25, None], solution=[10, 0, 40]),
    product_mix(
        "the same, the second one first", "Winston, sec. 4.7 (memory); times five: reckoned",
        [35, 60, 20], [("stems", "Statice", [6, 8, 1], 240), ("hours", "tying", [2, 4, "3/2"], 100),
                       ("supply", "Wire", ["3/2", 2, "1/2"], 40)],
        1400, most=[25, None, None], solution=[8, 0, 56]),
    # Linear 21 at (3, 1.5); rounded down 19, rounded up not to be made.  The row that B is
    # at most one more than A cannot be said: the answer without it keeps it.
    product_mix(
        "two paints, whole", "Taha, Operations Research, Example 2.1-1; whole: tried",
        [5, 4], [("stems", "Statice", [6, 4], 24), ("hours", "tying", [1, 2], 6)],
        20, most=[None, 2], solution=[4, 0]),
    # Linear 128 at (3.2, 1.6); rounded 110.
    product_mix(
        "two machines, whole", "Taha, sec. 3.6 (memory); whole: tried",
        [30, 20], [("hours", "tying", [2, 1], 8), ("stems", "Statice", [1, 3], 8)], 120, solution=[4, 0]),
    # Linear 39 at (13/7, 0); rounded 21.
    product_mix(
        "one row that rounds badly", "Winston, sec. 9.1 (memory)",
        [21, 11], [("stems", "Statice", [7, 4], 13)], 33, solution=[0, 3]),
    # max y; y - x <= 1/2 and x + y <= 7/2: linear 2 at (1.5, 2), of which no rounding can be
    # made.  x are frames, half of one is on the shelf, and each B takes one.
    case(
        "rounding finds nothing", "Hillier & Lieberman, the chapter on integer programming (memory)",
        block("farm Table", "currency EUR", "bench 7/2 h until 2026-12-24")
        + block("part Frame", "takes 60 min tying")
        + block("piece B", "needs 1 Frame", "takes 60 min tying", "sells shop at 1")
        + block("outlet shop", "note takes what is made"),
        1, stock=stock(("Frame", "0.5")), solution={"B": 1}),
    # By what each brings for its cost, 16 and 22 would be taken: 38.
    product_mix(
        "four investments", "Winston, sec. 9.2 (memory)",
        [16, 22, 12, 8], [("stems", "Statice", [5, 7, 4, 3], 14)], 42, most=[1] * 4, solution=[0, 1, 1, 1]),
    # True fractions: 5/6 and 2/3 written with 15 digits give 7667.999999999999.
    product_mix(
        "four rows of fractions", "Anderson, Sweeney, Williams, chs. 2-3 (memory)",
        [10, 9], [("hours", "tying", ["7/10", 1], 630), ("stems", "Statice", ["1/2", "5/6"], 600),
                  ("stems", "Yarrow", [1, "2/3"], 708), ("supply", "Wire", ["1/10", "1/4"], 135)],
        7668, solution=[540, 252]),
    product_mix(
        "degenerate", "Taha, Example 3.5-1 (memory)",
        [3, 9], [("stems", "Statice", [1, 4], 8), ("hours", "tying", [1, 2], 4)], 18, solution=[0, 2]),
    # The linear optima lie between (0, 2.5) and (3, 1); whole ones are (1, 2) and (3, 1), of
    # which the second has more of what stands first in the file.
    product_mix(
        "many optima", "Taha, Example 3.5-2 (memory)",
        [2, 4], [("stems", "Statice", [1, 2], 5), ("hours", "tying", [1, 1], 4)], 10, solution=[3, 1]),
    # 950 in all, exactly: the limit from above is enough, since more is worth more.  At
    # least 400 of D: an order.
    case(
        "950 in all, 400 promised", "Winston, sec. 5.2 (memory)",
        block("farm Table", "currency EUR", "bench 5000 h until 2026-12-24")
        + block("crop Statice", "bunch 10 stem") + block("crop Yarrow", "bunch 10 stem")
        + "".join(block(f"piece {p}", "needs 1 stem Statice", f"needs {a} stem Yarrow", f"takes {h} h tying",
                        f"sells shop at {g}")
                  for p, g, a, h in (("A", 4, 2, 3), ("B", 6, 3, 4), ("C", 7, 4, 5), ("D", 8, 7, 6)))
        + block("outlet shop", "note takes what is made"),
        6650, stock=stock(("Statice", 950), ("Yarrow", 4600)), orders=orders([("D", 400, 8)]),
        solution={"B": 400, "C": 150}),
    # What nothing limits is named, and the rest solved: 2 A at most 40.
    case(
        "no end", "Taha, Example 3.5-3 (memory): unbounded",
        block("farm Table", "currency EUR") + block("crop Statice", "bunch 10 stem")
        + block("piece A", "needs 2 stem Statice", "sells shop at 2") + block("piece B", "sells shop at 1")
        + block("outlet shop", "note takes what is made"),
        40, stock=stock(("Statice", 40)), solution={"A": 20},
        more=lambda document: [] if "so they are left out" in document["verdicts"][0] else ["B not named"]),
    # 3 A + 4 B at least 12: twelve are promised of what A gives in threes and B in fours.  With
    # two stems the most is 8 of them: two B.
    case(
        "cannot be met", "Taha, Example 3.5-4 (memory): infeasible; the nearest: tried",
        block("farm Table", "currency EUR") + block("crop Statice", "bunch 10 stem")
        + block("part A", "makes 3 each", "needs 2 stem Statice")
        + block("part B", "makes 4 each", "needs 1 stem Statice")
        + block("piece Point", "needs 1 A", "or 1 B", "sells shop at 1, up to 0")
        + block("outlet shop", "note takes what is made"),
        8, stock=stock(("Statice", 2)), orders=orders([("Point", 12, 1)]), status=1,
        more=lambda document: [] if document["tables"]["shorts"][0]["short"] == 4 else ["not 4 short"]),
    product_mix(
        "knapsack, bounded", "Rosetta Code, Knapsack problem/Bounded",
        VALUES, [("stems", "Statice", WEIGHTS, 400)], 1010, most=COUNTS,
        solution=[1, 1, 1, 0, 2, 0, 3, 0, 1, 0, 1, 0, 0, 0, 0, 0, 1, 1, 1, 0, 1, 0]),
    product_mix(
        "knapsack, one of each", "Rosetta Code, Knapsack problem/0-1: the sandwich at 160",
        VALUES[:3] + [160] + VALUES[4:], [("stems", "Statice", WEIGHTS, 400)], 1030, most=[1] * 22),
    # Weights in tenths, volumes in thousandths.  (0, 15, 11), (3, 10, 11), (6, 5, 11) and
    # (9, 0, 11) are optimal: the last has most of what stands first.
    product_mix(
        "knapsack, any number", "Rosetta Code, Knapsack problem/Unbounded (memory)",
        [3000, 1800, 2500], [("stems", "Statice", [3, 2, 20], 250), ("supply", "Box", [25, 15, 2], 250)], 54500,
        solution=[9, 0, 11]),
    product_mix(
        "knapsack, any number, the second one first", "Rosetta Code, Knapsack problem/Unbounded (memory)",
        [1800, 3000, 2500], [("stems", "Statice", [2, 3, 20], 250), ("supply", "Box", [15, 25, 2], 250)], 54500,
        solution=[15, 0, 11]),
    # max y; y - x <= 1/2 and x + y <= 7/2: (1, 1) and (2, 1) are optimal.  A are pieces that
    # bring what their clip costs, (0, 1) is held off by an order of one, and most of what
    # stands first is (2, 1).
    case(
        "the same value whether 1 or 2", "Hillier & Lieberman, the chapter on integer programming (memory)",
        block("farm Table", "currency EUR", "bench 7/2 h until 2026-12-24") + block("supply Clip", "costs 1 per each")
        + block("piece A", "needs 1 each Clip", "takes 60 min tying", "sells shop at 1")
        + block("piece B", "takes 60 min tying", "sells shop at 1, up to 1")
        + block("outlet shop", "note takes what is made"),
        1, orders=orders([("A", 1, 1)]), solution={"A": 1, "B": 1}),
    # A takes any stem, L one of 40 cm: two of either earn the same.  Two A would cut a long
    # stem short; of the others A and L has more of what stands first.
    case(
        "a long and a short box", "the farm's own rule: docs/reckoning.md; reckoned by hand",
        block("farm Table", "currency EUR", "bench 2 h until 2026-12-24") + block("crop Statice", "bunch 10 stem")
        + block("piece A", "needs 10 stem Statice", "takes 60 min tying", "sells shop at 5")
        + block("piece L", "needs 10 stem Statice, from 40 cm", "takes 60 min tying", "sells shop at 5")
        + block("outlet shop", "note takes what is made"),
        10, stock=stock(("Statice", 10, 20), ("Statice", 30, 50)), solution={"A": 1, "L": 1}),
    # As many short stems as A and B take: no mix cuts a long one, so only the order tells.
    case(
        "a long box and enough short ones", "the farm's own rule: docs/reckoning.md; reckoned by hand",
        block("farm Table", "currency EUR", "bench 2 h until 2026-12-24") + block("crop Statice", "bunch 10 stem")
        + block("piece L", "needs 10 stem Statice, from 40 cm", "takes 60 min tying", "sells shop at 5, up to 1")
        + block("piece A", "needs 10 stem Statice", "takes 60 min tying", "sells shop at 5")
        + block("piece B", "needs 10 stem Statice", "takes 60 min tying", "sells shop at 5")
        + block("outlet shop", "note takes what is made"),
        10, stock=stock(("Statice", 20, 20), ("Statice", 30, 50)), solution={"L": 1, "A": 1}),
]


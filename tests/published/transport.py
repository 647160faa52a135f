"""Transport and assignment, and the linear values of cutting stock.

A place that sends is a crop with its stems, a way from it to a place a part that needs a
stem and its cost in a supply at 1; what a place is to get is an order that takes one of
its ways.  The cost is what the orders bring less what the mix earns.
"""
from fractions import Fraction

from farms import block, case, orders, product_mix, stock


def transport(name, source, supply, demand, cost, optimum, income):
    farm = block("farm Table", "currency EUR") + block("supply Mile", "costs 1 per each")
    for i in range(len(supply)):
        farm += block(f"crop From {i}", "bunch 10 stem")
        for j in range(len(demand)):
            farm += block(f"part Way {i} {j}", f"needs 1 stem From {i}", f"needs {cost[i][j]} each Mile")
    for j in range(len(demand)):
        ways = [f"1 each Way {i} {j}" for i in range(len(supply))]
        farm += block(f"piece To {j}", f"needs {ways[0]}", *[f"or {way}" for way in ways[1:]],
                      f"sells shop at {income}, up to 0")
    farm += block("outlet shop", "note takes what is sent")
    return case(name, source, farm, optimum, income=income * sum(demand),
                stock=stock(*[(f"From {i}", n) for i, n in enumerate(supply)]),
                orders=orders((f"To {j}", n, income) for j, n in enumerate(demand)))


def cutting(name, source, width, items, linear, scale, patterns=None):
    """Fewest rolls as a linear program is, turned round, the dearest widths of which no
    pattern is worth more than a roll.  Widths are pieces that sell for what is wanted of them,
    patterns boxes of `scale` stems, so that whole answers are `scale`-ths of a roll."""
    made = []

    def fill(at, left, take):
        if at == len(items):
            if all(size > left for size, _ in items):
                made.append(take)
            return
        for n in range(left // items[at][0] + 1):
            fill(at + 1, left - n * items[at][0], take + [n])

    fill(0, width, [])
    assert patterns in (None, len(made)), (name, len(made))
    rows = [("stems", f"Pattern {i}", take, scale) for i, take in enumerate(made)]
    optimum = Fraction(linear) * scale
    assert optimum.denominator == 1
    return product_mix(name, source, [count for _, count in items], rows, int(optimum))


CASES = [
    transport("three plants, four towns", "Winston, Operations Research, sec. 7.1 (memory)",
              (35, 50, 40), (45, 20, 30, 30), ((8, 6, 10, 9), (9, 12, 13, 7), (14, 9, 16, 5)), 1020, 20),
    transport("two canneries, three markets",
              "Dantzig, Linear Programming and Extensions (1963), sec. 3-3 (memory)",
              (350, 600), (325, 300, 275), ((0.225, 0.153, 0.162), (0.225, 0.162, 0.126)), 153.675, 1),
    transport("four jobs, four machines", "Winston, sec. 7.5 (memory)", (1,) * 4, (1,) * 4,
              ((14, 5, 8, 7), (2, 12, 6, 5), (7, 8, 3, 9), (2, 4, 6, 10)), 15, 20),
    cutting("paper rolls, linear", "Chvatal, Linear Programming, ch. 13 (memory)",
            100, ((45, 97), (36, 610), (31, 395), (14, 211)), "1809/4", 100, 12),
    cutting("rolls of five widths, linear", "Fourer, Gay & Kernighan, AMPL (memory)",
            110, ((20, 48), (45, 35), (50, 24), (55, 10), (75, 8)), "185/4", 24),
    cutting("boards, linear", "Winston, sec. 10.2 (memory)", 17, ((3, 25), (5, 20), (9, 15)), "55/3", 60),
    cutting("master rolls, linear", "Wikipedia, Cutting stock problem (widths: memory)", 5600,
            ((1380, 22), (1520, 25), (1560, 12), (1710, 14), (1820, 18), (1880, 18), (1930, 20), (2000, 10),
             (2050, 12), (2100, 14), (2140, 16), (2150, 18), (2200, 20)), "875/12", 72, 213),
]

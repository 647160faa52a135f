"""How a published model becomes a farm.

A product is a piece whose price is what it leaves, a limited resource a box of stems
without losses, the hours at the bench, or a supply that is not bought; a most of a
product is `up to`, a least an order.  No wage and no costs are given, so that nothing
else is earned or spent.
"""
from collections import namedtuple
from fractions import Fraction
from itertools import product
from math import prod

# optimum: as published; income: what comes in whatever is decided, where the published
# figure is a cost; solution: pieces by name where only one is optimal; holds(counts) and
# more(document): further faults; status: the exit status.
Case = namedtuple("Case", "name source farm stock orders options optimum income solution holds more status")


def case(name, source, farm, optimum, stock=None, orders=None, options=(), income=None, solution=None,
         holds=None, more=None, status=0):
    return Case(name, source, farm, stock, orders, options, optimum, income, solution, holds, more, status)


def block(head, *lines):
    return "".join([head + "\n"] + [f"  {line}\n" for line in lines] + ["\n"])


def stock(*rows):
    """Rows: what, count and, for stems, their length."""
    text = "box,what,count,length,boxed,counted\n"
    for row in rows:
        what, count, length = (*row, "")[:3]
        text += f",{what},{count},{length},2026-10-01,2026-11-25\n"
    return text


def orders(rows):
    """Rows: piece, count, price."""
    text = "order,piece,count,price\n"
    for number, (piece, count, price) in enumerate(rows):
        text += f"{number},{piece},{count},{price}\n"
    return text


def letters(n):
    return [chr(ord("A") + i) for i in range(n)]


def need(row, much):
    """The line of a recipe by which a product uses one resource."""
    kind, name, _, _ = row
    if kind == "hours":
        minutes = Fraction(much) * 60
        assert minutes.denominator == 1
        return f"takes {minutes} min {name}"
    return f"needs {Fraction(much)} {'stem' if kind == 'stems' else 'each'} {name}"


def reckoned(names, gain, rows, most, optimum):
    """Faults of counts by the model itself, in fractions."""
    def holds(counts):
        x, wrong = [counts.get(name, 0) for name in names], []
        for _, name, amounts, right in rows:
            if sum(Fraction(a) * n for a, n in zip(amounts, x)) > Fraction(right):
                wrong.append(f"{name}: more than {right} by {x}")
        if any(limit is not None and n > limit for n, limit in zip(x, most)):
            wrong.append(f"more than can sell: {x}")
        if sum(Fraction(g) * n for g, n in zip(gain, x)) != optimum:
            wrong.append(f"{x} leave {sum(Fraction(g) * n for g, n in zip(gain, x))}")
        return wrong
    return holds


def tried(gain, rows, most, limit=50000):
    """The best of a small program by trying every count, and of equal ones that with most of
    what stands first, then of the second; None where that is too long."""
    ends = []
    for i in range(len(gain)):
        rights = [int(Fraction(right) / Fraction(a[i])) for _, _, a, right in rows if a[i]]
        ends.append(min(rights + ([most[i]] if most[i] is not None else [])))
    if prod(end + 1 for end in ends) > limit:
        return None, None
    rows = [([Fraction(a) for a in amounts], right) for _, _, amounts, right in rows]
    return max((sum(g * n for g, n in zip(gain, x)), x) for x in product(*(range(end + 1) for end in ends))
               if all(sum(a * n for a, n in zip(amounts, x)) <= right for amounts, right in rows))


def product_mix(name, source, gain, rows, optimum, most=None, solution=None):
    """rows: (kind, name, amount for each product, right side), kind one of stems, hours,
    supply; most: for each product, None without end; solution: a count for each."""
    names, most = letters(len(gain)), most or [None] * len(gain)
    best, first = tried(gain, rows, most)
    assert best in (None, optimum) and (not solution or first in (None, tuple(solution))), name
    solution = solution or first
    hours = [row for row in rows if row[0] == "hours"]
    farm = block("farm Table", "currency EUR", *[f"bench {row[3]} h until 2026-12-24" for row in hours])
    boxes = []
    for kind, what, _, right in rows:
        if kind == "stems":
            farm += block(f"crop {what}", "bunch 10 stem")
        if kind == "supply":
            farm += block(f"supply {what}", "costs 1 per each")
        if kind != "hours":
            boxes.append((what, right))
    for i, piece in enumerate(names):
        lines = [need(row, row[2][i]) for row in rows if row[2][i]]
        limit = "" if most[i] is None else f", up to {most[i]}"
        farm += block(f"piece {piece}", *lines, f"sells shop at {gain[i]}{limit}")
    farm += block("outlet shop", "note takes what is made")
    unique = None if solution is None else {p: n for p, n in zip(names, solution) if n}
    return case(name, source, farm, optimum, stock=stock(*boxes),
                options=["--no-buying"] if any(row[0] == "supply" for row in rows) else [],
                solution=unique, holds=reckoned(names, gain, rows, most, optimum))

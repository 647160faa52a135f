"""The mix of a farm as one plain program in whole numbers, for any solver.

Written from docs/reckoning.md; reading the farm, losses and sending come from reckon.py.
Every class of stems is a row, every way from a class to a need a column; nothing is
pooled, dropped or bounded but by the rules.  It is there to be solved by somebody else's
solver, so it may be slow but has to be right.  Farms: every box with a day of boxing; supplies,
parts and pieces not moved by the bench log since they were counted; parts above those that
they go into.
"""
import datetime
import math
import re
from collections import defaultdict

from reckon import QTY, UNITS, F, Farm, base_of, day, factor, find, fold, kept, loss, months, \
    per_hour, qty, sending_of, stock, whole

SAFE = 1e-9  # what floor forgives


class Program:
    """Maximise what `gain` says of the columns, rows being (terms, least, most)."""
    def __init__(self):
        self.gain, self.rows, self.whole, self.most, self.constant = defaultdict(float), [], set(), {}, 0.0

    def column(self, name, gain=0.0, most=None, whole_=True):
        assert name not in self.gain, name
        self.gain[name] = float(gain)
        if most is not None:
            self.most[name] = most
        if whole_:
            self.whole.add(name)
        return name

    def row(self, terms, least, most):
        terms = {c: float(v) for c, v in terms.items() if v}
        if terms:
            self.rows.append((terms, least, most))
        elif (least or 0) > SAFE or (most or 0) < -SAFE:
            self.rows.append(({self.column(f"never{len(self.rows)}", 0, 0): 1.0}, 1, None))

    def write(self, path):
        """As free MPS, which minimises: its optimum is constant - best."""
        by_column = defaultdict(list)
        for i, (terms, _, _) in enumerate(self.rows):
            for c, v in terms.items():
                by_column[c].append((i, v))
        with open(path, "w", encoding="utf-8") as out:
            out.write("NAME plain\nROWS\n N lost\n")
            for i, (_, least, most) in enumerate(self.rows):
                out.write(f" {'E' if least == most else 'L' if least is None else 'G'} r{i}\n")
            out.write("COLUMNS\n")
            for marker, names in (("INTORG", self.whole), ("INTEND", set(self.gain) - self.whole)):
                out.write(f" MARKER 'MARKER' '{marker}'\n")
                for c in sorted(names):
                    out.write(f" {c} lost {-self.gain[c]!r}\n")
                    for i, v in by_column[c]:
                        out.write(f" {c} r{i} {v!r}\n")
            out.write("RHS\n")
            for i, (_, least, most) in enumerate(self.rows):
                out.write(f" RHS r{i} {float(most if least is None else least)!r}\n")
            out.write("BOUNDS\n")
            for c in sorted(self.gain):
                if c in self.most:
                    out.write(f" UP B {c} {float(self.most[c])!r}\n")
                else:
                    out.write(f" PL B {c}\n")
            out.write("ENDATA\n")


class Way:
    """One way of a need: the thing, how much of it, and which stems will do."""
    def __init__(self, farm, line):
        self.item, n = thing_of(farm, line.split(",")[0])
        self.count, one = n, re.search(r", one colour of (.*?)(?:, from|$)", line)
        any_of = re.search(r", colour (.*?)(?:, from|$)", line)
        self.one = one is not None
        text = one.group(1).replace(", ", " or ") if one else any_of.group(1) if any_of else ""
        self.colours = [c.strip() for c in text.split(" or ")] if text else []
        length = re.search(rf", from ({QTY}) (\w+)(?: to ({QTY}) (\w+))?", line)
        self.least = self.most = None
        if length:
            self.least = float(qty(length.group(1)) * UNITS[length.group(2)][1] * 100)
            if length.group(3):
                self.most = float(qty(length.group(3)) * UNITS[length.group(4)][1] * 100)

    def takes(self, c, colour):
        if c.crop is not self.item or (self.colours and c.colour not in self.colours):
            return False
        if colour is not None and c.colour != colour:
            return False
        if self.least is not None and (c.length is None or c.length < self.least - 1e-3):
            return False
        return self.most is None or c.length <= self.most + 1e-3


def thing_of(farm, text):
    n, rest = find(r"^# (.*)", text)
    unit, _, name = rest.partition(" ")
    item = farm.items.get(fold(name))
    f = factor(item, unit) if item else None
    return (farm.items[fold(rest)], n) if f is None else (item, n * f)


def needs_of(farm, b):
    needs = []
    for word, rest in b.lines:
        if word == "needs":
            needs.append([Way(farm, rest)])
        elif word == "or":
            needs[-1].append(Way(farm, rest))
    return needs


def tasks_of(b):
    """Minutes, and the size of a batch or None."""
    for line in b.all("takes"):
        n, unit = find(r"^# (s|min|h)\b", line)
        yield float(n * UNITS[unit][1]), find(r"for each batch of up to #", line)


class Class:
    """Stems that can stand for each other, added up before they are floored."""
    def __init__(self, box):
        self.crop, self.colour, self.length, self.boxed = box.item, box.colour, box.length, box.boxed
        self.counted, self.worth = 0.0, 0.0

    def keeps_on(self, when):
        most = find(r"^# months", self.crop.get("keeps"))
        return most is None or months(self.boxed, when) <= most


def classes_of(farm, on):
    found = {}
    for box in stock(farm, on):
        c = found.setdefault((box.item.name, box.colour, box.length, f"{box.boxed:%Y-%m}"), Class(box))
        c.boxed = min(c.boxed, box.boxed)
        c.counted, c.worth = c.counted + box.count, c.worth + box.worth
    return [c for c in found.values() if c.keeps_on(on)]


class Plain:
    def __init__(self, folder, on, own_labour=False, no_buying=False, stall_hours=False):
        self.farm, self.on, self.no_buying, self.stall_hours = Farm(folder), on, no_buying, stall_hours
        self.wage = 0.0 if own_labour else float(per_hour(self.farm)[0]) / 60  # a minute
        self.p, self.n, self.hours = Program(), 0, defaultdict(float)
        self.classes = classes_of(self.farm, on)
        self.use = defaultdict(dict)       # (class, day) -> columns that take a stem of it
        self.parts = defaultdict(dict)     # (part, day) -> columns that take of it
        self.supplies = defaultdict(dict)
        self.shelf = defaultdict(float)
        for row in self.farm.table("stock"):
            item = self.farm.items[fold(row["what"])]
            if item.kind != "crop":
                unit = row.get("unit") or base_of(item)
                self.shelf[item.name] += float(F(row["count"]) * factor(item, unit))
        self.until = day((re.findall(r"until (\S+)", self.farm.business.get("bench")) or [None])[0])
        self.lay_orders()
        self.stalls, self.sales = {}, {}   # columns, by outlet and by piece and outlet
        for piece in self.farm.of("piece"):
            self.lay_piece(piece)
        for part in reversed(self.farm.of("part")):
            self.lay_part(part)
        self.lay_stems()
        self.lay_supplies()
        bench = find(r"# h\b", self.farm.business.get("bench"))
        if bench is not None:
            self.p.row(self.hours, None, float(bench) * 60 - self.hours_of_orders)

    def name(self, stem):
        self.n += 1
        return f"{stem}{self.n}"

    # ---- money ----

    def one(self, piece, outlet, paid):
        """What one that arrives leaves, and its minutes of packing."""
        packs, fee, sends = piece.get("packs"), outlet.get("fee"), outlet.get("sends")
        packing = find(r"(?:^|, )# (min|s)\b", packs)
        packing = float(packing[0] * UNITS[packing[1]][1]) if packing else 0.0
        t = float(find(r"#%", piece.get("tax") or outlet.get("tax"), F(0)) / 100)
        orders = float(find(r"#", outlet.get("orders"), F(1)))
        charged = float(find(r"charges # per order", sends, 0)) / orders
        base = (paid + charged) / (1 + t) if "of net" in fee else paid + charged
        fees = float(find(r"#%", fee, F(0)) / 100) * base + float(find(r"plus # per order", fee, 0)) / orders
        left = (paid + charged) / (1 + t) - fees - float(find(r"carton #", packs, 0)) - packing * self.wage
        return left - float(sending_of(piece, outlet, F(orders))), packing

    def sells(self, piece):
        for line in piece.all("sells"):
            outlet = self.farm.outlets[fold(re.split(r" at |,", line)[0])]
            yield outlet, float(find(r" at #", line)), find(r"likely #", line), find(r"up to #", line)

    # ---- orders ----

    def lay_orders(self):
        self.fixed, self.finished, self.hours_of_orders = defaultdict(int), {}, 0.0
        todo = []
        for row in self.farm.table("orders"):
            if not row.get("sent"):
                due = max(day(row["due"]) or self.on, self.on)
                todo.append((due, row))
        self.days = sorted({self.on} | {due for due, _ in todo})
        for piece in self.farm.of("piece"):
            self.finished[piece.name] = int(self.shelf[piece.name] + SAFE)
        for due, row in sorted(todo, key=lambda entry: entry[0]):
            piece, count = self.farm.items[fold(row["piece"])], int(row["count"])
            first = next(self.sells(piece))
            outlet, paid = first[0], first[1]
            if row.get("outlet"):
                outlet = self.farm.outlets[fold(row["outlet"])]
                paid = next((at for where, at, _, _ in self.sells(piece) if where is outlet), None)
            left, _ = self.one(piece, outlet, float(row["price"]) if row.get("price") else paid)
            self.p.constant += count * left
            use = min(count, self.finished[piece.name])
            self.finished[piece.name] -= use
            if self.in_time(due):
                self.hours_of_orders += use * self.one(piece, *list(self.sells(piece))[0][:2])[1]
            self.fixed[piece.name, due] += count - use

    def in_time(self, when):
        return when == self.on or self.until is None or when <= self.until

    # ---- what is made ----

    def lay_piece(self, piece):
        sold = []
        for outlet, paid, likely, upto in self.sells(piece):
            each, packing = self.one(piece, outlet, paid)
            each *= float(1 - find(r"#%", outlet.get("spoils"), F(0)) / 100)
            n = self.p.column(self.name("n"), 0)
            self.sales[piece.name, outlet.name] = n
            sold.append(n)
            self.hours[n] += packing
            self.lay_sales(n, outlet, each, likely, upto)
        for when in self.days:
            fixed = self.fixed[piece.name, when]
            if when != self.on and fixed == 0:
                continue
            made = self.p.column(self.name("made"), 0, None if when == self.on else fixed)
            if when == self.on:
                self.p.row({made: 1, **{n: -1 for n in sold}}, fixed - self.finished[piece.name], None)
            self.p.row({made: 1}, fixed, None)
            if self.in_time(when):
                self.hours_of_orders += fixed * self.one(piece, *list(self.sells(piece))[0][:2])[1]
            self.lay_maker(piece, made, when)

    def lay_sales(self, n, outlet, each, likely, upto):
        likely, upto = (int(x) if x is not None else None for x in (likely, upto))
        if likely is None and upto is None:
            self.p.gain[n] = each
            return
        likely = upto if likely is None else likely
        upto = max(likely, upto) if upto is not None else likely
        days, count = self.days_at(outlet)
        steps, most = {n: -1}, {n: 1}
        for k in range(upto - likely + 1):
            width = likely if k == 0 else 1
            chance = (upto - likely + 1 - k) / (upto - likely + 1)
            c = self.p.column(self.name("s"), each * chance, width, whole_=False)
            steps[c] = 1
            if days:
                self.p.row({c: 1, days: -width / count}, None, 0)
        self.p.row(steps, 0, 0)
        if days:
            self.p.row({**most, days: -upto / count}, None, 0)

    def days_at(self, outlet):
        stall = outlet.get("stall")
        if not stall:
            return None, 0
        count = int(find(r"# days", stall, F(0)))
        if outlet.name not in self.stalls:
            hours = float(find(r"# h\b", stall, 0)) * 60
            km, rate = find(r"travel # km at #", stall, [0, 0])
            money = float(find(r"^#", stall)) + float(km * rate) + hours * self.wage
            c = self.p.column(self.name("days"), -money, count)
            self.stalls[outlet.name] = c
            if self.stall_hours:
                self.hours[c] = hours
        return self.stalls[outlet.name], count

    def lay_maker(self, b, made, when):
        for minutes, batch in tasks_of(b):
            c = made
            if batch is not None:
                c = self.p.column(self.name("batch"), 0)
                self.p.row({c: float(batch), made: -1}, 0, None)
            self.p.gain[c] -= minutes * self.wage
            if self.in_time(when):
                self.hours[c] += minutes
        for need in needs_of(self.farm, b):
            ways = {made: -1}
            for way in need:
                colours = way.colours or sorted({c.colour for c in self.classes if c.colour})
                for colour in colours if way.one else [None]:
                    c = self.p.column(self.name("way"), 0)
                    ways[c] = 1
                    self.lay_way(way, colour, c, when)
            self.p.row(ways, 0, 0)

    def lay_way(self, way, colour, c, when):
        item = way.item
        if item.kind == "supply":
            self.supplies[item.name][c] = float(way.count) + self.supplies[item.name].get(c, 0)
        elif item.kind == "part":
            self.parts[item.name, when][c] = float(way.count)
        else:
            drawn = self.p.column(self.name("drawn"), 0)
            allowance = way.count / (1 - loss(item, "bench"))
            self.p.row({drawn: allowance.denominator, c: -allowance.numerator}, 0, None)
            flows = {drawn: -1}
            for i, k in enumerate(self.classes):
                if way.takes(k, colour) and k.keeps_on(when):
                    flow = self.p.column(self.name("flow"), 0, whole_=False)
                    flows[flow] = 1
                    self.use[i, when][flow] = 1
            self.p.row(flows, 0, None)

    def lay_part(self, part):
        """Parts come after what they go into: a part is made of parts above it in the file."""
        makes = find(r"^#", part.get("makes"), F(1))
        before = {}
        for when in self.days:
            made = self.p.column(self.name("part"), 0)
            gross = self.parts[part.name, when]
            before[made] = float(makes)
            for c, n in gross.items():
                before[c] = before.get(c, 0) - n
            self.p.row(before, -whole(self.shelf[part.name]), None)
            if makes.denominator == 1 and all(n == int(n) for n in gross.values()):
                over = {made: float(makes), **{c: -n for c, n in gross.items()}}
                self.p.row(over, None, float(makes) - 1)
            self.lay_maker(part, made, when)

    # ---- what there is ----

    def lay_stems(self):
        aside = defaultdict(dict)
        for i, k in enumerate(self.classes):
            then = next_year(self.on)
            carries = float(find(r"#", k.crop.get("carries"), 0)) if k.keeps_on(then) else 0.0
            share = k.worth / k.counted if k.counted else 0.0
            mine = {}
            for when in self.days:
                flows = self.use[i, when]
                if not flows:
                    continue
                z = self.p.column(self.name("aside"), 0)
                used = self.p.column(self.name("used"), -carries)
                self.p.row({**flows, used: -1}, 0, 0)
                self.p.row({used: 1, z: -(share * kept(k.crop, self.on, when) + SAFE)}, None, SAFE)
                mine[z] = aside[k.crop.name][z] = 1
            self.p.row(mine, None, whole(k.counted))
        for crop in self.farm.of("crop"):
            keep = find(r"#", crop.get("reserve"))
            if keep is not None:
                all_ = sum(whole(k.counted) for k in self.classes if k.crop is crop)
                self.p.row(aside[crop.name], None, max(all_ - math.ceil(keep), 0))

    def lay_supplies(self):
        counted = {fold(row["what"]) for row in self.farm.table("stock")}
        for supply in self.farm.of("supply"):
            uses = self.supplies[supply.name]
            amount, per, unit = find(rf"# per (?:({QTY}) )?(\S+)", supply.get("costs"),
                                     [F(0), F(1), "each"])
            price = float(amount / (per or 1) / factor(supply, unit))
            if self.no_buying:
                if fold(supply.name) in counted:
                    self.p.row(uses, None, self.shelf[supply.name])
                continue
            buy = self.p.column(self.name("buy"), -price, whole_=False)
            self.p.row({**uses, buy: -1}, None, self.shelf[supply.name])


def next_year(on):
    return datetime.date(on.year + 1, on.month, on.day)

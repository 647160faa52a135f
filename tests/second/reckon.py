"""Reckons whole farms a second time and compares with what the program says.

Written from docs/reckoning.md and docs/notation.md alone, in exact fractions as far
as they go, and sharing no code with the program: stems by class, cost of stems,
parts and pieces, aims, price points, what is left, earnings per hour.  It reads as
much of the notation as its farms use and trusts them to be free of errors.
"""
import csv
import datetime
import glob
import itertools
import json
import math
import re
import subprocess
import sys
from fractions import Fraction as F

FARMS = [("tests/farms/every-rule", "2026-11-10"), ("tests/farms/every-rule", "2027-01-15"),
         ("tests/farms/gaps", "2026-11-20"),
         ("tests/farms/single", "2026-11-20"), ("tests/farms/full", "2026-11-10"), ("recipes-demo", "2026-11-10"),
         ("recipes-demo", "2026-12-01"), ("tests/farms/seasons", "2026-11-20")]
UNITS = {"mm": ("m", F(1, 1000)), "cm": ("m", F(1, 100)), "m": ("m", F(1)), "km": ("m", F(1000)),
         "in": ("m", F(254, 10000)), "g": ("g", F(1)), "kg": ("g", F(1000)),
         "s": ("min", F(1, 60)), "min": ("min", F(1)), "h": ("min", F(60))}
QTY = r"(?:\d+ \d+/\d+|\d+/\d+|\d*\.?\d+)"


# ---- the notation ----

def qty(text):
    return sum((F(word) for word in text.split()), F(0))


def find(pattern, text, default=None):
    """The quantities that a pattern holds; `#` in it stands for one."""
    m = re.search(pattern.replace("#", f"({QTY})"), text or "")
    if not m:
        return default
    got = [qty(g) if g and re.fullmatch(QTY, g) else g for g in m.groups()]
    return got[0] if len(got) == 1 else got


def fold(name):
    return " ".join(name.split()).casefold()


class Block:
    def __init__(self, kind, name):
        self.kind, self.name, self.lines = kind, name, []
        self.measured = {}  # from box to use: rates that records have moved

    def all(self, word):
        return [rest for w, rest in self.lines if w == word]

    def get(self, word):
        return (self.all(word) or [""])[0]


class Farm:
    def __init__(self, folder):
        self.blocks, self.items, self.outlets, self.folder = [], {}, {}, folder
        for path in sorted(glob.glob(folder + "/**/*.txt", recursive=True)):
            if not path.endswith("README.txt"):
                self.read(path)
        for b in (b for b in self.blocks if b.kind not in ("farm", "target")):
            names = self.outlets if b.kind == "outlet" else self.items
            for name in [b.name] + [n for line in b.all("also") for n in line.split(",")]:
                names[fold(name)] = b
        self.business = next((b for b in self.blocks if b.kind == "farm"), Block("farm", ""))

    def read(self, path):
        for line in open(path, encoding="utf-8"):
            line = re.sub(r"(^|\s)#(\s.*)?$", "", "" if line.startswith("#") else line).rstrip()
            word, _, rest = line.strip().partition(" ")
            if line and line[0] not in " \t":
                self.blocks.append(Block(word.lower(), rest.strip()))
            elif word:
                self.blocks[-1].lines.append((word.lower(), " ".join(rest.split())))

    def of(self, kind):
        return [b for b in self.blocks if b.kind == kind]

    def table(self, name):
        try:
            return list(csv.DictReader(open(f"{self.folder}/{name}.csv", encoding="utf-8")))
        except FileNotFoundError:
            return []


def singular(word):
    return {"bunches": "bunch"}.get(word, word[:-1] if word in ("stems", "heads", "sprigs") else word)


def base_of(b):
    if b.kind == "crop":
        return "stem"
    text = find(rf"{QTY} per (?:{QTY} )?(\S+)", b.get("costs")) if b.kind == "supply" else \
        find(rf"{QTY} (\S+)", b.get("makes"))
    return text or "each"


def factor(b, unit, base=None, seen=()):
    """How many of its base one such unit of the thing is."""
    base, unit = base or base_of(b), singular(unit)
    if unit == base:
        return F(1)
    if unit in UNITS and base in UNITS and UNITS[unit][0] == UNITS[base][0]:
        return UNITS[unit][1] / UNITS[base][1]
    says = [(w, *find(r"^# (\S+)", line)) for w in ("stem", "head", "sprig", "bunch", "each")
            for line in b.all(w)]
    says += [(word, n, u) for n, u, word in (find(r"^# (\S+) an? (\S+)", c) for c in b.all("calls"))]
    for word, n, of in says:
        for one, many, rate in ((word, singular(of), n), (singular(of), word, 1 / n)):
            near = unit == one or unit in UNITS and one in UNITS and UNITS[unit][0] == UNITS[one][0]
            if near and (one, many) not in seen:
                step = F(1) if unit == one else UNITS[unit][1] / UNITS[one][1]
                rest = factor(b, many, base, seen + ((one, many), (many, one)))
                if rest is not None:
                    return step * rate * rest
    return None


# ---- stock ----

def day(text):
    return datetime.date.fromisoformat(text) if text else None


def months(a, b):
    return max((b - a).days, 0) / (365.25 / 12) if a and b else 0


def loss(crop, stage):
    if stage in crop.measured:
        return crop.measured[stage]
    return find(rf"#% {stage}", crop.get("loses"), F(0)) / 100


def kept(crop, a, b):
    return float(1 - loss(crop, "storage")) ** months(a, b)


def whole(x):
    return math.floor(x + min(1e-9 * max(1, x), 1e-3))


class Box:
    def __init__(self, farm, row):
        self.item = farm.items[fold(row["what"])]
        unit = row.get("unit") or base_of(self.item)
        f = factor(self.item, unit)
        self.id, self.unit_factor, self.colour = row.get("box"), f, row.get("colour") or None
        length = find(r"^#(?: (\w+))?$", row.get("length"))
        self.length = length and float(length[0] * UNITS[length[1] or "cm"][1] * 100)
        self.boxed, self.counted = day(row.get("boxed")), day(row.get("counted") or row.get("boxed"))
        self.price = F(row["price"]) / f if row.get("price") else None
        self.count = self.worth = float(F(row["count"]) * f)

    def set(self, count, when, on):
        self.last, self.count, self.worth = when, count, count * kept(self.item, when, on)

    def move(self, stems, when, on):
        self.count = max(self.count + stems, 0)
        self.worth = min(max(self.worth + stems * kept(self.item, when, on), 0), self.count)


def stock(farm, on):
    boxes = [b for b in (Box(farm, row) for row in farm.table("stock")) if b.item.kind == "crop"]
    for b in boxes:
        b.set(b.count, b.counted, on)
    log, by_id = farm.table("bench"), {b.id: b for b in boxes if b.id}
    struck = set()
    for e in reversed(log):
        if e["event"] == "struck" and e["id"] not in struck:
            struck.add(e["strikes"])
    for e in sorted(log, key=lambda e: e["on"]):
        when, box = day(e["on"]), by_id.get(e["box"])
        if e["id"] in struck or when > on:
            continue
        for part in filter(None, e["drawn"].split(";")):
            name, n = part.rsplit(None, 1)
            drawn = by_id[name.strip()]
            if when > drawn.counted:
                drawn.move(-float(n), when, on)
        if not box and e["event"] == "boxed" and e["box"]:
            box = Box(farm, {"what": e["what"], "count": "0", "box": e["box"], "boxed": e["on"]})
            box.set(0.0, when, on)
            boxes.append(box)
            by_id[box.id] = box
        elif not box or when <= box.counted:
            continue
        n = float(F(e["count"]) * factor(box.item, e["unit"] or "stem"))
        if e["event"] == "counted":
            box.set(n, when, on)
        elif e["event"] in ("boxed", "tossed", "sold"):
            box.move(n if e["event"] == "boxed" else -n, when, on)
    for b in boxes:
        keeps = find(r"^# months", b.item.get("keeps"))
        b.past = keeps is not None and months(b.boxed, on) > keeps
    return boxes


# ---- stems ----

def per_hour(farm):
    wage, plus = find(r"#", farm.business.get("wage"), F(0)), find(r"plus #%", farm.business.get("wage"), F(0))
    year, hours = find(r"# per year over #", farm.business.get("overhead"), [F(0), F(1)])
    return wage * (1 + plus / 100), year / hours


def work_hours(crop, work, stems, bundles, boxes):
    clauses = [c.strip() for c in re.split("[,;]", crop.get("works"))]
    for i, c in enumerate(clauses):
        if c.split(" ")[0] != work:
            continue
        n = qty(c.split()[1])
        how = next(x for x in clauses[i:] if " per " in x)
        thing = re.search(r"stem|bundle|box(?= per|$)|(?<=per )box", how.split(" ", 1)[1]).group(0)
        count = {"stem": stems, "bundle": bundles, "box": boxes}[thing]
        unit = find(rf"{QTY} (s|min|h) per", how)
        return count * n * UNITS[unit][1] / 60 if unit else count / n
    return F(0)


def cost_bed(farm, row):
    """What a boxed stem of the bed cost and how many the loses line lets expect."""
    def cell(name):
        return F(row[name]) if row.get(name) else None
    wage, crop = per_hour(farm)[0], farm.items[fold(row["crop"])]
    cut, fresh = cell("cut"), cell("fresh") or F(0)
    to_hang = cut - fresh
    hung = to_hang * (1 - loss(crop, "field"))
    normal = hung * (1 - loss(crop, "drying"))
    bundle, box = find(r"# stem per bundle", crop.get("hangs")), find(r"# stem per box", crop.get("boxes"))

    def counts(n, into=normal):
        return n, n / bundle if bundle else F(0), into / box if box else F(0)
    hours = cell("cut hours")
    if hours is None:
        hours = work_hours(crop, "cut", cut, cut / bundle if bundle else F(0), cut / box if box else F(0))
    joint = (cell("money") or 0) + (cell("hours") or 0) * wage + hours * wage \
        + find(r"#", farm.business.get("growing"), F(0)) * (cell("metres") or 0) \
        + (cell("establishment") or 0) / (cell("bears") or 1)
    hours = cell("dry hours")
    if hours is None:
        hours = work_hours(crop, "strip", *counts(to_hang)) + work_hours(crop, "bundle", *counts(hung)) \
            + work_hours(crop, "hang", *counts(hung)) \
            + work_hours(crop, "box", normal, *counts(hung)[1:])
    drying = hours * wage + counts(hung)[1] * find(r"# per bundle", crop.get("spends"), F(0)) \
        + counts(hung)[2] * find(r"# per box", crop.get("spends"), F(0))
    price = {how: find(rf"# per stem {how}", crop.get("worth")) for how in ("fresh", "to hang", "dried")}
    first, second = fresh, to_hang
    rule = farm.business.get("share") or "by stems"
    if rule == "by fresh price" and price["fresh"] is not None:
        first = fresh * price["fresh"]
        second = to_hang * (price["fresh"] if price["to hang"] is None else price["to hang"])
    if rule == "by dried price" and None not in (price["fresh"], price["dried"]):
        first, second = fresh * price["fresh"], max(normal * price["dried"] - drying, F(0))
    if cut == 0:
        return drying, normal
    if fresh == 0 or to_hang == 0:
        first, second = F(fresh > 0), F(to_hang > 0)
    return joint * second / (first + second) + drying, normal


def stem_costs(farm, boxes, on):
    """For each crop: of a stem as boxed, of a usable one; NaN when nothing is known."""
    costs = {}
    for crop in farm.of("crop"):
        beds = [cost_bed(farm, r) for r in farm.table("beds") if farm.items[fold(r["crop"])] is crop]
        money, stems = sum(b[0] for b in beds if b[1]), sum(b[1] for b in beds)
        line = find(rf"# per (?:{QTY} )?(\S+)", crop.get("costs") or crop.get("buys"))
        grown = money / stems if stems else line[0] / factor(crop, line[1]) if line else None
        boxed = usable = paid = 0.0
        for b in boxes:
            each = grown if b.price is None else b.price
            if b.item is crop and not b.past and b.worth > 0 and each is not None:
                went_in = b.worth / kept(crop, b.boxed or b.last, on)
                boxed, paid = boxed + went_in, paid + went_in * float(each)
                usable += b.worth * float(1 - loss(crop, "bench"))
        if usable:
            costs[crop] = paid / boxed, paid / usable
        elif grown is not None:
            costs[crop] = float(grown), float(grown / (1 - loss(crop, "bench")))
        else:
            costs[crop] = math.nan, math.nan
    return costs


# ---- pieces ----

def needs_of(farm, b):
    """Each need's first way: the thing and how much of its base."""
    for line in b.all("needs"):
        n, rest = find(r"^# (.*)", line.split(",")[0])
        unit, _, name = rest.partition(" ")
        item = farm.items.get(fold(name))
        f = factor(item, unit) if item else None
        if f is None:
            item, f = farm.items[fold(rest)], F(1)
        yield item, n * f


def cost_of(farm, b, stems, memo):
    """stems, supplies, labour, overhead and minutes of one (of its base)."""
    if b in memo:
        return memo[b]
    wage, overhead = per_hour(farm)
    money, minutes, supplies = 0.0, F(0), 0.0
    for line in b.all("takes"):
        n, unit = find(r"^# (s|min|h)\b", line)
        minutes += n * UNITS[unit][1] / find(r"for each batch of up to #", line, F(1))
    for item, n in needs_of(farm, b):
        if item.kind == "crop":
            money += float(n) * (0 if math.isnan(stems[item][1]) else stems[item][1])
        elif item.kind == "supply":
            amount, per, unit = find(rf"# per (?:({QTY}) )?(\S+)", item.get("costs"), [F(0), F(1), "each"])
            supplies += float(n * amount / (per or 1) / factor(item, unit))
        else:
            part = cost_of(farm, item, stems, memo)
            money, supplies = money + float(n) * part[0], supplies + float(n) * part[1]
            minutes += n * part[4]
    makes = find(r"^# (?:\S+)", b.get("makes"), F(1))
    minutes /= makes
    memo[b] = (money / float(makes), supplies / float(makes), float(minutes / 60 * wage),
               float(minutes / 60 * overhead), minutes)
    return memo[b]


# ---- prices ----

def point_of(tag, outlet, digits):
    """The tag at the next price point, in minor units."""
    ends = re.findall(rf"(?:in|or) ({QTY})", outlet.get("prices"))
    unit = 10 ** digits
    up = math.ceil(tag * unit - min(1e-9 * max(1, tag * unit), 1e-3))
    if not ends:
        return up
    points = sorted(n * unit + int(F(e) * unit) for e in ends for n in range(int(tag) + 3))
    above = next(p for p in points if p >= up)
    below = [p for p in points if 0 < p <= tag * unit + 1e-9]
    if "nearest" in outlet.get("prices") and below and tag * unit - below[-1] < above - tag * unit:
        return below[-1]
    return above


def sending_of(piece, outlet, orders):
    """Sending cost of a piece: one parcel where the order fits, else each by itself."""
    steps = sorted((g * UNITS[u][1], money) for money, g, u in
                   ((qty(a), qty(b), u) for a, b, u in
                    re.findall(rf"({QTY}) up to ({QTY}) (kg|g)", outlet.get("sends"))))
    packs = piece.get("packs")
    weight = find(r"(?:^|, )# (kg|g)", packs)
    grams = weight[0] * UNITS[weight[1]][1] if weight else F(0)
    size, divisor = find(r"# x # x # cm", packs), find(r"volume divisor #", outlet.get("sends"))
    if size and divisor:
        grams = max(grams, size[0] * size[1] * size[2] / divisor * 1000)
    if not steps:
        return F(0)
    together = [money for upto, money in steps if grams * orders <= upto]
    alone = [money for upto, money in steps if grams <= upto] or [steps[-1][1]]
    return together[0] / orders if together else alone[0]


def stall_pieces(farm, outlet):
    days = find(r"# days", outlet.get("stall"))
    sold = F(0)
    for piece in farm.of("piece"):
        for line in piece.all("sells"):
            if farm.outlets[fold(re.split(r" at |,", line)[0])] is outlet:
                sold += find(r"likely #", line, find(r"up to #", line, F(0)))
    return sold / days if days else F(0)


def price(farm, piece, outlet, asked, counted, made, digits):
    wage, overhead = (float(x) for x in per_hour(farm))
    stems, supplies, labour, bench, minutes = made
    packs, fee, sends = piece.get("packs"), outlet.get("fee"), outlet.get("sends")
    packing = find(r"(?:^|, )# (min|s)\b", packs)
    packing = float(packing[0] * UNITS[packing[1]][1]) / 60 if packing else 0
    carton = float(find(r"carton #", packs, 0))
    tax_line = piece.get("tax") or outlet.get("tax")
    t, on_top = float(find(r"#%", tax_line, F(0)) / 100), "on top" in tax_line
    e, orders = float(find(r"#%", fee, F(0)) / 100), find(r"#", outlet.get("orders"), F(1))
    fixed = float(find(r"plus # per order", fee, 0) / orders)
    z = float(find(r"charges # per order", sends, 0) / orders)
    survive = float(1 - find(r"#%", outlet.get("spoils"), F(0)) / 100)
    sent = float(sending_of(piece, outlet, orders))
    c = (stems + supplies + labour + bench) / survive + packing * (wage + overhead) + carton + sent
    share, on_z = (e, e * z / (1 + t)) if "of net" in fee else (e * (1 + t), e * z)
    rule, got = outlet.get("aim"), dict.fromkeys(("aim", "point", "tag", "left", "margin", "per_hour"))
    left = 1 - share
    if "margin" in rule:
        wanted, left = c, left - float(find(r"margin #%", rule) / 100)
    elif "markup" in rule:
        wanted = c * (1 + float(find(r"markup #%", rule) / 100))
    else:
        x = float(find(r"flowers x #", rule, 0)) * stems \
            + float(find(r"supplies x #", rule, 0)) * (supplies + carton)
        hands = float(find(r"labour #%", rule, F(0)) / 100)
        wanted = sent + (x * (1 + hands) if "on top" in rule else x / (1 - hands))
    if rule and left > 0:
        p = max((wanted + fixed + on_z - z / (1 + t)) / left, 0)
        got["aim"] = p * (1 + t)
        got["tag"] = point_of(p if on_top else p * (1 + t), outlet, digits) / 10 ** digits
        got["point"] = got["tag"] * (1 + t) if on_top else got["tag"]
    paid = asked if asked is not None else got["point"]
    if paid is None:
        return got
    net = paid / (1 + t)
    got["left"] = net + z / (1 + t) - share * net - on_z - fixed - c
    got["margin"] = got["left"] / net if net else None
    stall = outlet.get("stall")
    day_money = float(find(r"^#", stall, 0) + find(r"travel # km at #", stall, [0, 0])[0]
                      * find(r"travel # km at #", stall, [0, 0])[1])
    a_day = float(counted and stall_pieces(farm, outlet)) or math.inf
    hours = float(minutes) / 60 / survive + packing + float(find(r"# h\b", stall, 0)) / a_day
    if hours:
        own = labour / survive + packing * wage
        got["per_hour"] = (got["left"] + own - day_money / a_day) / hours
    return got


# ---- comparing ----

class Count:
    passed = failed = 0

    def same(self, where, said, want):
        if isinstance(want, float) and math.isnan(want):
            want = None
        equal = said == want
        if isinstance(said, (int, float)) and isinstance(want, (int, float)):
            equal = abs(said - want) <= 1e-9 * max(1, abs(want))
        self.passed, self.failed = self.passed + equal, self.failed + (not equal)
        if not equal:
            print(f"{where}: the program says {said}, reckoned again {want}")


def measured(farm, tables):
    """Rates in use from box to use, where they are not those of the `loses` line.  How they are
    measured is not reckoned again here."""
    for row in tables["used"]:
        for stage in ("storage", "bench"):
            if (row[stage + "_from"] or "").startswith("records"):
                farm.items[fold(row["crop"])].measured[stage] = F(repr(row[stage]))


def ask(thrave, command, folder, on, more=()):
    out = subprocess.run([thrave, command, folder, "--on", on, "--json", *more], capture_output=True,
                         text=True, check=True, timeout=60).stdout
    return json.loads(out)


def compare_stock(n, farm, boxes, said, where):
    want = {}
    for b in boxes:
        if b.count > 0:
            key = (b.item.name, b.colour, b.length, b.boxed and f"{b.boxed:%Y-%m}", b.past)
            got = want.setdefault(key, [0, 0, 0])
            got[0], got[1], got[2] = got[0] + 1, got[1] + b.count, got[2] + b.worth
    n.same(f"{where}: classes", len(said), len(want))
    for row in said:
        for past in (False, True):
            key = (row["crop"], row["colour"], row["length"], row["boxed"], past)
            if key in want and (row["past"] > 0) == past:
                count, books, worth = want[key]
                name = f"{where}: {key}"
                n.same(f"{name} boxes", row["boxes"], count)
                n.same(f"{name} counted", row["counted"], whole(books))
                n.same(f"{name} good", row["past"] if past else row["good"], whole(worth))


def compare_costs(n, farm, stems, memo, said, where):
    for row in said["stems"]:
        want = stems[farm.items[fold(row["crop"])]]
        n.same(f"{where}: {row['crop']} boxed", row["per_boxed"], want[0])
        n.same(f"{where}: {row['crop']} usable", row["per_usable"], want[1])
    for row in said["pieces"] + said.get("parts", []):
        name = row.get("piece") or row["part"]
        want = cost_of(farm, farm.items[fold(name)], stems, memo)
        for key, value in zip(("stems", "supplies", "labour", "overhead", "minutes", "total"),
                              want[:4] + (float(want[4]), sum(want[:4]))):
            n.same(f"{where}: {name} {key}", row[key], value)


def compare_prices(n, farm, memo, said, digits, where):
    for row in said:
        piece, outlet = farm.items[fold(row["piece"])], farm.outlets[fold(row["outlet"])]
        asked, counted = None, False
        for line in piece.all("sells"):
            if farm.outlets[fold(re.split(r" at |,", line)[0])] is outlet:
                asked = find(r" at #", line)
                counted = "likely" in line or "up to" in line
        want = price(farm, piece, outlet, None if asked is None else float(asked), counted,
                     memo[piece], digits)
        for key, value in want.items():
            n.same(f"{where}: {row['piece']} at {row['outlet']} {key}", row[key], value)


def main():
    thrave, n = sys.argv[1], Count()
    for (folder, on), more in itertools.product(FARMS, (["--assumed"], [])):
        farm, where, memo = Farm(folder), f"{folder} on {on} {' '.join(more)}", {}
        if not more:
            measured(farm, ask(thrave, "loss", folder, on)["tables"])
        boxes = stock(farm, day(on))
        stems = stem_costs(farm, boxes, day(on))
        compare_stock(n, farm, boxes, ask(thrave, "stock", folder, on, more)["tables"].get("stems", []), where)
        compare_costs(n, farm, stems, memo, ask(thrave, "cost", folder, on, more)["tables"], where)
        said = ask(thrave, "price", folder, on, more)
        compare_prices(n, farm, memo, said["tables"]["prices"], said["currency_digits"], where)
    print(f"{n.passed} passed, {n.failed} failed")
    return 1 if n.failed or not n.passed else 0


if __name__ == "__main__":
    sys.exit(main())

"""Small farms made up from a seed: each takes its own way through the notation, so that
fifty of them meet mixtures that nobody thought of.  Few boxes and pieces, so that what is
solved takes no time.  The same seed gives the same farm, whatever the Python.

usage: made_up.py SEED FOLDER          SEED: a number, "texts", or "large PIECES BOXES"
"""
import datetime
import os
import random
import sys

DATE = "2026-11-14"
CROPS = ["Strawflower", "Statice", "Sea lavender", "Lavender", "Poppy pods", "Bearded wheat", "Lunaria"]
COLOURS = ["rust", "gold", "white"]
OUTLETS = ["market", "online", "shop"]


class Draw:
    """random.random() alone is the same in every Python; the rest is made of it."""

    def __init__(self, seed):
        self.next = random.Random(seed).random

    def often(self, share):
        return self.next() < share

    def whole(self, low, high):
        return low + int(self.next() * (high - low + 1))

    def real(self, low, high, places):
        return ("%.*f" % (places, low + self.next() * (high - low))).rstrip("0").rstrip(".")

    def one(self, of):
        return of[self.whole(0, len(of) - 1)]

    def some(self, of, least):
        left, out = list(of), []
        for _ in range(self.whole(least, len(of))):
            out.append(left.pop(self.whole(0, len(left) - 1)))
        return sorted(out, key=list(of).index)

    def day(self, first, days):
        return (datetime.date.fromisoformat(first) + datetime.timedelta(self.whole(0, days))).isoformat()


class Farm:
    def __init__(self, seed):
        self.d = Draw(seed)
        self.lines, self.tables = [], {}
        self.crops = self.d.some(CROPS, 2)[:5]
        self.supplies = ["Ring", "Wire", "Paper"][:self.d.whole(1, 3)]
        self.parts, self.pieces, self.sold = [], [], []
        self.outlets = self.d.some(OUTLETS, 1)
        self.beds, self.grown, self.coloured = [], [], []
        self.own(seed)
        self.goods()
        for n in range(self.d.whole(1, 3)):
            self.piece("Piece %d" % (n + 1))
        self.targets()
        self.stock()
        self.bed_table()
        self.orders()
        self.bench()
        self.batches()

    def goods(self, parts=None):
        for c in self.crops:
            self.crop(c)
        for s in self.supplies:
            self.supply(s)
        for o in self.outlets:
            self.outlet(o)
        for n in range(self.d.whole(0, 2) if parts is None else parts):
            self.part("Part %d" % (n + 1))

    def say(self, text):
        self.lines.append(text)

    def maybe(self, share, text):
        if self.d.often(share):
            self.say("  " + text)

    def own(self, seed):
        d = self.d
        self.say("farm Made up %d" % seed)
        self.say("  currency " + d.one(["EUR", "EUR", "GBP", "JPY"]))
        self.maybe(0.9, "wage %s per h%s" % (d.real(11, 22, 2), d.one(["", ", plus %s%%" % d.real(5, 30, 1)])))
        self.maybe(0.7, "overhead %d per year over %d h at the bench" % (d.whole(300, 4000), d.whole(150, 900)))
        self.maybe(0.6, "growing %s per m of bed" % d.real(0.5, 4, 2))
        self.maybe(0.5, "bench %d h until 2026-12-%d" % (d.whole(20, 120), d.whole(10, 20)))
        self.say("  frost last 2027-04-24, first 2027-10-18")
        self.maybe(0.5, "line %d m" % d.whole(10, 80))
        self.maybe(0.3, "racks %d m2" % d.whole(2, 8))
        self.maybe(0.3, "beds %d m" % d.whole(20, 60))
        self.maybe(0.3, "boxes %d of 80 x 40 x 20 cm" % d.whole(5, 60))
        self.maybe(0.6, "share by " + d.one(["stems", "fresh price", "dried price"]))

    def crop(self, name):
        d = self.d
        self.say("crop " + name)
        self.maybe(0.6, "bunch %d stem" % d.whole(8, 12))
        if d.often(0.4):
            self.say("  sprig 1/%d stem" % d.whole(2, 4))
            self.sprigs = getattr(self, "sprigs", []) + [name]
        self.maybe(0.6, "costs %s per stem boxed" % d.real(0.05, 0.6, 3))
        if d.often(0.9):
            rates = [d.real(0, 15, 1) + "% field", d.real(0, 20, 1) + "% drying",
                     d.real(0, 3, 2) + "% storage per month", d.real(0, 9, 1) + "% bench"]
            self.say("  loses " + ", ".join(d.some(rates, 1)))
        self.maybe(0.6, "keeps %d months" % d.whole(5, 18))
        self.maybe(0.3, "reserve %d stem" % d.whole(5, 30))
        self.maybe(0.6, "worth %s per stem fresh, %s per stem to hang, %s per stem dried"
                   % (d.real(0.1, 0.3, 2), d.real(0.1, 0.4, 2), d.real(0.3, 0.8, 2)))
        hangs = d.often(0.7)
        if hangs:
            self.say("  hangs %d stem per bundle, %d cm of line per bundle, %d days"
                     % (d.whole(8, 25), d.whole(6, 12), d.whole(7, 18)))
        else:
            self.say("  lies %d stem per m2 of rack, %d days" % (d.whole(100, 400), d.whole(5, 12)))
        self.maybe(0.6, "boxes %d stem per box" % d.whole(80, 300))
        works = ["cut %d stem per h" % d.whole(200, 900), "strip %d stem per h" % d.whole(150, 400)]
        if hangs:
            works += ["bundle %d bundle per h" % d.whole(30, 60), "hang %d s per bundle" % d.whole(15, 60),
                      "box %d s per bundle" % d.whole(20, 80)]
            self.maybe(0.4, "spends %s per bundle, %s per box" % (d.real(0.01, 0.05, 2), d.real(0.5, 1.5, 2)))
        self.maybe(0.6, "works " + ", ".join(d.some(works, 1)))
        if d.often(0.5):
            self.say("  colours " + ", ".join(COLOURS))
            self.coloured.append(name)
        if d.often(0.5):
            self.grown.append(name)
            self.say("  sows %d weeks before last frost, germinates %d%%, 128 cells per tray, %s per %d seeds"
                     % (d.whole(3, 9), d.whole(55, 90), d.real(2, 6, 2), d.one([250, 500])))
            self.say("  plants %d weeks after last frost, %d cm apart, %d rows, %d%% live"
                     % (d.whole(0, 2), d.whole(15, 40), d.whole(2, 4), d.whole(80, 98)))
            n = d.whole(4, 30)
            self.say("  cuts from %d weeks after planting, over %d weeks, %d stem per plant, usually %d to %d"
                     % (d.whole(8, 14), d.whole(2, 9), n, n - n // 3, n + n // 3))

    def supply(self, name):
        d = self.d
        self.say("supply " + name)
        self.say("  costs " + {"Ring": "%s per each" % d.real(0.8, 3, 2), "Wire": "%s per 50 m" % d.real(2, 6, 2),
                               "Paper": "%s per 100 each" % d.real(9, 30, 2)}[name])
        self.maybe(0.4, "pack " + {"Ring": "10 each", "Wire": "50 m", "Paper": "100 each"}[name])

    def outlet(self, name):
        d = self.d
        self.say("outlet " + name)
        if name == "market":
            self.say("  stall %d per day, %d h, %d days%s" % (d.whole(15, 60), d.whole(5, 9), d.whole(2, 8),
                                                              d.one(["", ", travel %d km at 0.30" % d.whole(5, 50)])))
            self.maybe(0.5, "fee %s%%" % d.real(1, 3, 1))
        if name == "online":
            self.say("  fee %s%%, plus 0.45 per order" % d.real(3, 12, 1))
            self.say("  orders %s pieces each" % d.real(1, 2.5, 1))
            self.maybe(0.7, "sends %s up to 2 kg, %s up to 5 kg%s%s" % (
                d.real(4, 7, 2), d.real(7.5, 11, 2), d.one(["", ", volume divisor 5000"]),
                d.one(["", "; charges 6.90 per order"])))
        if name == "shop":
            self.maybe(0.6, "fee %s%% of net" % d.real(2, 6, 1))
        self.maybe(0.5, "spoils %s%%" % d.real(1, 5, 1))
        self.maybe(0.6, "tax %d%% %s" % (d.one([7, 19]), d.one(["in the price", "on top"])))
        self.maybe(0.8, "aim " + d.one(["margin %d%%" % d.whole(10, 45), "markup %d%%" % d.whole(20, 130),
                                        "flowers x 3.5, supplies x 2, labour 25% of price",
                                        "flowers x 2.5, supplies x 1.5, labour 60% on top"]))
        self.maybe(0.6, "prices end in " + d.one([".95", ".00 or .50", ".00 or .25 or .50, nearest"])
                   if "  currency JPY" not in self.lines else "prices end in 0 or 80")

    def stems(self):
        """A need of stems of one crop."""
        d, c = self.d, self.d.one(self.crops)
        unit = "sprig" if c in getattr(self, "sprigs", []) and d.often(0.5) else "stem"
        text = "%d %s %s" % (d.whole(2, 20), unit, c)
        if c in self.coloured and d.often(0.5):
            text += ", colour " + " or ".join(d.some(COLOURS, 1))
        if d.often(0.2):
            text += ", from %d cm" % d.one([20, 30])
        return text

    def needs(self):
        d = self.d
        for _ in range(d.whole(1, 3)):
            self.say("  needs " + self.stems())
            self.maybe(0.2, "or " + self.stems())
        for s in d.some(self.supplies, 0):
            self.say("  needs " + {"Ring": "1 each Ring", "Paper": "1 each Paper",
                                   "Wire": "%d cm Wire" % d.whole(20, 250)}[s])

    def part(self, name):
        d = self.d
        self.say("part " + name)
        self.maybe(0.3, "makes %d each" % d.whole(2, 4))
        self.needs()
        if self.parts:
            self.maybe(0.4, "needs %d each %s" % (d.whole(1, 3), d.one(self.parts)))
        self.say("  takes %d s tying" % d.whole(20, 200))
        self.parts.append(name)

    def piece(self, name):
        d = self.d
        self.say("piece " + name)
        self.needs()
        if self.parts:
            self.maybe(0.7, "needs %d each %s" % (d.whole(1, 6), d.one(self.parts)))
        self.say("  takes %s min wiring" % d.real(2, 40, 1))
        self.maybe(0.5, "takes %d min setting up, for each batch of up to %d" % (d.whole(4, 20), d.whole(2, 8)))
        self.maybe(0.7, "packs 42 x 42 x %d cm, %s kg, %d min, carton %s"
                   % (d.whole(8, 20), d.real(0.1, 2.4, 2), d.whole(2, 8), d.real(0.4, 1.6, 2)))
        self.maybe(0.2, "tax 7% in the price")
        self.pieces.append(name)
        for o in d.some(self.outlets, 1):
            self.sold.append((name, o))
            n = d.whole(2, 9)
            self.say("  sells %s%s%s" % (o, d.one(["", " at %d" % d.whole(9, 110), " at %d" % d.whole(9, 110)]),
                                         d.one(["", ", likely %d" % n, ", likely %d, up to %d" % (n, n + 4)])))

    def targets(self, most=1):
        for name, o in self.sold:
            if most and self.d.often(0.3) and "target " + name not in self.lines:
                self.say("target " + name)
                self.say("  sell %d by 2027-11-20 at %s%s" % (self.d.whole(4, 30), o,
                                                             self.d.one(["", ", 80% sure"])))
                most -= 1

    def table(self, name, head, rows):
        if rows:
            self.tables[name] = [head] + rows

    def stock(self, least=1, most=8):
        d, out = self.d, []
        for n in range(d.whole(least, most)):
            c = d.one(self.crops)
            out.append("B%d,%s,%d,stem,%s,%s,%s,%s,%s" % (
                n + 1, c, d.whole(0, 200), d.one(COLOURS) if c in self.coloured else "",
                d.one(["", "25", "35"]), d.one(["", d.day("2025-09-01", 420)]), d.day("2026-10-28", 8),
                d.one(["", "", d.real(0.1, 0.6, 2)])))
        for n, p in enumerate(self.parts, 1):
            if d.often(0.4):
                out.append("K%d,%s,%d,each,,,,2026-11-01," % (n, p, d.whole(1, 9)))
        for n, p in enumerate(self.pieces, 1):
            if d.often(0.3):
                out.append("F%d,%s,%d,each,,,,2026-11-01," % (n, p, d.whole(1, 4)))
        self.table("stock.csv", "box,what,count,unit,colour,length,boxed,counted,price", out)

    def bed_table(self, least=0, most=3):
        d, out = self.d, []
        for n in range(d.whole(least, most)):
            cut = d.whole(100, 900)
            fresh = d.one([0, cut // d.whole(3, 9)])
            out.append("%d,%s,%d,%d,2026-05-04,%s,%s,%s,%s,%d,%d,%s" % (
                n + 1, d.one(self.crops), d.whole(2, 8), d.whole(20, 80), d.real(5, 30, 2), d.real(1, 6, 1),
                d.one(["", d.real(0.5, 4, 1)]), d.one(["", d.real(0.5, 4, 1)]), cut, fresh,
                d.one(["", str((cut - fresh) * d.whole(60, 95) // 100)])))
        self.table("beds.csv", "bed,crop,metres,plants,planted,money,hours,cut hours,dry hours,cut,fresh,boxed", out)

    def orders(self, least=0, most=2):
        d, out = self.d, []
        for n in range(d.whole(least, most)):
            piece, o = d.one(self.sold)
            out.append("O%d,%s,%d,%s,%s,%s" % (n + 1, piece, d.whole(1, 3), o, d.one(["", d.day("2026-11-20", 30)]),
                                               d.one(["", d.real(20, 90, 0)])))
        self.table("orders.csv", "order,piece,count,outlet,due,price", out)

    def bench(self, least=0, most=5):
        d, out = self.d, []
        for n in range(d.whole(least, most)):
            out.append("%d,2026-11-%02d,made,%s,%d,each,%s,,,,,,,,,." % (
                n + 1, 9 + n % 5, d.one(self.pieces + self.parts), d.whole(1, 9), d.one(["", d.real(5, 200, 0)])))
        self.table("bench.csv", "id,on,event,what,count,unit,minutes,spoiled,drawn,box,cause,outlet,price,"
                   "strikes,note,end", out)

    def batches(self, least=0, most=3):
        d, out = self.d, []
        for n in range(d.whole(least, most)):
            hung = d.day("2026-10-20", 12)
            tare, weight, day, weights = d.whole(20, 60), d.whole(150, 420), 0, []
            for _ in range(d.whole(0, 4)):
                on = (datetime.date.fromisoformat(hung) + datetime.timedelta(day)).isoformat()
                weights.append("%s %d" % (on, tare + weight))
                day, weight = day + d.whole(2, 5), max(20, weight * d.whole(55, 97) // 100)
            out.append("H%d,%s,%s,%s,%d,%d,%s" % (n + 1, d.one(self.crops), hung,
                                                  "", d.whole(40, 200), tare, "; ".join(weights)))
        self.table("batches.csv", "batch,crop,hung on,boxed on,hung,tare,weighings", out)


class Large(Farm):
    """Of the size that the program is to stand: 60 crops, 20 parts, and as many pieces and
    boxes as are asked for, with names as long as growers give them."""
    MADE = ["wreath", "door drop", "bouquet", "table garland", "sheaf", "crown"]
    LIKE = ["Low tide", "Dune", "Heron", "Samphire", "Fog bank", "Saltmarsh in October", "Ebb", "Marram",
            "Oystercatcher", "Lighthouse keeper's"]
    SIZE = ["small", "middle", "large", "for the long table", "in white"]
    SORT = ["early", "late", "of the north bed"]

    def __init__(self, pieces, boxes):
        self.d = Draw(pieces)
        self.lines, self.tables = [], {}
        self.supplies, self.outlets = ["Ring", "Wire", "Paper"], OUTLETS
        self.parts, self.pieces, self.sold = [], [], []
        self.beds, self.grown, self.coloured = [], [], []
        kinds = CROPS + ["Larkspur", "Quaking grass", "Hare's-tail grass", "Globe amaranth", "Nigella pods",
                         "Cockscomb", "Love-lies-bleeding", "Ammobium", "Yarrow", "Oregano", "Teasel", "Amaranth",
                         "Eucalyptus"]
        self.crops = kinds + [k + " " + s for s in self.SORT[:2] for k in kinds]
        self.say("farm Great Saltgrass")
        self.lines += ["  currency EUR", "  wage 16.50 per h, plus 21%", "  overhead 9000 per year over 2400 h at the bench",
                       "  growing 2.40 per m of bed", "  bench 400 h until 2026-12-18", "  line 400 m", "  racks 20 m2",
                       "  frost last 2027-04-24, first 2027-10-18", "  beds 900 m", "  boxes 5000 of 80 x 40 x 20 cm"]
        self.goods(20)
        names = ["%s %s %s" % (a, b, c) for c in self.SIZE for a in self.LIKE for b in self.MADE]
        for n in range(pieces):
            self.piece(names[n % len(names)] + (" %d" % (n // len(names)) if n >= len(names) else ""))
        self.targets(60)
        self.stock(boxes, boxes)
        self.bed_table(90, 90)
        self.orders(5, 5)
        self.bench(120, 120)
        self.batches(150, 150)


TEXTS = ["=1+1", "@x", "<script>alert(1)</script>", "\"&'", "+1", "-1", "\u00e9_x0041_ ]]>"]
LONG = "=2+2 & <b> \U0001F33E" * 3400  # cut to 40,000 where it is used


class Texts:
    """A farm whose every name and note could be taken for something else, and whose longest
    notes are longer than a cell holds."""

    def __init__(self):
        t = TEXTS
        self.lines = ["farm " + t[0], "  currency EUR", "  wage 15 per h", "  line 20 m", "  note " + LONG[:40000],
                      "  caution " + LONG[:40000], "  frost last 2027-04-24, first 2027-10-18"]
        for n, name in enumerate(t):
            self.lines += ["crop crop " + name if n == 2 else "crop " + name, "  also a" + name, "  costs 0.%d per stem boxed" % (n + 1),
                           "  loses 3% storage per month", "  hangs 10 stem per bundle, 9 cm of line per bundle, 9 days",
                           "  caution " + name, "  caution " + LONG[:40000 - n], "  note " + name]
        for n, name in enumerate(t):
            crop = "crop " + name if n == 2 else name
            more = ["  caution of %d " % n + name, "  note " + name, "  note " + LONG[:40000 - n]]
            self.lines += ["outlet " + name, "  aim margin 20%", "  spoils 2%"] + more + [
                           "supply s" + name, "  costs 0.10 per each"] + more + ["part p" + name, "  needs 2 stem " + crop,
                           "  takes 40 s " + name] + more + ["piece =" + name] + more + [
                           "  needs 3 stem %s, colour %s" % (crop, name), "  needs 1 each p" + name,
                           "  needs 1 each s" + name, "  takes 4 min " + name, "  sells %s at 9, likely 4" % name,
                           "target =" + name, "  sell 2 by 2027-11-20 at " + name]
        quoted = ['"%s"' % x.replace('"', '""') for x in t]
        crops = ['"crop %s"' % x.replace('"', '""') if n == 2 else quoted[n] for n, x in enumerate(t)]
        self.tables = {
            "stock.csv": ["box,what,count,unit,colour,boxed,counted,place,note"] + [
                '%s,%s,40,stem,%s,2026-10-01,2026-11-01,%s,"%s"' % (q, c, q, q, LONG[:40000])
                for q, c in zip(quoted, crops)],
            "orders.csv": ["order,piece,count,outlet,due,price,customer,note"] + [
                '%s,"=%s,1,%s,2026-12-01,,%s,"%s"' % (q, q[1:], q, q, LONG[:30000]) for q in quoted],
            "beds.csv": ["bed,crop,colour,metres,plants,planted,money,hours,cut,fresh,note"] + [
                "%s,%s,%s,2,30,2026-05-04,9,1,200,0,%s" % (q, c, q, q) for q, c in zip(quoted, crops)],
            "batches.csv": ["batch,crop,bed,colour,hung on,hung,tare,weighings,note"] + [
                "%s,%s,%s,%s,2026-11-01,60,20,2026-11-01 220; 2026-11-06 120,%s" % (q, c, q, q, q)
                for q, c in zip(quoted, crops)],
            "bench.csv": ["id,on,event,what,count,unit,minutes,drawn,note,end"] + [
                '"%d%s,2026-11-05,made,"=%s,1,each,9,"%s 5","%s",.' % (n, q[1:], q[1:], q[1:-1], LONG[:30000])
                for n, q in enumerate(quoted)]}


def write(seed, folder):
    """seed: a number, "texts", or "large PIECES BOXES"."""
    words = str(seed).split()
    if words[0] == "large":
        farm = Large(*map(int, words[1:]))
    else:
        farm = Texts() if seed == "texts" else Farm(int(seed))
    os.makedirs(folder, exist_ok=True)
    for name, lines in [("farm.txt", farm.lines)] + sorted(farm.tables.items()):
        with open(os.path.join(folder, name), "w", encoding="utf-8", newline="\n") as f:
            f.write("\n".join(lines) + "\n")
    return folder


if __name__ == "__main__":
    write(sys.argv[1], sys.argv[2])

#!/usr/bin/env python3
"""The plain, unpooled program of a farm that bench_mix wrote, for other solvers.

    build/release/bench/bench_mix FOLDER      writes FOLDER/40, FOLDER/200 ...
    tests/bench/plain_mix.py FOLDER/40 GAP SECONDS

Every box is a row, every way from a box to a need a column; nothing is dropped or
bounded but by the rows.  glpsol is run with --mipgap GAP --tmlim SECONDS and its usual
ways otherwise.  What it earns must agree with bench_mix within both gaps.
"""
import csv, os, re, resource, subprocess, sys, time

WAGE, BENCH = 14.0, {}


def parse(folder):
    blocks, kind = [], None
    for line in open(os.path.join(folder, "farm.txt"), encoding="utf-8"):
        if not line.strip():
            continue
        if line[0] != " ":
            kind, _, name = line.strip().partition(" ")
            blocks.append((kind, name, []))
        else:
            blocks[-1][2].append(line.strip())
    return blocks


def option(text):
    m = re.match(r"(?:needs|or) (\d+) (\w+) ([A-Z]\w+ \d+)(?:, colour ([\w ]+?))?(?:, from (\d+) cm)?$", text)
    colours = m.group(4).split(" or ") if m.group(4) else None
    return int(m.group(1)), m.group(3), colours, int(m.group(5) or 0)


class Program:
    def __init__(self):
        self.gain, self.rows, self.whole, self.upper = {}, [], set(), {}

    def row(self, terms, sense, right):
        self.rows.append((terms, sense, right))

    def write(self, path):
        with open(path, "w") as f:
            f.write("Maximize\n obj:")
            for k, (c, g) in enumerate(self.gain.items()):
                f.write(f" {g:+.9f} {c}" + ("\n" if k % 8 == 7 else ""))
            f.write("\nSubject To\n")
            for i, (terms, sense, right) in enumerate(self.rows):
                f.write(f" r{i}:")
                for k, (c, v) in enumerate(terms.items()):
                    f.write(f" {v:+.9f} {c}" + ("\n" if k % 8 == 7 else ""))
                f.write(f" {sense} {right:.9f}\n")
            f.write("Bounds\n")
            for c, u in self.upper.items():
                f.write(f" 0 <= {c} <= {u:g}\n")
            f.write("General\n")
            for k, c in enumerate(sorted(self.whole)):
                f.write(f" {c}" + ("\n" if k % 8 == 7 else ""))
            f.write("\nEnd\n")


def minutes(statement):
    m = re.match(r"takes (\d+) (s|min) [\w ]+?(?:, for each batch of up to (\d+))?$", statement)
    return int(m.group(1)) * (60 if m.group(2) == "min" else 1), int(m.group(3) or 0)


def build(folder):
    p, blocks = Program(), parse(folder)
    boxes, shelf = [], {}
    for row in csv.DictReader(open(os.path.join(folder, "stock.csv"), encoding="utf-8")):
        if row["unit"] == "stem":
            stems = int(int(row["count"]) * 0.99 ** (5 / (365.25 / 12)))
            boxes.append((row["what"], row["colour"], int(row["length"]), stems, {}))
        else:
            shelf[row["what"]] = int(row["count"])
    hours, price, part_use, supply_use = {}, {}, {}, {}
    limit = 0.0
    for kind, name, lines in blocks:
        if kind == "farm":
            limit = float(re.search(r"bench (\d+) h", "\n".join(lines)).group(1)) * 3600
        if kind == "crop":
            BENCH[name] = int(re.search(r"(\d+)% bench", "\n".join(lines)).group(1)) / 100
        if kind == "supply":
            price[name] = float(lines[0].split()[1])
    p.whole.add("days")
    p.upper["days"] = 4
    p.gain["days"] = -(45 + 8 * WAGE)
    outlets = {"shop": (0.20, 0, 1.19, 1), "online": (0.065, 0.45, 1.19, 0.97), "market": (0, 0, 1.19, 1)}
    n = 0
    for kind, name, lines in blocks:
        if kind not in ("piece", "part"):
            continue
        made = name.replace(" ", "")
        p.whole.add(made)
        p.gain[made] = 0
        if kind == "part":
            part_use.setdefault(name, {})
        needs, sold, packing, carton = [], {made: -1.0}, 0, 0
        for s in lines:
            if s.startswith("packs"):
                packing = int(re.search(r"(\d+) min", s).group(1)) * 60
                carton = float(re.search(r"carton ([\d.]+)", s).group(1))
        for s in lines:
            if s.startswith("needs"):
                needs.append([option(s)])
            elif s.startswith("or"):
                needs[-1].append(option(s))
            elif s.startswith("takes"):
                seconds, k = minutes(s)
                c = made
                if k:
                    c = f"z{n}"
                    n += 1
                    p.whole.add(c)
                    p.gain[c] = 0
                    p.row({c: k, made: -1}, ">=", 0)
                p.gain[c] -= seconds / 3600 * WAGE
                hours[c] = hours.get(c, 0) + seconds
            elif s.startswith("sells"):
                m = re.match(r"sells (\w+) at (\d+)(?:, likely (\d+))?(?:, up to (\d+))?", s)
                fee, fixed, tax, kept = outlets[m.group(1)]
                paid, upto = int(m.group(2)), int(m.group(4))
                likely = int(m.group(3)) if m.group(3) else upto
                upto = max(likely, upto)
                each = kept * (paid / tax - fee * paid - fixed - carton - packing / 3600 * WAGE)
                q = f"n{n}"
                n += 1
                p.whole.add(q)
                p.upper[q] = upto
                sold[q] = 1
                hours[q] = packing
                steps = {q: -1.0}
                for k in range(upto - likely + 1):
                    c = f"{q}s{k}"
                    width = likely if k == 0 else 1
                    p.upper[c] = width
                    p.gain[c] = each * (upto - likely + 1 - k) / (upto - likely + 1)
                    steps[c] = 1.0
                    if m.group(1) == "market":
                        p.row({c: 4, "days": -width}, "<=", 0)
                p.row(steps, "=", 0)
        if kind == "piece":
            p.row(sold, "<=", 0)
        for need in needs:
            ways = {made: -1.0}
            for count, what, colours, length in need:
                y = f"y{n}"
                n += 1
                p.whole.add(y)
                ways[y] = 1.0
                if what in BENCH:
                    drawn, flows = f"w{n}", {}
                    n += 1
                    p.whole.add(drawn)
                    p.row({drawn: 1, y: -count / (1 - BENCH[what])}, ">=", 0)
                    for i, (crop, colour, long, _, uses) in enumerate(boxes):
                        if crop == what and (not colours or colour in colours) and long >= length:
                            f = f"f{n}x{i}"
                            flows[f] = 1.0
                            uses[f] = 1.0
                    flows[drawn] = -1.0
                    p.row(flows, ">=", 0)
                elif what.startswith("Part"):
                    part_use.setdefault(what, {})[y] = count
                else:
                    supply_use.setdefault(what, {})[y] = count
            p.row(ways, "=", 0)
    for _, _, _, stems, uses in boxes:
        if uses:
            p.row(uses, "<=", stems)
    for what, uses in part_use.items():
        if uses:
            p.row({**uses, what.replace(" ", ""): -1}, "<=", shelf.get(what, 0))
    for what, uses in supply_use.items():
        c = "buy" + what.replace(" ", "")
        p.gain[c] = -price[what]
        p.row({**uses, c: -1}, "<=", shelf.get(what, 0))
    p.row(hours, "<=", limit)
    return p


def main():
    folder, gap, seconds = sys.argv[1], sys.argv[2], sys.argv[3]
    path = os.path.join(folder, "plain.lp")
    p = build(folder)
    p.write(path)
    columns = len({c for terms, _, _ in p.rows for c in terms})
    print(f"{folder}: {len(p.rows)} rows, {columns} columns, {len(p.whole)} whole")
    start = time.time()
    out = subprocess.run(["glpsol", "--lp", path, "--mipgap", gap, "--tmlim", seconds],
                         capture_output=True, text=True).stdout
    for line in out.splitlines():
        if re.search(r"mip =|OPTIMAL|TIME|Time used|obj =.*\(0\)$|NOT FOUND|GAP", line):
            if re.search(r"TIME|OPTIMAL|Time used|NOT|GAP", line):
                print(" ", line)
    best = [l for l in out.splitlines() if "mip =" in l]
    print("  last:", best[-1] if best else "no whole answer")
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    print(f"  glpsol: {1000 * (used.ru_utime + used.ru_stime):.0f} ms of processor time, {time.time() - start:.2f} s in all,"
          f" with --mipgap {gap} --tmlim {seconds} and nothing else")


if __name__ == "__main__":
    main()

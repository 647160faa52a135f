"""Reads the page of several farms strictly, as a browser would not bother to.

Checked against the HTML Standard (WHATWG): elements that are opened are closed in order
(sections 13.1.2), ids are unique (3.2.6), heading levels do not jump, every form control
has a name (WCAG 2.2, 4.1.2), tables have heads and captions (WCAG technique H51, H39);
against Content Security Policy Level 3 (W3C, section 6.7): the hash of the script is the
one in the policy; and that nothing outside the file is asked for.  Every text of the farm
is there as text, whatever it looks like.
"""
import base64
import glob
import hashlib
import os
import re
import subprocess
import sys
import tempfile
from html.parser import HTMLParser

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "book"))
import made_up  # noqa: E402

VOID = {"meta", "input", "br", "hr", "img", "link"}
SVG_VOID = {"rect", "line", "circle"}


class Page(HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.faults, self.ids, self.refs = [], [], [], []
        self.level, self.text, self.tables, self.urls = 0, [], [], []
        self.script, self.policy, self.labels, self.inputs, self.sections = "", "", set(), [], []
        self.elements = set()

    def handle_starttag(self, tag, attrs):
        a = dict(attrs)
        self.elements.add(tag)
        if len(a) != len(attrs):
            self.faults.append(f"<{tag}> says an attribute twice")
        for name, value in attrs:
            if name.startswith("on") or name == "style":
                self.faults.append(f"<{tag}> has {name}")
            if name in ("src", "href", "action", "xlink:href", "data"):
                self.urls.append(value)
        if "id" in a:
            self.ids.append(a["id"])
        for key in ("aria-labelledby", "for"):
            self.refs += (a.get(key) or "").split()
        if tag == "label":
            self.labels.add(a.get("for"))
        if tag == "input":
            self.inputs.append(a)
        if tag == "meta" and a.get("http-equiv"):
            self.policy = a["content"]
        if tag == "section":
            self.sections.append(a["id"])
        if re.fullmatch("h[1-6]", tag):
            if int(tag[1]) > self.level + 1:
                self.faults.append(f"{tag} follows h{self.level}")
            self.level = int(tag[1])
        if tag == "table":
            self.tables.append(set())
        elif self.tables and tag in ("caption", "th"):
            self.tables[-1].add(tag)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        if tag not in SVG_VOID:
            self.faults.append(f"<{tag}/> closes itself")

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> closes nothing at {self.getpos()}")

    def handle_data(self, data):
        if self.open and self.open[-1] == "script":
            self.script += data
        elif self.open and self.open[-1] != "style":
            self.text.append(data)


def write(program, farm, out, *more):
    run = subprocess.run([program, "page", farm, "--on", "2026-11-10", "--output", out, *more],
                         capture_output=True, text=True, timeout=120,
                         env={"LC_ALL": "C", "TZ": "UTC", "PATH": os.environ.get("PATH", "")})
    assert run.returncode in (0, 1, 5), (farm, run.returncode, run.stderr)
    with open(out, "rb") as f:
        return f.read()


def read(data):
    p = Page()
    p.feed(data.decode("utf-8"))  # not UTF-8: raises
    p.close()
    return p


def faults(p):
    found = list(p.faults)
    if p.open:
        found.append(f"not closed: {p.open}")
    found += [f"id {i} twice" for i in set(p.ids) if p.ids.count(i) > 1]
    found += [f"no id {r}" for r in p.refs if r not in p.ids]
    found += [f"asks for {u}" for u in p.urls if not (u.startswith("#") and u[1:] in p.ids)]
    found += [f"input without a name: {i}" for i in p.inputs
              if not i.get("aria-label") and i.get("id") not in p.labels]
    found += ["a table without heads or caption" for t in p.tables if t != {"caption", "th"}]
    mark = base64.b64encode(hashlib.sha256(p.script.encode()).digest()).decode()
    if f"script-src 'sha256-{mark}'" not in p.policy or "default-src 'none'" not in p.policy:
        found.append(f"the policy does not know the script: sha256-{mark}")
    return found


# Names that try to be something else.  Control characters, hidden marks and semicolons
# cannot stand in a name (they are errors there); lines of 40,000 letters can.
NASTY = ['=1+1', '@x', "<script>alert(1)</script>", "\"&' &amp <b>", "-->", "]]>",
         "</title></style></script>", "Zoë 花"]


def nasty_farm(folder):
    with open(os.path.join(folder, "farm.txt"), "w", encoding="utf-8") as f:
        f.write("farm <i>Farm</i> & Co\n  currency EUR\n  wage 10 per h\n")
        for i, name in enumerate(NASTY):
            f.write(f"crop C{i} {name}\n  costs 0.2 per stem boxed\n  caution {name} &amp; " + "x" * 40000 + "\n")
            f.write(f"outlet O{i} {name}\n  aim margin 30%\n")
            f.write(f"piece P{i} {name}\n  needs {i + 1} stem C{i} {name}\n  takes 5 min {name}\n"
                    f"  sells O{i} {name} at 5, up to 3\n")


def main():
    program, passed, failed = sys.argv[1], 0, 0

    def check(what, found):
        nonlocal passed, failed
        if found:
            failed += 1
            print(f"FAILED {what}: {found[:5]}")
        else:
            passed += 1

    with tempfile.TemporaryDirectory() as tmp:
        out = os.path.join(tmp, "page.html")
        for farm in ["recipes-demo"] + sorted(glob.glob("tests/farms/*")):
            if farm.endswith(("wrong", "unpriced")):
                continue
            page = read(write(program, farm, out))
            check(farm, faults(page))
            check(farm + " shows cautions", [] if "cautions" in page.sections else ["no section"])
        demo = write(program, "recipes-demo", out)
        check("the same farm gives the same page",
              [] if demo == write(program, "recipes-demo", out) else ["it differs"])
        wanted = ["summary", "prices", "cards", "stems", "shed", "reach", "mix", "pull", "sway", "losses",
                  "plant", "hang", "assumed", "cautions"]
        have = read(demo).sections
        check("the demo has all sections in order", [] if have == wanted else [str(have)])

        farm = os.path.join(tmp, "nasty")
        os.mkdir(farm)
        nasty_farm(farm)
        page = read(write(program, farm, out))
        check("nasty names", faults(page))
        text = "".join(page.text)
        check("nasty names are text", [n for n in NASTY + ["&amp; xxx"] if n not in text])
        check("nasty names are no elements", [e for e in ("b", "i", "iframe") if e in page.elements])
        farm = os.path.join(tmp, "texts")
        made_up.write("texts", farm)
        page = read(write(program, farm, out))
        check("texts in every place", faults(page))
        text = "".join(page.text)
        check("they are text", [n for n in made_up.TEXTS if text.count(n) < 10])
        check("they are no elements", [e for e in ("b", "iframe") if e in page.elements])

        farm = os.path.join(tmp, "large")
        made_up.write("large 70 300", farm)
        page = write(program, farm, out)
        check("a large farm", faults(read(page)))
        for chart, of in (("costs", "the 24 dearest of 70"), ("prices", "the 24 dearest to make of 70")):
            drawn = re.search(b'<figure class="chart" id="chart-%s">(.*?)</figure>' % chart.encode(), page, re.S).group(1)
            check(f"the chart of {chart} says what it shows", [] if of.encode() in drawn else ["no word of it"])
            labels = re.findall(b'<text x="0.0"', drawn)
            check(f"the chart of {chart} can be read", [] if len(labels) == 24 else [str(len(labels))])
        dear = [float(x) for x in re.findall(b"<summary>\n<h3>.*?</h3>\n<span>([0-9.]+) EUR</span>", page)]
        drawn = [float(x) for x in re.findall(b'>([0-9.]+)</text>', re.search(
            b'id="chart-costs">(.*?)</figure>', page, re.S).group(1))]
        check("the dearest are drawn", [] if drawn == sorted(dear, reverse=True)[:24] else [str(drawn)])
        check("cards are folded", [] if page.count(b'<details class="card">') == len(dear) == 70 else [str(len(dear))])
        check("those of few pieces are not", [] if b"<details" not in demo else ["they are"])
        # The reader itself must be able to fail.
        for what, bad in [("an open tag", demo.replace(b"</table>", b"", 1)),
                          ("another script", demo.replace(b"words.every", b"words.some", 1)),
                          ("a picture from outside",
                           demo.replace(b"</main>", b'<img src="http://example.com/x"></main>')),
                          ("an id twice", demo.replace(b"<main id=\"first\">",
                                                       b"<main id=\"first\"><p id=\"first\"></p>"))]:
            check(f"the reader sees {what}", [] if faults(read(bad)) else ["not seen"])
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

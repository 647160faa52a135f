"""A workbook as plain cells, and a way to type over one: zipfile and XML alone, so
that what is read is what stands in the file."""
import re
import xml.etree.ElementTree as ET
import zipfile

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
REL = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"


class Cell:
    """value: float, str, bool, None; kind "e" is an error, its text in value."""

    __slots__ = ("value", "formula", "kind")

    def __init__(self, value, formula, kind):
        self.value, self.formula, self.kind = value, formula, kind


def sheet_parts(z):
    """Sheet name -> part name, in the order of the sheets."""
    book = ET.fromstring(z.read("xl/workbook.xml"))
    rels = ET.fromstring(z.read("xl/_rels/workbook.xml.rels"))
    target = {r.get("Id"): r.get("Target") for r in rels}
    parts = {}
    for s in book.find(MAIN + "sheets"):
        t = target[s.get(REL + "id")]
        parts[s.get("name")] = t.lstrip("/") if t.startswith("/") else "xl/" + t
    return parts


def unescape(text):
    return re.sub(r"_x([0-9A-Fa-f]{4})_", lambda m: chr(int(m.group(1), 16)), text)


def strings_of(z):
    if "xl/sharedStrings.xml" not in z.namelist():
        return []
    root = ET.fromstring(z.read("xl/sharedStrings.xml"))
    return [unescape("".join(t.text or "" for t in si.iter(MAIN + "t"))) for si in root]


def read_cell(c, strings):
    kind = c.get("t", "n")
    f, v = c.find(MAIN + "f"), c.find(MAIN + "v")
    formula = None if f is None else f.text or ""
    text = None if v is None else v.text or ""
    if kind == "inlineStr":
        return Cell("".join(t.text or "" for t in c.iter(MAIN + "t")), formula, "s")
    if text is None or (text == "" and kind == "n"):
        return Cell("" if kind == "str" else None, formula, kind)
    if kind == "s":
        return Cell(strings[int(text)], formula, "s")
    if kind == "str":
        return Cell(unescape(text), formula, "s")
    if kind == "b":
        return Cell(text == "1", formula, "b")
    if kind == "e":
        return Cell(text, formula, "e")
    return Cell(float(text), formula, "n")


def read(path):
    """{sheet: {"C5": Cell}}"""
    with zipfile.ZipFile(path) as z:
        strings = strings_of(z)
        book = {}
        for name, part in sheet_parts(z).items():
            root = ET.fromstring(z.read(part))
            book[name] = {c.get("r"): read_cell(c, strings) for c in root.iter(MAIN + "c")}
        return book


def widths(path):
    """Sheet name -> widths of its columns together, in characters."""
    with zipfile.ZipFile(path) as z:
        return {name: sum(float(c.get("width")) * (int(c.get("max")) - int(c.get("min")) + 1)
                          for c in ET.fromstring(z.read(part)).iter(MAIN + "col"))
                for name, part in sheet_parts(z).items()}


def names(path):
    """Defined name -> (sheet, cell), for names of single cells."""
    out = {}
    with zipfile.ZipFile(path) as z:
        book = ET.fromstring(z.read("xl/workbook.xml"))
        for n in book.iter(MAIN + "definedName"):
            m = re.fullmatch(r"(?:'((?:[^']|'')+)'|([^'!]+))!\$([A-Z]+)\$(\d+)", n.text or "")
            if m and not n.get("name").startswith("_xlnm"):
                out[n.get("name")] = ((m.group(1) or m.group(2)).replace("''", "'"),
                                      m.group(3) + m.group(4))
    return out


def column_number(letters):
    n = 0
    for c in letters:
        n = 26 * n + ord(c) - 64
    return n


def split(ref):
    m = re.fullmatch(r"([A-Z]+)(\d+)", ref)
    return m.group(1), int(m.group(2))


def rewrite(path, out, change):
    """Copies the file part by part; change(name, text) gives a part's new text."""
    with zipfile.ZipFile(path) as z, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as w:
        for info in z.infolist():
            data = z.read(info)
            new = change(info.filename, data)
            w.writestr(info, data if new is None else new)


def type_over(path, out, values):
    """values: {(sheet, "C5"): number}.  Only the number's text changes;
    an empty cell gets one."""
    with zipfile.ZipFile(path) as z:
        parts = sheet_parts(z)
    todo = {}
    for (sheet, ref), v in values.items():
        todo.setdefault(parts[sheet], []).append((ref, v))

    def change(name, data):
        if name not in todo:
            return None
        text = data.decode("utf-8")
        for ref, v in todo[name]:
            text, n = re.subn(r'(<c r="%s"[^>]*>)<v>[^<]*</v>' % ref,
                              lambda m: "%s<v>%r</v>" % (m.group(1), float(v)), text)
            if not n:
                text, n = re.subn(r'<c r="%s"([^>]*)/>' % ref,
                                  lambda m: '<c r="%s"%s><v>%r</v></c>' % (ref, m.group(1), float(v)), text)
            if n != 1:
                raise ValueError("no number in %s of %s to type over" % (ref, name))
        return text.encode("utf-8")

    rewrite(path, out, change)


def well_formed(path):
    """Names of parts that are no XML."""
    bad = []
    with zipfile.ZipFile(path) as z:
        if z.testzip():
            bad.append(z.testzip())
        for name in z.namelist():
            if name.endswith((".xml", ".rels", ".vml")):
                try:
                    ET.fromstring(z.read(name))
                except ET.ParseError as e:
                    bad.append("%s: %s" % (name, e))
    return bad

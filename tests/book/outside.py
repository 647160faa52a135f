"""A workbook looked at from outside: an Open XML validator, and readers that were written
by others.  run brings them with npm and says in BOOK_NODE where they lie."""
import json
import os
import subprocess

import xlsx

HERE = os.path.dirname(os.path.abspath(__file__))


def node(*args):
    modules = os.environ.get("BOOK_NODE", "")
    if not os.path.isdir(modules):
        raise RuntimeError("BOOK_NODE names no folder: %r" % modules)
    p = subprocess.run([a.replace("BOOK_NODE", modules) for a in args], stdout=subprocess.PIPE,
                       stderr=subprocess.PIPE, timeout=300, env=dict(os.environ, NODE_PATH=modules))
    return p.returncode, p.stdout.decode("utf-8"), p.stderr.decode("utf-8", "replace")


def wrong_in(path):
    """What the validator has against the file; [] is nothing."""
    _, said, errors = node("BOOK_NODE/.bin/ooxml-validator", path)
    if not said:
        raise RuntimeError("the validator says nothing: %s" % errors[:600])
    found = json.loads(said)
    return [] if found["ok"] else ["%s: %s" % (e.get("path"), e.get("description")) for e in found["errors"]] or ["?"]


def by_exceljs(path):
    """{sheet: {"C5": (value, formula)}}; RuntimeError where it cannot be read."""
    rc, said, errors = node("node", os.path.join(HERE, "reader.js"), path)
    if rc:
        raise RuntimeError("exceljs: %s" % errors[:600])
    return {sheet: {ref: tuple(c) for ref, c in cells.items()} for sheet, cells in json.loads(said).items()}


def by_openpyxl(path):
    import openpyxl
    values, written = openpyxl.load_workbook(path, data_only=True), openpyxl.load_workbook(path)
    out = {}
    for s in values:
        cells = out[s.title] = {}
        for row in s.iter_rows():
            for c in row:
                f = written[s.title][c.coordinate]
                formula = f.value[1:] if f.data_type == "f" else None
                value = c.value
                if c.is_date and value is not None and not isinstance(value, (int, float)):
                    value = openpyxl.utils.datetime.to_excel(value)
                if value is not None or formula is not None:
                    cells[c.coordinate] = (value, formula)
    return out


READERS = {"openpyxl": by_openpyxl, "exceljs": by_exceljs}


def read_otherwise(path, reader):
    """Cells that the reader takes for something else than what stands in the file."""
    want, got, bad = xlsx.read(path), READERS[reader](path), []
    if list(want) != list(got):
        return ["other sheets: %s" % ", ".join(got)]
    for sheet, cells in want.items():
        for ref in sorted(set(cells) | set(got[sheet])):
            c = cells.get(ref)
            value, formula = got[sheet].get(ref, (None, None))
            if formula is not None and isinstance(value, str):
                value = xlsx.unescape(value)  # both leave _x005F_ as it is in results
            mine = (c.value, c.formula) if c else (None, None)
            if (mine[0] or None) != (value or None) or mine[1] != formula:
                if isinstance(value, (int, float)) and isinstance(mine[0], float) and mine[1] == formula \
                        and abs(value - mine[0]) < 1e-9 * max(1, abs(value)):
                    continue  # dates go through days and back
                bad.append("%s!%s: %r, read as %r" % (sheet, ref, mine, (value, formula)))
    return bad


def break_it(path, out, how):
    """A copy with something in it that the format does not know."""
    def change(name, data):
        if name != "xl/worksheets/sheet1.xml":
            return None
        return {"element": lambda d: d.replace(b"<sheetData>", b"<sheetDatum/><sheetData>", 1),
                "attribute": lambda d: d.replace(b'<row r="1"', b'<row r="first"', 1),
                "order": lambda d: d.replace(b"</worksheet>", b"<sheetData/></worksheet>", 1)}[how](data)
    xlsx.rewrite(path, out, change)
    return out

"""Names and notes that could be taken for something else, up to 40,000 letters long, are
data in every report: as text, CSV, JSON and calendar.

CSV is read back by Python's own reader (RFC 4180), JSON by its own (RFC 8259).  Terminals act
on control characters (ECMA-48): none but line ends may come through."""
import csv
import io
import json
import os
import subprocess
import sys
import tempfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "book"))
import made_up  # noqa: E402

COMMANDS = ["check", "stock", "loss", "cost", "price", "reach", "mix", "pull", "took", "dry", "hang", "plant", "sway"]
DATE = "2026-11-14"
NAMED = {"stock", "cost", "price", "reach", "mix", "pull", "took", "dry", "plant", "sway"}  # show names of all


def run(thrave, command, folder, *more):
    r = subprocess.run([thrave, command, folder, "--on", DATE, *more], capture_output=True, timeout=120,
                       env={"LC_ALL": "C", "PATH": os.environ.get("PATH", "")})
    return r.returncode, r.stdout


def controls(data, allowed=b"\n"):
    return sorted({b for b in data if (b < 32 or b == 127) and b not in allowed})


def texts_in(value):
    if isinstance(value, dict):
        return [t for v in value.values() for t in texts_in(v)]
    if isinstance(value, list):
        return [t for v in value for t in texts_in(v)]
    return [value] if isinstance(value, str) else []


def check_command(thrave, command, folder):
    code, text = run(thrave, command, folder)
    if code not in (0, 1, 5):
        return [f"{command}: exit {code}"]
    faults = [f"{command}: control characters {controls(text)}"] if controls(text) else []
    code, data = run(thrave, command, folder, "--csv")
    rows = list(csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))
    if controls(data, b"\r\n") or len({len(row) for row in rows}) != 1:
        faults.append(f"{command} --csv: ragged, or with control characters")
    cells = "\n".join(t for row in rows for t in row)
    faults += [f"{command} --csv: {name} is not there" for name in made_up.TEXTS
               if command in NAMED and name not in cells]
    code, data = run(thrave, command, folder, "--json")
    said = "\n".join(texts_in(json.loads(data)))
    faults += [f"{command} --json: {name} is not there" for name in made_up.TEXTS
               if command in NAMED and name not in said]
    return faults


def check_calendar(thrave, folder):
    out = os.path.join(folder, "days.ics")
    code, _ = run(thrave, "dates", folder, "--output", out)
    if code not in (0, 1):
        return [f"dates: exit {code}"]
    data = open(out, "rb").read()
    os.remove(out)
    long = [line for line in data.split(b"\r\n") if len(line) > 75]  # RFC 5545, 3.1
    unfolded = data.replace(b"\r\n ", b"").decode("utf-8")
    faults = [f"dates: {len(long)} lines are too long"] if long else []
    faults += [f"dates: {name} is not there" for name in made_up.TEXTS if name not in unfolded]
    return faults + ([f"dates: control characters {controls(data, bytes((10, 13)))}"]
                     if controls(data, b"\r\n") else [])


def check(thrave):
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        made_up.write("texts", folder)
        for command in COMMANDS:
            faults += check_command(thrave, command, folder)
        faults += check_calendar(thrave, folder)
    return faults

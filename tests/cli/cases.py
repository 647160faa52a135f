"""Runs the cases in tests/cli/cases and compares all that the program says.

A case is a file: a line `$ thrave ...` (words as a shell would part them, no shell is
run), a line `exit N`, then the sections `--- stdout`, `--- stderr` and, for files that
the command writes, `--- file PATH`.  An empty section may be left out.  `{tmp}` stands
for a fresh folder, `\\r` at the end of a line for a carriage return.  Several commands
in one file run one after the other in the same folder.

Whatever is printed must also hold to its form: JSON parses, CSV has as many cells in
every line, text is at most 80 columns wide and has no control characters.
"""
import csv
import difflib
import glob
import io
import json
import os
import shlex
import signal
import subprocess
import sys
import tempfile
import unicodedata

import beside
import gives
import suppose
import texts
import weeks

CASES = "tests/cli/cases"
# Nothing of the caller's own settings: no locale, no terminal, no colour.
ENV = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C", "TZ": "UTC"}


def width(line):
    total = 0
    for c in line:
        if unicodedata.combining(c) or unicodedata.category(c) in ("Mn", "Me", "Cf"):
            continue
        total += 2 if unicodedata.east_asian_width(c) in "WF" else 1
    return total


def form_faults(argv, out, status):
    """What is wrong with the form of an output, whatever it says."""
    if status == 2 or not out:
        return []
    if "--json" in argv:
        document = json.loads(out)
        return [] if document["status"] == status else ["JSON tells another status"]
    if "--csv" in argv:
        if not out.endswith("\r\n"):
            return ["CSV does not end in CR LF"]
        rows = list(csv.reader(io.StringIO(out, newline=""), strict=True))
        return [] if len({len(row) for row in rows}) == 1 else ["ragged CSV"]
    faults = []
    for line in out.splitlines():
        if width(line) > 80:
            faults.append(f"wider than 80 columns: {line}")
        if line != line.rstrip():
            faults.append(f"blanks at the end: {line}")
        if any(unicodedata.category(c) == "Cc" for c in line):
            faults.append(f"control character: {line!r}")
    return faults


def day_faults(words, status, out):
    """A case that answers must say its day, or it holds only on the day it was recorded."""
    dayless = {"help", "--help", "--version"} & set(words)
    said = any(word.split("=")[0] == "--on" for word in words)
    again = words[1:2] == ["note"] and "stands there already" in out  # whatever the day
    if said or dayless or again or status not in (0, 1, 5):
        return []
    return ["answers without `--on`"]


def run(thrave, words, folder):
    """Exit status, stdout and stderr of one command."""
    argv = [thrave] + [word.replace("{tmp}", folder) for word in words[1:]]
    done = subprocess.run(argv, capture_output=True, timeout=240, env=ENV)
    out, err = (text.decode("utf-8").replace(folder, "{tmp}") for text in (done.stdout, done.stderr))
    return done.returncode, out, err


def written(thrave, commands, paths):
    """The case as the program has it now, and the faults of form."""
    text, faults = [], []
    with tempfile.TemporaryDirectory() as folder:
        for command in commands:
            words = shlex.split(command)
            status, out, err = run(thrave, words, folder)
            wrong = form_faults(words, out, status) + day_faults(words, status, out)
            faults += [f"{command}: {fault}" for fault in wrong]
            text += [f"$ {command}\n", f"exit {status}\n"]
            for name, part in (("stdout", out), ("stderr", err)):
                if part:
                    text += [f"--- {name}\n", part.replace("\r\n", "\\r\n")]
                    if not part.endswith("\n"):
                        text.append("\\\n")
        for path in paths:
            place = path.replace("{tmp}", folder)
            text.append(f"--- file {path}\n")
            if os.path.isfile(place):
                text.append(open(place, encoding="utf-8", newline="").read().replace("\r\n", "\\r\n"))
            else:
                text.append("(is not there)\n")
    return "".join(text), faults


def check(thrave, path, renew):
    want = open(path, encoding="utf-8", newline="").read()
    lines = want.splitlines()
    commands = [line[2:] for line in lines if line.startswith("$ thrave")]
    paths = [line[9:] for line in lines if line.startswith("--- file ")]
    comments = "".join(line + "\n" for line in lines if line.startswith("# ") and lines.index(line) < 5)
    got, faults = written(thrave, commands, paths)
    got = comments + got
    if renew and got != want:
        open(path, "w", encoding="utf-8", newline="").write(got)
        print("renewed", path)
        want = got
    if not commands:
        faults.append("no command")
    if got != want:
        faults += difflib.unified_diff(want.splitlines(), got.splitlines(), "recorded", "printed", lineterm="")
    return faults


def check_harness(thrave):
    """The runner must see a wrong status, a wrong text and a wrong form."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "case")
        for text in ("$ thrave --version\nexit 1\n", "$ thrave --version\nexit 0\n--- stdout\nthrave x\n", ""):
            open(path, "w", encoding="utf-8").write(text)
            if not check(thrave, path, False):
                return ["a wrong case passed:", text]
    if not form_faults([], "x" * 81 + "\n", 0) or not form_faults(["--csv"], "a,b\r\n1\r\n", 0):
        return ["a wrong form passed"]
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "case")
        open(path, "w", encoding="utf-8").write(written(thrave, ["thrave stock tests/farms/least"], [])[0])
        if not any("--on" in fault for fault in check(thrave, path, False)):
            return ["a case without its day passed"]
    return []


def on_terminal(thrave, settings):
    """What the program prints when stdout is a terminal."""
    ours, theirs = os.openpty()
    argv = [thrave, "stock", "tests/farms/full", "--on", "2026-11-10", "--quiet"]
    with subprocess.Popen(argv, stdout=theirs, env={**ENV, **settings}) as program:
        os.close(theirs)
        text = b""
        try:
            while part := os.read(ours, 65536):
                text += part
        except OSError:  # how Linux says that the other end is closed
            pass
        os.close(ours)
        program.wait(60)
    return text.decode("utf-8")


def check_terminal(thrave):
    """Bold and drawn rules on a terminal that wants them, and nowhere else."""
    faults = []
    for settings, bold, drawn in (
        ({"TERM": "xterm", "LC_ALL": "C.UTF-8"}, True, True),
        ({"TERM": "xterm", "LC_ALL": "C"}, True, False),
        ({"TERM": "xterm", "LC_ALL": "C.UTF-8", "NO_COLOR": "1"}, False, True),
        ({"TERM": "dumb", "LC_ALL": "C.UTF-8"}, False, False),
        ({"LC_ALL": "C.UTF-8"}, False, False),
    ):
        text = on_terminal(thrave, settings)
        if "Stems in the shed" not in text or ("\x1b[1m" in text) != bold or ("\u2500" in text) != drawn:
            faults.append(f"{settings}: {text[:200]!r}")
    return faults


def interrupted(thrave):
    """Exit status, stdout and what stood on the terminal of a long search that is interrupted."""
    ours, theirs = os.openpty()
    argv = [thrave, "mix", "recipes-demo", "--on", "2026-11-10", "--to-the-end", "--nodes", "1000000"]

    def listen():
        # A test run started with & or nohup hands on an interrupt that is ignored.
        signal.signal(signal.SIGINT, signal.SIG_DFL)

    with subprocess.Popen(argv, stdout=subprocess.PIPE, stderr=theirs, env=ENV,
                          preexec_fn=listen) as program:
        os.close(theirs)
        shown = b""
        while b"Ctrl-C: enough" not in shown:
            shown += os.read(ours, 65536)
        program.send_signal(signal.SIGINT)
        out = program.stdout.read().decode("utf-8")
        try:
            while part := os.read(ours, 65536):
                shown += part
        except OSError:
            pass
        os.close(ours)
        return program.wait(60), out, shown.decode("utf-8")


def check_interrupt(thrave):
    """Ctrl-C ends a search with the best found so far, and says so; the progress line is gone."""
    status, out, shown = interrupted(thrave)
    faults = [] if status == 5 else [f"exit {status}"]
    for word in ("Interrupted: this is the best mix found so far.", "Dune bouquet", "the mix earns"):
        if word not in out:
            faults.append(f"lacks {word!r}: {out[-300:]}")
    if not shown.endswith(" \r"):
        faults.append(f"progress is left standing: {shown[-100:]!r}")
    if any(len(line) > 80 for line in shown.split("\r")):
        faults.append("progress wider than 80 columns")
    return faults


def main():
    thrave, renew = sys.argv[1], "--renew" in sys.argv
    passed = failed = 0
    cases = sorted(glob.glob(f"{CASES}/*"))
    first = [("harness", check_harness(thrave)), ("beside", beside.check(thrave)), ("texts", texts.check(thrave)),
             ("suppose", suppose.check(thrave)), ("gives", gives.check(thrave)), ("weeks", weeks.check(thrave))]
    try:
        first.append(("terminal", check_terminal(thrave)))
        first.append(("interrupt", check_interrupt(thrave)))
    except OSError as fault:  # a bare root without pseudo-terminals
        print(f"skipped: no terminal to be had here ({fault})")
    for name, faults in first + [(case, None) for case in cases]:
        if faults is None:
            try:
                faults = check(thrave, name, renew)
            except (ValueError, csv.Error, subprocess.TimeoutExpired) as fault:
                faults = [repr(fault)]
        if faults:
            failed += 1
            print(f"FAILED {name}")
            print("\n".join("    " + fault for fault in faults))
        else:
            passed += 1
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not cases else 0


sys.exit(main())

"""What check.py, records.py and losses.py share: a folder of files through a command, and
one line for each case, then the count."""
import json
import os
import subprocess
import sys
import tempfile

ENV = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C", "TZ": "UTC"}


def ask(thrave, files, command, *options):
    """Exit status and JSON document; files: texts by name, None and empty ones left out."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in files.items():
            if text:
                with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
                    file.write(text)
        argv = [thrave, command, folder, "--on", "2026-11-25", "--json", *options]
        done = subprocess.run(argv, capture_output=True, timeout=120, env=ENV, text=True)
    if not done.stdout:
        raise ValueError(f"exit {done.returncode}: {done.stderr[-400:]}")
    return done.returncode, json.loads(done.stdout)


def each(cases, title, faults, check_itself):
    """(name, what is wrong) of the harness itself and of every case."""
    for case in [None, *cases]:
        try:
            wrong = faults(case) if case else check_itself(cases[0])
        except (ValueError, KeyError, subprocess.TimeoutExpired) as fault:
            wrong = [repr(fault)]
        yield title(case) if case else "the harness", wrong


def report(checks, not_a_farm):
    """Prints a line for each (name, what is wrong) and ends the program."""
    passed = failed = 0
    for name, wrong in checks:
        print(f"{'not ok' if wrong else 'ok'} {passed + failed + 1} - {name}")
        for line in wrong:
            print("    " + line)
        passed, failed = passed + (not wrong), failed + bool(wrong)
    for name, why in not_a_farm:
        print(f"# no farm: {name}: {why}")
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)

"""Runs the examples of README.md and docs/*.md and compares what they show.

An example is a fenced block whose first line is `$ thrave ...`; the lines below are
what the program prints (stdout).  A line `...` stands for any number of lines.
Trailing blanks do not count.  `# exit N` behind the command says the exit status.
"""
import glob
import re
import shlex
import subprocess
import sys


def examples(path):
    block, start = None, 0
    for number, line in enumerate(open(path, encoding="utf-8"), 1):
        if line.startswith("```"):
            if block is not None and block and block[0].startswith("$ thrave "):
                yield start, block
            block, start = ([], number + 1) if block is None else (None, 0)
        elif block is not None:
            block.append(line.rstrip())


def matches(want, got):
    """Whether got is want, `...` lines standing for any run of lines."""
    if not want:
        return not got
    if want[0] == "...":
        return any(matches(want[1:], got[i:]) for i in range(len(got) + 1))
    return bool(got) and want[0] == got[0] and matches(want[1:], got[1:])


def strip_ends(lines):
    while lines and not lines[-1]:
        lines = lines[:-1]
    return lines


def run(thrave, path, start, block):
    command, _, note = block[0][2:].partition("  # ")
    status = int(re.fullmatch(r"exit (\d)", note).group(1)) if note else 0
    argv = [thrave] + shlex.split(command)[1:]
    done = subprocess.run(argv, capture_output=True, text=True, timeout=240)
    got = strip_ends([line.rstrip() for line in done.stdout.splitlines()])
    want = strip_ends(block[1:])
    if done.returncode == status and matches(want, got):
        return True
    print(f"{path}:{start}: {block[0]}")
    print(f"  exit {done.returncode}, expected {status}")
    for line in got:
        print(f"  | {line}")
    print(done.stderr)
    return False


def main():
    thrave = sys.argv[1]
    passed = failed = 0
    for path in ["README.md", "DEVELOPERS.md"] + sorted(glob.glob("docs/*.md")):
        for start, block in examples(path):
            if run(thrave, path, start, block):
                passed += 1
            else:
                failed += 1
    assert matches(["a", "...", "d"], ["a", "b", "c", "d"]) and not matches(["a", "..."], ["b"])
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


sys.exit(main())

"""Processor time of the whole demo run: check stock cost price reach book.

tests/bench/demo.py PROGRAM   prints user + system time of each command, the median of
11 runs, and the sum.  The baseline in the same run is the program doing nothing (`help`):
what starting it and its libraries costs.
"""
import os
import statistics
import sys
import tempfile

RUNS = 11


def processor_time(argv):
    pid = os.fork()
    if pid == 0:
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, 1)
        os.execv(argv[0], argv)
    _, status, used = os.wait4(pid, 0)
    assert os.waitstatus_to_exitcode(status) in (0, 1), argv
    return used.ru_utime + used.ru_stime, used.ru_maxrss


def main():
    thrave = os.path.abspath(sys.argv[1])
    total = 0.0
    with tempfile.TemporaryDirectory() as folder:
        book = os.path.join(folder, "book.xlsx")
        start = statistics.median(processor_time([thrave, "help"])[0] for _ in range(RUNS))
        for command in ("check", "stock", "cost", "price", "reach", "book"):
            argv = [thrave, command, "recipes-demo", "--on", "2026-11-10", "--quiet"]
            if command == "book":
                argv += ["--output", book]
            runs = [processor_time(argv) for _ in range(RUNS)]
            seconds = statistics.median(r[0] for r in runs)
            total += seconds
            print(f"{command:8} {seconds * 1000:7.1f} ms  {seconds / start:5.1f} x help"
                  f"  {max(r[1] for r in runs) / 1024:6.1f} MiB")
    print(f"{'all six':8} {total * 1000:7.1f} ms  (aim: under 200 ms)")
    return 0 if total < 0.2 else 1


sys.exit(main())

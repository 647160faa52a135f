"""What happens when the machine fails: every output all new or untouched, exit 4.

Each check starts the program in a fresh folder with a fault laid on it: a limit on
file size stands for a full disk, /dev/full and a closed descriptor for a broken
standard output, THRAVE_FAIL_ALLOC for want of memory (only in builds that know it).
"""
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile

THRAVE = os.path.abspath(sys.argv[1])
FARM = os.path.abspath("tests/farms/every-rule")
ON = ["--on", "2026-11-10"]
OLD = b"the old file\n"
passed = failed = skipped = 0


def check(name, ok, note=""):
    global passed, failed
    if ok:
        passed += 1
    else:
        failed += 1
        print(f"FAILED {name}: {note}")


def run(args, limit=None, env=None, **kw):
    def before():
        if limit is not None:
            # An inherited SIGXFSZ at its default would kill: the program must cope itself.
            signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    kw.setdefault("stdout", subprocess.PIPE)
    return subprocess.run([THRAVE] + args, stderr=subprocess.PIPE, preexec_fn=before, timeout=120,
                          env={**os.environ, **(env or {})}, **kw)


def died_of_signal(done):
    return done.returncode < 0


def full_disk(folder):
    """Each output file under every limit from nothing up to its full size."""
    for args in (["book"], ["cost", "--json"], ["price", "--csv"], ["reach"], ["pull"], ["hang"], ["loss"], ["dates"], ["stock"]):
        ending = ".ics" if args == ["dates"] else ".xlsx"
        whole = os.path.join(folder, "whole" + ending)
        done = run(args + [FARM] + ON + ["--output", whole])
        check(f"{args} writes", done.returncode == 0, done.stderr)
        size = os.path.getsize(whole)
        want = open(whole, "rb").read()
        os.unlink(whole)
        for limit in sorted({0, 1, size // 3, size - 1}):
            target = os.path.join(folder, "out" + ending)
            for old in (OLD, None):
                if old is None:
                    os.path.exists(target) and os.unlink(target)
                else:
                    open(target, "wb").write(old)
                done = run(args + [FARM] + ON + ["--output", target], limit=limit)
                name = f"{args} at {limit} of {size} bytes"
                check(name, done.returncode == 4, (done.returncode, done.stderr[-300:]))
                check(name + " says why", b"written" in done.stderr, done.stderr)
                now = open(target, "rb").read() if os.path.exists(target) else None
                check(name + " leaves the old", now == old, now and now[:40])
                check(name + " leaves no scrap", set(os.listdir(folder)) <= {"out" + ending}, os.listdir(folder))
        target = os.path.join(folder, "out" + ending)
        done = run(args + [FARM] + ON + ["--output", target], limit=size * 8 + 65536)
        check(f"{args} fits", done.returncode == 0 and open(target, "rb").read() == want, done.stderr)
        os.unlink(target)


def start_on_full_disk(folder):
    """A new farm folder stands whole or not at all; what was there stays."""
    for limit in (0, 100, 700, 1500):
        new = os.path.join(folder, "new")
        done = run(["start", new] + ON, limit=limit)
        check(f"start at {limit} bytes", done.returncode == 4 and not os.path.exists(new),
              (done.returncode, done.stderr))
        os.mkdir(new)
        open(os.path.join(new, "photo.jpg"), "wb").write(OLD)
        done = run(["start", new] + ON, limit=limit)
        check(f"start beside a file at {limit} bytes",
              done.returncode == 4 and os.listdir(new) == ["photo.jpg"], (done.returncode, done.stderr))
        shutil.rmtree(new)


def broken_stdout():
    for args in (["check"], ["stock"], ["cost"], ["price", "--json"], ["reach", "--csv"], ["mix"], ["pull"], ["hang"], ["loss", "--json"], ["help"]):
        line = args if args == ["help"] else args + [FARM] + ON
        with open("/dev/full", "w") as full:
            done = run(line, stdout=full)
        check(f"{args} to a full device", done.returncode == 4, (done.returncode, done.stderr))
        done = subprocess.run(["sh", "-c", '"$0" "$@" >&-', THRAVE] + line, stderr=subprocess.PIPE, timeout=60)
        check(f"{args} to a closed output", done.returncode == 4, (done.returncode, done.stderr))
        done = subprocess.run(["sh", "-c", '"$0" "$@" >&- 2>&- <&-', THRAVE] + line, timeout=60)
        check(f"{args} with everything closed", done.returncode == 4, done.returncode)
        reader, writer = os.pipe()
        os.close(reader)
        done = run(line, stdout=writer)
        os.close(writer)
        check(f"{args} to a broken pipe", done.returncode == 4, (done.returncode, done.stderr))


def start_without_a_name(folder):
    """In the folder where one stands: only an empty one is taken for meant."""
    here = os.path.join(folder, "here")
    os.mkdir(here)
    open(os.path.join(here, "photo.jpg"), "wb").write(OLD)
    done = run(["start"] + ON, cwd=here)
    check("start in a folder with something in it",
          done.returncode == 2 and b"a name" in done.stderr and os.listdir(here) == ["photo.jpg"],
          (done.returncode, done.stderr))
    done = run(["start", "."] + ON, cwd=here)
    check("start there by name", done.returncode == 0 and len(os.listdir(here)) > 5, done.stderr)
    shutil.rmtree(here)
    os.mkdir(here)
    done = run(["start"] + ON, cwd=here)
    check("start in an empty folder", done.returncode == 0 and os.listdir(here), done.stderr)
    shutil.rmtree(here)


def strange_paths(folder):
    os.mkdir(os.path.join(folder, "folder.xlsx"))
    cases = [
        (["stock", os.path.join(folder, "nowhere")], 4),
        (["stock", THRAVE], 4),
        (["book", FARM, "--output", os.path.join(folder, "folder.xlsx")], 4),
        (["book", FARM, "--output", os.path.join(folder, "no", "such", "x.xlsx")], 4),
        (["cost", FARM, "--output", os.path.join(folder, "no", "such", "x")], 4),
        (["start", FARM], 4),
    ]
    for args, status in cases:
        done = run(args)
        check(f"{args[0]} {os.path.basename(args[-1])}", done.returncode == status,
              (done.returncode, done.stderr))
    farm = os.path.join(folder, "farm")
    shutil.copytree(FARM, farm)
    os.unlink(os.path.join(farm, "stock.csv"))
    os.mkdir(os.path.join(farm, "stock.csv"))
    done = run(["stock", farm])
    check("a folder where a table should be", done.returncode in (3, 4), done.stderr)


def no_memory():
    """The Nth allocation and all later ones fail, for N over the whole run."""
    global skipped
    probe = run(["stock", FARM] + ON, env={"THRAVE_FAIL_ALLOC": "1"})
    if probe.returncode != 4:
        skipped += 1
        print("skipped: this build has no allocation faults (they are in VARIANT=san)")
        return
    for args in (["check"], ["price", "--json"], ["reach"], ["mix", "--worth"], ["pull"], ["hang"], ["loss"]):
        n, step = 1, 1
        usual = run(args + [FARM] + ON).returncode
        while True:
            done = run(args + [FARM] + ON, env={"THRAVE_FAIL_ALLOC": str(n)})
            if done.returncode == usual:
                break
            check(f"{args} without memory from {n}",
                  done.returncode == 4 and not died_of_signal(done) and b"memory" in done.stderr,
                  (done.returncode, done.stderr[-400:]))
            n += step
            step = max(1, n // 12)
        check(f"{args} had faults to meet", n > 10, n)


def main():
    with tempfile.TemporaryDirectory() as folder:
        full_disk(folder)
        start_on_full_disk(folder)
        start_without_a_name(folder)
        broken_stdout()
        strange_paths(folder)
        no_memory()
    if skipped:
        print(f"{passed} passed, {failed} failed, {skipped} skipped")
    else:
        print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


sys.exit(main())

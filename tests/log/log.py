"""The bench log survives: kills at random moments, a full disk, two writers at once.

Whatever happens, each entry is in bench.csv once or not at all, noting it again with the
same id makes it once, and nothing that was there is lost.  With --all the numbers are
larger: 500 kills, and two writers of 1,000 entries each.  (Every single moment of a run
is acted out by tests/unit/test_crash.c.)
"""
import fcntl
import os
import random
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
import time

THRAVE = os.path.abspath(sys.argv[1])
ALL = "--all" in sys.argv
KILLS = 500 if ALL else 40
ENTRIES = 1000 if ALL else 60
FARM = """farm Heron Lane
  currency EUR
crop Statice
  bunch 10 stem
piece Wreath
  needs 12 stem Statice
  sells market at 40
outlet market
"""
STOCK = "box,what,count,boxed,counted\nB1,Statice,100000,2026-10-01,2026-11-01\n"
HEADER = "id,on,event,what,count,unit,minutes,spoiled,drawn,box,cause,outlet,price,strikes,note,end"
OLD = "1,2026-11-02,tossed,Statice,1,,,,,B1,,,,,first,."
ON = ["--on", "2026-11-03"]
passed = failed = 0


def check(name, ok, note=""):
    global passed, failed
    if ok:
        passed += 1
    else:
        failed += 1
        print(f"FAILED {name}: {note}")


def new_farm(folder, log=HEADER + "\n" + OLD + "\n"):
    farm = os.path.join(folder, "farm")
    shutil.rmtree(farm, ignore_errors=True)
    os.mkdir(farm)
    for name, text in (("farm.txt", FARM), ("stock.csv", STOCK), ("bench.csv", log)):
        if text is not None:
            with open(os.path.join(farm, name), "w", encoding="utf-8", newline="") as f:
                f.write(text)
    return farm


def read(farm, name="bench.csv"):
    path = os.path.join(farm, name)
    return open(path, "rb").read() if os.path.exists(path) else None


def toss(farm, *more):
    return [THRAVE, "note", farm, "tossed", "1", "Statice", "--box", "B1", *ON, *more]


def run(argv, limit=None):
    def before():
        if limit is not None:
            signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    return subprocess.run(argv, stdout=subprocess.PIPE, stderr=subprocess.PIPE, preexec_fn=before, timeout=60)


def ids(text):
    """The ids of all whole lines, in order."""
    lines = text.decode().split("\n")
    return [line.split(",")[0] for line in lines[1:] if line]


def stems(farm):
    done = run([THRAVE, "stock", farm, "--on", "2026-11-03", "--of", "Statice", "--table", "boxes", "--csv", "--quiet"])
    rows = done.stdout.decode().splitlines()
    column = rows[0].split(",").index("now")
    return float(rows[1].split(",")[column])


def kills(folder):
    """Killed after a random while, and noted again: each entry once, in its order."""
    farm = new_farm(folder)
    choose = random.Random(1)
    began = time.monotonic()
    for i in range(5):
        run(toss(farm, "--try"))
    usual = (time.monotonic() - began) / 5
    want, killed, torn = ["1"], 0, 0
    for i in range(KILLS):
        name = f"k{i}"
        program = subprocess.Popen(toss(farm, "--id", name), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        time.sleep(choose.uniform(0, 1.3 * usual))
        program.kill()
        program.communicate(timeout=60)
        killed += program.returncode == -signal.SIGKILL
        text = read(farm)
        torn += not text.endswith(b"\n")
        there = ids(text[: text.rfind(b"\n") + 1])
        check(f"kill {i}", there == want or (there == want + [name]), (there[-3:], want[-3:]))
        if program.returncode == 0:
            check(f"kill {i} came too late", there == want + [name], there[-3:])
        again = run(toss(farm, "--id", name))
        want.append(name)
        check(f"kill {i}, again", again.returncode == 0 and ids(read(farm)) == want,
              (again.returncode, again.stderr[-300:], ids(read(farm))[-3:]))
    check("kills hit", killed > KILLS // 5, killed)
    check("stock after the kills", stems(farm) == 100000 - 1 - KILLS, stems(farm))
    print(f"{killed} of {KILLS} runs killed, {torn} lines torn")


def full_disk(folder):
    """Under every limit on the size of files, from nothing to one byte too few."""
    farm = new_farm(folder)
    before = read(farm)
    check("writes", run(toss(farm)).returncode == 0)
    size, whole = len(before), len(read(farm))
    for limit in [0, size - 1, *range(size, whole)]:
        farm = new_farm(folder)
        done = run(toss(farm), limit=limit)
        check(f"limit of {limit}", done.returncode == 4 and b"written" in done.stderr and not done.stdout,
              (done.returncode, done.stderr))
        check(f"limit of {limit} leaves the old", read(farm) == before, read(farm))
    done = run(toss(new_farm(folder)), limit=whole)
    check("limit that fits", done.returncode == 0, done.stderr)

    new = new_farm(folder, None)
    run(toss(new))
    whole = len(read(new))
    for limit in (0, 1, whole // 2, whole - 1):
        farm = new_farm(folder, None)
        done = run(toss(farm), limit=limit)
        check(f"first of all, limit of {limit}", done.returncode == 4 and read(farm) is None,
              (done.returncode, read(farm)))
        check(f"first of all, limit of {limit}: no scrap",
              sorted(os.listdir(farm)) == [".bench.csv.lock", "farm.txt", "stock.csv"], os.listdir(farm))

    tail = "2,2026-11-02,tossed,Sta" + "t" * 200
    torn = HEADER + "\n" + tail
    for limit in (0, 1, len(tail)):
        farm = new_farm(folder, torn)
        done = run(toss(farm), limit=limit)
        check(f"torn, limit of {limit}", done.returncode == 4 and read(farm) == torn.encode(),
              (done.returncode, read(farm)))
        check(f"torn, limit of {limit}: aside", not read(farm, "bench.csv.torn"), read(farm, "bench.csv.torn"))


def columns(folder):
    """A log from before a column: it gets it with the entry, or stays as it is."""
    def hung(farm, *more):
        return [THRAVE, "note", farm, "hung", "80", "Statice", "--batch", "S1", *ON, *more]

    old = HEADER + "\r\n" + OLD.replace("first", '"a, ""first"" one"') + "\r\n"
    new = (HEADER.replace(",end", ",batch,end") + "\r\n" + OLD.replace("first,", '"a, ""first"" one",,') + "\r\n"
           "2,2026-11-03,hung,Statice,80,,,,,,,,,,,S1,.\r\n")
    farm = new_farm(folder, old)
    done = run(hung(farm, "--try"))
    check("a try adds no column", done.returncode == 0 and read(farm) == old.encode(), (done.stderr, read(farm)))
    done = run(hung(farm))
    check("columns added", done.returncode == 0 and read(farm) == new.encode(), (done.stderr, read(farm)))
    check("and said", b"bench.csv has got the column batch" in done.stdout, done.stdout)
    check("no file is left behind", set(os.listdir(farm)) == {"farm.txt", "stock.csv", "bench.csv", ".bench.csv.lock"},
          os.listdir(farm))
    for limit in (0, 1, len(old), len(new) - 1):
        farm = new_farm(folder, old)
        done = run(hung(farm), limit=limit)
        check(f"columns, limit of {limit}", done.returncode == 4 and read(farm) == old.encode(), (done, read(farm)))
    several = HEADER + "\n" + OLD.replace("first", '"two\nlines"') + "\n"
    farm = new_farm(folder, several)
    done = run(hung(farm))
    check("cells of two lines", done.returncode == 3 and read(farm) == several.encode()
          and b"no column `batch`" in done.stderr, (done, read(farm)))


def writers(folder):
    """Two at once, each one entry after the other: all are there, none twice."""
    farm = new_farm(folder, None)
    faults = []

    def write(who):
        for i in range(ENTRIES):
            done = run(toss(farm, "--say", f"{who}{i}"))
            if done.returncode:
                faults.append((who, i, done.returncode, done.stderr[-300:]))

    both = [threading.Thread(target=write, args=(who,)) for who in "ab"]
    for one in both:
        one.start()
    for one in both:
        one.join()
    check("both writers succeed", not faults, faults[:2])
    text = read(farm).decode()
    numbers = ids(text.encode())
    check("numbers rise one by one", numbers == [str(i + 1) for i in range(2 * ENTRIES)], numbers[:5])
    said = sorted(line.split(",")[-2] for line in text.splitlines()[1:])
    check("nothing lost, nothing doubled", said == sorted(f"{w}{i}" for w in "ab" for i in range(ENTRIES)))
    check("each keeps its order", all(text.index(f",{w}{i},") < text.index(f",{w}{i + 1},")
                                      for w in "ab" for i in range(ENTRIES - 1)))
    check("stock after both", stems(farm) == 100000 - 2 * ENTRIES, stems(farm))


def torn(folder):
    """A torn line is told by those who read, and moved aside by the next who writes."""
    tail = b"2,2026-11-02,tossed,Sta"
    farm = new_farm(folder, HEADER + "\n" + OLD + "\n" + tail.decode())
    done = run([THRAVE, "stock", farm, "--on", "2026-11-03"])
    check("a reader tells it", done.returncode == 0 and b"is torn" in done.stderr, done.stderr)
    check("and leaves it", read(farm).endswith(tail) and read(farm, "bench.csv.torn") is None)
    done = run(toss(farm))
    check("a writer tells it", done.returncode == 0 and b"bench.csv.torn" in done.stdout, done.stdout)
    check("and sets it aside", ids(read(farm)) == ["1", "2"] and read(farm, "bench.csv.torn") == tail + b"\n",
          (read(farm), read(farm, "bench.csv.torn")))


def held(folder):
    """Waiting for a lock that is held: until it is free, or until it is time to give up."""
    farm = new_farm(folder)
    run(toss(farm))
    before = read(farm)
    with open(os.path.join(farm, ".bench.csv.lock"), "r+") as lock:
        fcntl.lockf(lock, fcntl.LOCK_EX)
        waiting = subprocess.Popen(toss(farm), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        time.sleep(0.5)
        check("waits", waiting.poll() is None and read(farm) == before)
        done = run(toss(farm, "--try"))
        check("a try does not wait", done.returncode == 0 and read(farm) == before, done.stderr)
        if ALL:
            out, err = waiting.communicate(timeout=60)
            check("gives up", waiting.returncode == 4 and b"another run" in err, err)
    out, err = waiting.communicate(timeout=60)
    check("goes on", ALL or (waiting.returncode == 0 and len(ids(read(farm))) == 3), err)


def strange(folder):
    """Folders that cannot be written, and files that are none."""
    farm = new_farm(folder)
    os.unlink(os.path.join(farm, "bench.csv"))
    os.mkdir(os.path.join(farm, "bench.csv"))
    done = run(toss(farm))
    check("a folder in its place", done.returncode in (3, 4), (done.returncode, done.stderr))
    farm = new_farm(folder)
    os.mkdir(os.path.join(farm, ".bench.csv.lock"))
    done = run(toss(farm))
    check("a folder for a lock", done.returncode == 4, (done.returncode, done.stderr))
    empty = os.path.join(folder, "empty")
    os.mkdir(empty)
    done = run(toss(empty))
    check("no farm", done.returncode == 3 and os.listdir(empty) == [], (done.returncode, os.listdir(empty)))
    farm = new_farm(folder)
    real = os.path.join(folder, "elsewhere.csv")
    os.rename(os.path.join(farm, "bench.csv"), real)
    os.symlink(real, os.path.join(farm, "bench.csv"))
    done = run(toss(farm))
    check("a link is followed", done.returncode == 0 and b"\n2," in open(real, "rb").read(), done.stderr)
    with open("/dev/full", "w") as full:
        done = subprocess.run(toss(farm, "--id", "full"), stdout=full, stderr=subprocess.PIPE, timeout=60)
    check("written, though it cannot be printed",
          done.returncode == 4 and b"written all the same" in done.stderr and b"\nfull," in open(real, "rb").read(),
          done.stderr)


def main():
    with tempfile.TemporaryDirectory() as folder:
        torn(folder)
        full_disk(folder)
        strange(folder)
        columns(folder)
        held(folder)
        kills(folder)
        writers(folder)
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


sys.exit(main())

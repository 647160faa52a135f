"""Every command heeds `--suppose`, or refuses it and says why.

The commands are those that the program lists in its own help, so that a new one cannot be
forgotten: one that is not in HEEDS or REFUSES below fails.  Where a table has today's value
beside what is supposed, its sum must be that of the same column without --suppose.

Nothing but the program is behind the expected values here: what is tested is that the two
runs agree.
"""
import json
import os
import re
import subprocess
import tempfile
import zipfile

FULL, PLANT, HANG, TOOK, DRYING, SEASONS = (
    "tests/farms/" + name for name in ("full", "plant", "hang", "took", "drying", "seasons"))
# command: folder, more options, the day, what is supposed (and its name), and whether a table
# has a column of today beside
HEEDS = {
    "check": (FULL, ["--figures"], "2026-11-10", "Statice bench loss = 31%", True),
    "stock": (SEASONS, [], "2026-11-25", "Statice storage loss = 31%", True),
    "loss": (SEASONS, [], "2026-11-25", "Statice drying loss = 31%", True),
    "cost": (FULL, [], "2026-11-10", "wage = 31", True),
    "price": (FULL, [], "2026-11-10", "wage = 31", True),
    "reach": (FULL, [], "2026-11-10", "Statice bench loss = 31%", True),
    "beside": (FULL, ["--and", "2026-12-10"], "2026-11-10", "Statice cost = 0.31", False),
    "mix": (FULL, [], "2026-11-10", "Statice bench loss = 31%", True),
    "pull": (FULL, [], "2026-11-10", "Statice bench loss = 31%", True),
    "pull --mix": (FULL, [], "2026-11-10", "Statice bench loss = 31%", True),
    "took": (TOOK, [], "2026-11-25", "wage = 31", True),
    "dry": (DRYING, [], "2026-08-20", "wage = 31", False),
    "hang": (HANG, [], "2026-07-28", "Statice stems per bundle = 31", True),
    "plant": (PLANT, [], "2026-11-25", "Strawflower drying loss = 31%", True),
    "sway": (FULL, [], "2026-11-10", "wage = 31", False),
}
FILES = {  # command: as above, and the ending of what it writes
    "dates": (PLANT, "2026-11-25", "Strawflower drying loss = 31%", ".ics"),
    "book": (FULL, "2026-11-10", "wage = 31", ".xlsx"),
    "page": (FULL, "2026-11-10", "wage = 31", ".html"),
}
REFUSES = ("start", "note", "help")
NOTHING = ("dry",)  # no figure that can be supposed is in its answer, and it says so

faults = []


def need(name, good, detail=""):
    if not good:
        faults.append(f"{name}: {detail}")


def run(thrave, *argv):
    done = subprocess.run([thrave, *argv], capture_output=True, timeout=120)
    return done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8")


def commands(thrave):
    _, text, _ = run(thrave, "help")
    part = text.split("Commands\n", 1)[1].split("\nOptions", 1)[0]
    return re.findall(r"^  (\S+)  ", part, re.M)


def tables(thrave, argv):
    status, out, err = run(thrave, *argv, "--json")
    assert status in (0, 1, 5), (argv, err)
    return json.loads(out)["tables"]


def without_today(found):
    return [[{k: v for k, v in row.items() if not k.endswith("today")} for row in rows] for rows in found.values()]


def total(rows, key):
    return sum(row[key] for row in rows if isinstance(row.get(key), (int, float)) and row[key] is not True)


def sums_of_today(command, base, found):
    """Returns how many columns of today there are."""
    n = 0
    for name, rows in found.items():
        always = base.get(name)[:1] or [{}]
        for key in (k for k in (rows[0] if rows else ()) if k.endswith("today") and k not in always[0]):
            n += 1
            plain = key[: -len("_today")]
            if key == "today" or plain not in rows[0]:
                continue
            a, b = total(base.get(name, []), plain), total(rows, key)
            need(f"{command} {name} {key}", abs(a - b) <= 1e-9 * max(1, abs(a)), f"{b}, without {a}")
    return n


def shown(thrave, command, folder, more, day, text, beside):
    name, value = (part.strip() for part in text.split("="))
    argv = [*command.split(), folder, *more, "--on", day]
    status, out, err = run(thrave, *argv, "--suppose", text)
    need(f"{command} ends well", status in (0, 1, 5), err)
    line = rf"Supposed {re.escape(name)}:\s+{re.escape(value.rstrip('%'))}\b[^\n]*,\s+today\s"
    if command == "beside":
        line = rf"Supposed on both sides: {re.escape(name)} {re.escape(value)}\b"
    need(f"{command} names it", re.search(line, out), out[:300])
    _, plain, _ = run(thrave, *argv)
    need(f"{command} is without it otherwise", "Supposed" not in plain)
    base, found = tables(thrave, argv), tables(thrave, [*argv, "--suppose", text])
    if command in NOTHING:
        need(f"{command} says that nothing changes", "changes nothing here" in out.replace("\n", " "), out)
        need(f"{command} changes nothing", without_today(base) == without_today(found))
    else:
        need(f"{command} heeds it", without_today(base) != without_today(found))
    n = sums_of_today(command, base, found)
    need(f"{command} shows today beside", bool(n) == beside, n)


def text_of(path):
    if path.endswith(".xlsx"):
        with zipfile.ZipFile(path) as z:
            return "".join(z.read(i).decode("utf-8") for i in z.namelist() if i.endswith(".xml"))
    with open(path, encoding="utf-8", newline="") as f:
        return f.read().replace("\r\n ", "")


def written(thrave, folder, command, day, text, ending, scratch):
    name, value = (part.strip() for part in text.split("="))
    made = {}
    for which, more in (("plain", []), ("supposed", ["--suppose", text])):
        path = os.path.join(scratch, which + ending)
        status, _, err = run(thrave, command, folder, "--on", day, "--output", path, *more)
        need(f"{command} {which} ends well", status in (0, 5), err)
        made[which] = text_of(path)
    need(f"{command} heeds it", made["plain"] != made["supposed"])
    need(f"{command} is without it otherwise", f"Supposed {name}" not in made["plain"])
    need(f"{command} names it", re.search(rf"Supposed {re.escape(name)}: {value.rstrip('%')}\b", made["supposed"]))
    if ending == ".ics":
        events = re.findall(r"^SUMMARY:(.*?)\r$", made["supposed"], re.M)
        need("each date says so", events and all(e.startswith("Supposed: ") for e in events), events)
        need("and what it is today", made["supposed"].count("Today: ") == len(events))
        uids = [set(re.findall(r"^UID:(.*?)\r$", made[w], re.M)) for w in made]
        need("and is no date of today", uids[0] and not uids[0] & uids[1])


def check(thrave):
    listed = commands(thrave)
    need("the commands are listed", len(listed) > 15, listed)
    known = {c.split()[0] for c in HEEDS} | set(FILES) | set(REFUSES)
    need("every command is here", set(listed) == known, set(listed) ^ known)
    for command, (folder, more, day, text, beside) in HEEDS.items():
        shown(thrave, command, folder, more, day, text, beside)
    with tempfile.TemporaryDirectory() as scratch:
        for command, (folder, day, text, ending) in FILES.items():
            written(thrave, folder, command, day, text, ending, scratch)
    for command in REFUSES:
        status, out, err = run(thrave, command, "--suppose", "wage = 31")
        need(f"{command} refuses it", status == 2 and not out and "hint: it is for what is reckoned" in err, err)
    return faults

"""What `thrave dates` writes, read by a reader that knows RFC 5545 and nothing of thrave.

The reader is written from the grammar of the RFC (numbers of sections beside the rules,
from memory) and refuses what the grammar does not have.  It is first held against the
RFC's own examples, then against broken calendars that it must refuse.
"""
import csv
import datetime
import os
import re
import subprocess
import sys
import tempfile

THRAVE = sys.argv[1]
passed = failed = 0


def check(name, good, detail=""):
    global passed, failed
    passed, failed = passed + bool(good), failed + (not good)
    if not good:
        print(f"FAILED {name}: {detail}")


# ---- the reader ----

class Bad(Exception):
    pass


def need(good, what):
    if not good:
        raise Bad(what)


def unfold(data):
    """Content lines of 3.1: CRLF ends a line, CRLF and a blank fold it, 75 octets at most."""
    need(data.endswith(b"\r\n"), "3.1: no CRLF at the end")
    lines = []
    for raw in data[:-2].split(b"\r\n"):
        need(b"\r" not in raw and b"\n" not in raw, "3.1: a bare CR or LF")
        need(len(raw) <= 75, f"3.1: {len(raw)} octets")
        try:
            raw.decode("utf-8")
        except UnicodeDecodeError:
            raise Bad("3.1.4: a character is torn by a fold, or no UTF-8")
        if raw[:1] in (b" ", b"\t"):
            need(lines, "3.1: a fold before any line")
            lines[-1] += raw[1:]
        else:
            lines.append(raw)
    return [line.decode("utf-8") for line in lines]


# 3.1: contentline = name *(";" param) ":" value
CONTENT = re.compile(r'([A-Za-z0-9-]+)((?:;[A-Za-z0-9-]+=(?:"[^"\x00-\x08\x0a-\x1f\x7f]*"|[^";:,\x00-\x08\x0a-\x1f\x7f]*))*):(.*)', re.S)


def content(line):
    m = CONTENT.fullmatch(line)
    need(m, f"3.1: no content line: {line!r}")
    need(not re.search(r"[\x00-\x08\x0a-\x1f\x7f]", m[3]), f"3.1: a control character: {line!r}")
    params = dict(p.split("=", 1) for p in m[2].split(";")[1:])
    return m[1].upper(), params, m[3]


def text(value):
    """3.3.11: \\\\ \\; \\, \\n \\N; anything else behind a backslash, and a bare ; or , is none."""
    out, i = "", 0
    while i < len(value):
        if value[i] == "\\":
            need(i + 1 < len(value) and value[i + 1] in "\\;,nN", f"3.3.11: {value!r}")
            out += "\n" if value[i + 1] in "nN" else value[i + 1]
            i += 2
        else:
            need(value[i] not in ";,", f"3.3.11: bare {value[i]!r} in {value!r}")
            out += value[i]
            i += 1
    return out


def date(params, value):
    need(params == {"VALUE": "DATE"}, "3.2.20: VALUE=DATE")
    need(re.fullmatch(r"\d{8}", value), f"3.3.4: {value!r}")
    return datetime.datetime.strptime(value, "%Y%m%d").date()


def moment(params, value):
    need(not params and re.fullmatch(r"\d{8}T\d{6}Z", value), f"3.3.5: {value!r}")
    return datetime.datetime.strptime(value, "%Y%m%dT%H%M%SZ")


def constant(*allowed):
    def read(params, value):
        need(not params and value in allowed, f"{value!r}")
        return value
    return read


def words(params, value):
    need(not params, "no parameter")
    return text(value)


# 3.6.1: what an event has here; the first three are required, each stands once at most.
EVENT = {"UID": words, "DTSTAMP": moment, "DTSTART": date, "DTEND": date, "SUMMARY": words,
         "DESCRIPTION": words, "CATEGORIES": words, "TRANSP": constant("OPAQUE", "TRANSPARENT")}
CALENDAR = {"VERSION": constant("2.0"), "PRODID": words, "CALSCALE": constant("GREGORIAN")}  # 3.7


def block(lines, at, rules):
    found = {}
    while at < len(lines):
        name, params, value = content(lines[at])
        if name in ("BEGIN", "END"):
            return found, at
        need(name in rules, f"unknown property {name}")
        need(name not in found, f"3.6.1: {name} twice")
        found[name] = rules[name](params, value)
        at += 1
    raise Bad("3.6: no END")


def read(data):
    """The events of a calendar; Bad when it is none."""
    lines = unfold(data)
    need(lines[0] == "BEGIN:VCALENDAR" and lines[-1] == "END:VCALENDAR", "3.4")
    head, at = block(lines, 1, CALENDAR)
    need({"VERSION", "PRODID"} <= head.keys(), "3.6: VERSION and PRODID")
    events = []
    while lines[at] == "BEGIN:VEVENT":
        event, at = block(lines, at + 1, EVENT)
        need(lines[at] == "END:VEVENT", "3.6: END:VEVENT")
        need({"UID", "DTSTAMP", "DTSTART"} <= event.keys(), "3.6.1: UID, DTSTAMP, DTSTART")
        need(event["DTEND"] > event["DTSTART"], "3.8.2.2: DTEND is later than DTSTART")
        events.append(event)
        at += 1
    need(at == len(lines) - 1, "3.4: text behind the events")
    need(events, "3.6: a calendar has one component or more")
    need(len({e["UID"] for e in events}) == len(events), "3.8.4.7: a UID twice")
    return events


# ---- the reader against the RFC ----

def reader_holds():
    folded = b"DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n"
    check("RFC 5545 section 3.1, from memory: the long description",
          unfold(folded) == ["DESCRIPTION:This is a long description that exists on a long line."])
    check("RFC 5545 section 3.3.11, from memory: three lines in one text",
          text(r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared.")
          == "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.")
    check("RFC 5545 section 3.8.1.7, from memory: an escaped comma",
          text(r"Conference Room - F123\, Bldg. 002") == "Conference Room - F123, Bldg. 002")
    check("RFC 5545 section 3.1.4: VALUE as a parameter",
          content("DTSTART;VALUE=DATE:20070628") == ("DTSTART", {"VALUE": "DATE"}, "20070628"))
    jazz = (b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//ABC Corporation//NONSGML My Product//EN\r\n"
            b"BEGIN:VEVENT\r\nUID:20070423T123432Z-541111@example.com\r\nDTSTAMP:20070423T123432Z\r\n"
            b"DTSTART;VALUE=DATE:20070628\r\nDTEND;VALUE=DATE:20070709\r\n"
            b"SUMMARY:Festival International de Jazz de Montreal\r\nTRANSP:TRANSPARENT\r\n"
            b"END:VEVENT\r\nEND:VCALENDAR\r\n")
    event = read(jazz)[0]
    check("RFC 5545 section 3.6.1, from memory: 28 June to 8 July, so DTEND is the 9th",
          event["DTEND"] - datetime.timedelta(1) == datetime.date(2007, 7, 8))
    broken = {"LF only": jazz.replace(b"\r\n", b"\n"), "a long line": jazz.replace(b"Festival", b"Festival" * 9),
              "bare comma": jazz.replace(b"Festival ", b"Festival, "), "no UID": re.sub(rb"UID:[^\r]*\r\n", b"", jazz),
              "a bad escape": jazz.replace(b"Festival ", b"Festival\\x "), "no version": jazz.replace(b"VERSION:2.0\r\n", b""),
              "ends before it starts": jazz.replace(b"20070709", b"20070628"), "no end": jazz[:-15],
              "half a character": jazz.replace(b"Festival ", b"Festival \xc3\r\n \xa9")}
    for name, data in broken.items():
        try:
            read(data)
            check(f"the reader refuses: {name}", False)
        except Bad:
            check(f"the reader refuses: {name}", True)


# ---- the program ----

def write(folder, args, name="out.ics"):
    target = os.path.join(folder, name)
    done = subprocess.run([THRAVE, "dates"] + args + ["--output", target], capture_output=True, text=True, timeout=60)
    data = open(target, "rb").read() if os.path.exists(target) else None
    return done, data


def days(events, category):
    return sorted((e["DTSTART"].isoformat(), e["SUMMARY"]) for e in events if e["CATEGORIES"] == category)


def small_farm(folder):
    args = ["tests/farms/hang", "--on", "2026-07-28"]
    done, data = write(folder, args)
    events = read(data)
    check("status and sentence", done.returncode == 0 and "10 dates stand in" in done.stdout, done)
    frost, week = datetime.date(2027, 4, 24), datetime.timedelta(7)
    plant, cut = frost + 2 * week, frost + 12 * week
    # 4 weeks of cutting are 28 days, the first and the last both cut; the last one hangs 12 days.
    plan = {"Sowing": frost - 7 * week, "Planting": plant, "First cut": cut, "Last cut": cut + 4 * week - datetime.timedelta(1),
            "Last dry": cut + 4 * week + datetime.timedelta(11), "Frost": frost}
    for category, day in plan.items():
        check(f"plan: {category}", [e["DTSTART"] for e in events if e["CATEGORIES"] == category] == [day], events)
    check("orders", days(events, "Order") == [("2026-08-15", "Order O1 due: 3 Wreath at market")], events)
    check("boxing: 12 days after 22 July, 14 after 24 July",
          days(events, "Boxing") == [("2026-08-03", "Box Statice, batch A2, if it is dry"),
                                     ("2026-08-07", "Box Strawflower, batch B2, if it is dry")], events)
    check("targets", days(events, "Target") == [("2027-11-20", "Target: 80 Wreath at market")], events)
    target = [e for e in events if e["CATEGORIES"] == "Target"][0]
    check("the note comes through whole", target["DESCRIPTION"] == "For the winter market; bring rings, wire.", target)
    check("days, not hours: each ends on the day after",
          all(e["DTEND"] - e["DTSTART"] == datetime.timedelta(1) for e in events))
    check("the stamp is the day of the report", {e["DTSTAMP"] for e in events} == {datetime.datetime(2026, 7, 28)})
    check("written again: the same bytes", write(folder, args)[1] == data)
    later = read(write(folder, ["tests/farms/hang", "--on", "2026-08-10"])[1])
    # (The plan's own numbers follow the shed of the day, so its words may change.)
    late = {e["CATEGORIES"]: e["UID"] for e in later}
    check("the plan's events too", all(late[e["CATEGORIES"]] == e["UID"] for e in events
                                       if e["CATEGORIES"] in plan), later)
    first = {e["SUMMARY"]: e["UID"] for e in events if e["CATEGORIES"] not in plan}
    later = [e for e in later if e["CATEGORIES"] not in plan]
    check("a later day: the same events keep their UID, a batch that still hangs moves on",
          {e["SUMMARY"]: e["UID"] for e in later} == first and
          days(later, "Boxing")[0][0] == "2026-08-11", later)


def over_the_new_year(folder):
    """The last week of a year with 53 (ISO 8601), 29 February: the day after is what a calendar says it is."""
    farm = os.path.join(folder, "south")
    os.mkdir(farm)
    with open(os.path.join(farm, "farm.txt"), "w", encoding="utf-8") as f:
        f.write("farm South\n  frost last 2027-09-20, first 2027-05-10\ncrop Statice\n  hangs 15 stem per bundle, 12 days\n"
                "  sows on 2027-12-31, germinates 80%, 128 cells per tray\n  plants on 2028-02-29, 30 cm apart, 3 rows\n"
                "  cuts from 43 weeks after planting, over 3 days, 12 stem per plant\npiece Bunch\n  needs 25 stem Statice\n"
                "target Bunch\n  sell 10 by 2029-03-01\n")
    done, data = write(folder, [farm, "--on", "2027-06-01"])
    check("south: written", done.returncode == 0, done.stderr)
    text = data.decode("utf-8")
    for start, end in (("20271231", "20280101"), ("20280229", "20280301"), ("20281226", "20281227"), ("20281228", "20281229")):
        check(f"south: {start} ends before {end}",
              f"DTSTART;VALUE=DATE:{start}\r\nDTEND;VALUE=DATE:{end}\r\n" in text, text)
    frosts = days(read(data), "Frost")
    check("south: spring's last frost, then autumn's first a year on",
          [d for d, _ in frosts] == ["2027-09-20", "2028-05-10"], frosts)


def names(folder):
    """Names with all that has to be escaped or folded."""
    farm = os.path.join(folder, "farm")
    os.mkdir(farm)
    odd = "Kranz \u201ealt\u201c \\n " + "\u00e9\u65e5\U0001f33e" * 12
    with open(os.path.join(farm, "a.txt"), "w", encoding="utf-8") as f:
        f.write(f"farm Hof am \\ See\n  frost last 2027-05-01, first 2026-10-18\npiece {odd}\n  needs 1 each Ring\n"
                f"supply Ring\n  costs 1 per each\ntarget {odd}\n  sell 3 by 2026-12-01\n  sell 4 by 2026-12-01\n"
                "  note one\n  note two, three; four\\n\n")
    with open(os.path.join(farm, "orders.csv"), "w", encoding="utf-8", newline="") as f:
        out = csv.writer(f)
        out.writerow(["order", "piece", "count", "due"])
        for i in range(1, 40):
            out.writerow([f"a;{i}, \\n", odd, i, "2026-11-%02d" % (i % 28 + 1)])
    done, data = write(folder, [farm, "--on", "2026-11-20"])
    check("odd names are written", done.returncode == 0, done.stderr)
    events = read(data)
    check("orders with odd marks, late ones too", len(days(events, "Order")) == 39)
    check("the name as it is written", all(e["SUMMARY"].endswith(odd) for e in events if e["CATEGORIES"] == "Order"))
    check("marks as they are written", sum("Order a;3, \\n due: 3 " in e["SUMMARY"] for e in events) == 1, events)
    check("two targets of one piece", len(days(events, "Target")) == 2)
    check("notes on lines of their own", {e.get("DESCRIPTION") for e in events if e["CATEGORIES"] == "Target"}
          == {"one\ntwo, three; four\\n"})
    check("the frost that has passed is left out, the one that ends the season is a year on", days(events, "Frost")
          == [("2027-05-01", "Last frost to plan by"), ("2027-10-18", "First frost to plan by")])
    check("some lines were folded", b"\r\n " in data)


def every_farm(folder):
    farms = ["recipes-demo"] + sorted(os.path.join("tests/farms", d) for d in os.listdir("tests/farms"))
    read_some = 0
    for farm in farms:
        done, data = write(folder, [farm, "--on", "2026-11-10"], os.path.basename(farm) + ".ics")
        if done.returncode:
            check(f"{farm}: nothing is written without dates or with errors", data is None and done.returncode in (1, 3), done)
            continue
        events = read(data)
        read_some += 1
        check(f"{farm}: as many as it says", done.stdout.startswith(f"{len(events)} date"), done.stdout)
        check(f"{farm}: by day", [e["DTSTART"] for e in events] == sorted(e["DTSTART"] for e in events))
        if farm == "recipes-demo":
            with open("recipes-demo/orders.csv", newline="", encoding="utf-8") as f:
                open_orders = sum(1 for row in csv.DictReader(f) if not row["sent"])
            check("the demo's open orders", len(days(events, "Order")) == open_orders, open_orders)
    check("enough farms have dates", read_some >= 4, read_some)


def all_or_nothing(folder):
    target = os.path.join(folder, "old.ics")
    with open(target, "w") as f:
        f.write("an old calendar\n")
    done, data = write(folder, ["tests/farms/least", "--on", "2026-11-10"], "old.ics")
    check("no dates: the old file stays", done.returncode == 1 and data == b"an old calendar\n", done)
    done, data = write(folder, ["tests/farms/hang", "--on", "2026-07-28"], "old.txt")
    check("a name that is no calendar's", done.returncode == 2 and data is None and ".ics" in done.stderr, done)
    os.chmod(target, 0o444)
    sealed = os.path.join(folder, "sealed")
    os.mkdir(sealed)
    done = subprocess.run([THRAVE, "dates", "tests/farms/hang", "--on", "2026-07-28", "--output",
                           os.path.join(folder, "nowhere", "x.ics")], capture_output=True, text=True)
    check("a folder that is not there", done.returncode == 4 and not done.stdout, done)


def other_reader(folder):
    import vobject
    for farm, on in (("tests/farms/hang", "2026-07-28"), ("recipes-demo", "2026-11-10")):
        _, data = write(folder, [farm, "--on", on], "other.ics")
        own = read(data)
        other = list(vobject.readOne(data.decode("utf-8")).vevent_list)
        check(f"{farm}: a general library reads the same",
              [(e["UID"], e["SUMMARY"], e["DTSTART"], e.get("DESCRIPTION")) for e in own]
              == [(e.uid.value, e.summary.value, e.dtstart.value,
                   e.description.value if hasattr(e, "description") else None) for e in other])


def main():
    reader_holds()
    for part in [small_farm, over_the_new_year, names, every_farm, all_or_nothing] + ([other_reader] if "--other" in sys.argv else []):
        with tempfile.TemporaryDirectory() as folder:
            try:
                part(folder)
            except (Bad, KeyError, TypeError) as fault:
                check(part.__name__, False, repr(fault))
    print(f"{passed} passed, {failed} failed")
    return failed != 0


sys.exit(main())

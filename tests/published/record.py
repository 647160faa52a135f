"""A published example of what a year's records say, as a case."""
from collections import namedtuple

# files: by name; words: command and options; checks: see check(); status: the exit status.
Case = namedtuple("Case", "name source files words checks status")
# same False: a value that a wrong reading would give and that must not come out.
Check = namedtuple("Check", "table row column value within same")

LOG = "id,on,event,what,count,unit,minutes,spoiled,drawn,box,cause,outlet,price,strikes,note,end\n"


def case(name, source, files, words, *checks, status=0):
    return Case(name, source, files, words, checks, status)


def check(table, column, value, within=1e-6, same=True, **row):
    return Check(table, row, column, value, within, same)


def log(*rows):
    """Rows: day, what, count, minutes, drawn; minutes None: not said."""
    text = LOG
    for number, (on, what, count, minutes, drawn) in enumerate(rows):
        minutes = "" if minutes is None else minutes
        text += f"{number},{on},made,{what},{count},each,{minutes},,{drawn},,,,,,,.\n"
    return text

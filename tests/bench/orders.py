"""Processor time of `reach` on a large farm with many open orders, each for a day of its own.

tests/bench/orders.py PROGRAM   300 pieces and 5,000 boxes, made up from a committed seed
(tests/book/made_up.py); with no, ten and thirty orders.  The baseline in the same run is
the farm with no orders.  Fails past the ratios below: ten orders were 70 times the baseline and thirty
750 times, when every material was asked after by itself and losses were not counted class by class.
"""
import datetime
import os
import sys
import tempfile

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "book"))
sys.dont_write_bytecode = True
import made_up

PIECES, BOXES = 300, 5000
MOST = {10: 25, 30: 300}  # times the baseline


class Ordered(made_up.Large):
    def __init__(self, orders):
        self.norders = orders
        super().__init__(PIECES, BOXES)

    def orders(self, least=0, most=0):
        out = []
        for n in range(self.norders):
            piece, outlet = self.d.one(self.sold)
            due = datetime.date(2026, 11, 20) + datetime.timedelta(n)
            out.append("O%d,%s,%d,%s,%s,%s" % (n + 1, piece, self.d.whole(1, 3), outlet, due,
                                               self.d.one(["", self.d.real(20, 90, 0)])))
        self.table("orders.csv", "order,piece,count,outlet,due,price", out)


def write(farm, folder):
    for name, lines in [("farm.txt", farm.lines)] + sorted(farm.tables.items()):
        with open(os.path.join(folder, name), "w", encoding="utf-8", newline="\n") as f:
            f.write("\n".join(lines) + "\n")


def processor_time(argv):
    pid = os.fork()
    if pid == 0:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os.execv(argv[0], argv)
    _, status, used = os.wait4(pid, 0)
    assert os.waitstatus_to_exitcode(status) in (0, 1, 5), argv
    return used.ru_utime + used.ru_stime


def main():
    thrave, good, base = os.path.abspath(sys.argv[1]), True, None
    for orders in [0] + sorted(MOST):
        with tempfile.TemporaryDirectory() as folder:
            write(Ordered(orders), folder)
            seconds = processor_time([thrave, "reach", folder, "--on", made_up.DATE, "--quiet"])
        base = base or seconds
        most = MOST.get(orders)
        good = good and (most is None or seconds <= most * base)
        print("reach, %d pieces, %d boxes, %2d orders: %6.2f s%s" % (
            PIECES, BOXES, orders, seconds,
            "" if most is None else ", %.1f times as long as without (at most %d)" % (seconds / base, most)))
    return 0 if good else 1


sys.exit(main())

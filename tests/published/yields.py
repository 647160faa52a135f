"""What is lost on the way, and what the rest then costs."""
from record import case, check

KAPLAN = "ACCA Management Accounting (F2), Kaplan pocket text, ch. 9, "


def bed(name, source, loses, cut, money, *checks, boxed="", words=()):
    farm = f"farm Table\n  wage 10 per h\ncrop Kg\n  loses {loses}\npiece P\n  needs 1 stem Kg\n"
    beds = f"bed,crop,money,hours,cut hours,dry hours,cut,boxed\n1,Kg,{money},0,0,0,{cut},{boxed}\n"
    return case(name, source, {"farm.txt": farm, "beds.csv": beds}, ["cost", "--of", "Kg", *words], *checks)


def usable(name, source, loses, share):
    """Of one unit of money per stem cut, a usable stem costs 1 / share."""
    return bed(name, source, loses, 1000, 1000, check("stems", "per_usable", 1 / share, 1e-9, crop="Kg"))


CASES = [
    bed("1,000 kg for 20,700, 10% normal: 23.00 a kg", KAPLAN + "5.1", "10% drying", 1000, 20700,
        check("stems", "per_boxed", 23, crop="Kg")),
    # Scrap of 180 comes off the cost.
    bed("scrap of 180: 22.80", KAPLAN + "6.1", "10% drying", 1000, 20700 - 180,
        check("stems", "per_boxed", 22.80, crop="Kg")),
    bed("800 left: 100 kg abnormal, 2,280", KAPLAN + "6.3", "10% drying", 1000, 20700 - 180,
        check("stems", "lost", 100, crop="Kg"), check("stems", "lost_money", 2280, crop="Kg"),
        check("beds", "per_boxed", 22.80, bed="1"), boxed=800),
    bed("52,800 over 3,000 less 10%: 19.56", "acowtancy, FMA notes", "10% drying", 3000, 52800,
        check("stems", "per_boxed", 19.5556, 0.00005, crop="Kg")),
    bed("1,000 in, 800 out: 100 lost", "acowtancy, FMA notes", "10% drying", 1000, 1000,
        check("stems", "lost", 100, crop="Kg"), boxed=800),
    bed("2,000 in, 1,950 out at 10%: a gain of 150", "acowtancy, FMA notes", "10% drying", 2000, 1000,
        check("stems", "lost", -150, crop="Kg"), boxed=1950),
    # Ten per cent of what comes out are an eleventh of what goes in: 12,000 of 13,200.
    bed("loss of 10% of the output: 15.00", "OpenTuition, process costing, question 42", "9.0909090909% drying",
        13200, 184800 - 4800, check("stems", "per_boxed", 15, crop="Kg")),
    bed("the trap: 10% of the input is another cost", "OpenTuition, process costing, question 42", "10% drying",
        13200, 184800 - 4800, check("stems", "per_boxed", 15, 0.1, same=False, crop="Kg")),
    usable("three steps: .95 x .84 x .88 = .70224", "Minitab support, throughput yield and rolled throughput yield",
           "5% field, 16% drying, 12% bench", 0.70224),
    # Its formula line shows .85 where .87 is meant; .77 is printed.
    usable("13, 7 and 5 defects of 100: .768645", "Sigmapedia, rolled throughput yield",
           "13% field, 7% drying, 5% bench", 0.768645),
    usable("two steps: .97 x .94 = .9118", "iSixSigma, rolled throughput yield", "3% field, 6% drying", 0.9118),
]

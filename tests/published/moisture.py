"""Moisture from weighings, and when a sample counts as dry."""
from record import case, check

ALASKA = "University of Alaska Fairbanks, FGV-00248 (2020)"
OHIO = "Ohio State University, forage moisture with an air fryer, second hand"
CONSTANT = "Saskatchewan, Determining Moisture Content; Illinois and Alaska allow 1 to 2 g"


def batch(name, source, tare, weights, *checks, status=1):
    """Weights on the scale, day by day from 1 November."""
    weighings = "; ".join(f"2026-11-{day + 1:02} {grams}" for day, grams in enumerate(weights))
    table = f"batch,crop,hung on,tare,weighings\nB,Hay,2026-11-01,{tare},{weighings}\n"
    return case(name, source, {"farm.txt": "crop Hay\n", "batches.csv": table}, ["dry", "--of", "Hay"], *checks,
                status=status)


def said(column, value, *more, **how):
    return check("hanging", column, value, *more, batch="B", **how)


CASES = [
    batch("dish 5 g, 55 g to 45 g: 20%", ALASKA, 5, (55, 45), said("lost", 0.20), said("last", 40)),
    # Of the dry weight it would be 25%, of the weight with the dish 18%.
    batch("the same, not by other weights", ALASKA, 5, (55, 45), said("lost", 0.25, 0.01, same=False),
          said("lost", 0.18, 0.01, same=False)),
    batch("90 g to 70 g: 22%", OHIO, 0, (90, 70), said("lost", 0.22, 0.005)),
    batch("100 g to 80 g: 20%", OHIO, 0, (100, 80), said("lost", 0.20)),
    batch("20% wet basis are 25% dry basis", "IRRI, Rice Knowledge Bank, both bases; algebra derived", 0, (100, 80),
          said("lost_dry_basis", 0.25)),
    batch("25% wet basis are 33.3% dry basis", "IRRI, as above", 0, (100, 75), said("lost_dry_basis", 1 / 3)),
    batch("80% wet basis are 400% dry basis", "IRRI, as above", 0, (100, 20), said("lost_dry_basis", 4)),
    # 0.9 g of 100 g: dry by all three rules; 1.1 g: by the strict one it is not.
    batch("100 g, the last loss 0.9 g: dry", CONSTANT, 0, (100, 35, 23, 20.9, 20), said("change", 0.009),
          said("verdict", "dry"), status=0),
    batch("100 g, the last loss 1.1 g: leave it hanging", CONSTANT, 0, (100, 35, 23, 20.9, 19.8),
          said("change", 0.011), said("verdict", "leave hanging"), said("reason", "still losing weight")),
    batch("a hook of 200 g changes nothing", CONSTANT, 200, (300, 235, 223, 220.9, 219.8), said("change", 0.011),
          said("verdict", "leave hanging")),
    # Our own floor, whatever the rule: no verdict on two weighings.
    batch("two equal weights are no verdict", CONSTANT, 0, (100, 20), said("verdict", "weigh again")),
]

"""What costs something once, however little is made: rents as days of stalls, starts as
setting up for a batch that is never full."""
from farms import block, case, orders, stock

GARMENTS = list(zip("ABC", (6, 4, 7), (200, 150, 100), (3, 2, 6), (4, 3, 4)))
SIZES, WANTED = (33, 30, 26, 24, 19, 18, 17), (400, 300, 500, 700, 200, 400, 200)


def machines_as_stalls():
    """The rent is the money of a day, of which there is one; the labour is bench hours."""
    farm = block("farm Table", "currency EUR", "bench 150 h until 2026-12-24") \
        + block("crop Statice", "bunch 10 stem")
    for name, gain, rent, labour, cloth in GARMENTS:
        farm += block(f"piece {name}", f"needs {cloth} stem Statice", f"takes {labour} h tying",
                      f"sells {name} at {gain}")
        farm += block(f"outlet {name}", f"stall {rent} per day, 1 days")
    return farm


def machines_as_setting_up():
    """The rent is work paid at 10 an hour, once for more garments than the cloth gives."""
    farm = block("farm Table", "currency EUR", "wage 10 per h") \
        + block("crop Statice", "bunch 10 stem") + block("crop Yarrow", "bunch 10 stem")
    for name, gain, rent, labour, cloth in GARMENTS:
        farm += block(f"piece {name}", f"needs {cloth} stem Statice", f"needs {labour} stem Yarrow",
                      f"takes {rent // 10} h setting up, for each batch of up to 60", f"sells shop at {gain}")
    return farm + block("outlet shop", "note takes what is made")


def either_row():
    """Four products with starts, at most two of them, C or D only with A or B, and either of
    two rows.  Each allowed set under each row is a hall with one day, whose money is the
    starts; a day takes an hour of the one there is."""
    gain, start = (70, 60, 90, 80), (50000, 40000, 70000, 60000)
    rows = {"Statice": (5, 3, 6, 4), "Yarrow": (4, 6, 3, 5)}
    sets = ((0,), (1,), (0, 1), (0, 2), (0, 3), (1, 2), (1, 3))
    farm = block("farm Table", "currency EUR", "bench 1 h until 2026-12-24")
    for crop, much in rows.items():
        farm += block(f"crop {crop}", "bunch 10 stem")
        for of in sets:
            hall = "".join("ABCD"[i] for i in of) + " " + crop
            farm += block(f"outlet {hall}", f"stall {sum(start[i] for i in of)} per day, 1 h, 1 days")
        for i, name in enumerate("ABCD"):
            halls = ["".join("ABCD"[k] for k in of) + " " + crop for of in sets if i in of]
            farm += block(f"piece {name} of {crop}", f"needs {much[i]} stem {crop}",
                          *[f"sells {hall} at {gain[i]}" for hall in halls])
    return farm


def boxes():
    """A box of a size can serve for any smaller one: parts that take their size in board at 1
    and 1000 of setting up (100 h at 10); each wish is an order at 100."""
    farm = block("farm Table", "currency EUR", "wage 10 per h") + block("supply Board", "costs 1 per each")
    for i, size in enumerate(SIZES):
        farm += block(f"part Box {size}", f"needs {size} each Board",
                      f"takes 100 h setting up, for each batch of up to {sum(WANTED[i:])}")
        ways = [f"1 each Box {larger}" for larger in SIZES if larger >= size]
        farm += block(f"piece Wish {size}", f"needs {ways[-1]}", *[f"or {way}" for way in ways[-2::-1]],
                      "sells shop at 100, up to 0")
    return farm + block("outlet shop", "note takes what is made")


def lengths():
    """The same wishes of stems, from the boxes that the published plan makes."""
    farm = block("farm Table", "currency EUR") + block("crop Statice", "bunch 10 stem")
    for size in SIZES:
        farm += block(f"piece Wish {size}", f"needs 1 stem Statice, from {size} cm",
                      "sells shop at 1, up to 0")
    return farm + block("outlet shop", "note takes what is made")


def boxes_made(document):
    made = {row["item"]: row["makings"] for row in document["tables"]["makings"] if row["kind"] == "part"}
    want = {"Box 33": 700, "Box 26": 500, "Box 24": 700, "Box 19": 800}
    return [] if made == want else [f"boxes {made}"]


def short_of(count):
    """As many wishes short as stems are left."""
    def more(document):
        tables = document["tables"]
        short = sum(row["short"] for row in tables["shorts"])
        left = sum(row["left"] for row in tables["left"])
        return [] if short == left == count else [f"short {short}, left {left}"]
    return more


WISHES = [f"Wish {size}" for size in SIZES]
BOX_SOURCE = "Winston, Operations Research, sec. 8.2, a problem (section: memory)"

CASES = [
    case("three machines to rent, as stalls", "Winston, sec. 9.2 (section: memory)",
         machines_as_stalls(), 75, stock=stock(("Statice", 160)), solution={"C": 25}),
    case("three machines to rent, as setting up", "Winston, sec. 9.2 (section: memory)",
         machines_as_setting_up(), 75, stock=stock(("Statice", 160), ("Yarrow", 150)), solution={"C": 25}),
    # 70000 was reported where the switches were constants of 1e8 (gaborcsardi/lpSolve issue 1).
    case("starts, at most two, either of two rows", "Hillier & Lieberman, mixed-integer problem", either_row(),
         80000, stock=stock(("Statice", 6000), ("Yarrow", 6000)), options=["--stall-hours"],
         solution={"B of Statice": 2000}),
    case("larger boxes serve for smaller ones", BOX_SOURCE, boxes(), 72100,
         income=100 * sum(WANTED),
         orders=orders((wish, n, 100) for wish, n in zip(WISHES, WANTED)), more=boxes_made),
    case("longer stems serve for shorter ones", BOX_SOURCE + ", its plan", lengths(), 2700,
         stock=stock(*[("Statice", n, size) for n, size in ((700, 33), (500, 26), (700, 24), (800, 19))]),
         orders=orders((wish, n, 1) for wish, n in zip(WISHES, WANTED)), more=short_of(0)),
    case("one stem too short", BOX_SOURCE + ", its plan with a 33 cut to 29", lengths(), 2699,
         stock=stock(*[("Statice", n, size)
                       for n, size in ((699, 33), (1, 29), (500, 26), (700, 24), (800, 19))]),
         orders=orders((wish, n, 1) for wish, n in zip(WISHES, WANTED)), more=short_of(1), status=1),
]

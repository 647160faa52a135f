/* test_stock.c - counts, the bench log, age, classes. */
#include <math.h>

#include "help_farm.h"
#include "reckon/stock.h"

struct fixture {
	struct built b;
	struct stock s;
	struct crop *statice;
	struct supply *ring;
	struct part *tuft;
	struct piece *wreath;
	struct item stems, rings, tufts, wreaths;
};

static void start(struct fixture *f)
{
	*f = (struct fixture){ 0 };
	build_start(&f->b);
	f->statice = build_crop(&f->b, "Statice");
	f->ring = build_supply(&f->b, "Ring", 2);
	f->tuft = build_part(&f->b, "Tuft");
	f->wreath = build_piece(&f->b, "Wreath");
	f->stems = build_crop_item(&f->b, f->statice);
	f->rings = build_supply_item(&f->b, f->ring);
	f->tufts = build_part_item(&f->b, f->tuft);
	f->wreaths = build_piece_item(&f->b, f->wreath);
}

static void take(struct fixture *f, const char *on)
{
	build_done(&f->b);
	remarks_init(&f->b.remarks, &f->b.arena);
	stock_take(&f->s, &f->b.farm, build_day(on), false, NULL, &f->b.arena, &f->b.remarks);
}

/* A count shrinks by the storage loss of the months since: 365.25 days are 12. */
static void test_survival(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	f.statice->loss[STAGE_STORAGE] = build_fig(0.02);
	build_box(&f.b, "B1", f.stems, 1000, "2025-08-01", "2025-11-01");
	take(&f, "2026-05-01"); /* 181 days */
	double kept = pow(0.98, 181 * 12 / 365.25);
	assert_near(f.s.boxes[0].count, 1000);
	assert_near(f.s.boxes[0].worth, 1000 * kept);
	assert_near(f.s.boxes[0].survival, kept);
	assert_int_equal(f.s.nclasses, 1);
	assert_int_equal(f.s.classes[0].counted_stems, 1000);
	assert_int_equal(f.s.classes[0].whole, (int64_t)floor(1000 * kept));
	assert_near(f.s.crop_worth[0], 1000 * kept);
	/* Loss goes on to a later day of use, from the count on. */
	assert_near(stock_class_survival(&f.s, 0, build_day("2026-11-01")),
	            pow(0.98, 365 * 12 / 365.25));
	assert_near(stock_class_survival(&f.s, 0, build_day("2026-04-01")), kept);
	build_end(&f.b);
}

/* A box counted later than the day asked for is used as counted, and said. */
static void test_counted_later(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	f.statice->loss[STAGE_STORAGE] = build_fig(0.5);
	build_box(&f.b, "B1", f.stems, 80, "2025-08-01", "2025-11-20");
	struct log_entry *e = build_log(&f.b, "2025-11-10", EVENT_MADE, f.wreaths, 1);
	build_drawn(&f.b, e, &f.b.farm.boxes[0], 30);
	take(&f, "2025-11-01");
	assert_near(f.s.boxes[0].worth, 80);
	assert_true(build_said(&f.b, REMARK_ASSUMED, "Counted after 2025-11-01"));
	assert_true(build_said(&f.b, REMARK_ASSUMED, "B1"));
	f.b.farm.boxes[0].count = 0; /* an empty box is nothing to speak of */
	take(&f, "2025-11-01");
	assert_false(build_said(&f.b, REMARK_ASSUMED, "Counted after"));
	build_end(&f.b);
}

static void test_classes(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	f.statice->keeps = build_fig(6);
	struct crop *oats = build_crop(&f.b, "Oats");
	struct item oat = build_crop_item(&f.b, oats);
	static const struct {
		const char *id, *boxed;
		double count;
		uint32_t colour;
		float length;
		bool oats;
	} rows[] = {
		{ "oats", "2025-09-03", 10.4, NONE, 400, true },
		{ "old", "2025-02-01", 50, 0, 300, false },
		{ "blue-long", "2025-09-03", 7, 1, 450, false },
		{ "blue-a", "2025-09-03", 3, 1, 300, false },
		{ "blue-b", "2025-09-28", 4, 1, 300, false }, /* same month: same class */
		{ "blue-oct", "2025-10-01", 5, 1, 300, false },
		{ "plain", NULL, 6, NONE, 300, false },
		{ "red", "2025-09-03", 2, 0, 300, false },
		{ "empty", "2025-09-03", 0, 0, 300, false },
		{ "oats-b", "2025-09-04", 10.8, NONE, 400, true },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct box *box = build_box(&f.b, rows[i].id, rows[i].oats ? oat : f.stems,
		                            rows[i].count, rows[i].boxed, "2025-11-01");
		box->colour = rows[i].colour;
		box->length = rows[i].length;
	}
	take(&f, "2025-11-01");
	/* By crop, past last, colour (not said last), length, month. */
	static const char *const want[] = { "red",  "blue-a", "blue-oct", "blue-long",
		                            "plain", "old",    "oats" };
	assert_int_equal(f.s.nclasses, COUNT(want));
	for (size_t i = 0; i < COUNT(rows); i++) {
		uint32_t class_ = f.s.boxes[i].class_;
		if (rows[i].count == 0) {
			assert_int_equal(class_, NONE);
			continue;
		}
		const char *first = want[class_];
		if (strcmp(rows[i].id, "blue-b") == 0)
			assert_string_equal(first, "blue-a");
		else if (strcmp(rows[i].id, "oats-b") == 0)
			assert_string_equal(first, "oats");
		else
			assert_string_equal(first, rows[i].id);
	}
	assert_int_equal(f.s.classes[1].whole, 7);
	assert_int_equal(f.s.classes[1].month, 2025 * 12 + 8);
	assert_int_equal(f.s.classes[1].boxed, build_day("2025-09-03"));
	assert_int_equal(f.s.classes[4].month, -1);
	/* Floored once for the class: 10.4 + 10.8 are 21 stems, not 20. */
	assert_int_equal(f.s.classes[6].whole, 21);
	assert_true(f.s.classes[5].past);
	assert_near(f.s.crop_worth[0], 7 + 3 + 4 + 5 + 6 + 2);
	assert_true(build_said(&f.b, REMARK_ASSUMED, "Past keeping and left out: old."));
	assert_true(build_said(&f.b, REMARK_ASSUMED, "No day of boxing"));
	/* Asked for, old boxes count again. */
	stock_take(&f.s, &f.b.farm, build_day("2025-11-01"), true, NULL, &f.b.arena, &f.b.remarks);
	assert_near(f.s.crop_worth[0], 7 + 3 + 4 + 5 + 6 + 2 + 50);
	assert_true(f.s.classes[5].past);
	build_end(&f.b);
}

/* Six months of 365.25/12 days are 182.6 days: past on the 183rd. */
static void test_keeping_ends(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	f.statice->keeps = build_fig(6);
	build_box(&f.b, "B1", f.stems, 10, "2025-01-01", "2025-01-01");
	take(&f, "2025-07-02"); /* 182 days */
	assert_false(f.s.boxes[0].past);
	take(&f, "2025-07-03");
	assert_true(f.s.boxes[0].past);
	build_end(&f.b);
}

/* Entries up to the counted day are in the count; later ones move the box. */
static void test_log_moves_boxes(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	struct box *b1 = build_box(&f.b, "B1", f.stems, 100, "2025-09-01", "2025-11-01");
	struct box *b2 = build_box(&f.b, "B2", f.stems, 40, "2025-09-01", "2025-11-05");
	static const char *const days[] = { "2025-10-30", "2025-11-01", "2025-11-03", "2025-11-06",
		                            "2025-11-30" };
	for (size_t i = 0; i < COUNT(days); i++) {
		struct log_entry *e = build_log(&f.b, days[i], EVENT_MADE, f.wreaths, 1);
		build_drawn(&f.b, e, b1, 10);
		build_drawn(&f.b, e, b2, 3);
	}
	struct log_entry *tossed = build_log(&f.b, "2025-11-07", EVENT_TOSSED, f.stems, 5);
	tossed->box = 0;
	struct log_entry *boxed = build_log(&f.b, "2025-11-08", EVENT_BOXED, f.stems, 60);
	boxed->box = 1;
	take(&f, "2025-11-25");
	assert_near(f.s.boxes[0].count, 100 - 10 - 10 - 5); /* 3 and 6 November */
	assert_near(f.s.boxes[1].count, 40 - 3 + 60);       /* 6 November */
	/* Every entry up to the day counts for pieces that were never counted. */
	assert_near(f.s.pieces[0], 4);
	/* A look back at the 4th knows nothing of what came later. */
	take(&f, "2025-11-04");
	assert_near(f.s.boxes[0].count, 90);
	assert_near(f.s.boxes[1].count, 40);
	build_end(&f.b);
}

/* The order of days decides, not the order of lines; a later count is a new base. */
static void test_log_counts(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	struct box *b1 = build_box(&f.b, "B1", f.stems, 100, "2025-09-01", "2025-11-01");
	struct log_entry *late = build_log(&f.b, "2025-11-12", EVENT_MADE, f.wreaths, 1);
	build_drawn(&f.b, late, b1, 7);
	struct log_entry *count = build_log(&f.b, "2025-11-10", EVENT_COUNTED, f.stems, 55);
	count->box = 0;
	struct log_entry *same_day = build_log(&f.b, "2025-11-10", EVENT_MADE, f.wreaths, 1);
	build_drawn(&f.b, same_day, b1, 2); /* written after the count: moves it */
	struct log_entry *early = build_log(&f.b, "2025-11-05", EVENT_MADE, f.wreaths, 1);
	build_drawn(&f.b, early, b1, 30); /* written late, but seen by the count */
	take(&f, "2025-11-25");
	assert_near(f.s.boxes[0].count, 55 - 2 - 7);
	assert_int_equal(f.s.classes[0].counted, build_day("2025-11-10"));
	/* Only the moves since that count are left, in the order of days. */
	assert_near(f.s.boxes[0].base, 55);
	assert_int_equal(f.s.boxes[0].base_on, build_day("2025-11-10"));
	assert_false(f.s.boxes[0].cut);
	assert_int_equal(f.s.nmoves, 2);
	assert_near(f.s.moves[0].stems, -2);
	assert_near(f.s.moves[1].stems, -7);
	assert_int_equal(f.s.moves[1].on, build_day("2025-11-12"));
	/* More than there was: the books stop at 0 and say so. */
	late->drawn[0].stems = 54;
	take(&f, "2025-11-25");
	assert_near(f.s.boxes[0].count, 0);
	assert_true(f.s.boxes[0].cut);
	build_end(&f.b);
}

static void test_struck_entries(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	struct box *b1 = build_box(&f.b, "B1", f.stems, 100, "2025-09-01", "2025-11-01");
	for (int i = 0; i < 3; i++) {
		struct log_entry *e = build_log(&f.b, "2025-11-03", EVENT_MADE, f.wreaths, 2);
		build_drawn(&f.b, e, b1, 10);
	}
	build_log(&f.b, "2025-11-04", EVENT_STRUCK, f.wreaths, NAN)->strikes = STR("e1");
	build_log(&f.b, "2025-11-04", EVENT_STRUCK, f.wreaths, NAN)->strikes = STR("e2");
	build_log(&f.b, "2025-11-05", EVENT_STRUCK, f.wreaths, NAN)->strikes = STR("e5"); /* e2 stands */
	take(&f, "2025-11-25");
	assert_near(f.s.boxes[0].count, 80);
	assert_near(f.s.pieces[0], 4);
	build_end(&f.b);
}

/* Stems drawn later have lived through part of the loss: with half lost a month, 100
 * counted are 50 after a month; drawing these 50 leaves an empty box. */
static void test_loss_and_draws(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	f.statice->loss[STAGE_STORAGE] = build_fig(0.5);
	struct box *b1 = build_box(&f.b, "B1", f.stems, 100, "2025-09-01", "2025-09-01");
	struct log_entry *e = build_log(&f.b, "2025-10-01", EVENT_MADE, f.wreaths, 1);
	double alive = 100 * pow(0.5, 30 * 12 / 365.25);
	build_drawn(&f.b, e, b1, alive);
	take(&f, "2026-01-01");
	assert_near_by(f.s.boxes[0].worth, 0, 0, 1e-9);
	e->drawn[0].stems = alive / 2;
	take(&f, "2026-01-01");
	double to_day = pow(0.5, 122 * 12 / 365.25);
	assert_near_by(f.s.boxes[0].worth, 50 * to_day, 1e-12, 0);
	assert_near_by(f.s.classes[0].survival, 50 * to_day / (100 - alive / 2), 1e-12, 0);
	/* More than the losses leave: never below nothing, and said. */
	e->drawn[0].stems = 90;
	take(&f, "2026-01-01");
	assert_near(f.s.boxes[0].worth, 0);
	assert_near(f.s.boxes[0].count, 10);
	assert_true(build_said(&f.b, REMARK_DOUBT, "count again: B1."));
	build_end(&f.b);
}

/* Finished pieces: counted, made, sold; an open and a sent order. */
static void test_finished_pieces(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	build_box(&f.b, "shelf", f.wreaths, 5, NULL, "2025-11-01");
	build_log(&f.b, "2025-10-20", EVENT_MADE, f.wreaths, 9); /* in the count */
	build_log(&f.b, "2025-11-03", EVENT_MADE, f.wreaths, 4);
	build_log(&f.b, "2025-11-04", EVENT_SOLD, f.wreaths, 2);
	build_log(&f.b, "2025-11-05", EVENT_TOSSED, f.wreaths, 1);
	build_order(&f.b, f.wreath, 3, NULL);
	build_order(&f.b, f.wreath, 2, "2025-11-04");
	take(&f, "2025-11-25");
	assert_near(f.s.pieces[0], 5 + 4 - 2 - 1);
	assert_int_equal(f.s.open_orders, 1);
	take(&f, "2025-11-03"); /* the second was still open then */
	assert_int_equal(f.s.open_orders, 2);
	take(&f, "2025-11-04"); /* and went out on that day */
	assert_int_equal(f.s.open_orders, 1);
	build_end(&f.b);
}

static void test_sent_without_sold(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	build_box(&f.b, "shelf", f.wreaths, 5, NULL, "2025-11-01");
	build_order(&f.b, f.wreath, 2, "2025-11-04");
	take(&f, "2025-11-25");
	assert_near(f.s.pieces[0], 5);
	assert_true(build_said(&f.b, REMARK_DOUBT, "Orders were sent since the count"));
	build_end(&f.b);
}

/* Making takes supplies and ready parts off the shelf by the recipe, unless the line
 * itself says what it drew. */
static void test_making_by_recipe(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	struct crop *oats = build_crop(&f.b, "Oats");
	struct item oat = build_crop_item(&f.b, oats);
	build_part_need(&f.b, f.tuft, oat, 5, 1);
	build_piece_need(&f.b, f.wreath, f.stems, 24, 1);
	build_piece_need(&f.b, f.wreath, f.tufts, 3, 1);
	build_piece_need(&f.b, f.wreath, f.rings, 1, 1);
	struct box *statice = build_box(&f.b, "B1", f.stems, 500, "2025-09-01", "2025-11-01");
	struct box *oat_box = build_box(&f.b, "B2", oat, 500, "2025-09-01", "2025-11-01");
	struct box *tufts = build_box(&f.b, "T", f.tufts, 20, NULL, "2025-11-01");
	build_box(&f.b, "R", f.rings, 30, NULL, "2025-11-01");

	struct log_entry *e = build_log(&f.b, "2025-11-02", EVENT_MADE, f.wreaths, 2);
	build_drawn(&f.b, e, statice, 50);
	take(&f, "2025-11-25");
	assert_near(f.s.supplies[0], 28);
	assert_near(f.s.parts[0], 20 - 6);
	assert_near(f.s.crop_counted[0], 450);
	assert_true(build_said(&f.b, REMARK_ASSUMED, "by the recipe"));
	assert_false(build_said(&f.b, REMARK_DOUBT, "bench.csv"));

	/* Oats drawn that only the tuft takes: tufts made on the spot. */
	build_drawn(&f.b, e, oat_box, 30);
	take(&f, "2025-11-25");
	assert_near(f.s.parts[0], 20);
	assert_near(f.s.crop_counted[1], 470);

	/* A crop that the wreath takes too says nothing about the tufts. */
	build_piece_need(&f.b, f.wreath, oat, 10, 1);
	take(&f, "2025-11-25");
	assert_near(f.s.parts[0], 20 - 6);
	f.wreath->nneeds--;

	/* Tufts named by the line: what it says, not the recipe. */
	e->ndrawn = 1;
	build_drawn(&f.b, e, tufts, 4);
	take(&f, "2025-11-25");
	assert_near(f.s.parts[0], 16);

	/* No box named for the stems: they still count, and that is said. */
	e->ndrawn = 0;
	take(&f, "2025-11-25");
	assert_near(f.s.crop_counted[0], 500);
	assert_true(build_said(&f.b, REMARK_DOUBT, "from which box stems were taken"));
	e->drawn_gone = 48; /* it named boxes that are no longer there */
	take(&f, "2025-11-25");
	assert_false(build_said(&f.b, REMARK_DOUBT, "from which box stems were taken"));
	e->drawn_gone = 0;

	/* Made ahead: parts come in, by their own recipe. */
	struct log_entry *ahead = build_log(&f.b, "2025-11-03", EVENT_MADE, f.tufts, 10);
	build_drawn(&f.b, ahead, oat_box, 50);
	take(&f, "2025-11-25");
	assert_near(f.s.parts[0], 20 - 6 + 10);
	assert_near(f.s.crop_counted[1], 450);
	build_end(&f.b);
}

/* Three counted, eight taken: the shelf ends at none, and a new count is asked for. */
static void test_parts_overdrawn(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	build_piece_need(&f.b, f.wreath, f.tufts, 2, 1);
	build_box(&f.b, "T", f.tufts, 3, NULL, "2025-11-01");
	struct log_entry *e = build_log(&f.b, "2025-11-02", EVENT_MADE, f.wreaths, 1);
	take(&f, "2025-11-25");
	assert_near(f.s.parts[0], 1);
	assert_false(build_said(&f.b, REMARK_DOUBT, "count again"));
	e->count = 4;
	take(&f, "2025-11-25");
	assert_near(f.s.parts[0], 0);
	assert_true(build_said(&f.b, REMARK_DOUBT, "More was taken than there was, so count again: Tuft."));
	build_end(&f.b);
}

/* Twenty wreaths of 24 stems take 480: 100 drawn cannot be all of it, 300 may. */
static void test_drawn_far_too_few(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	struct crop *yarrow = build_crop(&f.b, "Yarrow");
	struct item other = build_crop_item(&f.b, yarrow);
	build_piece_need(&f.b, f.wreath, f.stems, 24, 1);
	build_or(&f.b, &f.wreath->needs[0], other, 30, 1);
	struct box *box = build_box(&f.b, "B2", f.stems, 900, "2025-09-01", "2025-11-01");
	struct box *more = build_box(&f.b, "Y1", other, 900, "2025-09-01", "2025-11-01");
	struct log_entry *e = build_log(&f.b, "2025-11-02", EVENT_MADE, f.wreaths, 20);
	e->line = 7;
	build_drawn(&f.b, e, box, 100);
	take(&f, "2025-11-25");
	assert_near(f.s.crop_counted[0], 800);
	assert_true(build_said(&f.b, REMARK_DOUBT, "fewer than half of the stems"));
	assert_true(build_said(&f.b, REMARK_DOUBT, "line 7."));
	e->drawn[0].stems = 300;
	take(&f, "2025-11-25");
	assert_false(build_said(&f.b, REMARK_DOUBT, "fewer than half"));
	/* The other way of meeting the need counts too. */
	e->drawn[0].stems = 100;
	build_drawn(&f.b, e, more, 160);
	take(&f, "2025-11-25");
	assert_false(build_said(&f.b, REMARK_DOUBT, "fewer than half"));
	/* What came from boxes no longer there counts too. */
	e->ndrawn = 1;
	e->drawn_gone = 380;
	take(&f, "2025-11-25");
	assert_false(build_said(&f.b, REMARK_DOUBT, "fewer than half"));
	/* In the count already: of no matter now. */
	e->drawn_gone = 0;
	e->on = build_day("2025-10-30");
	take(&f, "2025-11-25");
	assert_false(build_said(&f.b, REMARK_DOUBT, "fewer than half"));
	build_end(&f.b);
}

static void test_supplies(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	build_piece_need(&f.b, f.wreath, f.rings, 1, 1);
	build_log(&f.b, "2025-11-02", EVENT_MADE, f.wreaths, 2);
	take(&f, "2025-11-25");
	assert_true(isnan(f.s.supplies[0])); /* never counted: nobody knows */
	build_log(&f.b, "2025-11-03", EVENT_COUNTED, f.rings, 12);
	build_log(&f.b, "2025-11-04", EVENT_MADE, f.wreaths, 5);
	take(&f, "2025-11-25");
	assert_near(f.s.supplies[0], 7);
	build_log(&f.b, "2025-11-05", EVENT_MADE, f.wreaths, 9);
	take(&f, "2025-11-25");
	assert_near(f.s.supplies[0], 0);
	assert_true(build_said(&f.b, REMARK_DOUBT, "More was taken than there was, so count again: Ring."));
	build_end(&f.b);
}

/* Two boxes of one supply: taken in file order; a count without a box resets all. */
static void test_several_boxes(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	build_box(&f.b, "R1", f.rings, 3, NULL, "2025-11-01");
	build_box(&f.b, "R2", f.rings, 10, NULL, "2025-11-01");
	build_log(&f.b, "2025-11-02", EVENT_TOSSED, f.rings, 5);
	take(&f, "2025-11-25");
	assert_near(f.s.boxes[0].count, 0);
	assert_near(f.s.boxes[1].count, 8);
	struct log_entry *e = build_log(&f.b, "2025-11-03", EVENT_TOSSED, f.rings, 2);
	e->box = 1;
	take(&f, "2025-11-25");
	assert_near(f.s.boxes[1].count, 6);
	build_log(&f.b, "2025-11-04", EVENT_COUNTED, f.rings, 40);
	take(&f, "2025-11-25");
	assert_near(f.s.supplies[0], 40);
	build_end(&f.b);
}

/* Stems that a line moves without a box cannot be moved: said, never silent. */
static void test_no_box_named(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	build_box(&f.b, "B1", f.stems, 100, "2025-09-01", "2025-11-01");
	build_log(&f.b, "2025-11-02", EVENT_TOSSED, f.stems, 5);
	build_log(&f.b, "2025-11-02", EVENT_BOXED, f.stems, 5);
	build_log(&f.b, "2025-11-02", EVENT_COUNTED, f.stems, 5);
	take(&f, "2025-11-25");
	assert_near(f.s.crop_counted[0], 100);
	assert_true(build_said(&f.b, REMARK_DOUBT, "line 2, line 3 and line 4."));
	build_end(&f.b);
}

/* A year mistyped must not make an entry vanish in silence. */
static void test_entries_after_the_day(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	build_box(&f.b, "R1", f.rings, 30, NULL, "2025-11-01");
	build_log(&f.b, "2025-11-02", EVENT_TOSSED, f.rings, 5);
	take(&f, "2025-11-25");
	assert_int_equal(f.b.remarks.n, 0);
	build_log(&f.b, "2026-11-03", EVENT_TOSSED, f.rings, 2);
	take(&f, "2025-11-25");
	assert_near(f.s.supplies[0], 25);
	assert_true(build_said(&f.b, REMARK_ASSUMED, "1 entry is after 2025-11-25 and is left out."));
	build_log(&f.b, "2025-11-26", EVENT_TOSSED, f.rings, 2);
	take(&f, "2025-11-25");
	assert_true(build_said(&f.b, REMARK_ASSUMED, "2 entries are after 2025-11-25 and are left out."));
	build_end(&f.b);
}

static void test_missing_in_boxes(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	uint32_t *rust = ARENA_NEW(&f.b.arena, uint32_t);
	build_box(&f.b, "B1", f.stems, 100, "2025-09-01", "2025-11-01");
	struct need_option *o = build_piece_need(&f.b, f.wreath, f.stems, 24, 1);
	take(&f, "2025-11-25");
	assert_int_equal(f.b.remarks.n, 0); /* nobody asks, nothing is said */
	o->colours = rust;
	o->ncolours = 1;
	take(&f, "2025-11-25");
	assert_true(build_said(&f.b, REMARK_DOUBT, "a colour that these boxes do not say: B1."));
	assert_false(build_said(&f.b, REMARK_DOUBT, "a length"));
	o->from = 200;
	take(&f, "2025-11-25");
	assert_true(build_said(&f.b, REMARK_DOUBT, "a length that these boxes do not say: B1."));
	build_end(&f.b);
}

static double left_of(const struct fixture *f, day from)
{
	return pow(1 - f->statice->loss[STAGE_STORAGE].v, (f->s.on - from) / DAYS_PER_MONTH);
}

/* What goes in and out by the log adds up, whatever the order of the lines. */
static void test_books_add_up(void **state)
{
	(void)state;
	uint64_t seed = 11;
	for (int round = 0; round < 300; round++) {
		struct fixture f;
		char on[11];
		start(&f);
		f.statice->loss[STAGE_STORAGE] = build_fig(0.1 * build_random(&seed));
		double want[4];
		for (int i = 0; i < 4; i++) {
			want[i] = floor(1000 + 500 * build_random(&seed));
			build_box(&f.b, "B", f.stems, want[i], "2025-09-01", "2025-11-01");
		}
		for (int i = 0; i < 40; i++) {
			uint32_t box = (uint32_t)(4 * build_random(&seed));
			double stems = floor(20 * build_random(&seed));
			bool in = build_random(&seed) < 0.5;
			date_print(build_day("2025-10-25") + (day)(60 * build_random(&seed)), on);
			struct log_entry *e = build_log(&f.b, on, in ? EVENT_BOXED : EVENT_TOSSED,
			                                f.stems, stems);
			e->box = box;
			if (e->on > build_day("2025-11-01") && e->on <= build_day("2025-12-10"))
				want[box] += in ? stems : -stems;
		}
		take(&f, "2025-12-10");
		double worth = 0, pooled = 0;
		for (int i = 0; i < 4; i++) {
			assert_near(f.s.boxes[i].count, want[i]);
			assert_true(f.s.boxes[i].worth <= f.s.boxes[i].count);
			worth += f.s.boxes[i].worth;
		}
		/* Base and moves, each shrunk from its day, are what the boxes are worth. */
		double by_moves[4];
		for (int i = 0; i < 4; i++)
			by_moves[i] = f.s.boxes[i].base * left_of(&f, f.s.boxes[i].base_on);
		for (size_t i = 0; i < f.s.nmoves; i++)
			by_moves[f.s.moves[i].box] += f.s.moves[i].stems * left_of(&f, f.s.moves[i].on);
		for (int i = 0; i < 4; i++)
			assert_near(by_moves[i], f.s.boxes[i].worth);
		for (size_t i = 0; i < f.s.nclasses; i++)
			pooled += f.s.classes[i].worth;
		assert_near(pooled, worth);
		assert_near(f.s.crop_worth[0], worth);
		build_end(&f.b);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_survival),         cmocka_unit_test(test_counted_later),
		cmocka_unit_test(test_classes),          cmocka_unit_test(test_keeping_ends),
		cmocka_unit_test(test_log_moves_boxes),  cmocka_unit_test(test_log_counts),
		cmocka_unit_test(test_struck_entries),   cmocka_unit_test(test_loss_and_draws),
		cmocka_unit_test(test_finished_pieces),  cmocka_unit_test(test_sent_without_sold),
		cmocka_unit_test(test_making_by_recipe),
		cmocka_unit_test(test_parts_overdrawn),
		cmocka_unit_test(test_drawn_far_too_few),
		cmocka_unit_test(test_supplies),
		cmocka_unit_test(test_several_boxes),    cmocka_unit_test(test_no_box_named),
		cmocka_unit_test(test_missing_in_boxes), cmocka_unit_test(test_books_add_up),
		cmocka_unit_test(test_entries_after_the_day),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

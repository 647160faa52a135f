/* test_hang.c - the drying line and the boxes, against plain counting day by day. */
#include "reckon/hang.h"

#include <math.h>

#include "help_farm.h"
#include "reckon/calendar.h"

#define NO_LIMIT (&(struct hang_options){ .hours = (double)NAN })

static struct crop *hanging(struct built *b, const char *name, double per_bundle, double mm, double days)
{
	struct crop *c = build_crop(b, name);
	c->bundle = build_fig(per_bundle);
	c->bundle_line = build_fig(mm);
	c->drying_days = build_fig(days);
	return c;
}

static struct batch *batch(struct built *b, const struct crop *c, const char *hung, const char *boxed,
			   double stems)
{
	struct batch *batch = build_batch(b, c, NULL, stems, stems);
	batch->hung = stems;
	batch->cut_on = batch->hung_on = build_day(hung);
	batch->boxed_on = build_day(boxed);
	if (!boxed)
		batch->boxed = (double)NAN;
	return batch;
}

static const struct rates *lines_of(struct built *b)
{
	struct rates *rates = ARENA_NEW(&b->arena, struct rates);
	rates_of_lines(rates, &b->farm, &b->arena);
	return rates;
}

static void reckon_on(struct hang *h, struct built *b, const char *on, const struct hang_options *options)
{
	struct hang_lots lots;
	build_done(b);
	hang_batches(&lots, &b->farm, lines_of(b), build_day(on), &b->arena, &b->remarks);
	hang_reckon(h, &b->farm, NULL, &lots, options, &b->arena, &b->remarks);
}

/* ---- by hand ---- */

/* Statice is sold in bunches of 25 (M. S. Reid, UC Davis, Ornamentals Produce Facts,
 * Statice): 1,010 stems are 40 and 10 over (derived), and the 10 hang too. */
static void bundles_are_whole(void **state)
{
	(void)state;
	struct built b;
	struct hang h;
	build_start(&b);
	struct crop *statice = hanging(&b, "Statice", 25, 100, 14);
	statice->per_box = build_fig(200);
	b.farm.business.line = build_fig(4000);
	batch(&b, statice, "2026-07-20", "2026-08-03", 1010);
	reckon_on(&h, &b, "2026-09-01", NO_LIMIT);
	assert_int_equal(h.nlots, 1);
	assert_near(h.lots[0].bundles, 41);
	assert_near(h.lots[0].line, 4100);
	assert_near(h.lots[0].boxes, 6);
	/* Hung on a Monday, boxed on a Monday: two weeks full, and free on the third Monday. */
	assert_int_equal(h.nweeks, 3);
	assert_int_equal(h.weeks[0].monday, build_day("2026-07-20"));
	assert_near(h.weeks[0].line, 4100);
	assert_near(h.weeks[0].cut, 1010);
	assert_near(h.weeks[1].line, 4100);
	assert_near(h.weeks[1].filled, 0);
	assert_near(h.weeks[2].line, 0);
	assert_near(h.weeks[2].filled, 6);
	assert_near(h.weeks[2].used, 6);
	assert_int_equal(h.weeks[2].fullest, DAY_NONE);
	assert_int_equal(h.npeaks, 1);
	assert_int_equal(h.peaks[0].from, build_day("2026-07-20"));
	assert_int_equal(h.peaks[0].to, build_day("2026-08-02"));
	assert_near(h.peaks[0].gives[0].amount, 100);
	build_end(&b);
}

/* A season that runs over the new year and over week 53 of 2026. */
static void over_the_new_year(void **state)
{
	(void)state;
	struct built b;
	struct hang h;
	char text[WEEK_TEXT];
	build_start(&b);
	struct crop *everlasting = hanging(&b, "Everlasting", 10, 90, 14);
	batch(&b, everlasting, "2026-12-21", "2027-01-04", 100);
	batch(&b, everlasting, "2027-01-01", "2027-01-12", 50);
	reckon_on(&h, &b, "2027-01-02", NO_LIMIT);
	static const struct {
		const char *week;
		double line, cut;
	} rows[] = { { "2026-W52", 900, 100 },
		     { "2026-W53", 1350, 50 },
		     { "2027-W01", 450, 0 },
		     { "2027-W02", 450, 0 } };
	assert_int_equal(h.nweeks, COUNT(rows));
	for (size_t i = 0; i < COUNT(rows); i++) {
		week_print(h.weeks[i].monday, text);
		assert_string_equal(text, rows[i].week);
		assert_near(h.weeks[i].line, rows[i].line);
		assert_near(h.weeks[i].cut, rows[i].cut);
	}
	assert_int_equal(h.weeks[1].fullest, build_day("2027-01-01"));
	build_end(&b);
}

/* Hours: 400 stems cut at 400 an hour, 400 stripped at 200, 380 bundled at 190, 38 bundles
 * hung at 19 an hour, 19 minutes of boxing at 30 s a bundle. */
static void hours_of_work(void **state)
{
	(void)state;
	struct built b;
	struct hang h;
	build_start(&b);
	struct crop *c = hanging(&b, "Larkspur", 10, 100, 14);
	const double seconds[] = { 9, 18, 3600 / 190.0, 3600 / 19.0, 30 };
	const enum per per[] = { PER_STEM, PER_STEM, PER_STEM, PER_BUNDLE, PER_BUNDLE };
	for (size_t w = 0; w < WORK_COUNT; w++)
		c->works[w] = (struct rate){ build_fig(seconds[w]), per[w] };
	struct batch *one = batch(&b, c, "2026-06-29", "2026-07-13", 400);
	one->hung = 380;
	one->boxed = 300;
	reckon_on(&h, &b, "2026-08-01", NO_LIMIT);
	assert_near_by(h.lots[0].cut_hours, 1, 1e-8, 0);
	assert_near_by(h.lots[0].hang_hours, 2 + 2 + 2, 1e-8, 0);
	assert_near_by(h.lots[0].box_hours, 19.0 / 60, 1e-8, 0);
	assert_near_by(h.weeks[0].hours, 7, 1e-8, 0);
	assert_near_by(h.weeks[2].hours, 19.0 / 60, 1e-8, 0);
	/* As counted: 38 minutes stand in place of all but the cutting, shared alike. */
	one->minutes = 38;
	reckon_on(&h, &b, "2026-08-01", NO_LIMIT);
	assert_near_by(h.lots[0].hang_hours + h.lots[0].box_hours, 38.0 / 60, 1e-8, 0);
	assert_near_by(h.lots[0].box_hours / h.lots[0].hang_hours, 19.0 / 360, 1e-8, 0);
	build_end(&b);
}

static void what_is_not_counted(void **state)
{
	(void)state;
	struct built b;
	struct hang h;
	build_start(&b);
	struct crop *c = hanging(&b, "Ammobium", 10, 80, 10);
	c->drying_days.given = false;
	c->loss[STAGE_FIELD] = build_fig(0.1);
	c->loss[STAGE_DRYING] = build_fig(0.2);
	struct batch *waiting = batch(&b, c, "2026-07-06", NULL, 100);
	waiting->hung = (double)NAN;
	struct batch *from_boxed = batch(&b, c, NULL, "2026-07-30", 72);
	from_boxed->hung = from_boxed->cut = (double)NAN;
	batch(&b, c, NULL, NULL, 100)->id = STR("no day");
	struct batch *no_stems = batch(&b, c, "2026-07-06", NULL, (double)NAN);
	no_stems->id = STR("no stems");
	reckon_on(&h, &b, "2026-07-10", NO_LIMIT);
	assert_int_equal(h.nlots, 2);
	assert_near(h.lots[0].hung_stems, 90);
	assert_near(h.lots[0].boxed_stems, 72);
	assert_true(h.lots[0].waiting);
	assert_int_equal(h.lots[0].boxed, build_day("2026-07-20"));
	assert_near(h.lots[1].hung_stems, 90);
	assert_near(h.lots[1].cut_stems, 100);
	assert_int_equal(h.lots[1].hung, build_day("2026-07-16"));
	assert_true(build_said(&b, REMARK_DOUBT, "no day"));
	assert_true(build_said(&b, REMARK_DOUBT, "no stems"));
	assert_true(build_said(&b, REMARK_ASSUMED, "No drying days given, counted as 14: Ammobium."));
	assert_true(build_said(&b, REMARK_DOUBT, "No stems per box given"));
	assert_true(build_said(&b, REMARK_DOUBT, "No rates of work given"));
	/* Later it still hangs: it is boxed tomorrow at the earliest. */
	struct hang_lots lots;
	hang_batches(&lots, &b.farm, lines_of(&b), build_day("2026-08-02"), &b.arena, &b.remarks);
	assert_int_equal(lots.lots[0].boxed, build_day("2026-08-03"));
	assert_false(build_said(&b, REMARK_DOUBT, "never boxed"));
	hang_batches(&lots, &b.farm, lines_of(&b), build_day("2026-11-02"), &b.arena, &b.remarks);
	assert_true(build_said(&b, REMARK_DOUBT, "never boxed"));
	build_end(&b);
}

/* A lot that was weighed is boxed when its drying curve says, not by the calendar. */
static void weighings_say_when(void **state)
{
	(void)state;
	struct built b;
	struct hang_lots lots;
	build_start(&b);
	struct crop *c = hanging(&b, "Cockscomb", 10, 80, 40);
	struct batch *one = batch(&b, c, "2026-07-01", NULL, 100);
	struct weighing seen[4];
	for (int i = 0; i < 4; i++)
		seen[i] = (struct weighing){ build_day("2026-07-01") + 3 * i, 100 + 300 * exp(-0.3 * 3 * i) };
	one->weighings = seen;
	one->nweighings = COUNT(seen);
	build_done(&b);
	hang_batches(&lots, &b.farm, lines_of(&b), build_day("2026-07-11"), &b.arena, &b.remarks);
	/* 2% of its water is to go after ln(50)/0.3 = 13.04 days. */
	assert_int_equal(lots.lots[0].boxed, build_day("2026-07-15"));
	build_end(&b);
}

static void which_season(void **state)
{
	(void)state;
	struct built b;
	struct hang_lots lots;
	build_start(&b);
	struct crop *c = hanging(&b, "Statice", 10, 80, 14);
	batch(&b, c, "2025-07-01", "2025-07-15", 10);
	batch(&b, c, "2025-09-08", "2025-09-22", 11); /* 55 days idle: the same season */
	batch(&b, c, "2026-07-01", "2026-07-15", 12);
	batch(&b, c, "2026-07-10", "2026-07-20", 13);
	batch(&b, c, "2027-01-04", "2027-01-18", 14);
	build_done(&b);
	static const struct {
		const char *on;
		size_t n;
		double first;
	} rows[] = { { "2024-01-01", 2, 10 }, { "2025-07-10", 2, 10 }, { "2026-06-30", 2, 10 },
		     { "2026-07-01", 2, 12 }, { "2026-12-01", 2, 12 }, { "2027-02-01", 1, 14 } };
	for (size_t i = 0; i < COUNT(rows); i++) {
		hang_batches(&lots, &b.farm, lines_of(&b), build_day(rows[i].on), &b.arena, &b.remarks);
		assert_int_equal(lots.n, rows[i].n);
		assert_int_equal(lots.earlier + lots.later, 5 - rows[i].n);
		assert_near(lots.lots[0].cut_stems, rows[i].first);
	}
	b.farm.nbatches = 0;
	struct hang h;
	hang_batches(&lots, &b.farm, lines_of(&b), build_day("2027-02-01"), &b.arena, &b.remarks);
	hang_reckon(&h, &b.farm, NULL, &lots, NO_LIMIT, &b.arena, &b.remarks);
	assert_int_equal(h.nweeks + h.nlots + h.npeaks, 0);
	build_end(&b);
}

/* One late batch is of its summer, however long nothing hung between; the season south of
 * the equator is one over the new year. */
static void late_batch(void **state)
{
	(void)state;
	struct built b;
	struct hang_lots lots;
	build_start(&b);
	struct crop *c = hanging(&b, "Statice", 10, 80, 14);
	batch(&b, c, "2025-10-01", "2025-10-15", 9);
	batch(&b, c, "2026-07-01", "2026-07-15", 10);
	batch(&b, c, "2026-08-01", "2026-08-15", 11);
	batch(&b, c, "2026-11-14", NULL, 12);
	build_done(&b);
	hang_batches(&lots, &b.farm, lines_of(&b), build_day("2026-11-30"), &b.arena, &b.remarks);
	assert_int_equal(lots.n, 3);
	assert_int_equal(lots.earlier, 1);
	assert_int_equal(lots.earlier_on, build_day("2025-10-15"));
	assert_true(build_said(&b, REMARK_ASSUMED, "1 batch is of an earlier season and left out; --on 2025-10-15"));
	hang_batches(&lots, &b.farm, lines_of(&b), lots.earlier_on, &b.arena, &b.remarks);
	assert_int_equal(lots.n, 1);
	assert_int_equal(lots.later, 3);
	b.farm.nbatches = 0;
	b.farm.business.last_frost = build_day("2026-09-20");
	b.farm.business.first_frost = build_day("2026-05-10");
	batch(&b, c, "2025-11-01", "2025-11-15", 10);
	batch(&b, c, "2026-03-01", "2026-03-15", 11);
	batch(&b, c, "2026-11-01", "2026-11-15", 12);
	hang_batches(&lots, &b.farm, lines_of(&b), build_day("2026-03-10"), &b.arena, &b.remarks);
	assert_int_equal(lots.n, 2);
	hang_batches(&lots, &b.farm, lines_of(&b), build_day("2026-11-30"), &b.arena, &b.remarks);
	assert_int_equal(lots.n, 1);
	assert_int_equal(lots.earlier, 2);
	build_end(&b);
}

/* What the log boxed is in the boxes that it names, by its batch or without one, and fills no
 * others; what it does not know of comes on top. */
static void boxes_of_the_log(void **state)
{
	(void)state;
	struct built b;
	struct hang h;
	struct hang_lots lots;
	struct stock stock;
	build_start(&b);
	struct crop *c = hanging(&b, "Statice", 10, 80, 14);
	c->per_box = build_fig(100);
	struct item stems = build_crop_item(&b, c);
	build_box(&b, "old", stems, 50, "2026-06-01", "2026-06-20");
	struct box *x = build_box(&b, "X", stems, 0, "2026-07-15", "2026-07-14");
	struct box *y = build_box(&b, "Y", stems, 0, "2026-07-29", "2026-07-28");
	batch(&b, c, "2026-07-01", "2026-07-15", 150);
	batch(&b, c, "2026-07-02", "2026-07-16", 120);
	batch(&b, c, "2026-07-08", "2026-07-29", 90);
	x->line = y->line = 0; /* opened by the log */
	uint32_t in_x = (uint32_t)(x - b.farm.boxes), in_y = (uint32_t)(y - b.farm.boxes);
	struct log_entry *e = build_log(&b, "2026-07-15", EVENT_BOXED, stems, 150);
	e->box = in_x;
	e->batch = 0;
	e = build_log(&b, "2026-07-29", EVENT_BOXED, stems, 130);
	e->box = in_y;
	build_done(&b);
	day on = build_day("2026-07-31");
	stock_take(&stock, &b.farm, on, false, NULL, &b.arena, &b.remarks);
	hang_batches(&lots, &b.farm, lines_of(&b), on, &b.arena, &b.remarks);
	hang_reckon(&h, &b.farm, &stock, &lots, NO_LIMIT, &b.arena, &b.remarks);
	/* Of 210 stems that no entry gives a batch 130 are in Y: the 120, and 10 of the 90. */
	assert_int_equal(h.nweeks, 5);
	static const double used[] = { 1, 1, 3, 3, 6 }, filled[] = { 0, 0, 4, 0, 1 };
	for (size_t w = 0; w < 5; w++) {
		assert_near(h.weeks[w].used, used[w]);
		assert_near(h.weeks[w].filled, filled[w]);
	}
	/* On the day before none of it has happened. */
	on = build_day("2026-07-14");
	stock_take(&stock, &b.farm, on, false, NULL, &b.arena, &b.remarks);
	hang_batches(&lots, &b.farm, lines_of(&b), on, &b.arena, &b.remarks);
	hang_reckon(&h, &b.farm, &stock, &lots, NO_LIMIT, &b.arena, &b.remarks);
	assert_near(h.weeks[4].used, 6);
	build_end(&b);
}

/* Boxes of the shed are in use from the day they were filled; what was boxed by the day
 * of the report is among them, what is boxed later comes on top. */
static void boxes_of_the_shed(void **state)
{
	(void)state;
	struct built b;
	struct hang h;
	struct hang_lots lots;
	struct stock stock;
	build_start(&b);
	struct crop *c = hanging(&b, "Statice", 10, 80, 14);
	c->per_box = build_fig(100);
	b.farm.business.boxes = build_fig(6);
	batch(&b, c, "2026-07-01", "2026-07-15", 150);
	batch(&b, c, "2026-07-20", NULL, 130);
	build_box(&b, "old", build_crop_item(&b, c), 101, "2025-08-01", "2026-07-18"); /* two */
	build_box(&b, "new", build_crop_item(&b, c), 60, "2026-07-15", "2026-07-18");
	batch(&b, c, "2026-07-05", "2026-07-20", 90); /* boxed after the count: one box more */
	build_box(&b, "empty", build_crop_item(&b, c), 0, "2026-07-15", "2026-07-18");
	build_done(&b);
	day on = build_day("2026-07-22");
	stock_take(&stock, &b.farm, on, false, NULL, &b.arena, &b.remarks);
	hang_batches(&lots, &b.farm, lines_of(&b), on, &b.arena, &b.remarks);
	hang_reckon(&h, &b.farm, &stock, &lots, NO_LIMIT, &b.arena, &b.remarks);
	assert_int_equal(h.nweeks, 6); /* from 29 June; the second is boxed on 3 August */
	static const double used[] = { 2, 2, 3, 4, 4, 6 }, filled[] = { 0, 0, 2, 1, 0, 2 };
	for (size_t w = 0; w < 6; w++) {
		assert_near(h.weeks[w].used, used[w]);
		assert_near(h.weeks[w].filled, filled[w]);
	}
	assert_int_equal(h.npeaks, 0);
	b.farm.business.boxes = build_fig(5);
	hang_reckon(&h, &b.farm, &stock, &lots, NO_LIMIT, &b.arena, &b.remarks);
	assert_int_equal(h.npeaks, 1);
	assert_int_equal(h.peaks[0].what, HANG_BOXES);
	assert_int_equal(h.peaks[0].from, build_day("2026-08-03"));
	assert_near(h.peaks[0].gives[0].amount, 1);
	build_end(&b);
}

/* Each week's cut of each sowing that is planned is a lot of its own; a bought crop, and a
 * sowing that nothing is asked of, make none. */
static void lots_of_a_plan(void **state)
{
	(void)state;
	struct built b;
	struct hang h;
	struct hang_lots lots;
	build_start(&b);
	struct crop *c = hanging(&b, "Statice", 10, 100, 12);
	c->loss[STAGE_FIELD] = build_fig(0.1);
	c->loss[STAGE_DRYING] = build_fig(0.2);
	c->per_box = build_fig(100);
	hanging(&b, "Bought", 10, 100, 12);
	build_done(&b);
	/* Cutting from a Wednesday over ten days: 5, then 5 days. */
	struct plan_week weeks[] = { { build_day("2027-07-12"), 100 }, { build_day("2027-07-19"), 100 } };
	struct plan_sowing sowings[] = {
		{ .planned = true, .stems = 200, .metres = 6000, .first_cut = build_day("2027-07-14"),
		  .last_cut = build_day("2027-07-23"), .weeks = weeks, .nweeks = 2 },
		{ .planned = false, .stems = 0, .first_cut = build_day("2027-08-14"), .weeks = weeks,
		  .nweeks = 2 },
		{ .planned = true, .stems = 50, .first_cut = DAY_NONE },
	};
	struct plan_crop crops[] = {
		{ .source = PLAN_SOWN, .sowings = sowings, .nsowings = COUNT(sowings) },
		{ .source = PLAN_BOUGHT },
	};
	struct plan plan = { .crops = crops };
	hang_plan(&lots, &b.farm, lines_of(&b), &plan, &b.arena, &b.remarks);
	hang_reckon(&h, &b.farm, NULL, &lots, NO_LIMIT, &b.arena, &b.remarks);
	assert_int_equal(h.nlots, 2);
	assert_int_equal(h.lots[0].hung, build_day("2027-07-14"));
	assert_int_equal(h.lots[0].boxed, build_day("2027-07-26"));
	assert_int_equal(h.lots[1].hung, build_day("2027-07-19"));
	assert_near(h.lots[0].hung_stems, 90);
	assert_near(h.lots[0].bundles, 9);
	assert_near(h.lots[0].boxed_stems, 72);
	assert_near(h.lots[0].metres, 6);
	assert_int_equal(h.lots[0].bed, h.lots[1].bed);
	assert_int_equal(h.nweeks, 3);
	assert_near(h.weeks[1].line, 1800);
	/* A box that is not full yet takes the next week's stems. */
	assert_near(h.weeks[2].used, 1.44);
	assert_true(build_said(&b, REMARK_DOUBT, "No days of cutting known, so no line is counted for: Statice."));
	build_end(&b);
}

/* Where records have moved a loss off its line, that is what the next season is counted with,
 * and what of a batch that hangs will be boxed; by hand. */
static void by_the_losses_in_use(void **state)
{
	(void)state;
	struct built b;
	struct hang_lots lots;
	build_start(&b);
	struct crop *c = hanging(&b, "Statice", 10, 100, 12);
	c->loss[STAGE_FIELD] = build_fig(0.1);
	c->loss[STAGE_DRYING] = build_fig(0.2);
	struct batch *hangs = batch(&b, c, "2026-07-20", NULL, 100);
	hangs->cut = 100;
	hangs->hung = (double)NAN;
	build_done(&b);
	struct rates rates;
	rates_of_lines(&rates, &b.farm, &b.arena);
	rates.crops[0][STAGE_FIELD].v = 0.25;
	rates.crops[0][STAGE_DRYING].v = 0.4;
	struct plan_week week = { build_day("2027-07-12"), 200 };
	struct plan_sowing sowing = { .planned = true, .stems = 200, .first_cut = week.monday,
				      .last_cut = week.monday + 6, .weeks = &week, .nweeks = 1 };
	struct plan_crop crop = { .source = PLAN_SOWN, .sowings = &sowing, .nsowings = 1 };
	struct plan plan = { .crops = &crop };
	hang_plan(&lots, &b.farm, &rates, &plan, &b.arena, &b.remarks);
	assert_int_equal(lots.n, 1);
	assert_near(lots.lots[0].hung_stems, 150);
	assert_near(lots.lots[0].boxed_stems, 90);
	hang_batches(&lots, &b.farm, &rates, build_day("2026-07-22"), &b.arena, &b.remarks);
	assert_int_equal(lots.n, 1);
	assert_near(lots.lots[0].hung_stems, 75);
	assert_near(lots.lots[0].boxed_stems, 45);
	hang_waiting(&lots, &b.farm, &rates, build_day("2026-07-22"), &b.arena, &b.remarks);
	assert_near(lots.lots[0].boxed_stems, 45);
	build_end(&b);
}

/* ---- by brute force ---- */

enum { FARMS = 400, CROPS = 4, LOTS = 40 };

struct season {
	struct built b;
	struct hang_lots lots;
	uint64_t rng;
};

static int pick(struct season *s, int low, int high)
{
	return low + (int)(build_random(&s->rng) * (high - low + 1));
}

static void draw_crops(struct season *s)
{
	static const char *const names[CROPS] = { "A", "B", "C", "D" };
	for (int c = 0; c < CROPS; c++) {
		struct crop *crop = build_crop(&s->b, names[c]);
		if (c == CROPS - 1) {
			crop->per_area = build_fig(pick(s, 100, 300) / 1e6);
		} else {
			crop->bundle = build_fig(pick(s, 5, 25));
			crop->bundle_line = build_fig(pick(s, 50, 120));
		}
		if (pick(s, 0, 3))
			crop->per_box = build_fig(pick(s, 50, 300));
		for (int w = 0; w < WORK_COUNT; w++)
			crop->works[w] = (struct rate){ build_fig(pick(s, 1, 60)), (enum per)pick(s, 0, 3) };
	}
}

static void draw_season(struct season *s, uint64_t seed)
{
	*s = (struct season){ .rng = seed };
	build_start(&s->b);
	draw_crops(s);
	build_done(&s->b);
	s->lots.n = (size_t)pick(s, 1, LOTS);
	s->lots.lots = ARENA_ARRAY(&s->b.arena, s->lots.n, struct hang_lot);
	/* Some seasons run over the new year. */
	day start = build_day(seed % 3 ? "2026-06-01" : "2026-11-15");
	for (size_t i = 0; i < s->lots.n; i++) {
		struct hang_lot *l = &s->lots.lots[i];
		*l = (struct hang_lot){ .crop = (uint32_t)pick(s, 0, CROPS - 1), .batch = (uint32_t)i };
		l->bed = l->crop * 2 + (uint32_t)pick(s, 0, 1);
		l->metres = 1 + l->bed;
		l->cut = start + pick(s, 0, 90);
		l->hung = l->cut + pick(s, 0, 2);
		l->boxed = l->hung + pick(s, 1, 25);
		l->cut_stems = pick(s, 1, 700);
		l->hung_stems = floor(l->cut_stems * (0.7 + 0.3 * build_random(&s->rng)));
		l->boxed_stems = floor(l->hung_stems * (0.7 + 0.3 * build_random(&s->rng)));
		l->dry_seconds = pick(s, 0, 4) ? (double)NAN : pick(s, 600, 9000);
	}
}

/* Metres, area or bundles of one lot, told anew from the words of docs/reckoning.md. */
static double room(const struct season *s, const struct hang_lot *l, enum hang_what what)
{
	const struct crop *c = &s->b.farm.crops[l->crop];
	if (what == HANG_RACKS)
		return c->per_area.given ? l->hung_stems / c->per_area.v : 0;
	int64_t bundles = 0, size = c->bundle.given ? (int64_t)c->bundle.v : 0;
	for (double left = l->hung_stems; size && left > 1e-6; left -= (double)size)
		bundles++;
	return (double)bundles * c->bundle_line.v;
}

/* The same for every lot; a changed season is reckoned with changed lots. */
static double use_on(const struct season *s, const struct hang_lot *lots, enum hang_what what, day d)
{
	double sum = 0;
	for (size_t i = 0; i < s->lots.n; i++) {
		if (lots[i].hung <= d && d < lots[i].boxed)
			sum += room(s, &lots[i], what);
	}
	return sum;
}

static void line_by_brute_force(void **state)
{
	(void)state;
	for (uint64_t seed = 1; seed <= FARMS; seed++) {
		struct season s;
		struct hang h;
		draw_season(&s, seed);
		hang_reckon(&h, &s.b.farm, NULL, &s.lots, NO_LIMIT, &s.b.arena, &s.b.remarks);
		for (size_t d = 0; d < h.ndays; d++) {
			day on = h.first + (day)d;
			assert_near_by(h.line[d], use_on(&s, s.lots.lots, HANG_LINE, on), 1e-9, 1e-9);
			assert_near_by(h.racks[d], use_on(&s, s.lots.lots, HANG_RACKS, on), 1e-9, 1e-6);
		}
		double cut = 0, hours = 0, lot_hours = 0, filled = 0, lot_boxes = 0, lot_cut = 0;
		for (size_t w = 0; w < h.nweeks; w++) {
			const struct hang_week *week = &h.weeks[w];
			double most = 0;
			assert_int_equal(date_week(week->monday).weekday, 1);
			for (day d = week->monday; d < week->monday + 7; d++)
				most = fmax(most, use_on(&s, s.lots.lots, HANG_LINE, d));
			assert_near_by(week->line, most, 1e-9, 1e-9);
			if (most > 0)
				assert_near_by(use_on(&s, s.lots.lots, HANG_LINE, week->fullest), most, 1e-9, 0);
			cut += week->cut;
			hours += week->hours;
			filled += week->filled;
			assert_near(week->used, filled);
		}
		for (size_t i = 0; i < h.nlots; i++) {
			lot_cut += h.lots[i].cut_stems;
			lot_hours += h.lots[i].cut_hours + h.lots[i].hang_hours + h.lots[i].box_hours;
			lot_boxes += h.lots[i].boxes;
		}
		assert_near(cut, lot_cut);
		assert_near_by(hours, lot_hours, 1e-9, 0);
		assert_near(filled, lot_boxes);
		/* No day outside the weeks has anything. */
		assert_near(use_on(&s, s.lots.lots, HANG_LINE, h.weeks[0].monday - 1), 0);
		assert_near(use_on(&s, s.lots.lots, HANG_LINE, h.weeks[h.nweeks - 1].monday + 7), 0);
		build_end(&s.b);
	}
}

/* ---- what gives ---- */

/* The lots with one of the ways applied, without any code of the program. */
static void apply(const struct season *s, const struct hang_peak *p, const struct hang_give *g,
		  double amount, struct hang_lot *out)
{
	for (size_t i = 0; i < s->lots.n; i++) {
		struct hang_lot *l = &out[i];
		*l = s->lots.lots[i];
		bool there = l->hung <= p->to && l->boxed > p->from, of_it = g->crop == NONE || g->crop == l->crop;
		if (g->way == HANG_EARLIER && there && of_it) {
			l->hung -= (day)amount;
			l->boxed -= (day)amount;
		} else if (g->way == HANG_SOONER && there) {
			l->boxed = l->boxed - (day)amount > l->hung ? l->boxed - (day)amount : l->hung + 1;
		} else if (g->way == HANG_FEWER && of_it) {
			l->hung_stems *= 1 - amount;
		}
	}
}

static bool enough(const struct season *s, const struct hang *h, const struct hang_peak *p,
		   const struct hang_give *g, double amount)
{
	struct hang_lot lots[LOTS];
	apply(s, p, g, amount, lots);
	for (day d = h->first; d < h->first + (day)h->ndays; d++) {
		double before = use_on(s, s->lots.lots, p->what, d), after = use_on(s, lots, p->what, d);
		double limit = p->limit * (1 + 1e-9);
		if (after > limit && ((d >= p->from && d <= p->to) || after > before * (1 + 1e-9)))
			return false;
	}
	return true;
}

/* Every crop that holds no more than its share of the answer, or none at all. */
static void check_give(const struct season *s, const struct hang *h, const struct hang_peak *p,
		       const struct hang_give *g, size_t tried[HANG_WAYS])
{
	struct hang_give other = *g;
	bool step = g->way == HANG_EARLIER || g->way == HANG_SOONER;
	if (g->way == HANG_MORE || g->way == HANG_CLOSER)
		return;
	if (isnan(g->amount)) { /* nothing of it is enough, not of any crop */
		for (int k = 1; k <= (g->way == HANG_EARLIER ? 21 : 28) && step; k++) {
			for (other.crop = 0; other.crop < CROPS; other.crop++)
				assert_false(enough(s, h, p, &other, k));
		}
		return;
	}
	tried[g->way]++;
	assert_true(enough(s, h, p, g, g->amount));
	assert_false(enough(s, h, p, g, g->amount - (step ? 1 : 0.001)));
	for (other.crop = 0; g->way == HANG_EARLIER && other.crop < CROPS; other.crop++) {
		for (int k = 1; k < g->amount; k++)
			assert_false(enough(s, h, p, &other, k));
	}
}

static void check_peaks(const struct season *s, const struct hang *h, size_t tried[HANG_WAYS])
{
	for (size_t i = 0; i < h->npeaks; i++) {
		const struct hang_peak *p = &h->peaks[i];
		double most = 0;
		for (day d = p->from; d <= p->to; d++) {
			assert_true(use_on(s, s->lots.lots, p->what, d) > p->limit);
			most = fmax(most, use_on(s, s->lots.lots, p->what, d));
		}
		assert_false(use_on(s, s->lots.lots, p->what, p->from - 1) > p->limit * (1 + 1e-9));
		assert_false(use_on(s, s->lots.lots, p->what, p->to + 1) > p->limit * (1 + 1e-9));
		assert_near_by(p->most, most, 1e-9, 0);
		assert_int_equal(p->gives[0].way, HANG_MORE);
		assert_near_by(p->limit + p->gives[0].amount, most, 1e-9, 0);
		for (size_t k = 0; k < p->ngives; k++)
			check_give(s, h, p, &p->gives[k], tried);
	}
}

static void least_that_gives(void **state)
{
	(void)state;
	size_t tried[HANG_WAYS] = { 0 };
	for (uint64_t seed = 1; seed <= FARMS / 4; seed++) {
		struct season s;
		struct hang h;
		draw_season(&s, seed * 77);
		hang_reckon(&h, &s.b.farm, NULL, &s.lots, NO_LIMIT, &s.b.arena, &s.b.remarks);
		double most = 0, racks = 0;
		for (size_t w = 0; w < h.nweeks; w++) {
			most = fmax(most, h.weeks[w].line);
			racks = fmax(racks, h.weeks[w].racks);
		}
		s.b.farm.business.line = build_fig(floor(most * (0.5 + 0.5 * build_random(&s.rng))));
		s.b.farm.business.racks = build_fig(floor(racks * (0.5 + 0.5 * build_random(&s.rng))));
		hang_reckon(&h, &s.b.farm, NULL, &s.lots, NO_LIMIT, &s.b.arena, &s.b.remarks);
		check_peaks(&s, &h, tried);
		build_end(&s.b);
	}
	/* Each way was found often enough to have been tested. */
	assert_true(tried[HANG_EARLIER] > 20 && tried[HANG_SOONER] > 20 && tried[HANG_FEWER] > 20);
}

/* Ten bundles of 9 cm on each of 5 metres of bed; 2 of 3 beds make half a metre too much. */
static void metres_less(void **state)
{
	(void)state;
	struct built b;
	struct hang h;
	build_start(&b);
	struct crop *c = hanging(&b, "Statice", 10, 90, 14);
	struct bed *one = build_bed(&b, c, 1000, 0), *two = build_bed(&b, c, 1000, 0);
	one->metres = 4;
	two->metres = 6;
	batch(&b, c, "2026-07-01", "2026-07-15", 500)->bed = 0;
	batch(&b, c, "2026-07-02", "2026-07-16", 500)->bed = 1;
	batch(&b, c, "2026-07-30", "2026-08-12", 500)->bed = 1;
	b.farm.business.line = build_fig(7200);
	reckon_on(&h, &b, "2026-08-20", NO_LIMIT);
	assert_int_equal(h.npeaks, 1);
	const struct hang_give *g = &h.peaks[0].gives[h.peaks[0].ngives - 1];
	assert_int_equal(g->way, HANG_FEWER);
	/* 80 bundles at most: 40 of each, so a fifth less of all 10 metres, each bed once. */
	assert_near(g->amount, 0.2);
	assert_near(g->of, 10);
	assert_near(g->metres, 2);
	assert_near(g->stems, 300);
	two->metres = 0;
	reckon_on(&h, &b, "2026-08-20", NO_LIMIT);
	assert_true(isnan(h.peaks[0].gives[h.peaks[0].ngives - 1].metres));
	build_end(&b);
}

static void hours_over(void **state)
{
	(void)state;
	struct built b;
	struct hang h;
	build_start(&b);
	struct crop *c = hanging(&b, "Statice", 10, 90, 14);
	c->works[WORK_CUT] = (struct rate){ build_fig(36), PER_STEM };
	batch(&b, c, "2026-07-01", "2026-07-15", 500);
	batch(&b, c, "2026-07-08", "2026-07-22", 700);
	reckon_on(&h, &b, "2026-08-20", &(struct hang_options){ .hours = 6 });
	assert_int_equal(h.npeaks, 1);
	assert_int_equal(h.peaks[0].what, HANG_HOURS);
	assert_int_equal(h.peaks[0].from, build_day("2026-07-06"));
	assert_int_equal(h.peaks[0].to, build_day("2026-07-12"));
	assert_near(h.peaks[0].gives[0].amount, 1);
	assert_int_equal(h.peaks[0].gives[1].way, HANG_FEWER);
	assert_near(h.peaks[0].gives[1].amount, 0.143);
	build_end(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(bundles_are_whole),  cmocka_unit_test(over_the_new_year),
		cmocka_unit_test(by_the_losses_in_use),
		cmocka_unit_test(hours_of_work),      cmocka_unit_test(what_is_not_counted),
		cmocka_unit_test(weighings_say_when), cmocka_unit_test(which_season),
		cmocka_unit_test(late_batch),         cmocka_unit_test(boxes_of_the_log),
		cmocka_unit_test(lots_of_a_plan),
		cmocka_unit_test(boxes_of_the_shed),  cmocka_unit_test(line_by_brute_force),
		cmocka_unit_test(least_that_gives),   cmocka_unit_test(metres_less),
		cmocka_unit_test(hours_over),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

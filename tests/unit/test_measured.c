/* test_measured.c - losses that the farm's records show, stage by stage. */
#include "reckon/measured.h"

#include <limits.h>
#include <math.h>

#include "help_farm.h"
#include "reckon/blend.h"

static const char *const TODAY = "2026-11-25";

static struct measures reckon_on(struct built *b, const char *on)
{
	struct measures m;
	build_done(b);
	measures_reckon(&m, &b->farm, build_day(on), &b->arena, &b->remarks);
	return m;
}

static const struct stage_measured *stage_of(const struct measures *m, enum stage stage)
{
	return &m->crops[0].stages[stage];
}

static struct batch *add_batch(struct built *b, const struct crop *c, const char *cut_on, double cut,
                               double hung, double boxed)
{
	struct batch *batch = build_batch(b, c, NULL, cut, boxed);
	batch->hung = hung;
	batch->cut_on = build_day(cut_on);
	return batch;
}

static void same_interval(struct interval a, struct interval b)
{
	assert_near(a.low, b.low);
	assert_near(a.high, b.high);
}

/* ---- seasons ---- */

static void season_of_the_north_is_the_year(void **state)
{
	(void)state;
	struct business b = { .last_frost = build_day("2027-04-24"), .first_frost = build_day("2027-10-18") };
	assert_int_equal(season_of(&b, build_day("2026-01-01")), 2026);
	assert_int_equal(season_of(&b, build_day("2026-12-31")), 2026);
	assert_int_equal(season_of(&b, DAY_NONE), INT_MIN);
	b.last_frost = DAY_NONE; /* half a frost statement is no season */
	assert_int_equal(season_of(&b, build_day("2026-12-31")), 2026);
}

static void season_of_the_south_spans_new_year(void **state)
{
	(void)state;
	/* Frost from 20 April to 6 October: its middle, 84 days on, is 13 July. */
	struct business b = { .last_frost = build_day("2026-10-06"), .first_frost = build_day("2027-04-20") };
	assert_int_equal(season_of(&b, build_day("2026-12-10")), 2026);
	assert_int_equal(season_of(&b, build_day("2027-02-28")), 2026);
	assert_int_equal(season_of(&b, build_day("2027-07-12")), 2026);
	assert_int_equal(season_of(&b, build_day("2027-07-13")), 2027);
}

/* ---- storage ---- */

static void storage_fit_of_equal_times(void **state)
{
	(void)state;
	struct lot lots[] = { { 10, 100 }, { 30, 100 }, { 8, 40 } };
	double four[] = { 4, 4, 4 }, one[] = { 1, 1, 1 };
	assert_near_by(storage_fit(lots, one, 3), 48.0 / 240, 1e-12, 0);
	assert_near_by(storage_fit(lots, four, 3), 1 - pow(192.0 / 240, 0.25), 1e-12, 0);
	assert_near(storage_fit((struct lot[]){ { 0, 10 } }, four, 1), 0);
	assert_near(storage_fit((struct lot[]){ { 10, 10 } }, four, 1), 1);
	assert_true(isnan(storage_fit(NULL, NULL, 0)));
}

static double log_likelihood(const struct lot *lots, const double *months, size_t n, double s)
{
	double sum = 0;
	for (size_t i = 0; i < n; i++) {
		double kept = pow(1 - s, months[i]);
		sum += lots[i].lost * log(1 - kept) + (lots[i].of - lots[i].lost) * log(kept);
	}
	return sum;
}

/* The fit is the top of the likelihood itself, wherever one looks beside it. */
static void storage_fit_is_the_most_likely(void **state)
{
	(void)state;
	uint64_t stream = 5;
	for (int round = 0; round < 200; round++) {
		struct lot lots[6];
		double months[6], lost = 0;
		size_t n = 2 + (size_t)(build_random(&stream) * 5);
		for (size_t i = 0; i < n; i++) {
			lots[i].of = 20 + floor(build_random(&stream) * 200);
			lots[i].lost = floor(build_random(&stream) * lots[i].of * 0.4);
			months[i] = 0.2 + 12 * build_random(&stream);
			lost += lots[i].lost;
		}
		if (lost == 0)
			continue;
		double s = storage_fit(lots, months, n), top = log_likelihood(lots, months, n, s);
		assert_true(log_likelihood(lots, months, n, s * 1.01) < top);
		assert_true(log_likelihood(lots, months, n, s * 0.99) < top);
	}
}

/* A box counted twice, with stems drawn, sold, boxed and tossed on the way. */
static void box_between_two_counts(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice");
	struct piece *piece = build_piece(&b, "Wreath");
	struct item stems = build_crop_item(&b, crop);
	struct box *box = build_box(&b, "B1", stems, 100, "2026-06-01", "2026-07-01");
	uint32_t in = (uint32_t)(box - b.farm.boxes);
	build_log(&b, "2026-07-01", EVENT_SOLD, stems, 7)->box = in; /* in the count already */
	build_drawn(&b, build_log(&b, "2026-07-11", EVENT_MADE, build_piece_item(&b, piece), 1), box, 20);
	build_log(&b, "2026-07-21", EVENT_BOXED, stems, 40)->box = in;
	build_log(&b, "2026-07-26", EVENT_SOLD, stems, 10)->box = in;
	struct log_entry *tossed = build_log(&b, "2026-07-27", EVENT_TOSSED, stems, 6);
	tossed->box = in;
	tossed->cause = CAUSE_MOULD;
	build_log(&b, "2026-07-31", EVENT_COUNTED, stems, 98)->box = in;
	/* The next spell starts at once: drawn on the same day, later in the log. */
	build_drawn(&b, build_log(&b, "2026-07-31", EVENT_MADE, build_piece_item(&b, piece), 1), box, 8);
	build_log(&b, "2026-08-30", EVENT_COUNTED, stems, 90)->box = in;

	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *s = stage_of(&m, STAGE_STORAGE);
	/* First: 140 stems, 30 went out, 12 missing.  Stem-days: 140 x 30, less 20 x 20 drawn
	 * early, less 40 x 20 that came late, less 10 x 5 sold.  Second: 98, none missing. */
	double first = (140 * 30 - 20 * 20 - 40 * 20 - 10 * 5) / 140.0 / DAYS_PER_MONTH;
	double second = (98 * 30 - 8 * 30) / 98.0 / DAYS_PER_MONTH;
	struct lot lots[] = { { 12, 140 }, { 0, 98 } };
	double months[] = { first, second };
	assert_int_equal(s->m.lots, 2);
	assert_near(s->m.stems, 238);
	assert_near(s->m.lost, 12);
	assert_near(s->months, (140 * first + 98 * second) / 238);
	assert_near_by(s->m.rate, storage_fit(lots, months, 2), 1e-9, 0);
	assert_true(s->m.few && s->m.i80.low < s->m.rate && s->m.rate < s->m.i80.high);
	assert_int_equal(s->ncauses, 1);
	assert_int_equal(s->causes[0].cause, CAUSE_MOULD);
	assert_near(s->causes[0].stems, 6);
	assert_near(s->unsaid, 6);
	build_end(&b);
}

/* Boxes kept for different times at one rate are no sign of alikeness. */
static void time_in_the_box_is_not_alikeness(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice");
	struct item stems = build_crop_item(&b, crop);
	static const char *const counted[] = { "2026-02-01", "2026-04-01", "2026-07-01", "2026-10-01" };
	crop->loss[STAGE_STORAGE] = build_fig(0.03);
	for (size_t i = 0; i < 8; i++) {
		struct box *box = build_box(&b, "B", stems, 1000, "2025-10-01", "2026-01-01");
		double months = date_months(build_day("2026-01-01"), build_day(counted[i % 4]));
		build_log(&b, counted[i % 4], EVENT_COUNTED, stems, round(1000 * pow(0.97, months)))->box =
		    (uint32_t)(box - b.farm.boxes);
	}
	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *s = stage_of(&m, STAGE_STORAGE);
	assert_near_by(s->m.rate, 0.03, 0.005, 0);
	assert_near(s->m.rho, 0);
	assert_near(s->m.effective, 8000);
	assert_int_equal(s->judged, ASSUMED_FITS);
	/* As shares of a count they would look very much alike within a box. */
	struct lot bare[8];
	for (size_t i = 0; i < 8; i++)
		bare[i] = (struct lot){ 1000 - b.farm.log[i].count, 1000 };
	assert_true(alike_rho(bare, 8) > 0.02);
	/* Planning: ten stems of the line, over the mean time, read back per month. */
	double n = measured_stems_at(&s->m, 0.8), line = 1 - pow(0.97, s->months);
	double over_time = (10 * line + n * (1 - pow(1 - s->m.rate, s->months))) / (10 + n);
	assert_near_by(s->plan.rate, 1 - pow(1 - over_time, 1 / s->months), 1e-9, 0);
	/* How sure that is: from all boxes as if kept for the mean time, read back likewise. */
	assert_true(isnan(s->plan.i80.low));
	measures_be_sure(&m, &b.farm, &b.arena);
	assert_true(s->plan.i80.low < s->plan.rate && s->plan.rate < s->plan.i80.high);
	struct planned over_months = { .rate = over_time };
	struct lot footed[8];
	double kept = pow(1 - s->m.rate, s->months);
	for (size_t i = 0; i < 8; i++) {
		double own = pow(1 - s->m.rate, date_months(build_day("2026-01-01"), build_day(counted[i % 4])));
		double errors = (bare[i].lost / 1000 - (1 - own)) / sqrt(own * (1 - own) / 1000);
		footed[i] = (struct lot){ 1000 * (1 - kept + errors * sqrt(kept * (1 - kept) / 1000)), 1000 };
	}
	blend_intervals(&over_months, footed, 8, line, 10, ALIKE_STATED);
	assert_near_by(s->plan.i80.low, 1 - pow(1 - over_months.i80.low, 1 / s->months), 1e-6, 0);
	assert_near_by(s->plan.i95.high, 1 - pow(1 - over_months.i95.high, 1 / s->months), 1e-6, 0);
	build_end(&b);
}

/* On one footing: each box's excess over its own expectation, in standard errors. */
static void boxes_on_one_footing(void **state)
{
	(void)state;
	static const double left[] = { 490, 330, 470 };
	static const char *const counted[] = { "2026-02-15", "2026-10-01", "2026-06-01" };
	struct lot lots[3];
	double months[3], mean = 0;
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice");
	struct item stems = build_crop_item(&b, crop);
	for (size_t i = 0; i < 3; i++) {
		struct box *box = build_box(&b, "B", stems, 500, NULL, "2026-01-01");
		build_log(&b, counted[i], EVENT_COUNTED, stems, left[i])->box =
		    (uint32_t)(box - b.farm.boxes);
		lots[i] = (struct lot){ 500 - left[i], 500 };
		months[i] = date_months(build_day("2026-01-01"), build_day(counted[i]));
		mean += months[i] / 3;
	}
	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *s = stage_of(&m, STAGE_STORAGE);
	double rate = storage_fit(lots, months, 3), p = 1 - pow(1 - rate, mean);
	for (size_t i = 0; i < 3; i++) {
		double own = 1 - pow(1 - rate, months[i]);
		double errors = (lots[i].lost / 500 - own) / sqrt(own * (1 - own) / 500);
		lots[i].lost = 500 * (p + errors * sqrt(p * (1 - p) / 500));
	}
	assert_near_by(s->m.rate, rate, 1e-9, 0);
	assert_near_by(s->m.rho, alike_rho(lots, 3), 1e-9, 0);
	assert_true(s->m.rho > 0.01);
	build_end(&b);
}

static void fuller_box_lost_nothing(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct item stems = build_crop_item(&b, build_crop(&b, "Statice"));
	struct box *box = build_box(&b, "ST7", stems, 100, NULL, "2026-07-01");
	build_log(&b, "2026-08-01", EVENT_COUNTED, stems, 103)->box = (uint32_t)(box - b.farm.boxes);
	struct measures m = reckon_on(&b, TODAY);
	assert_int_equal(stage_of(&m, STAGE_STORAGE)->m.lots, 1);
	assert_near(stage_of(&m, STAGE_STORAGE)->m.rate, 0);
	assert_true(build_said(&b, REMARK_DOUBT, "ST7"));
	build_end(&b);
}

/* A box of Statice with 100 stems on 1 January, and what was counted or sold since. */
struct seen {
	const char *on;
	double stems;
	enum event event;
};
static struct measures box_seen(struct built *b, const struct seen *seen, size_t n)
{
	build_start(b);
	struct item stems = build_crop_item(b, build_crop(b, "Statice"));
	struct box *box = build_box(b, "ST7", stems, 100, NULL, "2026-01-01");
	for (size_t i = 0; i < n; i++)
		build_log(b, seen[i].on, seen[i].event, stems, seen[i].stems)->box =
		    (uint32_t)(box - b->farm.boxes);
	return reckon_on(b, TODAY);
}

/* The lots of a box, each "lost of stems in days". */
static void box_gives(const struct seen *seen, size_t n, const double (*lots)[3], size_t nlots)
{
	struct built b;
	struct measures m = box_seen(&b, seen, n);
	assert_int_equal(m.nlots, nlots);
	for (size_t i = 0; i < nlots; i++) {
		assert_near(m.lots[i].lot.lost, lots[i][0]);
		assert_near(m.lots[i].lot.of, lots[i][1]);
		assert_near(m.lots[i].months * DAYS_PER_MONTH, lots[i][2]);
	}
	build_end(&b);
}
#define BOX_GIVES(seen, lots) box_gives(seen, COUNT(seen), lots, COUNT(lots))

/* Counts under two weeks apart are one count: our own rule, no source (docs/records.md). */
static void recounts_days_apart_are_joined(void **state)
{
	(void)state;
	/* The next span takes in a short one, and what was miscounted on the way. */
	BOX_GIVES(((const struct seen[]){ { "2026-01-06", 90, EVENT_COUNTED },
	                                  { "2026-01-10", 99, EVENT_COUNTED },
	                                  { "2026-03-02", 95, EVENT_COUNTED } }),
	          ((const double[][3]){ { 5, 100, 60 } }));
	/* The last one joins the one before; on the same day, too. */
	BOX_GIVES(((const struct seen[]){ { "2026-03-02", 95, EVENT_COUNTED },
	                                  { "2026-03-05", 92, EVENT_COUNTED } }),
	          ((const double[][3]){ { 8, 100, 63 } }));
	BOX_GIVES(((const struct seen[]){ { "2026-03-02", 95, EVENT_COUNTED },
	                                  { "2026-03-02", 92, EVENT_COUNTED } }),
	          ((const double[][3]){ { 8, 100, 60 } }));
	/* Until there is a next one; a miscount between two long spans is of both of them. */
	BOX_GIVES(((const struct seen[]){ { "2026-03-02", 95, EVENT_COUNTED },
	                                  { "2026-03-05", 92, EVENT_COUNTED },
	                                  { "2026-05-01", 90, EVENT_COUNTED } }),
	          ((const double[][3]){ { 5, 100, 60 }, { 5, 95, 60 } }));
	/* Counted anew on the day: that is the count. */
	BOX_GIVES(((const struct seen[]){ { "2026-03-02", 59, EVENT_COUNTED },
	                                  { "2026-03-02", 95, EVENT_COUNTED },
	                                  { "2026-05-01", 90, EVENT_COUNTED } }),
	          ((const double[][3]){ { 5, 100, 60 }, { 5, 95, 60 } }));
	/* What was sold between goes with the stems, in both spans. */
	BOX_GIVES(((const struct seen[]){ { "2026-01-04", 20, EVENT_SOLD },
	                                  { "2026-01-06", 79, EVENT_COUNTED },
	                                  { "2026-01-21", 76, EVENT_COUNTED },
	                                  { "2026-01-25", 10, EVENT_SOLD },
	                                  { "2026-01-26", 65, EVENT_COUNTED } }),
	          ((const double[][3]){ { 5, 100, 25 - (20 * 22 + 10 * 1) / 100.0 } }));
	/* Two weeks are enough. */
	BOX_GIVES(((const struct seen[]){ { "2026-01-15", 98, EVENT_COUNTED },
	                                  { "2026-01-29", 97, EVENT_COUNTED } }),
	          ((const double[][3]){ { 2, 100, 14 }, { 1, 98, 14 } }));
}

static void recounts_days_apart_do_not_move_the_rate(void **state)
{
	(void)state;
	static const struct seen once[] = { { "2026-07-01", 90, EVENT_COUNTED } };
	/* Two stems miscounted, found again, and a third count to be sure. */
	static const struct seen often[] = { { "2026-01-03", 98, EVENT_COUNTED },
		                             { "2026-01-05", 100, EVENT_COUNTED },
		                             { "2026-06-29", 90, EVENT_COUNTED },
		                             { "2026-07-01", 90, EVENT_COUNTED } };
	struct built a, b;
	struct measures m = box_seen(&a, once, COUNT(once)), w = box_seen(&b, often, COUNT(often));
	assert_near(stage_of(&m, STAGE_STORAGE)->m.rate, stage_of(&w, STAGE_STORAGE)->m.rate);
	build_end(&a);
	build_end(&b);
}

static void recounted_too_soon_says_so(void **state)
{
	(void)state;
	static const struct seen soon[] = { { "2026-01-08", 95, EVENT_COUNTED } };
	struct built b;
	struct measures m = box_seen(&b, soon, COUNT(soon));
	assert_int_equal(m.nlots, 0);
	assert_true(build_said(&b, REMARK_DOUBT, "two weeks") && build_said(&b, REMARK_DOUBT, "ST7"));
	build_end(&b);
}

/* ---- field and drying ---- */

static void batches_give_field_and_drying(void **state)
{
	(void)state;
	static const double batches[][3] = { { 240, 222, 201 }, { 290, 268, 245 }, { 190, 171, 150 },
		                             { 200, 186, 170 }, { 240, 222, 201 } };
	struct lot drying[5];
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Strawflower");
	crop->loss[STAGE_FIELD] = build_fig(0.08);
	crop->loss[STAGE_DRYING] = build_fig(0.10);
	crop->loss_weight = build_fig(40);
	for (size_t i = 0; i < 5; i++) {
		add_batch(&b, crop, "2026-07-14", batches[i][0], batches[i][1], batches[i][2]);
		drying[i] = (struct lot){ batches[i][1] - batches[i][2], batches[i][1] };
	}
	add_batch(&b, crop, "2026-08-14", 100, 90, NAN); /* still hanging */
	add_batch(&b, crop, "2026-08-14", NAN, NAN, 40); /* nothing known of it before */
	struct measures m = reckon_on(&b, TODAY);
	struct measured want;
	measure(&want, drying, 5, (double)NAN, &m.borrowed[STAGE_DRYING]);
	const struct stage_measured *s = stage_of(&m, STAGE_DRYING);
	assert_int_equal(s->m.lots, 5);
	assert_near(s->m.rate, want.rate);
	same_interval(s->m.i80, want.i80);
	same_interval(s->m.i95, want.i95);
	struct planned plan;
	plan_rate(&plan, &want, 0.10, 40);
	assert_near(s->plan.rate, plan.rate);
	blend_intervals(&plan, drying, 5, 0.10, 40, ALIKE_STATED); /* its own are not borrowed again */
	measures_be_sure(&m, &b.farm, &b.arena);
	same_interval(s->plan.i80, plan.i80);
	assert_int_equal(s->judged, ASSUMED_FITS);
	assert_int_equal(stage_of(&m, STAGE_FIELD)->m.lots, 6);
	assert_near(stage_of(&m, STAGE_FIELD)->m.lost, 18 + 22 + 19 + 14 + 18 + 10);
	assert_near(s->months, 0);
	build_end(&b);
}

static void what_cannot_be_is_left_out(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice");
	add_batch(&b, crop, "2026-07-14", 100, 120, 110)->id = STR("N5-1"); /* more hung than cut */
	add_batch(&b, crop, "2026-07-14", 100, 90, 95)->id = STR("N5-2");   /* more boxed than hung */
	add_batch(&b, crop, "2026-07-14", 100, 90, 80)->id = STR("N5-3");
	add_batch(&b, crop, "2026-07-14", 0, 0, 0)->id = STR("N5-4"); /* no stems: neither */
	struct measures m = reckon_on(&b, TODAY);
	assert_int_equal(stage_of(&m, STAGE_FIELD)->left_out, 1);
	assert_int_equal(stage_of(&m, STAGE_DRYING)->left_out, 1);
	assert_int_equal(stage_of(&m, STAGE_FIELD)->m.lots, 2);
	assert_int_equal(stage_of(&m, STAGE_DRYING)->m.lots, 2);
	assert_true(build_said(&b, REMARK_DOUBT, "N5-1 and N5-2"));
	build_end(&b);
}

static void records_after_the_day_are_not_looked_at(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice");
	struct batch *batch = add_batch(&b, crop, "2026-07-14", 100, 90, 80);
	batch->hung_on = build_day("2026-07-14");
	batch->boxed_on = build_day("2026-07-30");
	struct measures m = reckon_on(&b, "2026-07-20");
	assert_int_equal(stage_of(&m, STAGE_FIELD)->m.lots, 1);
	assert_int_equal(stage_of(&m, STAGE_DRYING)->m.lots, 0);
	build_end(&b);
}

static void causes_in_order(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Hare's-tail grass");
	struct batch *batch = add_batch(&b, crop, "2026-07-09", 700, 662, 297);
	batch->lost[CAUSE_SHATTER] = 41;
	batch->lost[CAUSE_MOULD] = 318;
	batch = add_batch(&b, crop, "2026-07-21", 520, 492, 450);
	batch->lost[CAUSE_SHATTER] = 30;
	batch->lost[CAUSE_BREAKAGE] = 6;
	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *s = stage_of(&m, STAGE_DRYING);
	assert_int_equal(s->ncauses, 3);
	assert_int_equal(s->causes[0].cause, CAUSE_MOULD);
	assert_int_equal(s->causes[1].cause, CAUSE_SHATTER);
	assert_near(s->causes[1].stems, 71);
	assert_int_equal(s->causes[2].cause, CAUSE_BREAKAGE);
	assert_near(s->unsaid, 365 + 42 - 318 - 71 - 6);
	build_end(&b);
}

/* ---- judging the assumption ---- */

static enum assumed_is judged_at(double assumed, bool *too_low)
{
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice");
	crop->loss[STAGE_DRYING] = build_fig(assumed);
	for (int i = 0; i < 6; i++)
		add_batch(&b, crop, "2026-07-14", 100, 100, 78 + i);
	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *s = stage_of(&m, STAGE_DRYING);
	*too_low = s->too_low;
	assert_int_equal(s->judged == ASSUMED_OFF, assumed < s->m.i95.low || assumed > s->m.i95.high);
	enum assumed_is judged = s->judged;
	build_end(&b);
	return judged;
}

static void assumption_against_the_intervals(void **state)
{
	(void)state;
	bool too_low;
	/* 117 of 600: 80% 17.5% to 21.6%, 95% 16.5% to 22.8%. */
	assert_int_equal(judged_at(0.19, &too_low), ASSUMED_FITS);
	assert_false(too_low);
	assert_int_equal(judged_at(0.17, &too_low), ASSUMED_DOUBTFUL);
	assert_true(too_low);
	assert_int_equal(judged_at(0.05, &too_low), ASSUMED_OFF);
	assert_true(too_low);
	assert_int_equal(judged_at(0.40, &too_low), ASSUMED_OFF);
	assert_false(too_low);
}

static void too_few_batches_judge_nothing(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice"), *other = build_crop(&b, "Ammobium");
	crop->loss[STAGE_DRYING] = build_fig(0.01);
	for (int i = 0; i < 2; i++)
		add_batch(&b, crop, "2026-07-14", 100, 100, 60);
	for (int i = 0; i < 5; i++)
		add_batch(&b, other, "2026-07-14", 100, 100, 86 + i);
	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *s = stage_of(&m, STAGE_DRYING);
	assert_true(s->m.few);
	assert_int_equal(s->judged, ASSUMED_UNJUDGED);
	assert_int_equal(s->m.source, RHO_FARM); /* from the other crop and its own two */
	assert_near(m.borrowed[STAGE_DRYING].worth, 1 + 4 + 1);
	assert_int_equal(m.borrowed[STAGE_FIELD].others, false);
	assert_int_equal(m.crops[1].stages[STAGE_DRYING].m.source, RHO_OWN);
	assert_int_equal(m.crops[1].stages[STAGE_DRYING].judged, ASSUMED_UNJUDGED); /* no line */
	build_end(&b);
}

/* ---- bench ---- */

static void bench_from_the_log(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *statice = build_crop(&b, "Statice"), *grass = build_crop(&b, "Grass");
	struct piece *wreath = build_piece(&b, "Wreath"), *tuft = build_piece(&b, "Tuft");
	build_piece_need(&b, tuft, build_crop_item(&b, grass), 5, 1);
	build_piece_need(&b, wreath, build_crop_item(&b, statice), 10, 1);
	build_piece_need(&b, wreath, build_crop_item(&b, grass), 10, 1);
	statice->loss[STAGE_BENCH] = build_fig(0.02);
	grass->loss[STAGE_BENCH] = build_fig(0.08);
	struct box *s1 = build_box(&b, "S1", build_crop_item(&b, statice), 500, NULL, "2026-10-31");
	struct box *g1 = build_box(&b, "G1", build_crop_item(&b, grass), 500, NULL, "2026-10-31");
	struct item a_wreath = build_piece_item(&b, wreath), a_tuft = build_piece_item(&b, tuft);

	struct log_entry *e = build_log(&b, "2026-11-01", EVENT_MADE, a_tuft, 10);
	build_drawn(&b, e, g1, 52);
	e->spoiled = 2;
	e = build_log(&b, "2026-11-02", EVENT_MADE, a_tuft, 6); /* a box that is no longer here */
	e->drawn_gone = 30;
	e = build_log(&b, "2026-11-03", EVENT_MADE, a_wreath, 4); /* two crops: cannot be told apart */
	build_drawn(&b, e, s1, 44);
	build_drawn(&b, e, g1, 40);
	e->spoiled = 4;
	e = build_log(&b, "2026-11-04", EVENT_MADE, a_wreath, 1); /* perhaps two as well */
	build_drawn(&b, e, s1, 10);
	e->drawn_gone = 10;
	e = build_log(&b, "2026-11-05", EVENT_MADE, a_tuft, 1); /* more spoiled than drawn */
	build_drawn(&b, e, g1, 5);
	e->spoiled = 9;
	e = build_log(&b, "2026-11-06", EVENT_MADE, a_tuft, 100); /* struck below */
	build_drawn(&b, e, g1, 500);
	e->spoiled = 400;
	struct str wrong = e->id;
	build_log(&b, "2026-11-06", EVENT_STRUCK, a_tuft, NAN)->strikes = wrong;
	build_log(&b, "2026-11-07", EVENT_MADE, a_tuft, 3); /* says nothing of stems */

	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *grass_bench = &m.crops[1].stages[STAGE_BENCH];
	assert_int_equal(grass_bench->m.lots, 2);
	assert_near(grass_bench->m.stems, 82);
	assert_near(grass_bench->m.lost, 2);
	assert_int_equal(m.crops[0].stages[STAGE_BENCH].m.lots, 0);
	assert_near(m.crops[0].stages[STAGE_BENCH].plan.rate, 0.02); /* the line alone */
	assert_int_equal(m.bench.m.lots, 3);
	assert_near(m.bench.m.stems, 52 + 30 + 84);
	assert_near(m.bench.m.lost, 6);
	assert_int_equal(m.bench.untold, 1); /* what the 20 stems were cannot be told */
	assert_near(m.bench.untold_stems, 20);
	assert_int_equal(m.bench.left_out, 1);
	assert_true(build_said(&b, REMARK_DOUBT, "row 6"));
	/* Assumed over what was drawn from boxes that are here. */
	assert_near(m.bench.assumed, (0.08 * (52 + 40 + 5) + 0.02 * (44 + 10)) / 151);
	build_end(&b);
}

/* Drawn by the pull list, loss and all, and the rest unsaid: that is the assumption come
 * back, and says nothing of the loss.  What is told within 1%, or one stem, counts. */
static void untold_stems_measure_nothing(void **state)
{
	(void)state;
	static const struct {
		double made, drawn, spoiled;
		bool told;
		double untold;
		bool zero_said;
	} lines[] = {
		{ 10, 55, 1, false, 4, false },       /* ceil(50 / 0.92): four stems went nowhere */
		{ 10, 55, 0, false, 5, false },
		{ 10, 55, 5, true, 0, false },
		{ 10, 55, 4, true, 0, false },        /* one stem is within */
		{ 100, 520, 15, true, 0, false },     /* 5 of 520 too */
		{ 100, 520, 14, false, 6, false },
		{ 10, 40, 2, true, 0, false },        /* thin tufts: spoiled of drawn all the same */
		{ NAN, 50, 3, false, 47, false }, /* nobody says how many were made */
		{ 2, 11, 0, false, 1, false }, /* ceil(10 / 0.92), and nothing said of spoiled */
		{ 2, 11, 0, true, 0, true },   /* but that there were none: one stem is within */
		{ 2, 10, 0, true, 0, false },
	};
	for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
		struct built b;
		build_start(&b);
		struct crop *grass = build_crop(&b, "Grass");
		struct piece *tuft = build_piece(&b, "Tuft");
		build_piece_need(&b, tuft, build_crop_item(&b, grass), 5, 1);
		grass->loss[STAGE_BENCH] = build_fig(0.08);
		struct box *box = build_box(&b, "G1", build_crop_item(&b, grass), 900, NULL, "2026-10-31");
		struct log_entry *e = build_log(&b, "2026-11-01", EVENT_MADE, build_piece_item(&b, tuft),
		                                lines[i].made);
		build_drawn(&b, e, box, lines[i].drawn);
		e->spoiled = lines[i].spoiled;
		e->spoiled_said = lines[i].zero_said;
		struct measures m = reckon_on(&b, TODAY);
		const struct stage_measured *own = stage_of(&m, STAGE_BENCH);
		assert_int_equal(own->m.lots, lines[i].told);
		assert_int_equal(own->untold, !lines[i].told);
		assert_near(own->untold_stems, lines[i].untold);
		assert_int_equal(m.bench.m.lots, lines[i].told);
		assert_int_equal(build_said(&b, REMARK_DOUBT, "neither spoiled nor in the recipe"),
		                 !lines[i].told);
		if (lines[i].told)
			assert_near(own->m.rate, lines[i].spoiled / lines[i].drawn);
		else
			assert_near(own->plan.rate, 0.08); /* the line stands */
		build_end(&b);
	}
}

/* ---- seasons against each other ---- */

static enum trend trend_of(const int *before, const int *last, size_t n)
{
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice");
	for (size_t i = 0; i < n; i++) {
		add_batch(&b, crop, "2024-07-14", 200, 200, 20); /* long ago: not compared */
		add_batch(&b, crop, "2026-07-14", 200, 200, 200 - last[i]);
		add_batch(&b, crop, "2025-07-14", 200, 200, 200 - before[i]);
	}
	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *s = stage_of(&m, STAGE_DRYING);
	assert_int_equal(s->last.year, 2026);
	assert_int_equal(s->before.year, 2025);
	assert_int_equal(s->last.m.lots, n);
	struct interval c = rate_change(s->before.m.rate, s->before.m.i80, s->last.m.rate, s->last.m.i80);
	same_interval(s->change80, c);
	assert_true(s->change95.low < s->change80.low && s->change80.high < s->change95.high);
	enum trend t = s->trend;
	build_end(&b);
	return t;
}

static void trend_against_last_season(void **state)
{
	(void)state;
	static const int few[] = { 10, 14, 12, 9 }, many[] = { 40, 46, 51, 38 }, more[] = { 11, 15, 12, 10 };
	assert_int_equal(trend_of(few, many, 4), TREND_WORSE);
	assert_int_equal(trend_of(many, few, 4), TREND_BETTER);
	assert_int_equal(trend_of(few, more, 4), TREND_UNSURE);
	static const int some[] = { 15, 17, 14, 15 }; /* sure at 80%, not at 95% */
	assert_int_equal(trend_of(few, some, 4), TREND_WORSE);
}

static void one_season_has_no_trend(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice");
	add_batch(&b, crop, "2026-07-14", 100, 100, 80);
	add_batch(&b, crop, NULL, 100, 100, 80); /* of no season */
	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *s = stage_of(&m, STAGE_DRYING);
	assert_int_equal(s->trend, TREND_NONE);
	assert_int_equal(s->last.year, 2026);
	assert_int_equal(s->last.m.lots, 1);
	assert_int_equal(s->before.m.lots, 0);
	assert_int_equal(s->m.lots, 2);
	build_end(&b);
}

static void nothing_recorded(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Statice");
	crop->loss[STAGE_STORAGE] = build_fig(0.02);
	struct measures m = reckon_on(&b, TODAY);
	const struct stage_measured *s = stage_of(&m, STAGE_STORAGE);
	assert_int_equal(s->m.lots, 0);
	assert_near_by(s->plan.rate, 0.02, 1e-12, 0);
	assert_near_by(s->plan.i80.high, stat_beta_quantile(0.9, 0.2, 9.8), 1e-9, 0);
	assert_int_equal(s->judged, ASSUMED_UNJUDGED);
	assert_true(isnan(stage_of(&m, STAGE_FIELD)->plan.rate));
	assert_true(isnan(stage_of(&m, STAGE_FIELD)->assumed));
	assert_int_equal(m.bench.m.lots, 0);
	assert_int_equal(b.remarks.n, 0);
	build_end(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(season_of_the_north_is_the_year),
		cmocka_unit_test(season_of_the_south_spans_new_year),
		cmocka_unit_test(storage_fit_of_equal_times),
		cmocka_unit_test(storage_fit_is_the_most_likely),
		cmocka_unit_test(box_between_two_counts),
		cmocka_unit_test(time_in_the_box_is_not_alikeness),
		cmocka_unit_test(boxes_on_one_footing),
		cmocka_unit_test(recounts_days_apart_are_joined),
		cmocka_unit_test(recounts_days_apart_do_not_move_the_rate),
		cmocka_unit_test(recounted_too_soon_says_so),
		cmocka_unit_test(fuller_box_lost_nothing),
		cmocka_unit_test(batches_give_field_and_drying),
		cmocka_unit_test(what_cannot_be_is_left_out),
		cmocka_unit_test(records_after_the_day_are_not_looked_at),
		cmocka_unit_test(causes_in_order),
		cmocka_unit_test(assumption_against_the_intervals),
		cmocka_unit_test(too_few_batches_judge_nothing),
		cmocka_unit_test(bench_from_the_log),
		cmocka_unit_test(untold_stems_measure_nothing),
		cmocka_unit_test(trend_against_last_season),
		cmocka_unit_test(one_season_has_no_trend),
		cmocka_unit_test(nothing_recorded),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

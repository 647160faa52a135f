/* test_plan_season.c - rows, areas, seed and days of a sowing. */
#include "reckon/plan_season.h"

#include <math.h>

#include "help_texts.h"
#include "reckon/loss.h"

#define INCH      25.4          /* mm; exact (NIST SP 811, from memory) */
#define FOOT      (12 * INCH)
#define SQUARE_FT (FOOT * FOOT)
#define ACRE      (43560 * SQUARE_FT)
#define SQUARE_ROD (272.25 * SQUARE_FT)

static day day_of(const char *iso)
{
	day d = DAY_NONE;
	assert_true(date_parse(str_of(iso), &d));
	return d;
}

static void assert_day(day got, const char *want)
{
	char text[11];
	date_print(got, text);
	assert_string_equal(text, want);
}

/* ---- rooms ---- */

/* Iowa State University Extension, Horticulture and Home Pest News, "Determining Plant
 * Quantity", 29 April 1992: plants per square foot, square spacing, to two places, and the
 * worked 100 sq ft at 8 in. */
static void plants_per_square_foot(void **state)
{
	(void)state;
	static const struct {
		double inches, printed;
	} rows[] = { { 6, 4 }, { 8, 2.25 }, { 10, 1.44 }, { 12, 1 }, { 18, .44 }, { 24, .25 } };
	for (size_t i = 0; i < COUNT(rows); i++) {
		double each = rows[i].inches * INCH, per = SQUARE_FT / (each * each);
		assert_near_by(per, rows[i].printed, 0, 5e-3);
	}
	assert_int_equal(plants_on(100 * SQUARE_FT, 8 * INCH, 8 * INCH, PLANTS_CUT_OFF), 225);
	/* 1000 sq ft at 18 in: the printed .44 would give 440; the exact figure is 444.4. */
	assert_int_equal(plants_on(1000 * SQUARE_FT, 18 * INCH, 18 * INCH, PLANTS_CUT_OFF), 444);
}

/* University of Maine Extension, Planting Chart for the Home Vegetable Garden: 10 ft of row at
 * 18 in take 6-7 plants: 6.67, cut off, or with a plant at both ends.  (Its 24-30 in rows, 6-7
 * plants again, do not recompute: 4-5, with ends 5-6.) */
static void fence_posts(void **state)
{
	(void)state;
	assert_int_equal(plants_in_row(10 * FOOT, 18 * INCH, ROW_SPACED), 6);
	assert_int_equal(plants_in_row(10 * FOOT, 18 * INCH, ROW_FENCE_POST), 7);
	assert_int_equal(plants_in_row(10 * FOOT, 24 * INCH, ROW_SPACED), 5);
	assert_int_equal(plants_in_row(10 * FOOT, 24 * INCH, ROW_FENCE_POST), 6);
	assert_int_equal(plants_in_row(0, 250, ROW_SPACED), 0);
	assert_int_equal(plants_in_row(1000, 0, ROW_FENCE_POST), 0);
}

struct spacing {
	double a, b; /* inches */
	int64_t printed;
};

/* Farm and Garden Rule-Book (L. H. Bailey, Macmillan 1911, author and year from memory), plants
 * per acre; 4 x 7 in is 224,022.86: the table cuts off.  2 x 3 ft in feet. */
static void plants_per_acre_cut_off(void **state)
{
	(void)state;
	static const struct spacing rows[] = {
		{ 24, 36, 7260 },  { 3, 6, 348480 },  { 3, 7, 298697 },  { 3, 11, 190080 },
		{ 4, 4, 392040 },  { 4, 6, 261360 },  { 4, 7, 224022 },  { 4, 10, 156816 },
		{ 1, 7, 896091 },
		/* Commercial Gardening vol. 3 (J. Weathers ed., 1913, from memory), 30 in rows; x 30
		 * is 6,969.6. */
		{ 30, 12, 17424 }, { 30, 18, 11616 }, { 30, 24, 8712 },  { 30, 30, 6969 },
		{ 30, 36, 5808 },  { 30, 42, 4978 },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_int_equal(plants_on(ACRE, rows[i].a * INCH, rows[i].b * INCH, PLANTS_CUT_OFF),
				 rows[i].printed);
	assert_int_equal(plants_on(ACRE, 30 * INCH, 30 * INCH, PLANTS_NEAREST), 6970);
}

/* The same book, plants on a square rod; 6 x 4, 8 x 6 and 8 x 8 fail when rounded. */
static void plants_per_square_rod_cut_off(void **state)
{
	(void)state;
	static const struct spacing rows[] = {
		{ 3, 3, 4356 }, { 4, 4, 2450 }, { 5, 4, 1960 },  { 6, 4, 1633 },   { 6, 6, 1089 }, { 8, 6, 816 },
		{ 8, 8, 612 },  { 10, 8, 490 }, { 10, 10, 392 }, { 12, 12, 272 }, { 15, 10, 261 },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_int_equal(
		    plants_on(SQUARE_ROD, rows[i].a * INCH, rows[i].b * INCH, PLANTS_CUT_OFF),
		    rows[i].printed);
	assert_int_equal(plants_on(SQUARE_ROD, 8 * INCH, 6 * INCH, PLANTS_NEAREST), 817);
}

/* Valley Potato Grower, March 2021, p. 12, table 1: rounded to the nearest. */
static void plants_per_acre_nearest(void **state)
{
	(void)state;
	static const struct spacing rows[] = {
		{ 34, 7, 26356 }, { 36, 12, 14520 }, { 38, 6, 27512 }, { 38, 14, 11791 },
	};
	size_t cut_off_fails = 0;
	for (size_t i = 0; i < COUNT(rows); i++) {
		double a = rows[i].a * INCH, b = rows[i].b * INCH;
		assert_int_equal(plants_on(ACRE, a, b, PLANTS_NEAREST), rows[i].printed);
		cut_off_fails += plants_on(ACRE, a, b, PLANTS_CUT_OFF) != rows[i].printed;
	}
	assert_true(cut_off_fails > 0); /* so it is the other convention */
}

/* 120,010 and 66,670 plants a hectare on plots of 1.5 m2: 18 and 10 plants (derived from S.
 * Green et al., HortTechnology 20 (2010) 612-619). */
static void plants_on_a_plot(void **state)
{
	(void)state;
	assert_near_by(120010 * 1.5 / 1e4, 18, 2e-4, 0);
	assert_int_equal(plants_on(1.5e6, 200, 1e10 / 120010 / 200, PLANTS_NEAREST), 18);
	assert_int_equal(plants_on(1.5e6, 200, 1e10 / 66670 / 200, PLANTS_NEAREST), 10);
}

static void metres_of_bed(void **state)
{
	(void)state;
	assert_near(bed_length(16, 4, 250), 1000);
	assert_near(bed_length(17, 4, 250), 1250); /* a row begun takes its plant's room */
	assert_near(bed_length(0, 4, 250), 0);
	assert_near(bed_length(10, 4, 0), 0);
	for (int64_t n = 1; n < 200; n++) { /* what is planned has room in its rows */
		double row = bed_length(n, 3, 300);
		assert_true(3 * plants_in_row(row, 300, ROW_SPACED) >= n);
		assert_true(3 * plants_in_row(row - 300, 300, ROW_SPACED) < n);
	}
}

/* ---- seed ---- */

/* NDSU Extension, Optimal Seeding Rates (barley): a stand of 1.1 million plants, 15% stand loss,
 * 12,500 seeds a pound, 95% germination: 110 lb, rounded to the ten; exact 108.978.  (Farm
 * Progress has the stand x (1 - loss), upside down: 78.7.) */
static void germination_and_field_factor(void **state)
{
	(void)state;
	double seeds = 1.1e6 / .85 / .95;
	assert_near_by(1.1e6 / .85, 1294118, 0, .5);
	assert_near_by(seeds / 12500, 108.978, 0, 5e-4);
	/* The plain numbers of the plan, in thousands of plants: live share, then germination. */
	assert_int_equal(loss_cover(1100 / .85), 1295);
	assert_near_by((double)cells_to_sow(1295, cell_gives(.95, 1), .5), 1100 / .85 / .95, 2e-3, 0);
}

/* Pure live seed: Texas Department of Transportation, 85% x 75% = .64 (exact .6375), 1.56 lb
 * bulk (early rounding: 1.5686); Rangelands Gateway glossary, 91% x 96% = 87.36%. */
static void pure_live_seed(void **state)
{
	(void)state;
	assert_near_by(.85 * .75, .64, 0, 5e-3);
	assert_near_by(1 / (.85 * .75), 1.5686, 0, 5e-5);
	assert_near(.91 * .96, .8736);
	assert_int_equal(cells_to_sow(8736, .8736, .5) >= 9999 && cells_to_sow(8736, .8736, .5) <= 10001,
			 1);
}

static void cells_of_several_seeds(void **state)
{
	(void)state;
	assert_near(cell_gives(.7, 1), .7);
	assert_near(cell_gives(.7, 2), .91);
	assert_near(cell_gives(1, 3), 1);
	assert_int_equal(cells_to_sow(10, .9, .9), 13); /* as in test_stat: R 4.2.2 */
	assert_int_equal(cells_to_sow(10, 0, .9), -1);
	assert_int_equal(cells_to_sow(0, .5, .9), 0);
}

/* E(min(K, plants)) / plants, K binomial, summed with Python's math.comb. */
static void plants_of_the_plain_number_of_cells(void **state)
{
	(void)state;
	static const struct {
		int64_t plants;
		double gives, share;
	} rows[] = { { 1, .8, .96 }, { 4, .8, .91808 }, { 2, .5, .8125 }, { 45, .8, .9793939039273488 },
		     { 40, .78, .9767380462055314 }, { 300, .6, .9854403738611456 }, { 10, 1, 1 }, { 0, .5, 1 } };
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_near_by(cells_even_share(rows[i].plants, rows[i].gives), rows[i].share, 1e-12, 0);
}

/* 128-cell trays: 384 plants are three, 385 need a fourth (the trays of a farm in Northeast
 * SARE project FNE18-892, 2019). */
static void whole_trays(void **state)
{
	(void)state;
	assert_int_equal(whole_units(384, 128), 3);
	assert_int_equal(whole_units(385, 128), 4);
	assert_int_equal(whole_units(0, 128), 0);
	assert_int_equal(whole_units(10, 0), 0);
}

/* ---- days ---- */

static const struct crop *crop_from(struct texts *t, const char *text)
{
	texts_start(t);
	texts_load(t, text);
	return &t->farm.crops[0];
}

/* R. Jauron, Iowa State University, Annual Flower Seed Germination Guide: weeks from sowing to
 * planting out; for planting out on 15 May (the derived days, the same in leap years). */
static void counting_back_from_planting_out(void **state)
{
	(void)state;
	static const struct {
		int weeks;
		const char *sow;
	} rows[] = { { 8, "20" }, { 10, "06" }, { 7, "27" } };
	for (int year = 2026; year <= 2028; year++) {
		for (size_t i = 0; i < COUNT(rows); i++) {
			struct texts t;
			char text[200], want[16];
			snprintf(text, sizeof text,
				 "farm F\n  frost last %d-05-15\ncrop C\n  sows %d weeks before last frost\n",
				 year, rows[i].weeks);
			const struct crop *c = crop_from(&t, text);
			struct season s = season_frosts(&t.farm.business);
			snprintf(want, sizeof want, "%d-03-%s", year, rows[i].sow);
			assert_day(season_day(&c->sowings[0].when, &s, DAY_NONE), want);
			texts_end(&t);
		}
	}
}

/* ISU Yard and Garden, "When should I plant cool season annuals": 6 to 8 weeks before mid March
 * to early April, mid January to early February. */
static void counting_back_over_february(void **state)
{
	(void)state;
	assert_day(day_of("2027-03-15") - 56, "2027-01-18");
	assert_day(day_of("2027-04-05") - 56, "2027-02-08");
}

/* D. Straw, Virginia Cooperative Extension 426-331 (Piedmont): last frost 20 April, first 19
 * October: 182 days without frost, and 30 April to 29 October the same.  (The sheet's Mountain and
 * Tidewater rows do not recompute.) */
static void frost_free_days(void **state)
{
	(void)state;
	for (int year = 2023; year <= 2028; year++) {
		assert_int_equal(date_from_civil(year, 10, 19) - date_from_civil(year, 4, 20), 182);
		assert_int_equal(date_from_civil(year, 10, 29) - date_from_civil(year, 4, 30), 182);
	}
}

static struct plan_sowing sowing_of(const struct texts *t, size_t i, const char *on)
{
	struct plan_sowing out;
	struct season s = season_frosts(&t->farm.business);
	season_sowing(&out, &t->farm.crops[0], i, &s, day_of(on));
	return out;
}

static void days_of_a_sowing(void **state)
{
	(void)state;
	struct texts t;
	crop_from(&t, "farm F\n  frost last 2027-04-24, first 2027-10-18\n"
		      "crop C\n  sows 7 weeks before last frost\n  plants 1 week after last frost\n"
		      "  cuts from 10 weeks after planting, over 9 weeks\n"
		      "  hangs 10 stem per bundle, 14 days\n");
	struct plan_sowing s = sowing_of(&t, 0, "2026-11-25");
	assert_day(s.sow, "2027-03-06");
	assert_day(s.plant, "2027-05-01");
	assert_day(s.first_cut, "2027-07-10");
	assert_day(s.last_cut, "2027-09-10"); /* 63 days, both ends cut */
	assert_day(s.first_boxed, "2027-07-24");
	assert_day(s.last_boxed, "2027-09-24");
	assert_false(s.past);
	s = sowing_of(&t, 0, "2027-03-07");
	assert_true(s.past);
	assert_near(season_in_time(&s, day_of("2027-07-23")), 0);
	assert_near(season_in_time(&s, day_of("2027-07-24")), 1 / 63.0);
	assert_near(season_in_time(&s, day_of("2027-09-23")), 62 / 63.0);
	assert_near(season_in_time(&s, day_of("2027-12-01")), 1);
	texts_end(&t);
}

/* The mean of what is kept, day by day. */
static void kept_until_a_day(void **state)
{
	(void)state;
	struct plan_sowing s = { .first_cut = 100, .last_cut = 140, .first_boxed = 110, .last_boxed = 150 };
	for (day by = 110; by < 400; by += 17) {
		double sum = 0, n = 0;
		for (day d = 110; d <= 150 && d <= by; d++, n++)
			sum += loss_storage(.02, date_months(d, by));
		assert_near_by(season_kept(&s, .02, by), sum / n, 1e-12, 0);
		assert_near(season_kept(&s, 0, by), 1);
	}
	assert_true(isnan(season_kept(&s, .02, 109)));
}

/* South of the equator the frosts of one calendar year belong to two seasons. */
static void a_season_over_the_new_year(void **state)
{
	(void)state;
	struct texts t;
	crop_from(&t, "farm F\n  frost last 2027-10-06, first 2027-04-20\n"
		      "crop C\n  sows 7 weeks before last frost\n  plants 1 week after last frost\n"
		      "  cuts from 10 weeks after planting, over 6 weeks\n"
		      "  sows 20 weeks before first frost\n  plants 15 weeks before first frost\n");
	struct season f = season_frosts(&t.farm.business);
	assert_true(f.shifted);
	assert_day(f.first_frost, "2028-04-20");
	struct plan_sowing s = sowing_of(&t, 0, "2027-06-01");
	assert_day(s.sow, "2027-08-18");
	assert_day(s.first_cut, "2027-12-22");
	assert_day(s.last_cut, "2028-02-01");
	s = sowing_of(&t, 1, "2027-06-01");
	assert_day(s.sow, "2027-12-02");
	assert_day(s.plant, "2028-01-06");
	struct arena a;
	arena_init(&a);
	s = sowing_of(&t, 0, "2027-06-01");
	season_weeks(&s, 42, &a);
	/* Wednesday 22 December 2027, ISO week 51, to Tuesday 1 February 2028, week 5. */
	assert_int_equal(s.nweeks, 7);
	assert_day(s.weeks[0].monday, "2027-12-20");
	assert_near(s.weeks[0].stems, 5);
	assert_int_equal(date_week(s.weeks[1].monday).week, 52);
	assert_int_equal(date_week(s.weeks[2].monday).week, 1);
	assert_near(s.weeks[6].stems, 2);
	arena_release(&a);
	texts_end(&t);
}

static void fewer_plantings_than_sowings(void **state)
{
	(void)state;
	struct texts t;
	crop_from(&t, "crop C\n  sows on 2027-03-01\n  sows on 2027-03-22\n  sows on 2027-05-01, direct\n"
		      "  plants on 2027-04-20\n  cuts from 10 weeks after planting\n");
	assert_int_equal(season_sowings_count(&t.farm.crops[0]), 3);
	assert_day(sowing_of(&t, 0, "2027-01-01").plant, "2027-04-20");
	assert_day(sowing_of(&t, 1, "2027-01-01").plant, "2027-05-11"); /* 50 days on, as the first */
	assert_day(sowing_of(&t, 2, "2027-01-01").plant, "2027-05-01");
	assert_int_equal(sowing_of(&t, 2, "2027-01-01").plants, 0);
	texts_end(&t);
	crop_from(&t, "crop C\n  sows on 2027-03-01\n  plants on 2027-04-20\n  plants on 2027-05-04\n");
	assert_day(sowing_of(&t, 1, "2027-01-01").sow, "2027-03-15");
	texts_end(&t);
}

/* What stands is cut every year; a leap day's cut falls on 28 February else. */
static void what_stands_is_cut_again(void **state)
{
	(void)state;
	struct texts t;
	crop_from(&t, "crop C\n  stands 6 m of bed, planted 2023-05-10\n  cuts on 2026-07-20, over 4 weeks\n");
	struct plan_sowing s = sowing_of(&t, 0, "2026-11-25");
	assert_day(s.first_cut, "2027-07-20");
	assert_day(s.last_cut, "2027-08-16");
	assert_false(s.past);
	assert_day(sowing_of(&t, 0, "2026-08-16").first_cut, "2026-07-20"); /* not over yet */
	texts_end(&t);
	crop_from(&t, "crop C\n  stands 6 m of bed\n  cuts on 2024-02-29\n");
	assert_day(sowing_of(&t, 0, "2024-03-01").first_cut, "2025-02-28");
	assert_day(sowing_of(&t, 0, "2027-03-01").first_cut, "2028-02-29");
	texts_end(&t);
}

/* Where the crop says no days it hangs for two weeks, in the plan as on the line: one to two weeks, R. C. Smith,
 * North Dakota State University, H-1037, 1992. */
static void dried_without_days(void **state)
{
	(void)state;
	struct texts t;
	crop_from(&t, "crop C\n  stands 6 m of bed\n  cuts on 2028-02-28, over 2 days\n");
	struct plan_sowing s = sowing_of(&t, 0, "2027-11-25");
	assert_day(s.first_boxed, "2028-03-13");
	assert_day(s.last_boxed, "2028-03-14");
	texts_end(&t);
}

static void days_that_hang_on_nothing(void **state)
{
	(void)state;
	struct season none = { DAY_NONE, DAY_NONE, false };
	struct when w = { .anchor = ANCHOR_LAST_FROST };
	assert_int_equal(season_day(&w, &none, 5), DAY_NONE);
	w.anchor = ANCHOR_FIRST_FROST;
	assert_int_equal(season_day(&w, &none, 5), DAY_NONE);
	w.anchor = ANCHOR_NONE;
	assert_int_equal(season_day(&w, &none, 5), DAY_NONE);
	struct plan_sowing s = { .first_cut = DAY_NONE, .first_boxed = DAY_NONE };
	assert_near(season_in_time(&s, 100), 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(plants_per_square_foot),
		cmocka_unit_test(fence_posts),
		cmocka_unit_test(plants_per_acre_cut_off),
		cmocka_unit_test(plants_per_square_rod_cut_off),
		cmocka_unit_test(plants_per_acre_nearest),
		cmocka_unit_test(plants_on_a_plot),
		cmocka_unit_test(metres_of_bed),
		cmocka_unit_test(germination_and_field_factor),
		cmocka_unit_test(pure_live_seed),
		cmocka_unit_test(cells_of_several_seeds),
		cmocka_unit_test(plants_of_the_plain_number_of_cells),
		cmocka_unit_test(whole_trays),
		cmocka_unit_test(counting_back_from_planting_out),
		cmocka_unit_test(counting_back_over_february),
		cmocka_unit_test(frost_free_days),
		cmocka_unit_test(days_of_a_sowing),
		cmocka_unit_test(kept_until_a_day),
		cmocka_unit_test(a_season_over_the_new_year),
		cmocka_unit_test(fewer_plantings_than_sowings),
		cmocka_unit_test(what_stands_is_cut_again),
		cmocka_unit_test(dried_without_days),
		cmocka_unit_test(days_that_hang_on_nothing),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_drying.c - moisture, drying curves, and when a batch may be boxed. */
#include "reckon/drying.h"

#include <math.h>

#include "help_simulate.h"

/* ---- moisture ---- */

static void wet_basis_with_tare(void **state)
{
	(void)state;
	/* University of Alaska Fairbanks Extension, FGV-00248 (rev. 2020): dish 5 g, 55 g
	 * fresh, 45 g dry: 20%. */
	assert_near(moisture_wet(5, 55, 45), 0.20);
	/* Ohio State University, forage moisture with an air fryer (at farms.com, second
	 * hand): 90 to 70 g is 22%, 100 to 80 g is 20%: of the starting weight. */
	assert_near_by(moisture_wet(0, 90, 70), 0.22, 0, 0.005);
	assert_near(moisture_wet(0, 100, 80), 0.20);
	/* Of the dry weight or of 100 g it would be another number. */
	assert_false(help_is_near(moisture_wet(0, 90, 70), 0.20, 0, 0.005));
	assert_true(isnan(moisture_wet(60, 55, 45)));
	assert_true(isnan(moisture_wet(5, 55, 4)));
	assert_true(isnan(moisture_wet(5, 45, 55)));
	assert_true(isnan(moisture_wet(5, 5, 5)));
	assert_true(isnan(moisture_wet((double)NAN, 55, 45)));
}

/* IRRI, Rice Knowledge Bank, defines moisture on both bases (the algebra is ours). */
static void dry_basis(void **state)
{
	(void)state;
	assert_near(moisture_dry_basis(0.20), 0.25);
	assert_near(moisture_dry_basis(0.25), 1.0 / 3);
	assert_near(moisture_dry_basis(0.80), 4);
	for (double m = 0; m < 0.99; m += 0.07)
		assert_near(moisture_wet_basis(moisture_dry_basis(m)), m);
}

static void fresh_to_dried(void **state)
{
	(void)state;
	/* C. Callahan, "Drying and Curing", UVM Extension 2021: from about 80% to about 10%;
	 * so 100 kg come to 22.2, 4.5 to 1 (derived). */
	assert_near_by(dried_weight(100, 0.80, 0.10), 22.2, 0, 0.05);
	assert_near_by(100 / dried_weight(100, 0.80, 0.10), 4.5, 1e-12, 0);
	/* Dahiya et al., Acta Hort. 624 (2003) 385-388, annual chrysanthemum heads (second
	 * hand): 1.25 to 1.44 g at 87.4 to 88.8%, dried to 9.2 to 15.7%.  Derived: 0.154 to
	 * 0.215 g.  The published upper dry weight, 2.6 g, is more than the fresh head. */
	assert_near_by(dried_weight(1.25, 0.888, 0.092), 0.154, 0, 0.0005);
	assert_near_by(dried_weight(1.44, 0.874, 0.157), 0.215, 0, 0.0005);
	assert_near(dried_weight(70, 0.3, 0.3), 70);
}

/* ---- verdicts ---- */

struct seen {
	double on, grams; /* days from 1 July 2026 */
};

static struct drying judge_with(const struct seen *w, size_t n, double tare)
{
	struct arena a;
	struct drying d;
	struct weighing list[32];
	arena_init(&a);
	for (size_t i = 0; i < n; i++)
		list[i] = (struct weighing){ build_day("2026-07-01") + (day)w[i].on, w[i].grams };
	drying_judge(&d, list, n, tare, &a);
	arena_release(&a);
	return d;
}
#define judge(w) judge_with((w), COUNT(w), 0)

static double exact(double rest, double water, double k, double t)
{
	return rest + water * exp(-k * t);
}

static void three_weighings_at_least(void **state)
{
	(void)state;
	static const struct seen two[] = { { 0, 300 }, { 14, 80 } }, flat[] = { { 0, 300 }, { 1, 300 } };
	struct drying d = judge(two);
	assert_int_equal(d.verdict, DRYING_TOO_FEW);
	assert_near(d.lost, 220.0 / 300);
	assert_true(isnan(d.to_go));
	assert_int_equal(d.expected, DAY_NONE);
	assert_int_equal(judge(flat).verdict, DRYING_TOO_FEW);
	/* Three on two days are two: 24 hours must lie between. */
	static const struct seen same_day[] = { { 0, 300 }, { 9, 80 }, { 9, 80 }, { 9, 80 } };
	d = judge(same_day);
	assert_int_equal(d.weighings, 2);
	assert_int_equal(d.verdict, DRYING_TOO_FEW);
	d = judge_with(NULL, 0, 0);
	assert_int_equal(d.verdict, DRYING_TOO_FEW);
	/* Weights that the tare eats up are none. */
	static const struct seen light[] = { { 0, 300 }, { 7, 81 }, { 8, 80 }, { 9, 80 } };
	assert_int_equal(judge_with(light, 4, 85).weighings, 1);
}

static void a_dry_bundle_is_ready(void **state)
{
	(void)state;
	static const struct seen w[] = { { 0, 400 }, { 3, 205 }, { 6, 134 }, { 9, 109 }, { 14, 97.2 }, { 16, 96 } };
	struct drying d = judge(w); /* about 95 + 305 e^(-t/3) */
	assert_int_equal(d.verdict, DRYING_READY);
	assert_int_equal(d.reason, DRYING_BY_ALL);
	assert_true(d.fitted);
	assert_near_by(d.k, 1.0 / 3, 0.05, 0);
	assert_near_by(d.rest, 95, 0.02, 0);
	assert_true(d.to_go > 0 && d.to_go <= 0.02);
	assert_int_equal(d.expected, build_day("2026-07-17"));
}

/* Saskatchewan, "Determining Moisture Content": dry when it loses less than 1 g of a 100 g
 * sample; University of Illinois: 1 to 2 g or less; Alaska, FGV-00248: 2 g or less.  Ours
 * is the strict one, of the starting weight. */
static void constant_weight_is_one_per_cent_of_the_start(void **state)
{
	(void)state;
	struct seen w[] = { { 0, 100 }, { 5, 30 }, { 10, 20.9 }, { 15, 19.9 } };
	assert_near_by(judge(w).change, 0.01, 1e-9, 0);
	assert_int_equal(judge(w).verdict, DRYING_READY);
	w[3].grams = 19.8; /* 1.1 g of 100 g: Illinois and Alaska would box it */
	assert_int_equal(judge(w).verdict, DRYING_HANG);
	assert_int_equal(judge(w).reason, DRYING_BY_LOSS);
	/* With a hook of 200 g, 1% of the starting weight is still 1 g, not 3 g. */
	for (size_t i = 0; i < 4; i++)
		w[i].grams += 200;
	assert_int_equal(judge_with(w, 4, 200).reason, DRYING_BY_LOSS);
	assert_near_by(judge_with(w, 4, 200).change, 0.011, 1e-9, 0);
	/* Of the last weight instead, 1 g of 20 g would never pass. */
	w[3].grams = 219.9;
	assert_int_equal(judge_with(w, 4, 200).verdict, DRYING_READY);
}

/* Two weighings hardly differ, and yet most of the water is still there. */
static void slow_drying_does_not_look_dry(void **state)
{
	(void)state;
	static const struct seen straight[] = { { 0, 300 }, { 5, 285 }, { 10, 270 }, { 15, 255 }, { 16, 252.5 } };
	struct drying d = judge(straight);
	assert_true(d.change <= 0.01);
	assert_int_equal(d.verdict, DRYING_HANG);
	assert_int_equal(d.reason, DRYING_BY_CURVE);
	assert_near(d.to_go, 1);
	assert_false(d.fitted);
	assert_int_equal(d.expected, DAY_NONE);

	static const struct seen daily[] = { { 0, 300 }, { 1, 298 }, { 2, 296 }, { 3, 294 } };
	assert_int_equal(judge(daily).reason, DRYING_BY_NO_DROP);

	static const struct seen bending[] = { { 0, 300 }, { 4, 280 }, { 8, 266 }, { 12, 256.2 }, { 13, 254.2 } };
	d = judge(bending); /* .7 of what went in each four days before */
	assert_int_equal(d.verdict, DRYING_HANG);
	assert_int_equal(d.reason, DRYING_BY_CURVE);
	assert_true(d.fitted && d.to_go > 0.2);
	assert_near_by(d.k, -log(0.7) / 4, 0.03, 0);
	assert_true(d.expected > build_day("2026-07-14"));

	/* Exactly 1% between the last two, and 7% of the water to go. */
	static const struct seen edge[] = { { 0, 300 }, { 7, 200 }, { 8, 197 } };
	d = judge(edge);
	assert_near_by(d.change, 0.01, 1e-12, 0);
	assert_int_equal(d.verdict, DRYING_HANG);
	assert_true(d.to_go > 0.05);
}

static void a_bundle_never_seen_drying_is_not_dry(void **state)
{
	(void)state;
	static const struct seen fog[] = { { 0, 300 }, { 2, 300 }, { 4, 300 }, { 6, 299 } };
	assert_int_equal(judge(fog).verdict, DRYING_HANG);
	assert_int_equal(judge(fog).reason, DRYING_BY_NO_DROP);
	static const struct seen wetter[] = { { 0, 300 }, { 6, 90 }, { 9, 84 }, { 11, 91 } };
	struct drying d = judge(wetter);
	assert_int_equal(d.verdict, DRYING_HANG);
	assert_int_equal(d.reason, DRYING_BY_GAIN);
}

/* A 10 g scale cannot tell the last grams; a 1 g scale can. */
static void a_coarse_scale_makes_nobody_sure(void **state)
{
	(void)state;
	static const struct seen coarse[] = { { 0, 260 }, { 3, 200 }, { 6, 160 }, { 8, 160 } };
	static const struct seen fine[] = { { 0, 262 }, { 3, 173 }, { 6, 161 }, { 8, 160 } };
	assert_true(judge(coarse).change <= 0.01);
	assert_int_equal(judge(coarse).verdict, DRYING_HANG);
	assert_int_equal(judge(fine).verdict, DRYING_READY);
	/* It is still a 10 g scale with a hook of 33 g on it: the same net weights off a
	 * scale that shows single grams are surer. */
	struct seen hooked[4], bare[4];
	for (size_t i = 0; i < 4; i++) {
		hooked[i] = (struct seen){ fine[i].on, 10 * round((fine[i].grams + 33) / 10) };
		bare[i] = (struct seen){ fine[i].on, hooked[i].grams - 33 };
	}
	struct drying on_hook = judge_with(hooked, 4, 33), off_hook = judge_with(bare, 4, 0);
	assert_near(on_hook.last, off_hook.last);
	assert_near(on_hook.rest, off_hook.rest);
	assert_true(on_hook.to_go > off_hook.to_go);
}

/* Three damp days first, then the curve: left off once four weighings follow. */
static void a_late_start_is_left_off(void **state)
{
	(void)state;
	struct seen w[9];
	for (size_t i = 0; i < 9; i++) {
		w[i].on = (double)i * 3;
		w[i].grams = i < 2 ? 300 - (double)i * 4 : round(exact(70, 226, 0.3, w[i].on - 3));
	}
	struct drying early = judge_with(w, 4, 0), late = judge_with(w, 8, 0);
	assert_int_equal(early.verdict, DRYING_HANG);
	assert_int_equal(late.verdict, DRYING_READY);
	assert_near_by(late.k, 0.3, 0.02, 0);
	assert_near_by(late.rest, 70, 0.02, 0);
}

static void order_of_the_list_does_not_matter(void **state)
{
	(void)state;
	static const struct seen in_order[] = { { 0, 400 }, { 3, 205 }, { 6, 134 }, { 14, 97 } };
	static const struct seen mixed[] = { { 6, 134 }, { 14, 99 }, { 0, 400 }, { 14, 97 }, { 3, 205 } };
	struct drying a = judge(in_order), b = judge(mixed);
	assert_int_equal(b.weighings, 4);
	assert_near(a.last, 97); /* the later one of that day */
	assert_near(b.last, 97);
	assert_near(a.to_go, b.to_go);
	assert_int_equal(a.expected, b.expected);
}

/* The forecast of an exact curve: ln 50 / k days, to the day. */
static void the_day_is_forecast(void **state)
{
	(void)state;
	for (double k = 0.08; k < 0.7; k += 0.09) {
		struct seen w[4];
		for (size_t i = 0; i < 4; i++) {
			w[i].on = 2 * (double)i;
			w[i].grams = exact(80, 300, k, w[i].on);
		}
		struct drying d = judge_with(w, 4, 0);
		assert_near_by(d.k, k, 1e-4, 0);
		assert_near_by(d.rest, 80, 1e-3, 0);
		day want = build_day("2026-07-01") + (day)ceil(log(50) / k);
		assert_int_equal(d.expected, want > build_day("2026-07-07") ? want : build_day("2026-07-08"));
	}
}

/* Half a year is no forecast. */
static void nothing_is_forecast_for_next_year(void **state)
{
	(void)state;
	struct seen w[6];
	for (size_t i = 0; i < 6; i++)
		w[i] = (struct seen){ 4 * (double)i, exact(80, 300, 0.025, 4 * (double)i) };
	struct drying d = judge_with(w, 6, 0);
	assert_true(d.fitted);
	assert_near_by(d.k, 0.025, 1e-3, 0);
	assert_int_equal(d.expected, DAY_NONE);
}

/* Bundles that dry at all speeds, weighed now and then to the gram in air that changes:
 * whenever one is called ready, its water is nearly gone; the slow ones never are early. */
static void ready_means_dry(void **state)
{
	(void)state;
	uint64_t stream = 3;
	unsigned ready = 0, wet = 0;
	enum { BUNDLES = 300, DAYS = 60 };
	for (int b = 0; b < BUNDLES; b++) {
		double k = 0.03 * pow(20, build_random(&stream)), rest = 40 + 110 * build_random(&stream);
		double water = rest * (0.8 + 4 * build_random(&stream));
		struct seen w[DAYS];
		size_t n = 0;
		for (double t = 0; t < DAYS && n < 32; t += simulate_whole(1, 4, &stream)) {
			double air = 1 + 0.004 * simulate_normal(&stream);
			w[n].on = t;
			w[n++].grams = round(exact(rest, water, k, t) * air);
			struct drying d = judge_with(w, n, 0);
			/* Never less to go than the last weighing itself shows. */
			if (d.fitted)
				assert_true(d.to_go > (d.last - d.rest) / (d.start - d.rest) - 1e-9);
			if (d.verdict != DRYING_READY)
				continue;
			ready++;
			wet += exp(-k * t) > 0.04;
			break;
		}
	}
	assert_true(ready > BUNDLES / 2);
	assert_int_equal(wet, 0);
}

/* ---- from the farm ---- */

static void weighings_of_a_batch_and_of_the_log(void **state)
{
	(void)state;
	struct built b;
	struct drying d;
	build_start(&b);
	struct crop *crop = build_crop(&b, "Strawflower");
	build_batch(&b, crop, NULL, 100, NAN);
	struct batch *batch = build_batch(&b, crop, NULL, 240, NAN);
	static struct weighing table[] = { { 0, 318 }, { 0, 246 } };
	table[0].on = build_day("2026-07-21");
	table[1].on = build_day("2026-07-25");
	batch->tare = 40;
	batch->weighings = table;
	batch->nweighings = 2;
	struct item item = build_crop_item(&b, crop);
	struct log_entry *e = build_log(&b, "2026-07-28", EVENT_WEIGHED, item, 231);
	e->batch = 1;
	e = build_log(&b, "2026-07-29", EVENT_WEIGHED, item, 999); /* of another batch */
	e->batch = 0;
	e = build_log(&b, "2026-07-29", EVENT_WEIGHED, item, 500); /* struck */
	e->batch = 1;
	struct str wrong = e->id;
	build_log(&b, "2026-07-29", EVENT_STRUCK, item, NAN)->strikes = wrong;
	e = build_log(&b, "2026-07-30", EVENT_WEIGHED, item, 230);
	e->batch = 1;
	build_done(&b);
	drying_of_batch(&d, &b.farm, 1, build_day("2026-07-29"), &b.arena);
	assert_int_equal(d.weighings, 3);
	assert_near(d.start, 278);
	assert_near(d.last, 191);
	assert_int_equal(d.verdict, DRYING_HANG);
	drying_of_batch(&d, &b.farm, 1, build_day("2026-07-30"), &b.arena);
	assert_int_equal(d.weighings, 4);
	assert_near(d.last, 190);
	assert_near(d.change, 1.0 / 278);
	drying_of_batch(&d, &b.farm, 0, build_day("2026-07-30"), &b.arena);
	assert_int_equal(d.verdict, DRYING_TOO_FEW);
	build_end(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(wet_basis_with_tare),
		cmocka_unit_test(dry_basis),
		cmocka_unit_test(fresh_to_dried),
		cmocka_unit_test(three_weighings_at_least),
		cmocka_unit_test(a_dry_bundle_is_ready),
		cmocka_unit_test(constant_weight_is_one_per_cent_of_the_start),
		cmocka_unit_test(slow_drying_does_not_look_dry),
		cmocka_unit_test(a_bundle_never_seen_drying_is_not_dry),
		cmocka_unit_test(a_coarse_scale_makes_nobody_sure),
		cmocka_unit_test(a_late_start_is_left_off),
		cmocka_unit_test(order_of_the_list_does_not_matter),
		cmocka_unit_test(the_day_is_forecast),
		cmocka_unit_test(nothing_is_forecast_for_next_year),
		cmocka_unit_test(ready_means_dry),
		cmocka_unit_test(weighings_of_a_batch_and_of_the_log),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_alike.c - rates of loss from batches whose stems fare alike. */
#include "reckon/alike.h"

#include <math.h>

#include "help_simulate.h"

static struct measured measure_alone(const struct lot *lots, size_t n)
{
	struct borrowed b;
	struct measured m;
	borrow_start(&b);
	measure(&m, lots, n, (double)NAN, &b);
	return m;
}

static bool holds(struct interval i, double p)
{
	return i.low <= p && p <= i.high;
}

/* One-way analysis of variance, stem by stem: each stem is a 0 or a 1, sums of squares
 * are taken from the stems themselves, and rho is the ratio of the variance between to
 * the whole, (MSB - MSW) / (MSB + (m0 - 1) MSW).  Shares no formula with alike.c but m0,
 * which is (N - sum n^2 / N) / (k - 1): G. Snedecor and W. Cochran, Statistical Methods,
 * ch. 13, groups of unequal size (from memory). */
static double rho_stem_by_stem(const struct lot *lots, size_t k)
{
	double total = 0, stems = 0, squares = 0, between = 0, within = 0;
	for (size_t i = 0; i < k; i++)
		for (double j = 0; j < lots[i].of; j++) {
			total += j < lots[i].lost;
			stems++;
		}
	for (size_t i = 0; i < k; i++) {
		double mean = 0;
		for (double j = 0; j < lots[i].of; j++)
			mean += j < lots[i].lost;
		mean /= lots[i].of;
		for (double j = 0; j < lots[i].of; j++) {
			double stem = j < lots[i].lost;
			within += (stem - mean) * (stem - mean);
			between += (mean - total / stems) * (mean - total / stems);
		}
		squares += lots[i].of * lots[i].of;
	}
	double msb = between / ((double)k - 1), msw = within / (stems - (double)k);
	double m0 = (stems - squares / stems) / ((double)k - 1);
	return (msb - msw) / (msb + (m0 - 1) * msw);
}

static void alikeness_is_the_analysis_of_variance(void **state)
{
	(void)state;
	uint64_t stream = 7;
	for (size_t k = 2; k < 12; k++) {
		struct lot lots[12];
		double lost = 0;
		simulate_season(lots, k, 3, 60, 0.3, 0.2, &stream);
		for (size_t i = 0; i < k; i++)
			lost += lots[i].lost;
		if (lost > 0)
			assert_near_by(alike_rho(lots, k), rho_stem_by_stem(lots, k), 1e-10, 1e-12);
	}
	/* All or nothing in every lot: wholly alike. */
	assert_near(alike_rho((struct lot[]){ { 10, 10 }, { 0, 10 }, { 20, 20 } }, 3), 1);
	/* Equal rates: as far below 0 as two lots of ten can go, -1/9. */
	assert_near(alike_rho((struct lot[]){ { 4, 10 }, { 4, 10 } }, 2), -1.0 / 9);
	/* By hand: 2 and 6 of 10; p .4, MSB .8, MSW (1.6 + 2.4)/18, so (.8 - 2/9)/(.8 + 2). */
	assert_near(alike_rho((struct lot[]){ { 2, 10 }, { 6, 10 } }, 2), (0.8 - 2.0 / 9) / 2.8);
}

static void what_cannot_tell_is_nan(void **state)
{
	(void)state;
	assert_true(isnan(alike_rho(NULL, 0)));
	assert_true(isnan(alike_rho((struct lot[]){ { 2, 10 } }, 1)));
	assert_true(isnan(alike_rho((struct lot[]){ { 0, 10 }, { 0, 20 } }, 2)));
	assert_true(isnan(alike_rho((struct lot[]){ { 10, 10 }, { 20, 20 } }, 2)));
	assert_true(isnan(alike_rho((struct lot[]){ { 1, 1 }, { 0, 1 }, { 0, 1 } }, 3)));
	/* Lots that are no lots are passed over. */
	struct lot odd[] = { { 2, 10 }, { 1, 0 }, { -1, 5 }, { 6, 5 }, { NAN, 5 }, { 1, NAN }, { 6, 10 } };
	assert_near(alike_rho(odd, COUNT(odd)), alike_rho((struct lot[]){ { 2, 10 }, { 6, 10 } }, 2));
	struct measured m = measure_alone(odd, COUNT(odd));
	assert_int_equal(m.lots, 2);
	assert_near(m.stems, 20);
	assert_near(m.rate, 0.4);
}

/* Kish, Survey Sampling (1965), from memory: clusters of m with correlation rho have a
 * design effect of 1 + (m - 1) rho, so that 20 clusters of 100 at .01 are worth 1,005. */
static void design_effect(void **state)
{
	(void)state;
	struct lot lots[20];
	for (size_t i = 0; i < 20; i++)
		lots[i] = (struct lot){ 0, 100 };
	struct borrowed b = { .sum = 0.01, .worth = 1 };
	struct measured m;
	measure(&m, lots, 20, (double)NAN, &b);
	assert_near(m.deff, 1.99);
	assert_near(m.effective, 2000 / 1.99);
	/* Unequal lots: mA = (100 + 8100) / 100 = 82. */
	measure(&m, (struct lot[]){ { 0, 10 }, { 0, 90 } }, 2, (double)NAN, &b);
	assert_near(m.deff, 1 + 81 * 0.01);
}

/* Where stems fare independently and many lots show it, nothing is left of it all but
 * Jeffreys' interval of the plain counts. */
static void independent_lots_are_plain_jeffreys(void **state)
{
	(void)state;
	struct lot lots[40];
	for (size_t i = 0; i < 40; i++)
		lots[i] = (struct lot){ i % 2 ? 9 : 11, 100 };
	struct measured m = measure_alone(lots, 40);
	struct interval j = stat_jeffreys(400, 4000, 0.95);
	assert_int_equal(m.source, RHO_OWN);
	assert_near(m.rho, 0);
	assert_near(m.effective, 4000);
	assert_near(m.i95.low, j.low);
	assert_near(m.i95.high, j.high);
	assert_near(measured_stems_at(&m, 0.8), 4000);
}

/* Five lots of 50 and a rho of their own, step by step from the header's formulas. */
static void one_case_by_hand(void **state)
{
	(void)state;
	struct lot lots[] = { { 2, 50 }, { 10, 50 }, { 4, 50 }, { 20, 50 }, { 4, 50 } };
	struct measured m = measure_alone(lots, 5);
	double p = 40.0 / 250;
	double msb = 50 * (0.12 * 0.12 + 0.04 * 0.04 + 0.08 * 0.08 * 2 + 0.24 * 0.24) / 4;
	double msw = 50 * (0.04 * 0.96 + 0.2 * 0.8 + 0.08 * 0.92 * 2 + 0.4 * 0.6) / 245;
	double rho = (msb - msw) / (msb + 49 * msw);
	assert_near(m.rate, p);
	assert_near(m.rho, rho);
	assert_near(m.deff, 1 + 49 * rho);
	assert_near(m.effective, 250 / (1 + 49 * rho));
	/* Kish's number of lots, by losses: 40^2 / (4 + 100 + 16 + 400 + 16). */
	assert_near(m.freedom, 1600.0 / 536 - 1);
	assert_near(m.share, 50 * rho / (1 + 49 * rho));
	double t = 1.2815515655446004 +
	           sqrt(m.share) * (stat_t_quantile(0.9, m.freedom) - 1.2815515655446004);
	double n = m.effective * pow(1.2815515655446004 / t, 2);
	assert_near(measured_stems_at(&m, 0.8), n);
	assert_near(m.i80.low, stat_jeffreys(p * n, n, 0.8).low);
	assert_near(m.i80.high, stat_jeffreys(p * n, n, 0.8).high);
	assert_true(m.i95.low < m.i80.low && m.i80.high < m.i95.high);
}

static void too_few_lots_borrow(void **state)
{
	(void)state;
	struct lot two[] = { { 5, 100 }, { 15, 100 } };
	struct measured m = measure_alone(two, 2);
	assert_true(m.few);
	assert_int_equal(m.source, RHO_STATED);
	assert_near(m.rho, ALIKE_STATED);
	assert_near(m.freedom, 1);
	assert_near(m.rate, 0.1);
	assert_true(m.i80.low < 0.1 && m.i80.high > 0.1);

	/* A farm whose other crops fare all alike within a batch, or not at all. */
	struct lot even[] = { { 10, 100 }, { 10, 100 }, { 10, 100 } };
	struct lot uneven[] = { { 2, 100 }, { 30, 100 }, { 10, 100 } };
	struct lot one_loses[] = { { 0, 100 }, { 0, 100 }, { 40, 100 } };
	struct borrowed b;
	borrow_start(&b);
	borrow_add(&b, one_loses, 3); /* says nothing about lots that lose */
	assert_false(b.others);
	for (int i = 0; i < 6; i++)
		borrow_add(&b, even, 3);
	assert_near(b.worth, 13);
	assert_near(borrow_rho(&b), fmax(0, (0.1 + 12 * alike_rho(even, 3)) / 13));
	struct measured calm, wild;
	measure(&calm, two, 2, (double)NAN, &b);
	assert_int_equal(calm.source, RHO_FARM);
	borrow_start(&b);
	struct borrowed before = b;
	borrow_add(&b, uneven, 3);
	borrow_less(&b, uneven, 3); /* and out again */
	assert_near(b.sum, before.sum);
	assert_near(b.worth, before.worth);
	for (int i = 0; i < 6; i++)
		borrow_add(&b, uneven, 3);
	measure(&wild, two, 2, (double)NAN, &b);
	assert_near(wild.rho, (0.1 + 12 * alike_rho(uneven, 3)) / 13);
	assert_true(calm.i80.high < wild.i80.high && wild.i80.high < m.i80.high);

	/* Three lots that lost nothing cannot tell either, but are not too few. */
	measure(&m, (struct lot[]){ { 0, 100 }, { 0, 80 }, { 0, 60 } }, 3, (double)NAN, &b);
	assert_false(m.few);
	assert_int_equal(m.source, RHO_FARM);
	assert_near(m.i80.low, 0);
	assert_true(m.i80.high > stat_jeffreys(0, 240, 0.8).high);
}

static void borrowing_is_never_below_nothing(void **state)
{
	(void)state;
	struct borrowed b = { .sum = -3, .worth = 5 };
	assert_near(borrow_rho(&b), 0);
}

/* What is lost and what is kept mirror each other, and the rate is always held. */
static void intervals_mirror_and_hold(void **state)
{
	(void)state;
	uint64_t stream = 99;
	for (int season = 0; season < 400; season++) {
		struct lot lots[9], mirror[9];
		size_t k = 1 + (size_t)(build_random(&stream) * 8);
		simulate_season(lots, k, 1, 90, build_random(&stream), build_random(&stream) * 0.6, &stream);
		for (size_t i = 0; i < k; i++)
			mirror[i] = (struct lot){ lots[i].of - lots[i].lost, lots[i].of };
		struct measured m = measure_alone(lots, k), w = measure_alone(mirror, k);
		assert_true(holds(m.i80, m.rate) && holds(m.i95, m.rate));
		assert_true(m.i95.low >= 0 && m.i95.high <= 1 && m.effective <= m.stems);
		assert_near_by(m.rho, w.rho, 1e-9, 1e-9);
		if (m.lost * 2 != m.stems) {
			assert_near_by(m.i80.low, 1 - w.i80.high, 1e-6, 1e-9);
			assert_near_by(m.i95.high, 1 - w.i95.low, 1e-6, 1e-9);
		}
	}
}

/* Two effective stems put Jeffreys' lower limit above one in a thousand. */
static void a_rate_outside_its_limits_is_held(void **state)
{
	(void)state;
	struct measured m = measure_alone((struct lot[]){ { 1, 1000 } }, 1);
	double n = measured_stems_at(&m, 0.8);
	assert_true(n < 3 && stat_jeffreys(0.001 * n, n, 0.8).low > 0.001);
	assert_near(m.i80.low, 0.001);
	m = measure_alone((struct lot[]){ { 999, 1000 } }, 1);
	assert_near(m.i80.high, 0.999);
}

static void nothing_measured(void **state)
{
	(void)state;
	struct measured m = measure_alone(NULL, 0);
	assert_int_equal(m.lots, 0);
	assert_true(isnan(m.rate) && isnan(m.i80.low) && isnan(m.i95.high) && m.few);
	struct planned p;
	plan_rate(&p, &m, 0.1, 10);
	assert_near(p.rate, 0.1);
	assert_near(p.i80.low, stat_beta_quantile(0.1, 1, 9));
	assert_near(p.i80.high, stat_beta_quantile(0.9, 1, 9));
	plan_rate(&p, &m, (double)NAN, 10);
	assert_true(isnan(p.rate) && isnan(p.i80.low));
	plan_rate(&p, &m, 0.1, 0); /* an assumption of no weight is all there is */
	assert_near(p.rate, 0.1);
	assert_true(isnan(p.i80.low));
	plan_rate(&p, &m, 0, 10); /* "loses 0%" is not a certainty */
	assert_near(p.rate, 0);
	assert_near(p.i80.low, 0);
	assert_near(p.i80.high, stat_beta_quantile(0.9, 0.5, 10.5));
	plan_rate(&p, &m, 1, 10);
	assert_near(p.i80.high, 1);
}

static void planning_blends_by_stems(void **state)
{
	(void)state;
	struct lot lots[] = { { 2, 50 }, { 10, 50 }, { 4, 50 }, { 20, 50 }, { 4, 50 } };
	struct measured m = measure_alone(lots, 5);
	struct planned p;
	double n = measured_stems_at(&m, 0.8);
	plan_rate(&p, &m, 0.05, 10);
	assert_near(p.rate, (10 * 0.05 + n * 0.16) / (10 + n));
	assert_near(p.stems, 10 + n);
	assert_near(p.a / (p.a + p.b), p.rate);
	assert_true(isnan(p.i80.low) && isnan(p.i95.high)); /* blend.h says how sure */
	/* The more it weighs, the nearer to the line; without weight, as measured. */
	double before = p.rate;
	plan_rate(&p, &m, 0.05, 40);
	assert_true(p.rate < before && p.rate > 0.05);
	plan_rate(&p, &m, 0.05, 0);
	assert_near(p.rate, 0.16);
	assert_near(p.i80.high, m.i80.high);
	plan_rate(&p, &m, (double)NAN, 10);
	assert_near(p.rate, 0.16);
	/* Nothing assumed lost, nothing lost: not below nothing. */
	m = measure_alone((struct lot[]){ { 0, 50 }, { 0, 50 }, { 0, 50 } }, 3);
	plan_rate(&p, &m, 0, 10);
	assert_near(p.rate, 0);
}

/* R. G. Newcombe, "Interval estimation for the difference between independent
 * proportions", Statistics in Medicine 17 (1998) 873-890, Table II, method 10, 95%, by
 * Wilson's limits (from memory): 56/70 - 48/80 is .0524 to .3339, 9/10 - 3/10 is .1705
 * to .8090, 10/10 - 0/10 is .6075 to 1. */
static struct interval wilson(double x, double n)
{
	double z = 1.959963984540054, p = x / n, mid = p + z * z / (2 * n);
	double half = z * sqrt(p * (1 - p) / n + z * z / (4 * n * n)), by = 1 + z * z / n;
	return (struct interval){ (mid - half) / by, (mid + half) / by };
}

static void change_between_seasons(void **state)
{
	(void)state;
	static const double rows[][6] = {
		{ 56, 70, 48, 80, 0.0524, 0.3339 },
		{ 9, 10, 3, 10, 0.1705, 0.8090 },
		{ 10, 10, 0, 10, 0.6075, 1 },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const double *r = rows[i];
		struct interval c = rate_change(r[2] / r[3], wilson(r[2], r[3]), r[0] / r[1],
		                                wilson(r[0], r[1]));
		assert_near_by(c.low, r[4], 0, 5.1e-5);
		assert_near_by(c.high, r[5], 0, 5.1e-5);
	}
}

/* ---- coverage, light: tests/bench/coverage.c prints the whole table ---- */

enum { SEASONS = 400 };

/* At 400 seasons one standard error is 2 points; the aim of 76 to 88 gets three. */
static void intervals_hold_the_truth(void **state)
{
	(void)state;
	static const size_t ks[] = { 4, 8 };
	static const double ps[] = { 0.02, 0.1, 0.2 }, rhos[] = { 0, 0.05, 0.3 };
	uint64_t stream = 1;
	for (size_t cell = 0; cell < 18; cell++) {
		size_t k = ks[cell / 9];
		double p = ps[cell / 3 % 3], rho = rhos[cell % 3];
		double ours = 0, wide = 0, binomial = 0;
		for (int season = 0; season < SEASONS; season++) {
			struct lot lots[8];
			simulate_season(lots, k, 50, 150, p, rho, &stream);
			struct measured m = measure_alone(lots, k);
			ours += holds(m.i80, p) * 100.0 / SEASONS;
			wide += holds(m.i95, p) * 100.0 / SEASONS;
			binomial += holds(stat_jeffreys(m.lost, m.stems, 0.8), p) * 100.0 / SEASONS;
		}
		if (ours < 70 || ours > 94 || wide < 86)
			print_error("k %zu, p %g, rho %g: %g%%, %g%%\n", k, p, rho, ours, wide);
		assert_true(ours >= 70 && ours <= 94 && wide >= 86);
		if (rho > 0)
			assert_true(fabs(ours - 80) < fabs(binomial - 80));
	}
}

/* Where coverage is known to be off: few batches, and losses in half of them at most, or very
 * uneven ones (make bench-coverage prints how often that is said). */
static void rough_where_few_lost_much(void **state)
{
	(void)state;
	static const struct {
		size_t n;
		struct lot lots[6];
		bool rough;
	} rows[] = {
		{ 4, { { 0, 100 }, { 6, 100 }, { 0, 100 }, { 2, 100 } }, true },
		{ 4, { { 1, 100 }, { 6, 100 }, { 0, 100 }, { 2, 100 } }, false },
		{ 3, { { 47, 590 }, { 365, 662 }, { 42, 492 } }, true }, /* rho 0.36 */
		{ 6, { { 0, 100 }, { 6, 100 }, { 0, 100 }, { 2, 100 }, { 0, 100 }, { 0, 100 } }, false },
		{ 2, { { 0, 100 }, { 6, 100 } }, false }, /* too few, which is said instead */
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct borrowed b;
		struct measured m;
		borrow_start(&b);
		measure(&m, rows[i].lots, rows[i].n, (double)NAN, &b);
		assert_int_equal(m.rough, rows[i].rough);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(alikeness_is_the_analysis_of_variance),
		cmocka_unit_test(what_cannot_tell_is_nan),
		cmocka_unit_test(design_effect),
		cmocka_unit_test(independent_lots_are_plain_jeffreys),
		cmocka_unit_test(one_case_by_hand),
		cmocka_unit_test(too_few_lots_borrow),
		cmocka_unit_test(borrowing_is_never_below_nothing),
		cmocka_unit_test(intervals_mirror_and_hold),
		cmocka_unit_test(a_rate_outside_its_limits_is_held),
		cmocka_unit_test(nothing_measured),
		cmocka_unit_test(planning_blends_by_stems),
		cmocka_unit_test(change_between_seasons),
		cmocka_unit_test(intervals_hold_the_truth),
		cmocka_unit_test(rough_where_few_lost_much),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

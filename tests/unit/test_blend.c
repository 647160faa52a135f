/* test_blend.c - how sure the planning rate is. */
#include "reckon/blend.h"

#include <math.h>

#include "help_simulate.h"

static struct planned blended(const struct lot *lots, size_t n, double assumed, double weight, double r)
{
	struct borrowed b;
	struct measured m;
	struct planned p;
	borrow_start(&b);
	measure(&m, lots, n, (double)NAN, &b);
	plan_rate(&p, &m, assumed, weight);
	blend_intervals(&p, lots, n, assumed, weight, r);
	return p;
}

static bool holds(struct interval i, double p)
{
	return i.low <= p && p <= i.high;
}

/* 437 girls of 980 births with placenta praevia; prior beta with a mean and a weight, its
 * central 95% posterior interval: A. Gelman et al., Bayesian Data Analysis, 3rd ed. 2013,
 * table 2.1 (from memory).  A lot of one stem has nothing to be alike with. */
static void prior_of_a_mean_and_a_weight(void **state)
{
	(void)state;
	static const double rows[][4] = {
		{ 0.500, 2, 0.415, 0.477 },   { 0.485, 2, 0.415, 0.477 },   { 0.485, 5, 0.415, 0.477 },
		{ 0.485, 10, 0.415, 0.477 },  { 0.485, 20, 0.416, 0.478 },  { 0.485, 100, 0.420, 0.479 },
		{ 0.485, 200, 0.424, 0.481 },
	};
	struct lot births[980];
	for (size_t i = 0; i < 980; i++)
		births[i] = (struct lot){ i < 437, 1 };
	for (size_t i = 0; i < COUNT(rows); i++) {
		const double *r = rows[i];
		struct planned p = { .rate = 0.446 };
		blend_intervals(&p, births, 980, r[0], r[1], 0.1);
		assert_near_by(p.i95.low, r[2], 0, 0.00051);
		assert_near_by(p.i95.high, r[3], 0, 0.00051);
		double a = r[0] * r[1] + 437, b = (1 - r[0]) * r[1] + 980 - 437;
		assert_near_by(p.i80.low, stat_beta_quantile(0.1, a, b), 0, 2e-5);
		assert_near_by(p.i80.high, stat_beta_quantile(0.9, a, b), 0, 2e-5);
	}
}

/* The same added up anew: 600 rates, evenly over their prior so that each weighs the same,
 * by 90 alikenesses from 1e-5 to 1, each a sixth or so above the last, with what the prior has
 * between them.  Shares nothing with blend.c but the distributions. */
enum { RATES = 600, ALIKE = 90 };
static void below_by_hand(double below[4], const struct lot *lots, size_t n, double a, double b, double r,
                          const double rates[4])
{
	double sum = 0, rho[ALIKE], weight[ALIKE];
	for (int j = 0; j < ALIKE; j++) {
		double low = j ? pow(1e-5, 1 - (double)j / ALIKE) : 0, high = pow(1e-5, 1 - (j + 1.0) / ALIKE);
		rho[j] = (low + high) / 2;
		weight[j] = stat_beta_upto(high, BLEND_WEIGHT * r, BLEND_WEIGHT * (1 - r)) -
		            stat_beta_upto(low, BLEND_WEIGHT * r, BLEND_WEIGHT * (1 - r));
	}
	for (int i = 0; i < RATES; i++) {
		double p = stat_beta_quantile((i + 0.5) / RATES, a, b);
		for (int j = 0; j < ALIKE; j++) {
			double s = (1 - rho[j]) / rho[j], like = weight[j];
			for (size_t k = 0; k < n; k++)
				like *= stat_betabinomial(lots[k].lost, lots[k].of, s * p, s * (1 - p));
			sum += like;
			for (int k = 0; k < 4; k++)
				below[k] += p < rates[k] ? like : 0;
		}
	}
	for (int k = 0; k < 4; k++)
		below[k] /= sum;
}

static void two_ways_to_add_up(void **state)
{
	(void)state;
	static const struct {
		size_t n;
		struct lot lots[3];
		double assumed, weight, r;
	} rows[] = {
		{ 1, { { 3, 30 } }, 0.10, 10, 0.1 },
		{ 2, { { 1, 40 }, { 9, 50 } }, 0.10, 10, 0.1 },
		{ 3, { { 4, 20 }, { 5, 25 }, { 3, 18 } }, 0.20, 5, 0.3 },
		/* One spoiled on a farm of calm ones. */
		{ 3, { { 1, 30 }, { 16, 30 }, { 2, 25 } }, 0.10, 10, 0.02 },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		double a = rows[i].weight * rows[i].assumed, b = rows[i].weight - a;
		struct planned p = blended(rows[i].lots, rows[i].n, rows[i].assumed, rows[i].weight, rows[i].r);
		double at[] = { p.i95.low, p.i80.low, p.i80.high, p.i95.high };
		static const double tails[] = { 0.025, 0.1, 0.9, 0.975 };
		double below[4] = { 0 };
		below_by_hand(below, rows[i].lots, rows[i].n, a, b, rows[i].r, at);
		for (size_t k = 0; k < 4; k++)
			assert_near_by(below[k], tails[k], 0, 0.004);
	}
}

/* Whatever is asked of it: ordered, between 0 and 1, and the rate in use inside. */
static void intervals_hold_the_rate_in_use(void **state)
{
	(void)state;
	static const double weights[] = { 0.01, 1, 10, 1e6 }, rhos[] = { 0, 0.1, 0.9 };
	uint64_t stream = 5;
	size_t moved = 0;
	for (int season = 0; season < 600; season++) {
		struct lot lots[9];
		size_t k = 1 + (size_t)(build_random(&stream) * 8);
		double p = pow(build_random(&stream), 3), assumed = season % 7 ? pow(build_random(&stream), 3) : 0;
		simulate_season(lots, k, 1, 90, p, build_random(&stream) * 0.6, &stream);
		struct planned plan = blended(lots, k, assumed, weights[season % 4], rhos[season % 3]);
		assert_true(holds(plan.i80, plan.rate) && holds(plan.i95, plan.rate));
		assert_true(plan.i95.low >= 0 && plan.i95.high <= 1);
		assert_true(plan.i80.low < plan.i80.high);
		moved += plan.i80.low == plan.rate || plan.i80.high == plan.rate;
	}
	assert_true(moved > 20 && moved < 300);
}

static void nothing_to_blend(void **state)
{
	(void)state;
	struct lot lots[] = { { 2, 50 }, { 10, 50 }, { 4, 50 } };
	struct planned p = blended(lots, 3, (double)NAN, 10, 0.1), w = blended(lots, 3, 0.1, 0, 0.1);
	struct borrowed b;
	struct measured m;
	borrow_start(&b);
	measure(&m, lots, 3, (double)NAN, &b);
	assert_near(p.i80.low, m.i80.low); /* as measured */
	assert_near(w.i95.high, m.i95.high);
	p = blended(lots, 0, 0.1, 10, 0.1); /* the line alone */
	assert_near(p.i80.high, stat_beta_quantile(0.9, 1, 9));
	/* "loses 0%" and nothing lost: not a certainty. */
	p = blended((struct lot[]){ { 0, 50 } }, 1, 0, 10, 0.1);
	assert_true(p.i80.low == 0 && p.i80.high > 0.001 && p.i80.high < 0.1);
	/* Lots that fare alike say less. */
	assert_true(blended(lots, 3, 0.1, 10, 0.4).i80.high > blended(lots, 3, 0.1, 10, 0.01).i80.high);
}

/* Everything drawn from the prior that is stated: 80% and 95% by theory; a light version
 * of tests/bench/coverage.c. */
static void drawn_from_the_prior(void **state)
{
	(void)state;
	enum { SEASONS = 1500 };
	static const double ps[] = { 0.02, 0.1, 0.2 };
	uint64_t stream = 3;
	for (size_t i = 0; i < 3; i++) {
		double held = 0, wide = 0;
		for (int season = 0; season < SEASONS; season++) {
			struct lot lots[4];
			double p = simulate_beta(10 * ps[i], 10 * (1 - ps[i]), &stream);
			double rho = simulate_beta(BLEND_WEIGHT * ALIKE_STATED, BLEND_WEIGHT * (1 - ALIKE_STATED),
			                           &stream);
			simulate_season(lots, 1 + (size_t)season % 4, 50, 150, p, rho, &stream);
			struct planned plan = blended(lots, 1 + (size_t)season % 4, ps[i], 10, ALIKE_STATED);
			held += holds(plan.i80, p) * 100.0 / SEASONS;
			wide += holds(plan.i95, p) * 100.0 / SEASONS;
		}
		/* Three standard errors: 3.1 and 1.7 points. */
		assert_true(held > 76.9 && held < 83.1 && wide > 93.3 && wide < 96.7);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(prior_of_a_mean_and_a_weight),
		cmocka_unit_test(two_ways_to_add_up),
		cmocka_unit_test(intervals_hold_the_rate_in_use),
		cmocka_unit_test(nothing_to_blend),
		cmocka_unit_test(drawn_from_the_prior),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_plan_sure.c - how many to plan for, by quadrature. */
#include "reckon/plan_sure.h"

#include <math.h>

#include "base/str.h"
#include "help_simulate.h"
#include "stat/stat.h"

static const struct sure_yield CERTAIN = { 1, 1, 1 };

/* A chain of one rate of loss. */
static void chain(struct sure *out, const struct sure_yield *y, const struct sure_rate *r, size_t n,
		  struct arena *a)
{
	struct sure s;
	sure_start(&s, y, 1, a);
	for (size_t i = 0; i < n; i++) {
		sure_stage(out, &s, &r[i], 1, a);
		s = *out;
	}
}

struct row {
	int64_t need;
	double p, chance;
	int64_t n;
	double at, below; /* P at n and at n - 1; 0: not printed */
	int64_t naive;
};

/* Smallest n with P(Binomial(n, p) >= N) >= c, worked out with R 4.2.2 as qnbinom(c, N, p) + N
 * and pbinom; the first five of p = .5 are the example of Boost.Math's negative binomial (see
 * the trap below). */
static void certain_rates_are_how_many_to_make(void **state)
{
	(void)state;
	static const struct row rows[] = {
		{ 1, .5, .9, 4, .9375, .875, 2 },
		{ 5, .5, .5, 9, .5, .3633, 10 }, /* an exact tie: reached is enough */
		{ 5, .5, .75, 12, .8062, .7256, 10 },
		{ 5, .5, .9, 14, .9102, .8666, 10 },
		{ 5, .5, .95, 16, .9616, .9408, 10 },
		{ 5, .5, .99, 19, .9904, .9846, 10 },
		{ 5, .1, .5, 47, .5122199768, .4926826279, 50 },
		{ 5, .1, .95, 89, .9503021144, .9469595571, 50 },
		{ 10, .9, .9, 13, .9658392791, .8891300223, 12 },
		{ 12, .85, .9, 16, .9209487016, .8226552024, 15 },
		{ 50, .9, .9, 59, .9334105544, .8785286519, 56 },
		{ 50, .9, .95, 60, .9657908769, .9334105544, 56 },
		{ 50, .9, .99, 62, .9924310513, .9834528710, 56 },
		{ 100, .9, .9, 116, .9297791034, .8899896955, 112 },
		{ 100, .95, .95, 109, .9532983156, .9080687578, 106 },
		{ 1, .999, .95, 1, .999, 0, 2 },
		{ 20, 1, .99, 20, 1, 0, 20 },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct row *r = &rows[i];
		struct arena a;
		struct sure s;
		struct sure_rate rate = sure_certain(1 - r->p);
		arena_init(&a);
		chain(&s, &CERTAIN, &rate, 1, &a);
		int64_t n = sure_smallest(&s, 1, r->need, r->chance);
		assert_int_equal(n, r->n);
		assert_int_equal(n, (int64_t)stat_how_many((double)r->need, r->p, r->chance));
		assert_int_equal(sure_plain(&s, 1, r->need), r->naive);
		double digits = r->at * 1e4 == floor(r->at * 1e4) ? 5e-5 : 6e-11;
		assert_near_by(sure_chance(&s, n, 1, r->need), r->at, 0, digits);
		assert_near_by(sure_chance(&s, n - 1, 1, r->need), r->below, 0, digits);
		arena_release(&a);
	}
}

/* The Boost.Math documentation (negative_binomial_example, first versions) says "at least 5"
 * but lists 11, 14, 17, 18 and 22 for p = .5: the numbers for more than 5. */
static void not_one_event_off(void **state)
{
	(void)state;
	static const int64_t more_than_5[] = { 11, 14, 17, 18, 22 };
	static const double chances[] = { .5, .75, .9, .95, .99 };
	struct arena a;
	struct sure s;
	struct sure_rate rate = sure_certain(.5);
	arena_init(&a);
	chain(&s, &CERTAIN, &rate, 1, &a);
	for (size_t i = 0; i < COUNT(chances); i++) {
		assert_int_equal(sure_smallest(&s, 1, 6, chances[i]), more_than_5[i]);
		assert_true(sure_smallest(&s, 1, 5, chances[i]) < more_than_5[i]);
	}
	arena_release(&a);
}

/* F. Hillier, G. Lieberman, Introduction to Operations Research, the Hit-and-Miss reject
 * allowance: with p = .5 and one good one wanted, three give a chance of 7/8, two of 3/4. */
static void a_reject_allowance(void **state)
{
	(void)state;
	struct arena a;
	struct sure s;
	struct sure_rate rate = sure_certain(.5);
	arena_init(&a);
	chain(&s, &CERTAIN, &rate, 1, &a);
	assert_near(sure_chance(&s, 2, 1, 1), .75);
	assert_near(sure_chance(&s, 3, 1, 1), .875);
	arena_release(&a);
}

/* One rate drawn from a beta distribution: the beta-binomial, whose term-by-term sum is
 * stat.h's own. */
static void one_rate_is_the_beta_binomial(void **state)
{
	(void)state;
	static const double rates[] = { .02, .08, .3, .6 }, stems[] = { 3, 10, 60, 2000 };
	for (size_t i = 0; i < COUNT(rates); i++) {
		for (size_t k = 0; k < COUNT(stems); k++) {
			struct arena a;
			struct sure s;
			struct sure_rate r = sure_of(rates[i], stems[k], 0, 1);
			assert_near(r.a + r.b, stems[k]);
			arena_init(&a);
			chain(&s, &CERTAIN, &r, 1, &a);
			for (double need = 20; need <= 180; need += 20) {
				double want = 1 - stat_betabinomial_upto(need - 1, 200, r.b, r.a);
				assert_near_by(sure_chance(&s, 200, 1, (int64_t)need), want, 0, 2e-3);
			}
			arena_release(&a);
		}
	}
}

/* The mean of next season's batches varies as well: p (1-p) (1/(stems+1) + rho/batches). */
static void batches_add_their_variance(void **state)
{
	(void)state;
	struct sure_rate r = sure_of(.2, 30, .1, 4);
	double p = r.a / (r.a + r.b), variance = p * (1 - p) / (r.a + r.b + 1);
	assert_near(p, .2);
	assert_near(variance, .16 * (1 / 31.0 + .1 / 4));
}

/* Four years of five lie in the usual range, one in ten below and one above; half of the
 * years bring the usual yield or more. */
static void the_usual_range_holds_four_years_of_five(void **state)
{
	(void)state;
	struct arena a;
	struct sure s;
	struct sure_yield y = { 14, 10, 18 };
	arena_init(&a);
	sure_start(&s, &y, 1, &a);
	/* Without losses P(U >= need) is P(E >= need / n). */
	assert_near_by(sure_chance(&s, 140000, 1, 100000), .9, 0, 5e-3);
	assert_near_by(sure_chance(&s, 140000, 1, 140000), .5, 0, 2e-2);
	assert_near_by(sure_chance(&s, 140000, 1, 180000), .1, 0, 5e-3);
	int64_t n = sure_smallest(&s, 1, 100000, .9);
	assert_near_by((double)n, 140000, 3e-3, 0);
	arena_release(&a);
}

/* A season, plants and four rates, drawn one by one. */
struct draw {
	struct sure_yield y;
	double live;
	struct sure_rate r[4];
};

static double drawn_share(const struct draw *d, int64_t n, int64_t need, size_t times, uint64_t *state)
{
	double plants = (double)n / (d->y.usual * d->live), whole = floor(plants);
	size_t enough = 0;
	for (size_t i = 0; i < times; i++) {
		double z = simulate_normal(state) / 1.2815515655446004;
		double e = z < 0 ? pow(d->y.low / d->y.usual, -z) : pow(d->y.high / d->y.usual, z);
		double set_out = whole + (build_random(state) < plants - whole);
		double lives = simulate_count(set_out, d->live, state) / (plants * d->live);
		double stems = floor((double)n * e * lives + 0.5);
		for (int k = 0; k < 4; k++)
			stems -= simulate_count(stems, simulate_beta(d->r[k].a, d->r[k].b, state), state);
		enough += stems >= (double)need;
	}
	return (double)enough / (double)times;
}

static void a_whole_chain_is_what_is_drawn(void **state)
{
	(void)state;
	static const struct draw draws[] = {
		{ { 14, 10, 18 }, .92, { { .08, .8, 9.2 }, { .1, 1, 9 }, { .05, .5, 9.5 }, { .04, .4, 9.6 } } },
		{ { 4, 3, 6 }, .7, { { .1, 4, 36 }, { .16, 6.4, 33.6 }, { .2, 8, 32 }, { .08, 3.2, 36.8 } } },
		{ { 30, 18, 42 }, .9, { { .05, 5, 95 }, { .09, 9, 91 }, { .15, 15, 85 }, { .06, 6, 94 } } },
	};
	uint64_t random = 20270424;
	enum { TIMES = 40000 };
	for (size_t i = 0; i < COUNT(draws); i++) {
		struct arena a;
		struct sure s, next;
		arena_init(&a);
		sure_start(&s, &draws[i].y, draws[i].live, &a);
		for (int k = 0; k < 4; k++) {
			sure_stage(&next, &s, &draws[i].r[k], 1, &a);
			s = next;
		}
		static const double chances[] = { .5, .8, .95, .98 };
		for (size_t k = 0; k < COUNT(chances); k++) {
			int64_t n = sure_smallest(&s, 1, 400, chances[k]);
			double got = sure_chance(&s, n, 1, 400);
			assert_true(got >= chances[k] && sure_chance(&s, n - 1, 1, 400) < chances[k]);
			double drawn = drawn_share(&draws[i], n, 400, TIMES, &random);
			double se = sqrt(got * (1 - got) / TIMES);
			assert_true(fabs(drawn - got) < 4 * se + 1e-3);
		}
		arena_release(&a);
	}
}

/* A year in seven brings nothing: no number of plants is 95% sure. */
static void what_nothing_can_promise(void **state)
{
	(void)state;
	struct arena a;
	struct sure s;
	struct sure_yield y = { 10, 0, 15 };
	arena_init(&a);
	sure_start(&s, &y, 1, &a);
	assert_int_equal(sure_smallest(&s, 1, 100, .95), -1);
	assert_true(sure_smallest(&s, 1, 100, .8) > 100);
	assert_int_equal(sure_smallest(&s, 1, 0, .95), 0);
	assert_int_equal(sure_smallest(&s, 0, 5, .95), -1);
	assert_int_equal(sure_plain(&s, 0, 5), -1);
	arena_release(&a);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(certain_rates_are_how_many_to_make),
		cmocka_unit_test(not_one_event_off),
		cmocka_unit_test(a_reject_allowance),
		cmocka_unit_test(one_rate_is_the_beta_binomial),
		cmocka_unit_test(batches_add_their_variance),
		cmocka_unit_test(the_usual_range_holds_four_years_of_five),
		cmocka_unit_test(a_whole_chain_is_what_is_drawn),
		cmocka_unit_test(what_nothing_can_promise),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

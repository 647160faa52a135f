/* test_plan_certain.c - the number of stems n has P(n) >= c > P(n - 1), the chances added up
 * a second time in help_exact.c.
 *
 *     test_plan_certain [CASES]     make check-plans: 60 */
#include <math.h>
#include <stdio.h>

#include "help_exact.h"
#include "help_plans.h"
#include "help_simulate.h"
#include "reckon/plan_sure.h"

#define CLOSE 0.001 /* of chance: how well the quadrature agrees */

static size_t cases = 6;

enum years { WIDE, NARROW, ALIKE, ALL_CERTAIN };

struct chain {
	struct exact_rate rates[EXACT_STEPS];
	double usual, low, high, live, need, chance;
};

static void make_chain(struct chain *c, enum years years, uint64_t *state)
{
	static const double most[EXACT_STEPS] = { 12, 18, 2, 8 };
	static const double chances[] = { 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99 };
	double stems = build_random(state) < 0.5 ? 10 : simulate_whole(20, 300, state);
	double batches = simulate_whole(1, 10, state), narrow = years == NARROW ? 0.03 : 0.5;
	c->usual = simulate_whole(1, 30, state);
	c->low = c->usual * (1 - (years < ALIKE) * narrow * build_random(state));
	c->high = c->usual * (1 + (years < ALIKE) * narrow * build_random(state));
	c->live = simulate_whole(65, 100, state) / 100;
	c->need = floor(exp(log(1500) * build_random(state)));
	c->chance = chances[(size_t)simulate_whole(0, 6, state)];
	for (int i = 0; i < EXACT_STEPS; i++) {
		double rate = simulate_whole(0, most[i], state) / 100, n;
		/* Variance p (1-p) / (stems + 1) and that of the mean of the batches, 0.1. */
		n = 1 / (1 / (stems + 1) + 0.1 / batches) - 1;
		c->rates[i] = (struct exact_rate){ rate, rate * n, (1 - rate) * n,
						   i == IN_BOX ? simulate_whole(0, 60, state) / 10 : 1 };
		if (years == ALL_CERTAIN)
			c->rates[i].b = INFINITY;
	}
}

static void ours(struct sure *s, const struct chain *c, struct arena *a)
{
	struct sure_yield y = { c->usual, c->low, c->high };
	sure_start(s, &y, c->live, a);
	for (int i = 0; i < EXACT_STEPS; i++) {
		const struct exact_rate *r = &c->rates[i];
		struct sure_rate rate = { r->rate, r->a, r->b };
		struct sure before = *s;
		sure_stage(s, &before, &rate, r->months, a);
	}
}

static double check_chain(const struct chain *c)
{
	struct arena a;
	struct sure s;
	struct exact e;
	arena_init(&a);
	ours(&s, c, &a);
	int64_t n = sure_smallest(&s, 1, (int64_t)c->need, c->chance);
	assert_true(n > 0);
	exact_start(&e, c->usual, c->low, c->high, c->live);
	exact_losses(&e, c->rates, EXACT_STEPS);
	double at = exact_chance(&e, (double)n, 1, c->need);
	double below = n > 1 ? exact_chance(&e, (double)n - 1, 1, c->need) : 0;
	assert_true(at >= c->chance - CLOSE);
	assert_true(below < c->chance + CLOSE);
	double off = sure_chance(&s, n, 1, (int64_t)c->need) - at;
	assert_true(fabs(off) <= CLOSE);
	arena_release(&a);
	return fabs(off);
}

static void check_years(enum years years, size_t n)
{
	static const char *const names[] = { "of wide seasons", "of narrow seasons",
					     "without a season", "with all rates certain" };
	double worst = 0;
	for (size_t i = 0; i < n; i++) {
		struct chain c;
		uint64_t state = plan_seed(i, 7 + years);
		make_chain(&c, years, &state);
		worst = fmax(worst, check_chain(&c));
	}
	printf("%zu chains %s: at most %.5f off\n", n, names[years], worst);
}

static void the_smallest_number_that_is_sure_enough(void **state)
{
	(void)state;
	check_years(WIDE, cases);
	check_years(NARROW, cases / 3);
	check_years(ALIKE, cases / 6);
	check_years(ALL_CERTAIN, cases * 2);
}

int main(int argc, char **argv)
{
	for (const char *p = argc > 1 ? argv[1] : ""; *p; p++)
		cases = (p == argv[1] ? 0 : cases * 10) + (size_t)(*p - '0');
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_smallest_number_that_is_sure_enough),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

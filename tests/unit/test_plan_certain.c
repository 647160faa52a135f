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

/* Months in the box that keep as much as the mean over all days of boxing. */
static double months_of(const struct grown *g, double day_of_use)
{
	double s = g->loss[IN_BOX], kept = 0, days = 0;
	for (int i = 0; i < g->sowings; i++) {
		for (double d = 0; d < 7 * g->weeks; d++, days++)
			kept += pow(1 - s, (day_of_use - seasons_boxed(g, i) - d) / (365.25 / 12));
	}
	return s > 0 ? log(kept / days) / log(1 - s) : 0;
}

/* The farm's own figures as docs/reckoning.md says that seasons vary. */
static void chain_of(struct exact *e, const struct grown *g, double day_of_use)
{
	struct exact_rate rates[EXACT_STEPS];
	double n = 1 / (1 / (g->weighs + 1) + 0.1 / (g->weeks * g->sowings)) - 1;
	for (int i = 0; i < EXACT_STEPS; i++)
		rates[i] = (struct exact_rate){ g->loss[i], g->loss[i] * n, (1 - g->loss[i]) * n,
						i == IN_BOX ? months_of(g, day_of_use) : 1 };
	exact_start(e, g->per_plant, g->low, g->high, g->live);
	exact_losses(e, rates, EXACT_STEPS);
}

/* Of whole plans, from the farm's text to the number: those of one target, whose stems are
 * all there by its day. */
static void so_do_whole_plans(void **state)
{
	(void)state;
	size_t looked = 0, crops = 0;
	for (uint64_t i = 0; looked < cases / 2; i++) {
		struct made_plan p;
		make_plan(&p, i);
		if (p.farm.nlines > 1)
			continue;
		looked++;
		for (size_t k = 0; k < p.farm.n; k++, crops++) {
			const struct pool_asked *q = &p.pools[k];
			double risk = (1 - p.farm.lines[0].sure) / (double)p.farm.n;
			struct exact e;
			chain_of(&e, &p.farm.crops[k], p.farm.lines[0].day);
			assert_near(q->chance, 1 - 0.9 * risk); /* a tenth is the seed's */
			assert_true(exact_chance(&e, (double)q->cut, 1, (double)q->need) >= q->chance - CLOSE);
			assert_true(exact_chance(&e, (double)q->cut - 1, 1, (double)q->need) <
				    q->chance + CLOSE);
		}
	}
	printf("%zu plans, %zu crops: each number is the smallest\n", looked, crops);
}

int main(int argc, char **argv)
{
	for (const char *p = argc > 1 ? argv[1] : ""; *p; p++)
		cases = (p == argv[1] ? 0 : cases * 10) + (size_t)(*p - '0');
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_smallest_number_that_is_sure_enough),
		cmocka_unit_test(so_do_whole_plans),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

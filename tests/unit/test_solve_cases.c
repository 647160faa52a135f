/* test_solve_cases.c - larger published programs: cutting, transport, knapsacks, plans
 * over months. */
#include "help.h"

#include <math.h>

#include "solve/solve.h"

#define INF SOLVE_INF

/* The usual way and the plain one agree; the model is released. */
static double best(struct solve *m, double *x)
{
	struct solution s;
	solve_run(m, &(struct solve_options){ 0 }, &s);
	assert_int_equal(s.outcome, SOLVE_OPTIMAL);
	double value = s.value;
	struct solution again;
	solve_run(m, &(struct solve_options){ .plain = true }, &again);
	assert_int_equal(again.outcome, SOLVE_OPTIMAL);
	assert_near_by(again.value, value, 1e-9, 1e-9);
	for (size_t j = 0; x && j < m->ncols; j++)
		x[j] = s.x[j];
	solution_release(&s);
	solution_release(&again);
	solve_release(m);
	return value;
}

/* ---- cutting stock: all maximal patterns, fewest rolls ---- */

struct cut {
	const char *name;
	int n;
	double width, item[16], count[16];
	double linear, whole;
	size_t patterns;
};

static void patterns(struct solve *m, const struct cut *c, int at, double left, int *take,
		     size_t *made)
{
	if (at == c->n) {
		for (int i = 0; i < c->n; i++)
			if (c->item[i] <= left)
				return; /* not maximal */
		int col = solve_column(m, 0, INF, -1, true);
		for (int i = 0; i < c->n; i++)
			solve_entry(m, i, col, take[i]);
		++*made;
		return;
	}
	for (take[at] = 0; take[at] * c->item[at] <= left; take[at]++)
		patterns(m, c, at + 1, left - take[at] * c->item[at], take, made);
	take[at] = 0;
}

static void cutting_stock(void **state)
{
	(void)state;
	static const struct cut cases[] = {
		/* Chvatal, Linear Programming, ch. 13 (from memory; data second hand). */
		{ "chvatal", 4, 100, { 45, 36, 31, 14 }, { 97, 610, 395, 211 }, 452.25, 453, 12 },
		/* Fourer, Gay & Kernighan, AMPL (from memory), recomputed. */
		{ "ampl", 5, 110, { 20, 45, 50, 55, 75 }, { 48, 35, 24, 10, 8 }, 46.25, 47, 0 },
		/* Winston, sec. 10.2 (from memory), recomputed. */
		{ "woodco", 3, 17, { 3, 5, 9 }, { 25, 20, 15 }, 55.0 / 3, 19, 0 },
		/* Wikipedia, Cutting stock problem (widths from memory), recomputed; 213
		 * patterns. */
		{ "5600",
		  13,
		  5600,
		  { 1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200 },
		  { 22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20 },
		  875.0 / 12,
		  73,
		  213 },
	};
	for (size_t k = 0; k < COUNT(cases); k++) {
		const struct cut *c = &cases[k];
		struct solve m;
		struct solution s;
		int take[16] = { 0 };
		size_t made = 0;
		solve_init(&m);
		for (int i = 0; i < c->n; i++)
			solve_row(&m, c->count[i], INF);
		patterns(&m, c, 0, c->width, take, &made);
		if (c->patterns)
			assert_int_equal(made, c->patterns);
		solve_run(&m, &(struct solve_options){ .relaxed = true }, &s);
		assert_int_equal(s.outcome, SOLVE_OPTIMAL);
		assert_near_by(s.value, -c->linear, 1e-9, 0);
		solution_release(&s);
		assert_near(best(&m, NULL), -c->whole);
	}
}

/* Winston, sec. 8.2, boxes (second hand): a larger size serves a smaller need, and
 * each size that is made costs 1000 once. */
static void longer_serves_shorter(void **state)
{
	(void)state;
	enum { N = 7 };
	static const double size[N] = { 33, 30, 26, 24, 19, 18, 17 };
	static const double count[N] = { 400, 300, 500, 700, 200, 400, 200 };
	struct solve m;
	solve_init(&m);
	int made[N], rows[N];
	for (int i = 0; i < N; i++) {
		made[i] = solve_column(&m, 0, 1, -1000, true);
		rows[i] = solve_row(&m, 1, 1);
	}
	for (int from = 0; from < N; from++)
		for (int to = from; to < N; to++) {
			int col = solve_column(&m, 0, 1, -size[from] * count[to], false);
			solve_entry(&m, rows[to], col, 1);
			int r = solve_row(&m, -INF, 0);
			solve_entry(&m, r, col, 1);
			solve_entry(&m, r, made[from], -1);
		}
	double x[N + N * (N + 1) / 2];
	assert_near(best(&m, x), -72100);
	static const double wanted[N] = { 1, 0, 1, 1, 1, 0, 0 };
	for (int i = 0; i < N; i++)
		assert_near(x[i], wanted[i]);
}

static double transport(size_t from, size_t to, const double *supply, const double *demand,
			const double *cost)
{
	struct solve m;
	solve_init(&m);
	for (size_t i = 0; i < from; i++)
		solve_row(&m, -INF, supply[i]);
	for (size_t j = 0; j < to; j++)
		solve_row(&m, demand[j], INF);
	for (size_t i = 0; i < from; i++)
		for (size_t j = 0; j < to; j++) {
			int c = solve_column(&m, 0, INF, -cost[i * to + j], false);
			solve_entry(&m, (int)i, c, 1);
			solve_entry(&m, (int)(from + j), c, 1);
		}
	return -best(&m, NULL);
}

static void transport_and_assignment(void **state)
{
	(void)state;
	/* Winston, sec. 7.1 and 7.5 (from memory), recomputed. */
	assert_near(transport(3, 4, (double[]){ 35, 50, 40 }, (double[]){ 45, 20, 30, 30 },
			      (double[]){ 8, 6, 10, 9, 9, 12, 13, 7, 14, 9, 16, 5 }),
		    1020);
	assert_near(transport(4, 4, (double[]){ 1, 1, 1, 1 }, (double[]){ 1, 1, 1, 1 },
			      (double[]){ 14, 5, 8, 7, 2, 12, 6, 5, 7, 8, 3, 9, 2, 4, 6, 10 }),
		    15);
	/* Dantzig, Linear Programming and Extensions (1963), sec. 3-3 (from memory). */
	assert_near(transport(2, 3, (double[]){ 350, 600 }, (double[]){ 325, 300, 275 },
			      (double[]){ 0.225, 0.153, 0.162, 0.225, 0.162, 0.126 }),
		    153.675);
}

/* Rosetta Code, Knapsack problem: Bounded and 0-1 (data second hand), Unbounded (from
 * memory; several mixes reach it). */
static void knapsacks(void **state)
{
	(void)state;
	static const double items[22][3] = {
		/* weight, value, count */
		{ 9, 150, 1 }, { 13, 35, 1 }, { 153, 200, 2 }, { 50, 60, 2 }, { 15, 60, 2 },
		{ 68, 45, 3 }, { 27, 60, 3 }, { 39, 40, 3 },   { 23, 30, 1 }, { 52, 10, 3 },
		{ 11, 70, 1 }, { 32, 30, 1 }, { 24, 15, 2 },   { 48, 10, 2 }, { 73, 40, 1 },
		{ 42, 70, 1 }, { 43, 75, 1 }, { 22, 80, 1 },   { 7, 20, 1 },  { 18, 12, 2 },
		{ 4, 50, 1 },  { 30, 10, 2 },
	};
	for (int bounded = 0; bounded < 2; bounded++) {
		struct solve m;
		solve_init(&m);
		int r = solve_row(&m, -INF, 400);
		for (size_t i = 0; i < COUNT(items); i++) {
			double value = !bounded && i == 3 ? 160 : items[i][1];
			solve_entry(&m, r,
				    solve_column(&m, 0, bounded ? items[i][2] : 1, value, true),
				    items[i][0]);
		}
		double x[22], weight = 0;
		assert_near(best(&m, x), bounded ? 1010 : 1030);
		for (size_t i = 0; i < COUNT(items); i++)
			weight += x[i] * items[i][0];
		assert_near(weight, 396);
	}
	static const double goods[3][3] = { { 0.3, 0.025, 3000 },
					    { 0.2, 0.015, 1800 },
					    { 2.0, 0.002, 2500 } };
	struct solve m;
	solve_init(&m);
	int weight = solve_row(&m, -INF, 25), volume = solve_row(&m, -INF, 0.25);
	for (int i = 0; i < 3; i++) {
		int c = solve_column(&m, 0, INF, goods[i][2], true);
		solve_entry(&m, weight, c, goods[i][0]);
		solve_entry(&m, volume, c, goods[i][1]);
	}
	assert_near(best(&m, NULL), 54500);
}

/* H. P. Williams, Model Building in Mathematical Programming, sec. 12.1 and 12.2 (data
 * from memory; the published 107842.59 and 100278.7 second hand): oils bought, stored
 * and blended; in the second at most three oils a month, each at least 20, and the
 * third oil with any of the first two. */
static void blend_month(struct solve *m, const int *before, const int *after, const double *price,
			bool rules)
{
	static const double hard[5] = { 8.8, 6.1, 2.0, 4.2, 5.0 };
	int plant = solve_row(m, -INF, 200), oil = solve_row(m, -INF, 250),
	    three = solve_row(m, -INF, 3);
	int soft = solve_row(m, 0, INF), not_soft = solve_row(m, -INF, 0), chosen[5];
	for (int o = 0; o < 5; o++) {
		int buy = solve_column(m, 0, INF, -price[o], false);
		int use = solve_column(m, 0, INF, 150, false);
		int keep = solve_row(m, 0, 0);
		solve_entry(m, keep, before[o], 1);
		solve_entry(m, keep, buy, 1);
		solve_entry(m, keep, use, -1);
		solve_entry(m, keep, after[o], -1);
		solve_entry(m, o < 2 ? plant : oil, use, 1);
		solve_entry(m, soft, use, hard[o] - 3);
		solve_entry(m, not_soft, use, hard[o] - 6);
		if (!rules)
			continue;
		chosen[o] = solve_column(m, 0, 1, 0, true);
		solve_entry(m, three, chosen[o], 1);
		int most = solve_row(m, -INF, 0), least = solve_row(m, 0, INF);
		solve_entry(m, most, use, 1);
		solve_entry(m, most, chosen[o], o < 2 ? -200 : -250);
		solve_entry(m, least, use, 1);
		solve_entry(m, least, chosen[o], -20);
	}
	for (int o = 0; rules && o < 2; o++) {
		int with = solve_row(m, 0, INF);
		solve_entry(m, with, chosen[4], 1);
		solve_entry(m, with, chosen[o], -1);
	}
}

static void six_months_of_blending(void **state)
{
	(void)state;
	static const double price[6][5] = {
		{ 110, 120, 130, 110, 115 }, { 130, 130, 110, 90, 115 },
		{ 110, 140, 130, 100, 95 },  { 120, 110, 120, 120, 125 },
		{ 100, 120, 150, 110, 105 }, { 90, 100, 140, 80, 135 }
	};
	for (int rules = 0; rules < 2; rules++) {
		struct solve m;
		solve_init(&m);
		int store[7][5];
		for (int t = 0; t <= 6; t++)
			for (int o = 0; o < 5; o++)
				store[t][o] = solve_column(&m, t % 6 ? 0 : 500, t % 6 ? 1000 : 500,
							   t ? -5 : 0, false);
		for (int t = 0; t < 6; t++)
			blend_month(&m, store[t], store[t + 1], price[t], rules);
		/* As fractions: the printed digits are these. */
		assert_near_by(best(&m, NULL), rules ? 2707525.0 / 27 : 2911750.0 / 27, 1e-9, 0);
	}
}

/* Williams, sec. 12.3 (data from memory; the published 93715.18 second hand): seven
 * products, machines away for repair, stock at the month's end. */
static void six_months_of_machines(void **state)
{
	(void)state;
	static const double profit[7] = { 10, 6, 8, 4, 11, 9, 3 };
	static const double hours[5][7] = { { 0.5, 0.7, 0, 0, 0.3, 0.2, 0.5 },
					    { 0.1, 0.2, 0, 0.3, 0, 0.6, 0 },
					    { 0.2, 0, 0.8, 0, 0, 0, 0.6 },
					    { 0.05, 0.03, 0, 0.07, 0.1, 0, 0.08 },
					    { 0, 0, 0.01, 0, 0.05, 0, 0.05 } };
	static const double machines[6][5] = { { 3, 2, 3, 1, 1 }, { 4, 2, 1, 1, 1 },
					       { 4, 2, 3, 0, 1 }, { 4, 1, 3, 1, 1 },
					       { 3, 1, 3, 1, 1 }, { 4, 2, 2, 1, 0 } };
	static const double market[6][7] = {
		{ 500, 1000, 300, 300, 800, 200, 100 }, { 600, 500, 200, 0, 400, 300, 150 },
		{ 300, 600, 0, 0, 500, 400, 100 },      { 200, 300, 400, 500, 200, 0, 100 },
		{ 0, 100, 500, 100, 1000, 300, 0 },     { 500, 500, 100, 300, 1100, 500, 60 }
	};
	struct solve m;
	solve_init(&m);
	int kept[7];
	for (int t = 0; t < 6; t++) {
		int rows[5];
		for (int k = 0; k < 5; k++)
			rows[k] = solve_row(&m, -INF, 384 * machines[t][k]);
		for (int p = 0; p < 7; p++) {
			int make = solve_column(&m, 0, INF, 0, false);
			int sell = solve_column(&m, 0, market[t][p], profit[p], false);
			int keep =
			    solve_column(&m, t == 5 ? 50 : 0, t == 5 ? 50 : 100, -0.5, false);
			int r = solve_row(&m, 0, 0);
			solve_entry(&m, r, make, 1);
			if (t)
				solve_entry(&m, r, kept[p], 1);
			solve_entry(&m, r, sell, -1);
			solve_entry(&m, r, keep, -1);
			kept[p] = keep;
			for (int k = 0; k < 5; k++)
				solve_entry(&m, rows[k], make, hours[k][p]);
		}
	}
	assert_near_by(best(&m, NULL), 2624025.0 / 28, 1e-9, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(cutting_stock),
		cmocka_unit_test(longer_serves_shorter),
		cmocka_unit_test(transport_and_assignment),
		cmocka_unit_test(knapsacks),
		cmocka_unit_test(six_months_of_blending),
		cmocka_unit_test(six_months_of_machines),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

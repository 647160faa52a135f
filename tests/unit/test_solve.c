/* test_solve.c - linear and whole-number programs with known answers, models on
 * which solvers are known to err, and every misuse that must not end the process. */
#include "help.h"

#include <glpk.h> /* only to starve the library of memory */
#include <math.h>
#include <unistd.h>

#include "base/mem.h"
#include "solve/solve.h"

#define INF SOLVE_INF

/* ---- small dense models ---- */

enum { WIDE = 8, TALL = 6 };
struct dense_row {
	double lo, hi;
	double a[WIDE];
};
struct dense {
	const char *name;
	size_t cols, rows;
	double gain[WIDE];
	struct dense_row row[TALL];
	double value;   /* wanted */
	double x[WIDE]; /* wanted, when `one` */
	bool one;       /* the answer is unique */
};

static void dense_model(struct solve *m, const struct dense *d, bool whole)
{
	solve_init(m);
	for (size_t j = 0; j < d->cols; j++)
		solve_column(m, 0, INF, d->gain[j], whole);
	for (size_t i = 0; i < d->rows; i++) {
		int r = solve_row(m, d->row[i].lo, d->row[i].hi);
		for (size_t j = 0; j < d->cols; j++)
			solve_entry(m, r, (int)j, d->row[i].a[j]);
	}
}

static void dense_check(const struct dense *d, bool whole, const struct solve_options *o)
{
	struct solve m;
	struct solution s;
	dense_model(&m, d, whole);
	solve_run(&m, o, &s);
	if (s.outcome != SOLVE_OPTIMAL || !help_is_near(s.value, d->value, 1e-9, 1e-9))
		print_error("%s: outcome %d value %.12g, want %.12g; %s\n", d->name, s.outcome,
			    s.value, d->value, s.why);
	assert_int_equal(s.outcome, SOLVE_OPTIMAL);
	assert_near_by(s.value, d->value, 1e-9, 1e-9);
	assert_near_by(s.bound, d->value, 1e-9, 1e-9);
	for (size_t j = 0; d->one && j < d->cols; j++)
		assert_near_by(s.x[j], d->x[j], 1e-9, 1e-9);
	for (size_t j = 0; whole && !o->relaxed && j < d->cols; j++)
		assert_true(s.x[j] == floor(s.x[j]));
	solution_release(&s);
	solve_release(&m);
}

/* Product mixes.  Section numbers from memory; data and answers second hand unless
 * "recomputed" (then by exact enumeration of bases in fractions). */
static const struct dense linear[] = {
	/* Hillier & Lieberman, Introduction to Operations Research, sec. 3.1 (from memory). */
	{ "wyndor",
	  2,
	  3,
	  { 3, 5 },
	  { { -INF, 4, { 1 } }, { -INF, 12, { 0, 2 } }, { -INF, 18, { 3, 2 } } },
	  36,
	  { 2, 6 },
	  true },
	/* Taha, Operations Research, Example 2.1-1. */
	{ "reddy mikks",
	  2,
	  4,
	  { 5, 4 },
	  { { -INF, 24, { 6, 4 } },
	    { -INF, 6, { 1, 2 } },
	    { -INF, 1, { -1, 1 } },
	    { -INF, 2, { 0, 1 } } },
	  21,
	  { 3, 1.5 },
	  true },
	/* Winston, Operations Research: Applications and Algorithms, sec. 3.1. */
	{ "giapetto",
	  2,
	  3,
	  { 3, 2 },
	  { { -INF, 100, { 2, 1 } }, { -INF, 80, { 1, 1 } }, { -INF, 40, { 1 } } },
	  180,
	  { 20, 60 },
	  true },
	/* Winston, ch. 4. */
	{ "dakota",
	  3,
	  4,
	  { 60, 30, 20 },
	  { { -INF, 48, { 8, 6, 1 } },
	    { -INF, 20, { 4, 2, 1.5 } },
	    { -INF, 8, { 2, 1.5, 0.5 } },
	    { -INF, 5, { 0, 1 } } },
	  280,
	  { 2, 0, 8 },
	  true },
	/* Winston, sec. 4.7 (from memory): a tie between two corners. */
	{ "dakota 35",
	  3,
	  4,
	  { 60, 35, 20 },
	  { { -INF, 48, { 8, 6, 1 } },
	    { -INF, 20, { 4, 2, 1.5 } },
	    { -INF, 8, { 2, 1.5, 0.5 } },
	    { -INF, 5, { 0, 1 } } },
	  280,
	  { 0 },
	  false },
	/* Taha, sec. 3.6 (from memory), recomputed. */
	{ "jobco",
	  2,
	  2,
	  { 30, 20 },
	  { { -INF, 8, { 2, 1 } }, { -INF, 8, { 1, 3 } } },
	  128,
	  { 3.2, 1.6 },
	  true },
	/* Anderson, Sweeney & Williams, An Introduction to Management Science, ch. 2
	 * (from memory), recomputed. */
	{ "par",
	  2,
	  4,
	  { 10, 9 },
	  { { -INF, 630, { 0.7, 1 } },
	    { -INF, 600, { 0.5, 5.0 / 6 } },
	    { -INF, 708, { 1, 2.0 / 3 } },
	    { -INF, 135, { 0.1, 0.25 } } },
	  7668,
	  { 540, 252 },
	  true },
	/* Winston, sec. 5.2 (from memory), recomputed: equal and at-least rows. */
	{ "winco",
	  4,
	  4,
	  { 4, 6, 7, 8 },
	  { { 950, 950, { 1, 1, 1, 1 } },
	    { 400, INF, { 0, 0, 0, 1 } },
	    { -INF, 4600, { 2, 3, 4, 7 } },
	    { -INF, 5000, { 3, 4, 5, 6 } } },
	  6650,
	  { 0, 400, 150, 400 },
	  true },
	/* Taha, Examples 3.5-1 and 3.5-2 (from memory), recomputed. */
	{ "degenerate",
	  2,
	  2,
	  { 3, 9 },
	  { { -INF, 8, { 1, 4 } }, { -INF, 4, { 1, 2 } } },
	  18,
	  { 0, 2 },
	  true },
	{ "many optima",
	  2,
	  2,
	  { 2, 4 },
	  { { -INF, 5, { 1, 2 } }, { -INF, 4, { 1, 1 } } },
	  10,
	  { 0 },
	  false },
};

static void linear_programs(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT(linear); i++) {
		dense_check(&linear[i], false, &(struct solve_options){ 0 });
		dense_check(&linear[i], false, &(struct solve_options){ .plain = true });
		dense_check(&linear[i], true, &(struct solve_options){ .relaxed = true });
	}
}

/* Rounding the linear answer is wrong or impossible; recomputed by enumeration. */
static const struct dense whole_programs[] = {
	{ "reddy mikks",
	  2,
	  4,
	  { 5, 4 },
	  { { -INF, 24, { 6, 4 } },
	    { -INF, 6, { 1, 2 } },
	    { -INF, 1, { -1, 1 } },
	    { -INF, 2, { 0, 1 } } },
	  20,
	  { 4, 0 },
	  true },
	{ "jobco",
	  2,
	  2,
	  { 30, 20 },
	  { { -INF, 8, { 2, 1 } }, { -INF, 8, { 1, 3 } } },
	  120,
	  { 4, 0 },
	  true },
	/* Winston, sec. 9.1 (from memory). */
	{ "winston 9.1", 2, 1, { 21, 11 }, { { -INF, 13, { 7, 4 } } }, 33, { 0, 3 }, true },
	/* Hillier & Lieberman (from memory): both roundings are outside. */
	{ "no rounding",
	  2,
	  2,
	  { 0, 1 },
	  { { -INF, 0.5, { -1, 1 } }, { -INF, 3.5, { 1, 1 } } },
	  1,
	  { 0 },
	  false },
	/* Winston, sec. 9.2 (from memory): choices; by ratio one gets 38. */
	{ "stockco",
	  4,
	  5,
	  { 16, 22, 12, 8 },
	  { { -INF, 14, { 5, 7, 4, 3 } },
	    { -INF, 1, { 1 } },
	    { -INF, 1, { 0, 1 } },
	    { -INF, 1, { 0, 0, 1 } },
	    { -INF, 1, { 0, 0, 0, 1 } } },
	  42,
	  { 0, 1, 1, 1 },
	  true },
	{ "par",
	  2,
	  4,
	  { 10, 9 },
	  { { -INF, 630, { 0.7, 1 } },
	    { -INF, 600, { 0.5, 5.0 / 6 } },
	    { -INF, 708, { 1, 2.0 / 3 } },
	    { -INF, 135, { 0.1, 0.25 } } },
	  7668,
	  { 540, 252 },
	  true },
	/* Winston, sec. 9.2, machines to rent (second hand); most of each from its cloth
	 * and labour: 40, 50 and 25. */
	{ "gandhi",
	  6,
	  6,
	  { 6, 4, 7, -200, -150, -100 },
	  { { -INF, 150, { 3, 2, 6 } },
	    { -INF, 160, { 4, 3, 4 } },
	    { -INF, 0, { 1, 0, 0, -40 } },
	    { -INF, 0, { 0, 1, 0, 0, -53 } },
	    { -INF, 0, { 0, 0, 1, 0, 0, -25 } },
	    { -INF, 3, { 0, 0, 0, 1, 1, 1 } } },
	  75,
	  { 0, 0, 25, 0, 0, 1 },
	  true },
	/* GLPK 5.0 ends the process on this one when cover cuts are on. */
	{ "cover cuts",
	  2,
	  3,
	  { 1, 0 },
	  { { -INF, 3, { 9, 4 } }, { -INF, 1, { 1 } }, { -INF, 6, { 0, 1 } } },
	  0,
	  { 0, 0 },
	  false },
};

static void whole_number_programs(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT(whole_programs); i++) {
		dense_check(&whole_programs[i], true, &(struct solve_options){ 0 });
		dense_check(&whole_programs[i], true, &(struct solve_options){ .plain = true });
	}
}

/* ---- models on which other solvers were reported to err ---- */

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

static void reported_wrong_elsewhere(void **state)
{
	(void)state;
	struct solve m;
	/* github.com/coin-or/Cbc issue 293: 19712 was reported as proven least. */
	solve_init(&m);
	int x = solve_column(&m, 0, INF, -9856, true), y = solve_column(&m, 0, INF, -444, true);
	int r = solve_row(&m, -INF, 5);
	solve_entry(&m, r, x, 1);
	solve_entry(&m, r, y, 1);
	r = solve_row(&m, 0.65, 1.28);
	solve_entry(&m, r, x, 0.63);
	solve_entry(&m, r, y, 1.27);
	assert_near(best(&m, NULL), -444);

	/* coin-or/Cbc issue 740. */
	solve_init(&m);
	x = solve_column(&m, -200, 200, -1, false);
	y = solve_column(&m, -200, 200, 0, true);
	r = solve_row(&m, -INF, -508);
	solve_entry(&m, r, x, 41);
	solve_entry(&m, r, y, 49);
	r = solve_row(&m, -INF, -943);
	solve_entry(&m, r, x, 22);
	solve_entry(&m, r, y, -64);
	r = solve_row(&m, 506, INF);
	solve_entry(&m, r, y, 83);
	assert_near(best(&m, NULL), 200);

	/* github.com/ERGO-Code/HiGHS issue 3043. */
	solve_init(&m);
	x = solve_column(&m, 0, INF, -2, false);
	y = solve_column(&m, 0, INF, -3, true);
	r = solve_row(&m, 4.5, INF);
	solve_entry(&m, r, x, 1);
	solve_entry(&m, r, y, 1);
	assert_near(best(&m, NULL), -9);

	/* ERGO-Code/HiGHS issue 2957. */
	double found[2];
	solve_init(&m);
	x = solve_column(&m, 0, 20, -1, true);
	y = solve_column(&m, 8, 20, -2, false);
	r = solve_row(&m, 20.1, INF);
	solve_entry(&m, r, x, 1);
	solve_entry(&m, r, y, 1);
	assert_near(best(&m, found), -28.2);
	assert_near(found[0], 12);
	assert_near(found[1], 8.1);
}

/* Winston-like fixed starts with either-or (Hillier & Lieberman, data second hand):
 * 70000 was reported where the switch constant was 1e8; here it comes from the rows. */
static void switches_from_stock(void **state)
{
	(void)state;
	static const double gain[4] = { 70, 60, 90, 80 }, start[4] = { 50000, 40000, 70000, 60000 };
	static const double one[4] = { 5, 3, 6, 4 }, other[4] = { 4, 6, 3, 5 };
	struct solve m;
	solve_init(&m);
	int x[4], y[4];
	for (int i = 0; i < 4; i++) {
		x[i] = solve_column(&m, 0, INF, gain[i], false);
		y[i] = solve_column(&m, 0, 1, -start[i], true);
	}
	int either = solve_column(&m, 0, 1, 0, true);
	double most_one = 0, most_other = 0;
	for (int i = 0; i < 4; i++) {
		double most = fmax(6000 / one[i], 6000 / other[i]);
		int r = solve_row(&m, -INF, 0);
		solve_entry(&m, r, x[i], 1);
		solve_entry(&m, r, y[i], -most);
		most_one = fmax(most_one, 2 * most * one[i]);
		most_other = fmax(most_other, 2 * most * other[i]);
	}
	int two = solve_row(&m, -INF, 2);
	int a = solve_row(&m, -INF, 6000), b = solve_row(&m, -INF, 6000 + most_other);
	for (int i = 0; i < 4; i++) {
		solve_entry(&m, two, y[i], 1);
		solve_entry(&m, a, x[i], one[i]);
		solve_entry(&m, b, x[i], other[i]);
	}
	solve_entry(&m, a, either, -most_one);
	solve_entry(&m, b, either, most_other);
	for (int i = 2; i < 4; i++) {
		int r = solve_row(&m, -INF, 0);
		solve_entry(&m, r, y[i], 1);
		solve_entry(&m, r, y[0], -1);
		solve_entry(&m, r, y[1], -1);
	}
	double found[9];
	assert_near(best(&m, found), 80000);
	assert_near_by(found[2], 2000, 1e-9, 0);
}

/* ---- outcomes other than an optimum ---- */

static enum outcome outcome_of(struct solve *m, const struct solve_options *o)
{
	struct solution s;
	solve_run(m, o, &s);
	enum outcome got = s.outcome;
	if (got != SOLVE_OPTIMAL && got != SOLVE_LIMIT)
		for (size_t j = 0; s.x && j < m->ncols; j++)
			assert_near(s.x[j], 0);
	assert_int_equal(got == SOLVE_BAD || got == SOLVE_NOTHING, s.why[0] != '\0');
	assert_int_equal(got == SOLVE_BAD, s.x == NULL);
	solution_release(&s);
	return got;
}

static void no_optimum(void **state)
{
	(void)state;
	/* Taha, Examples 3.5-3 and 3.5-4 (from memory). */
	static const struct dense endless = {
		"", 2,     2,    { 2, 1 }, { { -INF, 10, { 1, -1 } }, { -INF, 40, { 2 } } },
		0,  { 0 }, false
	};
	static const struct dense none = {
		"", 2,     2,    { 3, 2 }, { { -INF, 2, { 2, 1 } }, { 12, INF, { 3, 4 } } },
		0,  { 0 }, false
	};
	struct solve m;
	for (int whole = 0; whole < 2; whole++)
		for (int plain = 0; plain < 2; plain++) {
			struct solve_options o = { .plain = plain };
			dense_model(&m, &endless, whole);
			assert_int_equal(outcome_of(&m, &o), SOLVE_UNBOUNDED);
			solve_release(&m);
			dense_model(&m, &none, whole);
			assert_int_equal(outcome_of(&m, &o), SOLVE_INFEASIBLE);
			solve_release(&m);
		}
	/* 2x = 3 has no whole answer, however far x + y may run. */
	solve_init(&m);
	int x = solve_column(&m, 0, INF, 1, true);
	solve_column(&m, 0, INF, 1, true);
	solve_entry(&m, solve_row(&m, 3, 3), x, 2);
	assert_int_equal(outcome_of(&m, &(struct solve_options){ 0 }), SOLVE_INFEASIBLE);
	solve_release(&m);
}

static void models_without_rows_or_columns(void **state)
{
	(void)state;
	struct solve m;
	struct solution s;
	struct solve_options o = { 0 };
	solve_init(&m);
	solve_run(&m, &o, &s);
	assert_int_equal(s.outcome, SOLVE_OPTIMAL);
	assert_near(s.value, 0);
	solution_release(&s);
	solve_row(&m, -1, 1);
	assert_int_equal(outcome_of(&m, &o), SOLVE_OPTIMAL);
	solve_row(&m, 1, 2); /* nothing can add up to 1 */
	assert_int_equal(outcome_of(&m, &o), SOLVE_INFEASIBLE);
	solve_release(&m);

	solve_init(&m);
	solve_column(&m, -3, 7, 2, true);
	solve_column(&m, -3, 7, -2, false);
	solve_column(&m, 2, 7, 0, true);
	solve_run(&m, &o, &s);
	assert_int_equal(s.outcome, SOLVE_OPTIMAL);
	assert_near(s.value, 20);
	assert_near(s.x[0], 7);
	assert_near(s.x[1], -3);
	assert_near(s.x[2], 2);
	solution_release(&s);
	solve_column(&m, 0, INF, 1, true);
	assert_int_equal(outcome_of(&m, &o), SOLVE_UNBOUNDED);
	solve_column(&m, 2, 1, 1, true); /* limits that cross: no answer, not a fault */
	assert_int_equal(outcome_of(&m, &o), SOLVE_INFEASIBLE);
	solve_release(&m);
}

/* What the library would abort on or answer wrongly. */
static void faults_are_refused(void **state)
{
	(void)state;
	const double nan = (double)NAN, huge = (double)INFINITY;
	static const struct solve_options o = { 0 };
	for (int k = 0; k < 21; k++) {
		struct solve m;
		struct solve_options how = o;
		solve_init(&m);
		int x =
		    solve_column(&m, k == 0 ? nan : 0, k == 1 ? nan : 10, k == 2 ? nan : 1, true);
		int y =
		    solve_column(&m, k == 3 ? 0.5 : 0, k == 4 ? 2.5 : 10, k == 5 ? huge : 1, true);
		int r = solve_row(&m, k == 6 ? nan : -INF, k == 7 ? nan : 12);
		solve_entry(&m, r, x, k == 8 ? nan : 1);
		solve_entry(&m, r, y, k == 9 ? huge : 1);
		if (k == 10)
			solve_entry(&m, r, x, 3); /* a second time */
		if (k == 11)
			solve_entry(&m, r + 1, x, 1);
		if (k == 12)
			solve_entry(&m, -1, x, 1);
		if (k == 13)
			solve_entry(&m, r, y + 1, 1);
		if (k == 14)
			how.gap = nan;
		if (k == 15)
			how.gap = -0.5;
		if (k == 16)
			how.nodes = -1;
		if (k == 17)
			solve_column(&m, INF, INF, 1, false);
		if (k == 18)
			solve_row(&m, -INF, -INF);
		if (k == 19)
			solve_column(&m, 0, 1e250, 1, false);
		/* k == 20 is as it should be. */
		assert_int_equal(outcome_of(&m, &how), k == 20 ? SOLVE_OPTIMAL : SOLVE_BAD);
		solve_release(&m);
	}
}

static void reasons_are_sentences(void **state)
{
	(void)state;
	struct solve m;
	struct solution s;
	solve_init(&m);
	int x = solve_column(&m, 0, 1, 1, true), r = solve_row(&m, 0, 1);
	solve_entry(&m, r, x, 1);
	solve_entry(&m, r, x, 1);
	solve_run(&m, &(struct solve_options){ 0 }, &s);
	assert_string_equal(s.why,
			    "The model cannot be solved: row 0 has two entries for one column.");
	solve_release(&m);
	solve_init(&m);
	solve_column(&m, 0.5, 1, 1, true);
	solve_run(&m, &(struct solve_options){ 0 }, &s);
	assert_string_equal(
	    s.why, "The model cannot be solved: whole column 0 has a limit that is not whole.");
	solve_release(&m);
}

static void fixed_columns_and_dropped_zeros(void **state)
{
	(void)state;
	struct solve m;
	struct solution s;
	solve_init(&m);
	int x = solve_column(&m, 3, 3, 1, true), y = solve_column(&m, 0, 9, 1, true);
	int r = solve_row(&m, 8, 8);
	solve_entry(&m, r, x, 1);
	solve_entry(&m, r, y, 1);
	solve_entry(&m, r, y, 0); /* nothing, not a second entry */
	solve_run(&m, &(struct solve_options){ 0 }, &s);
	assert_int_equal(s.outcome, SOLVE_OPTIMAL);
	assert_near(s.x[x], 3);
	assert_near(s.x[y], 5);
	solution_release(&s);
	solve_release(&m);
}

/* ---- limits of the search ---- */

/* Equal-sum halves: hard for a tree. */
static void hard_model(struct solve *m)
{
	solve_init(m);
	int r = solve_row(m, -INF, 0);
	unsigned long seed = 12345;
	double sum = 0;
	for (int i = 0; i < 36; i++) {
		seed = seed * 6364136223846793005u + 1442695040888963407u;
		double w = 100000 + (double)(seed >> 40) / 100;
		w = floor(w) * 2;
		sum += w;
		solve_entry(m, r, solve_column(m, 0, 1, w, true), w);
	}
	m->rows[0].hi = floor(sum / 2) + 1 - fmod(floor(sum / 2), 2);
}

struct heard {
	long calls, nodes;
	double bound;
};

static void hear(void *context, double bound, long nodes)
{
	struct heard *h = context;
	h->calls++;
	h->nodes = nodes;
	h->bound = bound;
}

/* An answer known beforehand ends the search when none can be better by the gap; the bound
 * is there without an answer of the search's own. */
static void a_known_answer_ends_the_search(void **state)
{
	(void)state;
	struct solve m;
	struct solution s;
	struct heard heard = { 0 };
	hard_model(&m);
	struct solve_options o = { .nodes = 500, .gap = 0.01, .has_known = true,
				   .known = m.rows[0].hi * 0.995, .progress = hear, .context = &heard };
	solve_run(&m, &o, &s);
	assert_true(s.outcome == SOLVE_LIMIT || s.outcome == SOLVE_NOTHING);
	assert_true(s.proven >= o.known && s.proven <= o.known * 1.01);
	assert_true(s.nodes <= 1);
	assert_true(heard.calls > 0 && heard.bound == s.proven);
	solution_release(&s);
	/* One that is too low does not. */
	o.known = m.rows[0].hi * 0.5;
	o.gap = 0.01;
	solve_run(&m, &o, &s);
	assert_int_equal(s.outcome, SOLVE_OPTIMAL);
	assert_true(s.proven >= s.value && s.proven <= s.bound);
	solution_release(&s);
	solve_release(&m);
}

static void node_limit_keeps_the_best(void **state)
{
	(void)state;
	struct solve m;
	struct solution s, again;
	hard_model(&m);
	struct solve_options o = { .nodes = 500 };
	solve_run(&m, &o, &s);
	assert_int_equal(s.outcome, SOLVE_LIMIT);
	assert_true(s.value > 0 && s.value <= m.rows[0].hi && s.bound >= s.value);
	assert_true(s.bound <= m.rows[0].hi + 1e-6);
	/* The same limit gives the same answer. */
	solve_run(&m, &o, &again);
	assert_int_equal(again.outcome, s.outcome);
	assert_true(again.value == s.value && again.bound == s.bound);
	assert_memory_equal(again.x, s.x, m.ncols * sizeof *s.x);
	solution_release(&s);
	solution_release(&again);
	/* A gap that is asked for is kept. */
	o = (struct solve_options){ .gap = 0.01 };
	solve_run(&m, &o, &s);
	assert_int_equal(s.outcome, SOLVE_OPTIMAL);
	assert_true(s.bound >= s.value && (s.bound - s.value) / s.value <= 0.01 + 1e-9);
	solution_release(&s);
	solve_release(&m);
}

static void stop_is_obeyed(void **state)
{
	(void)state;
	struct solve m;
	hard_model(&m);
	volatile sig_atomic_t stop = 1;
	enum outcome got = outcome_of(&m, &(struct solve_options){ .stop = &stop });
	assert_true(got == SOLVE_LIMIT || got == SOLVE_NOTHING);
	solve_release(&m);
}

/* ---- quiet and unbroken ---- */

static void starve(void *arg)
{
	(void)arg;
	struct solve m;
	solve_init(&m);
	for (int i = 0; i < 300; i++)
		solve_row(&m, -INF, 10);
	for (int j = 0; j < 300; j++) {
		int c = solve_column(&m, 0, 10, 1 + j % 7, true);
		for (int i = 0; i < 300; i++)
			solve_entry(&m, i, c, 1 + (i * j) % 5);
	}
	struct solution s;
	glp_term_out(GLP_OFF);
	glp_mem_limit(1); /* MB: the library now meets its own fatal error */
	solve_run(&m, &(struct solve_options){ .nodes = 1 }, &s);
	/* The second way starts with a fresh library, without that limit. */
	bool fine = s.outcome != SOLVE_BAD && s.outcome != SOLVE_INFEASIBLE;
	solution_release(&s);
	solve_release(&m);
	solve_init(&m);
	int x = solve_column(&m, 0, 10, 1, true);
	solve_entry(&m, solve_row(&m, -INF, 7), x, 2);
	solve_run(&m, &(struct solve_options){ 0 }, &s);
	fine = fine && s.outcome == SOLVE_OPTIMAL && s.value == 3;
	solution_release(&s);
	solve_release(&m);
	exit(fine ? 0 : 7);
}

static void fatal_errors_come_back(void **state)
{
	(void)state;
	char said[256];
	assert_int_equal(help_child(starve, NULL, said, sizeof said), 0);
	assert_string_equal(said, "");
}

static void talk(void *arg)
{
	FILE *out = arg;
	assert_true(dup2(fileno(out), STDOUT_FILENO) >= 0);
	struct solve m;
	hard_model(&m);
	struct solution s;
	solve_run(&m, &(struct solve_options){ .nodes = 50 }, &s);
	solution_release(&s);
	solve_run(&m, &(struct solve_options){ .relaxed = true }, &s);
	solution_release(&s);
	solve_release(&m);
	fflush(stdout);
}

static void nothing_is_printed(void **state)
{
	(void)state;
	FILE *out = tmpfile();
	char said[256];
	assert_int_equal(help_child(talk, out, said, sizeof said), 0);
	assert_string_equal(said, "");
	assert_int_equal(fseek(out, 0, SEEK_END), 0);
	assert_int_equal(ftell(out), 0);
	fclose(out);
}

/* ---- against trying everything ---- */

static uint64_t draw(uint64_t *seed)
{
	*seed ^= *seed << 13;
	*seed ^= *seed >> 7;
	*seed ^= *seed << 17;
	return *seed;
}

static int between(uint64_t *seed, int lo, int hi)
{
	return lo + (int)(draw(seed) % (uint64_t)(hi - lo + 1));
}

struct tiny { /* whole numbers only, so that trying is exact */
	int cols, rows;
	int hi[4], gain[4], a[4][4], lo[4], up[4];
};

static bool tiny_fits(const struct tiny *t, const int *x)
{
	for (int i = 0; i < t->rows; i++) {
		int sum = 0;
		for (int j = 0; j < t->cols; j++)
			sum += t->a[i][j] * x[j];
		if (sum < t->lo[i] || sum > t->up[i])
			return false;
	}
	return true;
}

static bool tiny_best(const struct tiny *t, int *value)
{
	bool any = false;
	int x[4] = { 0 };
	for (;;) {
		if (tiny_fits(t, x)) {
			int sum = 0;
			for (int j = 0; j < t->cols; j++)
				sum += t->gain[j] * x[j];
			if (!any || sum > *value)
				*value = sum;
			any = true;
		}
		int j = 0;
		while (j < t->cols && x[j] == t->hi[j])
			x[j++] = 0;
		if (j == t->cols)
			return any;
		x[j]++;
	}
}

static void tiny_model(struct tiny *t, struct solve *m, uint64_t *seed)
{
	*t = (struct tiny){ .cols = between(seed, 1, 4), .rows = between(seed, 1, 4) };
	solve_init(m);
	for (int j = 0; j < t->cols; j++) {
		t->hi[j] = between(seed, 0, 7);
		t->gain[j] = between(seed, -9, 9);
		solve_column(m, 0, t->hi[j], t->gain[j], true);
	}
	for (int i = 0; i < t->rows; i++) {
		t->lo[i] = between(seed, 0, 2) ? -1000 : between(seed, -10, 25);
		t->up[i] = between(seed, 0, 3) ? between(seed, -5, 40) : 1000;
		int r = solve_row(m, t->lo[i] == -1000 ? -INF : t->lo[i],
				  t->up[i] == 1000 ? INF : t->up[i]);
		for (int j = 0; j < t->cols; j++) {
			t->a[i][j] = between(seed, -3, 12);
			solve_entry(m, r, j, t->a[i][j]);
		}
	}
}

static void random_models_match_trying_all(void **state)
{
	(void)state;
	uint64_t seed = 20261125;
	int none = 0;
	for (int k = 0; k < 1500; k++) {
		struct tiny t;
		struct solve m;
		tiny_model(&t, &m, &seed);
		int value = 0;
		bool any = tiny_best(&t, &value);
		for (int plain = 0; plain < 2; plain++) {
			struct solution s;
			solve_run(&m, &(struct solve_options){ .plain = plain }, &s);
			assert_int_equal(s.outcome, any ? SOLVE_OPTIMAL : SOLVE_INFEASIBLE);
			if (any)
				assert_near(s.value, value);
			solution_release(&s);
		}
		none += !any;
		solve_release(&m);
	}
	assert_true(none > 50 && none < 1000); /* both outcomes were met */
}

/* Every answer worth enough is left between the narrower limits. */
static bool tiny_within(const struct tiny *t, const struct solve *m, int least, int *most)
{
	int x[4] = { 0 };
	*most = -1000;
	for (;;) {
		int sum = 0, j = 0;
		bool within = true;
		for (int k = 0; k < t->cols; k++) {
			sum += t->gain[k] * x[k];
			within = within && x[k] >= m->cols[k].lo && x[k] <= m->cols[k].hi;
		}
		if (tiny_fits(t, x)) {
			*most = sum > *most ? sum : *most;
			if (sum >= least && !within)
				return false;
		}
		while (j < t->cols && x[j] == t->hi[j])
			x[j++] = 0;
		if (j == t->cols)
			return true;
		x[j]++;
	}
}

static void narrowing_loses_nothing_worth_it(void **state)
{
	(void)state;
	uint64_t seed = 20261126;
	int narrowed = 0, none = 0;
	for (int k = 0; k < 1500; k++) {
		struct tiny t;
		struct solve m;
		tiny_model(&t, &m, &seed);
		int value = 0, most;
		double bound;
		bool any = tiny_best(&t, &value);
		int least = value + between(&seed, -6, 3);
		bool some = solve_narrow(&m, least, &(struct solve_options){ 0 }, &bound);
		if (some) {
			assert_true(tiny_within(&t, &m, least, &most));
			for (int j = 0; j < t.cols; j++)
				narrowed += m.cols[j].lo > 0 || m.cols[j].hi < t.hi[j];
		} else {
			assert_true(!any || (value < least && value <= bound && bound <= least));
			none++;
		}
		solve_release(&m);
	}
	assert_true(narrowed > 300 && none > 100); /* both were met */
}

/* A model that is solved while it is simplified: there never is a tree, but a bound. */
static void within_a_gap_without_a_tree(void **state)
{
	(void)state;
	struct solve m;
	struct solution s;
	solve_init(&m);
	solve_column(&m, 0, 3, 9, true);
	solve_entry(&m, solve_row(&m, -INF, 10), 0, 20);
	solve_run(&m, &(struct solve_options){ .gap = 0.001 }, &s);
	assert_int_equal(s.outcome, SOLVE_OPTIMAL);
	assert_near_by(s.value, 0, 1e-9, 1e-9);
	assert_near_by(s.bound, 0, 1e-9, 1e-9);
	assert_near_by(s.proven, 0, 1e-9, 1e-9);
	solution_release(&s);
	solve_release(&m);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(linear_programs),
		cmocka_unit_test(whole_number_programs),
		cmocka_unit_test(reported_wrong_elsewhere),
		cmocka_unit_test(switches_from_stock),
		cmocka_unit_test(no_optimum),
		cmocka_unit_test(models_without_rows_or_columns),
		cmocka_unit_test(faults_are_refused),
		cmocka_unit_test(reasons_are_sentences),
		cmocka_unit_test(fixed_columns_and_dropped_zeros),
		cmocka_unit_test(a_known_answer_ends_the_search),
		cmocka_unit_test(node_limit_keeps_the_best),
		cmocka_unit_test(stop_is_obeyed),
		cmocka_unit_test(fatal_errors_come_back),
		cmocka_unit_test(nothing_is_printed),
		cmocka_unit_test(within_a_gap_without_a_tree),
		cmocka_unit_test(random_models_match_trying_all),
		cmocka_unit_test(narrowing_loses_nothing_worth_it),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* coverage.c - how often the intervals of measured and planned losses hold the truth.
 *
 *     make bench-coverage            1,000 seasons a cell, as printed in docs/records.md
 *     build/release/bench/coverage 5000
 *
 * A season is k batches of 50 to 150 stems; the batch's own rate is drawn from a beta
 * distribution with mean p and alikeness rho (rho 0: all the same), its losses are
 * binomial.  Two-sided 80% intervals; the plain binomial (Jeffreys) interval of the same
 * counts stands beside ours, and so does what the plain k - 1 of the t quotient would give. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>

#include "base/number.h"
#include "../unit/help_simulate.h"
#include "reckon/blend.h"

enum { BATCHES_MOST = 30 };
#define AIM_LOW 76.0
#define AIM_HIGH 88.0

struct cell {
	size_t k;
	double p, rho;
	double least, most;     /* stems in a batch */
};
struct grid {
	const char *title;
	size_t k[3];
	double p[3], rho[3], least, most;
};
struct tally {
	unsigned ours, wide, plain, binomial, low, high, rough, seasons;
};

static bool holds(struct interval i, double p)
{
	return i.low <= p && p <= i.high;
}

/* The t quotient for k - 1 batches, whatever the losses look like. */
static struct interval with_k_less_one(const struct measured *m)
{
	struct measured w = *m;
	w.share = 1;
	w.freedom = m->lots > 1 ? (double)m->lots - 1 : 1;
	double n = measured_stems_at(&w, 0.80);
	return stat_jeffreys(m->rate * n, n, 0.80);
}

static void one_season(struct tally *t, const struct cell *c, uint64_t *state)
{
	struct lot lots[BATCHES_MOST];
	struct borrowed b;
	struct measured m;
	simulate_season(lots, c->k, c->least, c->most, c->p, c->rho, state);
	borrow_start(&b);
	measure(&m, lots, c->k, (double)NAN, &b);
	t->seasons++;
	t->ours += holds(m.i80, c->p);
	t->low += c->p < m.i80.low;
	t->high += c->p > m.i80.high;
	t->wide += holds(m.i95, c->p);
	t->rough += m.rough;
	t->plain += holds(with_k_less_one(&m), c->p);
	t->binomial += holds(stat_jeffreys(m.lost, m.stems, 0.80), c->p);
}

static double per_cent(unsigned n, unsigned of)
{
	return 100.0 * n / of;
}

struct verdict { /* of a table */
	unsigned outside, alike, nearer; /* cells; those with rho > 0; of these nearer than the
	                                  * binomial interval to 80% */
};

static void measured_cell(const struct cell *c, unsigned seasons, struct verdict *v, uint64_t *state)
{
	struct tally t = { 0 };
	for (unsigned i = 0; i < seasons; i++)
		one_season(&t, c, state);
	double ours = per_cent(t.ours, seasons), binomial = per_cent(t.binomial, seasons);
	const char *mark = ours < AIM_LOW ? "below the aim" : ours > AIM_HIGH ? "above the aim" : "";
	v->outside += *mark != '\0';
	v->alike += c->rho > 0;
	v->nearer += c->rho > 0 && fabs(ours - 80) < fabs(binomial - 80);
	printf("%7zu %6.2f %6.2f %7.1f %6.1f %6.1f %8.1f %8.1f %9.1f %6.0f  %s\n", c->k, c->p, c->rho,
	       ours, per_cent(t.low, seasons), per_cent(t.high, seasons), per_cent(t.wide, seasons),
	       per_cent(t.plain, seasons), binomial, per_cent(t.rough, seasons), mark);
}

static void measured_table(const struct grid *g, unsigned seasons)
{
	struct verdict v = { 0 };
	uint64_t state = 20261125;
	printf("\n%s\n", g->title);
	printf("batches   rate    rho  80%% has    low   high  95%% has  t of k-1  binomial  rough\n");
	for (size_t i = 0; i < 27; i++) {
		struct cell c = { g->k[i / 9], g->p[i / 3 % 3], g->rho[i % 3], g->least, g->most };
		measured_cell(&c, seasons, &v, &state);
	}
	printf("rough: per cent of seasons in which `thrave loss` calls the limits rough\n");
	printf("%u of 27 cells outside %.0f to %.0f; of %u cells with rho above 0 ours is nearer to 80%% "
	       "than the binomial in %u\n",
	       v.outside, AIM_LOW, AIM_HIGH, v.alike, v.nearer);
}

/* Rate drawn from the prior that docs/records.md states, beta with the `loses` line as its
 * mean and its weight in stems; alikeness from its own (rho below 0), or as the cell says. */
static double planned_cell(const struct cell *c, double weight, unsigned seasons, uint64_t *state)
{
	unsigned held = 0;
	for (unsigned i = 0; i < seasons; i++) {
		struct lot lots[BATCHES_MOST];
		struct borrowed b;
		struct measured m;
		struct planned plan;
		double p = simulate_beta(weight * c->p, weight * (1 - c->p), state), rho = c->rho;
		if (rho < 0)
			rho = simulate_beta(BLEND_WEIGHT * ALIKE_STATED, BLEND_WEIGHT * (1 - ALIKE_STATED),
			                    state);
		simulate_season(lots, c->k, c->least, c->most, p, rho, state);
		borrow_start(&b);
		measure(&m, lots, c->k, (double)NAN, &b);
		plan_rate(&plan, &m, c->p, weight);
		blend_intervals(&plan, lots, c->k, c->p, weight, borrow_rho(&b));
		held += holds(plan.i80, p);
	}
	return per_cent(held, seasons);
}

enum { PLANNED_TIMES = 10 }; /* seasons of a row of the planning table, in those of a cell */

static void planned_verdict(const double *all, size_t n, unsigned seasons)
{
	double row = 200 * sqrt(0.16 / seasons), sum = 0, squares = 0;
	size_t within = 0, above = 0;
	for (size_t i = 0; i < n; i++) {
		double off = (all[i] - 80) / (row / 2);
		sum += all[i];
		squares += off * off;
		within += fabs(all[i] - 80) <= row;
		above += all[i] > 80 + row;
	}
	printf("all together %.2f +-%.2f; error of a row +-%.1f (two standard errors)\n", sum / (double)n,
	       row / sqrt((double)n), row);
	printf("of %zu rows %zu hold 80%% within their error, %zu are too wide, %zu too narrow: by chance "
	       "alone one in 22 is outside\n",
	       n, within, above, n - within - above);
	printf("squares of the rows' distances from 80, in standard errors: %.1f; by chance alone %zu "
	       "+-%.0f\n",
	       squares, n, 2 * sqrt(2.0 * (double)n));
}

static void planned_table(unsigned seasons)
{
	static const size_t ks[] = { 0, 1, 2, 4, 8, 30 };
	static const double ps[] = { 0.02, 0.1, 0.2 }, rhos[] = { 0, 0.05, 0.3 };
	double rows[6 * 3];
	size_t n = 0;
	uint64_t state = 20261126;
	printf("\nPlanning: rate and alikeness drawn from the prior that is stated (10 stems)\n");
	printf("batches  loses   drawn  | alikeness not drawn, but 0   0.05    0.3\n");
	for (size_t a = 0; a < 6; a++)
		for (size_t b = 0; b < 3; b++) {
			struct cell c = { ks[a], ps[b], -1, 50, 150 };
			rows[n] = planned_cell(&c, 10, seasons * PLANNED_TIMES, &state);
			printf("%7zu %6.2f %7.1f  |                    ", ks[a], ps[b], rows[n++]);
			for (size_t k = 0; k < 3; k++) {
				c.rho = rhos[k];
				printf(" %6.1f", planned_cell(&c, 10, seasons, &state));
			}
			printf("\n");
		}
	planned_verdict(rows, n, seasons * PLANNED_TIMES);
}

/* One crop with one or two batches beside five crops of three that say how alike. */
static void borrowed_table(unsigned seasons)
{
	static const double rhos[] = { 0, 0.05, 0.3 };
	uint64_t state = 20261127;
	printf("\nOne or two batches (too few), rho borrowed from five other crops of three batches\n");
	printf("batches   rate    rho  80%% has  alone on the farm\n");
	for (size_t k = 1; k <= 2; k++)
		for (size_t c = 0; c < 3; c++) {
			unsigned held = 0, alone = 0;
			for (unsigned i = 0; i < seasons; i++) {
				struct lot lots[BATCHES_MOST];
				struct borrowed farm, none;
				struct measured m;
				borrow_start(&farm);
				borrow_start(&none);
				for (int other = 0; other < 5; other++) {
					simulate_season(lots, 3, 50, 150, 0.05 + 0.03 * other, rhos[c], &state);
					borrow_add(&farm, lots, 3);
				}
				simulate_season(lots, k, 50, 150, 0.1, rhos[c], &state);
				measure(&m, lots, k, (double)NAN, &farm);
				held += holds(m.i80, 0.1);
				measure(&m, lots, k, (double)NAN, &none);
				alone += holds(m.i80, 0.1);
			}
			printf("%7zu %6.2f %6.2f %7.1f %10.1f\n", k, 0.1, rhos[c], per_cent(held, seasons),
			       per_cent(alone, seasons));
		}
}

int main(int argc, char **argv)
{
	static const struct grid tried = { "Measured: the cells that the method was tried on",
		                           { 4, 8, 30 },
		                           { 0.02, 0.1, 0.2 },
		                           { 0, 0.05, 0.3 },
		                           50,
		                           150 };
	static const struct grid other = {
		"Measured: other cells, batches of 20 to 400, not looked at while choosing",
		{ 5, 10, 20 },
		{ 0.03, 0.15, 0.5 },
		{ 0.01, 0.08, 0.5 },
		20,
		400
	};
	double seasons = 1000;
	struct rat given;
	if (argc > 1) {
		if (number_decimal_all(str_of(argv[1]), '.', &given) != NUMBER_OK ||
		    rat_double(given) < 10 || rat_double(given) > 1e6) {
			fprintf(stderr, "usage: coverage [SEASONS]\n");
			return 2;
		}
		seasons = floor(rat_double(given));
	}
	unsigned n = (unsigned)seasons;
	printf("%u seasons a cell; error of a cell +-%.1f (two standard errors)\n", n,
	       200 * sqrt(0.16 / n));
	measured_table(&tried, n);
	measured_table(&other, n);
	planned_table(n);
	borrowed_table(n);
	return 0;
}

/* mix_counts.c - the counts in which a piece may be made, each by a column of its own.
 *
 * Settings come whole and so do stems, so a piece costs a little more or less a piece at
 * each count, and its next one brings less.  With a column between 0 and 1 for every count
 * of a maker, adding up to 1, the relaxed program can only mix counts that are possible
 * (the convex hull of the counts; multiple choice, Kellerer, Pferschy and Pisinger,
 * "Knapsack Problems", 2004, chapter 11, from memory).  Nothing that a whole count allows
 * is lost. */
#include "reckon/mix_emit.h"

#include <stdlib.h>

enum { COUNTS_MOST = 60 };

static int falling(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x < y) - (x > y);
}

static bool has_curve(const struct bringing *b)
{
	return b->end > b->first + 1;
}

/* What one piece more brings, dearest first; -1: too many, or it hangs on the days. */
static int next_pieces(const struct emit *e, const struct labour *w, double *by)
{
	int n = 0;
	for (size_t i = 0; i < w->nsales; i++) {
		const struct bringing *b = &e->brings[w->sales[i]];
		if (e->x->sales[w->sales[i]].stall != NONE && !e->gone)
			return -1;
		for (int c = b->first + has_curve(b); c < b->end; c++) {
			if (!(e->m.cols[c].hi <= COUNTS_MOST - n))
				return -1;
			for (int k = 0; k < (int)e->m.cols[c].hi; k++)
				by[n++] = e->m.cols[c].gain;
		}
	}
	qsort(by, (size_t)n, sizeof *by, falling);
	return n;
}

/* The least that the sales' limits leave to be made beyond the orders. */
static int64_t least_made(const struct emit *e, const struct labour *w, int64_t finished)
{
	int64_t sum = 0;
	for (size_t i = 0; i < w->nsales; i++)
		sum += (int64_t)e->m.cols[e->n[w->sales[i]]].lo;
	return sum > finished ? sum - finished : 0;
}

static void rows_of(struct emit *e, size_t maker, size_t first_setting, const double *worth)
{
	const struct labour *w = &e->x->works[maker];
	const struct term *made = &e->makers[maker];
	const struct counts *c = &e->counts[maker];
	for (int j = 0; j < c->n; j++)
		emit_add(e, c->first + j, 1);
	emit_row(e, 1, 1);
	for (int j = 0; j < c->n; j++)
		emit_add(e, c->first + j, (double)(c->least - made->base + j));
	emit_add(e, made->col, -1);
	emit_row(e, 0, 0);
	for (size_t i = first_setting; i < e->nsettings; i++) {
		const struct setting_col *z = &e->setting_cols[i];
		int64_t k = w->settings[z->setting].k;
		for (int j = 0; j < c->n; j++)
			emit_add(e, c->first + j, (double)((c->least + j + k - 1) / k));
		emit_add(e, z->col, -1);
		emit_row(e, -SOLVE_INF, 0);
	}
	for (int j = 0; j < c->n; j++)
		emit_add(e, c->first + j, -worth[j]);
	for (size_t i = 0; i < w->nsales; i++) {
		const struct bringing *b = &e->brings[w->sales[i]];
		for (int k = b->first + has_curve(b); k < b->end; k++)
			emit_add(e, k, e->m.cols[k].gain);
	}
	emit_row(e, -SOLVE_INF, 0);
}

void emit_counts(struct emit *e, size_t maker, size_t first_setting)
{
	const struct labour *w = &e->x->works[maker];
	const struct term *made = &e->makers[maker];
	double by[COUNTS_MOST], worth[COUNTS_MOST + 1], sum = 0;
	if (w->nsales == 0 || made->col < 0 || e->elastic || e->count_orders)
		return;
	int64_t finished = e->x->finished[e->x->p.makers[maker].item.index];
	int64_t least = least_made(e, w, finished), most = made->hi - made->base;
	int nby = most - least <= COUNTS_MOST && most >= least ? next_pieces(e, w, by) : -1;
	if (nby < 0)
		return;
	struct counts *c = &e->counts[maker];
	*c = (struct counts){ (int)e->m.ncols, (int)(most - least) + 1, made->base + least };
	int64_t sold = 0;
	for (int j = 0; j < c->n; j++) {
		for (; sold < nby && sold < finished + least + j; sold++)
			sum += by[sold] > 0 ? by[sold] : 0;
		worth[j] = sum;
		emit_column(e, 0, 1, 0, e->whole_counts);
	}
	rows_of(e, maker, first_setting, worth);
}

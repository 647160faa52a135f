/* cut.c - cuts from rows of the simplex table; see cut.h. */
#include "solve/cut.h"

#include <math.h>
#include <stdlib.h>

enum { CUT_LONGEST = 400 };
#define SPLIT_LEAST 0.02  /* from a whole number, of what a cut is made from */
#define TABLE_LEAST 1e-11 /* of a row of the inverse: less is rounding */
#define TERM_LEAST  1e-7  /* of the largest term: less is taken off the other side */
#define CUT_LEAST   1e-4  /* distance of what is cut off */
#define CUT_ALIKE   0.9   /* cosine to a better cut of the round */

/* ---- rows ---- */

static void more_entries(struct entries *e, size_t n)
{
	if (e->n + n <= e->cap)
		return;
	e->cap = 2 * (e->n + n);
	e->cols = mem_grow(e->cols, e->cap, sizeof *e->cols);
	e->values = mem_grow(e->values, e->cap, sizeof *e->values);
}

static void add_entry(struct entries *e, int col, double value)
{
	more_entries(e, 1);
	e->cols[e->n] = col;
	e->values[e->n++] = value;
}

static bool is_whole(double x)
{
	return x == floor(x) && fabs(x) < 1e9;
}

static bool whole_row(const struct run *r, size_t i)
{
	for (size_t k = r->starts[i]; k < r->starts[i + 1]; k++)
		if (!r->m->cols[r->entries[k].col].whole || !is_whole(r->entries[k].value))
			return false;
	return true;
}

void cuts_open(struct cuts *c, const struct run *r, size_t most)
{
	const struct solve *m = r->m;
	*c = (struct cuts){ .m = m, .nrows = m->nrows, .cap_rows = m->nrows + most };
	c->starts = mem_alloc(c->cap_rows + 1, sizeof *c->starts);
	c->whole = mem_alloc(c->cap_rows + 1, sizeof *c->whole);
	c->row = mem_alloc(c->cap_rows + 1, sizeof *c->row);
	c->col = mem_alloc(m->ncols + 1, sizeof *c->col);
	c->x = mem_alloc(m->ncols + 1, sizeof *c->x);
	c->found = mem_alloc(CUTS_ROUND + 1, sizeof *c->found);
	c->table = mem_alloc(m->ncols + 1, sizeof *c->table);
	c->sum = mem_alloc(m->ncols + 1, sizeof *c->sum);
	c->met = mem_alloc(m->ncols + 1, sizeof *c->met);
	c->touched = mem_alloc(m->ncols + 1, sizeof *c->touched);
	for (size_t i = 0; i < m->nrows; i++) {
		c->starts[i] = c->rows.n;
		c->whole[i] = whole_row(r, i);
		for (size_t k = r->starts[i]; k < r->starts[i + 1]; k++)
			add_entry(&c->rows, r->entries[k].col, r->entries[k].value);
	}
	c->starts[m->nrows] = c->rows.n;
}

static void close_entries(struct entries *e)
{
	mem_free(e->cols);
	mem_free(e->values);
}

void cuts_close(struct cuts *c)
{
	close_entries(&c->rows);
	close_entries(&c->entries);
	mem_free(c->starts);
	mem_free(c->whole);
	mem_free(c->row);
	mem_free(c->col);
	mem_free(c->x);
	mem_free(c->found);
	mem_free(c->table);
	mem_free(c->sum);
	mem_free(c->met);
	mem_free(c->touched);
	*c = (struct cuts){ 0 };
}

/* ---- one cut ---- */

static double behind(double x)
{
	return x - floor(x);
}

bool cuts_wanted(const struct cuts *c, size_t col)
{
	double f = behind(c->x[col]);
	return c->m->cols[col].whole && c->col[col].at == STANDS_WITHIN && f >= SPLIT_LEAST &&
	       f <= 1 - SPLIT_LEAST;
}

/* Of what is counted from its limit; `a` stands at x + sum a t = b. */
static double share_of(double a, double f0, bool whole)
{
	if (!whole)
		return a > 0 ? a / f0 : -a / (1 - f0);
	double f = behind(a);
	return f <= f0 ? f / f0 : (1 - f) / (1 - f0);
}

struct making { /* of one cut */
	struct cuts *c;
	double f0, least;
	int ntouched;
	bool sound;
};

/* What stands at a limit, with its entry of the table: its share of the cut, + from the
 * lower limit, - from the upper one; the limit goes to the other side. */
static double take_in(struct making *k, const struct stand *s, double table, bool whole)
{
	if (s->at == STANDS_WITHIN || s->at == STANDS_HELD)
		return 0;
	if (s->at == STANDS_FREE) {
		k->sound = k->sound && fabs(table) < TABLE_LEAST;
		return 0;
	}
	bool low = s->at == STANDS_LOW;
	double limit = low ? s->lo : s->hi;
	double g = share_of(low ? -table : table, k->f0, whole && is_whole(limit));
	k->least += low ? g * limit : -g * limit;
	return low ? g : -g;
}

static void touch(struct making *k, int col)
{
	struct cuts *c = k->c;
	if (!c->met[col])
		c->touched[k->ntouched++] = col;
	c->met[col] = true;
}

static void table_row(struct making *k, const double *rho)
{
	struct cuts *c = k->c;
	for (size_t i = 0; i < c->nrows; i++) {
		if (fabs(rho[i]) < TABLE_LEAST)
			continue;
		for (size_t e = c->starts[i]; e < c->starts[i + 1]; e++) {
			touch(k, c->rows.cols[e]);
			c->table[c->rows.cols[e]] += rho[i] * c->rows.values[e];
		}
	}
}

/* Rows are put back into what they are sums of. */
static void sum_up(struct making *k, const double *rho)
{
	struct cuts *c = k->c;
	for (int i = 0; i < k->ntouched; i++) {
		int j = c->touched[i];
		if (fabs(c->table[j]) > TABLE_LEAST)
			c->sum[j] += take_in(k, &c->col[j], c->table[j], c->m->cols[j].whole);
	}
	for (size_t i = 0; i < c->nrows && k->sound; i++) {
		if (fabs(rho[i]) < TABLE_LEAST)
			continue;
		double g = take_in(k, &c->row[i], -rho[i], c->whole[i]);
		for (size_t e = c->starts[i]; e < c->starts[i + 1] && g != 0; e++)
			c->sum[c->rows.cols[e]] += g * c->rows.values[e];
	}
}

/* Terms too small to be trusted go to the other side, at the most that they can be. */
static void write_down(struct making *k, struct cut *cut)
{
	struct cuts *c = k->c;
	double largest = 0, at = 0, square = 0;
	for (int i = 0; i < k->ntouched; i++)
		largest = fmax(largest, fabs(c->sum[c->touched[i]]));
	*cut = (struct cut){ .first = c->entries.n };
	for (int i = 0; i < k->ntouched && k->sound; i++) {
		int j = c->touched[i];
		double v = c->sum[j];
		if (v == 0)
			continue;
		if (fabs(v) > TERM_LEAST * largest) {
			add_entry(&c->entries, j, v);
			at += v * c->x[j];
			square += v * v;
			cut->n++;
			continue;
		}
		double limit = v > 0 ? c->col[j].hi : c->col[j].lo;
		k->sound = fabs(limit) < SOLVE_INF;
		k->least -= v * limit;
	}
	cut->least = k->least;
	cut->norm = sqrt(square);
	cut->depth = cut->n > 0 ? (cut->least - at) / cut->norm : 0;
	k->sound =
	    k->sound && cut->n <= CUT_LONGEST && cut->depth > CUT_LEAST && isfinite(cut->depth);
}

void cuts_find(struct cuts *c, size_t col, const double *rho)
{
	struct making k = { .c = c, .f0 = behind(c->x[col]), .least = 1, .sound = true };
	if (c->nfound == CUTS_ROUND)
		return;
	table_row(&k, rho);
	sum_up(&k, rho);
	write_down(&k, &c->found[c->nfound]);
	if (k.sound)
		c->nfound++;
	else
		c->entries.n = c->found[c->nfound].first;
	for (int i = 0; i < k.ntouched; i++) {
		c->table[c->touched[i]] = c->sum[c->touched[i]] = 0;
		c->met[c->touched[i]] = false;
	}
}

/* ---- of a round ---- */

static int deepest(const void *a, const void *b)
{
	const struct cut *x = a, *y = b;
	return x->depth != y->depth  ? (x->depth < y->depth ? 1 : -1)
	       : x->first < y->first ? -1
				     : x->first > y->first;
}

/* table: the cut that `other` is held against. */
static bool alike(const struct cuts *c, double norm, const struct cut *other)
{
	double dot = 0;
	for (size_t e = other->first; e < other->first + (size_t)other->n; e++)
		dot += c->entries.values[e] * c->table[c->entries.cols[e]];
	return dot > CUT_ALIKE * norm * other->norm;
}

void cuts_choose(struct cuts *c)
{
	size_t n = 0;
	qsort(c->found, c->nfound, sizeof *c->found, deepest);
	for (size_t i = 0; i < c->nfound; i++) {
		struct cut cut = c->found[i];
		size_t end = cut.first + (size_t)cut.n;
		bool like = false;
		for (size_t e = cut.first; e < end; e++)
			c->table[c->entries.cols[e]] = c->entries.values[e];
		for (size_t k = 0; k < n && !like; k++)
			like = alike(c, cut.norm, &c->found[k]);
		for (size_t e = cut.first; e < end; e++)
			c->table[c->entries.cols[e]] = 0;
		if (!like && c->nrows + n < c->cap_rows)
			c->found[n++] = cut;
	}
	c->nfound = n;
}

void cuts_add(struct cuts *c)
{
	for (size_t i = 0; i < c->nfound; i++) {
		const struct cut *cut = &c->found[i];
		for (size_t e = cut->first; e < cut->first + (size_t)cut->n; e++)
			add_entry(&c->rows, c->entries.cols[e], c->entries.values[e]);
		c->whole[c->nrows++] = false;
		c->starts[c->nrows] = c->rows.n;
	}
	c->nfound = c->entries.n = 0;
}

void cuts_drop(struct cuts *c, const bool *gone)
{
	size_t to = c->m->nrows, at = c->starts[to];
	for (size_t i = to, n = c->nrows; i < n; i++) {
		size_t first = c->starts[i], end = c->starts[i + 1];
		if (gone[i])
			continue;
		for (size_t e = first; e < end; e++, at++) {
			c->rows.cols[at] = c->rows.cols[e];
			c->rows.values[at] = c->rows.values[e];
		}
		c->starts[++to] = at;
	}
	c->nrows = to;
	c->rows.n = at;
}

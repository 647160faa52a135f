/* check.c - a program and its answer, looked at without the solver. */
#include "solve/solve_in.h"

#include <math.h>

#define NEAR_WHOLE  1e-4  /* what the solver calls whole may be off by this */
#define WHOLE_MOST  1e15  /* limits of whole columns */
#define NUMBER_MOST 1e200 /* coefficients and finite limits */

/* ---- the model ---- */

void solve_init(struct solve *m)
{
	*m = (struct solve){ 0 };
}

void solve_release(struct solve *m)
{
	mem_free(m->cols);
	mem_free(m->rows);
	mem_free(m->entries);
	solve_init(m);
}

static void *room(void *p, size_t n, size_t *cap, size_t size)
{
	if (n < *cap)
		return p;
	*cap = *cap ? *cap * 2 : 32;
	return mem_grow(p, *cap, size);
}

int solve_column(struct solve *m, double lo, double hi, double gain, bool whole)
{
	m->cols = room(m->cols, m->ncols, &m->cap_cols, sizeof *m->cols);
	m->cols[m->ncols] = (struct solve_column_def){ lo, hi, gain, whole };
	return (int)m->ncols++;
}

int solve_row(struct solve *m, double lo, double hi)
{
	m->rows = room(m->rows, m->nrows, &m->cap_rows, sizeof *m->rows);
	m->rows[m->nrows] = (struct solve_row_def){ lo, hi };
	return (int)m->nrows++;
}

void solve_entry(struct solve *m, int row, int col, double value)
{
	if (value == 0)
		return;
	m->entries = room(m->entries, m->nentries, &m->cap_entries, sizeof *m->entries);
	m->entries[m->nentries++] = (struct solve_entry_def){ row, col, value };
}

void solve_say(struct solution *s, enum outcome outcome, const char *why)
{
	s->outcome = outcome;
	snprintf(s->why, sizeof s->why, "%s", why);
}

static void bad(struct solution *s, const char *what, size_t index, const char *fault)
{
	s->outcome = SOLVE_BAD;
	snprintf(s->why, sizeof s->why, "The model cannot be solved: %s %zu %s.", what, index,
		 fault);
}

static bool is_limit(double x)
{
	return fabs(x) <= NUMBER_MOST || fabs(x) >= SOLVE_INF; /* false for NaN */
}

static bool whole_limit(double x)
{
	return fabs(x) >= SOLVE_INF || (fabs(x) <= WHOLE_MOST && x == floor(x));
}

bool solve_columns_ok(const struct solve *m, struct solution *s)
{
	for (size_t j = 0; j < m->ncols; j++) {
		const struct solve_column_def *c = &m->cols[j];
		if (!is_limit(c->lo) || !is_limit(c->hi))
			return bad(s, "column", j, "has a limit that is no number"), false;
		if (c->lo >= SOLVE_INF || c->hi <= -SOLVE_INF)
			return bad(s, "column", j, "has no room at all"), false;
		if (!(fabs(c->gain) <= NUMBER_MOST))
			return bad(s, "column", j, "has a gain that is no number"), false;
		if (c->whole && (!whole_limit(c->lo) || !whole_limit(c->hi)))
			return bad(s, "whole column", j, "has a limit that is not whole"), false;
	}
	return true;
}

bool solve_rows_ok(const struct solve *m, struct solution *s)
{
	for (size_t i = 0; i < m->nrows; i++) {
		if (!is_limit(m->rows[i].lo) || !is_limit(m->rows[i].hi))
			return bad(s, "row", i, "has a limit that is no number"), false;
		if (m->rows[i].lo >= SOLVE_INF || m->rows[i].hi <= -SOLVE_INF)
			return bad(s, "row", i, "has no room at all"), false;
	}
	for (size_t k = 0; k < m->nentries; k++) {
		const struct solve_entry_def *e = &m->entries[k];
		if (e->row < 0 || (size_t)e->row >= m->nrows || e->col < 0 ||
		    (size_t)e->col >= m->ncols)
			return bad(s, "entry", k, "stands in no row or column"), false;
		if (!(fabs(e->value) <= NUMBER_MOST))
			return bad(s, "entry", k, "is no number"), false;
	}
	return true;
}

/* Entries by row, in the order in which they were added. */
void solve_sort_entries(struct run *r)
{
	const struct solve *m = r->m;
	r->starts = mem_alloc(m->nrows + 2, sizeof *r->starts);
	r->entries = mem_alloc(m->nentries + 1, sizeof *r->entries);
	for (size_t k = 0; k < m->nentries; k++)
		r->starts[m->entries[k].row + 2]++;
	for (size_t i = 2; i < m->nrows + 2; i++)
		r->starts[i] += r->starts[i - 1];
	for (size_t k = 0; k < m->nentries; k++)
		r->entries[r->starts[m->entries[k].row + 1]++] = m->entries[k];
}

bool solve_entries_once(struct run *r, struct solution *s)
{
	size_t *seen = mem_alloc(r->m->ncols + 1, sizeof *seen);
	bool once = true;
	for (size_t k = 0; k < r->m->nentries && once; k++) {
		const struct solve_entry_def *e = &r->entries[k];
		once = seen[e->col] != (size_t)e->row + 1;
		seen[e->col] = (size_t)e->row + 1;
		if (!once)
			bad(s, "row", (size_t)e->row, "has two entries for one column");
	}
	mem_free(seen);
	return once;
}

bool solve_options_ok(const struct solve_options *o, struct solution *s)
{
	if (!(o->gap >= 0 && o->gap < 1) || o->nodes < 0 || o->seconds < 0)
		return solve_say(s, SOLVE_BAD,
			   "The model cannot be solved: a limit for the search is out of range."),
		       false;
	return true;
}

/* ---- answers without the library ---- */

bool solve_crossed(const struct solve *m)
{
	for (size_t j = 0; j < m->ncols; j++)
		if (m->cols[j].lo > m->cols[j].hi)
			return true;
	for (size_t i = 0; i < m->nrows; i++)
		if (m->rows[i].lo > m->rows[i].hi)
			return true;
	return false;
}

static enum outcome free_columns(const struct solve *m, double *x)
{
	for (size_t j = 0; j < m->ncols; j++) {
		const struct solve_column_def *c = &m->cols[j];
		double best = c->gain > 0   ? c->hi
			      : c->gain < 0 ? c->lo
					    : fmin(fmax(0, c->lo), c->hi);
		if (fabs(best) >= SOLVE_INF)
			return SOLVE_UNBOUNDED;
		x[j] = best;
	}
	return SOLVE_OPTIMAL;
}

/* Without rows every column stands alone; without entries so does every row. */
bool solve_trivial(struct run *r)
{
	const struct solve *m = r->m;
	if (solve_crossed(m)) {
		r->outcome = SOLVE_INFEASIBLE;
		return true;
	}
	if (m->nentries > 0)
		return false;
	for (size_t i = 0; i < m->nrows; i++)
		if (m->rows[i].lo > 0 || m->rows[i].hi < 0) {
			r->outcome = SOLVE_INFEASIBLE;
			return true;
		}
	r->outcome = free_columns(m, r->x);
	return true;
}

/* ---- checking an answer ---- */

double solve_add_up(const struct run *r)
{
	long double sum = 0;
	for (size_t j = 0; j < r->m->ncols; j++)
		sum += (long double)r->m->cols[j].gain * r->x[j];
	return (double)sum;
}

static bool row_holds(const struct run *r, size_t i)
{
	const struct solve_row_def *row = &r->m->rows[i];
	long double sum = 0, largest = 1;
	for (size_t k = r->starts[i]; k < r->starts[i + 1]; k++) {
		long double term = (long double)r->entries[k].value * r->x[r->entries[k].col];
		sum += term;
		largest = fmaxl(largest, fabsl(term));
	}
	long double slack = (r->root ? WISH_SLACK : ROW_SLACK) * largest;
	return (row->lo <= -SOLVE_INF || sum >= row->lo - slack) &&
	       (row->hi >= SOLVE_INF || sum <= row->hi + slack);
}

bool solve_answer_holds(struct run *r)
{
	const struct solve *m = r->m;
	for (size_t j = 0; j < m->ncols; j++) {
		const struct solve_column_def *c = &m->cols[j];
		if (!isfinite(r->x[j]))
			return false;
		if (c->whole && !r->o->relaxed) {
			double whole = round(r->x[j]);
			if (fabs(whole - r->x[j]) > NEAR_WHOLE)
				return false;
			r->x[j] = whole;
		}
		double slack = (r->root ? WISH_SLACK : ROW_SLACK) * fmax(1, fabs(r->x[j]));
		if (r->x[j] < c->lo - slack || r->x[j] > c->hi + slack)
			return false;
		r->x[j] = fmin(fmax(r->x[j], c->lo), c->hi) + 0.0; /* no -0 */
	}
	for (size_t i = 0; i < m->nrows; i++)
		if (!row_holds(r, i))
			return false;
	r->value = solve_add_up(r);
	return isfinite(r->value);
}

double *solve_wish(const struct run *r, size_t k)
{
	return r->s->wishes + k * r->m->ncols;
}

bool solve_wishes_hold(struct run *r)
{
	size_t most = r->s->nwishes, size = r->m->ncols * sizeof *r->x;
	double *x = r->x;
	r->s->nwishes = 0;
	for (size_t k = 0; k < most; k++) {
		r->x = solve_wish(r, k);
		if (solve_answer_holds(r))
			memmove(solve_wish(r, r->s->nwishes++), r->x, size);
	}
	r->x = x;
	if (r->s->nwishes > 0)
		memcpy(x, solve_wish(r, r->s->nwishes - 1), size);
	if (!solve_answer_holds(r))
		return false;
	if (r->s->nwishes == 0)
		memcpy(solve_wish(r, r->s->nwishes++), x, size);
	return true;
}

bool solve_any_whole(const struct solve *m, bool want)
{
	for (size_t j = 0; j < m->ncols; j++)
		if (m->cols[j].whole == want)
			return true;
	return false;
}

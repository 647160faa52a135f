/* solve.c - the only file that knows GLPK (GPL-3 or later).
 *
 * GLPK ends the process on misuse, takes NaN for a number and talks on stdout; so
 * the model is checked before it is handed over, its messages are swallowed, and
 * its fatal errors come back by longjmp, after which glp_free_env() gives all its
 * memory back.  What it answers is checked again; an answer that does not hold is
 * asked for once more the plain way (no presolve, no cuts) and else refused.
 *
 * Cover cuts stay off: with presolve they end the process (glp_add_cols: ncs = 0)
 * on models as small as max x; 9x + 4y <= 3; x <= 1, y <= 6 whole. */
#include "solve/solve.h"

#include <glpk.h>
#include <limits.h>
#include <math.h>
#include <setjmp.h>

#include "base/mem.h"

#define ROW_SLACK   1e-7  /* of the row's largest term */
#define NEAR_WHOLE  1e-4  /* what the solver calls whole may be off by this */
#define WHOLE_GUARD 1e-3 /* of a linear optimum, before it is made whole */
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

/* ---- one run ---- */

struct run { /* everything that must outlive a longjmp */
	const struct solve *m;
	const struct solve_options *o;
	struct solution *s;
	struct solve_entry_def *entries; /* sorted by row */
	size_t *starts;                  /* of each row in entries; nrows + 1 */
	double *fixed;                   /* values to hold the whole columns at, or NULL */
	bool flat;                       /* no objective: is there any answer? */
	bool plain;
	int *cols; /* of one row, for the library; from 1 */
	double *values;
	jmp_buf fault;
	glp_prob *p;
	double bound;  /* least bound seen in the tree */
	double proven; /* of all attempts */
	long nodes;
	bool cut_off; /* we ended the search */
	enum outcome outcome;
	double value;
	double *x;
};

static void say(struct solution *s, enum outcome outcome, const char *why)
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

static bool columns_ok(const struct solve *m, struct solution *s)
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

static bool rows_ok(const struct solve *m, struct solution *s)
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
static void sort_entries(struct run *r)
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

static bool entries_once(struct run *r, struct solution *s)
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

static bool options_ok(const struct solve_options *o, struct solution *s)
{
	if (!(o->gap >= 0 && o->gap < 1) || o->nodes < 0 || o->seconds < 0)
		return say(s, SOLVE_BAD,
			   "The model cannot be solved: a limit for the search is out of range."),
		       false;
	return true;
}

/* ---- answers without the library ---- */

static bool crossed(const struct solve *m)
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
static bool trivial(struct run *r)
{
	const struct solve *m = r->m;
	if (crossed(m)) {
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

static double add_up(const struct run *r)
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
	long double slack = ROW_SLACK * largest;
	return (row->lo <= -SOLVE_INF || sum >= row->lo - slack) &&
	       (row->hi >= SOLVE_INF || sum <= row->hi + slack);
}

static bool answer_holds(struct run *r)
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
		double slack = ROW_SLACK * fmax(1, fabs(r->x[j]));
		if (r->x[j] < c->lo - slack || r->x[j] > c->hi + slack)
			return false;
		r->x[j] = fmin(fmax(r->x[j], c->lo), c->hi) + 0.0; /* no -0 */
	}
	for (size_t i = 0; i < m->nrows; i++)
		if (!row_holds(r, i))
			return false;
	r->value = add_up(r);
	return isfinite(r->value);
}

/* ---- handing over ---- */

static int kind_of_limits(double lo, double hi)
{
	if (lo <= -SOLVE_INF)
		return hi >= SOLVE_INF ? GLP_FR : GLP_UP;
	if (hi >= SOLVE_INF)
		return GLP_LO;
	return lo == hi ? GLP_FX : GLP_DB;
}

static void hand_over(struct run *r)
{
	const struct solve *m = r->m;
	glp_prob *p = r->p = glp_create_prob();
	glp_set_obj_dir(p, GLP_MAX);
	glp_add_cols(p, (int)m->ncols);
	for (size_t j = 0; j < m->ncols; j++) {
		const struct solve_column_def *c = &m->cols[j];
		double lo = c->lo, hi = c->hi;
		if (r->fixed && c->whole)
			lo = hi = r->fixed[j];
		glp_set_col_bnds(p, (int)j + 1, kind_of_limits(lo, hi), lo, hi);
		if (!r->flat)
			glp_set_obj_coef(p, (int)j + 1, c->gain);
		if (c->whole && !r->o->relaxed && !r->fixed)
			glp_set_col_kind(p, (int)j + 1, GLP_IV);
	}
	glp_add_rows(p, (int)m->nrows);
	for (size_t i = 0; i < m->nrows; i++) {
		int n = 0;
		for (size_t k = r->starts[i]; k < r->starts[i + 1]; k++) {
			r->cols[++n] = r->entries[k].col + 1;
			r->values[n] = r->entries[k].value;
		}
		glp_set_mat_row(p, (int)i + 1, n, r->cols, r->values);
		glp_set_row_bnds(p, (int)i + 1, kind_of_limits(m->rows[i].lo, m->rows[i].hi),
				 m->rows[i].lo, m->rows[i].hi);
	}
}

static int milliseconds(const struct solve_options *o)
{
	int seconds = o->seconds ? o->seconds : SOLVE_SECONDS;
	return seconds > INT_MAX / 1000 ? INT_MAX - 1 : seconds * 1000;
}

/* The linear program.  Neither presolve nor the dual method can tell unbounded from
 * infeasible: then, and when they fail, once more by the primal method alone. */
static void run_linear(struct run *r)
{
	glp_smcp how;
	glp_init_smcp(&how);
	how.msg_lev = GLP_MSG_OFF;
	how.tm_lim = milliseconds(r->o);
	how.meth = GLP_DUALP;
	how.presolve = r->plain ? GLP_OFF : GLP_ON;
	int rc = glp_simplex(r->p, &how);
	int status = glp_get_status(r->p);
	bool settled = rc == GLP_ENOPFS || rc == GLP_ETMLIM ||
		       (rc == 0 && (status == GLP_OPT || status == GLP_NOFEAS));
	if (!settled) {
		how.presolve = GLP_OFF;
		how.meth = GLP_PRIMAL;
		glp_std_basis(r->p);
		rc = glp_simplex(r->p, &how);
		status = glp_get_status(r->p);
	}
	if (rc == GLP_ENOPFS || (rc == 0 && status == GLP_NOFEAS))
		r->outcome = SOLVE_INFEASIBLE;
	else if (rc == 0 && status == GLP_UNBND)
		r->outcome = SOLVE_UNBOUNDED;
	else
		r->outcome = rc == 0 && status == GLP_OPT ? SOLVE_OPTIMAL : SOLVE_NOTHING;
	r->cut_off = rc == GLP_ETMLIM;
	if (r->outcome == SOLVE_OPTIMAL)
		for (size_t j = 0; j < r->m->ncols; j++)
			r->x[j] = glp_get_col_prim(r->p, (int)j + 1);
}

static void watch(glp_tree *tree, void *info)
{
	struct run *r = info;
	int best = glp_ios_best_node(tree);
	if (best != 0)
		r->bound = fmin(r->bound, glp_ios_node_bound(tree, best));
	int nodes;
	glp_ios_tree_size(tree, NULL, NULL, &nodes);
	r->nodes = nodes;
	if (!r->flat)
		r->proven = fmin(r->proven, r->bound);
	if (r->o->progress)
		r->o->progress(r->o->context, r->bound, nodes);
	bool stop = r->o->stop && *r->o->stop;
	if (r->o->has_known && r->bound <= r->o->known + fmax(r->o->gap, 1e-9) * fabs(r->o->known))
		stop = true;
	if (stop || nodes > (r->o->nodes ? r->o->nodes : SOLVE_NODES)) {
		r->cut_off = true;
		glp_ios_terminate(tree);
	}
}

static void take_mip(struct run *r, int rc)
{
	int status = glp_mip_status(r->p);
	bool ended = r->cut_off = rc == GLP_ETMLIM || rc == GLP_ESTOP || r->cut_off;
	bool found = status == GLP_OPT || status == GLP_FEAS;
	if (rc == GLP_ENOPFS || (rc == 0 && !ended && status == GLP_NOFEAS))
		r->outcome = SOLVE_INFEASIBLE;
	else if (rc == GLP_ENODFS)
		r->outcome = SOLVE_UNBOUNDED;
	else if (found && ended)
		r->outcome = SOLVE_LIMIT;
	else if (found && ((rc == 0 && status == GLP_OPT) || rc == GLP_EMIPGAP))
		r->outcome = SOLVE_OPTIMAL;
	else
		r->outcome = SOLVE_NOTHING;
	if (r->outcome == SOLVE_OPTIMAL || r->outcome == SOLVE_LIMIT)
		for (size_t j = 0; j < r->m->ncols; j++)
			r->x[j] = glp_mip_col_val(r->p, (int)j + 1);
}

static void run_whole(struct run *r)
{
	glp_iocp how;
	glp_init_iocp(&how);
	how.msg_lev = GLP_MSG_OFF;
	how.tol_int = 1e-6;
	how.tol_obj = 1e-9;
	how.tm_lim = milliseconds(r->o);
	how.mip_gap = r->o->gap;
	how.cb_func = watch;
	how.cb_info = r;
	if (r->plain) {
		run_linear(r); /* the search starts from its basis */
		if (r->outcome != SOLVE_OPTIMAL)
			return;
		how.presolve = GLP_OFF;
	} else {
		how.presolve = GLP_ON;
		how.br_tech = GLP_BR_PCH; /* fewest nodes on the models of this program */
		how.mir_cuts = GLP_ON;
		how.gmi_cuts = GLP_ON;
	}
	take_mip(r, glp_intopt(r->p, &how));
}

/* ---- keeping the library quiet and alive ---- */

static int swallow(void *info, const char *text)
{
	(void)info;
	(void)text;
	return 1; /* printed by us: nowhere */
}

static void jump(void *info)
{
	struct run *r = info;
	longjmp(r->fault, 1);
}

enum way { WAY_USUAL, WAY_PLAIN, WAY_LINEAR };

/* One pass through the library; its memory is given back however it ends. */
static void attempt(struct run *r, enum way way)
{
	r->outcome = SOLVE_NOTHING;
	r->bound = (double)INFINITY;
	r->cut_off = false;
	r->plain = r->o->plain || way == WAY_PLAIN;
	glp_term_hook(swallow, NULL);
	glp_error_hook(jump, r);
	if (setjmp(r->fault) == 0) {
		hand_over(r);
		if (way == WAY_LINEAR)
			run_linear(r);
		else
			run_whole(r);
	} else {
		r->outcome = SOLVE_NOTHING;
	}
	glp_free_env();
}

/* ---- putting it together ---- */

static bool any_whole(const struct solve *m, bool want)
{
	for (size_t j = 0; j < m->ncols; j++)
		if (m->cols[j].whole == want)
			return true;
	return false;
}

/* Rounding whole columns moves what the split ones must be: reckon them anew. */
static bool polish(struct run *r)
{
	const struct solve *m = r->m;
	if (r->o->relaxed || !any_whole(m, false))
		return false;
	double *held = mem_alloc(m->ncols, sizeof *held);
	for (size_t j = 0; j < m->ncols; j++) {
		const struct solve_column_def *c = &m->cols[j];
		held[j] = fmin(fmax(round(r->x[j]), c->lo), c->hi);
	}
	double bound = r->bound;
	enum outcome was = r->outcome;
	r->fixed = held;
	attempt(r, WAY_LINEAR);
	r->fixed = NULL;
	bool good = r->outcome == SOLVE_OPTIMAL && answer_holds(r);
	r->outcome = was;
	r->bound = bound;
	mem_free(held);
	return good;
}

static bool has_answer(const struct run *r)
{
	return r->outcome == SOLVE_OPTIMAL || r->outcome == SOLVE_LIMIT;
}

/* An unbounded relaxation: is there any answer in whole numbers? */
static void settle_unbounded(struct run *r, enum way way)
{
	r->flat = true;
	attempt(r, way);
	r->flat = false;
	if (r->outcome == SOLVE_OPTIMAL || r->outcome == SOLVE_LIMIT)
		r->outcome = SOLVE_UNBOUNDED;
}

static bool try_way(struct run *r, enum way way)
{
	attempt(r, way);
	if (r->outcome == SOLVE_UNBOUNDED)
		settle_unbounded(r, way);
	if (has_answer(r) && !answer_holds(r) && !polish(r)) {
		r->outcome = SOLVE_NOTHING;
		return false;
	}
	return r->outcome != SOLVE_NOTHING || r->cut_off;
}

static void conclude(struct run *r, bool settled)
{
	struct solution *s = r->s;
	s->outcome = r->outcome;
	s->proven = r->proven;
	s->nodes = r->nodes;
	s->value = s->bound = (double)NAN;
	if (has_answer(r)) {
		s->value = r->value;
		bool linear = r->o->relaxed || !any_whole(r->m, true);
		bool proven = r->outcome == SOLVE_OPTIMAL && (r->o->gap == 0 || linear);
		s->bound = proven ? r->value : fmax(r->value, r->bound);
		/* What is simplified away never comes to the tree, whose bound is then unknown;
		 * the library ends by itself only within the gap. */
		if (r->outcome == SOLVE_OPTIMAL && !proven)
			s->bound = fmin(s->bound, r->value + r->o->gap * fabs(r->value));
		s->proven = fmin(s->proven, s->bound);
		return;
	}
	memset(s->x, 0, r->m->ncols * sizeof *s->x);
	if (r->outcome == SOLVE_UNBOUNDED)
		s->value = s->bound = (double)INFINITY;
	if (r->outcome == SOLVE_NOTHING)
		say(s, SOLVE_NOTHING,
		    settled ? "The search was stopped before any answer was found."
			    : "The solver gave no answer that keeps all limits.");
}

void solve_run(const struct solve *m, const struct solve_options *o, struct solution *s)
{
	*s = (struct solution){ .outcome = SOLVE_NOTHING,
				.value = (double)NAN,
				.bound = (double)NAN,
				.proven = (double)INFINITY };
	if (m->ncols > INT_MAX / 2 || m->nrows > INT_MAX / 2 || !options_ok(o, s) ||
	    !columns_ok(m, s) || !rows_ok(m, s))
		return;
	struct run r = {
		.m = m, .o = o, .s = s, .bound = (double)INFINITY, .proven = (double)INFINITY
	};
	sort_entries(&r);
	if (entries_once(&r, s)) {
		s->x = r.x = mem_alloc(m->ncols + 1, sizeof *s->x);
		r.cols = mem_alloc(m->ncols + 1, sizeof *r.cols);
		r.values = mem_alloc(m->ncols + 1, sizeof *r.values);
		bool settled = true;
		if (trivial(&r)) {
			r.value = r.outcome == SOLVE_OPTIMAL ? add_up(&r) : 0;
		} else if (o->relaxed || !any_whole(m, true)) {
			settled = try_way(&r, WAY_LINEAR);
		} else {
			settled = try_way(&r, o->plain ? WAY_PLAIN : WAY_USUAL);
			if (!settled && !o->plain)
				settled = try_way(&r, WAY_PLAIN);
		}
		conclude(&r, settled);
	}
	mem_free(r.cols);
	mem_free(r.values);
	mem_free(r.entries);
	mem_free(r.starts);
}

/* ---- narrower limits ---- */

struct narrowing {
	struct run r;
	struct solve *m;
	double least, bound;
	double *low, *high; /* of each column in the answers met */
	bool none;
};

/* From the basis that is there; false: no answer to be trusted. */
static bool next_optimum(struct narrowing *w)
{
	glp_smcp how;
	glp_init_smcp(&how);
	how.msg_lev = GLP_MSG_OFF;
	how.it_lim = 5000;
	how.tm_lim = milliseconds(w->r.o);
	if (glp_simplex(w->r.p, &how) != 0)
		return false;
	int status = glp_get_status(w->r.p);
	w->none = w->none || status == GLP_NOFEAS;
	if (status != GLP_OPT)
		return false;
	for (size_t j = 0; j < w->m->ncols; j++) {
		double x = glp_get_col_prim(w->r.p, (int)j + 1);
		w->low[j] = fmin(w->low[j], x);
		w->high[j] = fmax(w->high[j], x);
	}
	return true;
}

/* Towards the upper (or lower) end of one column. */
static void narrow_side(struct narrowing *w, size_t j, bool up)
{
	struct solve_column_def *c = &w->m->cols[j];
	if (up ? w->high[j] > c->hi - 1 + WHOLE_GUARD : w->low[j] < c->lo + 1 - WHOLE_GUARD)
		return; /* an answer goes that far */
	glp_set_obj_coef(w->r.p, (int)j + 1, up ? 1 : -1);
	if (next_optimum(w)) {
		double x = glp_get_col_prim(w->r.p, (int)j + 1);
		if (up)
			c->hi = fmax(c->lo, fmin(c->hi, floor(x + WHOLE_GUARD)));
		else
			c->lo = fmin(c->hi, fmax(c->lo, ceil(x - WHOLE_GUARD)));
		glp_set_col_bnds(w->r.p, (int)j + 1, kind_of_limits(c->lo, c->hi), c->lo, c->hi);
	}
	glp_set_obj_coef(w->r.p, (int)j + 1, 0);
}

static void narrow_all(struct narrowing *w)
{
	glp_prob *p = w->r.p;
	int n = 0, row = glp_add_rows(p, 1);
	for (size_t j = 0; j < w->m->ncols; j++)
		if (w->m->cols[j].gain != 0) {
			w->r.cols[++n] = (int)j + 1;
			w->r.values[n] = w->m->cols[j].gain;
		}
	glp_set_mat_row(p, row, n, w->r.cols, w->r.values);
	if (!next_optimum(w))
		return;
	double best = glp_get_obj_val(p);
	if (best + ROW_SLACK * fmax(1, fabs(best)) < w->least) {
		w->bound = best + ROW_SLACK * fmax(1, fabs(best));
		w->none = true;
		return;
	}
	/* The best there is comes first: only then is what is worth less cut away. */
	glp_set_row_bnds(p, row, GLP_LO, w->least, 0);
	if (!next_optimum(w))
		return;
	for (size_t j = 0; j < w->m->ncols; j++) {
		glp_set_obj_coef(p, (int)j + 1, 0);
		w->low[j] = (double)INFINITY;
		w->high[j] = -(double)INFINITY;
	}
	for (size_t j = 0; j < w->m->ncols && !w->none; j++) {
		const struct solve_column_def *c = &w->m->cols[j];
		if (!c->whole || c->lo >= c->hi || (w->r.o->stop && *w->r.o->stop))
			continue;
		narrow_side(w, j, true);
		narrow_side(w, j, false);
	}
}

bool solve_narrow(struct solve *m, double least, const struct solve_options *o, double *bound)
{
	struct solution s = { 0 };
	struct solve_options relaxed = *o;
	relaxed.relaxed = true;
	struct narrowing w = {
		.r = { .m = m, .o = &relaxed, .s = &s }, .m = m, .least = least, .bound = least
	};
	*bound = least;
	if (!isfinite(least) || m->nentries == 0 || !options_ok(o, &s) || !columns_ok(m, &s) ||
	    !rows_ok(m, &s) || crossed(m))
		return true;
	sort_entries(&w.r);
	w.r.cols = mem_alloc(m->ncols + 1, sizeof *w.r.cols);
	w.r.values = mem_alloc(m->ncols + 1, sizeof *w.r.values);
	w.low = mem_alloc(m->ncols + 1, sizeof *w.low);
	w.high = mem_alloc(m->ncols + 1, sizeof *w.high);
	if (entries_once(&w.r, &s)) {
		glp_term_hook(swallow, NULL);
		glp_error_hook(jump, &w.r);
		if (setjmp(w.r.fault) == 0) {
			hand_over(&w.r);
			narrow_all(&w);
		}
		glp_free_env();
	}
	mem_free(w.r.cols);
	mem_free(w.r.values);
	mem_free(w.r.entries);
	mem_free(w.r.starts);
	mem_free(w.low);
	mem_free(w.high);
	*bound = w.bound;
	return !w.none;
}

void solution_release(struct solution *s)
{
	mem_free(s->x);
	s->x = NULL;
}

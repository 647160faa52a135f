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
#include "solve/cut.h"

#include <glpk.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>

enum { FEW_NODES = 100 };
#define WHOLE_GUARD 1e-3 /* of a linear optimum, before it is made whole */

/* ---- handing over ---- */

static int kind_of_limits(double lo, double hi)
{
	if (lo <= -SOLVE_INF)
		return hi >= SOLVE_INF ? GLP_FR : GLP_UP;
	if (hi >= SOLVE_INF)
		return GLP_LO;
	return lo == hi ? GLP_FX : GLP_DB;
}

/* Column by column: the library goes along columns far more often than along rows, and
 * keeps them in memory as they come. */
static void hand_over_entries(struct run *r)
{
	const struct solve *m = r->m;
	size_t *at = mem_alloc(m->ncols + 2, sizeof *at);
	for (size_t k = 0; k < m->nentries; k++)
		at[r->entries[k].col + 1]++;
	for (size_t j = 1; j <= m->ncols; j++)
		at[j] += at[j - 1];
	for (size_t k = 0; k < m->nentries; k++) {
		const struct solve_entry_def *e = &r->entries[k];
		size_t to = ++at[e->col];
		r->rows[to] = e->row + 1;
		r->cols[to] = e->col + 1;
		r->values[to] = e->value;
	}
	mem_free(at);
	glp_load_matrix(r->p, (int)m->nentries, r->rows, r->cols, r->values);
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
		if (c->whole && (!r->o->relaxed || r->root) && !r->fixed)
			glp_set_col_kind(p, (int)j + 1, GLP_IV);
	}
	if (m->nrows > 0)
		glp_add_rows(p, (int)m->nrows);
	for (size_t i = 0; i < m->nrows; i++) {
		const struct solve_row_def *row = &m->rows[i];
		glp_set_row_bnds(p, (int)i + 1, kind_of_limits(row->lo, row->hi), row->lo, row->hi);
	}
	hand_over_entries(r);
}

static int milliseconds(const struct solve_options *o)
{
	int seconds = o->seconds ? o->seconds : SOLVE_SECONDS;
	return seconds > INT_MAX / 1000 ? INT_MAX - 1 : seconds * 1000;
}

static void take_columns(struct run *r)
{
	for (size_t j = 0; j < r->m->ncols; j++)
		r->x[j] = glp_get_col_prim(r->p, (int)j + 1);
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
	if (r->o->primal && !r->plain) {
		how.meth = GLP_PRIMAL;
		how.presolve = GLP_OFF;
		glp_scale_prob(r->p, GLP_SF_AUTO);
		glp_adv_basis(r->p, 0);
	}
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
	if (r->outcome != SOLVE_OPTIMAL)
		return;
	take_columns(r);
	for (size_t j = 0; j < r->m->ncols && r->s->price; j++)
		r->s->price[j] = glp_get_col_dual(r->p, (int)j + 1);
}

/* ---- the root: cuts, and a way down ---- */

enum { DIVES_MOST = 2000, AGAIN_LEAST = 500 };
#define CUT_SLACK  1e-8 /* of its right side, for what is rounded */
#define ROUND_GAIN 1e-5 /* of the value: less ends the rounds */
#define WHOLE_NEAR 1e-6

struct root { /* outlives a longjmp, so that all is given back */
	struct cuts cuts;
	int *rows;
	bool *gone;
	double *rho;
	struct split {
		int col;
		double off;
	} * splits;
};

static void open_root(struct run *r)
{
	struct root *w = r->root;
	size_t most = (size_t)r->way.rounds * CUTS_ROUND, rows = r->m->nrows + most;
	cuts_open(&w->cuts, r, most);
	w->rows = mem_alloc(most + 1, sizeof *w->rows);
	w->gone = mem_alloc(rows + 1, sizeof *w->gone);
	w->rho = mem_alloc(rows + 1, sizeof *w->rho);
	w->splits = mem_alloc(r->m->ncols + 1, sizeof *w->splits);
}

static void close_root(struct root *w)
{
	cuts_close(&w->cuts);
	mem_free(w->rows);
	mem_free(w->gone);
	mem_free(w->rho);
	mem_free(w->splits);
}

static bool stopped(const struct run *r)
{
	return r->o->stop && *r->o->stop;
}

/* From the basis that is there. */
static enum outcome again(struct run *r)
{
	glp_smcp how;
	glp_init_smcp(&how);
	how.msg_lev = GLP_MSG_OFF;
	how.tm_lim = milliseconds(r->o);
	how.meth = GLP_DUALP;
	/* It has been seen to go round in circles. */
	how.it_lim = AGAIN_LEAST + glp_get_num_rows(r->p);
	if (glp_simplex(r->p, &how) != 0)
		return SOLVE_NOTHING;
	int status = glp_get_status(r->p);
	return status == GLP_OPT      ? SOLVE_OPTIMAL
	       : status == GLP_NOFEAS ? SOLVE_INFEASIBLE
				      : SOLVE_NOTHING;
}

static enum standing standing_of(int status)
{
	return status == GLP_BS   ? STANDS_WITHIN
	       : status == GLP_NL ? STANDS_LOW
	       : status == GLP_NU ? STANDS_HIGH
	       : status == GLP_NS ? STANDS_HELD
				  : STANDS_FREE;
}

static void look(struct run *r)
{
	struct cuts *c = &r->root->cuts;
	for (size_t i = 0; i < c->nrows; i++)
		c->row[i] = (struct stand){ standing_of(glp_get_row_stat(r->p, (int)i + 1)),
					    glp_get_row_lb(r->p, (int)i + 1),
					    glp_get_row_ub(r->p, (int)i + 1) };
	for (size_t j = 0; j < r->m->ncols; j++) {
		c->col[j] = (struct stand){ standing_of(glp_get_col_stat(r->p, (int)j + 1)),
					    r->m->cols[j].lo, r->m->cols[j].hi };
		c->x[j] = glp_get_col_prim(r->p, (int)j + 1);
	}
}

static void add_cuts(struct run *r)
{
	struct cuts *c = &r->root->cuts;
	for (size_t i = 0; i < c->nfound; i++) {
		const struct cut *cut = &c->found[i];
		int row = glp_add_rows(r->p, 1);
		for (int k = 0; k < cut->n; k++) {
			r->cols[k + 1] = c->entries.cols[cut->first + (size_t)k] + 1;
			r->values[k + 1] = c->entries.values[cut->first + (size_t)k];
		}
		glp_set_mat_row(r->p, row, cut->n, r->cols, r->values);
		glp_set_row_bnds(r->p, row, GLP_LO,
				 cut->least - CUT_SLACK * fmax(1, fabs(cut->least)), 0);
		glp_set_row_stat(r->p, row, GLP_BS);
	}
	cuts_add(c);
}

/* From the rows of the basis that are split most; the number of cuts. */
static size_t find_cuts(struct run *r)
{
	struct cuts *c = &r->root->cuts;
	look(r);
	for (size_t j = 0; j < r->m->ncols && !stopped(r); j++) {
		if (!cuts_wanted(c, j))
			continue;
		memset(r->root->rho, 0, (c->nrows + 1) * sizeof *r->root->rho);
		r->root->rho[glp_get_col_bind(r->p, (int)j + 1)] = 1;
		glp_btran(r->p, r->root->rho);
		cuts_find(c, j, r->root->rho + 1);
	}
	cuts_choose(c);
	return c->nfound;
}

/* Those that hold nothing back any more. */
static void drop_cuts(struct run *r)
{
	struct root *w = r->root;
	int n = 0;
	for (size_t i = r->m->nrows; i < w->cuts.nrows; i++) {
		w->gone[i] = glp_get_row_stat(r->p, (int)i + 1) == GLP_BS;
		if (w->gone[i])
			w->rows[++n] = (int)i + 1;
	}
	if (n == 0)
		return;
	glp_del_rows(r->p, n, w->rows);
	cuts_drop(&w->cuts, w->gone);
}

/* False: what the library says now is not to be trusted. */
static bool cut_on(struct run *r)
{
	if (again(r) != SOLVE_OPTIMAL)
		return false;
	for (int i = 0; i < r->way.rounds && !stopped(r); i++) {
		double was = r->bound;
		if (find_cuts(r) == 0)
			break;
		add_cuts(r);
		r->outcome = again(r);
		if (r->outcome != SOLVE_OPTIMAL) /* no whole answer at all, or no matter */
			return false;
		r->bound = fmin(was, glp_get_obj_val(r->p));
		drop_cuts(r);
		if (glp_factorize(r->p) != 0)
			return false;
		if (was - r->bound < ROUND_GAIN * fabs(r->bound))
			break;
	}
	return true;
}

static int nearest(const void *a, const void *b)
{
	const struct split *x = a, *y = b;
	return x->off != y->off ? (x->off > y->off ? 1 : -1) : x->col - y->col;
}

static int list_splits(struct run *r)
{
	int n = 0;
	for (size_t j = 0; j < r->way.whole; j++) {
		double x = glp_get_col_prim(r->p, (int)j + 1), off = fabs(x - round(x));
		if (r->m->cols[j].whole && off > WHOLE_NEAR)
			r->root->splits[n++] = (struct split){ (int)j, off };
	}
	qsort(r->root->splits, (size_t)n, sizeof *r->root->splits, nearest);
	return n;
}

static void hold_at(struct run *r, int col, double x)
{
	glp_set_col_bnds(r->p, col + 1, GLP_FX, x, x);
}

static void set_free(struct run *r, int col)
{
	const struct solve_column_def *c = &r->m->cols[col];
	glp_set_col_bnds(r->p, col + 1, kind_of_limits(c->lo, c->hi), c->lo, c->hi);
}

static size_t wishes_most(const struct run *r)
{
	return 1 + (r->way.every > 0 ? (size_t)r->way.times : 1);
}

static void keep_wish(struct run *r)
{
	take_columns(r);
	memcpy(solve_wish(r, r->s->nwishes++), r->x, r->m->ncols * sizeof *r->x);
}

/* The nearest to whole are made so, fewer of them where that cannot be; where not even the
 * first can, it goes the other way. */
static enum outcome step_down(struct run *r, int hold)
{
	const struct split *s = r->root->splits;
	double first = glp_get_col_prim(r->p, s[0].col + 1), near = round(first);
	double *whole = r->values; /* free while no cut is added */
	enum outcome o = SOLVE_INFEASIBLE;
	for (int k = 0; k < hold; k++)
		whole[k] = round(glp_get_col_prim(r->p, s[k].col + 1));
	for (; hold > 0 && o == SOLVE_INFEASIBLE; hold /= 2) {
		for (int k = 0; k < hold; k++)
			hold_at(r, s[k].col, whole[k]);
		o = again(r);
		for (int k = 0; k < hold && o == SOLVE_INFEASIBLE; k++)
			set_free(r, s[k].col);
	}
	if (o != SOLVE_INFEASIBLE)
		return o;
	hold_at(r, s[0].col, near > first ? near - 1 : near + 1);
	return again(r);
}

static void dive(struct run *r)
{
	int every = r->way.every;
	for (int n, i = 1; (n = list_splits(r)) > 0; i++) {
		if (i == DIVES_MOST || stopped(r) ||
		    step_down(r, (n + r->way.part - 1) / r->way.part) != SOLVE_OPTIMAL)
			return;
		if (every > 0 && i % every == 0)
			keep_wish(r);
		if (r->s->nwishes == wishes_most(r))
			return;
	}
	keep_wish(r);
}

static void run_root(struct run *r)
{
	run_linear(r);
	if (r->outcome != SOLVE_OPTIMAL)
		return;
	r->bound = glp_get_obj_val(r->p);
	bool good = cut_on(r);
	if (r->outcome == SOLVE_INFEASIBLE)
		return;
	r->outcome = SOLVE_OPTIMAL; /* run_linear()'s, at least */
	if (good)
		keep_wish(r);
	if (good && r->way.whole > 0)
		dive(r);
}

/* ---- the tree ---- */

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
		/* Fewest nodes on the models of this program; but what it must learn first pays
		 * only with many of them. */
		how.br_tech = r->o->nodes > 0 && r->o->nodes <= FEW_NODES ? GLP_BR_DTH : GLP_BR_PCH;
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
		if (r->root)
			run_root(r);
		else if (way == WAY_LINEAR)
			run_linear(r);
		else
			run_whole(r);
	} else {
		r->outcome = SOLVE_NOTHING;
	}
	glp_free_env();
}

/* ---- putting it together ---- */

/* Rounding whole columns moves what the split ones must be: reckon them anew. */
static bool polish(struct run *r)
{
	const struct solve *m = r->m;
	if (r->o->relaxed || !solve_any_whole(m, false))
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
	bool good = r->outcome == SOLVE_OPTIMAL && solve_answer_holds(r);
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
	bool holds = !has_answer(r) || (r->root ? solve_wishes_hold(r) : solve_answer_holds(r));
	if (!holds && !polish(r)) {
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
		bool linear = r->o->relaxed || !solve_any_whole(r->m, true);
		bool proven = !r->root && r->outcome == SOLVE_OPTIMAL && (r->o->gap == 0 || linear);
		s->bound = proven ? r->value : fmax(r->value, r->bound);
		/* What is simplified away never comes to the tree, whose bound is then unknown;
		 * the library ends by itself only within the gap. */
		if (r->outcome == SOLVE_OPTIMAL && !proven && !r->root)
			s->bound = fmin(s->bound, r->value + r->o->gap * fabs(r->value));
		s->proven = fmin(s->proven, s->bound);
		return;
	}
	memset(s->x, 0, r->m->ncols * sizeof *s->x);
	if (r->outcome == SOLVE_UNBOUNDED)
		s->value = s->bound = (double)INFINITY;
	if (r->outcome == SOLVE_NOTHING)
		solve_say(s, SOLVE_NOTHING,
		    settled ? "The search was stopped before any answer was found."
			    : "The solver gave no answer that keeps all limits.");
}

static void open_entries(struct run *r)
{
	const struct solve *m = r->m;
	size_t most = m->nentries > m->ncols ? m->nentries : m->ncols;
	r->rows = mem_alloc(most + 1, sizeof *r->rows);
	r->cols = mem_alloc(most + 1, sizeof *r->cols);
	r->values = mem_alloc(most + 1, sizeof *r->values);
}

static void close_entries(struct run *r)
{
	mem_free(r->rows);
	mem_free(r->cols);
	mem_free(r->values);
	mem_free(r->entries);
	mem_free(r->starts);
}

static void run_all(struct run *r)
{
	const struct solve *m = r->m;
	const struct solve_options *o = r->o;
	struct solution *s = r->s;
	*s = (struct solution){ .outcome = SOLVE_NOTHING,
				.value = (double)NAN,
				.bound = (double)NAN,
				.proven = (double)INFINITY };
	if (m->ncols > INT_MAX / 2 || m->nrows > INT_MAX / 2 || !solve_options_ok(o, s) ||
	    !solve_columns_ok(m, s) || !solve_rows_ok(m, s))
		return;
	r->bound = r->proven = (double)INFINITY;
	solve_sort_entries(r);
	if (solve_entries_once(r, s)) {
		s->x = r->x = mem_alloc(m->ncols + 1, sizeof *s->x);
		if (r->root)
			s->wishes = mem_alloc(wishes_most(r) * (m->ncols + 1), sizeof *s->wishes);
		else if (o->relaxed)
			s->price = mem_alloc(m->ncols + 1, sizeof *s->price);
		open_entries(r);
		if (r->root)
			open_root(r);
		bool settled = true;
		if (solve_trivial(r)) {
			r->value = r->outcome == SOLVE_OPTIMAL ? solve_add_up(r) : 0;
			r->bound = r->value;
			if (s->wishes)
				memcpy(solve_wish(r, s->nwishes++), r->x, m->ncols * sizeof *r->x);
			for (size_t j = 0; j < m->ncols && s->price; j++)
				s->price[j] = m->cols[j].gain;
		} else if (o->relaxed || !solve_any_whole(m, true)) {
			settled = try_way(r, WAY_LINEAR);
		} else {
			settled = try_way(r, o->plain ? WAY_PLAIN : WAY_USUAL);
			if (!settled && !o->plain)
				settled = try_way(r, WAY_PLAIN);
		}
		conclude(r, settled);
	}
	close_entries(r);
}

void solve_run(const struct solve *m, const struct solve_options *o, struct solution *s)
{
	run_all(&(struct run){ .m = m, .o = o, .s = s });
}

void solve_root(const struct solve *m, const struct solve_options *o, const struct solve_way *way,
		struct solution *s)
{
	struct root root = { 0 };
	struct solve_options relaxed = *o;
	struct run r = { .m = m, .o = &relaxed, .s = s, .root = &root, .way = *way };
	relaxed.relaxed = true;
	r.way.part = way->part > 0 ? way->part : 1;
	if (way->whole > m->ncols)
		r.way.whole = m->ncols;
	run_all(&r);
	close_root(&root);
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
	if (!isfinite(least) || m->nentries == 0 || !solve_options_ok(o, &s) || !solve_columns_ok(m, &s) ||
	    !solve_rows_ok(m, &s) || solve_crossed(m))
		return true;
	solve_sort_entries(&w.r);
	open_entries(&w.r);
	w.low = mem_alloc(m->ncols + 1, sizeof *w.low);
	w.high = mem_alloc(m->ncols + 1, sizeof *w.high);
	if (solve_entries_once(&w.r, &s)) {
		glp_term_hook(swallow, NULL);
		glp_error_hook(jump, &w.r);
		if (setjmp(w.r.fault) == 0) {
			hand_over(&w.r);
			narrow_all(&w);
		}
		glp_free_env();
	}
	close_entries(&w.r);
	mem_free(w.low);
	mem_free(w.high);
	*bound = w.bound;
	return !w.none;
}

void solution_release(struct solution *s)
{
	mem_free(s->x);
	mem_free(s->price);
	mem_free(s->wishes);
	s->x = s->price = s->wishes = NULL;
}

/* mix_solve.c - a mix handed to solve/, and plans made of its answers.
 *
 * Of a crop whose stems simply add up, what is wanted of every set of pools that hang
 * together must be there (Hall, "On representatives of subsets", J. London Math. Soc.
 * 10, 1935, from memory): a few rows instead of a column for each way through.  What is
 * slack in any case gets no row at all. */
#include "reckon/mix_model.h"

#include <math.h>

#include "solve/solve.h"

enum { SETS_MOST = 48 };

struct term { /* makings as base + column */
	int64_t base, hi;
	int col;
};
struct emit {
	struct mixing *x;
	struct solve m;
	double *sum;            /* of the row in hand, per column */
	unsigned char *in;
	int *touched;
	size_t ntouched, cap_cols;
	double constant;
	int *n, *days;          /* per sale, stall */
	struct term *makers, *variants;
	struct term *draws;     /* per variant, crops: whole stems */
	double *draw_by;        /* stems = base + by x col */
	int *short_bucket, *short_shelf, short_hours;
	const int64_t *demand;  /* one room by itself: what is wanted, per bucket; else NULL */
	int *aside;             /* of that room: flows, bucket x pool */
	size_t *wanted, *wanted_first, *wanted_n; /* variants by bucket */
	struct setting_col {
		size_t maker, setting;
		int col;
	} *setting_cols;
	size_t nsettings;
	bool exact;             /* whole stems of each need; else as if they could be split */
	bool elastic;
	bool count_orders;      /* as many of the orders' pieces as can be */
	size_t ndraws;
};

/* ---- rows ---- */

static int column(struct emit *e, double lo, double hi, double gain, bool whole)
{
	int c = solve_column(&e->m, lo, hi < lo ? lo : hi, gain, whole);
	if ((size_t)c >= e->cap_cols) {
		size_t cap = e->cap_cols ? 2 * e->cap_cols : 256;
		e->sum = mem_grow(e->sum, cap, sizeof *e->sum);
		e->in = mem_grow(e->in, cap, sizeof *e->in);
		e->touched = mem_grow(e->touched, cap, sizeof *e->touched);
		memset(e->in + e->cap_cols, 0, cap - e->cap_cols);
		e->cap_cols = cap;
	}
	return c;
}

static void row_add(struct emit *e, int col, double by)
{
	if (!e->in[col]) {
		e->in[col] = 1;
		e->sum[col] = 0;
		e->touched[e->ntouched++] = col;
	}
	e->sum[col] += by;
}

static void row_term(struct emit *e, const struct term *t, double by)
{
	e->constant += by * (double)t->base;
	if (t->col >= 0)
		row_add(e, t->col, by);
}

static void row_end(struct emit *e, double lo, double hi)
{
	double k = e->constant;
	int row = e->ntouched ? solve_row(&e->m, lo <= -SOLVE_INF ? lo : lo - k, hi >= SOLVE_INF ? hi : hi - k)
	                      : -1;
	for (size_t i = 0; i < e->ntouched; i++) {
		solve_entry(&e->m, row, e->touched[i], e->sum[e->touched[i]]);
		e->in[e->touched[i]] = 0;
	}
	if (row < 0 && (k < lo - 1e-9 || k > hi + 1e-9)) { /* nothing to choose, and it fails */
		int none = column(e, 0, 0, 0, false);
		solve_entry(&e->m, solve_row(&e->m, 1, 1), none, 1);
	}
	e->ntouched = 0;
	e->constant = 0;
}

static void gain(struct emit *e, const struct term *t, double by)
{
	if (t->col >= 0 && !e->elastic && !e->count_orders)
		e->m.cols[t->col].gain += by;
}

static double plain(const struct emit *e, double money)
{
	return e->elastic || e->count_orders ? 0 : money;
}

/* ---- sales and makers ---- */

/* The steps of a curve, each no wider than on so many days, and their sum. */
static void emit_curve(struct emit *e, const struct sale *s, int n)
{
	int first = (int)e->m.ncols, last = first;
	/* No step need be wider than what the stock allows on all days. */
	int64_t sure = plenty_times(s->upto, s->parts) < s->likely ? s->upto * s->parts : s->likely;
	for (size_t k = s->likely > 0 ? 0 : 1; k < s->nsteps; k++)
		last = column(e, 0, k == 0 ? (double)sure : 1,
		              plain(e, money_of((wide)s->gain[k] * s->parts)), false);
	if ((size_t)first == e->m.ncols)
		return;
	for (int c = first; c <= last; c++) {
		if (s->stall == NONE)
			continue;
		row_add(e, c, (double)s->parts);
		row_add(e, e->days[s->stall], -e->m.cols[c].hi);
		row_end(e, -SOLVE_INF, 0);
	}
	for (int c = first; c <= last; c++)
		row_add(e, c, 1);
	row_add(e, n, -1);
	row_end(e, 0, 0);
}

static void emit_sales(struct emit *e)
{
	const struct mixing *x = e->x;
	for (size_t i = 0; i < x->nstalls; i++)
		e->days[i] = column(e, 0, (double)x->stalls[i].days,
		                    plain(e, -money_of(x->stalls[i].cost)), true);
	for (size_t i = 0; i < x->nsales; i++) {
		const struct sale *s = &x->sales[i];
		bool straight = s->stall == NONE && s->upto <= s->likely;
		double each = straight ? plain(e, money_of((wide)s->gain[0] * s->parts)) : 0;
		e->n[i] = column(e, 0, e->count_orders || e->elastic ? 0 : (double)s->upto, each, true);
		if (!straight)
			emit_curve(e, s, e->n[i]);
	}
}

/* Finished pieces are sold before others are made. */
static void emit_piece(struct emit *e, size_t index)
{
	const struct mixing *x = e->x;
	const struct maker *m = &x->p.makers[index];
	const struct labour *w = &x->works[index];
	struct term *t = &e->makers[index];
	*t = (struct term){ m->fixed, m->fixed, -1 };
	if (e->count_orders) {
		*t = (struct term){ 0, m->fixed, column(e, 0, (double)m->fixed, 1, true) };
		return;
	}
	if (w->nsales == 0 || e->elastic)
		return;
	int64_t finished = x->finished[m->item.index], most = 0;
	for (size_t i = 0; i < w->nsales; i++)
		most = plenty_add(most, x->sales[w->sales[i]].upto);
	t->hi = m->fixed + most;
	if (finished == 0 && w->nsales == 1) {
		t->col = e->n[w->sales[0]];
		return;
	}
	if (t->hi > m->cap && m->cap >= m->fixed)
		t->hi = m->cap;
	t->col = column(e, 0, (double)(t->hi - m->fixed), 0, false);
	row_add(e, t->col, 1);
	for (size_t i = 0; i < w->nsales; i++)
		row_add(e, e->n[w->sales[i]], -1);
	if (finished > 0)
		row_end(e, -(double)finished, SOLVE_INF);
	else
		row_end(e, 0, 0);
}

static int64_t part_most(const struct emit *e, size_t index)
{
	const struct program *p = &e->x->p;
	const struct maker *m = &p->makers[index];
	const struct batch_of *b = &p->batches[p->batch_of[m->item.index]];
	int64_t gross = 0;
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		if (v->kind == KIND_PART && &p->batches[v->where] == b)
			gross = plenty_add(gross, plenty_times(e->variants[i].hi, v->scaled));
	}
	int64_t most = gross / b->makes + (gross % b->makes != 0);
	return most < m->cap ? most : m->cap;
}

static void emit_need(struct emit *e, size_t index, size_t first, size_t n)
{
	const struct program *p = &e->x->p;
	const struct term *made = &e->makers[index];
	size_t usable = 0, only = first;
	for (size_t k = first; k < first + n; k++)
		if (p->variants[k].cap > 0) {
			usable++;
			only = k;
		}
	for (size_t k = first; k < first + n; k++) {
		int64_t cap = p->variants[k].cap, hi = cap < made->hi ? cap : made->hi;
		if (n == 1 || (usable == 1 && k == only)) {
			e->variants[k] = *made;
			continue;
		}
		e->variants[k] = (struct term){ 0, hi, -1 };
		if (cap == 0)
			continue;
		if (usable > 1)
			e->variants[k].col = column(e, 0, (double)hi, 0, true);
		if (e->variants[k].col >= 0)
			row_add(e, e->variants[k].col, 1);
	}
	if (n > 1 && usable != 1) {
		row_term(e, made, -1);
		row_end(e, 0, 0);
	}
}

static void emit_settings(struct emit *e, size_t index)
{
	const struct labour *w = &e->x->works[index];
	const struct term *made = &e->makers[index];
	gain(e, made, -money_of(w->cost));
	for (size_t i = 0; i < w->nsettings; i++) {
		const struct setting *s = &w->settings[i];
		if (s->cost == 0 && (s->ms == 0 || !w->timed))
			continue;
		int z = column(e, (double)((made->base + s->k - 1) / s->k), (double)((made->hi + s->k - 1) / s->k),
		               plain(e, -money_of(s->cost)), made->col >= 0);
		if (made->col < 0)
			e->m.cols[z].hi = e->m.cols[z].lo;
		row_add(e, z, (double)s->k);
		row_term(e, made, -1);
		row_end(e, 0, SOLVE_INF);
		e->setting_cols[e->nsettings++] = (struct setting_col){ index, i, z };
	}
}

static void emit_makers(struct emit *e)
{
	struct program *p = &e->x->p;
	for (size_t i = 0; i < p->nmakers; i++) {
		const struct maker *m = &p->makers[i];
		if (m->item.kind == KIND_PIECE) {
			emit_piece(e, i);
		} else {
			int64_t most = part_most(e, i);
			e->makers[i] = (struct term){ 0, most, column(e, 0, (double)most, 0, true) };
		}
		if (m->impossible) {
			row_term(e, &e->makers[i], 1);
			row_end(e, -SOLVE_INF, 0);
		}
		for (size_t k = m->first, next; k < m->first + m->nvariants; k = next) {
			for (next = k; next < m->first + m->nvariants &&
			               p->variants[next].need == p->variants[k].need;)
				next++;
			emit_need(e, i, k, next - k);
		}
		emit_settings(e, i);
	}
}

/* ---- stems ---- */

/* Whole stems of a need over its makings.  Where that is no multiple it gets a column
 * of its own, or, in the looser program, counts as if stems could be split. */
static void emit_draw(struct emit *e, size_t index)
{
	const struct variant *v = &e->x->p.variants[index];
	const struct term *t = &e->variants[index];
	struct rat f = fraction_above(v->stems, t->hi > 0 ? t->hi : 1);
	e->draws[index] = (struct term){ 0, times_up(t->hi, v->stems), t->col };
	if (t->col < 0) {
		e->draws[index].base = times_up(t->base, v->stems);
		e->draw_by[index] = 0;
	} else if (f.den == 1) {
		e->draws[index].base = t->base * f.num;
		e->draw_by[index] = (double)f.num;
	} else if (!e->exact) {
		e->draws[index].base = times_down(t->base, v->stems);
		e->draw_by[index] = rat_double(v->stems);
	} else {
		int w = column(e, (double)times_up(t->base, v->stems), (double)e->draws[index].hi, 0, true);
		e->ndraws++;
		row_add(e, w, (double)f.den);
		row_term(e, t, -(double)f.num);
		row_end(e, 0, SOLVE_INF);
		e->draws[index].col = w;
		e->draw_by[index] = 1;
	}
}

/* All that is wanted of the bucket. */
static void row_demand(struct emit *e, size_t bucket, double by)
{
	if (e->demand) {
		e->constant += by * (double)e->demand[bucket];
		return;
	}
	for (size_t i = 0; i < e->wanted_n[bucket]; i++) {
		size_t v = e->wanted[e->wanted_first[bucket] + i];
		e->constant += by * (double)e->draws[v].base;
		if (e->draws[v].col >= 0)
			row_add(e, e->draws[v].col, by * e->draw_by[v]);
	}
}

static int64_t demand_most(const struct emit *e, size_t bucket)
{
	int64_t sum = 0;
	if (e->demand)
		return e->demand[bucket];
	for (size_t i = 0; i < e->wanted_n[bucket]; i++)
		sum = plenty_add(sum, e->draws[e->wanted[e->wanted_first[bucket] + i]].hi);
	return sum;
}

static void list_wants(struct emit *e)
{
	const struct program *p = &e->x->p;
	for (int pass = 0; pass < 2; pass++) {
		for (size_t i = 0; i < p->nvariants; i++) {
			const struct variant *v = &p->variants[i];
			if (v->kind != KIND_CROP || v->where == NONE ||
			    (e->variants[i].col < 0 && e->variants[i].base == 0))
				continue;
			if (pass == 1)
				e->wanted[e->wanted_first[v->where] + e->wanted_n[v->where]] = i;
			else
				emit_draw(e, i);
			e->wanted_n[v->where]++;
		}
		for (size_t b = 0, at = 0; b < p->nbuckets && pass == 0; b++) {
			e->wanted_first[b] = at;
			at += e->wanted_n[b];
			e->wanted_n[b] = 0;
		}
	}
}

/* Sets of pools that hang together, each a row: what is wanted of it alone is there. */
struct sets {
	unsigned char *fits;    /* set x pool */
	size_t n;
	bool many;
};

static bool same_set(const unsigned char *a, const unsigned char *b, size_t n)
{
	return memcmp(a, b, n) == 0;
}

static void add_set(struct sets *s, const unsigned char *set, size_t np)
{
	for (size_t i = 0; i < s->n; i++)
		if (same_set(s->fits + i * np, set, np))
			return;
	if (s->n == SETS_MOST) {
		s->many = true;
		return;
	}
	memcpy(s->fits + s->n++ * np, set, np);
}

static bool meet(const unsigned char *a, const unsigned char *b, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if (a[i] && b[i])
			return true;
	return false;
}

static struct sets find_sets(struct emit *e, const struct cellar *c)
{
	size_t np = c->npools;
	struct sets s = { .fits = ARENA_ARRAY(e->x->a, (SETS_MOST + 1) * np + 1, unsigned char) };
	unsigned char *both = ARENA_ARRAY(e->x->a, np + 1, unsigned char);
	for (size_t b = 0; b < c->nbuckets; b++)
		if (e->wanted_n[c->buckets[b]] > 0)
			add_set(&s, c->fits + b * np, np);
	for (size_t i = 0; i < s.n && !s.many; i++)
		for (size_t k = 0; k < i && !s.many; k++) {
			if (!meet(s.fits + i * np, s.fits + k * np, np))
				continue;
			for (size_t j = 0; j < np; j++)
				both[j] = s.fits[i * np + j] | s.fits[k * np + j];
			add_set(&s, both, np);
		}
	return s;
}

static bool within(const unsigned char *inner, const unsigned char *outer, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if (inner[i] && !outer[i])
			return false;
	return true;
}

static void set_row(struct emit *e, const struct cellar *c, const unsigned char *set)
{
	int64_t cap = 0, most = 0;
	size_t np = c->npools;
	for (size_t k = 0; k < np; k++)
		if (set[k])
			cap = plenty_add(cap, c->pools[k].cap);
	if (cap > c->usable)
		cap = c->usable;
	for (size_t b = 0; b < c->nbuckets; b++)
		if (within(c->fits + b * np, set, np))
			most = plenty_add(most, demand_most(e, c->buckets[b]));
	if (most <= cap)
		return;
	for (size_t b = 0; b < c->nbuckets; b++)
		if (within(c->fits + b * np, set, np))
			row_demand(e, c->buckets[b], 1);
	row_end(e, -SOLVE_INF, (double)cap);
}

/* A column for each way through: where stems carry a value, or may be short. */
static void emit_flows(struct emit *e, const struct cellar *c)
{
	size_t np = c->npools;
	int *f = ARENA_ARRAY(e->x->a, c->nbuckets * np + 1, int);
	for (size_t b = 0; b < c->nbuckets; b++) {
		int64_t most = demand_most(e, c->buckets[b]);
		if (most == 0)
			continue;
		for (size_t k = 0; k < np; k++)
			if (c->fits[b * np + k]) {
				int64_t hi = most < c->pools[k].cap ? most : c->pools[k].cap;
				f[b * np + k] = column(e, 0, (double)hi, plain(e, -money_of(c->pools[k].carry)), false);
				row_add(e, f[b * np + k], 1);
			}
		if (e->elastic) {
			e->short_bucket[c->buckets[b]] = column(e, 0, (double)most, -1, false);
			row_add(e, e->short_bucket[c->buckets[b]], 1);
		}
		row_demand(e, c->buckets[b], -1);
		row_end(e, 0, SOLVE_INF);
	}
	for (size_t k = 0; k < np; k++) {
		for (size_t b = 0; b < c->nbuckets; b++)
			if (c->fits[b * np + k] && demand_most(e, c->buckets[b]) > 0)
				row_add(e, f[b * np + k], 1);
		row_end(e, -SOLVE_INF, (double)c->pools[k].cap);
	}
	for (size_t k = 0; k < c->nbuckets * np; k++)
		if (c->fits[k] && demand_most(e, c->buckets[k / np]) > 0)
			row_add(e, f[k], 1);
	row_end(e, -SOLVE_INF, (double)c->usable);
}

/* Stems set aside by day: those used and those lost by then, as in reach_solve.c. */
static void emit_aside(struct emit *e, size_t room)
{
	const struct cellar *c = &e->x->cellars[room];
	const struct room *r = &e->x->p.rooms[room];
	const struct bucket *buckets = e->x->p.buckets;
	size_t np = c->npools, nd = e->x->q.ndays;
	int *f = e->aside = ARENA_ARRAY(e->x->a, c->nbuckets * np + 1, int), *lost = ARENA_ARRAY(e->x->a, np * nd + 1, int);
	for (size_t b = 0; b < c->nbuckets; b++) {
		int64_t most = demand_most(e, c->buckets[b]);
		for (size_t k = 0; k < np && most > 0; k++)
			if (c->fits[b * np + k]) {
				const struct stems *s = &r->classes[c->pools[k].lead];
				int64_t can = times_down(s->counted, s->keep[buckets[c->buckets[b]].day]);
				f[b * np + k] = column(e, 0, (double)(most < can ? most : can),
				                       plain(e, -money_of(c->pools[k].carry)), e->exact);
				row_add(e, f[b * np + k], 1);
			} else {
				f[b * np + k] = -1;
			}
		for (size_t k = 0; k < np && most == 0; k++)
			f[b * np + k] = -1;
		if (e->elastic && most > 0) {
			e->short_bucket[c->buckets[b]] = column(e, 0, (double)most, -1, false);
			row_add(e, e->short_bucket[c->buckets[b]], 1);
		}
		row_demand(e, c->buckets[b], -1);
		row_end(e, 0, SOLVE_INF);
	}
	for (size_t k = 0; k < np; k++) {
		const struct stems *s = &r->classes[c->pools[k].lead];
		for (size_t d = 0; d < nd; d++) {
			struct rat keep = s->keep[d];
			lost[k * nd + d] = -1;
			for (size_t b = 0; b < c->nbuckets; b++)
				if (buckets[c->buckets[b]].day == d && f[b * np + k] >= 0)
					row_add(e, f[b * np + k], (double)(keep.den - keep.num));
			if (e->ntouched > 0 && keep.den != keep.num && keep.num > 0) {
				lost[k * nd + d] = column(e, 0, (double)s->counted, 0, e->exact);
				row_add(e, lost[k * nd + d], -(double)keep.num);
			}
			row_end(e, -SOLVE_INF, 0);
		}
	}
	for (size_t k = 0; k <= np; k++) { /* the last row is the whole crop's */
		for (size_t i = k < np ? k : 0; i < (k < np ? k + 1 : np); i++) {
			for (size_t b = 0; b < c->nbuckets; b++)
				if (f[b * np + i] >= 0)
					row_add(e, f[b * np + i], 1);
			for (size_t d = 0; d < nd; d++)
				if (lost[i * nd + d] >= 0)
					row_add(e, lost[i * nd + d], 1);
		}
		row_end(e, -SOLVE_INF, (double)(k < np ? r->classes[c->pools[k].lead].counted : c->usable));
	}
}

static void emit_cellar(struct emit *e, size_t room)
{
	const struct cellar *c = &e->x->cellars[room];
	if (!c->simple) {
		emit_aside(e, room);
		return;
	}
	struct sets s = { 0 };
	bool flows = c->carries || e->elastic;
	if (!flows) {
		s = find_sets(e, c);
		flows = s.many;
	}
	if (flows) {
		emit_flows(e, c);
		return;
	}
	for (size_t i = 0; i < s.n; i++)
		set_row(e, c, s.fits + i * c->npools);
	int64_t all = 0, most = 0;
	for (size_t k = 0; k < c->npools; k++)
		all = plenty_add(all, c->pools[k].cap);
	for (size_t b = 0; b < c->nbuckets; b++)
		most = plenty_add(most, demand_most(e, c->buckets[b]));
	if (all <= c->usable || most <= c->usable)
		return;
	for (size_t b = 0; b < c->nbuckets; b++)
		row_demand(e, c->buckets[b], 1);
	row_end(e, -SOLVE_INF, (double)c->usable);
}

/* ---- parts, supplies, hours ---- */

/* What the variants take of the part from one day to another. */
static void row_parts(struct emit *e, size_t index, uint32_t from, uint32_t to)
{
	const struct program *p = &e->x->p;
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		uint32_t d = p->makers[v->maker].day;
		if (v->kind == KIND_PART && v->where == index && d >= from && d <= to)
			row_term(e, &e->variants[i], -(double)v->scaled);
	}
}

static void emit_batch(struct emit *e, size_t index)
{
	const struct program *p = &e->x->p;
	const struct batch_of *b = &p->batches[index];
	for (uint32_t d = 0; d < p->q->ndays; d++) {
		if (b->makers[d] == NONE)
			continue;
		for (uint32_t k = 0; k <= d; k++)
			if (b->makers[k] != NONE)
				row_term(e, &e->makers[b->makers[k]], (double)b->makes);
		row_parts(e, index, 0, d);
		row_end(e, -(double)b->stock, SOLVE_INF);
		if (b->ndays == 1)
			continue;
		row_term(e, &e->makers[b->makers[d]], (double)b->makes);
		row_parts(e, index, d, d);
		row_end(e, -SOLVE_INF, (double)(b->makes - 1));
	}
}

static void emit_shelf(struct emit *e, size_t index)
{
	const struct mixing *x = e->x;
	const struct shelf *s = &x->shelves[index];
	int64_t most = 0;
	if (s->endless)
		return;
	for (size_t k = 0; k < s->nuses; k++)
		most = plenty_add(most, plenty_times(e->variants[s->uses[k]].hi, x->shelf_each[s->uses[k]]));
	if (most <= s->on_hand)
		return;
	double price = money_of(s->price);
	if (s->buy && (e->elastic || e->count_orders))
		return;
	if (s->buy && s->on_hand == 0) {
		for (size_t k = 0; k < s->nuses; k++)
			gain(e, &e->variants[s->uses[k]], -price * (double)x->shelf_each[s->uses[k]]);
		return;
	}
	for (size_t k = 0; k < s->nuses; k++)
		row_term(e, &e->variants[s->uses[k]], (double)x->shelf_each[s->uses[k]]);
	if (s->buy)
		row_add(e, column(e, 0, (double)(most - s->on_hand), -price, false), -1);
	else if (e->elastic) {
		e->short_shelf[index] = column(e, 0, (double)most, -1.0 / (double)s->scale, false);
		row_add(e, e->short_shelf[index], -1);
	}
	row_end(e, -SOLVE_INF, (double)s->on_hand);
}

static void emit_hours(struct emit *e)
{
	const struct mixing *x = e->x;
	if (!x->has_hours)
		return;
	for (size_t i = 0; i < x->p.nmakers; i++) {
		const struct labour *w = &x->works[i];
		const struct maker *m = &x->p.makers[i];
		if (!w->timed)
			continue;
		row_term(e, &e->makers[i], (double)w->ms / 1000);
		if (e->count_orders && m->fixed > 0)
			row_term(e, &e->makers[i], (double)w->packing / (double)m->fixed / 1000);
		else
			e->constant += (double)w->packing / 1000;
	}
	for (size_t i = 0; i < e->nsettings; i++) {
		const struct setting_col *z = &e->setting_cols[i];
		const struct labour *w = &x->works[z->maker];
		if (w->timed)
			row_add(e, z->col, (double)w->settings[z->setting].ms / 1000);
	}
	for (size_t i = 0; i < x->nsales; i++)
		if (x->works[x->sales[i].maker].timed)
			row_add(e, e->n[i], (double)x->sales[i].ms / 1000);
	for (size_t i = 0; i < x->nstalls; i++)
		if (x->stalls[i].ms > 0)
			row_add(e, e->days[i], (double)x->stalls[i].ms / 1000);
	if (e->elastic) {
		e->short_hours = column(e, 0, SOLVE_INF, -1.0 / 3600, false);
		row_add(e, e->short_hours, -1);
	}
	row_end(e, -SOLVE_INF, (double)x->hours / 1000);
}

static int *columns(struct arena *a, size_t n)
{
	int *c = ARENA_ARRAY(a, n + 1, int);
	for (size_t i = 0; i < n; i++)
		c[i] = -1;
	return c;
}

static void emit_start(struct emit *e, struct mixing *x)
{
	const struct program *p = &x->p;
	struct arena *a = x->a;
	size_t nsettings = 0;
	e->x = x;
	solve_init(&e->m);
	e->n = columns(a, x->nsales);
	e->days = columns(a, x->nstalls);
	e->makers = ARENA_ARRAY(a, p->nmakers + 1, struct term);
	e->variants = ARENA_ARRAY(a, p->nvariants + 1, struct term);
	e->draws = ARENA_ARRAY(a, p->nvariants + 1, struct term);
	e->draw_by = ARENA_ARRAY(a, p->nvariants + 1, double);
	e->short_bucket = columns(a, p->nbuckets);
	e->short_shelf = columns(a, x->nshelves);
	e->short_hours = -1;
	e->wanted = ARENA_ARRAY(a, p->nvariants + 1, size_t);
	e->wanted_first = ARENA_ARRAY(a, p->nbuckets + 1, size_t);
	e->wanted_n = ARENA_ARRAY(a, p->nbuckets + 1, size_t);
	for (size_t i = 0; i < p->nmakers; i++)
		nsettings += x->works[i].nsettings;
	e->setting_cols = ARENA_ARRAY(a, nsettings + 1, struct setting_col);
}

static void emit_all(struct emit *e, struct mixing *x)
{
	emit_start(e, x);
	emit_sales(e);
	emit_makers(e);
	list_wants(e);
	for (size_t i = 0; i < x->p.nrooms; i++)
		emit_cellar(e, i);
	for (size_t i = 0; i < x->p.nbatches; i++)
		emit_batch(e, i);
	for (size_t i = 0; i < x->nshelves; i++)
		emit_shelf(e, i);
	emit_hours(e);
}

static void emit_end(struct emit *e)
{
	solve_release(&e->m);
	mem_free(e->sum);
	mem_free(e->in);
	mem_free(e->touched);
}

/* ---- asking ---- */

static double term_at(const struct term *t, const double *x)
{
	return (double)t->base + (t->col >= 0 ? x[t->col] : 0);
}

static double *values(struct arena *a, const int *cols, size_t n, const double *x)
{
	double *v = ARENA_ARRAY(a, n + 1, double);
	for (size_t i = 0; i < n; i++)
		v[i] = cols[i] >= 0 ? x[cols[i]] : 0;
	return v;
}

static void take_answer(struct emit *e, const double *at, struct mix_solved *out)
{
	const struct program *p = &e->x->p;
	struct arena *a = e->x->a;
	out->n = values(a, e->n, e->x->nsales, at);
	out->days = values(a, e->days, e->x->nstalls, at);
	out->short_bucket = values(a, e->short_bucket, p->nbuckets, at);
	out->short_shelf = values(a, e->short_shelf, e->x->nshelves, at);
	out->short_hours = e->short_hours >= 0 ? at[e->short_hours] : 0;
	out->made = ARENA_ARRAY(a, p->nmakers + 1, double);
	out->got = ARENA_ARRAY(a, p->nvariants + 1, double);
	for (size_t i = 0; i < p->nmakers; i++)
		out->made[i] = term_at(&e->makers[i], at);
	for (size_t i = 0; i < p->nvariants; i++)
		out->got[i] = term_at(&e->variants[i], at);
}

static void pass_progress(void *context, double bound, long nodes)
{
	const struct mixing *x = context;
	struct mix_progress now = { x->known, bound + money_of(x->orders), nodes };
	x->options->progress(x->options->context, &now);
}

/* Money constants: what the orders sell for, and their own work and settings, which the
 * program holds as constants of its rows and columns. */
static double constant_of(const struct emit *e)
{
	const struct mixing *x = e->x;
	wide sum = x->orders;
	for (size_t i = 0; i < x->p.nmakers; i++)
		sum -= (wide)e->makers[i].base * x->works[i].cost;
	double money = money_of(sum);
	for (size_t i = 0; i < x->nshelves; i++) {
		const struct shelf *s = &x->shelves[i];
		for (size_t k = 0; k < s->nuses && s->buy && s->on_hand == 0; k++)
			money -= money_of((wide)s->price * x->shelf_each[s->uses[k]] *
			                  e->variants[s->uses[k]].base);
	}
	return money;
}

void mix_program(struct mixing *x, const struct mix_solving *how, struct mix_solved *out)
{
	struct emit e = { .exact = how->exact, .elastic = how->elastic, .count_orders = how->count_orders };
	struct solution s;
	*out = (struct mix_solved){ .proven = (double)INFINITY };
	emit_all(&e, x);
	double constant = how->elastic || how->count_orders ? 0 : constant_of(&e);
	struct solve_options o = { .gap = how->gap, .nodes = how->nodes, .relaxed = how->relaxed,
		                   .seconds = x->options->seconds, .stop = x->options->stop,
		                   .has_known = how->has_known, .known = how->known - constant };
	if (x->options->progress) {
		o.progress = pass_progress;
		o.context = x;
	}
	solve_run(&e.m, &o, &s);
	out->outcome = s.outcome;
	out->any = s.outcome == SOLVE_OPTIMAL || s.outcome == SOLVE_LIMIT;
	out->proven = s.proven + constant;
	out->value = s.value + constant;
	out->nodes = s.nodes;
	out->columns = e.m.ncols;
	out->rows = e.m.nrows;
	out->draws = e.ndraws;
	if (out->any)
		take_answer(&e, s.x, out);
	solution_release(&s);
	emit_end(&e);
}

bool mix_room(struct mixing *x, size_t room, const int64_t *demand, nano *carry, int64_t *taken)
{
	struct emit e = { .exact = true, .demand = demand };
	const struct cellar *c = &x->cellars[room];
	struct solution s;
	emit_start(&e, x);
	emit_aside(&e, room);
	solve_run(&e.m, &(struct solve_options){ .nodes = MIX_NODES, .stop = x->options->stop }, &s);
	bool ok = s.outcome == SOLVE_OPTIMAL || s.outcome == SOLVE_LIMIT;
	*carry = 0;
	for (size_t k = 0; k < c->npools && ok; k++) {
		int64_t used = 0;
		for (size_t b = 0; b < c->nbuckets; b++)
			if (e.aside[b * c->npools + k] >= 0)
				used += llround(s.x[e.aside[b * c->npools + k]]);
		*carry += used * c->pools[k].carry;
		if (taken)
			taken[k] = used;
	}
	solution_release(&s);
	emit_end(&e);
	return ok;
}

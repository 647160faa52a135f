/* mix_stems.c - a crop's stems in the program of a mix.
 *
 * Of a crop whose stems simply add up, what is wanted of every set of pools that hang
 * together must be there (Hall, "On representatives of subsets", J. London Math. Soc.
 * 10, 1935, from memory): a few rows instead of a column for each way through.  What is
 * slack in any case gets no row at all. */
#include "reckon/mix_emit.h"

#include <math.h>

enum { SETS_MOST = 48 };

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
	} else if (e->stems == STEMS_SPLIT && e->counts[v->maker].n > 0 &&
		   t->col == e->makers[v->maker].col) {
		e->draws[index].col = -1;
		e->counted[index] = 1;
	} else if (e->stems == STEMS_SPLIT) {
		e->draws[index].base = times_down(t->base, v->stems);
		e->draw_by[index] = rat_double(v->stems);
	} else {
		int w = emit_column(e, (double)times_up(t->base, v->stems),
				    (double)e->draws[index].hi, 0, true);
		e->ndraws++;
		emit_add(e, w, (double)f.den);
		emit_term(e, t, -(double)f.num);
		emit_row(e, 0, SOLVE_INF);
		e->draws[index].col = w;
		e->draw_by[index] = 1;
	}
}

/* Of each count its whole stems. */
static void draw_counts(struct emit *e, size_t index, double by)
{
	const struct variant *v = &e->x->p.variants[index];
	const struct counts *c = &e->counts[v->maker];
	for (int j = 0; j < c->n; j++)
		emit_add(e, c->first + j, by * (double)times_up(c->least + j, v->stems));
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
		if (e->counted[v])
			draw_counts(e, v, by);
		if (e->draws[v].col >= 0)
			emit_add(e, e->draws[v].col, by * e->draw_by[v]);
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

bool emit_plenty(const struct emit *e, size_t room, const struct mixing *x)
{
	const struct cellar *c = &x->cellars[room];
	int64_t *most = ARENA_ARRAY(e->x->a, x->p.nbuckets + 1, int64_t);
	nano carry;
	for (size_t b = 0; b < c->nbuckets; b++)
		if ((most[c->buckets[b]] = demand_most(e, c->buckets[b])) >= PLENTY)
			return false;
	return cellar_serves(x, room, most, false, &carry, NULL);
}

void emit_wants(struct emit *e)
{
	const struct program *p = &e->x->p;
	for (int pass = 0; pass < 2; pass++) {
		for (size_t i = 0; i < p->nvariants; i++) {
			const struct variant *v = &p->variants[i];
			const struct term *t = &e->variants[i];
			if (v->kind != KIND_CROP || v->where == NONE ||
			    (t->col < 0 && t->base == 0))
				continue;
			if (pass == 1)
				e->wanted[e->wanted_first[v->where] + e->wanted_n[v->where]] = i;
			else
				e->draws[i].hi = times_up(t->hi, v->stems);
			e->wanted_n[v->where]++;
		}
		for (size_t b = 0, at = 0; b < p->nbuckets && pass == 0; b++) {
			e->wanted_first[b] = at;
			at += e->wanted_n[b];
			e->wanted_n[b] = 0;
		}
	}
	for (size_t i = 0; i < p->nrooms; i++)
		e->slack[i] = emit_plenty(e, i, e->x);
	for (size_t b = 0; b < p->nbuckets; b++)
		for (size_t i = 0; i < e->wanted_n[b]; i++)
			if (e->ties || !e->slack[p->buckets[b].room] ||
			    e->x->cellars[p->buckets[b].room].carries)
				emit_draw(e, e->wanted[e->wanted_first[b] + i]);
}

/* Sets of pools that hang together, each a row: what is wanted of it alone is there. */
struct sets {
	unsigned char *fits; /* set x pool */
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
	emit_row(e, -SOLVE_INF, (double)cap);
}

/* The least length that the bucket's needs ask for. */
static double asks_from(const struct emit *e, size_t bucket)
{
	double from = (double)INFINITY;
	for (size_t i = 0; i < e->wanted_n[bucket]; i++) {
		const struct variant *v =
		    &e->x->p.variants[e->wanted[e->wanted_first[bucket] + i]];
		const struct maker *m = &e->x->p.makers[v->maker];
		from = fmin(from, m->needs[v->need].options[v->option].from);
	}
	return from;
}

/* A stem is cut short where a need that asks for longer ones could have had it. */
static void note_cut(struct emit *e, const struct cellar *c, size_t b, size_t pool, int col)
{
	bool longer = false;
	double from = e->ties ? asks_from(e, c->buckets[b]) : 0;
	for (size_t i = 0; i < c->nbuckets && e->ties; i++)
		longer = longer || (c->fits[i * c->npools + pool] && e->wanted_n[c->buckets[i]] &&
				    asks_from(e, c->buckets[i]) > from);
	if (!longer)
		return;
	if (e->ncut == e->cap_cut) {
		e->cap_cut = e->cap_cut ? 2 * e->cap_cut : 64;
		e->cut = mem_grow(e->cut, e->cap_cut, sizeof *e->cut);
	}
	e->cut[e->ncut++] = col;
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
				f[b * np + k] =
				    emit_column(e, 0, (double)hi,
						emit_money(e, -money_of(c->pools[k].carry)), e->ties);
				note_cut(e, c, b, k, f[b * np + k]);
				emit_add(e, f[b * np + k], 1);
			}
		if (e->elastic) {
			e->short_bucket[c->buckets[b]] = emit_column(e, 0, (double)most, -1, false);
			emit_add(e, e->short_bucket[c->buckets[b]], 1);
		}
		row_demand(e, c->buckets[b], -1);
		emit_row(e, 0, SOLVE_INF);
	}
	for (size_t k = 0; k < np; k++) {
		for (size_t b = 0; b < c->nbuckets; b++)
			if (c->fits[b * np + k] && demand_most(e, c->buckets[b]) > 0)
				emit_add(e, f[b * np + k], 1);
		emit_row(e, -SOLVE_INF, (double)c->pools[k].cap);
	}
	for (size_t k = 0; k < c->nbuckets * np; k++)
		if (c->fits[k] && demand_most(e, c->buckets[k / np]) > 0)
			emit_add(e, f[k], 1);
	emit_row(e, -SOLVE_INF, (double)c->usable);
}

/* Stems set aside by day: those used and those lost by then, as in reach_solve.c. */
void emit_aside(struct emit *e, size_t room)
{
	const struct cellar *c = &e->x->cellars[room];
	const struct room *r = &e->x->p.rooms[room];
	const struct bucket *buckets = e->x->p.buckets;
	size_t np = c->npools, nd = e->x->q.ndays;
	int *f = e->aside = ARENA_ARRAY(e->x->a, c->nbuckets * np + 1, int),
	    *lost = ARENA_ARRAY(e->x->a, np * nd + 1, int);
	for (size_t b = 0; b < c->nbuckets; b++) {
		int64_t most = demand_most(e, c->buckets[b]);
		for (size_t k = 0; k < np && most > 0; k++)
			if (c->fits[b * np + k]) {
				const struct stems *s = &r->classes[c->pools[k].lead];
				int64_t can =
				    times_down(s->counted, s->keep[buckets[c->buckets[b]].day]);
				f[b * np + k] = emit_column(
				    e, 0, (double)(most < can ? most : can),
				    emit_money(e, -money_of(c->pools[k].carry)), e->stems != STEMS_SPLIT);
				note_cut(e, c, b, k, f[b * np + k]);
				emit_add(e, f[b * np + k], 1);
			} else {
				f[b * np + k] = -1;
			}
		for (size_t k = 0; k < np && most == 0; k++)
			f[b * np + k] = -1;
		if (e->elastic && most > 0) {
			e->short_bucket[c->buckets[b]] = emit_column(e, 0, (double)most, -1, false);
			emit_add(e, e->short_bucket[c->buckets[b]], 1);
		}
		row_demand(e, c->buckets[b], -1);
		emit_row(e, 0, SOLVE_INF);
	}
	for (size_t k = 0; k < np; k++) {
		const struct stems *s = &r->classes[c->pools[k].lead];
		for (size_t d = 0; d < nd; d++) {
			struct rat keep = s->keep[d];
			lost[k * nd + d] = -1;
			for (size_t b = 0; b < c->nbuckets; b++)
				if (buckets[c->buckets[b]].day == d && f[b * np + k] >= 0)
					emit_add(e, f[b * np + k], (double)(keep.den - keep.num));
			if (e->ntouched > 0 && keep.den != keep.num && keep.num > 0) {
				lost[k * nd + d] =
				    emit_column(e, 0, (double)s->counted, 0, e->stems != STEMS_SPLIT);
				emit_add(e, lost[k * nd + d], -(double)keep.num);
			}
			emit_row(e, -SOLVE_INF, 0);
		}
	}
	for (size_t k = 0; k <= np; k++) { /* the last row is the whole crop's */
		for (size_t i = k < np ? k : 0; i < (k < np ? k + 1 : np); i++) {
			for (size_t b = 0; b < c->nbuckets; b++)
				if (f[b * np + i] >= 0)
					emit_add(e, f[b * np + i], 1);
			for (size_t d = 0; d < nd; d++)
				if (lost[i * nd + d] >= 0)
					emit_add(e, lost[i * nd + d], 1);
		}
		emit_row(e, -SOLVE_INF,
			 (double)(k < np ? r->classes[c->pools[k].lead].counted : c->usable));
	}
}

/* Stems of the pool that are left on the bucket's day, all set aside for it. */
static int64_t keep_on(const struct emit *e, const struct cellar *c, const struct pool *p,
		       uint32_t bucket)
{
	if (c->simple)
		return p->cap;
	const struct bucket *b = &e->x->p.buckets[bucket];
	const struct stems *s = &e->x->p.rooms[b->room].classes[p->lead];
	return times_down(s->counted, s->keep[b->day]);
}

/* All that buckets which want the same take from cheap pools, each by a column in
 * `from`, and without limit at the dearest keep value among theirs. */
static void emit_alike(struct emit *e, const struct cellar *c, size_t bucket, int64_t most,
		       int *from)
{
	size_t np = c->npools;
	const unsigned char *fits = c->fits + bucket * np;
	nano dear = 0;
	for (size_t k = 0; k < np; k++)
		if (fits[k] && c->pools[k].carry > dear)
			dear = c->pools[k].carry;
	if (most == 0 || dear == 0)
		return;
	for (size_t k = 0; k < np; k++) {
		const struct pool *p = &c->pools[k];
		if (!fits[k] || p->carry == dear)
			continue;
		int64_t there = keep_on(e, c, p, c->buckets[bucket]);
		from[k] = emit_column(e, 0, (double)(most < there ? most : there),
				      emit_money(e, -money_of(p->carry)), false);
		emit_add(e, from[k], 1);
	}
	emit_add(e, emit_column(e, 0, (double)most, emit_money(e, -money_of(dear)), false), 1);
	for (size_t b = bucket; b < c->nbuckets; b++)
		if (same_set(fits, c->fits + b * np, np))
			row_demand(e, c->buckets[b], -1);
	emit_row(e, 0, SOLVE_INF);
}

/* There are stems for all, so only their keep value matters. */
static void emit_keep_value(struct emit *e, const struct cellar *c)
{
	size_t np = c->npools;
	int *from = ARENA_ARRAY(e->x->a, c->nbuckets * np + 1, int);
	for (size_t b = 0; b < c->nbuckets; b++) {
		int64_t most = 0;
		size_t first = 0;
		while (!same_set(c->fits + first * np, c->fits + b * np, np))
			first++;
		for (size_t k = 0; k < np; k++)
			from[b * np + k] = -1;
		for (size_t k = b; k < c->nbuckets && first == b; k++)
			if (same_set(c->fits + b * np, c->fits + k * np, np))
				most = plenty_add(most, demand_most(e, c->buckets[k]));
		emit_alike(e, c, b, most, from + b * np);
	}
	for (size_t k = 0; k < np; k++) {
		for (size_t b = 0; b < c->nbuckets; b++)
			if (from[b * np + k] >= 0)
				emit_add(e, from[b * np + k], 1);
		int64_t most = 0;
		for (size_t b = 0; b < c->nbuckets; b++) {
			int64_t there = keep_on(e, c, &c->pools[k], c->buckets[b]);
			if (c->fits[b * np + k] && there > most)
				most = there;
		}
		emit_row(e, -SOLVE_INF, (double)most);
	}
}

void emit_cellar(struct emit *e, size_t room)
{
	const struct cellar *c = &e->x->cellars[room];
	if (e->slack[room] && !c->carries && !e->ties)
		return;
	if (e->slack[room] && e->stems != STEMS_EXACT) {
		emit_keep_value(e, c);
		return;
	}
	if (!c->simple) {
		emit_aside(e, room);
		return;
	}
	struct sets s = { 0 };
	bool flows = c->carries || e->elastic || e->ties;
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
	emit_row(e, -SOLVE_INF, (double)c->usable);
}

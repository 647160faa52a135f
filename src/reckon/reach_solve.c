/* reach_solve.c - the program handed to solve/, and its answer checked in whole numbers.
 *
 * Every coefficient and limit is a whole number that a double holds exactly, so that
 * the rows can be added up again without rounding. */
#include "reckon/reach_again.h"
#include "reckon/reach_program.h"

#include <math.h>

#include "solve/solve.h"

__extension__ typedef __int128 wide;

enum { NODES = 2000 };

struct term {
	int col;
	int64_t by;
};
struct emit {
	struct program *p;
	struct solve m;
	int n;              /* column of n; -1 */
	struct term *terms; /* of the row that is being put together */
	size_t nterms, cap_terms;
	wide constant;   /* of what stands on the row's left */
	int **w;         /* per bucket: column per class; -1 */
	int *short_of;   /* per bucket: column of what it is short; -1 */
	int *short_pile; /* per pile */
	bool broken;     /* limits cross: there is no answer */
	bool pooled;     /* classes wanted for the same are one ... */
	bool rough;      /* ... and for some that says too much */
};

/* ---- rows ---- */

static void line_start(struct emit *e)
{
	e->nterms = 0;
	e->constant = 0;
}

static void line_add(struct emit *e, int col, int64_t by)
{
	for (size_t i = 0; i < e->nterms; i++)
		if (e->terms[i].col == col) {
			e->terms[i].by += by;
			return;
		}
	*ARENA_PUSH(e->p->a, e->terms, e->nterms, e->cap_terms) = (struct term){ col, by };
}

/* by x (base + column) */
static void line_makings(struct emit *e, int64_t base, int col, int64_t by)
{
	e->constant += (wide)by * base;
	if (col >= 0)
		line_add(e, col, by);
}

static void line_end(struct emit *e, double lo, double hi)
{
	double k = (double)e->constant;
	if (e->nterms == 0) {
		e->broken = e->broken || k < lo || k > hi;
		return;
	}
	int row = solve_row(&e->m, lo <= -SOLVE_INF ? lo : lo - k, hi >= SOLVE_INF ? hi : hi - k);
	for (size_t i = 0; i < e->nterms; i++)
		solve_entry(&e->m, row, e->terms[i].col, (double)e->terms[i].by);
}

static void line_at_least(struct emit *e, int64_t lo)
{
	line_end(e, (double)lo, SOLVE_INF);
}

static void line_at_most(struct emit *e, int64_t hi)
{
	line_end(e, -SOLVE_INF, (double)hi);
}

static int whole_column(struct emit *e, int64_t lo, int64_t hi, double gain)
{
	e->broken = e->broken || lo > hi;
	return solve_column(&e->m, (double)lo, (double)(lo > hi ? lo : hi), gain, true);
}

/* ---- makings ---- */

static void emit_need(struct emit *e, struct maker *m, size_t first, size_t n)
{
	struct variant *v = &e->p->variants[first];
	if (n == 1) {
		v->base = m->base;
		v->col = m->col;
		return;
	}
	line_start(e);
	for (size_t k = 0; k < n; k++) {
		v[k].base = 0;
		v[k].col = whole_column(e, v[k].lo, v[k].hi, 0);
		line_add(e, v[k].col, 1);
	}
	line_makings(e, m->base, m->col, -1);
	line_end(e, 0, 0);
}

static void emit_makers(struct emit *e)
{
	struct program *p = e->p;
	for (size_t i = 0; i < p->nmakers; i++) {
		struct maker *m = &p->makers[i];
		bool part = m->item.kind == KIND_PART;
		m->base = part ? 0 : m->fixed;
		m->col = part ? whole_column(e, m->lo, m->hi, 0) : m->wanted ? e->n : -1;
		if (m->impossible) {
			line_start(e);
			line_makings(e, m->base, m->col, 1);
			line_at_most(e, 0);
		}
		size_t end = m->first + m->nvariants;
		for (size_t k = m->first, next; k < end; k = next) {
			for (next = k; next < end && p->variants[next].need == p->variants[k].need;)
				next++;
			emit_need(e, m, k, next - k);
		}
	}
}

/* Whole stems for the variant's makings, as base + by x column. */
static void emit_stems(struct emit *e, struct variant *v)
{
	if (v->col < 0) {
		v->want_base = times_up(v->base, v->stems);
		v->want_by = 0;
		v->want_col = -1;
		return;
	}
	struct rat f = fraction_above(v->stems, v->hi);
	if (f.den == 1) {
		v->want_base = plenty_times(v->base, f.num);
		v->want_by = f.num;
		v->want_col = v->col;
		return;
	}
	v->want_base = 0;
	v->want_by = 1;
	v->want_col = whole_column(e, times_up(v->lo, v->stems), times_up(v->hi, v->stems), 0);
	line_start(e);
	line_add(e, v->want_col, f.den);
	line_makings(e, v->base, v->col, -f.num);
	line_at_least(e, 0);
}

/* ---- stems ---- */

/* The day on which alone the class is wanted, or NONE. */
static uint32_t only_day(const struct program *p, size_t room, size_t class_)
{
	uint32_t only = NONE;
	for (size_t i = 0; i < p->nbuckets; i++) {
		const struct bucket *b = &p->buckets[i];
		if (b->room != room || b->hi == 0 || !b->fits[class_])
			continue;
		if (only != NONE && only != b->day)
			return NONE;
		only = b->day;
	}
	return only;
}

static bool wanted_alike(const struct program *p, size_t room, size_t c, size_t k)
{
	for (size_t i = 0; i < p->nbuckets; i++) {
		const struct bucket *b = &p->buckets[i];
		if (b->room == room && b->hi > 0 && b->fits[c] != b->fits[k])
			return false;
	}
	return true;
}

/* Classes that are wanted for the same.  Where that is on one day only, and nothing
 * is reserved, their whole stems of that day add up and they are one group.  Otherwise
 * a class is a group by itself - or, for a first and smaller model, those wanted for
 * the same are one, at the best survival of any: what cannot be done so cannot be
 * done at all. */
struct group {
	size_t lead; /* its first class stands for it */
	int64_t counted;
	int64_t stems;    /* whole, of its only day; -1: set aside day by day */
	int64_t most;     /* whole, of all days together */
	struct rat *keep; /* per day */
	bool *used;       /* per day */
	int *lost;        /* per day: column of stems lost by then; -1: none are */
};
struct groups {
	struct group *items;
	size_t n;
	const struct room *room;
	size_t index; /* of the room */
};

static void join_group(struct emit *e, const struct groups *gs, struct group *g, size_t class_,
		       uint32_t day_)
{
	const struct stems *s = &gs->room->classes[class_];
	struct rat best = RAT_ZERO;
	for (size_t i = 0; i < e->p->nbuckets; i++) {
		const struct bucket *b = &e->p->buckets[i];
		if (b->room == gs->index && b->hi > 0 && b->fits[class_] &&
		    rat_cmp(s->keep[b->day], best) > 0)
			best = s->keep[b->day];
	}
	g->most = plenty_add(g->most, times_down(s->counted, best));
	g->counted = plenty_add(g->counted, s->counted);
	if (g->stems >= 0)
		g->stems = plenty_add(g->stems, times_down(s->counted, s->keep[day_]));
	for (uint32_t d = 0; d < e->p->q->ndays; d++)
		if (rat_cmp(s->keep[d], g->keep[d]) > 0)
			g->keep[d] = s->keep[d];
}

static void make_groups(struct emit *e, size_t index, struct groups *gs)
{
	struct program *p = e->p;
	const struct room *room = &p->rooms[index];
	uint32_t ndays = p->q->ndays;
	*gs = (struct groups){ .room = room, .index = index };
	gs->items = ARENA_ARRAY(p->a, room->nclasses + 1, struct group);
	for (size_t c = 0; c < room->nclasses; c++) {
		uint32_t day_ = room->reserve ? NONE : only_day(p, index, c);
		struct group *g = NULL;
		for (size_t k = 0; k < gs->n && !g; k++)
			if ((day_ != NONE || e->pooled) &&
			    wanted_alike(p, index, c, gs->items[k].lead))
				g = &gs->items[k];
		if (g) {
			e->rough = e->rough || g->stems < 0;
		} else {
			g = &gs->items[gs->n++];
			*g = (struct group){ .lead = c, .stems = day_ == NONE ? -1 : 0 };
			g->keep = ARENA_ARRAY(p->a, ndays, struct rat);
			g->used = ARENA_ARRAY(p->a, ndays, bool);
			g->lost = ARENA_ARRAY(p->a, ndays, int);
			for (uint32_t d = 0; d < ndays; d++) {
				g->keep[d] = RAT_ZERO;
				g->lost[d] = -1;
			}
		}
		join_group(e, gs, g, c, day_);
	}
}

static void emit_bucket(struct emit *e, const struct groups *gs, size_t index)
{
	struct program *p = e->p;
	const struct bucket *b = &p->buckets[index];
	line_start(e);
	for (size_t k = 0; k < gs->n; k++) {
		const struct group *g = &gs->items[k];
		if (!b->fits[g->lead])
			continue;
		int64_t most = g->stems >= 0 ? g->stems : times_down(g->counted, g->keep[b->day]);
		if (most > b->hi)
			most = b->hi;
		e->w[index][g->lead] = whole_column(e, 0, most, 0);
		line_add(e, e->w[index][g->lead], 1);
	}
	if (p->q->elastic) {
		e->short_of[index] = whole_column(e, 0, b->hi, -1);
		line_add(e, e->short_of[index], 1);
	}
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		if (v->kind != KIND_CROP || v->where != index)
			continue;
		e->constant -= v->want_base;
		if (v->want_col >= 0)
			line_add(e, v->want_col, -v->want_by);
	}
	line_at_least(e, 0);
}

static void group_uses(struct emit *e, const struct groups *gs, const struct group *g,
		       uint32_t day_, int64_t by)
{
	for (size_t i = 0; i < e->p->nbuckets; i++)
		if (e->p->buckets[i].room == gs->index && e->p->buckets[i].day == day_ &&
		    e->w[i][g->lead] >= 0)
			line_add(e, e->w[i][g->lead], by);
}

/* Adds what is set aside of the group, for all days, to the row. */
static void group_aside(struct emit *e, const struct groups *gs, const struct group *g)
{
	for (uint32_t d = 0; d < e->p->q->ndays; d++) {
		group_uses(e, gs, g, d, 1);
		if (g->lost[d] >= 0)
			line_add(e, g->lost[d], 1);
	}
}

/* Stems used on a day and those lost by then were set aside for it; all days together
 * take no more than was counted.  floor(z p/q) >= w with z = w + lost is
 * (q-p) w <= p lost: the whole numbers that matter are the few that are lost. */
static void emit_group(struct emit *e, const struct groups *gs, struct group *g)
{
	uint32_t ndays = e->p->q->ndays;
	if (g->stems >= 0) {
		line_start(e);
		for (uint32_t d = 0; d < ndays; d++)
			group_uses(e, gs, g, d, 1);
		if (e->nterms > 1)
			line_at_most(e, g->stems);
		return;
	}
	for (uint32_t d = 0; d < ndays; d++) {
		struct rat keep = g->keep[d];
		line_start(e);
		group_uses(e, gs, g, d, keep.den - keep.num);
		g->used[d] = e->nterms > 0;
		if (e->nterms == 0 || keep.den == keep.num)
			continue;
		int64_t most = g->counted - times_down(g->counted, keep);
		g->lost[d] = whole_column(e, 0, most, 0);
		line_add(e, g->lost[d], -keep.num);
		line_at_most(e, 0);
	}
	line_start(e);
	group_aside(e, gs, g);
	if (e->nterms > 0)
		line_at_most(e, g->counted);
	line_start(e);
	for (uint32_t d = 0; d < ndays && e->pooled; d++)
		group_uses(e, gs, g, d, 1);
	if (e->nterms > 0)
		line_at_most(e, g->most);
}

static bool inside(const struct bucket *b, const struct bucket *of, size_t nclasses)
{
	for (size_t c = 0; c < nclasses; c++)
		if (b->fits[c] && !of->fits[c])
			return false;
	return true;
}

/* What a day wants for certain loses so many, whole, of all that fits.  It follows from
 * the other rows, but not when stems may be split, so it helps. */
static void emit_cut(struct emit *e, const struct groups *gs, const struct bucket *of)
{
	struct program *p = e->p;
	struct rat best = RAT_ZERO;
	int64_t want = 0;
	line_start(e);
	for (size_t k = 0; k < gs->n; k++) {
		const struct group *g = &gs->items[k];
		if (!of->fits[g->lead])
			continue;
		if (g->lost[of->day] < 0)
			return;
		line_add(e, g->lost[of->day], 1);
		if (rat_cmp(g->keep[of->day], best) > 0)
			best = g->keep[of->day];
	}
	for (size_t i = 0; i < p->nbuckets; i++) {
		const struct bucket *b = &p->buckets[i];
		if (b->room == gs->index && b->day == of->day && b->lo > 0 &&
		    inside(b, of, gs->room->nclasses))
			want = plenty_add(want, b->lo);
	}
	if (e->nterms > 0 && want > 0)
		line_at_least(e, times_up(want, (struct rat){ best.den, best.num }) - want);
}

static void emit_room(struct emit *e, size_t index)
{
	struct program *p = e->p;
	struct groups gs;
	make_groups(e, index, &gs);
	for (size_t i = 0; i < p->nbuckets; i++)
		if (p->buckets[i].room == index && p->buckets[i].hi > 0)
			emit_bucket(e, &gs, i);
	for (size_t k = 0; k < gs.n; k++)
		emit_group(e, &gs, &gs.items[k]);
	for (size_t i = 0; i < p->nbuckets && !p->q->elastic; i++)
		if (p->buckets[i].room == index && p->buckets[i].hi > 0)
			emit_cut(e, &gs, &p->buckets[i]);
	if (!gs.room->reserve)
		return;
	line_start(e);
	for (size_t k = 0; k < gs.n; k++)
		group_aside(e, &gs, &gs.items[k]);
	if (e->nterms)
		line_at_most(e, gs.room->usable);
}

/* ---- parts and supplies ---- */

static void batch_wants(struct emit *e, size_t batch, uint32_t from, uint32_t to, int64_t by)
{
	const struct program *p = e->p;
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		uint32_t d = p->makers[v->maker].day;
		if (v->kind == KIND_PART && v->where == batch && d >= from && d <= to)
			line_makings(e, v->base, v->col, by * v->scaled);
	}
}

/* Up to each day there is enough; on no day are more made than that day takes,
 * rounded up to whole makings. */
static void emit_batch(struct emit *e, size_t index)
{
	const struct program *p = e->p;
	const struct batch_of *b = &p->batches[index];
	for (uint32_t d = 0; d < p->q->ndays; d++) {
		if (b->makers[d] == NONE)
			continue;
		line_start(e);
		for (uint32_t k = 0; k <= d; k++)
			if (b->makers[k] != NONE)
				line_add(e, p->makers[b->makers[k]].col, b->makes);
		batch_wants(e, index, 0, d, -1);
		line_at_least(e, -b->stock);
		if (b->ndays == 1 && !p->q->choices)
			continue;
		line_start(e);
		line_add(e, p->makers[b->makers[d]].col, b->makes);
		batch_wants(e, index, d, d, -1);
		line_at_most(e, b->makes - 1);
	}
}

static void emit_pile(struct emit *e, size_t index)
{
	const struct program *p = e->p;
	const struct pile *pile = &p->piles[index];
	line_start(e);
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		if (v->kind == KIND_SUPPLY && v->where == index)
			line_makings(e, v->base, v->col, v->scaled);
	}
	if (p->q->elastic) {
		e->short_pile[index] = whole_column(e, 0, pile->hi, -1.0 / (double)pile->scale);
		line_add(e, e->short_pile[index], -1);
	}
	line_at_most(e, pile->on_hand);
}

static void emit_all(struct emit *e, struct program *p, int64_t lo, int64_t hi, bool pooled)
{
	*e = (struct emit){ .p = p, .n = -1, .pooled = pooled };
	solve_init(&e->m);
	program_evaluate(p, lo, hi, true);
	e->w = ARENA_ARRAY(p->a, p->nbuckets + 1, int *);
	e->short_of = ARENA_ARRAY(p->a, p->nbuckets + 1, int);
	e->short_pile = ARENA_ARRAY(p->a, p->npiles + 1, int);
	for (size_t i = 0; i < p->nbuckets; i++) {
		size_t n = p->rooms[p->buckets[i].room].nclasses;
		e->short_of[i] = -1;
		e->w[i] = ARENA_ARRAY(p->a, n + 1, int);
		for (size_t c = 0; c < n; c++)
			e->w[i][c] = -1;
	}
	if (p->wanted >= 0)
		e->n = whole_column(e, lo, hi, p->q->elastic ? 0 : 1);
	emit_makers(e);
	for (size_t i = 0; i < p->nvariants; i++)
		if (p->variants[i].kind == KIND_CROP && p->variants[i].where != NONE)
			emit_stems(e, &p->variants[i]);
	for (size_t i = 0; i < p->nrooms; i++)
		emit_room(e, i);
	for (size_t i = 0; i < p->nbatches; i++)
		emit_batch(e, i);
	for (size_t i = 0; i < p->npiles; i++)
		emit_pile(e, i);
}

/* ---- the answer ---- */

/* Row by row, in whole numbers. */
static bool holds_exactly(const struct solve *m, const double *x, struct arena *a)
{
	wide *sums = ARENA_ARRAY(a, m->nrows + 1, wide);
	for (size_t j = 0; j < m->ncols; j++)
		if (x[j] != floor(x[j]) || x[j] < m->cols[j].lo || x[j] > m->cols[j].hi)
			return false;
	for (size_t k = 0; k < m->nentries; k++) {
		const struct solve_entry_def *t = &m->entries[k];
		sums[t->row] += (wide)(int64_t)t->value * (int64_t)x[t->col];
	}
	for (size_t i = 0; i < m->nrows; i++) {
		if (m->rows[i].lo > -SOLVE_INF && sums[i] < (wide)m->rows[i].lo)
			return false;
		if (m->rows[i].hi < SOLVE_INF && sums[i] > (wide)m->rows[i].hi)
			return false;
	}
	return true;
}

/* Makings of the answer; what is short only with `how`. */
static void take_plan(struct emit *e, const double *x, const struct solving *how)
{
	struct program *p = e->p;
	for (size_t i = 0; i < p->nmakers; i++) {
		struct maker *m = &p->makers[i];
		m->got = m->base + (m->col >= 0 ? (int64_t)x[m->col] : 0);
	}
	for (size_t i = 0; i < p->nvariants; i++) {
		struct variant *v = &p->variants[i];
		v->got = v->base + (v->col >= 0 ? (int64_t)x[v->col] : 0);
	}
	if (!p->q->elastic || !how)
		return;
	memset(how->short_crops, 0, p->q->farm->ncrops * sizeof *how->short_crops);
	memset(how->short_supplies, 0, p->q->farm->nsupplies * sizeof *how->short_supplies);
	for (size_t i = 0; i < p->nbuckets; i++)
		if (e->short_of[i] >= 0)
			how->short_crops[p->rooms[p->buckets[i].room].crop] += x[e->short_of[i]];
	for (size_t i = 0; i < p->npiles; i++) {
		const struct pile *pile = &p->piles[i];
		double scale = (double)pile->scale, on_hand = p->q->stock->supplies[pile->supply];
		/* The pile was counted down to whole 1/scale; what that left out is there. */
		double rest = on_hand - (double)pile->on_hand / scale;
		if (x[e->short_pile[i]] > 0 && rest > 0 && rest < 1 / scale)
			how->short_supplies[pile->supply] += x[e->short_pile[i]] / scale - rest;
		else
			how->short_supplies[pile->supply] += x[e->short_pile[i]] / scale;
	}
}

/* With what is short held, the ways that were written first. */
static void prefer_first_ways(struct emit *e, const struct solve_options *how, struct solution *s)
{
	struct program *p = e->p;
	struct solution better;
	for (size_t j = 0; j < e->m.ncols; j++) {
		if (e->m.cols[j].gain < 0)
			e->m.cols[j].hi = s->x[j];
		e->m.cols[j].gain = 0;
	}
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		if (v->col >= 0 && v->col != p->makers[v->maker].col)
			e->m.cols[v->col].gain = -(double)v->option;
	}
	solve_run(&e->m, how, &better);
	if ((better.outcome == SOLVE_OPTIMAL || better.outcome == SOLVE_LIMIT) &&
	    holds_exactly(&e->m, better.x, p->a)) {
		solution_release(s);
		*s = better;
		return;
	}
	solution_release(&better);
}

/* The makings are fixed and everything else holds: do the classes, one by one, have
 * the stems? */
static bool allots(struct emit *e, const double *x)
{
	struct program *p = e->p;
	for (size_t i = 0; i < p->nbuckets; i++)
		p->buckets[i].lo = 0;
	for (size_t i = 0; i < p->nvariants; i++) {
		const struct variant *v = &p->variants[i];
		int64_t got = v->base + (v->col >= 0 ? (int64_t)x[v->col] : 0);
		if (v->kind == KIND_CROP && v->where != NONE)
			p->buckets[v->where].lo =
			    plenty_add(p->buckets[v->where].lo, times_up(got, v->stems));
	}
	for (size_t i = 0; i < p->nbuckets; i++)
		if (e->short_of[i] >= 0) {
			int64_t few = (int64_t)x[e->short_of[i]], *lo = &p->buckets[i].lo;
			*lo = *lo > few ? *lo - few : 0;
		}
	for (size_t i = 0; i < p->nrooms; i++) {
		allot_start(p, &p->rooms[i]);
		if (!allot_all(p->rooms[i].by_hand, false))
			return false;
	}
	return true;
}

static struct finding_n bound_only(const struct emit *e, const struct solution *s,
				   struct finding_n f)
{
	f.found = s->outcome == SOLVE_OPTIMAL      ? FOUND_SOME
		  : s->outcome == SOLVE_INFEASIBLE ? FOUND_NONE
						   : FOUND_NOTHING;
	if (s->outcome == SOLVE_OPTIMAL && e->n >= 0 && s->value < (double)f.upper)
		f.upper = (int64_t)floor(s->value + 1e-6);
	return f;
}

enum model {
	MODEL_POOLED, /* classes wanted for the same are one: no less than the truth */
	MODEL_MADE,   /* class by class, the makings as they were found: no more than it */
	MODEL_EXACT
};

static void hold(struct emit *e, int col, int64_t at)
{
	if (col >= 0)
		e->m.cols[col].lo = e->m.cols[col].hi = (double)at;
}

static void hold_makings(struct emit *e, int64_t n)
{
	struct program *p = e->p;
	hold(e, e->n, n);
	for (size_t i = 0; i < p->nmakers; i++)
		if (p->makers[i].item.kind == KIND_PART)
			hold(e, p->makers[i].col, p->makers[i].got);
	for (size_t i = 0; i < p->nvariants; i++)
		if (p->variants[i].col >= 0 &&
		    p->variants[i].col != p->makers[p->variants[i].maker].col)
			hold(e, p->variants[i].col, p->variants[i].got);
}

struct model_answer {
	struct finding_n f;
	double value; /* of the solver's objective */
	bool stands;  /* for the classes one by one */
};

static void take_answer(struct emit *e, struct solution *s, const struct solve_options *how,
			const struct solving *solving, struct model_answer *a)
{
	struct program *p = e->p;
	double bound = s->outcome == SOLVE_OPTIMAL ? s->value : s->bound;
	a->value = s->value;
	a->f.found = s->outcome == SOLVE_OPTIMAL ? FOUND_MOST : FOUND_SOME;
	if (e->n >= 0 && !p->q->elastic) {
		a->f.n = (int64_t)s->x[e->n];
		if (bound < (double)a->f.upper)
			a->f.upper = (int64_t)floor(bound + 1e-6);
	}
	if (p->q->elastic && p->q->choices)
		prefer_first_ways(e, how, s);
	a->stands = !e->rough || allots(e, s->x);
	take_plan(e, s->x, a->stands ? solving : NULL);
}

/* Without a plan nothing is told of a program but how it ended. */
static void ask(struct again *again, const struct emit *e, const struct solve_options *how,
		struct solution *s)
{
	bool worth = again && !how->relaxed && !e->pooled;
	enum outcome outcome;
	if (worth && again_known(again, &e->m, how, &outcome)) {
		*s = (struct solution){ .outcome = outcome };
		return;
	}
	solve_run(&e->m, how, s);
	if (worth && (s->outcome == SOLVE_INFEASIBLE || s->outcome == SOLVE_NOTHING))
		again_keep(again, &e->m, how, s->outcome);
}

static struct model_answer solve_model(struct program *p, int64_t lo, int64_t hi,
				       const struct solving *solving, enum model model)
{
	struct model_answer a = { .f = { FOUND_NONE, lo, hi }, .stands = true };
	struct emit e;
	struct solution s;
	long nodes = solving->nodes ? solving->nodes : p->q->nodes ? p->q->nodes : NODES;
	struct solve_options how = { .nodes = nodes,
				     .plain = solving->plain,
				     .relaxed = solving->relaxed };
	emit_all(&e, p, lo, hi, model == MODEL_POOLED);
	if (model == MODEL_MADE)
		hold_makings(&e, hi);
	if (e.broken) {
		solve_release(&e.m);
		return a;
	}
	ask(p->q->again, &e, &how, &s);
	if (solving->relaxed)
		a.f = bound_only(&e, &s, a.f);
	else if ((s.outcome == SOLVE_OPTIMAL || s.outcome == SOLVE_LIMIT) &&
		 holds_exactly(&e.m, s.x, p->a))
		take_answer(&e, &s, &how, solving, &a);
	else if (s.outcome != SOLVE_INFEASIBLE)
		a.f.found = FOUND_NOTHING;
	solution_release(&s);
	solve_release(&e.m);
	return a;
}

struct finding_n program_solve(struct program *p, int64_t lo, int64_t hi,
			       const struct solving *solving)
{
	struct model_answer pooled = solve_model(p, lo, hi, solving, MODEL_POOLED);
	if (pooled.stands)
		return pooled.f;
	struct model_answer made = solve_model(p, lo, pooled.f.n, solving, MODEL_MADE);
	if (made.f.found == FOUND_MOST && made.value >= pooled.value) {
		pooled.f.n = made.f.n;
		return pooled.f;
	}
	int64_t upper = pooled.f.found == FOUND_MOST ? pooled.f.n : pooled.f.upper;
	return solve_model(p, lo, upper, solving, MODEL_EXACT).f;
}

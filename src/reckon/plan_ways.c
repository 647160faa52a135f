/* plan_ways.c - which of several ways meets a need: the one that costs least to grow, as far
 * as what stands goes. */
#include <math.h>

#include "reckon/plan_in.h"

#define NEAR 0.01 /* of a bed: not worth another turn */

struct way_cost {
	double each;            /* growing and supplies; NaN: not known */
	bool shut;              /* takes of a crop that is used up */
};
struct ways {
	uint32_t **pieces, **parts;
	struct way_cost *parts_cost; /* per base unit */
};
struct plan_ways {
	struct plan_work *w;
	struct ways open;       /* nothing is used up */
	bool *none;             /* per crop: false */
	bool limits;            /* some crop's stems for which there is another way have a limit */
};

/* ---- choosing ---- */

static struct way_cost option_cost(const struct plan_work *w, const struct ways *ways, const bool *shut,
				   const struct need_option *o)
{
	uint32_t i = o->item.index;
	double count = rat_double(o->count);
	struct way_cost c = { 0, false };
	if (o->item.kind == KIND_CROP)
		c = (struct way_cost){ w->crops[i].unit_cost, shut[i] };
	else if (o->item.kind == KIND_PART)
		c = ways->parts_cost[i];
	else if (w->farm->supplies[i].cost.given)
		c.each = w->farm->supplies[i].cost.v;
	c.each *= count;
	return c;
}

static bool better(const struct way_cost *a, const struct way_cost *than)
{
	if (a->shut != than->shut)
		return than->shut;
	return !isnan(a->each) && !(a->each >= than->each - 1e-9 * fabs(than->each));
}

/* The cheapest option, the first written of equals; a cost that is not known loses, and so
 * does a crop that is used up. */
static uint32_t *choose(const struct plan_work *w, const struct ways *ways, const bool *shut,
			const struct need *needs, size_t n, struct way_cost *cost)
{
	uint32_t *way = ARENA_ARRAY(w->a, n + 1, uint32_t);
	*cost = (struct way_cost){ 0, false };
	for (size_t i = 0; i < n; i++) {
		struct way_cost best = { NAN, true };
		for (size_t k = 0; k < needs[i].noptions; k++) {
			struct way_cost c = option_cost(w, ways, shut, &needs[i].options[k]);
			if (k > 0 && !better(&c, &best))
				continue;
			best = c;
			way[i] = (uint32_t)k;
		}
		cost->each += best.each;
		cost->shut = cost->shut || best.shut;
	}
	return way;
}

static void choose_ways(const struct plan_work *w, struct ways *ways, const bool *shut)
{
	const struct farm *f = w->farm;
	struct way_cost cost;
	ways->pieces = ARENA_ARRAY(w->a, f->npieces + 1, uint32_t *);
	ways->parts = ARENA_ARRAY(w->a, f->nparts + 1, uint32_t *);
	ways->parts_cost = ARENA_ARRAY(w->a, f->nparts + 1, struct way_cost);
	for (size_t i = f->nparts; i-- > 0;) { /* the deepest first */
		uint32_t p = f->part_order[i];
		ways->parts[p] =
		    choose(w, ways, shut, f->parts[p].needs, f->parts[p].nneeds, &ways->parts_cost[p]);
		ways->parts_cost[p].each /= fmax(rat_double(f->parts[p].makes), 1e-9);
	}
	for (size_t i = 0; i < f->npieces; i++)
		ways->pieces[i] = choose(w, ways, shut, f->pieces[i].needs, f->pieces[i].nneeds, &cost);
}

struct plan_ways *plan_ways_open(struct plan_work *w)
{
	struct plan_ways *p = ARENA_NEW(w->a, struct plan_ways);
	p->w = w;
	p->none = ARENA_ARRAY(w->a, w->farm->ncrops + 1, bool);
	choose_ways(w, &p->open, p->none);
	for (size_t i = 0; i < w->farm->ncrops; i++)
		p->limits = p->limits || isfinite(w->beds[i].left);
	return p;
}

/* ---- taking ---- */

static int explode_ways_of(struct plan_ways *p, struct exploded *e, const struct ways *ways, uint32_t piece,
			   int64_t count, const struct rat *part_stock, struct arena *scratch)
{
	struct run run = { piece, { count, 1 } };
	struct explode_ways by = { (const uint32_t *const *)ways->pieces,
				   (const uint32_t *const *)ways->parts };
	return explode_by(e, p->w->farm, &run, 1, part_stock, &by, scratch, p->w->diag);
}

struct fit {                    /* how many of the run the beds allow */
	int64_t count;
	uint32_t crop;          /* whose bed is used up first; NONE */
};

/* Stems that another way would save, crop by crop; those that no other way saves are the
 * bed's to give in any case. */
static int find_fit(struct plan_ways *p, struct fit *fit, const struct exploded *e, const bool *shut,
		    uint32_t piece, const struct rat *part_stock, double *saved, struct arena *scratch)
{
	const struct farm *f = p->w->farm;
	bool *more = ARENA_ARRAY(scratch, f->ncrops + 1, bool);
	int64_t count = fit->count;
	for (uint32_t i = 0; i < f->ncrops; i++) {
		struct exploded other;
		struct ways ways;
		saved[i] = 0;
		if (!isfinite(p->w->beds[i].left) || shut[i] || !(rat_double(e->crops[i]) > 0))
			continue;
		for (size_t k = 0; k < f->ncrops; k++)
			more[k] = shut[k] || k == i;
		choose_ways(p->w, &ways, more);
		if (explode_ways_of(p, &other, &ways, piece, count, part_stock, scratch) < 0)
			return -1;
		saved[i] = rat_double(e->crops[i]) - rat_double(other.crops[i]);
		double each = saved[i] / (double)count;
		if (!(each > PLAN_CRUMB) || each * (double)fit->count <= p->w->beds[i].left + PLAN_CRUMB)
			continue;
		fit->count = (int64_t)floor(p->w->beds[i].left / each + PLAN_CRUMB);
		fit->crop = i;
	}
	return 0;
}

static void use_beds(struct plan_ways *p, const double *saved, double share)
{
	for (size_t i = 0; i < p->w->farm->ncrops && p->limits; i++) {
		struct plan_bed *bed = &p->w->beds[i];
		bed->left = fmax(0, bed->left - saved[i] * share);
		bed->by_choice += saved[i] * share;
	}
}

/* As many of the run as can be made one way: *count is what is left of it. */
int plan_ways_take(struct plan_ways *p, struct exploded *e, uint32_t piece, int64_t *count, bool *shut,
		   const struct rat *part_stock, struct arena *scratch)
{
	double *saved = ARENA_ARRAY(scratch, p->w->farm->ncrops + 1, double);
	for (;;) {
		struct fit fit = { *count, NONE };
		struct ways ways = p->open;
		if (p->limits)
			choose_ways(p->w, &ways, shut);
		if (explode_ways_of(p, e, &ways, piece, *count, part_stock, scratch) < 0 ||
		    (p->limits && find_fit(p, &fit, e, shut, piece, part_stock, saved, scratch) < 0))
			return -1;
		if (fit.crop != NONE)
			shut[fit.crop] = true;
		if (fit.count <= 0)
			continue;
		use_beds(p, saved, (double)fit.count / (double)*count);
		bool all = fit.count >= *count;
		*count -= fit.count;
		return all ? 0
			   : explode_ways_of(p, e, &ways, piece, fit.count, part_stock, scratch);
	}
}

/* ---- ways that are named ---- */

/* Crops that stand of which the named way takes fewer than the cheapest would. */
static int note_spared(struct plan_ways *p, const struct exploded *e, uint32_t piece, int64_t pieces,
		       const struct rat *part_stock, struct arena *scratch)
{
	struct exploded cheapest;
	if (explode_ways_of(p, &cheapest, &p->open, piece, pieces, part_stock, scratch) < 0)
		return -1;
	for (size_t i = 0; i < p->w->farm->ncrops; i++)
		p->w->beds[i].spared = p->w->beds[i].spared || rat_cmp(e->crops[i], cheapest.crops[i]) < 0;
	return 0;
}

/* choices from `at` on; on: they are those of what is made.  Returns the next. */
static size_t name_ways(const struct farm *f, struct ways *ways, const struct need *needs, size_t n, uint32_t *way,
			const uint32_t *choices, size_t at, bool on)
{
	for (size_t i = 0; i < n; i++) {
		size_t choice = needs[i].noptions > 1 ? choices[at++] : 0;
		if (on)
			way[i] = (uint32_t)choice;
		for (size_t k = 0; k < needs[i].noptions; k++) {
			const struct need_option *o = &needs[i].options[k];
			const struct part *p = o->item.kind == KIND_PART ? &f->parts[o->item.index] : NULL;
			if (p)
				at = name_ways(f, ways, p->needs, p->nneeds, ways->parts[o->item.index], choices,
					       at, on && k == choice);
		}
	}
	return at;
}

int plan_ways_named(struct plan_ways *p, struct exploded *e, uint32_t line, uint32_t piece, int64_t *count,
		    size_t *at, const struct rat *part_stock, struct arena *scratch)
{
	const struct farm *f = p->w->farm;
	const struct plan_line_ways *l = &p->w->options->ways[line];
	const struct plan_way *way = &l->ways[*at];
	bool last = *at + 1 >= l->n;
	int64_t pieces = last || way->pieces > *count ? *count : way->pieces;
	struct ways ways;
	*at += !last;
	choose_ways(p->w, &ways, p->none);
	name_ways(f, &ways, f->pieces[piece].needs, f->pieces[piece].nneeds, ways.pieces[piece], way->choices, 0, true);
	*count -= pieces;
	if (explode_ways_of(p, e, &ways, piece, pieces, part_stock, scratch) < 0)
		return -1;
	return note_spared(p, e, piece, pieces, part_stock, scratch);
}

/* ---- another turn ---- */

static double grown_for(const struct plan *out, uint32_t crop)
{
	double stems = 0;
	for (size_t i = 0; i < out->npools; i++) {
		const struct plan_pool *p = &out->pools[i];
		if (p->crop == crop)
			stems += p->stems - p->stock - p->hanging;
	}
	return stems;
}

/* The bed comes short: so many stems fewer, but not fewer than once sufficed. */
static void lower(struct plan_bed *limit, const struct plan_bed *bed, double grown, double too_many)
{
	bool first = !isfinite(limit->left);
	if (!first && !(bed->by_choice > PLAN_CRUMB))
		return; /* there is no other way */
	limit->high = first ? grown : fmin(limit->high, bed->by_choice);
	limit->left = fmax(limit->low, limit->high - too_many);
}

/* It suffices, and could give more: a little of the way up to where it did not. */
static void raise(struct plan_bed *limit, double spare)
{
	limit->low = limit->left;
	if (spare > NEAR * limit->high && limit->high - limit->low > NEAR * limit->high)
		limit->left = fmin(limit->left + spare, (limit->low + limit->high) / 2);
}

bool plan_ways_limit(const struct plan_work *w, struct plan_bed *limits, int turn)
{
	bool again = false;
	for (uint32_t i = 0; i < w->farm->ncrops; i++) {
		const struct plan_crop *c = &w->out->crops[i];
		struct plan_bed *limit = &limits[i];
		double grown = grown_for(w->out, i), was = limit->left;
		double each = c->cut > 0 ? grown / (double)c->cut : 0;
		if (c->short_stems > 0)
			lower(limit, &w->beds[i], grown, c->short_stems * each);
		else if (isfinite(was) && turn < PLAN_TURNS - 2)
			raise(limit, (double)(c->bears - c->cut) * each);
		if (turn == PLAN_TURNS - 2 && isfinite(was))
			limit->left = limit->low;
		again = again || limit->left < was || limit->left > was;
	}
	return again;
}

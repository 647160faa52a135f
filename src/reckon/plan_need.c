/* plan_need.c - from targets and orders to stems of each pool, day by day. */
#include <math.h>
#include <stdlib.h>

#include "reckon/loss.h"
#include "reckon/plan_in.h"

#define PART_FINE 1000          /* parts on hand are taken to a thousandth */

/* ---- lines ---- */

static struct plan_wish wish_of(const struct target *t)
{
	return (struct plan_wish){ t->piece, t->outlet, t->count.v, t->by,
				   t->sure.given ? t->sure.v : NAN };
}

static void add_line(struct plan_work *w, struct plan_wish wish, uint32_t order)
{
	struct plan_line *l = &w->out->lines[w->out->nlines++];
	double spoils = 0;
	if (order == NONE && wish.outlet != NONE)
		spoils = w->farm->outlets[wish.outlet].spoils.v;
	*l = (struct plan_line){ .wish = wish, .order = order, .chance = 1, .plain_chance = 1,
				 .price_line = NONE, .revenue = NAN, .contribution = NAN };
	l->make = (double)loss_cover(wish.count / fmax(1 - spoils, 1e-6));
}

/* Crops and parts of the needs. */
static void mark_items(const struct need *needs, size_t n, bool *crops, bool *parts)
{
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < needs[i].noptions; k++) {
			struct item item = needs[i].options[k].item;
			if (item.kind == KIND_CROP)
				crops[item.index] = true;
			else if (item.kind == KIND_PART)
				parts[item.index] = true;
		}
	}
}

/* Before the first stem that is planted for such a piece could be in its box. */
static bool before_any(const struct plan_work *w, uint32_t piece, day by)
{
	const struct farm *f = w->farm;
	bool *crops = ARENA_ARRAY(w->a, f->ncrops + 1, bool), *parts = ARENA_ARRAY(w->a, f->nparts + 1, bool);
	bool any = false;
	mark_items(f->pieces[piece].needs, f->pieces[piece].nneeds, crops, parts);
	for (size_t i = 0; i < f->nparts; i++) {
		const struct part *part = &f->parts[f->part_order[i]];
		if (parts[f->part_order[i]])
			mark_items(part->needs, part->nneeds, crops, parts);
	}
	for (size_t i = 0; i < f->ncrops; i++) {
		for (size_t k = 0; crops[i] && k < w->crops[i].nsowings; k++) {
			day there = w->crops[i].sowings[k].first_boxed;
			if (there == DAY_NONE || there <= by)
				return false;
			any = true;
		}
	}
	return any;
}

/* Promises are as sure as the surest target.  Without the shed those that it must meet are not
 * of this plan. */
static void add_orders(struct plan_work *w)
{
	double sure = NAN;
	for (size_t i = 0; i < w->out->nlines; i++)
		sure = fmax(sure, w->out->lines[i].wish.sure);
	for (size_t i = 0; i < w->farm->norders; i++) {
		const struct order *o = &w->farm->orders[i];
		day by = o->due == DAY_NONE || o->due < w->out->on ? w->out->on : o->due;
		if (!stock_order_open(o, w->out->on))
			continue;
		if (w->options->ignore_stock && before_any(w, o->piece, by))
			w->out->early_orders++;
		else
			add_line(w,
				 (struct plan_wish){ o->piece, o->outlet, o->count, by, sure },
				 (uint32_t)i);
	}
}

static void set_lines(struct plan_work *w)
{
	const struct plan_options *o = w->options;
	size_t n = o->has_wishes ? o->nwishes : w->farm->ntargets;
	w->out->lines = ARENA_ARRAY(w->a, n + w->farm->norders + 1, struct plan_line);
	for (size_t i = 0; i < n; i++)
		add_line(w, o->has_wishes ? o->wishes[i] : wish_of(&w->farm->targets[i]), NONE);
	if (!o->ignore_orders)
		add_orders(w);
}

/* In the order in which they are served: by day, orders first, the surest first. */
struct turn {
	day by;
	bool target;
	double unsure;
	uint32_t line;
};

static int by_turn(const void *x, const void *y)
{
	const struct turn *a = x, *b = y;
	if (a->by != b->by)
		return a->by < b->by ? -1 : 1;
	if (a->target != b->target)
		return a->target ? 1 : -1;
	if (a->unsure < b->unsure || a->unsure > b->unsure)
		return a->unsure < b->unsure ? -1 : 1;
	return (a->line > b->line) - (a->line < b->line);
}

static struct turn turn_of(const struct plan *p, uint32_t line)
{
	const struct plan_line *l = &p->lines[line];
	double sure = isnan(l->wish.sure) ? 0 : l->wish.sure;
	return (struct turn){ l->wish.by, l->order == NONE, 1 - sure, line };
}

bool plan_served_first(const struct plan *p, uint32_t x, uint32_t y)
{
	struct turn a = turn_of(p, x), b = turn_of(p, y);
	return by_turn(&a, &b) < 0;
}

static struct turn *turns_of(const struct plan_work *w)
{
	struct turn *turns = ARENA_ARRAY(w->a, w->out->nlines + 1, struct turn);
	for (uint32_t i = 0; i < w->out->nlines; i++)
		turns[i] = turn_of(w->out, i);
	if (w->out->nlines)
		qsort(turns, w->out->nlines, sizeof *turns, by_turn);
	return turns;
}

static void take_finished(struct plan_work *w, const struct turn *turns)
{
	double *left = ARENA_ARRAY(w->a, w->farm->npieces + 1, double);
	for (size_t i = 0; i < w->farm->npieces; i++)
		left[i] = w->options->ignore_stock ? 0 : (double)loss_whole(w->stock->pieces[i]);
	/* Promised pieces first, whatever their day, as in reach and mix. */
	for (int targets = 0; targets < 2; targets++) {
		for (size_t i = 0; i < w->out->nlines; i++) {
			struct plan_line *l = &w->out->lines[turns[i].line];
			if (turns[i].target != (targets == 1))
				continue;
			l->finished = fmin(l->make, left[l->wish.piece]);
			left[l->wish.piece] -= l->finished;
		}
	}
}

/* ---- pools ---- */

static int by_number(const void *x, const void *y)
{
	uint32_t a = *(const uint32_t *)x, b = *(const uint32_t *)y;
	return (a > b) - (a < b);
}

size_t plan_colours_of(const struct plan_work *w, const struct need_option *o, uint32_t *out)
{
	const struct crop *c = &w->farm->crops[o->item.index];
	size_t n = 0;
	for (size_t i = 0; i < o->ncolours; i++)
		out[i] = o->colours[i];
	if (o->ncolours)
		qsort(out, o->ncolours, sizeof *out, by_number);
	for (size_t i = 0; i < o->ncolours; i++) {
		if (n == 0 || out[n - 1] != out[i])
			out[n++] = out[i];
	}
	return c->ncolours && n == c->ncolours ? 0 : n;
}

struct needing {
	struct plan_work *w;
	struct plan_ways *ways;
	struct plan_shed *shed;
	struct rat *part_stock;
	uint32_t *first_pool;   /* per crop; NONE */
	uint32_t *next_pool;    /* per pool: another of the same crop */
	size_t n_next, cap_next;
};

static uint32_t pool_for(struct needing *q, const struct need_option *o)
{
	struct plan_work *w = q->w;
	struct plan *out = w->out;
	uint32_t *colours = ARENA_ARRAY(w->a, o->ncolours + 1, uint32_t);
	size_t n = plan_colours_of(w, o, colours);
	for (uint32_t i = q->first_pool[o->item.index]; i != NONE; i = q->next_pool[i]) {
		const struct plan_pool *p = &out->pools[i];
		bool same = p->ncolours == n;
		for (size_t k = 0; same && k < n; k++)
			same = p->colours[k] == colours[k];
		if (same)
			return i;
	}
	*ARENA_PUSH(w->a, out->pools, out->npools, w->cap_pools) =
	    (struct plan_pool){ .crop = o->item.index, .colours = colours, .ncolours = n,
				.by = DAY_NONE, .chance_wanted = NAN, .in_time = 1, .fits = 1,
				.kept = { 1, 1, 1, 1 }, .chance = 1, .plain_chance = 1 };
	uint32_t pool = (uint32_t)(out->npools - 1);
	*ARENA_PUSH(w->a, q->next_pool, q->n_next, q->cap_next) = q->first_pool[o->item.index];
	q->first_pool[o->item.index] = pool;
	*ARENA_PUSH(w->a, w->demands, w->ndemand_lists, w->cap_demand_lists) =
	    (struct plan_demands){ 0 };
	return pool;
}

/* ---- uses ---- */

/* The line's use of that pool, which is among its last. */
static struct plan_use *use_of(struct plan_work *w, uint32_t line, uint32_t pool)
{
	struct plan *out = w->out;
	for (size_t i = out->nuses; i-- > 0 && out->uses[i].line == line;) {
		if (out->uses[i].pool == pool)
			return &out->uses[i];
	}
	struct plan_use *use = ARENA_PUSH(w->a, out->uses, out->nuses, w->cap_uses);
	*use = (struct plan_use){ .line = line, .pool = pool };
	return use;
}

static void add_use(struct needing *q, uint32_t line, const struct need_option *o, double stems)
{
	struct plan_work *w = q->w;
	const struct crop *c = &w->farm->crops[o->item.index];
	uint32_t pool = pool_for(q, o);
	size_t colours = w->out->pools[pool].ncolours ? w->out->pools[pool].ncolours : c->ncolours;
	struct plan_use part = { .stems = stems };
	if (o->one_colour && colours > 1)
		part.odd = (double)(colours - 1) * fmax(0, rat_double(o->count) - 1);
	part.stems += part.odd;
	part.grow = part.stems;
	day by = w->out->lines[line].wish.by;
	plan_shed_give(q->shed, &part, o, by);
	struct plan_use *use = use_of(w, line, pool);
	use->stems += part.stems;
	use->odd += part.odd;
	use->stock += part.stock;
	use->hanging += part.hanging;
	use->grow += part.grow;
	struct plan_demands *d = &w->demands[pool];
	if (part.grow > PLAN_CRUMB)
		*ARENA_PUSH(w->a, d->items, d->n, d->cap) =
		    (struct plan_demand){ line, by, NAN, part.grow, o->from, o->to };
}

static const struct need_option *option_of(const struct farm *f, const struct exploded_need *n)
{
	const struct need *needs = n->maker.kind == KIND_PIECE ? f->pieces[n->maker.index].needs
							      : f->parts[n->maker.index].needs;
	return &needs[n->need].options[n->option];
}

/* What a run leaves of parts: those on hand less those taken, and the rest of makings. */
static int keep_parts(struct needing *q, const struct exploded *e)
{
	const struct farm *f = q->w->farm;
	for (size_t i = 0; i < f->nparts; i++) {
		struct rat made, left, *stock = &q->part_stock[i];
		const struct exploded_part *p = &e->parts[i];
		if (!rat_mul(&made, (struct rat){ p->makings, 1 }, f->parts[i].makes) ||
		    !rat_sub(&left, made, p->net) || !rat_sub(stock, *stock, p->from_stock) ||
		    !rat_add(stock, *stock, left))
			return diag_error(q->w->diag, f->parts[i].head.at,
					  "The counts needed for %s are too large to reckon.",
					  diag_quote(q->w->diag, f->parts[i].head.name));
	}
	return 0;
}

static bool particular(const struct need_option *o)
{
	return o->ncolours || o->from > 0 || o->to > 0;
}

struct taken {                  /* of one need, over all ways that the line is made */
	const struct need_option *option;
	double count;
};

static void add_taken(struct taken **all, size_t *n, size_t *cap, const struct need_option *o, double count,
		      struct arena *scratch)
{
	for (size_t i = 0; i < *n; i++) {
		if ((*all)[i].option == o) {
			(*all)[i].count += count;
			return;
		}
	}
	*ARENA_PUSH(scratch, *all, *n, *cap) = (struct taken){ o, count };
}

/* Needs of a colour or length are served from the shed before those that take any. */
static int explode_line(struct needing *q, uint32_t line, struct arena *scratch)
{
	struct plan_work *w = q->w;
	const struct plan_line *l = &w->out->lines[line];
	int64_t count = (int64_t)(l->make - l->finished);
	bool *shut = ARENA_ARRAY(scratch, w->farm->ncrops + 1, bool);
	struct taken *taken = NULL;
	size_t n = 0, cap = 0, at = 0;
	bool named = w->options->ways && w->options->ways[line].n;
	while (count > 0) {
		struct exploded e;
		int status = named ? plan_ways_named(q->ways, &e, line, l->wish.piece, &count, &at, q->part_stock, scratch)
				   : plan_ways_take(q->ways, &e, l->wish.piece, &count, shut, q->part_stock, scratch);
		if (status < 0 || keep_parts(q, &e) < 0)
			return -1;
		for (size_t i = 0; i < e.nneeds; i++) {
			const struct need_option *o = option_of(w->farm, &e.needs[i]);
			if (o->item.kind == KIND_CROP)
				add_taken(&taken, &n, &cap, o, rat_double(e.needs[i].count), scratch);
		}
	}
	for (int any = 0; any < 2; any++) {
		for (size_t i = 0; i < n; i++) {
			if (particular(taken[i].option) == (any == 0))
				add_use(q, line, taken[i].option, taken[i].count);
		}
	}
	return 0;
}

/* ---- the end ---- */

struct rank {
	uint32_t crop, pool;
};

static int by_crop(const void *x, const void *y)
{
	const struct rank *a = x, *b = y;
	if (a->crop != b->crop)
		return a->crop < b->crop ? -1 : 1;
	return (a->pool > b->pool) - (a->pool < b->pool);
}

static int by_line(const void *x, const void *y)
{
	const struct plan_use *a = x, *b = y;
	if (a->line != b->line)
		return a->line < b->line ? -1 : 1;
	return (a->pool > b->pool) - (a->pool < b->pool);
}

static void sort_pools(struct plan_work *w)
{
	struct plan *out = w->out;
	size_t n = out->npools;
	struct rank *ranks = ARENA_ARRAY(w->a, n + 1, struct rank);
	struct plan_pool *pools = ARENA_ARRAY(w->a, n + 1, struct plan_pool);
	struct plan_demands *demands = ARENA_ARRAY(w->a, n + 1, struct plan_demands);
	uint32_t *place = ARENA_ARRAY(w->a, n + 1, uint32_t);
	for (uint32_t i = 0; i < n; i++)
		ranks[i] = (struct rank){ out->pools[i].crop, i };
	if (n)
		qsort(ranks, n, sizeof *ranks, by_crop);
	for (uint32_t i = 0; i < n; i++) {
		place[ranks[i].pool] = i;
		pools[i] = out->pools[ranks[i].pool];
		demands[i] = w->demands[ranks[i].pool];
	}
	for (size_t i = 0; i < out->nuses; i++)
		out->uses[i].pool = place[out->uses[i].pool];
	if (out->nuses)
		qsort(out->uses, out->nuses, sizeof *out->uses, by_line);
	out->pools = pools;
	w->demands = demands;
}

/* Sums, and the certainty that each pool owes each line. */
static void share_risk(struct plan_work *w)
{
	struct plan *out = w->out;
	for (size_t i = 0; i < out->nuses; i++) {
		const struct plan_use *u = &out->uses[i];
		struct plan_pool *p = &out->pools[u->pool];
		p->stems += u->stems;
		p->stock += u->stock;
		p->hanging += u->hanging;
		out->lines[u->line].pools += u->grow > PLAN_CRUMB;
	}
	for (size_t i = 0; i < out->npools; i++) {
		bool trays = w->crops[out->pools[i].crop].trays;
		for (size_t k = 0; k < w->demands[i].n; k++) {
			struct plan_demand *d = &w->demands[i].items[k];
			const struct plan_line *l = &out->lines[d->line];
			double risk = (1 - l->wish.sure) / fmax(1, (double)l->pools);
			d->chance = 1 - risk * (trays ? 1 - PLAN_TRAY_RISK : 1);
		}
	}
}

int plan_needs(struct plan_work *w)
{
	const struct farm *f = w->farm;
	struct needing q = { .w = w };
	set_lines(w);
	struct turn *turns = turns_of(w);
	take_finished(w, turns);
	q.ways = plan_ways_open(w);
	q.shed = plan_shed_open(w);
	q.first_pool = ARENA_ARRAY(w->a, f->ncrops + 1, uint32_t);
	for (size_t i = 0; i < f->ncrops; i++)
		q.first_pool[i] = NONE;
	q.part_stock = ARENA_ARRAY(w->a, f->nparts + 1, struct rat);
	for (size_t i = 0; i < f->nparts; i++) {
		double have = w->options->ignore_stock ? 0 : fmin(w->stock->parts[i], 1e9);
		if (!rat_make(&q.part_stock[i], loss_whole(have * PART_FINE), PART_FINE))
			q.part_stock[i] = RAT_ZERO;
	}
	for (size_t i = 0; i < w->out->nlines; i++) {
		struct arena scratch;
		arena_init(&scratch);
		int status = explode_line(&q, turns[i].line, &scratch);
		arena_release(&scratch);
		if (status < 0)
			return -1;
	}
	sort_pools(w);
	share_risk(w);
	return 0;
}

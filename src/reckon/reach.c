/* reach.c - the most of each piece: bounds first, a plan by hand, and the solver for
 * what is still open between them. */
#include "reckon/reach.h"

#include <math.h>

#include "farm/measure.h"
#include "reckon/loss.h"
#include "reckon/reach_again.h"
#include "reckon/reach_shed.h"

enum { CHECK_NODES = 100, ASIDE_NODES = 200 }; /* second opinions; side questions */

/* ---- the most of one piece ---- */

struct study { /* one piece */
	struct reach_shed *s;
	uint32_t piece;
	const struct promise *promises;
	size_t npromises;
};

struct guess {                                 /* what to suppose while looking */
	const unsigned char *crops, *supplies; /* MATERIAL_FREE or LIMITED */
	const struct extra *extra;
	int64_t known; /* so many can be made: proven; -1 */
	bool one_more; /* any more than that will do */
	bool aside;    /* a side question: give up sooner */
};

enum verdict { VERDICT_MOST, VERDICT_NONE, VERDICT_ENDLESS, VERDICT_OPEN, VERDICT_FAULT };

static struct question question_of(const struct study *t, const struct guess *g)
{
	const struct reach_shed *s = t->s;
	return (struct question){ .farm = s->farm,
				  .stock = s->stock,
				  .no_buying = s->no_buying,
				  .days = s->days,
				  .ndays = s->ndays,
				  .keep = s->keep,
				  .promises = t->promises,
				  .npromises = t->npromises,
				  .piece = t->piece,
				  .crops = g->crops,
				  .supplies = g->supplies,
				  .extra = g->extra,
				  .nodes = g->aside ? ASIDE_NODES : s->nodes,
				  .again = s->again,
				  .diag = s->diag };
}

/* What a whole making leaves over may serve a later order, so that more pieces can be
 * easier than fewer. */
static bool leaves_over(const struct program *p)
{
	for (size_t i = 0; i < p->nbatches; i++)
		if (p->batches[i].ndays > 1 && p->batches[i].makes > 1)
			return true;
	return false;
}

/* The largest n that is not proven impossible; -1 when even 0 is. */
static int64_t upper_bound(struct program *p, int64_t known, int64_t most)
{
	int64_t good = known, bad, step = 1;
	if (most > p->cap)
		most = p->cap;
	if (known < 0 && !program_possible(p, good = 0))
		return -1;
	for (bad = good + 1; bad <= most && program_possible(p, bad); bad = good + step) {
		good = bad;
		step *= 2;
	}
	if (bad > most)
		bad = most + 1;
	while (bad - good > 1) {
		int64_t middle = good + (bad - good) / 2;
		if (program_possible(p, middle))
			good = middle;
		else
			bad = middle;
	}
	return good;
}

/* The largest n at or below `upper` of which there is a plan by hand, looking down in
 * growing steps; `known` when none is found. */
static int64_t lower_bound(struct program *p, int64_t known, int64_t upper)
{
	for (int64_t n = upper, step = 1; n > known; n -= step, step *= 2)
		if (program_plan(p, n))
			return n;
	return known < 0 && program_plan(p, 0) ? 0 : known;
}

/* By the solver: n in known+1 .. *upper. */
static enum verdict settle(struct program *p, int64_t known, int64_t *most, int64_t *upper)
{
	bool other = false; /* a second opinion found more */
	for (;;) {
		int64_t from = known < 0 ? 0 : known + 1;
		struct finding_n f = { FOUND_NONE, known, known };
		if (from <= *upper)
			f = program_solve(p, from, *upper, &(struct solving){ .plain = other });
		if (f.found == FOUND_SOME || f.found == FOUND_NOTHING) {
			*most = f.found == FOUND_SOME ? f.n : known < 0 ? 0 : known;
			*upper = f.found == FOUND_SOME ? f.upper : *upper;
			return VERDICT_OPEN;
		}
		int64_t best = f.found == FOUND_MOST ? f.n : known;
		struct finding_n check = { FOUND_NONE, 0, 0 };
		if (best < *upper && !other)
			check =
			    program_solve(p, best < 0 ? 0 : best + 1, *upper,
					  &(struct solving){ .plain = true, .nodes = CHECK_NODES });
		if (check.found != FOUND_MOST && check.found != FOUND_SOME) {
			*most = best < 0 ? 0 : best;
			*upper = *most;
			return best < 0 ? VERDICT_NONE : VERDICT_MOST;
		}
		known = check.n;
		other = true;
	}
}

/* Between what is proven and what is not disproven. */
static enum verdict close_in(struct program *p, struct question *q, int64_t known, int64_t *most,
			     int64_t *upper, struct arena *a)
{
	if (*upper == known || program_plan(p, *upper)) {
		*most = *upper;
		return VERDICT_MOST;
	}
	if (program_strip(p, q, *upper, a) < 0)
		return VERDICT_FAULT;
	if (p->nvariants == 0) { /* nothing is left that could stop it */
		*most = *upper;
		return VERDICT_MOST;
	}
	struct finding_n bound = program_solve(p, known < 0 ? 0 : known + 1, *upper,
					       &(struct solving){ .relaxed = true });
	if (bound.found == FOUND_NONE) {
		*most = *upper = known < 0 ? 0 : known;
		return known < 0 ? VERDICT_NONE : VERDICT_MOST;
	}
	if (bound.found == FOUND_SOME)
		*upper = bound.upper;
	*most = lower_bound(p, known, *upper);
	if (*most == *upper)
		return VERDICT_MOST;
	return settle(p, *most, most, upper);
}

static int64_t look_to(const struct program *p, const struct guess *g)
{
	return g->one_more && !leaves_over(p) ? g->known + 1 : PIECES_MOST;
}

/* *most is proven possible, *upper no less than the largest n. */
static enum verdict most_of(const struct study *t, const struct guess *g, int64_t *most,
			    int64_t *upper)
{
	struct arena a;
	struct program p;
	struct question q = question_of(t, g);
	enum verdict v = VERDICT_MOST;
	arena_init(&a);
	*most = *upper = 0;
	if (program_build(&p, &q, &a) < 0) {
		v = VERDICT_FAULT;
	} else if (p.free_piece) {
		v = VERDICT_ENDLESS;
	} else if ((*upper = upper_bound(&p, g->known, look_to(&p, g))) < 0) {
		v = VERDICT_NONE;
		*upper = 0;
	} else {
		v = close_in(&p, &q, g->known, most, upper, &a);
	}
	arena_release(&a);
	return v;
}

/* ---- what stops it ---- */

struct candidates {
	struct item *items;
	size_t n, nown;                  /* the first are of its own recipe */
	unsigned char *seen;             /* per part */
	unsigned char *crops, *supplies; /* states to try with */
};

static void add_candidate(const struct study *t, struct candidates *c, struct item item)
{
	bool limits = item.kind == KIND_CROP || (item.kind == KIND_SUPPLY && t->s->no_buying &&
						 !isnan(t->s->stock->supplies[item.index]));
	for (size_t i = 0; i < c->n && limits; i++)
		limits = c->items[i].kind != item.kind || c->items[i].index != item.index;
	if (limits)
		c->items[c->n++] = item;
}

/* Crops and limited supplies as the recipe names them, parts in their place. */
static void add_recipe(const struct study *t, struct candidates *c, const struct need *needs,
		       size_t n)
{
	for (size_t i = 0; i < n; i++)
		for (size_t k = 0; k < needs[i].noptions; k++) {
			struct item item = needs[i].options[k].item;
			if (item.kind != KIND_PART) {
				add_candidate(t, c, item);
			} else if (!c->seen[item.index]) {
				const struct part *part = &t->s->farm->parts[item.index];
				c->seen[item.index] = 1;
				add_recipe(t, c, part->needs, part->nneeds);
			}
		}
}

static struct candidates find_candidates(const struct study *t, struct arena *a)
{
	const struct farm *farm = t->s->farm;
	const struct piece *piece = &farm->pieces[t->piece];
	struct candidates c = { .items =
				    ARENA_ARRAY(a, farm->ncrops + farm->nsupplies + 1, struct item),
				.seen = ARENA_ARRAY(a, farm->nparts + 1, unsigned char),
				.crops = ARENA_ARRAY(a, farm->ncrops + 1, unsigned char),
				.supplies = ARENA_ARRAY(a, farm->nsupplies + 1, unsigned char) };
	add_recipe(t, &c, piece->needs, piece->nneeds);
	c.nown = c.n;
	for (size_t i = 0; i < t->npromises; i++) {
		const struct piece *other = &farm->pieces[t->promises[i].piece];
		add_recipe(t, &c, other->needs, other->nneeds);
	}
	return c;
}

static void suppose(struct candidates *c, struct item item, enum material m)
{
	(item.kind == KIND_CROP ? c->crops : c->supplies)[item.index] = (unsigned char)m;
}

enum answer { ANSWER_FAULT = -1, ANSWER_NO, ANSWER_YES, ANSWER_OPEN };

/* Whether more than `known` can be made as the candidates stand.  NO is proven; OPEN: no
 * plan for more was found, and no proof that there is none. */
static enum answer can_make_more(const struct study *t, const struct candidates *c, int64_t known)
{
	struct guess g = { c->crops, c->supplies, NULL, known, true, true };
	int64_t most, upper;
	switch (most_of(t, &g, &most, &upper)) {
	case VERDICT_FAULT:
		return ANSWER_FAULT;
	case VERDICT_ENDLESS:
		return ANSWER_YES;
	case VERDICT_NONE:
		return ANSWER_NO;
	case VERDICT_MOST:
		return most > known ? ANSWER_YES : ANSWER_NO;
	default:
		return most > known ? ANSWER_YES : ANSWER_OPEN;
	}
}

static void suppose_all(struct candidates *c, size_t from, size_t to, enum material m)
{
	for (size_t i = from; i < to; i++)
		suppose(c, c->items[i], m);
}

/* What stops it, of the candidates from..to, in their order.  A plan for some of them
 * without end is one for all of them without end: where all together let no more be made,
 * none of them alone does, and none is asked after. */
static int stops_among(const struct study *t, struct candidates *c, size_t from, size_t to,
		       struct reach_piece *out)
{
	if (from == to || out->nstops == REACH_STOPS_MOST)
		return 0;
	suppose_all(c, from, to, MATERIAL_FREE);
	enum answer can = can_make_more(t, c, out->most);
	suppose_all(c, from, to, MATERIAL_LIMITED);
	if (can == ANSWER_FAULT || can == ANSWER_NO)
		return can;
	if (to - from == 1) {
		if (can == ANSWER_YES)
			out->stops[out->nstops++] = c->items[from];
		return 0;
	}
	size_t middle = from + (to - from) / 2;
	if (stops_among(t, c, from, middle, out) < 0)
		return -1;
	return stops_among(t, c, middle, to, out);
}

/* Mostly it is one thing of its own recipe: where no more can be made with all but that
 * one without end, for the same reason no other stops it.  1: so it is, and it was asked after. */
static int stopped_by_one(const struct study *t, struct candidates *c, struct reach_piece *out)
{
	for (size_t i = 0; i < c->nown && c->n > 2; i++) {
		suppose_all(c, 0, c->n, MATERIAL_FREE);
		suppose(c, c->items[i], MATERIAL_LIMITED);
		enum answer can = can_make_more(t, c, out->most);
		suppose_all(c, 0, c->n, MATERIAL_LIMITED);
		if (can == ANSWER_FAULT)
			return -1;
		if (can == ANSWER_NO)
			return stops_among(t, c, i, i + 1, out) < 0 ? -1 : 1;
	}
	return 0;
}

/* Of from..to, all without end: limits again, from the last, what is not needed for more.
 * Where more can be made with all of them limited, it can with each of them limited in turn. */
static int limit_again(const struct study *t, struct candidates *c, size_t from, size_t to,
		       int64_t known)
{
	suppose_all(c, from, to, MATERIAL_LIMITED);
	enum answer can = can_make_more(t, c, known);
	if (can == ANSWER_FAULT)
		return -1;
	if (can == ANSWER_YES)
		return 0;
	suppose_all(c, from, to, MATERIAL_FREE);
	if (to - from == 1)
		return 0;
	size_t middle = from + (to - from) / 2;
	if (limit_again(t, c, middle, to, known) < 0)
		return -1;
	return limit_again(t, c, from, middle, known);
}

/* No single one: leave out what is not needed, from the last; what remains is short
 * together. */
static int short_together(const struct study *t, struct candidates *c, struct reach_piece *out)
{
	suppose_all(c, 0, c->n, MATERIAL_FREE);
	enum answer can = can_make_more(t, c, out->most);
	if (can != ANSWER_YES)
		return can == ANSWER_FAULT ? -1 : 0;
	if (c->n > 0 && limit_again(t, c, 0, c->n, out->most) < 0)
		return -1;
	for (size_t i = 0; i < c->n; i++) {
		struct item item = c->items[i];
		bool open =
		    (item.kind == KIND_CROP ? c->crops : c->supplies)[item.index] == MATERIAL_FREE;
		if (open && out->nstops < REACH_STOPS_MOST)
			out->stops[out->nstops++] = item;
	}
	out->together = out->nstops > 0;
	return 0;
}

/* Drops the candidates that would suffice for one more in any case.  Where a making
 * may leave something over, many more may be easier than one: all stay. */
static int keep_short_ones(const struct study *t, struct candidates *c, int64_t most,
			   struct arena *a)
{
	struct program p;
	struct guess g = { c->crops, c->supplies, NULL, most, true, true };
	struct question q = question_of(t, &g);
	size_t n = 0, nown = c->nown;
	if (program_build(&p, &q, a) < 0)
		return -1;
	if (leaves_over(&p))
		return 0;
	unsigned char *unfit = p.unfit;
	if (program_strip(&p, &q, most + 1, a) < 0)
		return -1;
	for (size_t i = 0; i < c->n; i++) {
		uint32_t k = c->items[i].index;
		bool in = c->items[i].kind == KIND_CROP ? p.room_of[k] != NONE || unfit[k]
							: p.pile_of[k] != NONE;
		if (in)
			c->items[n++] = c->items[i];
		if (i + 1 == nown)
			c->nown = n;
	}
	c->n = n;
	return 0;
}

static int find_stops(const struct study *t, struct reach_piece *out)
{
	struct arena a;
	arena_init(&a);
	struct candidates c = find_candidates(t, &a);
	int done = keep_short_ones(t, &c, out->most, &a);
	if (done == 0)
		done = stopped_by_one(t, &c, out);
	if (done == 0)
		done = stops_among(t, &c, 0, c.n, out);
	if (done >= 0 && out->nstops == 0)
		done = short_together(t, &c, out);
	arena_release(&a);
	return done < 0 ? -1 : 0;
}

/* ---- one bunch more ---- */

struct kinds_of_stem { /* what a bunch could be: colours and lengths that are asked for */
	uint32_t *colours;
	double *lengths;
	size_t ncolours, nlengths;
	const struct need_option **options;
	size_t noptions, cap_options;
	unsigned char *seen; /* per part */
};

static void add_options(const struct study *t, struct kinds_of_stem *k, uint32_t crop,
			const struct need *needs, size_t n, struct arena *a)
{
	for (size_t i = 0; i < n; i++)
		for (size_t j = 0; j < needs[i].noptions; j++) {
			const struct need_option *o = &needs[i].options[j];
			if (o->item.kind == KIND_CROP && o->item.index == crop) {
				*ARENA_PUSH(a, k->options, k->noptions, k->cap_options) = o;
			} else if (o->item.kind == KIND_PART && !k->seen[o->item.index]) {
				const struct part *part = &t->s->farm->parts[o->item.index];
				k->seen[o->item.index] = 1;
				add_options(t, k, crop, part->needs, part->nneeds, a);
			}
		}
}

static void add_colour(struct kinds_of_stem *k, uint32_t colour)
{
	for (size_t i = 0; i < k->ncolours; i++)
		if (k->colours[i] == colour)
			return;
	k->colours[k->ncolours++] = colour;
}

static void add_length(struct kinds_of_stem *k, double length)
{
	for (size_t i = 0; i < k->nlengths; i++)
		if (k->lengths[i] == length)
			return;
	k->lengths[k->nlengths++] = length;
}

/* Of each option the colours it takes, and the longest length asked for that is not
 * too long for it: longer stems serve shorter needs. */
static void find_kinds(const struct study *t, struct kinds_of_stem *k, uint32_t crop,
		       struct arena *a)
{
	const struct farm *farm = t->s->farm;
	const struct piece *piece = &farm->pieces[t->piece];
	*k = (struct kinds_of_stem){ .seen = ARENA_ARRAY(a, farm->nparts + 1, unsigned char) };
	add_options(t, k, crop, piece->needs, piece->nneeds, a);
	for (size_t i = 0; i < t->npromises; i++) {
		const struct piece *other = &farm->pieces[t->promises[i].piece];
		if (other != piece)
			add_options(t, k, crop, other->needs, other->nneeds, a);
	}
	size_t ncolours = 1;
	for (size_t i = 0; i < k->noptions; i++)
		ncolours += k->options[i]->ncolours;
	k->colours = ARENA_ARRAY(a, ncolours + farm->ncolours, uint32_t);
	k->lengths = ARENA_ARRAY(a, k->noptions + 1, double);
	for (size_t i = 0; i < k->noptions; i++) {
		const struct need_option *o = k->options[i];
		double length = o->from;
		for (size_t j = 0; j < k->noptions; j++)
			if (k->options[j]->from > length &&
			    !(o->to > 0 && k->options[j]->from > o->to))
				length = k->options[j]->from;
		add_length(k, length > 0 ? length : o->to);
		for (size_t j = 0; j < o->ncolours; j++)
			add_colour(k, o->colours[j]);
		for (uint32_t c = 0; o->one_colour && o->ncolours == 0 && c < farm->ncolours; c++)
			add_colour(k, c);
	}
	if (k->ncolours == 0)
		k->colours[k->ncolours++] = NONE;
}

/* Raises *best; *open when it might be more still. */
static int try_extra(const struct study *t, const struct extra *extra, int64_t *best, bool *open)
{
	struct arena a;
	arena_init(&a);
	struct guess g = { ARENA_ARRAY(&a, t->s->farm->ncrops + 1, unsigned char),
			   ARENA_ARRAY(&a, t->s->farm->nsupplies + 1, unsigned char),
			   extra,
			   *best,
			   false,
			   true };
	int64_t most, upper;
	enum verdict v = most_of(t, &g, &most, &upper);
	if ((v == VERDICT_MOST || v == VERDICT_OPEN) && most > *best)
		*best = most;
	*open = *open || v == VERDICT_OPEN;
	arena_release(&a);
	return v == VERDICT_FAULT ? -1 : 0;
}

/* The bunch is of that colour and length, of those that are asked for, that helps most. */
static int one_bunch(const struct study *t, struct reach_piece *out)
{
	struct item item = out->stops[0];
	struct extra extra = { .item = item, .colour = NONE };
	struct kinds_of_stem k = { .ncolours = 1, .nlengths = 1 };
	int64_t best = out->most;
	bool open = false;
	int fault = 0;
	struct arena a;
	arena_init(&a);
	if (item.kind == KIND_CROP) {
		find_kinds(t, &k, item.index, &a);
		extra.count = rat_floor(measure_bunch(t->s->farm, item.index));
	} else {
		double pack = t->s->farm->supplies[item.index].pack.v;
		extra.count = pack >= 1 ? loss_whole(pack) : 1;
	}
	out->more_by = (double)extra.count;
	for (size_t i = 0; i < k.ncolours * k.nlengths && !fault && extra.count > 0; i++) {
		if (item.kind == KIND_CROP) {
			extra.colour = k.colours[i / k.nlengths];
			extra.length = k.lengths[i % k.nlengths];
		}
		fault = try_extra(t, &extra, &best, &open);
	}
	arena_release(&a);
	out->more = open ? -1 : best - out->most;
	return fault;
}

/* ---- orders that cannot be met ---- */

static void add_short(struct reach *out, enum kind kind, size_t index, double count)
{
	if (count > 0)
		out->shorts[out->nshorts++] =
		    (struct order_short){ { kind, (uint32_t)index }, count };
}

/* All open orders, with as little more of everything as makes them possible. */
static int find_shorts(struct reach *out, struct reach_shed *s)
{
	const struct farm *farm = s->farm;
	struct arena a;
	struct program p;
	arena_init(&a);
	struct study t = { s, NONE, s->promises, s->npromises };
	struct guess g = { ARENA_ARRAY(&a, farm->ncrops + 1, unsigned char),
			   ARENA_ARRAY(&a, farm->nsupplies + 1, unsigned char),
			   NULL,
			   0,
			   false,
			   false };
	struct question q = question_of(&t, &g);
	struct solving how = { .short_crops = ARENA_ARRAY(&a, farm->ncrops + 1, double),
			       .short_supplies = ARENA_ARRAY(&a, farm->nsupplies + 1, double) };
	q.elastic = true;
	int fault = program_build(&p, &q, &a) < 0 || program_strip(&p, &q, 0, &a) < 0 ? -1 : 0;
	if (!fault)
		program_solve(&p, 0, 0, &how);
	out->shorts = ARENA_ARRAY(s->a, farm->ncrops + farm->nsupplies + 1, struct order_short);
	for (size_t i = 0; i < farm->ncrops && !fault; i++)
		add_short(out, KIND_CROP, i, how.short_crops[i]);
	for (size_t i = 0; i < farm->nsupplies && !fault; i++)
		add_short(out, KIND_SUPPLY, i, how.short_supplies[i]);
	arena_release(&a);
	return fault;
}

/* ---- all pieces ---- */

static int study_piece(const struct study *t, struct reach_piece *out, struct arena *a)
{
	static const enum reach_state states[] = { REACH_FOUND, REACH_ORDERS_SHORT, REACH_ENDLESS,
						   REACH_STOPPED };
	struct guess g = { ARENA_ARRAY(a, t->s->farm->ncrops + 1, unsigned char),
			   ARENA_ARRAY(a, t->s->farm->nsupplies + 1, unsigned char),
			   NULL,
			   -1,
			   false,
			   false };
	enum verdict v = most_of(t, &g, &out->most, &out->upper);
	if (v == VERDICT_FAULT)
		return -1;
	out->state = states[v];
	if (out->state != REACH_FOUND)
		return 0;
	if (find_stops(t, out) < 0)
		return -1;
	if (out->together)
		out->more = 0; /* none of them alone lets one more be made */
	if (out->nstops == 0)
		return 0;
	return one_bunch(t, out);
}

static void say_uncounted(const struct reach_shed *s)
{
	struct said names = { 0 };
	for (size_t i = 0; i < s->farm->npieces; i++)
		for (uint32_t k = 0; k < s->farm->nsupplies; k++)
			if (s->uses[i][s->farm->ncrops + s->farm->nparts + k] &&
			    isnan(s->stock->supplies[k]))
				said_add(&names, s->a, s->farm->supplies[k].head.name);
	if (names.n)
		remark(s->remarks, REMARK_ASSUMED,
		       "Not counted, so taken as enough though nothing is bought: %s.",
		       said_text(&names));
}

int reach_reckon(struct reach *out, const struct farm *farm, const struct stock *stock,
		 const struct reach_options *options, struct arena *a, struct remarks *r,
		 struct diag *diag)
{
	struct arena scratch;
	struct reach_shed s;
	bool any_short = false;
	int fault = 0;
	arena_init(&scratch);
	reach_shed_open(&s, farm, stock, options, &scratch, r, diag);
	struct again again = { .a = &scratch };
	s.again = &again;
	if (!farm->has_stock)
		remark(r, REMARK_ASSUMED, "No boxes counted: the shed is taken as empty.");
	if (s.no_buying)
		say_uncounted(&s);
	*out = (struct reach){ .pieces = ARENA_ARRAY(a, farm->npieces, struct reach_piece) };
	struct promise *near = ARENA_ARRAY(&scratch, s.npromises + 1, struct promise);
	for (uint32_t i = 0; i < farm->npieces && !fault; i++) {
		struct reach_piece *p = &out->pieces[i];
		size_t n = reach_touching(&s, i, near, &scratch);
		struct study t = { &s, i, near, n };
		p->more = -1;
		p->finished = (double)s.finished[i];
		fault = study_piece(&t, p, &scratch);
		any_short = any_short || p->state == REACH_ORDERS_SHORT;
	}
	if (any_short && !fault) {
		s.a = a;
		fault = find_shorts(out, &s);
	}
	arena_release(&scratch);
	return fault;
}

/* mix_search.c - a first answer by hand, then the tree until the gap is proven.
 *
 * The relaxation says how good a mix can be and which ways it likes.  Its counts are
 * rounded down to a plan that holds, more is added while it pays, single pieces are
 * exchanged for others; all of it in whole numbers and in the same order on every run.
 * Only where that leaves a gap the tree is searched, and what it finds is rounded and
 * exchanged in the same way. */
#include "reckon/mix_model.h"

#include <math.h>

#define ROUNDING 1e-8

enum { EFFORT = 300000,
       LARGE_EFFORT = 50000, /* another wish, and then a few sales at a time, do more */
       LITTLE = 8, /* a part of the effort, where a plan is good enough already */
       FEW_VARIANTS = 400,
       SEASONS_MOST = 24,
       FIRST_WAY = 4, /* and the ways down after it: each twice as fine */
       WAYS_MOST = 32,
       STEPS = 2, /* of a large mix, from wish to wish: what is split after a few steps is */
       WISHES = 5, /* better left to hand */
       FEW_TURNS = 1, /* of all slots */
       IDLE_TURNS = 2,
       TURNS_MOST = 600 };

/* ---- the search ---- */

struct quest {
	struct mixing *x;
	struct mix_answer *out;
	double *share;
	double gap;
	long effort, nodes;
	uint64_t dice; /* the same on every run */
	struct season { /* days at each stall, to be looked at by themselves */
		int64_t *days;
		double bound;
		struct mix_wishes wishes;
		struct mix_ranges ranges;
	} * seasons; /* highest bound first; one without days: they are the solver's choice */
	size_t nseasons;
};

static bool sells_alike(const struct mix_plan *a, const struct mix_plan *b)
{
	return memcmp(a->n, b->n, a->x->nsales * sizeof *a->n) == 0;
}

static void keep_second(struct mix_answer *out, const struct mix_plan *p)
{
	if (sells_alike(p, &out->best) ||
	    (out->has_second && mix_plan_value(&out->second) >= mix_plan_value(p)))
		return;
	mix_plan_copy(&out->second, p);
	out->has_second = true;
}

void mix_offer(struct mixing *x, struct mix_answer *out, struct mix_plan *p)
{
	if (!mix_plan_settle(p))
		return;
	if (out->any && mix_plan_value(p) <= mix_plan_value(&out->best)) {
		keep_second(out, p);
		return;
	}
	if (out->any && !sells_alike(p, &out->best)) {
		mix_plan_copy(&out->second, &out->best);
		out->has_second = true;
	}
	mix_plan_copy(&out->best, p);
	out->any = true;
	out->value = x->known = money_of(mix_plan_value(p));
}

/* Within the gap, and what the solver's own rounding may hide. */
static bool within_gap(const struct quest *q, double value, double bound)
{
	double size = fabs(value);
	return bound - value <= q->gap * fmax(size, 0.01) + ROUNDING * fmax(1, size);
}

static bool closed(const struct quest *q, double bound)
{
	return within_gap(q, q->out->value, bound);
}

static bool good_enough(const struct quest *q)
{
	return q->out->any && closed(q, q->out->bound);
}

static bool asked_to_stop(struct quest *q)
{
	const volatile sig_atomic_t *stop = q->x->options->stop;
	q->out->interrupted = q->out->interrupted || (stop && *stop);
	return q->out->interrupted || (q->x->until > 0 && mix_clock() >= q->x->until);
}

static void fresh_plan(struct quest *q, struct mix_plan *p)
{
	mix_plan_init(p, q->x);
	p->share = q->share;
}

static void try_answer(struct quest *q, const struct mix_solved *s)
{
	struct mix_plan p;
	fresh_plan(q, &p);
	if (!mix_plan_near(&p, s)) {
		mix_plan_release(&p);
		fresh_plan(q, &p);
		mix_plan_round(&p, s);
	}
	mix_offer(q->x, q->out, &p);
	if (!good_enough(q)) {
		mix_plan_improve(&p, q->effort);
		mix_offer(q->x, q->out, &p);
	}
	mix_plan_release(&p);
}

static void set_shares(struct quest *q, const struct mix_solved *s)
{
	const struct program *p = &q->x->p;
	q->share = ARENA_ARRAY(q->x->a, p->nvariants + 1, double);
	for (size_t i = 0; i < p->nvariants; i++) {
		double made = s->made[p->variants[i].maker];
		q->share[i] = made > 1e-9 ? s->got[i] / made : 0;
	}
	/* A maker that is not used: its first way, not none. */
	for (size_t i = 0; i < p->nmakers; i++)
		if (s->made[i] <= 1e-9)
			for (size_t k = p->makers[i].first;
			     k < p->makers[i].first + p->makers[i].nvariants; k++)
				q->share[k] = k == p->makers[i].first ||
						      p->variants[k].need != p->variants[k - 1].need
						  ? 1
						  : 0;
}

static bool go_on(struct quest *q)
{
	return !q->out->none && !good_enough(q) && !asked_to_stop(q);
}

/* ---- seasons: each number of days at each stall ---- */

/* Kept in the order of their bounds. */
static void add_season(struct quest *q, int64_t *days, double bound)
{
	struct season new = { .days = days, .bound = bound + 1e-9 * fabs(bound) };
	mix_ranges_open(q->x, &new.ranges);
	size_t k = q->nseasons++;
	for (; k > 0 && q->seasons[k - 1].bound < new.bound; k--)
		q->seasons[k] = q->seasons[k - 1];
	q->seasons[k] = new;
}

static void set_bound(struct quest *q)
{
	double most = -(double)INFINITY;
	for (size_t i = 0; i < q->nseasons; i++)
		most = fmax(most, q->seasons[i].bound);
	q->out->bound = fmin(q->out->bound, most);
}

static bool next_days(const struct mixing *x, int64_t *days)
{
	for (size_t i = 0; i < x->nstalls; i++) {
		if (days[i]++ < x->stalls[i].days)
			return true;
		days[i] = 0;
	}
	return false;
}

/* With few days to choose from, each choice is a program of its own: whole pieces on so
 * many days instead of the season's curve in small.  What the relaxation would give for a
 * day more bounds them all before any of them is solved. */
static void list_seasons(struct quest *q)
{
	const struct mixing *x = q->x;
	struct mix_solved s;
	int64_t n = 1, *days = ARENA_ARRAY(x->a, x->nstalls + 1, int64_t);
	for (size_t i = 0; i < x->nstalls && n <= SEASONS_MOST; i++)
		n *= x->stalls[i].days + 1;
	if (x->nstalls == 0 || n > SEASONS_MOST) {
		q->seasons = ARENA_ARRAY(x->a, 1, struct season);
		add_season(q, NULL, (double)INFINITY);
		return;
	}
	q->seasons = ARENA_ARRAY(x->a, (size_t)n, struct season);
	mix_program(q->x, &(struct mix_solving){ .relaxed = true }, &s);
	if (s.outcome == SOLVE_INFEASIBLE)
		return;
	do {
		int64_t *these = ARENA_ARRAY(x->a, x->nstalls + 1, int64_t);
		double bound = s.outcome == SOLVE_OPTIMAL ? s.value : (double)INFINITY;
		memcpy(these, days, x->nstalls * sizeof *days);
		for (size_t i = 0; i < x->nstalls && s.day_price; i++)
			bound += s.day_price[i] * ((double)days[i] - s.days[i]);
		add_season(q, these, bound);
	} while (next_days(x, days));
}

static void way_down(struct quest *q, int part, const int64_t *days, struct mix_wishes *w,
		     struct mix_solved *relaxed)
{
	struct mix_solving how = { .root = part,
				   .every = q->x->nsales > MIX_LARGE ? STEPS : 0,
				   .times = WISHES,
				   .wishes = w,
				   .days = days };
	mix_program(q->x, &how, relaxed);
}

/* Its relaxation, sharpened; false: it cannot be, or is no better than what is there. */
static bool open_season(struct quest *q, struct season *s)
{
	struct mix_solved relaxed;
	way_down(q, FIRST_WAY, s->days, &s->wishes, &relaxed);
	double bound = relaxed.outcome == SOLVE_INFEASIBLE ? -(double)INFINITY : relaxed.proven;
	s->bound = fmin(s->bound, bound + 1e-9 * fabs(bound));
	set_bound(q);
	return relaxed.outcome != SOLVE_INFEASIBLE && (!q->out->any || !closed(q, s->bound));
}

static bool open_yet(const struct quest *q, size_t season)
{
	return !q->out->any || !closed(q, q->seasons[season].bound);
}

/* What the program wishes for as a plan that holds: all of it, less what whole stems do not
 * allow; or counts rounded down until they hold.  The dearer of the two. */
static void round_wish(struct quest *q, const struct mix_solved *s, struct mix_plan *p)
{
	struct mix_plan other;
	fresh_plan(q, p);
	if (!mix_plan_mend(p) || !s)
		return;
	mix_plan_round(p, s);
	fresh_plan(q, &other);
	if (mix_plan_near(&other, s) && mix_plan_value(&other) > mix_plan_value(p))
		mix_plan_copy(p, &other);
	mix_plan_release(&other);
}

/* And adds and exchanges from there. */
static void round_and_improve(struct quest *q, const struct mix_solved *s)
{
	struct mix_plan p;
	if (s)
		set_shares(q, s);
	round_wish(q, s, &p);
	bool enough = within_gap(q, money_of(mix_plan_value(&p)), q->out->bound);
	mix_plan_improve(&p, enough ? q->effort / LITTLE : q->effort);
	mix_offer(q->x, q->out, &p);
	mix_plan_release(&p);
}

/* The last wish; of a large mix one after another, as each leads to another plan, which may
 * be the better one. */
static void by_wishes(struct quest *q, const struct mix_wishes *w)
{
	static const size_t order[WISHES + 1] = { 2, 0, 3, 1, 4, 5 };
	size_t n = q->x->nsales > MIX_LARGE ? w->n : w->n > 0;
	if (n == 0)
		round_and_improve(q, NULL);
	for (size_t i = 0; i < n && (i == 0 || go_on(q)); i++)
		round_and_improve(q, &w->at[n > WISHES ? order[i] : w->n - 1 - i]);
}

/* Not even the orders by hand: theirs alone are a small program. */
static void by_orders(struct quest *q)
{
	struct mix_solved s;
	struct mix_ranges none;
	struct mix_plan p;
	mix_ranges_open(q->x, &none);
	memset(none.sales, 0, q->x->nsales * sizeof *none.sales);
	mix_program(q->x,
		    &(struct mix_solving){ .stems = STEMS_EXACT,
					   .ranges = &none,
					   .gap = 0.5,
					   .nodes = MIX_NODES,
					   .anyway = true },
		    &s);
	fresh_plan(q, &p);
	if (s.any && mix_plan_near(&p, &s))
		mix_plan_improve(&p, q->effort);
	mix_offer(q->x, q->out, &p);
	mix_plan_release(&p);
	q->out->none = s.outcome == SOLVE_INFEASIBLE;
}

static void by_relaxation(struct quest *q)
{
	list_seasons(q);
	for (size_t i = 0; i < q->nseasons && (i == 0 || !asked_to_stop(q)); i++)
		if ((i == 0 || open_yet(q, i)) && open_season(q, &q->seasons[i]))
			by_wishes(q, &q->seasons[i].wishes);
	q->out->none = true;
	for (size_t i = 0; i < q->nseasons; i++)
		q->out->none = q->out->none && q->seasons[i].bound == -(double)INFINITY;
	set_bound(q);
	if (!q->out->any && !q->out->none)
		by_orders(q);
}

/* ---- the tree ---- */

/* Leaves only what could be worth so much; false: nothing could, which bounds it. */
static bool narrow_to(struct quest *q, struct season *s, enum stems_as stems, double least)
{
	double bound;
	struct mix_solving how = { .stems = stems, .days = s->days };
	if (mix_narrow(q->x, &how, least, &s->ranges, &bound))
		return true;
	s->bound = fmin(s->bound, bound + 1e-9 * fabs(bound));
	return false;
}

static double worth_beating(const struct quest *q)
{
	return q->x->again ? fmax(q->out->value, q->x->floor) : q->out->value;
}

/* Leaves only what could be better than the best by the gap.  Where nothing could, the
 * best may even be proven to the end at once. */
static bool narrow(struct quest *q, struct season *s, enum stems_as stems)
{
	double best = worth_beating(q), least = best + 0.999 * q->gap * fabs(best);
	if (!q->out->any || narrow_to(q, s, stems, least))
		return true;
	mix_ranges_open(q->x, &s->ranges);
	narrow_to(q, s, stems, best + ROUNDING * fmax(1, fabs(best)));
	set_bound(q);
	return false;
}

static void by_tree(struct quest *q, struct season *s, enum stems_as stems, long nodes)
{
	struct mix_answer *out = q->out;
	struct mix_solved found;
	bool small = q->x->nsales <= MIX_LARGE;
	double best = worth_beating(q), least = best + 0.999 * q->gap * fabs(best);
	if (small && !narrow(q, s, stems))
		return;
	struct mix_solving how = { .stems = stems,
				   .days = s->days,
				   .ranges = &s->ranges,
				   .gap = q->gap,
				   .nodes = nodes,
				   .has_known = out->any,
				   .known = best,
				   .at_least = small && stems == STEMS_EXACT ? least : -2 * SOLVE_INF };
	mix_program(q->x, &how, &found);
	out->nodes = (out->nodes < 0 ? 0 : out->nodes) + found.nodes;
	q->nodes -= found.nodes;
	double bound = found.outcome == SOLVE_INFEASIBLE ? -(double)INFINITY
							 : found.proven + 1e-9 * fabs(found.proven);
	if (small && out->any) /* what was left out is no better than that */
		bound = fmax(bound, least + 1e-9 * fabs(least));
	s->bound = fmin(s->bound, bound);
	set_bound(q);
	if (found.any)
		try_answer(q, &found);
}

static void by_seasons(struct quest *q, enum stems_as stems)
{
	for (size_t i = 0; i < q->nseasons && q->nodes > 0 && go_on(q); i++) {
		if (!open_yet(q, i))
			continue;
		by_tree(q, &q->seasons[i], stems, q->nodes);
	}
}

/* The best plan's. */
static const struct season *best_season(const struct quest *q)
{
	size_t i = 0;
	while (i + 1 < q->nseasons && memcmp(q->seasons[i].days, q->out->best.days,
					     q->x->nstalls * sizeof *q->out->best.days) != 0)
		i++;
	return &q->seasons[i];
}

/* Until so many turns of all slots bring nothing. */
static void by_parts(struct quest *q, size_t turns)
{
	size_t slots = q->out->any ? q->x->shed.nslots : 0;
	for (size_t i = 0, idle = 0; idle < turns * slots && i < TURNS_MOST && go_on(q); i++) {
		const struct season *s = best_season(q);
		const double *split = s->wishes.n > 0 ? s->wishes.at[0].n : NULL;
		struct mix_few few = { i % slots, s->days, split, &q->dice };
		idle = mix_reopen(q->x, q->out, &few) ? 0 : idle + 1;
	}
}

/* A large mix: the tree would add little, a few sales at a time more, and so do other
 * ways down. */
static void by_ways(struct quest *q)
{
	by_parts(q, FEW_TURNS);
	for (int way = 2 * FIRST_WAY; way <= WAYS_MOST && go_on(q); way *= 2) {
		struct mix_solved relaxed;
		struct mix_wishes w;
		way_down(q, way, best_season(q)->days, &w, &relaxed);
		if (relaxed.any)
			by_wishes(q, &w);
		by_parts(q, FEW_TURNS);
	}
	by_parts(q, IDLE_TURNS);
}

static void search_on(struct quest *q)
{
	const struct mix_options *o = q->x->options;
	long nodes = o->nodes                ? o->nodes
		     : q->x->nsales <= MIX_LARGE ? MIX_NODES
					     : MIX_NODES * 6 / (long)(100 + q->x->nsales);
	if (q->x->nsales > MIX_LARGE)
		by_ways(q);
	enum stems_as first = q->x->again ? STEMS_EXACT : STEMS_SPLIT;
	for (enum stems_as stems = first; stems <= STEMS_EXACT; stems++) {
		q->nodes = nodes;
		if (stems == STEMS_SPLIT || o->to_the_end || q->x->p.nvariants < FEW_VARIANTS)
			by_seasons(q, stems);
	}
	if (!q->out->any && q->out->bound == -(double)INFINITY)
		q->out->none = true;
}

void mix_search(struct mixing *x, struct mix_answer *out, const struct mix_plan *start)
{
	const struct mix_options *o = x->options;
	struct quest q = { .x = x, .out = out, .dice = UINT64_C(0x9e3779b97f4a7c15) };
	*out = (struct mix_answer){ .bound = (double)INFINITY, .value = (double)NAN, .nodes = -1 };
	x->known = (double)NAN;
	if (o->seconds > 0 && x->until == 0)
		x->until = mix_clock() + o->seconds;
	q.gap = o->to_the_end ? 0 : o->gap > 0 ? o->gap : MIX_GAP;
	q.effort = (x->nsales > MIX_LARGE ? LARGE_EFFORT : EFFORT + 100 * (long)x->nsales) / (x->again ? 4 : 1);
	mix_plan_init(&out->best, x);
	mix_plan_init(&out->second, x);
	if (start)
		mix_offer(x, out, (struct mix_plan *)start);
	by_relaxation(&q);
	if (!o->by_hand)
		search_on(&q);
	asked_to_stop(&q);
	if (out->any)
		out->bound = fmax(out->bound, out->value);
	out->proven = out->any && good_enough(&q);
	if (out->proven && o->to_the_end) /* what is between them is the solver's rounding */
		out->bound = out->value;
	if (out->proven && o->to_the_end && !o->by_hand)
		mix_break_ties(x, out);
}

bool mix_no_use(struct mixing *more, struct mixing *base, uint32_t crop, double value)
{
	struct mix_answer out = { .any = true, .value = value, .bound = (double)INFINITY };
	struct quest q = { .x = more, .out = &out };
	if (more->nsales != base->nsales || more->p.nmakers != base->p.nmakers ||
	    more->p.nvariants != base->p.nvariants || more->p.nbuckets != base->p.nbuckets ||
	    more->p.nrooms != base->p.nrooms || more->nstalls != base->nstalls)
		return false; /* more ways than before: ranges would mean something else */
	list_seasons(&q);
	for (size_t i = 0; i < q.nseasons; i++) {
		struct season *s = &q.seasons[i];
		struct mix_solving how = { .days = s->days, .ranges = &s->ranges };
		double bound;
		if (s->bound > value && mix_narrow(more, &how, value, &s->ranges, &bound) &&
		    !mix_plenty(more, &how, crop, base))
			return false;
	}
	return true;
}

void mix_answer_release(struct mix_answer *out)
{
	mix_plan_release(&out->best);
	mix_plan_release(&out->second);
}

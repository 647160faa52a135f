/* mix_reopen.c - a few sales solved again while all else is held as it is in the best plan.
 *
 * Sales that share a material pull at each other; some of them at a time are a small
 * program, solved in a moment, and where that earns more it is the best plan from then on
 * (large neighbourhood search; Shaw, "Using constraint programming and local search methods
 * to solve vehicle routing problems", CP 1998, from memory).  Which they are is drawn, the
 * same on every run. */
#include "reckon/mix_model.h"

#include <math.h>

enum { OPEN_MOST = 16, OPEN_LEAST = 3, OPEN_NODES = 50, APART_LEAST = 3, APART_MOST = 6 };
#define OPEN_GAP   1e-5
#define APART_FROM 0.05

/* The relaxation would have another count: there is most to be found there (relaxation
 * induced neighbourhoods; Danna, Rothberg and Le Pape, Math. Program. 102, 2005, from memory). */
static bool apart(const struct mix_plan *best, const double *split, size_t sale)
{
	return split && fabs(split[sale] - (double)best->n[sale]) > APART_FROM;
}

/* Sales to be opened; the number of them.  0: with too little apart it is seldom worth it. */
static size_t choose(const struct mixing *x, const struct mix_plan *best, const struct mix_few *few,
		     unsigned char *open)
{
	size_t sharing = 0, odd = 0, n = 0;
	for (size_t i = 0; i < x->nsales; i++)
		if (x->shed.uses[x->sales[i].piece][few->slot]) {
			sharing++;
			odd += apart(best, few->split, i);
		}
	if (few->split && odd < APART_LEAST)
		return 0;
	size_t others = OPEN_MOST - (odd < APART_MOST ? odd : APART_MOST);
	for (size_t i = 0; i < x->nsales && sharing >= OPEN_LEAST; i++) {
		if (!x->shed.uses[x->sales[i].piece][few->slot])
			continue;
		open[i] = apart(best, few->split, i) ? mix_draw(few->dice, odd) < APART_MOST
						     : mix_draw(few->dice, sharing) < others;
		n += open[i];
	}
	return n;
}

static void hold_rest(const struct mixing *x, const struct mix_plan *best, const unsigned char *open,
		      struct mix_ranges *r)
{
	const struct program *p = &x->p;
	unsigned char *makers = ARENA_ARRAY(x->a, p->nmakers + 1, unsigned char);
	for (size_t i = 0; i < x->nsales; i++) {
		if (open[i])
			makers[x->sales[i].maker] = 1;
		else
			r->sales[i] = (struct mix_range){ best->n[i], best->n[i] };
	}
	for (size_t i = 0; i < p->nmakers; i++) {
		const struct maker *m = &p->makers[i];
		if (m->item.kind == KIND_PART || makers[i])
			continue;
		for (size_t k = m->first; k < m->first + m->nvariants; k++)
			r->variants[k] = (struct mix_range){ best->got[k], best->got[k] };
	}
}

static bool solve_open(struct mixing *x, struct mix_answer *out, const struct mix_few *few)
{
	unsigned char *open = ARENA_ARRAY(x->a, x->nsales + 1, unsigned char);
	struct mix_ranges r;
	struct mix_solved found;
	struct mix_plan p;
	double was = out->value;
	if (choose(x, &out->best, few, open) < 2)
		return false;
	mix_ranges_open(x, &r);
	hold_rest(x, &out->best, open, &r);
	mix_program(x,
		    &(struct mix_solving){ .stems = STEMS_EXACT,
					   .days = few->days,
					   .ranges = &r,
					   .gap = OPEN_GAP,
					   .nodes = OPEN_NODES,
					   .has_known = true,
					   .known = out->value },
		    &found);
	if (!found.any)
		return false;
	mix_plan_init(&p, x);
	if (mix_plan_near(&p, &found))
		mix_offer(x, out, &p);
	mix_plan_release(&p);
	return out->value > was;
}

/* Hundreds of them: each gives its memory back. */
bool mix_reopen(struct mixing *x, struct mix_answer *out, const struct mix_few *few)
{
	struct arena own, *all = x->a;
	arena_init(&own);
	x->a = &own;
	bool better = solve_open(x, out, few);
	x->a = all;
	arena_release(&own);
	return better;
}

/* mix_reopen.c - a few sales solved again while all else is held as it is in the best plan.
 *
 * Sales that share a material pull at each other; some of them at a time are a small
 * program, solved in a moment, and where that earns more it is the best plan from then on
 * (large neighbourhood search; Shaw, "Using constraint programming and local search methods
 * to solve vehicle routing problems", CP 1998, from memory).  Which they are is drawn, the
 * same on every run. */
#include "reckon/mix_model.h"

enum { OPEN_MOST = 20, OPEN_LEAST = 3, OPEN_NODES = 50 };
#define OPEN_GAP 1e-5

/* Sales to be opened; the number of them. */
static size_t choose(const struct mixing *x, size_t slot, uint64_t *dice, unsigned char *open)
{
	size_t sharing = 0, n = 0;
	for (size_t i = 0; i < x->nsales; i++)
		sharing += x->shed.uses[x->sales[i].piece][slot];
	for (size_t i = 0; i < x->nsales && sharing >= OPEN_LEAST; i++)
		if (x->shed.uses[x->sales[i].piece][slot] && mix_draw(dice, sharing) < OPEN_MOST) {
			open[i] = 1;
			n++;
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

static bool solve_open(struct mixing *x, struct mix_answer *out, const int64_t *days, size_t slot,
		       uint64_t *dice)
{
	unsigned char *open = ARENA_ARRAY(x->a, x->nsales + 1, unsigned char);
	struct mix_ranges r;
	struct mix_solved found;
	struct mix_plan p;
	double was = out->value;
	if (choose(x, slot, dice, open) < 2)
		return false;
	mix_ranges_open(x, &r);
	hold_rest(x, &out->best, open, &r);
	mix_program(x,
		    &(struct mix_solving){ .stems = STEMS_EXACT,
					   .days = days,
					   .ranges = &r,
					   .gap = OPEN_GAP,
					   .nodes = OPEN_NODES,
					   .has_known = true,
					   .known = out->value },
		    &found);
	if (!found.any)
		return false;
	mix_plan_init(&p, x);
	if (mix_plan_take(&p, &found) || mix_plan_mend(&p))
		mix_offer(x, out, &p);
	mix_plan_release(&p);
	return out->value > was;
}

/* Hundreds of them: each gives its memory back. */
bool mix_reopen(struct mixing *x, struct mix_answer *out, const int64_t *days, size_t slot,
		uint64_t *dice)
{
	struct arena own, *all = x->a;
	arena_init(&own);
	x->a = &own;
	bool better = solve_open(x, out, days, slot, dice);
	x->a = all;
	arena_release(&own);
	return better;
}

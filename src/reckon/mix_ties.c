/* mix_ties.c - of the mixes that earn most, one: solved again for something else than
 * money, with the money held.  In this order:
 *     fewest long stems cut short    a stem is, where a need that asks for longer ones
 *                                    could have had it
 *     most of the `sells` line that stands first in the file, then of the second ...
 *     the ways of a need that are written first
 * Each step holds what those before it have settled.  What the solver says is taken only
 * when the plan, added up in whole numbers, earns no less than before. */
#include "reckon/mix_model.h"

#include <math.h>

enum { SALES_MOST = 150 };

struct tied {
	struct mixing *x;
	struct mix_answer *out;
	struct mix_ranges ranges;
	int64_t *days, cut_most;
	long nodes;
};

/* A little less than the best, for what the solver rounds: the plan itself is exact. */
static double money_held(const struct tied *t)
{
	return t->out->value - 1e-9 * fmax(1, fabs(t->out->value));
}

static bool still_settled(const struct tied *t, const struct mix_plan *p)
{
	for (size_t i = 0; i < t->x->nsales; i++)
		if (p->n[i] < t->ranges.sales[i].lo || p->n[i] > t->ranges.sales[i].hi)
			return false;
	return true;
}

/* The plan in place of the best, which stays as the runner-up where it sells otherwise. */
static bool take(struct tied *t, const struct mix_solved *s)
{
	struct mix_plan p;
	struct mix_answer *out = t->out;
	mix_plan_init(&p, t->x);
	bool ok = mix_plan_take(&p, s) && mix_plan_value(&p) >= mix_plan_value(&out->best) &&
		  still_settled(t, &p);
	if (ok) {
		if (memcmp(p.n, out->best.n, t->x->nsales * sizeof *p.n) != 0) {
			mix_plan_copy(&out->second, &out->best);
			out->has_second = true;
		}
		mix_plan_copy(&out->best, &p);
		out->value = money_of(mix_plan_value(&p));
		out->bound = fmax(out->bound, out->value);
	}
	mix_plan_release(&p);
	return ok;
}

static bool solve_tie(struct tied *t, const struct mix_tie *tie, bool relaxed, struct mix_solved *s)
{
	if (t->nodes <= 0)
		return false;
	struct mix_solving how = { .relaxed = relaxed,
				   .stems = STEMS_EXACT,
				   .days = t->days,
				   .ranges = &t->ranges,
				   .nodes = t->nodes,
				   .at_least = money_held(t),
				   .tie = tie };
	mix_program(t->x, &how, s);
	t->nodes -= s->nodes;
	return s->outcome == SOLVE_OPTIMAL;
}

static bool fewest_cut(struct tied *t)
{
	struct mix_solved s;
	struct mix_tie tie = { .by = TIE_CUT };
	if (!solve_tie(t, &tie, true, &s))
		return false;
	if (s.cuts == 0)
		return true;
	if (!solve_tie(t, &tie, false, &s) || !take(t, &s))
		return false;
	t->cut_most = llround(-s.value);
	return true;
}

static bool most_of(struct tied *t, size_t sale)
{
	struct mix_range *r = &t->ranges.sales[sale];
	struct mix_solved s;
	struct mix_tie tie = { TIE_SALE, sale, t->cut_most };
	int64_t now = t->out->best.n[sale];
	if (r->hi <= now) {
		r->lo = r->hi = now;
		return true;
	}
	r->lo = now;
	if (!solve_tie(t, &tie, true, &s))
		return false;
	if (s.value >= (double)now + 1 - 1e-6 && (!solve_tie(t, &tie, false, &s) || !take(t, &s)))
		return false;
	r->lo = r->hi = t->out->best.n[sale];
	return true;
}

static bool first_ways(struct tied *t)
{
	struct mix_solved s;
	struct mix_tie tie = { .by = TIE_WAYS, .cut_most = t->cut_most };
	bool choice = false;
	for (size_t i = 0; i < t->x->p.nvariants; i++)
		choice = choice || t->x->p.variants[i].option > 0;
	return !choice || (solve_tie(t, &tie, false, &s) && take(t, &s));
}

void mix_break_ties(struct mixing *x, struct mix_answer *out)
{
	struct tied t = { .x = x, .out = out, .cut_most = -1 };
	double bound;
	out->tied = true;
	if (x->nsales > SALES_MOST)
		return;
	t.nodes = x->options->nodes ? x->options->nodes : MIX_NODES;
	t.days = ARENA_ARRAY(x->a, x->nstalls + 1, int64_t);
	memcpy(t.days, out->best.days, x->nstalls * sizeof *t.days);
	mix_ranges_open(x, &t.ranges);
	struct mix_solving how = { .stems = STEMS_EXACT, .days = t.days };
	if (!mix_narrow(x, &how, money_held(&t), &t.ranges, &bound) || !still_settled(&t, &out->best))
		return;
	bool settled = fewest_cut(&t);
	for (size_t i = 0; i < x->nsales && settled; i++)
		settled = most_of(&t, i);
	out->tied = !settled || !first_ways(&t);
}

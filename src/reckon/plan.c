/* plan.c - the steps of the plan in their order, and what is said about them. */
#include "reckon/plan.h"

#include <math.h>

#include "reckon/plan_in.h"

bool plan_line_grows(const struct plan_line *l)
{
	return l->order == NONE || l->pools || l->lacking > 0;
}

const char *plan_source_name(enum plan_source s)
{
	static const char *const names[] = { "not needed", "stock", "sown",
					     "standing", "bought", "gathered" };
	return names[s];
}

static bool possible(const struct plan *p, size_t ncrops)
{
	for (size_t i = 0; i < ncrops; i++) {
		if (p->crops[i].lacking > PLAN_CRUMB || p->crops[i].short_stems > 0)
			return false;
	}
	return true;
}

void plan_begin(struct plan_work *w, struct plan *out, const struct farm *farm, const struct stock *stock,
		const struct costs *costs, const struct prices *prices,
		const struct plan_options *options, struct arena *a, struct remarks *r,
		struct diag *diag)
{
	static const struct plan_options usual;
	*w = (struct plan_work){ .out = out, .farm = farm, .stock = stock, .costs = costs,
				 .prices = prices, .options = options ? options : &usual,
				 .a = a, .r = r, .diag = diag };
	*out = (struct plan){ .on = stock->on };
	w->season = season_frosts(&farm->business);
	w->wage = burdened_wage(&farm->business);
	w->beds = ARENA_ARRAY(a, farm->ncrops + 1, struct plan_bed);
	for (size_t i = 0; i < farm->ncrops; i++)
		w->beds[i].left = INFINITY;
	out->last_frost = w->season.last_frost;
	out->first_frost = w->season.first_frost;
	out->metres_most = farm->business.beds.v;
}

/* Sources to beds, with so much of what stands as the limits allow (NULL: all). */
static int grow(struct plan_work *w, const struct plan_bed *limits)
{
	for (size_t i = 0; i < w->farm->ncrops && limits; i++)
		w->beds[i].left = limits[i].left;
	plan_sources(w);
	if (plan_needs(w) < 0)
		return -1;
	plan_stems(w);
	plan_beds(w);
	return 0;
}

int plan_reckon(struct plan *out, const struct farm *farm, const struct stock *stock,
		const struct costs *costs, const struct prices *prices,
		const struct plan_options *options, struct arena *a, struct remarks *r,
		struct diag *diag)
{
	struct plan_work w;
	struct plan_bed *limits = NULL;
	for (int turn = 0; turn < PLAN_TURNS; turn++) {
		plan_begin(&w, out, farm, stock, costs, prices, options, a, r, diag);
		if (grow(&w, limits) < 0)
			return -1;
		if (!w.options->other_ways || w.options->ways)
			break;
		limits = limits ? limits : w.beds;
		if (!plan_ways_limit(&w, limits, turn))
			break;
	}
	plan_moneys(&w);
	plan_say(&w);
	out->possible = possible(out, farm->ncrops) &&
			!(out->metres_most > 0 && out->metres > out->metres_most + 0.5);
	return 0;
}

/* planned.c - see planned.h. */
#include "commands/planned.h"

#include "reckon/sense.h"

int planned(struct plan *out, const struct reckoning *r, const struct plan_options *options,
	    struct remarks *say, struct diag *diag)
{
	static const struct plan_options usual = { .other_ways = true };
	struct diag unpriced;
	struct remarks aside;
	struct reckoning *money = ARENA_NEW(r->arena, struct reckoning);
	diag_init(&unpriced, r->arena);
	remarks_init(&aside, r->arena);
	bool priced = sense_prices(r->farm, &unpriced) == 0 &&
		      reckon(money, r->farm, r->on,
			     RECKON_PRICES | (r->rates.assumed ? RECKON_ASSUMED : 0), r->stock.with_past, NULL, r->arena,
			     &unpriced) == 0;
	return plan_reckon(out, r->farm, &r->stock, priced ? &money->costs : NULL,
			   priced ? &money->prices : NULL, options ? options : &usual, r->arena, say ? say : &aside, diag);
}

void season_now(struct hang *out, struct reckoning *r, double hours)
{
	struct hang_lots lots;
	struct hang_options options = { .hours = hours };
	hang_batches(&lots, r->farm, &r->rates, r->on, r->arena, &r->remarks);
	hang_reckon(out, r->farm, r->farm->nboxes ? &r->stock : NULL, &lots, &options, r->arena,
		    &r->remarks);
}

void season_by_plan(struct hang *out, struct reckoning *r, const struct plan *plan, double hours)
{
	struct hang_lots lots;
	struct hang_options options = { .hours = hours };
	double full = 0;
	hang_plan(&lots, r->farm, &r->rates, plan, r->arena, &r->remarks);
	hang_reckon(out, r->farm, NULL, &lots, &options, r->arena, &r->remarks);
	for (size_t i = 0; i < r->farm->nboxes; i++)
		full += r->farm->boxes[i].item.kind == KIND_CROP && r->stock.boxes[i].count > 0;
	if (full > 0)
		remark(&r->remarks, REMARK_ASSUMED,
		       "Boxes that still hold stems of today's shed by then come on top: today %.0f do.",
		       full);
}

int season_planned(struct hang *out, struct reckoning *r, double hours, struct diag *diag)
{
	struct plan plan;
	if (planned(&plan, r, NULL, NULL, diag))
		return -1;
	season_by_plan(out, r, &plan, hours);
	return 0;
}

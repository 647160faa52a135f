/* dates.c - days of the season from orders, targets, frosts and what hangs. */
#include "reckon/dates.h"

#include <math.h>

#include "reckon/plan_season.h"
#include "reckon/stock.h"

static void add(struct dates *out, struct arena *a, enum dated_kind kind, day on, uint32_t index,
                double count)
{
	*ARENA_PUSH(a, out->items, out->n, out->cap) =
	    (struct dated){ .kind = kind, .from = on, .to = on, .index = index, .count = count };
}

static void add_orders(struct dates *out, const struct farm *farm, day on, struct arena *a,
                       struct remarks *r)
{
	size_t undated = 0;
	for (uint32_t i = 0; i < farm->norders; i++) {
		const struct order *o = &farm->orders[i];
		if (!stock_order_open(o, on))
			continue;
		if (o->due == DAY_NONE)
			undated++;
		else
			add(out, a, DATED_ORDER, o->due, i, o->count);
	}
	if (undated)
		remark(r, REMARK_ASSUMED, "Orders without a day are left out: %zu.", undated);
}

static void add_rest(struct dates *out, const struct farm *farm, const struct hang_lots *waiting, day on,
                     struct arena *a)
{
	struct season season = season_frosts(&farm->business);
	/* In the south the first frost that ends the season is a year after the one that is written. */
	const struct {
		day on;
		uint32_t which;
	} frosts[] = { { season.last_frost, 0 },
		       { season.first_frost, 1 },
		       { season.shifted ? farm->business.first_frost : DAY_NONE, 1 } };
	for (size_t i = 0; i < sizeof frosts / sizeof frosts[0]; i++) {
		if (frosts[i].on != DAY_NONE && frosts[i].on >= on)
			add(out, a, DATED_FROST, frosts[i].on, frosts[i].which, NAN);
	}
	for (size_t i = 0; i < waiting->n; i++)
		add(out, a, DATED_BOX, waiting->lots[i].boxed, waiting->lots[i].batch,
		    waiting->lots[i].boxed_stems);
	for (uint32_t i = 0; i < farm->ntargets; i++) {
		if (farm->targets[i].by != DAY_NONE && farm->targets[i].by >= on)
			add(out, a, DATED_TARGET, farm->targets[i].by, i, farm->targets[i].count.v);
	}
}

static void add_later(struct dates *out, struct arena *a, day after, struct dated d)
{
	if (d.from == DAY_NONE || d.from < after)
		return;
	d.to = d.from;
	*ARENA_PUSH(a, out->items, out->n, out->cap) = d;
}

static void add_plan(struct dates *out, const struct farm *farm, const struct plan *plan, day on,
                     struct arena *a)
{
	for (uint32_t c = 0; c < farm->ncrops; c++) {
		const struct plan_crop *p = &plan->crops[c];
		bool grown = p->source == PLAN_SOWN || p->source == PLAN_STANDING;
		for (size_t i = 0; grown && i < p->nsowings; i++) {
			const struct plan_sowing *s = &p->sowings[i];
			if (!s->planned || s->stems <= 0)
				continue;
			bool planted = p->source == PLAN_SOWN && s->plant != s->sow;
			double stems = (double)s->stems, plants = (double)s->plants_out;
			if (p->source == PLAN_SOWN)
				add_later(out, a, on, (struct dated){ DATED_SOW, s->sow, 0, c, i, (double)s->cells });
			if (planted)
				add_later(out, a, on, (struct dated){ DATED_PLANT, s->plant, 0, c, i, plants });
			add_later(out, a, on, (struct dated){ DATED_CUT_FIRST, s->first_cut, 0, c, i, stems });
			add_later(out, a, on, (struct dated){ DATED_CUT_LAST, s->last_cut, 0, c, i, stems });
			add_later(out, a, on, (struct dated){ DATED_DRY_LAST, s->last_boxed, 0, c, i, stems });
		}
	}
}

static int by_day(const void *x, const void *y)
{
	const struct dated *a = x, *b = y;
	if (a->from != b->from)
		return a->from < b->from ? -1 : 1;
	if (a->kind != b->kind)
		return a->kind < b->kind ? -1 : 1;
	if (a->index != b->index)
		return a->index < b->index ? -1 : 1;
	return (a->nth > b->nth) - (a->nth < b->nth);
}

void dates_gather(struct dates *out, const struct farm *farm, const struct hang_lots *waiting,
                  const struct plan *plan, day on, struct arena *a, struct remarks *r)
{
	*out = (struct dates){ 0 };
	add_orders(out, farm, on, a, r);
	add_rest(out, farm, waiting, on, a);
	if (plan)
		add_plan(out, farm, plan, on, a);
	if (out->n)
		qsort(out->items, out->n, sizeof *out->items, by_day);
}

/* hang_plan.c - a planting plan as lots: what is cut in a week is hung together. */
#include "reckon/hang.h"

#include <math.h>

#include "reckon/calendar.h"
#include "reckon/plan_season.h"

static struct hang_lot lot_of_week(const struct farm *farm, const struct rates *rates, uint32_t crop,
                                   const struct plan_sowing *s, const struct plan_week *w)
{
	const struct crop *c = &farm->crops[crop];
	struct hang_lot lot = { .crop = crop, .batch = NONE, .waiting = true, .in_parts = true };
	lot.cut = lot.hung = w->monday > s->first_cut ? w->monday : s->first_cut;
	lot.boxed = season_dried(c, lot.hung);
	lot.cut_stems = w->stems;
	lot.hung_stems = w->stems * (1 - rates_at(rates, crop, STAGE_FIELD));
	lot.boxed_stems = lot.hung_stems * (1 - rates_at(rates, crop, STAGE_DRYING));
	lot.dry_seconds = NAN;
	lot.metres = s->metres > 0 ? s->metres / 1000 : NAN;
	return lot;
}

void hang_plan(struct hang_lots *out, const struct farm *farm, const struct rates *rates,
               const struct plan *plan, struct arena *a, struct remarks *r)
{
	struct said undated = { 0 }, no_drying = { 0 };
	size_t cap = 0;
	uint32_t bed = 0;
	*out = (struct hang_lots){ 0 };
	for (uint32_t c = 0; c < farm->ncrops; c++) {
		const struct plan_crop *p = &plan->crops[c];
		bool grown = p->source == PLAN_SOWN || p->source == PLAN_STANDING;
		for (size_t i = 0; grown && i < p->nsowings; i++, bed++) {
			const struct plan_sowing *s = &p->sowings[i];
			if (s->planned && s->stems > 0 && s->first_cut == DAY_NONE)
				said_add(&undated, a, farm->crops[c].head.name);
			for (size_t w = 0; s->planned && w < s->nweeks; w++) {
				struct hang_lot *lot = ARENA_PUSH(a, out->lots, out->n, cap);
				*lot = lot_of_week(farm, rates, c, s, &s->weeks[w]);
				lot->bed = bed;
				if (!farm->crops[c].drying_days.given)
					said_add(&no_drying, a, farm->crops[c].head.name);
			}
		}
	}
	if (undated.n)
		remark(r, REMARK_DOUBT, "No days of cutting known, so no line is counted for: %s.",
		       said_text(&undated));
	if (no_drying.n)
		remark(r, REMARK_ASSUMED, "No drying days given, counted as %d: %s.", SEASON_DRYING_DAYS,
		       said_text(&no_drying));
}

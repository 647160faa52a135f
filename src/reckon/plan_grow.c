/* plan_grow.c - where each crop's stems can come from, and what is known about them. */
#include <math.h>

#include "reckon/measured.h"
#include "reckon/plan_in.h"
#include "reckon/rates.h"

static bool stands(const struct crop *c)
{
	return c->standing.metres.given || c->standing.planted != DAY_NONE;
}

static enum plan_source source_of(const struct crop *c)
{
	if (stands(c))
		return PLAN_STANDING;
	if (c->nsowings || c->nplantings)
		return PLAN_SOWN;
	return c->bought.given ? PLAN_BOUGHT : PLAN_GATHERED;
}

/* The range is the grower's; a supposed yield may lie outside it. */
static struct sure_yield yield_of(const struct crop *c, bool certain)
{
	const struct cutting *k = &c->cutting;
	struct sure_yield y = { k->per_plant.v, k->low.v, k->high.v };
	bool range = k->low.given && k->high.given && k->high.v > 0;
	if (!k->per_plant.given && range)
		y.usual = (y.low + y.high) / 2;
	if (!range || certain || !(y.usual > 0)) {
		y.low = y.high = y.usual;
		return y;
	}
	y.low = fmin(y.low, y.usual);
	y.high = fmax(y.high, y.usual);
	return y;
}

/* Batches that a season brings: one for each week of cutting. */
static double batches_of(const struct crop *c)
{
	return fmax(1, ceil(c->cutting.over.v / 7));
}

/* The rate in use, and how sure it is: what stands behind it in stems, how alike those of
 * a batch fare. */
static struct plan_loss loss_of(const struct plan_work *w, const struct crop *c, uint32_t crop,
				enum stage stage, double power)
{
	const struct rates *rates = w->stock->rates;
	double rate = 1 - pow(1 - rates_at(rates, crop, stage), power), rho = ALIKE_STATED;
	double stems = c->loss_weight.given ? c->loss_weight.v : LOSS_WEIGHT;
	const struct stage_measured *m =
	    rates->measures ? &rates->measures->crops[crop].stages[stage] : NULL;
	if (w->options->rates_sure)
		return (struct plan_loss){ rate, INFINITY, 0 };
	if (m && m->m.lots > 0 && !isnan(m->m.rho))
		rho = m->m.rho;
	if (m && rates->crops[crop][stage].source >= RATE_BLEND && m->plan.stems > 0)
		stems = m->plan.stems;
	return (struct plan_loss){ rate, stems, rho };
}

static void rates_of(struct plan_work *w, struct plan_source_of *s, uint32_t crop,
		     enum plan_source source)
{
	const struct crop *c = &w->farm->crops[crop];
	const struct rates *rates = w->stock->rates;
	s->storage = rates_at(rates, crop, STAGE_STORAGE);
	s->storage_months = 1;
	s->batches = batches_of(c);
	/* Records of storage are of the loss over some months. */
	if (rates->measures && rates->crops[crop][STAGE_STORAGE].source >= RATE_BLEND &&
	    rates->measures->crops[crop].stages[STAGE_STORAGE].months > 0)
		s->storage_months = rates->measures->crops[crop].stages[STAGE_STORAGE].months;
	for (enum stage i = 0; i < STAGE_COUNT; i++) {
		bool never = source == PLAN_BOUGHT && (i == STAGE_FIELD || i == STAGE_DRYING);
		s->loss[i] = never ? (struct plan_loss){ 0, INFINITY, 0 }
				   : loss_of(w, c, crop, i, i == STAGE_STORAGE ? s->storage_months : 1);
	}
}

/* The smallest of its plantings: where the fewest live, their number varies most. */
static double live_of(const struct crop *c)
{
	double live = 1;
	for (size_t i = 0; i < c->nplantings; i++)
		live = c->plantings[i].live.given ? fmin(live, c->plantings[i].live.v) : live;
	return fmax(live, 1e-6);
}

/* Seed that may not come up has its own part of the risk. */
static bool has_trays(const struct crop *c)
{
	for (size_t i = 0; i < c->nsowings; i++) {
		if (c->sowings[i].germinates.given && c->sowings[i].germinates.v < 1)
			return true;
	}
	return false;
}

static void days_of(struct plan_work *w, struct plan_source_of *s, const struct crop *c,
		    enum plan_source source)
{
	if (source != PLAN_SOWN && source != PLAN_STANDING)
		return;
	s->nsowings = season_sowings_count(c);
	s->sowings = ARENA_ARRAY(w->a, s->nsowings, struct plan_sowing);
	s->stems = ARENA_ARRAY(w->a, s->nsowings, double);
	for (size_t i = 0; i < s->nsowings; i++)
		season_sowing(&s->sowings[i], c, i, &w->season, w->out->on);
}

void plan_sources(struct plan_work *w)
{
	const struct farm *f = w->farm;
	w->crops = ARENA_ARRAY(w->a, f->ncrops + 1, struct plan_source_of);
	w->out->crops = ARENA_ARRAY(w->a, f->ncrops + 1, struct plan_crop);
	for (size_t i = 0; i < f->ncrops; i++) {
		const struct crop *c = &f->crops[i];
		struct plan_source_of *s = &w->crops[i];
		enum plan_source source = source_of(c);
		w->out->crops[i] = (struct plan_crop){ .source = source, .bears = -1 };
		s->yield = yield_of(c, w->options->rates_sure);
		s->live = live_of(c);
		s->trays = source == PLAN_SOWN && has_trays(c);
		rates_of(w, s, (uint32_t)i, source);
		days_of(w, s, c, source);
	}
	/* Costs of growing last: they may look at all of the above. */
	for (size_t i = 0; i < f->ncrops; i++)
		w->crops[i].unit_cost = plan_unit_cost(w, (uint32_t)i);
}

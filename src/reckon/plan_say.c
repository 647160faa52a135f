/* plan_say.c - what the plan took for granted, and what looks odd in it. */
#include <math.h>

#include "reckon/plan_in.h"

struct saying {
	struct plan_work *w;
	struct said spread, yield, bears, live, germination, apart, days, drying, seed, past, frost, gathered,
	    length, unsure, hours, outlets, shared, old;
};

static bool asked_sure(const struct plan_work *w, uint32_t crop)
{
	for (size_t i = 0; i < w->out->npools; i++) {
		const struct plan_pool *p = &w->out->pools[i];
		if (p->crop == crop && p->cut > 0 && !isnan(p->chance_wanted))
			return true;
	}
	return false;
}

/* Metres of bed with hours on record, of any crop. */
static bool beds_on_record(const struct farm *f)
{
	for (size_t i = 0; i < f->nbeds; i++) {
		if (f->beds[i].metres > 0)
			return true;
	}
	return false;
}

static void look_at_sowings(struct saying *s, uint32_t crop)
{
	const struct plan *out = s->w->out;
	const struct crop *c = &s->w->farm->crops[crop];
	const struct plan_crop *p = &out->crops[crop];
	struct str name = c->head.name;
	struct arena *a = s->w->a;
	for (size_t i = 0; i < p->nsowings; i++) {
		const struct plan_sowing *w = &p->sowings[i];
		if (!w->planned)
			continue;
		if (w->first_cut == DAY_NONE)
			said_add(&s->days, a, name);
		if (w->past)
			said_add(&s->past, a, name);
		if (out->first_frost != DAY_NONE && w->last_cut != DAY_NONE &&
		    w->last_cut > out->first_frost)
			said_add(&s->frost, a, name);
		if (p->source != PLAN_SOWN)
			continue;
		if (w->plants == NONE || !c->plantings[w->plants].live.given)
			said_add(&s->live, a, name);
		if (w->plants == NONE || !c->plantings[w->plants].apart.given)
			said_add(&s->apart, a, name);
		if (w->sows != NONE && !c->sowings[w->sows].germinates.given)
			said_add(&s->germination, a, name);
	}
}

/* It bears from the year after planting on. */
static bool past_its_years(const struct standing *s, const struct plan_crop *p)
{
	return p->source == PLAN_STANDING && s->planted != DAY_NONE && s->bears.given && s->bears.v < 1000 &&
	       p->sowings[0].first_cut != DAY_NONE &&
	       p->sowings[0].first_cut > date_add_months(s->planted, 12 * ((int)s->bears.v + 1));
}

static void look_at(struct saying *s, uint32_t crop)
{
	const struct crop *c = &s->w->farm->crops[crop];
	const struct plan_crop *p = &s->w->out->crops[crop];
	struct str name = c->head.name;
	struct arena *a = s->w->a;
	const struct plan_bed *bed = &s->w->beds[crop];
	bool stands = c->standing.metres.given && c->standing.metres.v > 0;
	if ((isfinite(bed->left) || (stands && bed->spared)) && !(p->short_stems > 0))
		said_add(&s->shared, a, name);
	if (p->cut <= 0)
		return;
	if (p->source == PLAN_GATHERED)
		said_add(&s->gathered, a, name);
	if (p->source != PLAN_SOWN && p->source != PLAN_STANDING)
		return;
	if (!(s->w->crops[crop].yield.usual > 0))
		said_add(p->source == PLAN_STANDING ? &s->bears : &s->yield, a, name);
	else if (asked_sure(s->w, crop) && !c->cutting.low.given)
		said_add(&s->spread, a, name);
	if (!c->drying_days.given)
		said_add(&s->drying, a, name);
	if (!p->money.seed_known && p->source == PLAN_SOWN)
		said_add(&s->seed, a, name);
	if (past_its_years(&c->standing, p))
		said_add(&s->old, a, name);
	look_at_sowings(s, crop);
}

static void look_at_pools(struct saying *s)
{
	for (size_t i = 0; i < s->w->out->npools; i++) {
		const struct plan_pool *p = &s->w->out->pools[i];
		struct str name = s->w->farm->crops[p->crop].head.name;
		if (p->out_of_reach)
			said_add(&s->unsure, s->w->a, name);
		for (size_t k = 0; k < s->w->demands[i].n; k++) {
			const struct plan_demand *d = &s->w->demands[i].items[k];
			if ((d->from > 0 || d->to > 0) && !plan_lengths_known(s->w, p->crop))
				said_add(&s->length, s->w->a, name);
		}
	}
}

static void say_assumed(const struct saying *s)
{
	struct remarks *r = s->w->r;
	const struct {
		const struct said *names;
		const char *before, *after;
	} all[] = {
		{ &s->shared, "What stands does not give all that is asked of it, so some pieces are "
			      "planned in another way of their recipe: ", "." },
		{ &s->gathered, "Neither sown, standing nor bought in: only the stems are planned of ", "." },
		{ &s->yield, "No stems per plant given: no plants are planned of ", "." },
		{ &s->bears, "No stems per plant given: what stands is taken to give all that is asked "
			     "of ", "." },
		{ &s->spread, "No usual range of stems per plant given: the yield is taken as certain "
			      "for ", "." },
		{ &s->live, "No share of plants that live given: counted as all for ", "." },
		{ &s->germination, "No germination given: counted as all for ", "." },
		{ &s->apart, "No distance between plants given: no metres of bed are counted for ", "." },
		{ &s->days, "No days of cutting known: taken to be in time, and to spend no time in "
			    "the box, are ", "." },
		{ &s->length, "No record says how long stems are: all are taken to be of the length "
			      "asked for of ", "." },
		{ &s->outlets, "No outlet said: what it sells first is taken for ", "." },
	};
	for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
		if (all[i].names->n)
			remark(r, REMARK_ASSUMED, "%s%s%s", all[i].before, said_text(all[i].names), all[i].after);
	}
	if (s->drying.n)
		remark(r, REMARK_ASSUMED, "No drying days given, counted as %d: %s.", SEASON_DRYING_DAYS,
		       said_text(&s->drying));
}

static void say_doubts(const struct saying *s)
{
	struct remarks *r = s->w->r;
	if (s->past.n)
		remark(r, REMARK_DOUBT,
		       "The day of sowing or planting is over, and the plan counts on it as done: %s.",
		       said_text(&s->past));
	if (s->old.n)
		remark(r, REMARK_DOUBT,
		       "Older by its cut than the years that it bears by its `stands` line, and counted as ever: %s.",
		       said_text(&s->old));
	if (s->frost.n)
		remark(r, REMARK_DOUBT, "Still cut after the first frost that you plan by: %s.",
		       said_text(&s->frost));
	if (s->unsure.n)
		remark(r, REMARK_DOUBT,
		       "However many are planted, some years bring none: not as sure as asked for, and "
		       "planned by the plain number, is %s.",
		       said_text(&s->unsure));
	if (s->seed.n)
		remark(r, REMARK_DOUBT,
		       "No seed price known: the plan's money lacks seed or plants of %s.",
		       said_text(&s->seed));
}

static void say_whole(const struct plan_work *w)
{
	char first[11];
	bool used = false, grown = false;
	for (size_t i = 0; i < w->out->nuses; i++)
		used = used || w->out->uses[i].stock + w->out->uses[i].hanging > PLAN_CRUMB;
	for (size_t i = 0; i < w->out->nlines; i++)
		used = used || w->out->lines[i].finished > 0;
	for (size_t i = 0; i < w->farm->ncrops; i++)
		grown = grown || (w->out->crops[i].cut > 0 && w->out->crops[i].metres > 0);
	if (used)
		remark(w->r, REMARK_ASSUMED,
		       "What is in the shed and on the line counts in full: what you sell of it before "
		       "must be grown as well (`--no-stock` counts nothing).");
	if (w->out->early_orders)
		remark(w->r, REMARK_ASSUMED,
		       "Due before anything that is planted for them could be there, so left out of this "
		       "plan: %zu open order%s. `thrave reach` says whether the shed suffices for them.",
		       w->out->early_orders, w->out->early_orders == 1 ? "" : "s");
	if (w->season.shifted) {
		date_print(w->season.first_frost, first);
		remark(w->r, REMARK_ASSUMED,
		       "The first frost after the last one is a year on: %s.", first);
	}
	if (grown && !beds_on_record(w->farm))
		remark(w->r, REMARK_ASSUMED,
		       "No bed on record: hours of growing are counted as 0.");
}

/* Outlets of targets where days cost money or hours: no piece bears a share of them here. */
static void say_stalls(const struct plan_work *w)
{
	bool *there = ARENA_ARRAY(w->a, w->farm->noutlets + 1, bool);
	int digits = w->farm->business.digits;
	for (size_t i = 0; i < w->out->nlines; i++) {
		const struct plan_line *l = &w->out->lines[i];
		if (l->order == NONE && l->price_line != NONE && l->wish.count > 0)
			there[w->prices->lines[l->price_line].outlet] = true;
	}
	for (size_t i = 0; i < w->farm->noutlets; i++) {
		const struct outlet *o = &w->farm->outlets[i];
		double day_ = o->stall.v + o->travel_km.v * o->travel_rate.v + o->stall_hours.v * w->wage;
		if (!there[i] || !(day_ > 0))
			continue;
		if (o->stall_days.v > 1)
			remark(w->r, REMARK_ASSUMED,
			       "Days at %.*s are not taken off what is left, nor weighed by --fit: %g at %.*f each "
			       "for money, travel and hours at the wage, %.*f in all.",
			       STR_ARG(o->head.name), o->stall_days.v, digits, day_, digits, o->stall_days.v * day_);
		else
			remark(w->r, REMARK_ASSUMED,
			       "A day at %.*s is not taken off what is left, nor weighed by --fit: %.*f for money, "
			       "travel and hours at the wage.",
			       STR_ARG(o->head.name), digits, day_);
	}
}

void plan_say(struct plan_work *w)
{
	struct saying s = { .w = w };
	for (uint32_t i = 0; i < w->farm->ncrops; i++)
		look_at(&s, i);
	look_at_pools(&s);
	for (size_t i = 0; i < w->out->nlines; i++) {
		const struct plan_line *l = &w->out->lines[i];
		if (l->order == NONE && l->wish.outlet == NONE && l->price_line != NONE)
			said_add(&s.outlets, w->a, w->farm->pieces[l->wish.piece].head.name);
	}
	say_assumed(&s);
	say_doubts(&s);
	say_whole(w);
	if (w->prices)
		say_stalls(w);
}

/* check.c - sense across the whole farm, once everything is known and every
 * supposition is laid over it.
 *
 * What a single line can get wrong is said where it is read; here are figures that
 * a supposition may have moved, and dates that count from nothing.  What is merely
 * odd is for `thrave check` (reckon/sense.h). */
#include "farm/figures.h"
#include "farm/lexer.h"

/* ---- pieces ---- */

int upto_below_likely(struct diag *d, struct span at)
{
	diag_error(d, at, "With %s here, `up to` is below `likely`.", quote_span(d, at));
	diag_hint(d, "`up to` counts all that could sell, the likely ones too");
	return -1;
}

static void check_offer(struct loader *l, const struct offer *o)
{
	if (o->likely.given && o->upto.given && o->upto.v < o->likely.v)
		upto_below_likely(l->diag, o->upto.supposed ? o->upto.at : o->likely.at);
}

/* ---- crops ---- */

static bool needs_frost(const struct loader *l, const struct when *w)
{
	const struct business *b = &l->farm->business;
	return (w->anchor == ANCHOR_LAST_FROST && b->last_frost == DAY_NONE) ||
	       (w->anchor == ANCHOR_FIRST_FROST && b->first_frost == DAY_NONE);
}

static void check_when(struct loader *l, const struct when *w, struct span at)
{
	if (!needs_frost(l, w))
		return;
	bool last = w->anchor == ANCHOR_LAST_FROST;
	diag_warn(l->diag, at, "%s counts from the %s frost, which the farm does not say.",
		  quote_span(l->diag, at), last ? "last" : "first");
	diag_hint(l->diag, "add a line like `frost %s 2027-%s` to the farm block",
		  last ? "last" : "first", last ? "04-24" : "10-18");
}

static void check_crop(struct loader *l, const struct crop *c)
{
	const struct cutting *k = &c->cutting;
	for (size_t i = 0; i < c->nsowings; i++)
		check_when(l, &c->sowings[i].when, c->sowings[i].at);
	for (size_t i = 0; i < c->nplantings; i++)
		check_when(l, &c->plantings[i].when, c->plantings[i].at);
	if (k->low.given && k->high.given && k->low.v > k->high.v)
		diag_error(l->diag, k->high.supposed ? k->high.at : k->low.at,
			   "With %s here, the usual range ends below where it begins.",
			   quote_span(l->diag, k->high.supposed ? k->high.at : k->low.at));
}

/* ---- outlets ---- */

int check_tariff(struct diag *d, const struct tariff *last, const struct tariff *t)
{
	if (t->upto.v <= last->upto.v)
		return diag_error(d, t->upto.at,
				  "The weight %s does not rise above the one before it.",
				  quote_span(d, t->upto.at));
	if (t->money.v < last->money.v)
		return diag_error(d, t->money.at,
				  "A heavier parcel costs %s, less than a lighter one.",
				  quote_span(d, t->money.at));
	return 0;
}

int check_per_order(struct diag *d, const struct fig *per_order)
{
	if (per_order->v >= 1)
		return 0;
	return diag_error(d, per_order->at, "An order holds at least one piece, not %s.",
			  quote_span(d, per_order->at));
}

int check_labour(struct diag *d, const struct outlet *o)
{
	if (o->labour_rule != LABOUR_OF_PRICE || o->ratio_labour.v < 1)
		return 0;
	return diag_error(d, o->ratio_labour.at,
			  "%s is too much: labour's share of the price stays below 100%%.",
			  quote_span(d, o->ratio_labour.at));
}

static void check_outlet(struct loader *l, const struct outlet *o)
{
	for (size_t i = 1; i < o->ntariffs; i++)
		check_tariff(l->diag, &o->tariffs[i - 1], &o->tariffs[i]);
	check_per_order(l->diag, &o->per_order);
	check_labour(l->diag, o);
}

int farm_check(struct loader *l)
{
	const struct farm *f = l->farm;
	size_t errors = l->diag->errors;
	figures_check(l->farm, l->diag);
	for (size_t i = 0; i < f->ncrops; i++)
		check_crop(l, &f->crops[i]);
	for (size_t i = 0; i < f->npieces; i++) {
		for (size_t k = 0; k < f->pieces[i].noffers; k++)
			check_offer(l, &f->pieces[i].offers[k]);
	}
	for (size_t i = 0; i < f->noutlets; i++)
		check_outlet(l, &f->outlets[i]);
	return l->diag->errors > errors ? -1 : 0;
}

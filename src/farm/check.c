/* check.c - sense across the whole farm, once everything is known and every
 * supposition is laid over it.
 *
 * What a single line can get wrong is said where it is read; here are figures that
 * a supposition may have moved, and blocks that do not fit together. */
#include "farm/load.h"

/* ---- pieces ---- */

static void check_offer(struct loader *l, const struct offer *o)
{
	if (o->likely.given && o->upto.given && o->upto.v < o->likely.v)
		diag_error(l->diag, o->upto.supposed ? o->upto.at : o->likely.at,
		           "`up to` is below `likely`: it counts all that could sell, the likely ones "
		           "too.");
}

static void check_maker(struct loader *l, const struct head *h, enum kind kind, size_t nneeds,
                        size_t ntasks)
{
	if (nneeds + ntasks > 0)
		return;
	diag_warn(l->diag, h->at, "The %s %s needs nothing and takes no time.", kind_name(kind),
	          diag_quote(l->diag, h->name));
	diag_hint(l->diag, "add `needs` and `takes` lines");
}

static void check_piece(struct loader *l, const struct piece *p)
{
	check_maker(l, &p->head, KIND_PIECE, p->nneeds, p->ntasks);
	for (size_t i = 0; i < p->noffers; i++)
		check_offer(l, &p->offers[i]);
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
	diag_error(l->diag, at, "This counts from the %s frost, which the farm does not say.",
	           last ? "last" : "first");
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
		diag_error(l->diag, k->high.at, "The usual range ends below where it begins.");
}

/* ---- outlets ---- */

static void check_outlet(struct loader *l, const struct outlet *o)
{
	for (size_t i = 1; i < o->ntariffs; i++) {
		const struct tariff *last = &o->tariffs[i - 1], *t = &o->tariffs[i];
		if (t->upto.v <= last->upto.v)
			diag_error(l->diag, t->upto.at,
			           "The weights of this line must rise from one to the next.");
		else if (t->money.v < last->money.v)
			diag_error(l->diag, t->money.at,
			           "A heavier parcel cannot cost less than a lighter one.");
	}
	if (o->per_order.v < 1)
		diag_error(l->diag, o->per_order.at, "An order holds at least one piece.");
	if (o->aim == AIM_RATIO && o->labour_rule == LABOUR_OF_PRICE && o->ratio_labour.v >= 1)
		diag_error(l->diag, o->ratio_labour.at,
		           "The labour's share of the price stays below 100%%.");
}

int farm_check(struct loader *l)
{
	const struct farm *f = l->farm;
	size_t errors = l->diag->errors;
	for (size_t i = 0; i < f->ncrops; i++)
		check_crop(l, &f->crops[i]);
	for (size_t i = 0; i < f->nparts; i++)
		check_maker(l, &f->parts[i].head, KIND_PART, f->parts[i].nneeds, f->parts[i].ntasks);
	for (size_t i = 0; i < f->npieces; i++)
		check_piece(l, &f->pieces[i]);
	for (size_t i = 0; i < f->noutlets; i++)
		check_outlet(l, &f->outlets[i]);
	return l->diag->errors > errors ? -1 : 0;
}

/* plan_shed.c - what boxes and the drying line give, earliest day first, oldest first. */
#include <math.h>
#include <stdlib.h>

#include "reckon/loss.h"
#include "reckon/plan_in.h"
#include "reckon/rates.h"
#include "reckon/reach_program.h"

struct lot_left {               /* a class of the shed, or a batch that still hangs */
	uint32_t crop, colour;
	double length;
	day ready, boxed;       /* usable from; keeping counts from boxed, DAY_NONE never ends */
	double stems;           /* left: in the boxes today, or to be boxed */
	double survival;        /* to `dated` */
	day dated;
	bool hangs;
};
struct plan_shed {
	struct plan_work *w;
	struct lot_left *lots;
	size_t n;
	size_t *first;          /* per crop, into lots; lots are by crop */
};

static void add_classes(struct plan_shed *shed)
{
	const struct stock *s = shed->w->stock;
	for (size_t i = 0; i < s->nclasses; i++) {
		const struct stock_class *c = &s->classes[i];
		if (c->past && !s->with_past)
			continue;
		shed->lots[shed->n++] =
		    (struct lot_left){ c->crop, c->colour,
				       c->length, s->on,
				       s->with_past ? DAY_NONE : c->boxed,
				       (double)loss_whole(c->worth), 1,
				       s->on, false };
	}
}

static void add_batches(struct plan_shed *shed)
{
	const struct farm *f = shed->w->farm;
	for (size_t i = 0; i < f->nbatches; i++) {
		const struct batch *b = &f->batches[i];
		const struct crop *c = &f->crops[b->crop];
		const struct rates *rates = shed->w->stock->rates;
		day hung = b->hung_on != DAY_NONE ? b->hung_on : b->cut_on;
		bool done = b->boxed_on != DAY_NONE && b->boxed_on <= shed->w->out->on;
		double stems = !isnan(b->hung) ? b->hung : b->cut * (1 - rates_at(rates, b->crop, STAGE_FIELD));
		if (done || hung == DAY_NONE || hung > shed->w->out->on || !(stems > 0))
			continue;
		uint32_t colour = b->colour;
		if (colour == NONE && b->bed != NONE)
			colour = f->beds[b->bed].colour;
		day ready = season_dried(c, hung);
		if (ready < shed->w->out->on)
			ready = shed->w->out->on;
		shed->lots[shed->n++] = (struct lot_left){
			b->crop, colour, b->length, ready, ready,
			(double)loss_whole(stems * (1 - rates_at(rates, b->crop, STAGE_DRYING))), 1, ready, true };
	}
}

static int oldest_first(const void *x, const void *y)
{
	const struct lot_left *a = x, *b = y;
	if (a->crop != b->crop)
		return a->crop < b->crop ? -1 : 1;
	if (a->hangs != b->hangs)
		return a->hangs ? 1 : -1;
	if (a->boxed != b->boxed)
		return a->boxed < b->boxed ? -1 : 1;
	return (a->length > b->length) - (a->length < b->length);
}

/* `reserve` is kept back from the youngest. */
static void keep_back(struct plan_shed *shed, uint32_t crop)
{
	double keep = shed->w->farm->crops[crop].reserve.v;
	for (size_t i = shed->first[crop + 1]; i-- > shed->first[crop] && keep > 0;) {
		double part = fmin(keep, shed->lots[i].stems);
		shed->lots[i].stems -= part;
		keep -= part;
	}
}

struct plan_shed *plan_shed_open(struct plan_work *w)
{
	const struct farm *f = w->farm;
	struct plan_shed *shed = ARENA_NEW(w->a, struct plan_shed);
	shed->w = w;
	shed->lots = ARENA_ARRAY(w->a, w->stock->nclasses + f->nbatches + 1, struct lot_left);
	shed->first = ARENA_ARRAY(w->a, f->ncrops + 2, size_t);
	if (!w->options->ignore_stock) {
		add_classes(shed);
		add_batches(shed);
	}
	qsort(shed->lots, shed->n, sizeof *shed->lots, oldest_first);
	size_t at = 0;
	for (uint32_t c = 0; c <= f->ncrops; c++) {
		while (at < shed->n && shed->lots[at].crop < c)
			at++;
		shed->first[c] = at;
	}
	for (uint32_t c = 0; c < f->ncrops; c++)
		keep_back(shed, c);
	return shed;
}

/* What a stem of the lot is worth on a day; 0: it cannot go into the option. */
static double worth_on(const struct plan_shed *shed, const struct lot_left *l, const struct need_option *o, day by)
{
	const struct crop *c = &shed->w->farm->crops[l->crop];
	const struct rates *rates = shed->w->stock->rates;
	bool old = c->keeps.v > 0 && l->boxed != DAY_NONE && date_months(l->boxed, by) > c->keeps.v;
	if (l->stems <= 0 || l->ready > by || (o && (old || !stem_fits(o, NONE, l->colour, l->length))))
		return 0;
	return (1 - rates_at(rates, l->crop, STAGE_BENCH)) *
	       loss_storage(rates_at(rates, l->crop, STAGE_STORAGE), date_months(l->dated, by));
}

void plan_shed_give(struct plan_shed *shed, struct plan_use *use, const struct need_option *o,
                    day by)
{
	for (size_t i = shed->first[o->item.index];
	     i < shed->first[o->item.index + 1] && use->grow > PLAN_CRUMB; i++) {
		struct lot_left *l = &shed->lots[i];
		double one = worth_on(shed, l, o, by);
		if (!(one > 0))
			continue;
		double stems = fmin(l->stems, use->grow / one);
		l->stems -= stems;
		*(l->hangs ? &use->hanging : &use->stock) += stems * one;
		use->grow = fmax(0, use->grow - stems * one);
	}
}

double plan_shed_most(const struct plan_shed *shed, uint32_t crop, const struct need_option *o, day by)
{
	double stems = 0;
	for (size_t i = shed->first[crop]; i < shed->first[crop + 1]; i++)
		stems += shed->lots[i].stems * worth_on(shed, &shed->lots[i], o, by);
	return stems;
}

double plan_shed_beside(const struct plan_shed *shed, uint32_t crop, const struct plan_options_of *first,
			const struct plan_options_of *then)
{
	double stems = 0;
	for (size_t i = shed->first[crop]; i < shed->first[crop + 1]; i++) {
		const struct lot_left *l = &shed->lots[i];
		double one = 0;
		bool gone = true;
		for (size_t k = 0; k < then->n; k++)
			one = fmax(one, worth_on(shed, l, then->items[k], then->by));
		for (size_t k = 0; k < first->n; k++)
			gone = gone && worth_on(shed, l, first->items[k], first->by) > 0;
		stems += gone ? 0 : l->stems * one;
	}
	return stems;
}

static void count_length(double *fit, double *all, double length, double stems, double from,
			 double to)
{
	if (!(length > 0) || !(stems > 0))
		return;
	*all += stems;
	if (length >= from - 0.01 && (!(to > 0) || length <= to + 0.01))
		*fit += stems;
}

/* Stems on record that are so long, of all with a length: of batches, else of boxes. */
static void count_lengths(const struct plan_work *w, uint32_t crop, double from, double to, double *fit,
			  double *all)
{
	const struct farm *f = w->farm;
	*fit = *all = 0;
	for (size_t i = 0; i < f->nbatches; i++) {
		const struct batch *b = &f->batches[i];
		if (b->crop == crop)
			count_length(fit, all, b->length, isnan(b->hung) ? b->cut : b->hung, from, to);
	}
	if (*all > 0)
		return;
	for (size_t i = 0; i < f->nboxes; i++) {
		const struct box *b = &f->boxes[i];
		if (b->item.kind == KIND_CROP && b->item.index == crop)
			count_length(fit, all, b->length, b->count, from, to);
	}
}

double plan_fits(const struct plan_work *w, uint32_t crop, double from, double to)
{
	double fit, all;
	if (!(from > 0) && !(to > 0))
		return 1;
	count_lengths(w, crop, from, to, &fit, &all);
	return all > 0 ? fit / all : 1;
}

bool plan_lengths_known(const struct plan_work *w, uint32_t crop)
{
	double fit, all;
	count_lengths(w, crop, 0, 0, &fit, &all);
	return all > 0;
}

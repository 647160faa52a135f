/* note_check.c - whether the boxes and shelves hold what an entry takes, on its day and
 * on every later day that the log knows of. */
#include "commands/note_in.h"

#include <math.h>

#define CRUMB 1e-9 /* rounding error of counts: stock.c */
enum { SENTENCE_MOST = 4096 };

/* Taken out of a box, or, with box NONE, off the shelf of an item. */
struct taken {
	uint32_t box;
	struct item item;
	double n;
};

/* ---- what is there ---- */

static double there(const struct stock *s, const struct taken *t)
{
	if (t->box != NONE)
		return s->boxes[t->box].count;
	switch (t->item.kind) {
	case KIND_SUPPLY:
		return s->supplies[t->item.index];
	case KIND_PART:
		return s->parts[t->item.index];
	case KIND_PIECE:
		return s->pieces[t->item.index];
	default:
		return NAN;
	}
}

/* The entry counts what was taken from: what is taken before the end of that day is in
 * the count. */
static bool counts(const struct log_entry *e, const struct taken *t)
{
	if (e->event != EVENT_COUNTED)
		return false;
	return t->box != NONE ? e->box == t->box : same_item(e->item, t->item);
}

/* stock.csv counted it on that day or later. */
static bool counted_since(const struct farm *farm, const struct taken *t, day on)
{
	if (t->box != NONE)
		return farm->boxes[t->box].counted >= on;
	for (size_t i = 0; i < farm->nboxes; i++) {
		if (same_item(farm->boxes[i].item, t->item) && farm->boxes[i].counted >= on)
			return true;
	}
	return false;
}

/* Nothing was ever counted or made of it: what there is cannot be known. */
static bool unheard_of(const struct farm *farm, const struct taken *t)
{
	if (t->box != NONE)
		return false;
	for (size_t i = 0; i < farm->nboxes; i++) {
		if (same_item(farm->boxes[i].item, t->item))
			return false;
	}
	for (size_t i = 0; i < farm->nlog; i++) {
		const struct log_entry *e = &farm->log[i];
		if (same_item(e->item, t->item) &&
		    (e->event == EVENT_MADE || e->event == EVENT_BOXED || e->event == EVENT_COUNTED))
			return false;
	}
	return true;
}

/* The next day behind `on` with an entry in the log; DAY_NONE at the end. */
static day next_day(const struct farm *farm, day on)
{
	day next = DAY_NONE;
	for (size_t i = 0; i < farm->nlog; i++) {
		day d = farm->log[i].on;
		if (d > on && (next == DAY_NONE || d < next))
			next = d;
	}
	return next;
}

static bool counted_on(const struct farm *farm, const struct taken *t, day on)
{
	const bool *struck = log_struck(farm, farm->arena);
	for (size_t i = 0; i < farm->nlog; i++) {
		if (farm->log[i].on == on && !struck[i] && counts(&farm->log[i], t))
			return true;
	}
	return false;
}

/* ---- one of the things taken ---- */

static int refuse(struct noting *n, const struct taken *t, double here, day on)
{
	const struct farm *farm = n->s.farm;
	struct diag *diag = &n->s.diag;
	struct buf is, wants;
	char iso[11];
	date_print(on, iso);
	buf_init(&is, SENTENCE_MOST);
	buf_init(&wants, SENTENCE_MOST);
	note_amount(&is, farm, t->item, floor(here + CRUMB));
	note_amount(&wants, farm, t->item, t->n);
	const char *box = t->box == NONE ? "" : diag_quote(diag, farm->boxes[t->box].id);
	diag_error(diag, SPAN_NONE, "%s%s %s %s on %s, so %s cannot come %s it.",
		   t->box == NONE ? "The shelf" : "The box ", box, on > n->on ? "is to hold" : "holds",
		   is.data, iso, wants.data, t->box == NONE ? "off" : "out of");
	if (t->box != NONE)
		diag_hint(diag, "where there is more, count it first: `thrave note counted ... --box %.*s`",
			  STR_ARG(farm->boxes[t->box].id));
	else
		diag_hint(diag, "where there is more, count it first: `thrave note counted ... %.*s`",
			  STR_ARG(farm_head(farm, t->item)->name));
	buf_release(&wants);
	buf_release(&is);
	return EXIT_NO;
}

static int check(struct noting *n, const struct taken *t)
{
	const struct farm *farm = n->s.farm;
	if (!(t->n > 0) || unheard_of(farm, t) || counted_since(farm, t, n->on))
		return 0;
	for (day on = n->on; on != DAY_NONE; on = next_day(farm, on)) {
		struct remarks unheard;
		struct stock stock;
		if (on > n->on && counted_on(farm, t, on))
			return 0;
		remarks_init(&unheard, &n->s.arena);
		stock_take(&stock, farm, on, true, &n->rates, &n->s.arena, &unheard);
		double here = there(&stock, t);
		if (t->n > here + CRUMB)
			return refuse(n, t, here, on);
	}
	return 0;
}

int note_amounts(struct noting *n)
{
	const struct log_entry *e = n->entry;
	const struct farm *farm = n->farm;
	int status = 0;
	if (!e)
		return 0;
	for (size_t i = 0; i < e->ndrawn && !status; i++) {
		struct taken t = { e->drawn[i].box, farm->boxes[e->drawn[i].box].item, e->drawn[i].stems };
		status = check(n, &t);
	}
	if (e->event == EVENT_TOSSED || e->event == EVENT_SOLD) {
		struct taken t = { e->box, e->item, e->count };
		if (e->box != NONE || e->item.kind != KIND_CROP)
			status = check(n, &t);
	}
	return status;
}

/* of_plant_fit.c - what of the plan fits into beds, line, racks, boxes and hours. */
#include <math.h>

#include "report/of.h"

#define MM_PER_M   1000.0
#define MM2_PER_M2 1e6

static const struct column fit_columns[] = {
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "outlet", "outlet", TYPE_TEXT, COL_MAYBE, "text", "name of the outlet; empty: not said" },
	{ "by", "by", TYPE_DATE, 0, "date", "day of the target" },
	{ "asked", "asked", TYPE_COUNT, 0, "each", "pieces of the target" },
	{ "fits", "fits", TYPE_COUNT, 0, "each", "pieces of the plan that earns most" },
	{ "less", "less", TYPE_COUNT, COL_MAYBE, "each", "pieces that it leaves out" },
};
const struct table_def PLANT_FIT = { "plant",
				     "fit",
				     "What fits and earns most (with --fit)",
				     fit_columns,
				     sizeof fit_columns / sizeof fit_columns[0],
				     false };

static const struct column room_columns[] = {
	{ "what", "what", TYPE_TEXT, 0, "text",
	  "beds, line, racks, boxes, hours, or a crop whose standing bed gives less than is asked for" },
	{ "unit", "in", TYPE_TEXT, 0, "text", "unit of the numbers" },
	{ "limit", "there is", TYPE_NUMBER, 0, "see unit", "what there is; hours: in a week" },
	{ "wanted", "asked for", TYPE_NUMBER, 0, "see unit", "most that all targets take at a time, each need in its cheapest way; of a crop in the season" },
	{ "used", "fits", TYPE_NUMBER, 0, "see unit", "most that the plan takes that fits" },
	{ "one_more", "one more\nbrings", TYPE_MONEY, 0, "money",
	  "earned more with one more of the unit, by another search; empty: between the next two, or not known" },
	{ "least", "at least", TYPE_MONEY, COL_MACHINE, "money", "proven of that; empty: not known" },
	{ "most", "at most", TYPE_MONEY, COL_MACHINE, "money", "proven of that; empty: not known" },
};
const struct table_def PLANT_ROOM = { "plant",
				      "room",
				      "What there is, and what the targets take (with --fit)",
				      room_columns,
				      sizeof room_columns / sizeof room_columns[0],
				      false };

static const struct room_line { const char *what, *unit; size_t at; double scale; } rows[] = {
	{ "beds", "m", offsetof(struct plan_room, metres), MM_PER_M },
	{ "line", "m", offsetof(struct plan_room, line), MM_PER_M },
	{ "racks", "m2", offsetof(struct plan_room, racks), MM2_PER_M2 },
	{ "boxes", "boxes", offsetof(struct plan_room, boxes), 1 },
	{ "hours", "h a week", offsetof(struct plan_room, hours), 1 },
};

static double of(const struct plan_room *room, size_t at)
{
	return *(const double *)(const void *)((const char *)room + at);
}

static void put_worth(struct report *r, struct table *t, double least, double most)
{
	bool one = most - least < 0.01;
	put_number(t, "one_more", one ? most : (double)NAN);
	put_number(t, "least", least);
	put_number(t, "most", most);
	if (isnan(most))
		put_instead(t, "one_more", "-");
	else if (!one)
		put_instead(t, "one_more",
			    report_printf(r->arena, "%.*f to %.*f", r->digits, least, r->digits, most).p);
}

static void room_row(struct report *r, struct table *t, const struct fit_view *v, const struct room_line *row)
{
	double limit = of(&v->limits, row->at), wanted = of(&v->fit->wanted, row->at);
	double used = of(&v->fit->used, row->at);
	table_row(t);
	put_word(t, "what", row->what);
	put_word(t, "unit", row->unit);
	put_number(t, "limit", limit / row->scale);
	if (isnan(limit))
		put_instead(t, "limit", "not said");
	bool whole = row->at == offsetof(struct plan_room, boxes);
	put_number(t, "wanted", whole ? ceil(wanted - 1e-6) : wanted / row->scale);
	put_number(t, "used", whole ? ceil(used - 1e-6) : used / row->scale);
	put_worth(r, t, of(&v->least, row->at), of(&v->most, row->at));
}

static void standing_row(struct table *t, const struct farm *f, const struct plan_fit_standing *s)
{
	table_row(t);
	put_text(t, "what", f->crops[s->crop].head.name);
	put_word(t, "unit", "stems");
	put_number(t, "limit", (double)s->bears);
	put_number(t, "wanted", (double)s->wanted);
	put_number(t, "used", (double)s->used);
	put_instead(t, "one_more", "-");
}

static void rooms(struct report *r, const struct farm *f, const struct fit_view *v)
{
	struct table *t = report_table(r, &PLANT_ROOM);
	t->title = STR("What there is, and what the targets take");
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
		room_row(r, t, v, &rows[i]);
	for (size_t i = 0; i < v->fit->nstanding; i++)
		standing_row(t, f, &v->fit->standing[i]);
}

static void targets(struct report *r, const struct farm *f, const struct plan_fit *fit)
{
	struct table *t = report_table(r, &PLANT_FIT);
	t->title = STR("What fits and earns most");
	for (size_t i = 0; i < fit->n; i++) {
		const struct plan_wish *w = &fit->wishes[i];
		table_row(t);
		put_text(t, "piece", f->pieces[w->piece].head.name);
		if (w->outlet != NONE)
			put_text(t, "outlet", f->outlets[w->outlet].head.name);
		put_day(t, "by", w->by);
		put_number(t, "asked", fit->asked[i]);
		put_number(t, "fits", w->count);
		put_number(t, "less", fit->asked[i] - w->count);
	}
}

static void say_found(struct report *r, const struct plan_fit *fit)
{
	const struct str money = r->currency;
	double most = fit->bound - fit->earns;
	if (fit->state == PLAN_FIT_STOPPED)
		report_verdict(r, "Not all targets fit. This plan fits and earns %.*f %.*s, growing paid; the "
				  "search was stopped, and all that is proven is that none earns more than "
				  "%.*f %.*s.",
			       r->digits, fit->earns, STR_ARG(money), r->digits, fit->bound, STR_ARG(money));
	else if (most > 0.005)
		report_verdict(r, "Not all targets fit. This plan fits and earns %.*f %.*s, growing paid; no plan "
				  "that fits earns more than %.*f %.*s. --to-the-end looks on.",
			       r->digits, fit->earns, STR_ARG(money), r->digits, fit->bound, STR_ARG(money));
	else
		report_verdict(r, "Not all targets fit. No plan that fits earns more than this one: %.*f %.*s, "
				  "growing paid.",
			       r->digits, fit->earns, STR_ARG(money));
	if (fit->ways_left)
		report_verdict(r, "That holds for every way of every need. This plan has %s.",
			       fit->other_ways ? "another way where a standing bed does not go round"
					       : "the cheapest way of each");
	if (fit->ways_left && fit->nstanding)
		report_verdict(r, "`asked for` has each need in its cheapest way, though standing beds give less; "
				  "without --fit, `plant` makes some of it in another way and counts that.");
	report_verdict(r, "Tables above are those of the plan that fits.");
	if (fit->earns_all > fit->earns)
		report_verdict(r, "All that is asked would earn %.*f %.*s%s.", r->digits, fit->earns_all,
			       STR_ARG(money),
			       fit->nstanding || fit->lacking > 0.5 ? " if all its stems could be had" : "");
}

static void say(struct report *r, const struct plan_fit *fit)
{
	if (fit->unpriced && fit->state != PLAN_FIT_ALL)
		report_verdict(r, "What has no price earns nothing here, so it is left out first.");
	if (fit->state == PLAN_FIT_ALL)
		report_verdict(r, "All targets fit.");
	else if (fit->state == PLAN_FIT_NONE)
		report_verdict(r, "What the open orders and the beds that stand take does not fit by itself.");
	else
		say_found(r, fit);
}

void of_plant_fit(struct report *r, const struct view *v, const struct fit_view *f)
{
	rooms(r, v->now->farm, f);
	if (f->fit->state != PLAN_FIT_NONE)
		targets(r, v->now->farm, f->fit);
	say(r, f->fit);
}

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
	{ "what", "what", TYPE_TEXT, 0, "text", "beds, line, racks, boxes or hours" },
	{ "unit", "in", TYPE_TEXT, 0, "text", "unit of the numbers" },
	{ "limit", "there is", TYPE_NUMBER, 0, "see unit", "what there is; hours: in a week" },
	{ "wanted", "asked for", TYPE_NUMBER, 0, "see unit", "most that all targets take at a time" },
	{ "used", "fits", TYPE_NUMBER, 0, "see unit", "most that the plan takes that fits" },
	{ "one_more", "one more\nbrings", TYPE_MONEY, 0, "money",
	  "earned more with one more metre of bed or of line, by another search; empty: not looked for, or neither search proven" },
};
const struct table_def PLANT_ROOM = { "plant",
				      "room",
				      "What there is, and what the targets take (with --fit)",
				      room_columns,
				      sizeof room_columns / sizeof room_columns[0],
				      false };

static void room_row(struct table *t, const char *what, const char *unit, double scale, double limit,
		     double wanted, double used, double one_more)
{
	table_row(t);
	put_word(t, "what", what);
	put_word(t, "unit", unit);
	put_number(t, "limit", limit / scale);
	if (isnan(limit))
		put_instead(t, "limit", "not said");
	put_number(t, "wanted", wanted / scale);
	put_number(t, "used", used / scale);
	put_number(t, "one_more", one_more);
	if (isnan(one_more))
		put_instead(t, "one_more", "-");
}

static void rooms(struct report *r, const struct fit_view *v)
{
	const struct plan_room *l = &v->limits, *w = &v->fit->wanted, *u = &v->fit->used;
	struct table *t = report_table(r, &PLANT_ROOM);
	t->title = STR("What there is, and what the targets take");
	room_row(t, "beds", "m", MM_PER_M, l->metres, w->metres, u->metres, v->bed_metre);
	room_row(t, "line", "m", MM_PER_M, l->line, w->line, u->line, v->line_metre);
	room_row(t, "racks", "m2", MM2_PER_M2, l->racks, w->racks, u->racks, NAN);
	room_row(t, "boxes", "boxes", 1, l->boxes, ceil(w->boxes - 1e-6), ceil(u->boxes - 1e-6), NAN);
	room_row(t, "hours", "h a week", 1, l->hours, w->hours, u->hours, NAN);
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

static void say(struct report *r, const struct plan_fit *fit)
{
	const struct str money = r->currency;
	if (fit->unpriced && fit->state != PLAN_FIT_ALL)
		report_verdict(r, "What has no price earns nothing here, so it is left out first.");
	switch (fit->state) {
	case PLAN_FIT_ALL:
		report_verdict(r, "All targets fit.");
		return;
	case PLAN_FIT_NONE:
		report_verdict(r, "What the open orders and the beds that stand take does not fit by itself.");
		return;
	case PLAN_FIT_FOUND:
		report_verdict(r, "Not all targets fit. No plan that fits earns more than this one: %.*f %.*s, "
				  "growing paid.",
			       r->digits, fit->earns, STR_ARG(money));
		break;
	case PLAN_FIT_STOPPED:
		report_verdict(r, "Not all targets fit. This plan fits and earns %.*f %.*s, growing paid; the "
				  "search was stopped, and all that is proven is that none earns more than "
				  "%.*f %.*s.",
			       r->digits, fit->earns, STR_ARG(money), r->digits, fit->bound, STR_ARG(money));
		break;
	}
	report_verdict(r, "Tables above are those of the plan that fits. All that is asked would earn %.*f %.*s.",
		       r->digits, fit->earns_all, STR_ARG(money));
}

void of_plant_fit(struct report *r, const struct view *v, const struct fit_view *f)
{
	rooms(r, f);
	if (f->fit->state != PLAN_FIT_NONE)
		targets(r, v->now->farm, f->fit);
	say(r, f->fit);
}

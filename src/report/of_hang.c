/* of_hang.c - the drying line, the boxes and the hours, week by week. */
#include <math.h>

#include "base/number.h"
#include "reckon/calendar.h"
#include "report/of.h"

enum { BAR_WIDTH = 54, MM_PER_M = 1000, IDLE_WEEKS = 4 };
#define MM2_PER_M2 1e6

static const struct column week_columns[] = {
	{ "label", "week", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "week", "week", TYPE_TEXT, COL_MACHINE, "week", "ISO 8601 week as YYYY-Www" },
	{ "begins", "begins", TYPE_DATE, 0, "date", "its Monday" },
	{ "cut", "stems\ncut", TYPE_COUNT, 0, "stems", "stems cut to be hung" },
	{ "bundles", "bundles\nup", TYPE_COUNT, COL_MAYBE, "bundles",
	  "bundles on the line on its fullest day of the week" },
	{ "fullest", "fullest", TYPE_DATE, COL_MACHINE, "date", "that day; empty: nothing hangs" },
	{ "line", "line\nm", TYPE_TENTH, COL_MAYBE, "m", "line in use on that day" },
	{ "line_today", "today", TYPE_TENTH, COL_SUPPOSED, "m", "line without --suppose" },
	{ "line_free", "free\nm", TYPE_TENTH, COL_MAYBE, "m",
	  "line free on that day, below 0 when it is too short; empty: the farm says no line" },
	{ "racks", "racks\nm2", TYPE_TENTH, COL_MAYBE, "m2",
	  "rack in use on the fullest day of the racks" },
	{ "racks_free", "free\nm2", TYPE_TENTH, COL_MACHINE, "m2",
	  "rack free on that day; empty: the farm says no racks" },
	{ "filled", "boxes\nfilled", TYPE_COUNT, COL_MAYBE, "boxes", "boxes filled in the week" },
	{ "used", "in\nuse", TYPE_COUNT, COL_MAYBE, "boxes",
	  "boxes with stems in them at the end of the week" },
	{ "boxes_free", "boxes free", TYPE_COUNT, COL_MACHINE, "boxes",
	  "boxes free then; empty: the farm says no number of boxes" },
	{ "hours", "hours", TYPE_TENTH, COL_MAYBE, "h",
	  "cutting, stripping, bundling, hanging and boxing" },
	{ "over", "over", TYPE_TEXT, COL_MAYBE, "text", "limits that are passed, with blanks between: line, racks, boxes, hours" },
};
const struct table_def HANG_WEEKS = { "hang",
				      "weeks",
				      "Week by week",
				      week_columns,
				      sizeof week_columns / sizeof week_columns[0],
				      false };

static const struct column chart_columns[] = {
	{ "label", "week", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "week", "week", TYPE_TEXT, COL_MACHINE, "week", "ISO 8601 week" },
	{ "begins", "begins", TYPE_DATE, 0, "date", "its Monday" },
	{ "what", "what", TYPE_TEXT, COL_MACHINE, "text", "line or racks" },
	{ "used", "m", TYPE_TENTH, 0, "m or m2", "in use on the fullest day" },
	{ "limit", "there is", TYPE_TENTH, COL_MACHINE, "m or m2", "what there is; empty: not said" },
	{ "bar", "# in use   . free   ! more than there is", TYPE_TEXT, COL_PEOPLE, "", "" },
};
const struct table_def HANG_CHART = { "hang",
				      "chart",
				      "The line, and the racks, on the fullest day of each week",
				      chart_columns,
				      sizeof chart_columns / sizeof chart_columns[0],
				      false };

static const struct column peak_columns[] = {
	{ "label", "what gives, each by itself", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "what", "what", TYPE_TEXT, COL_MACHINE, "text", "line, racks, boxes or hours" },
	{ "from", "from", TYPE_DATE, COL_MACHINE, "date", "first day over the limit" },
	{ "to", "to", TYPE_DATE, COL_MACHINE, "date", "last day over the limit" },
	{ "fullest", "fullest", TYPE_DATE, COL_MACHINE, "date", "day, or Monday of the week, with most" },
	{ "most", "most", TYPE_NUMBER, COL_MACHINE, "m, m2, boxes or h", "in use then" },
	{ "limit", "limit", TYPE_NUMBER, COL_MACHINE, "m, m2, boxes or h", "what there is" },
	{ "way", "way", TYPE_TEXT, COL_MACHINE, "text",
	  "more: more of what is short; earlier: cut all of the crop that is there then earlier; "
	  "sooner: all that is there then dries sooner; closer: each bundle on less line; fewer: "
	  "fewer stems of the crop, all season" },
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text", "crop meant; empty: all" },
	{ "amount", "how much", TYPE_NUMBER, 0, "see unit",
	  "least that is enough; empty: none of it is, alone" },
	{ "unit", "", TYPE_TEXT, 0, "text", "unit of amount" },
	{ "stems", "stems", TYPE_COUNT, COL_MAYBE, "stems", "fewer: stems not cut" },
	{ "metres", "m of\nbed", TYPE_NUMBER, COL_MAYBE, "m",
	  "fewer: metres of bed not planted; empty: not known" },
	{ "metres_of", "of m", TYPE_NUMBER, COL_MAYBE, "m", "metres of bed that the crop has" },
};
const struct table_def HANG_PEAKS = { "hang",
				      "peaks",
				      "Over what there is",
				      peak_columns,
				      sizeof peak_columns / sizeof peak_columns[0],
				      false };

static const struct column lot_columns[] = {
	{ "batch", "batch", TYPE_TEXT, COL_MAYBE, "text",
	  "its mark in batches.csv; empty: a week of the plan" },
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "cut_on", "cut", TYPE_DATE, 0, "date", "day of the cut" },
	{ "hung_on", "hung", TYPE_DATE, COL_MACHINE, "date", "day of hanging" },
	{ "boxed_on", "boxed", TYPE_DATE, 0, "date", "day of boxing" },
	{ "expected", "expected", TYPE_FLAG, COL_MAYBE, "true or false",
	  "not boxed yet: day and boxes are what is expected" },
	{ "stems", "stems\nhung", TYPE_COUNT, 0, "stems", "stems hung" },
	{ "bundles", "bundles", TYPE_COUNT, COL_MAYBE, "bundles", "whole bundles" },
	{ "line", "line\nm", TYPE_TENTH, COL_MAYBE, "m", "line that they take" },
	{ "racks", "racks\nm2", TYPE_TENTH, COL_MAYBE, "m2", "rack that they take" },
	{ "boxes", "boxes", TYPE_COUNT, COL_MAYBE, "boxes", "whole boxes that they fill" },
	{ "hours", "hours", TYPE_TENTH, COL_MAYBE, "h", "from cutting to boxing" },
};
const struct table_def HANG_LOTS = { "hang",
				     "lots",
				     "Hung together (with --of)",
				     lot_columns,
				     sizeof lot_columns / sizeof lot_columns[0],
				     false };

static const struct {
	const char *name, *unit;
	double scale;
} whats[HANG_WHATS] = {
	[HANG_LINE] = { "line", "m", MM_PER_M },
	[HANG_RACKS] = { "racks", "m2", MM2_PER_M2 },
	[HANG_BOXES] = { "boxes", "boxes", 1 },
	[HANG_HOURS] = { "hours", "h", 1 },
};
static const char *const ways[HANG_WAYS] = {
	[HANG_MORE] = "more",     [HANG_EARLIER] = "earlier", [HANG_SOONER] = "sooner",
	[HANG_CLOSER] = "closer", [HANG_FEWER] = "fewer",
};

/* "2026-W31" for machines; people, who see its Monday beside it, get "W31". */
static void put_week(struct table *t, day monday)
{
	char text[WEEK_TEXT];
	week_print(monday, text);
	struct str week = report_printf(t->report->arena, "%s", text);
	put_text(t, "week", week);
	put_text(t, "label", (struct str){ week.p + 5, week.n - 5 });
	put_day(t, "begins", monday);
}

/* ---- weeks ---- */

static void add_over(struct buf *b, double used, double limit, const char *name)
{
	if (used > limit * (1 + 1e-9))
		buf_printf(b, "%s%s", b->len ? " " : "", name);
}

static struct str over_text(struct report *r, const struct hang *h, const struct hang_week *w)
{
	struct buf b;
	buf_init(&b, REPORT_WIDTH);
	add_over(&b, w->line, h->limit[HANG_LINE], whats[HANG_LINE].name);
	add_over(&b, w->racks, h->limit[HANG_RACKS], whats[HANG_RACKS].name);
	add_over(&b, w->used, h->limit[HANG_BOXES], whats[HANG_BOXES].name);
	add_over(&b, w->hours, h->limit[HANG_HOURS], whats[HANG_HOURS].name);
	struct str text = report_printf(r->arena, "%s", b.data);
	buf_release(&b);
	return text;
}

/* The line of the same week as the farm stands today; 0 when it has nothing then. */
static double line_today(const struct hang *today, day monday)
{
	for (size_t i = 0; today && i < today->nweeks; i++) {
		if (today->weeks[i].monday == monday)
			return today->weeks[i].line;
	}
	return 0;
}

static void week_row(struct table *t, const struct hang_view *v, const struct hang_week *w)
{
	const struct hang *h = v->now;
	table_row(t);
	put_week(t, w->monday);
	put_number(t, "cut", w->cut);
	put_number(t, "bundles", w->bundles);
	put_day(t, "fullest", w->fullest);
	put_number(t, "line", w->line / MM_PER_M);
	put_number(t, "line_today", line_today(v->today, w->monday) / MM_PER_M);
	put_number(t, "line_free", (h->limit[HANG_LINE] - w->line) / MM_PER_M);
	put_number(t, "racks", w->racks / MM2_PER_M2);
	put_number(t, "racks_free", (h->limit[HANG_RACKS] - w->racks) / MM2_PER_M2);
	put_number(t, "filled", w->filled);
	put_number(t, "used", w->used);
	put_number(t, "boxes_free", h->limit[HANG_BOXES] - w->used);
	put_number(t, "hours", w->hours);
	put_text(t, "over", over_text(t->report, h, w));
}

static bool idle(const struct hang_view *v, const struct hang_week *w)
{
	double today = line_today(v->today, w->monday);
	return !(w->cut > 0) && !(w->bundles > 0) && !(w->line > 0) && !(w->racks > 0) && !(w->filled > 0) &&
	       !(w->hours > 0) && !(today > 0);
}

/* A long time without anything in the middle of a season is told in a sentence. */
static void weeks(struct report *r, struct table *t, const struct hang_view *v)
{
	const struct hang *h = v->now;
	for (size_t i = 0, run; i < h->nweeks; i += run) {
		char from[11], to[11];
		for (run = 0; i + run < h->nweeks && idle(v, &h->weeks[i + run]); run++) {
		}
		bool left_out = run >= IDLE_WEEKS;
		run = run ? run : 1;
		for (size_t k = i; k < i + run; k++) {
			week_row(t, v, &h->weeks[k]);
			if (left_out)
				table_row_machine(t);
		}
		date_print(h->weeks[i].monday, from);
		date_print(h->weeks[i + run - 1].monday + 6, to);
		if (left_out)
			report_verdict(r, "Nothing is cut, hung or boxed from %s to %s: these %zu weeks are left out.",
				       from, to, run);
	}
}

/* ---- the chart ---- */

static double used_in(const struct hang_week *w, enum hang_what what)
{
	return what == HANG_LINE ? w->line : w->racks;
}

static double most_of(const struct hang *h, enum hang_what what)
{
	double most = 0;
	for (size_t i = 0; i < h->nweeks; i++)
		most = fmax(most, used_in(&h->weeks[i], what));
	return most;
}

/* Signs for so much on a scale where `top` is BAR_WIDTH signs; something is never none. */
static size_t signs(double x, double top)
{
	size_t n = (size_t)floor(x / top * BAR_WIDTH + 0.5);
	return n == 0 && x > top * 1e-9 ? 1 : n;
}

static struct str bar(struct report *r, double used, double limit, double most)
{
	double top = isnan(limit) ? most : fmax(limit, most);
	bool is_over = used > limit * (1 + 1e-9);
	size_t in_use = signs(is_over ? limit : used, top);
	size_t there_is = isnan(limit) ? in_use : signs(limit, top);
	struct buf b;
	buf_init(&b, 4 * REPORT_WIDTH);
	/* What is nearly full but not quite shows a free place. */
	if (!is_over && !isnan(limit) && in_use >= there_is && used < limit * (1 - 1e-9) && there_is > 1)
		in_use = there_is - 1;
	buf_fill(&b, '#', in_use);
	buf_fill(&b, '.', there_is > in_use ? there_is - in_use : 0);
	buf_fill(&b, '!', is_over ? signs(used - limit, top) : 0);
	struct str text = report_printf(r->arena, "%s", b.data);
	buf_release(&b);
	return text;
}

static void chart_rows(struct table *t, const struct hang *h, enum hang_what what, bool grouped)
{
	double most = most_of(h, what), scale = whats[what].scale;
	if (!(most > 0))
		return;
	if (grouped)
		table_group(t, str_of(what == HANG_LINE ? "metres of line" : "square metres of rack"));
	size_t first = h->nweeks, last = 0;
	for (size_t i = 0; i < h->nweeks; i++) {
		if (!(used_in(&h->weeks[i], what) > 0))
			continue;
		first = i < first ? i : first;
		last = i;
	}
	for (size_t i = first; i <= last && i < h->nweeks; i++) {
		double used = used_in(&h->weeks[i], what);
		table_row(t);
		put_week(t, h->weeks[i].monday);
		put_word(t, "what", whats[what].name);
		put_number(t, "used", used / scale);
		put_number(t, "limit", h->limit[what] / scale);
		put_text(t, "bar", bar(t->report, used, h->limit[what], most));
	}
}

static void chart(struct report *r, const struct hang *h)
{
	struct table *t = report_table(r, &HANG_CHART);
	bool lies = most_of(h, HANG_RACKS) > 0, hangs = most_of(h, HANG_LINE) > 0;
	if (!lies)
		t->title = STR("The line on the fullest day of each week, metres");
	else if (!hangs)
		t->title = STR("The racks on the fullest day of each week, square metres");
	chart_rows(t, h, HANG_LINE, lies && hangs);
	chart_rows(t, h, HANG_RACKS, lies && hangs);
}

/* ---- peaks ---- */

static struct str peak_label(struct report *r, const struct hang_peak *p)
{
	char from[11], to[11];
	double scale = whats[p->what].scale;
	bool one_day = p->from == p->to;
	date_print(p->from, from);
	date_print(p->to, to);
	return report_printf(r->arena, "%s %s %s%s%s: up to %.*s of %.*s %s", whats[p->what].name,
			     one_day ? "on" : "from", from, one_day ? "" : " to ", one_day ? "" : to,
			     STR_ARG(of_number(r, p->most / scale, 2)),
			     STR_ARG(of_number(r, p->limit / scale, 2)), whats[p->what].unit);
}

static struct str give_label(struct report *r, const struct farm *f, const struct hang_peak *p,
			     const struct hang_give *g)
{
	struct str crop = g->crop == NONE ? STR_NONE : f->crops[g->crop].head.name;
	switch (g->way) {
	case HANG_MORE:
		return report_printf(r->arena, "more %s", whats[p->what].name);
	case HANG_EARLIER:
		return crop.n ? report_printf(r->arena, "cut %.*s earlier", STR_ARG(crop))
			      : STR("cut one crop earlier");
	case HANG_SOONER:
		return STR("dry all of it sooner");
	case HANG_CLOSER:
		return str_of(p->what == HANG_LINE ? "hang it closer: less line a bundle"
						   : "lay it closer");
	case HANG_FEWER:
		return crop.n ? report_printf(r->arena, "less %.*s, all season", STR_ARG(crop))
			      : STR("less of every crop, all season");
	case HANG_WAYS:
		break;
	}
	return STR_NONE;
}

static const char *give_unit(const struct hang_peak *p, const struct hang_give *g)
{
	switch (g->way) {
	case HANG_MORE:
		return whats[p->what].unit;
	case HANG_EARLIER:
	case HANG_SOONER:
		return "days";
	default:
		return "%";
	}
}

/* What people see is rounded up, so that it is enough. */
static void put_least(struct table *t, const char *key, double x, int decimals)
{
	double unit = decimals == 2 ? 100 : decimals == 1 ? 10 : 1;
	put_number(t, key, x);
	if (isfinite(x))
		put_instead(t, key, of_number(t->report, ceil(x * unit - 1e-6) / unit, decimals).p);
}

static double shown_amount(const struct hang_peak *p, const struct hang_give *g)
{
	if (g->way == HANG_MORE)
		return g->amount / whats[p->what].scale;
	return g->way == HANG_CLOSER || g->way == HANG_FEWER ? g->amount * 100 : g->amount;
}

static void give_row(struct table *t, const struct farm *f, const struct hang_peak *p,
		     const struct hang_give *g)
{
	double scale = whats[p->what].scale, amount = shown_amount(p, g);
	table_row(t);
	table_indent(t, 2);
	put_text(t, "label", give_label(t->report, f, p, g));
	put_word(t, "what", whats[p->what].name);
	put_day(t, "from", p->from);
	put_day(t, "to", p->to);
	put_day(t, "fullest", p->fullest);
	put_number(t, "most", p->most / scale);
	put_number(t, "limit", p->limit / scale);
	put_word(t, "way", ways[g->way]);
	if (g->crop != NONE)
		put_text(t, "crop", f->crops[g->crop].head.name);
	put_least(t, "amount", amount, g->way == HANG_MORE ? 2 : 1);
	if (isnan(amount))
		put_instead(t, "amount", "not enough");
	else
		put_text(t, "unit", str_of(give_unit(p, g)));
	if (g->way != HANG_FEWER || isnan(amount))
		return;
	put_least(t, "stems", g->stems, 0);
	put_least(t, "metres", g->metres, 2);
	put_number(t, "metres_of", g->of);
}

static void peaks(struct report *r, const struct farm *f, const struct hang *h)
{
	struct table *t = report_table(r, &HANG_PEAKS);
	for (size_t i = 0; i < h->npeaks; i++) {
		table_group(t, peak_label(r, &h->peaks[i]));
		for (size_t k = 0; k < h->peaks[i].ngives; k++)
			give_row(t, f, &h->peaks[i], &h->peaks[i].gives[k]);
	}
}

/* ---- lots ---- */

static void lot_row(struct table *t, const struct farm *f, const struct hang_lot *l)
{
	table_row(t);
	if (l->batch != NONE)
		put_text(t, "batch", f->batches[l->batch].id);
	put_text(t, "crop", f->crops[l->crop].head.name);
	put_day(t, "cut_on", l->cut);
	put_day(t, "hung_on", l->hung);
	put_day(t, "boxed_on", l->boxed);
	put_flag(t, "expected", l->waiting);
	put_number(t, "stems", l->hung_stems);
	put_number(t, "bundles", l->bundles);
	put_number(t, "line", l->line / MM_PER_M);
	put_number(t, "racks", l->racks / MM2_PER_M2);
	put_number(t, "boxes", l->boxes);
	put_number(t, "hours", l->cut_hours + l->hang_hours + l->box_hours);
}

static void lots(struct report *r, const struct view *v, const struct hang *h)
{
	if (!v->choice.nitems)
		return;
	struct table *t = report_table(r, &HANG_LOTS);
	t->title = STR("Hung together");
	t->empty = "Nothing of it hangs in this season.";
	for (size_t i = 0; i < h->nlots; i++) {
		if (choice_has(&v->choice, KIND_CROP, h->lots[i].crop))
			lot_row(t, v->now->farm, &h->lots[i]);
	}
}

/* ---- verdicts ---- */

static void say_fullest(struct report *r, const struct hang *h, enum hang_what what, double scale)
{
	double most = most_of(h, what);
	char on[11] = "";
	for (size_t d = 0; d < h->ndays && !on[0]; d++) {
		double x = what == HANG_LINE ? h->line[d] : h->racks[d];
		if (most > 0 && x >= most * (1 - 1e-12))
			date_print(h->first + (day)d, on);
	}
	if (!on[0])
		return;
	const char *name = whats[what].name, *are = what == HANG_LINE ? "is" : "are";
	struct str used = of_number(r, most / scale, 2);
	if (isnan(h->limit[what]))
		report_verdict(r, "Most of the %s %s in use on %s: %.*s %s. The farm says no `%s`.", name, are,
			       on, STR_ARG(used), whats[what].unit, name);
	else
		report_verdict(r, "Most of the %s %s in use on %s: %.*s of %.*s %s.", name, are, on,
			       STR_ARG(used), STR_ARG(of_number(r, h->limit[what] / scale, 2)),
			       whats[what].unit);
}

static void say(struct report *r, const struct hang *h)
{
	say_fullest(r, h, HANG_LINE, MM_PER_M);
	say_fullest(r, h, HANG_RACKS, MM2_PER_M2);
	double used = h->nweeks ? h->weeks[h->nweeks - 1].used : 0;
	if (used > 0 && !isnan(h->limit[HANG_BOXES]))
		report_verdict(r, "Boxes in use at the end: %.0f of %.0f.", used, h->limit[HANG_BOXES]);
	if (h->npeaks)
		report_verdict(r, "A smaller bundle takes more line in all, not less: it helps only when it "
				  "dries that much sooner.");
}

void of_hang(struct report *r, const struct view *v, const struct hang_view *hv)
{
	of_title(r, hv->next ? "drying line of the next season" : "drying line");
	struct table *t = report_table(r, &HANG_WEEKS);
	t->empty = hv->next ? "Nothing is to be hung: the targets ask for no stems that are grown."
			    : "Nothing is hung: there is no batch of this season, in batches.csv or noted with --batch.";
	weeks(r, t, hv);
	chart(r, hv->now);
	peaks(r, v->now->farm, hv->now);
	lots(r, v, hv->now);
	say(r, hv->now);
	of_remarks(r, v);
}

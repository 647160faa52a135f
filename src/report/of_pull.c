/* of_pull.c - the pull list: what to take from which box, to be ticked off at the bench. */
#include <math.h>

#include "farm/measure.h"
#include "report/of.h"

#define TICK "[ ]"

static const struct column order_columns[] = {
	{ "tick", "done", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "order", "order", TYPE_TEXT, 0, "text", "its mark, or its row in orders.csv" },
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "on", "by", TYPE_DATE, 0, "date", "its day; that of the report when past or not said" },
	{ "count", "count", TYPE_COUNT, 0, "each", "pieces promised" },
	{ "finished", "take\nfinished", TYPE_COUNT, 0, "each", "of these on hand: taken first" },
	{ "make", "make", TYPE_COUNT, 0, "each", "of these to be made" },
	{ "cannot", "cannot\nbe made", TYPE_COUNT, COL_MAYBE, "each",
	  "of a mix: of these the stock does not allow" },
};
const struct table_def PULL_ORDERS = { "pull",
				       "orders",
				       "Open orders",
				       order_columns,
				       sizeof order_columns / sizeof order_columns[0],
				       false };

static const struct column outlet_columns[] = {
	{ "tick", "done", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "outlet", "outlet", TYPE_TEXT, 0, "text", "name of the outlet" },
	{ "count", "bring", TYPE_COUNT, 0, "each", "pieces for it" },
	{ "count_today", "today", TYPE_COUNT, COL_SUPPOSED, "each", "count without --suppose" },
	{ "finished", "take\nfinished", TYPE_COUNT, 0, "each", "of these on hand" },
	{ "make", "make", TYPE_COUNT, 0, "each", "of these to be made" },
};
const struct table_def PULL_OUTLETS = { "pull",
					"outlets",
					"For the outlets (with --mix)",
					outlet_columns,
					sizeof outlet_columns / sizeof outlet_columns[0],
					false };

static const struct column run_columns[] = {
	{ "tick", "done", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "on", "by", TYPE_DATE, 0, "date", "day of use" },
	{ "name", "what", TYPE_TEXT, 0, "text", "name of the part or piece" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text", "part or piece" },
	{ "wanted", "wanted", TYPE_NUMBER, 0, "see unit", "what the day takes of it" },
	{ "ready", "ready", TYPE_NUMBER, COL_MAYBE, "see unit",
	  "parts: of these taken off the shelf, or left over from what was made before" },
	{ "make", "make", TYPE_NUMBER, 0, "see unit", "to be made, in whole makings" },
	{ "make_today", "today", TYPE_NUMBER, COL_SUPPOSED, "see unit", "make without --suppose" },
	{ "makings", "makings", TYPE_COUNT, COL_MACHINE, "makings", "so often by the recipe" },
	{ "ordered", "for orders", TYPE_COUNT, COL_MACHINE, "each", "of a piece, for open orders" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of wanted, ready and make" },
};
const struct table_def PULL_MAKE = { "pull",
				     "make",
				     "What to make, made-ahead parts first",
				     run_columns,
				     sizeof run_columns / sizeof run_columns[0],
				     false };

static const struct column line_columns[] = {
	{ "tick", "done", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "on", "by", TYPE_DATE, COL_MACHINE, "date", "day of use" },
	{ "for", "for", TYPE_TEXT, COL_MACHINE, "text", "the piece or part that it is for" },
	{ "box", "box", TYPE_TEXT, 0, "text",
	  "its mark, or its row in stock.csv; empty: not out of a box that is known" },
	{ "label", "what", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "what", "what", TYPE_TEXT, COL_MACHINE, "text",
	  "name of the crop, part, supply or piece" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text",
	  "crop, part, supply, or piece: a finished one" },
	{ "colour", "colour", TYPE_TEXT, COL_MACHINE, "text", "colour; empty: not said" },
	{ "length", "cm", TYPE_NUMBER, COL_MACHINE, "cm", "length of the stems; empty: not said" },
	{ "take", "take", TYPE_NUMBER, 0, "see unit", "stems: whole ones, bench losses included" },
	{ "take_today", "today", TYPE_NUMBER, COL_SUPPOSED, "see unit", "take without --suppose" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of take" },
	{ "missing", "missing", TYPE_FLAG, COL_MACHINE, "true or false", "no box has these" },
	{ "makings", "makings", TYPE_COUNT, COL_MACHINE, "makings",
	  "how many of the run take it this way" },
	{ "place", "place", TYPE_TEXT, COL_MAYBE, "text", "where the box stands" },
};
const struct table_def PULL_LINES = { "pull",
				      "lines",
				      "What to pull, by piece",
				      line_columns,
				      sizeof line_columns / sizeof line_columns[0],
				      false };

static const struct column box_columns[] = {
	{ "tick", "done", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "box", "box", TYPE_TEXT, 0, "text", "its mark, or its row in stock.csv" },
	{ "label", "what", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text", "name of the crop" },
	{ "colour", "colour", TYPE_TEXT, COL_MACHINE, "text", "colour; empty: not said" },
	{ "length", "cm", TYPE_NUMBER, COL_MACHINE, "cm", "length of the stems; empty: not said" },
	{ "boxed", "boxed", TYPE_DATE, COL_MAYBE, "date", "day of boxing" },
	{ "holds", "good", TYPE_TENTH, 0, "stems", "in it and still good on the day" },
	{ "take", "take", TYPE_COUNT, 0, "stems", "for this list, all days" },
	{ "take_today", "today", TYPE_COUNT, COL_SUPPOSED, "stems", "take without --suppose" },
	{ "kept", "kept for\norders", TYPE_COUNT, COL_MAYBE, "stems",
	  "for open orders outside the list" },
	{ "left", "left", TYPE_TENTH, 0, "stems", "good ones of the day, after both" },
	{ "place", "place", TYPE_TEXT, COL_MAYBE, "text", "where it stands" },
};
const struct table_def PULL_BOXES = { "pull",
				      "boxes",
				      "What to pull, by box",
				      box_columns,
				      sizeof box_columns / sizeof box_columns[0],
				      false };

static const struct column supply_columns[] = {
	{ "tick", "done", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "supply", "supply", TYPE_TEXT, 0, "text", "name of the supply" },
	{ "needed", "lay out", TYPE_NUMBER, 0, "see unit", "for all that is on the list" },
	{ "needed_today", "today", TYPE_NUMBER, COL_SUPPOSED, "see unit", "needed without --suppose" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of needed, free and missing" },
	{ "free", "free", TYPE_NUMBER, 0, "see unit",
	  "on hand, when orders that are not on the list have theirs; empty: never counted" },
	{ "missing", "buy", TYPE_NUMBER, COL_MAYBE, "see unit", "needed and not free" },
};
const struct table_def PULL_SUPPLIES = { "pull",
					 "supplies",
					 "Supplies to lay out",
					 supply_columns,
					 sizeof supply_columns / sizeof supply_columns[0],
					 false };

static const struct column short_columns[] = {
	{ "item", "short", TYPE_TEXT, 0, "text", "name" },
	{ "kind", "kind", TYPE_TEXT, 0, "text", "crop or supply" },
	{ "short", "missing", TYPE_NUMBER, 0, "see unit",
	  "with so much more all could be made, the open orders first" },
	{ "orders_lack", "orders\nlack", TYPE_NUMBER, COL_MAYBE, "see unit",
	  "of short: what orders lack that are not on the list" },
	{ "short_today", "today", TYPE_NUMBER, COL_SUPPOSED, "see unit", "short without --suppose" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of short" },
};
const struct table_def PULL_SHORTS = { "pull",
				       "shorts",
				       "What is short",
				       short_columns,
				       sizeof short_columns / sizeof short_columns[0],
				       false };

/* ---- names ---- */

/* "Statice, blue, 40 cm" */
static struct str stems_label(struct report *r, const struct farm *f, struct item item,
			      uint32_t colour, double length)
{
	struct str s = of_item_name(f, item);
	if (colour != NONE)
		s = report_printf(r->arena, "%.*s, %.*s", STR_ARG(s), STR_ARG(f->colours[colour]));
	if (length > 0)
		s = report_printf(r->arena, "%.*s, %.4g cm", STR_ARG(s), of_cm(length));
	return s;
}

/* ---- today beside what is supposed ---- */

/* What is on one list only has a row as well: with 0 to take, or with 0 today. */
struct lists {
	const struct farm *farm;
	const struct pull *now, *today; /* today NULL: nothing is supposed */
};

static bool same_thing(struct item a, struct item b)
{
	return a.kind == b.kind && a.index == b.index;
}

/* Made on that day, and on the list; NULL: not. */
static const struct pull_run *run_like(const struct pull *p, const struct pull_run *run)
{
	for (size_t i = 0; i < p->nruns; i++) {
		const struct pull_run *o = &p->runs[i];
		if (o->listed && o->on == run->on && same_thing(o->item, run->item))
			return o;
	}
	return NULL;
}

static double taken_by(const struct pull_line *l)
{
	return l->kind == PULL_STEMS || l->kind == PULL_MISSING ? (double)l->stems : rat_double(l->amount);
}

static bool same_line(const struct pull_line *a, const struct pull_line *b)
{
	return a->kind == b->kind && same_thing(a->item, b->item) && a->need == b->need &&
	       a->option == b->option && a->colour == b->colour && a->box == b->box;
}

/* The line of the other list for the same need out of the same box; NULL: none. */
static const struct pull_line *line_like(const struct pull *p, const struct pull_run *run,
					 const struct pull_line *line)
{
	const struct pull_run *o = run_like(p, run);
	for (size_t k = 0; o && k < o->nlines; k++) {
		if (same_line(&p->lines[o->first + k], line))
			return &p->lines[o->first + k];
	}
	return NULL;
}

static const struct pull_box *box_like(const struct pull *p, uint32_t box)
{
	for (size_t i = 0; i < p->nboxes; i++) {
		if (p->boxes[i].box == box)
			return &p->boxes[i];
	}
	return NULL;
}

static const struct pull_supply *supply_like(const struct pull *p, uint32_t supply)
{
	for (size_t i = 0; i < p->nsupplies; i++) {
		if (p->supplies[i].supply == supply)
			return &p->supplies[i];
	}
	return NULL;
}

static const struct pull_sale *sale_like(const struct pull *p, const struct pull_sale *s)
{
	for (size_t i = 0; i < p->nsales; i++) {
		if (p->sales[i].piece == s->piece && p->sales[i].outlet == s->outlet)
			return &p->sales[i];
	}
	return NULL;
}

static const struct pull_short *short_like(const struct pull *p, struct item item)
{
	for (size_t i = 0; i < p->nshorts; i++) {
		if (same_thing(p->shorts[i].item, item))
			return &p->shorts[i];
	}
	return NULL;
}

/* ---- tables ---- */

static void orders(struct report *r, const struct farm *f, const struct pull *p)
{
	struct table *t = report_table(r, &PULL_ORDERS);
	for (size_t i = 0; i < p->norders; i++) {
		const struct pull_order *o = &p->orders[i];
		table_row(t);
		put_word(t, "tick", TICK);
		put_text(t, "order", of_row(r, f->orders[o->order].id, f->orders[o->order].line));
		put_text(t, "piece", f->pieces[f->orders[o->order].piece].head.name);
		put_day(t, "on", o->on);
		put_number(t, "count", (double)o->count);
		put_number(t, "finished", (double)o->finished);
		put_number(t, "make", (double)(o->count - o->finished - o->cannot));
		put_number(t, "cannot", (double)o->cannot);
	}
}

static void outlet_row(struct table *t, const struct lists *l, const struct pull_sale *s,
		       const struct pull_sale *now)
{
	table_row(t);
	put_word(t, "tick", now ? TICK : "");
	put_text(t, "piece", l->farm->pieces[s->piece].head.name);
	put_text(t, "outlet", l->farm->outlets[s->outlet].head.name);
	put_number(t, "count", now ? (double)now->count : 0);
	put_number(t, "finished", now ? (double)now->finished : 0);
	put_number(t, "make", now ? (double)(now->count - now->finished) : 0);
	if (!l->today)
		return;
	const struct pull_sale *today = sale_like(l->today, s);
	put_number(t, "count_today", today ? (double)today->count : 0);
}

static void outlets(struct report *r, const struct lists *l)
{
	struct table *t = report_table(r, &PULL_OUTLETS);
	t->title = STR("For the outlets");
	for (size_t i = 0; i < l->now->nsales; i++)
		outlet_row(t, l, &l->now->sales[i], &l->now->sales[i]);
	for (size_t i = 0; l->today && i < l->today->nsales; i++) {
		if (!sale_like(l->now, &l->today->sales[i]))
			outlet_row(t, l, &l->today->sales[i], NULL);
	}
}

static void make_row(struct table *t, const struct lists *l, const struct pull_run *run, bool now)
{
	table_row(t);
	put_word(t, "tick", now ? TICK : "");
	put_day(t, "on", run->on);
	put_text(t, "name", of_item_name(l->farm, run->item));
	put_word(t, "kind", kind_name(run->item.kind));
	put_text(t, "unit", measure_base(l->farm, run->item));
	put_number(t, "wanted", now ? rat_double(run->wanted) : 0);
	put_number(t, "make", now ? rat_double(run->gives) : 0);
	put_number(t, "makings", now ? (double)run->count : 0);
	if (now && run->item.kind == KIND_PIECE)
		put_number(t, "ordered", (double)run->ordered);
	else if (now)
		put_number(t, "ready", rat_double(run->ready));
	if (!l->today)
		return;
	const struct pull_run *today = run_like(l->today, run);
	put_number(t, "make_today", today ? rat_double(today->gives) : 0);
}

static void make(struct report *r, const struct lists *l)
{
	struct table *t = report_table(r, &PULL_MAKE);
	for (size_t i = 0; i < l->now->nruns; i++) {
		if (l->now->runs[i].listed)
			make_row(t, l, &l->now->runs[i], true);
	}
	for (size_t i = 0; l->today && i < l->today->nruns; i++) {
		const struct pull_run *run = &l->today->runs[i];
		if (run->listed && !run_like(l->now, run))
			make_row(t, l, run, false);
	}
}

static struct str run_title(struct report *r, const struct farm *f, const struct pull_run *run)
{
	struct str name = of_item_name(f, run->item), more = STR_NONE;
	char on[11];
	date_print(run->on, on);
	if (run->item.kind == KIND_PIECE) {
		if (run->ordered > 0 && run->ordered < run->count)
			more = report_printf(r->arena, ", %lld of them for orders",
					     (long long)run->ordered);
		return report_printf(r->arena, "%lld %.*s by %s%.*s", (long long)run->count,
				     STR_ARG(name), on, STR_ARG(more));
	}
	return report_printf(r->arena, "made ahead: %lld making%s of %.*s by %s",
			     (long long)run->count, run->count == 1 ? "" : "s", STR_ARG(name), on);
}

/* Where not all of the run is met this way: ", in 3 of 5". */
static struct str with_share(struct report *r, struct str label, const struct pull_run *run,
			     const struct pull_line *line)
{
	if (line->makings == run->count)
		return label;
	return report_printf(r->arena, "%.*s, in %lld of %lld", STR_ARG(label),
			     (long long)line->makings, (long long)run->count);
}

static void put_stems(struct table *t, const struct farm *f, const struct pull_run *run,
		      const struct pull_line *line)
{
	struct report *r = t->report;
	double length = 0;
	if (line->kind == PULL_STEMS) {
		const struct box *b = &f->boxes[line->box];
		length = (double)b->length;
		put_text(t, "box", of_row(r, b->id, b->line));
		if (b->place != NONE)
			put_text(t, "place", f->words[b->place]);
	}
	if (line->colour != NONE)
		put_text(t, "colour", f->colours[line->colour]);
	put_number(t, "length", of_cm(length));
	put_text(t, "label",
		 with_share(r, stems_label(r, f, line->item, line->colour, length), run, line));
	put_number(t, "take", (double)line->stems);
}

static void line_now(struct table *t, const struct farm *f, const struct pull_run *run,
		     const struct pull_line *line)
{
	bool missing = line->kind == PULL_MISSING;
	table_row(t);
	put_word(t, "tick", missing ? "" : TICK);
	put_day(t, "on", run->on);
	put_text(t, "for", of_item_name(f, run->item));
	put_text(t, "what", of_item_name(f, line->item));
	put_word(t, "kind", kind_name(line->item.kind));
	put_text(t, "unit", measure_base(f, line->item));
	put_flag(t, "missing", missing);
	put_number(t, "makings", (double)line->makings);
	if (line->kind == PULL_STEMS || missing) {
		put_stems(t, f, run, line);
		if (missing)
			put_instead(t, "box", "missing");
		return;
	}
	put_text(t, "label", with_share(t->report, of_item_name(f, line->item), run, line));
	put_number(t, "take", rat_double(line->amount));
	put_instead(t, "box", kind_name(line->item.kind));
}

static void line_row(struct table *t, const struct lists *l, const struct pull_run *run,
		     const struct pull_line *line)
{
	line_now(t, l->farm, run, line);
	if (!l->today)
		return;
	const struct pull_line *today = line_like(l->today, run, line);
	put_number(t, "take_today", today ? taken_by(today) : 0);
}

/* Not taken as supposed. */
static void line_today(struct table *t, const struct lists *l, const struct pull_run *run,
		       const struct pull_line *line)
{
	line_now(t, l->farm, run, line);
	put_number(t, "take_today", taken_by(line));
	put_number(t, "take", 0);
	put_number(t, "makings", 0);
	put_flag(t, "missing", false);
	put_word(t, "tick", "");
}

/* The mark of the only box that holds it; else empty. */
static struct str only_box(struct report *r, const struct view *v, struct item item)
{
	const struct farm *f = v->now->farm;
	struct str name = STR_NONE;
	for (size_t i = 0; i < f->nboxes; i++) {
		const struct box *b = &f->boxes[i];
		if (b->item.kind != item.kind || b->item.index != item.index ||
		    !(v->now->stock.boxes[i].count > 0))
			continue;
		if (name.n)
			return STR_NONE;
		name = of_row(r, b->id, b->line);
	}
	return name;
}

/* today -1: nothing is supposed. */
static void finished_row(struct table *t, const struct view *v, uint32_t piece, day on, int64_t n,
			 int64_t today)
{
	const struct farm *f = v->now->farm;
	struct item item = { KIND_PIECE, piece };
	struct str name = of_item_name(f, item), box = only_box(t->report, v, item);
	table_row(t);
	put_word(t, "tick", n ? TICK : "");
	put_day(t, "on", on);
	put_text(t, "for", name);
	if (box.n)
		put_text(t, "box", box);
	else
		put_instead(t, "box", "finished");
	put_text(t, "label", name);
	put_text(t, "what", name);
	put_word(t, "kind", kind_name(KIND_PIECE));
	put_number(t, "take", (double)n);
	if (today >= 0)
		put_number(t, "take_today", (double)today);
	put_text(t, "unit", measure_base(f, item));
	put_flag(t, "missing", false);
}

static void finished_for_orders(struct table *t, const struct view *v, const struct lists *l)
{
	bool first = true;
	/* Of both lists the orders are the same. */
	for (size_t i = 0; i < l->now->norders; i++) {
		const struct pull_order *o = &l->now->orders[i];
		int64_t today = !l->today ? -1 : i < l->today->norders ? l->today->orders[i].finished : 0;
		if (o->finished == 0 && today <= 0)
			continue;
		if (first)
			table_group(t, STR("finished pieces for the open orders"));
		first = false;
		finished_row(t, v, l->farm->orders[o->order].piece, o->on, o->finished, today);
	}
}

static void finished_for_outlets(struct table *t, const struct view *v, const struct lists *l)
{
	bool first = true;
	for (size_t i = 0; i < l->now->nsales; i++) {
		const struct pull_sale *s = &l->now->sales[i];
		const struct pull_sale *today = l->today ? sale_like(l->today, s) : NULL;
		int64_t was = !l->today ? -1 : today ? today->finished : 0;
		if (s->finished == 0 && was <= 0)
			continue;
		if (first)
			table_group(t, STR("finished pieces for the outlets"));
		first = false;
		finished_row(t, v, s->piece, v->now->on, s->finished, was);
	}
	for (size_t i = 0; l->today && i < l->today->nsales; i++) {
		const struct pull_sale *s = &l->today->sales[i];
		if (s->finished == 0 || sale_like(l->now, s))
			continue;
		if (first)
			table_group(t, STR("finished pieces for the outlets"));
		first = false;
		finished_row(t, v, s->piece, v->now->on, 0, s->finished);
	}
}

/* Lines of today that this run has not, or all of them where it is not made as supposed. */
static void lines_of_today(struct table *t, const struct lists *l, const struct pull_run *today)
{
	for (size_t k = today->first; k < today->first + today->nlines; k++) {
		if (!line_like(l->now, today, &l->today->lines[k]))
			line_today(t, l, today, &l->today->lines[k]);
	}
}

static void lines(struct report *r, const struct view *v, const struct lists *l)
{
	struct table *t = report_table(r, &PULL_LINES);
	t->empty = "Nothing is to be pulled.";
	finished_for_orders(t, v, l);
	finished_for_outlets(t, v, l);
	for (size_t i = 0; i < l->now->nruns; i++) {
		const struct pull_run *run = &l->now->runs[i];
		if (!run->listed || run->nlines == 0)
			continue;
		table_group(t, run_title(r, l->farm, run));
		for (size_t k = run->first; k < run->first + run->nlines; k++)
			line_row(t, l, run, &l->now->lines[k]);
		const struct pull_run *today = l->today ? run_like(l->today, run) : NULL;
		if (today)
			lines_of_today(t, l, today);
	}
	for (size_t i = 0; l->today && i < l->today->nruns; i++) {
		const struct pull_run *run = &l->today->runs[i];
		if (!run->listed || run->nlines == 0 || run_like(l->now, run))
			continue;
		struct str title = run_title(r, l->farm, run);
		table_group(t, report_printf(r->arena, "only today: %.*s", STR_ARG(title)));
		lines_of_today(t, l, run);
	}
}

static void box_row(struct table *t, const struct lists *l, const struct pull_box *b, bool now)
{
	struct report *r = t->report;
	const struct farm *f = l->farm;
	const struct box *box = &f->boxes[b->box];
	double length = (double)box->length;
	table_row(t);
	put_word(t, "tick", now ? TICK : "");
	put_text(t, "box", of_row(r, box->id, box->line));
	put_text(t, "label", stems_label(r, f, box->item, box->colour, length));
	put_text(t, "crop", of_item_name(f, box->item));
	if (box->colour != NONE)
		put_text(t, "colour", f->colours[box->colour]);
	put_number(t, "length", of_cm(length));
	put_day(t, "boxed", box->boxed);
	put_number(t, "take", now ? (double)b->take : 0);
	if (now) {
		put_number(t, "holds", b->holds);
		put_number(t, "kept", (double)b->kept);
		put_number(t, "left", b->left);
	}
	if (box->place != NONE)
		put_text(t, "place", f->words[box->place]);
	if (!l->today)
		return;
	const struct pull_box *today = box_like(l->today, b->box);
	put_number(t, "take_today", today ? (double)today->take : 0);
}

static void boxes(struct report *r, const struct lists *l)
{
	struct table *t = report_table(r, &PULL_BOXES);
	for (size_t i = 0; i < l->now->nboxes; i++)
		box_row(t, l, &l->now->boxes[i], true);
	for (size_t i = 0; l->today && i < l->today->nboxes; i++) {
		if (!box_like(l->now, l->today->boxes[i].box))
			box_row(t, l, &l->today->boxes[i], false);
	}
}

static void supply_row(struct table *t, const struct lists *l, const struct pull_supply *s, bool now)
{
	struct item item = { KIND_SUPPLY, s->supply };
	table_row(t);
	put_word(t, "tick", now ? TICK : "");
	put_text(t, "supply", of_item_name(l->farm, item));
	put_number(t, "needed", now ? rat_double(s->needed) : 0);
	put_text(t, "unit", measure_base(l->farm, item));
	put_number(t, "free", s->on_hand);
	if (isnan(s->on_hand))
		put_instead(t, "free", "not counted");
	put_number(t, "missing", now ? s->missing : 0);
	if (!l->today)
		return;
	const struct pull_supply *today = supply_like(l->today, s->supply);
	put_number(t, "needed_today", today ? rat_double(today->needed) : 0);
}

static void supplies(struct report *r, const struct lists *l)
{
	struct table *t = report_table(r, &PULL_SUPPLIES);
	for (size_t i = 0; i < l->now->nsupplies; i++)
		supply_row(t, l, &l->now->supplies[i], true);
	for (size_t i = 0; l->today && i < l->today->nsupplies; i++) {
		if (!supply_like(l->now, l->today->supplies[i].supply))
			supply_row(t, l, &l->today->supplies[i], false);
	}
}

static void short_row(struct table *t, const struct lists *l, struct item item)
{
	const struct pull_short *now = short_like(l->now, item);
	table_row(t);
	put_text(t, "item", of_item_name(l->farm, item));
	put_word(t, "kind", kind_name(item.kind));
	put_number(t, "short", now ? now->count : 0);
	put_number(t, "orders_lack", now ? now->orders : 0);
	put_text(t, "unit", measure_base(l->farm, item));
	if (!l->today)
		return;
	const struct pull_short *today = short_like(l->today, item);
	put_number(t, "short_today", today ? today->count : 0);
}

static void shorts(struct report *r, const struct lists *l)
{
	struct table *t = report_table(r, &PULL_SHORTS);
	for (size_t i = 0; i < l->now->nshorts; i++)
		short_row(t, l, l->now->shorts[i].item);
	for (size_t i = 0; l->today && i < l->today->nshorts; i++) {
		if (!short_like(l->now, l->today->shorts[i].item))
			short_row(t, l, l->today->shorts[i].item);
	}
}

static void say_state(struct report *r, const struct pull *p)
{
	switch (p->state) {
	case PULL_MET:
		if (p->nruns)
			report_verdict(r, "The boxes hold enough for all of it, each by its day.");
		break;
	case PULL_SHORT:
		report_verdict(r, "Not all of it can be made: something is short.");
		if (!p->least && p->nruns)
			report_verdict(r, "It may be that less is missing than is shown.");
		break;
	case PULL_STOPPED:
		report_verdict(r, "The search was stopped before proof: it may be that nothing is "
				  "short.");
	}
}

static void say_mix(struct report *r, const struct mix_view *v)
{
	const struct mix *m = v->now;
	if (isfinite(m->value) && v->today && isfinite(v->today->value))
		report_verdict(r, "The list is of a mix that earns %.*s, today %.*s.",
			       STR_ARG(of_money(r, m->value)), STR_ARG(of_money(r, v->today->value)));
	else if (isfinite(m->value))
		report_verdict(r, "The list is of a mix that earns %.*s.",
			       STR_ARG(of_money(r, m->value)));
	if (m->nshorts || m->nlacks)
		report_verdict(r, "The open orders cannot all be met: `thrave mix` says what they "
				  "lack.");
	of_mix_proof(r, m, "");
}

void of_pull(struct report *r, const struct view *v, const struct pull *p, const struct pull *today,
	     const struct mix_view *m)
{
	struct lists l = { v->now->farm, p, v->today ? today : NULL };
	of_title(r, m ? "pull list for the best mix" : "pull list");
	if (m)
		of_mix_options(r, l.farm, m->options);
	lines(r, v, &l);
	boxes(r, &l);
	supplies(r, &l);
	orders(r, l.farm, p);
	outlets(r, &l);
	make(r, &l);
	shorts(r, &l);
	say_state(r, p);
	if (m)
		say_mix(r, m);
	of_remarks(r, v);
}

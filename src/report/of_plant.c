/* of_plant.c - the planting plan: crops, days, targets, money, colours, weeks. */
#include <math.h>

#include "report/of.h"

#define COUNT_OF(a) (sizeof(a) / sizeof((a)[0]))
#define TABLE(name, title, columns, upright)                                                       \
	{                                                                                          \
		"plant", name, title, columns, COUNT_OF(columns), upright                          \
	}

static const struct column crop_columns[] = {
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "source", "source", TYPE_TEXT, COL_MACHINE, "text",
	  "sown, standing, bought, gathered, stock (there is enough) or not needed" },
	{ "usable", "usable", TYPE_COUNT, COL_MACHINE, "stems",
	  "stems in all pieces; with odd ones where all of a piece are of one colour" },
	{ "stock", "in the shed", TYPE_COUNT, COL_MACHINE, "stems", "of these from boxes" },
	{ "hanging", "hanging", TYPE_COUNT, COL_MACHINE, "stems", "of these from the drying line" },
	{ "cut", "stems\nto cut", TYPE_COUNT, 0, "stems",
	  "in a usual season, so that as many are usable as sure; bought: to buy" },
	{ "cut_today", "today", TYPE_COUNT, COL_SUPPOSED, "stems", "cut without --suppose" },
	{ "plain", "plain\nnumber", TYPE_COUNT, 0, "stems", "cut, were every rate as it stands" },
	{ "chance", "sure\n%", TYPE_PERCENT, 0, "fraction",
	  "chance that this suffices for all that is asked; errs on the low side" },
	{ "plain_chance", "plain\n%", TYPE_PERCENT, COL_MACHINE, "fraction",
	  "chance that the plain number suffices" },
	{ "plants", "plants", TYPE_COUNT, 0, "plants", "to set out; standing: that stand" },
	{ "seeds", "seeds", TYPE_COUNT, COL_MACHINE, "seeds", "to sow" },
	{ "cells", "cells", TYPE_COUNT, COL_MAYBE, "cells", "to sow; direct: spots" },
	{ "trays", "trays", TYPE_COUNT, COL_MAYBE, "trays", "whole trays for them" },
	{ "packets", "seed\npackets", TYPE_COUNT, COL_MAYBE, "packets", "whole packets, of each colour" },
	{ "metres", "bed\nm", TYPE_NUMBER, 0, "m", "of bed; standing: that stands" },
	{ "bears", "it bears", TYPE_COUNT, COL_MACHINE, "stems",
	  "standing: what it gives in a usual season; empty: not known" },
	{ "short", "short", TYPE_COUNT, COL_MACHINE, "stems", "standing: of cut, more than it gives" },
	{ "lacking", "lacking", TYPE_COUNT, COL_MACHINE, "stems",
	  "usable stems that cannot be there by their day" },
};
const struct table_def PLANT_CROPS = TABLE("crops", "How much", crop_columns, false);

static const struct column day_columns[] = {
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "sow", "sow", TYPE_DATE, 0, "date", "day of sowing; empty: not sown, or not known" },
	{ "plant", "plant out", TYPE_DATE, 0, "date", "day of planting out; sown direct: that day" },
	{ "first_cut", "first cut", TYPE_DATE, 0, "date", "first day of cutting" },
	{ "last_cut", "last cut", TYPE_DATE, 0, "date", "last day of cutting" },
	{ "last_boxed", "last boxed", TYPE_DATE, 0, "date", "the last cut is dry" },
	{ "past", "over", TYPE_FLAG, COL_MAYBE, "true or false", "its first day is over" },
	{ "direct", "direct", TYPE_FLAG, COL_MACHINE, "true or false", "sown where it grows" },
	{ "standing", "standing", TYPE_FLAG, COL_MACHINE, "true or false", "it stands already" },
	{ "stems", "stems", TYPE_COUNT, COL_MACHINE, "stems", "to cut in a usual season" },
	{ "plants", "plants", TYPE_COUNT, COL_MACHINE, "plants", "to set out" },
	{ "cells", "cells", TYPE_COUNT, COL_MACHINE, "cells", "to sow; direct: spots" },
	{ "trays", "trays", TYPE_COUNT, COL_MACHINE, "trays", "whole trays" },
	{ "seeds", "seeds", TYPE_COUNT, COL_MACHINE, "seeds", "to sow" },
	{ "metres", "m", TYPE_NUMBER, COL_MACHINE, "m", "of bed" },
};
const struct table_def PLANT_DAYS = TABLE("days", "When", day_columns, false);

static const struct column moved_columns[] = {
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "day", "day", TYPE_TEXT, 0, "text", "sow, plant out, first cut, last cut or last boxed" },
	{ "supposed", "supposed", TYPE_DATE, 0, "date", "with --suppose; empty: that sowing is not planned then" },
	{ "today", "today", TYPE_DATE, 0, "date", "without; empty: that sowing is not planned today" },
};
const struct table_def PLANT_MOVED = TABLE("moved", "Days that this moves (with --suppose)", moved_columns, false);

static const struct column target_columns[] = {
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "by", "by", TYPE_DATE, 0, "date", "to be sold by, or due" },
	{ "order", "order", TYPE_TEXT, COL_MACHINE, "text", "mark of the order; empty: a target" },
	{ "outlet", "outlet", TYPE_TEXT, COL_MACHINE, "text", "where, as the target or order says" },
	{ "count", "to\nsell", TYPE_NUMBER, 0, "pieces", "wanted" },
	{ "make", "to make", TYPE_COUNT, COL_MACHINE, "pieces", "with those that spoil" },
	{ "finished", "finished", TYPE_COUNT, COL_MACHINE, "pieces", "of these on the shelf" },
	{ "sure", "asked\n%", TYPE_PERCENT, 0, "fraction", "how sure it is to be; empty: not said" },
	{ "chance", "sure\n%", TYPE_PERCENT, 0, "fraction",
	  "chance that all its stems are there, its crops together; errs on the low side" },
	{ "chance_today", "today %", TYPE_PERCENT, COL_SUPPOSED | COL_MACHINE, "fraction", "chance without --suppose" },
	{ "plain_chance", "plain\n%", TYPE_PERCENT, 0, "fraction", "that chance with the plain numbers" },
	{ "crops", "crops", TYPE_COUNT, COL_MACHINE, "kinds of stems",
	  "that have to be grown for it, each colour asked for by itself" },
	{ "lacking", "stems\nlacking", TYPE_COUNT, COL_MAYBE, "stems",
	  "usable stems that cannot be there by that day" },
	{ "revenue", "brings", TYPE_MONEY, 0, "money", "before tax, at today's price" },
	{ "left", "left", TYPE_MONEY, 0, "money",
	  "of it after fees, sending, supplies and paid labour; growing and overhead not taken off" },
	{ "left_today", "today", TYPE_MONEY, COL_SUPPOSED, "money", "left without --suppose" },
};
const struct table_def PLANT_TARGETS = TABLE("targets", "What it is for", target_columns, false);

static const struct column money_columns[] = {
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "seed", "seed", TYPE_MONEY, COL_PART, "money", "whole packets" },
	{ "land", "land", TYPE_MONEY, COL_PART, "money", "the field's share, by metres of bed" },
	{ "hours", "hours", TYPE_TENTH, 0, "h", "growing, cutting, drying" },
	{ "growing_hours", "growing hours", TYPE_TENTH, COL_MACHINE, "h",
	  "by the metre, as on record for the crop, else for all" },
	{ "cutting_hours", "cutting hours", TYPE_TENTH, COL_MACHINE, "h", "by `works`" },
	{ "drying_hours", "drying hours", TYPE_TENTH, COL_MACHINE, "h", "stripping to boxing, by `works`" },
	{ "labour", "labour", TYPE_MONEY, COL_PART, "money", "these hours at the full wage" },
	{ "other", "other", TYPE_MONEY, COL_PART, "money",
	  "bands and boxes, a standing bed's share of its planting, stems bought in" },
	{ "total", "in all", TYPE_MONEY, COL_SUM, "money", "what the crop's plan costs" },
	{ "total_today", "today", TYPE_MONEY, COL_SUPPOSED, "money", "total without --suppose" },
	{ "boxed", "boxed", TYPE_COUNT, COL_MACHINE, "stems", "stems boxed in a usual season" },
	{ "per_boxed", "a stem\nboxed", TYPE_MONEY, COL_FINE, "money per stem", "total over stems boxed" },
	{ "per_usable", "usable", TYPE_MONEY, COL_FINE | COL_MACHINE, "money per stem",
	  "total over stems that end in a piece" },
};
const struct table_def PLANT_MONEY = TABLE("money", "What growing it costs", money_columns, false);

static const struct column total_columns[] = {
	{ "case", "", TYPE_TEXT, 0, "text", "now, supposed or today" },
	{ "metres", "metres of bed, standing ones too", TYPE_NUMBER, 0, "m",
	  "of the plan and of all standing crops" },
	{ "metres_most", "metres that there are", TYPE_NUMBER, COL_MAYBE, "m",
	  "beds of the farm; empty: not said" },
	{ "hours", "hours of growing, cutting and drying", TYPE_TENTH, 0, "h", "of all crops" },
	{ "revenue", "the targets bring, before tax", TYPE_MONEY, 0, "money",
	  "and orders that have to be grown for" },
	{ "left", "left after selling, supplies and labour", TYPE_MONEY, 0, "money",
	  "after fees, sending, supplies and paid labour at the bench" },
	{ "cost", "growing it costs", TYPE_MONEY, 0, "money", "all crops of the plan" },
	{ "contribution", "left for overhead and you", TYPE_MONEY, 0, "money", "left - cost" },
	{ "chance", "chance of all at once %", TYPE_PERCENT, COL_MACHINE, "fraction",
	  "that every target is met; errs on the low side" },
};
const struct table_def PLANT_TOTALS = TABLE("totals", "In all", total_columns, true);

static const struct column colour_columns[] = {
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "colour", "colour", TYPE_TEXT, 0, "text", "empty: any" },
	{ "stems", "stems\nto cut", TYPE_COUNT, 0, "stems", "of that colour" },
	{ "stems_today", "today", TYPE_COUNT, COL_SUPPOSED, "stems", "stems without --suppose" },
	{ "plants", "plants", TYPE_COUNT, 0, "plants", "in the same measure" },
	{ "seeds", "seeds", TYPE_COUNT, 0, "seeds", "in the same measure" },
	{ "packets", "packets", TYPE_COUNT, 0, "packets", "whole packets" },
};
const struct table_def PLANT_COLOURS = TABLE("colours", "In which colours, each rounded up", colour_columns, false);

static const struct column week_columns[] = {
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name of the crop" },
	{ "week", "week", TYPE_TEXT, 0, "week", "ISO 8601 week as YYYY-Www" },
	{ "begins", "begins", TYPE_DATE, 0, "date", "its Monday" },
	{ "stems", "stems cut", TYPE_COUNT, 0, "stems", "evenly over the days of cutting" },
};
const struct table_def PLANT_WEEKS = TABLE("weeks", "The cut by week (with --why)", week_columns, false);

/* ---- tables ---- */

static double or_none(int64_t n)
{
	return n > 0 ? (double)n : NAN;
}

static bool has_plan(const struct view *v, const struct plan *p, uint32_t crop)
{
	const struct plan_crop *c = &p->crops[crop];
	return choice_has(&v->choice, KIND_CROP, crop) &&
	       (c->cut > 0 || c->stems > 0 || choice_names(&v->choice, KIND_CROP, crop));
}

/* A crop that only one of the two plans grows has a row as well. */
static bool has_row(const struct view *v, const struct plan_view *pv, uint32_t crop)
{
	return has_plan(v, pv->now, crop) || (pv->today && has_plan(v, pv->today, crop));
}

static void crop_row(struct table *t, const struct view *v, const struct plan_view *pv, uint32_t crop)
{
	const struct plan_crop *c = &pv->now->crops[crop];
	table_row(t);
	put_text(t, "crop", v->now->farm->crops[crop].head.name);
	put_word(t, "source", plan_source_name(c->source));
	put_number(t, "usable", c->stems);
	put_number(t, "stock", c->stock);
	put_number(t, "hanging", c->hanging);
	put_number(t, "cut", (double)c->cut);
	if (pv->today)
		put_number(t, "cut_today", (double)pv->today->crops[crop].cut);
	if (c->source == PLAN_STOCK)
		put_instead(t, "cut", "enough");
	put_number(t, "plain", or_none(c->plain));
	put_number(t, "lacking", c->lacking);
	if (c->cut <= 0)
		return;
	put_number(t, "chance", c->chance);
	put_number(t, "plain_chance", c->plain_chance);
	put_number(t, "plants", c->source == PLAN_STANDING ? or_none(c->sowings[0].plants_out)
							   : or_none(c->plants_out));
	if (c->source == PLAN_STANDING)
		put_instead(t, "plants", "stands");
	if (c->source == PLAN_BOUGHT)
		put_instead(t, "plants", "buy");
	put_number(t, "seeds", or_none(c->seeds));
	put_number(t, "cells", or_none(c->cells));
	put_number(t, "trays", or_none(c->trays));
	put_number(t, "packets", or_none(c->packets));
	put_number(t, "metres", c->metres > 0 ? c->metres / 1000 : NAN);
	put_number(t, "bears", c->bears < 0 ? NAN : (double)c->bears);
	put_number(t, "short", c->short_stems);
}

static void crops(struct report *r, const struct view *v, const struct plan_view *pv)
{
	struct table *t = report_table(r, &PLANT_CROPS);
	t->empty = "Nothing has to be grown.";
	for (uint32_t i = 0; i < v->now->farm->ncrops; i++) {
		if (has_row(v, pv, i))
			crop_row(t, v, pv, i);
	}
}

static void day_row(struct table *t, const struct farm *f, uint32_t crop, const struct plan_crop *c,
		    const struct plan_sowing *s)
{
	table_row(t);
	put_text(t, "crop", f->crops[crop].head.name);
	put_day(t, "sow", s->sow);
	put_day(t, "plant", s->plant);
	if (c->source == PLAN_STANDING)
		put_instead(t, "plant", "stands");
	put_day(t, "first_cut", s->first_cut);
	put_day(t, "last_cut", s->last_cut);
	put_day(t, "last_boxed", s->last_boxed);
	put_flag(t, "past", s->past);
	put_flag(t, "direct", s->sows != NONE && f->crops[crop].sowings[s->sows].direct);
	put_flag(t, "standing", c->source == PLAN_STANDING);
	put_number(t, "stems", (double)s->stems);
	put_number(t, "plants", or_none(s->plants_out));
	put_number(t, "cells", or_none(s->cells));
	put_number(t, "trays", or_none(s->trays));
	put_number(t, "seeds", or_none(s->seeds));
	put_number(t, "metres", s->metres > 0 ? s->metres / 1000 : NAN);
}

static void days(struct report *r, const struct view *v, const struct plan *p)
{
	struct table *t = report_table(r, &PLANT_DAYS);
	for (uint32_t i = 0; i < v->now->farm->ncrops; i++) {
		const struct plan_crop *c = &p->crops[i];
		for (size_t k = 0; has_plan(v, p, i) && k < c->nsowings; k++) {
			if (c->sowings[k].planned)
				day_row(t, v->now->farm, i, c, &c->sowings[k]);
		}
	}
}

/* ---- days that move ---- */

static void moved_row(struct table *t, struct str crop, const char *what, day supposed, day today)
{
	table_row(t);
	put_text(t, "crop", crop);
	put_word(t, "day", what);
	put_day(t, "supposed", supposed);
	put_day(t, "today", today);
}

/* The days of a sowing in both plans; NULL: not planned. */
static void sowing_moves(struct table *t, struct str crop, const struct plan_sowing *now, const struct plan_sowing *today)
{
	static const char *const names[] = { "sow", "plant out", "first cut", "last cut", "last boxed" };
	const struct plan_sowing none = { .sow = DAY_NONE, .plant = DAY_NONE, .first_cut = DAY_NONE,
					  .last_cut = DAY_NONE, .last_boxed = DAY_NONE };
	const struct plan_sowing *a = now ? now : &none, *b = today ? today : &none;
	const day days[COUNT_OF(names)][2] = { { a->sow, b->sow },
					       { a->plant, b->plant },
					       { a->first_cut, b->first_cut },
					       { a->last_cut, b->last_cut },
					       { a->last_boxed, b->last_boxed } };
	for (size_t i = 0; i < COUNT_OF(names); i++) {
		if (days[i][0] == days[i][1])
			continue;
		moved_row(t, crop, names[i], days[i][0], days[i][1]);
		if (!now || !today)
			return; /* its first day tells of the sowing */
	}
}

static const struct plan_sowing *planned_sowing(const struct plan_crop *c, size_t k)
{
	return c->cut > 0 && k < c->nsowings && c->sowings[k].planned ? &c->sowings[k] : NULL;
}

static void moved(struct report *r, const struct view *v, const struct plan_view *pv)
{
	struct table *t = report_table(r, &PLANT_MOVED);
	t->title = STR("Days that this moves");
	for (uint32_t i = 0; pv->today && i < v->now->farm->ncrops; i++) {
		const struct plan_crop *now = &pv->now->crops[i], *today = &pv->today->crops[i];
		for (size_t k = 0; has_row(v, pv, i) && (k < now->nsowings || k < today->nsowings); k++)
			sowing_moves(t, v->now->farm->crops[i].head.name, planned_sowing(now, k),
				     planned_sowing(today, k));
	}
}

/* Targets in file order, then open orders: the same things in both. */
static const struct plan_line *line_today(const struct plan_view *pv, size_t i)
{
	const struct plan_line *l = &pv->now->lines[i], *t;
	if (!pv->today || i >= pv->today->nlines)
		return NULL;
	t = &pv->today->lines[i];
	return t->order == l->order && t->wish.piece == l->wish.piece && t->wish.by == l->wish.by ? t : NULL;
}

static void targets(struct report *r, const struct view *v, const struct plan_view *pv)
{
	const struct plan *p = pv->now;
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &PLANT_TARGETS);
	size_t idle = 0;
	t->empty = "The farm has no targets yet: say what you want to sell, in a `target` block.";
	for (size_t i = 0; i < p->nlines; i++) {
		const struct plan_line *l = &p->lines[i], *today = line_today(pv, i);
		if (!plan_line_grows(l)) {
			idle++;
			continue;
		}
		table_row(t);
		put_text(t, "piece", f->pieces[l->wish.piece].head.name);
		put_day(t, "by", l->wish.by);
		if (l->order != NONE)
			put_text(t, "order", f->orders[l->order].id);
		if (l->wish.outlet != NONE)
			put_text(t, "outlet", f->outlets[l->wish.outlet].head.name);
		put_number(t, "count", l->wish.count);
		put_number(t, "make", l->make);
		put_number(t, "finished", l->finished);
		put_number(t, "sure", l->wish.sure);
		put_number(t, "chance", l->chance);
		put_number(t, "chance_today", today ? today->chance : NAN);
		put_number(t, "plain_chance", l->plain_chance);
		put_number(t, "crops", (double)l->pools);
		put_number(t, "lacking", l->lacking);
		put_number(t, "revenue", l->revenue);
		put_number(t, "left", l->contribution);
		put_number(t, "left_today", today ? today->contribution : NAN);
	}
	if (idle)
		report_verdict(r, "%zu open order%s need%s nothing grown: what is there will do.", idle,
			       idle == 1 ? "" : "s", idle == 1 ? "s" : "");
}

static void money(struct report *r, const struct view *v, const struct plan_view *pv)
{
	struct table *t = report_table(r, &PLANT_MONEY);
	for (uint32_t i = 0; i < v->now->farm->ncrops; i++) {
		const struct plan_money *m = &pv->now->crops[i].money;
		bool grown = pv->now->crops[i].cut > 0 || (pv->today && pv->today->crops[i].cut > 0);
		if (!has_row(v, pv, i) || !grown)
			continue;
		table_row(t);
		put_text(t, "crop", v->now->farm->crops[i].head.name);
		put_number(t, "seed", m->seed);
		put_number(t, "land", m->land);
		put_number(t, "hours", m->growing_hours + m->cutting_hours + m->drying_hours);
		put_number(t, "growing_hours", m->growing_hours);
		put_number(t, "cutting_hours", m->cutting_hours);
		put_number(t, "drying_hours", m->drying_hours);
		put_number(t, "labour", m->labour);
		put_number(t, "other", m->spends + m->establishment + m->bought);
		put_number(t, "total", m->total);
		if (pv->today)
			put_number(t, "total_today", pv->today->crops[i].money.total);
		put_number(t, "boxed", m->boxed);
		if (pv->now->crops[i].cut > 0) {
			put_number(t, "per_boxed", m->per_boxed);
			put_number(t, "per_usable", m->per_usable);
		}
	}
}

static void total_row(struct table *t, const char *name, const struct plan *p)
{
	const struct plan_money *m = &p->money;
	table_row(t);
	put_word(t, "case", name);
	put_number(t, "metres", p->metres / 1000);
	put_number(t, "metres_most", p->metres_most > 0 ? p->metres_most / 1000 : NAN);
	put_number(t, "hours", m->growing_hours + m->cutting_hours + m->drying_hours);
	put_number(t, "revenue", p->revenue);
	put_number(t, "left", p->contribution + m->total);
	put_number(t, "cost", m->total);
	put_number(t, "contribution", p->contribution);
	put_number(t, "chance", p->chance);
}

static void totals(struct report *r, const struct plan_view *pv)
{
	struct table *t = report_table(r, &PLANT_TOTALS);
	total_row(t, pv->today ? "supposed" : "now", pv->now);
	if (pv->today)
		total_row(t, "today", pv->today);
}

/* The lack is told crop by crop; the money is the wish's. */
static void say_lacking(struct report *r, const struct plan *p)
{
	if (money_minor(p->lacking_revenue, r->digits) > 0)
		report_verdict(r, "Of what the targets bring %.*s is of such as cannot all be there by their day.",
			       STR_ARG(of_money(r, p->lacking_revenue)));
}

static void say_unpriced(struct report *r, const struct farm *f, const struct plan *p)
{
	struct said names = { 0 };
	if (p->unpriced && !p->priced) {
		report_verdict(r, "A supply has no price, so what the targets bring is not counted: `thrave price` "
				  "says which one.");
		return;
	}
	struct str at = f->noutlets ? f->outlets[0].head.name : STR("market");
	for (size_t i = p->nlines; i-- > 0;) {
		const struct plan_line *l = &p->lines[i];
		if (l->price_line == NONE && l->wish.outlet != NONE)
			at = f->outlets[l->wish.outlet].head.name;
	}
	for (size_t i = 0; i < p->nlines; i++) {
		const struct plan_line *l = &p->lines[i];
		if (l->price_line == NONE && (l->order == NONE || l->pools))
			said_add(&names, r->arena, f->pieces[l->wish.piece].head.name);
	}
	if (names.n)
		report_verdict(r, "No price known, so nothing that it brings is counted: %s. A line such as "
				  "`sells %.*s at 20` under it gives one.",
			       said_text(&names), STR_ARG(at));
}

/* ---- colours ---- */

static bool several_colours(const struct plan_crop *c)
{
	return c->ncolours > 1 || (c->ncolours && c->colours[0].colour != NONE);
}

static const struct plan_colour *colour_in(const struct plan_crop *c, uint32_t colour)
{
	for (size_t i = 0; i < c->ncolours; i++) {
		if (c->colours[i].colour == colour)
			return &c->colours[i];
	}
	return NULL;
}

/* supposed, today: NULL, not planted in this colour. */
static void colour_row(struct table *t, const struct farm *f, uint32_t crop, const struct plan_colour *now,
		       const struct plan_colour *today)
{
	uint32_t colour = now ? now->colour : today->colour;
	table_row(t);
	put_text(t, "crop", f->crops[crop].head.name);
	put_text(t, "colour", colour == NONE ? STR("any") : f->colours[colour]);
	put_number(t, "stems", now ? (double)now->stems : 0);
	put_number(t, "stems_today", today ? (double)today->stems : 0);
	if (!now)
		return;
	put_number(t, "plants", or_none(now->plants));
	put_number(t, "seeds", or_none(now->seeds));
	put_number(t, "packets", or_none(now->packets));
}

static void colours(struct report *r, const struct view *v, const struct plan_view *pv)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &PLANT_COLOURS);
	static const struct plan_crop nothing;
	for (uint32_t i = 0; i < f->ncrops; i++) {
		const struct plan_crop *c = &pv->now->crops[i], *today = pv->today ? &pv->today->crops[i] : &nothing;
		if (!has_row(v, pv, i) || (!several_colours(c) && !several_colours(today)))
			continue;
		for (size_t k = 0; k < c->ncolours; k++)
			colour_row(t, f, i, &c->colours[k], colour_in(today, c->colours[k].colour));
		for (size_t k = 0; k < today->ncolours; k++) {
			if (!colour_in(c, today->colours[k].colour))
				colour_row(t, f, i, NULL, &today->colours[k]);
		}
	}
}

static void weeks(struct report *r, const struct view *v, const struct plan *p)
{
	struct table *t = report_table(r, &PLANT_WEEKS);
	t->title = STR("The cut by week");
	for (uint32_t i = 0; i < v->now->farm->ncrops; i++) {
		const struct plan_crop *c = &p->crops[i];
		for (size_t k = 0; choice_names(&v->choice, KIND_CROP, i) && k < c->nweeks; k++) {
			struct iso_week w = date_week(c->weeks[k].monday);
			table_row(t);
			put_text(t, "crop", v->now->farm->crops[i].head.name);
			put_text(t, "week", report_printf(r->arena, "%04d-W%02d", w.year, w.week));
			put_day(t, "begins", c->weeks[k].monday);
			put_number(t, "stems", c->weeks[k].stems);
		}
	}
}

/* ---- what does not fit ---- */

static void verdicts(struct report *r, const struct view *v, const struct plan *p)
{
	const struct farm *f = v->now->farm;
	for (uint32_t i = 0; i < f->ncrops; i++) {
		const struct plan_crop *c = &p->crops[i];
		if (!choice_has(&v->choice, KIND_CROP, i))
			continue;
		if (c->lacking > 0.5)
			report_verdict(r, c->lacking < 1.5 ? "%.*s: %.0f stem cannot be there by its day, or is not so long."
							   : "%.*s: %.0f stems cannot be there by their day, or are not so long.",
				       STR_ARG(f->crops[i].head.name), c->lacking);
		if (c->short_stems > 0)
			report_verdict(r,
				       "%.*s: what stands gives %lld stems in a usual season, %.0f short "
				       "of %lld.",
				       STR_ARG(f->crops[i].head.name), (long long)c->bears, c->short_stems,
				       (long long)c->cut);
	}
	if (p->metres_most > 0 && p->metres > p->metres_most + 0.5)
		report_verdict(r, "The plan takes %.*s m of bed, and there are %.*s.",
			       STR_ARG(of_number(r, p->metres / 1000, 2)),
			       STR_ARG(of_number(r, p->metres_most / 1000, 2)));
}

void of_plant(struct report *r, const struct view *v, const struct plan_view *pv)
{
	const struct plan *p = pv->now;
	of_title(r, "planting plan");
	crops(r, v, pv);
	days(r, v, p);
	moved(r, v, pv);
	if (v->choice.nitems == 0)
		targets(r, v, pv);
	money(r, v, pv);
	if (v->choice.nitems == 0 && p->nlines)
		totals(r, pv);
	colours(r, v, pv);
	if (v->choice.nitems)
		of_plant_why(r, v, p);
	weeks(r, v, p);
	if (v->choice.nitems == 0) {
		say_lacking(r, p);
		say_unpriced(r, v->now->farm, p);
	}
	verdicts(r, v, p);
	of_remarks(r, v);
}

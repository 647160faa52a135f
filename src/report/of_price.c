/* of_price.c - what to ask, and what is left of it. */
#include <math.h>

#include "report/of.h"

static const struct column price_columns[] = {
	{ "piece", "piece", TYPE_TEXT, COL_MACHINE, "text", "name of the piece" },
	{ "outlet", "outlet", TYPE_TEXT, 0, "text", "name of the outlet" },
	{ "offered", "offered", TYPE_FLAG, COL_MACHINE, "true or false",
	  "the piece has a sells line there" },
	{ "cost", "cost", TYPE_MONEY, 0, "money", "making one: stems, supplies, labour, overhead" },
	{ "aim", "aim", TYPE_MONEY, 0, "money",
	  "what the customer would pay at the aimed margin, exact" },
	{ "point", "price\npoint", TYPE_MONEY, 0, "money",
	  "aim at the next price point; tax included" },
	{ "tag", "tag", TYPE_MONEY, COL_MACHINE, "money",
	  "what the ticket shows at the price point: less tax where it comes on top" },
	{ "ticket", "its\nticket", TYPE_MONEY, COL_PEOPLE | COL_MAYBE, "", "" },
	{ "asked", "asked", TYPE_MONEY, 0, "money",
	  "what the customer pays today; empty: no price is asked" },
	{ "left", "left", TYPE_MONEY, 0, "money",
	  "of the asked price (else the price point) after tax, fees, sending and all costs" },
	{ "left_today", "today", TYPE_MONEY, COL_SUPPOSED, "money", "left without --suppose" },
	{ "margin", "margin\n%", TYPE_PERCENT, 0, "fraction", "left over the price before tax" },
	{ "per_hour", "an\nhour", TYPE_MONEY, 0, "money per h",
	  "left and own labour, less the stall, for an hour of bench, packing and stall" },
	{ "per_hour_today", "per hour today", TYPE_MONEY, COL_SUPPOSED | COL_MACHINE, "money per h",
	  "per_hour without --suppose" },
	{ "cost_today", "cost today", TYPE_MONEY, COL_SUPPOSED | COL_MACHINE, "money",
	  "cost without --suppose" },
	{ "point_today", "price point today", TYPE_MONEY, COL_SUPPOSED | COL_MACHINE, "money",
	  "point without --suppose" },
	{ "loses", "loses", TYPE_FLAG, COL_MAYBE, "true or false", "left is below 0" },
};
const struct table_def PRICE_PRICES = { "price",
					"prices",
					"What to ask, and what is left",
					price_columns,
					sizeof price_columns / sizeof price_columns[0],
					false };

static const struct column buildup_columns[] = {
	{ "outlet", "", TYPE_TEXT, 0, "text", "name of the outlet" },
	{ "piece", "piece", TYPE_TEXT, COL_MACHINE, "text", "name of the piece" },
	{ "at", "reckoned at", TYPE_TEXT, 0, "text", "asked price or price point" },
	{ "stems", "stems", TYPE_MONEY, COL_PART, "money", "of one made" },
	{ "supplies", "supplies", TYPE_MONEY, COL_PART | COL_MAYBE, "money", "of one made" },
	{ "labour", "labour at the bench", TYPE_MONEY, COL_PART, "money", "of one made" },
	{ "overhead", "overhead", TYPE_MONEY, COL_PART | COL_MAYBE, "money", "of one made" },
	{ "broken", "broken or brought back", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "making of the pieces that are spoilt, borne by those sold" },
	{ "packing", "packing", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "packing time at the wage" },
	{ "packing_overhead", "overhead of packing", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "packing time at the overhead of an hour" },
	{ "carton", "carton", TYPE_MONEY, COL_PART | COL_MAYBE, "money", "carton" },
	{ "sending", "sending, less what is charged", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "sending cost less what the customer pays for it before tax" },
	{ "fees", "fees", TYPE_MONEY, COL_PART | COL_MAYBE, "money", "fees of the outlet" },
	{ "tax", "tax", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "tax in what the customer pays" },
	{ "left", "left", TYPE_MONEY, COL_PART | COL_OWN, "money", "what is left" },
	{ "paid", "what the customer pays", TYPE_MONEY, COL_SUM | COL_RULE, "money",
	  "sum of all lines above, tax included" },
	{ "margin", "margin, %", TYPE_PERCENT, COL_RULE, "fraction",
	  "left over the price before tax" },
	{ "contribution", "left before overhead", TYPE_MONEY, 0, "money",
	  "left and the overhead in it" },
	{ "aim", "aimed price", TYPE_MONEY, 0, "money",
	  "what the customer would pay at the aim, exact" },
	{ "point", "at the price point", TYPE_MONEY, 0, "money",
	  "what the customer pays at the price point" },
	{ "tag", "tag", TYPE_MONEY, COL_MACHINE, "money",
	  "what the ticket shows at the price point: less tax where it comes on top" },
	{ "ticket", "on the ticket", TYPE_MONEY, COL_PEOPLE | COL_MAYBE, "", "" },
	{ "minutes", "minutes: bench, packing, stall", TYPE_TENTH, COL_RULE, "min",
	  "bench, packing and the piece's share of the stall's hours" },
	{ "stall", "stall, a piece's share", TYPE_MONEY, COL_MAYBE, "money",
	  "stall money over the pieces sold a day" },
	{ "per_hour", "an hour brings", TYPE_MONEY, 0, "money per h",
	  "left and own labour, less the stall, for an hour of these minutes" },
	{ "a_day", "pieces sold a stall day", TYPE_NUMBER, COL_MAYBE, "each",
	  "all pieces together; empty: not known" },
	{ "break_even", "pieces that pay a stall day", TYPE_COUNT, COL_MAYBE, "each",
	  "whole pieces whose contribution pays stall, travel and hours; empty: no stall, or "
	  "never" },
	{ "run", "settings-up shared by", TYPE_COUNT, COL_MAYBE, "each",
	  "run length meant; empty: nothing is set up" },
};
const struct table_def PRICE_BUILDUP = { "price",
					 "buildup",
					 "Where the price goes (with --of a piece)",
					 buildup_columns,
					 sizeof buildup_columns / sizeof buildup_columns[0],
					 true };

static bool chosen(const struct view *v, const struct price_line *line)
{
	const struct choice *c = &v->choice;
	return (c->nitems == 0 || choice_names(c, KIND_PIECE, line->piece)) &&
	       choice_has_outlet(c, line->outlet);
}

static const struct price_line *line_today(const struct view *v, const struct price_line *line)
{
	for (size_t i = 0; v->today && i < v->today->prices.n; i++) {
		const struct price_line *o = &v->today->prices.lines[i];
		if (o->piece == line->piece && o->outlet == line->outlet)
			return o;
	}
	return NULL;
}

static void put_today(struct table *t, const struct price_line *o)
{
	if (!o)
		return;
	put_number(t, "left_today", o->at.profit);
	put_number(t, "per_hour_today", o->at.per_hour);
	put_number(t, "cost_today", o->aim.made);
	put_number(t, "point_today", o->aim.has_aim && !o->aim.collide ? o->aim.point_paid : NAN);
}

static void put_aim(struct table *t, const struct price_line *line)
{
	if (line->aim.has_aim && line->aim.collide) {
		put_instead(t, "aim", "no price");
	} else if (line->aim.has_aim) {
		put_number(t, "aim", line->aim.aim_paid);
		put_number(t, "point", line->aim.point_paid);
	} else {
		put_instead(t, "aim", "no aim");
	}
}

/* Somewhere the ticket shows less than the customer pays. */
static bool on_top(const struct view *v)
{
	for (size_t i = 0; i < v->now->prices.n; i++) {
		const struct price_line *line = &v->now->prices.lines[i];
		if (chosen(v, line) && line->in.tax_on_top && line->in.tax > 0)
			return true;
	}
	return false;
}

static void put_tag(struct table *t, const struct price_line *line)
{
	if (!line->aim.has_aim || line->aim.collide)
		return;
	put_number(t, "tag", line->aim.point);
	if (line->in.tax_on_top && line->in.tax > 0)
		put_number(t, "ticket", line->aim.point);
}

/* A price stands behind `left`: an asked one, or the price point. */
static bool judged(const struct price_line *line)
{
	return line->asked || (line->aim.has_aim && !line->aim.collide);
}

static void price_row(struct table *t, const struct view *v, const struct price_line *line)
{
	const struct farm *f = v->now->farm;
	table_row(t);
	table_indent(t, 2);
	put_text(t, "piece", f->pieces[line->piece].head.name);
	put_text(t, "outlet", f->outlets[line->outlet].head.name);
	put_flag(t, "offered", line->offer != NONE);
	put_number(t, "cost", line->aim.made);
	put_aim(t, line);
	put_tag(t, line);
	put_today(t, line_today(v, line));
	if (line->asked)
		put_number(t, "asked", line->at.paid);
	else
		put_instead(t, "asked", "-");
	if (!judged(line))
		return;
	put_number(t, "left", line->at.profit);
	put_number(t, "margin", line->at.margin);
	put_number(t, "per_hour", line->at.per_hour);
	put_flag(t, "loses", line->at.profit < 0);
}

static void prices(struct report *r, const struct view *v)
{
	const struct prices *p = &v->now->prices;
	struct table *t = report_table(r, &PRICE_PRICES);
	t->empty = "No piece is sold anywhere yet, and no outlet has an aim.";
	uint32_t last = NONE;
	bool guessed = false;
	for (size_t i = 0; i < p->n; i++) {
		const struct price_line *line = &p->lines[i];
		if (!chosen(v, line))
			continue;
		if (line->piece != last)
			table_group(t, v->now->farm->pieces[line->piece].head.name);
		last = line->piece;
		price_row(t, v, line);
		guessed = guessed || (!line->asked && judged(line));
	}
	if (t->nrows)
		report_sentence(r, "Prices are what the customer pays, tax included%s",
				on_top(v) ? "; the ticket shows less where tax comes on top."
					  : ".");
	if (guessed)
		report_verdict(r,
			       "Where no price is asked, what is left is that of the price point.");
}

/* ---- where the price goes ---- */

static void put_parts(struct table *t, const struct price_line *line)
{
	const struct price_in *in = &line->in;
	const struct price_at *at = &line->at;
	double charged = in->charged / (1 + in->tax);
	put_number(t, "stems", in->stems);
	put_number(t, "supplies", in->supplies);
	put_number(t, "labour", in->labour);
	put_number(t, "overhead", in->overhead);
	put_number(t, "broken", line->aim.made / (1 - in->spoils) - line->aim.made);
	put_number(t, "packing", in->packing_labour);
	put_number(t, "packing_overhead", in->packing_overhead);
	put_number(t, "carton", in->carton);
	put_number(t, "sending", in->sending - charged);
	put_number(t, "fees", at->fee);
	put_number(t, "tax", at->paid - at->net);
	put_number(t, "left", at->profit);
	put_number(t, "paid", at->paid);
}

static void put_hours(struct table *t, const struct price_line *line, int64_t run)
{
	const struct price_in *in = &line->in;
	const struct price_at *at = &line->at;
	put_number(t, "margin", at->margin);
	put_number(t, "contribution", at->contribution);
	put_number(t, "minutes", at->hours * 60);
	put_number(t, "per_hour", at->per_hour);
	if (run > 1)
		put_number(t, "run", (double)run);
	if (in->stall_money <= 0 && in->stall_hours <= 0)
		return;
	put_number(t, "stall", at->stall_share);
	put_number(t, "break_even", at->break_even);
	if (isinf(at->break_even))
		put_instead(t, "break_even", "never");
	if (in->stall_pieces > 0) {
		put_number(t, "a_day", in->stall_pieces);
	} else {
		put_instead(t, "a_day", "not known");
		put_instead(t, "stall", "not known");
	}
}

static void card(struct report *r, const struct view *v, uint32_t piece)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &PRICE_BUILDUP);
	t->title = report_printf(r->arena, "Where the price goes: %.*s",
				 STR_ARG(f->pieces[piece].head.name));
	for (size_t i = 0; i < v->now->prices.n; i++) {
		const struct price_line *line = &v->now->prices.lines[i];
		if (line->piece != piece || !choice_has_outlet(&v->choice, line->outlet))
			continue;
		table_row(t);
		put_text(t, "outlet", f->outlets[line->outlet].head.name);
		put_text(t, "piece", f->pieces[piece].head.name);
		put_word(t, "at",
			 line->asked    ? "asked"
			 : judged(line) ? "price point"
					: "no price");
		put_aim(t, line);
		put_tag(t, line);
		if (judged(line)) {
			put_parts(t, line);
			put_hours(t, line, v->now->costs.pieces[piece].run);
		}
	}
}

void of_price(struct report *r, const struct view *v)
{
	of_title(r, "prices");
	prices(r, v);
	for (size_t i = 0; i < v->choice.nitems; i++) {
		if (v->choice.items[i].kind == KIND_PIECE)
			card(r, v, v->choice.items[i].index);
	}
	of_remarks(r, v);
}

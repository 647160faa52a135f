/* of_reach.c - how many can be made, what stops it, and what a number takes. */
#include <math.h>

#include "farm/measure.h"
#include "report/of.h"

static const struct column piece_columns[] = {
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "can_make", "can\nmake", TYPE_COUNT, 0, "each",
	  "besides open orders and finished ones; empty: no limit" },
	{ "can_make_today", "today", TYPE_COUNT, COL_SUPPOSED, "each",
	  "can_make without --suppose" },
	{ "finished", "finished\nand free", TYPE_NUMBER, 0, "each", "on hand and not promised" },
	{ "stopped_by", "stopped by", TYPE_TEXT, 0, "text",
	  "what is short, one `;` between names" },
	{ "one_more_of", "one more of", TYPE_TEXT, COL_MACHINE, "text",
	  "what one more bunch is looked at of" },
	{ "bunch", "bunch", TYPE_NUMBER, COL_MACHINE, "base units",
	  "how much one more bunch of it is" },
	{ "adds", "a bunch or\npack adds", TYPE_COUNT, 0, "each",
	  "further pieces with it; empty: not reckoned" },
	{ "state", "state", TYPE_TEXT, COL_MACHINE, "text",
	  "found, endless, orders short or stopped" },
	{ "most", "most", TYPE_COUNT, COL_MACHINE, "each",
	  "proven bound: can_make unless stopped" },
};
const struct table_def REACH_PIECES = { "reach",
					"pieces",
					"How many of each, made alone",
					piece_columns,
					sizeof piece_columns / sizeof piece_columns[0],
					false };

static const struct column short_columns[] = {
	{ "item", "short for the open orders", TYPE_TEXT, 0, "text", "name" },
	{ "kind", "kind", TYPE_TEXT, 0, "text", "crop, supply, part or piece" },
	{ "short", "short", TYPE_NUMBER, 0, "see unit", "least shortage in all" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of short" },
};
const struct table_def REACH_SHORTS = { "reach",
					"shorts",
					"What the open orders lack",
					short_columns,
					sizeof short_columns / sizeof short_columns[0],
					false };

static const struct column list_columns[] = {
	{ "item", "what", TYPE_TEXT, 0, "text", "name of the crop, part or supply" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text", "crop, supply or part" },
	{ "take", "needed", TYPE_NUMBER, COL_PEOPLE, "", "" },
	{ "needed", "needed", TYPE_NUMBER, COL_MACHINE, "see unit",
	  "bench losses included for stems" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of needed, on_hand and missing" },
	{ "whole", "whole", TYPE_NUMBER, COL_MACHINE, "see unit",
	  "whole stems, makings or packs that this means" },
	{ "on_hand", "on hand", TYPE_NUMBER, 0, "see unit",
	  "usable and fitting, after open orders" },
	{ "missing", "missing", TYPE_NUMBER, 0, "see unit", "to cut, make or buy" },
	{ "packs", "packs", TYPE_COUNT, COL_MAYBE, "packs", "whole packs to buy" },
	{ "money", "money", TYPE_MONEY, COL_MAYBE, "money", "for these packs" },
};
const struct table_def REACH_LIST = { "reach",
				      "list",
				      "What a number takes (with --of and --for)",
				      list_columns,
				      sizeof list_columns / sizeof list_columns[0],
				      false };

static struct str stop_names(struct report *r, const struct farm *f, const struct reach_piece *p,
			     const char *between)
{
	struct str s = STR_NONE;
	for (size_t i = 0; i < p->nstops; i++) {
		struct str name = of_item_name(f, p->stops[i]);
		s = i ? report_printf(r->arena, "%.*s%s%.*s", STR_ARG(s), between, STR_ARG(name))
		      : name;
	}
	return s;
}

static const char *state_name(enum reach_state s)
{
	static const char *const names[] = { "found", "endless", "orders short", "stopped" };
	return names[s];
}

static void put_most(struct table *t, const char *key, const struct reach_piece *p)
{
	if (p->state == REACH_ENDLESS)
		put_instead(t, key, "no limit");
	else
		put_number(t, key, (double)p->most);
}

static void piece_row(struct table *t, const struct view *v, uint32_t piece)
{
	struct report *r = t->report;
	const struct farm *f = v->now->farm;
	const struct reach_piece *p = &v->now->reach.pieces[piece];
	table_row(t);
	put_text(t, "piece", f->pieces[piece].head.name);
	put_most(t, "can_make", p);
	if (p->state == REACH_STOPPED)
		put_instead(t, "can_make", report_printf(r->arena, "%lld+", (long long)p->most).p);
	if (v->today)
		put_most(t, "can_make_today", &v->today->reach.pieces[piece]);
	put_number(t, "finished", p->finished);
	put_text(t, "stopped_by", stop_names(r, f, p, "; "));
	if (p->state == REACH_ORDERS_SHORT)
		put_instead(t, "stopped_by", "the open orders");
	put_word(t, "state", state_name(p->state));
	if (p->state != REACH_ENDLESS)
		put_number(t, "most", (double)p->upper);
	if (!p->nstops || p->more < 0)
		return;
	put_text(t, "one_more_of", of_item_name(f, p->stops[0]));
	put_number(t, "bunch", p->more_by);
	put_number(t, "adds", (double)p->more);
}

static void pieces(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &REACH_PIECES);
	t->empty = "The farm has no pieces yet.";
	bool together = false, several = false;
	for (uint32_t i = 0; i < f->npieces; i++) {
		if (!choice_has(&v->choice, KIND_PIECE, i))
			continue;
		const struct reach_piece *p = &v->now->reach.pieces[i];
		piece_row(t, v, i);
		together = together || p->together;
		several = several || (p->nstops > 1 && !p->together);
	}
	if (several)
		report_verdict(
		    r, "Where several things stop a piece, one bunch more is of the first.");
	if (together)
		report_verdict(
		    r, "Where no single thing stops a piece, those named are short together.");
}

static void shorts(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	const struct reach *reach = &v->now->reach;
	struct table *t = report_table(r, &REACH_SHORTS);
	for (size_t i = 0; i < reach->nshorts; i++) {
		const struct order_short *s = &reach->shorts[i];
		table_row(t);
		put_text(t, "item", of_item_name(f, s->item));
		put_word(t, "kind", kind_name(s->item.kind));
		put_number(t, "short", s->count);
		put_text(t, "unit", measure_base(f, s->item));
	}
	if (reach->nshorts)
		report_verdict(r, "The open orders cannot all be made by their day.");
}

void of_reach(struct report *r, const struct view *v)
{
	of_title(r, "reach");
	pieces(r, v);
	shorts(r, v);
	of_remarks(r, v);
}

static void list_row(struct table *t, const struct farm *f, const struct list_line *l)
{
	table_row(t);
	put_text(t, "item", of_item_name(f, l->item));
	put_word(t, "kind", kind_name(l->item.kind));
	put_number(t, "needed", rat_double(l->needed));
	put_number(t, "take", l->item.kind == KIND_CROP ? l->whole : rat_double(l->needed));
	put_text(t, "unit", measure_base(f, l->item));
	put_number(t, "whole", l->whole);
	put_number(t, "on_hand", l->on_hand);
	if (isnan(l->on_hand))
		put_instead(t, "on_hand", "not counted");
	put_number(t, "missing", l->missing);
	if (l->item.kind != KIND_SUPPLY || l->missing <= 0)
		return;
	put_number(t, "packs", l->packs);
	put_number(t, "money", l->money);
	if (isnan(l->money))
		put_instead(t, "money", "no price");
}

static const struct {
	enum kind kind;
	const char *title;
} list_groups[] = { { KIND_PART, "made-ahead parts first" },
		    { KIND_CROP, "stems" },
		    { KIND_SUPPLY, "supplies" } };

void of_reach_list(struct report *r, const struct view *v, uint32_t piece, int64_t count,
		   const struct reach_list *list)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &REACH_LIST);
	double money = 0;
	t->title = report_printf(r->arena, "What %lld of %.*s take", (long long)count,
				 STR_ARG(f->pieces[piece].head.name));
	t->empty = "Nothing goes in it.";
	for (size_t g = 0; g < sizeof list_groups / sizeof list_groups[0]; g++) {
		bool first = true;
		for (size_t i = 0; i < list->n; i++) {
			const struct list_line *l = &list->lines[i];
			if (l->item.kind != list_groups[g].kind)
				continue;
			if (first)
				table_group(t, str_of(list_groups[g].title));
			first = false;
			list_row(t, f, l);
			table_indent(t, 2);
			if (l->item.kind == KIND_SUPPLY && l->missing > 0 && isfinite(l->money))
				money += l->money;
		}
	}
	if (money > 0) {
		table_total(t);
		put_word(t, "item", "to buy");
		put_number(t, "money", money);
	}
	report_verdict(r, list->possible ? "The stems suffice, with the open orders still met."
					 : "The stems do not suffice.");
}

/* of_reach.c - how many can be made, what stops it, and what a number takes. */
#include <math.h>

#include "base/number.h"
#include "farm/measure.h"
#include "reckon/crop_use.h"
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
	  "how much one more bunch of it is: the crop's `bunch` line, else 10 stems; of a supply "
	  "its `pack`, else 1" },
	{ "extra", "a bunch\nor pack", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "adds", "adds", TYPE_COUNT, 0, "each", "further pieces with it; empty: not reckoned" },
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
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of needed, free and missing" },
	{ "whole", "whole", TYPE_NUMBER, COL_MACHINE, "see unit",
	  "whole stems, makings or packs that this means" },
	{ "free", "free", TYPE_NUMBER, 0, "see unit",
	  "on hand, good and fitting, when the open orders have theirs; empty: never counted" },
	{ "orders_lack", "orders\nlack", TYPE_NUMBER, COL_MAYBE, "see unit",
	  "of missing: what the open orders lack" },
	{ "missing", "missing", TYPE_NUMBER, 0, "see unit", "to cut, make or buy" },
	{ "missing_today", "today", TYPE_NUMBER, COL_SUPPOSED, "see unit",
	  "missing without --suppose" },
	{ "packs", "packs", TYPE_COUNT, COL_MAYBE, "packs", "whole packs to buy" },
	{ "money", "money", TYPE_MONEY, COL_MAYBE, "money", "for these packs" },
};
const struct table_def REACH_LIST = { "reach",
				      "list",
				      "What a number takes (with --of and --for)",
				      list_columns,
				      sizeof list_columns / sizeof list_columns[0],
				      false };

static const struct column use_columns[] = {
	{ "crop", "crop", TYPE_TEXT, COL_MACHINE, "text", "name of the crop" },
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of a piece that needs it" },
	{ "stems", "stems\neach", TYPE_NUMBER, 0, "stems",
	  "for one piece by the ways written first, bench losses and parts included; empty: "
	  "another way only" },
	{ "fitting", "fitting\nstems", TYPE_COUNT, 0, "stems",
	  "good whole stems of a colour and length that the piece takes" },
	{ "alone", "would\ngive", TYPE_COUNT, 0, "each",
	  "pieces that these give by the ways written first, with the parts on hand, were all else "
	  "there and nothing promised" },
	{ "can_make", "can\nmake", TYPE_COUNT, 0, "each", "as in the main table" },
	{ "stopped_by", "stopped by", TYPE_TEXT, 0, "text", "as in the main table" },
};
const struct table_def REACH_USES = { "reach",
				      "uses",
				      "Which pieces want it (with --of a crop)",
				      use_columns,
				      sizeof use_columns / sizeof use_columns[0],
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

const char *reach_state_name(enum reach_state s)
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

static void put_stops(struct table *t, const struct farm *f, const struct reach_piece *p)
{
	put_text(t, "stopped_by", stop_names(t->report, f, p, "; "));
	if (p->state == REACH_ORDERS_SHORT)
		put_instead(t, "stopped_by", "the open orders");
}

static struct str amount(struct report *r, double n, struct str unit)
{
	return report_printf(r->arena, "%.*s %.*s", STR_ARG(of_number(r, n, 2)), STR_ARG(unit));
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
	put_stops(t, f, p);
	put_word(t, "state", reach_state_name(p->state));
	if (p->state != REACH_ENDLESS)
		put_number(t, "most", (double)p->upper);
	if (!p->nstops || p->more < 0)
		return;
	put_text(t, "one_more_of", of_item_name(f, p->stops[0]));
	put_number(t, "bunch", p->more_by);
	put_number(t, "adds", (double)p->more);
	put_text(t, "extra", amount(r, p->more_by, measure_base(f, p->stops[0])));
	if (p->more == 0)
		put_instead(t, "adds", "-");
}

static void uses(struct report *r, const struct view *v, uint32_t crop)
{
	const struct farm *f = v->now->farm;
	struct str name = f->crops[crop].head.name;
	struct table *t = report_table(r, &REACH_USES);
	struct crop_use *list = ARENA_ARRAY(r->arena, f->npieces + 1, struct crop_use);
	size_t n = crop_uses(list, f, &v->now->stock, crop, r->arena);
	t->title = report_printf(r->arena, "Which pieces want %.*s", STR_ARG(name));
	t->empty = report_printf(r->arena, "No piece needs %.*s.", STR_ARG(name)).p;
	for (size_t i = 0; i < n; i++) {
		const struct reach_piece *p = &v->now->reach.pieces[list[i].piece];
		table_row(t);
		put_text(t, "crop", name);
		put_text(t, "piece", f->pieces[list[i].piece].head.name);
		put_number(t, "stems", list[i].stems > 0 ? list[i].stems : NAN);
		if (!(list[i].stems > 0))
			put_instead(t, "stems", "instead");
		put_number(t, "fitting", (double)list[i].fits);
		put_number(t, "alone", list[i].alone < 0 ? NAN : (double)list[i].alone);
		put_most(t, "can_make", p);
		put_stops(t, f, p);
	}
	if (n)
		report_verdict(
		    r, "`would give`: all of these stems and the parts on hand, by the ways "
		       "written first, were all else there and nothing promised; `can "
		       "make`: as things are.");
}

static void pieces(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &REACH_PIECES);
	t->empty = "The farm has no pieces yet.";
	bool together = false, several = false, none = false;
	for (uint32_t i = 0; i < f->npieces; i++) {
		if (!choice_has(&v->choice, KIND_PIECE, i))
			continue;
		const struct reach_piece *p = &v->now->reach.pieces[i];
		piece_row(t, v, i);
		together = together || p->together;
		several = several || (p->nstops > 1 && !p->together);
		none = none || (p->nstops && p->more == 0);
	}
	if (none)
		report_verdict(r,
			       "A `-`: one bunch or pack more is not enough for a further piece.");
	if (several)
		report_verdict(
		    r, "Where several things stop a piece, one bunch more is of the first.");
	if (together)
		report_verdict(
		    r, "Where no single thing stops a piece, those named are short together.");
}

/* Stems that stand in the shed and are no help, lest the shortage look like a mistake. */
static void unfit(struct report *r, const struct view *v, struct item item, const bool *pieces,
		  const char *what)
{
	struct crop_fit fit;
	if (item.kind != KIND_CROP)
		return;
	crop_fit(&fit, v->now->farm, &v->now->stock, item.index, pieces, r->arena);
	if (!fit.unfit)
		return;
	const struct {
		bool is;
		const char *why;
	} all[] = { { fit.too_short, "too short" },
		    { fit.too_long, "too long" },
		    { fit.colour, "of another colour" },
		    { fit.unsaid, "without a colour or length said" } };
	struct buf b;
	buf_init(&b, REPORT_SIZE_MOST);
	for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
		if (all[i].is)
			buf_printf(&b, "%s%s", b.len ? ", or " : "", all[i].why);
	}
	struct str name = of_item_name(v->now->farm, item);
	report_verdict(r, "%.*s: %lld more in the shed %s not fit %s: %s.", STR_ARG(name),
		       (long long)fit.unfit, fit.unfit == 1 ? "does" : "do", what, b.data);
	buf_release(&b);
}

bool reach_touches_shorts(const struct view *v)
{
	for (size_t i = 0; i < v->now->reach.nshorts; i++) {
		struct item item = v->now->reach.shorts[i].item;
		if (choice_names(&v->choice, item.kind, item.index))
			return true;
	}
	for (size_t i = 0; i < v->now->farm->npieces; i++) {
		if (choice_has(&v->choice, KIND_PIECE, (uint32_t)i) &&
		    v->now->reach.pieces[i].state == REACH_ORDERS_SHORT)
			return true;
	}
	return v->choice.nitems == 0;
}

static void shorts(struct report *r, const struct view *v)
{
	const struct farm *f = v->now->farm;
	const struct reach *reach = &v->now->reach;
	if (reach->nshorts && !reach_touches_shorts(v)) {
		report_verdict(r,
			       "Other open orders cannot all be made by their day (`thrave reach` "
			       "says why); they share nothing with what is asked for here.");
		return;
	}
	struct table *t = report_table(r, &REACH_SHORTS);
	for (size_t i = 0; i < reach->nshorts; i++) {
		const struct order_short *s = &reach->shorts[i];
		table_row(t);
		put_text(t, "item", of_item_name(f, s->item));
		put_word(t, "kind", kind_name(s->item.kind));
		put_number(t, "short", s->count);
		put_text(t, "unit", measure_base(f, s->item));
	}
	if (!reach->nshorts)
		return;
	report_verdict(r, "The open orders cannot all be made by their day.");
	bool *ordered = ARENA_ARRAY(r->arena, f->npieces + 1, bool);
	for (size_t i = 0; i < f->norders; i++) {
		if (stock_order_open(&f->orders[i], r->on))
			ordered[f->orders[i].piece] = true;
	}
	for (size_t i = 0; i < reach->nshorts; i++)
		unfit(r, v, reach->shorts[i].item, ordered, "what is promised");
}

void of_reach(struct report *r, const struct view *v)
{
	of_title(r, "reach");
	if (choice_wants(&v->choice, KIND_PIECE))
		pieces(r, v);
	for (size_t i = 0; i < v->choice.nitems; i++) {
		if (v->choice.items[i].kind == KIND_CROP)
			uses(r, v, v->choice.items[i].index);
	}
	shorts(r, v);
	of_remarks(r, v);
}

static double is_short(const struct reach *reach, struct item item)
{
	for (size_t i = 0; i < reach->nshorts; i++) {
		if (reach->shorts[i].item.kind == item.kind &&
		    reach->shorts[i].item.index == item.index)
			return reach->shorts[i].count;
	}
	return 0;
}

/* Of what is missing: what the open orders lack, apart from the pieces asked for. */
static double orders_lack(const struct reach *reach, const struct list_line *l)
{
	double needed = l->item.kind == KIND_CROP ? l->whole : rat_double(l->needed);
	double rest = l->missing - fmax(0, needed - (isnan(l->on_hand) ? 0 : l->on_hand));
	return fmax(0, fmin(is_short(reach, l->item), rest));
}

static const struct list_line *line_like(const struct reach_list *list, struct item item)
{
	for (size_t i = 0; list && i < list->n; i++) {
		if (list->lines[i].item.kind == item.kind &&
		    list->lines[i].item.index == item.index)
			return &list->lines[i];
	}
	return NULL;
}

static void begin_row(struct table *t, const struct view *v, struct item item)
{
	table_row(t);
	table_indent(t, 2);
	put_text(t, "item", of_item_name(v->now->farm, item));
	put_word(t, "kind", kind_name(item.kind));
	put_text(t, "unit", measure_base(v->now->farm, item));
}

static void list_row(struct table *t, const struct view *v, const struct list_line *l,
		     const struct list_line *today)
{
	begin_row(t, v, l->item);
	put_number(t, "needed", rat_double(l->needed));
	put_number(t, "take", l->item.kind == KIND_CROP ? l->whole : rat_double(l->needed));
	put_number(t, "whole", l->whole);
	put_number(t, "free", l->on_hand);
	if (isnan(l->on_hand))
		put_instead(t, "free", "not counted");
	put_number(t, "orders_lack", orders_lack(&v->now->reach, l));
	put_number(t, "missing", l->missing);
	put_number(t, "missing_today", today ? today->missing : 0);
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

/* Lines of one kind, then those that are wanted only as things stand today.  The money
 * for what is to be bought. */
static double list_group(struct table *t, const struct view *v, const struct reach_list *list,
			 const struct reach_list *today, size_t group)
{
	double money = 0;
	bool first = true;
	for (size_t i = 0; i < list->n; i++) {
		const struct list_line *l = &list->lines[i];
		if (l->item.kind != list_groups[group].kind)
			continue;
		if (first)
			table_group(t, str_of(list_groups[group].title));
		first = false;
		list_row(t, v, l, line_like(today, l->item));
		if (l->item.kind == KIND_SUPPLY && l->missing > 0 && isfinite(l->money))
			money += l->money;
	}
	for (size_t i = 0; today && i < today->n; i++) {
		const struct list_line *l = &today->lines[i];
		if (l->item.kind != list_groups[group].kind || line_like(list, l->item))
			continue;
		if (first)
			table_group(t, str_of(list_groups[group].title));
		first = false;
		begin_row(t, v, l->item);
		put_number(t, "needed", 0);
		put_number(t, "take", 0);
		put_number(t, "missing", 0);
		put_number(t, "missing_today", l->missing);
	}
	return money;
}

static void say_whether(struct report *r, const struct reach_list *list, bool apart)
{
	if (!list->found)
		return;
	report_verdict(r, "%s",
		       list->possible && apart ? "The stems suffice."
		       : list->possible	     ? "The stems suffice, with the open orders still met."
		       : list->least	     ? "The stems do not suffice."
					     : "The search was stopped before proof: it may be that "
					       "less is missing than is shown, or nothing.");
}

void of_reach_list(struct report *r, const struct view *v, uint32_t piece, int64_t count,
		   const struct reach_list *list, const struct reach_list *today)
{
	const struct farm *f = v->now->farm;
	struct table *t = report_table(r, &REACH_LIST);
	double money = 0;
	t->title =
	    report_printf(r->arena, "What %lld of %.*s %s", (long long)count,
			  STR_ARG(f->pieces[piece].head.name), count == 1 ? "takes" : "take");
	t->empty = list->found ? "Nothing goes in it."
			       : "The search was stopped before it found a way to make them.";
	for (size_t g = 0; g < sizeof list_groups / sizeof list_groups[0]; g++)
		money += list_group(t, v, list, today, g);
	if (money > 0) {
		table_total(t);
		put_word(t, "item", "to buy");
		put_number(t, "money", money);
	}
	bool apart = v->now->reach.nshorts && !reach_touches_shorts(v);
	say_whether(r, list, apart);
	if (today && today->possible != list->possible)
		report_verdict(r, "Today %s", today->possible ? "they suffice." : today->least ? "they do not." : "it is not known: that search was stopped before proof.");
	bool *one = ARENA_ARRAY(r->arena, f->npieces + 1, bool);
	one[piece] = true;
	for (size_t i = 0; i < list->n; i++) {
		bool said = !apart && is_short(&v->now->reach, list->lines[i].item) > 0;
		if (list->lines[i].missing > 0 && !said)
			unfit(r, v, list->lines[i].item, one, "this piece");
	}
}

/* of_mix.c - which pieces to make, what that takes, and how sure it is the best. */
#include <math.h>

#include "farm/measure.h"
#include "report/of.h"

enum { SENTENCE_MOST = 4096 };

#define COUNT_OF(columns) (sizeof(columns) / sizeof(columns)[0])
#define TABLE(name, title, columns, upright)                                                       \
	{                                                                                          \
		"mix", name, title, columns, COUNT_OF(columns), upright                            \
	}

static const struct column piece_columns[] = {
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "outlet", "outlet", TYPE_TEXT, 0, "text", "name of the outlet" },
	{ "make", "make", TYPE_COUNT, 0, "each", "to be made, besides open orders" },
	{ "shelf", "from\nshelf", TYPE_COUNT, COL_MAYBE, "each",
	  "finished already, not promised, to be sold there" },
	{ "make_today", "today", TYPE_COUNT, COL_SUPPOSED, "each", "make without --suppose" },
	{ "sold", "sold", TYPE_NUMBER, COL_MACHINE, "each",
	  "expected to sell of these, less what spoils" },
	{ "each", "each\nearns", TYPE_MONEY, 0, "money",
	  "earns over count: sales less fees, sending, packing, and its share of supplies to buy, paid work and keep value" },
	{ "earns", "in all", TYPE_MONEY, 0, "money", "of all of them; with orders and less stall days: value" },
	{ "profit", "full-cost\nprofit each", TYPE_MONEY, 0, "money",
	  "of one that sells, after stems and overhead too" },
};
const struct table_def MIX_PIECES =
    TABLE("pieces", "What to make, and for which outlet", piece_columns, false);

static const struct column total_columns[] = {
	{ "case", "", TYPE_TEXT, 0, "text", "now, supposed or today" },
	{ "sales", "sold, less fees, packing, sending", TYPE_MONEY, COL_PART, "money",
	  "expected, at the outlets" },
	{ "orders", "open orders, likewise", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "sales of the open orders" },
	{ "supplies", "supplies to buy", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "below 0: spent" },
	{ "stalls", "stall days", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "money and paid hours at stalls; below 0: spent" },
	{ "rest", "paid work, keep value of stems", TYPE_MONEY, COL_PART | COL_MAYBE, "money",
	  "paid hours at the bench and the keep value of stems used; below 0: spent" },
	{ "value", "the mix earns", TYPE_MONEY, COL_SUM | COL_RULE, "money",
	  "contribution of all, orders included" },
	{ "bound", "no mix earns more than", TYPE_MONEY, 0, "money", "proven bound" },
	{ "gap", "that is more by, %", TYPE_PERCENT, 0, "fraction",
	  "bound less value, over value" },
	{ "second", "next best mix found", TYPE_MONEY, COL_MAYBE, "money",
	  "value of the runner-up; empty: none within 1%" },
	{ "profit", "full-cost profit, orders apart", TYPE_MONEY, COL_RULE, "money",
	  "expected, after stems and overhead too" },
	{ "hours", "hours, bench and packing", TYPE_TENTH, 0, "h",
	  "due by the last day of the bench hours, finished pieces of orders to pack too; without a limit: of all" },
	{ "hours_most", "hours there are", TYPE_TENTH, COL_MAYBE, "h", "empty: no limit" },
	{ "state", "state", TYPE_TEXT, COL_MACHINE, "text", "proven, stopped or nothing found" },
	{ "interrupted", "interrupted", TYPE_FLAG, COL_MACHINE, "true or false", "by Ctrl-C" },
	{ "nodes", "nodes", TYPE_COUNT, COL_MACHINE, "steps", "of the search; empty: none needed" },
};
const struct table_def MIX_TOTALS = TABLE("totals", "What it earns", total_columns, true);

static const struct column making_columns[] = {
	{ "item", "what", TYPE_TEXT, 0, "text", "name of the part or piece" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text", "part or piece" },
	{ "on", "due", TYPE_DATE, 0, "date", "day of the orders; the stock's own for outlets" },
	{ "makings", "make", TYPE_COUNT, 0, "each", "pieces, orders included; makings of a part" },
	{ "gives", "that is", TYPE_NUMBER, COL_MAYBE, "see unit", "of a part: what they give" },
	{ "unit", "", TYPE_TEXT, 0, "text", "unit of gives" },
};
const struct table_def MIX_MAKINGS =
    TABLE("makings", "What to make by when", making_columns, false);

static const struct column way_columns[] = {
	{ "maker", "in", TYPE_TEXT, 0, "text", "name of the piece or part" },
	{ "item", "take", TYPE_TEXT, 0, "text", "name of the crop, supply or part" },
	{ "colour", "colour", TYPE_TEXT, COL_MAYBE, "text",
	  "colours that it may have, or the one chosen of `one colour of`; empty: any" },
	{ "from", "from\ncm", TYPE_NUMBER, COL_MAYBE, "cm", "shortest length; empty: any" },
	{ "need", "instead of", TYPE_TEXT, COL_MAYBE, "text",
	  "the way that is written first; empty: this is it" },
	{ "makings", "in so\nmany", TYPE_COUNT, 0, "each", "makings that take it, all days" },
};
const struct table_def MIX_WAYS =
    TABLE("ways", "Where a recipe leaves a choice", way_columns, false);

static const struct column supply_columns[] = {
	{ "supply", "supply", TYPE_TEXT, 0, "text", "name" },
	{ "used", "used", TYPE_NUMBER, 0, "see unit", "orders included" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of used, on_hand and buy" },
	{ "on_hand", "on hand", TYPE_NUMBER, 0, "see unit", "empty: not counted" },
	{ "buy", "to buy", TYPE_NUMBER, 0, "see unit", "used and not on hand" },
	{ "money", "money", TYPE_MONEY, 0, "money",
	  "for what is to be bought, packs not rounded up" },
};
const struct table_def MIX_SUPPLIES = TABLE("supplies", "Supplies to buy", supply_columns, false);

static const struct column stall_columns[] = {
	{ "outlet", "outlet", TYPE_TEXT, 0, "text", "name" },
	{ "days", "days to go", TYPE_COUNT, 0, "days", "worth going to" },
	{ "of", "of", TYPE_COUNT, 0, "days", "that there are" },
	{ "hours", "hours", TYPE_TENTH, 0, "h", "at the stall, on these days" },
	{ "money", "money", TYPE_MONEY, 0, "money", "stall, travel and paid hours" },
};
const struct table_def MIX_STALLS = TABLE("stalls", "Stall days", stall_columns, false);

static const struct column limit_columns[] = {
	{ "what", "what limits it", TYPE_TEXT, 0, "text", "name; hours at the bench" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text", "crop, supply, piece or hours" },
	{ "how", "how", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "outlet", "outlet", TYPE_TEXT, COL_MACHINE, "text",
	  "no more of the piece can be sold there" },
};
const struct table_def MIX_LIMITS = TABLE("limits", "What limits it", limit_columns, false);

static const struct column left_columns[] = {
	{ "crop", "crop", TYPE_TEXT, 0, "text", "name" },
	{ "good", "good", TYPE_COUNT, 0, "stems", "whole stems still good on the day, before the bench share" },
	{ "used", "used", TYPE_COUNT, 0, "stems", "orders included" },
	{ "left", "left", TYPE_COUNT, 0, "stems", "not used" },
	{ "left_today", "today", TYPE_COUNT, COL_SUPPOSED, "stems", "left without --suppose" },
	{ "carried", "keep\nvalue", TYPE_MONEY, COL_MAYBE, "money",
	  "what those left are worth next season" },
};
const struct table_def MIX_LEFT = TABLE("left", "What is left over", left_columns, false);

static const struct column second_columns[] = {
	{ "piece", "piece", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "outlet", "outlet", TYPE_TEXT, 0, "text", "name of the outlet" },
	{ "count", "best\nmix", TYPE_COUNT, 0, "each", "in the best mix, finished ones included" },
	{ "second", "next\nbest", TYPE_COUNT, 0, "each", "in the runner-up" },
};
const struct table_def MIX_SECOND =
    TABLE("second", "Nearly as good: where the next best mix differs", second_columns, false);

static const struct column short_columns[] = {
	{ "piece", "ordered", TYPE_TEXT, 0, "text", "name of the piece" },
	{ "due", "due", TYPE_DATE, 0, "date", "day of the orders" },
	{ "short", "cannot be made", TYPE_COUNT, 0, "each", "of those promised" },
};
const struct table_def MIX_SHORTS =
    TABLE("shorts", "Orders that cannot be met", short_columns, false);

static const struct column lack_columns[] = {
	{ "item", "what they lack", TYPE_TEXT, 0, "text", "name; hours at the bench" },
	{ "kind", "kind", TYPE_TEXT, 0, "text", "crop, supply or hours" },
	{ "short", "short by", TYPE_NUMBER, 0, "see unit", "with so much more all could be made" },
	{ "unit", "unit", TYPE_TEXT, 0, "text", "unit of short" },
};
const struct table_def MIX_LACKS = TABLE("lacks", "What the open orders lack", lack_columns, false);

static const struct column worth_columns[] = {
	{ "what", "one more of", TYPE_TEXT, 0, "text", "name of the crop; hour at the bench" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text", "crop or hours" },
	{ "colour", "colour", TYPE_TEXT, COL_MAYBE, "text",
	  "the kind that helps most; empty: any" },
	{ "length", "from\ncm", TYPE_NUMBER, COL_MAYBE, "cm", "length meant; empty: any" },
	{ "bunch", "stems", TYPE_NUMBER, COL_MACHINE, "stems", "in a bunch; 1 for an hour" },
	{ "one", "brings", TYPE_MONEY, 0, "money", "at least, with one more" },
	{ "one_most", "one, at most", TYPE_MONEY, COL_MACHINE, "money", "at most, with one more" },
	{ "five", "five\nmore", TYPE_MONEY, 0, "money", "at least, with five more" },
	{ "five_most", "five, at most", TYPE_MONEY, COL_MACHINE, "money",
	  "at most, with five more" },
	{ "per_fresh", "a fresh\nstem dried", TYPE_MONEY, COL_FINE, "money per stem",
	  "one over the stems to cut for it, less the work and bands still to come" },
	{ "fresh", "sold as\nit is", TYPE_MONEY, COL_FINE, "money per stem",
	  "the crop's fresh price; empty: not said" },
	{ "better", "better", TYPE_TEXT, COL_MAYBE, "text",
	  "dry it or sell it, at the fresh price; empty: not known" },
};
const struct table_def MIX_WORTH =
    TABLE("worth", "What one more bunch would bring (with --worth)", worth_columns, false);

/* ---- words ---- */

/* Per cent with so many decimals that it is never shown as less than it is. */
static struct str percent_text(struct report *r, double fraction)
{
	return report_printf(r->arena, "%.*s%%", STR_ARG(of_number(r, ceil(fraction * 1e5 - 1e-6) / 1e3, 3)));
}

static const char *state_name(enum mix_state s)
{
	static const char *const names[] = { "proven", "stopped", "nothing found" };
	return names[s];
}

/* The bound lies less than half a minor unit above the answer. */
static bool exactly(const struct report *r, const struct mix *m)
{
	return m->bound - m->value < 0.5 * pow(10, -r->digits);
}

void of_mix_proof(struct report *r, const struct mix *m, const char *which)
{
	struct str most = isfinite(m->bound) ? of_money(r, m->bound) : STR_NONE;
	if (m->state == MIX_NOTHING) {
		report_verdict(r, "%sStopped before any mix was found that meets the open orders.",
			       which);
		return;
	}
	if (m->state == MIX_PROVEN && exactly(r, m)) {
		report_verdict(r, "%sProven: no other mix earns more.", which);
		return;
	}
	if (m->state == MIX_PROVEN) {
		report_verdict(r, "%sProven within %.*s: no mix earns more than %.*s.", which,
			       STR_ARG(percent_text(r, m->gap)), STR_ARG(most));
		return;
	}
	const char *why = m->interrupted ? "Interrupted" : "Stopped at its limit before the proof";
	if (most.n)
		report_verdict(r,
			       "%s%s: this is the best mix found so far. It is proven that none "
			       "earns more than %.*s (%.*s more).",
			       which, why, STR_ARG(most), STR_ARG(percent_text(r, m->gap)));
	else
		report_verdict(r,
			       "%s%s: this is the best mix found so far; nothing is proven of it.",
			       which, why);
}

static struct str names_of(struct report *r, const struct farm *f, const uint32_t *pieces, size_t n)
{
	struct said said = { 0 };
	for (size_t i = 0; i < n; i++)
		said_add(&said, r->arena, f->pieces[pieces[i]].head.name);
	return str_of(said_text(&said));
}

void of_mix_options(struct report *r, const struct farm *f, const struct mix_options *o)
{
	if (o->own_labour)
		report_sentence(r, "Nobody is paid for hours: they only run out.");
	if (o->no_buying)
		report_sentence(r, "Only supplies that are in the shed.");
	if (o->stall_in_hours)
		report_sentence(r, "Hours at stalls come out of the bench hours.");
	if (o->without_carries)
		report_sentence(r, "Stems left over are taken as worth nothing next season.");
	if (o->nexcluded)
		report_sentence(r, "Made for open orders only: %.*s.",
				STR_ARG(names_of(r, f, o->excluded, o->nexcluded)));
	for (size_t i = 0; i < o->nreserves; i++)
		report_sentence(r, "Left alone: %g stems of %.*s.", o->reserves[i].stems,
				STR_ARG(f->crops[o->reserves[i].crop].head.name));
}

/* ---- what to make ---- */

static const struct mix_line *line_like(const struct mix_line *lines, size_t n,
					const struct mix_line *l)
{
	for (size_t i = 0; i < n; i++) {
		if (lines[i].piece == l->piece && lines[i].outlet == l->outlet &&
		    lines[i].offer == l->offer)
			return &lines[i];
	}
	return NULL;
}

static void begin_line(struct table *t, const struct farm *f, const struct mix_line *l)
{
	table_row(t);
	put_text(t, "piece", f->pieces[l->piece].head.name);
	put_text(t, "outlet", f->outlets[l->outlet].head.name);
}

static void piece_row(struct table *t, const struct farm *f, const struct mix_line *l,
		      const struct mix_line *today)
{
	begin_line(t, f, l);
	put_number(t, "make", (double)(l->count - l->finished));
	put_number(t, "shelf", (double)l->finished);
	put_number(t, "make_today", today ? (double)(today->count - today->finished) : 0);
	put_number(t, "sold", l->sold);
	put_number(t, "each", l->contribution);
	put_number(t, "earns", l->contribution * (double)l->count);
	put_number(t, "profit", l->profit);
}

static void pieces(struct report *r, const struct farm *f, const struct mix_view *m)
{
	struct table *t = report_table(r, &MIX_PIECES);
	double sum = 0;
	t->empty = "No piece earns anything at any outlet with what there is.";
	for (size_t i = 0; i < m->now->nlines; i++) {
		const struct mix_line *l = &m->now->lines[i];
		piece_row(t, f, l,
			  m->today ? line_like(m->today->lines, m->today->nlines, l) : NULL);
		sum += l->contribution * (double)l->count;
	}
	for (size_t i = 0; m->today && i < m->today->nlines; i++) {
		const struct mix_line *l = &m->today->lines[i];
		if (line_like(m->now->lines, m->now->nlines, l))
			continue;
		begin_line(t, f, l);
		put_number(t, "make", 0);
		put_number(t, "make_today", (double)(l->count - l->finished));
	}
	if (m->now->nlines < 2)
		return;
	table_total(t);
	put_word(t, "piece", "in all");
	put_number(t, "earns", sum);
}

/* Lines, orders and stalls as shown add up to what the mix earns as shown. */
static void say_sum(struct report *r, const struct mix *m)
{
	int64_t lines = 0, stalls = 0, value = money_minor(m->value, r->digits);
	double sum = 0, days = 0, unit = pow(10, -r->digits);
	for (size_t i = 0; i < m->nlines; i++)
		sum += m->lines[i].contribution * (double)m->lines[i].count;
	for (size_t i = 0; i < m->nstalls; i++)
		days += m->stalls[i].money;
	lines = money_minor(sum, r->digits);
	stalls = money_minor(days, r->digits);
	double orders = (double)(value - lines + stalls) * unit;
	bool ordered = fabs(orders) > 1.5 * unit;
	if (!m->nlines || (!ordered && !stalls))
		return;
	struct buf b;
	buf_init(&b, SENTENCE_MOST);
	buf_printf(&b, "For the outlets %.*s", STR_ARG(of_money(r, sum)));
	if (ordered)
		buf_printf(&b, ", with the open orders %.*s", STR_ARG(of_money(r, orders)));
	if (stalls)
		buf_printf(&b, ", less %.*s for stall days", STR_ARG(of_money(r, days)));
	report_verdict(r, "%s: the mix earns %.*s.", b.data, STR_ARG(of_money(r, m->value)));
	buf_release(&b);
}

static void total_row(struct table *t, const struct mix *m, const char *which)
{
	double sales = 0, supplies = 0, stalls = 0;
	for (size_t i = 0; i < m->nlines; i++)
		sales += m->lines[i].money;
	for (size_t i = 0; i < m->nbuys; i++)
		supplies += m->buys[i].money;
	for (size_t i = 0; i < m->nstalls; i++)
		stalls += m->stalls[i].money;
	double rest = m->value - (sales + m->orders - supplies - stalls);
	table_row(t);
	put_word(t, "case", which);
	put_word(t, "state", state_name(m->state));
	put_flag(t, "interrupted", m->interrupted);
	put_number(t, "nodes", m->nodes >= 0 ? (double)m->nodes : (double)NAN);
	if (m->state == MIX_NOTHING)
		return;
	put_number(t, "sales", sales);
	put_number(t, "orders", m->orders);
	put_number(t, "supplies", 0 - supplies);
	put_number(t, "stalls", 0 - stalls);
	put_number(t, "rest", fabs(rest) < 1e-7 ? 0 : rest);
	put_number(t, "value", m->value);
	put_number(t, "bound", m->bound);
	put_number(t, "gap", m->gap);
	put_number(t, "second", m->second_value);
	put_number(t, "profit", m->profit);
	put_number(t, "hours", m->hours);
	put_number(t, "hours_most", m->hours_most);
}

static void totals(struct report *r, const struct mix_view *m)
{
	struct table *t = report_table(r, &MIX_TOTALS);
	total_row(t, m->now, m->today ? "supposed" : "now");
	if (m->today)
		total_row(t, m->today, "today");
}

static void making_row(struct table *t, const struct farm *f, const struct mix_making *k)
{
	table_row(t);
	table_indent(t, 2);
	put_text(t, "item", of_item_name(f, k->item));
	put_word(t, "kind", kind_name(k->item.kind));
	put_day(t, "on", k->on);
	if (k->on <= t->report->on)
		put_instead(t, "on", "now");
	put_number(t, "makings", (double)k->makings);
	if (k->item.kind != KIND_PART)
		return;
	put_number(t, "gives", (double)k->makings * rat_double(f->parts[k->item.index].makes));
	put_text(t, "unit", measure_base(f, k->item));
}

/* The next of this kind by day and, of a day, as it comes; SIZE_MAX: none. */
static size_t next_making(const struct mix *m, enum kind kind, const bool *done)
{
	size_t next = SIZE_MAX;
	for (size_t i = 0; i < m->nmakings; i++) {
		if (done[i] || m->makings[i].item.kind != kind)
			continue;
		if (next == SIZE_MAX || m->makings[i].on < m->makings[next].on)
			next = i;
	}
	return next;
}

static void makings(struct report *r, const struct farm *f, const struct mix *m)
{
	static const struct {
		enum kind kind;
		const char *title;
	} groups[] = { { KIND_PART, "made-ahead parts first" },
		       { KIND_PIECE, "pieces, open orders included" } };
	struct table *t = report_table(r, &MIX_MAKINGS);
	bool *done = ARENA_ARRAY(r->arena, m->nmakings + 1, bool);
	for (size_t g = 0; g < COUNT_OF(groups); g++) {
		size_t next = next_making(m, groups[g].kind, done);
		if (next != SIZE_MAX)
			table_group(t, str_of(groups[g].title));
		for (; next != SIZE_MAX; next = next_making(m, groups[g].kind, done)) {
			making_row(t, f, &m->makings[next]);
			done[next] = true;
		}
	}
}

static bool same_way(const struct mix_way *a, const struct mix_way *b)
{
	return a->maker.kind == b->maker.kind && a->maker.index == b->maker.index &&
	       a->need == b->need && a->option == b->option && a->colour == b->colour;
}

static void way_row(struct table *t, const struct farm *f, const struct mix_way *w, int64_t makings)
{
	const struct need *needs = w->maker.kind == KIND_PART ? f->parts[w->maker.index].needs
							      : f->pieces[w->maker.index].needs;
	const struct need_option *o = &needs[w->need].options[w->option];
	table_row(t);
	put_text(t, "maker", of_item_name(f, w->maker));
	put_text(t, "item", of_item_name(f, o->item));
	put_text(t, "colour",
		 w->colour != NONE ? f->colours[w->colour]
				   : of_colours(t->report, f, o->colours, o->ncolours, false));
	put_number(t, "from", of_cm(o->from));
	if (w->option)
		put_text(t, "need", of_item_name(f, needs[w->need].options[0].item));
	put_number(t, "makings", (double)makings);
}

static void ways(struct report *r, const struct farm *f, const struct mix *m)
{
	struct table *t = report_table(r, &MIX_WAYS);
	for (size_t i = 0; i < m->nways; i++) {
		int64_t makings = 0;
		bool said = !m->ways[i].choice;
		for (size_t k = 0; k < m->nways; k++) {
			if (!same_way(&m->ways[i], &m->ways[k]))
				continue;
			said = said || k < i;
			makings += m->ways[k].makings;
		}
		if (!said)
			way_row(t, f, &m->ways[i], makings);
	}
}

/* ---- what it takes ---- */

static void supplies(struct report *r, const struct farm *f, const struct mix *m)
{
	struct table *t = report_table(r, &MIX_SUPPLIES);
	double sum = 0;
	size_t n = 0;
	for (size_t i = 0; i < m->nbuys; i++) {
		const struct mix_buy *b = &m->buys[i];
		if (!(b->buy > 0))
			continue;
		table_row(t);
		put_text(t, "supply", f->supplies[b->supply].head.name);
		put_number(t, "used", b->used);
		put_text(t, "unit", measure_base(f, (struct item){ KIND_SUPPLY, b->supply }));
		put_number(t, "on_hand", b->on_hand);
		if (isnan(b->on_hand))
			put_instead(t, "on_hand", "not counted");
		put_number(t, "buy", b->buy);
		put_number(t, "money", b->money);
		sum += b->money;
		n++;
	}
	if (n < 2)
		return;
	table_total(t);
	put_word(t, "supply", "to buy");
	put_number(t, "money", sum);
}

static void stalls(struct report *r, const struct farm *f, const struct mix *m)
{
	struct table *t = report_table(r, &MIX_STALLS);
	for (size_t i = 0; i < m->nstalls; i++) {
		const struct mix_stall *s = &m->stalls[i];
		table_row(t);
		put_text(t, "outlet", f->outlets[s->outlet].head.name);
		put_number(t, "days", (double)s->days);
		put_number(t, "of", (double)s->of);
		put_number(t, "hours", s->hours);
		put_number(t, "money", s->money);
	}
}

static void limits(struct report *r, const struct farm *f, const struct mix *m)
{
	struct table *t = report_table(r, &MIX_LIMITS);
	for (size_t i = 0; i < m->nbinding; i++) {
		const struct mix_binding *b = &m->binding[i];
		table_row(t);
		put_text(t, "what", b->hours ? STR("hours") : of_item_name(f, b->item));
		put_word(t, "kind", b->hours ? "hours" : kind_name(b->item.kind));
		if (b->outlet == NONE) {
			put_word(t, "how",
				 b->hours ? "no more at the bench" : "too few in the shed");
			continue;
		}
		struct str outlet = f->outlets[b->outlet].head.name;
		put_text(t, "outlet", outlet);
		put_text(t, "how",
			 report_printf(r->arena, "no more can be sold at %.*s", STR_ARG(outlet)));
	}
}

static void left(struct report *r, const struct farm *f, const struct mix_view *m)
{
	struct table *t = report_table(r, &MIX_LEFT);
	for (size_t i = 0; i < m->now->nleft; i++) {
		const struct mix_left *l = &m->now->left[i];
		table_row(t);
		put_text(t, "crop", f->crops[l->crop].head.name);
		put_number(t, "good", (double)l->usable);
		put_number(t, "used", (double)l->used);
		put_number(t, "left", (double)l->left);
		if (f->crops[l->crop].carries.given)
			put_number(t, "carried", l->carried);
		for (size_t k = 0; m->today && k < m->today->nleft; k++) {
			if (m->today->left[k].crop == l->crop)
				put_number(t, "left_today", (double)m->today->left[k].left);
		}
	}
}

static void second(struct report *r, const struct farm *f, const struct mix *m)
{
	struct table *t = report_table(r, &MIX_SECOND);
	for (size_t i = 0; i < m->nlines; i++) {
		const struct mix_line *l = &m->lines[i];
		const struct mix_line *o = line_like(m->second, m->nsecond, l);
		if (isnan(m->second_value) || (o && o->count == l->count))
			continue;
		begin_line(t, f, l);
		put_number(t, "count", (double)l->count);
		put_number(t, "second", o ? (double)o->count : 0);
	}
	for (size_t i = 0; i < m->nsecond; i++) {
		const struct mix_line *o = &m->second[i];
		if (line_like(m->lines, m->nlines, o))
			continue;
		begin_line(t, f, o);
		put_number(t, "count", 0);
		put_number(t, "second", (double)o->count);
	}
}

/* ---- orders ---- */

static void orders(struct report *r, const struct farm *f, const struct mix *m)
{
	struct table *t = report_table(r, &MIX_SHORTS);
	for (size_t i = 0; i < m->nshorts; i++) {
		table_row(t);
		put_text(t, "piece", f->pieces[m->shorts[i].piece].head.name);
		put_day(t, "due", m->shorts[i].due);
		put_number(t, "short", (double)m->shorts[i].count);
	}
	t = report_table(r, &MIX_LACKS);
	for (size_t i = 0; i < m->nlacks; i++) {
		const struct mix_lack *l = &m->lacks[i];
		bool hours = l->hours > 0;
		table_row(t);
		put_text(t, "item", hours ? STR("hours at the bench") : of_item_name(f, l->item));
		put_word(t, "kind", hours ? "hours" : kind_name(l->item.kind));
		put_number(t, "short", hours ? l->hours : l->count);
		put_text(t, "unit", hours ? STR("h") : measure_base(f, l->item));
	}
	if (m->nshorts || m->nlacks)
		report_verdict(r, "The open orders cannot all be met. The mix meets those that can "
				  "be, as many pieces of them as possible, and sells the rest.");
}

/* ---- worth of more ---- */

static bool differ(const struct report *r, double a, double b)
{
	return money_minor(a, r->digits) != money_minor(b, r->digits);
}

/* People see the lower end; a + where the other shows as more. */
static void put_range(struct table *t, const char *key, double low, double high)
{
	struct report *r = t->report;
	put_number(t, key, low);
	if (!differ(r, low, high))
		return;
	struct buf b;
	buf_init(&b, SENTENCE_MOST);
	number_print(&b, low, r->digits);
	put_instead(t, key, report_printf(r->arena, "%s+", b.data).p);
	buf_release(&b);
}

static void worth(struct report *r, const struct farm *f, const struct mix_view *m)
{
	const struct mix_worths *w = m->worths;
	struct table *t = report_table(r, &MIX_WORTH);
	bool ranges = false;
	for (size_t i = 0; w && i < w->n; i++) {
		const struct mix_worth *k = &w->items[i];
		table_row(t);
		put_text(t, "what", k->hour ? STR("bench hours") : f->crops[k->crop].head.name);
		put_word(t, "kind", k->hour ? "hours" : kind_name(KIND_CROP));
		if (!k->hour && k->colour != NONE)
			put_text(t, "colour", f->colours[k->colour]);
		put_number(t, "length", k->hour ? (double)NAN : of_cm(k->length));
		put_number(t, "bunch", k->bunch);
		put_range(t, "one", k->one_low, k->one_high);
		put_number(t, "one_most", k->one_high);
		put_range(t, "five", k->five_low, k->five_high);
		put_number(t, "five_most", k->five_high);
		put_number(t, "per_fresh", k->per_fresh);
		put_number(t, "fresh", k->fresh);
		ranges = ranges || differ(r, k->one_low, k->one_high) ||
			 differ(r, k->five_low, k->five_high);
		if (!isfinite(k->per_fresh) || !isfinite(k->fresh))
			continue;
		/* per_fresh is at least: below the fresh price it tells nothing unless settled. */
		if (k->per_fresh >= k->fresh)
			put_word(t, "better", "dry it");
		else if (!differ(r, k->one_low, k->one_high))
			put_word(t, "better", "sell it");
	}
	if (w && !w->n && m->now->nshorts)
		report_verdict(r, "What more would bring is not reckoned while orders are short.");
	if (m->worth_stopped)
		report_verdict(r, "Interrupted while looking for what more would bring.");
	if (w && w->n)
		report_verdict(
		    r, "One more is one bunch, or one hour.%s",
		    ranges ? " A + means at least: the search did not settle how much more." : "");
}

void of_mix(struct report *r, const struct view *v, const struct mix_view *m)
{
	const struct farm *f = v->now->farm;
	of_title(r, "best mix");
	of_mix_options(r, f, m->options);
	if (m->now->state != MIX_NOTHING)
		pieces(r, f, m);
	totals(r, m);
	orders(r, f, m->now);
	makings(r, f, m->now);
	ways(r, f, m->now);
	supplies(r, f, m->now);
	stalls(r, f, m->now);
	limits(r, f, m->now);
	left(r, f, m);
	second(r, f, m->now);
	worth(r, f, m);
	if (m->now->nendless)
		report_verdict(r,
			       "Nothing limits these, so they are left out; say how many can be "
			       "sold (`up to`): %.*s.",
			       STR_ARG(names_of(r, f, m->now->endless, m->now->nendless)));
	if (m->now->state != MIX_NOTHING)
		say_sum(r, m->now);
	of_mix_proof(r, m->now, "");
	if (m->today && m->today->state != MIX_PROVEN)
		of_mix_proof(r, m->today, "Today's mix: ");
	of_remarks(r, v);
}

/* of_sway.c - which figure moves the season and the margins the most. */
#include <math.h>

#include "report/of.h"

enum { BAR_WIDTH = 10 };

static const struct column season_columns[] = {
	{ "figure", "figure", TYPE_TEXT, 0, "text", "its name, as `--suppose` takes it" },
	{ "kind", "kind", TYPE_TEXT, COL_MACHINE, "text", "assumed, or asked: a price that you set" },
	{ "range", "tried", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "unit", "unit", TYPE_TEXT, COL_MACHINE, "text", "unit of low, today and high" },
	{ "low", "low", TYPE_NUMBER, COL_MACHINE, "see unit", "the least it was set to" },
	{ "today", "today", TYPE_NUMBER, COL_MACHINE, "see unit", "as it is reckoned with" },
	{ "high", "high", TYPE_NUMBER, COL_MACHINE, "see unit", "the most it was set to" },
	{ "from", "from", TYPE_TEXT, COL_MACHINE, "text",
	  "where both ends come from: records, or a tenth less and more" },
	{ "records", "by", TYPE_TEXT, COL_PEOPLE | COL_MAYBE, "", "" },
	{ "season_low", "season\nat low", TYPE_MONEY, 0, "money",
	  "what the planned pieces bring before overhead with the figure at low" },
	{ "season_high", "at\nhigh", TYPE_MONEY, 0, "money", "likewise with the figure at high" },
	{ "most", "moves", TYPE_MONEY, 0, "money", "from one to the other, without sign" },
	{ "bar", "", TYPE_TEXT, COL_PEOPLE | COL_MAYBE, "", "" },
};
const struct table_def SWAY_SEASON = { "sway",
				       "season",
				       "What the season hangs on",
				       season_columns,
				       sizeof season_columns / sizeof season_columns[0],
				       false };

static const struct column margin_columns[] = {
	{ "where", "margin of", TYPE_TEXT, COL_PEOPLE | COL_MAYBE, "", "" },
	{ "piece", "piece", TYPE_TEXT, COL_MACHINE, "text", "name of the piece" },
	{ "outlet", "outlet", TYPE_TEXT, COL_MACHINE, "text", "name of the outlet" },
	{ "figure", "figure", TYPE_TEXT, 0, "text", "its name, as `--suppose` takes it" },
	{ "range", "tried", TYPE_TEXT, COL_PEOPLE, "", "" },
	{ "unit", "unit", TYPE_TEXT, COL_MACHINE, "text", "unit of low and high" },
	{ "low", "low", TYPE_NUMBER, COL_MACHINE, "see unit", "the least it was set to" },
	{ "high", "high", TYPE_NUMBER, COL_MACHINE, "see unit", "the most it was set to" },
	{ "margin_low", "margin %\nat low", TYPE_PERCENT, 0, "fraction",
	  "left over the price before tax with the figure at low" },
	{ "margin", "as it\nis", TYPE_PERCENT, 0, "fraction", "left over the price before tax today" },
	{ "margin_high", "at\nhigh", TYPE_PERCENT, 0, "fraction", "likewise with the figure at high" },
};
const struct table_def SWAY_MARGINS = { "sway",
					"margins",
					"What each margin hangs on",
					margin_columns,
					sizeof margin_columns / sizeof margin_columns[0],
					false };

/* "4.5 to 5.5 min". */
static struct str range_text(struct report *r, const struct sway_item *i)
{
	enum { MOST = 4096, DECIMALS = 2 };
	struct buf b;
	buf_init(&b, MOST);
	report_number(&b, figure_shown(i->kind, i->low), DECIMALS);
	buf_text(&b, " to ");
	report_number(&b, figure_shown(i->kind, i->high), DECIMALS);
	struct str unit = i->kind->unit == FU_MONEY ? r->currency
						    : str_of(figure_unit_name(i->kind->unit));
	if (unit.n)
		buf_printf(&b, " %.*s", STR_ARG(unit));
	struct str s = { arena_copy(r->arena, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

static void put_range(struct report *r, struct table *t, const struct farm *farm,
		      const struct sway_item *i)
{
	put_text(t, "figure", i->path);
	put_text(t, "range", range_text(r, i));
	put_word(t, "unit", of_figure_unit(r, farm, i->kind, i->path));
	put_number(t, "low", figure_shown(i->kind, i->low));
	put_number(t, "high", figure_shown(i->kind, i->high));
}

/* So many marks as the part of the largest move. */
static struct str bar(struct report *r, double part)
{
	static const char marks[] = "##########";
	int n = part > 0 ? (int)lround(part * BAR_WIDTH) : 0;
	return report_printf(r->arena, "%.*s", n < BAR_WIDTH ? n : BAR_WIDTH, marks);
}

static bool wanted(const struct sway_item *i, bool asked)
{
	return i->asked == asked && i->most > 0;
}

/* Assumptions first, then what is asked: a price is nothing that one has to guess. */
static size_t season_rows(struct report *r, struct table *t, const struct sway_view *w, bool asked)
{
	size_t n = 0, left = 0;
	for (size_t k = 0; k < w->sway->nitems; k++) {
		const struct sway_item *i = &w->sway->items[k];
		if (!wanted(i, asked))
			continue;
		if (n == w->rows) {
			left++;
			continue;
		}
		if (n++ == 0)
			table_group(t, asked ? STR("what you ask")
					     : STR("what you assume, know or measured"));
		table_row(t);
		put_range(r, t, w->farm, i);
		put_word(t, "kind", asked ? "asked" : "assumed");
		put_number(t, "today", figure_shown(i->kind, i->today));
		put_word(t, "from", i->range == SWAY_RECORDS ? "records" : "a tenth");
		put_word(t, "records", i->range == SWAY_RECORDS ? "records" : "");
		put_number(t, "season_low", i->season_low);
		put_number(t, "season_high", i->season_high);
		put_number(t, "most", i->most);
		if (!w->drawn)
			put_text(t, "bar", bar(r, i->most / w->sway->items[0].most));
	}
	return left;
}

static void season(struct report *r, const struct sway_view *w)
{
	struct table *t = report_table(r, &SWAY_SEASON);
	t->empty = "Nothing is planned: no mix, no open orders. So no season can move.";
	size_t left = season_rows(r, t, w, false) + season_rows(r, t, w, true);
	if (left)
		report_verdict(r, "%zu more figures move the season by less; `%s--rows %zu` shows them.",
			       left, w->drawn ? "thrave sway " : "", w->sway->nitems);
}

/* One row: the k-th figure of a margin. */
static void margin_row(struct report *r, struct table *t, const struct sway_view *w,
		       const struct sway_line *l, const struct price_line *p, size_t k, bool named)
{
	struct str piece = w->farm->pieces[p->piece].head.name;
	struct str outlet = w->farm->outlets[p->outlet].head.name;
	table_row(t);
	if (named)
		put_text(t, "where",
			 report_printf(r->arena, "%.*s, %.*s", STR_ARG(piece), STR_ARG(outlet)));
	put_text(t, "piece", piece);
	put_text(t, "outlet", outlet);
	put_range(r, t, w->farm, &w->sway->items[l->moves[k].item]);
	put_number(t, "margin_low", l->moves[k].low);
	put_number(t, "margin", l->margin);
	put_number(t, "margin_high", l->moves[k].high);
}

/* Of every margin the assumption that moves it most, but for those of the whole farm: the
 * wage would stand in every row.  Of a chosen piece all that is kept. */
static void margins(struct report *r, const struct view *v, const struct sway_view *w)
{
	struct table *t = report_table(r, &SWAY_MARGINS);
	bool one = v->choice.nitems > 0;
	if (!one)
		t->title = STR("What each margin hangs on, the farm's own wage and overhead apart");
	for (size_t k = 0; k < w->sway->nlines; k++) {
		const struct sway_line *l = &w->sway->lines[k];
		const struct price_line *p = &v->now->prices.lines[l->line];
		if (!choice_has(&v->choice, KIND_PIECE, p->piece) || !l->n)
			continue;
		if (one)
			table_group(t, report_printf(r->arena, "%.*s, %.*s",
						     STR_ARG(w->farm->pieces[p->piece].head.name),
						     STR_ARG(w->farm->outlets[p->outlet].head.name)));
		for (size_t m = 0; m < l->n; m++) {
			const struct sway_item *i = &w->sway->items[l->moves[m].item];
			if (!one && (i->asked || i->kind->subject == KIND_FARM))
				continue;
			margin_row(r, t, w, l, p, m, !one);
			if (!one)
				break;
		}
	}
}

void of_sway(struct report *r, const struct view *v, const struct sway_view *w)
{
	of_title(r, "what matters most");
	report_sentence(r, "One figure at a time, set to both ends of what it may be: of a loss with "
			   "records the range that they leave (80%% sure), else a tenth less and a "
			   "tenth more.");
	if (isfinite(w->sway->season))
		report_sentence(r,
				"The season is the best mix and the open orders, made and sold as "
				"they are: %.*f %.*s before overhead.",
				r->digits, w->sway->season, STR_ARG(r->currency));
	if (!v->choice.nitems)
		season(r, w);
	margins(r, v, w);
	if (w->sway->zero)
		report_verdict(r, "%zu figures given as 0 were left out: there is no tenth of nothing.",
			       w->sway->zero);
	of_remarks(r, v);
}

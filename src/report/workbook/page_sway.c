/* page_sway.c - which figure moves the season and the margins the most, as it was found. */
#include <math.h>

#include "reckon/sway.h"
#include "report/workbook/pages.h"

enum {
	SWAY_FIGURE,
	SWAY_KIND,
	SWAY_LOW,
	SWAY_TODAY,
	SWAY_HIGH,
	SWAY_UNIT,
	SWAY_FROM,
	SWAY_SEASON_LOW,
	SWAY_SEASON_HIGH,
	SWAY_MOST
};
enum { ASSUMED_MOST = 24, ASKED_MOST = 14, /* all on one printed page */
       DRAWN_MOST = 20, CHART_WIDTH = 760, ROW_PIXELS = 20, CLAY = 0xB4552D };

static const struct book_column columns[] = {
	[SWAY_FIGURE] = { "figure", "Figure", "", SHAPE_TEXT, 34, ORIGIN_SOLVED,
			  "As on the sheet Inputs and with --suppose." },
	[SWAY_KIND] = { "kind", "Kind", "", SHAPE_TEXT, 10, ORIGIN_SOLVED,
			"assumed, known or measured; asked: a price that you set." },
	[SWAY_LOW] = { "low", "Tried from", "", SHAPE_FREE, 11, ORIGIN_SOLVED, NULL },
	[SWAY_TODAY] = { "today", "Today", "", SHAPE_FREE, 11, ORIGIN_SOLVED, NULL },
	[SWAY_HIGH] = { "high", "to", "", SHAPE_FREE, 11, ORIGIN_SOLVED, NULL },
	[SWAY_UNIT] = { "unit", "Unit", "", SHAPE_LABEL, 16, ORIGIN_SOLVED, NULL },
	[SWAY_FROM] = { "from", "Both ends by", "", SHAPE_TEXT, 12, ORIGIN_SOLVED,
			"records: the range that they leave, 80% sure. a tenth: a tenth less and more." },
	[SWAY_SEASON_LOW] = { "season_low", "Season at the first", "$", SHAPE_MONEY, 11, ORIGIN_SOLVED,
			      "What the best mix and the open orders bring before overhead." },
	[SWAY_SEASON_HIGH] = { "season_high", "at the last", "$", SHAPE_MONEY, 11, ORIGIN_SOLVED, NULL },
	[SWAY_MOST] = { "most", "Moves", "$", SHAPE_MONEY, 11, ORIGIN_SOLVED,
			"From one to the other, without sign." },
};
const struct book_table sway_table = {
	"What matters most",
	"Which figure moves the season and each margin the most, one at a time, all others left as they are.",
	columns, sizeof columns / sizeof columns[0]
};

static void figure_number(struct pages *p, uint32_t row, uint32_t col, const struct figure_kind *kind, double v)
{
	double shown = v * figure_scale(kind);
	sheet_number(p->sway.s, row, col, LOOK_OF(STYLE_PLAIN, figure_shape(p, kind, shown)), shown);
}

static void range_cells(struct pages *p, uint32_t row, const struct sway_item *i)
{
	figure_number(p, row, SWAY_LOW, i->kind, i->low);
	figure_number(p, row, SWAY_TODAY, i->kind, i->today);
	figure_number(p, row, SWAY_HIGH, i->kind, i->high);
	page_words(&p->sway, row, SWAY_UNIT, figure_unit(p, i->kind));
	page_words(&p->sway, row, SWAY_FROM, i->range == SWAY_RECORDS ? "records" : "a tenth");
}

/* Assumptions first: a price that one sets oneself need not be guessed. */
static uint32_t season_rows(struct pages *p, uint32_t row, bool asked)
{
	const struct page *g = &p->sway;
	const struct sway *sway = p->solved->sway;
	size_t n = 0, most = asked ? ASKED_MOST : ASSUMED_MOST;
	for (size_t k = 0; k < sway->nitems && n < most; k++) {
		const struct sway_item *i = &sway->items[k];
		if (i->asked != asked || !(i->most > 0))
			continue;
		page_text(g, row, SWAY_FIGURE, i->path);
		page_words(g, row, SWAY_KIND, asked ? "asked" : "assumed");
		range_cells(p, row, i);
		page_number(g, row, SWAY_SEASON_LOW, i->season_low);
		page_number(g, row, SWAY_SEASON_HIGH, i->season_high);
		page_number(g, row++, SWAY_MOST, i->most);
		n++;
	}
	return row;
}

static void say_stale(struct pages *p)
{
	const char *fresh = "As found with the inputs as they stand.";
	sheet_formula_text(p->sway.s, ROW_STALE, 0, LOOK(STRONG, TEXT), fresh,
			   "IF(%s>0,\"Stale: inputs have been changed. Run thrave on the farm's files again.\","
			   "\"%s\")",
			   "inputs_changed", fresh);
}

static uint32_t draw(struct pages *p, uint32_t row, uint32_t first, uint32_t last)
{
	uint32_t n = last - first + 1, shown = n < DRAWN_MOST ? n : DRAWN_MOST;
	double height = 120 + 22 * (double)shown;
	struct chart c = {
		.kind = CHART_BARS,
		.title = shown < n ? text_of(p, "How much each moves the season (the first %u of %u)",
					     (unsigned)shown, (unsigned)n)
				   : "How much each moves the season",
		.values = text_of(p, "%.*s, from one end to the other", STR_ARG(p->farm->business.currency)),
		.from = p->sway.s,
		.first = first,
		.last = first + shown - 1,
		.name_col = SWAY_FIGURE,
		.nseries = 1,
		.series = { { NULL, SWAY_MOST, CLAY } },
		.width = CHART_WIDTH,
		.height = height,
	};
	sheet_break(p->sway.s, row);
	sheet_chart(p->sway.s, row, 0, &c);
	return row + (uint32_t)(height / ROW_PIXELS) + 2;
}

/* ---- margins: below, in the columns above ---- */

static const struct {
	uint32_t col;
	enum shape shape;
	const char *head;
} margin_heads[] = {
	{ SWAY_FIGURE, SHAPE_TEXT, "Margin of" },	  { SWAY_LOW, SHAPE_TEXT, "Figure" },
	{ SWAY_SEASON_LOW, SHAPE_PERCENT, "Margin at the first" }, { SWAY_SEASON_HIGH, SHAPE_PERCENT, "as it was" },
	{ SWAY_MOST, SHAPE_PERCENT, "at the last" },
};

static void margin_row(struct pages *p, uint32_t row, const struct sway_line *l, const struct sway_move *m)
{
	struct sheet *s = p->sway.s;
	const struct price_line *at = &p->r->prices.lines[l->line];
	sheet_text(s, row, SWAY_FIGURE, LOOK(PLAIN, TEXT),
		   str_of(text_of(p, "%.*s, %.*s", STR_ARG(p->farm->pieces[at->piece].head.name),
				  STR_ARG(p->farm->outlets[at->outlet].head.name))));
	sheet_text(s, row, SWAY_LOW, LOOK(PLAIN, TEXT), p->solved->sway->items[m->item].path);
	sheet_number(s, row, SWAY_SEASON_LOW, LOOK(PLAIN, PERCENT), m->low);
	sheet_number(s, row, SWAY_SEASON_HIGH, LOOK(PLAIN, PERCENT), l->margin);
	sheet_number(s, row, SWAY_MOST, LOOK(PLAIN, PERCENT), m->high);
}

/* Of each margin the assumption that moves it most, the whole farm's wage and overhead apart. */
static void margins(struct pages *p, uint32_t row)
{
	const struct sway *sway = p->solved->sway;
	struct sheet *s = p->sway.s;
	sheet_break(s, row);
	sheet_text(s, row, 0, LOOK(SECTION, TEXT),
		   STR("What each margin hangs on, the farm's own wage and overhead apart"));
	sheet_height(s, row++, 20);
	for (uint32_t c = 0; c < sway_table.ncolumns; c++)
		sheet_blank(s, row, c, LOOK(HEAD, TEXT));
	for (size_t i = 0; i < sizeof margin_heads / sizeof margin_heads[0]; i++)
		sheet_text(s, row, margin_heads[i].col, LOOK_OF(STYLE_HEAD, margin_heads[i].shape),
			   str_of(margin_heads[i].head));
	sheet_height(s, row++, 33);
	for (size_t k = 0; k < sway->nlines; k++) {
		const struct sway_line *l = &sway->lines[k];
		for (size_t m = 0; m < l->n; m++) {
			const struct sway_item *i = &sway->items[l->moves[m].item];
			if (i->asked || i->kind->subject == KIND_FARM)
				continue;
			margin_row(p, row++, l, &l->moves[m]);
			break;
		}
	}
}

void sway_page(struct pages *p)
{
	const struct sway *sway = p->solved ? p->solved->sway : NULL;
	if (!sway || !sway->nitems) {
		page_nothing(&p->sway, sway ? "Nothing is planned or asked: no figure moves anything."
					    : "Not looked for in so large a farm: `thrave sway` does.");
		page_end(&p->sway, ROW_FIRST, 1);
		return;
	}
	uint32_t row = season_rows(p, ROW_FIRST, false);
	uint32_t assumed = row;
	row = season_rows(p, row, true);
	say_stale(p);
	page_end(&p->sway, row, 1);
	sheet_repeat_none(p->sway.s); /* other heads stand further down */
	if (row == ROW_FIRST)
		sheet_text(p->sway.s, row++, 0, LOOK(SAYS, TEXT),
			   STR("Nothing is planned: no mix, no open orders. So no season can move."));
	row++;
	if (assumed > ROW_FIRST)
		row = draw(p, row, ROW_FIRST, assumed - 1);
	margins(p, row);
}

/* page_charts.c - the charts, and right of them the rows that are drawn where there are too many. */
#include <math.h>

#include "base/largest.h"
#include "report/workbook/pages.h"

/* pixels: a chart takes a printed page at the most */
enum { ROW_HEIGHT = 20, PAGE_HEIGHT = 704, CHART_WIDTH = 940, CHART_HEIGHT = 640, HUNG_HEIGHT = 310 };
enum { LIST_COL = 16 };
enum { GREEN = 0x7FA37F, STRAW = 0xE0BE6A, CLAY = 0xC08562, SLATE = 0x7A8CA3, PLUM = 0x9A7AA0, FAINT = 0xB9C0BB, RED = 0xB5473C, PALE = 0xDCE5DA };

const struct book_table charts_table = { "Charts",
					 "Drawn from the other sheets; they follow the inputs too, those of the best mix and of the drying line apart.",
					 NULL, 0 };

struct drawing {
	struct sheet *s;
	uint32_t row;
	double used; /* pixels of the printed page */
};

/* Below the one before; on a page of its own where it does not fit any more. */
static void make_room(struct drawing *d, double height)
{
	if (d->used > 0 && d->used + height > PAGE_HEIGHT) {
		sheet_break(d->s, d->row);
		d->used = 0;
	}
}

static void draw(struct drawing *d, const struct chart *c)
{
	make_room(d, c->height);
	sheet_chart(d->s, d->row, 0, c);
	d->row += (uint32_t)(c->height / ROW_HEIGHT) + 2;
	d->used += c->height + 2 * ROW_HEIGHT;
}

static uint32_t bars_shown(size_t n)
{
	return n < BARS_MOST ? (uint32_t)n : BARS_MOST;
}

static double bars_height(double each, uint32_t shown)
{
	return fmin(130 + each * (double)shown, CHART_HEIGHT);
}

/* ---- bars of rows that follow the inputs ---- */

struct bar { /* a row of another page */
	struct str name;
	uint32_t row;
	double v[CHART_SERIES_MOST]; /* of the series; NaN: no number there */
};

/* The largest rows, one below the other right of their chart, live: bars are drawn of them. */
static void list_largest(struct pages *p, struct drawing *d, struct chart *c, const struct bar *bars, size_t n,
			 const char *word)
{
	const struct page *g = &p->charts;
	double *size = ARENA_ARRAY(p->arena, n, double);
	for (size_t i = 0; i < n; i++) {
		for (size_t k = 0; k < (c->kind == CHART_STACKED_BARS ? c->nseries : 1); k++)
			size[i] += bars[i].v[k];
	}
	const size_t *order = largest_first(p->arena, size, n);
	uint32_t row = d->row;
	sheet_text(g->s, row, LIST_COL, LOOK(HEAD, TEXT), str_of(text_of(p, "The %d %s", BARS_MOST, word)));
	for (size_t k = 0; k < c->nseries; k++)
		sheet_text(g->s, row, LIST_COL + 1 + (uint32_t)k, LOOK(HEAD, MONEY), str_of(c->series[k].name));
	for (size_t i = 0; i < BARS_MOST; i++) {
		const struct bar *b = &bars[order[i]];
		row++;
		sheet_text(g->s, row, LIST_COL, LOOK(PLAIN, TEXT), b->name);
		for (size_t k = 0; k < c->nseries; k++) {
			const char *from = cell_far(c->from, b->row, c->series[k].col);
			if (isfinite(b->v[k]))
				sheet_formula(g->s, row, LIST_COL + 1 + (uint32_t)k, LOOK(PLAIN, MONEY), b->v[k], "%s",
					      from);
			else
				sheet_formula_text(g->s, row, LIST_COL + 1 + (uint32_t)k, LOOK(FAINT, MONEY), "none",
						   "%s", from);
		}
	}
	c->title = text_of(p, "%s: the %d %s of %zu", c->title, BARS_MOST, word, n);
	c->from = g->s;
	c->first = row - BARS_MOST + 1;
	c->name_col = LIST_COL;
	for (size_t k = 0; k < c->nseries; k++)
		c->series[k].col = LIST_COL + 1 + (uint32_t)k;
}

/* A bar, or a group of them, for each row; of many rows the largest. */
static void draw_bars(struct pages *p, struct drawing *d, struct chart *c, const struct bar *bars, size_t n,
		      const char *word, double each)
{
	uint32_t shown = bars_shown(n);
	c->height = bars_height(each, shown);
	make_room(d, c->height);
	if (n > BARS_MOST)
		list_largest(p, d, c, bars, n, word);
	else
		c->first = bars[0].row;
	c->last = c->first + shown - 1;
	draw(d, c);
}

static void draw_pieces(struct pages *p, struct drawing *d)
{
	size_t n = p->farm->npieces;
	struct bar *cost = ARENA_ARRAY(p->arena, n, struct bar), *price = ARENA_ARRAY(p->arena, n, struct bar);
	const char *money = text_of(p, "%.*s a piece", STR_ARG(p->farm->business.currency));
	for (size_t i = 0; i < n; i++) {
		const struct make_cost *m = &p->r->costs.pieces[i];
		cost[i] = (struct bar){ p->farm->pieces[i].head.name, p->piece_row[i],
					{ m->stems, m->supplies, m->labour, m->overhead } };
		price[i] = (struct bar){ cost[i].name, cost[i].row, { m->total, NAN, NAN } };
	}
	for (size_t i = 0; i < p->r->prices.n; i++) {
		double *v = price[p->r->prices.lines[i].piece].v, net = p->r->prices.lines[i].at.net;
		v[1] = fmin(v[1], net); /* a NaN gives way */
		v[2] = fmax(v[2], net);
	}
	struct chart c = { .kind = CHART_STACKED_BARS,
			   .title = "What one of each piece costs to make",
			   .values = money,
			   .from = p->build.s,
			   .name_col = BUILD_WHAT,
			   .nseries = 4,
			   .series = { { "stems", BUILD_STEMS, GREEN },
				       { "supplies", BUILD_SUPPLIES, STRAW },
				       { "labour", BUILD_LABOUR, CLAY },
				       { "overhead", BUILD_OVERHEAD, SLATE } },
			   .width = CHART_WIDTH };
	draw_bars(p, d, &c, cost, n, "dearest", 22);
	c = (struct chart){ .kind = CHART_BARS,
			    .title = "Price before tax against cost of making",
			    .values = money,
			    .from = p->build.s,
			    .name_col = BUILD_WHAT,
			    .nseries = 3,
			    .series = { { "cost of one", BUILD_TOTAL, CLAY },
					{ "lowest price", BUILD_PRICE_LOW, STRAW },
					{ "highest price", BUILD_PRICE_HIGH, GREEN } },
			    .width = CHART_WIDTH };
	draw_bars(p, d, &c, price, n, "dearest to make", 40);
}

static void draw_stems(struct pages *p, struct drawing *d)
{
	size_t n = p->farm->ncrops;
	struct bar *bars = ARENA_ARRAY(p->arena, n, struct bar);
	for (size_t i = 0; i < n; i++) {
		const struct stem_cost *c = &p->r->stems.crops[i];
		double usable = c->boxed_stems > 0 ? c->boxed_stems * c->survival : 0;
		bars[i] = (struct bar){ p->farm->crops[i].head.name, ROW_FIRST + (uint32_t)i, { usable } };
	}
	struct chart c = { .kind = CHART_BARS,
			   .title = "Stems in the shed, usable in pieces",
			   .values = "stems",
			   .from = p->stems.s,
			   .name_col = STEMS_CROP,
			   .nseries = 1,
			   .series = { { "usable stems", STEMS_USABLE, GREEN } },
			   .width = CHART_WIDTH };
	draw_bars(p, d, &c, bars, n, "largest", 24);
}

/* ---- the best mix, whose page has the largest on top ---- */

static const char *title_of(struct pages *p, const char *title, uint32_t shown, uint32_t all)
{
	return shown < all ? text_of(p, "%s: the %u largest of %u", title, shown, all) : title;
}

/* As a name, not as a formula: the library takes = for one. */
static const char *series_name(struct pages *p, uint32_t outlet)
{
	const char *name = cell_text(p->arena, p->farm->outlets[outlet].head.name);
	return *name == '=' ? text_of(p, " %s", name) : name;
}

static void draw_made(struct pages *p, struct drawing *d)
{
	static const unsigned colours[] = { GREEN, STRAW, CLAY, SLATE, PLUM };
	uint32_t n = p->mix_made.last - p->mix_made.first + 1, shown = bars_shown(n);
	struct chart c = {
		.kind = CHART_STACKED_BARS,
		.title = title_of(p, "The best mix: pieces by outlet, finished ones included", shown, n),
		.values = "pieces",
		.from = p->mix.s,
		.first = p->mix_made.first,
		.last = p->mix_made.first + shown - 1,
		.name_col = 0,
		.width = CHART_WIDTH,
		.height = bars_height(22, shown),
	};
	c.series[c.nseries++] = (struct chart_series){ "open orders", MIX_MADE_ORDERS, FAINT };
	for (size_t i = 0; i < p->nmade_outlets + p->more_made_outlets; i++) {
		const char *name = "others";
		if (i < p->nmade_outlets)
			name = series_name(p, p->made_outlets[i]);
		c.series[c.nseries++] =
		    (struct chart_series){ name, MIX_MADE_FIRST + (uint32_t)i, colours[i] };
	}
	draw(d, &c);
}

static void draw_left(struct pages *p, struct drawing *d)
{
	uint32_t n = p->mix_left.last - p->mix_left.first + 1, shown = bars_shown(n);
	struct chart c = {
		.kind = CHART_STACKED_BARS,
		.title = title_of(p, "The best mix: stems used and left", shown, n),
		.values = "stems",
		.from = p->mix.s,
		.first = p->mix_left.first,
		.last = p->mix_left.first + shown - 1,
		.name_col = 0,
		.nseries = 2,
		.series = { { "used", MIX_LEFT_USED, GREEN }, { "left", MIX_LEFT_LEFT, STRAW } },
		.width = CHART_WIDTH,
		.height = bars_height(22, shown),
	};
	draw(d, &c);
}

/* ---- the drying line ---- */

static void draw_hung(struct pages *p, struct drawing *d, const struct rows *rows, const char *season)
{
	struct chart c = { .kind = CHART_STACKED_COLUMNS,
			   .title = text_of(p, "Metres of drying line, %s", season),
			   .values = "m",
			   .from = p->hang.s,
			   .first = rows->first,
			   .last = rows->last,
			   .name_col = HUNG_WEEK,
			   .nseries = 3,
			   .series = { { "hangs", HUNG_WITHIN, GREEN },
				       { "free", HUNG_FREE, PALE },
				       { "too much", HUNG_OVER, RED } },
			   .width = CHART_WIDTH,
			   .height = HUNG_HEIGHT };
	if (rows->last < rows->first)
		return;
	draw(d, &c);
	c.kind = CHART_COLUMNS;
	c.title = text_of(p, "Boxes at the end of the week, %s", season);
	c.values = "boxes";
	c.nseries = 2;
	c.series[0] = (struct chart_series){ "in use", HUNG_USED, STRAW };
	c.series[1] = (struct chart_series){ "there are", HUNG_BOXES, PALE };
	draw(d, &c);
}

void charts_page(struct pages *p)
{
	struct drawing d = { p->charts.s, ROW_HEAD, 3 * ROW_HEIGHT };
	if (p->farm->npieces)
		draw_pieces(p, &d);
	else
		page_nothing(&p->charts, "There are no pieces to draw.");
	if (p->farm->has_stock && p->farm->ncrops)
		draw_stems(p, &d);
	if (p->mix_made.last >= p->mix_made.first)
		draw_made(p, &d);
	if (p->mix_left.last >= p->mix_left.first)
		draw_left(p, &d);
	draw_hung(p, &d, &p->hung[0], "this season");
	draw_hung(p, &d, &p->hung[1], "the planned season");
	sheet_width(d.s, LIST_COL, 34);
	sheet_print_only(d.s, d.row, LIST_COL - 1);
}

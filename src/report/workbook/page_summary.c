/* page_summary.c - the first sheet: the farm in a few lines; and the charts. */
#include <math.h>

#include "base/buf.h"
#include "report/workbook/pages.h"

enum { SUM_WHAT, SUM_WHERE, SUM_PRICE, SUM_MARGIN, SUM_HOUR };
enum { ROW_HEIGHT = 20, PAGE_HEIGHT = 640, CHART_WIDTH = 940 }; /* pixels */
enum { EARNERS = 5, DOUBTS = 8, LINE_WIDTH = 92, CHART_MOST = 40, CROPS_MOST = 30 };
enum { GREEN = 0x7FA37F, STRAW = 0xE0BE6A, CLAY = 0xC08562, SLATE = 0x7A8CA3, PLUM = 0x9A7AA0, FAINT = 0xB9C0BB };

static const struct book_column summary_columns[] = {
	[SUM_WHAT] = { "what", "", "", SHAPE_TEXT, 40, ORIGIN_LIVE, NULL },
	[SUM_WHERE] = { "where", "", "", SHAPE_TEXT, 20, ORIGIN_LIVE, NULL },
	[SUM_PRICE] = { "price", "", "", SHAPE_CASH, 16, ORIGIN_LIVE, NULL },
	[SUM_MARGIN] = { "margin", "", "", SHAPE_PERCENT, 12, ORIGIN_LIVE, NULL },
	[SUM_HOUR] = { "hour", "", "", SHAPE_CASH, 18, ORIGIN_LIVE, NULL },
};
const struct book_table summary_table = {
	"Summary",
	"The farm in a few lines. Everything here follows the yellow cells of the sheet Inputs.",
	summary_columns, sizeof summary_columns / sizeof summary_columns[0]
};
const struct book_table charts_table = { "Charts",
					 "Drawn from the other sheets; they follow the inputs too, those of the best mix apart.",
					 NULL, 0 };

struct facts { /* writing down the page */
	struct pages *p;
	uint32_t row;
};

static void section(struct facts *f, const char *title)
{
	f->row++;
	sheet_text(f->p->summary.s, f->row, SUM_WHAT, LOOK(SECTION, TEXT), str_of(title));
	sheet_height(f->p->summary.s, f->row, 20);
	f->row++;
}

static void fact(struct facts *f, const char *what, enum shape shape, double value,
		 const char *formula)
{
	struct sheet *s = f->p->summary.s;
	sheet_text(s, f->row, SUM_WHAT, LOOK(PLAIN, TEXT), str_of(what));
	if (formula)
		sheet_formula(s, f->row, SUM_PRICE, LOOK_OF(STYLE_PLAIN, shape), value, "%s",
			      formula);
	else
		sheet_number(s, f->row, SUM_PRICE, LOOK_OF(STYLE_PLAIN, shape), value);
	f->row++;
}

/* ---- the farm ---- */

static void farm_facts(struct facts *f)
{
	struct pages *p = f->p;
	const struct farm *farm = p->farm;
	struct sheet *s = p->summary.s;
	double usable = 0, money = 0;
	sheet_text(s, f->row, SUM_WHAT, LOOK(PLAIN, TEXT), STR("Date"));
	sheet_formula(s, f->row++, SUM_PRICE, LOOK(PLAIN, DAY), date_serial(p->r->on), NAME_DATE);
	fact(f, "Full wage, an hour", SHAPE_CASH, p->r->costs.wage, NAME_WAGE);
	fact(f, "Overhead, an hour at the bench", SHAPE_CASH, p->r->costs.overhead_rate,
	     NAME_OVERHEAD);
	fact(f, "Crops", SHAPE_WHOLE, (double)farm->ncrops, NULL);
	fact(f, "Pieces", SHAPE_WHOLE, (double)farm->npieces, NULL);
	fact(f, "Open orders", SHAPE_WHOLE, (double)p->r->stock.open_orders, NULL);
	if (!farm->ncrops)
		return;
	for (size_t i = 0; i < farm->ncrops; i++) {
		const struct stem_cost *c = &p->r->stems.crops[i];
		usable += c->boxed_stems > 0 ? c->boxed_stems * c->survival : 0;
		money += c->boxed_stems > 0 ? c->boxed_stems * c->per_boxed : 0;
	}
	uint32_t last = ROW_FIRST + (uint32_t)farm->ncrops - 1;
	fact(f, "Stems in the shed, usable in pieces", SHAPE_WHOLE, usable,
	     text_of(p, "SUM(%s)", cells_far(p->stems.s, ROW_FIRST, last, STEMS_USABLE)));
	fact(f, "What they have cost", SHAPE_CASH, money,
	     text_of(p, "SUM(%s)", cells_far(p->stems.s, ROW_FIRST, last, STEMS_MONEY)));
}

/* ---- prices ---- */

static void price_facts(struct facts *f)
{
	struct pages *p = f->p;
	const struct prices *prices = &p->r->prices;
	uint32_t last = ROW_FIRST + (uint32_t)prices->n - 1;
	double below_cost = 0, below_aim = 0, asked = 0;
	for (size_t i = 0; i < prices->n; i++) {
		const struct price_line *l = &prices->lines[i];
		asked += l->asked;
		if (l->asked && l->at.profit < 0)
			below_cost++;
		else if (l->asked && l->aim.point_paid - l->at.paid > 1e-9)
			below_aim++;
	}
	const char *verdicts = cells_far(p->prices.s, ROW_FIRST, last, PRICE_VERDICT);
	fact(f, "Prices asked (a piece at an outlet)", SHAPE_WHOLE, asked, NULL);
	fact(f, "- of them below cost", SHAPE_WHOLE, below_cost,
	     text_of(p, "SUMPRODUCT((%s=\"below cost\")*1)", verdicts));
	fact(f, "- of them above cost, but below the aim", SHAPE_WHOLE, below_aim,
	     text_of(p, "SUMPRODUCT((%s=\"below aim\")*1)", verdicts));
}

static void earner_heads(struct facts *f)
{
	struct pages *p = f->p;
	static const char *const heads[] = { "Piece", "Outlet", "Customer pays", "Margin",
					     "Earnings per working hour" };
	for (uint32_t c = 0; c < 5; c++)
		sheet_text(p->summary.s, f->row, c, LOOK_OF(STYLE_HEAD, summary_columns[c].shape),
			   str_of(heads[c]));
	sheet_height(p->summary.s, f->row++, 32);
}

/* The line of prices in place k of n by earnings. */
static const struct price_line *line_at(struct pages *p, double place)
{
	return &p->r->prices.lines[p->rank_line[(size_t)place - 1]];
}

static void earner(struct facts *f, double place, const char *place_formula)
{
	struct pages *p = f->p;
	const struct page *g = &p->summary;
	const struct price_line *l = line_at(p, place);
	uint32_t last = ROW_FIRST + (uint32_t)p->r->prices.n - 1;
	const struct sheet *s = p->prices.s;
	/* From the head on: in a range of one cell some engines' INDEX finds nothing. */
	const char *match =
	    text_of(p, "MATCH(%s,%s,0)", place_formula, cells_far(s, ROW_HEAD, last, PRICE_RANK));
	const char *asked =
	    text_of(p, "INDEX(%s,%s)", cells_far(s, ROW_HEAD, last, PRICE_ASKED), match);
	const char *point =
	    text_of(p, "INDEX(%s,%s)", cells_far(s, ROW_HEAD, last, PRICE_POINT), match);
	struct str piece = p->farm->pieces[l->piece].head.name,
		   outlet = p->farm->outlets[l->outlet].head.name;
	page_live_text(g, f->row, SUM_WHAT, text_of(p, "%.*s", STR_ARG(piece)), "INDEX(%s,%s)",
		       cells_far(s, ROW_HEAD, last, PRICE_PIECE), match);
	page_live_text(g, f->row, SUM_WHERE, text_of(p, "%.*s", STR_ARG(outlet)), "INDEX(%s,%s)",
		       cells_far(s, ROW_HEAD, last, PRICE_OUTLET), match);
	page_live(g, f->row, SUM_PRICE, l->at.paid, "IF(%s>0,%s,%s)", asked, asked, point);
	page_live_or(g, f->row, SUM_MARGIN, l->at.margin, "none", "INDEX(%s,%s)",
		     cells_far(s, ROW_HEAD, last, PRICE_MARGIN), match);
	page_live(g, f->row, SUM_HOUR, l->at.per_hour, "INDEX(%s,%s)",
		  cells_far(s, ROW_HEAD, last, PRICE_PER_HOUR), match);
	f->row++;
}

static void earners(struct facts *f)
{
	struct pages *p = f->p;
	double n = (double)p->nranked;
	uint32_t last = ROW_FIRST + (uint32_t)p->r->prices.n - 1;
	if (!p->nranked) {
		sheet_text(p->summary.s, f->row++, SUM_WHAT, LOOK(SAYS, TEXT),
			   STR("No piece has a price and working time yet."));
		return;
	}
	uint32_t first = f->row + 1;
	double top = fmin(n, EARNERS), low = fmin(n - top, EARNERS);
	earner_heads(f);
	for (double k = 1; k <= top; k++)
		earner(f, k, number_ref(p, k));
	if (low > 0) {
		section(f, "Earn least per hour");
		earner_heads(f);
		const char *all =
		    text_of(p, "MAX(%s)", cells_far(p->prices.s, ROW_FIRST, last, PRICE_RANK));
		for (double k = 1; k <= low; k++)
			earner(f, n - k + 1, text_of(p, "%s-%s", all, number_ref(p, k - 1)));
	}
	sheet_redden(p->summary.s, first, f->row - 1, SUM_HOUR);
	sheet_redden(p->summary.s, first, f->row - 1, SUM_MARGIN);
}

/* ---- what needs attention ---- */

/* A sentence over as many rows as it takes, broken between words. */
static void sentence(struct facts *f, const char *text)
{
	struct str rest = str_of(text);
	bool first = true;
	while (rest.n) {
		size_t n = str_fit(rest, LINE_WIDTH);
		if (n < rest.n) {
			size_t at = n;
			while (at > 0 && rest.p[at] != ' ')
				at--;
			n = at ? at : n;
		}
		const char *line = text_of(f->p, "%s%.*s", first ? "- " : "  ", (int)n, rest.p);
		sheet_text(f->p->summary.s, f->row++, SUM_WHAT, LOOK(PLAIN, TEXT), str_of(line));
		rest = str_trim((struct str){ rest.p + n, rest.n - n });
		first = false;
	}
}

/* How many of something there are now, in a line that follows the inputs. */
static void live_count(struct facts *f, const char *what, size_t n, const char *count,
		       const char *where)
{
	struct pages *p = f->p;
	sheet_formula_text(p->summary.s, f->row++, SUM_WHAT, LOOK(PLAIN, TEXT),
			   text_of(p, "- %s: %zu (%s)", what, n, where), "\"- %s: \"&%s&\" (%s)\"",
			   what, count, where);
}

static void live_counts(struct facts *f)
{
	struct pages *p = f->p;
	const struct farm *farm = p->farm;
	size_t past = 0, below = 0;
	for (size_t i = 0; i < farm->nboxes; i++)
		past += p->r->stock.boxes[i].past;
	for (size_t i = 0; i < p->r->prices.n; i++)
		below += p->r->prices.lines[i].asked && p->r->prices.lines[i].at.profit < 0;
	if (p->r->prices.n) {
		uint32_t last = ROW_FIRST + (uint32_t)p->r->prices.n - 1;
		live_count(f, "Asked prices that do not cover the cost", below,
			   text_of(p, "SUMPRODUCT((%s=\"below cost\")*1)",
				   cells_far(p->prices.s, ROW_FIRST, last, PRICE_VERDICT)),
			   "sheet Prices");
	}
	if (farm->nboxes) {
		uint32_t last = ROW_FIRST + (uint32_t)farm->nboxes - 1;
		live_count(f, "Boxes past keeping", past,
			   text_of(p, "SUMPRODUCT((%s=\"past\")*1)",
				   cells_far(p->boxes.s, ROW_FIRST, last, BOX_PAST)),
			   "sheet Boxes");
	}
}

static void attention(struct facts *f)
{
	struct pages *p = f->p;
	const struct remarks *r = &p->r->remarks;
	size_t said = 0, doubts = 0;
	live_counts(f);
	if (p->r->reach.nshorts)
		sentence(
		    f, "The open orders cannot all be made from what is in the shed: sheet Reach.");
	for (size_t i = 0; i < r->n; i++)
		doubts += r->items[i].kind == REMARK_DOUBT;
	for (size_t i = 0; i < r->n && said < DOUBTS; i++) {
		if (r->items[i].kind == REMARK_DOUBT) {
			sentence(f, r->items[i].text);
			said++;
		}
	}
	if (doubts > said)
		sentence(f,
			 text_of(p, "%zu more doubts stand on the sheet Cautions.", doubts - said));
	sentence(f, "What was assumed, and what to be careful with: sheet Cautions.");
}

void summary_page(struct pages *p)
{
	struct facts f = { p, ROW_HEAD };
	struct sheet *s = p->summary.s;
	sheet_text(s, ROW_TITLE, 0, LOOK(TITLE, TEXT),
		   p->farm->business.head.name.n ? p->farm->business.head.name : STR("Summary"));
	for (uint32_t c = 0; c < summary_table.ncolumns; c++)
		sheet_blank(s, ROW_HEAD, c, LOOK(PLAIN, TEXT));
	f.row = ROW_SAYS + 1;
	section(&f, "The farm");
	farm_facts(&f);
	section(&f, "Prices");
	if (p->r->prices.n)
		price_facts(&f);
	section(&f, "Earn most per hour");
	earners(&f);
	section(&f, "Needs attention");
	attention(&f);
	f.row++;
	sheet_text(s, f.row, SUM_WHAT, LOOK(SAYS, TEXT),
		   STR("Cells keep full precision and are only shown rounded: shown parts may miss "
		       "a shown sum by the "
		       "smallest coin."));
	sheet_one_page(s);
	sheet_open_here(s);
}

/* ---- charts ---- */

static const char *first_of(struct pages *p, const char *title, size_t shown, size_t all)
{
	return shown < all ? text_of(p, "%s (the first %zu of %zu)", title, shown, all) : title;
}

struct drawing {
	struct sheet *s;
	uint32_t row;
	double used; /* pixels of the printed page */
};

/* Below the one before; on a page of its own where it does not fit any more. */
static void draw(struct drawing *d, const struct chart *c)
{
	if (d->used > 0 && d->used + c->height > PAGE_HEIGHT) {
		sheet_break(d->s, d->row);
		d->used = 0;
	}
	sheet_chart(d->s, d->row, 0, c);
	d->row += (uint32_t)(c->height / ROW_HEIGHT) + 2;
	d->used += c->height + 2 * ROW_HEIGHT;
}

static void draw_pieces(struct pages *p, struct drawing *d)
{
	size_t n = p->farm->npieces < CHART_MOST ? p->farm->npieces : CHART_MOST;
	const char *money = text_of(p, "%.*s a piece", STR_ARG(p->farm->business.currency));
	struct chart c = {
		.kind = CHART_STACKED_BARS,
		.title = first_of(p, "What one of each piece costs to make", n, p->farm->npieces),
		.values = money,
		.from = p->build.s,
		.first = ROW_FIRST,
		.last = ROW_FIRST + (uint32_t)n - 1,
		.name_col = BUILD_WHAT,
		.nseries = 4,
		.series = { { "stems", BUILD_STEMS, GREEN },
			    { "supplies", BUILD_SUPPLIES, STRAW },
			    { "labour", BUILD_LABOUR, CLAY },
			    { "overhead", BUILD_OVERHEAD, SLATE } },
		.width = CHART_WIDTH,
		.height = 130 + 22 * (double)n,
	};
	draw(d, &c);
	c.kind = CHART_BARS;
	c.title = first_of(p, "Price before tax against cost of making", n, p->farm->npieces);
	c.nseries = 3;
	c.series[0] = (struct chart_series){ "cost of one", BUILD_TOTAL, CLAY };
	c.series[1] = (struct chart_series){ "lowest price", BUILD_PRICE_LOW, STRAW };
	c.series[2] = (struct chart_series){ "highest price", BUILD_PRICE_HIGH, GREEN };
	c.height = 130 + 40 * (double)n;
	draw(d, &c);
}

static void draw_stems(struct pages *p, struct drawing *d)
{
	size_t n = p->farm->ncrops < CROPS_MOST ? p->farm->ncrops : CROPS_MOST;
	struct chart c = {
		.kind = CHART_BARS,
		.title = first_of(p, "Stems in the shed, usable in pieces", n, p->farm->ncrops),
		.values = "stems",
		.from = p->stems.s,
		.first = ROW_FIRST,
		.last = ROW_FIRST + (uint32_t)n - 1,
		.name_col = STEMS_CROP,
		.nseries = 1,
		.series = { { "usable stems", STEMS_USABLE, GREEN } },
		.width = CHART_WIDTH,
		.height = 120 + 24 * (double)n,
	};
	draw(d, &c);
}

static uint32_t last_drawn(struct rows rows, size_t most)
{
	uint32_t n = rows.last - rows.first + 1;
	return rows.first + (n < most ? n : (uint32_t)most) - 1;
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
	uint32_t n = p->mix_made.last - p->mix_made.first + 1,
		 last = last_drawn(p->mix_made, CHART_MOST);
	uint32_t shown = last - p->mix_made.first + 1;
	struct chart c = {
		.kind = CHART_STACKED_BARS,
		.title = first_of(p, "The best mix: pieces by outlet, finished ones included", shown,
				  n),
		.values = "pieces",
		.from = p->mix.s,
		.first = p->mix_made.first,
		.last = last,
		.name_col = 0,
		.width = CHART_WIDTH,
		.height = 130 + 22 * (double)shown,
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
	uint32_t n = p->mix_left.last - p->mix_left.first + 1,
		 last = last_drawn(p->mix_left, CROPS_MOST);
	uint32_t shown = last - p->mix_left.first + 1;
	struct chart c = {
		.kind = CHART_STACKED_BARS,
		.title = first_of(p, "The best mix: stems used and left", shown, n),
		.values = "stems",
		.from = p->mix.s,
		.first = p->mix_left.first,
		.last = last,
		.name_col = 0,
		.nseries = 2,
		.series = { { "used", MIX_LEFT_USED, GREEN }, { "left", MIX_LEFT_LEFT, STRAW } },
		.width = CHART_WIDTH,
		.height = 130 + 22 * (double)shown,
	};
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
}

/* page_summary.c - the first sheet: the farm in a few lines. */
#include <math.h>

#include "base/buf.h"
#include "report/workbook/pages.h"

enum { SUM_WHAT, SUM_WHERE, SUM_PRICE, SUM_MARGIN, SUM_HOUR };
enum { EARNERS = 5, DOUBTS = 8, LINE_WIDTH = 92 };

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

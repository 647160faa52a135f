/* page_reach.c - what the solver found, the open orders, and what has to be said. */
#include <math.h>

#include "base/buf.h"
#include "farm/measure.h"
#include "report/workbook/pages.h"

enum { REACH_PIECE, REACH_MOST, REACH_FINISHED, REACH_STATE, REACH_STOPS, REACH_BUNCH, REACH_MORE };
enum { SAY_KIND, SAY_TEXT, SAY_SOURCE };

static const struct book_column reach_columns[] = {
	[REACH_PIECE] = { "piece", "Piece", "", SHAPE_TEXT, 28, ORIGIN_VALUE, NULL },
	[REACH_MOST] = { "most", "Can be made of it alone", "", SHAPE_WHOLE, 13, ORIGIN_SOLVED,
			 "The most of this piece, made alone, with every open order still met by "
			 "its day. Found by the solver and "
			 "checked in whole stems; it does not follow the inputs." },
	[REACH_FINISHED] = { "finished", "Finished on hand", "", SHAPE_WHOLE, 11, ORIGIN_SOLVED,
			     "Not promised to orders." },
	[REACH_STATE] = { "state", "Means", "", SHAPE_LABEL, 20, ORIGIN_SOLVED,
			  "no limit: nothing in it is counted. orders short: the open orders alone "
			  "cannot all be made. at least: the solver stopped early." },
	[REACH_STOPS] = { "stops", "What stops it", "", SHAPE_WRAP, 44, ORIGIN_SOLVED,
			  "With more of any one of these, one more could be made." },
	[REACH_BUNCH] = { "bunch", "One bunch more of the first", "", SHAPE_TEXT, 16, ORIGIN_SOLVED,
			  NULL },
	[REACH_MORE] = { "more", "would allow", "more", SHAPE_WHOLE, 10, ORIGIN_SOLVED, NULL },
};
const struct book_table reach_table = {
	"Reach",
	"How many of each piece the shed supports, each piece taken alone, open orders kept.",
	reach_columns, sizeof reach_columns / sizeof reach_columns[0]
};

static const struct book_column order_columns[] = {
	[ORDER_ID] = { "order", "Order", "", SHAPE_TEXT, 12, ORIGIN_VALUE, NULL },
	[ORDER_PIECE] = { "piece", "Piece", "", SHAPE_TEXT, 30, ORIGIN_VALUE, NULL },
	[ORDER_OUTLET] = { "outlet", "Outlet", "", SHAPE_TEXT, 18, ORIGIN_VALUE, NULL },
	[ORDER_COUNT] = { "count", "Pieces", "", SHAPE_WHOLE, 9, ORIGIN_VALUE, NULL },
	[ORDER_DUE] = { "due", "Due", "", SHAPE_DATE, 12, ORIGIN_VALUE, NULL },
	[ORDER_DAYS] = { "days", "Days left", "", SHAPE_WHOLE, 9, ORIGIN_LIVE,
			 "Due - date; less than 0 is late." },
	[ORDER_PRICE] = { "price", "Price of one", "$", SHAPE_MONEY, 11, ORIGIN_LIVE,
			  "As agreed; where nothing was agreed, the asked price there." },
	[ORDER_MONEY] = { "money", "Customer pays", "$", SHAPE_MONEY, 12, ORIGIN_LIVE,
			  "Pieces x price of one." },
	[ORDER_COST] = { "cost", "Cost of one made", "$", SHAPE_MONEY, 12, ORIGIN_LIVE,
			 "Sheet Cost build-up." },
	[ORDER_PROFIT] = { "making", "Making all", "$", SHAPE_MONEY, 12, ORIGIN_LIVE,
			   "Pieces x cost of one made." },
};
const struct book_table orders_table = { "Orders", "What has been promised and not been sent.",
					 order_columns,
					 sizeof order_columns / sizeof order_columns[0] };

static const struct book_column caution_columns[] = {
	[SAY_KIND] = { "kind", "Kind", "", SHAPE_TEXT, 12, ORIGIN_VALUE,
		       "doubt: a figure may be wrong. assumed: something was not said. caution: "
		       "safety and law." },
	[SAY_TEXT] = { "text", "What has to be said", "", SHAPE_WRAP, 96, ORIGIN_VALUE, NULL },
	[SAY_SOURCE] = { "source", "Source", "", SHAPE_WRAP, 46, ORIGIN_VALUE, NULL },
};
const struct book_table cautions_table = {
	"Cautions", "What was assumed, what is doubtful, and what to be careful with.",
	caution_columns, sizeof caution_columns / sizeof caution_columns[0]
};

/* ---- reach ---- */

static const char *state_name(enum reach_state state)
{
	switch (state) {
	case REACH_ENDLESS:
		return "no limit";
	case REACH_ORDERS_SHORT:
		return "orders short";
	case REACH_STOPPED:
		return "at least";
	case REACH_FOUND:
		break;
	}
	return "";
}

static const char *stops(struct pages *p, const struct reach_piece *r)
{
	const char *text = "";
	for (size_t i = 0; i < r->nstops; i++) {
		struct str name = item_name(p->farm, r->stops[i]);
		text = text_of(p, "%s%s%.*s", text, i ? ", " : "", STR_ARG(name));
	}
	return r->together && r->nstops > 1 ? text_of(p, "%s (short together)", text) : text;
}

static const char *bunch(struct pages *p, const struct reach_piece *r)
{
	struct buf b;
	struct str unit = measure_base(p->farm, r->stops[0]);
	buf_init(&b, 100);
	number_print_short(&b, r->more_by, 2);
	buf_printf(&b, " %.*s", STR_ARG(unit));
	const char *text = arena_copy(p->texts, b.data, b.len);
	buf_release(&b);
	return text;
}

static void reach_row(struct pages *p, uint32_t i)
{
	const struct page *g = &p->reach;
	const struct reach_piece *r = &p->r->reach.pieces[i];
	uint32_t row = ROW_FIRST + i;
	page_text(g, row, REACH_PIECE, p->farm->pieces[i].head.name);
	page_words(g, row, REACH_STATE, state_name(r->state));
	page_number(g, row, REACH_FINISHED, r->finished);
	if (r->state == REACH_FOUND || r->state == REACH_STOPPED)
		page_number(g, row, REACH_MOST, (double)r->most);
	const char *texts[REACH_MORE + 1] = { [REACH_STOPS] = stops(p, r) };
	page_words(g, row, REACH_STOPS, texts[REACH_STOPS]);
	page_heighten(g, row, texts);
	if (r->nstops && r->more >= 0) {
		page_words(g, row, REACH_BUNCH, bunch(p, r));
		page_number(g, row, REACH_MORE, (double)r->more);
	}
}

static uint32_t short_rows(struct pages *p, uint32_t row)
{
	const struct reach *reach = &p->r->reach;
	for (size_t i = 0; i < reach->nshorts; i++) {
		const struct order_short *o = &reach->shorts[i];
		if (!i)
			sheet_text(p->reach.s, ++row, REACH_PIECE, LOOK(SECTION, TEXT),
				   STR("Short for the open orders"));
		row++;
		page_text(&p->reach, row, REACH_PIECE, item_name(p->farm, o->item));
		page_number(&p->reach, row, REACH_MOST, o->count);
		page_text(&p->reach, row, REACH_STATE, measure_base(p->farm, o->item));
	}
	return row;
}

void reach_page(struct pages *p)
{
	uint32_t n = (uint32_t)p->farm->npieces;
	for (uint32_t i = 0; i < n; i++)
		reach_row(p, i);
	page_stale(p, &p->reach, INPUT_REACH);
	if (!n)
		page_nothing(&p->reach, "No pieces have been written.");
	page_end(&p->reach, ROW_FIRST + n, 1);
	short_rows(p, ROW_FIRST + n);
}

/* ---- orders ---- */

static const struct price_line *line_of(const struct pages *p, const struct order *o, uint32_t *row)
{
	struct rows rows = p->piece_prices[o->piece];
	for (uint32_t r = rows.first; r <= rows.last && rows.last >= rows.first; r++) {
		const struct price_line *l = &p->r->prices.lines[r - ROW_FIRST];
		if (l->outlet == o->outlet && l->asked) {
			*row = r;
			return l;
		}
	}
	return NULL;
}

static void order_row(struct pages *p, uint32_t row, const struct order *o)
{
	const struct page *g = &p->orders;
	double cost = p->r->costs.pieces[o->piece].total;
	const char *count = HERE(*g, row, ORDER_COUNT), *price = HERE(*g, row, ORDER_PRICE);
	uint32_t at = 0;
	const struct price_line *line = line_of(p, o, &at);
	page_text(g, row, ORDER_ID, o->id);
	page_text(g, row, ORDER_PIECE, p->farm->pieces[o->piece].head.name);
	page_text(g, row, ORDER_OUTLET,
		  o->outlet == NONE ? STR_NONE : p->farm->outlets[o->outlet].head.name);
	page_number(g, row, ORDER_COUNT, o->count);
	page_date(g, row, ORDER_DUE, o->due);
	if (o->due != DAY_NONE)
		page_live(g, row, ORDER_DAYS, o->due - p->r->on, "%s-" NAME_DATE,
			  HERE(*g, row, ORDER_DUE));
	if (!isnan(o->price))
		page_number(g, row, ORDER_PRICE, o->price);
	else if (line)
		page_live(g, row, ORDER_PRICE, line->at.paid, "%s", AT(p->prices, at, PRICE_ASKED));
	else
		page_words(g, row, ORDER_PRICE, "not said");
	double each = !isnan(o->price) ? o->price : line ? line->at.paid : 0;
	page_live(g, row, ORDER_MONEY, o->count * each, "%s*N(%s)", count, price);
	page_live(g, row, ORDER_COST, cost, "%s",
		  AT(p->build, p->piece_row[o->piece], BUILD_TOTAL));
	page_live(g, row, ORDER_PROFIT, o->count * cost, "%s*%s", count, HERE(*g, row, ORDER_COST));
}

static void order_sums(struct pages *p, uint32_t row)
{
	struct page g = p->orders;
	static const uint32_t cols[] = { ORDER_COUNT, ORDER_MONEY, ORDER_PROFIT };
	double sums[3] = { 0, 0, 0 };
	for (size_t i = 0; i < p->farm->norders; i++) {
		const struct order *o = &p->farm->orders[i];
		uint32_t at = 0;
		if (!stock_order_open(o, p->r->on))
			continue;
		const struct price_line *line = line_of(p, o, &at);
		sums[0] += o->count;
		sums[1] += o->count * (!isnan(o->price) ? o->price : line ? line->at.paid : 0);
		sums[2] += o->count * p->r->costs.pieces[o->piece].total;
	}
	g.style = STYLE_TOTAL;
	for (uint32_t c = 0; c < g.table->ncolumns; c++)
		page_blank(&g, row, c);
	page_words(&g, row, ORDER_ID, "Together");
	for (size_t i = 0; i < 3; i++)
		page_live(&g, row, cols[i], sums[i], "SUM(%s)",
			  cells_down(g.s, ROW_FIRST, row - 1, cols[i]));
}

void orders_page(struct pages *p)
{
	uint32_t row = ROW_FIRST;
	for (size_t i = 0; i < p->farm->norders; i++) {
		if (stock_order_open(&p->farm->orders[i], p->r->on))
			order_row(p, row++, &p->farm->orders[i]);
	}
	if (row == ROW_FIRST)
		page_nothing(&p->orders, "No order is open.");
	else
		order_sums(p, row);
	page_end(&p->orders, row, 2);
	if (row > ROW_FIRST)
		sheet_redden(p->orders.s, ROW_FIRST, row - 1, ORDER_DAYS);
}

/* ---- cautions ---- */

void cautions_page(struct pages *p)
{
	const struct page *g = &p->cautions;
	/* Safety goes with every workbook, whether the reckoning was asked for it or not. */
	struct remarks all;
	remarks_init(&all, p->arena);
	for (size_t i = 0; i < p->r->remarks.n; i++) {
		const struct remark *m = &p->r->remarks.items[i];
		if (m->kind == REMARK_CAUTION)
			remark_caution(&all, m->text, m->source);
		else
			remark(&all, m->kind, "%s", m->text);
	}
	reckon_cautions(&all, p->farm);
	static const enum remark_kind order[] = { REMARK_DOUBT, REMARK_ASSUMED, REMARK_CAUTION };
	static const char *const names[] = { "doubt", "assumed", "caution" };
	uint32_t row = ROW_FIRST;
	for (size_t k = 0; k < 3; k++) {
		for (size_t i = 0; i < all.n; i++) {
			const struct remark *m = &all.items[i];
			if (m->kind != order[k])
				continue;
			page_words(g, row, SAY_KIND, names[k]);
			page_words(g, row, SAY_TEXT, m->text);
			page_words(g, row, SAY_SOURCE, m->source ? m->source : "");
			page_heighten(g, row, (const char *const[]){ NULL, m->text, m->source });
			row++;
		}
	}
	if (row == ROW_FIRST)
		page_nothing(g, "Nothing.");
	page_end(g, row, 0);
}

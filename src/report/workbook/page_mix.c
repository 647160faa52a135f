/* page_mix.c - the best mix: what the solver chose, with live prices beside it, and what
 * that takes, earns and leaves. */
#include <math.h>

#include "base/largest.h"
#include "farm/measure.h"
#include "report/workbook/pages.h"

enum {
	MIX_PIECE,
	MIX_OUTLET,
	MIX_MAKE,
	MIX_SHELF,
	MIX_SOLD,
	MIX_EACH,
	MIX_ALL,
	MIX_PRICE,
	MIX_COST,
	MIX_PROFIT,
	MIX_MARGIN,
	MIX_HOUR
};

enum { HEAD_MOST = 9 }; /* letters in a line of a head */

static const struct book_column columns[] = {
	[MIX_PIECE] = { "piece", "Piece", "", SHAPE_TEXT, 28, ORIGIN_SOLVED, NULL },
	[MIX_OUTLET] = { "outlet", "Outlet", "", SHAPE_TEXT, 20, ORIGIN_SOLVED, NULL },
	[MIX_MAKE] = { "make", "Make", "", SHAPE_WHOLE, 10, ORIGIN_SOLVED,
		       "Besides the open orders. Found by the solver: it does not follow the "
		       "inputs, and says so above when they have been changed." },
	[MIX_SHELF] = { "shelf", "From the shelf", "", SHAPE_WHOLE, 10, ORIGIN_SOLVED,
			"Finished already and not promised." },
	[MIX_SOLD] = { "sold", "Expected to sell", "", SHAPE_TWO, 10, ORIGIN_SOLVED,
		       "Of these, less what spoils." },
	[MIX_EACH] = { "each", "Each earns", "$", SHAPE_MONEY, 10, ORIGIN_SOLVED,
		       "Sales less fees, sending, packing and its share of supplies to buy, paid work "
		       "and keep value. Stems in the shed are paid for; overhead is there anyway." },
	[MIX_ALL] = { "all", "In all", "$", SHAPE_MONEY, 11, ORIGIN_SOLVED,
		      "Of the pieces made and those from the shelf." },
	[MIX_PRICE] = { "price", "Customer pays now", "$", SHAPE_MONEY, 11, ORIGIN_LIVE,
			"Sheet Prices: the asked price; where none is asked, the aimed one." },
	[MIX_COST] = { "cost", "Cost of one sold now", "$", SHAPE_MONEY, 11, ORIGIN_LIVE,
		       "Sheet Prices: stems and overhead too." },
	[MIX_PROFIT] = { "profit", "Profit of one now", "$", SHAPE_MONEY, 11, ORIGIN_LIVE,
			 "Sheet Prices. Less than 0 can be right in a mix: the stems are there, "
			 "and "
			 "overhead is there anyway." },
	[MIX_MARGIN] = { "margin", "Margin now", "", SHAPE_PERCENT, 9, ORIGIN_LIVE,
			 "Sheet Prices: profit / price before tax." },
	[MIX_HOUR] = { "hour", "Earnings per working hour now", "$", SHAPE_MONEY, 12, ORIGIN_LIVE,
		       "Sheet Prices." },
};
const struct book_table mix_table = {
	"Best mix",
	"Which pieces to make, and for which outlet, so that most is earned from what is there.",
	columns, sizeof columns / sizeof columns[0]
};

/* ---- the pieces ---- */

/* Row of the sheet Prices. */
static uint32_t price_row_of(const struct pages *p, const struct mix_line *l)
{
	uint32_t row = p->piece_prices[l->piece].first;
	while (p->r->prices.lines[row - ROW_FIRST].offer != l->offer)
		row++;
	return row;
}

static void line_row(struct pages *p, uint32_t row, const struct mix_line *l)
{
	const struct page *g = &p->mix;
	uint32_t at = price_row_of(p, l);
	const struct price_line *price = &p->r->prices.lines[at - ROW_FIRST];
	page_text(g, row, MIX_PIECE, p->farm->pieces[l->piece].head.name);
	page_text(g, row, MIX_OUTLET, p->farm->outlets[l->outlet].head.name);
	page_number(g, row, MIX_MAKE, (double)(l->count - l->finished));
	page_number(g, row, MIX_SHELF, (double)l->finished);
	page_number(g, row, MIX_SOLD, l->sold);
	page_number(g, row, MIX_EACH, l->contribution);
	page_number(g, row, MIX_ALL, l->contribution * (double)l->count);
	if (price->asked)
		page_live(g, row, MIX_PRICE, price->at.paid, "%s", AT(p->prices, at, PRICE_ASKED));
	else
		page_live_or(g, row, MIX_PRICE, price->at.paid, "no price", "%s",
			     AT(p->prices, at, PRICE_POINT));
	page_live_or(g, row, MIX_COST, price->aim.c, "none", "%s", AT(p->prices, at, PRICE_COST));
	page_live_or(g, row, MIX_PROFIT, price->at.profit, "none", "%s",
		     AT(p->prices, at, PRICE_PROFIT));
	page_live_or(g, row, MIX_MARGIN, price->at.margin, "none", "%s",
		     AT(p->prices, at, PRICE_MARGIN));
	page_live_or(g, row, MIX_HOUR, price->at.per_hour, "none", "%s",
		     AT(p->prices, at, PRICE_PER_HOUR));
}

static void total_row(struct pages *p, const struct mix *m, uint32_t row)
{
	static const uint32_t cols[] = { MIX_MAKE, MIX_SHELF, MIX_SOLD, MIX_ALL };
	struct page g = p->mix;
	double sums[4] = { 0 };
	for (size_t i = 0; i < m->nlines; i++) {
		sums[0] += (double)(m->lines[i].count - m->lines[i].finished);
		sums[1] += (double)m->lines[i].finished;
		sums[2] += m->lines[i].sold;
		sums[3] += m->lines[i].contribution * (double)m->lines[i].count;
	}
	g.style = STYLE_TOTAL;
	for (uint32_t c = 0; c < g.table->ncolumns; c++)
		page_blank(&g, row, c);
	page_words(&g, row, MIX_PIECE, "Together");
	for (size_t i = 0; i < 4; i++)
		page_live(&g, row, cols[i], sums[i], "SUM(%s)",
			  cells_down(g.s, ROW_FIRST, row - 1, cols[i]));
}

/* ---- what follows below them ---- */

struct below {
	struct pages *p;
	struct sheet *s;
	const struct mix *m;
	uint32_t row;
};

static void section(struct below *b, const char *title)
{
	b->row++;
	sheet_text(b->s, b->row, 0, LOOK(SECTION, TEXT), str_of(title));
	sheet_height(b->s, b->row++, 20);
}

struct heading {
	const char *word;
	enum shape shape;
};

static void heads(struct below *b, const struct heading *words, uint32_t n)
{
	for (uint32_t i = 0; i < n; i++)
		sheet_text(b->s, b->row, i, LOOK_OF(STYLE_HEAD, words[i].shape),
			   str_of(words[i].word));
	for (uint32_t i = 2; i < n; i++) /* the columns above are not made for long names */
		if (strlen(words[i].word) > HEAD_MOST)
			sheet_height(b->s, b->row, 30);
	b->row++;
}

static void text(const struct below *b, uint32_t col, struct str s)
{
	sheet_text(b->s, b->row, col, LOOK(PLAIN, TEXT), s);
}

static void number(const struct below *b, uint32_t col, enum shape shape, double x)
{
	if (!isnan(x))
		sheet_number(b->s, b->row, col, LOOK_OF(STYLE_PLAIN, shape), x);
}

static void pieces(const struct below *b, uint32_t col, double n)
{
	number(b, col, SHAPE_WHOLE, n > 0 ? n : NAN);
}

static void pair(struct below *b, const char *what, enum shape shape, double x)
{
	text(b, MIX_PIECE, str_of(what));
	number(b, MIX_MAKE, shape, x);
	b->row++;
}

static void sentence(struct below *b, const char *words)
{
	sheet_text(b->s, b->row++, MIX_PIECE, LOOK(STRONG, TEXT), str_of(words));
}

static void say_proof(struct below *b)
{
	const struct mix *m = b->m;
	if (m->state == MIX_NOTHING)
		sentence(b, "The search was stopped before any mix was found that meets the open "
			    "orders.");
	else if (m->state == MIX_LIMITED)
		sentence(b, "The search was stopped before proof: this is the best mix that was "
			    "found.");
	if (m->nshorts || m->nlacks)
		sentence(b, "The open orders cannot all be met: the mix meets those that can be.");
}

static void totals(struct below *b)
{
	const struct mix *m = b->m;
	double sales = 0, supplies = 0, stalls = 0;
	section(b, text_of(b->p, "What it earns, %.*s", STR_ARG(b->p->farm->business.currency)));
	say_proof(b);
	if (m->state == MIX_NOTHING)
		return;
	for (size_t i = 0; i < m->nlines; i++)
		sales += m->lines[i].money;
	for (size_t i = 0; i < m->nbuys; i++)
		supplies += m->buys[i].money;
	for (size_t i = 0; i < m->nstalls; i++)
		stalls += m->stalls[i].money;
	double rest = m->value - (sales + m->orders - supplies - stalls);
	pair(b, "Sold, less fees, packing and sending", SHAPE_MONEY, sales);
	pair(b, "Open orders, likewise", SHAPE_MONEY, m->orders);
	pair(b, "Supplies to buy", SHAPE_MONEY, 0 - supplies);
	pair(b, "Stall days", SHAPE_MONEY, 0 - stalls);
	pair(b, "Paid work, keep value of stems", SHAPE_MONEY, fabs(rest) < 1e-7 ? 0 : rest);
	pair(b, "The mix earns", SHAPE_MONEY, m->value);
	pair(b, "No mix earns more than (proven)", SHAPE_MONEY, m->bound);
	pair(b, "- that is more by", SHAPE_PERCENT_FINE, m->gap);
	pair(b, "Next best mix found", SHAPE_MONEY, m->second_value);
	pair(b, "Hours, bench and packing", SHAPE_ONE, m->hours);
	pair(b, "Hours there are", SHAPE_ONE, isfinite(m->hours_most) ? m->hours_most : NAN);
}

static void making(struct below *b, const struct mix_making *k)
{
	text(b, 0, item_name(b->p->farm, k->item));
	sheet_date(b->s, b->row, 1, LOOK(PLAIN, DATE), k->on);
	number(b, 2, SHAPE_WHOLE, (double)k->makings);
	if (k->item.kind == KIND_PART) {
		const struct part *part = &b->p->farm->parts[k->item.index];
		number(b, 3, SHAPE_FREE, (double)k->makings * rat_double(part->makes));
		sheet_text(b->s, b->row, 4, LOOK(PLAIN, LABEL), measure_base(b->p->farm, k->item));
	}
	b->row++;
}

/* By day; the mix has them by maker. */
static void makings_of(struct below *b, enum kind kind)
{
	const struct mix *m = b->m;
	day last = DAY_NONE;
	for (;;) {
		day next = DAY_NONE;
		for (size_t i = 0; i < m->nmakings; i++)
			if (m->makings[i].item.kind == kind &&
			    (last == DAY_NONE || m->makings[i].on > last) &&
			    (next == DAY_NONE || m->makings[i].on < next))
				next = m->makings[i].on;
		if (next == DAY_NONE)
			return;
		for (size_t i = 0; i < m->nmakings; i++)
			if (m->makings[i].item.kind == kind && m->makings[i].on == next)
				making(b, &m->makings[i]);
		last = next;
	}
}

static void makings(struct below *b)
{
	static const struct heading words[] = { { "What", SHAPE_TEXT },
						{ "By", SHAPE_DATE },
						{ "Make", SHAPE_WHOLE },
						{ "That is", SHAPE_WHOLE },
						{ "", SHAPE_LABEL } };
	if (!b->m->nmakings)
		return;
	section(b,
		"What to make by when: made-ahead parts first, then pieces with the open orders");
	heads(b, words, 5);
	makings_of(b, KIND_PART);
	makings_of(b, KIND_PIECE);
}

static void buys(struct below *b)
{
	static const struct heading words[] = {
		{ "Supply", SHAPE_TEXT },   { "Unit", SHAPE_TEXT },    { "Used", SHAPE_WHOLE },
		{ "On hand", SHAPE_WHOLE }, { "To buy", SHAPE_WHOLE }, { "Money", SHAPE_MONEY }
	};
	bool any = false;
	for (size_t i = 0; i < b->m->nbuys; i++) {
		const struct mix_buy *k = &b->m->buys[i];
		struct item item = { KIND_SUPPLY, k->supply };
		if (!(k->buy > 0))
			continue;
		if (!any) {
			section(b, "Supplies to buy");
			heads(b, words, 6);
		}
		any = true;
		text(b, 0, item_name(b->p->farm, item));
		text(b, 1, measure_base(b->p->farm, item));
		number(b, 2, SHAPE_FREE, k->used);
		number(b, 3, SHAPE_FREE, k->on_hand);
		number(b, 4, SHAPE_FREE, k->buy);
		number(b, 5, SHAPE_MONEY, k->money);
		b->row++;
	}
}

static void stalls(struct below *b)
{
	static const struct heading words[] = {
		{ "Outlet", SHAPE_TEXT }, { "", SHAPE_TEXT },     { "Days to go", SHAPE_WHOLE },
		{ "Of", SHAPE_WHOLE },    { "Hours", SHAPE_ONE }, { "Money", SHAPE_MONEY }
	};
	if (!b->m->nstalls)
		return;
	section(b, "Stall days");
	heads(b, words, 6);
	for (size_t i = 0; i < b->m->nstalls; i++) {
		const struct mix_stall *k = &b->m->stalls[i];
		text(b, 0, b->p->farm->outlets[k->outlet].head.name);
		number(b, 2, SHAPE_WHOLE, (double)k->days);
		number(b, 3, SHAPE_WHOLE, (double)k->of);
		number(b, 4, SHAPE_ONE, k->hours);
		number(b, 5, SHAPE_MONEY, k->money);
		b->row++;
	}
}

static void limits(struct below *b)
{
	if (!b->m->nbinding)
		return;
	section(b, "What limits it");
	for (size_t i = 0; i < b->m->nbinding; i++, b->row++) {
		const struct mix_binding *k = &b->m->binding[i];
		text(b, 0, k->hours ? STR("hours") : item_name(b->p->farm, k->item));
		if (k->outlet == NONE) {
			text(b, 1,
			     k->hours ? STR("no more at the bench") : STR("too few in the shed"));
			continue;
		}
		struct str outlet = b->p->farm->outlets[k->outlet].head.name;
		text(b, 1, str_of(text_of(b->p, "no more can be sold at %.*s", STR_ARG(outlet))));
	}
}

static void lacks(struct below *b)
{
	const struct mix *m = b->m;
	if (!m->nshorts && !m->nlacks)
		return;
	section(b, "Open orders that cannot be met, and what they lack");
	for (size_t i = 0; i < m->nshorts; i++, b->row++) {
		text(b, 0, b->p->farm->pieces[m->shorts[i].piece].head.name);
		sheet_date(b->s, b->row, 1, LOOK(PLAIN, DATE), m->shorts[i].due);
		number(b, 2, SHAPE_WHOLE, (double)m->shorts[i].count);
	}
	for (size_t i = 0; i < m->nlacks; i++, b->row++) {
		const struct mix_lack *l = &m->lacks[i];
		bool hours = l->hours > 0;
		text(b, 0, hours ? STR("hours at the bench") : item_name(b->p->farm, l->item));
		text(b, 1, hours ? STR("h short") : measure_base(b->p->farm, l->item));
		number(b, 2, SHAPE_FREE, hours ? l->hours : l->count);
	}
}

static void left(struct below *b)
{
	static const struct heading words[] = {
		{ "Crop", SHAPE_TEXT },  { "", SHAPE_TEXT },      { "Good", SHAPE_WHOLE },
		{ "Used", SHAPE_WHOLE }, { "Left", SHAPE_WHOLE }, { "Keep value", SHAPE_MONEY }
	};
	if (!b->m->nleft)
		return;
	section(b, "What is left of the stems");
	heads(b, words, 6);
	b->p->mix_left = (struct rows){ b->row, b->row + (uint32_t)b->m->nleft - 1 };
	double *size = ARENA_ARRAY(b->p->arena, b->m->nleft, double);
	for (size_t i = 0; i < b->m->nleft && b->m->nleft > BARS_MOST; i++)
		size[i] = (double)(b->m->left[i].used + b->m->left[i].left);
	const size_t *order = largest_first(b->p->arena, size, b->m->nleft);
	for (size_t i = 0; i < b->m->nleft; i++, b->row++) {
		const struct mix_left *l = &b->m->left[order[i]];
		const struct crop *crop = &b->p->farm->crops[l->crop];
		text(b, 0, crop->head.name);
		number(b, 2, SHAPE_WHOLE, (double)l->usable);
		number(b, MIX_LEFT_USED, SHAPE_WHOLE, (double)l->used);
		number(b, MIX_LEFT_LEFT, SHAPE_WHOLE, (double)l->left);
		if (crop->carries.given)
			number(b, 5, SHAPE_MONEY, l->carried);
	}
}

/* ---- pieces by outlet, for the chart ---- */

/* Pieces of it for an outlet; NONE: made for orders. */
static double for_outlet(const struct mix *m, uint32_t piece, uint32_t outlet)
{
	int64_t n = 0;
	for (size_t i = 0; i < m->nlines; i++)
		if (m->lines[i].piece == piece && m->lines[i].outlet == outlet)
			n += m->lines[i].count;
	return (double)n;
}

static double ordered(const struct pages *p, uint32_t piece)
{
	int64_t n = 0;
	for (size_t i = 0; p->solved->pull && i < p->solved->pull->norders; i++) {
		const struct pull_order *o = &p->solved->pull->orders[i];
		if (p->farm->orders[o->order].piece == piece)
			n += o->count - o->cannot;
	}
	return (double)n;
}

/* The outlets that the mix serves, in the farm's order: each a column, the rest in one. */
static void find_made_outlets(struct pages *p, const struct mix *m)
{
	p->nmade_outlets = 0;
	p->more_made_outlets = false;
	for (uint32_t o = 0; o < p->farm->noutlets; o++) {
		bool any = false;
		for (size_t i = 0; i < m->nlines; i++)
			any = any || m->lines[i].outlet == o;
		if (any && p->nmade_outlets < MADE_OUTLETS_MOST)
			p->made_outlets[p->nmade_outlets++] = o;
		else
			p->more_made_outlets = p->more_made_outlets || any;
	}
}

static void made_row(struct below *b, uint32_t piece)
{
	struct pages *p = b->p;
	double others = 0;
	for (size_t i = 0; i < b->m->nlines; i++)
		if (b->m->lines[i].piece == piece)
			others += (double)b->m->lines[i].count;
	text(b, 0, p->farm->pieces[piece].head.name);
	pieces(b, MIX_MADE_ORDERS, ordered(p, piece));
	for (size_t i = 0; i < p->nmade_outlets; i++) {
		double n = for_outlet(b->m, piece, p->made_outlets[i]);
		others -= n;
		pieces(b, MIX_MADE_FIRST + (uint32_t)i, n);
	}
	if (p->more_made_outlets)
		pieces(b, MIX_MADE_FIRST + (uint32_t)p->nmade_outlets, others);
	b->row++;
}

static void made(struct below *b)
{
	struct pages *p = b->p;
	bool *any = ARENA_ARRAY(p->arena, p->farm->npieces + 1, bool);
	size_t n = 0;
	for (size_t i = 0; i < b->m->nlines; i++)
		any[b->m->lines[i].piece] = true;
	for (uint32_t i = 0; i < p->farm->npieces; i++)
		n += any[i] = any[i] || ordered(p, i) > 0;
	if (!n)
		return;
	find_made_outlets(p, b->m);
	section(b, "Pieces by outlet, finished ones included");
	struct heading words[MIX_MADE_FIRST + MADE_OUTLETS_MOST + 1] = {
		{ "Piece", SHAPE_TEXT }, { "", SHAPE_TEXT }, { "Orders", SHAPE_WHOLE }
	};
	for (size_t i = 0; i < p->nmade_outlets; i++)
		words[MIX_MADE_FIRST + i] = (struct heading){
			text_of(p, "%.*s", STR_ARG(p->farm->outlets[p->made_outlets[i]].head.name)),
			SHAPE_WHOLE
		};
	if (p->more_made_outlets)
		words[MIX_MADE_FIRST + p->nmade_outlets] =
		    (struct heading){ "others", SHAPE_WHOLE };
	heads(b, words, MIX_MADE_FIRST + (uint32_t)p->nmade_outlets + p->more_made_outlets);
	p->mix_made = (struct rows){ b->row, b->row + (uint32_t)n - 1 };
	double *size = ARENA_ARRAY(p->arena, p->farm->npieces, double);
	for (size_t i = 0; i < b->m->nlines && n > BARS_MOST; i++)
		size[b->m->lines[i].piece] += (double)b->m->lines[i].count;
	for (uint32_t i = 0; i < p->farm->npieces && n > BARS_MOST; i++)
		size[i] += ordered(p, i);
	const size_t *order = largest_first(p->arena, size, p->farm->npieces);
	for (uint32_t i = 0; i < p->farm->npieces; i++)
		if (any[order[i]])
			made_row(b, (uint32_t)order[i]);
}

/* ---- the page ---- */

void mix_page(struct pages *p)
{
	const struct mix *m = p->solved ? p->solved->mix : NULL;
	p->mix_left = p->mix_made = (struct rows){ 1, 0 };
	if (!m) {
		page_nothing(&p->mix, "No mix was looked for.");
		page_end(&p->mix, ROW_FIRST, 2);
		return;
	}
	uint32_t n = (uint32_t)m->nlines;
	for (size_t i = 0; i < p->r->prices.n; i++)
		p->unasked = p->unasked ||
			     (p->r->prices.lines[i].offer != NONE && !p->r->prices.lines[i].asked);
	for (uint32_t i = 0; i < n; i++)
		line_row(p, ROW_FIRST + i, &m->lines[i]);
	page_stale(p, &p->mix, INPUT_MIX);
	if (!n)
		page_nothing(&p->mix, "No piece earns anything at any outlet with what there is.");
	page_end(&p->mix, ROW_FIRST + n, 2);
	sheet_repeat_none(p->mix.s); /* other heads stand further down */
	if (n) {
		total_row(p, m, ROW_FIRST + n);
		sheet_redden(p->mix.s, ROW_FIRST, ROW_FIRST + n - 1, MIX_PROFIT);
		sheet_redden(p->mix.s, ROW_FIRST, ROW_FIRST + n - 1, MIX_MARGIN);
	}
	struct below b = { p, p->mix.s, m, ROW_FIRST + n + 1 };
	totals(&b);
	lacks(&b);
	makings(&b);
	buys(&b);
	stalls(&b);
	limits(&b);
	left(&b);
	made(&b);
}

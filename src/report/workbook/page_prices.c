/* page_prices.c - from the cost of a piece to what an hour at its price is worth.
 *
 * Four pages.  Outlets has a row for each outlet.  Cost sold, Aims and Prices have
 * the same rows, one for each piece at each outlet: what one that is sold costs, the
 * price that the outlet's aim asks for, and what the price that is asked leaves. */
#include <math.h>

#include "report/workbook/pages.h"

static const char none[] = "none";

static const struct book_column outlet_columns[] = {
	[OUT_NAME] = { "outlet", "Outlet", "", SHAPE_TEXT, 20, ORIGIN_VALUE, NULL },
	[OUT_FEE] = { "fee", "Fee", "", SHAPE_PERCENT, 8, ORIGIN_LIVE,
		      "Of what the customer pays, or of the price before tax where the farm says "
		      "`of net`." },
	[OUT_FIXED] = { "fixed", "Fee per order", "$", SHAPE_MONEY, 9, ORIGIN_LIVE, NULL },
	[OUT_PIECES] = { "pieces", "Pieces in an order", "", SHAPE_FREE, 9, ORIGIN_LIVE,
			 "1 where nothing is said." },
	[OUT_FIXED_EACH] = { "fixed_each", "Fee per order, each", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			     "Fee per order / pieces in an order." },
	[OUT_CHARGED] = { "charged", "Sending charged, each", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			  "What the customer pays for sending, tax included / pieces in an "
			  "order." },
	[OUT_SPOILS] = { "spoils", "Spoils", "", SHAPE_PERCENT, 8, ORIGIN_LIVE, NULL },
	[OUT_TAX] = { "tax", "Tax", "", SHAPE_PERCENT, 8, ORIGIN_LIVE, NULL },
	[OUT_STALL] = { "stall", "Stall and travel, a day", "$", SHAPE_MONEY, 11, ORIGIN_LIVE,
			"Stall per day + kilometres x money per kilometre." },
	[OUT_HOURS] = { "hours", "Stall hours, a day", "h", SHAPE_FREE, 9, ORIGIN_LIVE, NULL },
	[OUT_DAYS] = { "days", "Stall days", "", SHAPE_FREE, 8, ORIGIN_LIVE, NULL },
	[OUT_LIKELY] = { "likely", "Likely to sell", "pieces", SHAPE_FREE, 9, ORIGIN_LIVE,
			 "All pieces sold there, a season: sheet Cost sold." },
	[OUT_A_DAY] = { "a_day", "Pieces a day", "", SHAPE_ONE, 9, ORIGIN_LIVE,
			"Likely to sell / stall days; 0 where there is no stall." },
};
const struct book_table outlets_table = {
	"Outlets", "The terms of each place that sells, as they fall on one piece.", outlet_columns,
	sizeof outlet_columns / sizeof outlet_columns[0]
};

static const struct book_column sold_columns[] = {
	[SOLD_PIECE] = { "piece", "Piece", "", SHAPE_TEXT, 26, ORIGIN_VALUE, NULL },
	[SOLD_OUTLET] = { "outlet", "Outlet", "", SHAPE_TEXT, 16, ORIGIN_VALUE, NULL },
	[SOLD_MADE] = { "made", "Cost of one made", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			"Sheet Cost build-up." },
	[SOLD_SPOILS] = { "spoils", "Spoils", "", SHAPE_PERCENT, 8, ORIGIN_LIVE,
			  "Broken on the way or brought back." },
	[SOLD_RATIO] = { "ratio", "Made for one sold", "", SHAPE_TWO, 9, ORIGIN_LIVE,
			 "1 / (1 - spoils)." },
	[SOLD_MINUTES] = { "minutes", "Packing", "min", SHAPE_FREE, 8, ORIGIN_LIVE, NULL },
	[SOLD_LABOUR] = { "labour", "Packing labour", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			  "Packing minutes / 60 x full wage." },
	[SOLD_OVERHEAD] = { "overhead", "Packing overhead", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			    "Packing minutes / 60 x overhead per hour." },
	[SOLD_CARTON] = { "carton", "Carton", "$", SHAPE_MONEY, 8, ORIGIN_LIVE, NULL },
	[SOLD_GRAMS] = { "grams", "Billed weight", "g", SHAPE_WHOLE, 9, ORIGIN_LIVE,
			 "The larger of the packed weight and the packed volume / volume "
			 "divisor." },
	[SOLD_PARCEL] = { "parcel", "Weight of an order", "g", SHAPE_WHOLE, 9, ORIGIN_LIVE,
			  "Billed weight x pieces in an order." },
	[SOLD_SENDING] = { "sending", "Sending, each", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			   "The step of the tariff for the order / its pieces; an order beyond the "
			   "last step goes piece by piece." },
	[SOLD_COST] = { "cost", "Cost of one sold", "$", SHAPE_MONEY, 11, ORIGIN_LIVE,
			"Cost of one made x made for one sold + packing labour and overhead + "
			"carton + sending." },
	[SOLD_LIKELY] = { "likely", "Likely to sell", "pieces", SHAPE_FREE, 9, ORIGIN_LIVE,
			  "In a season; what it may sell at most where nothing else is said." },
};
const struct book_table sold_table = {
	"Cost sold",
	"What one piece costs by the time it is sold: spoilage, packing, carton and sending added.",
	sold_columns, sizeof sold_columns / sizeof sold_columns[0]
};

static const struct book_column aim_columns[] = {
	[AIM_PIECE] = { "piece", "Piece", "", SHAPE_TEXT, 26, ORIGIN_VALUE, NULL },
	[AIM_OUTLET] = { "outlet", "Outlet", "", SHAPE_TEXT, 16, ORIGIN_VALUE, NULL },
	[AIM_COST] = { "cost", "Cost of one sold", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
		       "Sheet Cost sold." },
	[AIM_RULE] = { "rule", "Aim", "", SHAPE_LABEL, 8, ORIGIN_VALUE,
		       "margin: of the price before tax, after fees. markup: on the cost, fees on "
		       "top. ratio: so many times flowers and supplies." },
	[AIM_RATE] = { "rate", "Aimed at", "", SHAPE_PERCENT, 8, ORIGIN_LIVE, NULL },
	[AIM_TAX] = { "tax", "Tax", "", SHAPE_PERCENT, 8, ORIGIN_LIVE,
		      "The piece's own tax where it has one, else the outlet's." },
	[AIM_FEE] = { "fee", "Fees, of the price before tax", "", SHAPE_PERCENT, 9, ORIGIN_LIVE,
		      "Fee x (1 + tax); the fee itself where it is of the net price." },
	[AIM_DUES] = { "dues", "Other dues", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
		       "Fee per order, each + fee on the sending charged - sending charged before "
		       "tax. Less than 0 when sending brings money in." },
	[AIM_LEFT] = { "left", "Left of the price", "", SHAPE_PERCENT, 9, ORIGIN_LIVE,
		       "1 - fees - margin aimed at. At 0 or less there is no price: the aims "
		       "collide." },
	[AIM_WANTED] = { "wanted", "Has to bring", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			 "margin: the cost. markup: the cost x (1 + markup). ratio: flowers x "
			 "their multiple + supplies and carton x theirs, labour laid on, + "
			 "sending." },
	[AIM_NET] = { "net", "Price before tax", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
		      "(Has to bring + other dues) / left of the price." },
	[AIM_PAID] = { "paid", "With tax", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
		       "Price before tax x (1 + tax)." },
	[AIM_TAG] = { "tag", "On the tag", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
		      "With tax, or before tax where tax comes on top." },
	[AIM_MINOR] = { "minor", "In whole minor units", "", SHAPE_WHOLE, 10, ORIGIN_LIVE,
			"The tag rounded up to the smallest coin. A tag less than a "
			"thousand-millionth above a whole one is that one, so that 67.95 reckoned "
			"by a long way round stays 67.95." },
	[AIM_POINT] = { "point", "Tag at the price point", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			"The next tag with one of the outlet's endings, up (or the nearest, where "
			"the outlet says so)." },
	[AIM_POINT_PAID] = { "point_paid", "Customer pays then", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			     NULL },
};
const struct book_table aims_table = { "Aims",
				       "The price that each outlet's aim asks for, step by step.",
				       aim_columns, sizeof aim_columns / sizeof aim_columns[0] };

static const struct book_column price_columns[] = {
	[PRICE_PIECE] = { "piece", "Piece", "", SHAPE_TEXT, 26, ORIGIN_VALUE, NULL },
	[PRICE_OUTLET] = { "outlet", "Outlet", "", SHAPE_TEXT, 16, ORIGIN_VALUE, NULL },
	[PRICE_COST] = { "cost", "Cost of one sold", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			 "Sheet Cost sold." },
	[PRICE_POINT] = { "point", "Price point", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			  "What the customer would pay at the price point of the outlet's aim: "
			  "sheet Aims." },
	[PRICE_ASKED] = { "asked", "Asked price", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			  "What the customer pays, tax included. Where none is asked the rest of "
			  "the row is reckoned at the aimed price." },
	[PRICE_NET] = { "net", "Price before tax", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			"Price / (1 + tax)." },
	[PRICE_FEES] = { "fees", "Fees", "$", SHAPE_MONEY, 8, ORIGIN_LIVE,
			 "Fee x (price + sending charged) + fee per order, each." },
	[PRICE_PROFIT] = { "profit", "Profit", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			   "Before tax + sending charged before tax - fees - cost of one sold. "
			   "Your wage is in the cost." },
	[PRICE_MARGIN] = { "margin", "Margin", "", SHAPE_PERCENT, 8, ORIGIN_LIVE,
			   "Profit / price before tax." },
	[PRICE_CONTRIBUTION] = { "contribution", "Contri- bution", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
				 "Profit + the overhead in the cost: what one more sold brings "
				 "towards it." },
	[PRICE_STALL] = { "stall", "Stall, each", "$", SHAPE_MONEY, 8, ORIGIN_LIVE,
			  "Stall and travel a day / pieces a day; 0 for a piece of which nobody said how "
			  "many sell there." },
	[PRICE_HOURS] = { "hours", "Hours, each", "h", SHAPE_TWO, 8, ORIGIN_LIVE,
			  "Bench x made for one sold + packing + stall hours / pieces a day." },
	[PRICE_PER_HOUR] = { "per_hour", "Earnings per working hour", "$", SHAPE_MONEY, 12,
			     ORIGIN_LIVE,
			     "(Profit + own labour in the cost - stall, each) / hours, each." },
	[PRICE_EVEN] = { "break_even", "To pay a stall day", "pieces", SHAPE_WHOLE, 9, ORIGIN_LIVE,
			 "Whole pieces whose contribution pays stall, travel and the stall's hours "
			 "at the full wage." },
	[PRICE_RANK] = { "rank", "Place", "", SHAPE_WHOLE, 7, ORIGIN_LIVE,
			 "By earnings per working hour." },
	[PRICE_VERDICT] = { "verdict", "Remark", "", SHAPE_LABEL, 12, ORIGIN_LIVE,
			    "below cost: profit under 0. below aim: asked less than aimed. not "
			    "asked: no price is asked there yet." },
};
const struct book_table prices_table = { "Prices",
					 "What each piece costs, should be asked for, and leaves "
					 "at the price asked, in each place that sells it.",
					 price_columns,
					 sizeof price_columns / sizeof price_columns[0] };

/* ---- layout ---- */

/* Places by earnings: sums that differ by rounding error alone share one in file order. */
static double rank_of(const struct prices *prices, size_t i)
{
	double x = prices->lines[i].at.per_hour, rank = 1;
	if (!isfinite(x))
		return NAN;
	for (size_t k = 0; k < prices->n; k++) {
		double y = prices->lines[k].at.per_hour;
		if (isfinite(y) && (y > x + 1e-9 || (k < i && y >= x - 1e-9)))
			rank++;
	}
	return rank;
}

void prices_lay_out(struct pages *p)
{
	const struct prices *prices = &p->r->prices;
	p->piece_prices = ARENA_ARRAY(p->arena, p->farm->npieces, struct rows);
	for (size_t i = 0; i < p->farm->npieces; i++)
		p->piece_prices[i] = (struct rows){ 1, 0 };
	for (uint32_t i = 0; i < prices->n; i++) {
		struct rows *rows = &p->piece_prices[prices->lines[i].piece];
		if (rows->last < rows->first)
			rows->first = ROW_FIRST + i;
		rows->last = ROW_FIRST + i;
	}
	p->ranks = ARENA_ARRAY(p->arena, prices->n, double);
	p->rank_line = ARENA_ARRAY(p->arena, prices->n, uint32_t);
	for (uint32_t i = 0; i < prices->n; i++) {
		p->ranks[i] = rank_of(prices, i);
		if (isfinite(p->ranks[i])) {
			p->rank_line[(size_t)p->ranks[i] - 1] = i;
			p->nranked++;
		}
	}
}

/* A row of the three pages, with what stands behind it. */
struct line {
	struct pages *p;
	uint32_t row, out; /* out: the outlet's row on Outlets */
	const struct price_line *l;
	const struct price_in *in;
	const struct piece *piece;
	const struct outlet *outlet;
};

static const char *sold(const struct line *w, uint32_t col)
{
	return AT(w->p->sold, w->row, col);
}

static const char *aim(const struct line *w, uint32_t col)
{
	return AT(w->p->aims, w->row, col);
}

static const char *out(const struct line *w, uint32_t col)
{
	return AT(w->p->outlets, w->out, col);
}

/* Piece and outlet, on each of the three pages; a piece's name stands out once. */
static void names(const struct line *w, const struct page *page)
{
	struct page g = *page;
	if (w->row > w->p->piece_prices[w->l->piece].first)
		g.style = STYLE_FAINT;
	page_text(&g, w->row, PRICE_PIECE, w->piece->head.name);
	page_text(page, w->row, PRICE_OUTLET, w->outlet->head.name);
}

/* ---- outlets ---- */

static double pieces_in_order(const struct outlet *o)
{
	return o->per_order.v > 0 ? o->per_order.v : 1;
}

static double likely_of(const struct offer *offer)
{
	return offer->likely.given ? offer->likely.v : offer->upto.v;
}

static double likely_at(const struct farm *farm, uint32_t outlet)
{
	double sum = 0;
	for (size_t i = 0; i < farm->npieces; i++) {
		for (size_t k = 0; k < farm->pieces[i].noffers; k++) {
			if (farm->pieces[i].offers[k].outlet == outlet)
				sum += likely_of(&farm->pieces[i].offers[k]);
		}
	}
	return sum;
}

static void stall_cells(struct pages *p, uint32_t row, uint32_t i)
{
	const struct page *g = &p->outlets;
	const struct outlet *o = &p->farm->outlets[i];
	uint32_t last = ROW_FIRST + (uint32_t)p->r->prices.n - 1;
	double likely = likely_at(p->farm, i);
	if (fig_is_input(p, &o->stall) || fig_is_input(p, &o->travel_km))
		page_live(g, row, OUT_STALL, o->stall.v + o->travel_km.v * o->travel_rate.v,
			  "%s+%s*%s", fig_ref(p, &o->stall), fig_ref(p, &o->travel_km),
			  fig_ref(p, &o->travel_rate));
	else
		page_number(g, row, OUT_STALL, 0);
	page_figure(p, g, row, OUT_HOURS, &o->stall_hours);
	page_figure(p, g, row, OUT_DAYS, &o->stall_days);
	if (p->r->prices.n)
		page_live(g, row, OUT_LIKELY, likely, "SUMPRODUCT((%s=%s)*%s)",
			  cells_far(p->sold.s, ROW_FIRST, last, SOLD_OUTLET),
			  HERE(*g, row, OUT_NAME),
			  cells_far(p->sold.s, ROW_FIRST, last, SOLD_LIKELY));
	else
		page_number(g, row, OUT_LIKELY, 0);
	page_live(g, row, OUT_A_DAY, o->stall_days.v > 0 ? likely / o->stall_days.v : 0,
		  "IF(%s>0,%s/%s,0)", HERE(*g, row, OUT_DAYS), HERE(*g, row, OUT_LIKELY),
		  HERE(*g, row, OUT_DAYS));
}

static void outlet_row(struct pages *p, uint32_t i)
{
	const struct page *g = &p->outlets;
	const struct outlet *o = &p->farm->outlets[i];
	uint32_t row = ROW_FIRST + i;
	double n = pieces_in_order(o);
	const char *pieces = HERE(*g, row, OUT_PIECES);
	page_text(g, row, OUT_NAME, o->head.name);
	page_figure(p, g, row, OUT_FEE, &o->fee);
	page_figure(p, g, row, OUT_FIXED, &o->fee_fixed);
	if (o->per_order.given)
		page_live(g, row, OUT_PIECES, n, "IF(%s>0,%s,1)", fig_ref(p, &o->per_order),
			  fig_ref(p, &o->per_order));
	else
		page_number(g, row, OUT_PIECES, n);
	page_live(g, row, OUT_FIXED_EACH, o->fee_fixed.v / n, "%s/%s", HERE(*g, row, OUT_FIXED),
		  pieces);
	if (fig_is_input(p, &o->charges))
		page_live(g, row, OUT_CHARGED, o->charges.v / n, "%s/%s", fig_ref(p, &o->charges),
			  pieces);
	else
		page_number(g, row, OUT_CHARGED, 0);
	page_figure(p, g, row, OUT_SPOILS, &o->spoils);
	page_figure(p, g, row, OUT_TAX, &o->tax);
	stall_cells(p, row, i);
}

/* ---- cost of one sold ---- */

/* The tariff's step for a weight in a cell; the last one has no end. */
static const char *tariff(struct pages *p, const struct outlet *o, const char *grams)
{
	const char *text = fig_ref(p, &o->tariffs[o->ntariffs - 1].money);
	for (size_t i = o->ntariffs - 1; i-- > 0;)
		text =
		    text_of(p, "IF(%s<=%s*(1+1E-12),%s,%s)", grams, fig_ref(p, &o->tariffs[i].upto),
			    fig_ref(p, &o->tariffs[i].money), text);
	return text;
}

static void sending_cells(const struct line *w)
{
	struct pages *p = w->p;
	const struct page *g = &p->sold;
	const struct outlet *o = w->outlet;
	if (!o->ntariffs)
		return;
	const double *size = w->piece->size;
	double volume = size[0] * size[1] * size[2];
	double each = w->l->billed_grams / pieces_in_order(o);
	const char *grams = HERE(*g, w->row, SOLD_GRAMS), *parcel = HERE(*g, w->row, SOLD_PARCEL);
	const char *pieces = out(w, OUT_PIECES), *divisor = fig_ref(p, &o->volume_divisor);
	/* mm3 / (cm3 per kg) are grams */
	if (o->volume_divisor.v > 0 && volume > 0)
		page_live(g, w->row, SOLD_GRAMS, each, "MAX(%s,IF(%s>0,%s/%s,0))",
			  fig_ref(p, &w->piece->weight), divisor, number_ref(p, volume), divisor);
	else
		page_figure(p, g, w->row, SOLD_GRAMS, &w->piece->weight);
	page_live(g, w->row, SOLD_PARCEL, w->l->billed_grams, "%s*%s", grams, pieces);
	page_live(g, w->row, SOLD_SENDING, w->in->sending, "IF(%s<=%s*(1+1E-12),%s/%s,%s)", parcel,
		  fig_ref(p, &o->tariffs[o->ntariffs - 1].upto), tariff(p, o, parcel), pieces,
		  tariff(p, o, grams));
}

static double made_per_sold(const struct price_in *in)
{
	return 1 / (1 - in->spoils);
}

static void sold_row(const struct line *w)
{
	struct pages *p = w->p;
	const struct page *g = &p->sold;
	const struct price_in *in = w->in;
	uint32_t row = w->row;
	const char *minutes = HERE(*g, row, SOLD_MINUTES), *spoils = HERE(*g, row, SOLD_SPOILS);
	names(w, g);
	page_live(g, row, SOLD_MADE, w->l->aim.made, "%s",
		  AT(p->build, p->piece_row[w->l->piece], BUILD_TOTAL));
	page_live(g, row, SOLD_SPOILS, in->spoils, "%s", out(w, OUT_SPOILS));
	page_live_or(g, row, SOLD_RATIO, made_per_sold(in), none, "IF(%s<1,1/(1-%s),\"none\")",
		     spoils, spoils);
	if (fig_is_input(p, &w->piece->packing))
		page_live(g, row, SOLD_MINUTES, in->packing_seconds / MINUTE, "%s/60",
			  fig_ref(p, &w->piece->packing));
	else
		page_number(g, row, SOLD_MINUTES, in->packing_seconds / MINUTE);
	page_live(g, row, SOLD_LABOUR, in->packing_labour, "%s/60*" NAME_WAGE, minutes);
	page_live(g, row, SOLD_OVERHEAD, in->packing_overhead, "%s/60*" NAME_OVERHEAD, minutes);
	page_figure(p, g, row, SOLD_CARTON, &w->piece->carton);
	sending_cells(w);
	page_live_or(g, row, SOLD_COST, w->l->aim.c, none, "%s*%s+%s+%s+%s+%s",
		     HERE(*g, row, SOLD_MADE), HERE(*g, row, SOLD_RATIO),
		     HERE(*g, row, SOLD_LABOUR), HERE(*g, row, SOLD_OVERHEAD),
		     HERE(*g, row, SOLD_CARTON), HERE(*g, row, SOLD_SENDING));
	if (w->l->offer == NONE)
		return;
	const struct offer *offer = &w->piece->offers[w->l->offer];
	page_figure(p, g, row, SOLD_LIKELY, offer->likely.given ? &offer->likely : &offer->upto);
}

/* ---- aims ---- */

static const char *rule_name(enum aim_kind aim_kind)
{
	switch (aim_kind) {
	case AIM_MARGIN:
		return "margin";
	case AIM_MARKUP:
		return "markup";
	case AIM_RATIO:
		return "ratio";
	case AIM_NONE:
		break;
	}
	return none;
}

/* Multiples default to 1 where nothing is said. */
static const char *multiple(struct pages *p, const struct fig *fig, double v)
{
	return fig->given ? fig_ref(p, fig) : number_ref(p, v);
}

static void wanted_cell(const struct line *w)
{
	struct pages *p = w->p;
	const struct page *g = &p->aims;
	const struct price_in *in = w->in;
	const char *cost = HERE(*g, w->row, AIM_COST), *rate = HERE(*g, w->row, AIM_RATE);
	if (in->aim == AIM_MARGIN) {
		page_live(g, w->row, AIM_WANTED, w->l->aim.c, "%s", cost);
		return;
	}
	if (in->aim == AIM_MARKUP) {
		page_live(g, w->row, AIM_WANTED, w->l->aim.c * (1 + in->markup), "%s*(1+%s)", cost,
			  rate);
		return;
	}
	uint32_t build = p->piece_row[w->l->piece];
	double x = in->ratio_stems * in->stems + in->ratio_supplies * (in->supplies + in->carton);
	const char *labour = fig_ref(p, &w->outlet->ratio_labour), *laid = "";
	if (in->labour_rule == LABOUR_OF_PRICE) {
		x /= 1 - in->ratio_labour;
		laid = text_of(p, "/(1-%s)", labour);
	} else if (in->labour_rule == LABOUR_ON_TOP) {
		x *= 1 + in->ratio_labour;
		laid = text_of(p, "*(1+%s)", labour);
	}
	page_live(
	    g, w->row, AIM_WANTED, x + in->sending, "(%s*%s+%s*(%s+%s))%s+%s",
	    multiple(p, &w->outlet->ratio_stems, in->ratio_stems), AT(p->build, build, BUILD_STEMS),
	    multiple(p, &w->outlet->ratio_supplies, in->ratio_supplies),
	    AT(p->build, build, BUILD_SUPPLIES), sold(w, SOLD_CARTON), laid, sold(w, SOLD_SENDING));
}

/* The power of ten that endings repeat at. */
static double repeat_of(const struct price_in *in)
{
	double power = pow(10, in->digits);
	while (power <= (double)in->endings[in->nendings - 1] && power < 1e14)
		power *= 10;
	return power;
}

/* Tag at the point in minor units, from the tag and its whole minor units. */
static const char *point_formula(const struct line *w, const char *tag, const char *minor)
{
	struct pages *p = w->p;
	const struct price_in *in = w->in;
	const char *unit = number_ref(p, pow(10, in->digits));
	if (!in->nendings) {
		if (in->nearest)
			return text_of(p, "ROUND(%s,%d)", tag, in->digits);
		return text_of(p, "%s/%s", minor, unit);
	}
	const char *repeat = number_ref(p, repeat_of(in)), *above = "", *below = "", *comma = "";
	const char *exact = text_of(p, "(%s*%s)", tag, unit);
	const char *down = text_of(p, "INT(%s+" WHOLE_GUARD "*MAX(1,%s))", exact, exact);
	for (size_t i = 0; i < in->nendings; i++) {
		const char *end = number_ref(p, (double)in->endings[i]);
		above = text_of(p, "%s%s%s-%s*INT((%s-%s)/%s)", above, comma, end, repeat, end,
				minor, repeat);
		below = text_of(p, "%s%s%s+%s*INT((%s-%s)/%s)", below, comma, end, repeat, down,
				end, repeat);
		comma = ",";
	}
	above = text_of(p, "MIN(%s)", above);
	if (!in->nearest)
		return text_of(p, "%s/%s", above, unit);
	below = text_of(p, "MAX(%s)", below);
	return text_of(p, "IF(AND(%s>0,%s-%s<%s-%s),%s,%s)/%s", below, exact, below, above, exact,
		       below, above, unit);
}

static void point_cells(const struct line *w)
{
	struct pages *p = w->p;
	const struct page *g = &p->aims;
	const struct price_out *o = &w->l->aim;
	uint32_t row = w->row;
	const char *net = HERE(*g, row, AIM_NET), *tag = HERE(*g, row, AIM_TAG);
	const char *minor = HERE(*g, row, AIM_MINOR), *point = HERE(*g, row, AIM_POINT);
	const char *no = "no price", *tax = HERE(*g, row, AIM_TAX);
	double units = pow(10, w->in->digits);
	const char *exact = text_of(p, "(%s*%s)", tag, number_ref(p, units));
	page_live_or(g, row, AIM_NET, o->aim_net, no, "IF(%s>0,MAX((%s+%s)/%s,0),\"%s\")",
		     HERE(*g, row, AIM_LEFT), HERE(*g, row, AIM_WANTED), HERE(*g, row, AIM_DUES),
		     HERE(*g, row, AIM_LEFT), no);
	page_live_or(g, row, AIM_PAID, o->aim_paid, no, "IF(ISNUMBER(%s),%s*(1+%s),\"%s\")", net,
		     net, tax, no);
	page_live_or(g, row, AIM_TAG, o->aim_tag, no, "%s",
		     w->in->tax_on_top ? net : HERE(*g, row, AIM_PAID));
	double whole = o->collide
			   ? NAN
			   : round((double)price_point(o->aim_tag, NULL, 0, w->in->digits, false));
	page_live_or(g, row, AIM_MINOR, whole, no,
		     "IF(ISNUMBER(%s),MAX(0,-INT(-(%s-" WHOLE_GUARD "*MAX(1,%s)))),\"%s\")", tag,
		     exact, exact, no);
	page_live_or(g, row, AIM_POINT, o->point, no, "IF(ISNUMBER(%s),%s,\"%s\")", tag,
		     point_formula(w, tag, minor), no);
	page_live_or(g, row, AIM_POINT_PAID, o->point_paid, no, "IF(ISNUMBER(%s),%s%s,\"%s\")",
		     point, point, w->in->tax_on_top ? text_of(p, "*(1+%s)", tax) : "", no);
}

static void aim_row(const struct line *w)
{
	struct pages *p = w->p;
	const struct page *g = &p->aims;
	const struct price_in *in = w->in;
	uint32_t row = w->row;
	const char *tax = HERE(*g, row, AIM_TAX), *fee = HERE(*g, row, AIM_FEE);
	double charged_net = in->charged / (1 + in->tax);
	double fees = in->fee_of_net ? in->fee_rate : in->fee_rate * (1 + in->tax);
	names(w, g);
	page_live_or(g, row, AIM_COST, w->l->aim.c, none, "%s", sold(w, SOLD_COST));
	page_words(g, row, AIM_RULE, rule_name(in->aim));
	if (w->piece->tax.given)
		page_figure(p, g, row, AIM_TAX, &w->piece->tax);
	else
		page_live(g, row, AIM_TAX, in->tax, "%s", out(w, OUT_TAX));
	page_live(g, row, AIM_FEE, fees, "%s%s", out(w, OUT_FEE),
		  in->fee_of_net ? "" : text_of(p, "*(1+%s)", tax));
	page_live(g, row, AIM_DUES,
		  in->fee_fixed + in->fee_rate * (in->fee_of_net ? charged_net : in->charged) -
		      charged_net,
		  "%s+%s*%s%s-%s/(1+%s)", out(w, OUT_FIXED_EACH), out(w, OUT_FEE),
		  out(w, OUT_CHARGED), in->fee_of_net ? text_of(p, "/(1+%s)", tax) : "",
		  out(w, OUT_CHARGED), tax);
	if (in->aim == AIM_NONE)
		return;
	const char *rate = "0";
	if (in->aim == AIM_MARGIN) {
		page_figure(p, g, row, AIM_RATE, &w->outlet->margin);
		rate = HERE(*g, row, AIM_RATE);
	} else if (in->aim == AIM_MARKUP) {
		page_figure(p, g, row, AIM_RATE, &w->outlet->markup);
	}
	page_live(g, row, AIM_LEFT, 1 - fees - (in->aim == AIM_MARGIN ? in->margin : 0), "1-%s-%s",
		  fee, rate);
	wanted_cell(w);
	point_cells(w);
}

/* ---- prices ---- */

/* The formula, or "none" where there is no price. */
static void price_cell(const struct line *w, uint32_t col, double value, const char *formula)
{
	const struct page *g = &w->p->prices;
	if (w->l->asked)
		page_live_or(g, w->row, col, value, none, "%s", formula);
	else
		page_live_or(g, w->row, col, value, none, "IF(ISNUMBER(%s),%s,\"none\")",
			     aim(w, AIM_POINT_PAID), formula);
}

static const char *here(const struct line *w, uint32_t col)
{
	return HERE(w->p->prices, w->row, col);
}

static void judged_cells(const struct line *w)
{
	struct pages *p = w->p;
	const struct price_at *at = &w->l->at;
	const char *tax = aim(w, AIM_TAX), *charged = out(w, OUT_CHARGED);
	const char *charged_net = text_of(p, "%s/(1+%s)", charged, tax);
	const char *paid = w->l->asked ? here(w, PRICE_ASKED) : aim(w, AIM_POINT_PAID);
	const char *base = w->in->fee_of_net ? text_of(p, "%s+%s", here(w, PRICE_NET), charged_net)
					     : text_of(p, "%s+%s", paid, charged);
	price_cell(w, PRICE_NET, at->net, text_of(p, "%s/(1+%s)", paid, tax));
	price_cell(w, PRICE_FEES, at->fee,
		   text_of(p, "%s*(%s)+%s", out(w, OUT_FEE), base, out(w, OUT_FIXED_EACH)));
	price_cell(w, PRICE_PROFIT, at->profit,
		   text_of(p, "%s+%s-%s-%s", here(w, PRICE_NET), charged_net, here(w, PRICE_FEES),
			   here(w, PRICE_COST)));
	price_cell(w, PRICE_MARGIN, at->margin,
		   text_of(p, "IF(%s<>0,%s/%s,\"none\")", here(w, PRICE_NET), here(w, PRICE_PROFIT),
			   here(w, PRICE_NET)));
	price_cell(w, PRICE_CONTRIBUTION, at->contribution,
		   text_of(p, "%s+%s*%s+%s", here(w, PRICE_PROFIT),
			   AT(p->build, p->piece_row[w->l->piece], BUILD_OVERHEAD),
			   sold(w, SOLD_RATIO), sold(w, SOLD_OVERHEAD)));
}

/* Whether it is said how many of the piece sell at the outlet: only such pieces bear
 * their share of a stall. */
static bool counted_there(const struct line *w)
{
	if (w->l->offer == NONE)
		return false;
	const struct offer *offer = &w->p->farm->pieces[w->l->piece].offers[w->l->offer];
	return offer->likely.given || offer->upto.given;
}

static void hour_cells(const struct line *w)
{
	struct pages *p = w->p;
	const struct page *g = &p->prices;
	const struct price_at *at = &w->l->at;
	uint32_t row = w->row, build = p->piece_row[w->l->piece];
	const char *a_day = out(w, OUT_A_DAY), *hours = here(w, PRICE_HOURS),
		   *ratio = sold(w, SOLD_RATIO);
	const char *at_work = text_of(p, "(%s*%s+%s)/60", AT(p->build, build, BUILD_MINUTES), ratio,
				      sold(w, SOLD_MINUTES));
	if (counted_there(w)) {
		page_live(g, row, PRICE_STALL, at->stall_share, "IF(%s>0,%s/%s,0)", a_day,
			  out(w, OUT_STALL), a_day);
		page_live_or(g, row, PRICE_HOURS, at->hours, none, "%s+IF(%s>0,%s/%s,0)", at_work,
			     a_day, out(w, OUT_HOURS), a_day);
	} else {
		page_number(g, row, PRICE_STALL, 0);
		page_live_or(g, row, PRICE_HOURS, at->hours, none, "%s", at_work);
	}
	price_cell(w, PRICE_PER_HOUR, at->per_hour,
		   text_of(p, "IF(%s>0,(%s+%s*%s+%s-%s)/%s,\"none\")", hours, here(w, PRICE_PROFIT),
			   AT(p->build, build, BUILD_LABOUR), ratio, sold(w, SOLD_LABOUR),
			   here(w, PRICE_STALL), hours));
	if (isnan(at->break_even) && !(w->in->stall_money > 0 || w->in->stall_hours > 0))
		return;
	/* As many whole pieces as cover the day, to a thousand-millionth. */
	const char *dues =
	    text_of(p, "(%s+%s*" NAME_WAGE ")", out(w, OUT_STALL), out(w, OUT_HOURS));
	const char *one = here(w, PRICE_CONTRIBUTION);
	const char *x = text_of(p, "(%s/%s)", dues, one);
	const char *even = text_of(
	    p, "IF(%s<=0,IF(%s>0,\"never\",0),MAX(0,-INT(-(%s-" WHOLE_GUARD "*MAX(1,%s)))))", one,
	    dues, x, x);
	if (isinf(at->break_even))
		page_live_text(g, row, PRICE_EVEN, "never", "%s", even);
	else
		price_cell(w, PRICE_EVEN, at->break_even, even);
}

static const char *verdict(const struct line *w)
{
	const struct price_at *at = &w->l->at;
	if (!w->l->asked)
		return "not asked";
	if (at->profit < 0)
		return "below cost";
	return w->l->aim.point_paid - at->paid > 1e-9 ? "below aim" : "";
}

static void rank_cell(const struct line *w, size_t i)
{
	struct pages *p = w->p;
	const struct page *g = &p->prices;
	uint32_t last = ROW_FIRST + (uint32_t)p->r->prices.n - 1;
	const char *x = here(w, PRICE_PER_HOUR), *before = "";
	const char *all = cells_down(g->s, ROW_FIRST, last, PRICE_PER_HOUR);
	if (i) {
		const char *above = cells_down(g->s, ROW_FIRST, w->row - 1, PRICE_PER_HOUR);
		before = text_of(p, "+SUMPRODUCT((%s>=%s-1E-9)*(%s<=%s+1E-9))", above, x, above, x);
	}
	/* Words count as more than any number, hence the second comparison. */
	page_live_or(g, w->row, PRICE_RANK, p->ranks[i], none,
		     "IF(ISNUMBER(%s),1+SUMPRODUCT((%s>%s+1E-9)*(%s<1E+99))%s,\"none\")", x, all, x,
		     all, before);
}

static void price_row(const struct line *w, size_t i)
{
	struct pages *p = w->p;
	const struct page *g = &p->prices;
	uint32_t row = w->row;
	names(w, g);
	page_live_or(g, row, PRICE_COST, w->l->aim.c, none, "%s", sold(w, SOLD_COST));
	if (w->l->aim.has_aim)
		page_live_or(g, row, PRICE_POINT, w->l->aim.point_paid, "no price", "%s",
			     aim(w, AIM_POINT_PAID));
	else
		page_words(g, row, PRICE_POINT, "no aim");
	if (w->l->asked)
		page_figure(p, g, row, PRICE_ASKED, &w->piece->offers[w->l->offer].price);
	judged_cells(w);
	hour_cells(w);
	rank_cell(w, i);
	const char *point = here(w, PRICE_POINT), *asked = here(w, PRICE_ASKED);
	if (w->l->asked)
		page_live_text(g, row, PRICE_VERDICT, verdict(w),
			       "IF(%s<0,\"below cost\",IF(ISNUMBER(%s),IF(%s-%s>1E-9,\"below "
			       "aim\",\"\"),\"\"))",
			       here(w, PRICE_PROFIT), point, point, asked);
	else
		page_words(g, row, PRICE_VERDICT, verdict(w));
}

void prices_pages(struct pages *p)
{
	const struct prices *prices = &p->r->prices;
	uint32_t n = (uint32_t)prices->n, noutlets = (uint32_t)p->farm->noutlets;
	for (uint32_t i = 0; i < noutlets; i++)
		outlet_row(p, i);
	for (uint32_t i = 0; i < n; i++) {
		const struct price_line *l = &prices->lines[i];
		struct line w = { p,
				  ROW_FIRST + i,
				  ROW_FIRST + l->outlet,
				  l,
				  &l->in,
				  &p->farm->pieces[l->piece],
				  &p->farm->outlets[l->outlet] };
		sold_row(&w);
		aim_row(&w);
		price_row(&w, i);
	}
	if (!noutlets)
		page_nothing(&p->outlets, "No outlets have been named.");
	if (!n) {
		page_nothing(&p->sold, "No piece is sold anywhere yet (sells ...).");
		page_nothing(&p->aims, "No piece is sold anywhere yet (sells ...).");
		page_nothing(&p->prices, "No piece is sold anywhere yet (sells ...).");
	} else {
		static const uint32_t red[] = { PRICE_PROFIT, PRICE_MARGIN, PRICE_CONTRIBUTION,
						PRICE_PER_HOUR };
		for (size_t i = 0; i < sizeof red / sizeof red[0]; i++)
			sheet_redden(p->prices.s, ROW_FIRST, ROW_FIRST + n - 1, red[i]);
	}
	page_end(&p->outlets, ROW_FIRST + noutlets, 1);
	page_end(&p->sold, ROW_FIRST + n, 2);
	page_end(&p->aims, ROW_FIRST + n, 2);
	page_end(&p->prices, ROW_FIRST + n, 2);
}

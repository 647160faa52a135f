/* page_growing.c - what growing the plan costs, crop by crop, and what its targets bring.
 *
 * The stems to cut are solved.  Money and hours follow from them as from a bed on record
 * (reckon/plan_money.c, reckon/stemcost.c); what a target brings, from the sheet Prices. */
#include <math.h>

#include "reckon/stock.h"
#include "report/workbook/pages.h"

enum {
	GROW_CROP,
	GROW_CUT,
	GROW_HUNG,
	GROW_BOXED,
	GROW_METRES,
	GROW_SEED,
	GROW_LAND,
	GROW_GROWING,
	GROW_AFTER,
	GROW_LABOUR,
	GROW_SPENDS,
	GROW_PLANTING,
	GROW_BOUGHT,
	GROW_TOTAL,
	GROW_PER_BOXED,
	GROW_IN_PIECES,
	GROW_PER_USABLE
};
enum {
	TARGET_PIECE,
	TARGET_WHERE,
	TARGET_COUNT,
	TARGET_MAKE,
	TARGET_BY,
	TARGET_ASKED,
	TARGET_CHANCE,
	TARGET_LACKING,
	TARGET_NET,
	TARGET_BRINGS,
	TARGET_EACH,
	TARGET_LEFT
};
enum { MM_PER_M = 1000 };

static const struct book_column growing_columns[] = {
	[GROW_CROP] = { "crop", "Crop", "", SHAPE_TEXT, 20, ORIGIN_VALUE, NULL },
	[GROW_CUT] = { "cut", "Stems to cut", "", SHAPE_WHOLE, 8, ORIGIN_LIVE,
		       "Sheet Planting plan, all its sowings, rounded up together; bought in: to buy." },
	[GROW_HUNG] = { "hung", "Hung", "stems", SHAPE_WHOLE, 8, ORIGIN_LIVE, "Cut x (1 - field loss in use)." },
	[GROW_BOXED] = { "boxed", "Boxed", "stems", SHAPE_WHOLE, 8, ORIGIN_LIVE,
			 "Hung x (1 - drying loss in use); bought in: all." },
	[GROW_METRES] = { "metres", "Bed", "m", SHAPE_TWO, 8, ORIGIN_LIVE, "Sheet Planting plan." },
	[GROW_SEED] = { "seed", "Seed", "$", SHAPE_MONEY, 9, ORIGIN_LIVE, "Packets x price of a packet." },
	[GROW_LAND] = { "land", "Share of the field", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			"Growing per metre x metres of bed." },
	[GROW_GROWING] = { "growing_hours", "Growing", "h", SHAPE_ONE, 9, ORIGIN_LIVE,
			   "Metres x hours a metre: of the crop's beds on the sheet Beds, else of all beds." },
	[GROW_AFTER] = { "after_hours", "Cutting to boxing", "h", SHAPE_ONE, 9.5, ORIGIN_LIVE,
			 "Stems cut, hung and boxed by the rates of `works`." },
	[GROW_LABOUR] = { "labour", "Labour", "$", SHAPE_MONEY, 10, ORIGIN_LIVE, "Hours x full wage." },
	[GROW_SPENDS] = { "spends", "Bands and boxes", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			  "Bundles hung x spent on each + boxes filled x spent on each." },
	[GROW_PLANTING] = { "establishment", "Share of planting", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			    "What stands: what planting it took / years that it bears." },
	[GROW_BOUGHT] = { "bought", "Stems bought", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			  "Stems to buy x what one costs." },
	[GROW_TOTAL] = { "total", "In all", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			 "Seed + field + labour + bands and boxes + planting + bought." },
	[GROW_PER_BOXED] = { "per_boxed", "Per boxed stem", "$", SHAPE_FINE, 10, ORIGIN_LIVE, "In all / boxed." },
	[GROW_IN_PIECES] = { "in_pieces", "Usable of the cut", "stems", SHAPE_WHOLE, 9.5, ORIGIN_SOLVED,
			     "That a usual season leaves of the stems cut." },
	[GROW_PER_USABLE] = { "per_usable", "Per usable stem", "$", SHAPE_FINE, 10.5, ORIGIN_LIVE,
			      "In all / usable of the cut." },
};
const struct book_table growing_table = { "Growing costs",
					  "What growing the plan costs, crop by crop, and what one of its stems comes to.",
					  growing_columns, sizeof growing_columns / sizeof growing_columns[0] };

static const struct book_column target_columns[] = {
	[TARGET_PIECE] = { "piece", "Piece", "", SHAPE_TEXT, 26, ORIGIN_VALUE, NULL },
	[TARGET_WHERE] = { "where", "Where", "", SHAPE_TEXT, 14, ORIGIN_VALUE,
			   "The outlet, or the open order; empty: where it sells first." },
	[TARGET_COUNT] = { "count", "To sell", "", SHAPE_FREE, 8, ORIGIN_SOLVED, NULL },
	[TARGET_MAKE] = { "make", "To make", "", SHAPE_FREE, 8, ORIGIN_SOLVED,
			  "To sell / (1 - what spoils there), rounded up." },
	[TARGET_BY] = { "by", "By", "", SHAPE_DATE, 11, ORIGIN_VALUE, NULL },
	[TARGET_ASKED] = { "asked_sure", "Asked sure", "", SHAPE_SHARE, 8, ORIGIN_SOLVED, NULL },
	[TARGET_CHANCE] = { "is_sure", "Is sure", "", SHAPE_PERCENT, 8, ORIGIN_SOLVED,
			    "The chance that all its stems are there by its day, with the stems planned." },
	[TARGET_LACKING] = { "lacking", "Stems lacking", "", SHAPE_WHOLE, 8, ORIGIN_SOLVED,
			     "Usable stems that cannot be there by its day." },
	[TARGET_NET] = { "net", "Price before tax", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			 "Sheet Prices; of an order with a price of its own, that one." },
	[TARGET_BRINGS] = { "brings", "Brings", "$", SHAPE_MONEY, 11, ORIGIN_LIVE, "To sell x price before tax." },
	[TARGET_EACH] = { "each", "Left of one", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			  "After fees, sending, supplies and paid labour; stems and overhead not taken off." },
	[TARGET_LEFT] = { "left", "Left", "$", SHAPE_MONEY, 11, ORIGIN_LIVE, "To sell x left of one." },
};
const struct book_table targets_table = { "Targets",
					  "What the planting plan is for, how sure it is, and what it brings at the prices of today.",
					  target_columns, sizeof target_columns / sizeof target_columns[0] };

/* ---- growing: one crop ---- */

/* Its stems on the Planting plan; several sowings are each rounded up there, which counts only once here. */
static void stems_to_cut(struct pages *p, uint32_t row, struct rows rows, const struct plan_crop *of)
{
	const struct page *g = &p->growing;
	const char *there = cells_far(p->plan.s, rows.first, rows.last, PLAN_CUT);
	int64_t sum = 0;
	for (size_t i = 0; i < of->nsowings; i++)
		sum += of->sowings[i].planned || of->source == PLAN_STANDING ? of->sowings[i].stems : 0;
	if (rows.last > rows.first && sum != of->cut)
		page_live(g, row, GROW_CUT, (double)of->cut, "SUM(%s)-%s", there,
			  number_ref(p, (double)(sum - of->cut)));
	else
		page_live(g, row, GROW_CUT, (double)of->cut, "SUM(%s)", there);
}

/* Packets x their price, or the mean of several. */
static void seed_money(struct pages *p, uint32_t row, uint32_t crop, const struct plan_crop *of)
{
	const struct crop *c = &p->farm->crops[crop];
	const struct sowing *one = plan_one_line(of, c);
	const char *prices = "", *packets = AT(p->plan, p->crop_plan[crop].first, PLAN_PACKETS);
	int n = 0;
	for (size_t i = 0; i < of->nsowings; i++) {
		const struct plan_sowing *s = &of->sowings[i];
		n += s->planned;
		if (s->planned && s->sows != NONE && c->sowings[s->sows].seed_price.given)
			prices = text_of(p, "%s+%s", prices, fig_ref(p, &c->sowings[s->sows].seed_price));
	}
	if (!*prices)
		return;
	if (one)
		page_live(&p->growing, row, GROW_SEED, of->money.seed, "%s*%s", packets,
			  fig_ref(p, &one->seed_price));
	else
		page_live(&p->growing, row, GROW_SEED, of->money.seed, "%s*(%s)/%d", packets, prices + 1, n);
}

/* Hours of growing for a metre of bed, by these rows of the sheet Beds. */
static const char *hours_a_metre(struct pages *p, uint32_t first, uint32_t last, const char *without)
{
	const char *metres = cells_far(p->beds.s, first, last, BEDS_METRES);
	return text_of(p, "IF(SUM(%s)>0,SUMPRODUCT((%s>0)*%s)/SUM(%s),%s)", metres, metres,
		       cells_far(p->beds.s, first, last, BEDS_HOURS), metres, without);
}

static void growing_hours(struct pages *p, uint32_t row, uint32_t crop, double hours)
{
	const struct page *g = &p->growing;
	struct rows own = p->crop_beds[crop];
	if (!p->farm->nbeds) {
		page_number(g, row, GROW_GROWING, 0);
		return;
	}
	const char *each = hours_a_metre(p, ROW_FIRST, ROW_FIRST + (uint32_t)p->farm->nbeds - 1, "0");
	if (own.last >= own.first)
		each = hours_a_metre(p, own.first, own.last, each);
	page_live(g, row, GROW_GROWING, hours, "%s*%s", HERE(*g, row, GROW_METRES), each);
}

/* From the bed to the box, and what both cost. */
static void grown_cells(struct pages *p, uint32_t row, uint32_t crop, const struct plan_crop *of)
{
	const struct page *g = &p->growing;
	const struct crop *c = &p->farm->crops[crop];
	const struct plan_money *m = &of->money;
	const char *cut = HERE(*g, row, GROW_CUT), *hung = HERE(*g, row, GROW_HUNG);
	const char *boxed = HERE(*g, row, GROW_BOXED);
	struct rows rows = p->crop_plan[crop];
	double dried = 1 - rates_at(p->r->stock.rates, crop, STAGE_DRYING);
	page_live(g, row, GROW_HUNG, dried > 0 ? m->boxed / dried : 0, "%s*(1-%s)", cut,
		  loss_used_ref(p, crop, STAGE_FIELD));
	page_live(g, row, GROW_BOXED, m->boxed, "%s*(1-%s)", hung, loss_used_ref(p, crop, STAGE_DRYING));
	if (of->metres > 0) {
		page_live(g, row, GROW_METRES, of->metres / MM_PER_M, "SUM(%s)",
			  cells_far(p->plan.s, rows.first, rows.last, PLAN_METRES));
		page_live(g, row, GROW_LAND, m->land, "%s*%s", fig_ref(p, &p->farm->business.growing),
			  HERE(*g, row, GROW_METRES));
		growing_hours(p, row, crop, m->growing_hours);
	}
	if (of->source == PLAN_SOWN)
		seed_money(p, row, crop, of);
	const char *seconds = text_of(p, "%s%s", cutting_seconds(p, c, cut), drying_seconds(p, c, cut, hung, boxed));
	const char *spends = drying_spends(p, c, hung, boxed);
	if (*seconds)
		page_live(g, row, GROW_AFTER, m->cutting_hours + m->drying_hours, "(%s)/3600",
			  seconds + 1);
	page_live(g, row, GROW_LABOUR, m->labour, "(%s+%s)*" NAME_WAGE, HERE(*g, row, GROW_GROWING),
		  HERE(*g, row, GROW_AFTER));
	if (spends)
		page_live(g, row, GROW_SPENDS, m->spends, "%s", spends);
	if (of->source == PLAN_STANDING && c->standing.establishment.given)
		page_live(g, row, GROW_PLANTING, m->establishment, "%s/MAX(%s,1)",
			  fig_ref(p, &c->standing.establishment), fig_ref(p, &c->standing.bears));
}

static void growing_row(struct pages *p, uint32_t row, uint32_t crop)
{
	const struct page *g = &p->growing;
	const struct crop *c = &p->farm->crops[crop];
	const struct plan_crop *of = &p->solved->plan->crops[crop];
	const struct plan_money *m = &of->money;
	const char *total = HERE(*g, row, GROW_TOTAL), *boxed = HERE(*g, row, GROW_BOXED);
	page_text(g, row, GROW_CROP, c->head.name);
	stems_to_cut(p, row, p->crop_plan[crop], of);
	if (of->source == PLAN_BOUGHT) {
		page_live(g, row, GROW_BOXED, m->boxed, "%s", HERE(*g, row, GROW_CUT));
		page_live(g, row, GROW_BOUGHT, m->bought, "%s*%s", HERE(*g, row, GROW_CUT), fig_ref(p, &c->bought));
	} else {
		grown_cells(p, row, crop, of);
	}
	page_live(g, row, GROW_TOTAL, m->total, "SUM(%s:%s)+SUM(%s:%s)", HERE(*g, row, GROW_SEED),
		  HERE(*g, row, GROW_LAND), HERE(*g, row, GROW_LABOUR), HERE(*g, row, GROW_BOUGHT));
	if (m->boxed > 0)
		page_live(g, row, GROW_PER_BOXED, m->per_boxed, "IF(%s>0,%s/%s,0)", boxed, total, boxed);
	if (!(m->per_usable > 0))
		return;
	page_number(g, row, GROW_IN_PIECES, m->total / m->per_usable);
	page_live(g, row, GROW_PER_USABLE, m->per_usable, "%s/%s", total, HERE(*g, row, GROW_IN_PIECES));
}

static void growing_sum(struct pages *p, uint32_t row)
{
	static const uint32_t cols[] = { GROW_METRES, GROW_SEED, GROW_LAND, GROW_GROWING, GROW_AFTER,
					 GROW_LABOUR, GROW_SPENDS, GROW_PLANTING, GROW_BOUGHT, GROW_TOTAL };
	const struct plan_money *m = &p->solved->plan->money;
	double metres = 0;
	struct page g = p->growing;
	g.style = STYLE_TOTAL;
	for (uint32_t i = 0; i < p->farm->ncrops; i++) {
		const struct plan_crop *c = &p->solved->plan->crops[i];
		metres += c->cut > 0 && c->source != PLAN_BOUGHT ? c->metres / MM_PER_M : 0;
	}
	double sums[] = { metres, m->seed, m->land, m->growing_hours, m->cutting_hours + m->drying_hours,
			  m->labour, m->spends, m->establishment, m->bought, m->total };
	for (uint32_t c = 0; c < g.table->ncolumns; c++)
		page_blank(&g, row, c);
	page_words(&g, row, GROW_CROP, "Together");
	for (size_t i = 0; i < sizeof cols / sizeof cols[0]; i++)
		page_live(&g, row, cols[i], sums[i], "SUM(%s)", cells_down(g.s, ROW_FIRST, row - 1, cols[i]));
	p->growing_sum = row;
}

void growing_page(struct pages *p)
{
	uint32_t row = ROW_FIRST;
	for (uint32_t i = 0; i < p->farm->ncrops; i++) {
		if (p->crop_plan[i].last >= p->crop_plan[i].first)
			growing_row(p, row++, i);
	}
	page_end(&p->growing, row, 1);
	if (row == ROW_FIRST) {
		page_nothing(&p->growing, "Nothing has to be grown.");
		return;
	}
	page_stale(p, &p->growing, INPUT_PLAN);
	growing_sum(p, row);
}

/* ---- targets ---- */

/* Of each order, its row on the sheet Orders, where it is open. */
static void number_orders(struct pages *p)
{
	uint32_t row = ROW_FIRST;
	p->order_row = ARENA_ARRAY(p->arena, p->farm->norders + 1, uint32_t);
	for (size_t i = 0; i < p->farm->norders; i++) {
		p->order_row[i] = row;
		row += stock_order_open(&p->farm->orders[i], p->r->on);
	}
}

/* At the price of the sheet Prices, or at the order's own, which fees and tax follow. */
static void target_money(struct pages *p, uint32_t row, const struct plan_line *l)
{
	static const char none[] = "no price";
	const struct page *g = &p->targets;
	uint32_t at = ROW_FIRST + l->price_line;
	const char *asked = AT(p->prices, at, PRICE_NET), *net = HERE(*g, row, TARGET_NET);
	const char *left = AT(p->prices, at, PRICE_CONTRIBUTION), *count = HERE(*g, row, TARGET_COUNT);
	const char *stems = text_of(p, "%s*%s", AT(p->build, p->piece_row[l->wish.piece], BUILD_STEMS),
				    AT(p->sold, at, SOLD_RATIO));
	bool own = l->order != NONE && !isnan(p->farm->orders[l->order].price);
	if (own) {
		page_live(g, row, TARGET_NET, l->revenue / l->wish.count, "%s/(1+%s)",
			  AT(p->orders, p->order_row[l->order], ORDER_PRICE), AT(p->aims, at, AIM_TAX));
		left = text_of(p, "%s+(%s-%s)*(1-%s)", left, net, asked, AT(p->aims, at, AIM_FEE));
	} else {
		page_live_or(g, row, TARGET_NET, l->revenue / l->wish.count, none, "%s", asked);
	}
	page_live(g, row, TARGET_BRINGS, l->revenue, "%s*N(%s)", count, net);
	page_live_or(g, row, TARGET_EACH, l->contribution / l->wish.count, none,
		     "IF(ISNUMBER(%s),%s+%s,\"%s\")", asked, left, stems, none);
	page_live(g, row, TARGET_LEFT, l->contribution, "%s*N(%s)", count, HERE(*g, row, TARGET_EACH));
}

static void target_row(struct pages *p, uint32_t row, const struct plan_line *l)
{
	const struct page *g = &p->targets;
	page_text(g, row, TARGET_PIECE, p->farm->pieces[l->wish.piece].head.name);
	if (l->order != NONE)
		page_words(g, row, TARGET_WHERE, text_of(p, "order %.*s", STR_ARG(p->farm->orders[l->order].id)));
	else if (l->wish.outlet != NONE)
		page_text(g, row, TARGET_WHERE, p->farm->outlets[l->wish.outlet].head.name);
	page_number(g, row, TARGET_COUNT, l->wish.count);
	page_number(g, row, TARGET_MAKE, l->make);
	page_date(g, row, TARGET_BY, l->wish.by);
	page_number(g, row, TARGET_ASKED, l->wish.sure);
	page_number(g, row, TARGET_CHANCE, l->chance);
	page_number(g, row, TARGET_LACKING, l->lacking > 0.5 ? l->lacking : NAN);
	/* An order for which nothing is grown brings its money with or without the plan. */
	if (l->price_line != NONE && (l->order == NONE || l->pools))
		target_money(p, row, l);
}

/* A line below the sum: words, and a number in the last column. */
static uint32_t below(struct pages *p, uint32_t row, int look, const char *words, double value, const char *formula)
{
	const struct page *g = &p->targets;
	sheet_text(g->s, row, TARGET_PIECE, look, str_of(words));
	page_live(g, row, TARGET_LEFT, value, "%s", formula);
	return row + 1;
}

static void target_sums(struct pages *p, uint32_t row)
{
	static const uint32_t cols[] = { TARGET_COUNT, TARGET_MAKE, TARGET_BRINGS, TARGET_LEFT };
	const struct plan *plan = p->solved->plan;
	struct page g = p->targets;
	double cost = plan->money.total, sums[4] = { 0, 0, plan->revenue, plan->contribution + cost };
	g.style = STYLE_TOTAL;
	for (uint32_t c = 0; c < g.table->ncolumns; c++)
		page_blank(&g, row, c);
	for (size_t i = 0; i < plan->nlines; i++) {
		bool shown = plan_line_grows(&plan->lines[i]);
		sums[0] += shown ? plan->lines[i].wish.count : 0;
		sums[1] += shown ? plan->lines[i].make : 0;
	}
	page_words(&g, row, TARGET_PIECE, "Together");
	for (size_t i = 0; i < 4; i++)
		page_live(&g, row, cols[i], sums[i], "SUM(%s)", cells_down(g.s, ROW_FIRST, row - 1, cols[i]));
	const char *left = HERE(g, row, TARGET_LEFT), *grown = HERE(g, row + 1, TARGET_LEFT);
	row = below(p, row + 1, LOOK(PLAIN, TEXT), "Growing it costs", cost,
		    p->growing_sum ? AT(p->growing, p->growing_sum, GROW_TOTAL) : "0");
	row = below(p, row, LOOK(STRONG, TEXT), "Left for overhead and you", plan->contribution, text_of(p, "%s-%s", left, grown));
	sheet_redden(g.s, row - 1, row - 1, TARGET_LEFT);
	if (plan->unpriced)
		sheet_text(g.s, row, 0, LOOK(SAYS, TEXT), STR("What has no price is not counted in what it brings."));
}

void targets_page(struct pages *p)
{
	const struct plan *plan = p->solved ? p->solved->plan : NULL;
	uint32_t row = ROW_FIRST;
	number_orders(p);
	for (size_t i = 0; plan && i < plan->nlines; i++) {
		if (plan_line_grows(&plan->lines[i]))
			target_row(p, row++, &plan->lines[i]);
	}
	page_end(&p->targets, row, 1);
	if (row == ROW_FIRST) {
		page_nothing(&p->targets, plan && plan->nlines
					      ? "The open orders need nothing grown: what is there will do."
					      : "The farm has no targets yet: say what you want to sell, in a "
						"`target` block.");
		return;
	}
	page_stale(p, &p->targets, INPUT_PLAN);
	target_sums(p, row);
}

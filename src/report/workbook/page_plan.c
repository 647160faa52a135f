/* page_plan.c - next season's plantings: how much, when, at what cost, and for what.
 *
 * How many stems are to be cut, and how many cells to sow for that, is solved.  What
 * follows from them follows here too, by the formulas of reckon/plan_beds.c. */
#include <math.h>

#include "report/workbook/pages.h"

enum {
	PLAN_CROP,
	PLAN_FROM,
	PLAN_USABLE,
	PLAN_THERE,
	PLAN_CUT,
	PLAN_PLANTS,
	PLAN_CELLS,
	PLAN_TRAYS,
	PLAN_SEEDS,
	PLAN_PACKETS,
	PLAN_METRES,
	PLAN_SOW,
	PLAN_OUT,
	PLAN_FIRST,
	PLAN_LAST,
	PLAN_BOXED,
	PLAN_SEED,
	PLAN_LAND,
	PLAN_HOURS,
	PLAN_LABOUR,
	PLAN_OTHER,
	PLAN_TOTAL,
	PLAN_IN_PIECES,
	PLAN_EACH
};
enum {
	COLOURS_MOST = 12, /* more would make too long a formula */
	MM_PER_M = 1000
};

static const struct book_column plan_columns[] = {
	[PLAN_CROP] = { "crop", "Crop", "", SHAPE_TEXT, 20, ORIGIN_VALUE,
			"One row a sowing; what holds for the crop stands in its first row." },
	[PLAN_FROM] = { "source", "Where from", "", SHAPE_TEXT, 10, ORIGIN_VALUE,
			"sown, standing, bought, gathered; stock: what there is will do. day over: it should have been "
			"sown before." },
	[PLAN_USABLE] = { "usable", "Usable needed", "stems", SHAPE_WHOLE, 8, ORIGIN_SOLVED,
			  "In all pieces asked for." },
	[PLAN_THERE] = { "there", "of these there", "stems", SHAPE_WHOLE, 8, ORIGIN_SOLVED,
			 "In boxes and on the drying line." },
	[PLAN_CUT] = { "cut", "Stems to cut", "", SHAPE_WHOLE, 8, ORIGIN_SOLVED,
		       "In a usual season, after all losses and as sure as was asked; bought: to buy." },
	[PLAN_PLANTS] = { "plants", "Plants", "", SHAPE_WHOLE, 8, ORIGIN_LIVE,
			  "Stems / (stems per plant x share that lives), rounded up; standing: that stand." },
	[PLAN_CELLS] = { "cells", "Cells", "to sow", SHAPE_WHOLE, 8, ORIGIN_SOLVED,
			 "So many that enough plants come up; sown direct: spots." },
	[PLAN_TRAYS] = { "trays", "Trays", "", SHAPE_WHOLE, 6, ORIGIN_LIVE, "Cells / cells in a tray, rounded up." },
	[PLAN_SEEDS] = { "seeds", "Seeds", "", SHAPE_WHOLE, 8, ORIGIN_LIVE, "Cells x seeds in a cell." },
	[PLAN_PACKETS] = { "packets", "Seed packets", "", SHAPE_WHOLE, 8, ORIGIN_LIVE,
			   "Of each colour its share of the seeds / seeds in a packet, rounded up." },
	[PLAN_METRES] = { "metres", "Bed", "m", SHAPE_TWO, 8, ORIGIN_LIVE,
			  "Plants / rows, rounded up, x spacing." },
	[PLAN_SOW] = { "sow", "Sow", "", SHAPE_DATE, 11, ORIGIN_VALUE, NULL },
	[PLAN_OUT] = { "plant_out", "Plant out", "", SHAPE_DATE, 11, ORIGIN_VALUE, "Sown direct: that day." },
	[PLAN_FIRST] = { "first_cut", "First cut", "", SHAPE_DATE, 11, ORIGIN_VALUE, NULL },
	[PLAN_LAST] = { "last_cut", "Last cut", "", SHAPE_DATE, 11, ORIGIN_VALUE, NULL },
	[PLAN_BOXED] = { "last_boxed", "Last boxed", "", SHAPE_DATE, 11, ORIGIN_VALUE, "The last cut is dry." },
	[PLAN_SEED] = { "seed", "Seed", "$", SHAPE_MONEY, 9, ORIGIN_LIVE, "Packets x price of a packet." },
	[PLAN_LAND] = { "land", "Share of the field", "$", SHAPE_MONEY, 9, ORIGIN_LIVE,
			"Growing per metre x metres of bed." },
	[PLAN_HOURS] = { "hours", "Hours", "h", SHAPE_ONE, 8, ORIGIN_LIVE,
			 "Growing, by the metre of bed; cutting to boxing, as reckoned for the stems." },
	[PLAN_LABOUR] = { "labour", "Labour", "$", SHAPE_MONEY, 9, ORIGIN_LIVE, "Hours x full wage." },
	[PLAN_OTHER] = { "other", "Other", "$", SHAPE_MONEY, 9, ORIGIN_VALUE,
			 "Bands and boxes, a standing bed's share of its planting, stems bought in." },
	[PLAN_TOTAL] = { "total", "In all", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			 "Seed + field + labour + other." },
	[PLAN_IN_PIECES] = { "in_pieces", "Usable of the cut", "stems", SHAPE_WHOLE, 8, ORIGIN_SOLVED,
			     "That a usual season leaves of the stems cut." },
	[PLAN_EACH] = { "per_usable", "Per usable stem", "$", SHAPE_FINE, 9, ORIGIN_LIVE,
			"In all / usable of the cut." },
};
const struct book_table plan_table = { "Planting plan",
				       "What to sow and plant for what is to be sold, when, and what it costs. Stems to cut, cells and "
				       "days stand as they were; what is reckoned from them follows.",
				       plan_columns, sizeof plan_columns / sizeof plan_columns[0] };

/* ---- formulas ---- */

/* Rounded up as loss_cover() does. */
static const char *cover(struct pages *p, const char *x)
{
	return text_of(p, "(-INT(-(%s-" WHOLE_GUARD "*MAX(1,%s))))", x, x);
}

static const char *given_or_1(struct pages *p, const struct fig *fig)
{
	return fig->given ? fig_ref(p, fig) : "1";
}

static void count_or_blank(const struct page *g, uint32_t row, uint32_t col, double n)
{
	page_number(g, row, col, n > 0 ? n : NAN);
}

/* ---- a sowing ---- */

static void plants_cells(struct pages *p, uint32_t row, const struct crop *c, const struct plan_sowing *s)
{
	const struct page *g = &p->plan;
	const struct cutting *k = &c->cutting;
	const struct planting *l = s->plants == NONE ? NULL : &c->plantings[s->plants];
	bool range = !k->per_plant.given && k->low.given && k->high.given && k->high.v > 0;
	const char *each = range ? text_of(p, "((%s+%s)/2)", fig_ref(p, &k->low), fig_ref(p, &k->high))
				 : fig_ref(p, &k->per_plant);
	if (l && l->live.given)
		each = text_of(p, "(%s*%s)", each, fig_ref(p, &l->live));
	page_live(g, row, PLAN_PLANTS, (double)s->plants_out, "IF(%s>0,%s,0)", each,
		  cover(p, text_of(p, "%s/%s", HERE(*g, row, PLAN_CUT), each)));
	if (!l || !l->apart.given)
		return;
	page_live(g, row, PLAN_METRES, s->metres / MM_PER_M, "%s*%s/%d",
		  cover(p, text_of(p, "%s/MAX(%s,1)", HERE(*g, row, PLAN_PLANTS), given_or_1(p, &l->rows))),
		  fig_ref(p, &l->apart), MM_PER_M);
}

/* Plants of whole rows, each with its own space. */
static void standing_plants(struct pages *p, uint32_t row, const struct crop *c, const struct plan_sowing *s)
{
	const struct page *g = &p->plan;
	const char *x = text_of(p, "%s*%d/%s", HERE(*g, row, PLAN_METRES), MM_PER_M,
				fig_ref(p, &c->plantings[0].apart));
	page_live(g, row, PLAN_PLANTS, (double)s->plants_out, "INT(%s+" WHOLE_GUARD "*MAX(1,%s))*INT(%s)", x, x,
		  given_or_1(p, &c->plantings[0].rows));
}

static void seed_cells(struct pages *p, uint32_t row, const struct crop *c, const struct plan_sowing *s)
{
	const struct page *g = &p->plan;
	const struct sowing *l = &c->sowings[s->sows];
	const char *cells = HERE(*g, row, PLAN_CELLS);
	page_number(g, row, PLAN_CELLS, (double)s->cells);
	if (!l->direct && l->cells.given)
		page_live(g, row, PLAN_TRAYS, (double)s->trays, "%s",
			  cover(p, text_of(p, "%s/%s", cells, fig_ref(p, &l->cells))));
	page_live(g, row, PLAN_SEEDS, (double)s->seeds, "%s",
		  cover(p, text_of(p, "%s*%s", cells, l->direct ? "1" : given_or_1(p, &l->seeds_per_cell))));
}

static void sowing_row(struct pages *p, uint32_t row, const struct crop *c, const struct plan_crop *of,
		       const struct plan_sowing *s)
{
	const struct page *g = &p->plan;
	page_number(g, row, PLAN_CUT, (double)s->stems);
	page_date(g, row, PLAN_SOW, s->sow);
	page_date(g, row, PLAN_OUT, s->plant);
	page_date(g, row, PLAN_FIRST, s->first_cut);
	page_date(g, row, PLAN_LAST, s->last_cut);
	page_date(g, row, PLAN_BOXED, s->last_boxed);
	if (of->source == PLAN_STANDING) {
		if (s->plants_out > 0)
			standing_plants(p, row, c, s);
		page_live(g, row, PLAN_METRES, s->metres / MM_PER_M, "%s/%d",
			  fig_ref(p, &c->standing.metres), MM_PER_M);
		return;
	}
	if (s->plants_out > 0)
		plants_cells(p, row, c, s);
	if (s->sows != NONE && s->cells > 0)
		seed_cells(p, row, c, s);
}

/* ---- a crop ---- */

/* The line `sows` that all its sowings share; NULL: none, or several. */
static const struct sowing *one_line(const struct plan_crop *of, const struct crop *c)
{
	uint32_t line = NONE;
	for (size_t i = 0; i < of->nsowings; i++) {
		const struct plan_sowing *s = &of->sowings[i];
		if (!s->planned)
			continue;
		if (s->sows == NONE || (line != NONE && line != s->sows))
			return NULL;
		line = s->sows;
	}
	return line == NONE ? NULL : &c->sowings[line];
}

static void packets(struct pages *p, struct rows rows, const struct crop *c, const struct plan_crop *of)
{
	const struct page *g = &p->plan;
	const struct sowing *l = one_line(of, c);
	const char *sum = "", *seeds = text_of(p, "SUM(%s)", cells_down(g->s, rows.first, rows.last, PLAN_SEEDS));
	bool live = l && l->seed_count.given && of->ncolours && of->ncolours <= COLOURS_MOST && of->cut > 0;
	if (rows.first == rows.last)
		seeds = HERE(*g, rows.first, PLAN_SEEDS);
	for (size_t i = 0; live && i < of->ncolours; i++) {
		double part = of->colours[i].exact / (double)of->cut;
		const char *own = cover(p, text_of(p, "%s*%s", number_ref(p, part), seeds));
		sum = text_of(p, "%s%s%s", sum, *sum ? "+" : "",
			      cover(p, text_of(p, "%s/%s", own, fig_ref(p, &l->seed_count))));
	}
	if (live)
		page_live(g, rows.first, PLAN_PACKETS, (double)of->packets, "%s", sum);
	else
		count_or_blank(g, rows.first, PLAN_PACKETS, (double)of->packets);
}

/* Packets x their price, or the mean of several. */
static void seed_money(struct pages *p, struct rows rows, const struct crop *c, const struct plan_crop *of)
{
	const struct page *g = &p->plan;
	const char *prices = "";
	int n = 0;
	for (size_t i = 0; i < of->nsowings; i++) {
		const struct plan_sowing *s = &of->sowings[i];
		n += s->planned;
		if (s->planned && s->sows != NONE && c->sowings[s->sows].seed_price.given)
			prices = text_of(p, "%s+%s", prices, fig_ref(p, &c->sowings[s->sows].seed_price));
	}
	const char *count = HERE(*g, rows.first, PLAN_PACKETS);
	if (!*prices)
		return;
	if (one_line(of, c))
		page_live(g, rows.first, PLAN_SEED, of->money.seed, "%s*%s", count,
			  fig_ref(p, &one_line(of, c)->seed_price));
	else
		page_live(g, rows.first, PLAN_SEED, of->money.seed, "%s*(%s)/%d", count, prices + 1, n);
}

static void money_cells(struct pages *p, struct rows rows, const struct plan_crop *of)
{
	const struct page *g = &p->plan;
	const struct plan_money *m = &of->money;
	uint32_t row = rows.first;
	double metres = of->metres / MM_PER_M, after = m->cutting_hours + m->drying_hours;
	const char *bed = text_of(p, "SUM(%s)", cells_down(g->s, rows.first, rows.last, PLAN_METRES));
	if (metres > 0) {
		page_live(g, row, PLAN_LAND, m->land, "%s*%s", fig_ref(p, &p->farm->business.growing), bed);
		page_live(g, row, PLAN_HOURS, m->growing_hours + after, "%s*%s+%s",
			  number_ref(p, m->growing_hours / metres), bed, number_ref(p, after));
	} else {
		page_number(g, row, PLAN_HOURS, after);
	}
	page_live(g, row, PLAN_LABOUR, m->labour, "%s*" NAME_WAGE, HERE(*g, row, PLAN_HOURS));
	page_number(g, row, PLAN_OTHER, m->spends + m->establishment + m->bought);
	page_live(g, row, PLAN_TOTAL, m->total, "SUM(%s:%s)+SUM(%s:%s)", HERE(*g, row, PLAN_SEED),
		  HERE(*g, row, PLAN_LAND), HERE(*g, row, PLAN_LABOUR), HERE(*g, row, PLAN_OTHER));
	if (!(m->per_usable > 0))
		return;
	page_number(g, row, PLAN_IN_PIECES, m->total / m->per_usable);
	page_live(g, row, PLAN_EACH, m->per_usable, "%s/%s", HERE(*g, row, PLAN_TOTAL),
		  HERE(*g, row, PLAN_IN_PIECES));
}

static uint32_t crop_rows(struct pages *p, uint32_t row, uint32_t crop)
{
	const struct page *g = &p->plan;
	const struct crop *c = &p->farm->crops[crop];
	const struct plan_crop *of = &p->solved->plan->crops[crop];
	struct rows rows = { row, row };
	for (size_t i = 0; of->cut > 0 && i < of->nsowings; i++) {
		if (!of->sowings[i].planned && of->source != PLAN_STANDING)
			continue;
		page_text(g, row, PLAN_CROP, c->head.name);
		page_words(g, row, PLAN_FROM,
			   text_of(p, "%s%s", plan_source_name(of->source),
				   of->sowings[i].past ? ", day over" : ""));
		sowing_row(p, row++, c, of, &of->sowings[i]);
	}
	if (row == rows.first) { /* bought, gathered, there already, or in vain */
		page_text(g, row, PLAN_CROP, c->head.name);
		page_words(g, row, PLAN_FROM, plan_source_name(of->source));
		page_number(g, row++, PLAN_CUT, (double)of->cut);
	}
	rows.last = row - 1;
	page_number(g, rows.first, PLAN_USABLE, of->stems);
	page_number(g, rows.first, PLAN_THERE, of->stock + of->hanging);
	if (of->cut <= 0)
		return row;
	if (of->source == PLAN_SOWN) {
		packets(p, rows, c, of);
		seed_money(p, rows, c, of);
	}
	money_cells(p, rows, of);
	return row;
}

/* ---- below ---- */

static void total_row(struct pages *p, uint32_t row)
{
	static const uint32_t summed[] = { PLAN_USABLE, PLAN_THERE, PLAN_CUT,	PLAN_PLANTS, PLAN_CELLS,
					   PLAN_TRAYS,	PLAN_SEEDS, PLAN_PACKETS, PLAN_METRES, PLAN_SEED,
					   PLAN_LAND,	PLAN_HOURS, PLAN_LABOUR, PLAN_OTHER,   PLAN_TOTAL };
	const struct plan *plan = p->solved->plan;
	double sums[PLAN_EACH + 1] = { 0 };
	struct page g = p->plan;
	g.style = STYLE_TOTAL;
	for (uint32_t i = 0; i < p->farm->ncrops; i++) {
		const struct plan_crop *c = &plan->crops[i];
		sums[PLAN_USABLE] += c->stems;
		sums[PLAN_THERE] += c->stock + c->hanging;
		if (c->cut <= 0)
			continue;
		double cut = 0, plants = 0;
		for (size_t k = 0; k < c->nsowings; k++) {
			bool row_of = c->sowings[k].planned || c->source == PLAN_STANDING;
			cut += row_of ? (double)c->sowings[k].stems : 0;
			plants += row_of ? (double)c->sowings[k].plants_out : 0;
		}
		sums[PLAN_CUT] += c->nsowings ? cut : (double)c->cut;
		sums[PLAN_PLANTS] += plants;
		sums[PLAN_CELLS] += (double)c->cells;
		sums[PLAN_TRAYS] += (double)c->trays;
		sums[PLAN_SEEDS] += (double)c->seeds;
		sums[PLAN_PACKETS] += (double)c->packets;
		sums[PLAN_METRES] += c->metres / MM_PER_M;
	}
	const struct plan_money *m = &plan->money;
	sums[PLAN_SEED] = m->seed;
	sums[PLAN_LAND] = m->land;
	sums[PLAN_HOURS] = m->growing_hours + m->cutting_hours + m->drying_hours;
	sums[PLAN_LABOUR] = m->labour;
	sums[PLAN_OTHER] = m->spends + m->establishment + m->bought;
	sums[PLAN_TOTAL] = m->total;
	for (uint32_t i = 0; i < g.table->ncolumns; i++)
		page_blank(&g, row, i);
	page_words(&g, row, PLAN_CROP, "Together");
	for (size_t i = 0; i < sizeof summed / sizeof summed[0]; i++)
		page_live(&g, row, summed[i], sums[summed[i]], "SUM(%s)",
			  cells_down(g.s, ROW_FIRST, row - 1, summed[i]));
}

/* Bed of the plan against what there is: label, and metres in their column. */
static uint32_t bed_rows(struct pages *p, uint32_t total)
{
	const struct page *g = &p->plan;
	const struct fig *beds = &p->farm->business.beds;
	const struct plan *plan = p->solved->plan;
	double listed = 0, all = plan->metres / MM_PER_M, most = beds->v / MM_PER_M;
	uint32_t row = total + 2;
	for (uint32_t i = 0; i < p->farm->ncrops; i++)
		listed += plan->crops[i].cut > 0 ? plan->crops[i].metres / MM_PER_M : 0;
	sheet_text(g->s, row, PLAN_CROP, LOOK(PLAIN, TEXT), STR("Bed that stands besides"));
	page_number(g, row, PLAN_METRES, fmax(0, all - listed));
	sheet_text(g->s, row + 1, PLAN_CROP, LOOK(PLAIN, TEXT), STR("Bed taken in all"));
	page_live(g, row + 1, PLAN_METRES, all, "%s+%s", HERE(*g, total, PLAN_METRES), HERE(*g, row, PLAN_METRES));
	sheet_text(g->s, row + 2, PLAN_CROP, LOOK(PLAIN, TEXT), STR("Bed there is"));
	if (!beds->given) {
		sheet_text(g->s, row + 2, PLAN_METRES, LOOK(FAINT, TWO), STR("not said"));
		return row + 3;
	}
	page_live(g, row + 2, PLAN_METRES, most, "%s/%d", fig_ref(p, beds), MM_PER_M);
	sheet_text(g->s, row + 3, PLAN_CROP, LOOK(STRONG, TEXT), STR("Bed left"));
	page_live(g, row + 3, PLAN_METRES, most - all, "%s-%s", HERE(*g, row + 2, PLAN_METRES),
		  HERE(*g, row + 1, PLAN_METRES));
	sheet_redden(g->s, row + 3, row + 3, PLAN_METRES);
	return row + 4;
}

/* What it is for: in columns that are wide enough for it. */
static const struct {
	uint32_t col;
	enum shape shape;
	const char *head;
} target_heads[] = {
	{ PLAN_CROP, SHAPE_TEXT, "Piece" },	   { PLAN_CUT, SHAPE_TEXT, "Where" },
	{ PLAN_PACKETS, SHAPE_FREE, "To sell" },   { PLAN_METRES, SHAPE_FREE, "To make" },
	{ PLAN_SOW, SHAPE_DATE, "By" },		   { PLAN_OUT, SHAPE_SHARE, "Asked sure" },
	{ PLAN_FIRST, SHAPE_PERCENT, "Is sure" },  { PLAN_LAST, SHAPE_WHOLE, "Stems lacking" },
	{ PLAN_BOXED, SHAPE_MONEY, "Brings" },	   { PLAN_SEED, SHAPE_MONEY, "Left" },
};
enum { NTARGET_HEADS = sizeof target_heads / sizeof target_heads[0] };

static void target_number(struct pages *p, uint32_t row, size_t i, double x)
{
	if (!isnan(x))
		sheet_number(p->plan.s, row, target_heads[i].col, LOOK_OF(STYLE_PLAIN, target_heads[i].shape), x);
}

static void target_row(struct pages *p, uint32_t row, const struct plan_line *l)
{
	struct sheet *s = p->plan.s;
	struct str where = l->wish.outlet == NONE ? STR_NONE : p->farm->outlets[l->wish.outlet].head.name;
	if (l->order != NONE)
		where = str_of(text_of(p, "order %.*s", STR_ARG(p->farm->orders[l->order].id)));
	sheet_text(s, row, target_heads[0].col, LOOK(PLAIN, TEXT), p->farm->pieces[l->wish.piece].head.name);
	sheet_text(s, row, target_heads[1].col, LOOK(PLAIN, TEXT), where);
	target_number(p, row, 2, l->wish.count);
	target_number(p, row, 3, l->make);
	sheet_date(s, row, target_heads[4].col, LOOK(PLAIN, DATE), l->wish.by);
	target_number(p, row, 5, l->wish.sure);
	target_number(p, row, 6, l->chance);
	target_number(p, row, 7, l->lacking > 0.5 ? l->lacking : NAN);
	target_number(p, row, 8, l->revenue);
	target_number(p, row, 9, l->contribution);
}

static void targets(struct pages *p, uint32_t row)
{
	const struct plan *plan = p->solved->plan;
	struct sheet *s = p->plan.s;
	sheet_text(s, row, 0, LOOK(SECTION, TEXT), STR("What it is for"));
	sheet_height(s, row++, 20);
	sheet_text(s, row++, 0, LOOK(SAYS, TEXT),
		   STR("Left: after fees, sending, supplies and paid labour; growing and overhead not taken "
		       "off. As it was when the workbook was written."));
	for (uint32_t i = 0; i <= PLAN_SEED; i++)
		sheet_blank(s, row, i, LOOK(HEAD, TEXT));
	for (size_t i = 0; i < NTARGET_HEADS; i++)
		sheet_text(s, row, target_heads[i].col, LOOK_OF(STYLE_HEAD, target_heads[i].shape),
			   str_of(target_heads[i].head));
	sheet_height(s, row++, 33);
	for (size_t i = 0; i < plan->nlines; i++)
		target_row(p, row++, &plan->lines[i]);
	for (uint32_t i = 0; i <= PLAN_SEED; i++)
		sheet_blank(s, row, i, LOOK(TOTAL, TEXT));
	sheet_text(s, row, 0, LOOK(TOTAL, TEXT), STR("Together, growing paid"));
	sheet_number(s, row, PLAN_BOXED, LOOK(TOTAL, MONEY), plan->revenue);
	sheet_number(s, row, PLAN_SEED, LOOK(TOTAL, MONEY), plan->contribution);
	if (plan->unpriced)
		sheet_text(s, row + 1, 0, LOOK(SAYS, TEXT),
			   STR("What has no price is not counted in what it brings."));
}

void plan_page(struct pages *p)
{
	const struct plan *plan = p->solved ? p->solved->plan : NULL;
	uint32_t row = ROW_FIRST;
	for (uint32_t i = 0; plan && i < p->farm->ncrops; i++) {
		if (plan->crops[i].stems > 0 || plan->crops[i].cut > 0)
			row = crop_rows(p, row, i);
	}
	page_end(&p->plan, row, 1);
	if (row == ROW_FIRST)
		page_nothing(&p->plan, plan && plan->nlines ? "Nothing has to be grown."
							    : "The farm has no targets yet: say what you want to "
							      "sell, in a `target` block.");
	if (row == ROW_FIRST)
		return;
	page_stale(p, &p->plan, INPUT_PLAN);
	total_row(p, row);
	targets(p, bed_rows(p, row) + 1);
}

/* page_plan.c - next season's plantings: how much, and when.
 *
 * How many stems are to be cut, and how many cells to sow for that, is solved.  What
 * follows from them follows here too, by the formulas of reckon/plan_beds.c. */
#include <math.h>

#include "report/workbook/pages.h"

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
};
const struct book_table plan_table = { "Planting plan",
				       "What to sow and plant, how much of it, and when. Stems to cut, cells and days stand as they "
				       "were; what is reckoned from them follows.",
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
const struct sowing *plan_one_line(const struct plan_crop *of, const struct crop *c)
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
	const struct sowing *l = plan_one_line(of, c);
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
	p->crop_plan[crop] = rows;
	if (of->source == PLAN_SOWN)
		packets(p, rows, c, of);
	return row;
}

/* ---- below ---- */

static void total_row(struct pages *p, uint32_t row)
{
	static const uint32_t summed[] = { PLAN_USABLE, PLAN_THERE, PLAN_CUT,	PLAN_PLANTS, PLAN_CELLS,
					   PLAN_TRAYS,	PLAN_SEEDS, PLAN_PACKETS, PLAN_METRES };
	const struct plan *plan = p->solved->plan;
	double sums[PLAN_BOXED + 1] = { 0 };
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

/* ---- colours ---- */

static bool coloured(const struct plan_crop *of)
{
	return of->cut > 0 && of->ncolours && (of->ncolours > 1 || of->colours[0].colour != NONE);
}

/* A column of the crop's rows, a colour's share of it, rounded up. */
static const char *share_of_rows(struct pages *p, struct rows rows, uint32_t col, double part)
{
	return cover(p, text_of(p, "%s*SUM(%s)", number_ref(p, part),
				cells_down(p->plan.s, rows.first, rows.last, col)));
}

static void colour_row(struct pages *p, uint32_t row, uint32_t crop, const struct plan_colour *k)
{
	const struct page *g = &p->plan;
	const struct crop *c = &p->farm->crops[crop];
	const struct plan_crop *of = &p->solved->plan->crops[crop];
	const struct sowing *l = of->source == PLAN_SOWN ? plan_one_line(of, c) : NULL;
	struct rows rows = p->crop_plan[crop];
	double part = k->exact / (double)of->cut;
	page_text(g, row, PLAN_CROP, c->head.name);
	page_text(g, row, PLAN_FROM, k->colour == NONE ? STR("any") : colour_name(p->farm, k->colour));
	page_number(g, row, PLAN_CUT, (double)k->stems);
	if (k->plants > 0)
		page_live(g, row, PLAN_PLANTS, (double)k->plants, "%s", share_of_rows(p, rows, PLAN_PLANTS, part));
	if (k->seeds > 0)
		page_live(g, row, PLAN_SEEDS, (double)k->seeds, "%s", share_of_rows(p, rows, PLAN_SEEDS, part));
	if (l && l->seed_count.given && k->seeds > 0)
		page_live(g, row, PLAN_PACKETS, (double)k->packets, "%s",
			  cover(p, text_of(p, "%s/%s", HERE(*g, row, PLAN_SEEDS), fig_ref(p, &l->seed_count))));
	else
		count_or_blank(g, row, PLAN_PACKETS, (double)k->packets);
}

static void colours(struct pages *p, uint32_t row)
{
	struct sheet *s = p->plan.s;
	uint32_t title = row, first = row + 2;
	row = first;
	for (uint32_t i = 0; i < p->farm->ncrops; i++) {
		const struct plan_crop *of = &p->solved->plan->crops[i];
		for (size_t k = 0; coloured(of) && k < of->ncolours; k++)
			colour_row(p, row++, i, &of->colours[k]);
	}
	if (row == first)
		return;
	sheet_text(s, title, PLAN_CROP, LOOK(SECTION, TEXT), STR("In which colours"));
	sheet_height(s, title, 20);
	sheet_text(s, title + 1, PLAN_CROP, LOOK(SAYS, TEXT),
		   STR("Each rounded up by itself, in the columns above: stems to cut, plants, seeds, packets."));
}

void plan_page(struct pages *p)
{
	const struct plan *plan = p->solved ? p->solved->plan : NULL;
	uint32_t row = ROW_FIRST;
	p->crop_plan = ARENA_ARRAY(p->arena, p->farm->ncrops, struct rows);
	for (uint32_t i = 0; i < p->farm->ncrops; i++)
		p->crop_plan[i] = (struct rows){ 1, 0 };
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
	colours(p, bed_rows(p, row) + 1);
}

/* page_build.c - what parts and pieces cost: line by line, and put together. */
#include <math.h>

#include "farm/measure.h"
#include "report/workbook/pages.h"

static const struct book_column build_columns[] = {
	[BUILD_WHAT] = { "what", "Piece or part", "", SHAPE_TEXT, 28, ORIGIN_VALUE, NULL },
	[BUILD_KIND] = { "kind", "Kind", "", SHAPE_TEXT, 7, ORIGIN_VALUE, NULL },
	[BUILD_STEMS] = { "stems", "Stems", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			  "Of the flowers, through its parts: sheet Cost lines." },
	[BUILD_SUPPLIES] = { "supplies", "Supplies", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			     "Wire, rings, ribbon ..., through its parts." },
	[BUILD_LABOUR] = { "labour", "Labour", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			   "Minutes / 60 x full wage." },
	[BUILD_OVERHEAD] = { "overhead", "Overhead", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			     "Minutes / 60 x overhead per hour." },
	[BUILD_TOTAL] = { "total", "Cost of one", "$", SHAPE_MONEY, 11, ORIGIN_LIVE,
			  "Stems + supplies + labour + overhead." },
	[BUILD_MINUTES] = { "minutes", "At the bench", "min", SHAPE_ONE, 9, ORIGIN_LIVE,
			    "Through its parts, settings-up shared." },
	[BUILD_SETTING] = { "setting", "of which setting up", "min", SHAPE_ONE, 9, ORIGIN_LIVE,
			    "A setting-up for up to k pieces counts as 1/k of it in one piece." },
	[BUILD_RUN] = { "run", "in runs of", "", SHAPE_WHOLE, 8, ORIGIN_LIVE,
			"The largest k: the cost holds for full runs." },
	[BUILD_PRICE_LOW] = { "price_low", "Lowest price before tax", "$", SHAPE_MONEY, 11,
			      ORIGIN_LIVE,
			      "Of the prices on sheet Prices: asked, or the price point where none "
			      "is asked." },
	[BUILD_PRICE_HIGH] = { "price_high", "Highest price before tax", "$", SHAPE_MONEY, 11,
			       ORIGIN_LIVE, NULL },
	[BUILD_KNOWN] = { "known", "Prices of materials", "", SHAPE_LABEL, 13, ORIGIN_VALUE,
			  "\"missing\": something in it has no price, so the cost is too low." },
};
const struct book_table build_table = {
	"Cost build-up",
	"What one of each piece and part costs to make: stems, supplies, labour, overhead.",
	build_columns, sizeof build_columns / sizeof build_columns[0]
};

static const struct book_column line_columns[] = {
	[LINE_MAKER] = { "maker", "Piece or part", "", SHAPE_TEXT, 24, ORIGIN_VALUE, NULL },
	[LINE_WHAT] = { "what", "Takes", "", SHAPE_TEXT, 26, ORIGIN_VALUE,
			"Where a need can be met in several ways: the way written first." },
	[LINE_KIND] = { "kind", "Kind", "", SHAPE_TEXT, 8, ORIGIN_VALUE, NULL },
	[LINE_COUNT] = { "count", "Count", "", SHAPE_FREE, 9, ORIGIN_LIVE,
			 "For one making. Work shared by a batch of up to k counts as 1/k, and "
			 "follows k." },
	[LINE_UNIT] = { "unit", "Unit", "", SHAPE_LABEL, 8, ORIGIN_VALUE, NULL },
	[LINE_EACH] = { "each", "Cost of one", "$", SHAPE_FINE, 10, ORIGIN_LIVE,
			"A usable stem (Stem costs), a unit of the supply (Inputs), a part (Cost "
			"build-up)." },
	[LINE_STEMS] = { "stems", "Stems", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			 "Count x cost of a stem; of a part, count x its stems." },
	[LINE_SUPPLIES] = { "supplies", "Supplies", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
			    "Count x price of a unit; of a part, count x its supplies." },
	[LINE_MINUTES] = { "minutes", "Minutes", "", SHAPE_TWO, 10, ORIGIN_LIVE,
			   "Count x time; of a part, count x its minutes." },
	[LINE_SETTING] = { "setting", "of which setting up", "min", SHAPE_TWO, 9, ORIGIN_LIVE,
			   NULL },
	[LINE_COST] = { "cost", "Cost with labour and overhead", "$", SHAPE_MONEY, 12, ORIGIN_LIVE,
			"Stems + supplies + minutes / 60 x (full wage + overhead per hour)." },
	[LINE_RESTS] = { "rests", "Rests on", "", SHAPE_LABEL, 14, ORIGIN_VALUE,
			 "Where the cost of a stem comes from; \"no price\" counts as 0." },
};
const struct book_table lines_table = {
	"Cost lines", "Every need and every task of each piece and part, for one making.",
	line_columns, sizeof line_columns / sizeof line_columns[0]
};

/* ---- layout: pieces in their order, then parts from the shallowest down ---- */

static size_t lines_of(const struct make_cost *made, size_t ntasks)
{
	return made->nlines + ntasks + 1; /* and their sum */
}

void build_lay_out(struct pages *p)
{
	const struct farm *farm = p->farm;
	uint32_t row = ROW_FIRST, line = ROW_FIRST;
	p->piece_row = ARENA_ARRAY(p->arena, farm->npieces, uint32_t);
	p->piece_sum = ARENA_ARRAY(p->arena, farm->npieces, uint32_t);
	p->part_row = ARENA_ARRAY(p->arena, farm->nparts, uint32_t);
	p->part_sum = ARENA_ARRAY(p->arena, farm->nparts, uint32_t);
	for (size_t i = 0; i < farm->npieces; i++) {
		p->piece_row[i] = row++;
		line += (uint32_t)lines_of(&p->r->costs.pieces[i], farm->pieces[i].ntasks);
		p->piece_sum[i] = line - 1;
	}
	for (size_t i = 0; i < farm->nparts; i++) {
		uint32_t part = farm->part_order[i];
		p->part_row[part] = row++;
		line += (uint32_t)lines_of(&p->r->costs.parts[part], farm->parts[part].ntasks);
		p->part_sum[part] = line - 1;
	}
}

/* ---- lines ---- */

struct maker {
	struct str name;
	const struct task *tasks;
	size_t ntasks;
	const struct make_cost *made;
	uint32_t sum;    /* row of the sum */
	const char *one; /* "one piece", "one making: 6 each" */
};

static double per_hour(const struct pages *p)
{
	return p->r->costs.wage + p->r->costs.overhead_rate;
}

static void line_cost(struct pages *p, uint32_t row, double value)
{
	const struct page *g = &p->lines;
	page_live(g, row, LINE_COST, value, "%s+%s+%s/60*(" NAME_WAGE "+" NAME_OVERHEAD ")",
		  HERE(*g, row, LINE_STEMS), HERE(*g, row, LINE_SUPPLIES),
		  HERE(*g, row, LINE_MINUTES));
}

static void crop_line(struct pages *p, uint32_t row, const struct cost_line *line)
{
	const struct page *g = &p->lines;
	page_live_or(g, row, LINE_EACH, line->known ? line->each : NAN, "not known", "%s",
		     AT(p->stems, ROW_FIRST + line->item.index, STEMS_PER_USABLE));
	page_live(g, row, LINE_STEMS, line->stems, "%s*N(%s)", HERE(*g, row, LINE_COUNT),
		  HERE(*g, row, LINE_EACH));
	page_words(g, row, LINE_RESTS, line->known ? cost_source_name(line->source) : "no price");
}

static void supply_line(struct pages *p, uint32_t row, const struct cost_line *line)
{
	const struct page *g = &p->lines;
	const struct supply *supply = &p->farm->supplies[line->item.index];
	const char *cost = fig_ref(p, &supply->cost);
	if (line->known)
		page_live(g, row, LINE_EACH, line->each, "%s", cost);
	else
		page_live_text(g, row, LINE_EACH, "not known", "IF(%s=\"\",\"not known\",%s)", cost,
			       cost);
	page_live(g, row, LINE_SUPPLIES, line->supplies, "%s*N(%s)", HERE(*g, row, LINE_COUNT),
		  HERE(*g, row, LINE_EACH));
	page_words(g, row, LINE_RESTS, line->known ? "" : "no price");
}

static void part_line(struct pages *p, uint32_t row, const struct cost_line *line)
{
	const struct page *g = &p->lines;
	const struct make_cost *part = &p->r->costs.parts[line->item.index];
	uint32_t at = p->part_row[line->item.index];
	const char *count = HERE(*g, row, LINE_COUNT);
	page_live(g, row, LINE_EACH, line->each, "%s", AT(p->build, at, BUILD_TOTAL));
	page_live(g, row, LINE_STEMS, line->stems, "%s*%s", count, AT(p->build, at, BUILD_STEMS));
	page_live(g, row, LINE_SUPPLIES, line->supplies, "%s*%s", count,
		  AT(p->build, at, BUILD_SUPPLIES));
	page_live(g, row, LINE_MINUTES, line->seconds / MINUTE, "%s*%s", count,
		  AT(p->build, at, BUILD_MINUTES));
	page_live(g, row, LINE_SETTING, line->count * part->setup_seconds / MINUTE, "%s*%s", count,
		  AT(p->build, at, BUILD_SETTING));
	page_words(g, row, LINE_RESTS, line->known ? "" : "a price missing");
}

static void need_line(struct pages *p, uint32_t row, const struct cost_line *line)
{
	const struct page *g = &p->lines;
	page_text(g, row, LINE_WHAT, item_name(p->farm, line->item));
	page_words(g, row, LINE_KIND, kind_name(line->item.kind));
	page_number(g, row, LINE_COUNT, line->count);
	page_text(g, row, LINE_UNIT, measure_base(p->farm, line->item));
	if (line->item.kind == KIND_CROP)
		crop_line(p, row, line);
	else if (line->item.kind == KIND_SUPPLY)
		supply_line(p, row, line);
	else
		part_line(p, row, line);
	line_cost(p, row, line->money);
}

static void task_line(struct pages *p, uint32_t row, const struct task *task)
{
	const struct page *g = &p->lines;
	double k = task->batch.given ? fmax(floor(task->batch.v), 1) : 1;
	double minutes = task->seconds.v / k / MINUTE;
	page_text(g, row, LINE_WHAT, task->label.n ? task->label : STR("work"));
	page_words(g, row, LINE_KIND, "work");
	if (task->batch.given)
		sheet_formula(g->s, row, LINE_COUNT, LOOK(PLAIN, FOUR), 1 / k, "1/MAX(1,INT(%s))",
			      fig_ref(p, &task->batch));
	else
		page_number(g, row, LINE_COUNT, 1);
	page_words(g, row, LINE_UNIT, task->batch.given ? "batch" : "each");
	page_live(g, row, LINE_MINUTES, minutes, "%s*%s/60", HERE(*g, row, LINE_COUNT),
		  fig_ref(p, &task->seconds));
	if (task->batch.given)
		page_live(g, row, LINE_SETTING, minutes, "%s", HERE(*g, row, LINE_MINUTES));
	line_cost(p, row, minutes / 60 * per_hour(p));
}

static void sum_line(struct pages *p, const struct maker *m, uint32_t first)
{
	struct page g = p->lines;
	const struct make_cost *made = m->made;
	static const uint32_t cols[] = { LINE_STEMS, LINE_SUPPLIES, LINE_MINUTES, LINE_SETTING,
					 LINE_COST };
	const double per[] = { made->stems, made->supplies, made->seconds / MINUTE,
			       made->setup_seconds / MINUTE, made->total };
	g.style = STYLE_TOTAL;
	page_text(&g, m->sum, LINE_MAKER, m->name);
	page_words(&g, m->sum, LINE_WHAT, m->one);
	for (uint32_t c = LINE_KIND; c <= LINE_RESTS; c++)
		page_blank(&g, m->sum, c);
	for (size_t i = 0; i < sizeof cols / sizeof cols[0]; i++) {
		if (m->sum == first)
			page_number(&g, m->sum, cols[i], 0);
		else
			page_live(&g, m->sum, cols[i], per[i] * made->makes, "SUM(%s)",
				  cells_down(g.s, first, m->sum - 1, cols[i]));
	}
}

static void maker_lines(struct pages *p, const struct maker *m)
{
	uint32_t first = m->sum + 1 - (uint32_t)lines_of(m->made, m->ntasks), row = first;
	struct page faint = p->lines; /* the name stands strong once, at the sum */
	faint.style = STYLE_FAINT;
	for (uint32_t r = first; r < m->sum; r++)
		page_text(&faint, r, LINE_MAKER, m->name);
	for (size_t i = 0; i < m->made->nlines; i++)
		need_line(p, row++, &m->made->lines[i]);
	for (size_t i = 0; i < m->ntasks; i++)
		task_line(p, row++, &m->tasks[i]);
	sum_line(p, m, first);
}

/* ---- put together ---- */

static void run_cell(struct pages *p, uint32_t row, const struct maker *m)
{
	struct str terms = STR_NONE;
	for (size_t i = 0; i < m->ntasks; i++) {
		if (m->tasks[i].batch.given)
			terms = str_of(text_of(p, "%.*s,INT(%s)", STR_ARG(terms),
					       fig_ref(p, &m->tasks[i].batch)));
	}
	if (terms.n)
		page_live(&p->build, row, BUILD_RUN, (double)m->made->run, "MAX(1%.*s)",
			  STR_ARG(terms));
	else
		page_number(&p->build, row, BUILD_RUN, (double)m->made->run);
}

static void build_row(struct pages *p, uint32_t row, const struct maker *m, enum kind kind)
{
	const struct page *g = &p->build;
	const struct make_cost *made = m->made;
	bool single = made->makes >= 1 && made->makes <= 1;
	const char *over = single ? "" : text_of(p, "/%s", number_ref(p, made->makes));
	const char *minutes = HERE(*g, row, BUILD_MINUTES);
	page_text(g, row, BUILD_WHAT, m->name);
	page_words(g, row, BUILD_KIND, kind_name(kind));
	page_live(g, row, BUILD_STEMS, made->stems, "%s%s", AT(p->lines, m->sum, LINE_STEMS), over);
	page_live(g, row, BUILD_SUPPLIES, made->supplies, "%s%s",
		  AT(p->lines, m->sum, LINE_SUPPLIES), over);
	page_live(g, row, BUILD_MINUTES, made->seconds / MINUTE, "%s%s",
		  AT(p->lines, m->sum, LINE_MINUTES), over);
	page_live(g, row, BUILD_SETTING, made->setup_seconds / MINUTE, "%s%s",
		  AT(p->lines, m->sum, LINE_SETTING), over);
	page_live(g, row, BUILD_LABOUR, made->labour, "%s/60*" NAME_WAGE, minutes);
	page_live(g, row, BUILD_OVERHEAD, made->overhead, "%s/60*" NAME_OVERHEAD, minutes);
	page_live(g, row, BUILD_TOTAL, made->total, "SUM(%s:%s)", HERE(*g, row, BUILD_STEMS),
		  HERE(*g, row, BUILD_OVERHEAD));
	run_cell(p, row, m);
	page_words(g, row, BUILD_KNOWN, made->complete ? "" : "missing");
}

/* The least and the most that the piece's prices leave before tax. */
static void price_range(struct pages *p, uint32_t piece)
{
	const struct page *g = &p->build;
	const struct prices *prices = &p->r->prices;
	struct rows rows = p->piece_prices[piece];
	double low = NAN, high = NAN;
	if (rows.last < rows.first)
		return;
	for (uint32_t row = rows.first; row <= rows.last; row++) {
		double net = prices->lines[row - ROW_FIRST].at.net;
		if (isfinite(net)) {
			low = isnan(low) || net < low ? net : low;
			high = isnan(high) || net > high ? net : high;
		}
	}
	const char *nets = cells_far(p->prices.s, rows.first, rows.last, PRICE_NET);
	page_live_or(g, p->piece_row[piece], BUILD_PRICE_LOW, low, "none",
		     "IF(COUNT(%s)>0,MIN(%s),\"none\")", nets, nets);
	page_live_or(g, p->piece_row[piece], BUILD_PRICE_HIGH, high, "none",
		     "IF(COUNT(%s)>0,MAX(%s),\"none\")", nets, nets);
}

void build_pages(struct pages *p)
{
	const struct farm *farm = p->farm;
	for (uint32_t i = 0; i < farm->npieces; i++) {
		const struct piece *piece = &farm->pieces[i];
		struct maker m = { piece->head.name,       piece->tasks,    piece->ntasks,
				   &p->r->costs.pieces[i], p->piece_sum[i], "one piece" };
		maker_lines(p, &m);
		build_row(p, p->piece_row[i], &m, KIND_PIECE);
		price_range(p, i);
	}
	for (uint32_t i = 0; i < farm->nparts; i++) {
		const struct part *part = &farm->parts[i];
		const struct make_cost *made = &p->r->costs.parts[i];
		struct maker m = {
			part->head.name,
			part->tasks,
			part->ntasks,
			made,
			p->part_sum[i],
			text_of(p, "one making: %s %.*s", number_ref(p, made->makes), STR_ARG(part->unit))
		};
		maker_lines(p, &m);
		build_row(p, p->part_row[i], &m, KIND_PART);
	}
	uint32_t n = (uint32_t)(farm->npieces + farm->nparts);
	if (!n) {
		page_nothing(&p->build, "No pieces have been written.");
		page_nothing(&p->lines, "No pieces have been written.");
	}
	page_end(&p->build, ROW_FIRST + n, 1);
	uint32_t end = ROW_FIRST;
	for (uint32_t i = 0; i < farm->npieces; i++)
		end = p->piece_sum[i] >= end ? p->piece_sum[i] + 1 : end;
	for (uint32_t i = 0; i < farm->nparts; i++)
		end = p->part_sum[i] >= end ? p->part_sum[i] + 1 : end;
	page_end(&p->lines, end, 2);
}

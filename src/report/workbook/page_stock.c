/* page_stock.c - boxes, what the bench log moved, and classes of equal stems.
 *
 * A box of a crop is worth its count and each later movement, shrunk by the loss in
 * store from its own day to the date.  Rows of one class stand together, and so do
 * the classes of a crop, so that other pages add up plain ranges. */
#include <math.h>

#include "farm/measure.h"
#include "reckon/loss.h"
#include "report/workbook/pages.h"

static const struct book_column box_columns[] = {
	[BOX_ID] = { "box", "Box", "", SHAPE_TEXT, 9, ORIGIN_VALUE, NULL },
	[BOX_WHAT] = { "what", "What", "", SHAPE_TEXT, 22, ORIGIN_VALUE, NULL },
	[BOX_COLOUR] = { "colour", "Colour", "", SHAPE_TEXT, 9, ORIGIN_VALUE, NULL },
	[BOX_LENGTH] = { "length", "Length", "cm", SHAPE_FREE, 8, ORIGIN_VALUE, NULL },
	[BOX_PLACE] = { "place", "Place", "", SHAPE_LABEL, 10, ORIGIN_VALUE, NULL },
	[BOX_BOXED] = { "boxed", "Boxed on", "", SHAPE_DATE, 11, ORIGIN_VALUE, NULL },
	[BOX_COUNTED_ON] = { "counted_on", "Last count", "", SHAPE_DATE, 11, ORIGIN_VALUE,
			     "The count in stock.csv, or a later one in the bench log." },
	[BOX_BASE] = { "base", "Counted then", "", SHAPE_FREE, 9, ORIGIN_VALUE,
		       "Stems, or the base unit of the thing. Type over it after a new count." },
	[BOX_MOVED] = { "moved", "Moved since", "", SHAPE_FREE, 9, ORIGIN_LIVE,
			"Put in less taken out by the bench log after that count: sheet Moves." },
	[BOX_NOW] = { "now", "In it by the books", "", SHAPE_FREE, 9, ORIGIN_LIVE,
		      "Counted then + moved since; never below 0." },
	[BOX_LEFT] = { "left", "Left of a stem", "", SHAPE_PERCENT, 8, ORIGIN_LIVE,
		       "(1 - loss in store per month) to the power of the months from the last "
		       "count to the date." },
	[BOX_WORTH] = { "worth", "Stems on the date", "", SHAPE_ONE, 9, ORIGIN_LIVE,
			"Counted then x left of a stem + the moves, each shrunk from its own day. "
			"Before the loss "
			"at the bench." },
	[BOX_PAST] = { "past", "Past keeping", "", SHAPE_LABEL, 10, ORIGIN_LIVE,
		       "\"past\" when more months have gone since boxing than the crop keeps." },
	[BOX_USABLE] = { "good", "Good", "stems", SHAPE_ONE, 9, ORIGIN_LIVE,
			 "Stems on the date, 0 when past keeping (unless the workbook was asked to "
			 "use them)." },
	[BOX_AS_BOXED] = { "as_boxed", "As boxed", "stems", SHAPE_ONE, 9, ORIGIN_LIVE,
			   "The stems once boxed that today's good ones are what is left of; "
			   "without a day of boxing, those of the last count. 0 where no cost "
			   "is known." },
	[BOX_EACH] = { "each", "Cost of a boxed stem", "$", SHAPE_FINE, 11, ORIGIN_LIVE,
		       "The price paid where the box was bought in, else what growing cost: sheet "
		       "Stem costs." },
	[BOX_COST] = { "cost", "Cost in it", "$", SHAPE_MONEY, 10, ORIGIN_LIVE,
		       "As boxed x cost of a boxed stem." },
};
const struct book_table boxes_table = {
	"Boxes", "Box by box: what was counted, what is left of it on the date, what it cost.",
	box_columns, sizeof box_columns / sizeof box_columns[0]
};

static const struct book_column move_columns[] = {
	[MOVE_BOX] = { "box", "Box", "", SHAPE_TEXT, 10, ORIGIN_VALUE, NULL },
	[MOVE_WHAT] = { "what", "What", "", SHAPE_TEXT, 26, ORIGIN_VALUE, NULL },
	[MOVE_ON] = { "on", "Day", "", SHAPE_DATE, 12, ORIGIN_VALUE, NULL },
	[MOVE_STEMS] = { "stems", "Stems in (+) or out (-)", "", SHAPE_FREE, 14, ORIGIN_VALUE,
			 NULL },
	[MOVE_BY_NOW] = { "by_now", "By the date", "stems", SHAPE_FREE, 12, ORIGIN_LIVE,
			  "0 for what happens after the date." },
	[MOVE_LEFT] = { "left", "Left of a stem", "", SHAPE_PERCENT, 12, ORIGIN_LIVE,
			"(1 - loss in store per month) to the power of the months from that day to "
			"the date." },
	[MOVE_WORTH] = { "worth", "Stems on the date", "", SHAPE_ONE, 14, ORIGIN_LIVE,
			 "By the date x left of a stem." },
};
const struct book_table moves_table = {
	"Moves", "What the bench log put into boxes and took out of them after their last count.",
	move_columns, sizeof move_columns / sizeof move_columns[0]
};

static const struct book_column stock_columns[] = {
	[STOCK_CROP] = { "crop", "Crop", "", SHAPE_TEXT, 30, ORIGIN_VALUE, NULL },
	[STOCK_COLOUR] = { "colour", "Colour", "", SHAPE_TEXT, 14, ORIGIN_VALUE, NULL },
	[STOCK_LENGTH] = { "length", "Length", "cm", SHAPE_FREE, 10, ORIGIN_VALUE, NULL },
	[STOCK_MONTH] = { "month", "Boxed in", "", SHAPE_LABEL, 12, ORIGIN_VALUE, NULL },
	[STOCK_BOXES] = { "boxes", "Boxes", "", SHAPE_WHOLE, 9, ORIGIN_VALUE, NULL },
	[STOCK_NOW] = { "now", "In them by the books", "stems", SHAPE_FREE, 12, ORIGIN_LIVE, NULL },
	[STOCK_LEFT] = { "left", "Left of them", "", SHAPE_PERCENT, 10, ORIGIN_LIVE,
			 "Stems on the date, those past keeping included, of those in the boxes by "
			 "the books." },
	[STOCK_WORTH] = { "worth", "Good on the date", "stems", SHAPE_ONE, 12, ORIGIN_LIVE,
			  "What is left of the boxes that are not past keeping, before the loss at "
			  "the bench." },
	[STOCK_WHOLE] = { "whole", "Whole stems", "", SHAPE_WHOLE, 12, ORIGIN_LIVE,
			  "Rounded down once for the class, for no box holds half a stem. Past "
			  "keeping only when "
			  "the workbook was asked to use them." },
	[STOCK_PAST] = { "past", "Past keeping", "stems", SHAPE_ONE, 12, ORIGIN_LIVE, NULL },
};
const struct book_table stock_table = {
	"Stock",
	"What the shed holds on the date: stems alike in crop, colour, length and month of boxing.",
	stock_columns, sizeof stock_columns / sizeof stock_columns[0]
};

/* ---- layout ---- */

struct key {
	const struct box *box;
	uint32_t index;
};

static int32_t month_of(day d)
{
	if (d == DAY_NONE)
		return -1;
	struct civil c = date_civil(d);
	return c.year * 12 + c.month - 1;
}

static int compare(double a, double b)
{
	return (a > b) - (a < b);
}

/* Crops first, by class; the class of a box here knows nothing of its age. */
static int by_class(const struct box *a, const struct box *b)
{
	int order = compare(a->item.kind, b->item.kind);
	if (!order)
		order = compare(a->item.index, b->item.index);
	if (!order)
		order = compare(a->colour, b->colour);
	if (!order)
		order = compare((double)a->length, (double)b->length);
	return order ? order : compare(month_of(a->boxed), month_of(b->boxed));
}

static int by_class_then_line(const void *x, const void *y)
{
	const struct key *a = x, *b = y;
	int order = by_class(a->box, b->box);
	return order ? order : compare(a->index, b->index);
}

static void lay_out_moves(struct pages *p)
{
	const struct stock *s = &p->r->stock;
	uint32_t row = ROW_FIRST, n = 0;
	p->box_moves = ARENA_ARRAY(p->arena, p->farm->nboxes, struct rows);
	p->move_order = ARENA_ARRAY(p->arena, s->nmoves, uint32_t);
	uint32_t *counts = ARENA_ARRAY(p->arena, p->farm->nboxes, uint32_t);
	for (size_t i = 0; i < s->nmoves; i++)
		counts[s->moves[i].box]++;
	for (size_t k = 0; k < p->farm->nboxes; k++) {
		uint32_t box = p->box_order[k];
		p->box_moves[box] = (struct rows){ row, row + counts[box] - 1 };
		row += counts[box];
		counts[box] = n;
		n = row - ROW_FIRST;
	}
	for (size_t i = 0; i < s->nmoves; i++)
		p->move_order[counts[s->moves[i].box]++] = (uint32_t)i;
}

void stock_lay_out(struct pages *p)
{
	size_t n = p->farm->nboxes;
	struct key *keys = ARENA_ARRAY(p->arena, n, struct key);
	p->box_order = ARENA_ARRAY(p->arena, n, uint32_t);
	p->box_row = ARENA_ARRAY(p->arena, n, uint32_t);
	p->crop_boxes = ARENA_ARRAY(p->arena, p->farm->ncrops, struct rows);
	for (size_t i = 0; i < n; i++)
		keys[i] = (struct key){ &p->farm->boxes[i], (uint32_t)i };
	if (n)
		qsort(keys, n, sizeof *keys, by_class_then_line);
	for (size_t c = 0; c < p->farm->ncrops; c++)
		p->crop_boxes[c] = (struct rows){ 1, 0 };
	for (uint32_t k = 0; k < n; k++) {
		struct item item = keys[k].box->item;
		p->box_order[k] = keys[k].index;
		p->box_row[keys[k].index] = ROW_FIRST + k;
		if (item.kind != KIND_CROP)
			continue;
		struct rows *rows = &p->crop_boxes[item.index];
		if (rows->last < rows->first)
			rows->first = ROW_FIRST + k;
		rows->last = ROW_FIRST + k;
	}
	lay_out_moves(p);
}

/* ---- boxes ---- */

/* (1 - s) to the months from a day in a cell to the date; 1 without the day. */
static const char *left_since(struct pages *p, const struct crop *crop, const char *day_cell)
{
	return text_of(p, "(1-%s)^(MAX(0," NAME_DATE "-%s)/" MONTH_TEXT ")",
		       fig_ref(p, &crop->loss[STAGE_STORAGE]), day_cell);
}

static double left_of(const struct pages *p, const struct crop *crop, day from)
{
	double rate = rates_at(p->r->stock.rates, (uint32_t)(crop - p->farm->crops), STAGE_STORAGE);
	return loss_storage(rate, date_months(from, p->r->on));
}

static void box_facts(struct pages *p, uint32_t row, const struct box *box)
{
	const struct page *g = &p->boxes;
	page_text(g, row, BOX_ID, box_name(p, box));
	page_text(g, row, BOX_WHAT, item_name(p->farm, box->item));
	page_text(g, row, BOX_COLOUR, colour_name(p->farm, box->colour));
	page_number(g, row, BOX_LENGTH, box->length > 0 ? (double)box->length / 10 : NAN);
	page_text(g, row, BOX_PLACE, box->place == NONE ? STR_NONE : p->farm->words[box->place]);
	page_date(g, row, BOX_BOXED, box->boxed);
}

static void box_count(struct pages *p, uint32_t row, uint32_t i, const struct crop *crop)
{
	const struct page *g = &p->boxes;
	const struct stock_box *in = &p->r->stock.boxes[i];
	struct rows moves = p->box_moves[i];
	bool moved = moves.last >= moves.first;
	page_date(g, row, BOX_COUNTED_ON, in->base_on);
	page_number(g, row, BOX_BASE, in->base);
	if (moved)
		page_live(g, row, BOX_MOVED, in->cut ? 0 : in->count - in->base, "SUM(%s)",
			  cells_far(p->moves.s, moves.first, moves.last, MOVE_BY_NOW));
	const char *base = HERE(*g, row, BOX_BASE), *left = HERE(*g, row, BOX_LEFT);
	page_live(g, row, BOX_NOW, in->count, "MAX(0,%s+%s)", base, HERE(*g, row, BOX_MOVED));
	page_live(g, row, BOX_LEFT, left_of(p, crop, in->base_on), "%s",
		  left_since(p, crop, HERE(*g, row, BOX_COUNTED_ON)));
	if (moved)
		page_live(g, row, BOX_WORTH, in->worth, "MIN(%s,MAX(0,%s*%s+SUM(%s)))",
			  HERE(*g, row, BOX_NOW), base, left,
			  cells_far(p->moves.s, moves.first, moves.last, MOVE_WORTH));
	else
		page_live(g, row, BOX_WORTH, in->worth, "%s*%s", base, left);
}

/* The log took more than there was: what is left does not follow from the moves. */
static void box_cut_short(struct pages *p, uint32_t row, uint32_t i)
{
	const struct page *g = &p->boxes;
	const struct stock_box *in = &p->r->stock.boxes[i];
	page_date(g, row, BOX_COUNTED_ON, in->base_on);
	page_number(g, row, BOX_BASE, in->base);
	page_number(g, row, BOX_NOW, in->count);
	page_number(g, row, BOX_LEFT, in->survival);
	page_number(g, row, BOX_WORTH, in->worth);
}

static void box_cost(struct pages *p, uint32_t row, uint32_t i, const struct crop *crop)
{
	const struct page *g = &p->boxes;
	const struct box *box = &p->farm->boxes[i];
	const struct stock_box *in = &p->r->stock.boxes[i];
	bool bought = !isnan(box->price), left_out = in->past && !p->r->stock.with_past;
	double each = bought ? box->price : p->r->stems.crops[box->item.index].grown;
	/* Without a day of boxing nothing is lost before the last count. */
	bool ageless = box->boxed == DAY_NONE;
	double usable = left_out ? 0 : in->worth;
	double kept = left_of(p, crop, ageless ? in->base_on : box->boxed);
	double as_boxed = isnan(each) || !(kept > 0) ? 0 : usable / kept;
	const char *worth = HERE(*g, row, BOX_WORTH);
	if (p->r->stock.with_past)
		page_live(g, row, BOX_USABLE, usable, "%s", worth);
	else
		page_live(g, row, BOX_USABLE, usable, "IF(%s=\"past\",0,%s)",
			  HERE(*g, row, BOX_PAST), worth);
	const char *each_cell = HERE(*g, row, BOX_EACH);
	page_live(g, row, BOX_AS_BOXED, as_boxed, "IF(ISNUMBER(%s),%s/%s,0)", each_cell,
		  HERE(*g, row, BOX_USABLE),
		  left_since(p, crop, HERE(*g, row, ageless ? BOX_COUNTED_ON : BOX_BOXED)));
	if (bought)
		page_number(g, row, BOX_EACH, each);
	else
		page_live_or(g, row, BOX_EACH, each, "not known", "%s",
			     AT(p->stems, ROW_FIRST + box->item.index, STEMS_GROWN));
	page_live(g, row, BOX_COST, isnan(each) ? 0 : as_boxed * each, "%s*N(%s)",
		  HERE(*g, row, BOX_AS_BOXED), each_cell);
}

static void crop_box(struct pages *p, uint32_t row, uint32_t i)
{
	const struct page *g = &p->boxes;
	const struct box *box = &p->farm->boxes[i];
	const struct crop *crop = &p->farm->crops[box->item.index];
	const struct stock_box *in = &p->r->stock.boxes[i];
	fig_solved(p, &crop->loss[STAGE_STORAGE]);
	fig_solved(p, &crop->loss[STAGE_BENCH]);
	fig_solved(p, &crop->keeps);
	fig_solved(p, &crop->reserve);
	if (in->cut)
		box_cut_short(p, row, i);
	else
		box_count(p, row, i, crop);
	if (crop->keeps.v > 0 && box->boxed != DAY_NONE)
		page_live_text(g, row, BOX_PAST, in->past ? "past" : "",
			       "IF(AND(%s>0,%s>0,MAX(0," NAME_DATE "-%s)/" MONTH_TEXT
			       ">%s),\"past\",\"\")",
			       HERE(*g, row, BOX_NOW), fig_ref(p, &crop->keeps),
			       HERE(*g, row, BOX_BOXED), fig_ref(p, &crop->keeps));
	else
		page_blank(g, row, BOX_PAST);
	box_cost(p, row, i, crop);
}

static void boxes_page(struct pages *p)
{
	const struct page *g = &p->boxes;
	for (uint32_t k = 0; k < p->farm->nboxes; k++) {
		uint32_t i = p->box_order[k], row = ROW_FIRST + k;
		const struct box *box = &p->farm->boxes[i];
		box_facts(p, row, box);
		if (box->item.kind == KIND_CROP) {
			crop_box(p, row, i);
			continue;
		}
		page_date(g, row, BOX_COUNTED_ON, box->counted);
		page_number(g, row, BOX_BASE, box->count);
		page_number(g, row, BOX_NOW, p->r->stock.boxes[i].count);
	}
	if (!p->farm->nboxes)
		page_nothing(g, "No boxes have been counted (stock.csv).");
	page_end(g, ROW_FIRST + (uint32_t)p->farm->nboxes, 2);
}

static void moves_page(struct pages *p)
{
	const struct page *g = &p->moves;
	const struct stock *s = &p->r->stock;
	for (uint32_t k = 0; k < s->nmoves; k++) {
		const struct stock_move *m = &s->moves[p->move_order[k]];
		const struct box *box = &p->farm->boxes[m->box];
		const struct crop *crop = &p->farm->crops[box->item.index];
		uint32_t row = ROW_FIRST + k;
		double left = left_of(p, crop, m->on);
		const char *on = HERE(*g, row, MOVE_ON);
		page_text(g, row, MOVE_BOX, box_name(p, box));
		page_text(g, row, MOVE_WHAT, crop->head.name);
		page_date(g, row, MOVE_ON, m->on);
		page_number(g, row, MOVE_STEMS, m->stems);
		page_live(g, row, MOVE_BY_NOW, m->stems, "IF(" NAME_DATE ">=%s,%s,0)", on,
			  HERE(*g, row, MOVE_STEMS));
		page_live(g, row, MOVE_LEFT, left, "%s", left_since(p, crop, on));
		page_live(g, row, MOVE_WORTH, m->stems * left, "%s*%s", HERE(*g, row, MOVE_BY_NOW),
			  HERE(*g, row, MOVE_LEFT));
	}
	if (!s->nmoves)
		page_nothing(g, "The bench log has moved nothing since the boxes were counted.");
	page_end(g, ROW_FIRST + (uint32_t)s->nmoves, 2);
}

/* ---- classes ---- */

struct group { /* boxes of one class, good and past keeping together */
	struct rows rows;
	double now, good, past;
	int64_t whole;
};

static void add_box(const struct pages *p, struct group *g, uint32_t i)
{
	const struct stock_box *in = &p->r->stock.boxes[i];
	g->now += in->count;
	if (in->past)
		g->past += in->worth;
	else
		g->good += in->worth;
}

/* Rounded down once for the good stems, once for those past keeping. */
static const char *whole_of(struct pages *p, const char *cell_text)
{
	return text_of(p, "INT(%s+" WHOLE_GUARD "*MAX(1,%s))", cell_text, cell_text);
}

static void class_row(struct pages *p, uint32_t row, const struct box *box, const struct group *in)
{
	const struct page *g = &p->stock;
	const struct sheet *boxes = p->boxes.s;
	uint32_t first = in->rows.first, last = in->rows.last;
	const char *worth = cells_far(boxes, first, last, BOX_WORTH);
	const char *past = cells_far(boxes, first, last, BOX_PAST);
	const char *good_cell = HERE(*g, row, STOCK_WORTH), *past_cell = HERE(*g, row, STOCK_PAST);
	int32_t month = month_of(box->boxed);
	page_text(g, row, STOCK_CROP, item_name(p->farm, box->item));
	page_text(g, row, STOCK_COLOUR, colour_name(p->farm, box->colour));
	page_number(g, row, STOCK_LENGTH, box->length > 0 ? (double)box->length / 10 : NAN);
	if (month >= 0)
		page_words(g, row, STOCK_MONTH, text_of(p, "%d-%02d", month / 12, month % 12 + 1));
	page_number(g, row, STOCK_BOXES, last - first + 1);
	page_live(g, row, STOCK_NOW, in->now, "SUM(%s)", cells_far(boxes, first, last, BOX_NOW));
	page_live(g, row, STOCK_LEFT, in->now > 0 ? (in->good + in->past) / in->now : 0,
		  "IF(%s>0,(%s+%s)/%s,0)", HERE(*g, row, STOCK_NOW), good_cell, past_cell,
		  HERE(*g, row, STOCK_NOW));
	page_live(g, row, STOCK_WORTH, in->good, "SUMPRODUCT((%s<>\"past\")*%s)", past, worth);
	page_live(g, row, STOCK_PAST, in->past, "SUMPRODUCT((%s=\"past\")*%s)", past, worth);
	if (p->r->stock.with_past)
		page_live(g, row, STOCK_WHOLE, (double)in->whole, "%s+%s", whole_of(p, good_cell),
			  whole_of(p, past_cell));
	else
		page_live(g, row, STOCK_WHOLE, (double)in->whole, "%s", whole_of(p, good_cell));
}

static uint32_t class_rows(struct pages *p)
{
	const struct farm *farm = p->farm;
	uint32_t row = ROW_FIRST;
	for (uint32_t from = 0, to; from < farm->nboxes; from = to) {
		const struct box *box = &farm->boxes[p->box_order[from]];
		struct group g = { .rows = { ROW_FIRST + from, 0 } };
		if (box->item.kind != KIND_CROP)
			break;
		for (to = from; to < farm->nboxes; to++) {
			if (by_class(box, &farm->boxes[p->box_order[to]]))
				break;
			add_box(p, &g, p->box_order[to]);
		}
		g.rows.last = ROW_FIRST + to - 1;
		g.whole = loss_whole(g.good) + (p->r->stock.with_past ? loss_whole(g.past) : 0);
		class_row(p, row++, box, &g);
	}
	return row;
}

/* What lies in the shed besides stems, in the same columns under heads of its own. */
static void other_heads(struct pages *p, uint32_t row)
{
	const struct page *g = &p->stock;
	sheet_text(g->s, row, STOCK_CROP, LOOK(SECTION, TEXT), STR("Besides stems, by the books"));
	for (uint32_t c = 0; c <= STOCK_NOW; c++)
		sheet_blank(g->s, row + 1, c, LOOK(HEAD, TEXT));
	sheet_text(g->s, row + 1, STOCK_CROP, LOOK(HEAD, TEXT), STR("What"));
	sheet_text(g->s, row + 1, STOCK_COLOUR, LOOK(HEAD, TEXT), STR("Kind"));
	sheet_text(g->s, row + 1, STOCK_MONTH, LOOK(HEAD, LABEL), STR("Unit"));
	sheet_text(g->s, row + 1, STOCK_NOW, LOOK(HEAD, FREE), STR("On hand"));
}

static void other_rows(struct pages *p, uint32_t row)
{
	const struct page *g = &p->stock;
	const struct farm *farm = p->farm;
	static const enum kind kinds[] = { KIND_SUPPLY, KIND_PART, KIND_PIECE };
	const double *counts[] = { p->r->stock.supplies, p->r->stock.parts, p->r->stock.pieces };
	const size_t sizes[] = { farm->nsupplies, farm->nparts, farm->npieces };
	uint32_t next = row + 2;
	for (size_t k = 0; k < 3; k++) {
		for (uint32_t i = 0; i < sizes[k]; i++) {
			struct item item = { kinds[k], i };
			if (isnan(counts[k][i]) || (kinds[k] != KIND_SUPPLY && !(counts[k][i] > 0)))
				continue;
			page_text(g, next, STOCK_CROP, item_name(farm, item));
			page_words(g, next, STOCK_COLOUR, kind_name(kinds[k]));
			page_text(g, next, STOCK_MONTH, measure_base(farm, item));
			page_number(g, next++, STOCK_NOW, counts[k][i]);
		}
	}
	if (next > row + 2)
		other_heads(p, row);
}

static void stock_page(struct pages *p)
{
	uint32_t next = class_rows(p);
	if (next == ROW_FIRST)
		page_nothing(&p->stock, "No stems have been counted (stock.csv).");
	other_rows(p, next + 1);
	page_end(&p->stock, next, 1); /* as wide as the names of both */
}

void stock_pages(struct pages *p)
{
	moves_page(p);
	boxes_page(p);
	stock_page(p);
}

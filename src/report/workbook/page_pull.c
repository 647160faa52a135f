/* page_pull.c - the pull list of the best mix, to be printed and ticked off. */
#include <math.h>

#include "base/buf.h"
#include "farm/measure.h"
#include "report/workbook/pages.h"

enum {
	PULL_DONE,
	PULL_BOX,
	PULL_WHAT,
	PULL_COLOUR,
	PULL_LENGTH,
	PULL_TAKE,
	PULL_UNIT,
	PULL_PLACE,
	PULL_NOTE,
	PULL_GOOD,
	PULL_LEFT
};

static const struct book_column columns[] = {
	[PULL_DONE] = { "done", "Done", "", SHAPE_TEXT, 5, ORIGIN_VALUE, "To be ticked on paper." },
	[PULL_BOX] = { "box", "Box", "", SHAPE_LABEL, 11, ORIGIN_SOLVED,
		       "Its mark, or its row in stock.csv. part: made ahead or off the shelf. "
		       "supply: laid out. finished: a piece that is made already." },
	[PULL_WHAT] = { "what", "What", "", SHAPE_TEXT, 28, ORIGIN_SOLVED, NULL },
	[PULL_COLOUR] = { "colour", "Colour", "", SHAPE_TEXT, 11, ORIGIN_SOLVED, NULL },
	[PULL_LENGTH] = { "length", "Length", "cm", SHAPE_FREE, 8, ORIGIN_SOLVED, NULL },
	[PULL_TAKE] = { "take", "Take", "", SHAPE_FREE, 9, ORIGIN_SOLVED,
			"Whole stems, with those that break at the bench. Found by the solver: it "
			"does not follow the inputs, and says so above when they have been "
			"changed." },
	[PULL_UNIT] = { "unit", "Unit", "", SHAPE_LABEL, 8, ORIGIN_SOLVED, NULL },
	[PULL_PLACE] = { "place", "Place", "", SHAPE_TEXT, 14, ORIGIN_VALUE, NULL },
	[PULL_NOTE] = { "note", "Remark", "", SHAPE_TEXT, 24, ORIGIN_SOLVED,
			"in 3 of 8: so many of the pieces take it, the others another way. By box: "
			"the day of boxing. Of supplies: what is to be bought." },
	[PULL_GOOD] = { "good", "Good in it now", "by box", SHAPE_ONE, 9, ORIGIN_LIVE,
			"By box: sheet Boxes." },
	[PULL_LEFT] = { "left", "Left after", "by box", SHAPE_ONE, 9, ORIGIN_SOLVED,
			"By box: good ones of the day that remain." },
};
const struct book_table pull_table = {
	"Pull list",
	"What to take from which box for the best mix and the open orders: by piece, then by box.",
	columns, sizeof columns / sizeof columns[0]
};

struct listing {
	struct pages *p;
	const struct pull *pull;
	uint32_t row;
};

static void group(struct listing *l, const char *title)
{
	sheet_height(l->p->pull.s, l->row++, 7); /* a little air */
	sheet_text(l->p->pull.s, l->row, PULL_DONE, LOOK(SECTION, TEXT), str_of(title));
	sheet_height(l->p->pull.s, l->row++, 18);
}

static void part_of_page(struct listing *l, const char *title)
{
	sheet_text(l->p->pull.s, l->row, PULL_DONE, LOOK(TITLE, TEXT), str_of(title));
	sheet_height(l->p->pull.s, l->row++, 26);
}

static void tick(const struct listing *l)
{
	sheet_blank(l->p->pull.s, l->row, PULL_DONE, LOOK(TICK, TEXT));
	sheet_height(l->p->pull.s, l->row, 17);
}

static void box_cells(const struct listing *l, const struct box *b)
{
	struct pages *p = l->p;
	const struct page *g = &p->pull;
	page_text(g, l->row, PULL_BOX, box_name(p, b));
	page_text(g, l->row, PULL_WHAT, item_name(p->farm, b->item));
	page_text(g, l->row, PULL_COLOUR, colour_name(p->farm, b->colour));
	page_number(g, l->row, PULL_LENGTH, b->length > 0 ? (double)b->length / 10 : NAN);
	page_text(g, l->row, PULL_PLACE, b->place == NONE ? STR_NONE : p->farm->words[b->place]);
	page_text(g, l->row, PULL_UNIT, measure_base(p->farm, b->item));
}

/* ---- by piece ---- */

static void line_row(struct listing *l, const struct pull_run *run, const struct pull_line *line)
{
	struct pages *p = l->p;
	const struct page *g = &p->pull;
	bool stems = line->kind == PULL_STEMS, missing = line->kind == PULL_MISSING;
	if (!missing)
		tick(l);
	if (stems) {
		box_cells(l, &p->farm->boxes[line->box]);
	} else {
		page_words(g, l->row, PULL_BOX, missing ? "missing" : kind_name(line->item.kind));
		page_text(g, l->row, PULL_WHAT, item_name(p->farm, line->item));
		page_text(g, l->row, PULL_COLOUR, colour_name(p->farm, line->colour));
		page_text(g, l->row, PULL_UNIT, measure_base(p->farm, line->item));
	}
	page_number(g, l->row, PULL_TAKE,
		    stems || missing ? (double)line->stems : rat_double(line->amount));
	if (line->makings != run->count)
		page_words(
		    g, l->row, PULL_NOTE,
		    text_of(p, "in %lld of %lld", (long long)line->makings, (long long)run->count));
	l->row++;
}

static const char *run_title(struct pages *p, const struct pull_run *run)
{
	struct str name = item_name(p->farm, run->item);
	char on[11];
	date_print(run->on, on);
	if (run->item.kind == KIND_PART)
		return text_of(p, "Made ahead: %lld making%s of %.*s by %s", (long long)run->count,
			       run->count == 1 ? "" : "s", STR_ARG(name), on);
	const char *orders = run->ordered > 0 && run->ordered < run->count
				 ? text_of(p, ", %lld of them for orders", (long long)run->ordered)
				 : "";
	return text_of(p, "%lld %.*s by %s%s", (long long)run->count, STR_ARG(name), on, orders);
}

static void finished_row(struct listing *l, uint32_t piece, int64_t n, const char *whom)
{
	const struct page *g = &l->p->pull;
	struct item item = { KIND_PIECE, piece };
	tick(l);
	page_words(g, l->row, PULL_BOX, "finished");
	page_text(g, l->row, PULL_WHAT, item_name(l->p->farm, item));
	page_number(g, l->row, PULL_TAKE, (double)n);
	page_text(g, l->row, PULL_UNIT, measure_base(l->p->farm, item));
	page_words(g, l->row, PULL_NOTE, whom);
	l->row++;
}

static const char *order_words(struct pages *p, const struct order *o)
{
	return o->id.n ? text_of(p, "order %.*s", STR_ARG(o->id))
		       : text_of(p, "order, line %u", (unsigned)o->line);
}

static void finished(struct listing *l)
{
	const struct pull *pull = l->pull;
	struct pages *p = l->p;
	bool any = false;
	for (size_t i = 0; i < pull->norders + pull->nsales; i++) {
		bool sale = i >= pull->norders;
		const struct pull_order *o = sale ? NULL : &pull->orders[i];
		const struct pull_sale *s = sale ? &pull->sales[i - pull->norders] : NULL;
		int64_t n = sale ? s->finished : o->finished;
		if (n == 0)
			continue;
		if (!any)
			group(l, "Finished pieces");
		any = true;
		const struct order *order = sale ? NULL : &p->farm->orders[o->order];
		finished_row(
		    l, sale ? s->piece : order->piece, n,
		    sale ? text_of(p, "%.*s", STR_ARG(p->farm->outlets[s->outlet].head.name))
			 : order_words(p, order));
	}
}

static void by_piece(struct listing *l)
{
	const struct pull *pull = l->pull;
	part_of_page(l, "By piece, made-ahead parts first");
	finished(l);
	for (size_t i = 0; i < pull->nruns; i++) {
		const struct pull_run *run = &pull->runs[i];
		if (!run->listed || run->nlines == 0)
			continue;
		group(l, run_title(l->p, run));
		for (size_t k = run->first; k < run->first + run->nlines; k++)
			line_row(l, run, &pull->lines[k]);
	}
}

/* ---- by box ---- */

static void box_row(struct listing *l, const struct pull_box *b)
{
	struct pages *p = l->p;
	const struct page *g = &p->pull;
	const struct box *box = &p->farm->boxes[b->box];
	tick(l);
	box_cells(l, box);
	page_number(g, l->row, PULL_TAKE, (double)b->take);
	if (box->boxed != DAY_NONE) {
		char on[11];
		date_print(box->boxed, on);
		page_words(g, l->row, PULL_NOTE, text_of(p, "boxed %s", on));
	}
	page_live(g, l->row, PULL_GOOD, p->r->stock.boxes[b->box].worth, "%s",
		  AT(p->boxes, p->box_row[b->box], BOX_WORTH));
	page_number(g, l->row, PULL_LEFT, b->left);
	l->row++;
}

static void supply_row(struct listing *l, const struct pull_supply *s)
{
	const struct page *g = &l->p->pull;
	struct item item = { KIND_SUPPLY, s->supply };
	tick(l);
	page_words(g, l->row, PULL_BOX, kind_name(KIND_SUPPLY));
	page_text(g, l->row, PULL_WHAT, item_name(l->p->farm, item));
	page_number(g, l->row, PULL_TAKE, rat_double(s->needed));
	page_text(g, l->row, PULL_UNIT, measure_base(l->p->farm, item));
	if (isnan(s->on_hand)) {
		page_words(g, l->row, PULL_NOTE, "not counted");
	} else if (s->missing > 0) {
		struct buf b;
		buf_init(&b, 60);
		buf_text(&b, "buy ");
		number_print_short(&b, s->missing, 3);
		page_words(g, l->row, PULL_NOTE, text_of(l->p, "%s", b.data));
		buf_release(&b);
	}
	l->row++;
}

/* ---- the page ---- */

void pull_page(struct pages *p)
{
	struct listing l = { p, p->solved ? p->solved->pull : NULL, ROW_FIRST };
	if (!l.pull || (!l.pull->nruns && !l.pull->norders && !l.pull->nsales)) {
		page_nothing(&p->pull, "Nothing is to be pulled.");
		page_end(&p->pull, ROW_FIRST, 3);
		return;
	}
	page_stale(p, &p->pull, INPUT_MIX);
	by_piece(&l);
	if (l.pull->nboxes) {
		sheet_break(p->pull.s, l.row);
		part_of_page(&l, "By box");
		for (size_t i = 0; i < l.pull->nboxes; i++)
			box_row(&l, &l.pull->boxes[i]);
	}
	if (l.pull->nsupplies) {
		part_of_page(&l, "Supplies to lay out");
		for (size_t i = 0; i < l.pull->nsupplies; i++)
			supply_row(&l, &l.pull->supplies[i]);
	}
	page_end(&p->pull, ROW_FIRST, 3); /* no filter: lines belong to their heading */
}

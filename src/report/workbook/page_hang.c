/* page_hang.c - the drying line, week by week; Charts draws it. */
#include <math.h>

#include "reckon/calendar.h"
#include "report/workbook/pages.h"

enum { MM_PER_M = 1000 };
#define MM2_PER_M2 1e6

static const struct book_column hang_columns[] = {
	[HUNG_SEASON] = { "season", "Season", "", SHAPE_TEXT, 14, ORIGIN_VALUE,
			  "this: by the batches. planned: by the planting plan." },
	[HUNG_WEEK] = { "week", "Week", "ISO 8601", SHAPE_TEXT, 11, ORIGIN_VALUE, NULL },
	[HUNG_BEGINS] = { "begins", "Begins", "Monday", SHAPE_DATE, 12, ORIGIN_VALUE, NULL },
	[HUNG_CUT] = { "cut", "Stems cut", "", SHAPE_WHOLE, 9, ORIGIN_VALUE, NULL },
	[HUNG_BUNDLES] = { "bundles", "Bundles up", "", SHAPE_WHOLE, 9, ORIGIN_VALUE,
			   "On the fullest day of the week." },
	[HUNG_LINE] = { "line", "Line in use", "m", SHAPE_ONE, 9, ORIGIN_VALUE,
			"On the fullest day of the week." },
	[HUNG_THERE] = { "there", "Line there is", "m", SHAPE_ONE, 10, ORIGIN_LIVE, "Sheet Inputs." },
	[HUNG_WITHIN] = { "within", "Hangs", "m", SHAPE_ONE, 9, ORIGIN_LIVE,
			  "Line in use, up to what there is." },
	[HUNG_OVER] = { "over", "Too much", "m", SHAPE_ONE, 9, ORIGIN_LIVE,
			"Line in use past what there is: what gives, `thrave hang` reckons." },
	[HUNG_FREE] = { "free", "Free", "m", SHAPE_ONE, 9, ORIGIN_LIVE, "Line there is, not in use." },
	[HUNG_RACKS] = { "racks", "Racks in use", "m2", SHAPE_TWO, 9, ORIGIN_VALUE,
			 "On their fullest day of the week." },
	[HUNG_FILLED] = { "filled", "Boxes filled", "", SHAPE_ONE, 9, ORIGIN_VALUE,
			  "Planned ones in parts: a box is filled up the next week." },
	[HUNG_USED] = { "used", "Boxes in use", "", SHAPE_ONE, 9, ORIGIN_VALUE,
			"At the end of the week. The planned season begins with none." },
	[HUNG_BOXES] = { "boxes", "Boxes there are", "", SHAPE_WHOLE, 9, ORIGIN_LIVE, "Sheet Inputs." },
	[HUNG_HOURS] = { "hours", "Hours", "h", SHAPE_ONE, 8, ORIGIN_VALUE,
			 "Cutting, stripping, bundling, hanging, boxing." },
};
const struct book_table hang_table = {
	"Drying line",
	"What hangs and what is boxed, week by week, against what there is.",
	hang_columns, sizeof hang_columns / sizeof hang_columns[0]
};

/* A figure of the farm in its own unit, or a word where it is not said (0). */
static void there_is(struct pages *p, uint32_t row, uint32_t col, const struct fig *fig, double scale)
{
	const char *figure = fig_ref(p, fig);
	double value = fig->v > 0 ? fig->v / scale : NAN;
	page_live_or(&p->hang, row, col, value, "not said", "IF(%s>0,%s/%s,\"not said\")", figure, figure,
		     number_ref(p, scale));
}

static void week_row(struct pages *p, uint32_t row, const char *season, const struct hang_week *w)
{
	const struct page *g = &p->hang;
	const struct business *b = &p->farm->business;
	char week[WEEK_TEXT];
	double used = w->line / MM_PER_M, there = b->line.v / MM_PER_M;
	bool said = there > 0;
	const char *used_cell = HERE(*g, row, HUNG_LINE), *there_cell = HERE(*g, row, HUNG_THERE);
	week_print(w->monday, week);
	page_words(g, row, HUNG_SEASON, season);
	page_words(g, row, HUNG_WEEK, text_of(p, "%s", week));
	page_date(g, row, HUNG_BEGINS, w->monday);
	page_number(g, row, HUNG_CUT, w->cut);
	page_number(g, row, HUNG_BUNDLES, w->bundles);
	page_number(g, row, HUNG_LINE, used);
	there_is(p, row, HUNG_THERE, &b->line, MM_PER_M);
	page_live(g, row, HUNG_WITHIN, said ? fmin(used, there) : used, "IF(ISNUMBER(%s),MIN(%s,%s),%s)",
		  there_cell, used_cell, there_cell, used_cell);
	page_live(g, row, HUNG_OVER, said ? fmax(0, used - there) : 0, "IF(ISNUMBER(%s),MAX(0,%s-%s),0)",
		  there_cell, used_cell, there_cell);
	page_live(g, row, HUNG_FREE, said ? fmax(0, there - used) : 0, "IF(ISNUMBER(%s),MAX(0,%s-%s),0)",
		  there_cell, there_cell, used_cell);
	page_number(g, row, HUNG_RACKS, w->racks / MM2_PER_M2);
	page_number(g, row, HUNG_FILLED, w->filled);
	page_number(g, row, HUNG_USED, w->used);
	there_is(p, row, HUNG_BOXES, &b->boxes, 1);
	page_number(g, row, HUNG_HOURS, w->hours);
}

void hang_page(struct pages *p)
{
	static const char *const names[] = { "this", "planned" };
	const struct hang *seasons[] = { p->solved ? p->solved->hang : NULL, p->solved ? p->solved->planned : NULL };
	uint32_t row = ROW_FIRST;
	for (size_t i = 0; i < 2; i++) {
		p->hung[i] = (struct rows){ 1, 0 };
		if (!seasons[i] || !seasons[i]->nweeks)
			continue;
		if (row > ROW_FIRST)
			sheet_break(p->hang.s, row);
		p->hung[i].first = row;
		for (size_t w = 0; w < seasons[i]->nweeks; w++)
			week_row(p, row++, names[i], &seasons[i]->weeks[w]);
		p->hung[i].last = row - 1;
	}
	if (row > ROW_FIRST)
		page_stale(p, &p->hang, INPUT_PLAN);
	page_end(&p->hang, row, 3);
	if (row == ROW_FIRST)
		page_nothing(&p->hang, "Nothing hangs, and the targets ask for nothing that is grown.");
}

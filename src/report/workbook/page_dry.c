/* page_dry.c - weighings of the batches, and what they say: Is it dry, Weighings. */
#include <math.h>

#include "report/workbook/pages.h"

enum { DRY_LINES_MOST = CHART_SERIES_MOST, CHART_COLUMN = 9, NAME_MOST = 40 };

enum {
	IS_BATCH,
	IS_CROP,
	IS_COLOUR,
	IS_HUNG,
	IS_BOXED,
	IS_WEIGHINGS,
	IS_LAST_ON,
	IS_FIRST,
	IS_LAST,
	IS_LOST,
	IS_STEP,
	IS_TO_GO,
	IS_EXPECTED,
	IS_SAYS
};
enum { W_BATCH, W_ON, W_DAYS, W_SCALE, W_TARE, W_NET, W_LEFT, W_CURVE };

static const struct book_column dry_columns[] = {
	[IS_BATCH] = { "batch", "Batch", "", SHAPE_TEXT, 12, ORIGIN_VALUE, "As in batches.csv." },
	[IS_CROP] = { "crop", "Crop", "", SHAPE_TEXT, 20, ORIGIN_VALUE, NULL },
	[IS_COLOUR] = { "colour", "Colour", "", SHAPE_TEXT, 12, ORIGIN_VALUE, NULL },
	[IS_HUNG] = { "hung", "Hung", "", SHAPE_DATE, 12, ORIGIN_VALUE, NULL },
	[IS_BOXED] = { "boxed", "Boxed", "", SHAPE_DATE, 12, ORIGIN_VALUE, "Empty: it hangs." },
	[IS_WEIGHINGS] = { "weighings", "Weighings", "", SHAPE_WHOLE, 10, ORIGIN_LIVE,
			   "Days with a weight on the sheet Weighings." },
	[IS_LAST_ON] = { "last_on", "Last weighed", "", SHAPE_DATE, 12, ORIGIN_VALUE, NULL },
	[IS_FIRST] = { "first", "First weight", "g", SHAPE_FREE, 9, ORIGIN_LIVE, "Without the tare." },
	[IS_LAST] = { "last", "Last weight", "g", SHAPE_FREE, 9, ORIGIN_LIVE, "Without the tare." },
	[IS_LOST] = { "lost", "Lost so far", "", SHAPE_PERCENT, 9, ORIGIN_LIVE,
		      "(First - last) / first: moisture, wet basis." },
	[IS_STEP] = { "step", "Last step", "", SHAPE_PERCENT, 9, ORIGIN_LIVE,
		      "Lost between the last two weighings, of the first weight. Dry is 1% or less." },
	[IS_TO_GO] = { "to_go", "Water to go", "", SHAPE_PERCENT, 9, ORIGIN_VALUE,
		       "By the curve through the weighings, cautiously. Dry is 2% or less. As the program found "
		       "it: it does not follow the weights." },
	[IS_EXPECTED] = { "expected", "Dry by", "", SHAPE_DATE, 12, ORIGIN_VALUE,
			  "By the curve; empty where it cannot be said." },
	[IS_SAYS] = { "says", "Its weight says", "", SHAPE_LABEL, 40, ORIGIN_LIVE,
		      "As the program found it; says so when a weight has been changed. The stem has the last "
		      "word: it snaps, or it hangs on." },
};
const struct book_table dry_table = {
	"Is it dry", "Batches that were weighed: which may be boxed, and when the others will be dry.",
	dry_columns, sizeof dry_columns / sizeof dry_columns[0]
};

static const struct book_column weigh_columns[] = {
	[W_BATCH] = { "batch", "Batch", "", SHAPE_TEXT, 12, ORIGIN_VALUE, "As in batches.csv." },
	[W_ON] = { "on", "Weighed", "", SHAPE_DATE, 12, ORIGIN_VALUE, NULL },
	[W_DAYS] = { "days", "Days", "", SHAPE_WHOLE, 8, ORIGIN_LIVE, "Since its first weighing." },
	[W_SCALE] = { "scale", "On the scale", "g", SHAPE_FREE, 10, ORIGIN_VALUE,
		      "Hook, band or tray among it. Of several on a day the last." },
	[W_TARE] = { "tare", "Tare", "g", SHAPE_FREE, 9, ORIGIN_VALUE, NULL },
	[W_NET] = { "net", "Net", "g", SHAPE_FREE, 9, ORIGIN_LIVE, "On the scale - tare." },
	[W_LEFT] = { "left", "Of the first weight", "", SHAPE_PERCENT, 10, ORIGIN_LIVE,
		     "Net / net of its first weighing." },
	[W_CURVE] = { "curve", "By its curve", "g", SHAPE_ONE, 10, ORIGIN_VALUE,
		      "As the program fitted it; empty where no curve fits." },
};
const struct book_table weigh_table = { "Weighings", "Every weighing of every batch, one a day.",
					weigh_columns, sizeof weigh_columns / sizeof weigh_columns[0] };

static void weighing_rows(struct pages *p, const struct weighed_batch *w, uint32_t first)
{
	const struct page *g = &p->weigh;
	const struct batch *b = &p->farm->batches[w->batch];
	for (uint32_t i = 0; i < w->n; i++) {
		uint32_t row = first + i;
		page_text(g, row, W_BATCH, b->id);
		page_date(g, row, W_ON, w->list[i].on);
		page_live(g, row, W_DAYS, (double)w->list[i].on - (double)w->list[0].on, "%s-%s",
			  HERE(*g, row, W_ON), HERE(*g, first, W_ON));
		page_number(g, row, W_SCALE, w->list[i].grams + b->tare);
		page_number(g, row, W_TARE, b->tare);
		page_live(g, row, W_NET, w->list[i].grams, "%s-%s", HERE(*g, row, W_SCALE),
			  HERE(*g, row, W_TARE));
		page_live(g, row, W_LEFT, w->list[i].grams / w->drying.start, "%s/%s", HERE(*g, row, W_NET),
			  HERE(*g, first, W_NET));
		page_number(g, row, W_CURVE, drying_at(&w->drying, w->list[i].on));
	}
}

/* What `dry` says of it, in a line. */
static const char *verdict(const struct weighed_batch *w)
{
	static const char *const hanging[] = {
		"dry by its weight: snap a stem, then box it", "weigh again: fewer than three weighings",
		"leave it hanging: still losing weight",       "leave it hanging: it took up water",
		"leave it hanging: hardly lighter than at first",
		"leave it hanging: water still to go by its curve"
	};
	if (!w->boxed)
		return hanging[w->drying.reason];
	if (w->look)
		return "boxed before it looked dry: open its box once";
	return w->drying.verdict == DRYING_READY ? "boxed, and dry by its weight" : "boxed";
}

static void says_cell(struct pages *p, uint32_t row, const struct weighed_batch *w, uint32_t first, uint32_t last)
{
	double sum = 0;
	for (size_t i = 0; i < w->n; i++)
		sum += w->list[i].grams;
	page_live_text(&p->dry, row, IS_SAYS, verdict(w),
		       "IF(ABS(SUM(%s)-%s)>0.000001,\"weights were changed: run thrave again\",\"%s\")",
		       cells_far(p->weigh.s, first, last, W_NET), number_ref(p, sum), verdict(w));
}

static void batch_row(struct pages *p, uint32_t row, const struct weighed_batch *w, uint32_t first)
{
	const struct page *g = &p->dry;
	const struct batch *b = &p->farm->batches[w->batch];
	uint32_t last = first + (uint32_t)w->n - 1;
	page_text(g, row, IS_BATCH, b->id);
	page_text(g, row, IS_CROP, p->farm->crops[b->crop].head.name);
	page_text(g, row, IS_COLOUR, colour_name(p->farm, b->colour));
	page_date(g, row, IS_HUNG, b->hung_on);
	page_date(g, row, IS_BOXED, w->boxed ? b->boxed_on : DAY_NONE);
	page_live(g, row, IS_WEIGHINGS, (double)w->n, "COUNT(%s)", cells_far(p->weigh.s, first, last, W_NET));
	page_date(g, row, IS_LAST_ON, w->list[w->n - 1].on);
	page_live(g, row, IS_FIRST, w->drying.start, "%s", AT(p->weigh, first, W_NET));
	page_live(g, row, IS_LAST, w->drying.last, "%s", AT(p->weigh, last, W_NET));
	page_live(g, row, IS_LOST, w->drying.lost, "(%s-%s)/%s", HERE(*g, row, IS_FIRST),
		  HERE(*g, row, IS_LAST), HERE(*g, row, IS_FIRST));
	if (w->n > 1)
		page_live(g, row, IS_STEP, w->drying.change, "(%s-%s)/%s", AT(p->weigh, last - 1, W_NET),
			  HERE(*g, row, IS_LAST), HERE(*g, row, IS_FIRST));
	page_number(g, row, IS_TO_GO, w->drying.fitted ? w->drying.to_go : (double)NAN);
	page_date(g, row, IS_EXPECTED, w->boxed ? DAY_NONE : w->drying.expected);
	says_cell(p, row, w, first, last);
}

/* Batches that hang, the latest hung last; without any the latest boxed ones. */
static void draw_weights(struct pages *p, const uint32_t *first)
{
	static const unsigned colours[DRY_LINES_MOST] = { 0x4F7A5A, 0xD9B44A, 0xB5654A, 0x5B7288, 0x8A6FA0, 0x7A7A6A };
	const struct weighed *all = &p->r->weighed;
	struct chart c = { .kind = CHART_POINTS,
			   .title = "Weight by day, of the first weight",
			   .names = "days since the first weighing",
			   .values = "of the first weight",
			   .from = p->weigh.s,
			   .name_col = W_DAYS,
			   .percent = true,
			   .width = 620,
			   .height = 380 };
	for (int boxed = 0; boxed < 2 && !c.nseries; boxed++) {
		for (size_t i = all->n; i-- > 0 && c.nseries < DRY_LINES_MOST;) {
			const struct weighed_batch *w = &all->items[i];
			const struct batch *b = &p->farm->batches[w->batch];
			if (w->boxed != (boxed != 0) || w->n < 2)
				continue;
			struct str crop = p->farm->crops[b->crop].head.name, id = b->id;
			crop.n = str_fit(crop, NAME_MOST);
			id.n = str_fit(id, NAME_MOST);
			/* A name that began with = would be taken for a formula. */
			const char *name = text_of(p, "batch %.*s, %.*s", STR_ARG(id), STR_ARG(crop));
			c.series[c.nseries] = (struct chart_series){ cell_text(p->arena, str_of(name)), W_LEFT,
								     colours[c.nseries] };
			c.rows[c.nseries].first = first[i];
			c.rows[c.nseries++].last = first[i] + (uint32_t)w->n - 1;
		}
	}
	if (c.nseries)
		sheet_chart(p->weigh.s, ROW_HEAD, CHART_COLUMN, &c);
}

void dry_pages(struct pages *p)
{
	const struct weighed *all = &p->r->weighed;
	uint32_t *first = ARENA_ARRAY(p->arena, all->n + 1, uint32_t);
	uint32_t row = ROW_FIRST, next = ROW_FIRST;
	for (int boxed = 0; boxed < 2; boxed++) { /* what hangs stands first */
		for (size_t i = 0; i < all->n; i++) {
			const struct weighed_batch *w = &all->items[i];
			if (w->boxed != (boxed != 0))
				continue;
			first[i] = next;
			weighing_rows(p, w, next);
			batch_row(p, row++, w, next);
			next += (uint32_t)w->n;
		}
	}
	if (row == ROW_FIRST) {
		page_nothing(&p->dry, "No batch has been weighed (batches.csv, or the bench log).");
		page_nothing(&p->weigh, "No batch has been weighed (batches.csv, or the bench log).");
	}
	page_end(&p->dry, row, 1);
	page_end(&p->weigh, next, 2);
	draw_weights(p, first);
}

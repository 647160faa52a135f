/* page_happened.c - the bench log entry by entry, those taken back among them. */
#include <math.h>

#include "base/buf.h"
#include "farm/measure.h"
#include "reckon/bench.h"
#include "report/workbook/pages.h"

enum { CELL_MOST = 8192 };

enum {
	H_ID,
	H_ON,
	H_EVENT,
	H_WHAT,
	H_COUNT,
	H_UNIT,
	H_MINUTES,
	H_SPOILED,
	H_BOX,
	H_DRAWN,
	H_CAUSE,
	H_OUTLET,
	H_PRICE,
	H_STRUCK
};

static const struct book_column happened_columns[] = {
	[H_ID] = { "id", "Entry", "", SHAPE_TEXT, 9, ORIGIN_VALUE, "As in bench.csv: thrave note strike takes it back." },
	[H_ON] = { "on", "Day", "", SHAPE_DATE, 12, ORIGIN_VALUE, NULL },
	[H_EVENT] = { "event", "What happened", "", SHAPE_TEXT, 11, ORIGIN_VALUE, NULL },
	[H_WHAT] = { "what", "To what", "", SHAPE_TEXT, 24, ORIGIN_VALUE, NULL },
	[H_COUNT] = { "count", "How much", "", SHAPE_FREE, 9, ORIGIN_VALUE,
		      "In the unit beside it: stems of a crop, however they were counted." },
	[H_UNIT] = { "unit", "Unit", "", SHAPE_LABEL, 8, ORIGIN_VALUE, NULL },
	[H_MINUTES] = { "minutes", "Minutes", "min", SHAPE_FREE, 9, ORIGIN_VALUE, NULL },
	[H_SPOILED] = { "spoiled", "Spoiled", "", SHAPE_FREE, 9, ORIGIN_VALUE, "Stems, or pieces where pieces spoil." },
	[H_BOX] = { "box", "Box", "", SHAPE_LABEL, 9, ORIGIN_VALUE, "With weighed, cut and hung, the batch." },
	[H_DRAWN] = { "drawn", "Drawn from boxes", "stems", SHAPE_WRAP, 48, ORIGIN_VALUE, NULL },
	[H_CAUSE] = { "cause", "Tossed for", "", SHAPE_LABEL, 11, ORIGIN_VALUE, NULL },
	[H_OUTLET] = { "outlet", "Sold at", "", SHAPE_LABEL, 12, ORIGIN_VALUE, NULL },
	[H_PRICE] = { "price", "For one", "$", SHAPE_MONEY, 10, ORIGIN_VALUE, "What the customer paid." },
	[H_STRUCK] = { "struck", "Taken back by", "", SHAPE_LABEL, 10, ORIGIN_VALUE,
		       "The entry that strikes this one: it never happened." },
};
const struct book_table happened_table = {
	"What happened", "The bench log, entry by entry; what was taken back again stands in grey.",
	happened_columns, sizeof happened_columns / sizeof happened_columns[0]
};

static const char *drawn_text(struct pages *p, const struct log_entry *e)
{
	struct buf b;
	buf_init(&b, CELL_MOST);
	for (size_t i = 0; i < e->ndrawn; i++) {
		buf_printf(&b, "%s%.*s ", i ? "; " : "", STR_ARG(p->farm->boxes[e->drawn[i].box].id));
		number_print_short(&b, e->drawn[i].stems, 3);
	}
	const char *text = arena_copy(p->texts, b.data, b.len);
	buf_release(&b);
	return text;
}

/* The id of the strike in force that takes the entry back; empty when there is none. */
static struct str struck_by(const struct farm *farm, const bool *struck, size_t entry)
{
	for (size_t i = entry + 1; struck[entry] && i < farm->nlog; i++) {
		const struct log_entry *e = &farm->log[i];
		if (e->event == EVENT_STRUCK && !struck[i] && str_eq(e->strikes, farm->log[entry].id))
			return e->id;
	}
	return STR_NONE;
}

static void entry_row(struct pages *p, const struct page *g, uint32_t row, const struct log_entry *e)
{
	const struct farm *farm = p->farm;
	bool strike = e->event == EVENT_STRUCK, weighed = e->event == EVENT_WEIGHED;
	page_text(g, row, H_ID, e->id);
	page_date(g, row, H_ON, e->on);
	page_words(g, row, H_EVENT, event_name(e->event));
	if (strike) {
		page_words(g, row, H_WHAT, text_of(p, "entry %.*s", STR_ARG(e->strikes)));
		return;
	}
	page_text(g, row, H_WHAT, item_name(farm, e->item));
	page_number(g, row, H_COUNT, e->count);
	page_text(g, row, H_UNIT, weighed ? STR("g") : measure_base(farm, e->item));
	page_number(g, row, H_MINUTES, e->minutes);
	page_number(g, row, H_SPOILED, e->spoiled > 0 ? e->spoiled : (double)NAN);
	if (e->box != NONE)
		page_text(g, row, H_BOX, farm->boxes[e->box].id);
	else if (e->batch != NONE)
		page_text(g, row, H_BOX, farm->batches[e->batch].id);
	page_words(g, row, H_DRAWN, drawn_text(p, e));
	if (e->cause != NONE)
		page_words(g, row, H_CAUSE, cause_name((enum cause)e->cause));
	if (e->outlet != NONE)
		page_text(g, row, H_OUTLET, farm->outlets[e->outlet].head.name);
	page_number(g, row, H_PRICE, e->price);
}

void happened_page(struct pages *p)
{
	const struct farm *farm = p->farm;
	const bool *struck = log_struck(farm, p->arena);
	struct page plain = p->happened, faint = p->happened;
	faint.style = STYLE_FAINT;
	for (uint32_t i = 0; i < farm->nlog; i++) {
		const struct page *g = struck[i] ? &faint : &plain;
		const char *texts[sizeof happened_columns / sizeof happened_columns[0]] = { NULL };
		entry_row(p, g, ROW_FIRST + i, &farm->log[i]);
		page_text(g, ROW_FIRST + i, H_STRUCK, struck_by(farm, struck, i));
		texts[H_DRAWN] = drawn_text(p, &farm->log[i]);
		page_heighten(g, ROW_FIRST + i, texts);
	}
	if (farm->nlog == 0)
		page_nothing(&plain, "Nothing stands in the bench log: thrave note writes it.");
	page_end(&plain, ROW_FIRST + (uint32_t)farm->nlog, 1);
}

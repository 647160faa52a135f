/* pages.c - what every page of the workbook does alike. */
#include "report/workbook/pages.h"

#include <math.h>
#include <stdarg.h>

#include "base/buf.h"

enum { TEXT_MOST = 8192, WIDTH_MOST = 44 };

const char *origin_name(enum origin o)
{
	switch (o) {
	case ORIGIN_VALUE:
		return "value";
	case ORIGIN_INPUT:
		return "input";
	case ORIGIN_LIVE:
		return "live";
	case ORIGIN_SOLVED:
		return "solved";
	}
	return "";
}

/* ---- words ---- */

const char *text_of(struct pages *p, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	const char *text = book_vtext(p->book, fmt, ap);
	va_end(ap);
	return text;
}

const char *number_ref(struct pages *p, double x)
{
	if (!isfinite(x)) {
		book_fail(p->book, "A formula of it would hold a number that is none.");
		return "0";
	}
	return formula_number(p->book, x);
}

struct str box_name(struct pages *p, const struct box *b)
{
	return b->id.n ? b->id : str_of(text_of(p, "row %u", (unsigned)b->line));
}

struct str item_name(const struct farm *farm, struct item item)
{
	return farm_head(farm, item)->name;
}

struct str colour_name(const struct farm *farm, uint32_t colour)
{
	return colour == NONE ? STR_NONE : farm->colours[colour];
}

/* Text with the farm's currency for each $. */
static const char *with_currency(struct pages *p, const char *text)
{
	struct buf b;
	if (!strchr(text, '$'))
		return text;
	buf_init(&b, TEXT_MOST);
	for (; *text; text++) {
		if (*text == '$')
			buf_str(&b, p->farm->business.currency);
		else
			buf_char(&b, *text);
	}
	const char *out = arena_copy(p->texts, b.data, b.len);
	buf_release(&b);
	return out;
}

/* ---- a page's frame ---- */

/* Lines that a text needs in a column of that width. */
static unsigned lines_of(const char *head, double width)
{
	unsigned lines = 1;
	double used = 0;
	while (*head) {
		size_t word = strcspn(head, " \n");
		if (used > 0 && used + 1 + (double)word > width - 0.5) {
			lines++;
			used = 0;
		}
		used += (double)word + (used > 0 ? 1 : 0);
		head += word;
		if (*head == '\n') {
			lines++;
			used = 0;
		}
		head += *head != '\0';
	}
	return lines;
}

struct page page_begin(struct pages *p, const struct book_table *table)
{
	struct page g = { book_sheet(p->book, table->sheet), table, STYLE_PLAIN,
			  ARENA_ARRAY(p->arena, table->ncolumns, double) };
	unsigned most = 1;
	sheet_text(g.s, ROW_TITLE, 0, LOOK(TITLE, TEXT), str_of(table->sheet));
	sheet_height(g.s, ROW_TITLE, 24);
	sheet_text(g.s, ROW_SAYS, 0, LOOK(SAYS, TEXT), str_of(with_currency(p, table->says)));
	for (uint32_t i = 0; i < table->ncolumns; i++) {
		const struct book_column *c = &table->columns[i];
		const char *unit = with_currency(p, c->unit);
		const char *head = *unit ? text_of(p, "%s\n%s", c->head, unit) : c->head;
		unsigned lines = lines_of(head, c->width);
		most = lines > most ? lines : most;
		sheet_width(g.s, i, c->width);
		sheet_text(g.s, ROW_HEAD, i, LOOK_OF(STYLE_HEAD, c->shape), str_of(head));
		if (c->note)
			sheet_note(g.s, ROW_HEAD, i, with_currency(p, c->note));
	}
	sheet_height(g.s, ROW_HEAD, 4 + 14.5 * most);
	return g;
}

void page_end(const struct page *g, uint32_t next_row, uint32_t still_columns)
{
	sheet_freeze(g->s, ROW_FIRST, still_columns);
	/* Long names make their column wider, up to a point. */
	for (uint32_t i = 0; i < g->table->ncolumns; i++) {
		const struct book_column *c = &g->table->columns[i];
		double wanted = fmin(g->widest[i] + 1.5, WIDTH_MOST);
		if ((c->shape == SHAPE_TEXT || c->shape == SHAPE_LABEL) && wanted > c->width)
			sheet_width(g->s, i, wanted);
	}
	if (next_row > ROW_FIRST + 1)
		sheet_filter(g->s, ROW_HEAD, next_row - 1, (uint32_t)g->table->ncolumns - 1);
}

void page_nothing(const struct page *g, const char *sentence)
{
	sheet_text(g->s, ROW_FIRST, 0, LOOK(SAYS, TEXT), str_of(sentence));
}

/* Counts on the sheet Boxes less what they were: whatever was typed over. */
static const char *counts_changed(struct pages *p)
{
	double sum = 0;
	if (!p->farm->nboxes)
		return "0";
	for (size_t k = 0; k < p->farm->nboxes; k++) {
		const struct box *box = &p->farm->boxes[p->box_order[k]];
		bool crop = box->item.kind == KIND_CROP;
		sum += crop ? p->r->stock.boxes[p->box_order[k]].base : box->count;
	}
	return text_of(
	    p, "(ABS(SUM(%s)-%s)>0.000001)*1",
	    cells_far(p->boxes.s, ROW_FIRST, ROW_FIRST + (uint32_t)p->farm->nboxes - 1, BOX_BASE),
	    number_ref(p, sum));
}

void page_stale(struct pages *p, const struct page *g, unsigned solver)
{
	const char *fresh = "Solved for the inputs as they stand.";
	sheet_formula_text(g->s, ROW_STALE, 0, LOOK(STRONG, TEXT), fresh,
			   "IF(%s+%s>0,\"Stale: inputs or counts that this rests on have been "
			   "changed. Run thrave on the farm's files again.\",\"%s\")",
			   inputs_stale(p, solver), counts_changed(p), fresh);
}

/* ---- cells ---- */

static int look(const struct page *g, uint32_t col)
{
	return LOOK_OF(g->style, g->table->columns[col].shape);
}

void page_heighten(const struct page *g, uint32_t row, const char *const *texts)
{
	unsigned most = 1;
	for (size_t i = 0; i < g->table->ncolumns; i++) {
		/* Letters are not all of one width: a little to spare. */
		unsigned lines =
		    texts[i] ? lines_of(texts[i], g->table->columns[i].width * 0.88) : 1;
		most = lines > most ? lines : most;
	}
	if (most > 1)
		sheet_height(g->s, row, 3 + 13.5 * most);
}

void page_text(const struct page *g, uint32_t row, uint32_t col, struct str text)
{
	enum shape shape = g->table->columns[col].shape;
	double width = shape == SHAPE_WRAP ? 0 : (double)str_width(text);
	if (g->widest[col] < width)
		g->widest[col] = width;
	sheet_text(g->s, row, col, LOOK_OF(g->style, shape), text);
}

void page_words(const struct page *g, uint32_t row, uint32_t col, const char *text)
{
	page_text(g, row, col, str_of(text));
}

void page_blank(const struct page *g, uint32_t row, uint32_t col)
{
	sheet_blank(g->s, row, col, look(g, col));
}

void page_number(const struct page *g, uint32_t row, uint32_t col, double x)
{
	if (isnan(x))
		page_blank(g, row, col);
	else
		sheet_number(g->s, row, col, look(g, col), x);
}

void page_date(const struct page *g, uint32_t row, uint32_t col, day d)
{
	sheet_date(g->s, row, col, look(g, col), d);
}

void page_live(const struct page *g, uint32_t row, uint32_t col, double value, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	sheet_vformula(g->s, row, col, look(g, col), value, fmt, ap);
	va_end(ap);
}

void page_live_or(const struct page *g, uint32_t row, uint32_t col, double value, const char *words,
		  const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	if (isfinite(value))
		sheet_vformula(g->s, row, col, look(g, col), value, fmt, ap);
	else
		sheet_vformula_text(g->s, row, col, look(g, col), words, fmt, ap);
	va_end(ap);
}

void page_live_text(const struct page *g, uint32_t row, uint32_t col, const char *value,
		    const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	sheet_vformula_text(g->s, row, col, look(g, col), value, fmt, ap);
	va_end(ap);
}

void page_figure(struct pages *p, const struct page *g, uint32_t row, uint32_t col,
		 const struct fig *fig)
{
	if (fig_is_input(p, fig))
		page_live(g, row, col, fig_value(p, fig), "%s", fig_ref(p, fig));
	else
		page_number(g, row, col, fig->v);
}

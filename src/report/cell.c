/* cell.c - what people see in a cell, whatever form the report takes. */
#include "base/number.h"
#include "report/report.h"

enum { SHOWN_MOST = 1024 }; /* 1e308 in full has 309 digits */

/* So many decimals that two digits of a small amount stand: 0.02 kg is not 0. */
static int telling(double v, int decimals)
{
	enum { MOST = 9 };
	double x = v < 0 ? -v : v;
	for (int d = 0; d < decimals; d++)
		x *= 10;
	for (; x > 0 && x < 9.95 && decimals < MOST; decimals++)
		x *= 10;
	return decimals;
}

void report_number(struct buf *b, double v, int decimals)
{
	number_print_short(b, v, telling(v, decimals));
}

static void print_number(struct buf *b, const struct report *r, const struct column *c,
			 const struct cell *cell)
{
	int decimals = report_decimals(r, c);
	if (c->type == TYPE_MONEY)
		number_print(b, cell->fitted ? cell->shown : cell->v, decimals);
	else if (c->type == TYPE_PERCENT)
		number_print(b, cell->v * 100, decimals);
	else if (c->type == TYPE_TENTH)
		number_print(b, cell->v, decimals);
	else if (c->type == TYPE_NUMBER)
		report_number(b, cell->v, decimals);
	else
		number_print(b, cell->v, decimals);
}

struct str report_shown(const struct table *t, size_t c, const struct row *row)
{
	const struct cell *cell = &row->cells[c];
	const struct column *col = &t->def->columns[c];
	if (cell->text.n)
		return cell->text;
	if (cell->kind == CELL_FLAG)
		return str_of(cell->flag ? col->title : "");
	struct buf b;
	buf_init(&b, SHOWN_MOST);
	if (cell->kind == CELL_NUMBER) {
		print_number(&b, t->report, col, cell);
	} else if (cell->kind == CELL_DAY) {
		char date[11];
		date_print(cell->d, date);
		buf_text(&b, date);
	}
	struct str s = { arena_copy(t->report->arena, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

bool column_left(const struct column *c)
{
	return c->type == TYPE_TEXT || c->type == TYPE_FLAG || c->type == TYPE_DATE;
}

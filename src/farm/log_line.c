/* log_line.c - see log_line.h. */
#include "farm/log_line.h"

#include <inttypes.h>

enum { DECIMALS = 6, SCALE = 1000 * 1000 };

static bool needs_quotes(struct str cell, char delimiter)
{
	return cell.n && (memchr(cell.p, delimiter, cell.n) || memchr(cell.p, '"', cell.n) ||
			  str_trim(cell).n < cell.n);
}

static void put_cell(struct buf *out, struct str cell, char delimiter)
{
	if (!needs_quotes(cell, delimiter)) {
		buf_str(out, cell);
		return;
	}
	buf_char(out, '"');
	for (size_t i = 0; i < cell.n; i++) {
		if (cell.p[i] == '"')
			buf_char(out, '"');
		buf_char(out, cell.p[i]);
	}
	buf_char(out, '"');
}

static bool has_column(const struct log_form *form, size_t column)
{
	for (size_t i = 0; i < form->ncolumns; i++) {
		if (form->columns[i] == column)
			return true;
	}
	return false;
}

static struct str cell_of(const struct str *cells, size_t column)
{
	if (column == BENCH_END)
		return STR(".");
	return column < BENCH_COLUMNS ? cells[column] : STR_NONE;
}

/* No file yet: all columns, commas. */
static void write_first(struct buf *out, const struct str *cells)
{
	const struct csv_table *table = csv_table_of(TABLE_BENCH);
	for (size_t i = 0; i < table->n; i++)
		buf_printf(out, "%s%s", i ? "," : "", table->columns[i].name);
	buf_char(out, '\n');
	for (size_t i = 0; i < table->n; i++) {
		buf_text(out, i ? "," : "");
		put_cell(out, cell_of(cells, i), ',');
	}
	buf_char(out, '\n');
}

size_t log_line_write(struct buf *out, const struct log_form *form, const struct str *cells)
{
	if (!form->ncolumns) {
		write_first(out, cells);
		return BENCH_COLUMNS;
	}
	for (size_t i = 0; i < BENCH_COLUMNS; i++) {
		if (cell_of(cells, i).n && !has_column(form, i))
			return i;
	}
	const char *end = form->crlf ? "\r\n" : "\n";
	buf_text(out, form->open_end ? end : "");
	for (size_t i = 0; i < form->ncolumns; i++) {
		if (i)
			buf_char(out, form->delimiter);
		put_cell(out, cell_of(cells, form->columns[i]), form->delimiter);
	}
	buf_text(out, end);
	return BENCH_COLUMNS;
}

void log_line_id(struct buf *out, const struct log_form *form)
{
	buf_printf(out, "%0*" PRId64, (int)form->digits, form->last + 1);
}

bool log_line_number(struct buf *out, const struct log_form *form, struct rat q)
{
	if (SCALE % q.den != 0)
		return false;
	size_t start = out->len;
	number_print_short(out, rat_double(q), DECIMALS);
	char *point = out->data ? strchr(out->data + start, '.') : NULL;
	if (point && form->ncolumns)
		*point = form->decimal;
	return true;
}

bool *log_struck(const struct farm *farm, struct arena *a)
{
	bool *struck = ARENA_ARRAY(a, farm->nlog, bool);
	for (size_t i = farm->nlog; i-- > 0;) {
		const struct log_entry *e = &farm->log[i];
		if (e->event != EVENT_STRUCK || struck[i] || e->strikes.n == 0)
			continue;
		for (size_t k = i; k-- > 0;) {
			if (str_eq(farm->log[k].id, e->strikes))
				struck[k] = true;
		}
	}
	return struck;
}

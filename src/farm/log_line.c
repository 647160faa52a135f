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

unsigned log_line_lacks(const struct log_form *form, const struct str *cells)
{
	unsigned lacks = 0;
	for (size_t i = 0; i < BENCH_COLUMNS && form->ncolumns; i++) {
		if (cell_of(cells, i).n && !has_column(form, i))
			lacks |= 1u << i;
	}
	return lacks;
}

/* ---- more columns ---- */

/* Where the last cell begins; -1: a quote is left open. */
static ptrdiff_t last_cell(struct str line, char delimiter)
{
	bool quoted = false;
	ptrdiff_t start = 0;
	for (size_t i = 0; i < line.n; i++) {
		if (line.p[i] == '"')
			quoted = !quoted;
		else if (line.p[i] == delimiter && !quoted)
			start = (ptrdiff_t)i + 1;
	}
	return quoted ? -1 : start;
}

static bool is_blank(struct str line)
{
	while (line.n && strchr("\r\n", line.p[line.n - 1]))
		line.n--;
	return str_trim(line).n == 0;
}

static void put_columns(struct buf *out, unsigned columns, bool names, char delimiter)
{
	for (size_t i = 0; i < BENCH_COLUMNS; i++) {
		if (!(columns >> i & 1))
			continue;
		buf_text(out, names ? csv_table_of(TABLE_BENCH)->columns[i].name : "");
		buf_char(out, delimiter);
	}
}

static void widen_form(struct log_form *form, unsigned columns, struct arena *a)
{
	uint32_t *wide = ARENA_ARRAY(a, form->ncolumns + BENCH_COLUMNS, uint32_t);
	size_t n = form->ncolumns - 1;
	memcpy(wide, form->columns, n * sizeof *wide);
	for (uint32_t i = 0; i < BENCH_COLUMNS; i++) {
		if (columns >> i & 1)
			wide[n++] = i;
	}
	wide[n++] = BENCH_END;
	form->columns = wide;
	form->ncolumns = n;
}

bool log_line_widen(struct buf *out, struct log_form *form, struct str whole, unsigned columns,
                    struct arena *a)
{
	bool header = true;
	if (!form->ncolumns || form->columns[form->ncolumns - 1] != BENCH_END)
		return false;
	for (size_t at = 0, n; at < whole.n; at += n) {
		const char *lf = memchr(whole.p + at, '\n', whole.n - at);
		n = lf ? (size_t)(lf - whole.p) + 1 - at : whole.n - at;
		struct str line = { whole.p + at, n };
		ptrdiff_t cell = last_cell(line, form->delimiter);
		if (cell < 0) {
			buf_clear(out);
			return false;
		}
		buf_add(out, line.p, (size_t)cell);
		if (!is_blank(line)) {
			put_columns(out, columns, header, form->delimiter);
			header = false;
		}
		buf_add(out, line.p + cell, n - (size_t)cell);
	}
	widen_form(form, columns, a);
	return true;
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

/* csv.c - one table as RFC 4180: a header of keys, CRLF line ends, a cell quoted
 * when it holds a comma, a quote, a line end, or blanks at its ends.
 *
 * Texts stand as they are.  A note that reads `=1+1` stays that text here: CSV
 * knows no types, so a program that opens it may take it for a formula.  Adding a
 * sign in front would change the grower's data; docs/output.md says so. */
#include "report/report.h"

#include "base/number.h"

static bool needs_quotes(struct str s)
{
	if (s.n && (s.p[0] == ' ' || s.p[s.n - 1] == ' '))
		return true;
	for (size_t i = 0; i < s.n; i++) {
		char c = s.p[i];
		if (c == ',' || c == '"' || c == '\n' || c == '\r')
			return true;
	}
	return false;
}

static void put_cell(struct buf *b, struct str s)
{
	if (!needs_quotes(s)) {
		buf_str(b, s);
		return;
	}
	buf_char(b, '"');
	for (size_t i = 0; i < s.n; i++) {
		if (s.p[i] == '"')
			buf_char(b, '"');
		buf_char(b, s.p[i]);
	}
	buf_char(b, '"');
}

static void put_value(struct buf *b, const struct cell *cell)
{
	char date[11];
	switch (cell->kind) {
	case CELL_EMPTY:
		break;
	case CELL_TEXT:
		put_cell(b, cell->text);
		break;
	case CELL_NUMBER:
		number_print_exact(b, cell->v);
		break;
	case CELL_DAY:
		date_print(cell->d, date);
		buf_text(b, date);
		break;
	case CELL_FLAG:
		buf_text(b, cell->flag ? "true" : "false");
		break;
	}
}

/* The header for row NULL. */
static void put_row(struct buf *out, const struct table *t, const struct row *row)
{
	bool first = true;
	for (size_t c = 0; c < t->def->ncolumns; c++) {
		if (!column_machine(t, c))
			continue;
		if (!first)
			buf_char(out, ',');
		first = false;
		if (row)
			put_value(out, &row->cells[c]);
		else
			put_cell(out, str_of(t->def->columns[c].key));
	}
	buf_text(out, "\r\n");
}

int report_csv(const struct report *r, const struct table_def *def, struct buf *out)
{
	bool first = true;
	for (size_t k = 0; k < r->ntables; k++) {
		const struct table *t = r->tables[k];
		if (t->def != def)
			continue;
		if (first)
			put_row(out, t, NULL);
		first = false;
		for (size_t i = 0; i < t->nrows; i++) {
			if (t->rows[i].kind == ROW_PLAIN)
				put_row(out, t, &t->rows[i]);
		}
	}
	return out->full ? -1 : 0;
}

/* html.c - tables with real heads, which become cards on a narrow screen. */
#include "report/page/html.h"

enum { TEXT_MOST = 1 << 16, ROWS_OPEN = 250 }; /* longer tables are folded */

#define TICK "[ ]" /* of the pull list: a box to tick, on paper and on a phone */

static void escape(struct buf *out, const char *p, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		switch (p[i]) {
		case '&':
			buf_text(out, "&amp;");
			break;
		case '<':
			buf_text(out, "&lt;");
			break;
		case '>':
			buf_text(out, "&gt;");
			break;
		case '"':
			buf_text(out, "&quot;");
			break;
		case '\'':
			buf_text(out, "&#39;");
			break;
		default:
			buf_char(out, p[i]);
		}
	}
}

void html_text(struct buf *out, struct str s)
{
	struct buf b;
	buf_init(&b, REPORT_SIZE_MOST);
	buf_visible(&b, s, TEXT_MOST);
	escape(out, b.data, b.len);
	out->full = out->full || b.full;
	buf_release(&b);
}

void html_line(struct buf *out, const char *tag, const char *attributes, struct str s)
{
	buf_printf(out, "<%s%s%s>", tag, *attributes ? " " : "", attributes);
	html_text(out, s);
	buf_printf(out, "</%s>\n", tag);
}

/* ---- a table ---- */

struct layout {
	const struct table *t;
	size_t n;       /* shown columns */
	size_t *column; /* of the definition */
};

/* A heading in one line: "price point"; a word parted by a hyphen is whole again. */
static struct str heading(const struct table *t, size_t c)
{
	const char *title = t->def->columns[c].title;
	char *copy = arena_copy(t->report->arena, title, strlen(title)), *to = copy;
	for (const char *p = title; *p; p++) {
		if (p[0] == '-' && p[1] == '\n')
			p++;
		else
			*to++ = *p == '\n' ? ' ' : *p;
	}
	*to = '\0';
	return str_of(copy);
}

static bool shows_money(const struct layout *l)
{
	for (size_t k = 0; k < l->n; k++) {
		if (l->t->def->columns[l->column[k]].type == TYPE_MONEY)
			return true;
	}
	return false;
}

static void caption(struct buf *out, const struct layout *l)
{
	buf_text(out, "<caption>");
	html_text(out, l->t->title);
	if (shows_money(l) && l->t->report->currency.n) {
		buf_text(out, " <span class=\"unit\">");
		html_text(out, l->t->report->currency);
		buf_text(out, "</span>");
	}
	buf_text(out, "</caption>\n");
}

/* A box to tick, named after what its row is about. */
static void tick(struct buf *out, const struct layout *l, const struct row *row)
{
	buf_text(out, "<input type=\"checkbox\" aria-label=\"done:");
	for (size_t k = 0; k < l->n && k < 4; k++) {
		struct str s = report_shown(l->t, l->column[k], row);
		if (!s.n || str_is(s, TICK))
			continue;
		buf_char(out, ' ');
		html_text(out, s);
	}
	buf_text(out, "\">");
}

static void cell(struct buf *out, const struct layout *l, const struct row *row, size_t k)
{
	size_t c = l->column[k];
	struct str text = report_shown(l->t, c, row), head = heading(l->t, c);
	bool name = k == 0 && !str_is(text, TICK) && text.n;
	buf_printf(out, "<%s role=\"%s\"", name ? "th scope=\"row\"" : "td",
		   name ? "rowheader" : "cell");
	if (!column_left(&l->t->def->columns[c]))
		buf_text(out, " class=\"n\"");
	else if (l->t->def->columns[c].type == TYPE_DATE)
		buf_text(out, " class=\"d\"");
	else if (k == 0 && row->indent)
		buf_printf(out, " class=\"i%u\"", row->indent < 4 ? row->indent : 4);
	if (k && head.n) {
		buf_text(out, " data-h=\"");
		html_text(out, head);
		buf_char(out, '"');
	}
	buf_char(out, '>');
	if (str_is(text, TICK))
		tick(out, l, row);
	else
		html_text(out, text);
	buf_text(out, name ? "</th>" : "</td>");
}

static void heads(struct buf *out, const struct layout *l)
{
	buf_text(out, "<thead role=\"rowgroup\"><tr role=\"row\">");
	for (size_t k = 0; k < l->n; k++) {
		struct str head = heading(l->t, l->column[k]);
		bool left = column_left(&l->t->def->columns[l->column[k]]);
		if (!head.n) { /* a head must not be empty */
			buf_text(out, "<td role=\"cell\"></td>");
			continue;
		}
		buf_printf(out, "<th scope=\"col\" role=\"columnheader\"%s>",
			   left ? "" : " class=\"n\"");
		html_text(out, head);
		buf_text(out, "</th>");
	}
	buf_text(out, "</tr></thead>\n");
}

static void wide(struct buf *out, const struct layout *l)
{
	buf_text(out, "<table role=\"table\">\n");
	caption(out, l);
	heads(out, l);
	buf_text(out, "<tbody role=\"rowgroup\">\n");
	for (size_t i = 0; i < l->t->nrows; i++) {
		const struct row *row = &l->t->rows[i];
		if (row->kind == ROW_GROUP) {
			buf_printf(out,
				   "%s<tr role=\"row\" class=\"group\"><th scope=\"rowgroup\" "
				   "role=\"rowheader\" colspan=\"%zu\">",
				   i ? "</tbody><tbody role=\"rowgroup\">\n" : "", l->n);
			html_text(out, row->text);
			buf_text(out, "</th></tr>\n");
			continue;
		}
		buf_printf(out, "<tr role=\"row\"%s>",
			   row->kind == ROW_PLAIN ? "" : " class=\"sum\"");
		for (size_t k = 0; k < l->n; k++)
			cell(out, l, row, k);
		buf_text(out, "</tr>\n");
	}
	buf_text(out, "</tbody></table>\n");
}

static void folded(struct buf *out, const struct layout *l)
{
	buf_text(out, "<details class=\"list\"><summary>");
	html_text(out, l->t->title);
	buf_printf(out, ": %zu lines</summary>\n", l->t->nrows);
	wide(out, l);
	buf_text(out, "</details>\n");
}

/* ---- upright: a column is a line, rows stand side by side ---- */

static bool line_empty(const struct layout *l, size_t k)
{
	for (size_t i = 0; i < l->t->nrows; i++) {
		const struct row *row = &l->t->rows[i];
		if (row->kind != ROW_GROUP && report_shown(l->t, l->column[k], row).n)
			return false;
	}
	return true;
}

static void upright_cell(struct buf *out, const struct layout *l, const struct row *row, size_t k)
{
	struct str text = report_shown(l->t, l->column[k], row);
	if (k == 0 && text.n)
		buf_text(out, "<th scope=\"col\" class=\"n\">");
	else
		buf_text(out, "<td class=\"n\">");
	html_text(out, text);
	buf_text(out, k == 0 && text.n ? "</th>" : "</td>");
}

static void upright(struct buf *out, const struct layout *l)
{
	buf_text(out, "<table class=\"upright\">\n");
	caption(out, l);
	for (size_t k = 0; k < l->n; k++) {
		if (k && line_empty(l, k))
			continue;
		struct str head = heading(l->t, l->column[k]);
		unsigned bits = l->t->def->columns[l->column[k]].bits;
		buf_printf(out, "<tr%s>",
			   bits & COL_SUM    ? " class=\"sum\""
			   : bits & COL_RULE ? " class=\"rule\""
					     : "");
		buf_text(out, k && head.n ? "<th scope=\"row\">" : "<td>");
		if (k)
			html_text(out, head);
		buf_text(out, k && head.n ? "</th>" : "</td>");
		for (size_t i = 0; i < l->t->nrows; i++) {
			if (l->t->rows[i].kind != ROW_GROUP)
				upright_cell(out, l, &l->t->rows[i], k);
		}
		buf_text(out, "</tr>\n");
	}
	buf_text(out, "</table>\n");
}

void html_table(struct buf *out, const struct table *whole)
{
	const struct table *t = table_for_people(whole);
	struct layout l = { .t = t };
	if (t->nrows == 0) {
		if (t->empty)
			html_line(out, "p", "", str_of(t->empty));
		return;
	}
	l.column = ARENA_ARRAY(t->report->arena, t->def->ncolumns + 1, size_t);
	for (size_t c = 0; c < t->def->ncolumns; c++) {
		if (column_shown(t, c))
			l.column[l.n++] = c;
	}
	if (t->def->upright)
		upright(out, &l);
	else if (t->nrows <= ROWS_OPEN)
		wide(out, &l);
	else
		folded(out, &l);
}

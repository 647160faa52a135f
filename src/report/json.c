/* json.c - a report as one JSON document (RFC 8259), a row of a table on a line.
 * The only file that knows jansson: it encodes the texts.  Numbers are printed by
 * number_print_exact(), the shortest form that reads back as the same double,
 * which the library has not. */
#include "report/report.h"

#include <jansson.h>

#include "base/mem.h"
#include "base/number.h"
#include "base/version.h"

static int add_bytes(const char *bytes, size_t n, void *out)
{
	return buf_add(out, bytes, n);
}

/* Bytes that are no UTF-8 (a folder's name may hold some) become U+FFFD. */
static struct str repaired(struct arena *a, struct str s)
{
	if (str_utf8_bad(s) == s.n)
		return s;
	struct buf b;
	buf_init(&b, REPORT_SIZE_MOST);
	int32_t code;
	for (size_t i = 0, n; (n = str_next(s, i, &code)) > 0; i += n) {
		if (code < 0)
			buf_text(&b, "\xef\xbf\xbd");
		else
			buf_add(&b, s.p + i, n);
	}
	struct str good = { arena_copy(a, b.data, b.len), b.len };
	buf_release(&b);
	return good;
}

struct writer {
	struct arena *arena;
	struct buf *out;
	int depth;
	bool first; /* nothing stands before in this array or object */
};

static void put_text_value(struct writer *w, struct str s)
{
	struct str good = repaired(w->arena, s);
	json_t *text = json_stringn(good.n ? good.p : "", good.n);
	if (!text || json_dump_callback(text, add_bytes, w->out, JSON_ENCODE_ANY))
		w->out->full = true;
	json_decref(text);
}

/* The comma and line before the next member; key NULL inside an array. */
static void next(struct writer *w, const char *key)
{
	buf_text(w->out, w->first ? "\n" : ",\n");
	w->first = false;
	buf_fill(w->out, ' ', (size_t)w->depth * 2);
	if (key) {
		put_text_value(w, str_of(key));
		buf_text(w->out, ": ");
	}
}

static void open(struct writer *w, const char *key, char bracket)
{
	next(w, key);
	buf_char(w->out, bracket);
	w->first = true;
	w->depth++;
}

static void shut(struct writer *w, char bracket)
{
	w->depth--;
	if (!w->first) {
		buf_char(w->out, '\n');
		buf_fill(w->out, ' ', (size_t)w->depth * 2);
	}
	buf_char(w->out, bracket);
	w->first = false;
}

static void member_text(struct writer *w, const char *key, struct str s)
{
	next(w, key);
	put_text_value(w, s);
}

/* Members of an object that stands on one line. */
static void inline_key(struct writer *w, const char *key)
{
	buf_text(w->out, w->first ? "" : ", ");
	w->first = false;
	put_text_value(w, str_of(key));
	buf_text(w->out, ": ");
}

static void inline_text(struct writer *w, const char *key, struct str s)
{
	inline_key(w, key);
	put_text_value(w, s);
}

static void inline_number(struct writer *w, const char *key, double v)
{
	inline_key(w, key);
	if (v - v == 0)
		number_print_exact(w->out, v);
	else
		buf_text(w->out, "null");
}

static void inline_open(struct writer *w)
{
	next(w, NULL);
	buf_char(w->out, '{');
	w->first = true;
}

static void inline_shut(struct writer *w)
{
	buf_char(w->out, '}');
	w->first = false;
}

static void put_cell(struct writer *w, const struct column *c, const struct cell *cell)
{
	char date[11];
	switch (cell->kind) {
	case CELL_TEXT:
		inline_text(w, c->key, cell->text);
		return;
	case CELL_NUMBER:
		inline_number(w, c->key, cell->v);
		return;
	case CELL_DAY:
		date_print(cell->d, date);
		inline_text(w, c->key, str_of(date));
		return;
	case CELL_FLAG:
		inline_key(w, c->key);
		buf_text(w->out, cell->flag ? "true" : "false");
		return;
	case CELL_EMPTY:
		inline_key(w, c->key);
		buf_text(w->out, "null");
	}
}

static void put_rows(struct writer *w, const struct table *t)
{
	for (size_t i = 0; i < t->nrows; i++) {
		if (t->rows[i].kind != ROW_PLAIN)
			continue;
		inline_open(w);
		for (size_t c = 0; c < t->def->ncolumns; c++) {
			if (column_machine(t, c))
				put_cell(w, &t->def->columns[c], &t->rows[i].cells[c]);
		}
		inline_shut(w);
	}
}

/* An array for each definition, in the order of first use. */
static void put_tables(struct writer *w, const struct report *r, const struct table_def *only)
{
	open(w, "tables", '{');
	for (size_t i = 0; i < r->ntables; i++) {
		const struct table_def *def = r->tables[i]->def;
		if ((only && def != only) || report_find(r, def->name) != r->tables[i])
			continue;
		open(w, def->name, '[');
		for (size_t k = i; k < r->ntables; k++) {
			if (r->tables[k]->def == def)
				put_rows(w, r->tables[k]);
		}
		shut(w, ']');
	}
	shut(w, '}');
}

static void put_head(struct writer *w, const struct report *r)
{
	char date[11];
	date_print(r->on, date);
	member_text(w, "program", STR("thrave"));
	member_text(w, "version", STR(THRAVE_VERSION));
	member_text(w, "command", str_of(r->command));
	next(w, "status");
	buf_printf(w->out, "%d", r->status);
	member_text(w, "date", str_of(date));
	member_text(w, "farm", r->farm);
	member_text(w, "currency", r->currency);
	next(w, "currency_digits");
	buf_printf(w->out, "%d", r->digits);
}

static void put_changes(struct writer *w, const struct report *r)
{
	open(w, "supposed", '[');
	for (size_t i = 0; i < r->nchanges; i++) {
		const struct report_change *c = &r->changes[i];
		inline_open(w);
		inline_text(w, "figure", c->path);
		inline_number(w, "today", c->today);
		inline_number(w, "supposed", c->supposed);
		inline_text(w, "unit", str_of(c->unit));
		inline_shut(w);
	}
	shut(w, ']');
}

static void put_remarks(struct writer *w, const struct report *r)
{
	static const char *const kinds[] = { "assumed", "doubt", "caution" };
	open(w, "remarks", '[');
	for (size_t i = 0; i < r->nremarks; i++) {
		inline_open(w);
		inline_text(w, "kind", str_of(kinds[r->remarks[i].kind]));
		inline_text(w, "text", str_of(r->remarks[i].text));
		if (r->remarks[i].source)
			inline_text(w, "source", str_of(r->remarks[i].source));
		inline_shut(w);
	}
	shut(w, ']');
}

static void put_diagnostics(struct writer *w, const struct report *r)
{
	static const char *const levels[] = { "error", "warning", "note" };
	struct diag *d = r->diag;
	open(w, "diagnostics", '[');
	for (size_t i = 0; d && i < d->nitems; i++) {
		const struct diag_item *item = &d->items[i];
		struct place place = diag_place(d, item->at);
		inline_open(w);
		inline_text(w, "level", str_of(levels[item->level]));
		if (item->at.file && item->at.file <= d->nsources)
			inline_text(w, "file", d->sources[item->at.file - 1].name);
		if (place.line) {
			inline_number(w, "line", (double)place.line);
			inline_number(w, "column", (double)place.column);
		}
		if (item->column.n)
			inline_text(w, "cell", item->column);
		inline_text(w, "text", item->text);
		if (item->hint.n)
			inline_text(w, "hint", item->hint);
		inline_shut(w);
	}
	shut(w, ']');
}

int report_json(const struct report *r, const struct table_def *only, struct buf *out)
{
	struct writer w = { r->arena, out, 1, true };
	buf_char(out, '{');
	put_head(&w, r);
	put_changes(&w, r);
	put_tables(&w, r, only);
	open(&w, "verdicts", '[');
	for (size_t i = 0; i < r->nverdicts; i++)
		member_text(&w, NULL, str_of(r->verdicts[i]));
	shut(&w, ']');
	put_remarks(&w, r);
	put_diagnostics(&w, r);
	buf_text(out, "\n}\n");
	return out->full ? -1 : 0;
}

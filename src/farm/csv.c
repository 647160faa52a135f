/* csv.c - records by libcsv, places by walking along.
 *
 * libcsv decides what a record is; it keeps no places and reuses its buffer.  One
 * line of the file is handed to it at a time, and while it reports cells a cursor
 * moves over the same line, so that each cell is a slice of the source text and
 * its place is known.  Only a cell with a doubled quote is copied.
 *
 * A line without any quote, at the start of a record, leaves nothing to decide: it
 * is cut at its delimiters here, with half the time of large tables saved.  The
 * tests hold both ways against libcsv on the same random texts. */
#include "farm/csv.h"

#include <csv.h>

/* libcsv resets its error when csv_fini() is called after one, and hands out a row
 * that is none: after a fault nothing of it is called but csv_free(). */
enum fault { FAULT_NONE, FAULT_QUOTE, FAULT_LONE_CR };

struct csv_parsing {
	const char *cursor;
	const char *line_end;
	struct csv_cell *cells;
	size_t n, cap; /* cells of the record so far */
	struct str text;
	const char *next; /* the first line not yet handed over */
	const char *end;  /* of the text */
	const char *quote, *cr; /* the next of each, as far as looked for */
	struct arena *arena;
	char delimiter;
	bool done;      /* the record is complete */
	bool empty;     /* all its cells are */
	uint32_t lines; /* handed over */
	size_t errors;  /* in diag at the opening */
	struct csv_parser parser;
	enum fault fault;
	const char *fault_at;
};

/* ---- cells ---- */

static bool blank(char c, char delimiter)
{
	return (c == ' ' || c == '\t') && c != delimiter;
}

/* Behind the quote that closes the cell opened at p. */
static const char *past_quoted(const char *p, const char *end)
{
	p++;
	while (p < end && (p = memchr(p, '"', (size_t)(end - p)))) {
		if (p + 1 == end || p[1] != '"')
			return p + 1;
		p += 2;
	}
	return end;
}

static const char *skip_blanks(const struct csv_parsing *in, const char *p)
{
	while (p < in->line_end && blank(*p, in->delimiter))
		p++;
	return p;
}

/* The value of a quoted cell and where it ends.  It stands in the source as it is
 * when a single quote comes right behind as many bytes as it has. */
static const char *quoted_cell(struct csv_parsing *in, struct csv_cell *cell, const char *start,
                               const void *field, size_t n)
{
	const char *close = start + 1 + n, *end = in->line_end;
	if (close < end && *close == '"' && (n == 0 || close[-1] != '"') &&
	    (close + 1 == end || close[1] != '"')) {
		cell->text = (struct str){ start + 1, n };
		return close + 1;
	}
	cell->text = (struct str){ arena_copy(in->arena, field, n), n };
	return past_quoted(start, end);
}

static struct csv_cell *new_cell(struct csv_parsing *in)
{
	if (in->n == in->cap) {
		in->cap = in->cap ? 2 * in->cap : 32;
		in->cells = mem_grow(in->cells, in->cap, sizeof *in->cells);
	}
	return &in->cells[in->n++];
}

static void take_cell(void *field, size_t n, void *context)
{
	struct csv_parsing *in = context;
	if (in->fault)
		return;
	const char *start = in->cursor, *end = in->line_end;
	if (start < end && (*start == ' ' || *start == '\t'))
		start = skip_blanks(in, start);
	/* A record cannot begin with a line end: libcsv has passed one over. */
	if (in->n == 0 && start < end && *start == '\r') {
		in->fault = FAULT_LONE_CR;
		in->fault_at = start;
		return;
	}
	struct csv_cell *cell = new_cell(in);
	const char *p;
	if (start < end && *start == '"') {
		p = quoted_cell(in, cell, start, field, n);
	} else {
		cell->text = (struct str){ start, n };
		p = start + n;
	}
	cell->off = (uint32_t)(start - in->text.p);
	cell->len = (uint32_t)(p - start);
	in->empty = in->empty && n == 0;
	if (p < end && (*p == ' ' || *p == '\t'))
		p = skip_blanks(in, p);
	in->cursor = p + (p < end);
}

static void take_record(int c, void *context)
{
	struct csv_parsing *in = context;
	if (in->fault)
		return;
	in->done = true;
	/* libcsv lets a carriage return end a record wherever it stands. */
	bool crlf = in->cursor + 1 == in->line_end && *in->cursor == '\n';
	if (c == '\r' && !crlf) {
		in->fault = FAULT_LONE_CR;
		in->fault_at = in->cursor - 1;
	}
}

/* ---- what is wrong ---- */

struct span csv_span(const struct csv_reader *r, const struct csv_cell *cell)
{
	return (struct span){ r->source, cell->off, cell->len };
}

static struct span span_at(const struct csv_reader *r, const char *p, size_t n)
{
	return (struct span){ r->source, (uint32_t)(p - r->parts->text.p), (uint32_t)n };
}

static void name_column(struct csv_reader *r, size_t column)
{
	r->failed = true;
	if (column < r->nheader)
		diag_column(r->diag, r->header[column].text);
}

/* From p to the end of its cell, as an eye would see it. */
static struct str rest_of_cell(const struct csv_reader *r, const char *p)
{
	size_t n = 0;
	while (p + n < r->parts->end && p[n] != r->delimiter && p[n] != '\n' && p[n] != '\r')
		n++;
	return (struct str){ p, n };
}

static const char *cell_start(const struct csv_reader *r)
{
	return skip_blanks(r->parts, r->parts->cursor);
}

static void report_unclosed(struct csv_reader *r)
{
	const char *open = cell_start(r);
	diag_error(r->diag, span_at(r, open, 1), "The quote before %s is never closed.",
	           diag_quote(r->diag, rest_of_cell(r, open + 1)));
	name_column(r, r->parts->n);
	diag_hint(r->diag, "add a `\"` where the cell ends");
}

static void report_quote(struct csv_reader *r)
{
	struct csv_parsing *in = r->parts;
	const char *start = cell_start(r), *at = in->fault_at;
	if (*start != '"') {
		struct str cell = rest_of_cell(r, start);
		diag_error(r->diag, span_at(r, at, 1), "A quote stands inside the cell %s.",
		           diag_quote(r->diag, cell));
		name_column(r, in->n);
		diag_hint(r->diag, "put the whole cell in quotes and write the quote twice");
		return;
	}
	struct str over = rest_of_cell(r, at);
	diag_error(r->diag, span_at(r, at, over.n), "%s follows the quote that closes the cell.",
	           diag_quote(r->diag, over));
	name_column(r, in->n);
	diag_hint(r->diag, "a quote inside a quoted cell is written twice");
	if (memchr(start, '\n', (size_t)(at - start)))
		diag_also(r->diag, span_at(r, start, 1), "the cell was opened here");
}

static void report_lone_cr(struct csv_reader *r)
{
	const char *at = r->parts->fault_at;
	const char *end = at;
	while (end > r->parts->text.p && end[-1] != '\r' && end[-1] != '\n')
		end--;
	struct str line = { end, (size_t)(at - end) };
	diag_error(r->diag, span_at(r, at, 1),
	           "The line %s ends in a carriage return without a line feed.",
	           diag_quote(r->diag, line));
	r->failed = true;
	diag_hint(r->diag, "save the table with line ends CRLF or LF");
}

static void report_fault(struct csv_reader *r)
{
	switch (r->parts->fault) {
	case FAULT_QUOTE:
		report_quote(r);
		break;
	case FAULT_LONE_CR:
		report_lone_cr(r);
		break;
	case FAULT_NONE:
		break;
	}
}

static void report_ragged(struct csv_reader *r)
{
	size_t n = r->parts->n;
	if (n > r->nheader) {
		struct csv_cell *over = &r->cells[r->nheader];
		diag_error(r->diag, csv_span(r, over),
		           "The row has %zu cells, the header %zu: %s is one too many.", n, r->nheader,
		           diag_quote(r->diag, over->text));
		if (r->delimiter == ',')
			diag_hint(r->diag, "a cell that holds a comma is put in quotes");
	} else {
		struct str row = rest_of_cell(r, r->parts->text.p + r->off);
		struct csv_cell *last = &r->cells[n - 1];
		row.n = last->off + last->len - r->off;
		diag_error(r->diag, span_at(r, row.p, row.n), "The row %s has %zu cell%s, the header %zu.",
		           diag_quote(r->diag, row), n, n == 1 ? "" : "s", r->nheader);
		name_column(r, n);
	}
	r->failed = true;
}

/* ---- records ---- */

/* The next c at or behind p; `known` is where it was found last. */
static const char *next_of(const struct csv_parsing *in, char c, const char *known, const char *p)
{
	if (known && known >= p)
		return known;
	const char *at = memchr(p, c, (size_t)(in->end - p));
	return at ? at : in->end;
}

/* Whether the line holds no quote, and no carriage return but that of its end. */
static bool plain_line(struct csv_parsing *in, const char *line, const char *content_end)
{
	in->quote = next_of(in, '"', in->quote, line);
	in->cr = next_of(in, '\r', in->cr, line);
	return in->quote >= content_end && in->cr >= content_end;
}

static void cut_line(struct csv_parsing *in, const char *p, const char *end)
{
	while (end > p && blank(end[-1], in->delimiter))
		end--;
	bool last = p == end; /* a line of nothing has no cells */
	while (!last) {
		const char *stop = memchr(p, in->delimiter, (size_t)(end - p));
		last = !stop;
		stop = stop ? stop : end;
		struct csv_cell *cell = new_cell(in);
		const char *tail = stop;
		while (p < tail && blank(*p, in->delimiter))
			p++;
		while (tail > p && blank(tail[-1], in->delimiter))
			tail--;
		cell->text = (struct str){ p, (size_t)(tail - p) };
		cell->off = (uint32_t)(p - in->text.p);
		cell->len = (uint32_t)(tail - p);
		in->empty = in->empty && p == tail;
		p = stop + 1;
		in->done = true;
	}
}

/* Takes in the next line, on its own or with those before it. */
static void parse_line(struct csv_reader *r)
{
	struct csv_parsing *in = r->parts;
	const char *line = in->next;
	const char *lf = memchr(line, '\n', (size_t)(in->end - line));
	in->line_end = lf ? lf + 1 : in->end;
	in->next = in->line_end;
	in->lines++;
	const char *content_end = lf && lf > line && lf[-1] == '\r' ? lf - 1 : lf ? lf : in->end;
	if (line == in->text.p + r->off && plain_line(in, line, content_end)) {
		cut_line(in, line, content_end);
		return;
	}
	size_t n = (size_t)(in->line_end - line);
	size_t used = csv_parse(&in->parser, line, n, take_cell, take_record, in);
	if (used < n && !in->fault) {
		in->fault = FAULT_QUOTE;
		in->fault_at = line + used;
	}
}

/* The end of the text ends the last record too. */
static void parse_end(struct csv_reader *r)
{
	struct csv_parsing *in = r->parts;
	if (csv_fini(&in->parser, take_cell, take_record, in)) {
		in->done = false;
		report_unclosed(r);
	}
}

/* Whether the line just handed over held no record, and none begins in it. */
static bool nothing_in_line(struct csv_reader *r)
{
	struct csv_parsing *in = r->parts;
	if (in->n || in->done || in->fault)
		return false;
	const char *p = skip_blanks(in, in->text.p + r->off);
	if (p + 1 < in->line_end && p[0] == '\r' && p[1] != '\n') {
		in->fault = FAULT_LONE_CR;
		in->fault_at = p;
	}
	return p == in->line_end || *p == '\r' || *p == '\n';
}

static void begin_record(struct csv_reader *r)
{
	struct csv_parsing *in = r->parts;
	in->n = 0;
	in->empty = true;
	in->done = false;
	in->cursor = in->next;
	r->off = (uint32_t)(in->next - in->text.p);
	r->line = in->lines + 1;
}

/* Any record: true when there is one; its number of cells is not looked at. */
static bool next_record(struct csv_reader *r)
{
	struct csv_parsing *in = r->parts;
	while (in->next && !in->fault) {
		begin_record(r);
		do {
			if (in->next == in->end) {
				parse_end(r);
				in->next = NULL;
				break;
			}
			parse_line(r);
			if (nothing_in_line(r))
				break;
		} while (!in->done && !in->fault);
		report_fault(r);
		r->cells = in->cells;
		if (in->done && !in->fault && !in->empty)
			return true;
	}
	return false;
}

/* One wrong delimiter makes every row wrong: the first hundred tell enough. */
static bool enough_errors(struct csv_reader *r)
{
	if (r->diag->errors - r->parts->errors < CSV_ERRORS_MOST)
		return false;
	diag_add(r->diag, DIAG_NOTE, span_at(r, r->parts->text.p + r->off, 0),
	         "The rest of the table is not read: %d errors are enough.", CSV_ERRORS_MOST);
	r->parts->next = NULL;
	return true;
}

bool csv_reader_next(struct csv_reader *r)
{
	while (r->nheader && !enough_errors(r) && next_record(r)) {
		if (r->parts->n == r->nheader)
			return true;
		report_ragged(r);
	}
	return false;
}

/* ---- opening ---- */

static void *grow(void *p, size_t n)
{
	return mem_grow(p, n, 1);
}

size_t csv_cell_count(struct str line, char delimiter)
{
	size_t n = 1;
	bool quoted = false;
	for (size_t i = 0; i < line.n; i++) {
		quoted = quoted != (line.p[i] == '"');
		n += !quoted && line.p[i] == delimiter;
	}
	return n;
}

struct str csv_first_line(struct str text)
{
	size_t i = 0, start = 0;
	bool quoted = false;
	while (i < text.n && strchr(" \t\r\n", text.p[i])) {
		if (text.p[i] == '\n')
			start = i + 1;
		i++;
	}
	for (; i < text.n && (quoted || text.p[i] != '\n'); i++)
		quoted = quoted != (text.p[i] == '"');
	return (struct str){ text.p + start, i - start };
}

char csv_delimiter(struct str text)
{
	static const char choice[] = { ',', ';', '\t' };
	struct str line = csv_first_line(text);
	char best = ',';
	size_t most = 1;
	for (size_t i = 0; i < sizeof choice; i++) {
		size_t n = csv_cell_count(line, choice[i]);
		if (n > most) {
			most = n;
			best = choice[i];
		}
	}
	return best;
}

static void take_header(struct csv_reader *r)
{
	if (!next_record(r)) {
		if (!r->failed) {
			diag_error(r->diag, span_at(r, r->parts->text.p, 0), "The table is empty.");
			diag_hint(r->diag, "its first line names the columns; "
			                   "delete the file when there is nothing to count");
		}
		r->failed = true;
		return;
	}
	r->nheader = r->parts->n;
	r->header = ARENA_ARRAY(r->arena, r->nheader, struct csv_cell);
	memcpy(r->header, r->cells, r->nheader * sizeof *r->header);
}

/* A byte that may not stand in a table, or NULL. */
static const char *bad_byte(struct str text)
{
	size_t bad = str_utf8_bad(text);
	const char *nul = memchr(text.p, '\0', bad);
	return nul ? nul : bad < text.n ? text.p + bad : NULL;
}

/* The cell among n that holds the byte, or n. */
static size_t cell_with(const struct csv_reader *r, const struct csv_cell *cells, size_t n,
                        const char *at)
{
	size_t off = (size_t)(at - r->parts->text.p), i = 0;
	while (i < n && (off < cells[i].off || off >= (size_t)cells[i].off + cells[i].len))
		i++;
	return i;
}

/* Looks for the record with the byte: only now is its column wanted. */
static void report_byte(struct csv_reader *r, const char *at)
{
	const struct csv_cell *cells = r->header;
	size_t n = r->nheader, column;
	while ((column = cell_with(r, cells, n, at)) == n) {
		if (!next_record(r))
			break;
		cells = r->cells;
		n = r->parts->n;
	}
	if (r->failed) /* a quote out of place comes first */
		return;
	struct str shown = column < n ? cells[column].text : (struct str){ at, 1 };
	if (*at == '\0') {
		diag_error(r->diag, span_at(r, at, 1), "A NUL byte stands in the cell %s.",
		           diag_quote(r->diag, shown));
		diag_hint(r->diag, "the file is damaged, or it is no text: save the table as CSV again");
	} else {
		diag_error(r->diag, span_at(r, at, 1), "The cell %s is not in UTF-8.",
		           diag_quote(r->diag, shown));
		diag_hint(r->diag, "save the table as CSV with the character set UTF-8");
	}
	name_column(r, column < n ? column : r->nheader);
}

/* Spreadsheets offer "Unicode text": two bytes for each character. */
static bool report_utf16(struct csv_reader *r, struct str text)
{
	if (text.n < 2 || (memcmp(text.p, "\xff\xfe", 2) && memcmp(text.p, "\xfe\xff", 2)))
		return false;
	diag_error(r->diag, span_at(r, text.p, 0), "The table is in UTF-16.");
	diag_hint(r->diag, "save it as CSV with the character set UTF-8");
	r->failed = true;
	return true;
}

struct csv_reader *csv_reader_open(struct diag *diag, struct arena *arena, uint32_t source,
                                   size_t length)
{
	struct csv_reader *r = ARENA_NEW(arena, struct csv_reader);
	struct csv_parsing *in = ARENA_NEW(arena, struct csv_parsing);
	struct str text = diag->sources[source - 1].text;
	if (length < text.n)
		text.n = length;
	*r = (struct csv_reader){ .diag = diag, .arena = arena, .source = source, .parts = in };
	*in = (struct csv_parsing){ .text = text, .end = text.p + text.n, .errors = diag->errors,
	                            .arena = arena };
	/* Fails only for want of a parser. */
	csv_init(&in->parser, CSV_STRICT | CSV_STRICT_FINI);
	csv_set_realloc_func(&in->parser, grow);
	csv_set_free_func(&in->parser, mem_free);
	if (report_utf16(r, text))
		return r;
	in->next = text.p + (str_starts(text, "\xef\xbb\xbf") ? 3 : 0);
	r->delimiter = csv_delimiter((struct str){ in->next, (size_t)(in->end - in->next) });
	in->delimiter = r->delimiter;
	csv_set_delim(&in->parser, (unsigned char)r->delimiter);
	take_header(r);
	const char *bad = r->failed ? NULL : bad_byte(text);
	if (bad) {
		report_byte(r, bad);
		in->next = NULL;
	}
	return r;
}

void csv_reader_close(struct csv_reader *r)
{
	csv_free(&r->parts->parser);
	mem_free(r->parts->cells);
	r->cells = r->parts->cells = NULL;
	r->parts->next = NULL;
}

size_t csv_line_count(struct str text)
{
	const char *p = text.p, *end = text.p + text.n;
	size_t n = 0;
	while (p < end) {
		n++;
		p = memchr(p, '\n', (size_t)(end - p));
		if (!p)
			break;
		p++;
	}
	return n;
}

/* text.c - reports for people: plain text of at most REPORT_WIDTH columns.
 *
 * Columns are as wide as what they hold.  When a table is too wide, its text
 * columns are narrowed, widest first, and wrap; when that does not suffice, the
 * rows are set side by side, one line for each column ("upright").  Widths are
 * those of the display (str_width), after control characters were escaped. */
#include "report/report.h"

#include "report/text.h"

enum {
	CELL_MOST = 1 << 16,
	GAP = 2,
	HANG = 2,        /* indent of a wrapped first column */
	WORD_MOST = 16,  /* words that are not torn apart; longer ones may be */
	TEXT_LEAST = 10, /* columns that a narrowed text keeps */
	LINES_MOST = 6,  /* of a wrapped cell; what is past them is cut */
	LABEL_MOST = 40, /* upright: columns for the labels */
	VALUE_MOST = 36
};

struct painter {
	const struct report *r;
	const struct text_style *style;
	struct buf *out;
};

/* ---- lines ---- */

/* A copy in the arena without what would move or hide text on a terminal. */
static struct str safe_text(struct arena *a, struct str s)
{
	struct buf b;
	buf_init(&b, CELL_MOST);
	buf_visible(&b, s, CELL_MOST);
	struct str safe = { arena_copy(a, b.data, b.len), b.len };
	buf_release(&b);
	return safe;
}

/* Where to break s, which does not fit: behind the last word that does, else
 * behind a hyphen inside a word, else anywhere. */
static size_t break_at(struct str s, size_t fit)
{
	size_t at = fit;
	while (at > 0 && s.p[at] != ' ')
		at--;
	for (size_t i = fit; at == 0 && i > 2; i--) {
		if (s.p[i - 1] == '-' && s.p[i - 2] != '-' && s.p[i] != '-')
			return i;
	}
	return at ? at : fit;
}

struct str text_wrap(struct str *rest, size_t width)
{
	if (rest->n == 0) /* an empty slice may point nowhere, and no offset is added to that */
		return STR_NONE;
	size_t fit = str_fit(*rest, width), next;
	if (fit < rest->n)
		fit = break_at(*rest, fit);
	if (fit == 0) {
		int32_t code;
		fit = str_next(*rest, 0, &code);
	}
	next = fit;
	while (next < rest->n && rest->p[next] == ' ')
		next++;
	while (fit > 0 && rest->p[fit - 1] == ' ')
		fit--;
	struct str line = { rest->p, fit };
	rest->p += next;
	rest->n -= next;
	return line;
}

static void rule(const struct painter *p, size_t width)
{
	if (!p->style->thin) {
		buf_fill(p->out, '-', width);
	} else {
		for (size_t i = 0; i < width; i++)
			buf_text(p->out, "\xe2\x94\x80");
	}
	buf_char(p->out, '\n');
}

static void bold(const struct painter *p, bool on)
{
	if (p->style->bold)
		buf_text(p->out, on ? "\033[1m" : "\033[0m");
}

static void end_line(const struct painter *p)
{
	struct buf *b = p->out;
	while (b->len && b->data[b->len - 1] == ' ')
		b->data[--b->len] = '\0';
	buf_char(b, '\n');
}

/* `label` and then the text, wrapped beside it. */
static void paragraph(const struct painter *p, const char *label, struct str text)
{
	size_t indent = strlen(label);
	struct str rest = safe_text(p->r->arena, text);
	bool first = true;
	do {
		if (first)
			buf_text(p->out, label);
		else
			buf_fill(p->out, ' ', indent);
		buf_str(p->out, text_wrap(&rest, REPORT_WIDTH - indent));
		end_line(p);
		first = false;
	} while (rest.n);
}

/* ---- cells ---- */

/* What a cell shows, escaped, in the arena. */
static struct str cell_text(const struct table *t, size_t c, const struct row *row)
{
	return safe_text(t->report->arena, report_shown(t, c, row));
}

/* ---- the grid of a table ---- */

struct grid {
	const struct table *t;
	size_t n;       /* shown columns */
	size_t *column; /* of the definition */
	size_t *width;
	size_t gap;
	size_t heads;      /* lines of the heading */
	struct str **text; /* per row, per shown column */
};

/* Line `i` (from 0) of a heading that is parted by '\n', all bottom-aligned. */
static struct str head_line(const char *title, size_t lines, size_t i)
{
	size_t own = 1;
	for (const char *p = title; *p; p++)
		own += *p == '\n';
	if (i + own < lines)
		return STR_NONE;
	size_t skip = i + own - lines;
	const char *start = title;
	while (skip--)
		start = strchr(start, '\n') + 1;
	return (struct str){ start, strcspn(start, "\n") };
}

static void measure_heads(struct grid *g)
{
	g->heads = 1;
	for (size_t k = 0; k < g->n; k++) {
		size_t own = 1;
		for (const char *p = g->t->def->columns[g->column[k]].title; *p; p++)
			own += *p == '\n';
		if (own > g->heads)
			g->heads = own;
	}
}

static size_t head_width(const struct grid *g, size_t k)
{
	size_t width = 0;
	for (size_t i = 0; i < g->heads; i++) {
		size_t w =
		    str_width(head_line(g->t->def->columns[g->column[k]].title, g->heads, i));
		if (w > width)
			width = w;
	}
	return width;
}

static void grid_make(struct grid *g, const struct table *t)
{
	struct arena *a = t->report->arena;
	*g = (struct grid){ .t = t, .gap = GAP };
	g->column = ARENA_ARRAY(a, t->def->ncolumns, size_t);
	g->width = ARENA_ARRAY(a, t->def->ncolumns, size_t);
	g->text = ARENA_ARRAY(a, t->nrows + 1, struct str *);
	for (size_t c = 0; c < t->def->ncolumns; c++) {
		if (column_shown(t, c))
			g->column[g->n++] = c;
	}
	measure_heads(g);
	for (size_t k = 0; k < g->n; k++)
		g->width[k] = head_width(g, k);
	for (size_t i = 0; i < t->nrows; i++) {
		g->text[i] = ARENA_ARRAY(a, g->n + 1, struct str);
		for (size_t k = 0; k < g->n; k++) {
			/* A group's cells are empty too, and never point nowhere. */
			g->text[i][k] = STR("");
			if (t->rows[i].kind == ROW_GROUP)
				continue;
			g->text[i][k] = cell_text(t, g->column[k], &t->rows[i]);
			size_t w = str_width(g->text[i][k]) + (k == 0 ? t->rows[i].indent : 0);
			if (w > g->width[k])
				g->width[k] = w;
		}
	}
}

static size_t grid_width(const struct grid *g)
{
	size_t width = g->n ? g->gap * (g->n - 1) : 0;
	for (size_t k = 0; k < g->n; k++)
		width += g->width[k];
	return width;
}

/* The widest word of a cell; a hyphen ends a word, as lines break there. */
static size_t widest_word(struct str s)
{
	size_t widest = 0, from = 0;
	for (size_t i = 0; i <= s.n; i++) {
		if (i < s.n && s.p[i] != ' ' && s.p[i] != '-')
			continue;
		size_t w = str_width((struct str){ s.p + from, i - from });
		widest = w > widest ? w : widest;
		from = i + 1;
	}
	return widest;
}

/* Columns so narrow that words of an ordinary length break in the middle. */
static bool breaks_words(const struct grid *g)
{
	for (size_t k = 0; k < g->n; k++) {
		if (g->t->def->columns[g->column[k]].type != TYPE_TEXT)
			continue;
		for (size_t i = 0; i < g->t->nrows; i++) {
			size_t word = widest_word(g->text[i][k]), room = g->width[k] - (k ? 0 : HANG);
			if (word > room && word <= WORD_MOST && str_width(g->text[i][k]) > g->width[k])
				return true;
		}
	}
	return false;
}

/* Columns that the widest word of a cell takes; in the first one lines are indented, and
 * those after the first line hang. */
static size_t word_room(const struct grid *g, size_t row, size_t k)
{
	struct str s = g->text[row][k];
	if (k)
		return widest_word(s);
	size_t first = 0;
	while (first < s.n && s.p[first] != ' ' && s.p[first] != '-')
		first++;
	size_t head = str_width((struct str){ s.p, first });
	size_t rest = widest_word((struct str){ s.p + first, s.n - first });
	rest += rest ? HANG : 0;
	return (head > rest ? head : rest) + g->t->rows[row].indent;
}

/* What a text column keeps: its heading, and ordinary words whole. */
static size_t least_width(const struct grid *g, size_t k)
{
	size_t least = head_width(g, k);
	if (least < TEXT_LEAST)
		least = TEXT_LEAST;
	for (size_t i = 0; i < g->t->nrows; i++) {
		size_t word = word_room(g, i, k);
		if (word > least && word <= WORD_MOST)
			least = word;
	}
	return least;
}

/* Narrows text columns until the table fits; false when it cannot. */
static bool grid_narrow(struct grid *g)
{
	size_t *least = ARENA_ARRAY(g->t->report->arena, g->n + 1, size_t);
	for (size_t k = 0; k < g->n; k++)
		least[k] = least_width(g, k);
	while (grid_width(g) > REPORT_WIDTH) {
		size_t widest = g->n;
		for (size_t k = 0; k < g->n; k++) {
			if (g->t->def->columns[g->column[k]].type != TYPE_TEXT ||
			    g->width[k] <= least[k])
				continue;
			if (widest == g->n || g->width[k] > g->width[widest])
				widest = k;
		}
		if (widest < g->n)
			g->width[widest]--;
		else if (g->gap > 1)
			g->gap--;
		else
			return false;
	}
	return g->gap > 1 || !breaks_words(g);
}

/* ---- wide tables: a row is a line ---- */

static void put_aligned(const struct painter *p, struct str s, size_t width, bool left)
{
	size_t w = str_width(s), pad = w < width ? width - w : 0;
	if (!left)
		buf_fill(p->out, ' ', pad);
	buf_str(p->out, s);
	if (left)
		buf_fill(p->out, ' ', pad);
}

static void print_heads(const struct painter *p, const struct grid *g)
{
	for (size_t i = 0; i < g->heads; i++) {
		bold(p, true);
		for (size_t k = 0; k < g->n; k++) {
			const struct column *c = &g->t->def->columns[g->column[k]];
			buf_fill(p->out, ' ', k ? g->gap : 0);
			put_aligned(p, head_line(c->title, g->heads, i), g->width[k],
				    column_left(c));
		}
		while (p->out->len && p->out->data[p->out->len - 1] == ' ')
			p->out->data[--p->out->len] = '\0';
		bold(p, false);
		buf_char(p->out, '\n');
	}
	rule(p, grid_width(g));
}

/* Line `line` (from 0) of a cell; what is past LINES_MOST lines is cut with "...". */
static void put_line(const struct painter *p, struct str *rest, size_t line, size_t width,
		     bool left)
{
	if (line + 1 < LINES_MOST || str_width(*rest) <= width) {
		put_aligned(p, text_wrap(rest, width), width, left);
		return;
	}
	struct str piece = { rest->p, str_fit(*rest, width > 3 ? width - 3 : 0) };
	put_aligned(p, report_printf(p->r->arena, "%.*s...", STR_ARG(piece)), width, left);
	*rest = STR_NONE;
}

static void put_cell(const struct painter *p, const struct grid *g, const struct row *row, size_t k,
		     size_t line, struct str *rest)
{
	size_t indent = k == 0 ? row->indent + (line ? HANG : 0) : 0;
	size_t width = g->width[k] > indent ? g->width[k] - indent : 1;
	buf_fill(p->out, ' ', indent);
	put_line(p, rest, line, width, column_left(&g->t->def->columns[g->column[k]]));
}

static void print_row(const struct painter *p, const struct grid *g, size_t i)
{
	const struct row *row = &g->t->rows[i];
	struct str *rest = g->text[i];
	bool more = true;
	for (size_t line = 0; more && line < LINES_MOST; line++) {
		more = false;
		for (size_t k = 0; k < g->n; k++) {
			buf_fill(p->out, ' ', k ? g->gap : 0);
			put_cell(p, g, row, k, line, &rest[k]);
			more = more || rest[k].n > 0;
		}
		end_line(p);
	}
}

static void print_group(const struct painter *p, const struct row *row)
{
	struct str rest = safe_text(p->r->arena, row->text);
	for (size_t line = 0; line == 0 || (rest.n && line < LINES_MOST); line++) {
		buf_fill(p->out, ' ', line ? HANG : 0);
		put_line(p, &rest, line, REPORT_WIDTH - (line ? HANG : 0), true);
		end_line(p);
	}
}

static void print_wide(const struct painter *p, const struct grid *g)
{
	print_heads(p, g);
	for (size_t i = 0; i < g->t->nrows; i++) {
		if (g->t->rows[i].kind == ROW_GROUP) {
			print_group(p, &g->t->rows[i]);
			continue;
		}
		if (g->t->rows[i].kind == ROW_TOTAL)
			rule(p, grid_width(g));
		print_row(p, g, i);
	}
}

/* ---- upright tables: a column is a line ---- */

struct band { /* rows that stand side by side */
	size_t from, to;
	size_t label;  /* columns of the labels */
	size_t *width; /* per row of the table */
};

static struct str label_text(const struct grid *g, size_t k)
{
	const char *title = g->t->def->columns[g->column[k]].title;
	size_t n = strlen(title);
	char *copy = arena_copy(g->t->report->arena, title, n);
	for (size_t i = 0; i < n; i++) {
		if (copy[i] == '\n')
			copy[i] = ' ';
	}
	return (struct str){ copy, n };
}

static size_t band_width(const struct band *b)
{
	size_t width = b->label;
	for (size_t i = b->from; i < b->to; i++)
		width += GAP + b->width[i];
	return width;
}

static void print_band_cells(const struct painter *p, const struct grid *g, const struct band *b,
			     size_t k)
{
	struct str label = k ? label_text(g, k) : STR_NONE;
	bool more = true;
	for (size_t line = 0; more && line < LINES_MOST; line++) {
		size_t hang = line ? HANG : 0;
		buf_fill(p->out, ' ', hang);
		put_line(p, &label, line, b->label - hang, true);
		more = label.n > 0;
		for (size_t i = b->from; i < b->to; i++) {
			struct str *rest = &g->text[i][k];
			buf_fill(p->out, ' ', GAP);
			put_line(p, rest, line, b->width[i], false);
			more = more || rest->n > 0;
		}
		end_line(p);
	}
}

static void print_band(const struct painter *p, const struct grid *g, const struct band *b)
{
	bold(p, true);
	print_band_cells(p, g, b, 0);
	bold(p, false);
	rule(p, band_width(b));
	for (size_t k = 1; k < g->n; k++) {
		bool empty = true;
		for (size_t i = b->from; i < b->to; i++)
			empty = empty && g->text[i][k].n == 0;
		if (empty)
			continue;
		if (g->t->def->columns[g->column[k]].bits & COL_RULE)
			rule(p, band_width(b));
		print_band_cells(p, g, b, k);
	}
}

static void upright_widths(const struct grid *g, struct band *b)
{
	for (size_t k = 1; k < g->n; k++) {
		size_t w = str_width(label_text(g, k));
		if (w > b->label)
			b->label = w < LABEL_MOST ? w : LABEL_MOST;
	}
	for (size_t i = 0; i < g->t->nrows; i++) {
		for (size_t k = 0; k < g->n; k++) {
			size_t w = str_width(g->text[i][k]);
			if (k == 0 && w > VALUE_MOST / 2)
				w = VALUE_MOST / 2; /* the row's name may wrap */
			if (w > b->width[i])
				b->width[i] = w < VALUE_MOST ? w : VALUE_MOST;
		}
	}
}

/* The rows from b->from on that stand side by side in the width there is. */
static void band_fill(const struct grid *g, struct band *b)
{
	b->to = b->from + 1;
	while (b->to < g->t->nrows && g->t->rows[b->to].kind != ROW_GROUP &&
	       band_width(b) + GAP + b->width[b->to] <= REPORT_WIDTH)
		b->to++;
}

static size_t upright_width(const struct grid *g, struct band b)
{
	size_t widest = 0;
	for (; b.from < g->t->nrows; b.from = b.to) {
		band_fill(g, &b);
		if (band_width(&b) > widest)
			widest = band_width(&b);
	}
	return widest;
}

static void print_upright(const struct painter *p, const struct grid *g, struct band b)
{
	while (b.from < g->t->nrows) {
		if (g->t->rows[b.from].kind == ROW_GROUP) {
			print_group(p, &g->t->rows[b.from++]);
			continue;
		}
		band_fill(g, &b);
		print_band(p, g, &b);
		b.from = b.to;
		if (b.from < g->t->nrows)
			buf_char(p->out, '\n');
	}
}

/* ---- tables and the report ---- */

static bool shows_money(const struct grid *g)
{
	for (size_t k = 0; k < g->n; k++) {
		if (g->t->def->columns[g->column[k]].type == TYPE_MONEY)
			return true;
	}
	return false;
}

/* The title on the left, the currency of its money at the right edge. */
static void print_title(const struct painter *p, const struct grid *g, size_t width)
{
	struct str title = safe_text(p->r->arena, g->t->title);
	struct str money = shows_money(g) ? p->r->currency : STR_NONE;
	size_t room = REPORT_WIDTH - (money.n ? str_width(money) + GAP : 0);
	bold(p, true);
	for (bool first = true; first || title.n; first = false) {
		struct str line = text_wrap(&title, room);
		buf_str(p->out, line);
		if (first && money.n) {
			size_t used = str_width(line) + str_width(money);
			buf_fill(p->out, ' ', used + GAP < width ? width - used : GAP);
			buf_str(p->out, money);
		}
		if (title.n)
			buf_char(p->out, '\n');
	}
	bold(p, false);
	buf_char(p->out, '\n');
}

static void print_table(const struct painter *p, const struct table *whole)
{
	const struct table *t = table_for_people(whole);
	struct grid g;
	grid_make(&g, t);
	bool upright = t->def->upright || !grid_narrow(&g);
	if (t->nrows == 0) {
		if (t->empty)
			paragraph(p, "", str_of(t->empty));
		return;
	}
	struct band b = { .width = ARENA_ARRAY(p->r->arena, t->nrows + 1, size_t) };
	if (upright)
		upright_widths(&g, &b);
	print_title(p, &g, upright ? upright_width(&g, b) : grid_width(&g));
	if (upright)
		print_upright(p, &g, b);
	else
		print_wide(p, &g);
}

static void print_changes(const struct painter *p)
{
	const struct report *r = p->r;
	for (size_t i = 0; i < r->nchanges; i++) {
		paragraph(p, "Supposed ", report_change_text(r, &r->changes[i]));
	}
}

static void print_foot(const struct painter *p)
{
	static const char *const labels[] = { "assumed   ", "doubt     ", "caution   " };
	const struct report *r = p->r;
	if (p->style->quiet || (!r->nremarks && !r->fitted))
		return;
	buf_char(p->out, '\n');
	for (int kind = REMARK_ASSUMED; kind <= REMARK_CAUTION; kind++) {
		for (size_t i = 0; i < r->nremarks; i++) {
			if ((int)r->remarks[i].kind == kind)
				paragraph(p, labels[kind], str_of(r->remarks[i].text));
		}
	}
	if (r->fitted)
		paragraph(p, "rounding  ", STR(ROUNDING_RULE));
}

int report_text(const struct report *r, const struct text_style *style,
		const struct table_def *only, struct buf *out)
{
	struct painter p = { r, style, out };
	if (r->title.n) {
		bold(&p, true);
		paragraph(&p, "", r->title);
		bold(&p, false);
	}
	for (size_t i = 0; i < r->nsentences; i++)
		paragraph(&p, "", str_of(r->sentences[i]));
	print_changes(&p);
	for (size_t i = 0; i < r->ntables; i++) {
		const struct table *t = r->tables[i];
		if ((only && t->def != only) || (t->nrows == 0 && !t->empty))
			continue;
		buf_char(out, '\n');
		print_table(&p, t);
	}
	if (r->nverdicts)
		buf_char(out, '\n');
	for (size_t i = 0; i < r->nverdicts; i++)
		paragraph(&p, "", str_of(r->verdicts[i]));
	print_foot(&p);
	return out->full ? -1 : 0;
}

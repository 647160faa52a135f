/* diag.c - collecting, ordering and printing diagnostics. */
#include "base/diag.h"

#include "base/buf.h"

enum {
	SENTENCE_MOST = 4096,
	QUOTE_MOST = 40, /* characters of user's text in a sentence */
	NAME_MOST = 400, /* characters of a file or column name */
	LINE_WIDTH = 98, /* columns for a source line: 100 less the indent */
	TAB_STOP = 8
};

void diag_init(struct diag *d, struct arena *a)
{
	*d = (struct diag){ .arena = a };
}

uint32_t diag_source(struct diag *d, struct str name, struct str text)
{
	struct source *s = ARENA_PUSH(d->arena, d->sources, d->nsources, d->cap_sources);
	*s = (struct source){ .name = name, .text = text };
	return (uint32_t)d->nsources;
}

/* ---- adding ---- */

static struct str sentence(struct diag *d, const char *fmt, va_list ap)
    __attribute__((format(printf, 2, 0)));
static struct str sentence(struct diag *d, const char *fmt, va_list ap)
{
	struct buf b;
	buf_init(&b, SENTENCE_MOST);
	if (buf_vprintf(&b, fmt, ap))
		buf_text(&b, "The message is too long to show.");
	struct str text = { arena_copy(d->arena, b.data, b.len), b.len };
	buf_release(&b);
	return text;
}

int diag_add(struct diag *d, enum diag_level level, struct span at, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	struct str text = sentence(d, fmt, ap);
	va_end(ap);
	struct diag_item *item = ARENA_PUSH(d->arena, d->items, d->nitems, d->cap_items);
	*item = (struct diag_item){ .level = level, .at = at, .text = text };
	if (level == DIAG_ERROR)
		d->errors++;
	else if (level == DIAG_WARNING)
		d->warnings++;
	return level == DIAG_ERROR ? -1 : 0;
}

static struct diag_item *last_item(struct diag *d)
{
	return d->nitems ? &d->items[d->nitems - 1] : NULL;
}

void diag_hint(struct diag *d, const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	struct str text = sentence(d, fmt, ap);
	va_end(ap);
	if (last_item(d))
		last_item(d)->hint = text;
}

void diag_also(struct diag *d, struct span other, const char *text)
{
	struct diag_item *item = last_item(d);
	if (!item)
		return;
	size_t n = strlen(text);
	item->also = other;
	item->also_text = (struct str){ arena_copy(d->arena, text, n), n };
}

void diag_column(struct diag *d, struct str column)
{
	if (last_item(d))
		last_item(d)->column = column;
}

const char *diag_quote(struct diag *d, struct str s)
{
	struct buf b;
	buf_init(&b, SENTENCE_MOST);
	buf_char(&b, '`');
	buf_visible(&b, s, QUOTE_MOST);
	buf_char(&b, '`');
	const char *text = arena_copy(d->arena, b.data, b.len);
	buf_release(&b);
	return text;
}

/* ---- places ---- */

static void find_lines(struct diag *d, struct source *s)
{
	size_t n = 1;
	for (size_t i = 0; i < s->text.n; i++)
		n += s->text.p[i] == '\n';
	s->lines = ARENA_ARRAY(d->arena, n, uint32_t);
	for (size_t i = 0; i < s->text.n; i++) {
		if (s->text.p[i] == '\n')
			s->lines[++s->nlines] = (uint32_t)i + 1;
	}
	s->nlines++;
}

static struct source *source_of(struct diag *d, struct span at)
{
	return at.file && at.file <= d->nsources ? &d->sources[at.file - 1] : NULL;
}

struct place diag_place(struct diag *d, struct span at)
{
	struct source *s = source_of(d, at);
	if (!s)
		return (struct place){ 0, 0, STR_NONE };
	if (!s->lines)
		find_lines(d, s);
	size_t off = at.off < s->text.n ? at.off : s->text.n;
	size_t lo = 0, hi = s->nlines; /* lines[lo] <= off < lines[hi] */
	while (hi - lo > 1) {
		size_t mid = lo + (hi - lo) / 2;
		if (s->lines[mid] <= off)
			lo = mid;
		else
			hi = mid;
	}
	size_t start = s->lines[lo];
	size_t end = lo + 1 < s->nlines ? s->lines[lo + 1] - 1 : s->text.n;
	if (end > start && s->text.p[end - 1] == '\r')
		end--;
	struct str text = { s->text.p + start, end - start };
	return (struct place){ lo + 1, str_chars(text, off - start) + 1, text };
}

/* ---- order ---- */

static int three_way(uint64_t a, uint64_t b)
{
	return (a > b) - (a < b);
}

/* Errors first, then by place; the words last so that repeats stand together. */
static int compare(const void *pa, const void *pb)
{
	const struct diag_item *a = pa, *b = pb;
	int c = three_way(a->level, b->level);
	if (!c)
		c = three_way(a->at.file, b->at.file);
	if (!c)
		c = three_way(a->at.off, b->at.off);
	if (!c)
		c = three_way(a->at.len, b->at.len);
	if (!c)
		c = str_cmp(a->column, b->column);
	if (!c)
		c = str_cmp(a->text, b->text);
	/* The one with a hint or a second place goes first and is kept. */
	if (!c)
		c = three_way(b->also.file > 0, a->also.file > 0);
	if (!c)
		c = str_cmp(b->hint, a->hint);
	return c;
}

static bool same_message(const struct diag_item *a, const struct diag_item *b)
{
	return a->level == b->level && a->at.file == b->at.file && a->at.off == b->at.off &&
	       str_eq(a->column, b->column) && str_eq(a->text, b->text);
}

void diag_sort(struct diag *d)
{
	if (d->nitems < 2)
		return;
	qsort(d->items, d->nitems, sizeof *d->items, compare);
	size_t kept = 1;
	for (size_t i = 1; i < d->nitems; i++) {
		struct diag_item *item = &d->items[i];
		if (!same_message(&d->items[kept - 1], item)) {
			d->items[kept++] = *item;
			continue;
		}
		if (item->level == DIAG_ERROR)
			d->errors--;
		else if (item->level == DIAG_WARNING)
			d->warnings--;
	}
	d->nitems = kept;
}

/* ---- printing ---- */

/* A source line as shown on the screen. */
struct shown {
	struct buf text;
	size_t from, to; /* columns of the span */
	size_t width;
};

static void show_line(struct shown *out, struct str line, size_t from, size_t to)
{
	int32_t code;
	size_t column = 0;
	out->from = out->to = SIZE_MAX;
	for (size_t i = 0, n; (n = str_next(line, i, &code)) > 0; i += n) {
		size_t start = out->text.len;
		if (i >= from && out->from == SIZE_MAX)
			out->from = column;
		if (i >= to && out->to == SIZE_MAX)
			out->to = column;
		if (code == '\t')
			buf_fill(&out->text, ' ', TAB_STOP - column % TAB_STOP);
		else
			buf_visible(&out->text, (struct str){ line.p + i, n }, 1);
		column += str_width((struct str){ out->text.data + start, out->text.len - start });
	}
	out->width = column;
	if (out->from == SIZE_MAX)
		out->from = column;
	if (out->to == SIZE_MAX || out->to < out->from)
		out->to = column > out->from ? column : out->from;
}

/* Part of a long source line worth showing: bytes around the span. Cutting
 * first keeps the work small when one line is a whole file. */
static struct str near_span(struct str line, size_t *from, size_t *to)
{
	const size_t reach = 4 * (size_t)LINE_WIDTH;
	size_t start = *from > reach ? *from - reach : 0;
	while (start < *from && ((unsigned char)line.p[start] & 0xc0) == 0x80)
		start++;
	size_t end = *from + 2 * reach;
	while (end < line.n && ((unsigned char)line.p[end] & 0xc0) == 0x80)
		end++;
	if (end > line.n)
		end = line.n;
	*from -= start;
	*to = (*to < end ? *to : end) - start;
	return (struct str){ line.p + start, end - start };
}

/* The line cut to LINE_WIDTH columns around the span, "..." at the cut ends. */
static void print_window(struct buf *out, struct shown *s, bool cut_left, bool cut_right)
{
	size_t left = 0, room = LINE_WIDTH;
	if (s->width <= room && !cut_left && !cut_right) {
		buf_printf(out, "  %s\n", s->text.data);
	} else {
		size_t lead = room / 3;
		left = s->from > lead * 2 ? s->from - lead : 0;
		cut_left = cut_left || left > 0;
		room -= cut_left ? 3 : 0;
		cut_right = cut_right || s->width - left > room;
		room -= cut_right ? 3 : 0;

		struct str rest = buf_slice(&s->text);
		size_t skip = str_fit(rest, left);
		left = str_width((struct str){ rest.p, skip });
		rest.p += skip;
		rest.n -= skip;
		rest.n = str_fit(rest, room);
		buf_printf(out, "  %s%.*s%s\n", cut_left ? "..." : "", STR_ARG(rest),
		           cut_right ? "..." : "");
		s->from = s->from - left + (cut_left ? 3 : 0);
		s->to = s->to - left + (cut_left ? 3 : 0);
	}
	if (s->to > LINE_WIDTH)
		s->to = LINE_WIDTH;
	buf_fill(out, ' ', 2 + s->from);
	buf_char(out, '^');
	if (s->to > s->from + 1)
		buf_fill(out, '~', s->to - s->from - 1);
	buf_char(out, '\n');
}

static void print_source(struct diag *d, struct buf *out, struct span at, struct place place)
{
	struct source *s = source_of(d, at);
	if (str_trim(place.text).n == 0)
		return;
	size_t start = (size_t)(place.text.p - s->text.p);
	size_t off = at.off < s->text.n ? at.off : s->text.n;
	size_t from = off - start;
	if (from > place.text.n)
		from = place.text.n;
	size_t to = at.len < place.text.n - from ? from + at.len : place.text.n;
	size_t before = from;
	struct str line = near_span(place.text, &from, &to);

	struct shown shown;
	buf_init(&shown.text, 64 * (size_t)LINE_WIDTH);
	show_line(&shown, line, from, to);
	print_window(out, &shown, before > from, line.p + line.n < place.text.p + place.text.n);
	buf_release(&shown.text);
}

static struct place print_place(struct diag *d, struct buf *out, struct span at)
{
	struct place place = diag_place(d, at);
	if (place.line) {
		buf_visible(out, source_of(d, at)->name, NAME_MOST);
		buf_printf(out, ":%zu:%zu: ", place.line, place.column);
	}
	return place;
}

static void print_item(struct diag *d, struct buf *out, const struct diag_item *item)
{
	static const char *const label[] = { "error", "warning", "note" };
	struct place place = print_place(d, out, item->at);
	buf_printf(out, "%s: ", label[item->level]);
	if (item->column.n) {
		buf_text(out, "column \"");
		buf_visible(out, item->column, QUOTE_MOST);
		buf_text(out, "\": ");
	}
	buf_str(out, item->text);
	buf_char(out, '\n');
	if (place.line)
		print_source(d, out, item->at, place);
	if (item->hint.n) {
		buf_text(out, "  hint: ");
		buf_str(out, item->hint);
		buf_char(out, '\n');
	}
	if (item->also.file) {
		print_place(d, out, item->also);
		buf_text(out, "note: ");
		buf_str(out, item->also_text);
		buf_char(out, '\n');
	}
}

static void print_count(struct buf *out, size_t n, const char *word, const char **join)
{
	if (n == 0)
		return;
	buf_printf(out, "%s%zu more %s%s", *join, n, word, n == 1 ? "" : "s");
	*join = " and ";
}

void diag_print(struct diag *d, struct buf *out)
{
	size_t hidden[3] = { 0, 0, 0 };
	diag_sort(d);
	for (size_t i = 0; i < d->nitems; i++) {
		if (i < DIAG_SHOWN_MOST)
			print_item(d, out, &d->items[i]);
		else
			hidden[d->items[i].level]++;
	}
	if (d->nitems <= DIAG_SHOWN_MOST)
		return;
	const char *join = "";
	print_count(out, hidden[DIAG_ERROR], "error", &join);
	print_count(out, hidden[DIAG_WARNING], "warning", &join);
	print_count(out, hidden[DIAG_NOTE], "note", &join);
	buf_text(out, " not shown.\n");
}

struct str diag_nearest(struct str word, struct str (*next)(void *ctx, size_t i), void *ctx)
{
	struct str best = STR_NONE, candidate;
	size_t limit = word.n / 3 > 1 ? word.n / 3 : 1;
	for (size_t i = 0; (candidate = next(ctx, i)).n > 0; i++) {
		size_t distance = str_distance(word, candidate, limit);
		if (distance > limit)
			continue;
		best = candidate;
		if (distance == 0)
			break;
		limit = distance - 1; /* the first of equals stays */
	}
	return best;
}

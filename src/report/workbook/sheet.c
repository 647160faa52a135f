/* sheet.c - the workbook library behind our own door: see sheet.h for what is
 * caught before it reaches the library, which takes NaN, text that is no UTF-8 and
 * doubled names without complaint. */
#include "report/workbook/sheet.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdarg.h>
#include <unistd.h>

#include <xlsxwriter.h>

#include "base/buf.h"
#include "base/number.h"

enum {
	FORMULA_MOST = 8192, /* what spreadsheets take */
	NOTE_MOST = 2000,
	WHY_MOST = 300,
	BREAKS_MOST = 16
};
struct sheet {
	struct book *book;
	lxw_worksheet *ws;
	const char *name;
	const char *quoted; /* 'Stem costs'! */
	lxw_row_t breaks[BREAKS_MOST];
	size_t nbreaks;
	struct sheet *next;
};
struct book {
	struct arena *arena; /* what the library's calls need to the last */
	struct arena kept;   /* names, and what the pages keep: gone before the file is put together */
	struct arena texts;  /* addresses and the like: until book_forget() */
	lxw_workbook *wb;
	struct book_style style;
	lxw_format *formats[STYLE_COUNT * SHAPE_COUNT];
	lxw_format *red;
	struct sheet *sheets, **last_sheet;
	const char **names; /* defined names: open addressing */
	size_t nnames, cap_names;
	struct buf scratch;
	char why[WHY_MOST];
};

/* ---- errors ---- */

bool book_failed(const struct book *b)
{
	return b->why[0] != '\0';
}

const char *book_why(const struct book *b)
{
	return b->why;
}

struct arena *book_arena(struct book *b)
{
	return &b->kept;
}

struct arena *book_texts(struct book *b)
{
	return &b->texts;
}

void book_forget(struct book *b)
{
	arena_clear(&b->texts);
}

int book_fail(struct book *b, const char *fmt, ...)
{
	if (book_failed(b))
		return -1;
	va_list ap;
	va_start(ap, fmt);
	vsnprintf(b->why, sizeof b->why, fmt, ap);
	va_end(ap);
	return -1;
}

/* What the library says about a call, kept as the book's error. */
static void check(struct sheet *s, uint32_t row, uint32_t col, lxw_error code)
{
	if (code != LXW_NO_ERROR)
		book_fail(s->book, "Its cell %s cannot be written: %s.", cell_far(s, row, col),
			  lxw_strerror(code));
}

static bool cell_ok(struct sheet *s, uint32_t row, uint32_t col)
{
	if (book_failed(s->book))
		return false;
	if (row >= LXW_ROW_MAX || col >= LXW_COL_MAX) {
		book_fail(s->book, "Its sheet %s would have more rows than a sheet can hold.",
			  s->name);
		return false;
	}
	return true;
}

/* ---- formats ---- */

/* #,##0 with so many decimals, and what stands behind. */
static void money_format(char *out, size_t room, int digits, const char *behind)
{
	snprintf(out, room, "#,##0%s%.*s%s", digits > 0 ? "." : "", digits, "000000", behind);
}

/* A dash for nothing: columns of zeros are hard to read. */
static void set_number(lxw_format *f, const char *text, bool dash)
{
	char all[120];
	snprintf(all, sizeof all, dash ? "%s;-%s;\"-\"" : "%s", text, text);
	format_set_num_format(f, all);
}

static void set_shape(const struct book *b, lxw_format *f, enum style style, enum shape shape)
{
	static const char *const fixed[SHAPE_COUNT] = {
		[SHAPE_PERCENT] = "0.0%",    [SHAPE_PERCENT_FINE] = "0.00%",
		[SHAPE_SHARE] = "0%",        [SHAPE_WHOLE] = "#,##0",
		[SHAPE_ONE] = "#,##0.0",     [SHAPE_TWO] = "#,##0.00",
		[SHAPE_FOUR] = "#,##0.0000", [SHAPE_FREE] = "General",
		[SHAPE_DATE] = "yyyy-mm-dd", [SHAPE_DAY] = "yyyy-mm-dd",
	};
	char text[48], behind[24];
	if (shape == SHAPE_TEXT || shape == SHAPE_LABEL || shape == SHAPE_WRAP) {
		format_set_align(f, LXW_ALIGN_LEFT);
		if (shape == SHAPE_WRAP)
			format_set_text_wrap(f);
		if (shape != SHAPE_TEXT)
			format_set_indent(f, 1);
		return;
	}
	/* Words in a column of numbers stand where the numbers do. */
	format_set_align(f, shape == SHAPE_DATE ? LXW_ALIGN_CENTER : LXW_ALIGN_RIGHT);
	bool dash = style != STYLE_INPUT && shape != SHAPE_WHOLE && shape != SHAPE_FREE &&
		    shape != SHAPE_DATE && shape != SHAPE_DAY;
	if (shape == SHAPE_MONEY) {
		money_format(text, sizeof text, b->style.digits, "");
	} else if (shape == SHAPE_FINE) {
		money_format(text, sizeof text, b->style.digits + 2, "");
	} else if (shape == SHAPE_CASH) {
		snprintf(behind, sizeof behind, " [$%.8s]", b->style.currency);
		money_format(text, sizeof text, b->style.digits, behind);
		dash = false;
	} else {
		snprintf(text, sizeof text, "%s", fixed[shape]);
	}
	set_number(f, text, dash);
}

/* White borders keep the weeks apart. */
static void set_week(lxw_format *f, enum style style)
{
	static const lxw_color_t fills[STYLE_COUNT] = { [STYLE_RAISE] = 0xEFF3EE, [STYLE_GROW] = 0xD5E3D2,
							[STYLE_SOW] = 0xD9C48A,   [STYLE_OUT] = 0x9CBB97,
							[STYLE_CUT] = 0xE8A95B };
	format_set_align(f, LXW_ALIGN_CENTER);
	format_set_bg_color(f, fills[style]);
	format_set_border(f, LXW_BORDER_THIN);
	format_set_border_color(f, 0xFFFFFF);
	if (style >= STYLE_SOW)
		format_set_bold(f);
}

static void set_style(lxw_format *f, enum style style)
{
	switch (style) {
	case STYLE_TITLE:
		format_set_bold(f);
		format_set_font_size(f, 16);
		format_set_font_color(f, 0x3B5443);
		break;
	case STYLE_SAYS:
		format_set_font_color(f, 0x5F6B63);
		break;
	case STYLE_SECTION:
		format_set_bold(f);
		format_set_font_size(f, 12);
		format_set_font_color(f, 0x3B5443);
		break;
	case STYLE_HEAD:
		format_set_bold(f);
		format_set_text_wrap(f);
		format_set_align(f, LXW_ALIGN_VERTICAL_BOTTOM);
		format_set_bg_color(f, 0xE4EBE2);
		format_set_font_color(f, 0x2C3A31);
		format_set_bottom(f, LXW_BORDER_THIN);
		format_set_bottom_color(f, 0x7E9382);
		break;
	case STYLE_INPUT:
		format_set_bg_color(f, 0xFFF6D8);
		format_set_border(f, LXW_BORDER_THIN);
		format_set_border_color(f, 0xD9C48A);
		break;
	case STYLE_TOTAL:
		format_set_bold(f);
		format_set_top(f, LXW_BORDER_THIN);
		format_set_top_color(f, 0x7E9382);
		break;
	case STYLE_FAINT:
		format_set_font_color(f, 0x7C857F);
		break;
	case STYLE_STRONG:
		format_set_bold(f);
		break;
	case STYLE_RAISE:
	case STYLE_GROW:
	case STYLE_SOW:
	case STYLE_OUT:
	case STYLE_CUT:
		set_week(f, style);
		break;
	case STYLE_TICK:
		format_set_border(f, LXW_BORDER_THIN);
		format_set_border_color(f, 0x7E9382);
		break;
	default:
		break;
	}
}

static lxw_format *format_of(struct book *b, int look)
{
	if (!b->formats[look]) {
		lxw_format *f = workbook_add_format(b->wb);
		enum style style = (enum style)(look / SHAPE_COUNT);
		enum shape shape = (enum shape)(look % SHAPE_COUNT);
		format_set_align(f, LXW_ALIGN_VERTICAL_TOP);
		set_shape(b, f, style, shape);
		set_style(f, style);
		b->formats[look] = f;
	}
	return b->formats[look];
}

/* ---- the book ---- */

/* Folder of the path, for the library's own temporary files: a full /tmp must not
 * matter when the disk of the target has room. */
static char *folder_of(struct arena *a, const char *path)
{
	const char *slash = strrchr(path, '/');
	if (!slash)
		return arena_copy(a, ".", 1);
	return arena_copy(a, path, slash == path ? 1 : (size_t)(slash - path));
}

struct book *book_begin(struct arena *a, const char *path, const struct book_style *style)
{
	struct book *b = ARENA_NEW(a, struct book);
	b->arena = a;
	arena_init(&b->kept);
	arena_init(&b->texts);
	b->style = *style;
	b->last_sheet = &b->sheets;
	buf_init(&b->scratch, FORMULA_MOST);
	lxw_workbook_options options = { .tmpdir = folder_of(a, path) };
	b->wb = workbook_new_opt(path, &options);
	if (!b->wb) {
		book_fail(b, "It cannot be begun: out of memory.");
		return b;
	}
	char *title = arena_copy(a, style->title, strlen(style->title));
	/* `created` from the report's date: the same farm gives the same bytes. */
	lxw_doc_properties about = { .title = title, .created = (time_t)style->on * 86400 };
	lxw_error code = workbook_set_properties(b->wb, &about);
	if (code != LXW_NO_ERROR)
		book_fail(b, "It cannot be begun: %s.", lxw_strerror(code));
	return b;
}

static void forget_all(struct book *b)
{
	arena_release(&b->texts);
	arena_release(&b->kept);
	b->names = NULL;
	b->nnames = b->cap_names = 0;
}

void book_drop(struct book *b)
{
	if (b->wb)
		lxw_workbook_free(b->wb);
	b->wb = NULL;
	buf_release(&b->scratch);
	forget_all(b);
}

/* The library writes about its troubles on standard error; what there is to say is
 * said by us.  Returns what unhush() needs; -1 when it cannot be done. */
static int hush(void)
{
	fflush(stderr);
	int saved = fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, STDERR_FILENO + 1);
	int nowhere = saved < 0 ? -1 : open("/dev/null", O_WRONLY | O_CLOEXEC);
	if (nowhere >= 0) {
		dup2(nowhere, STDERR_FILENO);
		close(nowhere);
	}
	return saved;
}

static void unhush(int saved)
{
	if (saved < 0)
		return;
	fflush(stderr);
	dup2(saved, STDERR_FILENO);
	close(saved);
}

int book_finish(struct book *b)
{
	/* Once for each sheet: the library leaks the list before. A 0 ends it. */
	for (struct sheet *s = b->sheets; s; s = s->next) {
		if (s->nbreaks && !book_failed(b))
			check(s, 0, 0, worksheet_set_h_pagebreaks(s->ws, s->breaks));
	}
	if (book_failed(b)) {
		book_drop(b);
		return -1;
	}
	/* The library has copies of its own; what it needs now need not come on top. */
	forget_all(b);
	int quiet = hush();
	errno = 0;
	lxw_error code = workbook_close(b->wb); /* frees it, whatever comes of it */
	int number = errno;
	unhush(quiet);
	b->wb = NULL;
	if (code != LXW_NO_ERROR) {
		const char *why = number ? strerror(number) : lxw_strerror(code);
		size_t n = strlen(why);
		book_fail(b, "Its file cannot be finished: %.*s.",
			  (int)(n - (n && why[n - 1] == '.')), why);
	}
	book_drop(b);
	return book_failed(b) ? -1 : 0;
}

/* ---- names ---- */

static char small(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

struct sheet *book_sheet(struct book *b, const char *name)
{
	struct sheet *s = ARENA_NEW(b->arena, struct sheet);
	s->book = b;
	s->name = name;
	size_t n = strlen(name);
	char *quoted = arena_alloc(b->arena, 2 * n + 4, 1), *q = quoted;
	*q++ = '\'';
	for (size_t i = 0; i < n; i++) {
		if (name[i] == '\'')
			*q++ = '\'';
		*q++ = name[i];
	}
	*q++ = '\'';
	*q = '!';
	s->quoted = quoted;
	if (!book_sheet_name_ok(name))
		book_fail(b, "`%.40s` cannot be a sheet's name.", name);
	for (struct sheet *o = b->sheets; o; o = o->next) {
		if (cell_same_name(o->name, name))
			book_fail(b, "Two sheets would be called `%.40s`.", name);
	}
	*b->last_sheet = s;
	b->last_sheet = &s->next;
	if (book_failed(b))
		return s;
	s->ws = workbook_add_worksheet(b->wb, name);
	if (!s->ws) {
		book_fail(b, "The sheet `%.40s` cannot be added.", name);
		return s;
	}
	worksheet_set_landscape(s->ws);
	worksheet_set_paper(s->ws, 9); /* A4 */
	worksheet_fit_to_pages(s->ws, 1, 0);
	worksheet_set_margins(s->ws, 0.5, 0.5, 0.75, 0.7);
	worksheet_gridlines(s->ws, LXW_HIDE_ALL_GRIDLINES);

	/* Page header: farm and date; & is a mark there and stands doubled. */
	struct buf h;
	char on[11];
	buf_init(&h, LXW_HEADER_FOOTER_MAX - 1);
	buf_text(&h, "&L&9");
	const char *farm = cell_text(&b->texts, b->style.farm);
	struct str shown = str_of(farm);
	shown.n = str_fit(shown, 80);
	buf_char(&h, ' '); /* a name that starts with a digit would change the size */
	for (size_t i = 0; i < shown.n; i++)
		buf_text(&h, shown.p[i] == '&' ? "&&" : (char[2]){ shown.p[i], '\0' });
	date_print(b->style.on, on);
	buf_printf(&h, "&R&9 %s", on);
	lxw_error code = h.full ? LXW_NO_ERROR : worksheet_set_header(s->ws, h.data);
	buf_release(&h);
	if (code == LXW_NO_ERROR)
		code = worksheet_set_footer(s->ws, "&L&9&A&R&9&P of &N");
	if (code != LXW_NO_ERROR)
		book_fail(b, "The sheet `%.40s` cannot be set up: %s.", name, lxw_strerror(code));
	return s;
}

/* Slot of the name, taken or free. */
static const char **name_slot(const char **names, size_t cap, const char *name)
{
	uint64_t h = UINT64_C(14695981039346656037); /* FNV-1a, whatever the capitals */
	for (const char *c = name; *c; c++)
		h = (h ^ (unsigned char)small(*c)) * UINT64_C(1099511628211);
	size_t i = (size_t)h & (cap - 1);
	while (names[i] && !cell_same_name(names[i], name))
		i = (i + 1) & (cap - 1);
	return &names[i];
}

bool book_name_taken(const struct book *b, const char *name)
{
	return b->nnames && *name_slot(b->names, b->cap_names, name);
}

/* False: it is there already. */
static bool name_add(struct book *b, const char *name)
{
	if (2 * (b->nnames + 1) > b->cap_names) {
		size_t cap = b->cap_names ? 2 * b->cap_names : 256;
		const char **grown = ARENA_ARRAY(&b->kept, cap, const char *);
		for (size_t i = 0; i < b->cap_names; i++) {
			if (b->names[i])
				*name_slot(grown, cap, b->names[i]) = b->names[i];
		}
		b->names = grown;
		b->cap_names = cap;
	}
	const char **slot = name_slot(b->names, b->cap_names, name);
	if (*slot)
		return false;
	*slot = arena_copy(&b->kept, name, strlen(name));
	b->nnames++;
	return true;
}

void book_name(struct book *b, const char *name, const struct sheet *s, uint32_t row, uint32_t col)
{
	if (book_failed(b))
		return;
	if (!book_name_ok(name)) {
		book_fail(b, "`%.60s` cannot be a cell's name.", name);
		return;
	}
	if (!name_add(b, name)) {
		book_fail(b, "Two cells would be called `%.60s`.", name);
		return;
	}
	buf_clear(&b->scratch);
	buf_printf(&b->scratch, "=%s", cell_far(s, row, col));
	lxw_error code = workbook_define_name(b->wb, name, b->scratch.data);
	if (code != LXW_NO_ERROR)
		book_fail(b, "The name `%.60s` cannot be given: %s", name, lxw_strerror(code));
}

/* ---- addresses ---- */

enum {
	ADDRESS_MOST = 24, /* $, seven letters, $, ten digits */
	QUOTED_MOST = 400  /* 31 characters of a sheet's name, every ' doubled, and '...'! */
};

/* By hand: there are some for every formula.  Returns where it ends. */
static char *put_address(char *out, uint32_t row, uint32_t col, const char *dollar)
{
	char text[ADDRESS_MOST];
	size_t at = sizeof text;
	for (uint32_t r = row + 1; r; r /= 10)
		text[--at] = (char)('0' + r % 10);
	if (*dollar)
		text[--at] = *dollar;
	for (uint32_t c = col + 1; c; c = (c - 1) / 26)
		text[--at] = (char)('A' + (c - 1) % 26);
	if (*dollar)
		text[--at] = *dollar;
	memcpy(out, text + at, sizeof text - at);
	return out + sizeof text - at;
}

static const char *address(const struct sheet *s, const char *before, uint32_t row, uint32_t last,
			   uint32_t col, const char *dollar)
{
	char text[QUOTED_MOST + 2 * ADDRESS_MOST + 1];
	size_t n = strlen(before);
	if (n > QUOTED_MOST)
		n = QUOTED_MOST;
	memcpy(text, before, n);
	char *end = put_address(text + n, row, col, dollar);
	if (row != last) {
		*end++ = ':';
		end = put_address(end, last, col, dollar);
	}
	return arena_copy(&s->book->texts, text, (size_t)(end - text));
}

const char *cell(const struct sheet *s, uint32_t row, uint32_t col)
{
	return address(s, "", row, row, col, "");
}

const char *cell_far(const struct sheet *s, uint32_t row, uint32_t col)
{
	return address(s, s->quoted, row, row, col, "$");
}

const char *cells_down(const struct sheet *s, uint32_t first, uint32_t last, uint32_t col)
{
	return address(s, "", first, last, col, "$");
}

const char *cells_far(const struct sheet *s, uint32_t first, uint32_t last, uint32_t col)
{
	return address(s, s->quoted, first, last, col, "$");
}

const char *book_vtext(struct book *b, const char *fmt, va_list ap)
{
	buf_clear(&b->scratch);
	if (buf_vprintf(&b->scratch, fmt, ap)) {
		book_fail(b, "A formula of it would be too long.");
		buf_clear(&b->scratch);
	}
	return arena_copy(&b->texts, b->scratch.data, b->scratch.len);
}

const char *formula_number(struct book *b, double x)
{
	buf_clear(&b->scratch);
	number_print_exact(&b->scratch, x);
	return arena_copy(&b->texts, b->scratch.data, b->scratch.len);
}

/* ---- cells ---- */

void sheet_text(struct sheet *s, uint32_t row, uint32_t col, int look, struct str text)
{
	if (!cell_ok(s, row, col))
		return;
	if (!text.n) {
		sheet_blank(s, row, col, look);
		return;
	}
	/* The library copies it. */
	struct buf *b = &s->book->scratch;
	buf_clear(b);
	const char *shown = cell_text_plain(text) && !buf_add(b, text.p, text.n) ? b->data
										 : cell_text(&s->book->texts, text);
	b->full = false;
	/* A string cell is never a formula, whatever its text starts with. */
	check(s, row, col,
	      worksheet_write_string(s->ws, row, (lxw_col_t)col, shown, format_of(s->book, look)));
}

static bool number_ok(struct sheet *s, uint32_t row, uint32_t col, double x)
{
	if (isfinite(x))
		return true;
	book_fail(s->book, "Its cell %s would hold a number that is none.", cell_far(s, row, col));
	return false;
}

void sheet_number(struct sheet *s, uint32_t row, uint32_t col, int look, double x)
{
	if (cell_ok(s, row, col) && number_ok(s, row, col, x))
		check(s, row, col,
		      worksheet_write_number(s->ws, row, (lxw_col_t)col, x + 0.0,
					     format_of(s->book, look)));
}

void sheet_date(struct sheet *s, uint32_t row, uint32_t col, int look, day d)
{
	if (d == DAY_NONE)
		sheet_blank(s, row, col, look);
	else
		sheet_number(s, row, col, look, date_serial(d));
}

void sheet_blank(struct sheet *s, uint32_t row, uint32_t col, int look)
{
	if (cell_ok(s, row, col))
		check(s, row, col,
		      worksheet_write_blank(s->ws, row, (lxw_col_t)col, format_of(s->book, look)));
}

/* The formula with its `=` in the book's scratch, NULL when it cannot be one. */
__attribute__((format(printf, 4, 0))) static const char *
formula(struct sheet *s, uint32_t row, uint32_t col, const char *fmt, va_list ap)
{
	struct buf *b = &s->book->scratch;
	buf_clear(b);
	buf_char(b, '=');
	buf_vprintf(b, fmt, ap);
	if (!b->full && b->len > 1)
		return b->data;
	book_fail(s->book, "The formula of its cell %s is %s.", cell_far(s, row, col),
		  b->full ? "too long" : "empty");
	b->full = false;
	return NULL;
}

void sheet_vformula(struct sheet *s, uint32_t row, uint32_t col, int look, double value,
		    const char *fmt, va_list ap)
{
	if (!cell_ok(s, row, col) || !number_ok(s, row, col, value))
		return;
	const char *text = formula(s, row, col, fmt, ap);
	if (text)
		check(s, row, col,
		      worksheet_write_formula_num(s->ws, row, (lxw_col_t)col, text,
						  format_of(s->book, look), value + 0.0));
}

void sheet_formula(struct sheet *s, uint32_t row, uint32_t col, int look, double value,
		   const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	sheet_vformula(s, row, col, look, value, fmt, ap);
	va_end(ap);
}

void sheet_vformula_text(struct sheet *s, uint32_t row, uint32_t col, int look, const char *value,
			 const char *fmt, va_list ap)
{
	if (!cell_ok(s, row, col))
		return;
	const char *text = formula(s, row, col, fmt, ap);
	if (text)
		check(s, row, col,
		      worksheet_write_formula_str(s->ws, row, (lxw_col_t)col, text,
						  format_of(s->book, look),
						  cell_text(&s->book->texts, str_of(value))));
}

void sheet_formula_text(struct sheet *s, uint32_t row, uint32_t col, int look, const char *value,
			const char *fmt, ...)
{
	va_list ap;
	va_start(ap, fmt);
	sheet_vformula_text(s, row, col, look, value, fmt, ap);
	va_end(ap);
}

void sheet_note(struct sheet *s, uint32_t row, uint32_t col, const char *text)
{
	if (!cell_ok(s, row, col) || !text || !*text)
		return;
	size_t n = strlen(text);
	if (n > NOTE_MOST) {
		book_fail(s->book, "The note of its cell %s is too long.", cell_far(s, row, col));
		return;
	}
	/* About 40 characters a line in a box of 260 pixels. */
	lxw_comment_options box = { .width = 260, .height = (uint16_t)(30 + 18 * (1 + n / 38)) };
	check(s, row, col, worksheet_write_comment_opt(s->ws, row, (lxw_col_t)col, text, &box));
}

/* ---- the sheet ---- */

void sheet_width(struct sheet *s, uint32_t col, double characters)
{
	if (cell_ok(s, 0, col))
		check(
		    s, 0, col,
		    worksheet_set_column(s->ws, (lxw_col_t)col, (lxw_col_t)col, characters, NULL));
}

void sheet_height(struct sheet *s, uint32_t row, double points)
{
	if (cell_ok(s, row, 0))
		check(s, row, 0, worksheet_set_row(s->ws, row, points, NULL));
}

void sheet_freeze(struct sheet *s, uint32_t rows, uint32_t cols)
{
	if (!cell_ok(s, rows, cols))
		return;
	worksheet_freeze_panes(s->ws, rows, (lxw_col_t)cols);
	if (rows)
		check(s, rows, 0, worksheet_repeat_rows(s->ws, rows - 1, rows - 1));
}

void sheet_repeat_none(struct sheet *s)
{
	if (!book_failed(s->book))
		s->ws->repeat_rows.in_use = LXW_FALSE;
}

void sheet_one_page(struct sheet *s)
{
	if (!book_failed(s->book))
		worksheet_fit_to_pages(s->ws, 1, 1);
}

void sheet_pages_wide(struct sheet *s, unsigned pages, uint32_t first_columns, bool low)
{
	if (!cell_ok(s, 0, first_columns))
		return;
	worksheet_fit_to_pages(s->ws, (uint16_t)pages, low ? 1 : 0);
	check(s, 0, 0, worksheet_repeat_columns(s->ws, 0, (lxw_col_t)(first_columns - 1)));
}

void sheet_print_only(struct sheet *s, uint32_t last_row, uint32_t last_col)
{
	if (cell_ok(s, last_row, last_col))
		check(s, 0, 0, worksheet_print_area(s->ws, 0, 0, last_row, (lxw_col_t)last_col));
}

void sheet_print_upright(struct sheet *s, uint32_t last_row, uint32_t last_col)
{
	if (!cell_ok(s, last_row, last_col))
		return;
	worksheet_set_portrait(s->ws);
	sheet_print_only(s, last_row, last_col);
}

void sheet_filter(struct sheet *s, uint32_t head_row, uint32_t last_row, uint32_t last_col)
{
	if (cell_ok(s, last_row, last_col))
		check(s, head_row, 0,
		      worksheet_autofilter(s->ws, head_row, 0, last_row, (lxw_col_t)last_col));
}

void sheet_tab(struct sheet *s, unsigned rgb)
{
	if (!book_failed(s->book))
		worksheet_set_tab_color(s->ws, rgb);
}

void sheet_open_here(struct sheet *s)
{
	if (!book_failed(s->book))
		worksheet_activate(s->ws);
}

void sheet_redden(struct sheet *s, uint32_t first, uint32_t last, uint32_t col)
{
	if (!cell_ok(s, last, col))
		return;
	if (!s->book->red) {
		s->book->red = workbook_add_format(s->book->wb);
		format_set_font_color(s->book->red, 0xA4342A);
	}
	lxw_conditional_format below = { .type = LXW_CONDITIONAL_TYPE_CELL,
					 .criteria = LXW_CONDITIONAL_CRITERIA_LESS_THAN,
					 .value = 0,
					 .format = s->book->red };
	check(s, first, col,
	      worksheet_conditional_format_range(s->ws, first, (lxw_col_t)col, last, (lxw_col_t)col,
						 &below));
}

void sheet_break(struct sheet *s, uint32_t row)
{
	if (!cell_ok(s, row, 0))
		return;
	if (s->nbreaks + 1 >= BREAKS_MOST) {
		book_fail(s->book, "Its sheet %s has too many pages.", s->name);
		return;
	}
	s->breaks[s->nbreaks++] = row;
}

/* Titles of validation take 32 characters, messages 255.  The library copies them; its fields are not
 * const all the same. */
static char *short_text(struct arena *a, const char *text, size_t most)
{
	struct str all = str_of(text);
	if (all.n <= most && cell_text_plain(all))
		return (char *)(uintptr_t)text;
	const char *clean = cell_text(a, all);
	struct str s = str_of(clean);
	return arena_copy(a, clean, str_fit(s, most));
}

static void limit(struct sheet *s, uint32_t row, uint32_t col, lxw_data_validation *v,
		  const char *title, const char *message)
{
	struct arena *a = &s->book->texts;
	v->error_title = short_text(a, title, 32);
	v->error_message = short_text(a, message, 120);
	v->ignore_blank = LXW_VALIDATION_ON;
	v->show_error = LXW_VALIDATION_ON;
	v->show_input = LXW_VALIDATION_ON;
	check(s, row, col, worksheet_data_validation_cell(s->ws, row, (lxw_col_t)col, v));
}

void sheet_limit(struct sheet *s, uint32_t row, uint32_t col, double low, double high,
		 const char *title, const char *message)
{
	if (!cell_ok(s, row, col))
		return;
	if (isnan(low) || isnan(high)) {
		book_fail(s->book, "The limits of its cell %s are no numbers.",
			  cell_far(s, row, col));
		return;
	}
	lxw_data_validation v = { .validate = LXW_VALIDATION_TYPE_DECIMAL };
	if (isfinite(low) && isfinite(high)) {
		v.criteria = LXW_VALIDATION_CRITERIA_BETWEEN;
		v.minimum_number = low;
		v.maximum_number = high;
	} else if (isfinite(low)) {
		v.criteria = LXW_VALIDATION_CRITERIA_GREATER_THAN_OR_EQUAL_TO;
		v.value_number = low;
	} else if (isfinite(high)) {
		v.criteria = LXW_VALIDATION_CRITERIA_LESS_THAN_OR_EQUAL_TO;
		v.value_number = high;
	} else {
		v.criteria = LXW_VALIDATION_CRITERIA_BETWEEN; /* any number, but a number */
		v.minimum_number = -1e15;
		v.maximum_number = 1e15;
	}
	limit(s, row, col, &v, title, message);
}

void sheet_limit_dates(struct sheet *s, uint32_t row, uint32_t col, day low, day high,
		       const char *title, const char *message)
{
	if (!cell_ok(s, row, col))
		return;
	lxw_data_validation v = { .validate = LXW_VALIDATION_TYPE_DATE_NUMBER,
				  .criteria = LXW_VALIDATION_CRITERIA_BETWEEN,
				  .minimum_number = date_serial(low),
				  .maximum_number = date_serial(high) };
	limit(s, row, col, &v, title, message);
}

/* ---- charts ---- */

static void chart_axes(lxw_chart *chart, const struct chart *c)
{
	bool points = c->kind == CHART_POINTS;
	/* Bars lie: the library calls the axis along the foot x, whatever it carries. */
	bool lies = c->kind == CHART_STACKED_BARS || c->kind == CHART_BARS;
	lxw_chart_font plain = { .size = 9, .bold = LXW_EXPLICIT_FALSE, .color = 0x4A524D };
	if (lies && c->last - c->first >= 16) /* many names */
		plain.size = 7;
	lxw_chart_font head = { .size = 13, .bold = LXW_EXPLICIT_FALSE, .color = 0x2C3A31 };
	lxw_chart_line thin = { .color = 0xD9DED9, .width = 0.75 };
	lxw_chart_line none = { .none = LXW_TRUE };
	lxw_chart_axis *names = lies ? chart->y_axis : chart->x_axis;
	lxw_chart_axis *values = lies ? chart->x_axis : chart->y_axis;
	lxw_chart_axis *axes[2] = { names, values };
	const char *titles[2] = { c->names, c->values };
	chart_title_set_name(chart, c->title);
	chart_title_set_name_font(chart, &head);
	for (int i = 0; i < 2; i++) {
		if (titles[i])
			chart_axis_set_name(axes[i], titles[i]);
		chart_axis_set_name_font(axes[i], &plain);
		chart_axis_set_num_font(axes[i], &plain);
	}
	chart_axis_set_num_format(values, c->percent ? "0%" : c->fine ? "#,##0.00" : "#,##0");
	chart_axis_major_gridlines_set_visible(values, LXW_TRUE);
	chart_axis_major_gridlines_set_visible(names, LXW_FALSE);
	chart_axis_major_gridlines_set_line(values, &thin);
	chart_axis_set_line(values, &none);
	chart_chartarea_set_line(chart, &none);
	chart_legend_set_position(chart,
				  c->nseries > 1 ? LXW_CHART_LEGEND_BOTTOM : LXW_CHART_LEGEND_NONE);
	chart_legend_set_font(chart, &plain);
	if (points) {
		chart_axis_set_num_format(names, "0");
		chart_axis_set_min(values, 0);
		return;
	}
	if (c->kind == CHART_SPANS) {
		plain.rotation = -90;
		chart_axis_set_num_font(names, &plain);
		chart_axis_set_min(values, 0);
		chart_axis_set_max(values, c->top);
	}
	if (!lies)
		return;
	/* First row on top, the numbers along the foot. */
	chart_axis_set_reverse(names);
	chart_axis_set_interval_unit(names, 1); /* every name */
	chart_axis_set_label_position(values, LXW_CHART_AXIS_LABEL_POSITION_HIGH);
}

/* No line, but a mark: crosses for limits (all but two in the middle), a dot and a diamond.
 * No dashes: libxlsxwriter 1.1.4 writes them in words that are not in ECMA-376. */
static void span_marks(lxw_chart_series *series, const struct chart *c, size_t i)
{
	bool middle = i + 1 == c->nseries / 2, after = i == c->nseries / 2;
	uint8_t mark = middle                            ? LXW_CHART_MARKER_CIRCLE
		       : after                           ? LXW_CHART_MARKER_DIAMOND
		       : i == 0 || i + 1 == c->nseries ? LXW_CHART_MARKER_X
							 : LXW_CHART_MARKER_PLUS;
	lxw_chart_line none = { .none = LXW_TRUE };
	lxw_chart_fill fill = { .color = c->series[i].rgb };
	lxw_chart_line edge = { .color = c->series[i].rgb };
	chart_series_set_line(series, &none);
	chart_series_set_marker_type(series, mark);
	chart_series_set_marker_size(series, middle || after ? 6 : 7);
	chart_series_set_marker_fill(series, &fill);
	chart_series_set_marker_line(series, &edge);
}

/* The bar from the first series to the last, and a legend without the unnamed. */
static void span_bars(lxw_chart *chart, const struct chart *c)
{
	int16_t unnamed[CHART_SERIES_MOST + 1];
	size_t n = 0;
	lxw_chart_line edge = { .color = (lxw_color_t)c->series[0].rgb };
	lxw_chart_fill fill = { .color = (lxw_color_t)c->series[0].rgb, .transparency = 40 };
	for (size_t i = 0; i < c->nseries; i++) {
		if (!c->series[i].name)
			unnamed[n++] = (int16_t)i;
	}
	unnamed[n] = -1;
	chart_legend_delete_series(chart, unnamed);
	chart_set_up_down_bars_format(chart, &edge, &fill, &edge, &fill);
}

void sheet_chart(struct sheet *s, uint32_t row, uint32_t col, const struct chart *c)
{
	if (!cell_ok(s, row, col))
		return;
	static const uint8_t kinds[] = { [CHART_STACKED_BARS] = LXW_CHART_BAR_STACKED,
					 [CHART_BARS] = LXW_CHART_BAR,
					 [CHART_SPANS] = LXW_CHART_LINE,
					 [CHART_POINTS] = LXW_CHART_SCATTER_STRAIGHT_WITH_MARKERS,
					 [CHART_STACKED_COLUMNS] = LXW_CHART_COLUMN_STACKED,
					 [CHART_COLUMNS] = LXW_CHART_COLUMN };
	lxw_chart *chart = workbook_add_chart(s->book->wb, kinds[c->kind]);
	if (!chart) {
		book_fail(s->book, "A chart cannot be added.");
		return;
	}
	for (size_t i = 0; i < c->nseries; i++) {
		const struct chart_series *one = &c->series[i];
		lxw_chart_series *series = chart_add_series(chart, NULL, NULL);
		lxw_col_t names = (lxw_col_t)c->name_col, values = (lxw_col_t)one->col;
		bool points = c->kind == CHART_POINTS;
		uint32_t first = points ? c->rows[i].first : c->first;
		uint32_t last = points ? c->rows[i].last : c->last;
		chart_series_set_categories(series, c->from->name, first, names, last, names);
		chart_series_set_values(series, c->from->name, first, values, last, values);
		if (one->name)
			chart_series_set_name(series, one->name);
		lxw_chart_fill fill = { .color = one->rgb };
		lxw_chart_line line = { .color = one->rgb, .width = 1.5 };
		if (points) {
			chart_series_set_line(series, &line);
			chart_series_set_marker_type(series, LXW_CHART_MARKER_CIRCLE);
			chart_series_set_marker_size(series, 5);
			chart_series_set_marker_fill(series, &fill);
			chart_series_set_marker_line(series, &line);
		} else if (c->kind == CHART_SPANS) {
			span_marks(series, c, i);
		} else {
			chart_series_set_fill(series, &fill);
		}
	}
	chart_axes(chart, c);
	if (c->kind == CHART_SPANS)
		span_bars(chart, c);
	else
		chart_set_series_gap(chart, 45);
	lxw_chart_options place = { .x_scale = c->width / 480, .y_scale = c->height / 288 };
	check(s, row, col, worksheet_insert_chart_opt(s->ws, row, (lxw_col_t)col, chart, &place));
}

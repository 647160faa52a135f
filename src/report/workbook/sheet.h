/* sheet.h - a workbook as thrave writes one: sheets of text, numbers and formulas.
 *
 * sheet.c is the only file that knows the workbook library.  What the library
 * would take without a word is caught here:
 *   - a number that is not finite, a formula or a name that cannot be right, an
 *     address off the sheet, a doubled name: the book fails;
 *   - text is only ever text, whatever it starts with.  Bytes that are no UTF-8 and
 *     control characters become visible (\xff, \x1b), line breaks stay, and what is
 *     longer than a cell holds (32,767 UTF-16 units) ends in " [...]";
 *   - nothing depends on the clock, the locale or the machine: the same calls give
 *     the same bytes.
 *
 * Errors stick: after the first one every call does nothing, book_finish() returns
 * -1 and book_why() says the first sentence.
 *
 *     struct book *b = book_begin(&arena, path, &style);
 *     struct sheet *s = book_sheet(b, "Prices");
 *     sheet_text(s, 0, 0, LOOK(TITLE, TEXT), STR("Prices"));
 *     sheet_formula(s, 1, 0, LOOK(PLAIN, MONEY), 4.2, "%s*2", cell(s, 5, 1));
 *     if (book_finish(b) < 0)
 *             ... book_why(b) ...
 *
 * Rows and columns count from 0.  Strings handed out live until book_forget(), at the latest until
 * the book is finished or dropped.
 */
#ifndef REPORT_WORKBOOK_SHEET_H
#define REPORT_WORKBOOK_SHEET_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/mem.h"
#include "base/str.h"

struct book;
struct sheet;

/* How a number is shown. */
enum shape {
	SHAPE_TEXT,
	SHAPE_LABEL,        /* text beside a number: a little in */
	SHAPE_WRAP,         /* text, broken into lines */
	SHAPE_MONEY,        /* in the currency's minor unit */
	SHAPE_FINE,         /* money with two more decimals: what one stem costs */
	SHAPE_CASH,         /* money with the currency behind it */
	SHAPE_PERCENT,      /* a fraction as 12.5% */
	SHAPE_PERCENT_FINE, /* 12.55% */
	SHAPE_SHARE,        /* a fraction as 12% */
	SHAPE_WHOLE,
	SHAPE_ONE, /* one decimal */
	SHAPE_TWO,
	SHAPE_FOUR,
	SHAPE_FREE, /* as it comes */
	SHAPE_DATE, /* 2026-11-25, in the middle */
	SHAPE_DAY,  /* the same, at the right */
	SHAPE_COUNT
};
enum style {
	STYLE_PLAIN,
	STYLE_TITLE,   /* the sheet's name at its head */
	STYLE_SAYS,    /* the sentence below it */
	STYLE_SECTION, /* a heading within a sheet */
	STYLE_HEAD,    /* head of a column */
	STYLE_INPUT,   /* a cell to change */
	STYLE_TOTAL,
	STYLE_FAINT, /* beside the point: not given, not known */
	STYLE_STRONG,
	STYLE_TICK,    /* an empty box, to be ticked on paper */
	STYLE_RAISE, /* weeks of the sowing calendar: in trays, */
	STYLE_GROW,  /* in the bed, */
	STYLE_SOW,   /* and those in which there is something to do */
	STYLE_OUT,
	STYLE_CUT,
	STYLE_COUNT
};
#define LOOK(style, shape)    (STYLE_##style * SHAPE_COUNT + SHAPE_##shape)
#define LOOK_OF(style, shape) ((int)(style)*SHAPE_COUNT + (int)(shape))

struct book_style {
	day on;               /* the report's date: also when the file was `created` */
	const char *title;    /* of the file */
	struct str farm;      /* page header */
	const char *currency; /* "EUR" */
	int digits;           /* of its minor unit, 0..4 */
};

/* ---- the book ---- */
/* Always returns a book, maybe one that has failed already. */
struct book *book_begin(struct arena *a, const char *path, const struct book_style *style);
/* Writes the file at `path`. 0, or -1: see book_why(). The book is gone either way. */
int book_finish(struct book *b);
void book_drop(struct book *b); /* instead of book_finish: writes nothing */
const char *book_why(const struct book *b);
bool book_failed(const struct book *b);
int book_fail(struct book *b, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
/* For what is needed until the book is finished or dropped. */
struct arena *book_arena(struct book *b);
/* For what is put together for a cell: until book_forget(). */
struct arena *book_texts(struct book *b);
void book_forget(struct book *b);
/* A text of that kind. */
const char *book_vtext(struct book *b, const char *fmt, va_list ap) __attribute__((format(printf, 2, 0)));
struct sheet *book_sheet(struct book *b, const char *name);
/* May a sheet be called this: 1..31 characters, none of []:*?/\, no ' at an end. */
bool book_sheet_name_ok(const char *name);
/* A name for one cell. */
void book_name(struct book *b, const char *name, const struct sheet *s, uint32_t row, uint32_t col);
/* Is it taken already? */
bool book_name_taken(const struct book *b, const char *name);
/* A letter or _ first, then letters, digits, _ and . (ASCII); no cell address, and no
 * _x0041_, which the file's format reads as an A; up to 255. */
bool book_name_ok(const char *name);

/* ---- cells ---- */
void sheet_text(struct sheet *s, uint32_t row, uint32_t col, int look, struct str text);
void sheet_number(struct sheet *s, uint32_t row, uint32_t col, int look, double x);
void sheet_date(struct sheet *s, uint32_t row, uint32_t col, int look, day d); /* DAY_NONE: empty */
void sheet_blank(struct sheet *s, uint32_t row, uint32_t col, int look);
/* A formula without its `=`, and the value that it has. */
void sheet_formula(struct sheet *s, uint32_t row, uint32_t col, int look, double value,
		   const char *fmt, ...) __attribute__((format(printf, 6, 7)));
void sheet_formula_text(struct sheet *s, uint32_t row, uint32_t col, int look, const char *value,
			const char *fmt, ...) __attribute__((format(printf, 6, 7)));
void sheet_vformula(struct sheet *s, uint32_t row, uint32_t col, int look, double value,
		    const char *fmt, va_list ap) __attribute__((format(printf, 6, 0)));
void sheet_vformula_text(struct sheet *s, uint32_t row, uint32_t col, int look, const char *value,
			 const char *fmt, va_list ap) __attribute__((format(printf, 6, 0)));
/* A remark that opens when the pointer rests on the cell. */
void sheet_note(struct sheet *s, uint32_t row, uint32_t col, const char *text);

/* ---- addresses, as formulas write them ---- */
const char *cell(const struct sheet *s, uint32_t row, uint32_t col);     /* C5 */
const char *cell_far(const struct sheet *s, uint32_t row, uint32_t col); /* 'Stem costs'!$C$5 */
const char *cells_down(const struct sheet *s, uint32_t first, uint32_t last, uint32_t col);
const char *cells_far(const struct sheet *s, uint32_t first, uint32_t last, uint32_t col);
const char *formula_number(struct book *b, double x); /* as exact as a double is */

/* ---- the sheet ---- */
void sheet_width(struct sheet *s, uint32_t col, double characters);
void sheet_height(struct sheet *s, uint32_t row, double points);
/* Rows and columns that stand still; the last of the rows is printed on every page. */
void sheet_freeze(struct sheet *s, uint32_t rows, uint32_t cols);
/* No head on every page: other heads stand further down. */
void sheet_repeat_none(struct sheet *s);
void sheet_one_page(struct sheet *s); /* printed on a single page */
/* Printed on so many pages side by side, the first columns on each; `low`: and on no more below. */
void sheet_pages_wide(struct sheet *s, unsigned pages, uint32_t first_columns, bool low);
/* Nothing below that row or right of that column is printed. */
void sheet_print_only(struct sheet *s, uint32_t last_row, uint32_t last_col);
/* Only these columns are printed, upright; the last row belongs to them. */
void sheet_print_upright(struct sheet *s, uint32_t last_row, uint32_t last_col);
void sheet_filter(struct sheet *s, uint32_t head_row, uint32_t last_row, uint32_t last_col);
void sheet_tab(struct sheet *s, unsigned rgb);
void sheet_open_here(struct sheet *s);
/* Numbers below zero in these rows of a column turn red. */
void sheet_redden(struct sheet *s, uint32_t first, uint32_t last, uint32_t col);
/* A new printed page from this row on. */
void sheet_break(struct sheet *s, uint32_t row);
/* Takes decimals from low to high (infinite: no limit on that side). */
void sheet_limit(struct sheet *s, uint32_t row, uint32_t col, double low, double high,
		 const char *title, const char *message);
void sheet_limit_dates(struct sheet *s, uint32_t row, uint32_t col, day low, day high,
		       const char *title, const char *message);

/* ---- charts ---- */
enum { CHART_SERIES_MOST = 6 };
enum chart_kind {
	CHART_STACKED_BARS,
	CHART_BARS,
	CHART_STACKED_COLUMNS,
	CHART_COLUMNS,
	/* for each row its series as marks one above the other, and a bar from the first
	 * series to the last */
	CHART_SPANS,
	CHART_POINTS /* joined by lines: name_col holds numbers, and so does each series */
};
struct chart_series {
	const char *name; /* NULL: not in the legend */
	uint32_t col;
	unsigned rgb;
};
struct chart {
	enum chart_kind kind;
	const char *title;
	const char *names, *values; /* titles of the axes, unit included */
	const struct sheet *from;
	uint32_t first, last; /* rows */
	uint32_t name_col;
	struct chart_series series[CHART_SERIES_MOST];
	size_t nseries;
	struct {
		uint32_t first, last;
	} rows[CHART_SERIES_MOST]; /* CHART_POINTS: of each series */
	bool percent;         /* the values are shares */
	bool fine;            /* the values' axis shows minor units */
	double top;           /* of CHART_SPANS: where the values' axis ends */
	double width, height; /* pixels */
};
void sheet_chart(struct sheet *s, uint32_t row, uint32_t col, const struct chart *c);

/* ---- text ---- */
/* What a cell shows of a text: the rules above. In the arena. */
const char *cell_text(struct arena *a, struct str text);
/* Printable ASCII, without anything that could be an escape: it stays as it is. */
bool cell_text_plain(struct str text);
/* Equal but for capitals (ASCII). */
bool cell_same_name(const char *a, const char *b);
/* Is there such a _x0041_ at that place of the text? */
bool cell_escape_at(struct str text, size_t at);

#endif

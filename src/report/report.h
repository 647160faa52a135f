/* report.h - what a command has to say, before it takes a form.
 *
 * A report is a title, tables, a few sentences, and remarks at the foot.  The
 * builders (of_*.c) fill one from result structs and never reckon; the
 * renderers (text.c, csv.c, json.c) turn it into bytes:
 *
 *     struct report r;
 *     report_init(&r, &arena, "cost", farm, on);
 *     struct table *t = report_table(&r, &COST_PIECES);
 *     table_row(t);
 *     put_text(t, "piece", piece->head.name);
 *     put_number(t, "total", cost->total);
 *     ...
 *     report_finish(&r);
 *     report_text(&r, &style, &buf);
 *
 * Every table has a fixed definition: its columns are the keys of --csv and
 * --json and stand in docs/output.md word for word (a test compares them).
 *
 * Rounding.  Machines get full precision.  People get money rounded half away
 * from zero; parts of a sum that is shown are rounded by largest remainder, so
 * that the shown parts add up to the shown sum (report_finish, report_fit).
 */
#ifndef REPORT_REPORT_H
#define REPORT_REPORT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/buf.h"
#include "base/diag.h"
#include "base/mem.h"
#include "base/str.h"
#include "farm/farm.h"
#include "reckon/remark.h"

enum { REPORT_WIDTH = 80, REPORT_SIZE_MOST = 256 * 1024 * 1024 };

/* What the foot says when some shown parts were rounded to meet their sum. */
#define ROUNDING_RULE "Shown parts are rounded so that they add up to the shown sum."

enum column_type {
	TYPE_TEXT,
	TYPE_COUNT,   /* shown whole; machines get what there is */
	TYPE_NUMBER,  /* shown with up to 2 decimals, small amounts with 2 digits */
	TYPE_MONEY,   /* shown in the currency's minor unit */
	TYPE_PERCENT, /* a fraction; people see per cent with one decimal */
	TYPE_DATE,
	TYPE_TENTH, /* minutes and the like: shown with one decimal */
	TYPE_FLAG   /* true or false; people see the column's title, or nothing */
};

enum {                   /* bits of a column */
       COL_MACHINE = 1,  /* --csv and --json only */
       COL_PEOPLE = 2,   /* text only */
       COL_FINE = 4,     /* money of one stem or unit: two more decimals; numbers: six */
       COL_SUPPOSED = 8, /* there only with --suppose */
       COL_PART = 16,    /* with COL_SUM: the parts of a sum in the same row */
       COL_SUM = 32,
       COL_MAYBE = 64, /* not shown to people when empty or 0 in every row */
       COL_RULE = 128, /* upright: a rule above it */
       COL_OWN = 256   /* one of the parts that stands elsewhere too, and is shown as it is there */
};

struct column {
	const char *key;   /* of --csv and --json */
	const char *title; /* for people; '\n' parts the lines of a heading */
	enum column_type type;
	unsigned bits;
	const char *unit;    /* of the machine's number: "stems", "money per stem" */
	const char *meaning; /* one line for docs/output.md */
};

struct table_def {
	const char *command; /* "cost" */
	const char *name;    /* for --table; the first one of a command is its main one */
	const char *title;   /* for people */
	const struct column *columns;
	size_t ncolumns;
	bool upright; /* people see columns as lines, rows side by side */
};

enum cell_kind { CELL_EMPTY, CELL_TEXT, CELL_NUMBER, CELL_DAY, CELL_FLAG };
struct cell {
	enum cell_kind kind;
	struct str text; /* CELL_TEXT; else a word for people in place of the number */
	double v;        /* CELL_NUMBER: finite */
	day d;
	bool flag;
	bool fitted;  /* `shown` holds, else the number is rounded by itself */
	double shown; /* rounded so that the parts meet their sum */
};

enum row_kind {
	ROW_PLAIN,
	ROW_GROUP, /* people: one text above the rows that follow */
	ROW_HEAD,  /* people: sums of the rows that follow */
	ROW_TOTAL  /* people: sum of the plain rows since the last group or total */
};
struct row {
	enum row_kind kind;
	unsigned indent;
	bool machine;       /* CSV and JSON only: a verdict tells people what is left out */
	struct str text;    /* ROW_GROUP */
	struct cell *cells; /* per column */
};

struct table {
	const struct table_def *def;
	struct report *report;
	struct str title;  /* def's unless replaced */
	const char *empty; /* sentence for people when there are no rows; NULL: left out */
	struct row *rows;
	size_t nrows, cap_rows;
};

struct report_change { /* what --suppose changed */
	struct str path;
	const char *unit;
	double today, supposed; /* as shown; NaN: not given today */
	int digits;
};

struct report;
/* "wage: 19 EUR per h, today 16.5" */
struct str report_change_text(const struct report *r, const struct report_change *c);

struct report {
	struct arena *arena;
	const char *command;
	struct str farm, folder, currency;
	int digits; /* of the currency */
	day on;
	bool supposing;
	struct str title;
	const char **sentences; /* under the title */
	const char **verdicts;  /* under the tables */
	size_t nsentences, cap_sentences, nverdicts, cap_verdicts;
	struct table **tables;
	size_t ntables, cap_tables;
	struct report_change *changes;
	size_t nchanges, cap_changes;
	struct remark *remarks;
	size_t nremarks, cap_remarks;
	struct diag *diag; /* for --json; NULL: none */
	int status;        /* exit status, for --json */
	bool fitted;       /* some shown parts were rounded to fit their sum */
};

/* farm NULL: nothing was loaded (a report of errors). */
void report_init(struct report *r, struct arena *a, const char *command, const struct farm *farm,
		 day on);
struct table *report_table(struct report *r, const struct table_def *def);
void report_sentence(struct report *r, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
void report_verdict(struct report *r, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
void report_remarks(struct report *r, const struct remarks *remarks);
/* Work out the shown values of sums and their parts. Once, before rendering. */
void report_finish(struct report *r);
/* The table of that name, or the main one for NULL; NULL when there is none. */
const struct table *report_find(const struct report *r, const char *name);

/* Rows: put_* fill the last row begun. A key that the table lacks is our bug: abort. */
void table_row(struct table *t);
void table_group(struct table *t, struct str text);
void table_head(struct table *t);
void table_total(struct table *t);
void table_row_machine(struct table *t); /* the last row is for machines only */
const struct table *table_for_people(const struct table *t); /* without such rows */
void table_indent(struct table *t, unsigned indent);

void put_text(struct table *t, const char *key, struct str text); /* borrowed */
void put_word(struct table *t, const char *key, const char *text);
void put_number(struct table *t, const char *key, double v); /* NaN, infinity: empty */
void put_day(struct table *t, const char *key, day d);       /* DAY_NONE: empty */
void put_flag(struct table *t, const char *key, bool flag);
/* What people see in this cell; machines get the value, or null. */
void put_instead(struct table *t, const char *key, const char *word);

/* Formatted text in the arena. */
struct str report_printf(struct arena *a, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));

/* Largest remainder: shown[i] are whole minor units next to parts[i] that add up
 * to money_minor(total).  Parts that do not add up to the total within half a
 * minor unit are each rounded alone, and false is returned. */
bool report_fit(const double *parts, size_t n, double total, int digits, int64_t *shown);
/* Decimals that people see in a column of this report. */
int report_decimals(const struct report *r, const struct column *c);

/* All tables of all commands, in the order of docs/output.md; NULL past the end. */
const struct table_def *report_def_at(size_t i);

/* ---- renderers: 0, or -1 when the output is too large ---- */
struct text_style {
	bool bold;  /* headings in bold: a terminal that wants it */
	bool thin;  /* rules are drawn, not typed: a terminal that shows UTF-8 */
	bool quiet; /* no remarks */
};
/* only NULL: all tables. Lines are at most REPORT_WIDTH columns wide. */
int report_text(const struct report *r, const struct text_style *style,
		const struct table_def *only, struct buf *out);
/* One table (all of that definition) as RFC 4180: header, CRLF, full precision, `.` as decimal
 * sign. Texts are data and stand as they are, whatever a spreadsheet would make of them. */
int report_csv(const struct report *r, const struct table_def *def, struct buf *out);
int report_json(const struct report *r, const struct table_def *only, struct buf *out);

/* Column c is there for people / machines in this table. */
bool column_shown(const struct table *t, size_t c);
bool column_machine(const struct table *t, size_t c);
/* Its cells and heading stand at the left edge. */
bool column_left(const struct column *c);
/* What people see in a cell, not yet escaped for its form; in the report's arena or borrowed. */
struct str report_shown(const struct table *t, size_t c, const struct row *row);
/* A number with up to so many decimals, more where two digits of a small amount need them. */
void report_number(struct buf *b, double v, int decimals);

#endif

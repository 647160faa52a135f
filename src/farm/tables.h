/* tables.h - the columns of the five CSV tables, in one place.
 *
 * Reading, "did you mean" hints, docs/tables.md and the writing of the bench log
 * all go by these columns: a column that is not here does not exist.  The values
 * end up in struct farm (farm.h).
 */
#ifndef FARM_TABLES_H
#define FARM_TABLES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/str.h"
#include "farm/farm.h"

enum table_id { TABLE_STOCK, TABLE_BEDS, TABLE_BATCHES, TABLE_ORDERS, TABLE_BENCH, TABLE_COUNT };

enum column_kind { /* what a cell holds */
	COLUMN_ID,        /* text that no other row has */
	COLUMN_TEXT,
	COLUMN_ITEM,      /* name of a crop, supply, part or piece */
	COLUMN_CROP,
	COLUMN_PIECE,
	COLUMN_OUTLET,
	COLUMN_COLOUR,
	COLUMN_PLACE,
	COLUMN_UNIT,      /* counting word or measure of the row's item */
	COLUMN_NUMBER,
	COLUMN_WHOLE,     /* whole number */
	COLUMN_LENGTH,    /* number of cm, or a number and a unit */
	COLUMN_DATE,
	COLUMN_EVENT,
	COLUMN_CAUSE,
	COLUMN_WEIGHINGS, /* `2026-08-01 412; 2026-08-03 388` */
	COLUMN_DRAWN,     /* `B12 24; B13 10` */
	COLUMN_END        /* the mark `.` */
};

struct csv_column {
	const char *name;
	enum column_kind kind;
	bool required;    /* the column must be there and its cells filled */
	const char *unit; /* "cm"; "" where there is none */
	double low, high; /* of a number in that unit, inclusive; both 0: any.  Of a date:
	                   * first year, and years from today; outside is a warning */
	const char *meaning;
};

struct csv_table {
	const char *file; /* "stock.csv" */
	const char *row;  /* what a row is: "box" */
	const struct csv_column *columns;
	size_t n;
};

const struct csv_table *csv_table_of(enum table_id id);
/* What a cell of that kind holds, for people: "a date, 2026-11-12". */
const char *column_kind_words(enum column_kind kind);
/* Index of the column of that name, without regard to case and blanks, or n. */
size_t csv_column_of(const struct csv_table *table, struct str name);

/* Indices of the columns. */
enum stock_column {
	STOCK_BOX, STOCK_WHAT, STOCK_COUNT, STOCK_UNIT, STOCK_COLOUR, STOCK_LENGTH, STOCK_BOXED,
	STOCK_COUNTED, STOCK_PRICE, STOCK_PLACE, STOCK_NOTE, STOCK_COLUMNS
};
enum beds_column {
	BEDS_BED, BEDS_CROP, BEDS_COLOUR, BEDS_METRES, BEDS_PLANTS, BEDS_PLANTED, BEDS_MONEY,
	BEDS_HOURS, BEDS_CUT_HOURS, BEDS_DRY_HOURS, BEDS_CUT, BEDS_FRESH, BEDS_BOXED,
	BEDS_ESTABLISHMENT, BEDS_BEARS, BEDS_NOTE, BEDS_COLUMNS
};
enum batches_column {
	BATCHES_BATCH, BATCHES_CROP, BATCHES_BED, BATCHES_COLOUR, BATCHES_LENGTH, BATCHES_CUT_ON,
	BATCHES_HUNG_ON, BATCHES_BOXED_ON, BATCHES_CUT, BATCHES_HUNG, BATCHES_BOXED,
	BATCHES_LOST, /* the first of CAUSE_COUNT, in the order of enum cause */
	BATCHES_MINUTES = BATCHES_LOST + 6, BATCHES_TARE, BATCHES_WEIGHINGS, BATCHES_NOTE,
	BATCHES_COLUMNS
};
enum orders_column {
	ORDERS_ORDER, ORDERS_PIECE, ORDERS_COUNT, ORDERS_OUTLET, ORDERS_DUE, ORDERS_PRICE,
	ORDERS_SENT, ORDERS_CUSTOMER, ORDERS_NOTE, ORDERS_COLUMNS
};
enum bench_column {
	BENCH_ID, BENCH_ON, BENCH_EVENT, BENCH_WHAT, BENCH_COUNT, BENCH_UNIT, BENCH_MINUTES,
	BENCH_SPOILED, BENCH_DRAWN, BENCH_BOX, BENCH_BATCH, BENCH_COLOUR, BENCH_LENGTH, BENCH_CAUSE,
	BENCH_OUTLET, BENCH_PRICE, BENCH_STRIKES, BENCH_NOTE, BENCH_END, BENCH_COLUMNS
};
enum { COLUMNS_MOST = 24 }; /* no table has more */
#define BENCH_TORN "bench.csv.torn" /* where torn lines of bench.csv are moved to */

/* Columns of bench.csv that an event needs and may fill, as bits 1 << BENCH_...; id,
 * on, event, note and end, which go with all, are in neither. */
struct event_columns {
	unsigned needs, may;
	unsigned kinds; /* of the thing in `what`: bits 1 << enum kind */
};
struct event_columns event_columns(enum event event);

#endif

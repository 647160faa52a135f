/* tables_in.h - inside src/farm/tables*.c only: reading one table.
 *
 * For each record the cells of the known columns become values; then the table's
 * own function checks them against each other and adds to the farm.  A record
 * with a wrong cell is not added, and the reading goes on.
 */
#ifndef FARM_TABLES_IN_H
#define FARM_TABLES_IN_H

#include <math.h>

#include "farm/csv.h"
#include "farm/load.h"
#include "farm/tables.h"

/* A cell that was read.  Which field holds goes by the column's kind; it is the
 * "not said" of its type when the cell is empty or the column is not there. */
struct value {
	const struct csv_cell *cell; /* its text is empty when nothing is said */
	double number;               /* in the model's unit; NaN */
	day date;                    /* DAY_NONE */
	uint32_t ref;                /* item as ITEM_VALUE, index, colour, word, event or cause;
	                              * NONE.  Of an id: its hash */
};

extern const struct csv_cell no_cell; /* of a column that the table lacks */

static inline bool given(const struct value *v)
{
	return v->cell->text.n > 0;
}

static inline struct str text_of(const struct value *v)
{
	return v->cell->text;
}

/* Rows by id, without regard to case and with runs of blanks as one.  A slot holds
 * bits of the hash above a row + 1; so it stays small, and the text of another row
 * is hardly ever looked at. */
struct ids {
	struct csv_cell *keys; /* by row */
	size_t n, cap;
	uint32_t *slots; /* 0 is free */
	size_t nslots;   /* a power of two; 0: nothing to find */
	unsigned row_bits;
};
void ids_init(struct ids *ids, size_t rows);
void ids_release(struct ids *ids);
uint32_t ids_hash(struct str id, struct arena *a);
/* Adds the next row.  An id that is there already is not found later: true and
 * *old = its first row.  The empty id is no id. */
bool ids_add(struct ids *ids, struct arena *a, const struct csv_cell *id, uint32_t hash, uint32_t *old);
bool ids_find(const struct ids *ids, struct arena *a, struct str id, uint32_t *row);
/* Says that ids_add() will come with that hash. */
static inline void ids_expect(const struct ids *ids, uint32_t hash)
{
	__builtin_prefetch(&ids->slots[hash & (ids->nslots - 1)], 1);
}

/* What cells said before, found by their bytes. */
enum { MEMO_SLOTS = 256 };
struct memo {
	struct memo_slot {
		uint64_t first, last; /* first and last bytes and the length: all of a short text */
		struct str text;      /* compared when it is longer */
		uint32_t under, value;
		struct rat factor; /* of units */
	} slots[MEMO_SLOTS];
};

/* What the tables of a folder have in common. */
struct tables {
	struct loader *l;
	struct ids ids[TABLE_COUNT];
	bool failed[TABLE_COUNT];    /* so what others say of its rows cannot be judged */
	uint32_t source[TABLE_COUNT];
	size_t cap_boxes, cap_batches; /* room in farm->boxes, farm->batches */
	day first_count, last_count; /* earliest and latest counted day of stock.csv */
	struct civil today;          /* year 0 when the clock is out of range */
	uint32_t texts_colours;      /* colours that the texts name */
	bool *asked;                 /* of the colours behind these: said that it looks like a slip */
	size_t nasked, cap_asked;
};

struct table_reader {
	struct tables *all;
	struct loader *l;
	enum table_id id;
	const struct csv_table *table;
	struct csv_reader *csv;
	struct value values[COLUMNS_MOST];
	struct memo *memos[COLUMNS_MOST];
	struct memo *units;          /* counting word under an item */
	struct {
		uint32_t column, cell;
	} present[COLUMNS_MOST];     /* columns that the table has */
	size_t npresent;
	const struct csv_cell *cells; /* where the values point */
	bool bad;                    /* an error in this record */
	char decimal;                /* sign that the table has used; 0: none yet */
	struct span decimal_at;
	bool thousands_warned;
	struct bench *bench;         /* tables_bench.c's own */
	day first_day[COLUMNS_MOST], last_day[COLUMNS_MOST]; /* of dates that look right */
};

/* ---- cells (tables_cells.c) ---- */

/* Reads the cells of the record into values; sets `bad`. */
void cells_read(struct table_reader *t);
struct span cell_span(const struct table_reader *t, size_t column);
/* Adds an error at the column's cell, or at the record when there is none. */
void cell_error(struct table_reader *t, size_t column, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));
/* Warns, once a table, of `1.250` in a cell where 1250 was meant. */
void cell_thousands(struct table_reader *t, size_t column, struct str text, double value);
void cell_warn(struct table_reader *t, size_t column, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));
/* The cell's text, ready for a sentence. */
const char *cell_quote(const struct table_reader *t, size_t column);
/* A number within the column's range; error otherwise. */
bool cell_number(struct table_reader *t, size_t column, struct str text, double *out);
/* How many base units of the item one of the cell's counting word is: 1 when the
 * cell is empty.  An error when the item knows no such word. */
bool cell_unit(struct table_reader *t, size_t column, struct item item, struct rat *factor);
/* Whether the colour is one that the crop comes in; adds the error when not. */
bool cell_colour_of(struct table_reader *t, size_t column, uint32_t crop);
/* later must not be before earlier. */
void cells_in_order(struct table_reader *t, size_t earlier, size_t later);
/* The next part of a cell at `;`, trimmed; false at the end. */
bool cell_part(struct str *rest, struct str *part);

/* Adds the record's id; an error that names both rows when it was there. */
void row_id(struct table_reader *t, size_t column);

/* ---- tables ---- */
void stock_begin(struct table_reader *t, size_t lines);
void stock_row(struct table_reader *t);
void beds_begin(struct table_reader *t, size_t lines);
void beds_row(struct table_reader *t);
void batches_begin(struct table_reader *t, size_t lines);
void batches_row(struct table_reader *t);
void orders_begin(struct table_reader *t, size_t lines);
void orders_row(struct table_reader *t);
void bench_begin(struct table_reader *t, size_t lines);
void bench_row(struct table_reader *t);
void bench_end(struct table_reader *t); /* after the last row, or without any */
/* Bytes of bench.csv up to a torn last line; all of them when the last line is whole. */
size_t bench_whole(struct str all);
/* The same of the source, and a torn line gets its warning. */
size_t bench_length(struct tables *all, uint32_t source);
/* The text of bench.csv with load_options.log_line behind its whole lines. */
struct str bench_with_line(struct loader *l, struct str text);

#endif

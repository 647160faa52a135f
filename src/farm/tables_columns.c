/* tables_columns.c - the columns of the five tables. */
#include "farm/tables.h"

#define STEMS_MOST 1e8
#define MONEY_MOST 1e9
#define NO_RANGE 0, 0
#define PAST 2000, 1 /* the year 2000 to a year from today */

static const struct csv_column stock_columns[] = {
	[STOCK_BOX] = { "box", COLUMN_ID, false, "", NO_RANGE,
	                "What is written on the box; may be left empty." },
	[STOCK_WHAT] = { "what", COLUMN_ITEM, true, "", NO_RANGE,
	                 "What is in it: a crop, a supply, a part made ahead or a finished piece." },
	[STOCK_COUNT] = { "count", COLUMN_NUMBER, true, "`unit`", 0, STEMS_MOST,
	                  "How much was counted; 0 says that there is none left." },
	[STOCK_UNIT] = { "unit", COLUMN_UNIT, false, "", NO_RANGE,
	                 "What was counted; empty means stems of a crop, and otherwise the unit that "
	                 "the thing is priced or made in." },
	[STOCK_COLOUR] = { "colour", COLUMN_COLOUR, false, "", NO_RANGE,
	                   "Colour; one of the crop's `colours` line where it has one." },
	[STOCK_LENGTH] = { "length", COLUMN_LENGTH, false, "cm", 1, 300, "Length of the stems." },
	[STOCK_BOXED] = { "boxed", COLUMN_DATE, false, "", PAST,
	                  "When the stems came dry into the box; keeping is counted from it." },
	[STOCK_COUNTED] = { "counted", COLUMN_DATE, false, "", PAST,
	                    "When it was counted, at the end of that day; empty means when it was "
	                    "boxed. A crop needs one of the two." },
	[STOCK_PRICE] = { "price", COLUMN_NUMBER, false, "money per `unit`", 0, MONEY_MOST,
	                  "What was paid for it, where it was bought in." },
	[STOCK_PLACE] = { "place", COLUMN_PLACE, false, "", NO_RANGE, "Where the box stands." },
	[STOCK_NOTE] = { "note", COLUMN_TEXT, false, "", NO_RANGE, "For you; not read." },
};

static const struct csv_column beds_columns[] = {
	[BEDS_BED] = { "bed", COLUMN_ID, true, "", NO_RANGE, "Name or number of the bed." },
	[BEDS_CROP] = { "crop", COLUMN_CROP, true, "", NO_RANGE, "What grows there." },
	[BEDS_COLOUR] = { "colour", COLUMN_COLOUR, false, "", NO_RANGE,
	                  "Colour, where the bed has one." },
	[BEDS_METRES] = { "metres", COLUMN_NUMBER, false, "m of bed", 0, 100000, "Length of the bed." },
	[BEDS_PLANTS] = { "plants", COLUMN_NUMBER, false, "plants", 0, STEMS_MOST, "Plants set." },
	[BEDS_PLANTED] = { "planted", COLUMN_DATE, false, "", 1950, 2, "When they were planted." },
	[BEDS_MONEY] = { "money", COLUMN_NUMBER, false, "money", 0, MONEY_MOST,
	                 "Spent on this bed this season: seed, plugs, feed, netting." },
	[BEDS_HOURS] = { "hours", COLUMN_NUMBER, false, "h", 0, 100000,
	                 "Work on this bed without cutting." },
	[BEDS_CUT_HOURS] = { "cut hours", COLUMN_NUMBER, false, "h", 0, 100000,
	                     "Work of cutting; empty means as the crop's `works` line says." },
	[BEDS_DRY_HOURS] = { "dry hours", COLUMN_NUMBER, false, "h", 0, 100000,
	                     "Work from stripping to boxing; empty means as the `works` line says." },
	[BEDS_CUT] = { "cut", COLUMN_NUMBER, true, "stems", 0, STEMS_MOST, "Stems cut this season." },
	[BEDS_FRESH] = { "fresh", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST,
	                 "How many of these were sold fresh; empty means none." },
	[BEDS_BOXED] = { "boxed", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST,
	                 "Stems that came dry into boxes; empty means as the batches of the bed say." },
	[BEDS_ESTABLISHMENT] = { "establishment", COLUMN_NUMBER, false, "money", 0, MONEY_MOST,
	                         "What planting a bed of perennials cost, once." },
	[BEDS_BEARS] = { "bears", COLUMN_NUMBER, false, "years", 1, 100,
	                 "Years over which the establishment is spread." },
	[BEDS_NOTE] = { "note", COLUMN_TEXT, false, "", NO_RANGE, "For you; not read." },
};

static const struct csv_column batches_columns[] = {
	[BATCHES_BATCH] = { "batch", COLUMN_ID, true, "", NO_RANGE,
	                    "Name or number of the batch: what was hung together." },
	[BATCHES_CROP] = { "crop", COLUMN_CROP, true, "", NO_RANGE, "What was hung." },
	[BATCHES_BED] = { "bed", COLUMN_TEXT, false, "", NO_RANGE, "Bed of beds.csv that it came from." },
	[BATCHES_COLOUR] = { "colour", COLUMN_COLOUR, false, "", NO_RANGE, "Colour." },
	[BATCHES_LENGTH] = { "length", COLUMN_LENGTH, false, "cm", 1, 300, "Length of the stems." },
	[BATCHES_CUT_ON] = { "cut on", COLUMN_DATE, false, "", PAST, "When it was cut." },
	[BATCHES_HUNG_ON] = { "hung on", COLUMN_DATE, false, "", PAST, "When it was hung." },
	[BATCHES_BOXED_ON] = { "boxed on", COLUMN_DATE, false, "", PAST,
	                       "When it was boxed; empty means that it still hangs." },
	[BATCHES_CUT] = { "cut", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST, "Stems cut for it." },
	[BATCHES_HUNG] = { "hung", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST,
	                   "Stems hung, after grading out; no more than were cut." },
	[BATCHES_BOXED] = { "boxed", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST,
	                    "Stems that came dry into boxes; no more than were hung." },
	[BATCHES_LOST + CAUSE_MOULD] = { "lost mould", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST,
	                                 "Lost in drying to mould." },
	[BATCHES_LOST + CAUSE_SHATTER] = { "lost shatter", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST,
	                                   "Lost because heads or petals fell." },
	[BATCHES_LOST + CAUSE_COLOUR] = { "lost colour", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST,
	                                  "Lost because they faded or browned." },
	[BATCHES_LOST + CAUSE_BREAKAGE] = { "lost breakage", COLUMN_NUMBER, false, "stems", 0,
	                                    STEMS_MOST, "Lost because they broke." },
	[BATCHES_LOST + CAUSE_PEST] = { "lost pest", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST,
	                                "Lost to mice, moths or beetles." },
	[BATCHES_LOST + CAUSE_OTHER] = { "lost other", COLUMN_NUMBER, false, "stems", 0, STEMS_MOST,
	                                 "Lost to anything else." },
	[BATCHES_MINUTES] = { "minutes", COLUMN_NUMBER, false, "min", 0, 1e6,
	                      "Work on the batch from stripping to boxing; for what a stem costs, say it as `dry hours` of the bed." },
	[BATCHES_TARE] = { "tare", COLUMN_NUMBER, false, "g", 0, 1e6,
	                   "Weight of hook, band or tray, taken off each weighing." },
	[BATCHES_WEIGHINGS] = { "weighings", COLUMN_WEIGHINGS, false, "g", 0.1, 1e6,
	                        "The same bundle weighed day by day; see below." },
	[BATCHES_NOTE] = { "note", COLUMN_TEXT, false, "", NO_RANGE, "For you; not read." },
};

static const struct csv_column orders_columns[] = {
	[ORDERS_ORDER] = { "order", COLUMN_ID, true, "", NO_RANGE,
	                   "Name or number of the order; two pieces on one order are two rows, `12a` and `12b`." },
	[ORDERS_PIECE] = { "piece", COLUMN_PIECE, true, "", NO_RANGE, "What was ordered." },
	[ORDERS_COUNT] = { "count", COLUMN_WHOLE, true, "pieces", 1, 1e6, "How many." },
	[ORDERS_OUTLET] = { "outlet", COLUMN_OUTLET, false, "", NO_RANGE, "Where it is sold." },
	[ORDERS_DUE] = { "due", COLUMN_DATE, false, "", 2000, 10,
	                 "When it is promised; empty means as soon as possible." },
	[ORDERS_PRICE] = { "price", COLUMN_NUMBER, false, "money per piece", 0, MONEY_MOST,
	                   "What the customer pays; empty means the price of the piece there." },
	[ORDERS_SENT] = { "sent", COLUMN_DATE, false, "", PAST,
	                  "When it went out; empty means that it is still open." },
	[ORDERS_CUSTOMER] = { "customer", COLUMN_TEXT, false, "", NO_RANGE, "For you; not read." },
	[ORDERS_NOTE] = { "note", COLUMN_TEXT, false, "", NO_RANGE, "For you; not read." },
};

static const struct csv_column bench_columns[] = {
	[BENCH_ID] = { "id", COLUMN_ID, true, "", NO_RANGE,
	               "Number of the entry; the same entry written twice counts once." },
	[BENCH_ON] = { "on", COLUMN_DATE, true, "", PAST, "The day it happened." },
	[BENCH_EVENT] = { "event", COLUMN_EVENT, true, "", NO_RANGE, "What happened; see below." },
	[BENCH_WHAT] = { "what", COLUMN_ITEM, false, "", NO_RANGE,
	                 "The crop, supply, part or piece that it happened to." },
	[BENCH_COUNT] = { "count", COLUMN_NUMBER, false, "`unit`", 0, STEMS_MOST, "How much." },
	[BENCH_UNIT] = { "unit", COLUMN_UNIT, false, "", NO_RANGE, "As in stock.csv." },
	[BENCH_MINUTES] = { "minutes", COLUMN_NUMBER, false, "min", 0, 1e6, "Work that it took." },
	[BENCH_SPOILED] = { "spoiled", COLUMN_NUMBER, false, "stems or pieces", 0, STEMS_MOST,
	                    "Spoiled while doing it." },
	[BENCH_DRAWN] = { "drawn", COLUMN_DRAWN, false, "stems", 0, STEMS_MOST,
	                  "Stems taken from each box for it: `B12 24; B13 10`." },
	[BENCH_BOX] = { "box", COLUMN_TEXT, false, "", NO_RANGE,
	                "The box that it happened to; with `weighed`, the batch." },
	[BENCH_BATCH] = { "batch", COLUMN_TEXT, false, "", NO_RANGE,
	                  "With `cut`, `hung` and `boxed`: the batch; one that batches.csv has, or a new one." },
	[BENCH_COLOUR] = { "colour", COLUMN_COLOUR, false, "", NO_RANGE,
	                   "With `boxed`, of a box that this opens." },
	[BENCH_LENGTH] = { "length", COLUMN_LENGTH, false, "cm", 1, 300,
	                   "With `boxed`, of a box that this opens." },
	[BENCH_CAUSE] = { "cause", COLUMN_CAUSE, false, "", NO_RANGE, "Why it was tossed." },
	[BENCH_OUTLET] = { "outlet", COLUMN_OUTLET, false, "", NO_RANGE, "Where it was sold." },
	[BENCH_PRICE] = { "price", COLUMN_NUMBER, false, "money per `unit`", 0, MONEY_MOST,
	                  "What the customer paid for one." },
	[BENCH_STRIKES] = { "strikes", COLUMN_TEXT, false, "", NO_RANGE,
	                    "With `struck`: id of the entry that is taken back." },
	[BENCH_NOTE] = { "note", COLUMN_TEXT, false, "", NO_RANGE, "For you; not read." },
	[BENCH_END] = { "end", COLUMN_END, false, "", NO_RANGE,
	                "The last column; a full stop, which says that the line is whole, or nothing." },
};

#define COLUMNS(array) array, sizeof(array) / sizeof(array)[0]

static const struct csv_table tables[TABLE_COUNT] = {
	[TABLE_STOCK] = { "stock.csv", "box", COLUMNS(stock_columns) },
	[TABLE_BEDS] = { "beds.csv", "bed", COLUMNS(beds_columns) },
	[TABLE_BATCHES] = { "batches.csv", "batch", COLUMNS(batches_columns) },
	[TABLE_ORDERS] = { "orders.csv", "order", COLUMNS(orders_columns) },
	[TABLE_BENCH] = { "bench.csv", "entry", COLUMNS(bench_columns) },
};

_Static_assert(BATCHES_MINUTES == BATCHES_LOST + CAUSE_COUNT, "a column for each cause");

const struct csv_table *csv_table_of(enum table_id id)
{
	return &tables[id];
}

const char *column_kind_words(enum column_kind kind)
{
	switch (kind) {
	case COLUMN_ID:
		return "text, no two alike";
	case COLUMN_TEXT:
		return "text";
	case COLUMN_ITEM:
		return "name of a crop, supply, part or piece";
	case COLUMN_CROP:
		return "name of a crop";
	case COLUMN_PIECE:
		return "name of a piece";
	case COLUMN_OUTLET:
		return "name of an outlet";
	case COLUMN_COLOUR:
		return "colour";
	case COLUMN_PLACE:
		return "text";
	case COLUMN_UNIT:
		return "counting word or measure";
	case COLUMN_NUMBER:
		return "number";
	case COLUMN_WHOLE:
		return "whole number";
	case COLUMN_LENGTH:
		return "number, or number and unit";
	case COLUMN_DATE:
		return "date";
	case COLUMN_EVENT:
		return "event";
	case COLUMN_CAUSE:
		return "mould, shatter, colour, breakage, pest, other";
	case COLUMN_WEIGHINGS:
		return "dates and weights";
	case COLUMN_DRAWN:
		return "boxes and stems";
	case COLUMN_END:
		return "`.`";
	}
	return "";
}

static char plain(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool between_words(char c)
{
	return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* Column names are plain ASCII, so no folding beyond it is called for. */
static bool same_column(struct str name, const char *column)
{
	size_t i = 0;
	for (;;) {
		while (i < name.n && between_words(name.p[i]))
			i++;
		while (*column == ' ')
			column++;
		if (i == name.n || !*column)
			return i == name.n && !*column;
		if (plain(name.p[i]) != *column)
			return false;
		i++;
		column++;
	}
}

size_t csv_column_of(const struct csv_table *table, struct str name)
{
	for (size_t i = 0; i < table->n; i++) {
		if (same_column(name, table->columns[i].name))
			return i;
	}
	return table->n;
}

/* log_line.h - a line for bench.csv, written as the file at hand is written: its
 * columns, delimiter, decimal sign and line ends (struct log_form in farm.h).
 *
 * What is written is read back first: farm_load() with load_options.log_line. */
#ifndef FARM_LOG_LINE_H
#define FARM_LOG_LINE_H

#include "base/buf.h"
#include "farm/tables.h"

/* Adds the line with its line end, behind a line end that the file lacks, and behind the
 * header line when there is no file yet.  Cells are by enum bench_column, empty where
 * nothing is said, without line ends; the end mark is put by itself.  BENCH_COLUMNS, or
 * a column that the line needs and the file lacks: nothing is added then. */
size_t log_line_write(struct buf *out, const struct log_form *form, const struct str *cells);
/* Columns, as bits 1 << enum bench_column, that such a line needs and the file lacks. */
unsigned log_line_lacks(const struct log_form *form, const struct str *cells);
/* The whole lines of the log with these columns put before its end mark: named in the
 * header, empty below it; `form` then is that of the text.  False, and `out` empty,
 * when the last column is no end mark, or a cell holds a line break. */
bool log_line_widen(struct buf *out, struct log_form *form, struct str whole, unsigned columns,
                    struct arena *a);
/* The id behind the largest one: 55, or 055 where they are written so. */
void log_line_id(struct buf *out, const struct log_form *form);
/* The number with the file's decimal sign; false, and nothing, when six decimals cannot
 * hold it. */
bool log_line_number(struct buf *out, const struct log_form *form, struct rat q);

#endif

/* csv.h - records of a table in memory (RFC 4180), each cell with its place.
 *
 * csv.c is the only file that knows libcsv.  The reader is strict: what libcsv or
 * RFC 4180 does not allow becomes a diagnostic with the file, the line, the column
 * name and the offending text; nothing is left out in silence.
 *
 *     struct csv_reader *r = csv_reader_open(diag, arena, source);
 *     while (csv_reader_next(r))
 *             use r->cells[0 .. r->nheader - 1]
 *     failed = r->failed;
 *     csv_reader_close(r);
 *
 * Where it goes beyond RFC 4180, or stays short of it, on purpose:
 *   - The delimiter is `,` `;` or tab: the one that the header line holds most of,
 *     outside quotes.
 *   - A UTF-8 byte order mark is skipped; lines end in CRLF or LF.
 *   - Blanks round a cell are dropped; inside quotes they stay.
 *   - Lines without any text, and lines of nothing but delimiters as spreadsheets
 *     leave behind, are no records.
 *   - The text must be UTF-8 and hold no NUL.
 */
#ifndef FARM_CSV_H
#define FARM_CSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/diag.h"
#include "base/mem.h"
#include "base/str.h"

struct csv_cell {
	struct str text;   /* the value; lives as long as the arena and the source */
	uint32_t off, len; /* where it stands in the source, quotes included */
};

struct csv_reader {
	struct diag *diag;
	struct arena *arena;
	uint32_t source; /* index + 1 in diag->sources */
	char delimiter;  /* ',' ';' or '\t' */
	struct csv_cell *header;
	size_t nheader; /* 0: no header line could be read */

	/* The record that csv_reader_next() found. */
	struct csv_cell *cells; /* nheader of them; overwritten by the next record */
	uint32_t line;          /* from 1, of its first character */
	uint32_t off;           /* of its first character */

	bool failed;               /* an error was added */
	struct csv_parsing *parts; /* csv.c's own */
};

enum { CSV_ERRORS_MOST = 100 };

/* Checks the first `length` bytes of the source (SIZE_MAX: all of it) and reads the
 * header line.  Never NULL; when the text is empty, not UTF-8 or its header cannot
 * be read, an error is added, `failed` is set and no record follows. */
struct csv_reader *csv_reader_open(struct diag *diag, struct arena *arena, uint32_t source,
                                   size_t length);
/* The next record with as many cells as the header.  A row with fewer or more is
 * an error and the reading goes on behind it; a quote out of place ends it, and so
 * do CSV_ERRORS_MOST errors in diag since the opening, whoever added them. */
bool csv_reader_next(struct csv_reader *r);
/* Frees what is not in the arena; cells stay valid. */
void csv_reader_close(struct csv_reader *r);

/* Span of a cell. An empty cell has the length 0. */
struct span csv_span(const struct csv_reader *r, const struct csv_cell *cell);
/* Lines in the text: no fewer than it has records. */
size_t csv_line_count(struct str text);
/* The delimiter of the text's header line: the one that stands there most. */
char csv_delimiter(struct str text);
/* The first line with any text in it, quoted line ends included. */
struct str csv_first_line(struct str text);
/* Cells of one line as far as it goes: delimiters outside quotes, and one. */
size_t csv_cell_count(struct str line, char delimiter);

#endif

/* statements.h - the one table of statements.
 *
 * The parser, the "did you mean" hints, the tests of the docs and `thrave help`
 * all read this table: a word that is not here does not exist.
 *
 * In a syntax line capitals stand for values, `[...]` may be left out, `...`
 * repeats, `|` separates choices; clauses are separated by `,` or `;` and stand in
 * any order.
 */
#ifndef FARM_STATEMENTS_H
#define FARM_STATEMENTS_H

#include <stdbool.h>
#include <stddef.h>

#include "farm/farm.h"

struct cursor;
struct reader;

enum { STATEMENTS_MOST = 96 };

struct statement {
	unsigned kinds;      /* blocks where it may stand: bits 1 << enum kind */
	const char *word;
	bool many;           /* may stand several times in a block */
	const char *syntax;
	const char *meaning; /* one sentence */
	const char *example; /* a whole line */
	int (*read)(struct reader *r, struct cursor *c);
};

/* NULL past the end; fewer than STATEMENTS_MOST. */
const struct statement *statement_at(size_t i);
/* The statement of that word (without regard to case) in blocks of that kind. */
const struct statement *statement_find(enum kind kind, struct str word);
size_t statement_index(const struct statement *s);
/* Nearest word in blocks of the kind by edit distance, or empty. */
struct str statement_nearest(enum kind kind, struct str word);

/* The kind that the word opens: KIND_COUNT when none.  exact: as it is spelled in
 * the docs; else without regard to case. */
enum kind kind_of(struct str word, bool exact);
enum kind kind_nearest(struct str word);

#endif

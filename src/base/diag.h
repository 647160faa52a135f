/* diag.h - what is wrong with the input, and where.
 *
 * Texts are kept whole with a line table; a span is only {file, offset, length}.
 * Lines and columns are worked out when a diagnostic is printed.  Library code
 * adds diagnostics and returns -1; nothing below src/commands prints.
 *
 * Form of a message (people and --json get the same sentence):
 *
 *     crops.txt:14:18: error: `prr` is no word that can stand here.
 *         costs     0.24 prr stem boxed
 *                        ^~~
 *       hint: did you mean `per`?
 *
 * The source line stands as it is behind two blanks: tabs widened to stops of 8,
 * controls escaped, a long line cut to 100 columns around the caret.  Cells of a
 * CSV table name their column, and a second place follows as a note:
 *
 *     stock.csv:3:14: error: column "boxed": `12.11.26` is no date.
 *     crops.txt:31:6: error: The crop `Statice` is defined twice.
 *     crops.txt:4:6: note: first defined here
 *
 * Without a place the message starts with `error: `.  The same sentence at the
 * same place is kept once.  At most DIAG_SHOWN_MOST messages are shown; a last
 * line counts the rest: `3 more errors and 1 more warning not shown.`
 *
 * The sentence starts with a capital or a quoted word, ends with a full stop and
 * names the offending text, control characters escaped, cut at 40 characters.
 */
#ifndef BASE_DIAG_H
#define BASE_DIAG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/mem.h"
#include "base/str.h"

struct buf;

enum { DIAG_SHOWN_MOST = 20 };

struct span {
	uint32_t file; /* index + 1 into the sources; 0 = nowhere */
	uint32_t off, len;
};
#define SPAN_NONE ((struct span){ 0, 0, 0 })

enum diag_level {
	DIAG_ERROR,
	DIAG_WARNING, /* the input is used, but the grower should know */
	DIAG_NOTE     /* skipped files and the like */
};

struct source {
	struct str name; /* as shown: path below the folder */
	struct str text; /* the whole file, borrowed from the arena */
	uint32_t *lines; /* offsets of line starts, made when first asked for */
	size_t nlines;
};

struct diag_item {
	enum diag_level level;
	struct span at;
	struct span also;      /* the other place (first definition), or SPAN_NONE */
	struct str column;     /* CSV column name, or empty */
	struct str text;       /* the sentence */
	struct str hint;       /* empty when there is none */
	struct str also_text;  /* "first defined here", with `also` */
};

struct diag {
	struct arena *arena; /* borrowed: holds all texts */
	struct source *sources;
	size_t nsources, cap_sources;
	struct diag_item *items;
	size_t nitems, cap_items;
	size_t errors, warnings; /* counted even past the most that are shown */
};

void diag_init(struct diag *d, struct arena *a);
/* Takes a file's text in (borrowed, must live in the arena). Index + 1. */
uint32_t diag_source(struct diag *d, struct str name, struct str text);

/* Add a message. Returns -1 for DIAG_ERROR (so `return diag_error(...)` is one
 * line) and 0 otherwise.  The format makes the sentence. */
int diag_add(struct diag *d, enum diag_level level, struct span at, const char *fmt, ...)
    __attribute__((format(printf, 4, 5)));
/* (d, at, format, ...): `at` may be a braced literal. */
#define diag_error(d, ...) diag_add((d), DIAG_ERROR, __VA_ARGS__)
#define diag_warn(d, ...) diag_add((d), DIAG_WARNING, __VA_ARGS__)
/* Details of the message added last. */
void diag_hint(struct diag *d, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
void diag_also(struct diag *d, struct span other, const char *text);
void diag_column(struct diag *d, struct str column);

/* The text of user's input as a quoted word: `abc`, control characters as \x1b,
 * marks that reorder or hide text as \u202e, bytes that are no UTF-8 as \xff;
 * cut at 40 characters with "...". Lives in the arena. */
const char *diag_quote(struct diag *d, struct str s);

struct place {
	size_t line, column; /* from 1, column in characters; 0 = nowhere */
	struct str text;     /* the source line without its end */
};
struct place diag_place(struct diag *d, struct span at);

/* Errors, then warnings, then notes, each in order of file and position; what is
 * past DIAG_SHOWN_MOST is counted in a last line.  Both put the items in that
 * order and drop repeats, so counts of errors may fall. */
void diag_print(struct diag *d, struct buf *out);
void diag_sort(struct diag *d);

/* Nearest of the candidates by edit distance (at most a third of its length,
 * at least 1), or NULL.  next(ctx, i) yields candidates until it returns an
 * empty slice. */
struct str diag_nearest(struct str word, struct str (*next)(void *ctx, size_t i), void *ctx);

#endif

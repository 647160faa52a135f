/* str.h - borrowed text slices and the UTF-8 rules of the notation.
 *
 * A struct str borrows: it never owns its bytes and need not end in NUL.
 * str.c is the only file that knows utf8proc (case folding, normal form,
 * display width).
 */
#ifndef BASE_STR_H
#define BASE_STR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;

struct str {
	const char *p;
	size_t n;
};

#define STR(literal) ((struct str){ (literal), sizeof(literal) - 1 })
#define STR_NONE ((struct str){ NULL, 0 })
#define STR_ARG(s) (int)(s).n, (s).p /* for "%.*s" */

struct str str_of(const char *s); /* s may be NULL: the empty slice */
bool str_eq(struct str a, struct str b);
bool str_is(struct str a, const char *b);
int str_cmp(struct str a, struct str b); /* byte order */
bool str_starts(struct str a, const char *prefix);
struct str str_trim(struct str s); /* blanks and tabs off both ends */
uint64_t str_hash(struct str s);

/* Decodes the character at `at`: its length in bytes, 0 at the end.  A byte that
 * is not valid UTF-8 counts as one character of code -1. */
size_t str_next(struct str s, size_t at, int32_t *code);
/* Offset of the first byte that is not valid UTF-8, or s.n when all is. */
size_t str_utf8_bad(struct str s);
/* Columns on a terminal: combining marks 0, wide East Asian 2, controls 0. */
size_t str_width(struct str s);
/* Longest prefix of at most `width` columns, never inside a character. */
size_t str_fit(struct str s, size_t width);
/* Code points in the first n bytes (what an editor calls the column). */
size_t str_chars(struct str s, size_t n);

/* Two spellings are the same name when their folds are equal: Unicode casefold,
 * NFKC-free normal form C, runs of white space as one blank, ends trimmed, curly
 * apostrophes straight.
 * The result lives in the arena.  Invalid UTF-8 is copied as it is. */
struct str str_fold(struct arena *a, struct str s);

/* Edits (insert, delete, replace, swap neighbours) from a to b, at most
 * `limit` + 1.  Compares bytes; fold first. */
size_t str_distance(struct str a, struct str b, size_t limit);

#endif

/* buf.h - an owning, capped, NUL-terminated byte buffer.
 *
 * Invariants: data is never NULL after buf_init; data[len] == '\0'; len <= max.
 * An append that would pass `max` adds nothing, sets `full` and returns -1, so
 * a run of appends can be checked once at the end.
 */
#ifndef BASE_BUF_H
#define BASE_BUF_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/str.h"

struct buf {
	char *data;
	size_t len, cap, max;
	bool full;
};

void buf_init(struct buf *b, size_t max);
void buf_release(struct buf *b); /* frees; may be initialised again */
void buf_clear(struct buf *b);   /* empties, keeps the memory */

int buf_add(struct buf *b, const char *p, size_t n);
int buf_char(struct buf *b, char c);
int buf_text(struct buf *b, const char *s);
int buf_str(struct buf *b, struct str s);
int buf_fill(struct buf *b, char c, size_t n);
int buf_printf(struct buf *b, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
int buf_vprintf(struct buf *b, const char *fmt, va_list ap) __attribute__((format(printf, 2, 0)));
/* Text of others made safe to show: controls as \x1b, marks that reorder or hide
 * text as \u202e, bytes that are no UTF-8 as \xff; "..." after `most` characters. */
int buf_visible(struct buf *b, struct str s, size_t most);
struct str buf_slice(const struct buf *b); /* borrowed until the next change */

#endif

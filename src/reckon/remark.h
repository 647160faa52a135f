/* remark.h - what a report must say aloud at its foot, once: what was assumed,
 * what is doubtful, and which caution goes with it. */
#ifndef RECKON_REMARK_H
#define RECKON_REMARK_H

#include <stddef.h>
#include <stdint.h>

#include "base/mem.h"
#include "base/str.h"

enum remark_kind {
	REMARK_ASSUMED, /* "No overhead given: counted as 0." */
	REMARK_DOUBT,   /* "No cost known for Ammobium: every figure with it is too low." */
	REMARK_CAUTION  /* safety and law, always defers to local codes */
};
struct remark {
	enum remark_kind kind;
	const char *text;   /* one or two whole sentences */
	const char *source; /* of a caution; NULL otherwise */
};
struct remarks {
	struct arena *arena;
	struct remark *items;
	size_t n, cap;
};
void remarks_init(struct remarks *r, struct arena *a);
/* Adds once: the same sentence again does nothing. */
void remark(struct remarks *r, enum remark_kind kind, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));
void remark_caution(struct remarks *r, const char *text, const char *source);

/* Names gathered for one sentence, each once: "A", "A and B", "A, B and C"; from
 * seven on "A, B, C, D, E and 2 more".  Zeroed is empty; names are borrowed. */
struct said {
	struct arena *arena;
	struct str *names;
	size_t n, cap;
	uint32_t *slots; /* by hash: index + 1 into names; 0 empty */
	size_t nslots;
};
void said_add(struct said *l, struct arena *a, struct str name);
const char *said_text(const struct said *l); /* in the arena; "" when empty */

#endif

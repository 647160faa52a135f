/* load.h - inside src/farm only: the parts that farm_load() is made of.
 *
 * Order: notation_read for every .txt (blocks and statements, names unresolved) ->
 * notation_resolve (names to indices, measures, cycles, levels) -> tables_read ->
 * figures_suppose -> farm_check (ranges and sense across the whole farm).
 */
#ifndef FARM_LOAD_H
#define FARM_LOAD_H

#include "farm/farm.h"

/* A name table from fold to value, open addressing, in an arena. */
struct names {
	struct arena *arena;
	struct str *keys;
	uint32_t *values;
	size_t n, cap;
};
void names_init(struct names *t, struct arena *a);
/* true and *old = its value when the fold was there already. */
bool names_put(struct names *t, struct str fold, uint32_t value, uint32_t *old);
bool names_get(const struct names *t, struct str fold, uint32_t *value);

struct loader {
	struct farm *farm;
	struct arena *arena;
	struct diag *diag;
	struct names items;   /* value: kind << 28 | index */
	struct names outlets;
	struct names colours; /* into farm->colours */
	struct names words;   /* into farm->words */
	void *notation;       /* notation.c's own: unresolved references */
	size_t cap_colours, cap_words;
};

/* The colour of that name, added when new (crops with a `colours` line are checked
 * by the caller). */
uint32_t loader_colour(struct loader *l, struct str name);
bool loader_item(const struct loader *l, struct str name, struct item *out);
/* Adds a hint with the nearest known name of these kinds (bit 1 << kind). */
void loader_hint_name(struct loader *l, struct str name, unsigned kinds);

int notation_read(struct loader *l, uint32_t source); /* index + 1 in diag->sources */
int notation_resolve(struct loader *l);
int tables_read(struct loader *l, const char *folder);
int farm_check(struct loader *l);

#endif

/* load.h - inside src/farm only: the parts that farm_load() is made of.
 *
 * Order: notation_read for every .txt (blocks and statements, names unresolved) ->
 * notation_resolve (names to indices, measures, cycles, levels) -> tables_read ->
 * figures_suppose -> farm_check (ranges and sense across the whole farm).
 */
#ifndef FARM_LOAD_H
#define FARM_LOAD_H

#include "farm/farm.h"

/* A name table from fold to value, in an arena: entries in the order they came,
 * found through slots (open addressing). */
struct names {
	struct arena *arena;
	struct str *keys; /* n of them */
	uint32_t *values;
	size_t n, cap;
	uint32_t *slots; /* entry + 1; 0 is free */
	size_t nslots;   /* a power of two */
};
void names_init(struct names *t, struct arena *a);
/* true and *old = its value when the fold was there already. */
bool names_put(struct names *t, struct str fold, uint32_t value, uint32_t *old);
bool names_get(const struct names *t, struct str fold, uint32_t *value);

#define ITEM_VALUE(kind, index) ((uint32_t)(kind) << 28 | (index))
#define ITEM_OF(value) ((struct item){ (enum kind)((value) >> 28), (value) & 0x0fffffffu })

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
	size_t hints;         /* names looked for so far, see loader_hint_name */
	struct str log_line, log_text; /* of load_options */
};
void loader_init(struct loader *l, struct farm *farm, struct arena *a, struct diag *diag);

/* The colour of that name, added when new (crops with a `colours` line are checked
 * by the caller). */
uint32_t loader_colour(struct loader *l, struct str name);
bool loader_item(const struct loader *l, struct str name, struct item *out);
/* Adds a hint with the nearest known name of these kinds (bit 1 << kind); false
 * when none is near.  The search walks all names, so it is done for the first few
 * hundred errors only. */
bool loader_hint_name(struct loader *l, struct str name, unsigned kinds);

int notation_read(struct loader *l, uint32_t source); /* index + 1 in diag->sources */
int notation_resolve(struct loader *l);
int tables_read(struct loader *l, const char *folder);
int farm_check(struct loader *l);

#endif

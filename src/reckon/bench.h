/* bench.h - reading the bench log: which lines count, in which order, by which recipe. */
#ifndef RECKON_BENCH_H
#define RECKON_BENCH_H

#include "farm/farm.h"

/* Indices into farm->log of what happened up to that day, by day, then by line: struck
 * lines and strikes are left out; a strike that is struck itself does nothing.  *later
 * (may be NULL): how many are left out for being after the day. */
size_t bench_lines(size_t **out, const struct farm *farm, day on, size_t *later, struct arena *a);

struct recipe {                 /* of a part or piece; empty for anything else */
	const struct need *needs;
	size_t nneeds;
	const struct task *tasks;
	size_t ntasks;
	double makes;           /* base units from one making; 1 for pieces */
};
struct recipe recipe_of(const struct farm *farm, struct item item);

bool same_item(struct item a, struct item b);
/* The line draws from a box of that item. */
bool bench_drew(const struct farm *farm, const struct log_entry *e, struct item item);
/* The line draws stems that the part takes and its maker does not: the part was made
 * on the spot, not taken ready from the shelf. */
bool bench_on_the_spot(const struct farm *farm, const struct log_entry *e, struct item part);

#endif

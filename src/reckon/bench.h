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
/* The one crop that a line drew; NONE when there are several or none.  Stems from boxes
 * that are no longer here can only be of the recipe's crops. */
uint32_t bench_sole_crop(const struct farm *farm, const struct log_entry *e);
/* Makings that a `made` line stands for; NaN without a count. */
double bench_makings(const struct farm *farm, const struct log_entry *e);
/* Seconds that the recipe says for a `made` line as one run: its own `takes`, set-ups for
 * whole batches, and those of parts made on the spot; ready parts were timed before. */
double bench_recipe_seconds(const struct farm *farm, const struct log_entry *e);
/* Stems of a `made` line with a count, per crop of the farm: drawn, and called for by the
 * recipe with the normal bench loss on top.  A need is compared with what was drawn for
 * it: one that nothing was drawn for is not recorded and calls for nothing; options share
 * the makings by what their stems were enough for; parts count when they were made on
 * the spot.  False when stems came from boxes that are gone and may be of any crop. */
bool bench_stems(const struct farm *farm, const struct log_entry *e, double *drawn, double *recipe);

#endif

/* pair.h - the things of two farms that are the same by name.
 *
 * Two things of one kind are a pair when their names fold alike, else when any name of
 * the one, `also` names included, is any name of the other.  Each thing stands in one
 * pair; what has no counterpart stands alone, and nothing is left out. */
#ifndef FARM_PAIR_H
#define FARM_PAIR_H

#include "farm/farm.h"

struct pair { /* indices of that kind; NONE: not in that farm */
	uint32_t first, second;
};
/* CROP, SUPPLY, PART, PIECE or OUTLET; in the order of the first farm, then what only
 * the second has.  In the arena. */
struct pair *farm_pairs(const struct farm *first, const struct farm *second, enum kind kind,
			struct arena *a, size_t *n);
/* The head of one of them. */
const struct head *pair_head(const struct farm *farm, enum kind kind, uint32_t index);

#endif

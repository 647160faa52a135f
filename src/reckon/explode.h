/* explode.h - what a run of pieces takes, through parts of parts.
 *
 * Low-level coding: parts are taken level by level, shallowest first; stock of a
 * part is netted where its need arises, never from the gross at the end (the
 * textbook trap of material requirements planning: stock of a part saves what is
 * below it too).  All counts are exact rationals, pooled over the run; a part is
 * made in whole makings.
 */
#ifndef RECKON_EXPLODE_H
#define RECKON_EXPLODE_H

#include "farm/farm.h"

struct run {                    /* so many of a piece */
	uint32_t piece;
	struct rat count;
};
struct exploded_part {
	struct rat gross;       /* base units wanted by everything above */
	struct rat from_stock;
	struct rat net;         /* gross - from_stock */
	int64_t makings;        /* whole makings: ceil(net / makes) */
};
struct exploded_need {          /* a crop or supply wanted by one need of one maker */
	struct item maker;      /* PIECE or PART */
	uint32_t need, option;
	struct rat makings;     /* of the maker */
	struct rat count;       /* base units, without bench allowance */
};
struct exploded {
	struct exploded_part *parts; /* per farm->parts */
	struct exploded_need *needs; /* crops and supplies only; makers pieces first, then parts by level */
	size_t nneeds;
	struct rat *supplies;        /* per supply, total */
	struct rat *crops;           /* per crop, total stems in pieces (no allowance) */
};
/* Which option each need takes: per piece or part, per need. */
struct explode_ways {
	const uint32_t *const *pieces, *const *parts;
};
/* ways NULL: the first written.  part_stock: base units on hand per part, or NULL for
 * none.  0; -1 on overflow (diag says for which piece). */
int explode_by(struct exploded *out, const struct farm *farm, const struct run *runs, size_t nruns,
               const struct rat *part_stock, const struct explode_ways *ways, struct arena *a,
               struct diag *diag);
/* By the ways written first. */
int explode(struct exploded *out, const struct farm *farm, const struct run *runs, size_t nruns,
            const struct rat *part_stock, struct arena *a, struct diag *diag);

#endif

/* crop_use.h - which stems of a crop some pieces can take, and which pieces want it.
 *
 * Looks at what is written in the recipes only: colours, lengths, parts in parts, every
 * way to meet a need.  How many can be made with orders and all other materials is
 * reach.h. */
#ifndef RECKON_CROP_USE_H
#define RECKON_CROP_USE_H

#include "farm/farm.h"
#include "reckon/stock.h"

struct crop_fit {
	int64_t fits;    /* whole usable stems that some need of the pieces takes */
	int64_t unfit;   /* whole usable stems that none of them takes, since they are ... */
	bool too_short, too_long, colour; /* ... of another length or colour, */
	bool unsaid;     /* or do not say what is asked for */
};
/* pieces: true per farm->pieces that is meant. */
void crop_fit(struct crop_fit *out, const struct farm *farm, const struct stock *stock,
              uint32_t crop, const bool *pieces, struct arena *a);

struct crop_use {               /* a piece that wants the crop */
	uint32_t piece;
	double stems;    /* for one piece by the ways written first, bench allowance included,
	                  * parts shared out; 0: another way only */
	int64_t fits;    /* as in crop_fit, for this piece */
	int64_t alone;   /* whole pieces that these stems give by the ways written first, with
	                  * the parts on hand, were all else there and nothing promised; -1:
	                  * stems is 0 */
};
/* In the order of the farm; out has room for farm->npieces.  How many there are. */
size_t crop_uses(struct crop_use *out, const struct farm *farm, const struct stock *stock,
                 uint32_t crop, struct arena *a);

#endif

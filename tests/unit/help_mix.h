/* help_mix.h - best mixes of very small farms, by trying everything.
 *
 * An oracle that shares nothing with src/reckon/mix*.c, and of the stock only which
 * classes there are and what is on the shelf; losses, what keeps, the share of the bench
 * and whole stems are reckoned anew from the boxes (all of a class boxed on one day, no
 * log).  It walks through all counts of pieces, days of stalls and ways of needs, takes
 * stems by trying all classes, and adds the money up from the farm's own lines. */
#ifndef TESTS_HELP_MIX_H
#define TESTS_HELP_MIX_H

#include "help_farm.h"
#include "reckon/stock.h"

struct tried {
	bool any;               /* some plan meets all orders */
	double best;            /* contribution; meaningful with any */
	long plans;             /* looked at */
};
struct try_options {
	bool own_labour, no_buying;
	double reserve;         /* stems of crop 0 */
	uint32_t excluded;      /* piece; NONE */
};
/* One level of parts; at most 4 classes a crop. */
void try_all(struct tried *out, const struct farm *farm, const struct stock *stock,
             const struct try_options *o);

#endif

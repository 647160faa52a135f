/* dates.h - the days of a farm's season that belong in a calendar.
 *
 * Open orders by the day on which they are due, targets by theirs, the frosts that the
 * grower plans by, for what hangs the day on which it is expected to be dry, and the days
 * of a planting plan: sowing, planting out, first and last cut, the last boxing.  Dates
 * before the day asked for are left out, but for orders, which are still owed. */
#ifndef RECKON_DATES_H
#define RECKON_DATES_H

#include "farm/farm.h"
#include "reckon/hang.h"
#include "reckon/plan.h"
#include "reckon/remark.h"

enum dated_kind { /* in the order of one day */
	DATED_FROST,    /* index: 0 the last, 1 the first */
	DATED_SOW,      /* these five: index into farm->crops, nth: into its sowings */
	DATED_PLANT,    /* count: plants */
	DATED_CUT_FIRST, /* count: stems */
	DATED_CUT_LAST,
	DATED_DRY_LAST, /* the last cut is expected to be dry */
	DATED_BOX,      /* index: into farm->batches; count: stems expected */
	DATED_ORDER,    /* index: into farm->orders; count: pieces */
	DATED_TARGET,   /* index: into farm->targets; count: pieces */
	DATED_KINDS
};
struct dated {
	enum dated_kind kind;
	day from, to;           /* both included */
	uint32_t index;
	size_t nth;
	double count;           /* NaN: none */
};
struct dates {
	struct dated *items;    /* by day, kind, index */
	size_t n, cap;
};
/* waiting: hang_waiting(); plan NULL: none.   Orders without a day are left out, aloud. */
void dates_gather(struct dates *out, const struct farm *farm, const struct hang_lots *waiting,
                  const struct plan *plan, day on, struct arena *a, struct remarks *r);

#endif

/* dates.h - the days of a farm's season that belong in a calendar.
 *
 * Open orders by the day on which they are due, targets by theirs, the frosts that the
 * grower plans by, and for what hangs the day on which it is expected to be dry.  Dates
 * before the day asked for are left out, but for orders, which are still owed. */
#ifndef RECKON_DATES_H
#define RECKON_DATES_H

#include "farm/farm.h"
#include "reckon/hang.h"
#include "reckon/remark.h"

enum dated_kind { /* in the order of one day */
	DATED_FROST,    /* index: 0 the last, 1 the first */
	DATED_BOX,      /* index: into farm->batches; count: stems expected */
	DATED_ORDER,    /* index: into farm->orders; count: pieces */
	DATED_TARGET,   /* index: into farm->targets; count: pieces */
	DATED_KINDS
};
struct dated {
	enum dated_kind kind;
	day from, to;           /* both included */
	uint32_t index;
	double count;           /* NaN: none */
};
struct dates {
	struct dated *items;    /* by day, kind, index */
	size_t n, cap;
};
/* waiting: hang_waiting().  Orders without a day are left out, aloud. */
void dates_gather(struct dates *out, const struct farm *farm, const struct hang_lots *waiting, day on,
                  struct arena *a, struct remarks *r);

#endif

/* sense.h - what a reader can understand and a grower would still shake the head
 * at: checks across the whole farm that need the day, or a look at what is used.
 *
 * A problem makes an answer wrong or impossible; a note is worth a look. */
#ifndef RECKON_SENSE_H
#define RECKON_SENSE_H

#include "base/date.h"
#include "farm/farm.h"

enum finding_level { FINDING_PROBLEM, FINDING_NOTE };
struct finding {
	enum finding_level level;
	struct str about; /* name of a block; "stock.csv line 7" */
	const char *text; /* a whole sentence */
};
struct findings {
	struct arena *arena;
	struct finding *items; /* problems first, then notes; each in the farm's order */
	size_t n, cap;
};

void sense_check(struct findings *out, const struct farm *farm, day on, struct arena *a);

/* Where money is asked, every supply that goes into something must have a price:
 * -1 with an error at the need of each one that has none, else 0. */
int sense_prices(const struct farm *farm, struct diag *diag);

#endif

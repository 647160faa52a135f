/* weighed.h - the batches that were weighed: what the scales say of each, and which boxes
 * to look into.
 *
 * A batch hangs on a day when it was hung by then and not boxed by then; one with stems
 * boxed but no day of boxing counts as boxed.  Judged as drying.h says.
 *
 * `look`: a batch that went into a box without looking dry deserves one look, no more.
 * It is said for LOOK_FOR days after the boxing when three weighings or more said to
 * leave it hanging and the curve, too, expected it dry only after the day of boxing; and
 * only until the box has been opened - counted, drawn from, tossed from - OPENED_AFTER
 * days or more after the boxing.  Boxes are found by crop, day of boxing and, where both
 * say them, colour and length.  Our own rules, no source.
 */
#ifndef RECKON_WEIGHED_H
#define RECKON_WEIGHED_H

#include "reckon/drying.h"

enum { LOOK_FOR = 90, OPENED_AFTER = 7 };

struct weighed_batch {
	uint32_t batch;
	bool boxed;             /* by that day */
	struct weighing *list;  /* net, one a day, by day */
	size_t n;
	struct drying drying;
	bool look;
	uint32_t *boxes;        /* of farm->boxes that hold it, as far as they say */
	size_t nboxes;
};
struct weighed {
	struct weighed_batch *items; /* with one weighing or more, as in batches.csv */
	size_t n;
	uint32_t *never;        /* batches hanging without any weighing */
	size_t nnever;
};
void weighed_reckon(struct weighed *out, const struct farm *farm, day on, struct arena *a);
/* Hung and not boxed by that day. */
bool batch_hangs(const struct batch *b, day on);
bool batch_boxed(const struct batch *b, day on);

#endif

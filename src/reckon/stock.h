/* stock.h - what the shed holds on a day: boxes, and classes of equal stems.
 *
 * Counts are the base (end of the counted day); entries of the bench log after
 * that day and up to the day asked for move them, and each movement shrinks from
 * its own day.  A count taken on day t is worth
 *     count x (1-s)^months(t -> use)      s: the rate in use (rates.h)
 * stems in the box on the day of use; the bench share (1-b) is taken with the
 * need, as an exact allowance 1/(1-b), so that it is pooled over a run.
 *
 * A class is (crop, colour, length, boxing month).  Whole stems are floored once
 * per class: floor(sum of count x survival over its boxes).  Boxes past `keeps`
 * on the day make classes of their own with `past` set and are left out of use
 * unless asked for.
 */
#ifndef RECKON_STOCK_H
#define RECKON_STOCK_H

#include "farm/farm.h"
#include "reckon/rates.h"
#include "reckon/remark.h"

struct stock_box {              /* parallel to farm->boxes */
	double count;           /* now in the box by the books: counted, then moved by the log */
	double survival;        /* worth / count: (1-s)^months from the count to the day where the
	                         * log moved nothing; 1 for non-crops */
	double worth;           /* stems on the day, before the bench; 0 .. count */
	bool past;              /* beyond `keeps` on that day */
	uint32_t class_;        /* into classes; NONE for non-crops and empty boxes */
	double base;            /* crops: the last count, in the table or the log ... */
	day base_on;            /* ... and its day */
	bool cut;               /* the log took more than there was: 0 then */
};
/* Stems that the log put into or took out of a crop's box after its last count.
 * Unless `cut`, count is base + the moves, and worth is each of them shrunk from its
 * own day. */
struct stock_move {
	uint32_t box;
	day on;
	double stems;           /* negative: out */
};
struct stock_class {
	uint32_t crop, colour;  /* colour NONE: not said */
	double length;          /* mm; 0 not said */
	int32_t month;          /* year*12 + month-1 of boxing; -1 not said */
	day boxed;              /* earliest boxing day of its boxes */
	day counted;            /* latest */
	bool past;
	int64_t counted_stems;  /* whole stems in the boxes by the books */
	double worth;           /* stems on the day, before flooring */
	int64_t whole;          /* loss_whole(worth) */
	double survival;        /* worth / counted: pooled (counted 0: 1) */
};
struct stock {
	day on;
	const struct rates *rates; /* in use: for all that looks forward from here */
	bool with_past;         /* boxes past keeping are counted as usable */
	struct stock_box *boxes;
	struct stock_class *classes; /* by crop, past last, colour, length, month */
	size_t nboxes, nclasses;
	struct stock_move *moves; /* in the order in which they happened */
	size_t nmoves;
	double *supplies;       /* per supply, base units on hand; NaN: not counted */
	double *parts;          /* per part, base units on hand */
	double *pieces;         /* per piece, finished on hand */
	double *crop_worth, *crop_counted; /* per crop, usable classes only */
	size_t open_orders;
};

/* Not sent yet on that day. */
bool stock_order_open(const struct order *o, day on);

/* Survival of the class's stems to a later day (class survival on `on` times the
 * storage loss after it). */
double stock_class_survival(const struct stock *s, size_t cls, day use);
/* rates NULL: the `loses` lines. */
void stock_take(struct stock *s, const struct farm *farm, day on, bool with_past,
                const struct rates *rates, struct arena *a, struct remarks *r);

#endif

/* draw.h - which stems a making took from which boxes, when nobody says: by the rule of
 * the pull list (pull.h), so that the log says what `thrave pull` said.
 *
 * As there, stems are reckoned with the normal loss at the bench, and the open orders
 * keep theirs.  Where it is said how many spoiled, what is drawn is the recipe's whole
 * stems and those, no more: such a line measures the loss (measured.h).  Of several
 * needs each has its share of the spoiled in proportion to its stems, by largest
 * remainder, equal ones in the order of the pull list.  Where the boxes do not hold enough for both, or an open order of that day
 * is for the same piece, the making comes first and no order is looked at.
 * Parts that a making needs lie ready on the shelf, all of them, or are made with it,
 * all of them: one line of the log cannot say which of them were. */
#ifndef RECKON_DRAW_H
#define RECKON_DRAW_H

#include "farm/farm.h"
#include "reckon/pull.h"

enum draw_state {
	DRAW_DONE,
	DRAW_SHORT,     /* the boxes do not hold enough: see shorts */
	DRAW_MIXED,     /* some of a part lie ready, but not all: see part */
	DRAW_STOPPED    /* solver limit */
};
struct drawing {
	enum draw_state state;
	struct drawn *drawn;    /* DONE: whole stems, in the order of the recipe */
	size_t ndrawn;
	struct pull_short *shorts; /* SHORT: crops that boxes hold; DONE: crops that no
	                            * box was ever counted for, nothing drawn of them */
	size_t nshorts;
	struct item part;       /* MIXED */
	double ready, wanted;   /* MIXED: base units of it */
};
/* For `count` base units (above 0) of a part or piece made on the stock's day; whole
 * makings of a part.  spoiled: stems, in all, rounded up; NaN: not said.  0, or -1 with an error in diag.  Everything lives in `a`. */
int draw_reckon(struct drawing *out, const struct farm *farm, const struct stock *stock,
                struct item item, double count, double spoiled, struct arena *a, struct diag *diag);

#endif

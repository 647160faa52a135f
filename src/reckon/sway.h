/* sway.h - which figure of the farm moves what is left the most.
 *
 * One figure at a time is set to the low and to the high end of what it may be, all
 * others left as they are: a one-at-a-time sensitivity analysis (A. Saltelli et al.,
 * Global Sensitivity Analysis: The Primer, Wiley 2008, ch. 1, who also say what it
 * cannot see: figures that move together).  The ends are
 *   - of a loss with records: the two-sided 80% interval of its planning rate (rates.h);
 *   - of any other figure that is not 0: a tenth less and a tenth more, whole batches
 *     rounded outward; never beyond the range of its kind.
 *
 * Two things are looked at:
 *   margin   of each piece at each outlet, at the price asked (price.h);
 *   season   what all that is planned brings before overhead:
 *                sum over the mix's lines of pieces sold x contribution of one
 *                + open orders likewise - stall days (money, travel, hours at the wage),
 *            with the pieces of today's mix and orders kept as they are, and stems at
 *            what they cost.  So it says what a figure does to money, not which pieces
 *            would be made then: that is what --suppose on `mix` answers.
 */
#ifndef RECKON_SWAY_H
#define RECKON_SWAY_H

#include "farm/figures.h"
#include "reckon/mix.h"
#include "reckon/reckon.h"

enum sway_range { SWAY_TENTH, SWAY_RECORDS };

struct sway_item {
	struct str path;
	const struct figure_kind *kind;
	enum sway_range range;
	bool asked;             /* a price or charge that the grower sets, no assumption */
	double today, low, high; /* model units */
	double season_low, season_high; /* with the figure at low and at high */
	double most;            /* |season_high - season_low| */
};
struct sway_move {              /* of a margin */
	size_t item;            /* into items */
	double low, high;       /* the margin with the figure at low and at high */
};
struct sway_line {
	size_t line;            /* into prices->lines, asked ones only */
	double margin;          /* today */
	struct sway_move *moves; /* largest |high - low| first */
	size_t n;
};
struct sway {
	double season;          /* today; NaN: nothing is planned */
	struct sway_item *items; /* moving something; largest `most` first, then file order */
	size_t nitems;
	size_t still;           /* figures tried that move neither */
	size_t zero;            /* figures given as 0, of which there is no tenth */
	struct sway_line *lines;
	size_t nlines;
};
/* `trial` is the same farm loaded again for this alone: its figures are changed and put
 * back.  `base` and `mix` are of the farm as it is.  Keeps at most `keep` moves a line. */
void sway_reckon(struct sway *out, struct farm *trial, const struct reckoning *base,
		 const struct mix *mix, size_t keep, struct arena *a);

/* What the mix and the open orders bring before overhead at these prices. */
double sway_season(const struct farm *farm, const struct prices *prices, const struct costs *costs,
		   const struct mix *mix, const double *spoils, day on);

#endif

/* measured.h - what the farm's records say about each crop's losses, stage by stage.
 *
 *   field    a batch: hung of cut (batches.csv), x = cut - hung
 *   drying   a batch: boxed of hung, x = hung - boxed
 *   storage  a box between two counts (stock.csv, then `counted` in the bench log, or two
 *            of these): x = stems there + put in - drawn - sold - counted again.  With m
 *            months between, each stem is lost with 1 - (1-s)^m; stems put in or taken out
 *            on the way shorten m to their mean.  s is the maximum-likelihood rate:
 *                sum x m q / (1 - q) = sum (n - x) m,   q = (1-s)^m.
 *            A count less than 14 days after another ends no time of its own: the next one
 *            takes it in, or the one before as long as there is no next one.
 *   bench    a `made` line: stems spoiled of stems drawn (the spoiled are among them),
 *            where its stems are told: what was drawn and not spoiled is what the recipe
 *            takes, in whole stems of each crop and give or take 1% or one stem (none where
 *            the line says nothing of spoiled stems, not even 0).  A line
 *            that draws by the pull list and leaves the rest unsaid knows nothing of the
 *            loss and is no lot.
 *
 * Each batch, box or line is one lot of alike.h, whose formulas give rate, alikeness,
 * effective stems, intervals and the planning rate.  Storage lots are put on one footing
 * first: stems over the mean time M = sum n m / sum n, lost with P = 1 - (1-s)^M, each
 * lot's excess over its own expectation scaled by the standard errors; limits are read
 * back per month by s = 1 - (1-P)^(1/M).
 *
 * A lot from which more came out than went in (hung more than cut, ...) is left out and
 * said; a box that holds more than it should lost nothing.  Records after the day are
 * not looked at.
 *
 * Season: the year of cutting (storage: of boxing; bench: of the line).  Where the last
 * frost of spring comes later in the calendar than the first of autumn, as in the south,
 * a season runs from the middle of one frost time to the next and is called by the year
 * in which it begins.
 */
#ifndef RECKON_MEASURED_H
#define RECKON_MEASURED_H

#include "farm/farm.h"
#include "reckon/alike.h"
#include "reckon/remark.h"

#define LOSS_WEIGHT 10.0 /* effective stems behind the `loses` line, unless it says */

enum assumed_is {
	ASSUMED_UNJUDGED,       /* nothing assumed, nothing measured, or too few batches */
	ASSUMED_FITS,
	ASSUMED_DOUBTFUL,       /* outside the 80% interval */
	ASSUMED_OFF             /* outside the 95% interval */
};
enum trend { TREND_NONE, TREND_UNSURE, TREND_WORSE, TREND_BETTER }; /* sure at 80% */

struct cause_count {
	enum cause cause;
	double stems;
};
struct season_rate {
	int year;               /* in which the season begins */
	struct measured m;
};
struct stage_measured {         /* of a crop and stage; rates of storage are per month */
	struct measured m;
	double months;          /* storage: M, the mean time between counts; else 0 */
	double assumed, weight; /* NaN: no `loses` line */
	enum assumed_is judged;
	bool too_low;           /* the assumption is, where it is doubtful or off */
	struct planned plan;    /* a, b of storage are of the loss over `months` (1 without
	                         * records); all else per month.  Where lots and a line stand
	                         * behind it, i80 and i95 are NaN until measures_be_sure() */
	struct cause_count causes[CAUSE_COUNT]; /* most stems first, only those that occur */
	size_t ncauses;
	double unsaid;          /* lost without a cause */
	struct season_rate last, before; /* the two latest with records; lots 0: none */
	struct interval change80, change95; /* last - before */
	enum trend trend;
	size_t left_out;        /* lots that cannot be */
	size_t untold;          /* bench: lines that do not tell what became of their stems ... */
	double untold_stems;    /* ... how many those are, neither spoiled nor in the recipe */
};
struct measured_lot {           /* a lot and where it comes from */
	enum stage stage;
	uint32_t crop;          /* NONE: all of them, at the bench */
	int year;               /* season; INT_MIN: no day */
	day on;                 /* of cutting, boxing or making; DAY_NONE */
	size_t order;           /* in which it was read */
	struct str name;        /* "25-1", "B12", "row 7" */
	double months;          /* storage: between the counts */
	struct lot lot;
};
struct crop_measured {
	struct stage_measured stages[STAGE_COUNT];
};
struct measures {
	struct crop_measured *crops; /* per farm->crops */
	/* The bench over all crops: many lines draw several crops at once, and what was
	 * spoiled cannot be told apart; those count here alone.  Assumed is the mean of the
	 * crops' bench rates, by stems drawn. */
	struct stage_measured bench;
	struct borrowed borrowed[STAGE_COUNT];
	struct measured_lot *lots; /* all of them, by stage, crop, season, order */
	size_t nlots;
	bool across_new_year;   /* seasons span two calendar years */
};

int season_of(const struct business *b, day d); /* INT_MIN for DAY_NONE */
/* Maximum-likelihood loss per month of lots kept for months[i] > 0; NaN without stems. */
double storage_fit(const struct lot *lots, const double *months, size_t n);
void measures_reckon(struct measures *out, const struct farm *farm, day on, struct arena *a,
                     struct remarks *r);
/* How sure the planning rates of the crops are (blend.h); takes longer than all the rest.
 * What a crop's own lots say of alikeness is not borrowed a second time. */
void measures_be_sure(struct measures *m, const struct farm *farm, struct arena *a);

#endif

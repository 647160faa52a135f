/* learning.h - how work gets quicker with repeating, and what that says of the recipe.
 *
 * A rate of 80% means that doubling the count brings the time to 80% - of what, depends
 * on the model, and the same rate is another curve in each:
 *     LEARN_UNIT     the n-th one takes first x n^b               ("Crawford")
 *     LEARN_AVERAGE  the first n take first x n^b each on average ("Wright")
 * with b = log2(rate).  At 80% the second one takes 80 by the unit model and 60 by the
 * cumulative average.
 *
 * From the bench log every run (a `made` line with minutes) is taken relative to the
 * recipe's time for that run, so that set-ups and run lengths do not look like learning:
 * y = minutes / recipe minutes.  Both models are fitted by least squares on logarithms:
 *     unit     log y on log of the run's middle unit: the n at which n^b is the mean of
 *              the run's own units (found again as b settles)
 *     average  log of (all minutes so far / all recipe minutes so far) on log of all
 *              units so far.  These averages hang together, so that its interval is too
 *              narrow: it is shown for comparison; forecasts use the unit model.
 * Units made before the log began are not known and not counted.
 *
 * A curve is believed from LEARN_RUNS runs on, and only if the 80% interval of its rate
 * lies below 100%.  Otherwise the rate common to all parts and pieces of the farm is
 * borrowed, under the same condition and unless the 80% interval of its own rate (from
 * LEARN_RUNS runs on) leaves it out; otherwise there is none and the mean stands.
 *
 * "The log is clearly off the recipe": at least LEARN_RUNS runs, the two-sided 80%
 * interval (Student's t) of the mean of log y excludes 0, and the mean is off by
 * CLEARLY_OFF or more.  Our own rule, no source.
 */
#ifndef RECKON_LEARNING_H
#define RECKON_LEARNING_H

#include "farm/farm.h"
#include "stat/stat.h"

enum { LEARN_RUNS = 3 };
#define CLEARLY_OFF 0.05

enum learning_model { LEARN_UNIT, LEARN_AVERAGE };
struct curve {
	enum learning_model model;
	double first;           /* time of the first one, any unit; 1 is the recipe's */
	double rate;            /* 0.8 is 80%; in (0, 1], above 1 gets slower */
};
double curve_exponent(double rate);         /* b */
double curve_total(const struct curve *c, double n);  /* of the first n; n whole */
double curve_between(const struct curve *c, double done, double n); /* of the n after `done` */
double curve_unit(const struct curve *c, double n);   /* of the n-th alone */

struct work_run {
	double count;           /* makings, whole, > 0 */
	double time, recipe;    /* in the same unit, > 0 */
};
struct curve_fit {
	struct curve curve;     /* relative to the recipe; rate NaN: no fit */
	size_t runs;
	double error;           /* standard deviation of log y about it; NaN under 3 runs */
	struct interval rate80; /* NaN under 3 runs */
	bool clear;             /* enough runs, and surely quicker at 80% */
	double mean_x, sxx, sxy; /* of log middle units, for the pooled rate and forecasts */
	double mean_y, syy;
};
void curve_fit(struct curve_fit *out, enum learning_model model, const struct work_run *runs, size_t n);

struct off {                    /* ratios of actual to recipe */
	size_t runs;
	double ratio;           /* geometric mean; NaN without runs */
	struct interval i80;    /* NaN under 2 runs */
	bool clear;
};
void off_reckon(struct off *out, const double *ratios, size_t n);

enum learned_from { LEARNED_NONE, LEARNED_OWN, LEARNED_FARM };
struct forecast {
	double time;            /* NaN without runs */
	struct interval i80;    /* of that run; NaN under 2 runs (own curve: 3) */
	enum learned_from from;
};
/* Time of a run of `count` after all of `runs`, for which the recipe says `recipe`.
 * `farm` is the borrowed rate, NaN for none. */
struct forecast learning_next(const struct curve_fit *fit, const struct work_run *runs, size_t n,
                              double farm, double count, double recipe);

/* A line of the recipe that would fit the log: the task that is done for each and takes
 * most (else the one that takes most) bears the difference, the others stay. */
struct task_hint {
	uint32_t task;          /* of the recipe; NONE: leave it as it is */
	double seconds;         /* instead of its own, rounded as people write them */
};
struct curve_says {             /* minutes by a fitted curve, believed or not; NaN: no fit */
	double first, second;   /* the first one alone, the second one alone */
	double next;            /* the next run */
};
struct stem_hint {              /* a crop that the log draws clearly more or less of */
	uint32_t crop;
	struct off off;         /* of stems drawn to stems by the recipe, bench loss included */
};
struct skill {                  /* a part or piece that was made and timed, or drawn for */
	struct item item;
	struct work_run *runs;  /* minutes; in the order of the days */
	size_t nruns;
	double units;           /* makings in all runs */
	struct curve_fit unit, average;
	double next_count;      /* makings of the median run; 0 without runs */
	double next_recipe;     /* minutes by the recipe, ready parts on the shelf */
	struct forecast next;   /* minutes */
	struct off off;         /* of minutes to recipe minutes */
	double recipe_seconds;  /* of one base unit, set-ups shared: what `takes` come to */
	double suggests;        /* seconds, rounded as people write them; NaN: leave as it is */
	struct task_hint hint;
	struct curve_says says[2]; /* by enum learning_model */
	struct stem_hint *stems; /* only crops that are clearly off */
	size_t nstems;
};
struct skills {
	struct skill *items;    /* parts, then pieces, in the order of the farm */
	size_t n;
	double farm_rate;       /* common rate of the unit model; NaN: none to borrow */
	struct interval farm80;
	size_t farm_items;      /* that it rests on */
};
void skills_reckon(struct skills *out, const struct farm *farm, day on, struct arena *a);
/* Seconds as one would write them: whole minutes from ten on, halves from two on, else
 * five seconds. */
double learning_round(double seconds);

#endif

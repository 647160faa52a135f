/* hang.h - the drying line, the racks, the boxes and the hours, day by day and week by week.
 *
 * Everything rests on lots: stems of one crop that are cut, hung and boxed together.  The
 * batches of batches.csv make lots of this season (hang_batches); a planting plan makes
 * those of the next (hang_plan).  hang_reckon() asks nothing else of where a lot came from.
 *
 *     bundles = ceil(stems hung / stems per bundle), for each lot by itself
 *     line    = bundles x line per bundle, on every day from the one on which it is hung
 *               to the one before it is boxed: on the day of boxing its place is free
 *     racks   = stems hung / stems per area, for crops that lie, on the same days
 *     boxes   = ceil(stems boxed / stems per box), filled on the day of boxing; where a box
 *               is filled up by later lots (`in_parts`), stems boxed / stems per box
 *     hours   = cutting (stems cut) on the day of the cut; stripping (stems cut), bundling
 *               and hanging (stems hung) on the day of hanging; boxing (stems boxed) on the
 *               day of boxing; at the crop's `works` rates
 *
 * A week (ISO 8601) shows the line, the bundles and the racks of its fullest day, for a
 * loft that holds all of a week's bundles, but not on one day, is full enough; stems cut,
 * boxes filled and hours are sums; boxes used are those at the end of its Sunday.
 *
 * Where a limit is passed, what gives is reckoned, not guessed: each way is tried on the
 * lots, all days are reckoned again, and the least amount is given with which the limit
 * holds through the whole run of days (or weeks) that passed it, and no other day is
 * pushed over it.
 */
#ifndef RECKON_HANG_H
#define RECKON_HANG_H

#include "farm/farm.h"
#include "reckon/plan.h"
#include "reckon/rates.h"
#include "reckon/remark.h"
#include "reckon/stock.h"

enum hang_what { HANG_LINE, HANG_RACKS, HANG_BOXES, HANG_HOURS, HANG_WHATS };

struct hang_lot {
	uint32_t crop;          /* and what the rest rests on: all days given, cut <= hung < boxed */
	day cut, hung, boxed;
	double cut_stems, hung_stems, boxed_stems; /* finite, from 0 */
	double dry_seconds;     /* stripping to boxing as counted; NaN: by `works` */
	uint32_t batch;         /* into farm->batches; NONE */
	uint32_t bed;           /* the ground it grew on: lots of one number share its metres; NONE */
	double metres;          /* of that bed; NaN: not known */
	bool waiting;           /* not boxed yet: its last day and its boxes are expected */
	bool in_parts;          /* boxes in parts, not rounded up */
	double shed_stems;      /* of those boxed, in boxes of the shed already: fill no others */

	/* By hang_lot_fill(): */
	double bundles, line, racks, boxes; /* count, mm, mm2, count */
	double more_boxes;      /* of these beside the boxes of the shed */
	double cut_hours, hang_hours, box_hours;
};
struct hang_lots {
	struct hang_lot *lots;
	size_t n;
	size_t earlier, later;  /* batches of other seasons */
	size_t beyond;          /* of this season, boxed before its last 53 weeks */
	day earlier_on;         /* a day that shows the season before; DAY_NONE */
};
struct hang_week {
	day monday;
	double cut;             /* stems */
	day fullest;            /* first day with most of the line in use; DAY_NONE: none is */
	double bundles, line;   /* on that day; mm */
	double racks;           /* on the fullest day of the racks; mm2 */
	double filled, used;    /* boxes */
	double hours;
};
enum hang_way {
	HANG_MORE,              /* line, racks, boxes, hours: in their unit */
	HANG_EARLIER,           /* all lots of a crop that are there then: days */
	HANG_SOONER,            /* every lot that is there then is dry so many days sooner */
	HANG_CLOSER,            /* every bundle takes this share less line (or rack) */
	HANG_FEWER,             /* share of a crop's stems, or of all crops', that is not there */
	HANG_WAYS
};
struct hang_give {
	enum hang_way way;
	uint32_t crop;          /* NONE: not of one crop */
	double amount;          /* in the unit of the way; NaN: no amount of it is enough */
	double stems;           /* FEWER: stems not cut, of all those that the lots have */
	double metres, of;      /* FEWER: metres of bed less, of so many; NaN: not known */
};
struct hang_peak {              /* a run of days or weeks over a limit */
	enum hang_what what;
	day from, to;           /* both over it; weeks: Monday to Sunday */
	day fullest;
	double most, limit;
	struct hang_give *gives;
	size_t ngives;
};
struct hang_options {
	double hours;           /* a week; NaN: no limit */
	bool no_peaks;          /* only what is in use */
};
struct hang {
	const struct farm *farm;
	struct hang_lot *lots;  /* by crop, then by cut */
	size_t nlots;
	size_t *crop_first;     /* lots of crop c: crop_first[c] to crop_first[c + 1] - 1 */
	day first;              /* of the days; a Monday, four weeks before the first cut */
	size_t ndays;
	double *line, *racks, *bundles; /* per day */
	struct hang_week *weeks; /* from the first cut's to the last boxing's */
	size_t nweeks;
	double limit[HANG_WHATS]; /* mm, mm2, boxes, h a week; NaN: not said */
	double before;          /* boxes in use that none of the lots fills */
	struct hang_peak *peaks; /* by what, then by day */
	size_t npeaks;
};

/* Lots of this season.  A season ends where nothing was cut and nothing hung for more than
 * eight weeks and the next cut is of another season by season_of() (measured.h); meant is the
 * last one that begins no later than `on`, its last 53 weeks when it is longer.  A day or
 * count that a batch lacks is reckoned from the others, the rates in use and the drying
 * days, and said aloud; one that still hangs is boxed when its weighings or drying days
 * say, but after `on`. */
void hang_batches(struct hang_lots *out, const struct farm *farm, const struct rates *rates, day on,
                  struct arena *a, struct remarks *r);
/* Lots not boxed yet, of whatever season. */
void hang_waiting(struct hang_lots *out, const struct farm *farm, const struct rates *rates, day on,
                  struct arena *a, struct remarks *r);
/* Lots of a plan: each week's cut of each sowing, or of what stands, is cut and hung on its
 * first day of cutting in that week, with the rates in use.  What is bought dry, or has no
 * days, makes none (the latter said aloud). */
void hang_plan(struct hang_lots *out, const struct farm *farm, const struct rates *rates,
               const struct plan *plan, struct arena *a, struct remarks *r);
/* Works out what a lot takes. */
void hang_lot_fill(struct hang_lot *lot, const struct farm *farm);
/* stock: its boxes are in use (crops only, those with stems); NULL: none is known of. */
void hang_reckon(struct hang *out, const struct farm *farm, const struct stock *stock,
                 const struct hang_lots *lots, const struct hang_options *options, struct arena *a,
                 struct remarks *r);

/* ---- inside reckon/hang*.c ---- */

/* A lot changed as one of the ways does. */
struct hang_change {
	int earlier, sooner;    /* days */
	double keep;            /* share of the stems; 1 */
	double place;           /* share of line and racks; 1 */
};
void hang_change(struct hang_lot *lot, const struct hang_change *change, const struct farm *farm);
/* Adds sign x the lot's use to the points of a limit: days for line and racks, weeks for
 * boxes and hours.  What lies outside them is left out. */
void hang_lay(const struct hang *h, enum hang_what what, const struct hang_lot *lot, double sign,
              double *points);
size_t hang_points(const struct hang *h, enum hang_what what);
/* Peaks and what gives. */
void hang_peaks(struct hang *h, const double *const points[HANG_WHATS], struct arena *a);

#endif

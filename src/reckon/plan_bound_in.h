/* plan_bound_in.h - what plan_bound.c and plan_bound_asks.c share. */
#ifndef RECKON_PLAN_BOUND_IN_H
#define RECKON_PLAN_BOUND_IN_H

#include "reckon/plan_bound.h"
#include "reckon/plan_in.h"

enum { BOUND_KNOTS = 14 };

/* Stems to cut (y) for usable stems asked for (x), rising; between the knots in a line. */
struct bound_curve {
	uint32_t pool;
	size_t date;
	double level, fits;
	double x[BOUND_KNOTS], y[BOUND_KNOTS]; /* y NaN: not reckoned yet */
	size_t n;
};
struct bound_ask {              /* a line's need of a pool */
	uint32_t line;
	double each;            /* usable stems a piece, as on the crop's last day */
	day by;
	double from, to;        /* mm */
	double fits;            /* share of stems that are so long */
	bool late;              /* no sowing can have it boxed by then */
};
struct bound_pool {
	uint32_t crop;
	struct bound_ask *asks;
	size_t nasks, cap_asks;
	double off;             /* usable stems: finished, made ahead, left over, at most */
	uint32_t *colours;      /* planted in these, by their shares; none: any */
	double *shares;
	size_t ncolours;
	day *dates;             /* distinct, rising */
	double *in_time, *kept; /* per date: of the best sowing */
	double *fade;           /* per date: an `each` over it is in usable stems of `sure` */
	struct sure sure;       /* with the months in the box until the first date: later ones are
	                         * less sure, so this errs on the safe side */
	size_t ndates;
};
struct bound_sowing {           /* for one stem cut */
	uint32_t crop;
	double metres, apart;   /* mm; of one row */
	struct hang_lot *lots;  /* of `stems` cut */
	size_t nlots;
	double stems;
};
struct bound_crop {
	bool asked;
	double a_stem, a_metre; /* money: cutting to boxing; land and growing, per mm */
	double packet, packets; /* price of a packet; packets of seed for one stem cut; at least */
	double fixed;           /* money of a standing bed, once it is cut */
	double shed;            /* usable stems that shed and line give the others, on the last day */
	double bears;           /* stems to cut at most; INFINITY */
	day last;
	size_t sowings, nsowings; /* into plan_bound.sowings */
};
struct bound_line {
	bool fixed;             /* an order that is served before all targets: it takes what it
	                         * takes by itself, as one piece */
	double most, each;      /* counts; pieces to make for one to be sold */
	double sure;
	double brings;          /* money, by the piece; 0 of an order */
	size_t pools;           /* that it asks for */
};
struct plan_bound {
	const struct plan_bound_of *of;
	struct arena *a;
	struct bound_line *lines;
	size_t nlines;
	struct bound_pool *pools;
	struct plan_pool *like; /* per pool: its crop and colours */
	size_t npools;
	struct bound_crop *crops;
	struct bound_sowing *sowings;
	size_t nsowings, cap_sowings;
	double standing;        /* mm of bed */
	double beyond;          /* usable stems that orders lack by themselves, but for the fixed ones */
	struct bound_curve *curves;
	size_t ncurves, cap_curves;
};

/* All but the curves; -1 with an error. */
int bound_gather(struct plan_bound *b, struct diag *diag);
/* given[line][pool]: usable stems, on the last day, that shed and line give a target at most:
 * as much as if it had all of hi, and those served before it no more than lo. */
int bound_given(const struct plan_bound *b, const int64_t *lo, const int64_t *hi, double **given,
                struct diag *diag);
/* Found or made. */
struct bound_curve *bound_curve(struct plan_bound *b, uint32_t pool, size_t date, double level,
                                      double fits);
double bound_knot(const struct plan_bound *b, struct bound_curve *c, size_t i); /* y[i] */
/* Most usable stems asked for with which so many cut suffice. */
double bound_most(const struct plan_bound *b, const struct bound_curve *c, int64_t stems);
double bound_at(const struct plan_bound *b, struct bound_curve *c, double x);
double bound_chance(const struct plan_bound *b, uint32_t crop, double sure, size_t pools);

#endif

/* plan_bound_in.h - what plan_bound.c and plan_bound_asks.c share. */
#ifndef RECKON_PLAN_BOUND_IN_H
#define RECKON_PLAN_BOUND_IN_H

#include "reckon/plan_bound.h"
#include "reckon/plan_in.h"
#include "solve/solve.h"

enum { BOUND_MANY = 720720 };   /* pieces: whole makings of parts of up to 16 come out even */

/* Stems to cut for whole usable stems asked for (x): what is known of those that were looked at, rising. */
struct bound_point {
	int64_t x;
	double low, high;       /* that number is no less, no more; the same: it is known */
};
struct bound_curve {
	const struct sure *of, *sure; /* a pool's, and the one that it goes by */
	const struct sure *other; /* the number is the lower of the two; or NULL */
	double level, share;    /* NaN; of the cut that is there in time and fits */
	struct bound_point *known;
	size_t n, cap;
	int64_t reached;        /* up to so many asked for are in reach */
	int64_t bears, most;    /* bound_most()'s last answer */
};
/* Pieces of a line that take a certain way.  The first routes are those of the lines, all their
 * pieces; of a need with several ways each has a route, and their pieces add up to the parent's. */
struct bound_route {
	uint32_t line, parent;  /* parent NONE: a line's */
	uint32_t need;          /* the same for all ways of one need */
};
struct bound_ask {              /* a line's need of a pool */
	uint32_t line, route;
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
	double *fade;           /* per date: of a stem to the crop's last day */
	const struct sure **sure; /* per date: with all batches and the fewest months in the box, which
	                         * errs on the safe side; pools and dates that are alike share it */
	const struct sure **few; /* and with as few batches and plants as may have a part in it; may be the same */
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
	bool choice;            /* all_ways: some need may take it or something else */
	double a_stem, a_metre; /* money: cutting to boxing; land and growing, per mm */
	double packet, packets; /* price of a packet; packets of seed for one stem cut; at least */
	double fixed;           /* money of a standing bed, once it is cut */
	double shed;            /* usable stems that shed and line give the others, on the last day */
	double bears;           /* stems to cut at most; INFINITY */
	day last;
	size_t sowings, nsowings; /* into plan_bound.sowings */
};
struct bound_turn {             /* all_ways: who is served by the shed first */
	uint32_t first, then;   /* targets; once the pool has to be grown for the first, nothing is */
	uint32_t pool;          /* left there for the other, but: */
	double left;            /* usable stems, on the last day */
};
struct bound_line {
	bool fixed;             /* an order that is served before all targets: it takes what it
	                         * takes by itself, as one piece */
	double most, each;      /* counts; pieces to make for one to be sold */
	double sure;
	double brings;          /* money, by the piece; 0 of an order */
	size_t pools;           /* that it asks for */
	size_t routes, nroutes; /* besides its own: into plan_bound.routes */
	double finished;        /* pieces on the shelf; all_ways alone, else they are in `off` */
};
struct plan_bound {
	const struct plan_bound_of *of;
	struct arena *a;
	struct bound_line *lines;
	size_t nlines;
	struct bound_route *routes; /* the first nlines are the lines' own */
	size_t nroutes, cap_routes;
	double **given;         /* all_ways: per line and pool, usable stems of the shed on the last day */
	struct bound_turn *turns;
	size_t nturns, cap_turns;
	double **ahead;         /* per line and pool: in parts on hand and in what makings leave over */
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

/* The whole-number program of a range of counts: its columns, -1 where there is none. */
struct program {
	struct plan_bound *b;
	struct arena *a;
	struct solve m;
	const struct plan_room *limits;
	const int64_t *lo, *hi;
	const struct plan_corner *at;
	int *x, *made;          /* per line: columns of pieces sold, and made: some spoil */
	int *pieces;            /* per route: made in that way, but for those on the shelf */
	double *low, *high;     /* per route: limits of these */
	int **more;             /* per route, per number of pools grown for it: these, or 0 for fewer */
	int **is;               /* per line, per number of pools: yes, when so many or more are grown for it */
	int **grown;            /* per line, per pool: yes, when it has to be grown for the line */
	int *pool;              /* per pool: stems to cut */
	int **own;              /* per line, per pool: what the shed gives */
	double **given;         /* and at most */
	int *crop, *cost, *metres; /* per crop */
	int *money;             /* per crop: the row of its cost */
	int *sowing;            /* per sowing: stems */
	double *least, *most;   /* per line: pieces to make */
	size_t *known;          /* per line: so many pools have to be grown for it, at least, if any */
};

struct bound_needs {            /* a plan that only explodes */
	struct arena scratch;
	struct plan plan;
	struct plan_work w;
	struct plan_options options;
	struct remarks aside;
};
/* The i-th route of a line, 0 its own. */
static inline uint32_t bound_route_of(const struct plan_bound *b, size_t line, size_t i)
{
	return (uint32_t)(i == 0 ? line : b->lines[line].routes + i - 1);
}
/* plan_bound.c: n columns, all -1. */
int *bound_columns(struct arena *a, size_t n);
/* Stems that a piece of the route takes of the pool by one of its first dates, on its last day. */
double bound_asked_of(const struct plan_bound *b, size_t pool, size_t route, size_t dates,
                      const struct bound_ask *length);
bool bound_asks(const struct plan_bound *b, size_t pool, size_t line);
/* plan_bound_grown.c: how many pools have to be grown for each line. */
void bound_grown(struct program *q);
/* plan_bound_ways.c: routes and pools of all ways; what is asked, in many->w.demands and routes[]
 * beside them (per pool). */
void bound_all_ways(struct plan_bound *b, struct bound_needs *many, uint32_t ***routes);
/* Ways of all lines that take that crop as little as they can, and this line's as much; NULL:
 * these are not the same for all of its pools. */
const struct plan_line_ways *bound_ways_without(const struct plan_bound *b, size_t line, uint32_t crop,
                                                struct arena *a);
/* Sets ahead[][]. */
void bound_made_ahead(struct plan_bound *b, const struct plan_work *w);
/* Finished pieces, parts made ahead, what the shed could give. */
void bound_all_stock(struct plan_bound *b, struct plan_work *w);
/* Per line, by the pieces of each route: whole ones. */
struct plan_line_ways *bound_ways_named(const struct plan_bound *b, const double *pieces, struct arena *a);
double bound_fade(const struct plan_work *w, uint32_t crop, day from, day to);
uint32_t bound_pool_in(const struct plan *p, const struct plan_pool *like); /* NONE: is not */
/* All but the curves; -1 with an error. */
int bound_gather(struct plan_bound *b, struct diag *diag);
/* given[line][pool]: usable stems, on the last day, that shed, line and parts on hand give a line
 * at most: as much as if it had all of hi, and those served before it no more than lo. */
int bound_given(const struct plan_bound *b, const int64_t *lo, const int64_t *hi, double **given,
                struct diag *diag);
/* plan_bound_curve.c.  Found or made.  own: for what is asked for by that day itself; else by the pool's first
 * day or later, as on that day. */
struct bound_curve *bound_curve(struct plan_bound *b, uint32_t pool, size_t date, double level, double fits,
                                bool own);
double bound_number(const struct plan_bound *b, struct bound_curve *c, int64_t x); /* level NaN: not
                                                                                   * rounded up */
/* A line of stems to cut over usable stems asked for that is nowhere above the number from `least` to `most`.
 * whole: what is asked for is rounded up before it is looked at. */
void bound_chord(const struct plan_bound *b, struct bound_curve *c, double least, double most, bool whole,
                 double *slope, double *base);
/* How much the plain number's line lies above the number anywhere up to `most`, at most; 0. */
double bound_plain_above(const struct plan_bound *b, struct bound_curve *plain, struct bound_curve *c, double most);
/* Most usable stems asked for with which so many cut suffice.  whole: as above. */
double bound_most(const struct plan_bound *b, struct bound_curve *c, int64_t stems, bool whole);
double bound_chance(const struct plan_bound *b, uint32_t crop, double sure, size_t pools);

#endif

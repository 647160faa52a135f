/* reach_program.h - inside src/reckon only: the rules of reach.h as a program.
 *
 * One question ("at least how many, with what lying about?") is laid out once:
 * makers (a piece or part made on a day), the ways of their needs (variants),
 * whole stems wanted per crop, day and set of fitting classes (buckets), parts and
 * limited supplies.  Then
 *   program_evaluate    bounds on all of it, for a range of n
 *   program_possible    false is a proof that n cannot be made
 *   program_plan        true is a plan that makes n, found by hand
 *   program_solve       the rest: exact, by solve/, checked in whole numbers
 * All whole numbers are int64_t; what could be more is held at PLENTY.
 */
#ifndef RECKON_REACH_PROGRAM_H
#define RECKON_REACH_PROGRAM_H

#include "farm/farm.h"
#include "reckon/reach.h"
#include "reckon/stock.h"

#define PLENTY ((int64_t)1000000000000000) /* 1e15 */
#define PIECES_MOST 1000000000              /* ordered, asked for or found */

int64_t plenty_add(int64_t a, int64_t b);      /* both >= 0 */
int64_t plenty_times(int64_t a, int64_t b);
/* ceil(n x r) and floor(n x r) for n, r >= 0. */
int64_t times_up(int64_t n, struct rat r);
int64_t times_down(int64_t n, struct rat r);

/* The largest fraction <= x (relative guard of loss_whole) with a denominator of at
 * most `most`: for whole z up to `most`, floor(z x fraction) is loss_whole(z x x). */
struct rat fraction_below(double x, int64_t most);
/* The smallest fraction >= r with a denominator of at most `most`: for whole m up to
 * `most`, ceil(m x fraction) is ceil(m x r). */
struct rat fraction_above(struct rat r, int64_t most);

/* ---- the question ---- */

enum material { MATERIAL_LIMITED, /* what there is */
		MATERIAL_SLACK,   /* proven to suffice: any fitting way is open */
		MATERIAL_FREE };  /* counted as unlimited */

struct promise { /* still to be made for orders: per piece and day */
	uint32_t piece, day;
	int64_t count;
};
struct again;
struct extra { /* one bunch or pack more than there is */
	struct item item;
	uint32_t colour;
	double length;
	int64_t count;
};
struct question {
	const struct farm *farm;
	const struct stock *stock;
	bool no_buying;
	const day *days;        /* days of use, rising; days[0] is the stock's own */
	uint32_t ndays;
	const struct rat *keep; /* per stock class and day, see shed_keep() */
	const struct promise *promises;
	size_t npromises;
	uint32_t piece;         /* wanted today, besides the promises; NONE: nothing */
	const unsigned char *crops, *supplies; /* enum material, per crop and supply */
	const struct extra *extra; /* NULL: none */
	bool elastic;           /* crops and supplies may fall short, as little as can be */
	bool choices;           /* keep needs whose choice does not matter */
	long nodes;
	struct again *again;    /* programs asked before (reach_again.h), or NULL */
	struct diag *diag;
};

/* floor(z x keep) stems are left on a day of z stems set aside from a class; 0 where
 * it may not be used.  Per class and day: [class x ndays + day], in the arena. */
struct rat *shed_keep(const struct farm *farm, const struct stock *stock, const day *days,
                      uint32_t ndays, struct arena *a);

/* ---- the program ---- */

struct stems { /* a class of equal stems */
	uint32_t index;         /* into stock->classes; NONE: the extra bunch */
	uint32_t colour;
	double length;
	int64_t counted;
	const struct rat *keep; /* per day */
	int64_t rank;           /* how many buckets want it */
};
struct bucket { /* whole stems wanted on a day from any of the fitting classes */
	uint32_t room, day;
	unsigned char *fits;    /* per class of the room */
	int64_t lo, hi;
};
struct allotment;
struct room { /* of a crop */
	uint32_t crop;
	struct stems *classes;
	size_t nclasses;
	int64_t usable;         /* most stems that may be set aside in all: less the reserve */
	bool reserve;           /* that is less than there are */
	bool never_slack;       /* a way was left out on a day that is there on another */
	struct allotment *by_hand;
};
struct pile { /* of a supply; counts in 1/scale of its base unit */
	uint32_t supply;
	int64_t scale, on_hand, lo, hi;
};
struct batch_of { /* a part; counts in 1/scale of its base unit */
	uint32_t part;
	int64_t scale, makes, stock;
	uint32_t *makers;       /* per day; NONE */
	uint32_t ndays;         /* on which it is wanted */
	int64_t *gross_lo, *gross_hi; /* per day */
};
struct variant { /* a way to meet a need of a maker: an option, or one colour of it */
	uint32_t maker, need, option;
	uint32_t colour;        /* one colour: which; else NONE */
	enum kind kind;
	uint32_t where;         /* bucket, batch or pile; NONE: nothing limits it */
	struct rat stems;       /* per making, crops: exact */
	struct rat count;       /* per making, parts and supplies: base units */
	int64_t scaled;         /* count x scale */
	int64_t cap;            /* most makings that all the stock could give */
	int64_t lo, hi;         /* makings */
	int64_t got;            /* makings in the plan */
	int64_t base;           /* makings as base + column; -1: base */
	int col;
	int64_t want_base, want_by; /* whole stems as base + by x column */
	int want_col;
};
struct maker { /* a piece or part on a day */
	struct item item;
	uint32_t day;
	int64_t fixed;          /* pieces promised */
	bool wanted;            /* and n more */
	const struct need *needs;
	size_t nneeds;
	size_t first, nvariants; /* its variants, need by need */
	int64_t cap, lo, hi;
	int64_t got;
	int64_t base;           /* as in its variants */
	int col;
	bool impossible;        /* a need that nothing can meet */
};
struct program {
	const struct question *q;
	struct arena *a;
	struct room *rooms;
	struct bucket *buckets;
	struct pile *piles;
	struct batch_of *batches;
	struct variant *variants;
	struct maker *makers;
	size_t nrooms, nbuckets, npiles, nbatches, nvariants, nmakers;
	size_t cap_rooms, cap_buckets, cap_piles, cap_batches, cap_variants, cap_makers;
	uint32_t *room_of, *pile_of, *batch_of; /* per crop, supply, part; NONE */
	unsigned char *free_parts;
	unsigned char *unfit;   /* per crop: an option, on some day, that nothing fits */
	bool free_piece;        /* the wanted piece is limited by nothing */
	ptrdiff_t wanted;       /* maker of the n pieces; -1 */
	int64_t cap;            /* n is at most this, whatever the plan */
	int64_t *steps;         /* room for reach_stems.c; NULL not yet */
};

/* Whether a stem of that colour and length may serve the option (and colour of it). */
bool stem_fits(const struct need_option *o, uint32_t one_colour, uint32_t colour, double length);

/* 0, or -1 when amounts are too fine or too large to be pooled (diag says which). */
int program_build(struct program *p, const struct question *q, struct arena *a);
/* What fits a way of a need on a day, made when it is not there yet; NONE when nothing
 * fits (and nothing may be short). */
uint32_t program_bucket(struct program *p, uint32_t crop, uint32_t day_, const struct need_option *o,
                        uint32_t one_colour);
/* Bounds for n in lo..hi.  With `caps`, makings are held to what the stock could ever
 * give; that is a consequence of the limits, so not for judging whether one is slack. */
void program_evaluate(struct program *p, int64_t lo, int64_t hi, bool caps);
bool program_possible(struct program *p, int64_t n);
bool program_plan(struct program *p, int64_t n);
/* Marks in crops and supplies (MATERIAL_LIMITED -> SLACK) what can meet every demand
 * that n up to hi could make of it.  How many were marked. */
size_t program_slack(struct program *p, int64_t hi, unsigned char *crops, unsigned char *supplies);

/* Marks and leaves out all that is slack, again until nothing is; q->crops and
 * q->supplies become new arrays.  -1 as program_build(). */
int program_strip(struct program *p, struct question *q, int64_t hi, struct arena *a);

enum found { FOUND_MOST, FOUND_NONE, FOUND_SOME, FOUND_NOTHING };
struct finding_n {
	enum found found;       /* SOME: not proven; NOTHING: stopped without a plan */
	int64_t n, upper;
};
struct solving {
	bool plain;             /* the solver's plain way: a second opinion */
	bool relaxed;           /* only a bound: NONE, or SOME with `upper` */
	long nodes;             /* 0: the question's */
	double *short_crops, *short_supplies; /* elastic: what is short, per crop (stems) and
	                         * supply (base units) */
};
/* The largest n in lo..hi; makings in `got`.  Elastic: lo == hi. */
struct finding_n program_solve(struct program *p, int64_t lo, int64_t hi, const struct solving *how);

/* ---- one crop: its classes against what is wanted of them ---- */

struct allotment { /* of a room */
	struct program *p;
	const struct room *room;
	int64_t *used, *aside;  /* per class and day: stems used, stems set aside for it */
	int64_t *left;          /* per class: counted stems not set aside */
	int64_t usable;
};
void allot_start(struct program *p, struct room *room); /* room->by_hand, empty */
/* Takes up to n whole stems for the bucket; how many it got. */
int64_t allot(struct allotment *t, const struct bucket *b, int64_t n);
struct serving { /* to be served */
	const struct bucket *b;
	int64_t stems;          /* that fit, in all */
	int64_t want;
};
/* In turn, from an empty allotment, losing as little as can be seen to: false when one gets
 * less.  by_class (of zeros): [turn x classes + class], what it took; or NULL. */
bool allot_turns_with_care(struct allotment *t, const struct serving *turns, size_t n,
                           int64_t *by_class);
/* All buckets' hi (or lo) demands, hardest first: true when all are met. */
bool allot_all(struct allotment *t, bool hi);
/* False is a proof that the lo demands cannot all be met. */
bool room_possible(struct program *p, size_t room);

#endif

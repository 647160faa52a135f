/* mix_model.h - inside src/reckon only: the mix laid out, and plans for it.
 *
 * The makers, ways, buckets and parts are those of reach_program.h, with every piece
 * that may be sold as a maker of the stock's day.  Around them stand what sells, stalls,
 * work and supplies; all in whole numbers:
 *     money   nano: thousand-millionths of a unit
 *     time    thousandths of a second
 *     pieces at a stall of N days: N-ths
 *     supplies: 1/scale of the base unit
 * A plan (counts, days, ways) is worth what mix_plan_value() says and keeps all limits
 * when mix_plan_holds() says so; neither knows the solver.
 */
#ifndef RECKON_MIX_MODEL_H
#define RECKON_MIX_MODEL_H

#include "reckon/mix.h"
#include "reckon/reach_program.h"
#include "reckon/reach_shed.h"
#include "solve/solve.h"

typedef int64_t nano;
__extension__ typedef __int128 wide;

struct sale { /* a `sells` line; the orders' pieces are the makers' `fixed` */
	uint32_t piece, outlet, offer;
	uint32_t maker;
	uint32_t stall;       /* NONE: no days to choose */
	size_t line;          /* into prices->lines */
	int64_t likely, upto; /* whole pieces, on all days; upto within stock and use */
	int64_t asked;        /* upto as the outlet takes it */
	int64_t parts;        /* N: gains are per N-th of a piece */
	size_t nsteps;        /* the first is `likely` wide, the others 1 */
	nano *gain;           /* per step, of 1/N piece; falling */
	int64_t *pays;        /* per number of days, 0 .. N: whole pieces that could pay */
	int64_t ms;           /* packing, each */
	double sold_money;    /* per piece that sells surely, spoils taken off */
};
struct stall {
	uint32_t outlet;
	int64_t days;
	nano cost;           /* per day */
	int64_t ms;          /* per day, 0 unless in the bench hours */
	double money, hours; /* per day */
};
struct setting {
	int64_t k, ms;
	nano cost;
};
struct labour {     /* per maker of the program */
	int64_t ms; /* per making */
	nano cost;
	struct setting *settings;
	size_t nsettings;
	bool timed;        /* due within the bench hours */
	int64_t packing;   /* ms of the orders' pieces */
	uint32_t finished; /* for sale: into finished; NONE */
	size_t *sales;     /* into sales */
	size_t nsales;
};
struct shelf { /* a supply that is used */
	uint32_t supply;
	int64_t scale, on_hand;
	nano price; /* per 1/scale unit */
	bool buy, endless;
	size_t *uses; /* variants */
	size_t nuses, cap_uses;
};
struct pool {        /* classes that are wanted for the same, or one class (set aside) */
	size_t lead; /* class of the room */
	int64_t cap; /* whole stems of the only day; set aside: counted */
	nano carry;  /* keep value of a stem used */
};
struct cellar {             /* a room of the program */
	bool simple;        /* stems of all days add up; else they are set aside by day */
	struct pool *pools; /* lowest carry first, then fewest buckets */
	size_t npools;
	uint32_t *buckets; /* hardest first */
	size_t nbuckets;
	unsigned char *fits; /* bucket x pool */
	int64_t usable;      /* simple: at most so many in all */
	bool carries;
};
struct mixing {
	const struct farm *farm;
	const struct stock *stock;
	const struct costs *costs;
	const struct prices *prices;
	const struct mix_options *options;
	struct arena *a;
	struct remarks *remarks; /* NULL: say nothing */
	struct diag *diag;
	struct reach_shed shed;
	struct question q;
	struct program p;
	struct sale *sales;
	struct stall *stalls;
	struct labour *works; /* per maker */
	struct shelf *shelves;
	struct cellar *cellars; /* per room */
	int64_t *finished;      /* per piece, for sale */
	uint32_t *shelf_of;     /* per variant; NONE */
	int64_t *shelf_each;    /* per variant: 1/scale units for one making */
	size_t nsales, nstalls, nshelves;
	bool has_hours;
	int64_t hours; /* ms, for all but `packed` */
	int64_t packed;        /* ms: packing of finished pieces for orders that are due by then */
	int64_t hours_most;    /* ms: of all; less than `packed`: that alone is too much */
	nano orders;   /* the orders' sales */
	double known;  /* best value so far, for the progress */
	double until;  /* seconds of the clock of mix_clock() when the search ends; 0: none */
	bool again;    /* a mix little different from one that is known, which earns `floor`: */
	double floor;  /* so can this, though no plan is at hand */
	uint32_t *endless;
	size_t nendless;
};
/* extra: a bunch more; more_hours: h added.  -1 as mix_reckon(). */
int mix_build(struct mixing *x, const struct extra *extra, double more_hours, bool elastic);

/* Leaves the stems of --leave alone in the program's rooms. */
void mix_hold_reserves(struct program *p, const struct mix_options *options);

/* What each line earns (mix_share.c); all else of `out` is there. */
void mix_share(struct mix *out, const struct mixing *x);

/* What a stem of the class is worth if it is left over; NONE: the extra bunch, 0. */
nano mix_carry(const struct mixing *x, uint32_t class_);

/* So many of the orders' pieces will not be made: what they would have brought. */
void mix_order_cut(struct mixing *x, uint32_t piece, int64_t count);

/* ---- plans ---- */

struct mix_plan {
	const struct mixing *x;
	int64_t *n;      /* per sale */
	int64_t *days;   /* per stall */
	int64_t *made;   /* per maker: makings */
	int64_t *hold;   /* per maker of a part: makings wished for, though stock would do */
	int64_t *got;    /* per variant */
	int64_t *want;   /* per variant: whole stems */
	int64_t *bucket; /* per bucket */
	int64_t *gross;  /* per batch x day */
	int64_t *used;   /* per shelf */
	nano *stems;     /* per room: keep value of the stems used */
	int64_t *dirty;  /* per room: 1 when to be looked at again */
	int64_t *ms;     /* [1]: bench time within the hours */
	int64_t *over;   /* [1]: makers beyond what could ever be made: a need unmet */
	wide value;      /* money without the keep value of stems */
	struct trail {
		int64_t *at, was;
		wide value;
	} * trail;
	size_t ntrail, cap_trail;
	bool exactly;        /* see cellar_serves() */
	size_t scarce;       /* room that was short last */
	const double *share; /* per variant: wish for its part of the need's makings; NULL */
	uint32_t forced;     /* variant that takes what is added to its need; NONE */
	int64_t *cells;      /* all of the numbers above, in one piece */
	size_t ncells;
};
void mix_plan_init(struct mix_plan *p, const struct mixing *x); /* orders only */
void mix_plan_release(struct mix_plan *p);
/* Adds pieces (or takes away) and all that hangs on it; days likewise. */
void mix_plan_add(struct mix_plan *p, size_t sale, int64_t by);
void mix_plan_go(struct mix_plan *p, size_t stall, int64_t days);
void mix_plan_way(struct mix_plan *p, size_t from, size_t to,
		  int64_t by); /* variants of one need */
void mix_plan_hold(struct mix_plan *p, size_t maker, int64_t makings);
size_t mix_plan_mark(const struct mix_plan *p);
void mix_plan_back(struct mix_plan *p, size_t mark);
/* All limits; which one fails first is of no interest. */
bool mix_plan_holds(struct mix_plan *p);
/* The same, trusting the counts to be within what sells. */
bool mix_plan_fits(struct mix_plan *p);
/* Only when it holds. */
wide mix_plan_value(const struct mix_plan *p);
/* 1/N pieces times gain: what n pieces bring on so many days. */
nano sale_value(const struct sale *s, int64_t n, int64_t days);
/* Most pieces that may be brought there on so many days. */
int64_t sale_most(const struct sale *s, int64_t days);
/* Counts and ways of another plan, reckoned anew. */
void mix_plan_copy(struct mix_plan *p, const struct mix_plan *from);

/* A crop's stems against bucket demands, by the cheapest stems; false: not enough.  Of
 * a room that is set aside by day only what is found by hand, unless `exactly`.
 * taken: per pool of the room, or NULL. */
bool cellar_serves(const struct mixing *x, size_t room, const int64_t *demand, bool exactly,
		   nano *carry, int64_t *taken);
/* Looks again at the crops that are set aside by day, exactly; whether all holds. */
bool mix_plan_settle(struct mix_plan *p);

/* ---- the program ---- */

struct mix_range { /* whole numbers between which only better answers lie */
	int64_t lo, hi;
};
struct mix_ranges {
	struct mix_range *sales, *makers, *variants; /* pieces; makings */
};
enum stems_as { /* of each need, in the program itself */
	STEMS_SPLIT, /* as if they could be split: small, and nearly right */
	STEMS_WHOLE, /* whole; where there are enough in any case, set aside without loss */
	STEMS_EXACT  /* by all the rules of a plan */
};
enum tie_by { /* mixes that earn the same */
	TIE_CUT,  /* fewest long stems cut short */
	TIE_SALE, /* most of one sale */
	TIE_WAYS  /* ways that are written first */
};
struct mix_tie {
	enum tie_by by;
	size_t sale;
	int64_t cut_most; /* long stems cut short at most; below 0: any number */
};
struct mix_wishes;
struct mix_solving {
	bool relaxed;      /* only a bound and a wish */
	int root;          /* that sharpened, the wish whole in what is sold (solve_root): its
	                    * `part`; 0: no */
	int every, times;  /* of a root: wishes on the way (solve_root()) */
	struct mix_wishes *wishes; /* of a root: gets them all; or NULL */
	enum stems_as stems;
	bool count_orders; /* as many of the orders' pieces as can be; nothing else */
	bool elastic;      /* all orders, with as little more as can be (mix_build elastic) */
	const int64_t *days; /* per stall: gone to on so many; NULL: to be chosen */
	const struct mix_ranges *ranges; /* NULL: all there is */
	double gap;
	long nodes;
	bool has_known;
	double known;
	bool anyway;     /* neither `stop` nor the time limit: there must be an answer */
	double at_least; /* with `known` or `tie`: nothing worth less is looked for */
	const struct mix_tie *tie; /* instead of money; value and proven are of it; or NULL */
};
struct mix_solved { /* arrays in the arena; NULL without an answer */
	enum outcome outcome;
	bool any;
	double value, proven; /* money, constants of the orders included */
	long nodes;
	size_t columns, rows, draws; /* of the program; draws: whole stems with their own column */
	size_t cuts; /* of a tie: columns of stems cut short */
	double *n, *days;            /* per sale, stall */
	double *day_price;           /* per stall, relaxed: value falls at least so fast with a
	                              * day less, and rises no faster */
	double *made, *got;          /* per maker, variant */
	double *short_bucket, *short_shelf; /* stems; 1/scale units */
	double short_hours;                 /* seconds */
};
enum { MIX_WISHES = 8 };
struct mix_wishes { /* the first from before the way down */
	struct mix_solved at[MIX_WISHES];
	size_t n;
};
/* More sales than these: another corner, more cuts, and a few sales at a time. */
enum { MIX_LARGE = 150 };
double mix_clock(void);
int mix_seconds_left(const struct mixing *x); /* at least 1; 0: no limit */
void mix_program(struct mixing *x, const struct mix_solving *how, struct mix_solved *out);
void mix_ranges_open(struct mixing *x, struct mix_ranges *r); /* all there is */
/* Narrows them to plans worth at least `least`; false: there is none, nor one worth more
 * than `bound`. */
bool mix_narrow(struct mixing *x, const struct mix_solving *how, double least,
		struct mix_ranges *r, double *bound);
/* Whatever x plans within the ranges, base, which is x with less of the crop (NONE: of the
 * bench hours), has enough of it. */
bool mix_plenty(struct mixing *x, const struct mix_solving *how, uint32_t crop,
		const struct mixing *base);
/* One crop that is set aside by day, for fixed demands; false when it cannot be (or a
 * limit came first). */
bool mix_room(struct mixing *x, size_t room, const int64_t *demand, nano *carry, int64_t *taken);

/* ---- searching ---- */

struct mix_answer {
	struct mix_plan best; /* mix_plan_release() */
	bool any;
	double value, bound;
	long nodes; /* -1: no tree */
	bool proven, interrupted;
	bool tied; /* proven, but others may earn the same and be preferred */
	bool none;              /* proven: the orders cannot all be made */
	struct mix_plan second; /* best plan met that differs in what is sold */
	bool has_second;
};
double money_of(wide n);
uint32_t mix_draw(uint64_t *dice, size_t n); /* below n; from one seed the same row on every run */
/* By hand: adds while it pays, then exchanges; effort: trials at most. */
void mix_plan_improve(struct mix_plan *p, long effort);
/* Whole counts near those of the program, never more than holds. */
void mix_plan_round(struct mix_plan *p, const struct mix_solved *s);
/* The answer as it is; false when whole stems do not allow it: p does not hold then. */
bool mix_plan_take(struct mix_plan *p, const struct mix_solved *s);
/* Another way or a piece less where stems or time are short, until it holds. */
bool mix_plan_mend(struct mix_plan *p);
/* The answer, mended where it has to be; false when it cannot be. */
bool mix_plan_near(struct mix_plan *p, const struct mix_solved *s);
/* Takes the plan, when it holds, as the best or as the runner-up. */
void mix_offer(struct mixing *x, struct mix_answer *out, struct mix_plan *p);
struct mix_few {
	size_t slot;         /* of shed.uses: what they share */
	const int64_t *days; /* at the stalls; NULL: the solver's choice */
	const double *split; /* per sale, what the relaxation would make; NULL */
	uint64_t *dice;
};
/* A few sales solved again; whether the best is better. */
bool mix_reopen(struct mixing *x, struct mix_answer *out, const struct mix_few *few);
/* start: a plan that holds, or NULL. */
void mix_search(struct mixing *x, struct mix_answer *out, const struct mix_plan *start);
/* Of all mixes that earn what the best does, on as many stall days, the one that is
 * described in docs/reckoning.md; out->best must be proven to the end.  Never one that
 * earns less.  Sets out->tied when a limit came first: it is broken only so far. */
void mix_break_ties(struct mixing *x, struct mix_answer *out);
void mix_answer_release(struct mix_answer *out);
/* Proves that `more`, which has more of a crop (NONE: of the bench hours) than `base`,
 * earns no more: all that might be worth more than `value`, which base can earn, has
 * enough of it in base already.  False: not so easily. */
bool mix_no_use(struct mixing *more, struct mixing *base, uint32_t crop, double value);

#endif

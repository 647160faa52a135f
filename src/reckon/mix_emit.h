/* mix_emit.h - inside mix_solve.c, mix_counts.c and mix_stems.c only: the program being written. */
#ifndef RECKON_MIX_EMIT_H
#define RECKON_MIX_EMIT_H

#include "reckon/mix_model.h"

struct term { /* makings as base + column */
	int64_t base, hi;
	int col;
};
struct emit {
	struct mixing *x;
	struct solve m;
	double *sum; /* of the row in hand, per column */
	unsigned char *in;
	int *touched;
	size_t ntouched, cap_cols;
	double constant;
	int *n, *days; /* per sale, stall */
	struct bringing {
		int first, end; /* its column and those of its curve, which carry the gains; or */
	} * brings;             /* it alone; per sale */
	const int64_t *gone; /* days per stall, chosen; NULL */
	const struct mix_ranges *ranges; /* NULL */
	struct term *makers, *variants;
	struct counts { /* a column for each count of makings, from `least` on */
		int first, n; /* n 0: none */
		int64_t least;
	} * counts;             /* per maker */
	unsigned char *counted; /* per variant: its stems are those of the counts */
	struct term *draws; /* per variant, crops: whole stems */
	double *draw_by;    /* stems = base + by x col */
	int *short_bucket, *short_shelf, short_hours;
	const int64_t *demand; /* one room by itself: what is wanted, per bucket; else NULL */
	int *aside;            /* of that room: flows, bucket x pool */
	unsigned char *slack;  /* per room: any plan has its stems */
	size_t *wanted, *wanted_first, *wanted_n; /* variants by bucket */
	struct setting_col {
		size_t maker, setting;
		int col;
	} * setting_cols;
	size_t nsettings;
	enum stems_as stems;
	bool elastic;
	bool whole_counts; /* for cuts: each count by itself is taken or not */
	bool price_days;   /* what sells there is held by the days alone, so that they get a price */
	bool count_orders; /* as many of the orders' pieces as can be */
	bool ties;         /* every stem by its own way, in whole stems */
	int *cut;          /* ties: the columns of long stems cut short */
	size_t ncut, cap_cut;
	size_t ndraws;
};

/* Rows are put together from columns and terms, then ended by their limits. */
int emit_column(struct emit *e, double lo, double hi, double gain, bool whole);
void emit_add(struct emit *e, int col, double by);
void emit_term(struct emit *e, const struct term *t, double by);
void emit_row(struct emit *e, double lo, double hi);
/* Money as a gain; 0 when the program asks for something else. */
double emit_money(const struct emit *e, double money);

/* Whole stems wanted, listed by bucket; then a crop's rows. */
void emit_wants(struct emit *e);
/* The most that could be wanted of every bucket of the crop at once is there in x, which
 * is the emitted mix or one that differs in its stems only. */
bool emit_plenty(const struct emit *e, size_t room, const struct mixing *x);
/* Columns for the counts of a piece whose sales and settings stand in the program. */
void emit_counts(struct emit *e, size_t maker, size_t first_setting);
void emit_cellar(struct emit *e, size_t room);
void emit_aside(struct emit *e, size_t room); /* stems set aside by day */

#endif

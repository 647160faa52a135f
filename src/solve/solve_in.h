/* solve_in.h - inside src/solve only: one run, and what is checked without the solver. */
#ifndef SOLVE_SOLVE_IN_H
#define SOLVE_SOLVE_IN_H

#include <setjmp.h>

#include "base/mem.h"
#include "solve/solve.h"

#define ROW_SLACK  1e-7 /* of the row's largest term */
#define WISH_SLACK 1e-3 /* of solve_root(), whose answer is looked at again in any case */

struct glp_prob;
struct root;

struct run { /* everything that must outlive a longjmp */
	const struct solve *m;
	const struct solve_options *o;
	struct solution *s;
	struct solve_entry_def *entries; /* sorted by row */
	size_t *starts;                  /* of each row in entries; nrows + 1 */
	double *fixed;                   /* values to hold the whole columns at, or NULL */
	bool flat;                       /* no objective: is there any answer? */
	bool plain;
	struct root *root; /* cuts at the root, and what they need; or NULL */
	struct solve_way way;
	int *rows, *cols; /* for the library, from 1: of all entries, or of one row */
	double *values;
	jmp_buf fault;
	struct glp_prob *p;
	double bound;  /* least bound seen in the tree */
	double proven; /* of all attempts */
	long nodes;
	bool cut_off; /* we ended the search */
	enum outcome outcome;
	double value;
	double *x;
};

void solve_say(struct solution *s, enum outcome outcome, const char *why);
/* Limits and coefficients are numbers, whole columns' limits whole, no entry twice; else
 * `s` says what is not.  solve_sort_entries() must have come before solve_entries_once(). */
bool solve_options_ok(const struct solve_options *o, struct solution *s);
bool solve_columns_ok(const struct solve *m, struct solution *s);
bool solve_rows_ok(const struct solve *m, struct solution *s);
void solve_sort_entries(struct run *r);
bool solve_entries_once(struct run *r, struct solution *s);
bool solve_crossed(const struct solve *m); /* a lower limit above its upper one */
bool solve_any_whole(const struct solve *m, bool want);
/* Answers that need no solver: outcome and x. */
bool solve_trivial(struct run *r);
double solve_add_up(const struct run *r);
/* Makes whole columns whole and x keep its limits; sets value.  False: it does not hold. */
bool solve_answer_holds(struct run *r);
double *solve_wish(const struct run *r, size_t k); /* the k-th of its solution */
/* The same of each wish: drops those that do not, and x becomes the last of the others; where
 * none is left the one wish is x, if that holds. */
bool solve_wishes_hold(struct run *r);

#endif

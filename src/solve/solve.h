/* solve.h - whole-number programs, without naming the solver.
 *
 * Maximise c'x subject to row limits and column limits.  Input is validated first
 * (finite numbers, no duplicate entries, integral bounds on whole columns): what
 * the solver would abort on or get wrong comes back as SOLVE_BAD with a sentence.
 * Limits use -SOLVE_INF and SOLVE_INF for "none".  solve.c is the only file that
 * knows GLPK; nothing is printed.
 *
 *     struct solve m;
 *     solve_init(&m);
 *     int x = solve_column(&m, 0, 10, 3.0, true);
 *     int r = solve_row(&m, -SOLVE_INF, 12);
 *     solve_entry(&m, r, x, 2.5);
 *     struct solution s;
 *     solve_run(&m, &(struct solve_options){ 0 }, &s);
 *     ... s.outcome, s.x[x] ...
 *     solution_release(&s); solve_release(&m);
 */
#ifndef SOLVE_SOLVE_H
#define SOLVE_SOLVE_H

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>

#define SOLVE_INF 1e300

enum outcome {
	SOLVE_OPTIMAL,    /* proven within the gap asked for */
	SOLVE_INFEASIBLE,
	SOLVE_UNBOUNDED,
	SOLVE_LIMIT,      /* stopped by a limit; x is the best found, bound says how good */
	SOLVE_NOTHING,    /* stopped before any answer */
	SOLVE_BAD         /* the model cannot be handed over; `why` says it */
};

struct solve_column_def { double lo, hi, gain; bool whole; };
struct solve_row_def { double lo, hi; };
struct solve_entry_def { int row, col; double value; };
struct solve { /* grows; indices from 0 */
	struct solve_column_def *cols;
	struct solve_row_def *rows;
	struct solve_entry_def *entries;
	size_t ncols, nrows, nentries, cap_cols, cap_rows, cap_entries;
};
struct solve_options {
	double gap;             /* relative; 0 = to the end (1e-9 of the objective) */
	long nodes;             /* 0: SOLVE_NODES.  The limit that repeats: same input, same answer */
	int seconds;            /* 0: none but SOLVE_SECONDS. Runs that meet it may not repeat */
	bool relaxed;           /* whole columns may be split: the linear program */
	bool primal;            /* relaxed, and solve_root(): the first program by the primal method
	                         * from a basis of its own, where simplifying takes longer */
	bool plain;             /* without the solver's own simplifying and cuts: a second opinion */
	const volatile sig_atomic_t *stop; /* not 0: end the search soon; NULL: nobody asks */
	bool has_known;         /* an answer of the value `known` is there already: the search */
	double known;           /* ends (LIMIT or NOTHING) when none can be better by the gap */
	void (*progress)(void *context, double bound, long nodes); /* NULL; bound of the tree */
	void *context;
};
enum {
	SOLVE_NODES = 100000,
	SOLVE_SECONDS = 600     /* a backstop against a search that never comes back */
};
struct solution {
	enum outcome outcome;
	double value, bound;    /* objective; proven upper bound.  NaN without an answer, but
	                         * INFINITY when unbounded */
	double proven;          /* least upper bound met, answer or not; INFINITY none */
	long nodes;             /* of the tree */
	double *x;              /* per column; whole columns are exact whole numbers; zeros
	                         * without an answer, NULL when BAD */
	double *price;          /* per column, of a relaxed optimum: limits moved so that x moves
	                         * by d let none be worth more than value + price x d; or NULL */
	double *wishes;         /* nwishes x columns, of solve_root(): the first is from before the */
	size_t nwishes;         /* way down, the last is x; or NULL */
	char why[160];          /* a sentence for NOTHING and BAD, empty otherwise */
};
void solve_init(struct solve *m);
void solve_release(struct solve *m);
int solve_column(struct solve *m, double lo, double hi, double gain, bool whole);
int solve_row(struct solve *m, double lo, double hi);
void solve_entry(struct solve *m, int row, int col, double value); /* value 0 is dropped */
/* An answer has been rounded to whole columns and checked again: limits of columns
 * exactly, rows to 1e-7 of their largest term, the objective added up anew. */
void solve_run(const struct solve *m, const struct solve_options *o, struct solution *s);
struct solve_way {
	int rounds;   /* of cuts */
	size_t whole; /* the first columns, to be made whole where they are whole ones */
	int part;     /* of those split an n-th at a time: another n, another way down */
	int every;    /* so many steps down a wish is written down, */
	int times;    /* and so many times; `every` 0: once, when they are whole */
};
/* The linear program, sharpened by cuts that every whole answer keeps (mixed-integer cuts of
 * Gomory; Cornuejols, "Valid inequalities for mixed integer linear programs", Math. Program.
 * 112, 2008, from memory); then followed down from there until the columns asked for are
 * whole.  OPTIMAL: `x` and all wishes keep all rows (to 1e-3 of their largest term); those
 * at the end of the way are whole, but only in these columns.  `value` is what x is worth and
 * `bound` holds for every whole answer.  Otherwise as a relaxed solve_run(). */
void solve_root(const struct solve *m, const struct solve_options *o, const struct solve_way *way,
		struct solution *s);
void solution_release(struct solution *s);
/* Narrows the limits of the whole columns (of m itself) to what the relaxation allows an
 * answer worth at least `least`: two linear programs a column, each from where the last
 * one ended.  False: there is no such answer, and none worth more than `bound`.  Columns
 * that were not got to because of `stop` or a fault of the solver keep their limits. */
bool solve_narrow(struct solve *m, double least, const struct solve_options *o, double *bound);

#endif

/* reach_again.h - inside src/reckon only: the same program asked twice has the same answer.
 *
 * Pieces that are short of the same stems, and the questions after what stops one of
 * them, come down to the very same programs.  Kept are those without a plan that took a
 * tree to search, whole, so that nothing is taken for the same that differs. */
#ifndef RECKON_REACH_AGAIN_H
#define RECKON_REACH_AGAIN_H

#include "base/mem.h"
#include "solve/solve.h"

struct asked;
struct again { /* all zero: empty.  In an arena that outlives all questions */
	struct arena *a;
	struct asked *first;
	size_t bytes;
};
/* Whether the program, with these options, is known to end as it says: *outcome is
 * SOLVE_INFEASIBLE or SOLVE_NOTHING. */
bool again_known(const struct again *again, const struct solve *m, const struct solve_options *o,
		 enum outcome *outcome);
/* Keeps one that ended so; nothing when there is too much already. */
void again_keep(struct again *again, const struct solve *m, const struct solve_options *o,
		enum outcome outcome);

#endif

/* help_pull.h - whether a pull list can be pulled, by the rules written down a second
 * time: recipes, losses, whole stems, boxes, days, parts on the shelf.  Nothing is
 * called that the list was made with.
 *
 * The farm is built as in help_farm.h: at most 64 boxes, counts in whole stems, every
 * crop's box with a day of boxing and of counting, bench losses in thousandths, nothing
 * in the bench log.  Fails the test at what is wrong. */
#ifndef TESTS_HELP_PULL_H
#define TESTS_HELP_PULL_H

#include "help_farm.h"
#include "reckon/pull.h"

#define HELP_PULL_DAY "2026-11-25" /* of the stock */

/* making: what was asked for, on that day; NULL: the open orders.  reserve: some crop
 * has one, so that the order of the boxes is not judged. */
void help_check_pull(const struct farm *f, const struct pull *pull, const struct making *making,
		     bool no_buying, bool reserve);
/* The list of a mix that was found for these orders and the shed; leave: stems of the
 * first crop that were to be left alone. */
void help_check_pull_mix(const struct farm *f, const struct pull *pull, const struct mix *mix,
			 bool no_buying, double leave, bool reserve);

/* A farm by chance within these limits, orders and all; *reserve: as above. */
void help_pull_farm(struct built *b, uint64_t *seed, bool *reserve);
int help_dice(uint64_t *seed, int lo, int hi); /* lo..hi */

#endif

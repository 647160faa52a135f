/* help_reach.h - a built farm, its stock and the most of each piece (reach.h). */
#ifndef TESTS_HELP_REACH_H
#define TESTS_HELP_REACH_H

#include "help_farm.h"
#include "reckon/reach.h"
#include "reckon/stock.h"

#define TODAY "2026-11-25" /* of the stock */

struct reached {
	struct built b;
	struct stock stock;
	struct reach reach;
	struct reach_options options;
	struct reach_list list; /* left to the test */
	bool with_past;         /* stems past keeping are counted too */
};

void reached_reckon(struct reached *r); /* stock and reach, without an error */

/* Counted today, so that nothing has been lost yet. */
struct box *reached_stems(struct reached *r, const struct crop *c, double count);
struct need_option *reached_need(struct reached *r, struct piece *p, const struct crop *c,
				 int64_t num, int64_t den);
const struct reach_piece *reached_piece(const struct reached *r, size_t i);

#endif

/* reach_shed.h - inside src/reckon only: what every question about a day shares. */
#ifndef RECKON_REACH_SHED_H
#define RECKON_REACH_SHED_H

#include "reckon/reach_program.h"

struct ready_order { /* finished pieces that go to orders of a day */
	uint32_t piece;
	day on;
	int64_t count;
};
struct reach_shed {
	const struct farm *farm;
	const struct stock *stock;
	struct arena *a;
	struct remarks *remarks; /* NULL: say nothing */
	struct diag *diag;
	bool no_buying;
	long nodes;
	day *days;               /* of use, rising; [0] is the stock's own */
	uint32_t ndays;
	struct promise *promises; /* open orders less finished pieces, by day */
	size_t npromises;
	int64_t *finished;       /* per piece: on hand and not promised */
	struct ready_order *ready;
	size_t nready;
	struct rat *keep;        /* shed_keep() */
	unsigned char **uses;    /* per piece: crops, parts and limited supplies in it */
	size_t nslots;
	struct again *again;     /* for its questions; NULL */
};
void reach_shed_open(struct reach_shed *s, const struct farm *farm, const struct stock *stock,
                     const struct reach_options *options, struct arena *a, struct remarks *r,
                     struct diag *diag);
/* The promises that share a material with the piece, directly or through one another;
 * out has room for all. */
size_t reach_touching(const struct reach_shed *s, uint32_t piece, struct promise *out,
                      struct arena *a);

#endif

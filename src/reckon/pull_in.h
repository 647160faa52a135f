/* pull_in.h - inside pull*.c only: a pull list being put together. */
#ifndef RECKON_PULL_IN_H
#define RECKON_PULL_IN_H

#include "reckon/pull.h"
#include "reckon/pull_boxes.h"
#include "reckon/reach_shed.h"

struct planning {
	struct pull *out;
	const struct farm *farm;
	const struct stock *stock;
	const struct pull_options *options;
	struct arena *a, *scratch;
	struct diag *diag;
	struct reach_shed shed;
	struct question q;
	struct program p;
	struct demands demands;
	day *days;
	uint32_t ndays;
	struct promise *promises; /* all that is to be made */
	bool *listed;             /* per promise: asked for */
	int64_t *ordered;         /* per promise: of which for orders */
	size_t npromises;
	double *short_crops, *short_supplies;
	const struct keep_values *worth; /* NULL: no matter */
	struct rat *ready; /* per maker of a part: on the shelf or left over */
	bool *shown;       /* per maker */
	size_t cap_lines;
};

/* Days of use: those of the orders and of the makings. */
void pull_days(struct planning *t, const struct making *makings, size_t n);
uint32_t pull_day(const struct planning *t, day on); /* its index */
/* Promise of that piece and day, made when it is not there yet. */
size_t pull_promise(struct planning *t, uint32_t piece, uint32_t day_);
/* What there is against t's promises, with all ways open. */
struct question pull_question(const struct planning *t, bool elastic);
/* What a day takes of a part. */
int64_t pull_gross(const struct program *p, size_t batch, uint32_t day_);
/* Stems for the plan in `got`, and which makers are shown; false when more are missing than
 * have to be. */
bool pull_draw(struct planning *t);
/* Open orders and what of them is on hand. */
void pull_orders(struct planning *t);
/* Of the plan the runs and their lines, by box and by supply, and what is short; plan
 * false: there is none.  0 or -1. */
int pull_write(struct planning *t, bool plan);

#endif

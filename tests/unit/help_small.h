/* help_small.h - small farms made up by chance, and what a plan takes of them, counted anew. */
#ifndef TESTS_HELP_SMALL_H
#define TESTS_HELP_SMALL_H

#include "base/buf.h"
#include "help.h"
#include "reckon/plan_fit.h"
#include "reckon/reckon.h"

enum { CROPS = 2, TARGETS_MOST = 3, COUNT_MOST = 3 };

struct small {
	struct arena arena;
	struct diag diag;
	struct farm *farm;
	struct reckoning now;
	char *folder;
};
struct by_hand {
	struct plan_room room;
	double beyond;          /* usable stems that cannot be there, stems that no bed bears */
};

/* stock, orders: their tables; NULL. */
void small_load(struct small *s, const char *text, const char *stock, const char *orders);
void small_text(struct small *s, const char *text);
void small_unload(struct small *s);
int small_pick(uint64_t *rng, int low, int high); /* low..high */
/* Sown in spring (standing -1), or standing (1: a metre; 0: by chance); on the line, or on racks.
 * rich: in colours. */
void small_crop(struct buf *b, uint64_t *rng, int c, bool rich, int standing);
/* What a plan takes: day by day, week by week, lot by lot. */
struct by_hand small_room(const struct farm *farm, const struct plan *plan);
bool small_holds(const struct plan_room *used, const struct plan_room *limits);
/* What the targets bring less what growing costs. */
double small_earned(const struct plan *plan, size_t targets);
/* Plan `number` of all with counts 0..asked, and how many there are. */
void small_plan(struct plan *plan, const struct small *s, size_t number, struct arena *a);
size_t small_plans(const struct small *s);
/* Between nothing and what all targets would take; each of them now and then none (NaN). */
struct plan_room small_limits(struct small *s, uint64_t *rng);
struct plan_room small_every(struct plan_room l); /* NaN becomes INFINITY */

#endif

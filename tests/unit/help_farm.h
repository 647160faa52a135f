/* help_farm.h - small farms built by hand, for tests of the reckoning that need no
 * notation.  Everything lives in the arena; arrays have fixed room (see help_farm.c),
 * so that pointers stay good while a test adds more.
 *
 *     struct built b;
 *     build_start(&b);
 *     struct crop *statice = build_crop(&b, "Statice");
 *     struct piece *wreath = build_piece(&b, "Wreath");
 *     build_piece_need(&b, wreath, build_crop_item(&b, statice), 24, 1);
 *     build_done(&b);        levels of parts; b.farm may be reckoned now
 *     ...
 *     build_end(&b);
 */
#ifndef TESTS_HELP_FARM_H
#define TESTS_HELP_FARM_H

#include "farm/farm.h"
#include "help.h"
#include "reckon/remark.h"

struct built {
	struct arena arena;
	struct farm farm;
	struct diag diag;
	struct remarks remarks;
};

void build_start(struct built *b);
void build_done(struct built *b);
void build_end(struct built *b);

struct fig build_fig(double v); /* given, exact to 1e-9 */
day build_day(const char *iso);
struct str build_name(struct built *b, const char *fmt, ...) __attribute__((format(printf, 2, 3)));

struct crop *build_crop(struct built *b, const char *name);
struct supply *build_supply(struct built *b, const char *name, double cost); /* NaN: no price */
struct part *build_part(struct built *b, const char *name);
struct piece *build_piece(struct built *b, const char *name);
struct outlet *build_outlet(struct built *b, const char *name);
struct item build_crop_item(const struct built *b, const struct crop *c);
struct item build_supply_item(const struct built *b, const struct supply *s);
struct item build_part_item(const struct built *b, const struct part *p);
struct item build_piece_item(const struct built *b, const struct piece *p);

/* A need of a part or piece with one option; build_or gives it another. */
struct need_option *build_part_need(struct built *b, struct part *p, struct item item, int64_t num,
                                    int64_t den);
struct need_option *build_piece_need(struct built *b, struct piece *p, struct item item, int64_t num,
                                     int64_t den);
struct need_option *build_or(struct built *b, struct need *need, struct item item, int64_t num,
                             int64_t den);
/* batch 0: for each. */
void build_part_task(struct built *b, struct part *p, double seconds, double batch);
void build_piece_task(struct built *b, struct piece *p, double seconds, double batch);
struct offer *build_offer(struct built *b, struct piece *p, const struct outlet *o, double price);

struct box *build_box(struct built *b, const char *id, struct item item, double count,
                      const char *boxed, const char *counted); /* NULL: not said */
struct bed *build_bed(struct built *b, const struct crop *c, double cut, double fresh);
struct batch *build_batch(struct built *b, const struct crop *c, const struct bed *bed, double cut,
                          double boxed);
struct order *build_order(struct built *b, const struct piece *p, double count, const char *sent);
struct log_entry *build_log(struct built *b, const char *on, enum event event, struct item item,
                            double count);
void build_drawn(struct built *b, struct log_entry *e, const struct box *box, double stems);

/* Whether a remark of that kind holds the text. */
bool build_said(const struct built *b, enum remark_kind kind, const char *part);

/* A repeatable stream of numbers: 0 <= x < 1. */
double build_random(uint64_t *state);

#endif

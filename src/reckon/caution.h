/* caution.h - the table of cautions: what to say, when, and on whose word.
 *
 * docs/cautions.md holds the same texts (a test compares).  They are short reminders,
 * not advice: local codes and licensed practice stand before them. */
#ifndef RECKON_CAUTION_H
#define RECKON_CAUTION_H

#include "farm/farm.h"
#include "reckon/remark.h"

enum caution_when {
	CAUTION_PLANTS,   /* the farm grows or uses a crop */
	CAUTION_PIECES,   /* it makes a piece */
	CAUTION_CROP,     /* a crop's name has one of the words */
	CAUTION_SUPPLY,   /* a supply's name has one of the words */
	CAUTION_HANGING,  /* a crop hangs, or there is drying line */
	CAUTION_BOXING,   /* batches are hung and boxed */
	CAUTION_SENDING,  /* an outlet sends parcels */
	CAUTION_MONEY     /* a wage or a tax is given */
};
struct caution {
	const char *about;  /* heading: "Fire" */
	enum caution_when when;
	const char *words;  /* in folded form, with '|' between; NULL where `when` needs none */
	const char *text, *source;
};
const struct caution *caution_at(size_t i); /* NULL past the end */
bool caution_applies(const struct caution *c, const struct farm *farm);
/* The grower's own `caution` lines, under the name of their block. */
void caution_own(struct remarks *r, const struct head *head);

#endif

/* unit.h - measures with exact factors.
 *
 * Factors to the base unit of each dimension are exact rationals
 * (NIST SP 811 (2008) Appendix B: inch 2.54 cm, pound 453.59237 g).
 * Count words (stem, bunch ...) are not here: a material defines them, see
 * farm/measure.h.
 */
#ifndef BASE_UNIT_H
#define BASE_UNIT_H

#include <stddef.h>

#include "base/number.h"
#include "base/str.h"

enum dimension {
	DIM_LENGTH, /* base: mm */
	DIM_AREA,   /* base: mm2 */
	DIM_WEIGHT, /* base: g */
	DIM_TIME,   /* base: s */
	DIM_COUNT   /* a count word; base defined by the material */
};

struct unit {
	const char *name;     /* as printed: "cm" */
	const char *others;   /* further spellings, blank-separated */
	enum dimension dim;
	struct rat factor;    /* in base units */
};

/* The unit of that spelling, without regard to case, or NULL.  The ounce is the
 * avoirdupois ounce of weight.
 * Known: mm cm m km in ft yd; m2 ft2; g kg oz lb; s min h day week month. */
const struct unit *unit_find(struct str name);
const struct unit *unit_at(size_t i); /* for the docs and hints; NULL past the end */
const char *dimension_name(enum dimension d); /* "length" */

#endif

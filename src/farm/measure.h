/* measure.h - counting words of a material and conversion between them.
 *
 * A crop is counted in stems, a part in what it makes, a piece in each, a supply
 * in the unit of its price (`costs 3.20 per m`), without one in that of its pack,
 * else in each.  A material may define words: `sprig 1/3 stem`, `bunch 10 stem`,
 * `bunch 300 g` with `stem 12 g`.  Conversion follows these definitions and the
 * exact factors of base/unit.h, never a guess.
 */
#ifndef FARM_MEASURE_H
#define FARM_MEASURE_H

#include "base/number.h"
#include "farm/farm.h"

enum { MEASURES_MOST = 60 }; /* definitions in one block */

/* The form in which counting words and units are kept and compared: folded, in the
 * singular (`Bunches` is "bunch", `berries` is "berry"), a measure by its short
 * name (`metres` is "m").  Borrows `word` where it is in that form already. */
struct str measure_word(struct arena *a, struct str word);

/* How many `in` one `word` is by the first n definitions, both in the form of
 * measure_word().  false: no path, or overflow. */
bool measure_between(const struct measure *defs, size_t n, struct str word, struct str in,
                     struct rat *factor);

/* How many base units of the item one `word` is.  false: there is no path from
 * the word to the base unit (the caller names the line to add), or overflow. */
bool measure_factor(const struct farm *farm, struct item item, struct str word, struct rat *factor);
/* The base unit's word: "stem", "each", "m". */
struct str measure_base(const struct farm *farm, struct item item);
/* Base units in one bunch: the crop's `bunch`, else 10 (common practice, no source). */
struct rat measure_bunch(const struct farm *farm, uint32_t crop);

#endif

/* largest.h - which of many sizes are the largest, for charts that cannot show all. */
#ifndef BASE_LARGEST_H
#define BASE_LARGEST_H

#include "base/mem.h"

enum { BARS_MOST = 24 }; /* of a chart: of more the largest are drawn */

/* Indices of n sizes, the largest first; equal ones in their order. In the arena. */
size_t *largest_first(struct arena *a, const double *size, size_t n);
/* The `most` largest of n items of so many bytes each, in that order. In the arena. */
void *largest_of(struct arena *a, const void *items, size_t bytes, const double *size, size_t n, size_t most);

#endif

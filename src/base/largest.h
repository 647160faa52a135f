/* largest.h - which of many sizes are the largest, for charts that cannot show all. */
#ifndef BASE_LARGEST_H
#define BASE_LARGEST_H

#include "base/mem.h"

/* Indices of n sizes, the largest first; equal ones in their order. In the arena. */
size_t *largest_first(struct arena *a, const double *size, size_t n);

#endif

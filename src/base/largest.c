/* largest.c - which of many sizes are the largest. */
#include "base/largest.h"

size_t *largest_first(struct arena *a, const double *size, size_t n)
{
	size_t *order = ARENA_ARRAY(a, n + 1, size_t);
	for (size_t i = 0; i < n; i++) {
		size_t at = i;
		while (at > 0 && size[order[at - 1]] < size[i]) {
			order[at] = order[at - 1];
			at--;
		}
		order[at] = i;
	}
	return order;
}

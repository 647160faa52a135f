/* largest.c - which of many sizes are the largest. */
#include "base/largest.h"

#include <string.h>

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

void *largest_of(struct arena *a, const void *items, size_t bytes, const double *size, size_t n, size_t most)
{
	const size_t *order = largest_first(a, size, n);
	char *out = arena_alloc(a, most, bytes);
	for (size_t i = 0; i < most; i++)
		memcpy(out + i * bytes, (const char *)items + order[i] * bytes, bytes);
	return out;
}

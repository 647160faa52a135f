/* mem.h - memory: one arena for each input set, and growing arrays.
 *
 * Policy: thrave is a short-lived process.  Running out of memory prints one
 * line on stderr and ends the process with exit status 4; no function here
 * returns NULL.  Sizes are overflow-checked.
 *
 * An arena hands out zeroed memory that lives until arena_release().  All
 * strings and tables of a loaded farm live in one arena and die with it.
 */
#ifndef BASE_MEM_H
#define BASE_MEM_H

#include <stddef.h>

struct arena_block;
struct arena {
	struct arena_block *head; /* newest block; NULL when empty */
	size_t used;              /* bytes handed out, for the benchmark */
};

void arena_init(struct arena *a);
void arena_release(struct arena *a); /* frees all; `a` may be used again */
void arena_clear(struct arena *a);   /* the same, but one block stays for what comes next */

/* Zeroed memory for n items of `size` bytes, aligned for any type. */
void *arena_alloc(struct arena *a, size_t n, size_t size);
/* A NUL-terminated copy of n bytes. */
char *arena_copy(struct arena *a, const char *p, size_t n);
/* A grown copy in the arena: the idiom for arrays that grow while loading.
 * Returns an array with room for at least `need` items; *cap is updated,
 * the old array is left to the arena.  Items beyond the old ones are zero. */
void *arena_grow(struct arena *a, void *old, size_t n, size_t need, size_t *cap, size_t size);

#define ARENA_NEW(a, type) ((type *)arena_alloc((a), 1, sizeof(type)))
#define ARENA_ARRAY(a, n, type) ((type *)arena_alloc((a), (n), sizeof(type)))
/* Makes room for one more in `arr` (n used, cap allocated) and yields its address. */
#define ARENA_PUSH(a, arr, n, cap)                                                              \
	((n) == (cap) ? (void)((arr) = arena_grow((a), (arr), (n), (n) + 1, &(cap), sizeof *(arr))) \
	              : (void)0,                                                                    \
	 &(arr)[(n)++])

/* malloc family that never returns NULL (exit 4 instead). */
void *mem_alloc(size_t n, size_t size); /* zeroed */
void *mem_grow(void *p, size_t n, size_t size);
void mem_free(void *p);

#endif

/* mem.c - the arena and the allocators that end the process when memory ends. */
#include "base/mem.h"

#include <stdalign.h>
#include <stdint.h>

enum { BLOCK_LEAST = 64 * 1024, BLOCK_MOST = 4 * 1024 * 1024, EXIT_MEMORY = 4 };

struct arena_block {
	struct arena_block *next;
	size_t cap, used; /* in bytes of data */
	max_align_t data[];
};

static _Noreturn void out_of_memory(void)
{
	fputs("thrave: out of memory\n", stderr);
	exit(EXIT_MEMORY);
}

#ifdef THRAVE_FAULTS
/* Test builds only: THRAVE_FAIL_ALLOC=N lets N - 1 allocations pass. */
static void fault_point(void)
{
	static unsigned long long limit, count;
	static int looked;
	if (!looked) {
		const char *text = getenv("THRAVE_FAIL_ALLOC");
		limit = text ? strtoull(text, NULL, 10) : 0;
		looked = 1;
	}
	if (limit && ++count >= limit)
		out_of_memory();
}
#else
static void fault_point(void)
{
}
#endif

static size_t checked_size(size_t n, size_t size)
{
	size_t bytes;
	/* PTRDIFF_MAX keeps room for the block head and for rounding up. */
	if (__builtin_mul_overflow(n, size, &bytes) || bytes > PTRDIFF_MAX - 4096)
		out_of_memory();
	return bytes ? bytes : 1;
}

void *mem_alloc(size_t n, size_t size)
{
	fault_point();
	void *p = calloc(1, checked_size(n, size));
	if (!p)
		out_of_memory();
	return p;
}

void *mem_grow(void *p, size_t n, size_t size)
{
	fault_point();
	void *grown = realloc(p, checked_size(n, size));
	if (!grown)
		out_of_memory();
	return grown;
}

void mem_free(void *p)
{
	free(p);
}

void arena_init(struct arena *a)
{
	a->head = NULL;
	a->used = 0;
}

void arena_release(struct arena *a)
{
	struct arena_block *b = a->head;
	while (b) {
		struct arena_block *next = b->next;
		free(b);
		b = next;
	}
	arena_init(a);
}

static struct arena_block *new_block(size_t cap)
{
	struct arena_block *b = calloc(1, sizeof *b + cap);
	if (!b)
		out_of_memory();
	b->cap = cap;
	return b;
}

/* Under AddressSanitizer every item is a block of its own, of its exact size, so
 * that a step past its end is seen. */
#if defined(__SANITIZE_ADDRESS__)
#define ITEMS_APART 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define ITEMS_APART 1
#endif
#endif
#ifndef ITEMS_APART
#define ITEMS_APART 0
#endif

void arena_clear(struct arena *a)
{
	struct arena_block *head = a->head;
	if (ITEMS_APART || !head) {
		arena_release(a);
		return;
	}
	a->head = head->next;
	arena_release(a);
	memset(head->data, 0, head->used);
	head->used = 0;
	head->next = NULL;
	a->head = head;
}

/* A block for `bytes`.  Large items get a block of their own, kept behind the
 * head, so that the room left in the head is not given up. */
static struct arena_block *block_for(struct arena *a, size_t bytes)
{
	struct arena_block *head = a->head;
	if (ITEMS_APART) {
		struct arena_block *one = new_block(bytes);
		one->next = head;
		a->head = one;
		return one;
	}
	if (head && head->cap - head->used >= bytes)
		return head;

	size_t cap = head ? head->cap * 2 : BLOCK_LEAST;
	if (cap > BLOCK_MOST)
		cap = BLOCK_MOST;
	if (head && bytes > cap / 4) {
		struct arena_block *own = new_block(bytes);
		own->next = head->next;
		head->next = own;
		return own;
	}
	struct arena_block *b = new_block(bytes > cap ? bytes : cap);
	b->next = head;
	a->head = b;
	return b;
}

void *arena_alloc(struct arena *a, size_t n, size_t size)
{
	const size_t align = ITEMS_APART ? 1 : alignof(max_align_t);
	fault_point();
	size_t bytes = (checked_size(n, size) + align - 1) & ~(align - 1);
	struct arena_block *b = block_for(a, bytes);
	void *p = (char *)b->data + b->used;
	b->used += bytes;
	a->used += bytes;
	return p;
}

char *arena_copy(struct arena *a, const char *p, size_t n)
{
	if (n == SIZE_MAX)
		out_of_memory();
	char *copy = arena_alloc(a, n + 1, 1);
	if (n)
		memcpy(copy, p, n);
	return copy;
}

void *arena_grow(struct arena *a, void *old, size_t n, size_t need, size_t *cap, size_t size)
{
	if (need <= *cap && old)
		return old;
	size_t room = *cap > SIZE_MAX / 2 ? SIZE_MAX : *cap * 2;
	if (room < 8)
		room = 8;
	if (room < need)
		room = need;
	void *grown = arena_alloc(a, room, size);
	if (n)
		memcpy(grown, old, n * size);
	*cap = room;
	return grown;
}

/* The arena, growing arrays, and the end of memory. */
#include "base/mem.h"

#include <stdalign.h>
#include <unistd.h>

#include "help.h"

static bool zeroed(const void *p, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		if (((const char *)p)[i])
			return false;
	}
	return true;
}

/* Small and large items in turn: aligned, zeroed, and none overlaps another. */
static void arena_items(void **state)
{
	(void)state;
	static const size_t sizes[] = { 1, 3, 16, 17, 100, 5000, 20000, 70000, 0, 300000, 9000000 };
	struct { unsigned char *p; size_t n; } kept[1100];
	struct arena a;
	arena_init(&a);
	size_t total = 0;
	for (size_t i = 0; i < COUNT(kept); i++) {
		size_t n = sizes[i % (i % 100 == 0 ? COUNT(sizes) : 6)];
		kept[i].p = arena_alloc(&a, n, 1);
		kept[i].n = n;
		total += n;
		assert_int_equal((uintptr_t)kept[i].p % alignof(max_align_t), 0);
		assert_true(zeroed(kept[i].p, n));
		memset(kept[i].p, (int)(i % 255) + 1, n);
	}
	for (size_t i = 0; i < COUNT(kept); i++) {
		for (size_t j = 0; j < kept[i].n; j++)
			assert_int_equal(kept[i].p[j], i % 255 + 1);
	}
	assert_true(a.used >= total && a.used <= total + 16 * COUNT(kept));
	arena_release(&a);
	assert_null(a.head);
	assert_int_equal(a.used, 0);
	int *again = ARENA_ARRAY(&a, 10, int);
	assert_true(zeroed(again, 10 * sizeof *again));
	arena_release(&a);
	arena_release(&a); /* an empty one too */
}

static void arena_copies(void **state)
{
	(void)state;
	struct arena a;
	arena_init(&a);
	char *copy = arena_copy(&a, "abcdef", 3);
	assert_string_equal(copy, "abc");
	assert_string_equal(arena_copy(&a, NULL, 0), "");
	arena_release(&a);
}

static void arena_arrays(void **state)
{
	(void)state;
	struct arena a;
	arena_init(&a);
	int *list = NULL;
	size_t n = 0, cap = 0;
	for (int i = 0; i < 100000; i++)
		*ARENA_PUSH(&a, list, n, cap) = i;
	assert_int_equal(n, 100000);
	for (int i = 0; i < 100000; i++)
		assert_int_equal(list[i], i);
	assert_true(cap >= n && zeroed(list + n, (cap - n) * sizeof *list));
	assert_true(a.used < 100000 * sizeof(int) * 5); /* doubling, not adding */
	assert_ptr_equal(arena_grow(&a, list, n, cap, &cap, sizeof *list), list);
	int *wide = arena_grow(&a, list, n, cap + 1000000, &cap, sizeof *list);
	assert_true(cap >= 1100000);
	assert_int_equal(wide[99999], 99999);
	arena_release(&a);
}

/* What follows a clearing is as good as new, whatever lay there. */
static void arena_cleared(void **state)
{
	(void)state;
	struct arena a;
	arena_init(&a);
	arena_clear(&a);
	for (int turn = 0; turn < 5; turn++) {
		for (size_t n = 1; n < 300000; n *= 3) {
			unsigned char *p = arena_alloc(&a, n, 1);
			for (size_t i = 0; i < n; i++)
				assert_int_equal(p[i], 0);
			memset(p, 0xff, n);
		}
		assert_true(a.used > 0);
		arena_clear(&a);
		assert_int_equal(a.used, 0);
	}
	arena_release(&a);
}

static void plain(void **state)
{
	(void)state;
	char *p = mem_alloc(10, 3);
	assert_true(zeroed(p, 30));
	memset(p, 'x', 30);
	p = mem_grow(p, 1000, 1);
	assert_true(p[0] == 'x' && p[29] == 'x');
	mem_free(p);
	mem_free(mem_alloc(0, 5));
	mem_free(mem_grow(NULL, 5, 2));
	mem_free(NULL);
}

/* ---- the end of memory: one line, status 4 ---- */

/* volatile: the compiler would warn of the sizes that are wanted here. */
static volatile size_t huge = SIZE_MAX / 2 + 2;

static void alloc_overflow(void *arg)
{
	(void)arg;
	mem_free(mem_alloc(huge, 2));
}

static void alloc_huge(void *arg)
{
	(void)arg;
	mem_free(mem_alloc(huge, 1));
}

static void grow_overflow(void *arg)
{
	(void)arg;
	mem_free(mem_grow(NULL, huge, 16));
}

static void arena_overflow(void *arg)
{
	struct arena *a = arg;
	arena_alloc(a, huge, 8);
}

static void copy_overflow(void *arg)
{
	struct arena *a = arg;
	arena_copy(a, "", huge * 2 - 5);
}

static void array_overflow(void *arg)
{
	size_t cap = huge;
	arena_grow(arg, NULL, 0, huge, &cap, 8);
}

static void out_of_memory(void **state)
{
	(void)state;
	static void (*const rows[])(void *) = { alloc_overflow, alloc_huge,    grow_overflow,
		                                arena_overflow, copy_overflow, array_overflow };
	for (size_t i = 0; i < COUNT(rows); i++) {
		char said[200];
		struct arena a;
		arena_init(&a);
		assert_int_equal(help_child(rows[i], &a, said, sizeof said), 4);
		assert_string_equal(said, "thrave: out of memory\n");
	}
}

#ifdef THRAVE_FAULTS
struct fault_run {
	const char *limit, *program;
};

static void run_again(void *arg)
{
	struct fault_run *run = arg;
	setenv("THRAVE_FAIL_ALLOC", run->limit, 1);
	execl(run->program, run->program, "five", (char *)NULL);
	_exit(99);
}
#endif

/* Five allocations of either kind: with the limit at N the Nth of them fails. */
static void fault_hook(void **state)
{
#ifdef THRAVE_FAULTS
	struct fault_run run = { NULL, *state };
	static const struct {
		const char *limit;
		int status;
	} rows[] = { { "1", 4 }, { "3", 4 }, { "5", 4 }, { "6", 0 }, { "0", 0 } };
	for (size_t i = 0; i < COUNT(rows); i++) {
		char said[200];
		run.limit = rows[i].limit;
		assert_int_equal(help_child(run_again, &run, said, sizeof said), rows[i].status);
		assert_string_equal(said, rows[i].status ? "thrave: out of memory\n" : "");
	}
#else
	(void)state;
	print_message("skipped: this build has no THRAVE_FAULTS\n");
	skip();
#endif
}

static int allocate_five(void)
{
	struct arena a;
	arena_init(&a);
	void *p = mem_alloc(1, 1);
	p = mem_grow(p, 10, 1);
	mem_free(p);
	arena_alloc(&a, 1, 1);
	arena_alloc(&a, 1, 1);
	arena_copy(&a, "x", 1);
	arena_release(&a);
	return 0;
}

int main(int argc, char **argv)
{
	if (argc > 1)
		return allocate_five();
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(arena_items),
		cmocka_unit_test(arena_copies),
		cmocka_unit_test(arena_arrays),
		cmocka_unit_test(arena_cleared),
		cmocka_unit_test(plain),
		cmocka_unit_test(out_of_memory),
		cmocka_unit_test_prestate(fault_hook, argv[0]),
	};
	return cmocka_run_group_tests_name("mem", tests, NULL, NULL);
}

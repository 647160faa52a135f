/* The capped buffer. */
#include "base/buf.h"

#include <limits.h>
#include <stdio.h>

#include "help.h"

static void grows(void **state)
{
	(void)state;
	struct buf b;
	buf_init(&b, 100000);
	assert_text(buf_slice(&b), "");
	assert_int_equal(b.data[0], '\0');
	for (int i = 0; i < 10000; i++)
		assert_int_equal(buf_printf(&b, "%04d,", i), 0);
	assert_int_equal(b.len, 50000);
	assert_int_equal(b.data[50000], '\0');
	assert_memory_equal(b.data + 5 * 4321, "4321,", 5);
	buf_clear(&b);
	assert_text(buf_slice(&b), "");
	assert_int_equal(buf_text(&b, "again"), 0);
	assert_text(buf_slice(&b), "again");
	buf_release(&b);
	buf_init(&b, 3);
	assert_int_equal(buf_text(&b, "abc"), 0);
	buf_release(&b);
}

static void kinds(void **state)
{
	(void)state;
	struct buf b;
	buf_init(&b, 100);
	buf_add(&b, "xyz", 2);
	buf_add(&b, NULL, 0);
	buf_str(&b, STR_NONE);
	buf_char(&b, '\0');
	buf_text(&b, "t");
	buf_str(&b, STR("s"));
	buf_fill(&b, '-', 3);
	buf_fill(&b, '-', 0);
	buf_printf(&b, "%d%s", 5, "");
	assert_int_equal(b.len, 9);
	assert_memory_equal(b.data, "xy\0ts---5", 10);
	assert_false(b.full);
	buf_release(&b);
}

/* What does not fit leaves the text as it was, by each way of adding. */
static void caps(void **state)
{
	(void)state;
	for (size_t max = 0; max < 200; max += 3) {
		struct buf b;
		buf_init(&b, max);
		for (size_t i = 0; i < max; i++)
			assert_int_equal(buf_char(&b, 'a'), 0);
		assert_false(b.full);
		assert_int_equal(buf_char(&b, 'b'), -1);
		assert_true(b.full);
		assert_int_equal(b.len, max);
		assert_int_equal(strlen(b.data), max);
		buf_clear(&b);
		assert_false(b.full);
		assert_int_equal(buf_fill(&b, 'c', max + 1), -1);
		assert_int_equal(buf_fill(&b, 'c', SIZE_MAX), -1);
		assert_int_equal(buf_printf(&b, "%*s", (int)max + 1, ""), -1);
		assert_true(b.full);
		assert_text(buf_slice(&b), "");
		assert_int_equal(buf_printf(&b, "%*s", (int)max, ""), 0);
		assert_int_equal(b.len, max);
		buf_release(&b);
	}
}

/* Lengths around the first room, where printf has to try twice. */
static void printf_edges(void **state)
{
	(void)state;
	for (int n = 0; n < 300; n++) {
		struct buf b;
		buf_init(&b, 1000);
		buf_text(&b, "ab");
		assert_int_equal(buf_printf(&b, "%0*d", n, 0), 0);
		assert_int_equal(b.len, n ? n + 2 : 3);
		assert_int_equal(strlen(b.data), b.len);
		buf_release(&b);
	}
}

/* As ISO C has it (C11 7.21.6.1), whatever of it is done by hand; nothing of it where it does not fit. */
static void as_library(const char *fmt, ...) __attribute__((format(printf, 1, 2)));
static void as_library(const char *fmt, ...)
{
	char want[200];
	va_list ap, again;
	va_start(ap, fmt);
	va_copy(again, ap);
	size_t n = (size_t)vsnprintf(want, sizeof want, fmt, again);
	va_end(again);
	for (size_t max = 1; max < 100; max++) {
		struct buf b;
		bool fits = 1 + n <= max;
		buf_init(&b, max);
		buf_char(&b, '>');
		va_copy(again, ap);
		assert_int_equal(buf_vprintf(&b, fmt, again), fits ? 0 : -1);
		va_end(again);
		assert_int_equal(b.full, !fits);
		assert_int_equal(b.len, fits ? 1 + n : 1);
		assert_string_equal(b.data + 1, fits ? want : "");
		buf_release(&b);
	}
	va_end(ap);
}

static void as_printf(void **state)
{
	(void)state;
	const char *volatile none = NULL; /* as of an empty slice */
	as_library("%s", "");
	as_library("plain");
	as_library("%s%s-%s", "one", "", "three");
	as_library("%.*s|%.*s|%.*s", 2, "abcdef", 0, none, 9, "ab\0cd");
	as_library("%.*s", -1, "negative: all of it");
	as_library("100%% of %c%c", 'a', 'z');
	as_library("%d %d %d %d", 0, -7, INT_MAX, INT_MIN);
	as_library("%u %u", 0u, UINT_MAX);
	as_library("%zu %zu", (size_t)0, SIZE_MAX);
	/* From the first other one on by the library, with what is left of the arguments. */
	as_library("%s %.1f %s %d", "a", 2.25, "b", 3);
	as_library("%s %5s %-4d|%02u %x %lld", "a", "b", 3, 4u, 255u, -5LL);
	as_library("%.3s %.*g %s", "abcdef", 3, 1.0 / 3, "end");
}

static void visible(void **state)
{
	(void)state;
	static const struct {
		const char *text;
		size_t most;
		const char *want;
	} rows[] = {
		{ "plain", 10, "plain" },
		{ "plain", 5, "plain" },
		{ "plain", 4, "plai..." },
		{ "a\tb\n\x1b[31m\x7f", 20, "a\\x09b\\x0a\\x1b[31m\\x7f" },
		{ "\xc2\x9b", 9, "\\x9b" },                /* a control of the second set */
		{ "\xe2\x80\xae" "abc", 9, "\\u202e" "abc" }, /* turns the line around */
		{ "a\xe2\x80\x8b" "b", 9, "a\\u200bb" },
		{ "\xef\xbb\xbf", 9, "\\ufeff" },
		{ "caf\xe9", 9, "caf\\xe9" },
		{ "\xe8\x8a\xb1", 1, "\xe8\x8a\xb1" },
		{ "\xc2\xad\xc3\xa9", 9, "\xc2\xad\xc3\xa9" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct buf b;
		buf_init(&b, 100);
		assert_int_equal(buf_visible(&b, str_of(rows[i].text), rows[i].most), 0);
		assert_text(buf_slice(&b), rows[i].want);
		buf_release(&b);
	}
	struct buf b;
	buf_init(&b, 6);
	assert_int_equal(buf_visible(&b, STR("ab\x01\x02"), 9), -1);
	assert_text(buf_slice(&b), "ab\\x01");
	buf_release(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(grows), cmocka_unit_test(kinds), cmocka_unit_test(caps),
		cmocka_unit_test(printf_edges),
		cmocka_unit_test(as_printf), cmocka_unit_test(visible),
	};
	return cmocka_run_group_tests_name("buf", tests, NULL, NULL);
}

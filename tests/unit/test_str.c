/* Slices, UTF-8, widths, folding, edit distance. */
#include "base/str.h"

#include "base/mem.h"
#include "help.h"

static void slices(void **state)
{
	(void)state;
	assert_int_equal(str_of(NULL).n, 0);
	assert_true(str_eq(STR_NONE, STR("")));
	assert_true(str_eq(STR("ab"), str_of("ab")));
	assert_false(str_eq(STR("ab"), STR("abc")));
	assert_false(str_eq(STR("ab"), STR("ac")));
	assert_true(str_is(STR("ab"), "ab"));
	assert_false(str_is(STR("ab"), "a"));
	assert_int_equal(str_cmp(STR("a"), STR("b")), -1);
	assert_int_equal(str_cmp(STR("b"), STR("a")), 1);
	assert_int_equal(str_cmp(STR("a"), STR("ab")), -1);
	assert_int_equal(str_cmp(STR("a"), STR("a")), 0);
	assert_int_equal(str_cmp(STR_NONE, STR("")), 0);
	assert_int_equal(str_cmp(STR("z"), STR("\xc3\xa9")), -1); /* bytes, not signed chars */
	assert_true(str_starts(STR("pieces"), "pie"));
	assert_true(str_starts(STR_NONE, ""));
	assert_false(str_starts(STR("pi"), "pie"));
	assert_text(str_trim(STR(" \t a b\t ")), "a b");
	assert_text(str_trim(STR(" \t ")), "");
	assert_text(str_trim(STR_NONE), "");
}

static void hashes(void **state)
{
	(void)state;
	/* FNV-1a test vectors, 64 bits (Fowler, Noll, Vo; RFC 9923, from memory). */
	assert_true(str_hash(STR("")) == UINT64_C(0xcbf29ce484222325));
	assert_true(str_hash(STR("a")) == UINT64_C(0xaf63dc4c8601ec8c));
	assert_true(str_hash(STR("foobar")) == UINT64_C(0x85944171f73967e8));
}

/* The Unicode Standard, Table 3-7, Well-Formed UTF-8 Byte Sequences: the edges of
 * each row, within and just outside. */
static void utf8(void **state)
{
	(void)state;
	static const struct {
		const char *text;
		size_t bad; /* offset, or SIZE_MAX when all is well */
	} rows[] = {
		{ "", SIZE_MAX },
		{ "plain text", SIZE_MAX },
		{ "\x7f", SIZE_MAX },
		{ "\xc2\x80", SIZE_MAX },
		{ "\xdf\xbf", SIZE_MAX },
		{ "\xe0\xa0\x80", SIZE_MAX },
		{ "\xed\x9f\xbf", SIZE_MAX },
		{ "\xee\x80\x80", SIZE_MAX },
		{ "\xef\xbf\xbf", SIZE_MAX },
		{ "\xf0\x90\x80\x80", SIZE_MAX },
		{ "\xf4\x8f\xbf\xbf", SIZE_MAX },
		{ "\x80", 0 },
		{ "abcdefgh\xbf", 8 },
		{ "\xc0\x80", 0 },         /* overlong NUL */
		{ "\xc1\xbf", 0 },         /* overlong */
		{ "a\xc2", 1 },            /* cut short */
		{ "\xc2" "a", 0 },
		{ "\xe0\x9f\xbf", 0 },     /* overlong */
		{ "\xe2\x82", 0 },         /* cut short */
		{ "\xed\xa0\x80", 0 },     /* surrogate */
		{ "\xed\xbf\xbf", 0 },
		{ "\xf0\x8f\xbf\xbf", 0 }, /* overlong */
		{ "\xf4\x90\x80\x80", 0 }, /* past U+10FFFF */
		{ "\xf5\x80\x80\x80", 0 },
		{ "ok \xff", 3 },
		{ "caf\xe9", 3 },          /* Latin-1 */
		{ "Stroh\xe8\x8a\xb1\x80", 8 },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct str s = str_of(rows[i].text);
		size_t want = rows[i].bad == SIZE_MAX ? s.n : rows[i].bad;
		if (str_utf8_bad(s) != want)
			fail_msg("row %zu: %zu, want %zu", i, str_utf8_bad(s), want);
	}
	assert_int_equal(str_utf8_bad((struct str){ "a\0b", 3 }), 3);
}

/* Any place in any alignment: the run over whole words must not skip a byte. */
static void utf8_alignment(void **state)
{
	(void)state;
	char text[64];
	for (size_t n = 0; n < sizeof text; n++) {
		memset(text, 'a', sizeof text);
		assert_int_equal(str_utf8_bad((struct str){ text, n }), n);
		for (size_t bad = 0; bad < n; bad++) {
			text[bad] = (char)0xff;
			assert_int_equal(str_utf8_bad((struct str){ text, n }), bad);
			text[bad] = 'a';
		}
	}
}

static void walking(void **state)
{
	(void)state;
	struct str s = STR("a\xe8\x8a\xb1\xff" "b");
	int32_t code = 0;
	assert_int_equal(str_next(s, 0, &code), 1);
	assert_int_equal(code, 'a');
	assert_int_equal(str_next(s, 1, &code), 3);
	assert_int_equal(code, 0x82b1);
	assert_int_equal(str_next(s, 4, &code), 1);
	assert_int_equal(code, -1);
	assert_int_equal(str_next(s, 5, &code), 1);
	assert_int_equal(code, 'b');
	assert_int_equal(str_next(s, 6, &code), 0);
	assert_int_equal(str_next(STR_NONE, 0, &code), 0);

	assert_int_equal(str_chars(s, 0), 0);
	assert_int_equal(str_chars(s, 1), 1);
	assert_int_equal(str_chars(s, 4), 2);
	assert_int_equal(str_chars(s, 99), 4);
}

static void widths(void **state)
{
	(void)state;
	static const struct {
		const char *text;
		size_t width;
	} rows[] = {
		{ "", 0 },
		{ "Strawflower", 11 },
		{ "\xc3\xa9", 1 },                          /* e acute, composed */
		{ "e\xcc\x81", 1 },                         /* e and combining acute */
		{ "\xe8\x8a\xb1\xe6\x9d\x9f", 4 },          /* two wide characters */
		{ "\xf0\x9f\x8c\xbb", 2 },                  /* sunflower */
		{ "\x1b[0m\x7f", 3 },                       /* controls take no room */
		{ "a\xe2\x80\x8b" "b", 2 },                 /* zero width space */
		{ "caf\xe9", 4 },                           /* a stray byte shows as one mark */
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_int_equal(str_width(str_of(rows[i].text)), rows[i].width);
}

static void fitting(void **state)
{
	(void)state;
	struct str s = STR("ab\xe8\x8a\xb1" "e\xcc\x81z");
	static const size_t want[] = { 0, 1, 2, 2, 5, 8, 9, 9 }; /* by width */
	for (size_t w = 0; w < COUNT(want); w++) {
		assert_int_equal(str_fit(s, w), want[w]);
		assert_true(str_width((struct str){ s.p, str_fit(s, w) }) <= w);
	}
	assert_int_equal(str_fit(STR_NONE, 5), 0);
}

static void folding(void **state)
{
	(void)state;
	static const struct {
		const char *a, *b;
		bool same;
	} rows[] = {
		{ "Strawflower", "STRAWFLOWER", true },
		{ "  straw \t flower ", "Straw flower", true },
		{ "straw flower", "strawflower", false },
		{ "", " \t ", true },
		{ "Caf\xc3\xa9", "cafe\xcc\x81", true },             /* composed, decomposed */
		{ "caf\xc3\xa9", "cafe", false },
		{ "STRASSE", "stra\xc3\x9f" "e", true },             /* sharp s */
		{ "\xce\xa3", "\xcf\x82", true },                    /* sigma, final sigma */
		{ "Rose\xc2\xa0Gold", "rose gold", true },           /* no-break space */
		{ "\xe3\x80\x80x", "x", true },                      /* wide space */
		{ "\xc2\x85x", "x", true },                          /* next line, U+0085 */
		{ "\xef\xac\x81" "a", "fia", true },                 /* casefold opens the fi ligature */
		{ "\xc2\xb2", "2", false },                          /* no compatibility forms */
		{ "Hare's-tail", "hare\xe2\x80\x99s-TAIL", true }, /* curly */
		{ "\xe2\x80\x98n", "\xca\xbcn", true },
		{ "\xe1\xbb\xb8", "\xe1\xbb\xb9", true },            /* Y tilde */
		{ "\xcc\x81\xcc\xa7" "c", "c", false },
		{ "c\xcc\xa7\xcc\x81", "c\xcc\x81\xcc\xa7", true },  /* marks in either order */
	};
	struct arena a;
	arena_init(&a);
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct str x = str_fold(&a, str_of(rows[i].a)), y = str_fold(&a, str_of(rows[i].b));
		if (str_eq(x, y) != rows[i].same)
			fail_msg("\"%s\" and \"%s\"", rows[i].a, rows[i].b);
		/* Folding a fold changes nothing. */
		assert_true(str_eq(str_fold(&a, x), x));
		assert_int_equal(x.p[x.n], '\0');
	}
	assert_text(str_fold(&a, STR(" A\xff B ")), " A\xff B "); /* bad bytes: as it is */
	assert_text(str_fold(&a, STR_NONE), "");
	assert_text(str_fold(&a, STR("\v\f\r\nA\n")), "a");
	assert_text(str_fold(&a, STR("\xc3\x89 \xe2\x80\x83 B")), "\xc3\xa9 b");
	arena_release(&a);
}

/* The definition, by plain recursion. */
static size_t slow_distance(struct str a, struct str b)
{
	if (a.n == 0 || b.n == 0)
		return a.n + b.n;
	struct str a1 = { a.p, a.n - 1 }, b1 = { b.p, b.n - 1 };
	size_t best = slow_distance(a1, b1) + (a.p[a.n - 1] != b.p[b.n - 1]);
	size_t d = slow_distance(a1, b) + 1;
	best = d < best ? d : best;
	d = slow_distance(a, b1) + 1;
	best = d < best ? d : best;
	if (a.n > 1 && b.n > 1 && a.p[a.n - 1] == b.p[b.n - 2] && a.p[a.n - 2] == b.p[b.n - 1]) {
		d = slow_distance((struct str){ a.p, a.n - 2 }, (struct str){ b.p, b.n - 2 }) + 1;
		best = d < best ? d : best;
	}
	return best;
}

static void distances(void **state)
{
	(void)state;
	static const struct {
		const char *a, *b;
		size_t limit, want;
	} rows[] = {
		{ "per", "prr", 3, 1 },       { "per", "pre", 3, 1 },    { "", "", 0, 0 },
		{ "", "abc", 5, 3 },          { "", "abc", 2, 3 },       { "kitten", "sitting", 9, 3 },
		{ "kitten", "sitting", 2, 3 }, { "kitten", "sitting", 1, 2 }, { "abc", "abc", 0, 0 },
		{ "abc", "abd", 0, 1 },       { "Statice", "Static", 1, 1 }, { "ca", "abc", 9, 3 },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_int_equal(str_distance(str_of(rows[i].a), str_of(rows[i].b), rows[i].limit), rows[i].want);
	assert_int_equal(str_distance(STR("abc"), STR("xyz"), SIZE_MAX), 3);

	/* All pairs of words of up to 4 letters out of 3, against the definition. */
	char words[121][5] = { "" };
	size_t n = 1;
	for (size_t i = 0; n < COUNT(words); i++) {
		for (char c = 'a'; c <= 'c'; c++, n++) {
			memcpy(words[n], words[i], sizeof words[n]);
			words[n][strlen(words[i])] = c;
		}
	}
	for (size_t i = 0; i < n; i++) {
		for (size_t j = 0; j < n; j++) {
			struct str a = str_of(words[i]), b = str_of(words[j]);
			size_t true_distance = slow_distance(a, b);
			for (size_t limit = 0; limit < 5; limit++) {
				size_t want = true_distance <= limit ? true_distance : limit + 1;
				if (str_distance(a, b, limit) != want)
					fail_msg("%s %s limit %zu", words[i], words[j], limit);
			}
		}
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(slices),         cmocka_unit_test(hashes),  cmocka_unit_test(utf8),
		cmocka_unit_test(utf8_alignment), cmocka_unit_test(walking), cmocka_unit_test(widths),
		cmocka_unit_test(fitting),        cmocka_unit_test(folding), cmocka_unit_test(distances),
	};
	return cmocka_run_group_tests_name("str", tests, NULL, NULL);
}

/* Diagnostics: places, carets, order, hints. */
#include "base/diag.h"

#include "base/buf.h"
#include "help.h"

struct fixture {
	struct arena arena;
	struct diag diag;
	struct buf out;
};

static int set_up(void **state)
{
	static struct fixture f;
	arena_init(&f.arena);
	diag_init(&f.diag, &f.arena);
	buf_init(&f.out, 1 << 20);
	*state = &f;
	return 0;
}

static int tear_down(void **state)
{
	struct fixture *f = *state;
	buf_release(&f->out);
	arena_release(&f->arena);
	return 0;
}

/* The span of the first `word` in the source. */
static struct span span_of(struct fixture *f, uint32_t file, const char *word)
{
	struct str text = f->diag.sources[file - 1].text;
	size_t n = strlen(word);
	for (size_t i = 0; i + n <= text.n; i++) {
		if (memcmp(text.p + i, word, n) == 0)
			return (struct span){ file, (uint32_t)i, (uint32_t)n };
	}
	fail_msg("no \"%s\"", word);
	return SPAN_NONE;
}

static uint32_t source(struct fixture *f, const char *name, const char *text)
{
	return diag_source(&f->diag, str_of(name), str_of(text));
}

static void expect(struct fixture *f, const char *want)
{
	diag_print(&f->diag, &f->out);
	assert_text(buf_slice(&f->out), want);
}

/* The form that diag.h promises. */
static void form(void **state)
{
	struct fixture *f = *state;
	uint32_t crops = source(f, "crops.txt", "crop Statice\n  costs     0.24 prr stem boxed\n");
	assert_int_equal(crops, 1);
	struct span at = span_of(f, crops, "prr");
	assert_int_equal(diag_error(&f->diag, at, "%s is no word that can stand here.",
	                            diag_quote(&f->diag, STR("prr"))), -1);
	diag_hint(&f->diag, "did you mean `%s`?", "per");
	assert_int_equal(f->diag.errors, 1);
	expect(f, "crops.txt:2:18: error: `prr` is no word that can stand here.\n"
	          "    costs     0.24 prr stem boxed\n"
	          "                   ^~~\n"
	          "  hint: did you mean `per`?\n");
}

static void second_place(void **state)
{
	struct fixture *f = *state;
	uint32_t crops = source(f, "crops.txt", "crop Statice\n\ncrop STATICE\n");
	diag_error(&f->diag, span_of(f, crops, "STATICE"), "The crop `STATICE` is defined twice.");
	diag_also(&f->diag, span_of(f, crops, "Statice"), "first defined here");
	expect(f, "crops.txt:3:6: error: The crop `STATICE` is defined twice.\n"
	          "  crop STATICE\n"
	          "       ^~~~~~~\n"
	          "crops.txt:1:6: note: first defined here\n");
}

static void table_column(void **state)
{
	struct fixture *f = *state;
	uint32_t stock = source(f, "stock.csv", "crop;boxed\r\nStatice;12.11.26\r\n");
	diag_error(&f->diag, span_of(f, stock, "12.11.26"), "`12.11.26` is no date.");
	diag_column(&f->diag, STR("boxed\x1b"));
	expect(f, "stock.csv:2:9: error: column \"boxed\\x1b\": `12.11.26` is no date.\n"
	          "  Statice;12.11.26\n"
	          "          ^~~~~~~~\n");
}

static void levels(void **state)
{
	struct fixture *f = *state;
	uint32_t b = source(f, "b.txt", "one two\nthree\n");
	assert_int_equal(diag_add(&f->diag, DIAG_NOTE, (struct span){ b, 0, 0 }, "Skipped."), 0);
	assert_int_equal(diag_warn(&f->diag, span_of(f, b, "three"), "Odd."), 0);
	diag_error(&f->diag, span_of(f, b, "two"), "Bad.");
	diag_error(&f->diag, SPAN_NONE, "No folder.");
	assert_int_equal(f->diag.errors, 2);
	assert_int_equal(f->diag.warnings, 1);
	expect(f, "error: No folder.\n"
	          "b.txt:1:5: error: Bad.\n"
	          "  one two\n"
	          "      ^~~\n"
	          "b.txt:2:1: warning: Odd.\n"
	          "  three\n"
	          "  ^~~~~\n"
	          "b.txt:1:1: note: Skipped.\n"
	          "  one two\n"
	          "  ^\n");
}

/* Files in the order they were taken in, then places, whatever came first. */
static void order_and_repeats(void **state)
{
	struct fixture *f = *state;
	uint32_t z = source(f, "z.txt", "a b\n"), a = source(f, "a.txt", "c d\n");
	diag_error(&f->diag, span_of(f, a, "d"), "Fourth.");
	diag_error(&f->diag, span_of(f, z, "b"), "Second.");
	diag_error(&f->diag, span_of(f, a, "c"), "Third.");
	diag_error(&f->diag, span_of(f, z, "a"), "First.");
	diag_error(&f->diag, span_of(f, a, "c"), "Third.");
	diag_hint(&f->diag, "the one with the hint stays");
	diag_error(&f->diag, span_of(f, a, "c"), "Third.");
	diag_warn(&f->diag, span_of(f, a, "c"), "Third.");
	assert_int_equal(f->diag.errors, 6);
	expect(f, "z.txt:1:1: error: First.\n  a b\n  ^\n"
	          "z.txt:1:3: error: Second.\n  a b\n    ^\n"
	          "a.txt:1:1: error: Third.\n  c d\n  ^\n  hint: the one with the hint stays\n"
	          "a.txt:1:3: error: Fourth.\n  c d\n    ^\n"
	          "a.txt:1:1: warning: Third.\n  c d\n  ^\n");
	assert_int_equal(f->diag.errors, 4);
	assert_int_equal(f->diag.warnings, 1);
	assert_int_equal(f->diag.nitems, 5);
}

static void counts_the_rest(void **state)
{
	struct fixture *f = *state;
	for (int i = 0; i < 23; i++)
		diag_error(&f->diag, SPAN_NONE, "Error %02d.", i);
	diag_warn(&f->diag, SPAN_NONE, "Warning.");
	diag_print(&f->diag, &f->out);
	size_t lines = 0;
	for (size_t i = 0; i < f->out.len; i++)
		lines += f->out.data[i] == '\n';
	assert_int_equal(lines, 21);
	const char *end = strstr(f->out.data, "error: Error 19.\n");
	assert_non_null(end);
	assert_string_equal(end, "error: Error 19.\n3 more errors and 1 more warning not shown.\n");
}

static void exactly_twenty(void **state)
{
	struct fixture *f = *state;
	for (int i = 0; i < 20; i++)
		diag_warn(&f->diag, SPAN_NONE, "Warning %02d.", i);
	diag_print(&f->diag, &f->out);
	assert_null(strstr(f->out.data, "not shown"));
	diag_add(&f->diag, DIAG_NOTE, SPAN_NONE, "Skipped.");
	buf_clear(&f->out);
	diag_print(&f->diag, &f->out);
	assert_non_null(strstr(f->out.data, "\n1 more note not shown.\n"));
}

/* ---- the line and the caret ---- */

static void caret_lines(void **state)
{
	struct fixture *f = *state;
	static const struct {
		const char *text, *word, *want;
	} rows[] = {
		{ "\tcosts\t1 x", "x", "t:1:10: error: E.\n"
		                       "          costs   1 x\n"
		                       "                    ^\n" },
		{ "\t", "\t", "t:1:1: error: E.\n" }, /* nothing to show on a blank line */
		{ "a\tb", "\t", "t:1:2: error: E.\n  a       b\n   ^~~~~~~\n" },
		{ "\xe8\x8a\xb1\xe6\x9d\x9f bad", "bad", "t:1:4: error: E.\n"
		                                         "  \xe8\x8a\xb1\xe6\x9d\x9f bad\n"
		                                         "       ^~~\n" },
		{ "x \xe8\x8a\xb1", "\xe8\x8a\xb1", "t:1:3: error: E.\n  x \xe8\x8a\xb1\n    ^~\n" },
		{ "e\xcc\x81 bad", "bad", "t:1:4: error: E.\n  e\xcc\x81 bad\n    ^~~\n" },
		{ "\x1b[31m bad", "bad", "t:1:7: error: E.\n  \\x1b[31m bad\n           ^~~\n" },
		{ "caf\xe9 bad", "\xe9", "t:1:4: error: E.\n  caf\\xe9 bad\n     ^~~~\n" },
		{ "one\ntwo bad\nx", "bad\nx", "t:2:5: error: E.\n  two bad\n      ^~~\n" },
		{ "crlf bad\r\nx", "bad\r\nx", "t:1:6: error: E.\n  crlf bad\n       ^~~\n" },
		{ "crlf\r\nx", "\r\n", "t:1:5: error: E.\n  crlf\n      ^\n" },
		{ "lf\nx", "\n", "t:1:3: error: E.\n  lf\n    ^\n" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		diag_init(&f->diag, &f->arena);
		buf_clear(&f->out);
		uint32_t t = source(f, "t", rows[i].text);
		diag_error(&f->diag, span_of(f, t, rows[i].word), "E.");
		expect(f, rows[i].want);
	}
}

static void ends(void **state)
{
	struct fixture *f = *state;
	uint32_t t = source(f, "t", "a\nlast"), e = source(f, "empty", ""), n = source(f, "n", "a\n");
	diag_error(&f->diag, (struct span){ t, 6, 0 }, "At the end.");
	diag_error(&f->diag, (struct span){ t, 4000000000, 7 }, "Past the end.");
	diag_error(&f->diag, (struct span){ e, 0, 0 }, "Empty.");
	diag_error(&f->diag, (struct span){ n, 2, 0 }, "Behind the last line.");
	diag_error(&f->diag, (struct span){ 99, 0, 0 }, "No such source.");
	expect(f, "t:2:5: error: At the end.\n  last\n      ^\n"
	          "t:2:5: error: Past the end.\n  last\n      ^\n"
	          "empty:1:1: error: Empty.\n"
	          "n:2:1: error: Behind the last line.\n"
	          "error: No such source.\n");
	struct place p = diag_place(&f->diag, (struct span){ n, 2, 0 });
	assert_int_equal(p.line, 2);
	assert_text(p.text, "");
	assert_int_equal(diag_place(&f->diag, SPAN_NONE).line, 0);
}

/* Every place of a long line, of narrow and of wide characters and of tabs: no
 * line passes 100 columns and the caret stands below the marked character. */
static void long_lines(void **state)
{
	struct fixture *f = *state;
	static const char *const fill[] = { "x", "\xe8\x8a\xb1", "\t", "\x01", "ab\xcc\x81" };
	for (size_t k = 0; k < COUNT(fill); k++) {
		for (size_t before = 0; before < 1200; before += before < 150 ? 1 : 37) {
			struct buf line;
			buf_init(&line, 10000);
			for (size_t i = 0; i < before; i++)
				buf_text(&line, fill[k]);
			buf_text(&line, "@@");
			for (size_t i = 0; i < 300; i++)
				buf_text(&line, fill[(k + i) % COUNT(fill)]);
			diag_init(&f->diag, &f->arena);
			buf_clear(&f->out);
			uint32_t t = source(f, "t", arena_copy(&f->arena, line.data, line.len));
			buf_release(&line);
			diag_error(&f->diag, span_of(f, t, "@@"), "E.");
			diag_print(&f->diag, &f->out);

			const char *shown = strchr(f->out.data, '\n') + 1;
			const char *caret = strchr(shown, '\n') + 1;
			struct str first = { shown, (size_t)(caret - shown) - 1 };
			const char *mark = memchr(shown, '@', first.n);
			assert_non_null(mark);
			assert_true(str_width(first) <= 100);
			assert_int_equal(strlen(caret) <= 101, 1);
			size_t column = str_width((struct str){ shown, (size_t)(mark - shown) });
			assert_int_equal(strspn(caret, " "), column);
			assert_string_equal(caret + column, "^~\n");
		}
	}
}

static void long_lines_exact(void **state)
{
	struct fixture *f = *state;
	char *text = arena_alloc(&f->arena, 1000, 1);
	memset(text, 'x', 98);
	uint32_t fits = source(f, "fits", arena_copy(&f->arena, text, 98));
	memset(text, 'x', 998);
	uint32_t cut = source(f, "cut", text);
	diag_error(&f->diag, (struct span){ fits, 97, 1 }, "E.");
	diag_error(&f->diag, (struct span){ cut, 10, 900 }, "E.");
	diag_print(&f->diag, &f->out);
	const char *line = strchr(f->out.data, '\n') + 1;
	assert_int_equal(strcspn(line, "\n"), 100);
	assert_null(strstr(f->out.data, "x...x"));
	line = strstr(f->out.data, "cut:1:11: error: E.\n");
	assert_non_null(line);
	line = strchr(line, '\n') + 1;
	assert_int_equal(strcspn(line, "\n"), 100);
	assert_memory_equal(line + 97, "...\n", 4);
	line = strchr(line, '\n') + 1;
	assert_int_equal(strcspn(line, "\n"), 100);
	assert_memory_equal(line, "            ^~~", 15);
}

/* ---- quoting, hints ---- */

static void quoting(void **state)
{
	struct fixture *f = *state;
	static const char *const rows[][2] = {
		{ "abc", "`abc`" },
		{ "", "``" },
		{ "a\x1b[31m\n", "`a\\x1b[31m\\x0a`" },
		{ "\xe2\x80\xaegpj.exe", "`\\u202egpj.exe`" },
		{ "caf\xe9", "`caf\\xe9`" },
		{ "1234567890123456789012345678901234567890", "`1234567890123456789012345678901234567890`" },
		{ "12345678901234567890123456789012345678901", "`1234567890123456789012345678901234567890...`" },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_string_equal(diag_quote(&f->diag, str_of(rows[i][0])), rows[i][1]);
	/* The cut falls between characters. */
	struct buf b;
	buf_init(&b, 1000);
	for (int i = 0; i < 50; i++)
		buf_text(&b, "\xe8\x8a\xb1");
	const char *quoted = diag_quote(&f->diag, buf_slice(&b));
	assert_int_equal(strlen(quoted), 1 + 40 * 3 + 3 + 1);
	buf_release(&b);
}

static void long_sentence(void **state)
{
	struct fixture *f = *state;
	diag_error(&f->diag, SPAN_NONE, "%5000s", "");
	expect(f, "error: The message is too long to show.\n");
}

static void nothing_added(void **state)
{
	struct fixture *f = *state;
	diag_hint(&f->diag, "no message to hint at");
	diag_also(&f->diag, SPAN_NONE, "nor this");
	diag_column(&f->diag, STR("nor this"));
	expect(f, "");
}

static struct str candidate(void *ctx, size_t i)
{
	const char *const *words = ctx;
	return str_of(words[i]);
}

static void nearest(void **state)
{
	(void)state;
	static const char *words[] = { "costs", "loses", "keeps", "hangs", "per", "also", NULL };
	static const char *const rows[][2] = {
		{ "prr", "per" },   { "pre", "per" },  { "cost", "costs" }, { "csots", "costs" },
		{ "hangs", "hangs" }, { "keep", "keeps" }, { "lose", "loses" }, { "xyz", "" },
		{ "p", "" },        { "", "" },        { "statice", "" },  { "loss", "loses" },
		{ "heeps", "keeps" }, { "cxxts", "" },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_text(diag_nearest(str_of(rows[i][0]), candidate, words), rows[i][1]);
	/* Nearer beats earlier; the earlier of equals stays. */
	static const char *two[] = { "statime", "stagice", "static", NULL };
	assert_text(diag_nearest(STR("statice"), candidate, two), "statime");
	static const char *nearer[] = { "stttice12", "statices", NULL };
	assert_text(diag_nearest(STR("statice"), candidate, nearer), "statices");
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
	const struct CMUnitTest tests[] = {
		TEST(form),       TEST(second_place),      TEST(table_column),    TEST(levels),
		TEST(order_and_repeats), TEST(counts_the_rest), TEST(exactly_twenty), TEST(caret_lines),
		TEST(ends),       TEST(long_lines),        TEST(long_lines_exact), TEST(quoting),
		TEST(long_sentence), TEST(nothing_added),  TEST(nearest),
	};
	return cmocka_run_group_tests_name("diag", tests, NULL, NULL);
}

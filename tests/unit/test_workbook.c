/* The workbook: what its door lets through, and what its check of a written file sees. */
#include "report/workbook/sheet.h"
#include "report/workbook/verify.h"

#include <math.h>

#include <zlib.h>

#include "base/buf.h"
#include "base/file.h"
#include "help.h"

static struct book_style style(void)
{
	return (struct book_style){ .on = date_from_civil(2026, 11, 25), .title = "A farm",
		                    .farm = STR("Saltgrass & Sons"), .currency = "EUR", .digits = 2 };
}

/* ---- a book on disk ---- */

struct trial {
	struct arena arena;
	char *folder;
	const char *path;
	struct book *book;
	struct sheet *sheet;
};

static void begin(struct trial *t)
{
	struct book_style s = style();
	arena_init(&t->arena);
	t->folder = help_folder();
	t->path = help_path(t->folder, "book.xlsx");
	t->book = book_begin(&t->arena, t->path, &s);
	t->sheet = book_sheet(t->book, "Stem costs");
}

static void end(struct trial *t)
{
	help_remove(t->folder);
	arena_release(&t->arena);
}

/* The book must fail, saying `words`. */
static void must_fail(struct trial *t, const char *words)
{
	assert_int_equal(book_finish(t->book), -1);
	if (!strstr(book_why(t->book), words))
		print_error("said: %s\nwanted: %s\n", book_why(t->book), words);
	assert_non_null(strstr(book_why(t->book), words));
	end(t);
}

/* Text of a member of the file, in the arena. */
static const char *member(struct arena *a, const char *path, const char *name)
{
	struct str file;
	struct file_error err;
	size_t n = strlen(name);
	assert_int_equal(file_read(a, path, &file, &err), 0);
	for (size_t at = 0; at + 30 + n < file.n; at++) {
		const unsigned char *p = (const unsigned char *)file.p + at;
		if (memcmp(p, "PK\3\4", 4) || memcmp(p + 30, name, n) || p[26] != n)
			continue;
		unsigned char *out = arena_alloc(a, 4000000, 1);
		z_stream z = { .next_in = (Bytef *)(uintptr_t)(p + 30 + n + p[28]),
			       .avail_in = (uInt)(file.n - at - 30 - n), .next_out = out,
			       .avail_out = 3999999 };
		assert_int_equal(inflateInit2(&z, -MAX_WBITS), Z_OK);
		assert_int_equal(inflate(&z, Z_FINISH), Z_STREAM_END);
		inflateEnd(&z);
		return (const char *)out;
	}
	fail_msg("no member %s", name);
	return NULL;
}

/* ---- guards ---- */

static void numbers_must_be_finite(void **state)
{
	(void)state;
	const double none[] = { (double)NAN, (double)INFINITY, -(double)INFINITY };
	for (size_t i = 0; i < COUNT(none); i++) {
		struct trial t;
		begin(&t);
		sheet_number(t.sheet, 4, 2, LOOK(PLAIN, MONEY), none[i]);
		must_fail(&t, "'Stem costs'!$C$5 would hold a number that is none");
		begin(&t);
		sheet_formula(t.sheet, 4, 2, LOOK(PLAIN, MONEY), none[i], "1/0");
		must_fail(&t, "'Stem costs'!$C$5 would hold a number that is none");
	}
}

static void first_error_sticks(void **state)
{
	(void)state;
	struct trial t;
	begin(&t);
	sheet_number(t.sheet, 0, 0, LOOK(PLAIN, ONE), (double)NAN);
	sheet_formula(t.sheet, 7, 7, LOOK(PLAIN, ONE), (double)NAN, "1");
	sheet_text(t.sheet, 2000000, 0, LOOK(PLAIN, TEXT), STR("off"));
	must_fail(&t, "$A$1 would");
}

static void addresses_must_be_on_the_sheet(void **state)
{
	(void)state;
	struct trial t;
	begin(&t);
	sheet_number(t.sheet, 1048575, 16383, LOOK(PLAIN, ONE), 1);
	assert_false(book_failed(t.book));
	sheet_number(t.sheet, 1048576, 0, LOOK(PLAIN, ONE), 1);
	must_fail(&t, "more rows than a sheet can hold");
}

static void formulas_have_a_length(void **state)
{
	(void)state;
	struct trial t;
	begin(&t);
	char *many = arena_alloc(&t.arena, 9000, 1);
	memset(many, '1', 8999);
	sheet_formula(t.sheet, 0, 0, LOOK(PLAIN, ONE), 1, "%s", many);
	must_fail(&t, "too long");
	begin(&t);
	sheet_formula(t.sheet, 0, 0, LOOK(PLAIN, ONE), 1, "%s", "");
	must_fail(&t, "empty");
}

static void names_are_names(void **state)
{
	(void)state;
	const char *good[] = { "in_wage", "_x", "Wage.full", "in_a1", "rate", "ROSE1234", "row", "cc" };
	const char *bad[] = { "", "1st", "a b", "A1", "xfd9", "R", "c", "R1C1", "rc", "R2", "c12", "wage-full",
		              "h\xc3\xa9", "true", "FALSE", "in_wage!", "a'b" };
	for (size_t i = 0; i < COUNT(good); i++) {
		if (!book_name_ok(good[i]))
			fail_msg("%s is a good name", good[i]);
	}
	for (size_t i = 0; i < COUNT(bad); i++) {
		if (book_name_ok(bad[i]))
			fail_msg("%s is no good name", bad[i]);
	}
	char long_one[300];
	memset(long_one, 'n', sizeof long_one);
	long_one[256] = '\0';
	assert_false(book_name_ok(long_one));
	long_one[255] = '\0';
	assert_true(book_name_ok(long_one));
}

static void names_are_unique(void **state)
{
	(void)state;
	struct trial t;
	begin(&t);
	for (uint32_t i = 0; i < 1000; i++) {
		char name[24];
		snprintf(name, sizeof name, "in_figure_%u", i);
		book_name(t.book, name, t.sheet, i, 0);
	}
	assert_false(book_failed(t.book));
	book_name(t.book, "IN_Figure_7", t.sheet, 1, 1);
	must_fail(&t, "Two cells would be called `IN_Figure_7`");
	begin(&t);
	book_name(t.book, "A1", t.sheet, 1, 1);
	must_fail(&t, "`A1` cannot be a cell's name");
}

static void sheet_names_follow_the_rules(void **state)
{
	(void)state;
	const char *bad[] = { "", "a/b", "a\\b", "a?b", "a*b", "a[b", "a]b", "a:b", "'a", "a'", "History", "a\nb",
		              "x\xff", "more than thirty-one characters!" };
	assert_true(book_sheet_name_ok("Cost build-up"));
	assert_true(book_sheet_name_ok("thirty-one characters and no mo"));
	assert_true(book_sheet_name_ok("Bob's"));
	for (size_t i = 0; i < COUNT(bad); i++) {
		if (book_sheet_name_ok(bad[i]))
			fail_msg("%s is no good sheet name", bad[i]);
	}
	struct trial t;
	begin(&t);
	book_sheet(t.book, "STEM costs");
	must_fail(&t, "Two sheets would be called");
	begin(&t);
	struct sheet *s = book_sheet(t.book, "Bob's");
	assert_string_equal(cell_far(s, 0, 26), "'Bob''s'!$AA$1");
	assert_string_equal(cell(s, 9, 701), "ZZ10");
	assert_string_equal(cell(s, 9, 702), "AAA10");
	assert_string_equal(cells_far(t.sheet, 4, 8, 1), "'Stem costs'!$B$5:$B$9");
	assert_string_equal(cells_down(t.sheet, 4, 4, 1), "$B$5");
	book_drop(t.book);
	end(&t);
}

static void text_is_made_safe(void **state)
{
	(void)state;
	static const struct {
		struct str in;
		const char *out;
	} rows[] = {
		{ { "plain", 5 }, "plain" },
		{ { "=1+1", 4 }, "=1+1" },
		{ { "Pap\xc3\xaaterie \xf0\x9f\x8c\xbe", 15 }, "Pap\xc3\xaaterie \xf0\x9f\x8c\xbe" },
		{ { "a\xff" "b\xc3", 4 }, "a\\xffb\\xc3" },       /* bytes that are no UTF-8 */
		{ { "\xed\xa0\x80", 3 }, "\\xed\\xa0\\x80" },     /* half a surrogate pair */
		{ { "a\0b\x1b[1m\x7f", 8 }, "a\\x00b\\x1b[1m\\x7f" },
		{ { "a\r\nb\tc\rd", 8 }, "a\nb\tc\\x0dd" },
		{ { "\xef\xbf\xbe\xc2\x85", 5 }, "\\ufffe\\x85" }, /* no XML characters, a C1 control */
		{ { "_x0041_ _x004_", 14 }, "_x005F_x0041_ _x004_" },
	};
	struct arena a;
	arena_init(&a);
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_string_equal(cell_text(&a, rows[i].in), rows[i].out);
	arena_release(&a);
}

static void long_text_is_cut_visibly(void **state)
{
	(void)state;
	struct arena a;
	arena_init(&a);
	char *many = arena_alloc(&a, 40001, 1);
	memset(many, 'x', 40000);
	const char *fits = cell_text(&a, (struct str){ many, 32767 });
	assert_int_equal(strlen(fits), 32767);
	assert_int_equal(fits[32766], 'x');
	const char *cut = cell_text(&a, (struct str){ many, 32768 });
	assert_int_equal(strlen(cut), 32767);
	assert_string_equal(cut + 32767 - 6, " [...]");
	/* Characters beyond the first plane are two units each. */
	for (size_t i = 0; i < 40000; i += 4)
		memcpy(many + i, "\xf0\x9f\x8c\xbe", 4);
	struct buf b;
	buf_init(&b, 200000);
	for (int i = 0; i < 4; i++)
		buf_add(&b, many, 40000);
	cut = cell_text(&a, buf_slice(&b));
	size_t n = strlen(cut);
	assert_string_equal(cut + n - 6, " [...]");
	assert_int_equal((n - 6) % 4, 0);
	assert_true((n - 6) / 4 * 2 + 6 <= 32767 && (n - 6) / 4 * 2 + 6 > 32760);
	buf_release(&b);
	arena_release(&a);
}

/* ---- what is in the file ---- */

static void write_all_kinds(struct trial *t)
{
	begin(t);
	sheet_text(t->sheet, 0, 0, LOOK(TITLE, TEXT), STR("=HYPERLINK(\"http://x\")"));
	sheet_text(t->sheet, 0, 1, LOOK(PLAIN, TEXT), STR("+1 & <b>"));
	sheet_number(t->sheet, 1, 0, LOOK(INPUT, PERCENT), 0.1 + 0.2);
	sheet_number(t->sheet, 1, 1, LOOK(PLAIN, ONE), -0.0);
	sheet_date(t->sheet, 1, 2, LOOK(PLAIN, DATE), date_from_civil(2026, 11, 25));
	sheet_formula(t->sheet, 2, 0, LOOK(PLAIN, CASH), 3.5, "%s*2", cell(t->sheet, 1, 0));
	sheet_formula_text(t->sheet, 2, 1, LOOK(PLAIN, TEXT), "past", "IF(A2>0,\"past\",\"\")");
	sheet_note(t->sheet, 2, 0, "twice the cell above");
	sheet_limit(t->sheet, 1, 0, 0, 0.95, "Out of range", "From 0% to 95%.");
	sheet_limit_dates(t->sheet, 1, 2, date_from_civil(1990, 1, 1), date_from_civil(2199, 12, 31),
	                  "No date", "A date.");
	sheet_redden(t->sheet, 1, 2, 0);
	sheet_filter(t->sheet, 0, 2, 2);
	sheet_freeze(t->sheet, 1, 1);
	sheet_width(t->sheet, 0, 20);
	book_name(t->book, "in_wage", t->sheet, 1, 0);
	struct chart c = { .kind = CHART_STACKED_BARS, .title = "Cost", .names = "piece", .values = "EUR",
		           .from = t->sheet, .first = 1, .last = 2, .name_col = 1, .nseries = 1,
		           .series = { { "stems", 0, 0x7E9382 } }, .width = 480, .height = 288 };
	sheet_chart(t->sheet, 5, 0, &c);
	if (book_failed(t->book))
		print_error("%s\n", book_why(t->book));
	assert_int_equal(book_finish(t->book), 0);
}

static void cells_are_what_they_were_given_as(void **state)
{
	(void)state;
	struct trial t;
	write_all_kinds(&t);
	const char *sheet = member(&t.arena, t.path, "xl/worksheets/sheet1.xml");
	const char *strings = member(&t.arena, t.path, "xl/sharedStrings.xml");
	const char *book = member(&t.arena, t.path, "xl/workbook.xml");
	assert_non_null(strstr(strings, "=HYPERLINK("));
	assert_non_null(strstr(strings, "+1 &amp; &lt;b&gt;"));
	assert_null(strstr(sheet, "HYPERLINK"));
	assert_non_null(strstr(sheet, "<f>A2*2</f><v>3.5</v>"));
	assert_non_null(strstr(sheet, "<v>46351</v>")); /* 2026-11-25 counted from 1899-12-30 */
	assert_non_null(strstr(sheet, "t=\"str\"><f>IF(A2&gt;0,\"past\",\"\")</f><v>past</v>"));
	assert_null(strstr(sheet, "<v>-0</v>"));
	assert_non_null(strstr(book, "<definedName name=\"in_wage\">'Stem costs'!$A$2</definedName>"));
	assert_non_null(strstr(member(&t.arena, t.path, "xl/styles.xml"), "#,##0.00 [$EUR]"));
	assert_non_null(strstr(member(&t.arena, t.path, "docProps/core.xml"), "2026-11-25T00:00:00Z"));
	assert_non_null(strstr(sheet, "Saltgrass &amp;&amp; Sons"));
	end(&t);
}

static void same_calls_same_bytes(void **state)
{
	(void)state;
	struct trial one, two;
	struct str a, b;
	struct file_error err;
	write_all_kinds(&one);
	write_all_kinds(&two);
	assert_int_equal(file_read(&one.arena, help_path(one.folder, "book.xlsx"), &a, &err), 0);
	assert_int_equal(file_read(&two.arena, help_path(two.folder, "book.xlsx"), &b, &err), 0);
	assert_true(str_eq(a, b));
	end(&one);
	end(&two);
}

/* ---- the check of a written file ---- */

static void whole_files_pass(void **state)
{
	(void)state;
	struct trial t;
	char why[200] = "";
	write_all_kinds(&t);
	if (verify_file(t.path, why, sizeof why))
		fail_msg("%s", why);
	assert_int_equal(verify_file(help_path(t.folder, "none.xlsx"), why, sizeof why), -1);
	end(&t);
}

static void cut_files_do_not_pass(void **state)
{
	(void)state;
	struct trial t;
	struct str file;
	struct file_error err;
	char why[200];
	write_all_kinds(&t);
	assert_int_equal(file_read(&t.arena, t.path, &file, &err), 0);
	for (size_t n = 0; n < file.n; n += n + 64 < file.n ? 7 : 1) {
		if (verify_book((struct str){ file.p, n }, why, sizeof why) == 0)
			fail_msg("a file cut to %zu of %zu bytes passes", n, file.n);
	}
	assert_int_equal(verify_book(file, why, sizeof why), 0);
	end(&t);
}

/* Every byte that carries content is covered by a CRC or by the ZIP's structure;
 * times, versions and attributes of members are not, and harmless. */
static void changed_files_do_not_pass(void **state)
{
	(void)state;
	struct trial t;
	struct str file;
	struct file_error err;
	char why[200];
	write_all_kinds(&t);
	assert_int_equal(file_read(&t.arena, t.path, &file, &err), 0);
	char *p = arena_copy(&t.arena, file.p, file.n);
	size_t from = 0, passed = 0, tried = 0;
	while (memcmp(p + from, "PK\3\4", 4))
		from++;
	size_t data = from + 30 + (unsigned char)p[from + 26];
	size_t packed = (size_t)(unsigned char)p[from + 18] + 256u * (unsigned char)p[from + 19];
	for (size_t i = data; i < data + packed; i++, tried++) {
		p[i] = (char)(p[i] ^ 0x15);
		passed += verify_book((struct str){ p, file.n }, why, sizeof why) == 0;
		p[i] = (char)(p[i] ^ 0x15);
	}
	assert_true(tried > 100);
	assert_int_equal(passed, 0);
	/* Anything else may change without a crash. */
	for (size_t i = 0; i < file.n; i += 3) {
		p[i] = (char)~p[i];
		verify_book((struct str){ p, file.n }, why, sizeof why);
		p[i] = (char)~p[i];
	}
	end(&t);
}

static void put_number(struct buf *b, size_t x, int bytes)
{
	for (int i = 0; i < bytes; i++, x >>= 8)
		buf_char(b, (char)(x & 0xff));
}

/* A ZIP of three stored members, one of which is `xml`. */
static struct str stored_zip(struct arena *a, const char *xml)
{
	const char *names[] = { "[Content_Types].xml", "xl/workbook.xml", "xl/worksheets/sheet1.xml" };
	const char *texts[] = { "<Types/>", "<workbook></workbook>", xml };
	struct buf b, list;
	buf_init(&b, 100000);
	buf_init(&list, 100000);
	for (size_t i = 0; i < COUNT(names); i++) {
		size_t n = strlen(texts[i]), at = b.len;
		uLong crc = crc32(crc32(0, NULL, 0), (const Bytef *)texts[i], (uInt)n);
		for (int central = 0; central < 2; central++) {
			struct buf *to = central ? &list : &b;
			buf_text(to, central ? "PK\1\2" : "PK\3\4");
			if (central)
				put_number(to, 20, 2);
			put_number(to, 20, 2), put_number(to, 0, 8);
			put_number(to, crc, 4), put_number(to, n, 4), put_number(to, n, 4);
			put_number(to, strlen(names[i]), 2), put_number(to, 0, 2);
			if (central)
				put_number(to, 0, 10), put_number(to, at, 4);
			buf_text(to, names[i]);
		}
		buf_text(&b, texts[i]);
	}
	size_t at = b.len;
	buf_add(&b, list.data, list.len);
	buf_text(&b, "PK\5\6");
	put_number(&b, 0, 4), put_number(&b, 3, 2), put_number(&b, 3, 2);
	put_number(&b, list.len, 4), put_number(&b, at, 4), put_number(&b, 0, 2);
	struct str out = { arena_copy(a, b.data, b.len), b.len };
	buf_release(&b);
	buf_release(&list);
	return out;
}

static void parts_must_close(void **state)
{
	(void)state;
	const char *good[] = { "<?xml version=\"1.0\"?>\n<s><c r=\"A1\"/><v>1</v></s>", "<s/>\n",
		               "<!-- x --><s a='>'>t</s>", "<s v=\"&lt;\"><!-- - --></s>" };
	const char *bad[] = { "", "<?xml version=\"1.0\"?>\n", "<s>", "<s><c></s>", "<s><c r=\"A1\"/><v>1</v>", "<s></s",
		              "<s></s></s>", "<s></s><s>", "x<s/>", "<s/>x", "<s a=\"1><c/></s>", "<s <c/></s>", "</s>" };
	struct arena a;
	char why[200] = "";
	arena_init(&a);
	for (size_t i = 0; i < COUNT(good); i++) {
		if (verify_book(stored_zip(&a, good[i]), why, sizeof why))
			fail_msg("%s: %s", good[i], why);
	}
	for (size_t i = 0; i < COUNT(bad); i++) {
		if (!verify_book(stored_zip(&a, bad[i]), why, sizeof why))
			fail_msg("%s passes", bad[i]);
		assert_string_equal(why, "its part xl/worksheets/sheet1.xml is cut short");
	}
	arena_release(&a);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(numbers_must_be_finite),
		cmocka_unit_test(first_error_sticks),
		cmocka_unit_test(addresses_must_be_on_the_sheet),
		cmocka_unit_test(formulas_have_a_length),
		cmocka_unit_test(names_are_names),
		cmocka_unit_test(names_are_unique),
		cmocka_unit_test(sheet_names_follow_the_rules),
		cmocka_unit_test(text_is_made_safe),
		cmocka_unit_test(long_text_is_cut_visibly),
		cmocka_unit_test(cells_are_what_they_were_given_as),
		cmocka_unit_test(same_calls_same_bytes),
		cmocka_unit_test(whole_files_pass),
		cmocka_unit_test(cut_files_do_not_pass),
		cmocka_unit_test(changed_files_do_not_pass),
		cmocka_unit_test(parts_must_close),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The workbook: what its door lets through, and what its check of a written file sees. */
#include "report/workbook/book.h"
#include "report/workbook/verify.h"

#include <dirent.h>
#include <math.h>
#include <sys/resource.h>
#include <unistd.h>

#include <zlib.h>

#include "base/buf.h"
#include "base/file.h"
#include "help_farm.h"

static struct book_style style(void)
{
	return (struct book_style){ .on = date_from_civil(2026, 11, 25),
				    .title = "A farm",
				    .farm = STR("Saltgrass & Sons"),
				    .currency = "EUR",
				    .digits = 2 };
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
			       .avail_in = (uInt)(file.n - at - 30 - n),
			       .next_out = out,
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
	const char *good[] = { "in_wage",  "_x",  "Wage.full", "in_a1",     "rate",
			       "ROSE1234", "row", "cc",        "in_x004_b", "in_x0041" };
	const char *bad[] = { "",          "1st",  "a b",   "A1",       "xfd9", "R",
			      "c",         "R1C1", "rc",    "R2",       "c12",  "wage-full",
			      "h\xc3\xa9", "true", "FALSE", "in_wage!", "a'b",  "in_x0041_b" };
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
	long_one[127] = '\0';
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
	const char *bad[] = {
		"",    "a/b", "a\\b", "a?b",     "a*b",  "a[b",   "a]b",
		"a:b", "'a",  "a'",   "History", "a\nb", "x\xff", "more than thirty-one characters!"
	};
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
		{ { "Pap\xc3\xaaterie \xf0\x9f\x8c\xbe", 15 },
		  "Pap\xc3\xaaterie \xf0\x9f\x8c\xbe" },
		{ { "a\xff"
		    "b\xc3",
		    4 },
		  "a\\xffb\\xc3" },                           /* bytes that are no UTF-8 */
		{ { "\xed\xa0\x80", 3 }, "\\xed\\xa0\\x80" }, /* half a surrogate pair */
		{ { "a\0b\x1b[1m\x7f", 8 }, "a\\x00b\\x1b[1m\\x7f" },
		{ { "a\r\nb\tc\rd", 8 }, "a\nb\tc\\x0dd" },
		{ { "\xef\xbf\xbe\xc2\x85", 5 },
		  "\\ufffe\\x85" }, /* no XML characters, a C1 control */
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
	sheet_limit_dates(t->sheet, 1, 2, date_from_civil(1990, 1, 1),
			  date_from_civil(2199, 12, 31), "No date", "A date.");
	sheet_redden(t->sheet, 1, 2, 0);
	sheet_filter(t->sheet, 0, 2, 2);
	sheet_freeze(t->sheet, 1, 1);
	sheet_width(t->sheet, 0, 20);
	book_name(t->book, "in_wage", t->sheet, 1, 0);
	struct chart c = { .kind = CHART_STACKED_BARS,
			   .title = "Cost",
			   .names = "piece",
			   .values = "EUR",
			   .from = t->sheet,
			   .first = 1,
			   .last = 2,
			   .name_col = 1,
			   .nseries = 1,
			   .series = { { "stems", 0, 0x7E9382 } },
			   .width = 480,
			   .height = 288 };
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
	assert_non_null(
	    strstr(book, "<definedName name=\"in_wage\">'Stem costs'!$A$2</definedName>"));
	assert_non_null(strstr(member(&t.arena, t.path, "xl/styles.xml"), "#,##0.00 [$EUR]"));
	assert_non_null(
	    strstr(member(&t.arena, t.path, "docProps/core.xml"), "2026-11-25T00:00:00Z"));
	assert_non_null(strstr(sheet, "Saltgrass &amp;&amp; Sons"));
	end(&t);
}

/* A line of points has its own rows, and numbers on both axes. */
static void points_have_their_own_rows(void **state)
{
	(void)state;
	struct trial t;
	begin(&t);
	for (uint32_t i = 0; i < 5; i++) {
		sheet_number(t.sheet, i, 0, LOOK(PLAIN, ONE), i);
		sheet_number(t.sheet, i, 1, LOOK(PLAIN, ONE), 9 - i);
	}
	struct chart c = { .kind = CHART_POINTS,
			   .title = "Weight",
			   .names = "days",
			   .values = "share",
			   .from = t.sheet,
			   .percent = true,
			   .name_col = 0,
			   .nseries = 2,
			   .series = { { "batch one", 1, 0x4F7A5A }, { "batch two", 1, 0xB5654A } },
			   .rows = { { 0, 2 }, { 3, 4 } },
			   .width = 480,
			   .height = 288 };
	sheet_chart(t.sheet, 7, 0, &c);
	assert_int_equal(book_finish(t.book), 0);
	const char *chart = member(&t.arena, t.path, "xl/charts/chart1.xml");
	assert_non_null(strstr(chart, "<c:scatterChart>"));
	assert_non_null(strstr(chart, "<c:xVal><c:numRef><c:f>'Stem costs'!$A$1:$A$3</c:f>"));
	assert_non_null(strstr(chart, "<c:yVal><c:numRef><c:f>'Stem costs'!$B$4:$B$5</c:f>"));
	assert_non_null(strstr(chart, "formatCode=\"0%\""));
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
	const char *names[] = { "[Content_Types].xml", "xl/workbook.xml",
				"xl/worksheets/sheet1.xml" };
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
			       "<!-- x --><s a='&gt;'>t</s>", "<s v=\"&lt;\"><!-- - --></s>" };
	const char *bad[] = { "",
			      "<?xml version=\"1.0\"?>\n",
			      "<s>",
			      "<s><c></s>",
			      "<s><c r=\"A1\"/><v>1</v>",
			      "<s></s",
			      "<s></s></s>",
			      "<s></s><s>",
			      "x<s/>",
			      "<s/>x",
			      "<s a=\"1><c/></s>",
			      "<s <c/></s>",
			      "<s a=\"1<c/></s>",
			      "<s><c r=\"A1</s>",
			      "<s><v>1</v></s>\x01",
			      "<s><v>1</v></s><!-- x -->",
			      "<s><></></s>",
			      "</s>" };
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

/* ---- a farm's book ---- */

struct small_farm {
	struct built b;
	struct reckoning r;
	char *folder;
	const char *path;
};

/* The whole reckoning but for the solver's part, which the book only copies. */
static void reckon_small(struct small_farm *f)
{
	struct farm *farm = &f->b.farm;
	struct arena *a = &f->b.arena;
	f->r = (struct reckoning){ .farm = farm, .on = build_day("2026-11-25"), .arena = a };
	remarks_init(&f->r.remarks, a);
	stock_take(&f->r.stock, farm, f->r.on, false, NULL, a, &f->r.remarks);
	stemcosts_reckon(&f->r.stems, farm, &f->r.stock, a, &f->r.remarks);
	costs_reckon(&f->r.costs, farm, &f->r.stems, a, &f->r.remarks);
	prices_reckon(&f->r.prices, farm, &f->r.costs, a, &f->r.remarks);
	f->r.reach.pieces = ARENA_ARRAY(a, farm->npieces, struct reach_piece);
}

static void begin_small(struct small_farm *f)
{
	build_start(&f->b);
	f->b.farm.business.currency = STR("EUR");
	f->b.farm.business.digits = 2;
	f->b.farm.business.wage = build_fig(16.5);
	struct crop *statice = build_crop(&f->b, "Statice");
	statice->cost = build_fig(0.3);
	statice->loss[STAGE_STORAGE] = build_fig(0.01);
	struct outlet *market = build_outlet(&f->b, "market");
	struct piece *wreath = build_piece(&f->b, "Wreath");
	build_piece_need(&f->b, wreath, build_crop_item(&f->b, statice), 24, 1);
	build_piece_task(&f->b, wreath, 1800, 0);
	build_offer(&f->b, wreath, market, 60);
	build_box(&f->b, "B1", build_crop_item(&f->b, statice), 100, "2026-08-01", "2026-10-31");
	build_done(&f->b);
	reckon_small(f);
	f->folder = help_folder();
	f->path = help_path(f->folder, "farm.xlsx");
}

static void end_small(struct small_farm *f)
{
	help_remove(f->folder);
	build_end(&f->b);
}

static size_t files_in(const char *folder)
{
	DIR *d = opendir(folder);
	size_t n = 0;
	assert_non_null(d);
	while (readdir(d))
		n++;
	closedir(d);
	return n - 2; /* . and .. */
}

static void a_farm_becomes_a_book(void **state)
{
	(void)state;
	struct small_farm f;
	char why[200] = "";
	begin_small(&f);
	assert_int_equal(book_write(&f.r, NULL, f.path, &f.b.diag), 0);
	assert_int_equal(f.b.diag.errors, 0);
	if (verify_file(f.path, why, sizeof why))
		fail_msg("%s", why);
	assert_int_equal(files_in(f.folder), 1);
	const char *book = member(&f.b.arena, f.path, "xl/workbook.xml");
	assert_non_null(strstr(book, "<definedName name=\"in_wage\">"));
	assert_non_null(strstr(book, "<definedName name=\"in_statice_storage_loss\">"));
	assert_non_null(strstr(book, "<definedName name=\"in_wreath_market_price\">"));
	end_small(&f);
}

/* The part of the file that holds a sheet. */
static const char *sheet_part(struct small_farm *f, const char *name)
{
	for (size_t i = 0; book_table(i); i++)
		if (strcmp(book_table(i)->sheet, name) == 0)
			return member(&f->b.arena, f->path,
				      build_name(&f->b, "xl/worksheets/sheet%zu.xml", i + 1).p);
	fail_msg("no sheet %s", name);
	return NULL;
}

/* 100 stems are 98.8 three weeks on: four wreaths of 24, with 2 stems left.  What was
 * solved stands as numbers, beside it what follows the inputs; no name is a formula. */
static void the_mix_and_its_list_stand_in_the_book(void **state)
{
	(void)state;
	struct small_farm f;
	struct mix mix;
	struct pull pull;
	struct mix_options o = { .to_the_end = true };
	begin_small(&f);
	f.b.farm.outlets[0].head.name = STR("=HYPERLINK(1)");
	struct reckoning *r = &f.r;
	assert_int_equal(mix_reckon(&mix, &f.b.farm, &r->stock, &r->costs, &r->prices, &o, r->arena,
				    &r->remarks, &f.b.diag),
			 0);
	assert_int_equal(
	    pull_mix(&pull, &f.b.farm, &r->stock, &mix, &o, r->arena, &f.b.diag), 0);
	struct book_solved solved = { .mix = &mix, .pull = &pull };
	assert_int_equal(book_write(r, &solved, f.path, &f.b.diag), 0);
	const char *page = sheet_part(&f, "Best mix");
	assert_non_null(strstr(page, "<v>4</v>"));
	assert_non_null(strstr(page, "<f>'Prices'!$H$5</f>"));
	assert_null(strstr(page, "<f>HYPERLINK"));
	page = sheet_part(&f, "Pull list");
	assert_non_null(strstr(page, "<v>96</v>"));
	assert_non_null(strstr(page, "<f>'Boxes'!$L$5</f>"));
	const char *chart = member(&f.b.arena, f.path, "xl/charts/chart4.xml");
	assert_non_null(strstr(chart, "<c:v> =HYPERLINK(1)</c:v>"));
	assert_null(strstr(chart, "<c:f>HYPERLINK"));
	assert_non_null(strstr(member(&f.b.arena, f.path, "xl/charts/chart5.xml"), "used"));
	end_small(&f);
}

static void no_farm_is_too_small(void **state)
{
	(void)state;
	struct small_farm f;
	build_start(&f.b);
	f.b.farm.business.currency = STR("EUR");
	build_done(&f.b);
	reckon_small(&f);
	f.folder = help_folder();
	f.path = help_path(f.folder, "farm.xlsx");
	assert_int_equal(book_write(&f.r, NULL, f.path, &f.b.diag), 0);
	end_small(&f);
}

static void a_book_needs_a_file(void **state)
{
	(void)state;
	struct small_farm f;
	begin_small(&f);
	assert_int_equal(book_write(&f.r, NULL, "/dev/null", &f.b.diag), -1);
	assert_int_equal(book_write(&f.r, NULL, help_path(f.folder, "no/such/folder.xlsx"), &f.b.diag),
			 -1);
	assert_int_equal(book_write(&f.r, NULL, f.folder, &f.b.diag), -1);
	assert_int_equal(f.b.diag.errors, 3);
	assert_int_equal(files_in(f.folder), 0);
	end_small(&f);
}

/* A number that is none is our own mistake; the old file must not pay for it. */
static void a_bad_number_leaves_the_old_book(void **state)
{
	(void)state;
	struct small_farm f;
	begin_small(&f);
	help_write(f.path, "old");
	f.r.costs.wage = (double)NAN;
	assert_int_equal(book_write(&f.r, NULL, f.path, &f.b.diag), -1);
	assert_int_equal(f.b.diag.errors, 1);
	char *text = help_read(f.path);
	assert_string_equal(text, "old");
	free(text);
	assert_int_equal(files_in(f.folder), 1);
	end_small(&f);
}

struct limited {
	struct small_farm *f;
	rlim_t size;
};

/* In a child: no file may grow past the size, the library's temporaries neither. */
static void write_limited(void *arg)
{
	struct limited *l = arg;
	struct rlimit limit = { l->size, l->size };
	setrlimit(RLIMIT_FSIZE, &limit);
	struct diag *diag = &l->f->b.diag;
	int rc = book_write(&l->f->r, NULL, l->f->path, diag);
	if (rc < 0)
		dprintf(STDERR_FILENO, "%.*s", STR_ARG(diag->items[0].text));
	/* Not exit(): what the library leaks when it fails is not ours to mend. */
	_exit(rc < 0 ? 4 : 0);
}

/* As on a disk that fills up, at any point of the writing: an error, and the old file. */
static void a_full_disk_leaves_the_old_book(void **state)
{
	(void)state;
	struct small_farm f;
	begin_small(&f);
	size_t failed = 0, written = 0;
	for (rlim_t size = 0; size < 120000; size += size < 4000 ? 500 : 6000) {
		struct limited l = { &f, size };
		help_write(f.path, "old");
		char said[400] = "";
		int status = help_child(write_limited, &l, said, sizeof said);
		char *text = help_read(f.path);
		if (status == 4) {
			assert_string_equal(text, "old");
			assert_memory_equal(said, "The workbook `", 14);
			assert_non_null(strstr(said, "` has not been written. "));
			assert_null(strstr(said, "ERROR"));
			failed++;
		} else {
			char why[200] = "";
			assert_int_equal(status, 0);
			assert_string_equal(said, "");
			if (verify_file(f.path, why, sizeof why))
				fail_msg("%zu bytes: %s", (size_t)size, why);
			written++;
		}
		free(text);
		assert_int_equal(files_in(f.folder), 1);
	}
	if (failed <= 5 || written <= 1)
		fail_msg("%zu failed, %zu written", failed, written);
	end_small(&f);
}

/* ---- what is written down about it ---- */

/* The next `| a | b | c |` of the text from *at on, its first three cells. */
static bool next_row(struct str text, size_t *at, struct str heading_until, struct str cells[3])
{
	while (*at < text.n) {
		size_t end = *at;
		while (end < text.n && text.p[end] != '\n')
			end++;
		struct str line = { text.p + *at, end - *at };
		if (str_starts(line, "### ") && line.p != heading_until.p)
			return false;
		*at = end + 1;
		if (!str_starts(line, "| `"))
			continue;
		size_t from = 1;
		for (int i = 0; i < 3; i++) {
			size_t to = from;
			while (line.p[to] != '|')
				to++;
			cells[i] = str_trim((struct str){ line.p + from, to - from });
			from = to + 1;
		}
		return true;
	}
	return false;
}

static void every_column_is_written_down(void **state)
{
	(void)state;
	char *text = help_read("docs/workbook.md");
	assert_non_null(text);
	struct str doc = str_of(text);
	const char *last = text;
	size_t sheets = 0;
	for (size_t i = 0; book_table(i); i++, sheets++) {
		const struct book_table *t = book_table(i);
		char heading[64];
		snprintf(heading, sizeof heading, "\n### %s\n", t->sheet);
		const char *found = strstr(last, heading);
		if (!found)
			fail_msg("docs/workbook.md has no sheet %s in its place", t->sheet);
		last = found + 1;
		size_t at = (size_t)(last - text);
		struct str own = { last, 0 }, cells[3];
		for (size_t k = 0; k < t->ncolumns; k++) {
			char key[40];
			const struct book_column *c = &t->columns[k];
			snprintf(key, sizeof key, "`%s`", c->key);
			if (!next_row(doc, &at, own, cells))
				fail_msg("docs/workbook.md does not tell of %s on %s", key,
					 t->sheet);
			assert_text(cells[0], key);
			assert_text(cells[1], *c->head ? c->head : "-");
			assert_text(cells[2], origin_name(c->origin));
		}
		if (next_row(doc, &at, own, cells))
			fail_msg("docs/workbook.md tells of %.*s, which %s has not",
				 STR_ARG(cells[0]), t->sheet);
	}
	assert_true(sheets > 12);
	free(text);
}

static void keys_are_unique(void **state)
{
	(void)state;
	for (size_t i = 0; book_table(i); i++) {
		const struct book_table *t = book_table(i);
		assert_true(book_sheet_name_ok(t->sheet));
		for (size_t k = 0; k < t->ncolumns; k++) {
			assert_non_null(t->columns[k].key);
			for (size_t m = 0; m < k; m++) {
				if (!strcmp(t->columns[k].key, t->columns[m].key))
					fail_msg("%s has two columns %s", t->sheet,
						 t->columns[k].key);
			}
		}
	}
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
		cmocka_unit_test(points_have_their_own_rows),
		cmocka_unit_test(same_calls_same_bytes),
		cmocka_unit_test(whole_files_pass),
		cmocka_unit_test(cut_files_do_not_pass),
		cmocka_unit_test(changed_files_do_not_pass),
		cmocka_unit_test(parts_must_close),
		cmocka_unit_test(a_farm_becomes_a_book),
		cmocka_unit_test(the_mix_and_its_list_stand_in_the_book),
		cmocka_unit_test(no_farm_is_too_small),
		cmocka_unit_test(a_book_needs_a_file),
		cmocka_unit_test(a_bad_number_leaves_the_old_book),
		cmocka_unit_test(a_full_disk_leaves_the_old_book),
		cmocka_unit_test(every_column_is_written_down),
		cmocka_unit_test(keys_are_unique),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

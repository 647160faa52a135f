/* Reports: the three forms, widths on a terminal, and the rounding of shown sums. */
#include "help.h"

#include <math.h>

#include "base/buf.h"
#include "base/number.h"
#include "report/report.h"
#include "report/text.h"

static const struct column columns[] = {
	{ "name", "piece", TYPE_TEXT, 0, "text", "" },
	{ "note", "note", TYPE_TEXT, COL_MAYBE, "text", "" },
	{ "count", "can\nmake", TYPE_COUNT, 0, "each", "" },
	{ "stems", "stems", TYPE_MONEY, COL_PART, "money", "" },
	{ "labour", "labour", TYPE_MONEY, COL_PART, "money", "" },
	{ "total", "total", TYPE_MONEY, COL_SUM, "money", "" },
	{ "today", "today", TYPE_MONEY, COL_SUPPOSED, "money", "" },
	{ "each", "each", TYPE_MONEY, COL_FINE | COL_MAYBE, "money", "" },
	{ "margin", "margin\n%", TYPE_PERCENT, 0, "fraction", "" },
	{ "on", "on", TYPE_DATE, COL_MAYBE, "date", "" },
	{ "late", "late", TYPE_FLAG, COL_MAYBE, "true or false", "" },
	{ "secret", "secret", TYPE_NUMBER, COL_MACHINE, "number", "" },
};
static const struct table_def def = { "cost",  "pieces",       "What a piece costs",
				      columns, COUNT(columns), false };
static const struct table_def narrow = { "reach", "pieces", "How many", columns, 3, false };
static const struct table_def upright = { "cost",  "card",         "Bed by bed",
					  columns, COUNT(columns), true };

struct fixture {
	struct arena arena;
	struct report r;
	struct buf out;
};

static int set_up(void **state)
{
	struct fixture *f = mem_alloc(1, sizeof *f);
	arena_init(&f->arena);
	report_init(&f->r, &f->arena, "cost", NULL, date_from_civil(2026, 11, 25));
	f->r.currency = STR("EUR");
	buf_init(&f->out, REPORT_SIZE_MOST);
	*state = f;
	return 0;
}

static int tear_down(void **state)
{
	struct fixture *f = *state;
	buf_release(&f->out);
	arena_release(&f->arena);
	mem_free(f);
	return 0;
}

static void fill(struct table *t, const char *name, double count, double stems, double labour)
{
	table_row(t);
	put_word(t, "name", name);
	put_number(t, "count", count);
	put_number(t, "stems", stems);
	put_number(t, "labour", labour);
	put_number(t, "total", stems + labour);
	put_number(t, "margin", 0.255);
	put_number(t, "secret", 0.1);
}

static const char *text_of(struct fixture *f, const struct text_style *style)
{
	buf_clear(&f->out);
	report_finish(&f->r);
	assert_int_equal(report_text(&f->r, style, NULL, &f->out), 0);
	return f->out.data;
}

/* The widest line, and no line ends in a blank. */
static size_t widest(const char *text)
{
	size_t width = 0;
	for (const char *line = text; *line;) {
		size_t n = strcspn(line, "\n");
		size_t w = str_width((struct str){ line, n });
		if (w > width)
			width = w;
		assert_false(n && line[n - 1] == ' ');
		line += n + (line[n] == '\n');
	}
	return width;
}

/* ---- text ---- */

/* An amount that is there must not read as none: two digits of it stand at least. */
static void small_amounts_keep_two_digits(void **state)
{
	static const struct column small_columns[] = {
		{ "amount", "amount", TYPE_NUMBER, 0, "kg", "" },
		{ "fine", "fine", TYPE_NUMBER, COL_FINE, "kg", "" },
	};
	static const struct table_def small = { "cost", "small", "Small", small_columns, 2, false };
	static const struct {
		double v;
		const char *amount, *fine;
	} cases[] = {
		{ 0.024, "0.024", "0.024" },
		{ 0.02, "0.02", "0.02" },
		{ 0.001, "0.001", "0.001" },
		{ 0.0666666, "0.067", "0.066667" },
		{ -0.0012345, "-0.0012", "-0.001235" },
		{ 0.00000034, "0.00000034", "0.00000034" },
		{ 1.0 / 3, "0.33", "0.333333" },
		{ 0.0999, "0.1", "0.0999" },
		{ 12.345, "12.35", "12.345" },
		{ 0, "0", "0" },
	};
	struct fixture *f = *state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		f->r.ntables = 0;
		struct table *t = report_table(&f->r, &small);
		table_row(t);
		put_number(t, "amount", cases[i].v);
		put_number(t, "fine", cases[i].v);
		const char *text = text_of(f, &(struct text_style){ .quiet = true });
		struct str line = report_printf(
		    &f->arena, "%*s  %*s\n", (int)fmax(6, (double)strlen(cases[i].amount)),
		    cases[i].amount, (int)fmax(4, (double)strlen(cases[i].fine)), cases[i].fine);
		assert_string_equal(strstr(text, "-\n") + 2, line.p);
	}
}

static void text_aligns(void **state)
{
	struct fixture *f = *state;
	struct table *t = report_table(&f->r, &def);
	fill(t, "Tideline wreath", 12, 5.79, 11.65);
	fill(t, "Star", 140, 0.5, 1);
	assert_string_equal(text_of(f, &(struct text_style){ 0 }),
			    "\n"
			    "What a piece costs                              EUR\n"
			    "                  can                        margin\n"
			    "piece            make  stems  labour  total       %\n"
			    "---------------------------------------------------\n"
			    "Tideline wreath    12   5.79   11.65  17.44    25.5\n"
			    "Star              140   0.50    1.00   1.50    25.5\n"
			    "\n"
			    "rounding  " ROUNDING_RULE "\n");
}

static void text_aligns_by_display_width(void **state)
{
	struct fixture *f = *state;
	struct table *t = report_table(&f->r, &def);
	fill(t, "\xe8\x8a\xb1\xe8\x8a\xb1", 1, 1, 1); /* two wide characters: 4 columns */
	fill(t, "Ro\xcc\x88se", 1, 1, 1);             /* a combining mark: 4 columns */
	fill(t, "Rose", 1, 1, 1);
	f->r.fitted = false;
	const char *text = text_of(f, &(struct text_style){ .quiet = true });
	const char *rows = strstr(text, "---\n");
	assert_non_null(rows);
	size_t width = 0;
	for (const char *line = strchr(rows, '\n') + 1; *line; line = strchr(line, '\n') + 1) {
		size_t w = str_width((struct str){ line, strcspn(line, "\n") });
		assert_true(width == 0 || w == width);
		width = w;
	}
	assert_int_equal(width, widest(text));
}

static void nasty(struct table *t, bool all)
{
	static char long_word[5000];
	memset(long_word, 'w', sizeof long_word - 1);
	static const char *const names[] = {
		"A wreath with a name that goes on and on until nobody remembers how it began at "
		"all, "
		"and then some more words",
		"\xe8\x8a\xb1\xe8\x8a\xb1\xe8\x8a\xb1\xe8\x8a\xb1\xe8\x8a\xb1\xe8\x8a\xb1\xe8\x8a"
		"\xb1\xe8"
		"\x8a\xb1\xe8\x8a\xb1\xe8\x8a\xb1\xe8\x8a\xb1\xe8\x8a\xb1\xe8\x8a\xb1\xe8\x8a\xb1",
		"escape \033[31mred\033[0m and \a bell\r\nnext",
		"\xe2\x80\xaereversed",
		"=1+1",
		"bad \xff\xfe bytes",
		"",
		long_word,
	};
	for (size_t i = 0; i < COUNT(names); i++) {
		if (!all) {
			table_row(t);
			put_word(t, "name", names[i]);
			put_word(t, "note", names[COUNT(names) - 1 - i]);
			put_number(t, "count", 1234567890);
			continue;
		}
		fill(t, names[i], 1234567890, 98765432.1, -98765432.1);
		put_word(t, "note", names[COUNT(names) - 1 - i]);
		put_number(t, "each", 1234.56789);
		put_day(t, "on", date_from_civil(2026, 11, 25));
		put_flag(t, "late", i % 2 == 0);
	}
}

static void text_fits_80_columns(void **state)
{
	struct fixture *f = *state;
	const struct table_def *defs[] = { &def, &upright };
	for (size_t i = 0; i < COUNT(defs); i++) {
		f->r.ntables = 0;
		nasty(report_table(&f->r, defs[i]), true);
		const char *text = text_of(f, &(struct text_style){ 0 });
		assert_in_range(widest(text), 40, REPORT_WIDTH);
		assert_null(strchr(text, '\033'));
		assert_null(strchr(text, '\r'));
		assert_null(strstr(text, "\xe2\x80\xae"));
		assert_non_null(strstr(text, "\\u202e"));
		assert_non_null(strstr(text, "=1+1"));
	}
}

static void long_texts_wrap_in_their_columns(void **state)
{
	struct fixture *f = *state;
	nasty(report_table(&f->r, &narrow), false);
	const char *text = text_of(f, &(struct text_style){ 0 });
	assert_int_equal(widest(text), REPORT_WIDTH);
	assert_non_null(strstr(text, "\npiece "));
	assert_non_null(strstr(text, "www..."));
	assert_null(strchr(text, '\033'));
}

/* One column too wide: the gaps give way before a word of ordinary length is torn. */
static void gaps_close_before_words_tear(void **state)
{
	struct fixture *f = *state;
	fill(report_table(&f->r, &def), "Strawflower", 123456789, 123456789012, 100000000000);
	const char *text = text_of(f, &(struct text_style){ .quiet = true });
	assert_int_equal(widest(text), 76);
	assert_non_null(strstr(text, "\nStrawflower 123456789 123456789012.00 "));
}

static void huge_numbers_go_upright(void **state)
{
	struct fixture *f = *state;
	struct table *t = report_table(&f->r, &def);
	fill(t, "Star", 9e15, 1e15, 1e15);
	fill(t, "Moon", 9e15, 1e15, 1e15);
	put_number(t, "each", 1e15);
	const char *text = text_of(f, &(struct text_style){ 0 });
	assert_in_range(widest(text), 20, REPORT_WIDTH);
	assert_non_null(strstr(text, "2000000000000000.00"));
}

static void text_has_no_marks_unless_asked(void **state)
{
	struct fixture *f = *state;
	fill(report_table(&f->r, &def), "Star", 1, 1, 1);
	assert_null(strchr(text_of(f, &(struct text_style){ 0 }), '\033'));
	const char *bold = text_of(f, &(struct text_style){ .bold = true, .thin = true });
	assert_non_null(strstr(bold, "\033[1m"));
	assert_non_null(strstr(bold, "\xe2\x94\x80"));
}

static void groups_totals_and_words(void **state)
{
	struct fixture *f = *state;
	struct table *t = report_table(&f->r, &def);
	table_group(t, STR("Wreaths"));
	fill(t, "Star", 1, 1.004, 1);
	table_indent(t, 2);
	fill(t, "Moon", 1, 1.004, 1);
	table_indent(t, 2);
	put_instead(t, "count", "never");
	table_total(t);
	put_word(t, "name", "total");
	put_number(t, "stems", 2.008);
	const char *text = text_of(f, &(struct text_style){ .quiet = true });
	assert_non_null(strstr(text, "\nWreaths\n"));
	assert_non_null(strstr(text, "\n  Star"));
	assert_non_null(strstr(text, "never"));
	/* 1.004 + 1.004 = 2.008: shown as 1.01 + 1.00 = 2.01. */
	assert_non_null(strstr(text, "1.01"));
	assert_non_null(strstr(text, "2.01"));
}

static void remarks_stand_at_the_foot_unless_quiet(void **state)
{
	struct fixture *f = *state;
	struct remarks remarks;
	remarks_init(&remarks, &f->arena);
	remark(&remarks, REMARK_DOUBT, "No cost known for Ammobium.");
	remark(&remarks, REMARK_ASSUMED, "No overhead given: counted as 0.");
	remark_caution(&remarks, "Dry plants burn.", "a source");
	report_remarks(&f->r, &remarks);
	fill(report_table(&f->r, &def), "Star", 1, NAN, 1);
	const char *text = text_of(f, &(struct text_style){ 0 });
	assert_non_null(strstr(text, "\nassumed   No overhead given: counted as 0.\n"
				     "doubt     No cost known for Ammobium.\n"
				     "caution   Dry plants burn.\n"));
	assert_null(strstr(text_of(f, &(struct text_style){ .quiet = true }), "assumed"));
}

/* ---- machines ---- */

static void csv_is_rfc_4180(void **state)
{
	struct fixture *f = *state;
	struct table *t = report_table(&f->r, &def);
	fill(t, "=1+1", 1, 0.1, 0.2);
	put_word(t, "note", "a, \"b\"\nc");
	fill(t, " Star", 2, NAN, INFINITY);
	table_total(t);
	assert_int_equal(report_csv(&f->r, &def, &f->out), 0);
	assert_string_equal(
	    f->out.data, "name,note,count,stems,labour,total,each,margin,on,late,secret\r\n"
			 "=1+1,\"a, \"\"b\"\"\nc\",1,0.1,0.2,0.30000000000000004,,0.255,,,0.1\r\n"
			 "\" Star\",,2,,,,,0.255,,,0.1\r\n");
}

static void supposed_columns_come_with_a_supposition(void **state)
{
	struct fixture *f = *state;
	struct table *t = report_table(&f->r, &def);
	fill(t, "Star", 1, 1, 1);
	put_number(t, "today", 3);
	assert_null(strstr(text_of(f, &(struct text_style){ 0 }), "today"));
	f->r.supposing = true;
	assert_non_null(strstr(text_of(f, &(struct text_style){ 0 }), "today"));
	buf_clear(&f->out);
	report_csv(&f->r, &def, &f->out);
	assert_non_null(strstr(f->out.data, ",today,"));
}

static void json_holds_every_row(void **state)
{
	struct fixture *f = *state;
	struct table *t = report_table(&f->r, &def);
	fill(t, "bad \xff \"quote\" \x01", 1, 0.1, NAN);
	put_flag(t, "late", true);
	put_day(t, "on", date_from_civil(2026, 1, 2));
	fill(report_table(&f->r, &def), "Moon", 2, 1e-9, 1e21);
	assert_int_equal(report_json(&f->r, NULL, &f->out), 0);
	assert_int_equal(str_utf8_bad(buf_slice(&f->out)), f->out.len);
	assert_non_null(
	    strstr(f->out.data,
		   "      {\"name\": \"bad \xef\xbf\xbd \\\"quote\\\" \\u0001\", \"note\": null, "
		   "\"count\": 1, \"stems\": 0.1, \"labour\": null, \"total\": null, "
		   "\"each\": null, \"margin\": 0.255, \"on\": \"2026-01-02\", "
		   "\"late\": true, \"secret\": 0.1},\n"
		   "      {\"name\": \"Moon\""));
	assert_null(strstr(f->out.data, "nan"));
	/* One array for both tables of that name. */
	char *first = strstr(f->out.data, "\"pieces\"");
	assert_non_null(first);
	assert_null(strstr(first + 1, "\"pieces\""));
}

/* ---- rounding ---- */

static void parts_meet_their_sum(void **state)
{
	(void)state;
	static const struct {
		double parts[4];
		size_t n;
		int digits;
		int64_t shown[4];
	} cases[] = {
		{ { 1.0 / 3, 1.0 / 3, 1.0 / 3 }, 3, 2, { 34, 33, 33 } },
		{ { 0.004, 0.004, 0.004 }, 3, 2, { 1, 0, 0 } },
		{ { 0.006, 0.006, 0.006 }, 3, 2, { 1, 1, 0 } },
		{ { 2.5, 2.5 }, 2, 0, { 3, 2 } },
		{ { 10.005, -3.335, 1.33 }, 3, 2, { 1001, -334, 133 } },
		{ { -0.005, -0.005 }, 2, 2, { 0, -1 } },
		{ { 5, 0, 7 }, 3, 2, { 500, 0, 700 } },
		{ { 0.1, 0.2, 0.3 }, 3, 2, { 10, 20, 30 } },
		{ { 0.0005, 0.0005 }, 2, 3, { 1, 0 } },
	};
	for (size_t i = 0; i < COUNT(cases); i++) {
		int64_t shown[4];
		double total = 0;
		int64_t sum = 0;
		for (size_t k = 0; k < cases[i].n; k++)
			total += cases[i].parts[k];
		assert_true(report_fit(cases[i].parts, cases[i].n, total, cases[i].digits, shown));
		for (size_t k = 0; k < cases[i].n; k++) {
			assert_int_equal(shown[k], cases[i].shown[k]);
			sum += shown[k];
		}
		assert_int_equal(sum, money_minor(total, cases[i].digits));
	}
}

/* Every part within one minor unit of its value, for many sums. */
static void parts_stay_near_their_value(void **state)
{
	(void)state;
	uint64_t seed = 1;
	for (int round = 0; round < 20000; round++) {
		double parts[7], total = 0;
		int64_t shown[7], sum = 0;
		for (size_t k = 0; k < COUNT(parts); k++) {
			seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
			parts[k] = (double)(int64_t)(seed >> 33) / 1e7 - 60;
			total += parts[k];
		}
		assert_true(report_fit(parts, COUNT(parts), total, 2, shown));
		for (size_t k = 0; k < COUNT(parts); k++) {
			assert_true(fabs((double)shown[k] / 100 - parts[k]) < 0.01);
			sum += shown[k];
		}
		assert_int_equal(sum, money_minor(total, 2));
	}
}

static void parts_that_miss_their_sum_stand_alone(void **state)
{
	(void)state;
	int64_t shown[2];
	assert_false(report_fit((double[]){ 1.005, 1.2 }, 2, 9, 2, shown));
	assert_int_equal(shown[0], 101);
	assert_int_equal(shown[1], 120);
}

/* 1003.4 + 200.4 - 899.4 = 304.4 and 1000.8 + 200.3 - 899.6 = 301.5 cents: by the remainders alone
 * the last part would be -8.99 both times. */
static void a_part_that_stands_elsewhere_is_shown_as_there(void **state)
{
	struct fixture *f = *state;
	static const struct column sum[] = {
		{ "labour", "labour", TYPE_MONEY, COL_PART, "money", "" },
		{ "tax", "tax", TYPE_MONEY, COL_PART, "money", "" },
		{ "left", "left", TYPE_MONEY, COL_PART | COL_OWN, "money", "" },
		{ "paid", "paid", TYPE_MONEY, COL_SUM, "money", "" },
	};
	static const struct table_def card = { "price", "buildup", "", sum, COUNT(sum), false };
	static const double cents[][4] = { { 1003.4, 200.4, -899.4, 304.4 }, { 1000.8, 200.3, -899.6, 301.5 } };
	static const double shown[][4] = { { 10.03, 2, -8.99, 3.04 }, { 10.01, 2.01, -9, 3.02 } };
	for (size_t i = 0; i < COUNT(cents); i++) {
		struct table *t = report_table(&f->r, &card);
		table_row(t);
		for (size_t k = 0; k < COUNT(sum); k++)
			put_number(t, sum[k].key, cents[i][k] / 100);
		report_finish(&f->r);
		for (size_t k = 0; k + 1 < COUNT(sum); k++)
			assert_near(t->rows[0].cells[k].fitted ? t->rows[0].cells[k].shown : NAN, shown[i][k]);
	}
}

static void words_wrap(void **state)
{
	(void)state;
	struct str rest = STR("two words  abcdefghij");
	assert_text(text_wrap(&rest, 7), "two");
	assert_text(text_wrap(&rest, 7), "words");
	assert_text(text_wrap(&rest, 7), "abcdefg");
	assert_text(text_wrap(&rest, 7), "hij");
	assert_int_equal(rest.n, 0);
	rest = STR("\xe8\x8a\xb1\xe8\x8a\xb1");
	assert_text(text_wrap(&rest, 1), "\xe8\x8a\xb1"); /* wider than the line, and still goes */
}

int main(void)
{
#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)
	const struct CMUnitTest tests[] = {
		TEST(text_aligns),
		TEST(text_aligns_by_display_width),
		TEST(small_amounts_keep_two_digits),
		TEST(text_fits_80_columns),
		TEST(long_texts_wrap_in_their_columns),
		TEST(gaps_close_before_words_tear),
		TEST(huge_numbers_go_upright),
		TEST(text_has_no_marks_unless_asked),
		TEST(groups_totals_and_words),
		TEST(remarks_stand_at_the_foot_unless_quiet),
		TEST(csv_is_rfc_4180),
		TEST(supposed_columns_come_with_a_supposition),
		TEST(json_holds_every_row),
		cmocka_unit_test(parts_meet_their_sum),
		cmocka_unit_test(parts_stay_near_their_value),
		cmocka_unit_test(parts_that_miss_their_sum_stand_alone),
		TEST(a_part_that_stands_elsewhere_is_shown_as_there),
		cmocka_unit_test(words_wrap),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_calendar.c - ISO 8601 weeks. */
#include "reckon/calendar.h"

#include "help.h"

static day at(const char *text)
{
	day d = DAY_NONE;
	assert_true(date_parse(str_of(text), &d));
	return d;
}

/* GNU date %G-W%V, R format() and Python isocalendar agree on all of these; 2004-W53-6
 * and 2006-W52-7 are in the help of R's strptime. */
static void names(void **state)
{
	(void)state;
	static const struct {
		const char *on, *week;
	} rows[] = {
		{ "1977-01-01", "1976-W53" }, { "1977-01-02", "1976-W53" }, { "1978-01-01", "1977-W52" },
		{ "1978-01-02", "1978-W01" }, { "1979-12-31", "1980-W01" }, { "1982-01-03", "1981-W53" },
		{ "2000-01-01", "1999-W52" }, { "2005-01-01", "2004-W53" }, { "2006-12-31", "2006-W52" },
		{ "2008-12-29", "2009-W01" }, { "2010-01-03", "2009-W53" }, { "2010-01-04", "2010-W01" },
		{ "2024-12-30", "2025-W01" }, { "2026-12-31", "2026-W53" }, { "2027-01-03", "2026-W53" },
		{ "2100-01-01", "2099-W53" },
	};
	char text[WEEK_TEXT];
	for (size_t i = 0; i < COUNT(rows); i++) {
		week_print(at(rows[i].on), text);
		assert_string_equal(text, rows[i].week);
	}
	week_print(DAY_NONE, text);
	assert_string_equal(text, "-");
}

/* Years with 53 weeks from 1990 to 2050 by the same three programs. */
static void long_years(void **state)
{
	(void)state;
	static const int want[] = { 1992, 1998, 2004, 2009, 2015, 2020, 2026, 2032, 2037, 2043, 2048 };
	size_t found = 0, in_range = 0;
	for (int year = 1990; year <= 2050; year++) {
		/* 28 December is always in the last week. */
		if (date_week(date_from_civil(year, 12, 28)).week == 53) {
			assert_true(found < COUNT(want));
			assert_int_equal(year, want[found++]);
		}
	}
	assert_int_equal(found, COUNT(want));
	/* Python's datetime counts 53 of them from 1900 to 2198. */
	for (int year = 1900; year < 2199; year++)
		in_range += (size_t)(week_count(date_from_civil(year, 1, 4), date_from_civil(year + 1, 1, 4)) == 53);
	assert_int_equal(in_range, 53);
}

static void mondays(void **state)
{
	(void)state;
	/* 1900-01-01 was a Monday; every seventh day since is one. */
	for (day d = date_from_civil(1900, 1, 1), n = 0; d < date_from_civil(2199, 12, 31); d++, n++) {
		day monday = week_monday(d);
		if (monday != d - n % 7)
			fail_msg("day %d", (int)d);
		assert_int_equal(week_count(date_from_civil(1900, 1, 1), d), n / 7);
	}
	assert_true(week_monday(DAY_NONE) == DAY_NONE);
	assert_int_equal(week_count(at("2026-12-28"), at("2027-01-03")), 0);
	assert_int_equal(week_count(at("2026-12-28"), at("2027-01-04")), 1);
	assert_int_equal(week_count(at("2027-01-04"), at("2026-12-28")), -1);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(names),
		cmocka_unit_test(long_years),
		cmocka_unit_test(mondays),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Civil days, ISO 8601 weeks, spreadsheet serials. */
#include "base/date.h"

#include "help.h"

static day at(const char *text)
{
	day d = DAY_NONE;
	if (!date_parse(str_of(text), &d))
		fail_msg("%s", text);
	return d;
}

static void assert_day(day d, const char *want)
{
	char text[11];
	date_print(d, text);
	assert_string_equal(text, want);
}

static bool leap(int y)
{
	return y % 400 == 0 || (y % 4 == 0 && y % 100 != 0);
}

/* Every day of the range against a calendar that only ever counts one on. */
static void every_day(void **state)
{
	(void)state;
	static const int length[] = { 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 };
	int year = 1900, month = 1, mday = 1, weekday = 1; /* 1900-01-01 was a Monday */
	day d = date_from_civil(1900, 1, 1);
	assert_int_equal(d, -25567);
	int week = 1, week_year = 1900;
	for (; year < 2200; d++) {
		struct civil c = date_civil(d);
		struct iso_week w = date_week(d);
		if (c.year != year || c.month != month || c.mday != mday ||
		    date_from_civil(year, month, mday) != d || w.weekday != weekday ||
		    w.week != week || w.year != week_year)
			fail_msg("%04d-%02d-%02d: %d-W%02d-%d", year, month, mday, w.year, w.week, w.weekday);
		if (++mday > length[month - 1] + (month == 2 && leap(year))) {
			mday = 1;
			if (++month > 12) {
				month = 1;
				year++;
			}
		}
		if (++weekday > 7) {
			weekday = 1;
			week++;
			/* A week that holds 4 January is the first of its year. */
			if ((month == 1 && mday <= 4) || (month == 12 && mday >= 29)) {
				week = 1;
				week_year = month == 1 ? year : year + 1;
			}
		}
	}
	assert_int_equal(d, date_from_civil(2199, 12, 31) + 1);
}

static void no_such_date(void **state)
{
	(void)state;
	static const int rows[][3] = {
		{ 1899, 12, 31 }, { 2200, 1, 1 },  { 2026, 0, 1 },  { 2026, 13, 1 }, { 2026, 1, 0 },
		{ 2026, 4, 31 },  { 2026, 2, 29 }, { 2100, 2, 29 }, { 1900, 2, 29 }, { 2024, 2, 30 },
		{ 2026, -1, 5 },  { -5, 1, 1 },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_true(date_from_civil(rows[i][0], rows[i][1], rows[i][2]) == DAY_NONE);
	assert_true(date_from_civil(2000, 2, 29) != DAY_NONE);
	assert_true(date_from_civil(2024, 2, 29) != DAY_NONE);
	assert_true(date_from_civil(1970, 1, 1) == 0);
}

static void parse_strictly(void **state)
{
	(void)state;
	static const char *const bad[] = {
		"",           "2026-11-5",   "2026-11-25 ", " 2026-11-25", "26-11-25",   "2026/11/25",
		"25.11.2026", "2026-13-01",  "2026-02-29",  "1899-12-31",  "2200-01-01", "2026-1a-01",
		"-026-01-01", "+026-01-01",  "2026-11-2\xc2", "20261125",  "2026-11-251", "2026 11 25",
	};
	for (size_t i = 0; i < COUNT(bad); i++) {
		day d = 17;
		if (date_parse(str_of(bad[i]), &d) || d != 17)
			fail_msg("%s", bad[i]);
	}
	assert_day(at("2026-11-25"), "2026-11-25");
	assert_day(at("1900-01-01"), "1900-01-01");
	assert_day(at("2199-12-31"), "2199-12-31");
	assert_day(DAY_NONE, "-");
	assert_int_equal(date_civil(DAY_NONE).year, 0);
	assert_int_equal(date_week(DAY_NONE).week, 0);
}

/* GNU date %G-W%V-%u, R format() and Python isocalendar agree on all of these. */
static void iso_weeks(void **state)
{
	(void)state;
	static const struct {
		const char *date;
		int year, week, weekday;
	} rows[] = {
		{ "1976-12-31", 1976, 53, 5 }, { "1977-01-01", 1976, 53, 6 }, { "1977-01-02", 1976, 53, 7 },
		{ "1978-01-01", 1977, 52, 7 }, { "1978-01-02", 1978, 1, 1 },  { "1979-12-31", 1980, 1, 1 },
		{ "1980-12-29", 1981, 1, 1 },  { "1982-01-03", 1981, 53, 7 }, { "2000-01-01", 1999, 52, 6 },
		{ "2005-01-01", 2004, 53, 6 }, { "2005-01-02", 2004, 53, 7 }, { "2008-12-28", 2008, 52, 7 },
		{ "2008-12-29", 2009, 1, 1 },  { "2010-01-03", 2009, 53, 7 }, { "2010-01-04", 2010, 1, 1 },
		{ "2016-01-03", 2015, 53, 7 }, { "2018-12-31", 2019, 1, 1 },  { "2021-01-03", 2020, 53, 7 },
		{ "2024-12-30", 2025, 1, 1 },  { "2026-12-31", 2026, 53, 4 }, { "2027-01-03", 2026, 53, 7 },
		{ "2100-01-01", 2099, 53, 5 }, { "2006-12-31", 2006, 52, 7 },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct iso_week w = date_week(at(rows[i].date));
		if (w.year != rows[i].year || w.week != rows[i].week || w.weekday != rows[i].weekday)
			fail_msg("%s: %d-W%02d-%d", rows[i].date, w.year, w.week, w.weekday);
	}
}

/* Years of 53 weeks between 1990 and 2050 (Wikipedia, "ISO week date", second hand). */
static void long_years(void **state)
{
	(void)state;
	static const int years[] = { 1992, 1998, 2004, 2009, 2015, 2020, 2026, 2032, 2037, 2043, 2048 };
	size_t next = 0;
	for (int y = 1990; y <= 2050; y++) {
		bool is_long = date_week(date_from_civil(y, 12, 28)).week == 53;
		bool listed = next < COUNT(years) && years[next] == y;
		if (is_long != listed)
			fail_msg("%d", y);
		next += listed;
	}
	assert_int_equal(next, COUNT(years));
}

/* The differences were worked with GNU date, R and Python, which agree. */
static void differences(void **state)
{
	(void)state;
	static const struct {
		const char *from;
		int days;
		const char *to;
	} rows[] = {
		{ "2025-05-11", -98, "2025-02-02" },  { "2024-12-25", -120, "2024-08-27" },
		{ "2025-02-14", -84, "2024-11-22" },  { "2024-05-12", -70, "2024-03-03" },
		{ "2024-03-10", -14, "2024-02-25" },  { "2024-03-01", -1, "2024-02-29" },
		{ "2023-03-01", -1, "2023-02-28" },   { "2000-03-01", -1, "2000-02-29" },
		{ "1900-03-01", -1, "1900-02-28" },
		/* Two days also where a clock lost an hour in between. */
		{ "2024-03-09", 2, "2024-03-11" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		assert_day(at(rows[i].from) + rows[i].days, rows[i].to);
		assert_int_equal(at(rows[i].to) - at(rows[i].from), rows[i].days);
	}
}

static void serials(void **state)
{
	(void)state;
	static const struct {
		const char *date;
		int serial;
	} rows[] = {
		{ "1900-03-01", 61 },    { "2000-01-01", 36526 }, { "2024-02-29", 45351 },
		{ "2025-02-02", 45690 }, { "2025-05-11", 45788 }, { "1970-01-01", 25569 },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_int_equal(date_serial(at(rows[i].date)), rows[i].serial);
	assert_int_equal(date_serial(DAY_NONE), 0);
}

static void months(void **state)
{
	(void)state;
	static const struct {
		const char *from;
		int months;
		const char *to;
	} rows[] = {
		{ "2026-01-31", 1, "2026-02-28" },  { "2024-01-31", 1, "2024-02-29" },
		{ "2024-03-31", -1, "2024-02-29" }, { "2026-10-15", 14, "2027-12-15" },
		{ "2026-12-31", 2, "2027-02-28" },  { "2026-01-15", -1, "2025-12-15" },
		{ "2026-05-31", 0, "2026-05-31" },  { "2026-05-31", -13, "2025-04-30" },
		{ "2199-12-01", 0, "2199-12-01" },  { "2199-12-01", 1, "-" },
		{ "1900-01-01", -1, "-" },          { "2026-01-01", 2000000000, "-" },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_day(date_add_months(at(rows[i].from), rows[i].months), rows[i].to);
	assert_true(date_add_months(DAY_NONE, 1) == DAY_NONE);
	/* A year of 365.25 days is 12 months of storage. */
	assert_near(date_months(at("2025-01-01"), at("2029-01-01")), 48);
	assert_near(date_months(at("2026-01-01"), at("2026-01-31")), 30 / (365.25 / 12));
	assert_near(date_months(at("2026-01-31"), at("2026-01-01")), 0);
	assert_near(date_months(DAY_NONE, at("2026-01-01")), 0);
	assert_near(date_months(at("2026-01-01"), DAY_NONE), 0);
}

/* Whatever the clock says, it is a day of this century. */
static void today(void **state)
{
	(void)state;
	day d = date_today();
	assert_true(d > at("2020-01-01") && d < at("2190-01-01"));
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_day), cmocka_unit_test(no_such_date),
		cmocka_unit_test(parse_strictly), cmocka_unit_test(iso_weeks),
		cmocka_unit_test(long_years), cmocka_unit_test(differences),
		cmocka_unit_test(serials), cmocka_unit_test(months),
		cmocka_unit_test(today),
	};
	return cmocka_run_group_tests_name("date", tests, NULL, NULL);
}

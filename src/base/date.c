/* date.c - civil dates by plain day counting.
 *
 * The year is taken to begin on 1 March, so that the leap day is its last day
 * and the months before it have fixed lengths: 153 days in every five. */
#include "base/date.h"

#include <time.h>

enum {
	YEAR_FIRST = 1900,
	YEAR_LAST = 2199,
	DAYS_400 = 146097,     /* days in 400 Gregorian years */
	EPOCH = 719468,        /* days from 0000-03-01 to 1970-01-01 */
	SERIAL_OFFSET = 25569 /* days from 1899-12-30 to 1970-01-01 */
};

static bool is_leap(int year)
{
	return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

static int month_length(int year, int month)
{
	static const signed char length[] = { 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 };
	return length[month - 1] + (month == 2 && is_leap(year));
}

static day count_days(int year, int month, int mday)
{
	int march_year = month > 2 ? year : year - 1;
	int march_month = month > 2 ? month - 3 : month + 9; /* 0 is March */
	return march_year * 365 + march_year / 4 - march_year / 100 + march_year / 400 +
	       (153 * march_month + 2) / 5 + mday - 1 - EPOCH;
}

day date_from_civil(int year, int month, int mday)
{
	if (year < YEAR_FIRST || year > YEAR_LAST || month < 1 || month > 12 || mday < 1 ||
	    mday > month_length(year, month))
		return DAY_NONE;
	return count_days(year, month, mday);
}

struct civil date_civil(day d)
{
	if (d == DAY_NONE)
		return (struct civil){ 0, 0, 0 };
	int64_t n = (int64_t)d + EPOCH;
	int64_t cycle = n / DAYS_400;
	if (n % DAYS_400 < 0)
		cycle--;
	int in_cycle = (int)(n - cycle * DAYS_400);
	/* Take the leap days out: one each 4 years (1461 days), none each 100 (36524). */
	int year = (in_cycle - in_cycle / 1460 + in_cycle / 36524 - in_cycle / (DAYS_400 - 1)) / 365;
	int in_year = in_cycle - (365 * year + year / 4 - year / 100);
	int march_month = (5 * in_year + 2) / 153;
	int month = march_month < 10 ? march_month + 3 : march_month - 9;
	return (struct civil){ .year = (int)(cycle * 400) + year + (month <= 2),
		               .month = month,
		               .mday = in_year - (153 * march_month + 2) / 5 + 1 };
}

struct iso_week date_week(day d)
{
	if (d == DAY_NONE)
		return (struct iso_week){ 0, 0, 0 };
	int weekday = (int)(((int64_t)d % 7 + 7 + 3) % 7) + 1; /* 1970-01-01 was a Thursday */
	/* A week belongs to the year that holds its Thursday (ISO 8601). */
	day thursday = d - weekday + 4;
	int year = date_civil(thursday).year;
	int week = (thursday - count_days(year, 1, 1)) / 7 + 1;
	return (struct iso_week){ year, week, weekday };
}

static int two_digits(const char *p)
{
	return (p[0] - '0') * 10 + (p[1] - '0');
}

bool date_form(struct str s)
{
	if (s.n != 10 || s.p[4] != '-' || s.p[7] != '-')
		return false;
	for (size_t i = 0; i < 10; i++) {
		if (i != 4 && i != 7 && (s.p[i] < '0' || s.p[i] > '9'))
			return false;
	}
	return true;
}

bool date_parse(struct str s, day *out)
{
	if (!date_form(s))
		return false;
	day d = date_from_civil(two_digits(s.p) * 100 + two_digits(s.p + 2), two_digits(s.p + 5),
	                        two_digits(s.p + 8));
	if (d == DAY_NONE)
		return false;
	*out = d;
	return true;
}

static void put_digits(char *p, int value, int n)
{
	while (n-- > 0) {
		p[n] = (char)('0' + value % 10);
		value /= 10;
	}
}

void date_print(day d, char out[11])
{
	struct civil c = date_civil(d);
	if (d == DAY_NONE || c.year < 0 || c.year > 9999) {
		out[0] = '-';
		out[1] = '\0';
		return;
	}
	put_digits(out, c.year, 4);
	out[4] = '-';
	put_digits(out + 5, c.month, 2);
	out[7] = '-';
	put_digits(out + 8, c.mday, 2);
	out[10] = '\0';
}

day date_add_months(day d, int n)
{
	if (d == DAY_NONE)
		return DAY_NONE;
	struct civil c = date_civil(d);
	int64_t months = (int64_t)c.year * 12 + c.month - 1 + n;
	if (months < YEAR_FIRST * 12 || months > YEAR_LAST * 12 + 11)
		return DAY_NONE;
	int year = (int)(months / 12), month = (int)(months % 12) + 1;
	int last = month_length(year, month);
	return date_from_civil(year, month, c.mday < last ? c.mday : last);
}

double date_months(day a, day b)
{
	if (a == DAY_NONE || b == DAY_NONE || b <= a)
		return 0;
	return ((double)b - (double)a) / DAYS_PER_MONTH;
}

day date_today(void)
{
	time_t now = time(NULL);
	struct tm tm;
	if (now == (time_t)-1 || !localtime_r(&now, &tm))
		return DAY_NONE;
	return date_from_civil(tm.tm_year + 1900, tm.tm_mon + 1, tm.tm_mday);
}

int32_t date_serial(day d)
{
	return d == DAY_NONE ? 0 : d + SERIAL_OFFSET;
}

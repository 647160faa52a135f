/* date.h - civil dates as day numbers, ISO 8601 weeks.
 *
 * A day is the count of days since 1970-01-01 in the proleptic Gregorian
 * calendar; no clock time, no zone, so a difference of days is exact across
 * summer time.  Range: years 1900 to 2199.
 */
#ifndef BASE_DATE_H
#define BASE_DATE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/str.h"

typedef int32_t day;
#define DAY_NONE INT32_MIN
#define DAYS_PER_MONTH (365.25 / 12.0) /* the month of storage losses */

struct civil {
	int year, month, mday;
};
struct iso_week {
	int year, week, weekday; /* Monday is 1 */
};

day date_from_civil(int year, int month, int mday); /* DAY_NONE when no such date */
struct civil date_civil(day d);
struct iso_week date_week(day d);
/* YYYY-MM-DD and nothing else; false when it is no date in range. */
bool date_parse(struct str s, day *out);
bool date_form(struct str s); /* written as one, whether or not there is such a day */
/* Writes 10 characters and a NUL. DAY_NONE prints as "-". */
void date_print(day d, char out[11]);
/* Same day of the month `n` months on; the last day where it does not exist. */
day date_add_months(day d, int n); /* DAY_NONE outside the range */
/* (b - a) / DAYS_PER_MONTH, never negative; 0 when either is DAY_NONE. */
double date_months(day a, day b);
/* Local civil date of the clock. The only place that looks at the clock. */
day date_today(void);
/* Days since 1899-12-30, as spreadsheets count (valid from 1900-03-01).
 * DAY_NONE gives 0. */
int32_t date_serial(day d);

#endif

/* calendar.h - weeks as ISO 8601 counts them: Monday to Sunday, numbered within the year
 * that holds their Thursday, so that 2027-01-01 is in 2026-W53.  Plain civil days, no
 * clock; a season may run over the new year (southern hemisphere) and over a 53rd week. */
#ifndef RECKON_CALENDAR_H
#define RECKON_CALENDAR_H

#include "base/date.h"

enum { WEEK_DAYS = 7, WEEK_TEXT = 9 };

/* Monday of the day's week; DAY_NONE for DAY_NONE. */
day week_monday(day d);
/* "2026-W31" and a NUL; "-" for DAY_NONE. */
void week_print(day d, char out[WEEK_TEXT]);
/* Weeks from a's to b's: 0 in the same week. Neither is DAY_NONE. */
int32_t week_count(day a, day b);

#endif

/* calendar.c - ISO 8601 weeks on top of day numbers. */
#include "reckon/calendar.h"

day week_monday(day d)
{
	return d == DAY_NONE ? DAY_NONE : d - date_week(d).weekday + 1;
}

void week_print(day d, char out[WEEK_TEXT])
{
	struct iso_week w = date_week(d);
	if (d == DAY_NONE || w.year < 0 || w.year > 9999) {
		out[0] = '-';
		out[1] = '\0';
		return;
	}
	static const int places[] = { 1000, 100, 10, 1 };
	for (int i = 0; i < 4; i++)
		out[i] = (char)('0' + w.year / places[i] % 10);
	out[4] = '-';
	out[5] = 'W';
	out[6] = (char)('0' + w.week / 10);
	out[7] = (char)('0' + w.week % 10);
	out[8] = '\0';
}

int32_t week_count(day a, day b)
{
	return (week_monday(b) - week_monday(a)) / WEEK_DAYS;
}

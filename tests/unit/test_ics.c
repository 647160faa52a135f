/* test_ics.c - content lines of RFC 5545 (its examples from memory, by section). */
#include "report/ics.h"

#include <string.h>

#include "help.h"

static void assert_escaped(const char *plain, const char *want)
{
	struct buf b;
	buf_init(&b, 1 << 16);
	ics_escape(&b, str_of(plain));
	assert_string_equal(b.data, want);
	buf_release(&b);
}

static void texts(void **state)
{
	(void)state;
	/* Section 3.3.11, and LOCATION of 3.8.1.7, DESCRIPTION of 3.8.1.5. */
	assert_escaped("Project XYZ Final Review\nConference Room - 3B\nCome Prepared.",
		       "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.");
	assert_escaped("Conference Room - F123, Bldg. 002", "Conference Room - F123\\, Bldg. 002");
	assert_escaped("Meeting to provide technical review for \"Phoenix\" design.\n"
		       "Happy Face Conference Room.",
		       "Meeting to provide technical review for \"Phoenix\" design.\\n"
		       "Happy Face Conference Room.");
	assert_escaped("a;b\\c\\n:d", "a\\;b\\\\c\\\\n:d");
	assert_escaped("two\r\nlines\tand a tab", "two\\nlines\tand a tab");
	assert_escaped("bell \a, \x7f, \xff", "bell \xef\xbf\xbd\\, \xef\xbf\xbd\\, \xef\xbf\xbd");
	assert_escaped("", "");
}

/* Section 3.1: take every CR LF with the blank after it away. */
static void unfold(const struct buf *folded, struct buf *out)
{
	for (size_t i = 0; i < folded->len; i++) {
		if (strncmp(folded->data + i, "\r\n ", 3) == 0)
			i += 2;
		else
			buf_char(out, folded->data[i]);
	}
}

static void check_fold(const char *line)
{
	struct buf folded, plain;
	size_t start = 0;
	buf_init(&folded, 1 << 16);
	buf_init(&plain, 1 << 16);
	ics_fold(&folded, str_of(line));
	for (size_t i = 0; i + 1 < folded.len; i++) {
		if (folded.data[i] != '\r')
			continue;
		assert_true(i - start <= ICS_LINE);
		assert_int_equal(folded.data[i + 1], '\n');
		struct str one = { folded.data + start, i - start };
		assert_int_equal(str_utf8_bad(one), one.n);
		start = i + 2;
	}
	assert_int_equal(start, folded.len);
	unfold(&folded, &plain);
	assert_int_equal(plain.len, strlen(line) + 2);
	assert_memory_equal(plain.data, line, strlen(line));
	buf_release(&folded);
	buf_release(&plain);
}

static void lines(void **state)
{
	(void)state;
	char line[400];
	check_fold("DESCRIPTION:This is a long description that exists on a long line.");
	check_fold("");
	for (size_t n = 60; n < 230; n++) {
		memset(line, 'x', n);
		line[n] = '\0';
		check_fold(line);
		/* Characters of two, three and four bytes across the fold. */
		static const char *const wide[] = { "\xc3\xa9", "\xe6\x97\xa5", "\xf0\x9f\x8c\xbe" };
		for (size_t k = 0; k < COUNT(wide); k++) {
			for (size_t at = n - 10; at < n; at++) {
				snprintf(line + at, sizeof line - at, "%s%s end", wide[k], wide[k]);
				check_fold(line);
				memset(line, 'x', n);
			}
		}
	}
	/* 75 octets stand on one line, the 76th begins another. */
	struct buf b;
	buf_init(&b, 1 << 10);
	memset(line, 'y', 76);
	ics_fold(&b, (struct str){ line, 75 });
	assert_int_equal(b.len, 77);
	buf_clear(&b);
	ics_fold(&b, (struct str){ line, 76 });
	assert_string_equal(b.data + 75, "\r\n y\r\n");
	buf_release(&b);
}

/* Section 3.6.1: the festival from 28 June to 8 July ends, not included, on the 9th. */
static void event(void **state)
{
	(void)state;
	struct buf b;
	buf_init(&b, 1 << 12);
	struct ics_event jazz = { .uid = STR("20070423T123432Z-541111@example.com"),
				  .from = date_from_civil(2007, 6, 28),
				  .to = date_from_civil(2007, 7, 8),
				  .summary = STR("Festival International de Jazz de Montreal"),
				  .category = STR("FESTIVAL") };
	assert_int_equal(ics_calendar(&b, &jazz, 1, date_from_civil(2007, 4, 23)), 0);
	assert_string_equal(b.data,
			    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//thrave//thrave 0.1.0//EN\r\n"
			    "CALSCALE:GREGORIAN\r\nBEGIN:VEVENT\r\n"
			    "UID:20070423T123432Z-541111@example.com\r\nDTSTAMP:20070423T000000Z\r\n"
			    "DTSTART;VALUE=DATE:20070628\r\nDTEND;VALUE=DATE:20070709\r\n"
			    "SUMMARY:Festival International de Jazz de Montreal\r\nCATEGORIES:FESTIVAL\r\n"
			    "TRANSP:TRANSPARENT\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n");
	buf_release(&b);
	/* Too large is said, not cut off. */
	buf_init(&b, 300);
	assert_int_equal(ics_calendar(&b, &jazz, 1, date_from_civil(2007, 4, 23)), -1);
	buf_release(&b);
	/* The last day of February, and over the new year. */
	buf_init(&b, 1 << 12);
	jazz.from = date_from_civil(2028, 2, 29);
	jazz.to = date_from_civil(2028, 12, 31);
	assert_int_equal(ics_calendar(&b, &jazz, 1, date_from_civil(2007, 4, 23)), 0);
	assert_non_null(strstr(b.data, "DTSTART;VALUE=DATE:20280229\r\nDTEND;VALUE=DATE:20290101\r\n"));
	buf_release(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(texts),
		cmocka_unit_test(lines),
		cmocka_unit_test(event),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

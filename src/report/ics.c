/* ics.c - content lines of RFC 5545. */
#include "report/ics.h"

#include "base/version.h"

enum { LINE_MOST = 1 << 17 };

void ics_escape(struct buf *out, struct str text)
{
	for (size_t i = 0, n; i < text.n; i += n) {
		int32_t code;
		n = str_next(text, i, &code);
		if (code == '\\' || code == ';' || code == ',')
			buf_char(out, '\\');
		if (code == '\n')
			buf_text(out, "\\n");
		else if (code == '\r')
			continue;
		else if (code < 0 || code == 127 || (code < ' ' && code != '\t')) /* no CONTROL in a text */
			buf_text(out, "\xef\xbf\xbd");
		else
			buf_add(out, text.p + i, n);
	}
}

void ics_fold(struct buf *out, struct str line)
{
	size_t column = 0;
	for (size_t i = 0, n; i < line.n; i += n) {
		int32_t code;
		n = str_next(line, i, &code);
		if (column + n > ICS_LINE) {
			buf_text(out, "\r\n ");
			column = 1;
		}
		buf_add(out, line.p + i, n);
		column += n;
	}
	buf_text(out, "\r\n");
}

static void put_text(struct buf *out, const char *name, struct str text)
{
	struct buf line;
	buf_init(&line, LINE_MOST);
	buf_printf(&line, "%s:", name);
	ics_escape(&line, text);
	out->full |= line.full;
	ics_fold(out, buf_slice(&line));
	buf_release(&line);
}

static void put_day(struct buf *out, const char *name, day d, const char *time)
{
	struct civil c = date_civil(d);
	buf_printf(out, "%s:%04d%02d%02d%s\r\n", name, c.year, c.month, c.mday, time);
}

static void put_event(struct buf *out, const struct ics_event *e, day stamp)
{
	buf_text(out, "BEGIN:VEVENT\r\n");
	put_text(out, "UID", e->uid);
	put_day(out, "DTSTAMP", stamp, "T000000Z");
	put_day(out, "DTSTART;VALUE=DATE", e->from, "");
	put_day(out, "DTEND;VALUE=DATE", e->to + 1, "");
	put_text(out, "SUMMARY", e->summary);
	if (e->description.n)
		put_text(out, "DESCRIPTION", e->description);
	put_text(out, "CATEGORIES", e->category);
	buf_text(out, "TRANSP:TRANSPARENT\r\nEND:VEVENT\r\n");
}

int ics_calendar(struct buf *out, const struct ics_event *events, size_t n, day stamp)
{
	buf_text(out, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//thrave//thrave " THRAVE_VERSION
		      "//EN\r\nCALSCALE:GREGORIAN\r\n");
	for (size_t i = 0; i < n; i++)
		put_event(out, &events[i], stamp);
	buf_text(out, "END:VCALENDAR\r\n");
	return out->full ? -1 : 0;
}

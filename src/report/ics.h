/* ics.h - a calendar as RFC 5545 (iCalendar) writes one: all-day events only.
 *
 * Lines end in CR LF and are folded at ICS_LINE octets, never inside a character
 * (section 3.1); texts are escaped (3.3.11); days are DATE values, and the end of an
 * event is the day after its last (3.6.1, 3.8.2.2).  Nothing comes from the clock: the
 * same events and stamp give the same bytes. */
#ifndef REPORT_ICS_H
#define REPORT_ICS_H

#include "base/buf.h"
#include "base/date.h"

enum { ICS_LINE = 75 };

struct ics_event {
	struct str uid;         /* ASCII, no two alike; the same event keeps its own for ever */
	day from, to;           /* both included */
	struct str summary, description, category; /* any text; description may be empty */
};

/* n is 1 or more: a calendar without a component is none (3.6).  stamp: DTSTAMP, at
 * midnight UTC. -1 when the output is too large. */
int ics_calendar(struct buf *out, const struct ics_event *events, size_t n, day stamp);

/* For the tests too. */
void ics_escape(struct buf *out, struct str text); /* a TEXT value */
void ics_fold(struct buf *out, struct str line);   /* a content line, CR LF added */

#endif

/* dates.c - the season's dates as a calendar file. */
#include "base/file.h"
#include "commands/commands.h"
#include "commands/planned.h"
#include "commands/session.h"
#include "report/text.h"

enum { CALENDAR_MOST = 1 << 26, LINES_MOST = 1 << 20 };

static int write_calendar(const struct session *s, const struct ics_event *events, size_t n,
			  const char *path)
{
	struct buf out;
	struct file_error err = { "The calendar is too large." };
	buf_init(&out, CALENDAR_MOST);
	int failed = ics_calendar(&out, events, n, s->report.on) || file_write(path, buf_slice(&out), &err);
	buf_release(&out);
	return failed ? session_failure(err.text) : EXIT_DONE;
}

static void count_kinds(struct buf *b, const struct dates *d)
{
	for (int kind = 0, said = 0; kind < DATED_KINDS; kind++) {
		size_t n = 0;
		for (size_t i = 0; i < d->n; i++)
			n += d->items[i].kind == (enum dated_kind)kind;
		if (n)
			buf_printf(b, "%s%s %zu", said++ ? ", " : "", dated_word((enum dated_kind)kind), n);
	}
}

static void add_wrapped(struct buf *b, struct str sentence)
{
	while (sentence.n) {
		buf_str(b, text_wrap(&sentence, REPORT_WIDTH));
		buf_char(b, '\n');
	}
}

static int say(struct session *s, const struct dates *d, const char *path)
{
	struct buf b, kinds;
	buf_init(&b, LINES_MOST);
	buf_init(&kinds, LINES_MOST);
	if (!d->n) {
		buf_text(&b, "There is no date to write, so no calendar was written.\n");
	} else {
		buf_printf(&b, "%zu %s in ", d->n, d->n == 1 ? "date stands" : "dates stand");
		buf_visible(&b, str_of(path), LINES_MOST);
		buf_text(&b, ".\n");
		count_kinds(&kinds, d);
		add_wrapped(&b, buf_slice(&kinds));
	}
	for (size_t i = 0; i < s->now.remarks.n; i++)
		add_wrapped(&b, str_of(s->now.remarks.items[i].text));
	int status = s->req->quiet ? EXIT_DONE : session_print(&b);
	buf_release(&kinds);
	buf_release(&b);
	return status == EXIT_DONE && !d->n ? EXIT_NO : status;
}

int command_dates(const struct request *req)
{
	struct session s;
	const char *path = req->output ? req->output : "thrave.ics";
	int status = session_open(&s, req, RECKON_STOCK);
	if (status)
		return session_close(&s, status);
	struct hang_lots lots;
	struct dates dates;
	struct plan plan;
	if (planned(&plan, &s.now, NULL, NULL, &s.diag)) {
		s.opened = false;
		return session_close(&s, EXIT_INPUT);
	}
	remarks_init(&s.now.remarks, &s.arena); /* those on the stock are for `stock` */
	hang_waiting(&lots, s.farm, &s.now.rates, s.report.on, &s.arena, &s.now.remarks);
	dates_gather(&dates, s.farm, &lots, &plan, s.report.on, &s.arena, &s.now.remarks);
	struct ics_event *events = ARENA_ARRAY(&s.arena, dates.n + 1, struct ics_event);
	of_dates(events, &dates, s.farm, &plan, &s.arena);
	if (dates.n)
		status = write_calendar(&s, events, dates.n, path);
	if (status == EXIT_DONE)
		status = say(&s, &dates, path);
	s.opened = false; /* the calendar is the report */
	return session_close(&s, status);
}

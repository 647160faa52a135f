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

static size_t not_any_more(const struct dates *now, const struct dates *today)
{
	size_t n = 0;
	for (size_t i = 0; i < today->n; i++) {
		bool there = false;
		for (size_t k = 0; k < now->n && !there; k++)
			there = now->items[k].kind == today->items[i].kind &&
				now->items[k].index == today->items[i].index &&
				now->items[k].nth == today->items[i].nth;
		n += !there;
	}
	return n;
}

struct calendar {
	struct dates now, today;
	struct plan plan, plan_today;
	size_t other; /* not as today */
};

static void say_supposed(struct buf *b, const struct session *s, const struct calendar *c)
{
	const struct report *r = &s->report;
	for (size_t i = 0; i < r->nchanges; i++) {
		struct str text = report_change_text(r, &r->changes[i]);
		add_wrapped(b, report_printf(r->arena, "Supposed %.*s", STR_ARG(text)));
	}
	size_t gone = not_any_more(&c->now, &c->today);
	add_wrapped(b, report_printf(r->arena,
				     "Each date says that it is supposed, and is kept apart from today's in a "
				     "calendar. %zu of %zu are on another day or of another number than today's.",
				     c->other, c->now.n));
	if (gone)
		add_wrapped(b, report_printf(r->arena, "Today's that are not among them: %zu.", gone));
}

static int say(struct session *s, const struct calendar *c, const char *path)
{
	const struct dates *d = &c->now;
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
	if (s->view.today)
		say_supposed(&b, s, c);
	for (size_t i = 0; i < s->now.remarks.n; i++)
		add_wrapped(&b, str_of(s->now.remarks.items[i].text));
	int status = s->req->quiet ? EXIT_DONE : session_print(&b);
	buf_release(&kinds);
	buf_release(&b);
	return status == EXIT_DONE && !d->n ? EXIT_NO : status;
}

static int gather(struct session *s, struct reckoning *k, struct dates *dates, struct plan *plan,
		  struct diag *diag)
{
	struct hang_lots lots;
	if (planned(plan, k, NULL, NULL, diag))
		return EXIT_INPUT;
	remarks_init(&k->remarks, k->arena); /* those on the stock are for `stock` */
	hang_waiting(&lots, k->farm, &k->rates, s->report.on, k->arena, &k->remarks);
	dates_gather(dates, k->farm, &lots, plan, s->report.on, k->arena, &k->remarks);
	return 0;
}

static int reckon_calendar(struct session *s, struct calendar *c)
{
	int status = gather(s, &s->now, &c->now, &c->plan, &s->diag);
	if (!status && s->view.today) {
		status = gather(s, &s->today, &c->today, &c->plan_today, &s->before_diag);
		if (status)
			s->diag = s->before_diag;
	}
	return status;
}

int command_dates(const struct request *req)
{
	struct session s;
	struct calendar c = { .other = 0 };
	const char *path = req->output ? req->output : "thrave.ics";
	int status = session_open(&s, req, RECKON_STOCK);
	if (!status)
		status = reckon_calendar(&s, &c);
	s.opened = false; /* the calendar is the report */
	if (status)
		return session_close(&s, status);
	struct dates_of now = { s.now.farm, &c.plan, &c.now }, today = { s.today.farm, &c.plan_today, &c.today };
	struct ics_event *events = ARENA_ARRAY(&s.arena, c.now.n + 1, struct ics_event);
	c.other = of_dates(events, &now, s.view.today ? &today : NULL, &s.report);
	if (c.now.n)
		status = write_calendar(&s, events, c.now.n, path);
	if (status == EXIT_DONE)
		status = say(&s, &c, path);
	return session_close(&s, status);
}

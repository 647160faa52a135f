/* watch.c - progress and Ctrl-C. */
#include "commands/watch.h"

#include <stdarg.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/str.h"
#include "report/report.h"

enum { LINE_MOST = 256, EVERY_MS = 200 };

/* The one thing that a signal handler may touch. */
static volatile sig_atomic_t stopped;

static void on_interrupt(int number)
{
	(void)number;
	stopped = 1;
}

const volatile sig_atomic_t *watch_stop(void)
{
	return &stopped;
}

void watch_open(struct watch *w, bool quiet)
{
	/* SA_RESETHAND: the second Ctrl-C has its usual effect. */
	struct sigaction action = { .sa_handler = on_interrupt,
				    .sa_flags = (int)(SA_RESETHAND | SA_RESTART) };
	*w = (struct watch){ .shows = !quiet && isatty(STDERR_FILENO) };
	sigemptyset(&action.sa_mask);
	sigaction(SIGINT, NULL, &w->before);
	if (w->before.sa_handler != SIG_IGN) /* started with & or nohup: stay deaf */
		sigaction(SIGINT, &action, NULL);
}

static void clear(struct watch *w)
{
	if (w->shown)
		fprintf(stderr, "\r%*s\r", REPORT_WIDTH - 1, "");
	w->shown = false;
}

void watch_close(struct watch *w)
{
	clear(w);
	sigaction(SIGINT, &w->before, NULL);
}

void watch_say(struct watch *w, const char *fmt, ...)
{
	struct timespec now;
	if (!w->shows || clock_gettime(CLOCK_MONOTONIC, &now))
		return;
	long long ms = (long long)(now.tv_sec - w->last.tv_sec) * 1000 +
		       (now.tv_nsec - w->last.tv_nsec) / 1000000;
	if (w->shown && ms < EVERY_MS)
		return;
	struct buf b;
	va_list ap;
	buf_init(&b, LINE_MOST);
	va_start(ap, fmt);
	buf_vprintf(&b, fmt, ap);
	va_end(ap);
	clear(w);
	fprintf(stderr, "%.*s", REPORT_WIDTH - 1, b.data);
	fflush(stderr);
	buf_release(&b);
	w->shown = true;
	w->last = now;
}

/* session.h - what all commands on a farm share: load it (twice with --suppose or beside another),
 * reckon, fill a report, write it once, say what was wrong.
 *
 *     struct session s;
 *     int status = session_open(&s, req, RECKON_COSTS);
 *     if (!status)
 *             of_cost(&s.report, &s.view);
 *     return session_close(&s, status);
 */
#ifndef COMMANDS_SESSION_H
#define COMMANDS_SESSION_H

#include "base/buf.h"
#include "base/diag.h"
#include "base/mem.h"
#include "commands/options.h"
#include "reckon/caution.h"
#include "reckon/reckon.h"
#include "report/of.h"
#include "report/report.h"

struct session {
	const struct request *req;
	struct arena arena, before; /* the supposed farm's, today's farm's */
	struct diag diag, before_diag;
	struct farm *farm;
	struct reckoning now, today, beside;
	struct view view; /* for the builders */
	struct report report;
	bool opened; /* the report holds what was asked for */
};

/* 0, or an exit status: then nothing but session_close() may follow. */
int session_open(struct session *s, const struct request *req, unsigned what);
/* Two sides, for `beside`: s->now, and s->beside of the other folder or day. */
int session_open_beside(struct session *s, const struct request *req, unsigned what);
/* Renders and writes the report (when status allows), prints the diagnostics,
 * frees all.  The exit status of the program. */
int session_close(struct session *s, int status);
/* Farm only, for `book`: no report. */
int session_load(struct session *s, const struct request *req);
/* The same farm, suppositions too, loaded once more into the session's arena: to be changed by
 * who asked for it.  0 or an exit status. */
int session_again(struct session *s, struct farm **farm);
/* EXIT_USAGE when --of names a kind of thing that the command does not speak of. */
int session_takes(struct session *s);
/* Cautions that go with what the command is about (bits 1 << when); `check` says all. */
void session_cautions(struct session *s, unsigned whens);
/* An error that lies in the command line, seen only now; EXIT_USAGE. */
int session_usage(struct session *s, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
/* The error that the farm has no such name, with the nearest; EXIT_USAGE. */
int session_unknown(struct session *s, struct str name);

/* Text to stdout; EXIT_DONE or EXIT_SYSTEM. */
int session_print(const struct buf *text);
/* "The page stands in FILE.", unless --quiet. */
int session_stands(const struct request *req, const char *what, const char *path);
/* One line `thrave: ...` on stderr; EXIT_SYSTEM. */
int session_failure(const char *sentence);

#endif

/* note.c - writes what happened into the bench log.
 *
 * All of it under the lock: the farm is read, the line made, the farm read again with
 * the line in its place - so that what is written is what will be read - and the line
 * added (base/journal.h).  Nothing is written before everything is known to be right. */
#include "commands/note_in.h"

#include "base/file.h"
#include "commands/commands.h"

#define LOCK_FILE ".bench.csv.lock"
enum { OUT_MOST = 1 << 20 };

static const char *folder_of(const struct request *req)
{
	return req->folder ? req->folder : ".";
}

/* ---- the line, read as it will be ---- */

static bool in_line(const struct noting *n, const struct diag_item *item)
{
	const struct diag *d = &n->diag;
	return item->at.file && str_is(d->sources[item->at.file - 1].name, "bench.csv") &&
	       item->at.off >= n->farm->log_form.added;
}

/* What the reader says of the line is said of the command line. */
static int relay(struct noting *n, int status)
{
	/* A weighing of no batch is passed over in the log, but is none to begin with. */
	bool weighed = n->event == EVENT_WEIGHED;
	for (size_t i = 0; i < n->diag.nitems; i++) {
		const struct diag_item *item = &n->diag.items[i];
		if (!in_line(n, item))
			continue;
		if (item->level == DIAG_NOTE) {
			n->same = n->same || str_starts(item->also_text, "the same entry");
			continue;
		}
		bool wrong = item->level == DIAG_ERROR || weighed;
		if (str_is(item->column, "strikes"))
			session_usage(&n->s, "bench.csv has no entry %s.",
				      diag_quote(&n->s.diag, n->cells[BENCH_STRIKES]));
		else if (str_is(item->column, "id"))
			session_usage(&n->s, "bench.csv has an entry %s that does not say the same.",
				      diag_quote(&n->s.diag, n->cells[BENCH_ID]));
		else
			diag_add(&n->s.diag, wrong ? DIAG_ERROR : item->level, SPAN_NONE, "%.*s",
				 STR_ARG(item->text));
		if (item->hint.n)
			diag_hint(&n->s.diag, "%.*s", STR_ARG(item->hint));
		if (wrong)
			status = EXIT_USAGE;
	}
	return status;
}

static int read_back(struct noting *n)
{
	struct load_options options = { .log_line = buf_slice(&n->line) };
	diag_init(&n->diag, &n->arena);
	int code = farm_load(&n->farm, &n->arena, folder_of(n->req), &options, &n->diag);
	int status = relay(n, code == -2 ? EXIT_SYSTEM : code ? EXIT_INPUT : 0);
	if (status == EXIT_INPUT || status == EXIT_SYSTEM)
		return session_failure("The files of the farm changed while they were read. Try again.");
	const struct farm *farm = n->farm;
	if (!status && !n->same && farm->nlog > n->s.farm->nlog)
		n->entry = &farm->log[farm->nlog - 1];
	if (!status && n->same)
		n->entry = n->old;
	return status;
}

static int make_line(struct noting *n)
{
	const struct log_form *form = &n->s.farm->log_form;
	size_t lacks = log_line_write(&n->line, form, n->cells);
	if (lacks == BENCH_COLUMNS)
		return 0;
	const char *name = csv_table_of(TABLE_BENCH)->columns[lacks].name;
	diag_error(&n->s.diag, SPAN_NONE, "bench.csv has no column `%s`, which this needs.", name);
	diag_hint(&n->s.diag, "add it with a spreadsheet%s",
		  lacks == BENCH_END ? ", as the last one; its cells may stay empty"
				     : ", before the column `end`; its cells may stay empty");
	return EXIT_INPUT;
}

/* ---- writing ---- */

static int write_line(struct noting *n)
{
	const struct log_form *form = &n->s.farm->log_form;
	const char *folder = folder_of(n->req);
	const char *path = file_join(&n->arena, folder, csv_table_of(TABLE_BENCH)->file);
	struct str line = buf_slice(&n->line);
	struct file_error err;
	int failed;
	if (!n->s.farm->has_log)
		failed = journal_create(path, line, &err);
	else
		failed = (form->size > form->whole &&
			  journal_set_aside(path, form->whole, form->size,
					    file_join(&n->arena, folder, BENCH_TORN), &err)) ||
			 journal_append(path, form->whole, line, &err);
	return failed ? session_failure(err.text) : 0;
}

static int print(struct noting *n)
{
	struct buf out;
	buf_init(&out, OUT_MOST);
	if (n->s.farm->log_form.size > n->s.farm->log_form.whole && !n->req->try_only && !n->same)
		buf_text(&out, "The torn last line was moved into " BENCH_TORN ".\n");
	note_say(n, &out);
	int status = session_print(&out);
	buf_release(&out);
	if (status && !n->req->try_only)
		session_failure("The entry is written all the same: see bench.csv.");
	return status;
}

static int note(struct noting *n)
{
	int status = session_load(&n->s, n->req);
	if (!status)
		status = note_cells(n);
	if (!status)
		status = make_line(n);
	if (!status)
		status = read_back(n);
	if (!status && !n->same)
		status = note_amounts(n);
	if (!status && !n->same && !n->req->try_only)
		status = write_line(n);
	return status ? status : print(n);
}

/* ---- the lock ---- */

/* A folder that is no farm gets no lock file. */
static int look(const struct request *req)
{
	struct session s;
	int status = session_load(&s, req);
	if (status)
		return session_close(&s, status);
	arena_release(&s.before);
	arena_release(&s.arena);
	return 0;
}

static int lock(struct noting *n, struct journal_lock *held)
{
	struct file_error err;
	const char *path = file_join(&n->arena, folder_of(n->req), LOCK_FILE);
	int status = file_exists(path) ? 0 : look(n->req);
	if (status)
		return status;
	return journal_lock(held, path, &err) ? session_failure(err.text) : 0;
}

int command_note(const struct request *req)
{
	struct noting n = { .req = req, .event = (enum event)req->event };
	struct journal_lock held = { -1 };
	arena_init(&n.arena);
	int status = req->try_only ? 0 : lock(&n, &held);
	if (!status) {
		buf_init(&n.line, OUT_MOST);
		status = note(&n);
		journal_unlock(&held);
		buf_release(&n.line);
		status = session_close(&n.s, status);
	}
	arena_release(&n.arena);
	return status;
}

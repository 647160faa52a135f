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
	struct load_options options = { .log_line = buf_slice(&n->line), .log_text = buf_slice(&n->wide) };
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

static const char *bench_path(struct noting *n)
{
	return file_join(&n->arena, folder_of(n->req), csv_table_of(TABLE_BENCH)->file);
}

/* Columns that an older log has not yet. */
static int add_columns(struct noting *n)
{
	struct log_form *form = &n->s.farm->log_form;
	struct file_error err;
	unsigned lacks = log_line_lacks(form, n->cells);
	if (!lacks || lacks >> BENCH_END & 1)
		return 0;
	if (file_read(&n->arena, bench_path(n), &n->log, &err))
		return session_failure(err.text);
	if (n->log.n != form->size)
		return session_failure("The files of the farm changed while they were read. Try again.");
	if (log_line_widen(&n->wide, form, (struct str){ n->log.p, form->whole }, lacks, &n->arena))
		n->added = lacks;
	return 0;
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
	const char *path = bench_path(n);
	struct str line = buf_slice(&n->line);
	struct file_error err;
	int failed = 0;
	if (!n->s.farm->has_log)
		return journal_create(path, line, &err) ? session_failure(err.text) : 0;
	if (form->size > form->whole)
		failed = journal_set_aside(path, form->whole, form->size,
					   file_join(&n->arena, folder_of(n->req), BENCH_TORN), &err);
	if (!failed && n->added) {
		buf_str(&n->wide, line);
		if (n->wide.full)
			return session_failure("bench.csv is too large.");
		failed = journal_replace(path, (struct str){ n->log.p, form->whole }, buf_slice(&n->wide), &err);
	} else if (!failed) {
		failed = journal_append(path, form->whole, line, &err);
	}
	return failed ? session_failure(err.text) : 0;
}

static void say_added(const struct noting *n, struct buf *out)
{
	bool first = true;
	if (!n->added || n->same || n->req->quiet)
		return;
	buf_text(out, n->req->try_only ? "bench.csv would get the column" : "bench.csv has got the column");
	buf_text(out, n->added & (n->added - 1) ? "s " : " ");
	for (size_t i = 0; i < BENCH_COLUMNS; i++) {
		if (!(n->added >> i & 1))
			continue;
		buf_printf(out, "%s%s", first ? "" : ", ", csv_table_of(TABLE_BENCH)->columns[i].name);
		first = false;
	}
	buf_text(out, ", empty in the lines before.\n");
}

static int print(struct noting *n)
{
	struct buf out;
	buf_init(&out, OUT_MOST);
	if (n->s.farm->log_form.size > n->s.farm->log_form.whole && !n->req->try_only && !n->same)
		buf_text(&out, "The torn last line was moved into " BENCH_TORN ".\n");
	say_added(n, &out);
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
		status = add_columns(n);
	if (!status)
		status = make_line(n);
	if (!status)
		status = read_back(n);
	if (!status && !n->same)
		status = note_amounts(n);
	if (!status && !n->same)
		status = note_slips(n);
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
		buf_init(&n.wide, FILE_SIZE_MOST);
		status = note(&n);
		journal_unlock(&held);
		buf_release(&n.line);
		buf_release(&n.wide);
		status = session_close(&n.s, status);
	}
	arena_release(&n.arena);
	return status;
}

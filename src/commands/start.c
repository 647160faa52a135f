/* start.c - writes a new farm folder: all of it, or nothing.
 *
 * A folder that holds texts or tables already is left alone, so nothing is ever
 * written over; when a file fails, those that were made are removed again. */
#include <dirent.h>
#include <errno.h>
#include <sys/stat.h>

#include "base/file.h"
#include "base/mem.h"
#include "base/number.h"
#include "commands/commands.h"
#include "commands/session.h"
#include "commands/start_files.h"

enum { FILE_MOST = 1 << 16, MADE_MOST = 64 };

struct start {
	struct arena arena;
	const char *folder;
	day on;
	const char *made[MADE_MOST]; /* paths, to be taken back */
	size_t nmade;
	struct buf why; /* what failed */
};

/* ---- the text ---- */

static int season(day on)
{
	enum { MARCH = 3 };
	struct civil c = date_civil(on);
	return c.month < MARCH ? c.year : c.year + 1;
}

/* Writes what stands between two `@`. */
static void put_mark(struct buf *b, struct str mark, day on)
{
	char date[11];
	struct rat days;
	if (str_is(mark, "S")) {
		buf_printf(b, "%d", season(on));
	} else if (number_decimal_all(mark, '.', &days) == NUMBER_OK) {
		date_print(on + (day)days.num, date);
		buf_text(b, date);
	}
}

static void put_line(struct buf *b, const char *line, day on)
{
	for (const char *at; (at = strchr(line, '@')) != NULL;) {
		const char *end = strchr(at + 1, '@');
		buf_add(b, line, (size_t)(at - line));
		put_mark(b, (struct str){ at + 1, (size_t)(end - at - 1) }, on);
		line = end + 1;
	}
	buf_text(b, line);
	buf_char(b, '\n');
}

/* ---- the files ---- */

static int fail(struct start *w, const char *path, const char *what)
{
	int code = errno;
	buf_visible(&w->why, str_of(path), FILE_MOST);
	buf_printf(&w->why, " cannot be %s: %s. Nothing was written.", what, strerror(code));
	return -1;
}

static int make_folder(struct start *w, const char *path)
{
	enum { MODE = 0777 };
	if (mkdir(path, MODE) == 0) {
		w->made[w->nmade++] = path;
		return 0;
	}
	return errno == EEXIST && file_is_folder(path) ? 0 : fail(w, path, "made");
}

static int make_file(struct start *w, const struct start_file *file)
{
	const char *path = file_join(&w->arena, w->folder, file->name);
	struct file_error err;
	struct buf text;
	buf_init(&text, FILE_MOST);
	for (size_t i = 0; file->lines[i]; i++)
		put_line(&text, file->lines[i], w->on);
	int failed = file_write(path, buf_slice(&text), &err);
	if (failed)
		buf_printf(&w->why, "%s Nothing was written.", err.text);
	else
		w->made[w->nmade++] = path;
	buf_release(&text);
	return failed;
}

static void take_back(struct start *w)
{
	while (w->nmade)
		remove(w->made[--w->nmade]);
}

static bool ends_in(const char *name, const char *ending)
{
	size_t n = strlen(name), m = strlen(ending);
	return n >= m && strcmp(name + n - m, ending) == 0;
}

/* -1 with a sentence when the folder holds texts or tables, or cannot be read. */
static int look_around(struct start *w)
{
	DIR *dir = opendir(w->folder);
	if (!dir)
		return errno == ENOENT ? 0 : fail(w, w->folder, "read");
	struct str first = STR_NONE; /* in byte order, so that it is always the same one */
	for (struct dirent *e; (e = readdir(dir)) != NULL;) {
		struct str name = str_of(e->d_name);
		if (!ends_in(e->d_name, ".txt") && !ends_in(e->d_name, ".csv") &&
		    !str_is(name, "pieces"))
			continue;
		if (!first.n || str_cmp(name, first) < 0)
			first = (struct str){ arena_copy(&w->arena, name.p, name.n), name.n };
	}
	closedir(dir);
	if (!first.n)
		return 0;
	buf_text(&w->why, "The folder holds ");
	buf_visible(&w->why, first, FILE_MOST);
	buf_text(&w->why, " already. Nothing was written.");
	return -1;
}

static int make_all(struct start *w)
{
	if (look_around(w) || make_folder(w, w->folder) ||
	    make_folder(w, file_join(&w->arena, w->folder, "pieces")))
		return -1;
	for (size_t i = 0; start_file_at(i); i++) {
		if (make_file(w, start_file_at(i)))
			return -1;
	}
	return 0;
}

static int say(const struct start *w)
{
	struct buf text;
	buf_init(&text, FILE_MOST);
	buf_text(&text, "A small invented farm stands in ");
	buf_visible(&text, str_of(w->folder), FILE_MOST);
	buf_text(&text, ":\n");
	for (size_t i = 0; start_file_at(i); i++)
		buf_printf(&text, "  %s\n", start_file_at(i)->name);
	buf_text(&text, "Read farm.txt first, then put your own figures in place of these.\n");
	int status = session_print(&text);
	buf_release(&text);
	return status;
}

/* Something that is not hidden stands here: a farm in the middle of it may be an accident. */
static bool occupied(void)
{
	bool any = false;
	DIR *dir = opendir(".");
	for (struct dirent *e; dir && (e = readdir(dir)) != NULL;)
		any = any || e->d_name[0] != '.';
	if (dir)
		closedir(dir);
	return any;
}

int command_start(const struct request *req)
{
	if (!req->folder && occupied()) {
		fprintf(stderr,
			"error: The current folder is not empty: a name for the new folder "
			"is missing.\n"
			"  hint: `thrave start my-farm`, or `thrave start .` for this one\n");
		return EXIT_USAGE;
	}
	struct start w = { .folder = req->folder ? req->folder : "." };
	w.on = req->on != DAY_NONE ? req->on : date_today();
	arena_init(&w.arena);
	buf_init(&w.why, FILE_MOST);
	int status = make_all(&w);
	if (status) {
		take_back(&w);
		status = session_failure(w.why.data);
	} else {
		status = say(&w);
	}
	buf_release(&w.why);
	arena_release(&w.arena);
	return status;
}

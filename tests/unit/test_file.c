/* Reading, listing, and replacing files whole or not at all. */
#include "base/file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "help.h"

struct fixture {
	struct arena arena;
	char *folder;
	struct file_error err;
};

static int set_up(void **state)
{
	static struct fixture f;
	arena_init(&f.arena);
	f.folder = help_folder();
	f.err.text[0] = '\0';
	*state = &f;
	return 0;
}

static int tear_down(void **state)
{
	struct fixture *f = *state;
	help_remove(f->folder);
	arena_release(&f->arena);
	return 0;
}

static void assert_said(const struct fixture *f, const char *part)
{
	if (!strstr(f->err.text, part))
		fail_msg("\"%s\" has no \"%s\"", f->err.text, part);
	size_t n = strlen(f->err.text);
	assert_true(n > 0 && f->err.text[n - 1] == '.');
	assert_null(strchr(f->err.text, '\n'));
}

static void assert_content(const char *path, const char *want)
{
	char *text = help_read(path);
	assert_non_null(text);
	assert_string_equal(text, want);
	free(text);
}

/* Names in the folder, so that a temporary left behind is noticed. */
static int entries(const char *folder)
{
	int n = 0;
	DIR *dir = opendir(folder);
	assert_non_null(dir);
	for (struct dirent *e; (e = readdir(dir));)
		n += strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0;
	closedir(dir);
	return n;
}

static bool is_root(void)
{
	if (geteuid() != 0)
		return false;
	print_message("skipped: root may write everywhere\n");
	return true;
}

/* ---- reading ---- */

static void reads(void **state)
{
	struct fixture *f = *state;
	struct str text;
	const char *path = help_path(f->folder, "a.txt");
	help_write(path, "one\ntwo");
	assert_int_equal(file_read(&f->arena, path, &text, &f->err), 0);
	assert_text(text, "one\ntwo");
	assert_int_equal(text.p[text.n], '\0');
	help_write(path, "");
	assert_int_equal(file_read(&f->arena, path, &text, &f->err), 0);
	assert_int_equal(text.n, 0);
	assert_non_null(text.p);
	assert_true(file_exists(path));
	assert_false(file_is_folder(path));
	assert_true(file_is_folder(f->folder));
	assert_false(file_exists(help_path(f->folder, "b.txt")));

	/* A file that grows on reading: its announced size is 0. */
	if (file_exists("/proc/self/status")) {
		assert_int_equal(file_read(&f->arena, "/proc/self/status", &text, &f->err), 0);
		assert_true(text.n > 100);
	}
}

static void reads_no_such(void **state)
{
	struct fixture *f = *state;
	struct str text = STR("untouched");
	assert_int_equal(file_read(&f->arena, help_path(f->folder, "none.txt"), &text, &f->err), -1);
	assert_said(f, "none.txt` cannot be read: No such file or directory.");
	assert_int_equal(file_read(&f->arena, f->folder, &text, &f->err), -1);
	assert_said(f, "is a folder, where a file is expected.");
	assert_int_equal(file_read(&f->arena, "/dev/null", &text, &f->err), -1);
	assert_said(f, "is a device or a pipe");
	const char *pipe_path = help_path(f->folder, "pipe");
	assert_int_equal(mkfifo(pipe_path, 0600), 0);
	assert_int_equal(file_read(&f->arena, pipe_path, &text, &f->err), -1); /* and does not wait */
	assert_said(f, "is a device or a pipe");
	assert_text(text, "untouched");
}

static void reads_no_giant(void **state)
{
	struct fixture *f = *state;
	struct str text;
	const char *path = help_path(f->folder, "giant");
	help_write(path, "x");
	assert_int_equal(truncate(path, (off_t)FILE_SIZE_MOST + 1), 0); /* a hole, no disk */
	assert_int_equal(file_read(&f->arena, path, &text, &f->err), -1);
	assert_said(f, "is larger than 256 MiB.");
}

static void reads_not_permitted(void **state)
{
	struct fixture *f = *state;
	struct str text;
	if (is_root())
		skip();
	const char *path = help_path(f->folder, "secret.txt");
	help_write(path, "x");
	assert_int_equal(chmod(path, 0), 0);
	assert_int_equal(file_read(&f->arena, path, &text, &f->err), -1);
	assert_said(f, "Permission denied.");
}

static void odd_names_in_messages(void **state)
{
	struct fixture *f = *state;
	struct str text;
	char path[1000];
	memset(path, 'x', sizeof path);
	memcpy(path, "a\x1b[31m\n", 7);
	path[sizeof path - 1] = '\0';
	assert_int_equal(file_read(&f->arena, path, &text, &f->err), -1);
	assert_said(f, "`a\\x1b[31m\\x0axxx");
	assert_said(f, "xxx...` cannot be read");
}

static void joins(void **state)
{
	struct fixture *f = *state;
	assert_string_equal(file_join(&f->arena, "farm", "a.txt"), "farm/a.txt");
	assert_string_equal(file_join(&f->arena, "farm/", "a.txt"), "farm/a.txt");
	assert_string_equal(file_join(&f->arena, "", "a.txt"), "a.txt");
	assert_string_equal(file_join(&f->arena, "/", "a"), "/a");
	assert_string_equal(file_join(&f->arena, "farm", "/tmp/a"), "/tmp/a");
	assert_string_equal(file_join(&f->arena, ".", ""), "./");
}

/* ---- listing ---- */

static void make_folder(const struct fixture *f, const char *name)
{
	assert_int_equal(mkdir(help_path(f->folder, name), 0700), 0);
}

static void lists(void **state)
{
	struct fixture *f = *state;
	static const char *const folders[] = { "pieces", "pieces/deep", ".hidden", "a.txt.d", "x.txt" };
	static const char *const files[] = {
		"b.txt", "B.txt", "a.txt", "\xc3\xa9.txt", "a-b.txt", "notes.md", ".secret.txt", "txt",
		"pieces/z.txt", "pieces/deep/q.txt", ".hidden/h.txt", "a.txt.d/in.txt", "x.txt/y.txt", "big.TXT",
	};
	static const char *const want[] = {
		"B.txt", "a-b.txt", "a.txt", "a.txt.d/in.txt", "b.txt", "linked.txt", "pieces/deep/q.txt",
		"pieces/z.txt", "x.txt/y.txt", "\xc3\xa9.txt",
	};
	struct str *names = NULL;
	size_t n = 0;
	for (size_t i = 0; i < COUNT(folders); i++)
		make_folder(f, folders[i]);
	for (size_t i = 0; i < COUNT(files); i++)
		help_write(help_path(f->folder, files[i]), "x");
	/* Links: to a file yes, to a folder (a loop, here) no; a pipe is no file. */
	assert_int_equal(symlink("notes.md", help_path(f->folder, "linked.txt")), 0);
	assert_int_equal(symlink("..", help_path(f->folder, "pieces/loop")), 0);
	assert_int_equal(mkfifo(help_path(f->folder, "pipe.txt"), 0600), 0);

	assert_int_equal(file_list(&f->arena, f->folder, ".txt", &names, &n, &f->err), 0);
	assert_int_equal(n, COUNT(want));
	for (size_t i = 0; i < n; i++)
		assert_text(names[i], want[i]);
	assert_int_equal(file_list(&f->arena, f->folder, ".none", &names, &n, &f->err), 0);
	assert_int_equal(n, 0);
}

static void lists_so_deep(void **state)
{
	struct fixture *f = *state;
	struct str *names;
	size_t n;
	char path[256] = "d";
	for (int depth = 1; depth <= FILE_DEPTH_MOST; depth++) {
		make_folder(f, path);
		memcpy(path + strlen(path), "/d", 3);
	}
	size_t end = strlen(path) - 2;
	memcpy(path + end, "/a.txt", 7);
	help_write(help_path(f->folder, path), "x");
	assert_int_equal(file_list(&f->arena, f->folder, ".txt", &names, &n, &f->err), 0);
	assert_int_equal(n, 1);
	assert_text(names[0], path);
	memcpy(path + end, "/d", 3);
	make_folder(f, path);
	assert_int_equal(file_list(&f->arena, f->folder, ".txt", &names, &n, &f->err), -1);
	assert_said(f, "lies too deep");
}

static void lists_not(void **state)
{
	struct fixture *f = *state;
	struct str *names = NULL;
	size_t n = 77;
	const char *path = help_path(f->folder, "a.txt");
	assert_int_equal(file_list(&f->arena, path, ".txt", &names, &n, &f->err), -1);
	assert_said(f, "cannot be listed: No such file or directory.");
	help_write(path, "x");
	assert_int_equal(file_list(&f->arena, path, ".txt", &names, &n, &f->err), -1);
	assert_said(f, "cannot be listed: Not a directory.");
	assert_int_equal(symlink("nowhere", help_path(f->folder, "b.txt")), 0);
	assert_int_equal(file_list(&f->arena, f->folder, ".txt", &names, &n, &f->err), -1);
	assert_said(f, "b.txt` is a link that leads nowhere");
	assert_int_equal(n, 77);
	assert_int_equal(unlink(help_path(f->folder, "b.txt")), 0);
	if (is_root())
		return;
	make_folder(f, "closed");
	assert_int_equal(chmod(help_path(f->folder, "closed"), 0), 0);
	assert_int_equal(file_list(&f->arena, f->folder, ".txt", &names, &n, &f->err), -1);
	assert_said(f, "closed` cannot be listed: Permission denied.");
	assert_int_equal(chmod(help_path(f->folder, "closed"), 0700), 0);
}

/* ---- writing ---- */

static void writes(void **state)
{
	struct fixture *f = *state;
	const char *path = help_path(f->folder, "out.txt");
	struct stat st;
	mode_t mask = umask(027);
	assert_int_equal(file_write(path, STR("first"), &f->err), 0);
	umask(mask);
	assert_content(path, "first");
	assert_int_equal(stat(path, &st), 0);
	assert_int_equal(st.st_mode & 07777, 0640); /* 0666 less the umask */
	assert_int_equal(file_write(path, STR("second, longer"), &f->err), 0);
	assert_content(path, "second, longer");
	assert_int_equal(file_write(path, STR(""), &f->err), 0);
	assert_content(path, "");
	assert_int_equal(entries(f->folder), 1);
}

static void keeps_the_mode(void **state)
{
	struct fixture *f = *state;
	static const mode_t modes[] = { 0600, 0664, 0666, 0755 };
	for (size_t i = 0; i < COUNT(modes); i++) {
		struct stat st;
		const char *path = help_path(f->folder, "out.txt");
		help_write(path, "old");
		assert_int_equal(chmod(path, modes[i]), 0);
		assert_int_equal(file_write(path, STR("new"), &f->err), 0);
		assert_int_equal(stat(path, &st), 0);
		assert_int_equal(st.st_mode & 07777, modes[i]);
		assert_content(path, "new");
	}
}

static void relative_names(void **state)
{
	struct fixture *f = *state;
	int home = open(".", O_RDONLY);
	assert_true(home >= 0);
	assert_int_equal(chdir(f->folder), 0);
	assert_int_equal(file_write("out.txt", STR("here"), &f->err), 0);
	assert_int_equal(file_write("./out.txt", STR("here again"), &f->err), 0);
	assert_int_equal(fchdir(home), 0);
	close(home);
	assert_content(help_path(f->folder, "out.txt"), "here again");
	assert_int_equal(entries(f->folder), 1);
}

static void follows_links(void **state)
{
	struct fixture *f = *state;
	struct stat st;
	make_folder(f, "elsewhere");
	const char *real = help_path(f->folder, "elsewhere/real.txt");
	const char *link = help_path(f->folder, "link.txt");
	help_write(real, "old");
	assert_int_equal(symlink("elsewhere/real.txt", link), 0);
	assert_int_equal(file_write(link, STR("new"), &f->err), 0);
	assert_content(real, "new");
	assert_int_equal(lstat(link, &st), 0);
	assert_true(S_ISLNK(st.st_mode));
	assert_int_equal(entries(help_path(f->folder, "elsewhere")), 1);

	assert_int_equal(symlink("nowhere/at/all", help_path(f->folder, "lost.txt")), 0);
	assert_int_equal(file_write(help_path(f->folder, "lost.txt"), STR("x"), &f->err), -1);
	assert_said(f, "it is a link that leads nowhere.");
	assert_int_equal(entries(f->folder), 3);
}

static void refuses(void **state)
{
	struct fixture *f = *state;
	assert_int_equal(file_write(f->folder, STR("x"), &f->err), -1);
	assert_said(f, "cannot be written: it is a folder.");
	assert_int_equal(file_write(help_path(f->folder, "no/such/out.txt"), STR("x"), &f->err), -1);
	assert_said(f, "cannot be written: No such file or directory.");
	assert_int_equal(file_write("", STR("x"), &f->err), -1);
	assert_said(f, "cannot be written");
	help_write(help_path(f->folder, "a"), "x");
	assert_int_equal(file_write(help_path(f->folder, "a/out.txt"), STR("x"), &f->err), -1);
	assert_said(f, "Not a directory.");
	assert_int_equal(entries(f->folder), 1);
}

static void refuses_without_permission(void **state)
{
	struct fixture *f = *state;
	if (is_root())
		skip();
	make_folder(f, "closed");
	assert_int_equal(chmod(help_path(f->folder, "closed"), 0500), 0);
	assert_int_equal(file_write(help_path(f->folder, "closed/out.txt"), STR("x"), &f->err), -1);
	assert_said(f, "cannot be written: Permission denied.");
	assert_int_equal(chmod(help_path(f->folder, "closed"), 0700), 0);
	const char *path = help_path(f->folder, "kept.txt");
	help_write(path, "old");
	assert_int_equal(chmod(path, 0400), 0);
	assert_int_equal(file_write(path, STR("x"), &f->err), -1);
	assert_said(f, "cannot be written: Permission denied.");
	assert_content(path, "old");
}

/* Handing the name to a library, as the workbook does. */
static void in_two_steps(void **state)
{
	struct fixture *f = *state;
	struct file_out out;
	const char *path = help_path(f->folder, "book.xlsx");
	help_write(path, "old");
	assert_int_equal(file_begin(&out, path, &f->err), 0);
	assert_false(out.direct);
	assert_string_not_equal(out.path, path);
	help_write(out.path, "new"); /* fopen("wb"), like the library */
	assert_content(path, "old");
	assert_int_equal(file_commit(&out, &f->err), 0);
	assert_null(out.path);
	assert_content(path, "new");

	assert_int_equal(file_begin(&out, path, &f->err), 0);
	help_write(out.path, "half");
	file_abandon(&out);
	file_abandon(&out); /* an empty one */
	assert_content(path, "new");

	/* A library that removes its file on failure: nothing to put in place. */
	assert_int_equal(file_begin(&out, path, &f->err), 0);
	assert_int_equal(unlink(out.path), 0);
	assert_int_equal(file_commit(&out, &f->err), -1);
	assert_said(f, "book.xlsx` cannot be written: No such file or directory.");
	assert_content(path, "new");
	assert_int_equal(entries(f->folder), 1);
}

/* Slots come back, and running out of them is an error. */
static void many_at_once(void **state)
{
	struct fixture *f = *state;
	struct file_out out[9];
	char name[9][16];
	for (int round = 0; round < 3; round++) {
		for (int i = 0; i < 8; i++) {
			snprintf(name[i], sizeof name[i], "f%d", i);
			assert_int_equal(file_begin(&out[i], help_path(f->folder, name[i]), &f->err), 0);
		}
		assert_int_equal(file_begin(&out[8], help_path(f->folder, "f8"), &f->err), -1);
		assert_said(f, "too many files are being written.");
		file_abandon(&out[8]);
		for (int i = 0; i < 8; i++) {
			if (i % 2)
				file_abandon(&out[i]);
			else
				assert_int_equal(file_commit(&out[i], &f->err), 0);
		}
	}
	assert_int_equal(entries(f->folder), 4);
}

static void direct(void **state)
{
	struct fixture *f = *state;
	struct file_out out;
	assert_int_equal(file_begin(&out, "/dev/null", &f->err), 0);
	assert_true(out.direct);
	assert_string_equal(out.path, "/dev/null");
	assert_int_equal(file_commit(&out, &f->err), 0);
	assert_int_equal(file_write("/dev/null", STR("x"), &f->err), 0);
	assert_int_equal(entries(f->folder), 0);
	if (file_exists("/dev/full")) {
		assert_int_equal(file_write("/dev/full", STR("x"), &f->err), -1);
		assert_said(f, "`/dev/full` cannot be written: No space left on device.");
	}
	const char *pipe_path = help_path(f->folder, "pipe");
	assert_int_equal(mkfifo(pipe_path, 0600), 0);
	int reader = open(pipe_path, O_RDONLY | O_NONBLOCK);
	assert_true(reader >= 0);
	assert_int_equal(file_write(pipe_path, STR("through"), &f->err), 0);
	char got[20] = "";
	assert_int_equal(read(reader, got, sizeof got - 1), 7);
	assert_string_equal(got, "through");
	close(reader);
	assert_int_equal(entries(f->folder), 1);
}

/* ---- what must not be left behind ---- */

enum { LIMIT = 4096 };

static void limited_write(void *arg)
{
	struct fixture *f = arg;
	struct rlimit limit = { LIMIT, LIMIT };
	if (setrlimit(RLIMIT_FSIZE, &limit))
		_exit(90);
	struct str data = { arena_alloc(&f->arena, 10 * LIMIT, 1), 10 * LIMIT };
	/* Without care the limit ends the process by SIGXFSZ. */
	if (file_write(help_path(f->folder, "out.txt"), data, &f->err) != -1)
		_exit(91);
	if (!strstr(f->err.text, "out.txt` cannot be written: File too large."))
		_exit(92);
	_exit(0);
}

static void full_disk(void **state)
{
	struct fixture *f = *state;
	const char *path = help_path(f->folder, "out.txt");
	help_write(path, "old");
	assert_int_equal(help_child(limited_write, f, NULL, 0), 0);
	assert_content(path, "old");
	assert_int_equal(entries(f->folder), 1);
	assert_int_equal(unlink(path), 0);
	assert_int_equal(help_child(limited_write, f, NULL, 0), 0);
	assert_int_equal(entries(f->folder), 0);
}

struct ending {
	struct fixture *f;
	int signal; /* 0: leave by exit() */
};

static void end_in_between(void *arg)
{
	struct ending *e = arg;
	struct file_out one, two;
	/* A test run started with & or nohup hands on signals that are ignored. */
	if (e->signal)
		signal(e->signal, SIG_DFL);
	if (file_begin(&one, help_path(e->f->folder, "one"), &e->f->err) ||
	    file_begin(&two, help_path(e->f->folder, "two"), &e->f->err))
		_exit(90);
	if (entries(e->f->folder) != 2)
		_exit(91);
	if (e->signal)
		raise(e->signal);
	exit(7);
}

static void endings(void **state)
{
	struct fixture *f = *state;
	static const int signals[] = { 0, SIGINT, SIGTERM, SIGHUP };
	for (size_t i = 0; i < COUNT(signals); i++) {
		struct ending e = { f, signals[i] };
		int want = signals[i] ? 128 + signals[i] : 7;
		assert_int_equal(help_child(end_in_between, &e, NULL, 0), want);
		assert_int_equal(entries(f->folder), 0);
	}
}

static void leave(void *arg)
{
	(void)arg;
	exit(0);
}

/* A child that ends does not take the parent's temporary with it. */
static void forked_child(void **state)
{
	struct fixture *f = *state;
	struct file_out out;
	assert_int_equal(file_begin(&out, help_path(f->folder, "out"), &f->err), 0);
	assert_int_equal(help_child(leave, NULL, NULL, 0), 0);
	assert_true(file_exists(out.path));
	assert_int_equal(file_commit(&out, &f->err), 0);
	assert_int_equal(entries(f->folder), 1);
}

static void ignored_signal(void *arg)
{
	struct fixture *f = arg;
	struct file_out out;
	signal(SIGHUP, SIG_IGN); /* as under nohup */
	if (file_begin(&out, help_path(f->folder, "out"), &f->err))
		_exit(90);
	raise(SIGHUP);
	_exit(file_commit(&out, &f->err) ? 91 : 0);
}

static void keeps_ignored_signals(void **state)
{
	struct fixture *f = *state;
	assert_int_equal(help_child(ignored_signal, f, NULL, 0), 0);
	assert_true(file_exists(help_path(f->folder, "out")));
}

/* ---- standard output ---- */

static void into_full(void *arg)
{
	struct fixture *f = arg;
	int fd = open("/dev/full", O_WRONLY);
	if (fd < 0 || dup2(fd, STDOUT_FILENO) < 0)
		_exit(90);
	int rc = file_stdout(STR("x"), &f->err);
	fputs(f->err.text, stderr);
	_exit(rc ? 1 : 0);
}

static void into_closed(void *arg)
{
	struct fixture *f = arg;
	close(STDOUT_FILENO);
	int rc = file_stdout(STR("x"), &f->err);
	fputs(f->err.text, stderr);
	_exit(rc ? 1 : 0);
}

static void into_broken_pipe(void *arg)
{
	struct fixture *f = arg;
	int ends[2];
	if (pipe(ends) || dup2(ends[1], STDOUT_FILENO) < 0)
		_exit(90);
	close(ends[0]);
	int rc = file_stdout(STR("x"), &f->err);
	fputs(f->err.text, stderr);
	_exit(rc ? 1 : 0);
}

static void into_file(void *arg)
{
	struct fixture *f = arg;
	int fd = open(help_path(f->folder, "out"), O_WRONLY | O_CREAT, 0600);
	if (fd < 0 || dup2(fd, STDOUT_FILENO) < 0)
		_exit(90);
	printf("before, ");
	_exit(file_stdout(STR("after"), &f->err) ? 1 : 0);
}

static void standard_output(void **state)
{
	struct fixture *f = *state;
	char said[600];
	if (file_exists("/dev/full")) {
		assert_int_equal(help_child(into_full, f, said, sizeof said), 1);
		assert_string_equal(said, "Standard output cannot be written: No space left on device.");
	}
	assert_int_equal(help_child(into_closed, f, said, sizeof said), 1);
	assert_string_equal(said, "Standard output cannot be written: Bad file descriptor.");
	assert_int_equal(help_child(into_broken_pipe, f, said, sizeof said), 1);
	assert_string_equal(said, "Standard output cannot be written: Broken pipe.");
	assert_int_equal(help_child(into_file, f, NULL, 0), 0);
	assert_content(help_path(f->folder, "out"), "before, after");
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
	const struct CMUnitTest tests[] = {
		TEST(reads), TEST(reads_no_such), TEST(reads_no_giant), TEST(reads_not_permitted),
		TEST(odd_names_in_messages), TEST(joins), TEST(lists), TEST(lists_so_deep),
		TEST(lists_not), TEST(writes), TEST(keeps_the_mode), TEST(relative_names),
		TEST(follows_links), TEST(refuses), TEST(refuses_without_permission), TEST(in_two_steps),
		TEST(many_at_once), TEST(direct), TEST(full_disk), TEST(endings), TEST(forked_child),
		TEST(keeps_ignored_signals), TEST(standard_output),
	};
	return cmocka_run_group_tests_name("file", tests, NULL, NULL);
}

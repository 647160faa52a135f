/* Adding lines to a journal under a lock: what is refused, and what stays as it was.
 * Every moment of it is acted out in test_crash.c, many writers in tests/log. */
#include "base/journal.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "help.h"

struct fixture {
	char *folder;
	struct file_error err;
};

static int set_up(void **state)
{
	static struct fixture f;
	f.folder = help_folder();
	f.err.text[0] = '\0';
	*state = &f;
	return 0;
}

static int tear_down(void **state)
{
	struct fixture *f = *state;
	help_remove(f->folder);
	return 0;
}

static void assert_content(const struct fixture *f, const char *name, const char *want)
{
	char *text = help_read(help_path(f->folder, name));
	assert_non_null(text);
	assert_string_equal(text, want);
	free(text);
}

static void assert_said(const struct fixture *f, const char *part)
{
	if (!strstr(f->err.text, part))
		fail_msg("\"%s\" has no \"%s\"", f->err.text, part);
}

static int append(struct fixture *f, size_t size, const char *text)
{
	return journal_append(help_path(f->folder, "log"), size, str_of(text), &f->err);
}

static void adds_behind_what_is_there(void **state)
{
	struct fixture *f = *state;
	help_write(help_path(f->folder, "log"), "head\n");
	assert_int_equal(append(f, 5, "one\n"), 0);
	assert_int_equal(append(f, 9, "two\n"), 0);
	assert_content(f, "log", "head\none\ntwo\n");
}

/* An editor has saved it since it was read, or it is not there. */
static void changed_meanwhile(void **state)
{
	struct fixture *f = *state;
	assert_int_equal(append(f, 0, "one\n"), -1);
	assert_said(f, "No such file");
	help_write(help_path(f->folder, "log"), "head, longer\n");
	assert_int_equal(append(f, 5, "one\n"), -1);
	assert_said(f, "was changed by another program");
	assert_content(f, "log", "head, longer\n");
	assert_int_equal(journal_create(help_path(f->folder, "log"), STR("head\n"), &f->err), -1);
	assert_said(f, "was changed by another program");
	assert_content(f, "log", "head, longer\n");
}

static void no_plain_file(void **state)
{
	struct fixture *f = *state;
	assert_int_equal(mkdir(help_path(f->folder, "log"), 0777), 0);
	assert_int_equal(append(f, 0, "one\n"), -1);
	assert_said(f, "cannot be written");
	assert_int_equal(mkfifo(help_path(f->folder, "pipe"), 0666), 0);
	int reader = open(help_path(f->folder, "pipe"), O_RDONLY | O_NONBLOCK);
	assert_int_equal(journal_append(help_path(f->folder, "pipe"), 0, STR("one\n"), &f->err), -1);
	assert_said(f, "cannot be written");
	close(reader);
}

static void created_once(void **state)
{
	struct fixture *f = *state;
	assert_int_equal(journal_create(help_path(f->folder, "log"), STR("head\none\n"), &f->err), 0);
	assert_content(f, "log", "head\none\n");
}

static void replaced_where_it_is_as_it_was(void **state)
{
	struct fixture *f = *state;
	const char *path = help_path(f->folder, "log.csv");
	assert_int_equal(journal_replace(path, STR("a\n"), STR("b\n"), &f->err), -1); /* nothing there */
	help_write(path, "id\n1\n");
	assert_int_equal(journal_replace(path, STR("id\n2\n"), STR("id,more\n1,\n"), &f->err), -1);
	assert_non_null(strstr(f->err.text, "changed by another program"));
	assert_content(f, "log.csv", "id\n1\n");
	assert_int_equal(journal_replace(path, STR("id\n1\n"), STR("id,more\n1,\n"), &f->err), 0);
	assert_content(f, "log.csv", "id,more\n1,\n");
}

static void torn_end_set_aside(void **state)
{
	struct fixture *f = *state;
	char log[256], aside[256];
	snprintf(log, sizeof log, "%s/log", f->folder);
	snprintf(aside, sizeof aside, "%s/torn", f->folder);
	help_write(log, "head\none\ntw");
	assert_int_equal(journal_set_aside(log, 9, 11, aside, &f->err), 0);
	assert_content(f, "log", "head\none\n");
	assert_content(f, "torn", "tw\n");
	help_write(log, "head\nx");
	assert_int_equal(journal_set_aside(log, 5, 6, aside, &f->err), 0);
	assert_content(f, "torn", "tw\nx\n");
	/* It has grown since it was read: not cut, the tail is in both. */
	help_write(log, "head\nyz");
	assert_int_equal(journal_set_aside(log, 5, 6, aside, &f->err), -1);
	assert_content(f, "log", "head\nyz");
	/* Nowhere to put it: nothing is cut. */
	help_write(log, "head\nx");
	assert_int_equal(journal_set_aside(log, 5, 6, help_path(f->folder, "no/such"), &f->err), -1);
	assert_content(f, "log", "head\nx");
}

static void lock_keeps_others_out(void **state)
{
	struct fixture *f = *state;
	const char *path = help_path(f->folder, "lock");
	struct journal_lock lock;
	int said[2];
	assert_int_equal(pipe(said), 0);
	assert_int_equal(journal_lock(&lock, path, &f->err), 0);
	pid_t child = fork();
	assert_true(child >= 0);
	if (child == 0) {
		struct journal_lock mine;
		struct file_error err;
		close(lock.fd); /* a child has no lock of its parent's to lose */
		int status = journal_lock(&mine, path, &err);
		ssize_t n = write(said[1], "x", 1);
		_exit(status || n != 1);
	}
	char c;
	assert_int_equal(fcntl(said[0], F_SETFL, O_NONBLOCK), 0);
	nanosleep(&(struct timespec){ .tv_nsec = 100 * 1000 * 1000 }, NULL);
	assert_int_equal(read(said[0], &c, 1), -1); /* it still waits */
	journal_unlock(&lock);
	int status;
	assert_int_equal(waitpid(child, &status, 0), child);
	assert_int_equal(status, 0);
	assert_int_equal(read(said[0], &c, 1), 1);
	close(said[0]);
	close(said[1]);
	assert_int_equal(lock.fd, -1);
	journal_unlock(&lock); /* twice is once */
}

static void lock_without_a_folder(void **state)
{
	struct fixture *f = *state;
	struct journal_lock lock;
	assert_int_equal(journal_lock(&lock, help_path(f->folder, "no/lock"), &f->err), -1);
	assert_said(f, "cannot be written");
	assert_int_equal(lock.fd, -1);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test_setup_teardown(adds_behind_what_is_there, set_up, tear_down),
		cmocka_unit_test_setup_teardown(changed_meanwhile, set_up, tear_down),
		cmocka_unit_test_setup_teardown(no_plain_file, set_up, tear_down),
		cmocka_unit_test_setup_teardown(created_once, set_up, tear_down),
		cmocka_unit_test_setup_teardown(replaced_where_it_is_as_it_was, set_up, tear_down),
		cmocka_unit_test_setup_teardown(torn_end_set_aside, set_up, tear_down),
		cmocka_unit_test_setup_teardown(lock_keeps_others_out, set_up, tear_down),
		cmocka_unit_test_setup_teardown(lock_without_a_folder, set_up, tear_down),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

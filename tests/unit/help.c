/* help.c - see help.h. */
#include "help.h"

#include <ftw.h>
#include <math.h>
#include <sys/wait.h>
#include <unistd.h>

bool help_is_near(double a, double b, double relative, double absolute)
{
	if (a == b)
		return true;
	if (!isfinite(a) || !isfinite(b))
		return false;
	double most = fmax(fabs(a), fabs(b));
	return fabs(a - b) <= fmax(absolute, relative * most);
}

void help_near(double got, double want, double relative, double absolute, const char *file, int line)
{
	if (help_is_near(got, want, relative, absolute))
		return;
	print_error("got %.17g, want %.17g (off by %.3g; allowed %.3g relative, %.3g absolute)\n", got,
	            want, got - want, relative, absolute);
	_fail(file, line);
}

void help_text(struct str got, const char *want, const char *file, int line)
{
	if (str_is(got, want))
		return;
	print_error("got  \"%.*s\"\nwant \"%s\"\n", STR_ARG(got), want);
	_fail(file, line);
}

char *help_folder(void)
{
	const char *top = getenv("TMPDIR");
	if (!top || !*top)
		top = "/tmp";
	size_t room = strlen(top) + 32;
	char *path = malloc(room);
	assert_non_null(path);
	snprintf(path, room, "%s/thrave-test-XXXXXX", top);
	assert_non_null(mkdtemp(path));
	return path;
}

static int remove_one(const char *path, const struct stat *st, int kind, struct FTW *where)
{
	(void)st;
	(void)kind;
	(void)where;
	return remove(path);
}

void help_remove(char *folder)
{
	assert_int_equal(nftw(folder, remove_one, 16, FTW_DEPTH | FTW_PHYS), 0);
	free(folder);
}

const char *help_path(const char *folder, const char *name)
{
	static char path[4][4096];
	static unsigned turn;
	char *out = path[turn++ % 4];
	int n = snprintf(out, sizeof path[0], "%s/%s", folder, name);
	assert_true(n > 0 && (size_t)n < sizeof path[0]);
	return out;
}

void help_write(const char *path, const char *text)
{
	FILE *f = fopen(path, "wb");
	assert_non_null(f);
	assert_int_equal(fwrite(text, 1, strlen(text), f), strlen(text));
	assert_int_equal(fclose(f), 0);
}

char *help_read(const char *path)
{
	FILE *f = fopen(path, "rb");
	if (!f)
		return NULL;
	size_t room = 1 << 20;
	char *text = malloc(room);
	assert_non_null(text);
	size_t n = fread(text, 1, room - 1, f);
	assert_true(feof(f));
	fclose(f);
	text[n] = '\0';
	return text;
}

int help_child(void (*f)(void *arg), void *arg, char *said, size_t size)
{
	int ends[2];
	fflush(NULL); /* or the child writes our buffers again */
	assert_int_equal(pipe(ends), 0);
	pid_t child = fork();
	assert_true(child >= 0);
	if (child == 0) {
		dup2(ends[1], STDERR_FILENO);
		close(ends[0]);
		close(ends[1]);
		f(arg);
		exit(0);
	}
	close(ends[1]);
	char text[4096];
	size_t n = 0;
	for (ssize_t got; n < sizeof text - 1 && (got = read(ends[0], text + n, sizeof text - 1 - n)) > 0;)
		n += (size_t)got;
	close(ends[0]);
	text[n] = '\0';
	if (said)
		snprintf(said, size, "%s", text);
	int status;
	assert_int_equal(waitpid(child, &status, 0), child);
	return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

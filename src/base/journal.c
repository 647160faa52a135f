/* journal.c - see journal.h.  Every call that changes a file is made here or in file.c;
 * tests/unit/test_crash.c replays them one by one. */
#include "base/journal.h"

#include <errno.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum { PAUSE = 5 * 1000 * 1000, A_SECOND = 1000 * 1000 * 1000, MODE = 0666 };

/* ---- the lock ---- */

static bool is_held(int code)
{
	return code == EACCES || code == EAGAIN;
}

/* 0 or an errno; waits in small steps, so that a run that hangs cannot hang others. */
static int wait_for(int fd)
{
	const struct timespec pause = { .tv_sec = 0, .tv_nsec = PAUSE };
	struct flock whole = { .l_type = F_WRLCK, .l_whence = SEEK_SET };
	for (long i = 0; i <= (long)JOURNAL_WAIT * (A_SECOND / PAUSE); i++) {
		if (fcntl(fd, F_SETLK, &whole) == 0)
			return 0;
		if (!is_held(errno) && errno != EINTR)
			return errno;
		nanosleep(&pause, NULL);
	}
	return EAGAIN;
}

int journal_lock(struct journal_lock *lock, const char *path, struct file_error *err)
{
	lock->fd = open(path, O_RDWR | O_CREAT | O_CLOEXEC | O_NOCTTY | O_NONBLOCK, MODE);
	if (lock->fd < 0)
		return file_fail(err, path, "cannot be written", errno);
	int code = wait_for(lock->fd);
	if (!code)
		return 0;
	journal_unlock(lock);
	if (is_held(code))
		return file_fail(err, path, "is held by another run of thrave that does not end", 0);
	return file_fail(err, path, "cannot be locked", code);
}

void journal_unlock(struct journal_lock *lock)
{
	if (lock->fd >= 0)
		close(lock->fd);
	lock->fd = -1;
}

/* ---- adding ---- */

static int open_journal(const char *path, int mode, struct stat *st, struct file_error *err)
{
	int fd = open(path, O_WRONLY | mode | O_CLOEXEC | O_NOCTTY | O_NONBLOCK, MODE);
	int code = fd < 0 || fstat(fd, st) ? errno : 0;
	if (!code && !S_ISREG(st->st_mode))
		code = ESPIPE;
	if (!code)
		return fd;
	if (fd >= 0)
		close(fd);
	return file_fail(err, path, "cannot be written", code);
}

/* One write of all of it: 0, or an errno with the file cut back to where it began. */
static int add(int fd, off_t size, struct str text)
{
	ssize_t n;
	do {
		n = write(fd, text.p, text.n);
	} while (n < 0 && errno == EINTR);
	int code = n < 0 ? errno : (size_t)n < text.n ? ENOSPC : 0;
	if (!code && fsync(fd))
		code = errno;
	if (!code)
		return 0;
	if (n > 0 && ftruncate(fd, size))
		return code; /* a torn line stays, which the reader knows for one */
	if (n > 0)
		fsync(fd);
	return code;
}

/* Whether the path still leads to the file that was written. */
static bool in_place(const char *path, const struct stat *st)
{
	struct stat now;
	return stat(path, &now) == 0 && now.st_dev == st->st_dev && now.st_ino == st->st_ino;
}

static int changed(const char *path, struct file_error *err)
{
	return file_fail(err, path,
			 "was changed by another program meanwhile, so nothing was added", 0);
}

int journal_append(const char *path, size_t size, struct str text, struct file_error *err)
{
	struct stat st;
	file_ignore_signals();
	int fd = open_journal(path, O_APPEND, &st, err);
	if (fd < 0)
		return -1;
	if (st.st_size != (off_t)size || !in_place(path, &st)) {
		close(fd);
		return changed(path, err);
	}
	int code = add(fd, st.st_size, text);
	if (close(fd) && !code)
		code = errno;
	if (code)
		return file_fail(err, path, "cannot be written", code);
	return in_place(path, &st) ? 0 : changed(path, err);
}

int journal_create(const char *path, struct str text, struct file_error *err)
{
	if (file_exists(path))
		return changed(path, err);
	return file_write(path, text, err);
}

int journal_replace(const char *path, struct str was, struct str text, struct file_error *err)
{
	struct arena a;
	struct str now;
	arena_init(&a);
	int rc = file_read(&a, path, &now, err);
	if (!rc && !str_eq(now, was))
		rc = changed(path, err);
	arena_release(&a);
	return rc ? -1 : file_write(path, text, err);
}

/* ---- setting aside ---- */

/* The n bytes behind `size`, into room for as many; 0 or an errno. */
static int read_tail(const char *path, size_t size, char *tail, size_t n)
{
	int fd = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY | O_NONBLOCK);
	if (fd < 0)
		return errno;
	size_t got = 0;
	int code = 0;
	while (!code && got < n) {
		ssize_t some = pread(fd, tail + got, n - got, (off_t)(size + got));
		if (some > 0)
			got += (size_t)some;
		else if (some == 0)
			code = ESTALE;
		else if (errno != EINTR)
			code = errno;
	}
	close(fd);
	return code;
}

static int put_aside(const char *aside, struct str line, struct file_error *err)
{
	struct stat st;
	int fd = open_journal(aside, O_APPEND | O_CREAT, &st, err);
	if (fd < 0)
		return -1;
	int code = add(fd, st.st_size, line);
	if (close(fd) && !code)
		code = errno;
	if (!code)
		code = file_sync_folder(aside);
	return code ? file_fail(err, aside, "cannot be written", code) : 0;
}

static int cut(const char *path, size_t size, size_t all, struct file_error *err)
{
	struct stat st;
	int fd = open_journal(path, 0, &st, err), code = 0;
	if (fd < 0)
		return -1;
	if (st.st_size != (off_t)all) {
		close(fd);
		return changed(path, err);
	}
	if (ftruncate(fd, (off_t)size) || fsync(fd))
		code = errno;
	if (close(fd) && !code)
		code = errno;
	return code ? file_fail(err, path, "cannot be written", code) : 0;
}

int journal_set_aside(const char *path, size_t size, size_t all, const char *aside,
		      struct file_error *err)
{
	size_t n = all - size;
	char *tail = mem_alloc(n + 1, 1);
	file_ignore_signals();
	int code = read_tail(path, size, tail, n);
	tail[n] = '\n';
	int rc = code ? file_fail(err, path, "cannot be read", code)
		      : put_aside(aside, (struct str){ tail, n + 1 }, err);
	mem_free(tail);
	return rc ? -1 : cut(path, size, all, err);
}

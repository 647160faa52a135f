/* file.c - reading, listing, and replacing files whole. */
#include "base/file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <poll.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdint.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/buf.h"

enum { SLOTS = 8, PATH_SHOWN = 120, NAME_TRIES = 100 };

int file_fail(struct file_error *err, const char *path, const char *what, int code)
{
	struct buf b;
	buf_init(&b, sizeof err->text - 1);
	buf_char(&b, '`');
	buf_visible(&b, str_of(path), PATH_SHOWN);
	buf_printf(&b, "` %s", what);
	if (code)
		buf_printf(&b, ": %s", strerror(code));
	buf_char(&b, '.');
	memcpy(err->text, b.data, b.len + 1);
	buf_release(&b);
	return -1;
}

/* ---- reading ---- */

bool file_exists(const char *path)
{
	struct stat st;
	return stat(path, &st) == 0;
}

bool file_is_folder(const char *path)
{
	struct stat st;
	return stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

char *file_join(struct arena *a, const char *folder, const char *name)
{
	size_t f = strlen(folder), n = strlen(name);
	bool slash = f && folder[f - 1] != '/';
	if (n && name[0] == '/')
		f = slash = 0;
	char *path = arena_alloc(a, f + slash + n + 1, 1);
	memcpy(path, folder, f);
	if (slash)
		path[f] = '/';
	memcpy(path + f + slash, name, n);
	return path;
}

/* Reads to the end whatever size was announced; files in use may grow. */
static int read_all(struct arena *a, int fd, size_t announced, struct str *text)
{
	size_t cap = announced + 1, n = 0;
	char *data = arena_alloc(a, cap + 1, 1);
	for (;;) {
		ssize_t got = read(fd, data + n, cap - n);
		if (got < 0 && errno == EINTR)
			continue;
		if (got < 0)
			return errno;
		n += (size_t)got;
		if (got == 0)
			break;
		if (n > FILE_SIZE_MOST)
			return EFBIG;
		if (n == cap) {
			char *more = arena_alloc(a, 2 * cap + 1, 1);
			memcpy(more, data, n);
			data = more;
			cap *= 2;
		}
	}
	data[n] = '\0';
	*text = (struct str){ data, n };
	return 0;
}

int file_read(struct arena *a, const char *path, struct str *text, struct file_error *err)
{
	struct stat st;
	int code;
	/* O_NONBLOCK: opening a pipe must not wait for its other end. */
	int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
	if (fd < 0)
		return file_fail(err, path, "cannot be read", errno);
	if (fstat(fd, &st))
		code = file_fail(err, path, "cannot be read", errno);
	else if (S_ISDIR(st.st_mode))
		code = file_fail(err, path, "is a folder, where a file is expected", 0);
	else if (!S_ISREG(st.st_mode))
		code = file_fail(err, path, "is a device or a pipe, where a file is expected", 0);
	else if (st.st_size > FILE_SIZE_MOST)
		code = file_fail(err, path, "is larger than 256 MiB", 0);
	else if ((code = read_all(a, fd, (size_t)st.st_size, text)) == EFBIG)
		code = file_fail(err, path, "is larger than 256 MiB", 0);
	else if (code)
		code = file_fail(err, path, "cannot be read", code);
	close(fd);
	return code;
}

/* ---- listing ---- */

struct listing {
	struct arena *arena;
	const char *folder, *ending;
	struct str *names;
	size_t n, cap;
	struct file_error *err;
};

static bool ends_in(const char *name, const char *ending)
{
	size_t n = strlen(name), e = strlen(ending);
	return n >= e && memcmp(name + n - e, ending, e) == 0;
}

static int list_below(struct listing *l, const char *below, int depth);

static int list_entry(struct listing *l, const char *below, const char *name, int depth)
{
	char *inside = file_join(l->arena, below, name);
	char *path = file_join(l->arena, l->folder, inside);
	struct stat st;
	if (lstat(path, &st))
		return errno == ENOENT ? 0 : file_fail(l->err, path, "cannot be looked at", errno);
	if (S_ISDIR(st.st_mode))
		return list_below(l, inside, depth + 1);
	if (!ends_in(name, l->ending))
		return 0;
	if (S_ISLNK(st.st_mode) && stat(path, &st))
		return file_fail(l->err, path, "is a link that leads nowhere", errno);
	if (S_ISREG(st.st_mode))
		*ARENA_PUSH(l->arena, l->names, l->n, l->cap) = str_of(inside);
	return 0;
}

static int list_below(struct listing *l, const char *below, int depth)
{
	char *path = below[0] ? file_join(l->arena, l->folder, below) : file_join(l->arena, "", l->folder);
	if (depth > FILE_DEPTH_MOST)
		return file_fail(l->err, path, "lies too deep: 16 folders within folders are the most", 0);
	DIR *dir = opendir(path);
	if (!dir)
		return file_fail(l->err, path, "cannot be listed", errno);
	int rc = 0;
	while (rc == 0) {
		errno = 0;
		struct dirent *e = readdir(dir);
		if (!e) {
			rc = errno ? file_fail(l->err, path, "cannot be listed", errno) : 0;
			break;
		}
		if (e->d_name[0] != '.')
			rc = list_entry(l, below, e->d_name, depth);
	}
	closedir(dir);
	return rc;
}

static int by_bytes(const void *a, const void *b)
{
	return str_cmp(*(const struct str *)a, *(const struct str *)b);
}

int file_list(struct arena *a, const char *folder, const char *ending, struct str **names,
              size_t *n, struct file_error *err)
{
	struct listing l = { .arena = a, .folder = folder, .ending = ending, .err = err };
	if (list_below(&l, "", 0))
		return -1;
	if (l.n)
		qsort(l.names, l.n, sizeof *l.names, by_bytes);
	*names = l.names;
	*n = l.n;
	return 0;
}

/* ---- temporaries that must not stay behind ---- */

/* The one mutable global of this file: a signal handler and atexit() can reach
 * nothing else.  A slot holds the path of a temporary, or NULL.  The process is
 * noted so that a forked child does not remove its parent's file. */
static struct {
	_Atomic(char *) path[SLOTS];
	volatile sig_atomic_t installed;
	pid_t process;
} leftover;

static void remove_leftovers(void)
{
	if (leftover.process != getpid())
		return;
	for (int i = 0; i < SLOTS; i++) {
		const char *path = atomic_load(&leftover.path[i]);
		if (path)
			unlink(path);
	}
}

static void on_signal(int sig)
{
	int saved = errno;
	remove_leftovers();
	errno = saved;
	raise(sig); /* SA_RESETHAND: now the default, which ends the process */
}

static void install_handlers(void)
{
	static const int fatal[] = { SIGINT, SIGTERM, SIGHUP };
	struct sigaction now, act = { .sa_handler = on_signal };
	sigemptyset(&act.sa_mask);
	act.sa_flags = (int)(SA_RESETHAND | SA_NODEFER);
	for (size_t i = 0; i < sizeof fatal / sizeof fatal[0]; i++) {
		if (sigaction(fatal[i], NULL, &now) == 0 && now.sa_handler == SIG_DFL)
			sigaction(fatal[i], &act, NULL);
	}
	leftover.process = getpid();
	if (!leftover.installed) {
		atexit(remove_leftovers);
		leftover.installed = 1;
	}
}

void file_ignore_signals(void)
{
	struct sigaction act = { .sa_handler = SIG_IGN };
	sigemptyset(&act.sa_mask);
	sigaction(SIGXFSZ, &act, NULL);
	sigaction(SIGPIPE, &act, NULL);
}

static int free_slot(void)
{
	for (int i = 0; i < SLOTS; i++) {
		if (!atomic_load(&leftover.path[i]))
			return i;
	}
	return -1;
}

/* ---- writing ---- */

static char *copy_text(const char *s)
{
	size_t n = strlen(s) + 1;
	return memcpy(mem_alloc(n, 1), s, n);
}

static void empty_out(struct file_out *out)
{
	mem_free(out->path);
	mem_free(out->target);
	*out = (struct file_out){ .slot = -1 };
}

/* Length of the folder part of a path, slash included. */
static size_t folder_length(const char *path)
{
	const char *slash = strrchr(path, '/');
	return slash ? (size_t)(slash - path) + 1 : 0;
}

/* A name beside the target that nobody else is likely to use; O_EXCL decides. */
static char *temporary_name(const char *target, unsigned attempt)
{
	size_t folder = folder_length(target), room = folder + 48;
	struct timespec t = { 0, 0 };
	clock_gettime(CLOCK_REALTIME, &t);
	uint64_t seed[4] = { (uint64_t)t.tv_sec, (uint64_t)t.tv_nsec, (uint64_t)getpid(), attempt };
	uint64_t h = str_hash((struct str){ (const char *)seed, sizeof seed });
	char *path = mem_alloc(room, 1);
	memcpy(path, target, folder);
	snprintf(path + folder, room - folder, ".thrave-%016llx.tmp", (unsigned long long)h);
	return path;
}

/* Creates and registers the temporary with the fatal signals held back, so that
 * there is no moment at which one of them leaves it behind. */
static int create_temporary(struct file_out *out, mode_t mode)
{
	sigset_t hold, before;
	int fd = -1, code = EEXIST;
	sigemptyset(&hold);
	sigaddset(&hold, SIGINT);
	sigaddset(&hold, SIGTERM);
	sigaddset(&hold, SIGHUP);
	sigprocmask(SIG_BLOCK, &hold, &before);
	for (unsigned i = 0; fd < 0 && code == EEXIST && i < NAME_TRIES; i++) {
		char *path = temporary_name(out->target, i);
		fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
		code = errno;
		if (fd < 0) {
			mem_free(path);
		} else {
			out->path = path;
			atomic_store(&leftover.path[out->slot], path);
		}
	}
	sigprocmask(SIG_SETMASK, &before, NULL);
	if (fd < 0)
		errno = code;
	return fd;
}

static void drop_temporary(struct file_out *out)
{
	if (!out->path)
		return;
	unlink(out->path);
	atomic_store(&leftover.path[out->slot], NULL);
}

/* The real file behind the name: links followed, NULL with err when it can only
 * fail later.  st->st_mode is 0 when there is no such file yet. */
static char *real_target(const char *target, struct stat *st, struct file_error *err)
{
	*st = (struct stat){ 0 };
	if (stat(target, st)) {
		struct stat link;
		if (errno != ENOENT) {
			file_fail(err, target, "cannot be written", errno);
			return NULL;
		}
		if (lstat(target, &link) == 0) {
			file_fail(err, target, "cannot be written: it is a link that leads nowhere", 0);
			return NULL;
		}
		return copy_text(target);
	}
	if (S_ISDIR(st->st_mode)) {
		file_fail(err, target, "cannot be written: it is a folder", 0);
		return NULL;
	}
	/* /dev/stdout may lead to a regular file that the shell holds open; in /dev/shm lie plain files. */
	bool device = strncmp(target, "/dev/", 5) == 0 && strncmp(target, "/dev/shm/", 9) != 0;
	if (!S_ISREG(st->st_mode) || device) {
		st->st_mode = S_IFCHR;
		return copy_text(target);
	}
	if (access(target, W_OK)) {
		file_fail(err, target, "cannot be written", errno);
		return NULL;
	}
	char *real = realpath(target, NULL);
	if (!real) {
		file_fail(err, target, "cannot be written", errno);
		return NULL;
	}
	char *copy = copy_text(real);
	free(real);
	return copy;
}

int file_begin(struct file_out *out, const char *target, struct file_error *err)
{
	struct stat old;
	*out = (struct file_out){ .slot = -1 };
	file_ignore_signals();
	if (!(out->target = real_target(target, &old, err)))
		return -1;
	if (old.st_mode && !S_ISREG(old.st_mode)) {
		out->direct = true;
		out->path = copy_text(target);
		return 0;
	}
	install_handlers();
	out->slot = free_slot();
	if (out->slot < 0) {
		empty_out(out);
		return file_fail(err, target, "cannot be written: too many files are being written", 0);
	}
	mode_t mode = old.st_mode ? old.st_mode & 0777 : 0666;
	int fd = create_temporary(out, mode);
	if (fd < 0) {
		int code = errno;
		empty_out(out);
		return file_fail(err, target, "cannot be written", code);
	}
	if (old.st_mode) {
		/* Root keeps a file its owner's; others may not give files away. */
		if ((old.st_uid != geteuid() || old.st_gid != getegid()) &&
		    fchown(fd, old.st_uid, old.st_gid))
			errno = 0;
		fchmod(fd, mode); /* the umask has cut it */
	}
	close(fd);
	return 0;
}

void file_abandon(struct file_out *out)
{
	if (!out->direct)
		drop_temporary(out);
	empty_out(out);
}

/* Some file systems know no fsync() of folders, or may not open them. */
int file_sync_folder(const char *path)
{
	size_t n = folder_length(path);
	char *folder = copy_text(n ? path : ".");
	if (n)
		folder[n] = '\0';
	int fd = open(folder, O_RDONLY | O_CLOEXEC | O_DIRECTORY);
	int code = fd >= 0 && fsync(fd) ? errno : 0;
	if (fd >= 0)
		close(fd);
	mem_free(folder);
	return code == EIO || code == ENOSPC ? code : 0;
}

static int sync_file(const char *path)
{
	struct stat st;
	int code = 0;
	int fd = open(path, O_RDWR | O_CLOEXEC | O_NOFOLLOW);
	if (fd < 0 || fstat(fd, &st) || fsync(fd))
		code = errno;
	else if (!S_ISREG(st.st_mode))
		code = ESTALE;
	if (fd >= 0 && close(fd) && !code)
		code = errno;
	return code;
}

int file_commit(struct file_out *out, struct file_error *err)
{
	int rc = 0, code = 0;
	if (!out->direct) {
		code = sync_file(out->path);
		if (!code && rename(out->path, out->target))
			code = errno;
		if (code) {
			rc = file_fail(err, out->target, "cannot be written", code);
			drop_temporary(out);
		} else {
			atomic_store(&leftover.path[out->slot], NULL);
			if ((code = file_sync_folder(out->target)))
				rc = file_fail(err, out->target, "was written, but its folder cannot be synced", code);
		}
	}
	empty_out(out);
	return rc;
}

/* 0 or errno.  A non-blocking pipe is waited for. */
static int write_all(int fd, struct str data)
{
	while (data.n) {
		ssize_t n = write(fd, data.p, data.n);
		if (n >= 0) {
			data.p += n;
			data.n -= (size_t)n;
		} else if (errno == EAGAIN || errno == EWOULDBLOCK) {
			struct pollfd p = { .fd = fd, .events = POLLOUT };
			poll(&p, 1, -1);
		} else if (errno != EINTR) {
			return errno;
		}
	}
	return 0;
}

int file_write(const char *target, struct str data, struct file_error *err)
{
	struct file_out out;
	if (file_begin(&out, target, err))
		return -1;
	/* O_APPEND: /dev/stdout may be a file that already holds something. */
	int fd = open(out.path, O_WRONLY | O_CLOEXEC | O_NOCTTY | (out.direct ? O_APPEND : O_TRUNC));
	int code = fd < 0 ? errno : write_all(fd, data);
	if (fd >= 0 && close(fd) && !code)
		code = errno;
	if (code) {
		file_abandon(&out);
		return file_fail(err, target, "cannot be written", code);
	}
	return file_commit(&out, err);
}

int file_stdout(struct str data, struct file_error *err)
{
	file_ignore_signals();
	int code = fflush(stdout) ? errno : write_all(STDOUT_FILENO, data);
	/* Some file systems tell of a full disk no earlier than at close(). */
	int copy = code ? -1 : dup(STDOUT_FILENO);
	if (copy >= 0 && close(copy))
		code = errno;
	if (code)
		snprintf(err->text, sizeof err->text, "Standard output cannot be written: %s.",
		         strerror(code));
	return code ? -1 : 0;
}

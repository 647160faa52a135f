/* test_crash.c - `note` is stopped at every moment: whatever is on the disk then is read
 * as the log before or after, and noting again makes it the log after.
 *
 * The calls of one run that change files are recorded (the linker puts __wrap_ functions
 * before them, see the Makefile).  Then every moment is acted out on a model of a disk:
 * after each call, and after each byte of each write.  A disk that loses power keeps what
 * was synced and may keep any of the rest, so each moment is tried with and without what
 * was not synced yet: contents of files, and names in the folder.  What is there is laid
 * out in a folder and read by the program. */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "commands/commands.h"
#include "farm/farm.h"
#include "farm/tables.h"
#include "help.h"

enum { OPS_MOST = 64, FDS = 64, NODES = 8, NAMES = 8, TEXT_MOST = 8192 };

enum what { MADE_FILE, WROTE, SYNCED, SYNCED_FOLDER, CUT, MOVED, REMOVED };
struct op {
	enum what what;
	char name[64], to[64]; /* below the farm folder */
	char text[1024];       /* WROTE */
	size_t n;              /* of it; CUT: new length */
};

static struct {
	bool on;
	const char *folder;
	struct op ops[OPS_MOST];
	size_t n;
	char fd_name[FDS][64]; /* "": none of ours; "/": the folder itself */
} tape;

/* ---- recording ---- */

int __real_open(const char *path, int flags, ...);
ssize_t __real_write(int fd, const void *p, size_t n);
int __real_fsync(int fd);
int __real_ftruncate(int fd, off_t n);
int __real_rename(const char *from, const char *to);
int __real_unlink(const char *path);
int __wrap_open(const char *path, int flags, ...);
ssize_t __wrap_write(int fd, const void *p, size_t n);
int __wrap_fsync(int fd);
int __wrap_ftruncate(int fd, off_t n);
int __wrap_rename(const char *from, const char *to);
int __wrap_unlink(const char *path);

/* The name below the farm folder; NULL when the path is elsewhere. */
static const char *inside(const char *path)
{
	size_t n = tape.on ? strlen(tape.folder) : 0;
	if (!tape.on || strncmp(path, tape.folder, n) != 0)
		return NULL;
	return path[n] == '\0' || strcmp(path + n, "/") == 0 ? "/" : path[n] == '/' ? path + n + 1 : NULL;
}

static struct op *record(enum what what, const char *name)
{
	assert_true(tape.n < OPS_MOST);
	struct op *op = &tape.ops[tape.n++];
	*op = (struct op){ .what = what };
	snprintf(op->name, sizeof op->name, "%s", name);
	return op;
}

static const char *name_of(int fd)
{
	return tape.on && fd >= 0 && fd < FDS && tape.fd_name[fd][0] ? tape.fd_name[fd] : NULL;
}

int __wrap_open(const char *path, int flags, ...)
{
	va_list ap;
	va_start(ap, flags);
	mode_t mode = flags & O_CREAT ? va_arg(ap, mode_t) : 0;
	va_end(ap);
	const char *name = inside(path);
	bool fresh = name && (flags & O_CREAT) && access(path, F_OK) != 0;
	int fd = __real_open(path, flags, mode);
	if (fd >= 0 && fd < FDS)
		snprintf(tape.fd_name[fd], sizeof tape.fd_name[fd], "%s", name ? name : "");
	if (fd >= 0 && fresh)
		record(MADE_FILE, name);
	if (fd >= 0 && name && flags & O_TRUNC)
		record(CUT, name)->n = 0;
	return fd;
}

ssize_t __wrap_write(int fd, const void *p, size_t n)
{
	const char *name = name_of(fd);
	ssize_t done = __real_write(fd, p, n);
	if (name && done > 0) {
		struct op *op = record(WROTE, name);
		assert_true((size_t)done <= sizeof op->text);
		op->n = (size_t)done;
		memcpy(op->text, p, op->n);
	}
	return done;
}

int __wrap_fsync(int fd)
{
	const char *name = name_of(fd);
	if (name)
		record(strcmp(name, "/") == 0 ? SYNCED_FOLDER : SYNCED, name);
	return 0; /* the model is what is tested; real syncs would only take time */
}

int __wrap_ftruncate(int fd, off_t n)
{
	const char *name = name_of(fd);
	int status = __real_ftruncate(fd, n);
	if (name && status == 0)
		record(CUT, name)->n = (size_t)n;
	return status;
}

int __wrap_rename(const char *from, const char *to)
{
	const char *a = inside(from), *b = inside(to);
	int status = __real_rename(from, to);
	if (a && b && status == 0)
		snprintf(record(MOVED, a)->to, sizeof tape.ops[0].to, "%s", b);
	return status;
}

int __wrap_unlink(const char *path)
{
	const char *name = inside(path);
	int status = __real_unlink(path);
	if (name && status == 0)
		record(REMOVED, name);
	return status;
}

/* ---- running the program ---- */

/* `thrave note FOLDER WORDS...`; its exit status.  Nothing is printed. */
static int note(const char *folder, const char *const *words)
{
	char *argv[32] = { (char *)"thrave", (char *)"note", (char *)folder };
	int argc = 3;
	for (; *words; words++)
		argv[argc++] = (char *)*words;
	struct request req;
	struct buf err;
	buf_init(&err, TEXT_MOST);
	fflush(stdout);
	int out = dup(STDOUT_FILENO), says = dup(STDERR_FILENO), null = __real_open("/dev/null", O_WRONLY);
	dup2(null, STDOUT_FILENO);
	dup2(null, STDERR_FILENO);
	int status = request_parse(&req, argc, argv, &err);
	if (!status)
		status = req.command->run(&req);
	fflush(stderr);
	dup2(out, STDOUT_FILENO);
	dup2(says, STDERR_FILENO);
	close(out);
	close(says);
	close(null);
	request_release(&req);
	if (err.len)
		fail_msg("%s", err.data);
	buf_release(&err);
	return status;
}

/* ---- the model of a disk ---- */

struct node {
	char now[TEXT_MOST], kept[TEXT_MOST]; /* kept: synced */
	size_t n, nkept;
};
struct name {
	char text[64];
	int now, kept; /* node, or -1 */
};
struct disk {
	struct node nodes[NODES];
	struct name names[NAMES];
	size_t nnodes, nnames;
};

static struct name *name_at(struct disk *d, const char *text)
{
	for (size_t i = 0; i < d->nnames; i++) {
		if (strcmp(d->names[i].text, text) == 0)
			return &d->names[i];
	}
	assert_true(d->nnames < NAMES);
	struct name *name = &d->names[d->nnames++];
	*name = (struct name){ .now = -1, .kept = -1 };
	snprintf(name->text, sizeof name->text, "%s", text);
	return name;
}

static struct node *node_at(struct disk *d, const char *text)
{
	struct name *name = name_at(d, text);
	if (name->now < 0) {
		assert_true(d->nnodes < NODES);
		name->now = (int)d->nnodes++;
		d->nodes[name->now] = (struct node){ .n = 0 };
	}
	return &d->nodes[name->now];
}

static void put_there(struct disk *d, const char *name, const char *text)
{
	struct node *node = node_at(d, name);
	node->n = node->nkept = strlen(text);
	memcpy(node->now, text, node->n);
	memcpy(node->kept, text, node->n);
	name_at(d, name)->kept = name_at(d, name)->now;
}

/* The operation, of a write only its first n bytes. */
static void act(struct disk *d, const struct op *op, size_t n)
{
	struct node *node;
	switch (op->what) {
	case MADE_FILE:
		name_at(d, op->name)->now = -1;
		node_at(d, op->name);
		break;
	case WROTE:
		node = node_at(d, op->name);
		assert_true(node->n + n <= TEXT_MOST);
		memcpy(node->now + node->n, op->text, n);
		node->n += n;
		break;
	case CUT:
		node_at(d, op->name)->n = op->n;
		break;
	case SYNCED:
		node = node_at(d, op->name);
		memcpy(node->kept, node->now, node->n);
		node->nkept = node->n;
		break;
	case SYNCED_FOLDER:
		for (size_t i = 0; i < d->nnames; i++)
			d->names[i].kept = d->names[i].now;
		break;
	case MOVED:
		name_at(d, op->to)->now = name_at(d, op->name)->now;
		name_at(d, op->name)->now = -1;
		break;
	case REMOVED:
		name_at(d, op->name)->now = -1;
		break;
	}
}

/* ---- one scenario ---- */

struct scenario {
	const char *before;       /* bench.csv; NULL: not there */
	const char *torn;         /* what of it is torn; NULL */
	size_t old;               /* entries in it */
	const char *const *words; /* with --id new */
	size_t step;              /* bytes from one moment of a write to the next */
};

static const char farm_text[] = "farm Heron Lane\n  currency EUR\ncrop Statice\n  bunch 10 stem\n"
                                "piece Wreath\n  needs 12 stem Statice\n  sells market at 40\noutlet market\n";
static const char stock_text[] = "box,what,count,boxed,counted\nB1,Statice,90,2026-10-01,2026-11-01\n"
                                 "B2,Statice,40,2026-10-02,2026-11-01\n";

static void put_file(const char *folder, const char *name, const char *text, size_t n)
{
	struct file_error err;
	char path[512];
	snprintf(path, sizeof path, "%s/%s", folder, name);
	if (file_write(path, (struct str){ text, n }, &err))
		fail_msg("%s", err.text);
}

static char *new_farm(void)
{
	char *folder = help_folder();
	put_file(folder, "farm.txt", farm_text, sizeof farm_text - 1);
	put_file(folder, "stock.csv", stock_text, sizeof stock_text - 1);
	return folder;
}

struct log_read {
	struct arena arena;
	struct diag diag;
	struct farm *farm;
	bool says_torn;
};

static void read_log(struct log_read *r, const char *folder)
{
	static const struct load_options none = { 0 };
	arena_init(&r->arena);
	diag_init(&r->diag, &r->arena);
	int status = farm_load(&r->farm, &r->arena, folder, &none, &r->diag);
	r->says_torn = false;
	for (size_t i = 0; i < r->diag.nitems; i++)
		r->says_torn = r->says_torn || strstr(r->diag.items[i].text.p, "is torn");
	if (status) {
		char *text = help_read(help_path(folder, "bench.csv"));
		fail_msg("%.*s\n%s", STR_ARG(r->diag.items[0].text), text);
	}
}

/* The old entries as they were, and behind them at most the new one; how many. */
static size_t old_or_new(const struct log_read *r, const struct scenario *s)
{
	const struct farm *farm = r->farm;
	assert_in_range(farm->nlog, s->old, s->old + 1);
	for (size_t i = 0; i < s->old; i++)
		assert_int_equal(farm->log[i].id.p[0], '1' + (int)i);
	if (farm->nlog > s->old)
		assert_text(farm->log[s->old].id, "new");
	return farm->nlog;
}

static bool holds(const char *folder, const char *name, const char *part)
{
	struct arena a;
	struct str text;
	struct file_error err;
	size_t n = strlen(part);
	bool there = false;
	arena_init(&a);
	bool read = file_read(&a, help_path(folder, name), &text, &err) == 0;
	for (size_t i = 0; read && i + n <= text.n; i++)
		there = there || memcmp(text.p + i, part, n) == 0;
	arena_release(&a);
	return there;
}

/* What the disk holds, by now or by what is kept, laid out and read.  `names` and the
 * bits of `nodes` choose what is by now. */
static void look_at(const struct disk *d, const struct scenario *s, bool names, unsigned nodes, bool done)
{
	struct log_read r;
	char *folder = new_farm();
	for (size_t i = 0; i < d->nnames; i++) {
		int node = names ? d->names[i].now : d->names[i].kept;
		if (node < 0)
			continue;
		const struct node *n = &d->nodes[node];
		bool now = nodes >> node & 1;
		put_file(folder, d->names[i].text, now ? n->now : n->kept, now ? n->n : n->nkept);
	}
	read_log(&r, folder);
	size_t entries = old_or_new(&r, s);
	if (done)
		assert_int_equal(entries, s->old + 1);
	if (r.says_torn)
		assert_true(entries == s->old);
	arena_release(&r.arena);
	if (s->torn)
		assert_true(holds(folder, "bench.csv", s->torn) || holds(folder, BENCH_TORN, s->torn));

	assert_int_equal(note(folder, s->words), 0); /* once more */
	read_log(&r, folder);
	assert_int_equal(old_or_new(&r, s), s->old + 1);
	assert_false(r.says_torn);
	arena_release(&r.arena);
	if (s->torn)
		assert_true(holds(folder, BENCH_TORN, s->torn));
	help_remove(folder);
}

static size_t look_at_all(const struct disk *d, const struct scenario *s, bool done)
{
	unsigned differ = 0;
	bool names = false;
	size_t looked = 0;
	for (size_t i = 0; i < d->nnodes; i++) {
		const struct node *n = &d->nodes[i];
		if (n->n != n->nkept || memcmp(n->now, n->kept, n->n) != 0)
			differ |= 1u << i;
	}
	for (size_t i = 0; i < d->nnames; i++)
		names = names || d->names[i].now != d->names[i].kept;
	for (unsigned nodes = 0; nodes <= differ; nodes++) {
		if (nodes & ~differ)
			continue;
		look_at(d, s, true, nodes, done);
		looked++;
		if (names)
			look_at(d, s, false, nodes, done);
		looked += names;
	}
	return looked;
}

static void tape_run(const struct scenario *s, struct disk *start)
{
	char *folder = new_farm();
	*start = (struct disk){ .nnodes = 0 };
	if (s->before) {
		put_file(folder, "bench.csv", s->before, strlen(s->before));
		put_there(start, "bench.csv", s->before);
	}
	memset(&tape, 0, sizeof tape);
	tape.folder = folder;
	tape.on = true;
	int status = note(folder, s->words);
	tape.on = false;
	assert_int_equal(status, 0);
	help_remove(folder);
}

static void act_out(const struct scenario *s)
{
	static struct disk d, part;
	size_t looked = 0, writes = 0, syncs = 0;
	tape_run(s, &d);
	for (size_t k = 0; k < tape.n; k++) {
		const struct op *op = &tape.ops[k];
		writes += op->what == WROTE;
		syncs += op->what == SYNCED;
		looked += look_at_all(&d, s, false);
		for (size_t n = 1; op->what == WROTE && n < op->n; n += s->step) {
			part = d;
			act(&part, op, n);
			looked += look_at_all(&part, s, false);
		}
		if (op->what == WROTE) { /* its length is there, its content is not */
			part = d;
			act(&part, op, op->n);
			struct node *node = node_at(&part, op->name);
			memset(node->now + node->n - op->n, 0, op->n);
			looked += look_at_all(&part, s, false);
		}
		act(&d, op, op->n);
	}
	looked += look_at_all(&d, s, true);
	assert_true(writes > 0 && syncs >= writes); /* else the calls were not recorded */
	assert_true(looked > 20);
}

#define HEADER "id,on,event,what,count,drawn,box,cause,strikes,note,end\n"
#define FIRST "1,2026-11-02,made,Wreath,1,B1 12,,,,,.\n"

static const char *const tossed[] = { "tossed", "5",    "Statice", "--box", "B2", "--cause", "mould",
	                              "--on",   "2026-11-03", "--id", "new",  NULL };

static void added(void **state)
{
	(void)state;
	act_out(&(struct scenario){ HEADER FIRST "2,2026-11-02,sold,Wreath,1,,,,,,.\n", NULL, 2, tossed, 1 });
}

static void added_behind_an_open_end(void **state)
{
	(void)state;
	act_out(&(struct scenario){ HEADER "1,2026-11-02,made,Wreath,1,B1 12,,,,,", NULL, 1, tossed, 1 });
}

static void added_with_semicolons_and_crlf(void **state)
{
	static const char before[] = "id;on;event;what;count;box;cause;note;end\r\n"
	                             "1;2026-11-02;sold;Statice;2,5;B1;;\"a;b\";.\r\n";
	static const char *const words[] = { "tossed", "2.5", "Statice", "--box", "B2", "--say",
		                             "wet; \"soft\"", "--on", "2026-11-03", "--id", "new", NULL };
	(void)state;
	act_out(&(struct scenario){ before, NULL, 1, words, 1 });
}

static void added_behind_a_torn_line(void **state)
{
	(void)state;
	act_out(&(struct scenario){ HEADER FIRST "2,2026-11-02,sold,Wre", "2,2026-11-02,sold,Wre", 1, tossed, 1 });
}

/* With columns that the log lacks all of it is written anew. */
static const char *const hung[] = { "hung", "80", "Statice", "--batch", "S1", "--minutes", "9",
	                            "--on", "2026-11-03", "--id", "new", NULL };

static void added_with_new_columns(void **state)
{
	(void)state;
	act_out(&(struct scenario){ HEADER FIRST "2,2026-11-02,sold,Wreath,1,,,,,,.\n", NULL, 2, hung, 9 });
}

static void added_with_new_columns_behind_a_torn_line(void **state)
{
	(void)state;
	act_out(&(struct scenario){ HEADER FIRST "2,2026-11-02,sold,Wre", "2,2026-11-02,sold,Wre", 1, hung, 9 });
}

static void the_first_of_all(void **state)
{
	(void)state;
	act_out(&(struct scenario){ NULL, NULL, 0, tossed, 9 });
}

static void a_making_that_draws(void **state)
{
	static const char *const words[] = { "made", "4", "Wreath", "--on", "2026-11-03", "--id", "new", NULL };
	(void)state;
	act_out(&(struct scenario){ HEADER FIRST, NULL, 1, words, 5 });
}

static void a_strike(void **state)
{
	static const char *const words[] = { "strike", "1", "--on", "2026-11-03", "--id", "new", NULL };
	(void)state;
	act_out(&(struct scenario){ HEADER FIRST, NULL, 1, words, 5 });
}

/* The harness must see a lost line, a torn line that is dropped, and a missing sync. */
static void harness_sees_faults(void **state)
{
	static struct disk d;
	(void)state;
	put_there(&d, "bench.csv", HEADER FIRST);
	struct op wrote = { .what = WROTE, .name = "bench.csv", .text = "new", .n = 3 };
	act(&d, &wrote, 3);
	assert_int_equal(d.nodes[0].n, d.nodes[0].nkept + 3);
	struct op moved = { .what = MOVED, .name = "bench.csv", .to = "other" };
	act(&d, &moved, 0);
	assert_int_equal(name_at(&d, "bench.csv")->now, -1);
	assert_int_equal(name_at(&d, "bench.csv")->kept, 0);
	act(&d, &(struct op){ .what = SYNCED, .name = "other" }, 0);
	assert_int_equal(d.nodes[0].n, d.nodes[0].nkept);
	act(&d, &(struct op){ .what = SYNCED_FOLDER, .name = "/" }, 0);
	assert_int_equal(name_at(&d, "other")->kept, 0);
}

int main(void)
{
	struct stat memory; /* thousands of small files: a disk would only take time */
	if (!getenv("TMPDIR") && stat("/dev/shm", &memory) == 0 && S_ISDIR(memory.st_mode))
		setenv("TMPDIR", "/dev/shm", 1);
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(harness_sees_faults),
		cmocka_unit_test(added),
		cmocka_unit_test(added_behind_an_open_end),
		cmocka_unit_test(added_with_semicolons_and_crlf),
		cmocka_unit_test(added_behind_a_torn_line),
		cmocka_unit_test(added_with_new_columns),
		cmocka_unit_test(added_with_new_columns_behind_a_torn_line),
		cmocka_unit_test(the_first_of_all),
		cmocka_unit_test(a_making_that_draws),
		cmocka_unit_test(a_strike),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_errors.c - every wrong text in tests/errors/notation.cases and every wrong
 * table in tests/errors/tables.cases is reported word for word as it stands there.
 *
 * RENEW=1 writes what is said now into the files, for a reader to look at the
 * difference.  In a case's texts \t, \r and \xHH stand for the byte, \z at the end
 * for no line end.  A case of tables without a text of its own gets
 * tests/errors/farm.txt. */
#include "help_texts.h"

#include "base/buf.h"
#include "base/file.h"

struct casefile {
	bool tables;
	struct str rest;
	struct buf renewed;
	size_t cases, wrong;
};

static struct str take_line(struct str *rest)
{
	const char *end = rest->n ? memchr(rest->p, '\n', rest->n) : NULL;
	struct str line = { rest->p, end ? (size_t)(end - rest->p) : rest->n };
	size_t taken = end ? line.n + 1 : line.n;
	rest->p += taken;
	rest->n -= taken;
	return line;
}

static bool at_mark(struct str s)
{
	return s.n == 0 || str_starts(s, "--- ") || str_starts(s, "=== ");
}

static int hex(char c)
{
	return c >= '0' && c <= '9' ? c - '0' : c - 'a' + 10;
}

static void add_unescaped(struct buf *b, struct str line)
{
	for (size_t i = 0; i < line.n; i++) {
		struct str s = { line.p + i, line.n - i };
		if (str_starts(s, "\\x") && s.n >= 4) {
			buf_char(b, (char)(hex(s.p[2]) * 16 + hex(s.p[3])));
			i += 3;
		} else if (str_is(s, "\\z")) {
			return;
		} else if (str_starts(s, "\\t") || str_starts(s, "\\r")) {
			buf_char(b, s.p[1] == 't' ? '\t' : '\r');
			i++;
		} else {
			buf_char(b, s.p[0]);
		}
	}
	buf_char(b, '\n');
}

/* The farm of one case: texts in memory, or a folder. */
struct farmyard {
	struct texts texts;
	char *folder;
	bool has_text;
};

static void put_file(struct farmyard *y, struct str name, struct str text)
{
	struct file_error err;
	const char *relative = arena_copy(&y->texts.arena, name.p, name.n);
	assert_int_equal(file_write(help_path(y->folder, relative), text, &err), 0);
	y->has_text = y->has_text || strstr(relative, ".txt");
}

static void load_folder(struct farmyard *y)
{
	struct farm *farm;
	if (!y->has_text) {
		char *text = help_read("tests/errors/farm.txt");
		assert_non_null(text);
		put_file(y, STR("farm.txt"), str_of(text));
		free(text);
	}
	y->texts.bad = farm_load(&farm, &y->texts.arena, y->folder, NULL, &y->texts.diag);
	assert_int_equal(y->texts.bad<0, y->texts.diag.errors> 0);
}

/* Copies the texts of a case into the farm and, as they stand, into the renewed file. */
static void read_texts(struct casefile *f, struct farmyard *y)
{
	while (f->rest.n) {
		struct str line = take_line(&f->rest);
		buf_str(&f->renewed, line);
		buf_char(&f->renewed, '\n');
		struct str name = { line.p + 4, line.n - 4 };
		if (str_is(name, "said"))
			return;
		struct buf text;
		buf_init(&text, 1 << 20);
		while (!at_mark(f->rest)) {
			line = take_line(&f->rest);
			buf_str(&f->renewed, line);
			buf_char(&f->renewed, '\n');
			add_unescaped(&text, line);
		}
		if (f->tables)
			put_file(y, name, buf_slice(&text));
		else
			texts_add_str(&y->texts, name, buf_slice(&text));
		buf_release(&text);
	}
}

static void read_said(struct casefile *f, struct buf *said)
{
	while (f->rest.n && !str_starts(f->rest, "=== ")) {
		struct str line = take_line(&f->rest);
		if (line.n || !(f->rest.n == 0 || str_starts(f->rest, "=== "))) {
			buf_str(said, line);
			buf_char(said, '\n');
		}
	}
}

static void run_case(struct casefile *f, struct str title)
{
	struct farmyard y = { .folder = f->tables ? help_folder() : NULL };
	struct buf want;
	buf_init(&want, 1 << 20);
	texts_start(&y.texts);
	read_texts(f, &y);
	read_said(f, &want);
	if (f->tables)
		load_folder(&y);
	else
		texts_done(&y.texts);
	const char *said = texts_said(&y.texts);
	if (strcmp(said, want.data) != 0 || *said == '\0') {
		print_error("%.*s\n-- said:\n%s-- should be:\n%s\n", STR_ARG(title), said,
			    want.data);
		f->wrong++;
	}
	buf_printf(&f->renewed, "%s\n", said);
	f->cases++;
	texts_end(&y.texts);
	buf_release(&want);
	if (y.folder)
		help_remove(y.folder);
}

static void run_file(const char *path, bool tables, size_t least)
{
	char *text = help_read(path);
	assert_non_null(text);
	struct casefile f = { .tables = tables, .rest = str_of(text) };
	buf_init(&f.renewed, 1 << 22);
	while (f.rest.n) {
		struct str line = take_line(&f.rest);
		buf_str(&f.renewed, line);
		buf_char(&f.renewed, '\n');
		if (str_starts(line, "=== "))
			run_case(&f, line);
	}
	const char *renew = getenv("RENEW");
	if (renew && *renew == '1') {
		while (f.renewed.len > 1 &&
		       str_is((struct str){ f.renewed.data + f.renewed.len - 2, 2 }, "\n\n"))
			f.renewed.data[--f.renewed.len] = '\0';
		help_write(path, f.renewed.data);
	}
	size_t cases = f.cases, wrong = f.wrong;
	buf_release(&f.renewed);
	free(text);
	assert_true(cases >= least);
	if (!renew)
		assert_int_equal(wrong, 0);
}

static void wrong_texts(void **state)
{
	(void)state;
	run_file("tests/errors/notation.cases", false, 70);
}

static void wrong_tables(void **state)
{
	(void)state;
	run_file("tests/errors/tables.cases", true, 70);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(wrong_texts),
		cmocka_unit_test(wrong_tables),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

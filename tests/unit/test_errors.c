/* test_errors.c - every wrong text in tests/errors/notation.cases is reported word
 * for word as it stands there.
 *
 * RENEW=1 writes what is said now into the file, for a reader to look at the
 * difference.  In a case's texts \t, \r and \xHH stand for the byte. */
#include "help_texts.h"

#include "base/buf.h"

static const char path[] = "tests/errors/notation.cases";

enum { CASES_LEAST = 70 };

struct casefile {
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
		} else if (str_starts(s, "\\t") || str_starts(s, "\\r")) {
			buf_char(b, s.p[1] == 't' ? '\t' : '\r');
			i++;
		} else {
			buf_char(b, s.p[0]);
		}
	}
	buf_char(b, '\n');
}

/* Copies the texts of a case into t and, as they stand, into the renewed file. */
static void read_texts(struct casefile *f, struct texts *t)
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
		texts_add_str(t, name, buf_slice(&text));
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
	struct texts t;
	struct buf want;
	buf_init(&want, 1 << 20);
	texts_start(&t);
	read_texts(f, &t);
	read_said(f, &want);
	texts_done(&t);
	const char *said = texts_said(&t);
	if (strcmp(said, want.data) != 0 || *said == '\0') {
		print_error("%.*s\n-- said:\n%s-- should be:\n%s\n", STR_ARG(title), said, want.data);
		f->wrong++;
	}
	buf_printf(&f->renewed, "%s\n", said);
	f->cases++;
	texts_end(&t);
	buf_release(&want);
}

static void all_cases(void **state)
{
	(void)state;
	char *text = help_read(path);
	assert_non_null(text);
	struct casefile f = { .rest = str_of(text) };
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
		while (f.renewed.len > 1 && str_is((struct str){ f.renewed.data + f.renewed.len - 2, 2 }, "\n\n"))
			f.renewed.data[--f.renewed.len] = '\0';
		help_write(path, f.renewed.data);
	}
	size_t cases = f.cases, wrong = f.wrong;
	buf_release(&f.renewed);
	free(text);
	assert_true(cases >= CASES_LEAST);
	if (!renew)
		assert_int_equal(wrong, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(all_cases) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}

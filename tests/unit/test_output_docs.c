/* docs/output.md against the tables of the program: options, exit statuses, and the
 * columns of every table, both ways.  With --write the parts between the marks are
 * written anew (tests/renew does so). */
#include "help.h"

#include "base/buf.h"
#include "base/file.h"
#include "base/mem.h"
#include "commands/options.h"
#include "report/report.h"

#define PAGE "docs/output.md"
enum { PAGE_MOST = 1 << 20 };

static void write_options(struct buf *b)
{
	buf_text(b, "| option | value | commands | meaning |\n|---|---|---|---|\n");
	for (size_t i = 0; option_at(i); i++) {
		const struct option *o = option_at(i);
		buf_printf(b, "| `%s` | %s |", o->name, o->value ? o->value : "");
		bool all = true;
		for (size_t c = 0; command_at(c); c++)
			all = all && (o->commands & command_at(c)->bit);
		for (size_t c = 0; !all && command_at(c); c++) {
			if (o->commands & command_at(c)->bit)
				buf_printf(b, " %s", command_at(c)->name);
		}
		buf_printf(b, "%s | %s%s |\n", all ? " all" : "", o->meaning,
			   o->many ? "; many times" : "");
	}
}

static void write_statuses(struct buf *b)
{
	buf_text(b, "| status | meaning |\n|---|---|\n");
	for (int i = 0; exit_meaning(i); i++)
		buf_printf(b, "| %d | %s |\n", i, exit_meaning(i));
}

static void write_table(struct buf *b, const struct table_def *def, bool main)
{
	buf_printf(b, "### %s: `%s`\n\n%s%s.\n\n", def->command, def->name, def->title,
		   main ? " (the main table)" : "");
	buf_text(b, "| key | unit | meaning |\n|---|---|---|\n");
	for (size_t c = 0; c < def->ncolumns; c++) {
		const struct column *col = &def->columns[c];
		if (col->bits & COL_PEOPLE)
			continue;
		assert_true(*col->unit && *col->meaning);
		buf_printf(b, "| `%s` | %s | %s%s |\n", col->key, col->unit, col->meaning,
			   col->bits & COL_SUPPOSED ? "; there only with `--suppose`" : "");
	}
}

static void write_tables(struct buf *b)
{
	const char *command = "";
	for (size_t i = 0; report_def_at(i); i++) {
		const struct table_def *def = report_def_at(i);
		buf_text(b, i ? "\n" : "");
		write_table(b, def, strcmp(def->command, command) != 0);
		command = def->command;
	}
}

/* The page with the parts between the marks as the program has them. */
static void write_page(struct buf *out, const char *page)
{
	static const struct {
		const char *mark;
		void (*write)(struct buf *);
	} parts[] = { { "<!-- options -->\n", write_options },
		      { "<!-- statuses -->\n", write_statuses },
		      { "<!-- tables -->\n", write_tables } };
	for (size_t i = 0; i < COUNT(parts); i++) {
		const char *at = strstr(page, parts[i].mark);
		const char *end = at ? strstr(at, "<!-- end -->") : NULL;
		assert_non_null(end);
		buf_add(out, page, (size_t)(at - page) + strlen(parts[i].mark));
		parts[i].write(out);
		page = end;
	}
	buf_text(out, page);
	assert_false(out->full);
}

static void page_is_what_the_program_has(void **state)
{
	(void)state;
	char *page = help_read(PAGE);
	struct buf want;
	buf_init(&want, PAGE_MOST);
	assert_non_null(page);
	write_page(&want, page);
	assert_string_equal(page, want.data);
	buf_release(&want);
	free(page);
}

static void keys_are_words_and_stand_once(void **state)
{
	(void)state;
	for (size_t i = 0; report_def_at(i); i++) {
		const struct table_def *def = report_def_at(i);
		for (size_t k = 0; k < i; k++)
			assert_ptr_not_equal(def, report_def_at(k));
		for (size_t c = 0; c < def->ncolumns; c++) {
			const char *key = def->columns[c].key;
			assert_int_equal(strspn(key, "abcdefghijklmnopqrstuvwxyz_"), strlen(key));
			for (size_t k = 0; k < c; k++)
				assert_string_not_equal(key, def->columns[k].key);
		}
	}
}

static int write_anew(void)
{
	struct file_error err;
	char *page = help_read(PAGE);
	struct buf out;
	if (!page)
		return 4;
	buf_init(&out, PAGE_MOST);
	write_page(&out, page);
	int failed = file_write(PAGE, buf_slice(&out), &err);
	buf_release(&out);
	free(page);
	return failed ? 4 : 0;
}

int main(int argc, char **argv)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(page_is_what_the_program_has),
		cmocka_unit_test(keys_are_words_and_stand_once),
	};
	if (argc > 1 && strcmp(argv[1], "--write") == 0)
		return write_anew();
	return cmocka_run_group_tests(tests, NULL, NULL);
}

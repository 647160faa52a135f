/* test_load.c - a folder becomes a farm. */
#include <sys/stat.h>
#include <unistd.h>

#include "base/buf.h"
#include "farm/farm.h"
#include "help.h"

struct loaded {
	struct arena arena;
	struct diag diag;
	struct farm *farm;
	int status;
	struct buf said;
};

static void load(struct loaded *l, const char *folder, const char *suppose)
{
	struct load_options options = { .suppose = &suppose, .nsuppose = suppose ? 1 : 0 };
	arena_init(&l->arena);
	diag_init(&l->diag, &l->arena);
	buf_init(&l->said, 1 << 20);
	l->status = farm_load(&l->farm, &l->arena, folder, &options, &l->diag);
	diag_print(&l->diag, &l->said);
}

static void unload(struct loaded *l)
{
	buf_release(&l->said);
	arena_release(&l->arena);
}

static void check_said(struct loaded *l, int status, const char *said)
{
	assert_string_equal(l->said.data, said);
	assert_int_equal(l->status, status);
	unload(l);
}

static void folder_of_texts(void **state)
{
	struct loaded l;
	(void)state;
	char *folder = help_folder();
	assert_int_equal(mkdir(help_path(folder, "crops"), 0777), 0);
	help_write(help_path(folder, "pieces.txt"), "piece Wreath\n  needs 3 bunch Statice\n");
	help_write(help_path(folder, "crops/a.txt"), "\xef\xbb\xbf"
						     "crop Statice\r\n  bunch 10 stem\r\n");
	help_write(help_path(folder, ".hidden.txt"), "crop Statice\n");
	help_write(help_path(folder, "crops.text"), "crop Statice\n");
	load(&l, folder, NULL);
	assert_int_equal(l.farm->ncrops, 1);
	assert_int_equal(l.farm->npieces, 1);
	assert_int_equal(l.farm->pieces[0].needs[0].options[0].count.num, 30);
	assert_text(l.farm->folder, folder);
	assert_false(l.farm->has_stock);
	check_said(&l, 0, "");
	help_remove(folder);
}

/* The mark at a file's start does not move the columns of its first line. */
static void places_behind_a_mark(void **state)
{
	struct loaded l;
	(void)state;
	char *folder = help_folder();
	help_write(help_path(folder, "a.txt"), "\xef\xbb\xbf"
					       "crop Statice, blue\n");
	load(&l, folder, NULL);
	check_said(
	    &l, -1,
	    "a.txt:1:13: error: `Statice, blue` cannot be the name of a crop: a name holds no "
	    "comma and no semicolon.\n"
	    "  crop Statice, blue\n"
	    "              ^\n");
	help_remove(folder);
}

static void no_farm(void **state)
{
	struct loaded l;
	(void)state;
	char *folder = help_folder();
	load(&l, folder, NULL);
	assert_int_equal(l.status, -1);
	assert_non_null(strstr(l.said.data, "error: No farm is written down in the folder "));
	assert_non_null(strstr(l.said.data, "hint: `thrave start` makes a new folder"));
	unload(&l);

	help_write(help_path(folder, "read-me.txt"), "Nothing but prose.\n");
	load(&l, folder, NULL);
	assert_int_equal(l.status, -1);
	assert_non_null(strstr(l.said.data, "No farm is written down"));
	assert_non_null(strstr(l.said.data, "note: `read-me.txt` was left out"));
	unload(&l);
	help_remove(folder);
}

static void what_cannot_be_read(void **state)
{
	struct loaded l;
	(void)state;
	char *folder = help_folder();
	load(&l, help_path(folder, "nowhere"), NULL);
	assert_int_equal(l.status, -2);
	assert_int_equal(l.diag.errors, 1);
	unload(&l);

	help_write(help_path(folder, "a.txt"), "crop Statice\n");
	load(&l, help_path(folder, "a.txt"), NULL);
	assert_int_equal(l.status, -2);
	unload(&l);

	assert_int_equal(chmod(help_path(folder, "a.txt"), 0), 0);
	if (access(help_path(folder, "a.txt"), R_OK) != 0) { /* a super-user reads all */
		load(&l, folder, NULL);
		assert_int_equal(l.status, -2);
		unload(&l);
	}
	help_remove(folder);
}

/* Wrong lines and unknown names of all files come in one run, by file and place. */
static void all_at_once(void **state)
{
	struct loaded l;
	(void)state;
	char *folder = help_folder();
	help_write(help_path(folder, "b.txt"), "crop Statice\n  keeps 14 mnths\n");
	help_write(help_path(folder, "a.txt"), "piece P\n  needs 3 stem Statise\n");
	load(&l, folder, NULL);
	check_said(&l, -1,
		   "a.txt:2:16: error: There is no crop, supply or part `Statise`.\n"
		   "    needs 3 stem Statise\n"
		   "                 ^~~~~~~\n"
		   "  hint: did you mean `Statice`?\n"
		   "b.txt:2:12: error: `mnths` is no word that can stand here.\n"
		   "    keeps 14 mnths\n"
		   "             ^~~~~\n"
		   "  hint: did you mean `months`?\n");
	help_remove(folder);
}

static void supposing(void **state)
{
	struct loaded l;
	(void)state;
	char *folder = help_folder();
	help_write(help_path(folder, "a.txt"),
		   "farm F\n  wage 16.50 per h\noutlet market\n"
		   "piece P\n  takes 1 min\n  sells market at 20, likely 14, up to 20\n");
	load(&l, folder, "wage = 19");
	assert_int_equal(l.status, 0);
	assert_near(l.farm->business.wage.v, 19);
	assert_true(l.farm->business.wage.supposed);
	unload(&l);
	load(&l, folder, "wage = -1");
	assert_int_equal(l.status, -1);
	unload(&l);
	help_remove(folder);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(folder_of_texts), cmocka_unit_test(places_behind_a_mark),
		cmocka_unit_test(no_farm),         cmocka_unit_test(what_cannot_be_read),
		cmocka_unit_test(all_at_once),     cmocka_unit_test(supposing),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

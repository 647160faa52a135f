/* test_pair.c - things of two farms that are the same by name. */
#include "farm/pair.h"

#include "base/buf.h"
#include "help_farm.h"

struct two {
	struct arena arena;
	struct farm *first, *second;
};

static struct farm *farm_of(struct two *t, const char *texts)
{
	struct diag diag;
	struct farm *farm;
	struct load_options options = { 0 };
	char *folder = help_folder();
	help_write(help_path(folder, "farm.txt"), texts);
	diag_init(&diag, &t->arena);
	assert_int_equal(farm_load(&farm, &t->arena, folder, &options, &diag), 0);
	help_remove(folder);
	return farm;
}

static void open_two(struct two *t, const char *first, const char *second)
{
	arena_init(&t->arena);
	t->first = farm_of(t, first);
	t->second = farm_of(t, second);
}

/* "0-1 1-0 2- -2": indices on both sides. */
static void pairs_are(struct two *t, enum kind kind, const char *wanted)
{
	size_t n;
	struct pair *p = farm_pairs(t->first, t->second, kind, &t->arena, &n);
	struct buf said;
	buf_init(&said, 400);
	for (size_t i = 0; i < n; i++) {
		if (i)
			buf_char(&said, ' ');
		if (p[i].first != NONE)
			buf_printf(&said, "%u", p[i].first);
		buf_char(&said, '-');
		if (p[i].second != NONE)
			buf_printf(&said, "%u", p[i].second);
	}
	assert_string_equal(said.data, wanted);
	buf_release(&said);
}

static void the_order_is_of_the_first(void **state)
{
	(void)state;
	struct two t;
	open_two(&t, "crop Rose\ncrop Statice\ncrop Yarrow\n", "crop Yarrow\ncrop Poppy\ncrop Rose\n");
	pairs_are(&t, KIND_CROP, "0-2 1- 2-0 -1");
	arena_release(&t.arena);
}

static void capitals_and_blanks_do_not_matter(void **state)
{
	(void)state;
	struct two t;
	open_two(&t, "supply Willow  ring\n", "supply willow RING\n");
	pairs_are(&t, KIND_SUPPLY, "0-0");
	arena_release(&t.arena);
}

static void further_names_count_too(void **state)
{
	(void)state;
	struct two t;
	open_two(&t, "crop Statice\n  also Limonium\ncrop Strawflower\n  also straw flower\n",
		 "crop Limonium\ncrop Everlasting\n  also Straw Flower\n");
	pairs_are(&t, KIND_CROP, "0-0 1-1");
	arena_release(&t.arena);
}

/* The second farm's Statice is the first one's, though the crop before it is also called so. */
static void a_full_name_comes_before_a_further_one(void **state)
{
	(void)state;
	struct two t;
	open_two(&t, "crop Limonium\n  also sea lavender\ncrop Statice\n",
		 "crop Statice\n  also sea lavender\n");
	pairs_are(&t, KIND_CROP, "0- 1-0");
	arena_release(&t.arena);
}

static void nothing_stands_in_two_pairs(void **state)
{
	(void)state;
	struct two t;
	open_two(&t, "crop A\n  also x\ncrop B\n  also y\n", "crop C\n  also x, y\n");
	pairs_are(&t, KIND_CROP, "0-0 1-");
	arena_release(&t.arena);
}

static void outlets_and_pieces_pair_by_kind(void **state)
{
	(void)state;
	struct two t;
	const char *texts = "outlet market\n  aim margin 50%\ncrop Rose\n  costs 0.2 per stem boxed\n"
			    "part Tuft\n  makes 1 each\n  needs 5 stem Rose\n"
			    "piece Wreath\n  needs 2 each Tuft\n";
	open_two(&t, texts, texts);
	pairs_are(&t, KIND_OUTLET, "0-0");
	pairs_are(&t, KIND_PART, "0-0");
	pairs_are(&t, KIND_PIECE, "0-0");
	pairs_are(&t, KIND_SUPPLY, "");
	arena_release(&t.arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_order_is_of_the_first),
		cmocka_unit_test(capitals_and_blanks_do_not_matter),
		cmocka_unit_test(further_names_count_too),
		cmocka_unit_test(a_full_name_comes_before_a_further_one),
		cmocka_unit_test(nothing_stands_in_two_pairs),
		cmocka_unit_test(outlets_and_pieces_pair_by_kind),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

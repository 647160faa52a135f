/* test_remark.c - sentences kept once, names gathered for one sentence. */
#include "help_farm.h"

static void test_said_once(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	remark(&b.remarks, REMARK_ASSUMED, "No %s given: counted as 0.", "wage");
	remark(&b.remarks, REMARK_ASSUMED, "No %s given: counted as 0.", "overhead");
	remark(&b.remarks, REMARK_ASSUMED, "No wage given: counted as 0.");
	remark(&b.remarks, REMARK_DOUBT, "No wage given: counted as 0."); /* another kind */
	remark_caution(&b.remarks, "Mind the step.", "common practice, no source");
	remark_caution(&b.remarks, "Mind the step.", "common practice, no source");
	assert_int_equal(b.remarks.n, 4);
	assert_string_equal(b.remarks.items[1].text, "No overhead given: counted as 0.");
	assert_null(b.remarks.items[1].source);
	assert_string_equal(b.remarks.items[3].source, "common practice, no source");
	build_end(&b);
}

static void test_names(void **state)
{
	(void)state;
	static const char *const want[] = { "",        "A",          "A and B",         "A, B and C",
		                            "A, B, C and D", "A, B, C, D and E",
		                            "A, B, C, D, E and F", "A, B, C, D, E and 2 more" };
	struct built b;
	build_start(&b);
	for (size_t n = 0; n < COUNT(want); n++) {
		struct said l = { 0 };
		for (size_t i = 0; i < n; i++) {
			said_add(&l, &b.arena, build_name(&b, "%c", (int)('A' + i)));
			said_add(&l, &b.arena, STR("A")); /* each once */
		}
		assert_string_equal(said_text(&l), want[n]);
	}
	build_end(&b);
}

static void test_many_and_long_names(void **state)
{
	(void)state;
	struct built b;
	struct said l = { 0 }, one = { 0 };
	char name[201];
	build_start(&b);
	for (int round = 0; round < 2; round++) {
		for (int i = 0; i < 50000; i++)
			said_add(&l, &b.arena, build_name(&b, "line %d", i));
	}
	assert_string_equal(said_text(&l), "line 0, line 1, line 2, line 3, line 4 and 49995 more");
	memset(name, 'x', 200);
	name[200] = '\0';
	said_add(&one, &b.arena, str_of(name));
	assert_int_equal(strlen(said_text(&one)), 60);
	build_end(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_said_once),
		cmocka_unit_test(test_names),
		cmocka_unit_test(test_many_and_long_names),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Measures and their exact factors. */
#include "base/unit.h"

#include "help.h"

static const struct unit *find(const char *name)
{
	const struct unit *u = unit_find(str_of(name));
	if (!u)
		fail_msg("no unit \"%s\"", name);
	return u;
}

/* NIST Special Publication 811 (2008), Appendix B (from memory): inch 2.54 cm, foot
 * 0.3048 m, yard 0.9144 m, pound 453.59237 g, ounce 28.349523125 g, square foot
 * 0.09290304 m2.  That inch, foot and yard are exact: 16 CFR 500.19. */
static void exact_factors(void **state)
{
	(void)state;
	static const struct {
		const char *unit, *factor;
		enum dimension dim;
	} rows[] = {
		{ "mm", "1", DIM_LENGTH },
		{ "cm", "10", DIM_LENGTH },
		{ "m", "1000", DIM_LENGTH },
		{ "km", "1000000", DIM_LENGTH },
		{ "in", "25.4", DIM_LENGTH },
		{ "ft", "304.8", DIM_LENGTH },
		{ "yd", "914.4", DIM_LENGTH },
		{ "m2", "1000000", DIM_AREA },
		{ "ft2", "92903.04", DIM_AREA },
		{ "g", "1", DIM_WEIGHT },
		{ "kg", "1000", DIM_WEIGHT },
		{ "oz", "28.349523125", DIM_WEIGHT },
		{ "lb", "453.59237", DIM_WEIGHT },
		{ "s", "1", DIM_TIME },
		{ "min", "60", DIM_TIME },
		{ "h", "3600", DIM_TIME },
		{ "day", "86400", DIM_TIME },
		{ "week", "604800", DIM_TIME },
		{ "month", "2629800", DIM_TIME }, /* 365.25 days / 12 */
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct rat want;
		const struct unit *u = find(rows[i].unit);
		assert_int_equal(number_decimal_all(str_of(rows[i].factor), '.', &want), NUMBER_OK);
		assert_string_equal(u->name, rows[i].unit);
		assert_int_equal(u->dim, rows[i].dim);
		if (u->factor.num != want.num || u->factor.den != want.den)
			fail_msg("%s", u->name);
		assert_ptr_equal(unit_at(i), u);
	}
	assert_null(unit_at(COUNT(rows)));
	assert_null(unit_at(SIZE_MAX));
}

/* Relations that hold exactly, so no rounded factor has slipped in. */
static void relations(void **state)
{
	(void)state;
	static const struct {
		const char *large;
		int n;
		const char *small;
	} rows[] = {
		{ "ft", 12, "in" },   { "yd", 3, "ft" },     { "lb", 16, "oz" },  { "week", 7, "day" },
		{ "day", 24, "h" },   { "kg", 1000, "g" },   { "km", 1000, "m" }, { "h", 60, "min" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct rat n, product;
		assert_true(rat_make(&n, rows[i].n, 1));
		assert_true(rat_mul(&product, find(rows[i].small)->factor, n));
		assert_int_equal(rat_cmp(product, find(rows[i].large)->factor), 0);
	}
	/* A square foot is a foot by a foot, a square metre a metre by a metre. */
	struct rat square;
	assert_true(rat_mul(&square, find("ft")->factor, find("ft")->factor));
	assert_int_equal(rat_cmp(square, find("ft2")->factor), 0);
	assert_true(rat_mul(&square, find("m")->factor, find("m")->factor));
	assert_int_equal(rat_cmp(square, find("m2")->factor), 0);
}

static void spellings(void **state)
{
	(void)state;
	static const char *const rows[][2] = {
		{ "CM", "cm" },      { "Metres", "m" },  { "feet", "ft" },     { "inches", "in" },
		{ "m\xc2\xb2", "m2" }, { "SQFT", "ft2" }, { "kilos", "kg" },    { "Lbs", "lb" },
		{ "ounce", "oz" },   { "hours", "h" },   { "minutes", "min" }, { "weeks", "week" },
		{ "month", "month" }, { "H", "h" },
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_string_equal(find(rows[i][0])->name, rows[i][1]);
	static const char *const none[] = { "", " ", "c", "cmm", "stem", "quart", "metr", "m 2", "hours day" };
	for (size_t i = 0; i < COUNT(none); i++)
		assert_null(unit_find(str_of(none[i])));
	assert_null(unit_find(STR_NONE));
}

/* Every spelling leads to its own unit: none is listed twice, in any case. */
static void no_clash(void **state)
{
	(void)state;
	const struct unit *u;
	for (size_t i = 0; (u = unit_at(i)); i++) {
		assert_ptr_equal(unit_find(str_of(u->name)), u);
		for (const char *p = u->others; *p;) {
			size_t n = strcspn(p, " ");
			assert_ptr_equal(unit_find((struct str){ p, n }), u);
			p += n + (p[n] == ' ');
		}
	}
	assert_string_equal(dimension_name(DIM_LENGTH), "length");
	assert_string_equal(dimension_name(DIM_AREA), "area");
	assert_string_equal(dimension_name(DIM_WEIGHT), "weight");
	assert_string_equal(dimension_name(DIM_TIME), "time");
	assert_string_equal(dimension_name(DIM_COUNT), "count");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(exact_factors),
		cmocka_unit_test(relations),
		cmocka_unit_test(spellings),
		cmocka_unit_test(no_clash),
	};
	return cmocka_run_group_tests_name("unit", tests, NULL, NULL);
}

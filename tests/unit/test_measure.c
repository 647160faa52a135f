/* test_measure.c - counting words and their conversion. */
#include "farm/measure.h"

#include "help_farm.h"

static struct rat rat(int64_t num, int64_t den)
{
	struct rat r;
	assert_true(rat_make(&r, num, den));
	return r;
}

static void assert_rat(struct rat got, int64_t num, int64_t den)
{
	assert_int_equal(got.num, num);
	assert_int_equal(got.den, den);
}

static struct measure def(const char *word, int64_t num, int64_t den, const char *unit)
{
	return (struct measure){ .word = str_of(word), .q = rat(num, den), .unit = str_of(unit) };
}

static void word_form(void **state)
{
	static const struct {
		const char *in, *out;
	} rows[] = {
		{ "stem", "stem" },     { "Stems", "stem" },
		{ "BUNCHES", "bunch" }, { "berries", "berry" },
		{ "boxes", "box" },     { "glass", "glass" },
		{ "cactus", "cactus" }, { "handfuls", "handful" },
		{ "metres", "m" },      { "M", "m" },
		{ "Inches", "in" },     { "oz", "oz" },
		{ "pies", "pie" },      { "B\xc3\x9cNDEL", "b\xc3\xbcndel" },
		{ "s", "s" },           { "min", "min" },
		{ "m\xc2\xb2", "m2" },  { "each", "each" },
	};
	struct arena a;
	(void)state;
	arena_init(&a);
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_text(measure_word(&a, str_of(rows[i].in)), rows[i].out);
	arena_release(&a);
}

/* One stem gives three sprigs: 24 sprigs are 8 stems and nothing is lost. */
static void crop_words(void **state)
{
	struct built b;
	struct rat f, stems;
	(void)state;
	build_start(&b);
	struct crop *c = build_crop(&b, "Statice");
	struct measure defs[] = { def("sprig", 1, 3, "stem"), def("bunch", 10, 1, "stem"),
				  def("stem", 12, 1, "g"), def("handful", 2, 1, "bunch") };
	c->head.measures = defs;
	c->head.nmeasures = COUNT(defs);
	struct item item = build_crop_item(&b, c);
	assert_true(measure_factor(&b.farm, item, STR("sprigs"), &f));
	assert_true(rat_mul(&stems, f, rat(24, 1)));
	assert_rat(stems, 8, 1);
	assert_true(measure_factor(&b.farm, item, STR("Bunch"), &f));
	assert_rat(f, 10, 1);
	assert_true(measure_factor(&b.farm, item, STR("handful"), &f));
	assert_rat(f, 20, 1);
	assert_true(measure_factor(&b.farm, item, STR("stem"), &f));
	assert_rat(f, 1, 1);
	/* 12 g is a stem, so a kilogram is 1000/12 of them. */
	assert_true(measure_factor(&b.farm, item, STR("kg"), &f));
	assert_rat(f, 250, 3);
	assert_false(measure_factor(&b.farm, item, STR("head"), &f));
	assert_false(measure_factor(&b.farm, item, STR("m"), &f));
	assert_false(measure_factor(&b.farm, item, STR("each"), &f));
	assert_rat(measure_bunch(&b.farm, item.index), 10, 1);
	build_end(&b);
}

/* `bunch 300 g` with `stem 12 g`: a bunch is 25 stems, in whatever order said. */
static void through_weight(void **state)
{
	struct measure defs[] = { def("bunch", 300, 1, "g"), def("stem", 12, 1, "g") };
	struct rat f;
	(void)state;
	assert_true(measure_between(defs, 2, STR("bunch"), STR("stem"), &f));
	assert_rat(f, 25, 1);
	assert_true(measure_between(defs, 2, STR("stem"), STR("bunch"), &f));
	assert_rat(f, 1, 25);
	assert_false(measure_between(defs, 1, STR("bunch"), STR("stem"), &f));
	/* International pound: 453.59237 g exactly (NIST SP 811, 2008, Appendix B.8). */
	assert_true(measure_between(defs, 2, STR("lb"), STR("stem"), &f));
	assert_rat(f, 45359237, 1200000);
}

static void units_alone(void **state)
{
	struct rat f;
	(void)state;
	assert_true(measure_between(NULL, 0, STR("ft"), STR("m"), &f));
	assert_rat(f, 381, 1250);
	assert_true(measure_between(NULL, 0, STR("roll"), STR("roll"), &f));
	assert_rat(f, 1, 1);
	assert_false(measure_between(NULL, 0, STR("kg"), STR("m"), &f));
	assert_false(measure_between(NULL, 0, STR("roll"), STR("m"), &f));
}

static void bases(void **state)
{
	struct built b;
	struct rat f;
	(void)state;
	build_start(&b);
	struct crop *c = build_crop(&b, "Ammobium");
	struct supply *wire = build_supply(&b, "Paddle wire", 0.25),
		      *ring = build_supply(&b, "Ring", 2);
	struct part *tuft = build_part(&b, "Tuft");
	struct piece *wreath = build_piece(&b, "Wreath");
	wire->unit = STR("roll");
	struct measure roll = def("roll", 50, 1, "m");
	wire->head.measures = &roll;
	wire->head.nmeasures = 1;
	ring->unit = STR("each");
	tuft->unit = STR("g");
	assert_text(measure_base(&b.farm, build_crop_item(&b, c)), "stem");
	assert_text(measure_base(&b.farm, build_supply_item(&b, wire)), "roll");
	assert_text(measure_base(&b.farm, build_supply_item(&b, ring)), "each");
	assert_text(measure_base(&b.farm, build_part_item(&b, tuft)), "g");
	assert_text(measure_base(&b.farm, build_piece_item(&b, wreath)), "each");
	assert_true(measure_factor(&b.farm, build_supply_item(&b, wire), STR("cm"), &f));
	assert_rat(f, 1, 5000);
	assert_true(measure_factor(&b.farm, build_part_item(&b, tuft), STR("kg"), &f));
	assert_rat(f, 1000, 1);
	/* No bunch said: ten stems (common practice, no source). */
	assert_rat(measure_bunch(&b.farm, build_crop_item(&b, c).index), 10, 1);
	build_end(&b);
}

static void overflow(void **state)
{
	struct measure defs[] = { def("a", INT64_MAX, 1, "b"), def("b", INT64_MAX, 1, "c") };
	struct rat f = RAT_ZERO;
	(void)state;
	assert_false(measure_between(defs, 2, STR("a"), STR("c"), &f));
	assert_rat(f, 0, 1);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(word_form),      cmocka_unit_test(crop_words),
		cmocka_unit_test(through_weight), cmocka_unit_test(units_alone),
		cmocka_unit_test(bases),          cmocka_unit_test(overflow),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_caution.c - cautions go with what the farm does; the docs say the same. */
#include "help_farm.h"
#include "reckon/caution.h"
#include "reckon/reckon.h"

static bool said(struct built *b, const char *about)
{
	remarks_init(&b->remarks, &b->arena);
	reckon_cautions(&b->remarks, &b->farm);
	for (size_t i = 0; i < b->remarks.n; i++) {
		const struct caution *c;
		for (size_t k = 0; (c = caution_at(k)) != NULL; k++) {
			if (strcmp(c->about, about) == 0 && strcmp(c->text, b->remarks.items[i].text) == 0)
				return true;
		}
	}
	return false;
}

static void test_nothing_done(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	assert_false(said(&b, "Fire"));
	assert_int_equal(b.remarks.n, 0);
	build_end(&b);
}

static void test_chosen_by_what_is_done(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *statice = build_crop(&b, "Statice");
	assert_true(said(&b, "Fire"));
	assert_true(said(&b, "Mouldy dust"));
	assert_true(said(&b, "Skin and eyes"));
	assert_false(said(&b, "Finished pieces"));
	assert_false(said(&b, "Ladders"));
	statice->bundle = build_fig(10);
	assert_true(said(&b, "Ladders"));
	build_piece(&b, "Wreath");
	assert_true(said(&b, "Finished pieces"));
	struct outlet *o = build_outlet(&b, "online");
	assert_false(said(&b, "Parcels"));
	o->charges = build_fig(6.90);
	assert_true(said(&b, "Parcels"));
	assert_false(said(&b, "Wages and taxes"));
	b.farm.business.wage = build_fig(16);
	assert_true(said(&b, "Wages and taxes"));
	build_end(&b);
}

static void test_names(void **state)
{
	(void)state;
	static const struct {
		const char *crop, *supply, *about;
	} rows[] = {
		{ "LARKSPUR, blue", NULL, "Larkspur" },
		{ "Baby's breath", NULL, "Baby's breath" },
		{ "Baby\xe2\x80\x99s Breath 'Snow'", NULL, "Baby's breath" },
		{ "Hare's-tail grass", NULL, "Hare's-tail grass" },
		{ "Pampas", NULL, "Pampas grass" },
		{ NULL, "Paddle wire", "Hot glue and wire" },
		{ NULL, "Glue sticks", "Hot glue and wire" },
		{ NULL, "Chlorine bleach", "Sulphur and bleach" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct built b;
		build_start(&b);
		build_crop(&b, "Statice");
		build_supply(&b, "Ring", 1);
		assert_false(said(&b, rows[i].about));
		if (rows[i].crop)
			build_crop(&b, rows[i].crop);
		else
			build_supply(&b, rows[i].supply, 1);
		assert_true(said(&b, rows[i].about));
		build_end(&b);
	}
}

/* By another name too; and the grower's own lines under the block's name. */
static void test_also_and_own(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *c = build_crop(&b, "Blue Cloud");
	struct str also[] = { STR("Gypsophila") }, folds[] = { STR("gypsophila") };
	struct str own[] = { STR("the dust makes me sneeze") };
	assert_false(said(&b, "Baby's breath"));
	c->head.also = also;
	c->head.also_folds = folds;
	c->head.nalso = 1;
	c->head.cautions = own;
	c->head.ncautions = 1;
	assert_true(said(&b, "Baby's breath"));
	assert_true(build_said(&b, REMARK_CAUTION, "Blue Cloud: the dust makes me sneeze"));
	build_end(&b);
}

/* ---- the docs ---- */

/* Runs of white space as one blank. */
static void flatten(char *text)
{
	char *out = text;
	for (const char *p = text; *p; p++) {
		bool blank = *p == ' ' || *p == '\n' || *p == '\t' || *p == '\r';
		if (!blank)
			*out++ = *p;
		else if (out > text && out[-1] != ' ')
			*out++ = ' ';
	}
	*out = '\0';
}

static size_t count_of(const char *text, const char *part)
{
	size_t n = 0;
	for (const char *p = text; (p = strstr(p, part)) != NULL; p += strlen(part))
		n++;
	return n;
}

static void test_docs_say_the_same(void **state)
{
	(void)state;
	char *text = help_read("docs/cautions.md"), part[2000];
	assert_non_null(text);
	flatten(text);
	size_t n = 0;
	for (const struct caution *c; (c = caution_at(n)) != NULL; n++) {
		/* Each under its own heading, text and source next to each other. */
		snprintf(part, sizeof part, "## %s Shown when ", c->about);
		assert_int_equal(count_of(text, part), 1);
		snprintf(part, sizeof part, ". %s Source: %s.", c->text, c->source);
		assert_int_equal(count_of(text, part), 1);
	}
	assert_int_equal(count_of(text, " ## "), n); /* and none besides */
	assert_int_equal(count_of(text, "Source: "), n);
	free(text);
}

/* Short, whole sentences; something to ask or do; no promise of safety. */
static void test_form(void **state)
{
	(void)state;
	const struct caution *c;
	for (size_t i = 0; (c = caution_at(i)) != NULL; i++) {
		size_t n = strlen(c->text);
		assert_true(n < 320);
		assert_int_equal(c->text[n - 1], '.');
		assert_true(c->source && *c->source);
		assert_int_equal(c->words != NULL, c->when == CAUTION_CROP || c->when == CAUTION_SUPPLY);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_nothing_done), cmocka_unit_test(test_chosen_by_what_is_done),
		cmocka_unit_test(test_names),        cmocka_unit_test(test_also_and_own),
		cmocka_unit_test(test_form),         cmocka_unit_test(test_docs_say_the_same),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

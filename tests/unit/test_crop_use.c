/* test_crop_use.c - which stems fit some pieces, and which pieces want a crop. */
#include <math.h>

#include "help_farm.h"
#include "reckon/crop_use.h"

struct fixture {
	struct built b;
	struct stock s;
	struct crop *holly;
	struct part *tuft;
	struct piece *swag, *posy, *star;
	struct item stems;
};

enum { WHITE, BLUE };

static void start(struct fixture *f)
{
	static uint32_t white[] = { WHITE };
	*f = (struct fixture){ 0 };
	build_start(&f->b);
	f->holly = build_crop(&f->b, "Sea holly");
	f->tuft = build_part(&f->b, "Tuft");
	f->swag = build_piece(&f->b, "Swag");
	f->posy = build_piece(&f->b, "Posy");
	f->star = build_piece(&f->b, "Star");
	f->stems = build_crop_item(&f->b, f->holly);
	f->holly->loss[STAGE_BENCH] = build_fig(0.2);
	struct need_option *o = build_piece_need(&f->b, f->swag, f->stems, 10, 1);
	o->from = 400;
	o->colours = white;
	o->ncolours = 1;
	/* Three tufts; a making of four takes 2 stems: 3 x 2 / 4 / 0.8 stems each. */
	build_piece_need(&f->b, f->posy, build_part_item(&f->b, f->tuft), 3, 1);
	f->tuft->makes = (struct rat){ 4, 1 };
	build_part_need(&f->b, f->tuft, f->stems, 2, 1)->to = 450;
}

static void box(struct fixture *f, const char *id, double count, uint32_t colour, double length)
{
	struct box *b = build_box(&f->b, id, f->stems, count, "2026-09-01", "2026-11-01");
	b->colour = colour;
	b->length = (float)length;
}

static void take(struct fixture *f)
{
	build_done(&f->b);
	remarks_init(&f->b.remarks, &f->b.arena);
	stock_take(&f->s, &f->b.farm, build_day("2026-11-25"), false, NULL, &f->b.arena, &f->b.remarks);
}

static struct crop_fit fit_of(struct fixture *f, bool swag, bool posy)
{
	struct crop_fit fit;
	crop_fit(&fit, &f->b.farm, &f->s, 0, (bool[]){ swag, posy, false }, &f->b.arena);
	return fit;
}

static void what_does_not_fit_says_why(void **state)
{
	static const struct {
		uint32_t colour;
		double length;
		bool fits, too_short, too_long, colour_wrong, unsaid;
	} cases[] = {
		{ WHITE, 500, true, false, false, false, false },
		{ WHITE, 400, true, false, false, false, false },
		{ WHITE, 350, false, true, false, false, false },
		{ BLUE, 500, false, false, false, true, false },
		{ BLUE, 300, false, true, false, true, false },
		{ WHITE, 0, false, false, false, false, true },
		{ NONE, 500, false, false, false, false, true },
	};
	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct fixture f;
		start(&f);
		box(&f, "1", 30, cases[i].colour, cases[i].length);
		take(&f);
		struct crop_fit fit = fit_of(&f, true, false);
		assert_int_equal(fit.fits, cases[i].fits ? 30 : 0);
		assert_int_equal(fit.unfit, cases[i].fits ? 0 : 30);
		assert_int_equal(fit.too_short, cases[i].too_short);
		assert_int_equal(fit.too_long, cases[i].too_long);
		assert_int_equal(fit.colour, cases[i].colour_wrong);
		assert_int_equal(fit.unsaid, cases[i].unsaid);
		build_end(&f.b);
	}
}

static void parts_are_looked_into(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	box(&f, "1", 7, BLUE, 300);
	box(&f, "2", 11, BLUE, 600);
	box(&f, "3", 13, WHITE, 600);
	take(&f);
	struct crop_fit fit = fit_of(&f, false, true);
	assert_int_equal(fit.fits, 7);
	assert_int_equal(fit.unfit, 24);
	assert_true(fit.too_long && !fit.too_short && !fit.colour && !fit.unsaid);
	assert_int_equal(fit_of(&f, true, true).fits, 20);
	build_end(&f.b);
}

static void pieces_that_want_it_are_told(void **state)
{
	(void)state;
	struct fixture f;
	struct crop_use uses[3];
	start(&f);
	box(&f, "1", 30, WHITE, 420);
	take(&f);
	assert_int_equal(crop_uses(uses, &f.b.farm, &f.s, 0, &f.b.arena), 2);
	assert_int_equal(uses[0].piece, 0);
	assert_near(uses[0].stems, 12.5);
	assert_int_equal(uses[0].fits, 30);
	assert_int_equal(uses[0].alone, 2);
	assert_int_equal(uses[1].piece, 1);
	assert_near(uses[1].stems, 1.875);
	/* 16 x 3 tufts are 12 makings, 24 stems, 30 with the bench: to the last one. */
	assert_int_equal(uses[1].alone, 16);
	f.s.parts[0] = 5; /* 53 tufts: 17 pieces take 51, and 46 of them 12 makings */
	crop_uses(uses, &f.b.farm, &f.s, 0, &f.b.arena);
	assert_near(uses[1].stems, 1.875);
	assert_int_equal(uses[1].alone, 17);
	build_end(&f.b);
}

static void another_way_counts_as_wanting(void **state)
{
	(void)state;
	struct fixture f;
	struct crop_use uses[3];
	start(&f);
	struct crop *other = build_crop(&f.b, "Statice");
	build_piece_need(&f.b, f.star, build_crop_item(&f.b, other), 5, 1);
	build_or(&f.b, f.star->needs, f.stems, 4, 1);
	box(&f, "1", 30, WHITE, 420);
	take(&f);
	assert_int_equal(crop_uses(uses, &f.b.farm, &f.s, 0, &f.b.arena), 3);
	assert_int_equal(uses[2].piece, 2);
	assert_near(uses[2].stems, 0);
	assert_int_equal(uses[2].fits, 30);
	assert_int_equal(uses[2].alone, -1);
	build_end(&f.b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_does_not_fit_says_why),
		cmocka_unit_test(parts_are_looked_into),
		cmocka_unit_test(pieces_that_want_it_are_told),
		cmocka_unit_test(another_way_counts_as_wanting),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

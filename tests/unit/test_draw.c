/* Stems that a making took, when nobody says from where.  The rule is that of the pull
 * list (test_pull.c); the counts here are worked out by hand from it: oldest box first,
 * stems rounded up once with the normal loss at the bench. */
#include "reckon/draw.h"

#include "help_farm.h"

#define ON "2026-11-25"

struct fixture {
	struct built b;
	struct crop *statice, *grass;
	struct part *tuft;
	struct piece *wreath, *posy;
	struct stock stock;
	struct drawing d;
};

/* A wreath takes 10 Statice and 2 tufts of 5 grass; a posy 4 Statice. */
static void start(struct fixture *f)
{
	*f = (struct fixture){ .statice = NULL };
	build_start(&f->b);
	f->statice = build_crop(&f->b, "Statice");
	f->grass = build_crop(&f->b, "Grass");
	f->tuft = build_part(&f->b, "Tuft");
	f->wreath = build_piece(&f->b, "Wreath");
	f->posy = build_piece(&f->b, "Posy");
	build_part_need(&f->b, f->tuft, build_crop_item(&f->b, f->grass), 5, 1);
	build_piece_need(&f->b, f->wreath, build_crop_item(&f->b, f->statice), 10, 1);
	build_piece_need(&f->b, f->wreath, build_part_item(&f->b, f->tuft), 2, 1);
	build_piece_need(&f->b, f->posy, build_crop_item(&f->b, f->statice), 4, 1);
}

static void statice(struct fixture *f, const char *id, double count, const char *boxed)
{
	build_box(&f->b, id, build_crop_item(&f->b, f->statice), count, boxed, ON);
}

static void draw(struct fixture *f, struct item item, double count)
{
	build_done(&f->b);
	stock_take(&f->stock, &f->b.farm, build_day(ON), false, NULL, &f->b.arena, &f->b.remarks);
	assert_int_equal(draw_reckon(&f->d, &f->b.farm, &f->stock, item, count, &f->b.arena, &f->b.diag), 0);
}

static void assert_drawn(const struct fixture *f, const char *want)
{
	char text[512] = "";
	size_t n = 0;
	for (size_t i = 0; i < f->d.ndrawn; i++)
		n += (size_t)snprintf(text + n, sizeof text - n, "%s%.*s %g", i ? "; " : "",
				      STR_ARG(f->b.farm.boxes[f->d.drawn[i].box].id), f->d.drawn[i].stems);
	assert_string_equal(text, want);
}

static void oldest_box_first(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	f.statice->loss[STAGE_BENCH] = build_fig(0.04);
	statice(&f, "young", 60, "2026-09-01");
	statice(&f, "old", 25, "2026-07-01");
	draw(&f, build_piece_item(&f.b, f.posy), 8); /* 32 / 0.96 = 33.3 */
	assert_int_equal(f.d.state, DRAW_DONE);
	assert_drawn(&f, "old 25; young 9");
	build_end(&f.b);
}

/* A part is drawn for as a piece is; of one that gives six, a started making is whole. */
static void a_part(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	build_box(&f.b, "G", build_crop_item(&f.b, f.grass), 100, "2026-08-01", ON);
	build_box(&f.b, "P", build_part_item(&f.b, f.tuft), 50, NULL, ON); /* ready ones are no help */
	draw(&f, build_part_item(&f.b, f.tuft), 4);
	assert_drawn(&f, "G 20");
	f.tuft->makes = (struct rat){ 6, 1 };
	draw(&f, build_part_item(&f.b, f.tuft), 7);
	assert_drawn(&f, "G 10");
	build_end(&f.b);
}

static void parts_off_the_shelf_or_on_the_spot(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	statice(&f, "S", 100, "2026-08-01");
	build_box(&f.b, "G", build_crop_item(&f.b, f.grass), 100, "2026-08-01", ON);
	struct box *ready = build_box(&f.b, "P", build_part_item(&f.b, f.tuft), 6, NULL, ON);
	draw(&f, build_piece_item(&f.b, f.wreath), 3); /* 6 tufts lie there */
	assert_drawn(&f, "S 30");
	ready->count = 0;
	draw(&f, build_piece_item(&f.b, f.wreath), 3); /* made with it: 6 of 5 grass */
	assert_int_equal(f.d.ndrawn, 2);
	assert_near(f.d.drawn[0].stems + f.d.drawn[1].stems, 60);
	ready->count = 4;
	draw(&f, build_piece_item(&f.b, f.wreath), 3);
	assert_int_equal(f.d.state, DRAW_MIXED);
	assert_near(f.d.ready, 4);
	assert_near(f.d.wanted, 6);
	assert_int_equal(f.d.part.kind, KIND_PART);
	build_end(&f.b);
}

/* Open orders keep theirs, as on the pull list, unless that is too much. */
static void open_orders(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	statice(&f, "old", 20, "2026-07-01");
	statice(&f, "young", 20, "2026-09-01");
	struct piece *swag = build_piece(&f.b, "Swag");
	build_piece_need(&f.b, swag, build_crop_item(&f.b, f.statice), 4, 1);
	struct order *o = build_order(&f.b, swag, 5, NULL);
	o->due = build_day(ON);
	draw(&f, build_piece_item(&f.b, f.posy), 5);
	assert_int_equal(f.d.state, DRAW_DONE);
	double sum = 0;
	for (size_t i = 0; i < f.d.ndrawn; i++)
		sum += f.d.drawn[i].stems;
	assert_near(sum, 20); /* its own, none of the order's */
	draw(&f, build_piece_item(&f.b, f.posy), 10); /* all 40: the order has to wait */
	assert_drawn(&f, "old 20; young 20");
	/* What is made of the piece that is ordered may be for the order. */
	draw(&f, build_piece_item(&f.b, swag), 5);
	assert_drawn(&f, "old 20");
	build_end(&f.b);
}

static void too_few(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	statice(&f, "S", 39, "2026-08-01");
	draw(&f, build_piece_item(&f.b, f.posy), 10);
	assert_int_equal(f.d.state, DRAW_SHORT);
	assert_int_equal(f.d.nshorts, 1);
	assert_near(f.d.shorts[0].count, 1);
	assert_int_equal(f.d.ndrawn, 0);
	build_end(&f.b);
}

/* A crop that was never counted is in no box: what is there is drawn all the same. */
static void never_counted(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	draw(&f, build_piece_item(&f.b, f.posy), 2); /* no box at all */
	assert_int_equal(f.d.state, DRAW_DONE);
	assert_drawn(&f, "");
	statice(&f, "S", 100, "2026-08-01");
	draw(&f, build_piece_item(&f.b, f.wreath), 2); /* grass has none */
	assert_int_equal(f.d.state, DRAW_DONE);
	assert_drawn(&f, "S 20");
	assert_int_equal(f.d.nshorts, 1);
	build_end(&f.b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(oldest_box_first),
		cmocka_unit_test(a_part),
		cmocka_unit_test(parts_off_the_shelf_or_on_the_spot),
		cmocka_unit_test(open_orders),
		cmocka_unit_test(too_few),
		cmocka_unit_test(never_counted),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Stems that a making took, when nobody says from where.  The rule is that of the pull
 * list (test_pull.c); the counts here are worked out by hand from it: oldest box first,
 * stems rounded up once with the normal loss at the bench. */
#include "reckon/draw.h"

#include <math.h>

#include "help_farm.h"
#include "reckon/measured.h"

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

/* `spoiled` NaN: nothing is said of it. */
static void draw_said(struct fixture *f, struct item item, double count, double spoiled)
{
	build_done(&f->b);
	stock_take(&f->stock, &f->b.farm, build_day(ON), false, NULL, &f->b.arena, &f->b.remarks);
	assert_int_equal(draw_reckon(&f->d, &f->b.farm, &f->stock, item, count, spoiled, &f->b.arena,
				     &f->b.diag), 0);
}

static void draw(struct fixture *f, struct item item, double count)
{
	draw_said(f, item, count, (double)NAN);
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

/* ---- where it is said what spoiled: the recipe's stems and those, no allowance ---- */

static void recipe_and_spoiled(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	f.statice->loss[STAGE_BENCH] = build_fig(0.04);
	statice(&f, "young", 60, "2026-09-01");
	statice(&f, "old", 25, "2026-07-01");
	draw_said(&f, build_piece_item(&f.b, f.posy), 8, 0);
	assert_drawn(&f, "old 25; young 7");
	draw_said(&f, build_piece_item(&f.b, f.posy), 8, 3);
	assert_drawn(&f, "old 25; young 10");
	draw_said(&f, build_piece_item(&f.b, f.posy), 1, 40); /* far more than the recipe */
	assert_drawn(&f, "old 25; young 19");
	draw_said(&f, build_piece_item(&f.b, f.posy), 1, 0.5); /* whole stems leave a box */
	assert_drawn(&f, "old 5");
	build_end(&f.b);
}

/* Just enough for the recipe is enough, though not with the allowance on top. */
static void just_enough(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	f.statice->loss[STAGE_BENCH] = build_fig(0.04);
	statice(&f, "S", 40, "2026-08-01");
	draw(&f, build_piece_item(&f.b, f.posy), 10);
	assert_int_equal(f.d.state, DRAW_SHORT);
	draw_said(&f, build_piece_item(&f.b, f.posy), 10, 0);
	assert_drawn(&f, "S 40");
	draw_said(&f, build_piece_item(&f.b, f.posy), 10, 2);
	assert_int_equal(f.d.state, DRAW_SHORT);
	assert_near(f.d.shorts[0].count, 2);
	build_end(&f.b);
}

/* Of several crops: in proportion to their stems, by largest remainder, equal ones in
 * the order in which they are drawn.  The shares are worked out by hand. */
static void spoiled_of_several(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	f.statice->loss[STAGE_BENCH] = build_fig(0.04);
	f.grass->loss[STAGE_BENCH] = build_fig(0.10);
	statice(&f, "S", 100, "2026-08-01");
	struct box *grass = build_box(&f.b, "G", build_crop_item(&f.b, f.grass), 100, "2026-08-01", ON);
	draw_said(&f, build_piece_item(&f.b, f.wreath), 3, 0); /* 30 and 6 tufts of 5 */
	assert_drawn(&f, "G 30; S 30");
	draw_said(&f, build_piece_item(&f.b, f.wreath), 3, 5); /* 2.5 each */
	assert_drawn(&f, "G 33; S 32");
	f.tuft->needs[0].options[0].count = (struct rat){ 5, 2 };
	draw_said(&f, build_piece_item(&f.b, f.wreath), 3, 5); /* 15 and 30: 1.67, 3.33 */
	assert_drawn(&f, "G 17; S 33");
	struct box *ready = build_box(&f.b, "P", build_part_item(&f.b, f.tuft), 6, NULL, ON);
	draw_said(&f, build_piece_item(&f.b, f.wreath), 3, 5); /* tufts off the shelf */
	assert_drawn(&f, "S 35");
	ready->count = 0;
	grass->count = 0; /* a box that is empty by now */
	draw_said(&f, build_piece_item(&f.b, f.wreath), 3, 5);
	assert_int_equal(f.d.state, DRAW_SHORT);
	build_end(&f.b);
}

static void part_and_spoiled(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	f.grass->loss[STAGE_BENCH] = build_fig(0.10);
	build_box(&f.b, "G", build_crop_item(&f.b, f.grass), 100, "2026-08-01", ON);
	draw_said(&f, build_part_item(&f.b, f.tuft), 4, 1);
	assert_drawn(&f, "G 21");
	f.tuft->makes = (struct rat){ 6, 1 };
	draw_said(&f, build_part_item(&f.b, f.tuft), 12, 3);
	assert_drawn(&f, "G 13");
	build_end(&f.b);
}

/* An order keeps its stems with the loss on top; equal piece or not. */
static void spoiled_beside_orders(void **state)
{
	struct fixture f;
	(void)state;
	start(&f);
	f.statice->loss[STAGE_BENCH] = build_fig(0.20);
	statice(&f, "S", 48, "2026-07-01");
	struct piece *swag = build_piece(&f.b, "Swag");
	build_piece_need(&f.b, swag, build_crop_item(&f.b, f.statice), 4, 1);
	build_order(&f.b, swag, 5, NULL)->due = build_day(ON);
	draw_said(&f, build_piece_item(&f.b, f.posy), 5, 3);
	assert_drawn(&f, "S 23");
	draw_said(&f, build_piece_item(&f.b, swag), 5, 2);
	assert_drawn(&f, "S 22");
	draw_said(&f, build_piece_item(&f.b, f.posy), 10, 7); /* the order has to wait */
	assert_drawn(&f, "S 47");
	build_end(&f.b);
}

/* Whatever is made of whatever: a line that says what spoiled is drawn so that the
 * measured bench loss (measured.h) takes it, with just these stems. */
static void what_is_said_is_measured(void **state)
{
	(void)state;
	uint64_t stream = 11;
	int done = 0;
	for (int round = 0; round < 300; round++) {
		struct fixture f;
		start(&f);
		struct crop *nigella = build_crop(&f.b, "Nigella");
		f.statice->loss[STAGE_BENCH] = build_fig(0.25 * build_random(&stream));
		f.grass->loss[STAGE_BENCH] = build_fig(0.25 * build_random(&stream));
		build_or(&f.b, &f.posy->needs[0], build_crop_item(&f.b, nigella),
			 1 + (int64_t)(build_random(&stream) * 7), 1);
		build_piece_need(&f.b, f.posy, build_crop_item(&f.b, f.grass),
				 1 + (int64_t)(build_random(&stream) * 9), 2);
		static const char *const boxed[] = { "2026-06-01", "2026-07-01", "2026-08-01" };
		const struct crop *crops[] = { f.statice, f.grass, nigella };
		for (int i = 0; i < 6; i++) {
			double stems = 20 + floor(build_random(&stream) * 80);
			build_box(&f.b, build_name(&f.b, "B%d", i).p,
				  build_crop_item(&f.b, crops[i % 3]), stems,
				  boxed[(int)(build_random(&stream) * 3)], ON);
		}
		double made = 1 + floor(build_random(&stream) * 12);
		double spoiled = floor(build_random(&stream) * build_random(&stream) * 12);
		struct item piece = build_piece_item(&f.b, round % 2 ? f.posy : f.wreath);
		draw_said(&f, piece, made, spoiled);
		if (f.d.state == DRAW_DONE) {
			struct log_entry *e = build_log(&f.b, ON, EVENT_MADE, piece, made);
			double drawn = 0;
			e->drawn = f.d.drawn;
			e->ndrawn = f.d.ndrawn;
			e->spoiled = spoiled;
			e->spoiled_said = true;
			done++;
			for (size_t i = 0; i < f.d.ndrawn; i++)
				drawn += f.d.drawn[i].stems;
			struct measures m;
			measures_reckon(&m, &f.b.farm, build_day(ON), &f.b.arena, &f.b.remarks);
			assert_int_equal(m.bench.m.lots, 1);
			assert_near(m.bench.m.stems, drawn);
			assert_near(m.bench.m.lost, spoiled);
			if (round % 2 == 0)
				assert_near(drawn, 20 * made + spoiled);
		} else {
			assert_int_equal(f.d.state, DRAW_SHORT);
		}
		build_end(&f.b);
	}
	assert_true(done > 150);
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
		cmocka_unit_test(recipe_and_spoiled),
		cmocka_unit_test(just_enough),
		cmocka_unit_test(spoiled_of_several),
		cmocka_unit_test(part_and_spoiled),
		cmocka_unit_test(spoiled_beside_orders),
		cmocka_unit_test(what_is_said_is_measured),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_pull.c - pull lists: cases by hand, and that the checker of lists sees what is
 * wrong. */
#include <stdio.h>

#include "help_pull.h"

/* ---- by hand ---- */

struct pulled {
	struct built b;
	struct stock stock;
	struct pull pull;
	struct pull_options options;
};

static void reckon(struct pulled *t, const struct piece *piece, int64_t count)
{
	struct making making = { piece ? (uint32_t)(piece - t->b.farm.pieces) : 0, count,
				 DAY_NONE };
	build_done(&t->b);
	t->b.farm.has_orders = t->b.farm.norders > 0;
	stock_take(&t->stock, &t->b.farm, build_day(HELP_PULL_DAY), false, NULL, &t->b.arena,
		   &t->b.remarks);
	assert_int_equal(pull_reckon(&t->pull, &t->b.farm, &t->stock, &making, piece ? 1 : 0,
				     &t->options, &t->b.arena, &t->b.remarks, &t->b.diag),
			 0);
	if (!t->options.alone)
		help_check_pull(&t->b.farm, &t->pull, piece ? &making : NULL, t->options.no_buying,
				false);
}

static struct box *stems(struct pulled *t, const struct crop *c, const char *id, double count,
			 const char *boxed, float length)
{
	struct box *b =
	    build_box(&t->b, id, build_crop_item(&t->b, c), count, boxed, HELP_PULL_DAY);
	b->length = length;
	return b;
}

static int64_t taken(const struct pulled *t, const char *id)
{
	int64_t sum = 0;
	for (size_t i = 0; i < t->pull.nlines; i++) {
		const struct pull_line *line = &t->pull.lines[i];
		if (line->kind == PULL_STEMS && str_is(t->b.farm.boxes[line->box].id, id))
			sum += line->stems;
	}
	return sum;
}

static void oldest_then_shortest_box_by_box(void **state)
{
	(void)state;
	struct pulled t = { 0 };
	build_start(&t.b);
	struct crop *c = build_crop(&t.b, "Statice");
	c->loss[STAGE_BENCH] = build_fig(0.04);
	stems(&t, c, "young", 50, "2026-09-10", 300);
	stems(&t, c, "long", 20, "2026-08-02", 500);
	stems(&t, c, "small", 10, "2026-08-20", 300);
	stems(&t, c, "full", 20, "2026-08-20", 300);
	stems(&t, c, "short", 40, "2026-07-01", 150);
	struct piece *p = build_piece(&t.b, "posy");
	build_piece_need(&t.b, p, build_crop_item(&t.b, c), 11, 2)->from = 200;
	reckon(&t, p, 10);
	/* 10 x 5.5 / 0.96 = 57.3: 58 stems of 20 cm or more.  August before September; in
	 * August 30 cm before 50 cm, the full box before the small one. */
	assert_int_equal(t.pull.state, PULL_MET);
	assert_int_equal(taken(&t, "full"), 20);
	assert_int_equal(taken(&t, "small"), 10);
	assert_int_equal(taken(&t, "long"), 20);
	assert_int_equal(taken(&t, "young"), 8);
	assert_int_equal(taken(&t, "short"), 0);
	reckon(&t, p, 5); /* 28.6 */
	assert_int_equal(taken(&t, "full"), 20);
	assert_int_equal(taken(&t, "small"), 9);
	assert_int_equal(taken(&t, "long"), 0);
	build_end(&t.b);
}

static void old_stems_wait_for_those_who_need_them(void **state)
{
	(void)state;
	struct pulled t = { 0 };
	build_start(&t.b);
	struct crop *c = build_crop(&t.b, "Statice");
	stems(&t, c, "old", 10, "2026-08-10", 500);
	stems(&t, c, "new", 10, "2026-09-10", 200);
	struct piece *p = build_piece(&t.b, "tall");
	build_piece_need(&t.b, p, build_crop_item(&t.b, c), 3, 1);
	build_piece_need(&t.b, p, build_crop_item(&t.b, c), 3, 1)->from = 400;
	reckon(&t, p, 3);
	assert_int_equal(t.pull.state, PULL_MET);
	assert_int_equal(taken(&t, "old"), 10); /* 9 for the long need, 1 for the other */
	assert_int_equal(taken(&t, "new"), 8);
	build_end(&t.b);
}

/* Who chooses first, and the oldest first, takes what the other cannot do without: of 5
 * red, 6 white and 7 blue one need of 6 takes red or white, one of 12 red or blue. */
static void needs_do_not_starve_one_another(void **state)
{
	(void)state;
	struct pulled t = { 0 };
	build_start(&t.b);
	struct crop *c = build_crop(&t.b, "Statice");
	static const int counts[3] = { 5, 6, 7 };
	static const char *const names[3] = { "red", "white", "blue" };
	t.b.farm.ncolours = 3;
	for (uint32_t i = 0; i < 3; i++)
		stems(&t, c, names[i], counts[i], i ? "2026-09-01" : "2026-08-01", 0)->colour = i;
	struct piece *p = build_piece(&t.b, "pair");
	for (uint32_t i = 1; i < 3; i++) {
		struct need_option *o =
		    build_piece_need(&t.b, p, build_crop_item(&t.b, c), 6 * (int64_t)i, 1);
		o->colours = ARENA_ARRAY(&t.b.arena, 2, uint32_t);
		o->colours[1] = i;
		o->ncolours = 2;
	}
	reckon(&t, p, 1);
	assert_int_equal(t.pull.state, PULL_MET);
	for (size_t i = 0; i < t.pull.nlines; i++)
		assert_int_equal(t.pull.lines[i].need, t.pull.lines[i].colour != 1);
	build_end(&t.b);
}

static void a_class_is_shared_by_largest_remainder(void **state)
{
	(void)state;
	struct pulled t = { 0 };
	build_start(&t.b);
	struct crop *c = build_crop(&t.b, "Statice");
	c->loss[STAGE_STORAGE] = build_fig(0.1);
	/* 30 days at 10% a month: 21 x 0.90139 = 18.93 in each, 37.86 in all: 37 whole ones. */
	for (int i = 0; i < 2; i++)
		build_box(&t.b, i ? "b" : "a", build_crop_item(&t.b, c), 21, "2026-08-01",
			  "2026-10-26");
	struct piece *p = build_piece(&t.b, "posy");
	build_piece_need(&t.b, p, build_crop_item(&t.b, c), 1, 1);
	reckon(&t, p, 37);
	assert_int_equal(t.pull.state, PULL_MET);
	assert_int_equal(taken(&t, "a"), 19); /* 18.93 and 18.07 of 37 */
	assert_int_equal(taken(&t, "b"), 18);
	build_end(&t.b);
}

static void orders_take_finished_pieces_and_parts_first(void **state)
{
	(void)state;
	struct pulled t = { 0 };
	build_start(&t.b);
	struct crop *c = build_crop(&t.b, "Grass");
	stems(&t, c, "grass", 100, "2026-08-01", 0);
	struct part *tuft = build_part(&t.b, "tuft");
	build_part_need(&t.b, tuft, build_crop_item(&t.b, c), 5, 1);
	struct piece *p = build_piece(&t.b, "wreath");
	build_piece_need(&t.b, p, build_part_item(&t.b, tuft), 2, 1);
	build_box(&t.b, "tufts", build_part_item(&t.b, tuft), 3, NULL, HELP_PULL_DAY);
	build_box(&t.b, "done", build_piece_item(&t.b, p), 2, NULL, HELP_PULL_DAY);
	build_order(&t.b, p, 3, NULL)->due = build_day("2026-12-10");
	build_order(&t.b, p, 1, NULL)->due = build_day("2026-12-01");
	build_order(&t.b, p, 2, NULL)->due = build_day("2026-12-20");
	reckon(&t, NULL, 0);
	/* Finished: 1 for 1 December, 1 for the 10th.  The 10th takes 4 tufts: 3 lie ready. */
	assert_int_equal(t.pull.state, PULL_MET);
	assert_int_equal(t.pull.norders, 3);
	assert_int_equal(t.pull.orders[0].finished, 1);
	assert_int_equal(t.pull.orders[1].finished, 1);
	assert_int_equal(t.pull.orders[2].finished, 0);
	assert_int_equal(t.pull.nruns, 4);
	assert_int_equal(t.pull.runs[0].item.kind, KIND_PART);
	assert_int_equal(t.pull.runs[0].count, 1);
	assert_near(rat_double(t.pull.runs[0].ready), 3);
	assert_int_equal(t.pull.runs[1].count, 2);
	assert_int_equal(t.pull.runs[2].count, 4);
	assert_int_equal(t.pull.runs[3].count, 2);
	assert_int_equal(taken(&t, "grass"), 25);
	build_end(&t.b);
}

static void a_number_leaves_the_orders_theirs(void **state)
{
	(void)state;
	struct pulled t = { 0 };
	build_start(&t.b);
	struct crop *c = build_crop(&t.b, "Statice");
	c->loss[STAGE_STORAGE] = build_fig(0.1);
	c->loss[STAGE_BENCH] = build_fig(0.04);
	stems(&t, c, "box", 100, "2026-09-10", 0);
	struct piece *p = build_piece(&t.b, "posy");
	build_piece_need(&t.b, p, build_crop_item(&t.b, c), 2, 1);
	/* 90 days: 0.9^(90 / 30.4375) = 0.7323; 16 stems give the 11 that five posies take. */
	build_order(&t.b, p, 5, NULL)->due = build_day(HELP_PULL_DAY) + 90;
	reckon(&t, p, 40);
	assert_int_equal(t.pull.state, PULL_MET);
	assert_int_equal(t.pull.nboxes, 1);
	assert_int_equal(t.pull.boxes[0].take, 84);
	assert_int_equal(t.pull.boxes[0].kept, 11);
	reckon(&t, p, 41);
	assert_int_equal(t.pull.state, PULL_SHORT);
	assert_int_equal(t.pull.nshorts, 1);
	/* 16 are set aside for the order: 84 of the 86. */
	assert_near(t.pull.shorts[0].count, 2);
	assert_int_equal(t.pull.boxes[0].take, 84);
	assert_int_equal(t.pull.boxes[0].kept, 11);
	t.options.alone = true;
	reckon(&t, p, 48);
	assert_int_equal(t.pull.state, PULL_MET); /* 96 / 0.96 = 100 */
	build_end(&t.b);
}

/* Of 4 tufts on the shelf 2 are for the order, since stems would not last till then: of 12 that
 * the number takes 2 are ready and 10 made, of 20 stems where 9 are. */
static void what_is_ready_and_made_is_what_is_wanted(void **state)
{
	(void)state;
	struct pulled t = { 0 };
	build_start(&t.b);
	struct crop *c = build_crop(&t.b, "Grass");
	c->loss[STAGE_STORAGE] = build_fig(0.1);
	stems(&t, c, "box", 9, "2026-09-10", 0);
	struct part *tuft = build_part(&t.b, "tuft");
	build_part_need(&t.b, tuft, build_crop_item(&t.b, c), 2, 1);
	build_box(&t.b, "shelf", build_part_item(&t.b, tuft), 4, NULL, HELP_PULL_DAY);
	struct piece *p = build_piece(&t.b, "posy");
	build_piece_need(&t.b, p, build_part_item(&t.b, tuft), 1, 1);
	build_order(&t.b, p, 2, NULL)->due = build_day(HELP_PULL_DAY) + 90;
	reckon(&t, p, 12);
	assert_int_equal(t.pull.state, PULL_SHORT);
	assert_near(t.pull.shorts[0].count, 11);
	assert_int_equal(taken(&t, "box"), 9);
	assert_int_equal(t.pull.runs[0].item.kind, KIND_PART);
	assert_near(rat_double(t.pull.runs[0].wanted), 12);
	assert_near(rat_double(t.pull.runs[0].gives), 10);
	assert_near(rat_double(t.pull.runs[0].ready), 2);
	build_end(&t.b);
}

static void nothing_to_do_and_nothing_there(void **state)
{
	(void)state;
	struct pulled t = { 0 };
	build_start(&t.b);
	struct crop *c = build_crop(&t.b, "Statice");
	struct piece *p = build_piece(&t.b, "posy"), *bare = build_piece(&t.b, "bare");
	build_piece_need(&t.b, p, build_crop_item(&t.b, c), 2, 1)->one_colour = true;
	reckon(&t, NULL, 0);
	assert_int_equal(t.pull.state, PULL_MET);
	assert_int_equal(t.pull.nruns, 0);
	reckon(&t, bare, 3);
	assert_int_equal(t.pull.state, PULL_MET);
	assert_int_equal(t.pull.nruns, 1);
	assert_int_equal(t.pull.nlines, 0);
	reckon(&t, p, 3);
	assert_int_equal(t.pull.state, PULL_SHORT);
	assert_near(t.pull.shorts[0].count, 6);
	build_end(&t.b);
}

/* The checker must see what is wrong: a line more, a box too full, a wrong box. */
struct spoiled {
	int what;
};
static void check_spoiled(void *arg)
{
	const struct spoiled *s = arg;
	assert_non_null(freopen("/dev/null", "w", stdout)); /* what the runner says of it */
	struct pulled t = { 0 };
	build_start(&t.b);
	struct crop *c = build_crop(&t.b, "Statice");
	stems(&t, c, "a", 10, "2026-08-01", 200);
	stems(&t, c, "b", 10, "2026-09-01", 400);
	struct piece *p = build_piece(&t.b, "posy");
	build_piece_need(&t.b, p, build_crop_item(&t.b, c), 1, 1);
	reckon(&t, p, 15);
	struct pull_line *lines = t.pull.lines;
	if (s->what == 0)
		lines[0].stems--; /* too few for the recipe */
	if (s->what == 1) {
		lines[0].stems += 5; /* 15 out of a box of 10 */
		lines[1].stems -= 5;
	}
	if (s->what == 2)
		lines[1].box = lines[0].box;
	if (s->what == 3) { /* the younger one first */
		lines[0].stems = 5;
		lines[1].stems = 10;
		t.pull.boxes[0].take = 5;
		t.pull.boxes[1].take = 10;
	}
	if (s->what == 4)
		t.pull.runs[0].count = 14;
	struct making making = { 0, 15, DAY_NONE };
	help_check_pull(&t.b.farm, &t.pull, &making, false, false);
	build_end(&t.b);
}

static void the_checker_sees_what_is_wrong(void **state)
{
	(void)state;
	char said[4096];
	for (int what = 0; what <= 5; what++) {
		struct spoiled s = { what };
		fflush(stdout);
		int status = help_child(check_spoiled, &s, said, sizeof said);
		if (what < 5)
			assert_int_not_equal(status, 0);
		else
			assert_int_equal(status, 0);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(oldest_then_shortest_box_by_box),
		cmocka_unit_test(old_stems_wait_for_those_who_need_them),
		cmocka_unit_test(needs_do_not_starve_one_another),
		cmocka_unit_test(a_class_is_shared_by_largest_remainder),
		cmocka_unit_test(orders_take_finished_pieces_and_parts_first),
		cmocka_unit_test(a_number_leaves_the_orders_theirs),
		cmocka_unit_test(what_is_ready_and_made_is_what_is_wanted),
		cmocka_unit_test(nothing_to_do_and_nothing_there),
		cmocka_unit_test(the_checker_sees_what_is_wrong),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

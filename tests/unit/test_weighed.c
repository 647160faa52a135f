/* test_weighed.c - which batches hang, and which boxes deserve a look. */
#include "reckon/weighed.h"

#include <math.h>

#include "help_farm.h"

struct loft {
	struct built b;
	struct crop *crop;
	struct batch *batch;
	struct box *box;
	struct weighing w[3];
};

/* Hung on 1 July, weighed on the 5th, 9th and 13th, still losing, boxed on the 14th. */
static void open_loft(struct loft *l)
{
	build_start(&l->b);
	l->crop = build_crop(&l->b, "Cockscomb");
	l->batch = build_batch(&l->b, l->crop, NULL, 90, 69);
	l->batch->hung_on = build_day("2026-07-01");
	l->batch->boxed_on = build_day("2026-07-14");
	l->w[0] = (struct weighing){ build_day("2026-07-05"), 560 };
	l->w[1] = (struct weighing){ build_day("2026-07-09"), 400 };
	l->w[2] = (struct weighing){ build_day("2026-07-13"), 310 };
	l->batch->weighings = l->w;
	l->batch->nweighings = 3;
	l->box = build_box(&l->b, "CC01", build_crop_item(&l->b, l->crop), 69, "2026-07-14", "2026-07-14");
}

static struct weighed_batch only(struct loft *l, const char *on)
{
	struct weighed all;
	weighed_reckon(&all, &l->b.farm, build_day(on), &l->b.arena);
	assert_int_equal(all.n, 1);
	return all.items[0];
}

static void hangs_until_boxed(void **state)
{
	(void)state;
	struct loft l;
	struct weighed all;
	open_loft(&l);
	assert_false(only(&l, "2026-07-13").boxed);
	assert_true(only(&l, "2026-07-14").boxed);
	/* Two of the three weighings are in by the 9th. */
	assert_int_equal(only(&l, "2026-07-12").n, 2);
	assert_int_equal(only(&l, "2026-07-12").drying.verdict, DRYING_TOO_FEW);
	/* Before the first one it hangs without any; before it was hung it does not. */
	weighed_reckon(&all, &l.b.farm, build_day("2026-07-02"), &l.b.arena);
	assert_int_equal(all.n, 0);
	assert_int_equal(all.nnever, 1);
	weighed_reckon(&all, &l.b.farm, build_day("2026-06-30"), &l.b.arena);
	assert_int_equal(all.nnever, 0);
	/* Counted into boxes on a day that nobody wrote down. */
	l.batch->boxed_on = DAY_NONE;
	assert_true(batch_boxed(l.batch, build_day("2026-07-14")));
	l.batch->boxed = (double)NAN;
	assert_false(batch_boxed(l.batch, build_day("2026-07-14")));
	build_end(&l.b);
}

static void one_look_into_the_box(void **state)
{
	(void)state;
	struct loft l;
	open_loft(&l);
	struct weighed_batch w = only(&l, "2026-07-20");
	assert_int_equal(w.drying.verdict, DRYING_HANG);
	assert_true(w.look);
	assert_int_equal(w.nboxes, 1);
	assert_int_equal(w.boxes[0], 0);
	assert_true(only(&l, "2026-10-12").look);  /* the 90th day */
	assert_false(only(&l, "2026-10-13").look);
	/* Counted on the day of boxing is not opened; a week later is. */
	l.box->counted = build_day("2026-07-20");
	assert_true(only(&l, "2026-07-22").look);
	l.box->counted = build_day("2026-07-21");
	assert_false(only(&l, "2026-07-22").look);
	/* A count that is still to come says nothing today. */
	assert_true(only(&l, "2026-07-20").look);
	build_end(&l.b);
}

static void drawing_opens_a_box(void **state)
{
	(void)state;
	struct loft l;
	open_loft(&l);
	struct piece *wreath = build_piece(&l.b, "Wreath");
	struct log_entry *e = build_log(&l.b, "2026-07-16", EVENT_MADE, build_piece_item(&l.b, wreath), 1);
	build_drawn(&l.b, e, l.box, 5);
	assert_true(only(&l, "2026-07-30").look); /* two days after the boxing: too soon to tell */
	e = build_log(&l.b, "2026-07-28", EVENT_MADE, build_piece_item(&l.b, wreath), 1);
	build_drawn(&l.b, e, l.box, 5);
	assert_false(only(&l, "2026-07-30").look);
	build_end(&l.b);
}

static void other_boxes_are_other_boxes(void **state)
{
	(void)state;
	struct loft l;
	open_loft(&l);
	l.batch->length = 450;
	l.box->length = 450;
	build_box(&l.b, "CC02", build_crop_item(&l.b, l.crop), 10, "2026-07-15", "2026-07-31");
	build_box(&l.b, "CC03", build_crop_item(&l.b, l.crop), 10, "2026-07-14", "2026-07-31")->length = 300;
	assert_int_equal(only(&l, "2026-08-01").nboxes, 1);
	assert_true(only(&l, "2026-08-01").look);
	build_end(&l.b);
}

/* Dry, or expected dry before it was boxed, or weighed too seldom to say: no word of it. */
static void no_nagging(void **state)
{
	(void)state;
	struct loft l;
	open_loft(&l);
	l.w[1].grams = 330; /* 560, 330, 310: a fast curve that ends near 308 */
	assert_int_equal(only(&l, "2026-07-20").drying.verdict, DRYING_HANG);
	l.batch->boxed_on = build_day("2026-07-30");
	l.box->boxed = l.batch->boxed_on;
	assert_false(only(&l, "2026-08-01").look);
	l.batch->boxed_on = build_day("2026-07-14");
	l.box->boxed = l.batch->boxed_on;
	l.batch->nweighings = 2;
	assert_false(only(&l, "2026-07-20").look);
	build_end(&l.b);
}

static void curve_by_day(void **state)
{
	(void)state;
	struct loft l;
	open_loft(&l);
	for (size_t i = 0; i < 3; i++)
		l.w[i].grams = 100 + 300 * exp(-0.2 * 4 * (double)i);
	struct drying d = only(&l, "2026-07-14").drying;
	for (size_t i = 0; i < 3; i++)
		assert_near_by(drying_at(&d, l.w[i].on), l.w[i].grams, 1e-3, 0);
	assert_near_by(drying_at(&d, build_day("2026-07-25")), 100 + 300 * exp(-0.2 * 20), 1e-2, 0);
	assert_true(isnan(drying_at(&d, build_day("2026-07-01"))));
	build_end(&l.b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(hangs_until_boxed),       cmocka_unit_test(one_look_into_the_box),
		cmocka_unit_test(drawing_opens_a_box),     cmocka_unit_test(other_boxes_are_other_boxes),
		cmocka_unit_test(no_nagging),              cmocka_unit_test(curve_by_day),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* What a reader understands and a grower would shake the head at. */
#include "help_farm.h"

#include <math.h>

#include "reckon/sense.h"

static bool told(const struct findings *f, enum finding_level level, const char *about,
		 const char *part)
{
	for (size_t i = 0; i < f->n; i++) {
		if (f->items[i].level == level && str_is(f->items[i].about, about) &&
		    strstr(f->items[i].text, part))
			return true;
	}
	return false;
}

static void a_whole_farm_has_nothing_to_find(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *statice = build_crop(&b, "Statice");
	struct outlet *market = build_outlet(&b, "market");
	struct piece *bunch = build_piece(&b, "Bunch");
	build_piece_need(&b, bunch, build_crop_item(&b, statice), 10, 1);
	build_piece_task(&b, bunch, 60, 0);
	build_offer(&b, bunch, market, 9);
	build_done(&b);
	struct findings f;
	sense_check(&f, &b.farm, build_day("2026-11-25"), &b.arena);
	assert_int_equal(f.n, 0);
	assert_int_equal(sense_prices(&b.farm, &b.diag), 0);
	build_end(&b);
}

static void problems_stand_before_notes(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct crop *statice = build_crop(&b, "Statice");
	build_crop(&b, "Oats");
	build_supply(&b, "Tape", 1);
	struct supply *ring = build_supply(&b, "Ring", NAN);
	build_part(&b, "Tuft");
	build_outlet(&b, "market");
	struct piece *bunch = build_piece(&b, "Bunch");
	build_piece_need(&b, bunch, build_crop_item(&b, statice), 10, 1);
	build_piece_need(&b, bunch, build_supply_item(&b, ring), 1, 1);
	build_piece(&b, "Nothing");
	build_done(&b);
	struct findings f;
	sense_check(&f, &b.farm, build_day("2026-11-25"), &b.arena);
	assert_true(told(&f, FINDING_PROBLEM, "Bunch", "sold nowhere"));
	assert_true(told(&f, FINDING_PROBLEM, "Nothing", "Nothing goes in it"));
	assert_true(told(&f, FINDING_NOTE, "Ring", "no price"));
	assert_true(told(&f, FINDING_NOTE, "Bunch", "`takes`"));
	assert_true(told(&f, FINDING_NOTE, "Oats", "needs this crop"));
	assert_true(told(&f, FINDING_NOTE, "Tape", "needs this supply"));
	assert_true(told(&f, FINDING_NOTE, "Tuft", "needs this part"));
	assert_true(told(&f, FINDING_NOTE, "market", "Nothing is sold here"));
	for (size_t i = 1; i < f.n; i++)
		assert_true(f.items[i - 1].level <= f.items[i].level);
	build_end(&b);
}

static void a_sprig_is_a_part_of_a_stem(void **state)
{
	(void)state;
	struct built b;
	struct measure third = { STR("sprig"), { 1, 3 }, STR("stem"), { 0 } };
	struct measure three = { STR("sprig"), { 3, 1 }, STR("stem"), { 0 } };
	struct measure bunch = { STR("bunch"), { 10, 1 }, STR("stem"), { 0 } };
	struct findings f;
	build_start(&b);
	struct crop *statice = build_crop(&b, "Statice");
	struct piece *piece = build_piece(&b, "Bunch");
	build_piece_need(&b, piece, build_crop_item(&b, statice), 10, 1);
	build_piece_task(&b, piece, 60, 0);
	build_done(&b);
	struct measure right[] = { third, bunch }, wrong[] = { bunch, three };
	statice->head.measures = right;
	statice->head.nmeasures = 2;
	sense_check(&f, &b.farm, build_day("2026-11-25"), &b.arena);
	assert_int_equal(f.n, 0);
	statice->head.measures = wrong;
	sense_check(&f, &b.farm, build_day("2026-11-25"), &b.arena);
	assert_int_equal(f.n, 1);
	assert_true(told(&f, FINDING_PROBLEM, "Statice", "write `sprig 1/3 stem`"));
	build_end(&b);
}

/* `strip 250 min` for 250 an hour, and what it makes of a bed. */
static void slow_work_and_dear_beds(void **state)
{
	(void)state;
	struct built b;
	struct findings f;
	build_start(&b);
	struct crop *larkspur = build_crop(&b, "Larkspur");
	struct piece *piece = build_piece(&b, "Bunch");
	build_piece_need(&b, piece, build_crop_item(&b, larkspur), 10, 1);
	build_piece_task(&b, piece, 60, 0);
	struct bed *bed = build_bed(&b, larkspur, 100, 0);
	bed->line = 4;
	bed->money = 100; /* 1 a stem */
	build_done(&b);
	larkspur = &b.farm.crops[0];
	larkspur->cost = build_fig(0.1);
	larkspur->bundle = build_fig(10);
	larkspur->works[WORK_STRIP] = (struct rate){ build_fig(600), PER_STEM };
	larkspur->works[WORK_BUNDLE] = (struct rate){ build_fig(6000), PER_BUNDLE };
	larkspur->works[WORK_BOX] = (struct rate){ build_fig(1e6), PER_BOX }; /* no size: not known */
	b.farm.business.wage = build_fig(0);
	sense_check(&f, &b.farm, build_day("2026-11-25"), &b.arena);
	assert_int_equal(f.n, 0);
	larkspur->works[WORK_STRIP].seconds = build_fig(15000);
	larkspur->works[WORK_BUNDLE].seconds = build_fig(6600);
	sense_check(&f, &b.farm, build_day("2026-11-25"), &b.arena);
	assert_int_equal(f.n, 2);
	assert_true(told(&f, FINDING_PROBLEM, "Larkspur", "Stripping a stem takes 250 minutes"));
	assert_true(told(&f, FINDING_PROBLEM, "Larkspur", "Bundling a stem takes 11 minutes"));
	larkspur->works[WORK_STRIP].seconds = larkspur->works[WORK_BUNDLE].seconds = build_fig(0);
	larkspur->cost = build_fig(0.09);
	sense_check(&f, &b.farm, build_day("2026-11-25"), &b.arena);
	assert_int_equal(f.n, 1);
	assert_true(told(&f, FINDING_PROBLEM, "beds.csv line 4",
			 "a stem of Larkspur costs 1, by its `costs` line 0.09"));
	build_end(&b);
}

static void orders_are_looked_at_on_the_day(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct outlet *market = build_outlet(&b, "market"), *shop = build_outlet(&b, "shop");
	struct piece *bunch = build_piece(&b, "Bunch");
	build_offer(&b, bunch, market, 9);
	struct order *late = build_order(&b, bunch, 2, NULL);
	late->due = build_day("2026-11-24");
	late->line = 2;
	struct order *sent = build_order(&b, bunch, 2, "2026-11-01");
	sent->due = build_day("2026-11-01");
	sent->line = 3;
	struct order *elsewhere = build_order(&b, bunch, 2, NULL);
	elsewhere->due = build_day("2026-11-25");
	elsewhere->line = 4;
	elsewhere->outlet = (uint32_t)(shop - b.farm.outlets);
	build_done(&b);
	struct findings f;
	sense_check(&f, &b.farm, build_day("2026-11-25"), &b.arena);
	assert_true(told(&f, FINDING_NOTE, "orders.csv line 2", "was due on 2026-11-24"));
	assert_false(told(&f, FINDING_NOTE, "orders.csv line 3", ""));
	assert_false(told(&f, FINDING_NOTE, "orders.csv line 4", "was due"));
	assert_true(told(&f, FINDING_NOTE, "orders.csv line 4", "no `sells shop` line"));
	build_end(&b);
}

static void money_needs_prices_of_what_is_needed(void **state)
{
	(void)state;
	struct built b;
	build_start(&b);
	struct supply *ring = build_supply(&b, "Ring", NAN);
	struct supply *wire = build_supply(&b, "Wire", 2);
	build_supply(&b, "Unused", NAN);
	struct piece *bunch = build_piece(&b, "Bunch");
	build_piece_need(&b, bunch, build_supply_item(&b, wire), 1, 1);
	build_done(&b);
	assert_int_equal(sense_prices(&b.farm, &b.diag), 0);
	build_piece_need(&b, bunch, build_supply_item(&b, ring), 1, 1);
	assert_int_equal(sense_prices(&b.farm, &b.diag), -1);
	assert_int_equal(b.diag.errors, 1);
	assert_text(b.diag.items[0].text, "The supply `Ring` has no price.");
	build_end(&b);
}

/* The order is closed by `sent`, the shelf moves by `sold`: one alone is a slip, unless a count
 * came between or nothing stood on the shelf that day. */
static void what_was_sent_was_sold(void **state)
{
	(void)state;
	struct built b;
	struct findings f;
	build_start(&b);
	struct piece *bunch = build_piece(&b, "Bunch"), *late = build_piece(&b, "Late");
	struct item item = build_piece_item(&b, bunch);
	day on = build_day("2026-11-30");
	build_box(&b, "F1", item, 5, NULL, "2026-11-01");
	build_order(&b, bunch, 2, "2026-10-20")->line = 2; /* in the count */
	build_order(&b, bunch, 2, "2026-11-19")->line = 3;
	build_order(&b, bunch, 2, "2026-12-02")->line = 4; /* not yet */
	build_order(&b, late, 1, "2026-11-10")->line = 5;
	build_log(&b, "2026-11-20", EVENT_MADE, build_piece_item(&b, late), 1);
	build_log(&b, "2026-11-11", EVENT_SOLD, item, 1); /* too early for it */
	build_done(&b);
	sense_check(&f, &b.farm, on, &b.arena);
	assert_true(told(&f, FINDING_NOTE, "orders.csv line 3",
			 "Sent on 2026-11-19, but bench.csv has no Bunch sold since, and 4 count as on the shelf. If "
			 "they are gone: `thrave note sold 2 Bunch --on 2026-11-19`."));
	assert_false(told(&f, FINDING_NOTE, "orders.csv line 2", "Sent"));
	assert_false(told(&f, FINDING_NOTE, "orders.csv line 4", "Sent"));
	assert_false(told(&f, FINDING_NOTE, "orders.csv line 5", "Sent"));
	build_log(&b, "2026-11-18", EVENT_SOLD, item, 2);
	sense_check(&f, &b.farm, on, &b.arena);
	assert_false(told(&f, FINDING_NOTE, "orders.csv line 3", "Sent"));
	b.farm.nlog--;
	build_log(&b, "2026-11-28", EVENT_COUNTED, item, 4);
	sense_check(&f, &b.farm, on, &b.arena);
	assert_false(told(&f, FINDING_NOTE, "orders.csv line 3", "Sent"));
	build_end(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_whole_farm_has_nothing_to_find),
		cmocka_unit_test(problems_stand_before_notes),
		cmocka_unit_test(a_sprig_is_a_part_of_a_stem),
		cmocka_unit_test(slow_work_and_dear_beds),
		cmocka_unit_test(orders_are_looked_at_on_the_day),
		cmocka_unit_test(what_was_sent_was_sold),
		cmocka_unit_test(money_needs_prices_of_what_is_needed),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

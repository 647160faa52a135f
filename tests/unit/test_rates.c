/* test_rates.c - which rate of loss is in use, and that everything goes by it. */
#include "reckon/rates.h"

#include <math.h>

#include "help_farm.h"
#include "reckon/loss.h"
#include "reckon/measured.h"
#include "reckon/stemcost.h"
#include "reckon/stock.h"

static const char *const TODAY = "2026-11-25";

struct fixture {
	struct built b;
	struct crop *crop;
	struct rates rates;
};

static void start(struct fixture *f)
{
	build_start(&f->b);
	f->crop = build_crop(&f->b, "Statice");
}

/* `n` batches of 100 hung, so many lost in drying. */
static void dried(struct fixture *f, size_t n, const double *lost)
{
	for (size_t i = 0; i < n; i++) {
		struct batch *batch = build_batch(&f->b, f->crop, NULL, 100, 100 - lost[i]);
		batch->hung = 100;
		batch->cut_on = build_day("2026-07-14");
	}
}

static const struct rate_used *take(struct fixture *f, bool assumed, enum stage stage)
{
	build_done(&f->b);
	rates_reckon(&f->rates, &f->b.farm, build_day(TODAY), assumed, &f->b.arena);
	return &f->rates.crops[0][stage];
}

static void line_alone_is_exact(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	f.crop->loss[STAGE_BENCH] = (struct fig){ .v = 1.0 / 3, .q = { 1, 3 }, .given = true };
	const struct rate_used *u = take(&f, false, STAGE_BENCH);
	assert_int_equal(u->source, RATE_LINE);
	assert_int_equal(u->q.num, 1);
	assert_int_equal(u->q.den, 3);
	assert_false(rates_moved(&f.rates, &f.b.farm, 0, STAGE_BENCH));
	struct rat allowance = rates_allowance(&f.rates, 0);
	assert_int_equal(allowance.num, 3);
	assert_int_equal(allowance.den, 2);
	assert_int_equal(f.rates.crops[0][STAGE_FIELD].source, RATE_NONE);
	assert_near(rates_at(&f.rates, 0, STAGE_FIELD), 0);
	build_end(&f.b);
}

/* measured.h has the blend; here it is rounded to 0.01% and exact from there on. */
static void records_move_the_line(void **state)
{
	(void)state;
	static const double lost[] = { 10, 14, 12, 9 };
	struct fixture f;
	start(&f);
	dried(&f, 4, lost);
	f.crop->loss[STAGE_DRYING] = build_fig(0.04);
	const struct rate_used *u = take(&f, false, STAGE_DRYING);
	double plan = f.rates.measures->crops[0].stages[STAGE_DRYING].plan.rate;
	assert_int_equal(u->source, RATE_BLEND);
	assert_true(plan > 0.04 && plan < 0.1125);
	assert_near(u->v, round(plan * 10000) / 10000);
	assert_near_by(rat_double(u->q), u->v, 1e-15, 0);
	assert_int_equal(10000 % u->q.den, 0);
	assert_true(rates_moved(&f.rates, &f.b.farm, 0, STAGE_DRYING));

	u = take(&f, true, STAGE_DRYING);
	assert_int_equal(u->source, RATE_LINE);
	assert_near(u->v, 0.04);
	assert_non_null(f.rates.measures);

	f.crop->loss[STAGE_DRYING] = build_fig(0.25);
	f.crop->loss[STAGE_DRYING].supposed = true;
	u = take(&f, false, STAGE_DRYING);
	assert_int_equal(u->source, RATE_SUPPOSED);
	assert_near(u->v, 0.25);
	build_end(&f.b);
}

static void records_without_a_line(void **state)
{
	(void)state;
	static const double lost[] = { 10, 14, 12, 9 }, all[] = { 100, 100, 100 };
	struct fixture f;
	start(&f);
	dried(&f, 4, lost);
	assert_int_equal(take(&f, false, STAGE_DRYING)->source, RATE_RECORDS);
	assert_near(rates_at(&f.rates, 0, STAGE_DRYING), 0.1125);
	f.crop->loss[STAGE_DRYING] = build_fig(0.5); /* a line that weighs nothing */
	f.crop->loss_weight = build_fig(0);
	assert_int_equal(take(&f, false, STAGE_DRYING)->source, RATE_RECORDS);
	assert_near(rates_at(&f.rates, 0, STAGE_DRYING), 0.1125);
	build_end(&f.b);

	start(&f); /* all lost: no rate is 100%, or nothing could be planned */
	dried(&f, 3, all);
	assert_near(take(&f, false, STAGE_DRYING)->v, 0.9999);
	build_end(&f.b);
}

/* A box counted twice and a bench log that tells its stems: stock, cost of a usable stem
 * and the bench allowance go by what they say; what a bed should give does not. */
static void stock_and_cost_go_by_it(void **state)
{
	(void)state;
	struct fixture f;
	start(&f);
	struct crop *crop = f.crop;
	struct item stems = build_crop_item(&f.b, crop);
	struct piece *piece = build_piece(&f.b, "Posy");
	build_piece_need(&f.b, piece, stems, 10, 1);
	crop->loss[STAGE_FIELD] = build_fig(0.1);
	crop->loss[STAGE_DRYING] = build_fig(0.1);
	crop->loss[STAGE_STORAGE] = build_fig(0.02);
	crop->loss[STAGE_BENCH] = build_fig(0.05);
	struct box *box = build_box(&f.b, "B1", stems, 400, "2026-06-01", "2026-06-01");
	box->price = 0.5;
	build_log(&f.b, "2026-09-01", EVENT_COUNTED, stems, 300)->box = 0;
	struct log_entry *e = build_log(&f.b, "2026-09-01", EVENT_MADE, build_piece_item(&f.b, piece), 8);
	build_drawn(&f.b, e, box, 100);
	e->spoiled = 20;
	double storage = take(&f, false, STAGE_STORAGE)->v;
	double bench = rates_at(&f.rates, 0, STAGE_BENCH);
	assert_true(storage > 0.025 && bench > 0.06);

	struct stock s;
	struct stemcosts costs;
	day on = build_day(TODAY);
	stock_take(&s, &f.b.farm, on, false, &f.rates, &f.b.arena, &f.b.remarks);
	double left = pow(1 - storage, date_months(build_day("2026-09-01"), on));
	double all = pow(1 - storage, date_months(build_day("2026-06-01"), on));
	assert_near_by(s.crop_worth[0], 200 * left, 1e-9, 0);
	assert_near_by(stock_class_survival(&s, 0, on + 61), left * pow(1 - storage, 61 / DAYS_PER_MONTH),
	               1e-9, 0);
	stemcosts_reckon(&costs, &f.b.farm, &s, &f.b.arena, &f.b.remarks);
	assert_near_by(costs.crops[0].per_usable, 0.5 / all / (1 - bench), 1e-9, 0);
	assert_near(rat_double(rates_allowance(s.rates, 0)), 1 / (1 - bench));
	assert_near(rat_double(loss_bench_allowance(crop)), 1 / 0.95); /* the standard stays */

	stock_take(&s, &f.b.farm, on, false, NULL, &f.b.arena, &f.b.remarks);
	assert_near_by(s.crop_worth[0], 200 * pow(0.98, date_months(build_day("2026-09-01"), on)), 1e-9, 0);
	build_end(&f.b);
}

static void says_what_was_moved(void **state)
{
	(void)state;
	static const double lost[] = { 10, 14, 12, 9 };
	struct fixture f;
	start(&f);
	dried(&f, 4, lost);
	f.crop->loss[STAGE_DRYING] = build_fig(0.04);
	take(&f, false, STAGE_DRYING);
	rates_say(&f.rates, &f.b.farm, 1u << STAGE_BENCH, &f.b.arena, &f.b.remarks);
	assert_int_equal(f.b.remarks.n, 0);
	rates_say(&f.rates, &f.b.farm, 1u << STAGE_DRYING, &f.b.arena, &f.b.remarks);
	assert_true(build_said(&f.b, REMARK_ASSUMED, "together, in drying for Statice."));
	f.b.remarks.n = 0;
	take(&f, true, STAGE_DRYING);
	rates_say(&f.rates, &f.b.farm, 1u << STAGE_DRYING, &f.b.arena, &f.b.remarks);
	assert_true(build_said(&f.b, REMARK_ASSUMED, "as --assumed says"));
	build_end(&f.b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(line_alone_is_exact),
		cmocka_unit_test(records_move_the_line),
		cmocka_unit_test(records_without_a_line),
		cmocka_unit_test(stock_and_cost_go_by_it),
		cmocka_unit_test(says_what_was_moved),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

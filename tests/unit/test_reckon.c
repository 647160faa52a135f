/* test_reckon.c - a farm written down, from its texts to its prices. */
#include <math.h>

#include "base/buf.h"
#include "help_farm.h"
#include "reckon/loss.h"
#include "reckon/price.h"

struct day_of {
	struct arena arena;
	struct farm *farm;
	struct diag diag;
	struct remarks remarks;
	struct stock stock;
	struct stemcosts stems;
	struct costs costs;
	struct prices prices;
};

/* Loads a farm of one text, tables if any (names and texts by turns, NULL last), and a
 * supposition or NULL. */
static void load(struct day_of *d, const char *on, const char *text, const char *const *tables,
                 const char *suppose)
{
	char *folder = help_folder();
	struct load_options options = { .suppose = &suppose, .nsuppose = suppose ? 1 : 0 };
	*d = (struct day_of){ 0 };
	arena_init(&d->arena);
	diag_init(&d->diag, &d->arena);
	remarks_init(&d->remarks, &d->arena);
	help_write(help_path(folder, "farm.txt"), text);
	for (; tables && *tables; tables += 2)
		help_write(help_path(folder, tables[0]), tables[1]);
	int done = farm_load(&d->farm, &d->arena, folder, &options, &d->diag);
	if (done < 0) {
		struct buf b;
		buf_init(&b, 100000);
		diag_print(&d->diag, &b);
		print_error("%s", b.data);
		buf_release(&b);
	}
	assert_int_equal(done, 0);
	help_remove(folder);
	stock_take(&d->stock, d->farm, build_day(on), false, NULL, &d->arena, &d->remarks);
	stemcosts_reckon(&d->stems, d->farm, &d->stock, &d->arena, &d->remarks);
	costs_reckon(&d->costs, d->farm, &d->stems, &d->arena, &d->remarks);
	prices_reckon(&d->prices, d->farm, &d->costs, &d->arena, &d->remarks);
}

static void done(struct day_of *d)
{
	arena_release(&d->arena);
}

static bool said(const struct day_of *d, const char *part)
{
	for (size_t i = 0; i < d->remarks.n; i++) {
		if (strstr(d->remarks.items[i].text, part))
			return true;
	}
	return false;
}

/* The least that can be written: a piece and the price of its material. */
static void test_least_input(void **state)
{
	(void)state;
	struct day_of d;
	load(&d, "2026-11-25",
	     "supply Ring\n"
	     "  costs 2.10 per each\n"
	     "piece Wreath\n"
	     "  needs 1 Ring\n",
	     NULL, NULL);
	assert_near(d.costs.pieces[0].total, 2.10);
	assert_true(d.costs.pieces[0].complete);
	assert_int_equal(d.prices.n, 0);
	assert_true(said(&d, "No wage given: labour is counted as 0."));
	assert_true(said(&d, "No overhead given: counted as 0."));
	done(&d);
}

static const char hollow[] =
    "farm Saltgrass Hollow\n"
    "  currency EUR\n"
    "  wage 16.50 per h, plus 21%\n"
    "  overhead 3900 per year over 850 h at the bench\n"
    "  growing 2.40 per m of bed\n"
    "crop Strawflower\n"
    "  bunch 10 stem\n"
    "  costs 0.24 per stem boxed\n"
    "  loses 8% field, 10% drying, 1% storage per month, 4% bench\n"
    "crop Hare's-tail grass\n"
    "  costs 0.06 per stem boxed\n"
    "  loses 5% bench\n"
    "crop Statice\n"
    "  bunch 10 stem\n"
    "  costs 1.80 per bunch boxed\n"
    "  loses 10% bench\n"
    "supply Willow ring 35 cm\n"
    "  costs 2.10 per each\n"
    "supply Paddle wire\n"
    "  costs 0.32 per m\n"
    "part Grass tuft\n"
    "  makes 1 each\n"
    "  needs 5 stem Hare's-tail grass\n"
    "  takes 40 s tying\n"
    "piece Tideline wreath\n"
    "  needs 24 stem Strawflower\n"
    "  needs 12 each Grass tuft\n"
    "  needs 3 bunch Statice\n"
    "  needs 1 each Willow ring 35 cm\n"
    "  needs 2.5 m Paddle wire\n"
    "  takes 35 min wiring\n"
    "  takes 20 min setting up, for each batch of up to 6\n"
    "  packs 42 x 42 x 14 cm, 0.8 kg, 6 min, carton 1.35\n"
    "  sells market at 68, likely 14, up to 20\n"
    "  sells online at 84, up to 12\n"
    "outlet online\n"
    "  fee 6.5%, plus 0.45 per order\n"
    "  orders 1.4 pieces each\n"
    "  sends 7.20 up to 2 kg, 9.80 up to 5 kg, volume divisor 5000; charges 6.90 per order\n"
    "  spoils 3%\n"
    "  tax 19% in the price\n"
    "  aim margin 55%\n"
    "  prices end in .95\n"
    "outlet market\n"
    "  stall 45 per day, 9 h, 6 days, travel 38 km at 0.30\n"
    "  fee 1.7%\n"
    "  aim margin 50%\n";

/* Worked out in exact fractions outside this program. */
static void test_hollow(void **state)
{
	(void)state;
	struct day_of d;
	load(&d, "2026-11-25", hollow, NULL, NULL);
	const struct make_cost *c = &d.costs.pieces[0];
	assert_near(d.costs.wage, 19.965);
	assert_near(d.costs.overhead_rate, 4.588235294117647);
	assert_near(c->stems, 15.789473684210526);
	assert_near(c->supplies, 2.9);
	assert_near(c->seconds, 2780);
	assert_near(c->setup_seconds, 200);
	assert_int_equal(c->run, 6);
	assert_near(c->total, 37.65002760577915);

	const struct price_line *market = &d.prices.lines[0], *online = &d.prices.lines[1];
	assert_int_equal(d.prices.n, 2);
	assert_near(online->billed_grams, 6914.88);
	assert_near(online->in.sending, 9.80); /* 6.9 kg is too much: a parcel each */
	assert_near(online->aim.c, 52.41978497866862);
	assert_near(online->aim.aim_net, 131.27576554485248);
	assert_near(online->aim.aim_paid, 156.21816099837443);
	assert_near(online->aim.point, 156.95);
	assert_near(online->at.profit, 16.208321263828374);
	assert_near(online->at.margin, 0.22961788457090196);
	assert_near(online->at.per_hour, 38.05251689035175);
	assert_true(isnan(online->at.break_even));

	assert_near(market->aim.aim_net, 85.8288843378694);
	assert_near(market->aim.point, 85.83);
	assert_near(market->at.profit, 25.38864886480908);
	assert_near(market->at.hours, 4.729365079365079);
	assert_near(market->at.per_hour, 3.9394583939686934);
	assert_near(market->at.contribution, 29.39060964912281);
	assert_near(market->at.break_even, 9);
	assert_true(said(&d, "No tax given for sales at market"));
	assert_true(said(&d, "No boxes counted"));
	done(&d);
}

/* Boxes, a bed and the bench log, as written in tables; every figure by hand. */
static void test_tables(void **state)
{
	(void)state;
	static const char *const tables[] = {
		"stock.csv",
		"box,what,count,unit,boxed,counted,price\n"
		"S1,Strawflower,480,,2026-08-01,2026-11-01,\n"
		"S2,Strawflower,12,bunch,2026-09-01,2026-11-01,3.00\n"
		"H1,Hare's-tail grass,900,,2026-08-01,2026-11-01,\n"
		"C1,Statice,40,bunch,2026-08-01,2026-11-01,\n"
		"T1,Grass tuft,30,,,2026-11-01,\n"
		"W1,Paddle wire,50,m,,2026-11-01,\n"
		"F1,Tideline wreath,3,,,2026-11-01,\n",
		"beds.csv",
		"bed,crop,metres,money,hours,cut hours,dry hours,cut,fresh,boxed\n"
		"A,Strawflower,10,50,4,2,3,1000,200,600\n",
		"bench.csv",
		"id,on,event,what,count,unit,minutes,spoiled,drawn,box,cause,outlet,price,strikes,note,end\n"
		"1,2026-11-10,made,Tideline wreath,2,,80,,S1 50; C1 62,,,,,,,.\n"
		"2,2026-11-11,sold,Tideline wreath,1,,,,,,,market,68,,,.\n"
		"3,2026-11-12,tossed,Strawflower,20,,,,,S1,mould,,,,,.\n"
		"4,2026-11-12,struck,,,,,,,,,,,3,,.\n",
		NULL
	};
	struct day_of d;
	load(&d, "2026-11-25", hollow, tables, NULL);
	assert_near(d.stock.boxes[0].count, 480 - 50);
	assert_near(d.stock.boxes[1].count, 120);
	assert_near(d.stock.pieces[0], 3 + 2 - 1);
	assert_near(d.stock.parts[0], 30 - 24);
	assert_near(d.stock.supplies[1], 50 - 5);
	assert_true(isnan(d.stock.supplies[0]));
	double m = 12 / 365.25;
	double s1 = 480 * pow(0.99, 24 * m) - 50 * pow(0.99, 15 * m), s2 = 120 * pow(0.99, 24 * m);
	assert_near_by(d.stock.boxes[0].worth, s1, 1e-12, 0);

	/* The bed: 50 + (4 + 2) h + 10 m x 2.40, four fifths of it hung; 3 h of drying. */
	const struct bed_cost *bed = &d.stems.beds[0];
	double dried = 0.8 * (50 + 6 * 19.965 + 24) + 3 * 19.965;
	assert_near(bed->dried, dried);
	assert_near(bed->normal_boxed, 800 * 0.92 * 0.90);
	assert_near(bed->abnormal_stems, 800 * 0.92 * 0.90 - 600);
	double a1 = s1 / pow(0.99, 116 * m), a2 = s2 / pow(0.99, 85 * m);
	double per_usable = (a1 * dried / (800 * 0.92 * 0.90) + a2 * 0.30) / ((s1 + s2) * 0.96);
	assert_near_by(d.stems.crops[0].per_usable, per_usable, 1e-12, 0);
	assert_int_equal(d.stems.crops[0].source, COST_MIXED);
	assert_near_by(d.costs.pieces[0].lines[0].money, 24 * per_usable, 1e-12, 0);
	done(&d);
}

/* A supposition is laid over the figure, and the exact allowance follows it. */
static void test_supposed(void **state)
{
	(void)state;
	struct day_of d;
	load(&d, "2026-11-25", hollow, NULL, "Strawflower bench loss = 20%");
	assert_near(d.stems.crops[0].per_usable, 0.30);
	struct rat allowance = loss_bench_allowance(&d.farm->crops[0]);
	assert_int_equal(allowance.num * 4, allowance.den * 5);
	done(&d);
	load(&d, "2026-11-25", hollow, NULL, "wage = 20");
	assert_near(d.costs.wage, 24.2);
	done(&d);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_least_input),
		cmocka_unit_test(test_hollow),
		cmocka_unit_test(test_tables),
		cmocka_unit_test(test_supposed),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_plan.c - from what is to be sold to stems, plants, cells and days. */
#include "reckon/plan.h"

#include <math.h>
#include <string.h>

#include "base/buf.h"
#include "help.h"
#include "reckon/reckon.h"
#include "stat/stat.h"

struct planned_farm {
	struct arena arena;
	struct diag diag;
	struct farm *farm;
	struct reckoning now;
	struct plan plan;
	char *folder;
};

static day day_of(const char *iso)
{
	day d = DAY_NONE;
	assert_true(date_parse(str_of(iso), &d));
	return d;
}

static void assert_day(day got, const char *want)
{
	char text[11];
	date_print(got, text);
	assert_string_equal(text, want);
}

static void start(struct planned_farm *p, const char *text)
{
	p->folder = help_folder();
	help_write(help_path(p->folder, "farm.txt"), text);
}

static void add_table(struct planned_farm *p, const char *name, const char *table)
{
	help_write(help_path(p->folder, name), table);
}

static void plan_now(struct planned_farm *p, const char *on, const struct plan_options *options)
{
	struct load_options load = { .nsuppose = 0 };
	arena_init(&p->arena);
	diag_init(&p->diag, &p->arena);
	assert_int_equal(farm_load(&p->farm, &p->arena, p->folder, &load, &p->diag), 0);
	assert_int_equal(reckon(&p->now, p->farm, day_of(on), RECKON_PRICES, false, NULL, &p->arena,
				&p->diag),
			 0);
	assert_int_equal(plan_reckon(&p->plan, p->farm, &p->now.stock, &p->now.costs, &p->now.prices,
				     options, &p->arena, &p->now.remarks, &p->diag),
			 0);
}

static void plan_text(struct planned_farm *p, const char *text, const char *on,
		      const struct plan_options *options)
{
	start(p, text);
	plan_now(p, on, options);
}

static void end(struct planned_farm *p)
{
	help_remove(p->folder);
	arena_release(&p->arena);
}

/* ---- the chain ---- */

#define ONE_CROP                                                                                   \
	"farm F\n  frost last 2027-04-24\n"                                                        \
	"crop C\n  loses 10% drying\n"                                                             \
	"  sows 7 weeks before last frost, germinates 100%, 128 cells per tray, 5 per 250 seeds\n" \
	"  plants 1 week after last frost, 25 cm apart, 4 rows, 100% live\n"                       \
	"  cuts from 10 weeks after planting, over 9 weeks, 1 stem per plant\n"                    \
	"piece P\n  needs 1 stem C\n"

/* R 4.2.2, qnbinom(c, 50, .9) + 50: 59, 60 and 62 for 90%, 95% and 99%; 1/p rounded up is 56. */
static void certain_rates_give_the_published_numbers(void **state)
{
	(void)state;
	static const struct {
		const char *sure;
		int64_t n;
		double chance;
	} rows[] = { { "90%", 59, .9334105544 }, { "95%", 60, .9657908769 }, { "99%", 62, .9924310513 } };
	struct plan_options certain = { .rates_sure = true };
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct planned_farm p;
		char text[1000];
		snprintf(text, sizeof text, "%starget P\n  sell 50 by 2027-12-01, %s sure\n", ONE_CROP,
			 rows[i].sure);
		plan_text(&p, text, "2026-11-25", &certain);
		const struct plan_crop *c = &p.plan.crops[0];
		assert_int_equal(c->cut, rows[i].n);
		assert_int_equal(c->plain, 56);
		assert_near_by(p.plan.lines[0].chance, rows[i].chance, 0, 1e-9);
		assert_near_by(p.plan.chance, rows[i].chance, 0, 1e-9);
		/* One stem a plant, all live, all come up. */
		assert_int_equal(c->plants_out, rows[i].n);
		assert_int_equal(c->cells, rows[i].n);
		assert_int_equal(c->trays, 1);
		assert_int_equal(c->packets, 1);
		assert_near(c->metres, 250 * ceil((double)rows[i].n / 4));
		end(&p);
	}
}

static void a_whole_chain(void **state)
{
	(void)state;
	struct planned_farm p;
	plan_text(&p,
		  "farm F\n  frost last 2027-04-24, first 2027-10-18\n"
		  "crop C\n  loses 8% field, 10% drying, 1% storage per month, 4% bench\n"
		  "  hangs 10 stem per bundle, 14 days\n"
		  "  sows 7 weeks before last frost, germinates 78%, 128 cells per tray, 4.95 per 250 seeds\n"
		  "  plants 1 week after last frost, 25 cm apart, 4 rows, bed 1.2 m wide, 92% live\n"
		  "  cuts from 10 weeks after planting, over 9 weeks, 14 stem per plant\n"
		  "piece P\n  needs 24 stem C\ntarget P\n  sell 40 by 2027-11-20\n",
		  "2026-11-25", NULL);
	const struct plan_crop *c = &p.plan.crops[0];
	const struct plan_sowing *s = &c->sowings[0];
	/* By hand: boxed on 63 days from 24 July to 24 September, used on 20 November. */
	double kept = 0;
	for (day d = day_of("2027-07-24"); d <= day_of("2027-09-24"); d++)
		kept += pow(.99, (day_of("2027-11-20") - d) / (365.25 / 12)) / 63;
	int64_t cut = (int64_t)ceil(960 / (.92 * .9 * kept * .96));
	assert_int_equal(c->cut, cut);
	assert_int_equal(c->plain, cut);
	assert_int_equal(s->plants_out, (int64_t)ceil((double)cut / 14 / .92));
	assert_int_equal(s->cells, (int64_t)ceil((double)s->plants_out / .78));
	assert_int_equal(s->trays, 1);
	assert_near(s->metres, ceil((double)s->plants_out / 4) * 250);
	assert_day(s->sow, "2027-03-06");
	assert_day(s->plant, "2027-05-01");
	assert_day(s->first_cut, "2027-07-10");
	assert_day(s->last_cut, "2027-09-10");
	assert_day(s->last_boxed, "2027-09-24");
	double sum = 0;
	for (size_t i = 0; i < c->nweeks; i++) {
		assert_int_equal(date_week(c->weeks[i].monday).weekday, 1);
		sum += c->weeks[i].stems;
	}
	assert_near(sum, (double)cut);
	end(&p);
}

/* "80% sure" of the whole: k crops get 1 - (1-c)/k each. */
static void the_target_as_a_whole_is_sure(void **state)
{
	(void)state;
	struct plan_options certain = { .rates_sure = true };
	struct planned_farm p;
	plan_text(&p,
		  "crop A\n  loses 20% drying\n  plants on 2027-05-01\n  cuts on 2027-08-01, 1 stem per plant\n"
		  "crop B\n  loses 30% drying\n  plants on 2027-05-01\n  cuts on 2027-08-01, 1 stem per plant\n"
		  "crop D\n  loses 10% bench\n  plants on 2027-05-01\n  cuts on 2027-08-01, 1 stem per plant\n"
		  "piece P\n  needs 1 stem A\n  needs 2 stem B\n  needs 3 stem D\n"
		  "target P\n  sell 30 by 2027-12-01, 80% sure\n",
		  "2026-11-25", &certain);
	static const double kept[] = { .8, .7, .9 };
	double joint = 1;
	assert_int_equal(p.plan.lines[0].pools, 3);
	for (size_t i = 0; i < 3; i++) {
		double each = 1 - .2 / 3, need = 30.0 * (double)(i + 1);
		assert_near(p.plan.pools[i].chance_wanted, each);
		assert_int_equal(p.plan.pools[i].cut, (int64_t)stat_how_many(need, kept[i], each));
		joint *= p.plan.pools[i].chance;
	}
	assert_near(p.plan.lines[0].chance, joint);
	assert_true(joint >= .8);
	end(&p);
}

/* Of equally sure targets the earlier is served first, so the later one's share of the risk
 * has to cover both: 30 and 20 stems at 1 - 20%/2, not 20 at that and 50 at 80%. */
static void the_later_one_waits_for_the_earlier(void **state)
{
	(void)state;
	struct plan_options certain = { .rates_sure = true };
	struct planned_farm p;
	plan_text(&p,
		  "crop A\n  loses 20% drying\n  plants on 2027-05-01\n  cuts on 2027-08-01, 1 stem per plant\n"
		  "crop B\n  loses 30% drying\n  plants on 2027-05-01\n  cuts on 2027-08-01, 1 stem per plant\n"
		  "piece P\n  needs 1 stem A\npiece Q\n  needs 1 stem A\n  needs 1 stem B\n"
		  "target P\n  sell 30 by 2027-10-01, 80% sure\n"
		  "target Q\n  sell 20 by 2027-12-01, 80% sure\n",
		  "2026-11-25", &certain);
	double n = stat_how_many(50, .8, .9);
	assert_true(n > stat_how_many(50, .8, .8) && n > stat_how_many(20, .8, .9));
	assert_int_equal(p.plan.pools[0].cut, (int64_t)n);
	assert_near(p.plan.pools[0].chance_wanted, .9);
	assert_true(p.plan.lines[0].chance > .99);
	assert_near(p.plan.lines[1].chance, p.plan.pools[0].chance * p.plan.pools[1].chance);
	end(&p);
}

/* ---- parts and stock ---- */

/* J. Heizer, B. Render, C. Munson, Operations Management, 12th ed., ch. 14, problem 14.3 (see
 * test_explode.c): the bracket's castings and shafts as crops; 50 brackets, 25 bases and 100
 * clamps on hand: 125 castings, not the 150 of stock taken from the gross at the end. */
#define BRACKET                                                                                  \
	"crop Casting\ncrop Shaft\ncrop Spring\ncrop Bearing\n"                                  \
	"part Handle\n  needs 1 stem Casting\n"                                                  \
	"part Clamp\n  needs 1 Handle\n"                                                         \
	"part Housing\n  needs 2 stem Bearing\n  needs 1 stem Shaft\n"                           \
	"part Base\n  needs 1 Clamp\n  needs 2 Housing\n"                                        \
	"piece Bracket\n  needs 1 Base\n  needs 2 stem Spring\n  needs 4 Clamp\n"                \
	"target Bracket\n  sell 50 by 2027-12-01\n"

static void gross_through_parts(void **state)
{
	(void)state;
	struct planned_farm p;
	plan_text(&p, BRACKET, "2026-11-25", NULL);
	assert_int_equal(p.plan.crops[0].cut, 250);
	assert_int_equal(p.plan.crops[1].cut, 100);
	assert_int_equal(p.plan.crops[2].cut, 100);
	assert_int_equal(p.plan.crops[3].cut, 200);
	end(&p);
}

static void parts_on_hand_save_what_is_below(void **state)
{
	(void)state;
	struct planned_farm p;
	start(&p, BRACKET);
	add_table(&p, "stock.csv",
		  "box,what,count,unit,boxed,counted\n"
		  "1,Base,25,each,,2026-11-20\n2,Clamp,100,each,,2026-11-20\n");
	plan_now(&p, "2026-11-25", NULL);
	assert_int_equal(p.plan.crops[0].cut, 125);
	assert_int_equal(p.plan.crops[1].cut, 50);
	assert_int_equal(p.plan.crops[2].cut, 100);
	assert_int_equal(p.plan.crops[3].cut, 100);
	end(&p);
}

/* ---- rates ---- */

/* Ten batches on record: the plan goes by records and line together, and surer than by the
 * line alone. */
static void records_make_the_rate_and_its_spread(void **state)
{
	(void)state;
	static const char *const farm =
	    "crop C\n  loses 10% drying\n  hangs 10 stem per bundle, 9 days\n  plants on 2027-05-01\n"
	    "  cuts on 2027-08-01, over 6 weeks, 1 stem per plant\npiece P\n  needs 1 stem C\n"
	    "target P\n  sell 500 by 2027-12-01, 90% sure\n";
	struct planned_farm by_line, by_records;
	struct buf table;
	buf_init(&table, 4096);
	buf_text(&table, "batch,crop,cut on,hung on,boxed on,cut,hung,boxed\n");
	for (int i = 0; i < 10; i++)
		buf_printf(&table, "%d,C,2026-07-%02d,2026-07-%02d,2026-08-10,200,200,%d\n", i, i + 1,
			   i + 1, 178 + i % 5);
	plan_text(&by_line, farm, "2026-11-25", NULL);
	start(&by_records, farm);
	add_table(&by_records, "batches.csv", table.data);
	buf_release(&table);
	plan_now(&by_records, "2026-11-25", NULL);
	double rate = rates_at(&by_records.now.rates, 0, STAGE_DRYING);
	assert_near(by_line.plan.pools[0].kept[STAGE_DRYING], .9);
	assert_near(by_records.plan.pools[0].kept[STAGE_DRYING], 1 - rate);
	assert_near_by(rate, .1, 0, .02);
	assert_true(by_records.plan.pools[0].cut < by_line.plan.pools[0].cut);
	assert_true(by_records.plan.pools[0].cut > by_records.plan.pools[0].plain);
	end(&by_line);
	end(&by_records);
}

/* ---- what stands ---- */

/* 8 plants of Lav stand, 10 stems each: 80 in a usual season.  Nothing is lost. */
#define STANDING                                                                              \
	"farm F\n  currency EUR\n  growing 2.40 per m of bed\n"                               \
	"crop Lav\n  stands 2 m of bed, planted 2023-05-10, bears 8 years, 0 to plant\n"      \
	"  plants on 2023-05-10, 25 cm apart, 1 rows, 100%% live\n"                            \
	"  cuts on 2027-07-01, over 2 weeks, 10 stem per plant%s\n"                            \
	"crop Sta\n  plants on 2027-05-01, 25 cm apart, 4 rows, 100%% live\n"                 \
	"  cuts on 2027-08-01, over 2 weeks, 10 stem per plant\n"                              \
	"part Tuft\n  needs 2 stem Lav\n"                                                     \
	"piece P\n  needs 4 stem Lav\n     or 6 stem Sta\n"                                   \
	"piece Q\n  needs 2 stem Lav\n"                                                       \
	"piece T\n  needs 1 Tuft\n     or 3 stem Sta\n"

static void plan_standing(struct planned_farm *p, const char *range, const char *targets)
{
	char text[2000];
	int n = snprintf(text, sizeof text, STANDING, range);
	snprintf(text + n, sizeof text - (size_t)n, "%s", targets);
	struct plan_options other = { .other_ways = true };
	plan_text(p, text, "2026-11-25", &other);
}

/* Stems of either crop, and how many more of Lav are asked than it bears. */
static void check_standing(const char *targets, int64_t lav, int64_t sta, double too_many)
{
	struct planned_farm p;
	plan_standing(&p, "", targets);
	assert_int_equal(p.plan.crops[0].bears, 80);
	assert_int_equal(p.plan.crops[0].cut, lav);
	assert_int_equal(p.plan.crops[1].cut, sta);
	assert_near(p.plan.crops[0].short_stems, too_many);
	assert_int_equal(p.plan.possible, !(too_many > 0));
	end(&p);
}

static void another_way_where_what_stands_is_used_up(void **state)
{
	(void)state;
	/* What stands costs least, so 20 pieces take its 80 stems; the other 10 take 6 of Sta. */
	check_standing("target P\n  sell 30 by 2027-12-01\n", 80, 60, 0);
	/* As long as it suffices nothing else is grown. */
	check_standing("target P\n  sell 20 by 2027-12-01\n", 80, 0, 0);
	/* A part of it, or another crop: 40 tufts take the 80 stems, 10 pieces 3 of Sta. */
	check_standing("target T\n  sell 50 by 2027-11-01\n", 80, 30, 0);
}

static bool says(const struct remarks *r, const char *words)
{
	for (size_t i = 0; i < r->n; i++) {
		if (strstr(r->items[i].text, words))
			return true;
	}
	return false;
}

/* The same, named: 20 pieces of what stands and 10 of Sta.  That some go another way is said. */
static void named_ways_are_said(void **state)
{
	(void)state;
	static const uint32_t lav[] = { 0 }, sta[] = { 1 };
	const struct plan_way two[] = { { 20, lav }, { 10, sta } };
	const struct plan_line_ways ways[] = { { two, 2 } }, usual[] = { { two, 1 } };
	for (int i = 0; i < 2; i++) {
		struct planned_farm p;
		char text[2000];
		struct plan_options options = { .other_ways = true, .ways = i ? usual : ways };
		snprintf(text, sizeof text, STANDING "target P\n  sell %d by 2027-12-01\n", "", i ? 20 : 30);
		plan_text(&p, text, "2026-11-25", &options);
		assert_int_equal(p.plan.crops[0].cut, 80);
		assert_int_equal(p.plan.crops[1].cut, i ? 0 : 60);
		assert_int_equal(says(&p.now.remarks, "What stands does not give all that is asked of it"), i == 0);
		assert_int_equal(says(&p.now.remarks, "another way of their recipe: Lav."), i == 0);
		end(&p);
	}
}

static void what_has_no_other_way_comes_first(void **state)
{
	(void)state;
	/* 10 of Q need 20 stems of Lav and have no other way, though their day is later: 60 are
	 * left for 15 of P. */
	check_standing("target P\n  sell 30 by 2027-11-01\ntarget Q\n  sell 10 by 2027-12-01\n", 80, 90,
		       0);
	/* 50 of Q need 100 stems, and nothing helps: P takes none of them. */
	check_standing("target P\n  sell 30 by 2027-11-01\ntarget Q\n  sell 50 by 2027-12-01\n", 100, 180,
		       20);
}

/* With a chance asked for, what stands serves only so many pieces as it is that sure of. */
static void what_stands_must_be_sure_too(void **state)
{
	(void)state;
	struct planned_farm p;
	plan_standing(&p, ", usually 7 to 13", "target P\n  sell 30 by 2027-12-01, 80% sure\n");
	const struct plan_crop *lav = &p.plan.crops[0];
	assert_near(lav->short_stems, 0);
	assert_true(lav->cut <= 80 && lav->cut > 70);
	/* One in ten of each has to fail (80% of two pools): 56 stems, ten years in a hundred
	 * bring fewer than 7 a plant. */
	assert_true(lav->stems <= 56 && lav->stems >= 48);
	assert_near(p.plan.crops[1].stems, (30 - lav->stems / 4) * 6);
	assert_true(p.plan.lines[0].chance >= .8);
	end(&p);
}

/* 80 stems stand.  To be surer than they make it, more would have to be cut than there are: what is shown is how
 * sure it is with these 80, which is the plain number; shared by two colours, with 40 of each. */
static void what_stands_is_no_surer_than_its_stems(void **state)
{
	(void)state;
	static const char *const targets[] = {
		"target Q\n  sell 40 by 2027-12-01, 80% sure\n",
		"target W\n  sell 20 by 2027-12-01, 80% sure\ntarget B\n  sell 20 by 2027-12-01, 80% sure\n",
	};
	for (size_t i = 0; i < COUNT(targets); i++) {
		struct planned_farm p;
		char text[1000];
		snprintf(text, sizeof text, "%s%s",
			 "piece W\n  needs 2 stem Lav, colour white\npiece B\n  needs 2 stem Lav, colour blue\n", targets[i]);
		plan_standing(&p, ", usually 7 to 13", text);
		const struct plan_crop *lav = &p.plan.crops[0];
		assert_true(lav->cut > 85 && lav->short_stems > 5);
		assert_int_equal(lav->plain, 80);
		for (size_t k = 0; k < p.plan.nlines; k++) {
			assert_near_by(p.plan.lines[k].chance, p.plan.lines[k].plain_chance, 0, 1e-9);
			assert_true(p.plan.lines[k].chance < .6);
		}
		assert_near_by(lav->chance, lav->plain_chance, 0, 1e-9);
		end(&p);
	}
}

static bool doubted(const struct planned_farm *p, const char *part)
{
	for (size_t i = 0; i < p->now.remarks.n; i++) {
		if (p->now.remarks.items[i].kind == REMARK_DOUBT && strstr(p->now.remarks.items[i].text, part))
			return true;
	}
	return false;
}

/* Planted in May 2023 and bearing 8 years, 2024 to 2031: the cut of July 2032 is one too many. */
static void a_bed_past_its_years(void **state)
{
	(void)state;
	static const struct {
		const char *on, *cut;
		bool old;
	} rows[] = { { "2030-11-25", "2031-07-01", false }, { "2031-11-25", "2032-07-01", true } };
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct planned_farm p;
		char text[1500], target[100];
		snprintf(target, sizeof target, "target Q\n  sell 10 by %.4s-12-01\n", rows[i].cut);
		snprintf(text, sizeof text, STANDING "%s", "", target);
		plan_text(&p, text, rows[i].on, NULL);
		assert_day(p.plan.crops[0].sowings[0].first_cut, rows[i].cut);
		assert_int_equal(doubted(&p, "years that it bears"), rows[i].old);
		end(&p);
	}
}

/* Where nobody asks to be surer the plan is the plain number, seed and all: both are equally sure. */
static void plan_seed(struct planned_farm *p, int germinates, const char *sure)
{
	char text[1000];
	snprintf(text, sizeof text,
		 "farm F\n  frost last 2027-04-24\ncrop C\n  loses 10%% drying\n"
		 "  sows 7 weeks before last frost, germinates %d%%, 128 cells per tray, 5 per 250 seeds\n"
		 "  plants 1 week after last frost, 25 cm apart, 4 rows, 90%% live\n"
		 "  cuts from 10 weeks after planting, over 9 weeks, 10 stem per plant, usually 7 to 13\n"
		 "piece P\n  needs 1 stem C\ntarget P\n  sell 360 by 2027-12-01%s\n",
		 germinates, sure);
	plan_text(p, text, "2026-11-25", NULL);
}

static void the_plain_number_is_as_sure_as_itself(void **state)
{
	(void)state;
	struct planned_farm even, sure, up;
	plan_seed(&even, 80, "");
	plan_seed(&sure, 80, ", 90% sure");
	plan_seed(&up, 100, "");
	/* 400 stems of 45 plants of 57 cells: 43.98 plants in the mean, which lowers an even chance by little; that all
	 * 45 come up has the chance .6527, which would lower it by a third. */
	assert_int_equal(even.plan.crops[0].cut, 400);
	assert_int_equal(even.plan.crops[0].cells, 57);
	assert_near_by(even.plan.lines[0].chance, even.plan.lines[0].plain_chance, 0, 1e-12);
	assert_near_by(even.plan.crops[0].chance, even.plan.crops[0].plain_chance, 0, 1e-12);
	assert_true(even.plan.lines[0].chance < up.plan.lines[0].chance - .02);
	assert_true(even.plan.lines[0].chance > up.plan.lines[0].chance - .06);
	/* Drawn seed by seed and plant by plant in Python, 120,000 seasons: .4655, and .4969 where all come up. */
	assert_near_by(even.plan.lines[0].chance, .4655, 0, .02);
	assert_near_by(up.plan.lines[0].chance, .4969, 0, .02);
	/* And it stays what it is when somebody asks to be surer. */
	assert_true(sure.plan.lines[0].chance >= .9);
	assert_near_by(sure.plan.lines[0].plain_chance, even.plan.lines[0].plain_chance, 0, 1e-9);
	assert_near_by(sure.plan.plain_chance, even.plan.plain_chance, 0, 1e-9);
	end(&up);
	end(&even);
	end(&sure);
}

static bool remarked(const struct planned_farm *p, const char *part)
{
	for (size_t i = 0; i < p->now.remarks.n; i++)
		if (strstr(p->now.remarks.items[i].text, part))
			return true;
	return false;
}

/* First stems are cut, and boxed, on 10 July 2027: what is due before is this season's. */
static void orders_before_the_first_stem_are_not_of_the_plan(void **state)
{
	(void)state;
	struct planned_farm p;
	struct plan_options nothing = { .ignore_stock = true };
	for (int without = 0; without < 2; without++) {
		start(&p, ONE_CROP "target P\n  sell 5 by 2027-12-01\n");
		add_table(&p, "orders.csv",
			  "order,piece,count,due\n1,P,2,2026-12-04\n2,P,2,2027-07-09\n3,P,2,2027-09-01\n");
		plan_now(&p, "2026-11-25", without ? &nothing : NULL);
		assert_int_equal(p.plan.early_orders, without ? 2 : 0);
		assert_int_equal(p.plan.nlines, without ? 2 : 4);
		assert_int_equal(p.plan.possible, without);
		assert_int_equal(remarked(&p, "2 open orders."), without);
		end(&p);
	}
}

/* By hand: 30 + 20 x 0.50 + 6 x 10 = 100.00 a day, 4 days. */
static void stall_days_are_said_to_be_left_out(void **state)
{
	(void)state;
	struct planned_farm p;
	plan_text(&p,
		  "farm F\n  frost last 2027-04-24\n  wage 10 per h\n"
		  "crop C\n  costs 0.10 per stem boxed\n"
		  "outlet M\n  stall 30 per day, 6 h, 4 days, travel 20 km at 0.50\n"
		  "outlet Shop\n  stall 7 per day\n"
		  "piece P\n  needs 1 stem C\n  sells M at 9\n  sells Shop at 8\n"
		  "target P\n  sell 5 by 2027-12-01 at M\n",
		  "2026-11-25", NULL);
	assert_true(remarked(&p, "Days at M are not taken off"));
	assert_true(remarked(&p, "4 at 100.00 each"));
	assert_true(remarked(&p, "400.00 in all"));
	assert_false(remarked(&p, "at Shop is not"));
	end(&p);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(certain_rates_give_the_published_numbers),
		cmocka_unit_test(a_whole_chain),
		cmocka_unit_test(the_target_as_a_whole_is_sure),
		cmocka_unit_test(the_later_one_waits_for_the_earlier),
		cmocka_unit_test(gross_through_parts),
		cmocka_unit_test(parts_on_hand_save_what_is_below),
		cmocka_unit_test(records_make_the_rate_and_its_spread),
		cmocka_unit_test(another_way_where_what_stands_is_used_up),
		cmocka_unit_test(named_ways_are_said),
		cmocka_unit_test(what_has_no_other_way_comes_first),
		cmocka_unit_test(what_stands_must_be_sure_too),
		cmocka_unit_test(a_bed_past_its_years),
		cmocka_unit_test(orders_before_the_first_stem_are_not_of_the_plan),
		cmocka_unit_test(stall_days_are_said_to_be_left_out),
		cmocka_unit_test(the_plain_number_is_as_sure_as_itself),
		cmocka_unit_test(what_stands_is_no_surer_than_its_stems),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

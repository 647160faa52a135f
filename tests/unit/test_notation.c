/* test_notation.c - what the model holds after the notation has been read. */
#include "base/buf.h"
#include "farm/measure.h"
#include "farm/statements.h"
#include "help_texts.h"

/* ---- farm ---- */

static void farm_block(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "farm Saltgrass Hollow\n"
		       "  currency EUR\n"
		       "  wage 16.50 per h, plus 21%\n"
		       "  overhead 3900 per year over 850 h at the bench\n"
		       "  growing 2.40 per m of bed\n"
		       "  bench 120 h until 2026-12-12\n"
		       "  frost last 2027-04-24, first 2027-10-18\n"
		       "  line 84 m\n"
		       "  racks 6 m2\n"
		       "  beds 46 m\n"
		       "  boxes 60 of 80 x 40 x 20 cm\n"
		       "  share by dried price\n"
		       "  note the loft, and the stove room\n"
		       "  caution no candles, no heater\n"
		       "  caution ladders\n");
	const struct business *b = &t.farm.business;
	assert_true(t.farm.has_business);
	assert_text(b->head.name, "Saltgrass Hollow");
	assert_text(b->head.fold, "saltgrass hollow");
	assert_text(b->currency, "EUR");
	assert_int_equal(b->digits, 2);
	assert_near(b->wage.v, 16.5);
	assert_near(b->wage_burden.v, 0.21);
	assert_near(b->overhead.v, 3900);
	assert_near(b->overhead_hours.v, 850);
	assert_near(b->growing.v, 2.4);
	assert_near(b->bench_hours.v, 120);
	assert_int_equal(b->bench_until, date_from_civil(2026, 12, 12));
	assert_int_equal(b->last_frost, date_from_civil(2027, 4, 24));
	assert_int_equal(b->first_frost, date_from_civil(2027, 10, 18));
	assert_near(b->line.v, 84000);
	assert_near(b->racks.v, 6e6);
	assert_near(b->beds.v, 46000);
	assert_near(b->boxes.v, 60);
	assert_near(b->box_size[0], 800);
	assert_near(b->box_size[1], 400);
	assert_near(b->box_size[2], 200);
	assert_int_equal(b->share, SHARE_BY_DRIED_PRICE);
	assert_int_equal(b->head.nnotes, 1);
	assert_text(b->head.notes[0], "the loft, and the stove room");
	assert_int_equal(b->head.ncautions, 2);
	assert_text(b->head.cautions[1], "ladders");
	/* A figure knows its place: the `21%` of line 3. */
	struct place p = diag_place(&t.diag, b->wage_burden.at);
	assert_int_equal(p.line, 3);
	assert_int_equal(p.column, 26);
	assert_true(b->wage.given && !b->wage.supposed);
	texts_end(&t);
}

/* Nothing said: the documented defaults, and exact zeros that may be reckoned with. */
static void defaults(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "crop Statice\noutlet market\npart Tuft\n takes 1 min\n"
		       "piece Wreath\n takes 1 min\nsupply Wire\n");
	const struct business *b = &t.farm.business;
	assert_false(t.farm.has_business);
	assert_int_equal(b->currency.n, 0);
	assert_int_equal(b->digits, 2);
	assert_int_equal(b->bench_until, DAY_NONE);
	assert_int_equal(b->last_frost, DAY_NONE);
	assert_int_equal(b->first_frost, DAY_NONE);
	assert_false(b->wage.given);
	const struct crop *c = &t.farm.crops[0];
	for (int i = 0; i < STAGE_COUNT; i++) {
		assert_false(c->loss[i].given);
		assert_int_equal(c->loss[i].q.den, 1);
	}
	assert_int_equal(c->cutting.from.anchor, ANCHOR_NONE);
	assert_int_equal(c->standing.planted, DAY_NONE);
	const struct outlet *o = &t.farm.outlets[0];
	assert_near(o->per_order.v, 1);
	assert_false(o->per_order.given);
	assert_int_equal(o->aim, AIM_NONE);
	const struct part *p = &t.farm.parts[0];
	assert_int_equal(p->makes.num, 1);
	assert_text(p->unit, "each");
	assert_int_equal(p->level, 1);
	assert_text(t.farm.supplies[0].unit, "each");
	assert_false(t.farm.supplies[0].cost.given);
	assert_false(t.farm.pieces[0].tax.given);
	texts_end(&t);
}

static void currencies(void **state)
{
	static const struct {
		const char *code;
		int digits;
	} rows[] = { { "EUR", 2 }, { "USD", 2 }, { "JPY", 0 }, { "KRW", 0 }, { "KWD", 3 },
		     { "TND", 3 }, { "CLF", 4 }, { "CHF", 2 }, { "ISK", 0 } };
	(void)state;
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct texts t;
		char text[64];
		snprintf(text, sizeof text, "farm F\n  currency %s\n", rows[i].code);
		texts_load(&t, text);
		assert_int_equal(t.farm.business.digits, rows[i].digits);
		texts_end(&t);
	}
}

/* Units other than metric ones come out in the model's units. */
static void other_units(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "farm F\n growing 1.20 per ft\n line 100 ft\n racks 10 ft2\n"
		       " bench 90 min\n boxes 3 of 10 x 10 x 2 1/2 in\n");
	const struct business *b = &t.farm.business;
	assert_near(b->growing.v, 1.2 / 0.3048);
	assert_near(b->line.v, 30480);
	assert_near(b->racks.v, 10 * 304.8 * 304.8);
	assert_near(b->bench_hours.v, 1.5);
	assert_near(b->box_size[2], 63.5);
	texts_end(&t);
}

static void sizes_without_blanks(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "farm F\n boxes 60 of 80x40X20 cm\ncrop Oats\n"
		       "piece Bow\n needs 3 stem Oats\n packs 1 kg, 12.5\xc3\x97" "10\xc3\x97" "8 in, 3 min\n");
	assert_near(t.farm.business.box_size[0], 800);
	assert_near(t.farm.business.box_size[1], 400);
	assert_near(t.farm.business.box_size[2], 200);
	assert_near(t.farm.pieces[0].size[0], 317.5);
	assert_near(t.farm.pieces[0].size[1], 254);
	assert_near(t.farm.pieces[0].size[2], 203.2);
	assert_near(t.farm.pieces[0].packing.v, 180);
	texts_end(&t);
}

/* ---- crop ---- */

/* A bare number is so many in a time, whatever stands next to it. */
static void bare_rates(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "crop Larkspur\n"
		       "  works cut 400 stem per h, strip 250, bundle 300, box 1 min per bundle\n"
		       "crop Oats\n  works box 40 s per bundle, cut 300, strip 120, bundle 2 bundle per min\n"
		       "crop Rye\n  works cut 450 stem per h, box 40 s per bundle; strip 5 bundle per h, "
		       "hang 12\n");
	const struct rate *w = t.farm.crops[0].works;
	assert_near(w[WORK_CUT].seconds.v, 9);
	assert_near(w[WORK_STRIP].seconds.v, 14.4);
	assert_int_equal(w[WORK_STRIP].per, PER_STEM);
	assert_near(w[WORK_BUNDLE].seconds.v, 12);
	assert_int_equal(w[WORK_BUNDLE].per, PER_STEM);
	assert_near(w[WORK_BOX].seconds.v, 60);
	assert_int_equal(w[WORK_BOX].per, PER_BUNDLE);
	w = t.farm.crops[1].works; /* the next one comes first: so many a minute */
	assert_near(w[WORK_CUT].seconds.v, 0.2);
	assert_near(w[WORK_STRIP].seconds.v, 0.5);
	assert_int_equal(w[WORK_STRIP].per, PER_BUNDLE);
	w = t.farm.crops[2].works;
	assert_near(w[WORK_HANG].seconds.v, 300);
	assert_int_equal(w[WORK_HANG].per, PER_BUNDLE);
	texts_end(&t);
}

static const char crop_text[] =
    "farm F\n  frost last 2027-04-24, first 2027-10-18\n"
    "crop Strawflower\n"
    "  also straw flower, everlasting daisy\n"
    "  bunch 10 stems\n"
    "  sprig 1/3 stem\n"
    "  stem 12 g\n"
    "  calls 25 stem a handful\n"
    "  costs 2.40 per bunch boxed\n"
    "  buys at 4.20 per bunch\n"
    "  loses 8% field, 10% drying, 1% storage per month, 4% bench, weighs 20 stem\n"
    "  keeps 14 months from boxing\n"
    "  carries 0.08 per stem into next season\n"
    "  reserve 2 bunches\n"
    "  worth 0.45 per stem fresh, 0.30 per stem to hang, 6 per bunch dried\n"
    "  hangs 1 bunch per bundle, 9 cm of line per bundle, 14 days\n"
    "  boxes 25 bunch per box\n"
    "  works cut 400, strip 250, bundle 300 stem per h; box 60 s per bundle, hang 2 min per box\n"
    "  spends 0.02 per bundle, 1.10 per box\n"
    "  sows 7 weeks before last frost, germinates 78%, 128 cells per tray, 4.95 per 250 seeds\n"
    "  sows on 2027-05-02, direct\n"
    "  plants 1 week after last frost, 25 cm apart, 4 rows, bed 1.2 m wide, 92% live\n"
    "  plants 10 days before first frost\n"
    "  cuts from 10 weeks after planting, over 9 weeks, 14 stem per plant, usually 10 to 18\n"
    "  stands 12 m of bed, planted 2024-05-04, bears 6 years, 180 to plant\n"
    "  colours rust 40%, dusty pink 35%, white\n";

static void crop_stems(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, crop_text);
	const struct crop *c = &t.farm.crops[0];
	assert_int_equal(c->head.nalso, 2);
	assert_text(c->head.also[1], "everlasting daisy");
	assert_int_equal(c->head.nmeasures, 4);
	assert_near(c->cost.v, 0.24);
	assert_int_equal(c->cost.q.num, 6);
	assert_int_equal(c->cost.q.den, 25);
	assert_near(c->bought.v, 0.42);
	assert_near(c->loss[STAGE_FIELD].v, 0.08);
	assert_near(c->loss[STAGE_DRYING].v, 0.10);
	assert_near(c->loss[STAGE_STORAGE].v, 0.01);
	assert_near(c->loss[STAGE_BENCH].v, 0.04);
	assert_near(c->loss_weight.v, 20);
	assert_near(c->keeps.v, 14);
	assert_near(c->carries.v, 0.08);
	assert_near(c->reserve.v, 20);
	assert_near(c->fresh_price.v, 0.45);
	assert_near(c->hung_price.v, 0.30);
	assert_near(c->dried_price.v, 0.60);
	assert_near(c->bundle.v, 10);
	assert_near(c->bundle_line.v, 90);
	assert_near(c->drying_days.v, 14);
	assert_near(c->per_box.v, 250);
	assert_near(c->spend_bundle.v, 0.02);
	assert_near(c->spend_box.v, 1.10);
	/* 400 stems an hour are 9 seconds a stem. */
	assert_near(c->works[WORK_CUT].seconds.v, 9);
	assert_int_equal(c->works[WORK_CUT].per, PER_STEM);
	assert_near(c->works[WORK_STRIP].seconds.v, 14.4);
	assert_near(c->works[WORK_BUNDLE].seconds.v, 12);
	assert_near(c->works[WORK_BOX].seconds.v, 60);
	assert_int_equal(c->works[WORK_BOX].per, PER_BUNDLE);
	assert_near(c->works[WORK_HANG].seconds.v, 120);
	assert_int_equal(c->works[WORK_HANG].per, PER_BOX);
	texts_end(&t);
}

static void crop_growing(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, crop_text);
	const struct crop *c = &t.farm.crops[0];
	assert_int_equal(c->nsowings, 2);
	const struct sowing *s = &c->sowings[0];
	assert_int_equal(s->when.anchor, ANCHOR_LAST_FROST);
	assert_near(s->when.days.v, -49);
	assert_near(s->germinates.v, 0.78);
	assert_near(s->cells.v, 128);
	assert_near(s->seed_price.v, 4.95);
	assert_near(s->seed_count.v, 250);
	assert_false(s->direct);
	assert_true(c->sowings[1].direct);
	assert_int_equal(c->sowings[1].when.anchor, ANCHOR_DATE);
	assert_int_equal(c->sowings[1].when.date, date_from_civil(2027, 5, 2));
	assert_int_equal(c->nplantings, 2);
	const struct planting *p = &c->plantings[0];
	assert_near(p->when.days.v, 7);
	assert_near(p->apart.v, 250);
	assert_near(p->rows.v, 4);
	assert_near(p->bed_width.v, 1200);
	assert_near(p->live.v, 0.92);
	assert_int_equal(c->plantings[1].when.anchor, ANCHOR_FIRST_FROST);
	assert_near(c->plantings[1].when.days.v, -10);
	assert_int_equal(c->cutting.from.anchor, ANCHOR_PLANTING);
	assert_near(c->cutting.from.days.v, 70);
	assert_near(c->cutting.over.v, 63);
	assert_near(c->cutting.per_plant.v, 14);
	assert_near(c->cutting.low.v, 10);
	assert_near(c->cutting.high.v, 18);
	assert_near(c->standing.metres.v, 12000);
	assert_int_equal(c->standing.planted, date_from_civil(2024, 5, 4));
	assert_near(c->standing.bears.v, 6);
	assert_near(c->standing.establishment.v, 180);
	assert_int_equal(c->ncolours, 3);
	assert_text(t.farm.colours[c->colours[1].colour], "dusty pink");
	assert_near(c->colours[1].share.v, 0.35);
	assert_false(c->colours[2].share.given);
	texts_end(&t);
}

static void crop_other_ways(void **state)
{
	struct texts t;
	(void)state;
	texts_load(
	    &t,
	    "crop Moss\n  lies 250 stem per m2 of rack, 9 days\n  cuts on 2027-07-01\n"
	    "crop Grass\n  lies 9 days, 25 stem per ft2\n  cuts from 2027-07-02, over 12 days\n");
	const struct crop *c = &t.farm.crops[0];
	assert_near(c->per_area.v, 250e-6);
	assert_near(c->drying_days.v, 9);
	assert_int_equal(c->cutting.from.anchor, ANCHOR_DATE);
	assert_int_equal(c->cutting.from.date, date_from_civil(2027, 7, 1));
	assert_near(t.farm.crops[1].per_area.v, 25 / (304.8 * 304.8));
	assert_near(t.farm.crops[1].cutting.over.v, 12);
	texts_end(&t);
}

/* South of the equator the last frost comes after the first of the year. */
static void southern_frost(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "farm F\n  frost last 2026-10-02, first 2026-05-20\n");
	assert_true(t.farm.business.last_frost > t.farm.business.first_frost);
	texts_end(&t);
}

/* ---- supply, part, piece ---- */

static void supplies(void **state)
{
	struct texts t;
	(void)state;
	texts_load(
	    &t, "supply Willow ring 35 cm\n  costs 2.10 per each\n  pack 25 each\n"
		"supply Ribbon\n  costs 12.90 per 50 m\n  calls 50 metres a reel\n  pack 2 reels\n"
		"supply Wire #26 # the thin one\n  pack 50 m\n"
		"supply Glue\n  costs 11.50 per kg\n  calls 12 g a stick\n");
	const struct supply *s = t.farm.supplies;
	assert_text(s[0].head.name, "Willow ring 35 cm");
	assert_text(s[0].unit, "each");
	assert_near(s[0].cost.v, 2.10);
	assert_near(s[0].pack.v, 25);
	assert_text(s[1].unit, "m");
	assert_near(s[1].cost.v, 0.258);
	assert_int_equal(s[1].cost.q.den, 500);
	assert_near(s[1].pack.v, 100);
	assert_text(s[2].head.name, "Wire #26");
	assert_text(s[2].unit, "m"); /* no price: the pack says it */
	assert_near(s[2].pack.v, 50);
	assert_text(s[3].unit, "kg");
	texts_end(&t);
}

static const char piece_text[] =
    "piece Tideline wreath\n"
    "  needs 24 stem Strawflower, colour rust or Gold\n"
    "  needs 12 Grass tuft\n"
    "  needs 3 bunches statice\n"
    "     or 20 stem Sea  lavender, from 20 cm\n"
    "     or 60 sprig Statice, from 10 in to 60 cm, one colour of white, blue\n"
    "  needs 1 each Willow ring 35 cm\n"
    "  needs 2.5 m Paddle wire\n"
    "  needs 1 1/2 stick Glue\n"
    "  takes 35 min wiring\n"
    "  takes 20 min setting up, for each batch of up to 6\n"
    "  packs 42 x 42 x 14 cm, 0.8 kg, 6 min, carton 1.35\n"
    "  sells market at 68, likely 14, up to 20\n"
    "  sells Shop at the quay at 62\n"
    "  sells online, up to 12\n"
    "  tax 7% on top\n"
    "crop Strawflower\n"
    "crop Statice\n  bunch 10 stem\n  sprig 1/3 stem\n"
    "crop Sea lavender\n"
    "part Grass tuft\n  makes 1 each\n  needs 5 stem Strawflower\n  takes 40 s tying\n"
    "supply Willow ring 35 cm\n  costs 2.10 per each\n"
    "supply Paddle wire\n  costs 5 per roll\n  calls 50 m a roll\n"
    "supply Glue\n  costs 11.50 per kg\n  calls 12 g a stick\n"
    "outlet market\noutlet Shop at the quay\noutlet online\n";

static void piece_needs(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, piece_text);
	const struct piece *p = &t.farm.pieces[0];
	assert_int_equal(p->nneeds, 6);
	const struct need_option *o = p->needs[0].options;
	assert_int_equal(o->item.kind, KIND_CROP);
	assert_int_equal(o->item.index, 0);
	assert_int_equal(o->count.num, 24);
	assert_text(o->word, "stem");
	assert_int_equal(o->ncolours, 2);
	assert_text(t.farm.colours[o->colours[1]], "Gold");
	assert_text(t.farm.colour_folds[o->colours[1]], "gold");
	assert_false(o->one_colour);
	o = p->needs[1].options;
	assert_int_equal(o->item.kind, KIND_PART);
	assert_text(o->word, "each");
	assert_int_equal(o->count.num, 12);
	assert_int_equal(p->needs[2].noptions, 3);
	o = p->needs[2].options;
	assert_int_equal(o[0].count.num, 30);
	assert_int_equal(o[0].written.num, 3);
	assert_text(o[0].word, "bunch");
	assert_int_equal(o[1].item.index, 2);
	assert_near(o[1].from, 200);
	assert_near(o[1].to, 0);
	assert_int_equal(o[2].count.num, 20);
	assert_near(o[2].from, 254);
	assert_near(o[2].to, 600);
	assert_true(o[2].one_colour);
	assert_int_equal(o[2].ncolours, 2);
	o = p->needs[4].options; /* 2.5 m of a roll of 50 m */
	assert_int_equal(o->count.num, 1);
	assert_int_equal(o->count.den, 20);
	o = p->needs[5].options; /* 1 1/2 sticks of 12 g, counted in kg */
	assert_int_equal(o->count.num, 9);
	assert_int_equal(o->count.den, 500);
	struct place place = diag_place(&t.diag, o->at);
	assert_int_equal(place.line, 9);
	assert_int_equal(place.column, 9);
	assert_int_equal(o->at.len, strlen("1 1/2 stick Glue"));
	texts_end(&t);
}

static void piece_rest(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, piece_text);
	const struct piece *p = &t.farm.pieces[0];
	assert_int_equal(p->ntasks, 2);
	assert_text(p->tasks[0].label, "wiring");
	assert_near(p->tasks[0].seconds.v, 2100);
	assert_false(p->tasks[0].batch.given);
	assert_text(p->tasks[1].label, "setting up");
	assert_near(p->tasks[1].batch.v, 6);
	assert_near(p->size[0], 420);
	assert_near(p->size[2], 140);
	assert_near(p->weight.v, 800);
	assert_near(p->packing.v, 360);
	assert_near(p->carton.v, 1.35);
	assert_int_equal(p->noffers, 3);
	assert_int_equal(p->offers[0].outlet, 0);
	assert_near(p->offers[0].price.v, 68);
	assert_near(p->offers[0].likely.v, 14);
	assert_near(p->offers[0].upto.v, 20);
	assert_int_equal(p->offers[1].outlet, 1);
	assert_near(p->offers[1].price.v, 62);
	assert_false(p->offers[1].upto.given);
	assert_int_equal(p->offers[2].outlet, 2);
	assert_false(p->offers[2].price.given);
	assert_near(p->tax.v, 0.07);
	assert_true(p->tax_on_top);
	texts_end(&t);
}

/* The rules for `needs 12 Grass tuft`: what is a unit and what is a name. */
static void unit_or_name(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "supply m\nsupply Stem wire\nsupply Glass m\n  calls 5 each a glass\n"
		       "supply 3-ply twine\n  costs 1 per m\nsupply bunch of keys\n"
		       "piece P\n"
		       "  needs 3 m\n"
		       "  needs 3 Stem wire\n"
		       "  needs 2 Glass m\n"
		       "  needs 2 m 3-ply twine\n"
		       "  needs 1 bunch of keys\n");
	const struct piece *p = &t.farm.pieces[0];
	assert_int_equal(p->needs[0].options->item.index, 0);
	assert_text(p->needs[0].options->word, "each");
	assert_int_equal(p->needs[1].options->item.index, 1);
	assert_text(p->needs[1].options->word, "each");
	/* `glass` is no word of the supply `m`, so this is the supply `Glass m`. */
	assert_int_equal(p->needs[2].options->item.index, 2);
	assert_int_equal(p->needs[3].options->item.index, 3);
	assert_text(p->needs[3].options->word, "m");
	assert_int_equal(p->needs[4].options->item.index, 4);
	texts_end(&t);
}

static void parts_in_parts(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "piece Crown\n  needs 2 Cluster\n  needs 1 m Garland\n"
		       "part Tuft\n  takes 1 min\n"
		       "part Garland\n  makes 2 m\n  needs 3 Cluster\n"
		       "part Cluster\n  needs 1 Tuft\n    or 2 Bow\n"
		       "part Bow\n  makes 6 each\n  takes 1 min\n"
		       "part Alone\n  takes 1 min\n");
	const struct farm *f = &t.farm;
	assert_int_equal(f->parts[0].level, 3); /* Tuft, in Cluster, in Garland */
	assert_int_equal(f->parts[1].level, 1);
	assert_int_equal(f->parts[2].level, 2);
	assert_int_equal(f->parts[3].level, 3);
	assert_int_equal(f->parts[4].level, 1);
	static const uint32_t order[] = { 1, 4, 2, 0, 3 };
	assert_memory_equal(f->part_order, order, sizeof order);
	assert_text(f->parts[1].unit, "m");
	assert_int_equal(f->parts[1].makes.num, 2);
	assert_int_equal(f->parts[3].makes.num, 6);
	texts_end(&t);
}

/* ---- outlet, target ---- */

static void outlets(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t,
		   "farm F\n  currency EUR\n"
		   "outlet online\n  fee 6.5%, plus 0.45 per order\n  orders 1.4 pieces each\n"
		   "  sends 7.20 up to 2 kg, 9.80 up to 5 kg, volume divisor 5000; charges 6.90 "
		   "per order\n"
		   "  spoils 3%\n  tax 19% in the price\n  aim margin 55%\n"
		   "  prices end in .95 or .5, nearest\n"
		   "outlet market\n  stall 45 per day, 9 h, 6 days, travel 38 km at 0.30\n"
		   "  fee 1.7% of net\n  tax 8.25% on top\n  aim markup 120%\n  prices end in .00\n"
		   "outlet shop\n  aim flowers x 3.5, supplies x 2, labour 25% of price\n"
		   "outlet fair\n  aim supplies x 2, flowers x 3, labour 30% on top\n");
	const struct outlet *o = t.farm.outlets;
	assert_near(o[0].fee.v, 0.065);
	assert_false(o[0].fee_of_net);
	assert_near(o[0].fee_fixed.v, 0.45);
	assert_near(o[0].per_order.v, 1.4);
	assert_int_equal(o[0].ntariffs, 2);
	assert_near(o[0].tariffs[0].money.v, 7.20);
	assert_near(o[0].tariffs[0].upto.v, 2000);
	assert_near(o[0].tariffs[1].upto.v, 5000);
	assert_near(o[0].volume_divisor.v, 5000);
	assert_near(o[0].charges.v, 6.90);
	assert_near(o[0].spoils.v, 0.03);
	assert_near(o[0].tax.v, 0.19);
	assert_false(o[0].tax_on_top);
	assert_int_equal(o[0].aim, AIM_MARGIN);
	assert_near(o[0].margin.v, 0.55);
	assert_int_equal(o[0].nendings, 2);
	assert_int_equal(o[0].endings[0], 50);
	assert_int_equal(o[0].endings[1], 95);
	assert_true(o[0].nearest);
	assert_near(o[1].stall.v, 45);
	assert_near(o[1].stall_hours.v, 9);
	assert_near(o[1].stall_days.v, 6);
	assert_near(o[1].travel_km.v, 38);
	assert_near(o[1].travel_rate.v, 0.30);
	assert_true(o[1].fee_of_net);
	assert_true(o[1].tax_on_top);
	assert_int_equal(o[1].aim, AIM_MARKUP);
	assert_near(o[1].markup.v, 1.2);
	assert_int_equal(o[1].endings[0], 0);
	assert_int_equal(o[2].aim, AIM_RATIO);
	assert_near(o[2].ratio_stems.v, 3.5);
	assert_near(o[2].ratio_supplies.v, 2);
	assert_near(o[2].ratio_labour.v, 0.25);
	assert_int_equal(o[2].labour_rule, LABOUR_OF_PRICE);
	assert_int_equal(o[3].labour_rule, LABOUR_ON_TOP);
	texts_end(&t);
}

static void endings_in_other_money(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "outlet market\n  prices end in .9\nfarm F\n  currency KWD\n");
	assert_int_equal(t.farm.outlets[0].endings[0], 900);
	texts_end(&t);
}

static void targets(void **state)
{
	struct texts t;
	(void)state;
	texts_load(
	    &t, "target  small WREATH\n  sell 40 by 2027-11-20 at market, 80% sure\n"
		"  sell 12 by 2027-12-04\n  note for the fair\n"
		"piece Tideline wreath small\n  also Small wreath\n  takes 1 min\noutlet market\n");
	assert_int_equal(t.farm.ntargets, 2);
	const struct target *g = t.farm.targets;
	assert_int_equal(g[0].piece, 0);
	assert_near(g[0].count.v, 40);
	assert_int_equal(g[0].by, date_from_civil(2027, 11, 20));
	assert_int_equal(g[0].outlet, 0);
	assert_near(g[0].sure.v, 0.8);
	assert_int_equal(g[1].piece, 0);
	assert_int_equal(g[1].outlet, NONE);
	assert_false(g[1].sure.given);
	assert_ptr_equal(g[0].head, g[1].head);
	assert_int_equal(g[0].head->nnotes, 1);
	texts_end(&t);
}

/* ---- lines ---- */

static void comments(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "# a read-me may begin like this\n"
		       "   # and so\n"
		       "supply wire #26 # thin\n"
		       "#no blank is needed in front\n"
		       "  note wind #26 twice #2# twice\n"
		       "  note a#\tb\n"
		       "  note paint C# and more # comment\n"
		       "  note ends in #\n");
	const struct head *h = &t.farm.supplies[0].head;
	assert_text(h->name, "wire #26");
	assert_text(h->notes[0], "wind #26 twice #2");
	assert_text(h->notes[1], "a");
	assert_text(h->notes[2], "paint C");
	assert_text(h->notes[3], "ends in");
	texts_end(&t);
}

static void line_ends(void **state)
{
	static const char *const forms[] = {
		"crop Statice\n  bunch 10 stem\n",
		"crop Statice\r\n\tbunch\t10\tstem\r\n",
		("\xef\xbb\xbf"
		 "crop Statice\r\n  bunch 10 stem"),
		"\n\n  \ncrop   Statice  \n\n     bunch   10   stem\t\n",
		"CROP Statice\n  Bunch 10 Stem\ncrop x",
	};
	(void)state;
	for (size_t i = 0; i < COUNT(forms); i++) {
		struct texts t;
		texts_load(&t, forms[i]);
		assert_text(t.farm.crops[0].head.name, "Statice");
		assert_int_equal(t.farm.crops[0].head.measures[0].q.num, 10);
		texts_end(&t);
	}
}

/* Prose with a capital at the line's start is no block. */
static void skipped(void **state)
{
	static const char *const prose[] = {
		"",
		"\n",
		"Read me first.\n\n  Indented words.\n",
		"Part of the season went well.\nSo did more.\n",
		"  only indented\n",
		"# only a comment\n",
		"Gru\xdf\n",
	};
	(void)state;
	for (size_t i = 0; i < COUNT(prose); i++) {
		struct texts t;
		texts_start(&t);
		texts_add(&t, "read-me.txt", prose[i]);
		assert_int_equal(t.bad, 0);
		assert_int_equal(t.diag.nitems, 1);
		assert_int_equal(t.diag.items[0].level, DIAG_NOTE);
		texts_end(&t);
	}
}

static void unicode_names(void **state)
{
	struct texts t;
	(void)state;
	/* Composed and decomposed e-acute, capital and small sharp s, runs of blanks. */
	texts_load(&t, "crop \xc3\x89toile  blanche\n  calls 5 stem a B\xc3\xbcndel\n"
		       "piece P\n  needs 3 b\xc3\xbcndel e\xcc\x81TOILE blanche\n");
	assert_int_equal(t.farm.pieces[0].needs[0].options->item.kind, KIND_CROP);
	assert_int_equal(t.farm.pieces[0].needs[0].options->count.num, 15);
	texts_end(&t);
}

static void finding(void **state)
{
	struct texts t;
	struct item item;
	(void)state;
	texts_load(&t, piece_text);
	assert_true(farm_find(&t.farm, STR(" sea LAVENDER"), &item));
	assert_int_equal(item.kind, KIND_CROP);
	assert_int_equal(item.index, 2);
	assert_true(farm_find(&t.farm, STR("tideline wreath"), &item));
	assert_int_equal(item.kind, KIND_PIECE);
	assert_text(farm_head(&t.farm, item)->name, "Tideline wreath");
	assert_false(farm_find(&t.farm, STR("market"), &item));
	assert_int_equal(farm_find_outlet(&t.farm, STR("SHOP at the quay")), 1);
	assert_int_equal(farm_find_outlet(&t.farm, STR("Statice")), NONE);
	texts_end(&t);
}

/* ---- limits ---- */

static void said_once(struct texts *t, const char *part)
{
	const char *said = texts_said(t);
	if (!strstr(said, part) || t->diag.errors != 1)
		print_error("%s\n", said);
	assert_non_null(strstr(said, part));
	assert_int_equal(t->diag.errors, 1);
	texts_end(t);
}

static void start_with(struct texts *t, struct buf *b)
{
	texts_start(t);
	texts_add_str(t, STR("long.txt"), buf_slice(b));
	texts_done(t);
	buf_release(b);
}

static void long_texts(void **state)
{
	struct texts t;
	struct buf b;
	(void)state;
	buf_init(&b, 1 << 22);
	buf_text(&b, "crop Statice\n  note ");
	buf_fill(&b, 'x', 100 * 1000);
	start_with(&t, &b);
	assert_int_equal(t.diag.errors, 0);
	assert_int_equal(t.farm.crops[0].head.notes[0].n, 100 * 1000);
	texts_end(&t);

	buf_init(&b, 1 << 22);
	buf_text(&b, "crop Statice\n  note ");
	buf_fill(&b, 'x', 100 * 1000 + 1);
	start_with(&t, &b);
	said_once(&t, "This text is longer than 100000 characters.");

	buf_init(&b, 1 << 22);
	buf_text(&b, "crop Statice\n  also ");
	buf_fill(&b, 'x', 64 * 1024);
	start_with(&t, &b);
	said_once(&t, "This line is longer than 65536 bytes.");

	buf_init(&b, 1 << 22);
	buf_text(&b, "crop ");
	buf_fill(&b, 'x', 64 * 1024);
	start_with(&t, &b);
	said_once(&t, "This line is longer than 65536 bytes.");
}

/* The line n times, `@` as its number. */
static void many_lines(const char *head, const char *line, size_t n, const char *tail,
		       const char *said)
{
	struct texts t;
	struct buf b;
	buf_init(&b, 1 << 24);
	buf_text(&b, head);
	for (size_t i = 0; i < n; i++) {
		for (const char *p = line; *p; p++) {
			if (*p == '@')
				buf_printf(&b, "%03zu", i);
			else
				buf_char(&b, *p);
		}
	}
	buf_text(&b, tail);
	start_with(&t, &b);
	if (said) {
		said_once(&t, said);
		return;
	}
	assert_string_equal(texts_said(&t), "");
	texts_end(&t);
}

static void limits(void **state)
{
	(void)state;
	static const char crop[] = "crop Statice\n", piece[] = "crop Statice\npiece P\n";
	many_lines(piece, "  needs 1 stem Statice\n", 10000, "", NULL);
	many_lines(piece, "  needs 1 stem Statice\n", 10001, "", "more than 10000 `needs` lines");
	many_lines("crop Statice\npiece P\n  needs 1 stem Statice\n", "  or 1 stem Statice\n", 99,
		   "", NULL);
	many_lines("crop Statice\npiece P\n  needs 1 stem Statice\n", "  or 1 stem Statice\n", 100,
		   "", "more than 100 ways to meet one need");
	many_lines(piece, "  takes 1 s\n", 1001, "", "more than 1000 `takes` lines");
	many_lines(crop, "  also statice @\n", 100, "", NULL);
	many_lines(crop, "  also statice @\n", 101, "", "more than 100 further names");
	many_lines(crop, "  note n @\n", 1001, "", "more than 1000 lines of this word");
	many_lines(crop, "  calls 2 stem a w@w\n", 61, "", "more than 60 counting words");
	many_lines(crop, "  sows on 2027-04-01\n", 201, "", "more than 200 sowings");
	many_lines(crop, "  plants on 2027-04-01\n", 201, "", "more than 200 plantings");
	many_lines("crop Statice\n  colours c", ", c@", 100, "\n", "more than 100 colours");
	many_lines("farm F\n  currency KWD\noutlet o\n  prices end in .999", " or .@", 100, "\n",
		   "more than 100 price endings");
	many_lines("outlet o\n  sends 1 up to 1 g", "; 1 up to 1@ kg", 99, "\n", NULL);
	many_lines("outlet o\n  sends 1 up to 1 g", "; 1 up to 1@ kg", 100, "\n",
		   "more than 100 weights in one line");
}

/* Twenty levels of parts are fine, one more is not; a long chain needs no stack. */
static void deep_parts(size_t n, const char *said)
{
	struct texts t;
	struct buf b;
	buf_init(&b, 1 << 24);
	for (size_t i = 0; i < n; i++)
		buf_printf(&b, "part P%zu\n  needs 1 each P%zu\n", i, i + 1);
	buf_printf(&b, "part P%zu\n  takes 1 s\n", n);
	start_with(&t, &b);
	if (said) {
		said_once(&t, said);
		return;
	}
	assert_int_equal(t.diag.errors, 0);
	assert_int_equal(t.farm.parts[n].level, n + 1);
	texts_end(&t);
}

static void levels(void **state)
{
	(void)state;
	deep_parts(19, NULL);
	deep_parts(20, "`P20` lies 21 levels of parts deep; 20 are the most.");
	deep_parts(50000, "levels of parts deep; 20 are the most.");
}

/* A cycle longer than a message is cut, and is still one message. */
static void long_cycle(void **state)
{
	struct texts t;
	struct buf b;
	(void)state;
	buf_init(&b, 1 << 24);
	for (size_t i = 0; i < 30000; i++)
		buf_printf(&b, "part P%zu\n  needs 1 each P%zu\n", i, (i + 1) % 30000);
	start_with(&t, &b);
	said_once(&t, "`P49`, which needs `P50`, and so on.");
}

/* One slip in a large farm must not cost a search of all names for each mention. */
static void many_errors(void **state)
{
	struct texts t;
	struct buf b;
	(void)state;
	buf_init(&b, 1 << 24);
	for (size_t i = 0; i < 3000; i++)
		buf_printf(&b, "piece Wreath number %zu of all\n  needs 1 each Wilow ring %zu cm\n",
			   i, i);
	start_with(&t, &b);
	assert_int_equal(t.diag.errors, 3000);
	assert_non_null(strstr(texts_said(&t), "2980 more errors not shown."));
	texts_end(&t);
}

/* A file that is no farm at all must not take for ever. */
static void endless_errors(void **state)
{
	struct texts t;
	struct buf b;
	(void)state;
	buf_init(&b, 1 << 24);
	buf_text(&b, "crop Statice\n");
	for (size_t i = 0; i < 200 * 1000; i++)
		buf_text(&b, "  loosse 8% field\n");
	start_with(&t, &b);
	assert_int_equal(t.diag.errors, 1002);
	assert_non_null(strstr(t.diag.items[t.diag.nitems - 1].text.p,
			       "After 1000 errors the rest of this file was not read."));
	texts_end(&t);
}

/* ---- the table of statements ---- */

static void table_is_sound(void **state)
{
	const struct statement *s;
	size_t n = 0;
	(void)state;
	for (; (s = statement_at(n)) != NULL; n++) {
		assert_true(s->kinds != 0);
		assert_true(strncmp(s->syntax, s->word, strlen(s->word)) == 0);
		assert_true(strncmp(s->example, s->word, strlen(s->word)) == 0);
		assert_int_equal(s->meaning[strlen(s->meaning) - 1], '.');
		for (enum kind k = KIND_FARM; k < KIND_COUNT; k++) {
			if (s->kinds & 1u << k)
				assert_ptr_equal(statement_find(k, str_of(s->word)), s);
		}
	}
	assert_true(n >= 55);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(farm_block),
		cmocka_unit_test(defaults),
		cmocka_unit_test(currencies),
		cmocka_unit_test(other_units),
		cmocka_unit_test(sizes_without_blanks),
		cmocka_unit_test(bare_rates),
		cmocka_unit_test(crop_stems),
		cmocka_unit_test(crop_growing),
		cmocka_unit_test(crop_other_ways),
		cmocka_unit_test(southern_frost),
		cmocka_unit_test(supplies),
		cmocka_unit_test(piece_needs),
		cmocka_unit_test(piece_rest),
		cmocka_unit_test(unit_or_name),
		cmocka_unit_test(parts_in_parts),
		cmocka_unit_test(outlets),
		cmocka_unit_test(endings_in_other_money),
		cmocka_unit_test(targets),
		cmocka_unit_test(comments),
		cmocka_unit_test(line_ends),
		cmocka_unit_test(skipped),
		cmocka_unit_test(unicode_names),
		cmocka_unit_test(finding),
		cmocka_unit_test(long_texts),
		cmocka_unit_test(limits),
		cmocka_unit_test(levels),
		cmocka_unit_test(long_cycle),
		cmocka_unit_test(many_errors),
		cmocka_unit_test(endless_errors),
		cmocka_unit_test(table_is_sound),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_tables.c - what the five tables put into the farm, and docs/tables.md. */
#include "help.h"

#include <math.h>

#include "base/buf.h"
#include "base/file.h"
#include "farm/farm.h"
#include "farm/tables.h"

static const char texts[] = "farm Marram Yard\n  currency EUR\n"
                            "crop Statice\n  bunch 10 stem\n  sprig 1/3 stem\n  also limonium, strandflieder\n"
                            "crop Sea lavender\n"
                            "supply Paddle wire\n  costs 3.20 per 20 m\n"
                            "part Grass tuft\n  makes 2 each\n  needs 5 stem Sea lavender\n  takes 40 s\n"
                            "piece Wreath\n  needs 12 stem Statice, colour rust or gold\n  takes 35 min\n"
                            "  sells market at 68\n"
                            "outlet market\n  also quay\n";

struct folder {
	char *path;
	struct arena arena;
	struct diag diag;
	struct farm *farm;
	int status;
};

static void put(struct folder *f, const char *name, struct str text)
{
	struct file_error err;
	assert_int_equal(file_write(help_path(f->path, name), text, &err), 0);
}

static void begin(struct folder *f)
{
	f->path = help_folder();
	arena_init(&f->arena);
	diag_init(&f->diag, &f->arena);
	put(f, "farm.txt", STR(texts));
}

static void load(struct folder *f)
{
	f->status = farm_load(&f->farm, &f->arena, f->path, NULL, &f->diag);
}

static void assert_said(struct folder *f, const char *want)
{
	struct buf b;
	buf_init(&b, 1 << 20);
	diag_print(&f->diag, &b);
	assert_text(buf_slice(&b), want);
	buf_release(&b);
}

static void end(struct folder *f)
{
	arena_release(&f->arena);
	help_remove(f->path);
}

/* One table that must load without a word. */
static struct farm *load_one(struct folder *f, const char *name, const char *text)
{
	begin(f);
	put(f, name, str_of(text));
	load(f);
	assert_said(f, "");
	assert_int_equal(f->status, 0);
	return f->farm;
}

static day iso(const char *text)
{
	day d;
	assert_true(date_parse(str_of(text), &d));
	return d;
}

/* ---- stock ---- */

static void boxes_in_base_units(void **state)
{
	struct folder f;
	(void)state;
	const struct farm *farm = load_one(
	    &f, "stock.csv",
	    "box,what,count,unit,colour,length,boxed,counted,price,place,note\n"
	    "B1,Statice,12,bunch,Rust,40,2026-08-14,2026-11-02,3,loft,\n"
	    "B2,STRANDFLIEDER,24,sprigs,,16 in,2026-08-15,,0.10,Loft,\"a, b\"\n"
	    ",Paddle  wire,1.5,km,,,,,,,\n"
	    "B4,Grass tuft,7,,,,,2026-11-02,,shelf,\n"
	    "B5,wreath,2,each,,,,2026-11-02,,,\n");
	assert_int_equal(farm->nboxes, 5);
	const struct box *b = farm->boxes;
	assert_text(b[0].id, "B1");
	assert_int_equal(b[0].item.kind, KIND_CROP);
	assert_int_equal(b[0].item.index, 0);
	assert_near(b[0].count, 120);
	assert_near(b[0].price, 0.3);
	assert_text(farm->colours[b[0].colour], "rust");
	assert_near(b[0].length, 400);
	assert_int_equal(b[0].boxed, iso("2026-08-14"));
	assert_int_equal(b[0].counted, iso("2026-11-02"));
	assert_int_equal(b[0].line, 2);
	assert_int_equal(b[1].item.index, 0);
	assert_near(b[1].count, 8);
	assert_near(b[1].price, 0.3);
	assert_int_equal(b[1].colour, NONE);
	assert_true(b[1].length == 406.4); /* 16 in, with no float on the way */
	assert_int_equal(b[1].counted, iso("2026-08-15"));
	assert_int_equal(b[0].place, b[1].place);
	assert_text(farm->words[b[0].place], "loft");
	assert_int_equal(b[2].item.kind, KIND_SUPPLY);
	assert_near(b[2].count, 1500);
	assert_int_equal(b[2].counted, DAY_NONE);
	assert_true(isnan(b[2].price));
	assert_near(b[2].length, 0);
	assert_int_equal(b[2].place, NONE);
	assert_int_equal(b[3].item.kind, KIND_PART);
	assert_near(b[3].count, 7);
	assert_int_equal(b[4].item.kind, KIND_PIECE);
	assert_true(farm->has_stock);
	assert_false(farm->has_beds || farm->has_batches || farm->has_orders || farm->has_log);
	end(&f);
}

static void same_boxes(const struct farm *a, const struct farm *b)
{
	assert_int_equal(a->nboxes, b->nboxes);
	for (size_t i = 0; i < a->nboxes; i++) {
		const struct box *x = &a->boxes[i], *y = &b->boxes[i];
		assert_true(str_eq(x->id, y->id));
		assert_int_equal(x->item.kind, y->item.kind);
		assert_int_equal(x->item.index, y->item.index);
		assert_int_equal(x->colour, y->colour);
		assert_true(x->count == y->count && (x->price == y->price || isnan(x->price)));
		assert_true(isnan(x->price) == isnan(y->price));
		assert_int_equal(x->boxed, y->boxed);
		assert_int_equal(x->counted, y->counted);
	}
}

/* The same table as each spreadsheet might save it. */
static void spreadsheets_make_no_difference(void **state)
{
	static const char *const saved[] = {
		"box,what,count,unit,colour,counted,price\nB1,Statice,2.5,bunch,rust,2026-11-02,3.05\n"
		"B2,Sea lavender,1250,,,2026-11-02,\n",
		"\xef\xbb\xbf" "Box;WHAT;count;Unit;Colour;counted;price\r\n"
		"B1;Statice;2,5;bunch;rust;2026-11-02;3,05\r\n\"B2\";\"Sea lavender\";1250;;;2026-11-02;\r\n"
		";;;;;;\r\n",
		"box\twhat\tcount\tunit\tcolour\tcounted\tprice\nB1\tStatice\t2,50\tbunch\trust\t2026-11-02\t3,05\n"
		"\n B2 \tSea lavender\t1250\t\t\t2026-11-02\t",
		"price, counted ,co lour,unit,count,what,box,\n 3.05 , 2026-11-02 , rust , bunch , 2.50 , Statice , B1 ,\n"
		",2026-11-02,,\"\",+1250.0,Sea lavender,B2,\n,,,,,,,\n",
	};
	struct folder first, f;
	(void)state;
	load_one(&first, "stock.csv", saved[0]);
	assert_near(first.farm->boxes[0].count, 25);
	assert_near(first.farm->boxes[0].price, 0.305);
	for (size_t i = 1; i < COUNT(saved); i++) {
		load_one(&f, "stock.csv", saved[i]);
		same_boxes(first.farm, f.farm);
		end(&f);
	}
	end(&first);
}

static uint32_t draw(uint64_t *state, uint32_t n)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return (uint32_t)(*state >> 33) % n;
}

/* More names, units, colours and places than are kept at hand, in random order: what
 * is found again by its bytes must be what was looked up. */
static void many_names_stay_apart(void **state)
{
	enum { CROPS = 700, ROWS = 6000 };
	struct buf text, table;
	struct folder f;
	uint64_t seed = 77;
	(void)state;
	buf_init(&text, 1 << 20);
	buf_init(&table, 1 << 22);
	for (int i = 0; i < CROPS; i++)
		buf_printf(&text, "crop Crop number %d of many here\n  bunch %d stem\n", i, i % 50 + 1);
	buf_text(&table, "what,count,unit,colour,place,counted\n");
	for (int i = 0; i < ROWS; i++) {
		buf_printf(&table, "Crop number %u of many here,1,", draw(&seed, CROPS));
		buf_printf(&table, "%s,", draw(&seed, 2) ? "bunch" : "stem");
		buf_printf(&table, "colour %u,", draw(&seed, 400));
		buf_printf(&table, "place %u,2026-11-02\n", draw(&seed, 3000));
	}
	begin(&f);
	put(&f, "farm.txt", buf_slice(&text));
	put(&f, "stock.csv", buf_slice(&table));
	load(&f);
	assert_int_equal(f.status, 0);
	seed = 77;
	for (int i = 0; i < ROWS; i++) {
		const struct box *b = &f.farm->boxes[i];
		char want[32];
		uint32_t crop = draw(&seed, CROPS);
		bool bunch = draw(&seed, 2);
		assert_int_equal(b->item.index, crop);
		assert_near(b->count, bunch ? crop % 50 + 1 : 1);
		snprintf(want, sizeof want, "colour %u", draw(&seed, 400));
		assert_text(f.farm->colours[b->colour], want);
		snprintf(want, sizeof want, "place %u", draw(&seed, 3000));
		assert_text(f.farm->words[b->place], want);
	}
	end(&f);
	buf_release(&text);
	buf_release(&table);
}

/* Ids are one when people would take them for one. */
static void ids_that_are_the_same(void **state)
{
	static const struct {
		const char *a, *b;
		bool same;
	} cases[] = {
		{ "B1", "b1", true },        { "B 1", "b  1", true },   { "\xc3\x89" "1", "\xc3\xa9" "1", true },
		{ "B1", "B2", false },       { "B1", "B 1", false },    { "@1", "`1", false },
		{ "B123456789", "b123456789", true },                   { "B1234567", "B12345678", false },
		{ "[x]", "{x}", false },     { "A1", "A1 ", true },
	};
	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct folder f;
		struct buf b;
		begin(&f);
		buf_init(&b, 1024);
		buf_printf(&b, "order,piece,count\n%s,Wreath,1\n%s,Wreath,1\n", cases[i].a, cases[i].b);
		put(&f, "orders.csv", buf_slice(&b));
		load(&f);
		assert_int_equal(f.status, cases[i].same ? -1 : 0);
		assert_int_equal(f.diag.errors, cases[i].same);
		buf_release(&b);
		end(&f);
	}
}

static void ten_thousand_ids(void **state)
{
	enum { IDS = 10000 };
	struct folder f;
	struct buf b;
	(void)state;
	buf_init(&b, 1 << 20);
	begin(&f);
	buf_text(&b, "order,piece,count\n");
	for (uint32_t i = 0; i < IDS; i++)
		buf_printf(&b, "%x-%u,Wreath,1\n", i * 2654435761u, i);
	buf_printf(&b, "%X-7777,Wreath,1\n", 7777 * 2654435761u);
	put(&f, "orders.csv", buf_slice(&b));
	load(&f);
	assert_int_equal(f.diag.errors, 1);
	assert_int_equal(diag_place(&f.diag, f.diag.items[0].at).line, IDS + 2);
	assert_int_equal(diag_place(&f.diag, f.diag.items[0].also).line, 7777 + 2);
	buf_release(&b);
	end(&f);
}

/* ---- beds, batches, orders ---- */

static void beds_and_batches(void **state)
{
	struct folder f;
	(void)state;
	begin(&f);
	put(&f, "beds.csv",
	    STR("bed,crop,colour,metres,plants,planted,money,hours,cut hours,dry hours,cut,fresh,boxed,establishment,bears\n"
	        "3,Statice,rust,6,144,2026-05-09,31.50,4.5,3,,1240,160,870,,\n"
	        "7 east,Sea lavender,,,,,,,,,520,,,140,6\n"));
	put(&f, "batches.csv",
	    STR("batch,crop,bed,colour,length,cut on,hung on,boxed on,cut,hung,boxed,lost mould,lost pest,lost other,minutes,tare,weighings\n"
	        "1,Sea lavender,7 EAST,,50 cm,2026-08-01,2026-08-01,2026-08-22,520,500,470,20,,5,90,35,2026-08-10 214; 2026-08-14 171.5;\n"
	        "2,Statice,,gold,,,,,,,,,,,,,\n"));
	load(&f);
	assert_said(&f, "");
	const struct bed *beds = f.farm->beds;
	assert_int_equal(f.farm->nbeds, 2);
	assert_text(beds[0].id, "3");
	assert_near(beds[0].metres, 6);
	assert_near(beds[0].plants, 144);
	assert_int_equal(beds[0].planted, iso("2026-05-09"));
	assert_near(beds[0].money, 31.5);
	assert_near(beds[0].hours, 4.5);
	assert_near(beds[0].cut_hours, 3);
	assert_true(isnan(beds[0].dry_hours));
	assert_near(beds[0].cut, 1240);
	assert_near(beds[0].fresh, 160);
	assert_near(beds[0].boxed, 870);
	assert_near(beds[0].bears, 0);
	assert_int_equal(beds[1].crop, 1);
	assert_int_equal(beds[1].colour, NONE);
	assert_near(beds[1].fresh, 0);
	assert_true(isnan(beds[1].boxed) && isnan(beds[1].cut_hours));
	assert_near(beds[1].establishment, 140);
	assert_near(beds[1].bears, 6);
	assert_int_equal(beds[1].line, 3);

	const struct batch *batches = f.farm->batches;
	assert_int_equal(f.farm->nbatches, 2);
	assert_int_equal(batches[0].bed, 1);
	assert_near(batches[0].length, 500);
	assert_int_equal(batches[0].boxed_on, iso("2026-08-22"));
	assert_near(batches[0].hung, 500);
	assert_near(batches[0].lost[CAUSE_MOULD], 20);
	assert_near(batches[0].lost[CAUSE_SHATTER], 0);
	assert_near(batches[0].lost[CAUSE_OTHER], 5);
	assert_near(batches[0].minutes, 90);
	assert_near(batches[0].tare, 35);
	assert_int_equal(batches[0].nweighings, 2);
	assert_int_equal(batches[0].weighings[1].on, iso("2026-08-14"));
	assert_near(batches[0].weighings[1].grams, 171.5);
	assert_int_equal(batches[1].bed, NONE);
	assert_true(isnan(batches[1].cut) && isnan(batches[1].minutes));
	assert_int_equal(batches[1].cut_on, DAY_NONE);
	assert_near(batches[1].tare, 0);
	end(&f);
}

static void orders_open_and_sent(void **state)
{
	struct folder f;
	(void)state;
	const struct farm *farm = load_one(&f, "orders.csv",
	                                   "order,piece,count,outlet,due,price,sent,customer\n"
	                                   "12a,Wreath,2,Quay,2026-11-28,68,,Mill Street\n"
	                                   "12b,Wreath,1,,,,2026-10-30,\n");
	assert_int_equal(farm->norders, 2);
	assert_text(farm->orders[0].id, "12a");
	assert_int_equal(farm->orders[0].piece, 0);
	assert_int_equal(farm->orders[0].outlet, 0);
	assert_near(farm->orders[0].count, 2);
	assert_int_equal(farm->orders[0].due, iso("2026-11-28"));
	assert_near(farm->orders[0].price, 68);
	assert_int_equal(farm->orders[0].sent, DAY_NONE);
	assert_int_equal(farm->orders[1].outlet, NONE);
	assert_int_equal(farm->orders[1].due, DAY_NONE);
	assert_true(isnan(farm->orders[1].price));
	assert_int_equal(farm->orders[1].sent, iso("2026-10-30"));
	end(&f);
}

/* ---- the bench log ---- */

static day day_of(const char *iso)
{
	day d = DAY_NONE;
	assert_true(date_parse(str_of(iso), &d));
	return d;
}

/* What the log says of batches is theirs: of new ones all of it, of those in batches.csv what
 * their cells leave empty. */
static void batches_of_the_log(void **state)
{
	(void)state;
	struct folder f;
	begin(&f);
	put(&f, "batches.csv", STR("batch,crop,cut on,cut,hung,minutes\nB1,Statice,2026-07-02,120,,9\n"));
	put(&f, "bench.csv",
	    STR("id,on,event,what,count,unit,minutes,box,batch,strikes,note,end\n"
	        "1,2026-07-03,cut,Statice,500,stem,,,b1,,it has one already,.\n"
	        "2,2026-07-03,hung,Statice,11,bunch,20,,B1,,,.\n"
	        "3,2026-07-04,cut,Sea lavender,80,,,,L1,,,.\n"
	        "4,2026-07-05,cut,Sea lavender,40,,,,L1,,a second time,.\n"
	        "5,2026-07-05,hung,Sea lavender,110,,30,,L1,,,.\n"
	        "6,2026-07-06,hung,Sea lavender,99,,,,L1,,,.\n"
	        "7,2026-07-06,struck,,,,,,,6,,.\n"
	        "8,2026-07-09,weighed,,300,g,,L1,,,,.\n"
	        "9,2026-07-20,boxed,Sea lavender,60,,10,X1,L1,,,.\n"
	        "10,2026-07-22,boxed,Sea lavender,35,,,X1,L1,,,.\n"
	        "11,2026-07-23,cut,Statice,30,,,,L2,,a slip,.\n"
	        "12,2026-07-23,struck,,,,,,,11,,.\n"
	        "13,2026-07-24,cut,Statice,70,,,,L3,,,.\n"));
	load(&f);
	assert_int_equal(f.status, 0);
	assert_int_equal(f.diag.nitems, 0);
	assert_int_equal(f.farm->nbatches, 3); /* L2 never was */
	const struct batch *b = &f.farm->batches[0], *l1 = &f.farm->batches[1], *l3 = &f.farm->batches[2];
	assert_near(b->cut, 120);
	assert_near(b->hung, 110);
	assert_near(b->minutes, 9);
	assert_true(isnan(b->boxed));
	assert_int_equal(b->cut_on, day_of("2026-07-02"));
	assert_int_equal(b->hung_on, day_of("2026-07-03"));
	assert_false(b->logged);
	assert_text(l1->id, "L1");
	assert_near(l1->cut, 120);
	assert_near(l1->hung, 110);
	assert_near(l1->boxed, 95);
	assert_near(l1->minutes, 40);
	assert_int_equal(l1->cut_on, day_of("2026-07-04"));
	assert_int_equal(l1->hung_on, day_of("2026-07-05"));
	assert_int_equal(l1->boxed_on, day_of("2026-07-22"));
	assert_true(l1->logged && f.farm->log[7].batch == 1);
	assert_text(l3->id, "L3");
	assert_near(l3->cut, 70);
	assert_true(isnan(l3->hung) && l3->hung_on == DAY_NONE);
	assert_int_equal(f.farm->log[f.farm->nlog - 1].batch, 2);
	end(&f);
}

static const char log_header[] = "id,on,event,what,count,unit,minutes,spoiled,drawn,box,cause,outlet,price,strikes,note,end\n";

static void begin_log(struct folder *f, const char *lines)
{
	struct buf b;
	begin(f);
	put(f, "stock.csv", STR("box,what,count,boxed,counted\nB1,Statice,240,2026-08-14,2026-11-02\n"
	                        "two words,Sea lavender,100,2026-08-14,2026-11-01\n"));
	put(f, "batches.csv", STR("batch,crop\nB1,Sea lavender\n"));
	buf_init(&b, 1 << 20);
	buf_text(&b, log_header);
	buf_text(&b, lines);
	put(f, "bench.csv", buf_slice(&b));
	buf_release(&b);
	load(f);
}

static void entries(void **state)
{
	struct folder f;
	(void)state;
	begin_log(&f, "1,2026-11-03,made,Wreath,2,each,74,3,B1 18; two words 8.5;,,,,,,,.\n"
	              "2,2026-11-04,sold,Statice,2,bunch,,,,b1,,market,9,,,.\n"
	              "3,2026-11-05,tossed,,6,,,,,B1,mould,,,,,.\n"
	              "4,2026-11-06,struck,,,,,,,,,,,3,,.\n"
	              "5,2026-11-06,weighed,,1.5,kg,,,,B1,,,,,,.\n"
	              "6,2026-11-07,counted,Paddle wire,2,km,,,,,,,,,,.\n"
	              "7,2026-11-07,cut,Statice,30,sprig,9,,,,,,,,,.\n");
	assert_said(&f, "");
	const struct log_entry *e = f.farm->log;
	assert_int_equal(f.farm->nlog, 7);
	assert_text(e[0].id, "1");
	assert_int_equal(e[0].on, iso("2026-11-03"));
	assert_int_equal(e[0].event, EVENT_MADE);
	assert_int_equal(e[0].item.kind, KIND_PIECE);
	assert_near(e[0].count, 2);
	assert_near(e[0].minutes, 74);
	assert_near(e[0].spoiled, 3);
	assert_int_equal(e[0].ndrawn, 2);
	assert_int_equal(e[0].drawn[1].box, 1);
	assert_near(e[0].drawn[1].stems, 8.5);
	assert_near(e[0].drawn_gone, 0);
	assert_int_equal(e[0].box, NONE);
	assert_int_equal(e[1].box, 0);
	assert_near(e[1].count, 20);
	assert_near(e[1].price, 0.9);
	assert_int_equal(e[1].outlet, 0);
	assert_int_equal(e[2].item.kind, KIND_CROP);
	assert_int_equal(e[2].item.index, 0);
	assert_int_equal(e[2].cause, CAUSE_MOULD);
	assert_true(isnan(e[2].minutes) && isnan(e[2].price));
	assert_int_equal(e[3].event, EVENT_STRUCK);
	assert_text(e[3].strikes, "3");
	assert_int_equal(e[3].item.index, 0);
	assert_int_equal(e[4].batch, 0);
	assert_int_equal(e[4].item.index, 1);
	assert_int_equal(e[4].box, NONE);
	assert_near(e[4].count, 1500);
	assert_near(e[5].count, 2000);
	assert_near(e[6].count, 10);
	assert_int_equal(e[6].line, 8);
	end(&f);
}

/* A box that the log fills before anybody counted it is there, empty, the day before. */
static void log_opens_boxes(void **state)
{
	enum { BOXES = 700 };
	struct folder f;
	struct buf b;
	(void)state;
	buf_init(&b, 1 << 20);
	for (int i = 0; i < BOXES; i++)
		buf_printf(&b, "a%d,2026-11-05,boxed,Sea lavender,40,stem,,,,new %d,,,,,,.\n", i, i);
	buf_printf(&b, "b,2026-11-06,boxed,Sea lavender,5,stem,,,,NEW 3,,,,,,.\n");
	buf_printf(&b, "c,2026-11-07,made,Wreath,1,,,,New 699 30,,,,,,,.\n");
	begin_log(&f, b.data);
	assert_said(&f, "");
	assert_int_equal(f.farm->nboxes, 2 + BOXES);
	const struct box *box = &f.farm->boxes[2 + 3];
	assert_text(box->id, "new 3");
	assert_int_equal(box->item.index, 1);
	assert_near(box->count, 0);
	assert_int_equal(box->boxed, iso("2026-11-05"));
	assert_int_equal(box->counted, iso("2026-11-04"));
	assert_int_equal(box->line, 0);
	assert_true(isnan(box->price));
	assert_int_equal(box->colour, NONE);
	assert_int_equal(f.farm->log[BOXES].box, 5);
	assert_int_equal(f.farm->log[BOXES + 1].drawn[0].box, 2 + 699);
	buf_release(&b);
	end(&f);
}

/* Entries from before a count may name boxes that it left out. */
static void boxes_left_out_of_a_count(void **state)
{
	struct folder f;
	(void)state;
	begin_log(&f, "1,2026-10-03,made,Wreath,1,,,,B7 24; B1 2; B9 3,,,,,,,.\n"
	              "2,2026-10-04,boxed,Statice,60,,,,,B8,,,,,,.\n"
	              "3,2026-10-05,tossed,,6,,,,,B8,,,,,,.\n");
	assert_int_equal(f.status, 0);
	assert_int_equal(f.diag.warnings, 0);
	assert_int_equal(f.diag.nitems, 1);
	assert_text(f.diag.items[0].text, "The log names boxes that stock.csv no longer has: `B7` and more.");
	assert_int_equal(f.farm->nboxes, 2);
	assert_int_equal(f.farm->nlog, 2); /* of the third nothing is known */
	assert_int_equal(f.farm->log[0].ndrawn, 1);
	assert_near(f.farm->log[0].drawn_gone, 27);
	assert_int_equal(f.farm->log[1].box, NONE);
	end(&f);
}

static void log_saved_by_a_spreadsheet(void **state)
{
	struct folder f;
	(void)state;
	begin(&f);
	put(&f, "bench.csv", STR("\xef\xbb\xbf" "id;on;event;what;count;minutes;note;end\r\n"
	                         "1;2026-11-03;made;Wreath;2;\"70,5\";\"one; two\";.\r\n"
	                         "2;2026-11-04;made;Wreath;1;35;;\".\"\r\n"
	                         ";;;;;;;\r\n"
	                         "3;2026-11-05;made;Wreath;1;35;;."));
	load(&f);
	assert_said(&f, "");
	assert_int_equal(f.farm->nlog, 3);
	assert_near(f.farm->log[0].minutes, 70.5);
	end(&f);
}

/* By hand, or saved again by a spreadsheet: no column of end marks, or empty ones. */
static void end_marks_may_be_missing(void **state)
{
	static const char *const logs[] = {
		"id,on,event,what,count\n1,2026-11-03,made,Wreath,2\n2,2026-11-03,made,Wreath,1",
		"id,on,event,what,count,end\n1,2026-11-03,made,Wreath,2,\n2,2026-11-03,made,Wreath,1,",
		"id;on;event;what;count;end\r\n1;2026-11-03;made;Wreath;2;\r\n2;2026-11-03;made;Wreath;1;.\r\n",
	};
	(void)state;
	for (size_t i = 0; i < COUNT(logs); i++) {
		struct folder f;
		begin(&f);
		put(&f, "bench.csv", str_of(logs[i]));
		load(&f);
		assert_said(&f, "");
		assert_int_equal(f.farm->nlog, 2);
		assert_int_equal(f.farm->log_form.last, 2);
		assert_int_equal(f.farm->log_form.open_end, i < 2);
		assert_int_equal(f.farm->log_form.crlf, i == 2);
		assert_int_equal(f.farm->log_form.whole, strlen(logs[i]));
		end(&f);
	}
}

/* Whatever of the last line is there, it is set aside or read, and the rest stands. */
static void torn_anywhere(void **state)
{
	static const char last[] = "2,2026-11-04,made,Wreath,1,each,35.5,,,,,,,,\"a note, quoted\",.";
	(void)state;
	for (size_t n = 0; n < sizeof last; n++) {
		struct folder f;
		struct buf b;
		begin(&f);
		buf_init(&b, 4096);
		buf_printf(&b, "%s1,2026-11-03,made,Wreath,2,,,,,,,,,,,.\n%.*s", log_header, (int)n, last);
		put(&f, "bench.csv", buf_slice(&b));
		load(&f);
		/* With all its cells there it is whole, end mark or not. */
		bool whole = n >= sizeof last - 2, torn = n > 0 && !whole;
		assert_int_equal(f.status, 0);
		assert_int_equal(f.farm->nlog, whole ? 2 : 1);
		assert_int_equal(f.diag.warnings, torn);
		buf_release(&b);
		end(&f);
	}
}

static void retry_counts_once(void **state)
{
	struct folder f;
	(void)state;
	begin_log(&f, "1,2026-11-03,made,Wreath,2,,,,B1 5,,,,,,,.\n"
	              "2,2026-11-04,made,Wreath,1,,,,,,,,,,,.\n"
	              "1,2026-11-03,made,Wreath,2,,,,B1 5,,,,,,,.\n"
	              "3,2026-11-04,struck,,,,,,,,,,,2,,.\n");
	assert_int_equal(f.status, 0);
	assert_int_equal(f.farm->nlog, 3);
	assert_text(f.farm->log[2].strikes, "2");
	assert_int_equal(f.diag.nitems, 1);
	assert_int_equal(f.diag.items[0].level, DIAG_NOTE);
	end(&f);
}

/* ---- all of them ---- */

static void header_alone_is_a_table(void **state)
{
	struct folder f;
	(void)state;
	begin(&f);
	put(&f, "stock.csv", STR("box,what,count\n"));
	put(&f, "beds.csv", STR("bed,crop,cut"));
	put(&f, "batches.csv", STR("batch;crop\r\n"));
	put(&f, "orders.csv", STR("order\tpiece\tcount\n\n"));
	put(&f, "bench.csv", STR(log_header));
	load(&f);
	assert_said(&f, "");
	assert_int_equal(f.status, 0);
	assert_true(f.farm->has_stock && f.farm->has_beds && f.farm->has_batches && f.farm->has_orders &&
	            f.farm->has_log);
	assert_int_equal(f.farm->nboxes + f.farm->nbeds + f.farm->nbatches + f.farm->norders + f.farm->nlog, 0);
	end(&f);
}

static void a_folder_is_no_table(void **state)
{
	struct folder f;
	(void)state;
	begin(&f);
	char *other = help_folder();
	assert_int_equal(rename(other, help_path(f.path, "stock.csv")), 0);
	free(other);
	load(&f);
	assert_int_equal(f.status, -2);
	assert_int_equal(f.diag.errors, 1);
	end(&f);
}

/* ---- docs/tables.md ---- */

static void add_number(struct buf *b, double v)
{
	number_print_short(b, v >= 1e6 ? v / 1e6 : v, 3);
	if (v >= 1e6)
		buf_text(b, " million");
}

/* The row of a column in the doc's table. */
static void doc_row(struct buf *b, const struct csv_column *c)
{
	buf_printf(b, "| `%s` | %s | %s | %s | ", c->name, c->required ? "yes" : "",
	           column_kind_words(c->kind), c->unit);
	if (c->kind == COLUMN_DATE) {
		buf_printf(b, "%d to %d year%s ahead", (int)c->low, (int)c->high, c->high > 1 ? "s" : "");
	} else if (c->high > 0) {
		add_number(b, c->low);
		buf_text(b, " to ");
		add_number(b, c->high);
	}
	buf_printf(b, " | %s |\n", c->meaning);
}

static void doc_event(struct buf *b, enum event event)
{
	struct event_columns columns = event_columns(event);
	const struct csv_table *bench = csv_table_of(TABLE_BENCH);
	buf_printf(b, "| `%s` |", event_name(event));
	for (int k = 0; k < 2; k++) {
		const char *between = " ";
		for (size_t i = 0; i < bench->n; i++) {
			if ((k ? columns.may : columns.needs) >> i & 1) {
				buf_printf(b, "%s%s", between, bench->columns[i].name);
				between = ", ";
			}
		}
		buf_text(b, " |");
	}
	buf_char(b, '\n');
}

static char *take_line(char **rest)
{
	char *line = *rest, *lf = strchr(line, '\n');
	if (lf)
		*lf = '\0';
	*rest = lf ? lf + 1 : line + strlen(line);
	return line;
}

/* Every row of the doc that describes a column or an event, section by section: the
 * same rows in the same order as the program's, no more and no fewer. */
static void doc_has_every_column(void **state)
{
	struct buf want, got;
	(void)state;
	buf_init(&want, 1 << 20);
	buf_init(&got, 1 << 20);
	for (enum table_id id = 0; id < TABLE_COUNT; id++) {
		const struct csv_table *table = csv_table_of(id);
		buf_printf(&want, "## %s\n", table->file);
		for (size_t i = 0; i < table->n; i++)
			doc_row(&want, &table->columns[i]);
	}
	for (enum event e = 0; e < EVENT_COUNT; e++)
		doc_event(&want, e);
	char *doc = help_read("docs/tables.md"), *rest = doc;
	assert_non_null(doc);
	bool inside = false;
	while (*rest) {
		const char *line = take_line(&rest);
		if (strncmp(line, "## ", 3) == 0)
			inside = strstr(line, ".csv") != NULL;
		if (inside && (strncmp(line, "## ", 3) == 0 || strncmp(line, "| `", 3) == 0))
			buf_printf(&got, "%s\n", line);
	}
	assert_text(buf_slice(&got), want.data);
	free(doc);
	buf_release(&want);
	buf_release(&got);
}

/* The doc's examples are one farm: it loads without a word. */
static void doc_examples_load(void **state)
{
	struct folder f;
	struct buf b;
	(void)state;
	begin(&f);
	buf_init(&b, 1 << 20);
	char *doc = help_read("docs/tables.md"), *rest = doc;
	assert_non_null(doc);
	int blocks = 0;
	while (*rest) {
		const char *line = take_line(&rest), *name = strchr(line, ' ');
		if (strncmp(line, "```", 3) != 0)
			continue;
		assert_non_null(name);
		buf_clear(&b);
		for (char *in = take_line(&rest); strcmp(in, "```") != 0; in = take_line(&rest))
			buf_printf(&b, "%s\n", in);
		put(&f, name + 1, buf_slice(&b));
		blocks++;
	}
	assert_int_equal(blocks, 6);
	load(&f);
	assert_said(&f, "");
	assert_int_equal(f.status, 0);
	assert_int_equal(f.farm->nboxes, 6 + 1); /* B4 is opened by the log */
	assert_int_equal(f.farm->nbeds, 2);
	assert_int_equal(f.farm->nbatches, 3);
	assert_int_equal(f.farm->norders, 3);
	assert_int_equal(f.farm->nlog, 8);
	free(doc);
	buf_release(&b);
	end(&f);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(boxes_in_base_units),
		cmocka_unit_test(spreadsheets_make_no_difference),
		cmocka_unit_test(many_names_stay_apart),
		cmocka_unit_test(ids_that_are_the_same),
		cmocka_unit_test(ten_thousand_ids),
		cmocka_unit_test(beds_and_batches),
		cmocka_unit_test(orders_open_and_sent),
		cmocka_unit_test(entries),
		cmocka_unit_test(batches_of_the_log),
		cmocka_unit_test(log_opens_boxes),
		cmocka_unit_test(boxes_left_out_of_a_count),
		cmocka_unit_test(log_saved_by_a_spreadsheet),
		cmocka_unit_test(torn_anywhere),
		cmocka_unit_test(end_marks_may_be_missing),
		cmocka_unit_test(retry_counts_once),
		cmocka_unit_test(header_alone_is_a_table),
		cmocka_unit_test(a_folder_is_no_table),
		cmocka_unit_test(doc_has_every_column),
		cmocka_unit_test(doc_examples_load),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* help_farm.c - see help_farm.h. */
#include "help_farm.h"

#include <math.h>

enum { ROOM = 64, ROOM_NEEDS = 24 };

void build_start(struct built *b)
{
	*b = (struct built){ .farm.has_business = true };
	struct farm *f = &b->farm;
	arena_init(&b->arena);
	diag_init(&b->diag, &b->arena);
	remarks_init(&b->remarks, &b->arena);
	f->arena = &b->arena;
	f->business.currency = STR("EUR");
	f->business.digits = 2;
	f->business.bench_until = f->business.last_frost = f->business.first_frost = DAY_NONE;
	f->crops = ARENA_ARRAY(&b->arena, ROOM, struct crop);
	f->supplies = ARENA_ARRAY(&b->arena, ROOM, struct supply);
	f->parts = ARENA_ARRAY(&b->arena, ROOM, struct part);
	f->pieces = ARENA_ARRAY(&b->arena, ROOM, struct piece);
	f->outlets = ARENA_ARRAY(&b->arena, ROOM, struct outlet);
	f->boxes = ARENA_ARRAY(&b->arena, ROOM, struct box);
	f->beds = ARENA_ARRAY(&b->arena, ROOM, struct bed);
	f->batches = ARENA_ARRAY(&b->arena, ROOM, struct batch);
	f->orders = ARENA_ARRAY(&b->arena, ROOM, struct order);
	f->log = ARENA_ARRAY(&b->arena, ROOM, struct log_entry);
	f->part_order = ARENA_ARRAY(&b->arena, ROOM, uint32_t);
}

/* The deepest thing that needs a part, by as many passes as parts can nest. */
static void find_levels(struct farm *f)
{
	for (size_t i = 0; i < f->nparts; i++)
		f->parts[i].level = 1;
	for (size_t pass = 0; pass < f->nparts; pass++) {
		for (size_t i = 0; i < f->nparts; i++) {
			for (size_t k = 0; k < f->parts[i].nneeds; k++) {
				struct item item = f->parts[i].needs[k].options[0].item;
				if (item.kind == KIND_PART && f->parts[item.index].level <= f->parts[i].level)
					f->parts[item.index].level = f->parts[i].level + 1;
			}
		}
	}
}

void build_done(struct built *b)
{
	struct farm *f = &b->farm;
	size_t n = 0;
	find_levels(f);
	for (uint32_t level = 1; n < f->nparts && level <= ROOM + 1; level++) {
		for (uint32_t i = 0; i < f->nparts; i++) {
			if (f->parts[i].level == level)
				f->part_order[n++] = i;
		}
	}
	assert_int_equal(n, f->nparts);
	f->has_stock = f->nboxes > 0;
	f->has_beds = f->nbeds > 0;
	f->has_batches = f->nbatches > 0;
	f->has_orders = f->norders > 0;
	f->has_log = f->nlog > 0;
}

void build_end(struct built *b)
{
	arena_release(&b->arena);
}

struct fig build_fig(double v)
{
	struct fig f = { .v = v, .given = true };
	if (!rat_make(&f.q, llround(v * 1e9), 1000000000))
		f.q = (struct rat){ 0, 1 };
	return f;
}

day build_day(const char *iso)
{
	day d;
	if (!iso)
		return DAY_NONE;
	assert_true(date_parse(str_of(iso), &d));
	return d;
}

struct str build_name(struct built *b, const char *fmt, ...)
{
	char text[256];
	va_list ap;
	va_start(ap, fmt);
	int n = vsnprintf(text, sizeof text, fmt, ap);
	va_end(ap);
	assert_true(n > 0 && (size_t)n < sizeof text);
	return (struct str){ arena_copy(&b->arena, text, (size_t)n), (size_t)n };
}

static void set_head(struct built *b, struct head *head, const char *name)
{
	head->name = build_name(b, "%s", name);
	head->fold = str_fold(&b->arena, head->name);
}

struct crop *build_crop(struct built *b, const char *name)
{
	assert_true(b->farm.ncrops < ROOM);
	struct crop *c = &b->farm.crops[b->farm.ncrops++];
	set_head(b, &c->head, name);
	return c;
}

struct supply *build_supply(struct built *b, const char *name, double cost)
{
	assert_true(b->farm.nsupplies < ROOM);
	struct supply *s = &b->farm.supplies[b->farm.nsupplies++];
	set_head(b, &s->head, name);
	if (!isnan(cost))
		s->cost = build_fig(cost);
	s->unit = STR("each");
	return s;
}

struct part *build_part(struct built *b, const char *name)
{
	assert_true(b->farm.nparts < ROOM);
	struct part *p = &b->farm.parts[b->farm.nparts++];
	set_head(b, &p->head, name);
	p->makes = RAT_ONE;
	p->unit = STR("each");
	p->needs = ARENA_ARRAY(&b->arena, ROOM_NEEDS, struct need);
	p->tasks = ARENA_ARRAY(&b->arena, ROOM_NEEDS, struct task);
	return p;
}

struct piece *build_piece(struct built *b, const char *name)
{
	assert_true(b->farm.npieces < ROOM);
	struct piece *p = &b->farm.pieces[b->farm.npieces++];
	set_head(b, &p->head, name);
	p->needs = ARENA_ARRAY(&b->arena, ROOM_NEEDS, struct need);
	p->tasks = ARENA_ARRAY(&b->arena, ROOM_NEEDS, struct task);
	p->offers = ARENA_ARRAY(&b->arena, ROOM_NEEDS, struct offer);
	return p;
}

struct outlet *build_outlet(struct built *b, const char *name)
{
	assert_true(b->farm.noutlets < ROOM);
	struct outlet *o = &b->farm.outlets[b->farm.noutlets++];
	set_head(b, &o->head, name);
	return o;
}

struct item build_crop_item(const struct built *b, const struct crop *c)
{
	return (struct item){ KIND_CROP, (uint32_t)(c - b->farm.crops) };
}

struct item build_supply_item(const struct built *b, const struct supply *s)
{
	return (struct item){ KIND_SUPPLY, (uint32_t)(s - b->farm.supplies) };
}

struct item build_part_item(const struct built *b, const struct part *p)
{
	return (struct item){ KIND_PART, (uint32_t)(p - b->farm.parts) };
}

struct item build_piece_item(const struct built *b, const struct piece *p)
{
	return (struct item){ KIND_PIECE, (uint32_t)(p - b->farm.pieces) };
}

struct need_option *build_or(struct built *b, struct need *need, struct item item, int64_t num,
                             int64_t den)
{
	if (!need->options)
		need->options = ARENA_ARRAY(&b->arena, 4, struct need_option);
	assert_true(need->noptions < 4);
	struct need_option *o = &need->options[need->noptions++];
	o->item = item;
	assert_true(rat_make(&o->count, num, den));
	o->written = o->count;
	return o;
}

struct need_option *build_part_need(struct built *b, struct part *p, struct item item, int64_t num,
                                    int64_t den)
{
	assert_true(p->nneeds < ROOM_NEEDS);
	return build_or(b, &p->needs[p->nneeds++], item, num, den);
}

struct need_option *build_piece_need(struct built *b, struct piece *p, struct item item, int64_t num,
                                     int64_t den)
{
	assert_true(p->nneeds < ROOM_NEEDS);
	return build_or(b, &p->needs[p->nneeds++], item, num, den);
}

static struct task new_task(double seconds, double batch)
{
	struct task task = { .label = STR("work"), .seconds = build_fig(seconds) };
	if (batch > 0)
		task.batch = build_fig(batch);
	return task;
}

void build_part_task(struct built *b, struct part *p, double seconds, double batch)
{
	(void)b;
	assert_true(p->ntasks < ROOM_NEEDS);
	p->tasks[p->ntasks++] = new_task(seconds, batch);
}

void build_piece_task(struct built *b, struct piece *p, double seconds, double batch)
{
	(void)b;
	assert_true(p->ntasks < ROOM_NEEDS);
	p->tasks[p->ntasks++] = new_task(seconds, batch);
}

struct offer *build_offer(struct built *b, struct piece *p, const struct outlet *o, double price)
{
	assert_true(p->noffers < ROOM_NEEDS);
	struct offer *offer = &p->offers[p->noffers++];
	offer->outlet = (uint32_t)(o - b->farm.outlets);
	if (!isnan(price))
		offer->price = build_fig(price);
	return offer;
}

struct box *build_box(struct built *b, const char *id, struct item item, double count,
                      const char *boxed, const char *counted)
{
	assert_true(b->farm.nboxes < ROOM);
	struct box *box = &b->farm.boxes[b->farm.nboxes++];
	*box = (struct box){ .id = build_name(b, "%s", id), .item = item, .colour = NONE,
		             .line = (uint32_t)b->farm.nboxes + 1, .count = count, .price = NAN,
		             .boxed = build_day(boxed), .counted = build_day(counted),
		             .place = NONE };
	return box;
}

struct bed *build_bed(struct built *b, const struct crop *c, double cut, double fresh)
{
	assert_true(b->farm.nbeds < ROOM);
	struct bed *bed = &b->farm.beds[b->farm.nbeds++];
	*bed = (struct bed){ .crop = (uint32_t)(c - b->farm.crops), .colour = NONE,
		             .planted = DAY_NONE, .cut_hours = NAN, .dry_hours = NAN, .cut = cut,
		             .fresh = fresh, .boxed = NAN };
	return bed;
}

struct batch *build_batch(struct built *b, const struct crop *c, const struct bed *bed, double cut,
                          double boxed)
{
	assert_true(b->farm.nbatches < ROOM);
	struct batch *batch = &b->farm.batches[b->farm.nbatches++];
	*batch = (struct batch){ .crop = (uint32_t)(c - b->farm.crops),
		                 .bed = bed ? (uint32_t)(bed - b->farm.beds) : NONE, .colour = NONE,
		                 .cut_on = DAY_NONE, .hung_on = DAY_NONE, .boxed_on = DAY_NONE,
		                 .cut = cut, .hung = NAN, .boxed = boxed, .minutes = NAN };
	return batch;
}

struct order *build_order(struct built *b, const struct piece *p, double count, const char *sent)
{
	assert_true(b->farm.norders < ROOM);
	struct order *o = &b->farm.orders[b->farm.norders++];
	*o = (struct order){ .piece = (uint32_t)(p - b->farm.pieces), .outlet = NONE, .count = count,
		             .due = DAY_NONE, .price = NAN, .sent = build_day(sent) };
	return o;
}

struct log_entry *build_log(struct built *b, const char *on, enum event event, struct item item,
                            double count)
{
	assert_true(b->farm.nlog < ROOM);
	struct log_entry *e = &b->farm.log[b->farm.nlog++];
	*e = (struct log_entry){ .id = build_name(b, "e%zu", b->farm.nlog), .on = build_day(on),
		                 .event = event, .item = item, .count = count, .minutes = NAN,
		                 .box = NONE, .batch = NONE, .cause = NONE, .outlet = NONE, .price = NAN,
		                 .line = (uint32_t)b->farm.nlog + 1 };
	return e;
}

void build_drawn(struct built *b, struct log_entry *e, const struct box *box, double stems)
{
	if (!e->drawn)
		e->drawn = ARENA_ARRAY(&b->arena, 8, struct drawn);
	assert_true(e->ndrawn < 8);
	e->drawn[e->ndrawn++] = (struct drawn){ (uint32_t)(box - b->farm.boxes), stems };
}

bool build_said(const struct built *b, enum remark_kind kind, const char *part)
{
	for (size_t i = 0; i < b->remarks.n; i++) {
		if (b->remarks.items[i].kind == kind && strstr(b->remarks.items[i].text, part))
			return true;
	}
	return false;
}

double build_random(uint64_t *state)
{
	/* G. Marsaglia, "Xorshift RNGs", J. Stat. Software 8(14), 2003, with the multiplier
	 * of S. Vigna, ACM Trans. Math. Software 42(4), 2016; both from memory. */
	uint64_t x = *state ? *state : 0x9e3779b97f4a7c15u;
	x ^= x >> 12;
	x ^= x << 25;
	x ^= x >> 27;
	*state = x;
	return (double)((x * 0x2545f4914f6cdd1du) >> 11) / 9007199254740992.0;
}

/* test_reach_all.c - the most of each piece on small random farms, against trying
 * every plan there is.
 *
 * The trying knows the rules on its own account: classes from the boxes, losses,
 * whole stems, days, parts, reserves.  It calls nothing of src/reckon. */
#include "help_farm.h"

#include <math.h>

#include "farm/measure.h"
#include "reckon/reach.h"
#include "reckon/stock.h"

/* ---- trying everything ---- */

enum {
	CLASSES = 12,
	DAYS = 4,
	PARTS = 2,
	PIECES = 3,
	CROPS = 3,
	SUPPLIES = 1,
	SCALE = 6,
	COUNTED = 48,
	STEPS = 300000
};

struct lot { /* equal stems */
	uint32_t crop, colour;
	double length;
	int month, counted;
	double lives[DAYS];               /* share that is left on each day of use; 0 not usable */
	int16_t aside[DAYS][COUNTED + 1]; /* stems to set aside for so many used */
};
struct moving { /* what changes while trying; compared byte by byte */
	uint8_t used[CLASSES][DAYS];
	int16_t pool[PARTS], gross[PARTS], supply[SUPPLIES];
	int16_t makings;
	uint8_t day, maker, need, pad;
};
struct slot {
	struct moving key;
	uint32_t turn; /* filled in the can_make() of that turn */
};
struct trial {
	const struct farm *farm;
	struct lot lots[CLASSES];
	int nlots, ndays;
	day days[DAYS];
	int ordered[PIECES][DAYS], finished[PIECES];
	int left_alone[CROPS], in_all[CROPS];
	int shelf[SUPPLIES]; /* in 1/SCALE; -1: bought or not counted */
	bool no_buying;
	bool with[PIECES]; /* orders of which pieces count */
	int target, n, free_crop;
	struct moving now;
	struct slot *seen;
	size_t nseen, room;
	uint32_t *turn;
	long steps; /* of this piece; past STEPS the trying gives up */
};

static bool seen_before(struct trial *t)
{
	uint64_t h = 1469598103934665603u;
	const unsigned char *p = (const unsigned char *)&t->now;
	for (size_t i = 0; i < sizeof t->now; i++)
		h = (h ^ p[i]) * 1099511628211u;
	size_t at = (size_t)(h % t->room);
	while (t->seen[at].turn == *t->turn) {
		if (memcmp(&t->seen[at].key, &t->now, sizeof t->now) == 0)
			return true;
		at = (at + 1) % t->room;
	}
	assert_true(++t->nseen < t->room / 2);
	t->seen[at] = (struct slot){ t->now, *t->turn };
	return false;
}

static void fill_aside(struct lot *lot, int ndays)
{
	assert_true(lot->counted <= COUNTED);
	for (int d = 0; d < ndays; d++)
		for (int used = 0, z = 0; used <= COUNTED; used++) {
			while (z <= lot->counted && floor(z * lot->lives[d] * (1 + 1e-9)) < used)
				z++;
			lot->aside[d][used] = (int16_t)(z > lot->counted ? 10000 : z);
		}
}

static bool lots_suffice(const struct trial *t, uint32_t crop)
{
	int all = 0;
	for (int c = 0; c < t->nlots; c++) {
		int z = 0;
		if (t->lots[c].crop != crop)
			continue;
		for (int d = 0; d < t->ndays; d++)
			z += t->lots[c].aside[d][t->now.used[c][d]];
		if (z > t->lots[c].counted)
			return false;
		all += z;
	}
	return all <= t->in_all[crop] - t->left_alone[crop];
}

static bool serves(const struct lot *lot, const struct need_option *o, uint32_t one)
{
	bool listed = o->ncolours == 0;
	if (lot->crop != o->item.index)
		return false;
	for (size_t i = 0; i < o->ncolours; i++)
		listed = listed || (lot->colour != NONE && o->colours[i] == lot->colour);
	if (!listed || (o->one_colour && lot->colour != one))
		return false;
	if ((o->from > 0 || o->to > 0) && lot->length <= 0)
		return false;
	return lot->length >= o->from && (o->to <= 0 || lot->length <= o->to);
}

static bool next_maker(struct trial *t, int d, int maker);
static bool next_need(struct trial *t, int d, int maker, int m, size_t need);

static void recipe(const struct trial *t, int maker, const struct need **needs, size_t *n)
{
	const struct farm *f = t->farm;
	int part = maker - (int)f->npieces;
	*needs = part < 0 ? f->pieces[maker].needs : f->parts[part].needs;
	*n = part < 0 ? f->pieces[maker].nneeds : f->parts[part].nneeds;
}

struct way { /* a place in the trying: a need, an option, a colour of it */
	int d, maker, m;
	size_t need, option;
	uint32_t colour;
};

static bool try_way(struct trial *t, struct way w, int left);

/* The next colour of the same option, else the next option. */
static bool after_way(struct trial *t, struct way w, int left)
{
	const struct need *needs;
	size_t n;
	recipe(t, w.maker, &needs, &n);
	const struct need_option *o = &needs[w.need].options[w.option];
	if (o->one_colour && w.colour + 1 < t->farm->ncolours) {
		w.colour++;
		return try_way(t, w, left);
	}
	w.option++;
	w.colour = 0;
	if (w.option < needs[w.need].noptions)
		return try_way(t, w, left);
	return left == 0 && next_need(t, w.d, w.maker, w.m, w.need + 1);
}

/* `stems` more from lots c and on. */
static bool take_stems(struct trial *t, struct way w, int left, int stems, int c)
{
	const struct need *needs;
	size_t n;
	if (++t->steps > STEPS)
		return true; /* whatever: nobody will look at it */
	if (stems == 0)
		return after_way(t, w, left);
	if (c == t->nlots)
		return false;
	recipe(t, w.maker, &needs, &n);
	const struct need_option *o = &needs[w.need].options[w.option];
	if (!serves(&t->lots[c], o, w.colour) || t->lots[c].lives[w.d] <= 0)
		return take_stems(t, w, left, stems, c + 1);
	uint8_t *used = &t->now.used[c][w.d], before = *used;
	for (int take = 0; take <= stems && before + take <= t->lots[c].counted; take++) {
		*used = (uint8_t)(before + take);
		bool fits = take == 0 || lots_suffice(t, t->lots[c].crop);
		if (fits && take_stems(t, w, left, stems - take, c + 1))
			return true;
		if (!fits)
			break;
	}
	*used = before;
	return false;
}

static int whole_stems(const struct trial *t, const struct need_option *o, int makings)
{
	int64_t keeps = llround((1 - t->farm->crops[o->item.index].loss[STAGE_BENCH].v) * 1000);
	int64_t up = makings * o->count.num * 1000, by = o->count.den * keeps;
	return (int)((up + by - 1) / by);
}

/* k makings this way, for every k that leaves a rest. */
static bool try_way(struct trial *t, struct way w, int left)
{
	const struct need *needs;
	size_t n;
	recipe(t, w.maker, &needs, &n);
	const struct need_option *o = &needs[w.need].options[w.option];
	uint32_t i = o->item.index;
	int each = (int)(o->count.num * SCALE / o->count.den);
	for (int k = left; k >= 0; k--) {
		if (o->item.kind == KIND_CROP && (int)i != t->free_crop) {
			if (take_stems(t, w, left - k, k ? whole_stems(t, o, k) : 0, 0))
				return true;
			continue;
		}
		if (o->item.kind == KIND_SUPPLY && t->shelf[i] >= 0 &&
		    t->now.supply[i] + k * each > t->shelf[i])
			continue;
		int16_t *sum = o->item.kind == KIND_PART     ? &t->now.gross[i]
			       : o->item.kind == KIND_SUPPLY ? &t->now.supply[i]
							     : NULL;
		if (sum)
			*sum = (int16_t)(*sum + k * each);
		if (after_way(t, w, left - k))
			return true;
		if (sum)
			*sum = (int16_t)(*sum - k * each);
	}
	return false;
}

static bool next_need(struct trial *t, int d, int maker, int m, size_t need)
{
	const struct need *needs;
	size_t n;
	recipe(t, maker, &needs, &n);
	if (m == 0 || need == n)
		return next_maker(t, d, maker + 1);
	t->now.day = (uint8_t)d;
	t->now.maker = (uint8_t)maker;
	t->now.need = (uint8_t)need;
	t->now.makings = (int16_t)m;
	if (seen_before(t))
		return false;
	struct moving before = t->now;
	if (try_way(t, (struct way){ d, maker, m, need, 0, 0 }, m))
		return true;
	t->now = before;
	return false;
}

/* Parts: on no day more than it takes, rounded up; what is over waits. */
static bool try_part(struct trial *t, int d, int maker)
{
	int part = maker - (int)t->farm->npieces, gross = t->now.gross[part],
	    pool = t->now.pool[part];
	struct rat r = t->farm->parts[part].makes;
	int makes = (int)(r.num * SCALE / r.den), most = (gross + makes - 1) / makes;
	for (int m = 0; m <= most; m++) {
		if (pool + m * makes < gross)
			continue;
		t->now.pool[part] = (int16_t)(pool + m * makes - gross);
		t->now.gross[part] = 0;
		if (next_need(t, d, maker, m, 0))
			return true;
	}
	t->now.pool[part] = (int16_t)pool;
	t->now.gross[part] = (int16_t)gross;
	return false;
}

static bool next_maker(struct trial *t, int d, int maker)
{
	if (maker == (int)(t->farm->npieces + t->farm->nparts)) {
		if (d + 1 == t->ndays)
			return true;
		return next_maker(t, d + 1, 0);
	}
	if (maker >= (int)t->farm->npieces)
		return try_part(t, d, maker);
	int m = t->with[maker] ? t->ordered[maker][d] : 0;
	if (d == 0 && maker == t->target)
		m += t->n;
	return next_need(t, d, maker, m, 0);
}

static bool can_make(struct trial *t, int target, int n)
{
	memset(&t->now, 0, sizeof t->now);
	++*t->turn;
	t->nseen = 0;
	t->target = target;
	t->n = n;
	for (size_t i = 0; i < t->farm->nparts; i++) {
		double on_hand = 0;
		for (size_t b = 0; b < t->farm->nboxes; b++)
			if (t->farm->boxes[b].item.kind == KIND_PART &&
			    t->farm->boxes[b].item.index == i)
				on_hand += t->farm->boxes[b].count;
		t->now.pool[i] = (int16_t)(on_hand * SCALE);
	}
	return next_maker(t, 0, 0);
}

/* ---- the farm as the trying sees it ---- */

static double lives(const struct farm *f, const struct box *b, day use)
{
	const struct crop *c = &f->crops[b->item.index];
	double months = (use - b->counted) / (365.25 / 12);
	if (c->keeps.v > 0 && (use - b->boxed) / (365.25 / 12) > c->keeps.v)
		return 0;
	return pow(1 - c->loss[STAGE_STORAGE].v, months);
}

/* All boxes of a crop are counted on one day, so that equal stems live alike. */
static void lay_out(struct trial *t, day on)
{
	const struct farm *f = t->farm;
	for (size_t i = 0; i < f->nboxes; i++) {
		const struct box *b = &f->boxes[i];
		struct civil boxed = date_civil(b->boxed == DAY_NONE ? 0 : b->boxed);
		int month = boxed.year * 12 + boxed.month, c = 0;
		if (b->item.kind != KIND_CROP || lives(f, b, on) <= 0)
			continue;
		while (c < t->nlots &&
		       (t->lots[c].crop != b->item.index || t->lots[c].colour != b->colour ||
			t->lots[c].length != (double)b->length || t->lots[c].month != month))
			c++;
		assert_true(c < CLASSES);
		if (c == t->nlots) {
			t->lots[t->nlots++] = (struct lot){ .crop = b->item.index,
							    .colour = b->colour,
							    .length = (double)b->length,
							    .month = month };
			for (int d = 0; d < t->ndays; d++)
				t->lots[c].lives[d] = 1;
		}
		t->lots[c].counted += (int)b->count;
		t->in_all[b->item.index] += (int)b->count;
		for (int d = 0; d < t->ndays; d++)
			t->lots[c].lives[d] = fmin(t->lots[c].lives[d], lives(f, b, t->days[d]));
	}
	for (int c = 0; c < t->nlots; c++)
		fill_aside(&t->lots[c], t->ndays);
	for (size_t i = 0; i < f->ncrops; i++)
		t->left_alone[i] = (int)f->crops[i].reserve.v;
}

static void shelves(struct trial *t)
{
	const struct farm *f = t->farm;
	for (size_t i = 0; i < f->nsupplies; i++) {
		t->shelf[i] = -1;
		for (size_t b = 0; b < f->nboxes; b++)
			if (t->no_buying && f->boxes[b].item.kind == KIND_SUPPLY &&
			    f->boxes[b].item.index == i)
				t->shelf[i] = (t->shelf[i] < 0 ? 0 : t->shelf[i]) +
					      (int)(f->boxes[b].count * SCALE);
	}
	for (size_t b = 0; b < f->nboxes; b++)
		if (f->boxes[b].item.kind == KIND_PIECE)
			t->finished[f->boxes[b].item.index] += (int)f->boxes[b].count;
}

static int late_first(const void *x, const void *y)
{
	const day *a = x, *b = y;
	return (*a > *b) - (*a < *b);
}

/* Orders in the order of their days; finished pieces go to them first. */
static void orders(struct trial *t, day on)
{
	const struct farm *f = t->farm;
	t->days[t->ndays++] = on;
	for (size_t i = 0; i < f->norders; i++)
		if (f->orders[i].due > on)
			t->days[t->ndays++] = f->orders[i].due;
	qsort(t->days, (size_t)t->ndays, sizeof t->days[0], late_first);
	int n = 1;
	for (int d = 1; d < t->ndays; d++)
		if (t->days[d] != t->days[n - 1])
			t->days[n++] = t->days[d];
	t->ndays = n;
	for (int d = 0; d < t->ndays; d++)
		for (size_t i = 0; i < f->norders; i++) {
			day due = f->orders[i].due > on ? f->orders[i].due : on;
			uint32_t p = f->orders[i].piece;
			if (due != t->days[d])
				continue;
			for (int k = 0; k < (int)f->orders[i].count; k++) {
				if (t->finished[p] > 0)
					t->finished[p]--;
				else
					t->ordered[p][d]++;
			}
		}
}

/* Bits of all crops, parts and (where it matters) supplies that may go into a maker. */
static unsigned touches(const struct trial *t, int maker)
{
	const struct need *needs;
	size_t n;
	unsigned bits = 0;
	recipe(t, maker, &needs, &n);
	for (size_t i = 0; i < n; i++)
		for (size_t k = 0; k < needs[i].noptions; k++) {
			struct item it = needs[i].options[k].item;
			if (it.kind == KIND_CROP)
				bits |= 1u << it.index;
			if (it.kind == KIND_PART)
				bits |= 1u << (8 + it.index) |
					touches(t, (int)(t->farm->npieces + it.index));
			if (it.kind == KIND_SUPPLY && t->no_buying)
				bits |= 1u << (16 + it.index);
		}
	return bits;
}

/* Orders count that share something with the piece, or with an order that does. */
static void choose_orders(struct trial *t, int target)
{
	unsigned bits = touches(t, target);
	memset(t->with, 0, sizeof t->with);
	t->with[target] = true;
	for (int pass = 0; pass < PIECES; pass++)
		for (size_t i = 0; i < t->farm->npieces; i++) {
			bool any = false;
			for (int d = 0; d < t->ndays; d++)
				any = any || t->ordered[i][d] > 0;
			if (any && (touches(t, (int)i) & bits)) {
				t->with[i] = true;
				bits |= touches(t, (int)i);
			}
		}
}

/* ---- farms by chance ---- */

static int dice(uint64_t *seed, int lo, int hi)
{
	return lo + (int)floor(build_random(seed) * (hi - lo + 1));
}

static void random_option(struct built *b, struct need *need, uint64_t *seed, size_t first_part,
			  bool small)
{
	static const int64_t counts[][2] = { { 1, 1 }, { 2, 1 }, { 3, 1 }, { 1, 3 },
					     { 2, 3 }, { 1, 2 }, { 3, 2 } };
	const struct farm *f = &b->farm;
	int what = dice(seed, 0, 9), c = dice(seed, 0, 6);
	if (small && c < 3)
		c = dice(seed, 0, 6);
	if (what == 0 && f->nsupplies > 0) {
		build_or(b, need, (struct item){ KIND_SUPPLY, 0 }, counts[c][0], counts[c][1]);
		return;
	}
	if (what <= 3 && first_part < f->nparts) {
		uint32_t part = (uint32_t)dice(seed, (int)first_part, (int)f->nparts - 1);
		build_or(b, need, (struct item){ KIND_PART, part }, counts[c][0], counts[c][1]);
		return;
	}
	uint32_t crop = (uint32_t)dice(seed, 0, (int)f->ncrops - 1);
	struct need_option *o =
	    build_or(b, need, (struct item){ KIND_CROP, crop }, counts[c][0], counts[c][1]);
	int colours = dice(seed, 0, 5);
	if (colours >= 3) {
		o->colours = ARENA_ARRAY(&b->arena, 2, uint32_t);
		o->ncolours = colours == 3 ? 1 : 2;
		o->colours[0] = (uint32_t)(colours == 3 ? dice(seed, 0, 1) : 0);
		o->colours[1] = 1;
		o->one_colour = colours == 5;
	}
	int lengths = dice(seed, 0, 5);
	o->from = lengths == 4 ? 250 : lengths == 5 ? 350 : 0;
	o->to = lengths == 3 ? 350 : 0;
}

static void random_needs(struct built *b, struct need *needs, size_t *n, int most, uint64_t *seed,
			 size_t first_part)
{
	*n = (size_t)dice(seed, 1, most);
	for (size_t i = 0; i < *n; i++) {
		random_option(b, &needs[i], seed, first_part, true);
		if (dice(seed, 0, 2) == 0)
			random_option(b, &needs[i], seed, first_part, true);
	}
}

static void random_boxes(struct built *b, uint64_t *seed)
{
	static const char *const boxed[] = { "2026-08-10", "2026-08-20", "2026-09-15" };
	struct farm *f = &b->farm;
	for (uint32_t c = 0; c < f->ncrops; c++) {
		int n = dice(seed, 1, 3);
		for (int i = 0; i < n; i++) {
			struct box *box =
			    build_box(b, "box", (struct item){ KIND_CROP, c }, dice(seed, 3, 12),
				      boxed[dice(seed, 0, 2)], "2026-10-20");
			box->colour = dice(seed, 0, 4) ? (uint32_t)dice(seed, 0, 1) : NONE;
			box->length =
			    (float)(dice(seed, 0, 3) * 100 + 100) * (dice(seed, 0, 5) ? 1 : 0);
		}
	}
	for (uint32_t p = 0; p < f->nparts; p++)
		if (dice(seed, 0, 1))
			build_box(b, "parts", (struct item){ KIND_PART, p }, dice(seed, 0, 6) / 2.0,
				  NULL, "2026-10-20");
	for (uint32_t p = 0; p < f->npieces; p++)
		if (dice(seed, 0, 3) == 0)
			build_box(b, "pieces", (struct item){ KIND_PIECE, p }, dice(seed, 1, 2),
				  NULL, "2026-10-20");
	if (f->nsupplies && dice(seed, 0, 2))
		build_box(b, "wire", (struct item){ KIND_SUPPLY, 0 }, dice(seed, 0, 8), NULL,
			  "2026-10-20");
}

static void random_farm(struct built *b, uint64_t *seed)
{
	static const double bench[] = { 0, 0.04, 0.1, 0.125, 0.333 },
			    storage[] = { 0, 0.01, 0.05, 0.1 };
	static const char *const due[] = { NULL,         "2026-11-01", "2026-11-25",
					   "2026-12-20", "2027-02-10", "2027-03-01" };
	static const int64_t makes[][2] = { { 1, 1 }, { 1, 1 }, { 2, 1 }, { 3, 1 }, { 3, 2 } };
	build_start(b);
	struct farm *f = &b->farm;
	f->ncolours = 2;
	int crops = dice(seed, 1, 3), parts = dice(seed, 0, 2), pieces = dice(seed, 1, 3),
	    n = dice(seed, 0, 2);
	for (int i = 0; i < crops; i++) {
		struct crop *c = build_crop(b, build_name(b, "crop %d", i).p);
		c->loss[STAGE_BENCH] = build_fig(bench[dice(seed, 0, 4)]);
		c->loss[STAGE_STORAGE] = build_fig(storage[dice(seed, 0, 3)]);
		if (dice(seed, 0, 5) == 0)
			c->reserve = build_fig(dice(seed, 1, 3));
		if (dice(seed, 0, 4) == 0)
			c->keeps = build_fig(dice(seed, 3, 6));
		if (dice(seed, 0, 1))
			build_or(b, ARENA_NEW(&b->arena, struct need),
				 (struct item){ KIND_CROP, 0 }, 1, 1);
	}
	if (dice(seed, 0, 1))
		build_supply(b, "wire", 1);
	for (int i = 0; i < parts; i++)
		build_part(b, build_name(b, "part %d", i).p);
	for (int i = 0; i < parts; i++) {
		const int64_t *m = makes[dice(seed, 0, 4)];
		assert_true(rat_make(&f->parts[i].makes, m[0], m[1]));
		random_needs(b, f->parts[i].needs, &f->parts[i].nneeds, 2, seed, (size_t)i + 1);
	}
	for (int i = 0; i < pieces; i++) {
		struct piece *p = build_piece(b, build_name(b, "piece %d", i).p);
		random_needs(b, p->needs, &p->nneeds, 3, seed, 0);
	}
	random_boxes(b, seed);
	for (int i = 0; i < n; i++)
		build_order(b, &f->pieces[dice(seed, 0, pieces - 1)], dice(seed, 1, 5) / 4 + 1,
			    NULL)
		    ->due = build_day(due[dice(seed, 0, 5)]);
	build_done(b);
	for (size_t i = 0; i < f->nparts; i++) { /* a part is made of later ones only */
		f->part_order[i] = (uint32_t)i;
		f->parts[i].level = (uint32_t)i + 1;
	}
}

/* ---- comparing ---- */

enum { MOST_TRIED = 24, FARMS = 600 };

struct tally {
	int farms, pieces, given_up, endless, zero, shorts, stops, together, mores;
};

/* The most, `from` or more; -1 when there is none, -2 when it is more than is tried.
 * From the top: what a making leaves over can let 7 be made where 6 cannot. */
static int most_by_trying(struct trial *t, int target, int from)
{
	if (can_make(t, target, MOST_TRIED))
		return -2;
	for (int n = MOST_TRIED - 1; n >= from; n--)
		if (can_make(t, target, n))
			return n;
	return -1;
}

static bool endless(const struct trial *t, int maker)
{
	const struct need *needs;
	size_t n;
	recipe(t, maker, &needs, &n);
	for (size_t i = 0; i < n; i++) {
		bool open = false;
		for (size_t k = 0; k < needs[i].noptions; k++) {
			struct item it = needs[i].options[k].item;
			open = open || (it.kind == KIND_CROP && (int)it.index == t->free_crop) ||
			       (it.kind == KIND_SUPPLY && t->shelf[it.index] < 0) ||
			       (it.kind == KIND_PART &&
				endless(t, (int)(t->farm->npieces + it.index)));
		}
		if (!open)
			return false;
	}
	return true;
}

static bool is_stop(const struct reach_piece *p, uint32_t crop)
{
	for (size_t i = 0; i < p->nstops; i++)
		if (p->stops[i].kind == KIND_CROP && p->stops[i].index == crop)
			return true;
	return false;
}

/* A crop stops a piece when more can be made with no end of it. */
static void compare_stops(struct trial *t, int target, const struct reach_piece *got,
			  struct tally *tally)
{
	for (uint32_t c = 0; c < t->farm->ncrops; c++) {
		t->free_crop = (int)c;
		bool more =
		    endless(t, target) || most_by_trying(t, target, (int)got->most + 1) != -1;
		t->free_crop = -1;
		if (t->steps > STEPS)
			return;
		if (got->together || got->nstops == REACH_STOPS_MOST)
			assert_true(!(got->together && more));
		else
			assert_int_equal(is_stop(got, c), more);
	}
	tally->stops += got->nstops > 0;
	tally->together += got->together;
}

/* One bunch of each colour and length there could be, and the best of them. */
static void compare_more(struct trial *t, int target, const struct reach_piece *got,
			 struct tally *tally)
{
	if (got->nstops == 0 || got->together || got->stops[0].kind != KIND_CROP)
		return;
	uint32_t crop = got->stops[0].index;
	static const double lengths[] = { 0, 150, 250, 300, 350, 400 };
	int best = (int)got->most;
	t->in_all[crop] += 3;
	struct lot *lot = &t->lots[t->nlots++];
	for (uint32_t colour = 0; colour < 3; colour++)
		for (size_t i = 0; i < COUNT(lengths); i++) {
			*lot = (struct lot){ .crop = crop,
					     .colour = colour == 2 ? NONE : colour,
					     .length = lengths[i],
					     .counted = 3 };
			for (int d = 0; d < t->ndays; d++)
				lot->lives[d] = pow(1 - t->farm->crops[crop].loss[STAGE_STORAGE].v,
						    (t->days[d] - t->days[0]) / (365.25 / 12));
			fill_aside(lot, t->ndays);
			int most = most_by_trying(t, target, best + 1);
			best = most == -2 ? MOST_TRIED : most > best ? most : best;
		}
	t->nlots--;
	t->in_all[crop] -= 3;
	if (best >= MOST_TRIED || got->most + got->more >= MOST_TRIED || t->steps > STEPS)
		return;
	assert_near(got->more_by, 3);
	assert_int_equal(got->more, best - got->most);
	tally->mores++;
}

/* The list says that a number is possible when it is. */
static void compare_list(struct trial *t, int target, int count, struct built *b,
			 const struct stock *stock, const struct reach_options *options)
{
	struct reach_list list;
	assert_int_equal(reach_list(&list, &b->farm, stock, (uint32_t)target, count, options,
				    &b->arena, &b->diag),
			 0);
	bool can = can_make(t, target, count), missing = false;
	if (t->steps > STEPS)
		return;
	assert_int_equal(list.possible, can);
	for (size_t i = 0; i < list.n; i++) {
		const struct list_line *l = &list.lines[i];
		if (l->item.kind == KIND_PART)
			continue;
		double wanted = l->item.kind == KIND_CROP ? l->whole : rat_double(l->needed);
		assert_true(isnan(l->on_hand) || l->on_hand + l->missing >= wanted - 1e-9);
		missing = missing || (l->missing > 0 &&
				      (l->item.kind == KIND_CROP || t->shelf[l->item.index] >= 0));
	}
	assert_int_equal(missing, !can);
}

static void bunches_of_three(struct built *b)
{
	for (size_t i = 0; i < b->farm.ncrops; i++) {
		struct measure *m = ARENA_NEW(&b->arena, struct measure);
		*m = (struct measure){ .word = STR("bunch"), .q = { 3, 1 }, .unit = STR("stem") };
		b->farm.crops[i].head.measures = m;
		b->farm.crops[i].head.nmeasures = 1;
	}
}

static void compare_farm(uint64_t seed, struct slot *seen, size_t room, uint32_t *turn,
			 struct tally *tally)
{
	struct built b;
	struct stock stock;
	struct reach reach;
	random_farm(&b, &seed);
	day on = build_day("2026-11-25");
	struct reach_options options = { .no_buying = dice(&seed, 0, 2) == 0 };
	bunches_of_three(&b);
	stock_take(&stock, &b.farm, on, false, NULL, &b.arena, &b.remarks);
	assert_int_equal(
	    reach_reckon(&reach, &b.farm, &stock, &options, &b.arena, &b.remarks, &b.diag), 0);
	struct trial t = { .farm = &b.farm,
			   .no_buying = options.no_buying,
			   .free_crop = -1,
			   .seen = seen,
			   .room = room,
			   .turn = turn };
	shelves(&t);
	orders(&t, on);
	lay_out(&t, on);
	bool any_short = false;
	for (int i = 0; i < (int)b.farm.npieces; i++) {
		const struct reach_piece *got = &reach.pieces[i];
		assert_int_equal((int)got->finished, t.finished[i]);
		tally->pieces++;
		if (endless(&t, i)) {
			assert_int_equal(got->state, REACH_ENDLESS);
			tally->endless++;
			continue;
		}
		choose_orders(&t, i);
		t.steps = 0;
		int most = most_by_trying(&t, i, 0);
		if (t.steps > STEPS) {
			tally->given_up++;
			continue;
		}
		if (most == -2 || got->most >= MOST_TRIED) {
			assert_int_equal(got->state, REACH_FOUND);
			assert_true(got->most >= MOST_TRIED && can_make(&t, i, (int)got->most));
			continue;
		}
		assert_int_equal(got->state, most < 0 ? REACH_ORDERS_SHORT : REACH_FOUND);
		assert_int_equal(got->most, most < 0 ? 0 : most);
		assert_int_equal(got->upper, got->most);
		tally->zero += most == 0;
		tally->shorts += most < 0;
		any_short = any_short || most < 0;
		compare_list(&t, i, most < 0 ? 0 : most, &b, &stock, &options);
		compare_list(&t, i, most + 1, &b, &stock, &options);
		if (most < 0)
			continue;
		compare_stops(&t, i, got, tally);
		compare_more(&t, i, got, tally);
	}
	if (any_short)
		assert_true(reach.nshorts > 0);
	tally->farms++;
	build_end(&b);
}

static void random_farms_match_trying_all(void **state)
{
	(void)state;
	struct tally tally = { 0 };
	size_t room = (size_t)1 << 20;
	struct slot *seen = calloc(room, sizeof *seen);
	uint32_t turn = 0;
	assert_non_null(seen);
	for (uint64_t seed = 1; seed <= FARMS; seed++) {
		compare_farm(seed * 0x9e3779b97f4a7c15u, seen, room, &turn, &tally);
	}
	free(seen);
	print_message("%d farms, %d pieces: %d too rich to try, %d endless, %d none, %d orders "
		      "short, %d stopped by one, "
		      "%d by several together, %d bunches\n",
		      tally.farms, tally.pieces, tally.given_up, tally.endless, tally.zero,
		      tally.shorts, tally.stops, tally.together, tally.mores);
	assert_true(tally.farms >= 500 &&
		    tally.pieces - tally.given_up - tally.endless - tally.zero - tally.shorts >=
			300);
	assert_true(tally.shorts >= 20 && tally.together >= 5 && tally.mores >= 100);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(random_farms_match_trying_all),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* test_pull.c - pull lists: cases by hand, and many small farms by chance whose lists
 * are checked line by line.
 *
 * The checking knows the rules on its own account - recipes, losses, whole stems,
 * boxes, days, parts on the shelf - and calls nothing that the list was made with. */
#include "help_farm.h"

#include <math.h>
#include <stdio.h>

#include "reckon/pull.h"
#include "reckon/reach.h"

static const char *const TODAY = "2026-11-25";
enum { DAYS_MOST = 16, BOXES_MOST = 64, PARTS_MOST = 4 };
#define MONTH (365.25 / 12)
#define NEAR  1e-6

/* ---- the checker ---- */

struct checking {
	const struct farm *f;
	const struct pull *pull;
	day on;
	bool no_buying;
	int64_t taken[BOXES_MOST][DAYS_MOST]; /* per box and day */
	day days[DAYS_MOST];
	size_t ndays;
};

static size_t day_at(struct checking *c, day on)
{
	size_t d = 0;
	while (d < c->ndays && c->days[d] != on)
		d++;
	assert_true(d < DAYS_MOST);
	if (d == c->ndays)
		c->days[c->ndays++] = on;
	return d;
}

static double kept_share(const struct crop *crop, double days)
{
	return days > 0 ? pow(1 - crop->loss[STAGE_STORAGE].v, days / MONTH) : 1;
}

static double good_on(const struct farm *f, const struct box *b, day on)
{
	return b->count * kept_share(&f->crops[b->item.index], on - b->counted);
}

static bool too_old(const struct farm *f, const struct box *b, day on)
{
	double keeps = f->crops[b->item.index].keeps.v;
	return keeps > 0 && (on - b->boxed) / MONTH > keeps;
}

static bool may_serve(const struct farm *f, const struct box *b, const struct need_option *o, day on)
{
	bool listed = o->ncolours == 0;
	double length = (double)b->length;
	if (b->item.kind != KIND_CROP || b->item.index != o->item.index || too_old(f, b, on))
		return false;
	for (size_t i = 0; i < o->ncolours; i++)
		listed = listed || o->colours[i] == b->colour;
	if (!listed || (b->colour == NONE && (o->ncolours > 0 || o->one_colour)))
		return false;
	if ((o->from > 0 || o->to > 0) && length <= 0)
		return false;
	return length >= o->from && (o->to <= 0 || length <= o->to);
}

static const struct need *needs_of(const struct farm *f, struct item item, size_t *n)
{
	bool piece = item.kind == KIND_PIECE;
	*n = piece ? f->pieces[item.index].nneeds : f->parts[item.index].nneeds;
	return piece ? f->pieces[item.index].needs : f->parts[item.index].needs;
}

/* ceil(makings x count / (1-b)), b in thousandths. */
static int64_t whole_stems(const struct farm *f, const struct need_option *o, int64_t makings)
{
	int64_t stays = 1000 - llround(f->crops[o->item.index].loss[STAGE_BENCH].v * 1000);
	int64_t num = makings * o->count.num * 1000, den = o->count.den * stays;
	return (num + den - 1) / den;
}

static bool same_way(const struct need_option *o, const struct pull_line *a,
		     const struct pull_line *b)
{
	return a->need == b->need && a->option == b->option &&
	       (!o->one_colour || a->colour == b->colour);
}

/* All ways of each need make up the run; each way has its whole stems, its amount. */
static void check_run(struct checking *c, const struct pull_run *run)
{
	size_t n;
	const struct need *needs = needs_of(c->f, run->item, &n);
	const struct pull_line *lines = &c->pull->lines[run->first];
	for (size_t need = 0; need < n; need++) {
		int64_t made = 0;
		for (size_t i = 0; i < run->nlines; i++) {
			const struct need_option *o = &needs[need].options[lines[i].option];
			int64_t stems = 0;
			bool first = true;
			if (lines[i].need != need)
				continue;
			for (size_t k = 0; k < run->nlines; k++) {
				if (!same_way(o, &lines[i], &lines[k]))
					continue;
				assert_int_equal(lines[k].makings, lines[i].makings);
				stems += lines[k].stems;
				first = first && k >= i;
			}
			if (!first)
				continue;
			made += lines[i].makings;
			if (o->item.kind == KIND_CROP)
				assert_int_equal(stems, whole_stems(c->f, o, lines[i].makings));
			else
				assert_near(rat_double(lines[i].amount),
					    (double)lines[i].makings * rat_double(o->count));
		}
		assert_int_equal(made, run->count);
	}
}

static void check_line(struct checking *c, size_t run, const struct pull_line *line)
{
	size_t n;
	const struct pull_run *r = &c->pull->runs[run];
	const struct need *needs = needs_of(c->f, r->item, &n);
	assert_true(line->run == run && line->need < n &&
		    line->option < needs[line->need].noptions);
	const struct need_option *o = &needs[line->need].options[line->option];
	assert_true(o->item.kind == line->item.kind && o->item.index == line->item.index);
	if (line->kind != PULL_STEMS) {
		assert_true(line->box == NONE);
		return;
	}
	assert_true(line->stems > 0 && line->box < c->f->nboxes);
	assert_true(may_serve(c->f, &c->f->boxes[line->box], o, r->on));
	assert_true(line->colour == c->f->boxes[line->box].colour);
	c->taken[line->box][day_at(c, r->on)] += line->stems;
}

/* Boxes of equal stems: crop, colour, length, month. */
static bool alike(const struct box *a, const struct box *b)
{
	struct civil x = date_civil(a->boxed), y = date_civil(b->boxed);
	return b->item.kind == KIND_CROP && a->item.index == b->item.index &&
	       a->colour == b->colour && a->length >= b->length && a->length <= b->length &&
	       x.year == y.year && x.month == y.month;
}

/* Stems that must be set aside of the class of box i, for all days. */
static int64_t set_aside(struct checking *c, size_t i)
{
	const struct farm *f = c->f;
	const struct box *box = &f->boxes[i];
	double counted = 0, good = 0;
	int64_t sum = 0;
	for (size_t k = 0; k < f->nboxes; k++)
		if (alike(box, &f->boxes[k]) && !too_old(f, &f->boxes[k], c->on)) {
			counted += f->boxes[k].count;
			good += good_on(f, &f->boxes[k], c->on);
		}
	for (size_t d = 0; d < c->ndays; d++) {
		double keep = counted > 0 ? good / counted : 1;
		int64_t used = 0, z = 0;
		keep *= kept_share(&f->crops[box->item.index], c->days[d] - c->on);
		for (size_t k = 0; k < f->nboxes; k++)
			if (alike(box, &f->boxes[k]))
				used += c->taken[k][d];
		while (floor((double)z * keep * (1 + 1e-9)) < (double)used)
			assert_true((double)++z <= counted);
		sum += z;
	}
	assert_true((double)sum <= counted);
	return sum;
}

static void check_boxes(struct checking *c)
{
	const struct farm *f = c->f;
	for (uint32_t crop = 0; crop < f->ncrops; crop++) {
		double aside = 0, counted = 0;
		for (size_t i = 0; i < f->nboxes; i++) {
			const struct box *b = &f->boxes[i];
			bool first = true;
			if (b->item.kind != KIND_CROP || b->item.index != crop ||
			    too_old(f, b, c->on))
				continue;
			counted += b->count;
			for (size_t k = 0; k < i; k++)
				first = first && !(alike(b, &f->boxes[k]) &&
						   !too_old(f, &f->boxes[k], c->on));
			if (first)
				aside += (double)set_aside(c, i);
		}
		assert_true(aside == 0 || aside <= counted - ceil(f->crops[crop].reserve.v));
	}
	for (size_t i = 0; i < f->nboxes; i++) {
		const struct box *b = &f->boxes[i];
		int64_t sum = 0, days = 0;
		double was = 0, worst = 1;
		for (size_t d = 0; d < c->ndays; d++) {
			if (c->taken[i][d] == 0)
				continue;
			double keep = good_on(f, b, c->days[d]) / b->count;
			sum += c->taken[i][d];
			days++;
			was += (double)c->taken[i][d] / keep;
			worst = fmin(worst, keep);
			if (days == 1 && c->ndays == 1)
				assert_true((double)sum <= ceil(good_on(f, b, c->days[d]) - NEAR));
		}
		assert_true((double)sum <= b->count);           /* never more than is in it */
		assert_true(was <= b->count + 2 / worst + NEAR); /* nor than is good */
	}
}

static double shelf(const struct farm *f, enum kind kind, uint32_t index, bool *counted)
{
	double sum = 0;
	*counted = false;
	for (size_t i = 0; i < f->nboxes; i++)
		if (f->boxes[i].item.kind == kind && f->boxes[i].item.index == index) {
			sum += f->boxes[i].count;
			*counted = true;
		}
	return sum;
}

/* Runs come by day; what a day takes of a part is ready or made by then. */
static void check_parts(struct checking *c)
{
	const struct pull *p = c->pull;
	bool counted;
	double pool[PARTS_MOST];
	for (uint32_t i = 0; i < c->f->nparts; i++)
		pool[i] = shelf(c->f, KIND_PART, i, &counted);
	for (size_t r = 0; r < p->nruns; r++) {
		const struct pull_run *run = &p->runs[r];
		assert_true(r == 0 || p->runs[r - 1].on <= run->on);
		for (size_t i = run->first; i < run->first + run->nlines; i++) {
			const struct pull_line *line = &p->lines[i];
			bool made = false;
			if (line->kind != PULL_PART)
				continue;
			for (size_t k = 0; k < r; k++) /* before it, on the same day */
				made = made || (p->runs[k].item.kind == KIND_PART &&
						p->runs[k].item.index == line->item.index &&
						p->runs[k].on == run->on &&
						(p->runs[k].listed || !run->listed));
			assert_true(made);
		}
		if (run->item.kind != KIND_PART)
			continue;
		uint32_t part = run->item.index;
		double wanted = 0, gives = (double)run->count * rat_double(c->f->parts[part].makes);
		for (size_t i = 0; i < p->nlines; i++)
			if (p->lines[i].kind == PULL_PART && p->lines[i].item.index == part &&
			    p->runs[p->lines[i].run].on == run->on)
				wanted += rat_double(p->lines[i].amount);
		assert_near_by(rat_double(run->wanted), wanted, 1e-9, 1e-9);
		assert_near_by(rat_double(run->gives), gives, 1e-9, 1e-9);
		assert_true(rat_double(run->ready) <= pool[part] + NEAR);
		assert_true(rat_double(run->ready) + gives >= wanted - NEAR);
		pool[part] += gives - wanted;
		assert_true(pool[part] >= -NEAR);
	}
}

static void check_supplies(struct checking *c)
{
	const struct pull *p = c->pull;
	for (uint32_t s = 0; s < c->f->nsupplies; s++) {
		bool counted;
		double on_hand = shelf(c->f, KIND_SUPPLY, s, &counted), sum = 0, few = 0;
		for (size_t i = 0; i < p->nlines; i++)
			if (p->lines[i].kind == PULL_SUPPLY && p->lines[i].item.index == s)
				sum += rat_double(p->lines[i].amount);
		for (size_t i = 0; i < p->nshorts; i++)
			if (p->shorts[i].item.kind == KIND_SUPPLY && p->shorts[i].item.index == s)
				few += p->shorts[i].count;
		if (counted && c->no_buying)
			assert_true(sum <= on_hand + few + NEAR);
	}
}

static void check_sums(struct checking *c)
{
	const struct pull *p = c->pull;
	for (uint32_t crop = 0; crop < c->f->ncrops; crop++) {
		double missing = 0, few = 0;
		for (size_t i = 0; i < p->nlines; i++)
			if (p->lines[i].kind == PULL_MISSING && p->lines[i].item.index == crop)
				missing += (double)p->lines[i].stems;
		for (size_t i = 0; i < p->nshorts; i++)
			if (p->shorts[i].item.kind == KIND_CROP && p->shorts[i].item.index == crop)
				few += p->shorts[i].count;
		assert_near(missing, few);
	}
	for (size_t i = 0; i < c->f->nboxes; i++) {
		int64_t sum = 0, told = 0, listed = 0;
		for (size_t d = 0; d < c->ndays; d++)
			sum += c->taken[i][d];
		for (size_t k = 0; k < p->nlines; k++)
			if (p->lines[k].kind == PULL_STEMS && p->lines[k].box == i &&
			    p->runs[p->lines[k].run].listed)
				listed += p->lines[k].stems;
		for (size_t k = 0; k < p->nboxes; k++)
			if (p->boxes[k].box == i) {
				told += p->boxes[k].take + p->boxes[k].kept;
				assert_int_equal(p->boxes[k].take, listed);
			}
		assert_int_equal(told, listed > 0 ? sum : 0);
	}
}

/* With one day of use and no reserve: nothing younger (of the same age: longer) is
 * taken while an older one that fits has a whole good stem left; and of equal stems no
 * more than one box is left half full. */
static void check_taste(struct checking *c)
{
	const struct farm *f = c->f;
	const struct pull *p = c->pull;
	int64_t left[BOXES_MOST] = { 0 };
	for (size_t i = 0; i < f->nboxes; i++) { /* of the class of each box */
		double good = 0;
		int64_t used = 0, open = 0;
		if (f->boxes[i].item.kind != KIND_CROP || too_old(f, &f->boxes[i], c->on))
			continue;
		for (size_t k = 0; k < f->nboxes; k++) {
			if (!alike(&f->boxes[i], &f->boxes[k]) || too_old(f, &f->boxes[k], c->on))
				continue;
			double here = good_on(f, &f->boxes[k], c->days[0]);
			good += here;
			used += c->taken[k][0];
			open += c->taken[k][0] > 0 && (double)c->taken[k][0] < here - 1;
		}
		left[i] = (int64_t)floor(good * (1 + 1e-9)) - used;
		assert_true(open <= 1);
	}
	for (size_t i = 0; i < p->nlines; i++) {
		const struct pull_line *line = &p->lines[i];
		size_t n;
		if (line->kind != PULL_STEMS)
			continue;
		const struct pull_run *run = &p->runs[line->run];
		const struct need_option *o =
		    &needs_of(f, run->item, &n)[line->need].options[line->option];
		const struct box *b = &f->boxes[line->box];
		for (size_t k = 0; k < f->nboxes; k++) {
			const struct box *other = &f->boxes[k];
			if (left[k] < 1 || !may_serve(f, other, o, run->on) ||
			    (o->one_colour && other->colour != b->colour))
				continue;
			struct civil x = date_civil(b->boxed), y = date_civil(other->boxed);
			int ours = x.year * 12 + x.month, its = y.year * 12 + y.month;
			assert_true(its > ours || (its == ours && other->length >= b->length));
		}
	}
}

/* What of a piece is due on a day, after finished ones. */
static int64_t due(const struct farm *f, uint32_t piece, day on, day today)
{
	bool counted, done[64] = { false };
	int64_t finished = (int64_t)shelf(f, KIND_PIECE, piece, &counted), sum = 0;
	for (size_t turn = 0; turn < f->norders; turn++) {
		size_t next = f->norders;
		day first = 0;
		for (size_t i = 0; i < f->norders; i++) { /* the earliest that is not done */
			const struct order *o = &f->orders[i];
			day d = o->due == DAY_NONE || o->due < today ? today : o->due;
			if (done[i] || o->piece != piece || (next < f->norders && d >= first))
				continue;
			next = i;
			first = d;
		}
		if (next == f->norders)
			break;
		done[next] = true;
		int64_t n = (int64_t)f->orders[next].count, use = n < finished ? n : finished;
		finished -= use;
		sum += first == on ? n - use : 0;
	}
	return sum;
}

static void check_pieces(struct checking *c, const struct making *making)
{
	const struct farm *f = c->f;
	const struct pull *p = c->pull;
	for (uint32_t piece = 0; piece < f->npieces; piece++) {
		int64_t made = 0, all = 0;
		for (size_t r = 0; r < p->nruns; r++) {
			const struct pull_run *run = &p->runs[r];
			if (run->item.kind != KIND_PIECE || run->item.index != piece)
				continue;
			bool wanted = making && making->piece == piece && run->on == c->on;
			int64_t ordered = due(f, piece, run->on, c->on);
			assert_int_equal(run->count, ordered + (wanted ? making->count : 0));
			assert_int_equal(run->ordered, ordered);
			assert_int_equal(run->listed, making ? wanted : true);
			made += run->count;
		}
		for (day on = c->on; on < c->on + 400; on++)
			all += due(f, piece, on, c->on);
		if (making && making->piece == piece)
			all += making->count; /* orders of another piece may be left out */
		if (!making || making->piece == piece)
			assert_int_equal(made, all);
	}
}

static void check(const struct farm *f, const struct pull *pull, const struct making *making,
		  bool no_buying, bool reserve)
{
	struct checking c = { .f = f, .pull = pull, .on = build_day(TODAY), .no_buying = no_buying };
	assert_true(f->nboxes <= BOXES_MOST && f->nparts <= PARTS_MOST);
	assert_true((pull->state == PULL_MET) == (pull->nshorts == 0));
	if (pull->nruns == 0 && pull->state != PULL_MET)
		return;
	for (size_t r = 0; r < pull->nruns; r++) {
		const struct pull_run *run = &pull->runs[r];
		for (size_t i = run->first; i < run->first + run->nlines; i++)
			check_line(&c, r, &pull->lines[i]);
		check_run(&c, run);
	}
	check_boxes(&c);
	check_parts(&c);
	check_supplies(&c);
	check_sums(&c);
	check_pieces(&c, making);
	if (c.ndays == 1 && !reserve)
		check_taste(&c);
}

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
	stock_take(&t->stock, &t->b.farm, build_day(TODAY), false, &t->b.arena, &t->b.remarks);
	assert_int_equal(pull_reckon(&t->pull, &t->b.farm, &t->stock, &making, piece ? 1 : 0,
				     &t->options, &t->b.arena, &t->b.remarks, &t->b.diag),
			 0);
	if (!t->options.alone)
		check(&t->b.farm, &t->pull, piece ? &making : NULL, t->options.no_buying, false);
}

static struct box *stems(struct pulled *t, const struct crop *c, const char *id, double count,
			 const char *boxed, float length)
{
	struct box *b = build_box(&t->b, id, build_crop_item(&t->b, c), count, boxed, TODAY);
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
	build_box(&t.b, "tufts", build_part_item(&t.b, tuft), 3, NULL, TODAY);
	build_box(&t.b, "done", build_piece_item(&t.b, p), 2, NULL, TODAY);
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
	build_order(&t.b, p, 5, NULL)->due = build_day(TODAY) + 90;
	reckon(&t, p, 40);
	assert_int_equal(t.pull.state, PULL_MET);
	assert_int_equal(t.pull.nboxes, 1);
	assert_int_equal(t.pull.boxes[0].take, 84);
	assert_int_equal(t.pull.boxes[0].kept, 11);
	reckon(&t, p, 41);
	assert_int_equal(t.pull.state, PULL_SHORT);
	assert_int_equal(t.pull.nshorts, 1);
	/* 86 today leave 14, which give 10 of the 11. */
	assert_near(t.pull.shorts[0].count, 1);
	t.options.alone = true;
	reckon(&t, p, 48);
	assert_int_equal(t.pull.state, PULL_MET); /* 96 / 0.96 = 100 */
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

/* ---- by chance ---- */

static int dice(uint64_t *seed, int lo, int hi)
{
	return lo + (int)floor(build_random(seed) * (hi - lo + 1));
}

static void random_way(struct built *b, struct need *need, uint64_t *seed, size_t first_part)
{
	static const int64_t counts[][2] = { { 1, 1 }, { 2, 1 }, { 5, 1 }, { 12, 1 },
					     { 1, 3 }, { 2, 3 }, { 3, 2 }, { 7, 4 } };
	const struct farm *f = &b->farm;
	const int64_t *count = counts[dice(seed, 0, 7)];
	int what = dice(seed, 0, 9);
	if (what == 0 && f->nsupplies > 0) {
		build_or(b, need, (struct item){ KIND_SUPPLY, 0 }, count[0], count[1]);
		return;
	}
	if (what <= 3 && first_part < f->nparts) {
		uint32_t part = (uint32_t)dice(seed, (int)first_part, (int)f->nparts - 1);
		build_or(b, need, (struct item){ KIND_PART, part }, count[0], count[1]);
		return;
	}
	uint32_t crop = (uint32_t)dice(seed, 0, (int)f->ncrops - 1);
	struct need_option *o =
	    build_or(b, need, (struct item){ KIND_CROP, crop }, count[0], count[1]);
	int colours = dice(seed, 0, 6), lengths = dice(seed, 0, 5);
	o->ncolours = colours == 3 || colours == 4 ? 1 : colours == 5 ? 2 : 0;
	o->colours = ARENA_ARRAY(&b->arena, 2, uint32_t);
	o->colours[0] = (uint32_t)dice(seed, 0, 2);
	o->colours[1] = (o->colours[0] + 1) % 3;
	o->one_colour = colours >= 5;
	o->from = lengths == 4 ? 250 : lengths == 5 ? 350 : 0;
	o->to = lengths == 3 ? 350 : 0;
}

static void random_needs(struct built *b, struct need *needs, size_t *n, int most, uint64_t *seed,
			 size_t first_part)
{
	*n = (size_t)dice(seed, 1, most);
	for (size_t i = 0; i < *n; i++)
		do
			random_way(b, &needs[i], seed, first_part);
		while (needs[i].noptions < 3 && dice(seed, 0, 2) == 0);
}

static void random_boxes(struct built *b, uint64_t *seed)
{
	static const char *const boxed[] = { "2026-07-03", "2026-08-10", "2026-08-20",
					     "2026-08-31", "2026-09-15" };
	static const char *const counted[] = { "2026-10-05", "2026-10-20", "2026-11-25" };
	struct farm *f = &b->farm;
	for (uint32_t c = 0; c < f->ncrops; c++) {
		int n = dice(seed, 1, 12), most = dice(seed, 0, 1) ? 12 : 60;
		for (int i = 0; i < n; i++) {
			struct box *box =
			    build_box(b, "box", (struct item){ KIND_CROP, c }, dice(seed, 1, most),
				      boxed[dice(seed, 0, 4)], counted[dice(seed, 0, 2)]);
			box->colour = dice(seed, 0, 4) ? (uint32_t)dice(seed, 0, 2) : NONE;
			box->length =
			    (float)(dice(seed, 0, 2) * 100 + 200) * (dice(seed, 0, 5) ? 1 : 0);
		}
	}
	for (uint32_t p = 0; p < f->nparts; p++)
		if (dice(seed, 0, 1))
			build_box(b, "parts", (struct item){ KIND_PART, p },
				  dice(seed, 0, 12) / 2.0, NULL, TODAY);
	for (uint32_t p = 0; p < f->npieces; p++)
		if (dice(seed, 0, 2) == 0)
			build_box(b, "pieces", (struct item){ KIND_PIECE, p }, dice(seed, 1, 3),
				  NULL, TODAY);
	if (f->nsupplies && dice(seed, 0, 2))
		build_box(b, "wire", (struct item){ KIND_SUPPLY, 0 }, dice(seed, 0, 30), NULL,
			  TODAY);
}

static void random_farm(struct built *b, uint64_t *seed, bool *reserve)
{
	static const double bench[] = { 0, 0.04, 0.1, 0.125, 0.333 },
			    storage[] = { 0, 0.01, 0.05, 0.1 };
	static const char *const days[] = { NULL,         "2026-11-01", "2026-11-25",
					    "2026-12-20", "2027-02-10", "2027-03-01" };
	static const int64_t makes[][2] = { { 1, 1 }, { 1, 1 }, { 2, 1 }, { 3, 1 }, { 3, 2 } };
	build_start(b);
	struct farm *f = &b->farm;
	f->ncolours = 3;
	int crops = dice(seed, 1, 3), parts = dice(seed, 0, 3), pieces = dice(seed, 1, 4);
	*reserve = false;
	for (int i = 0; i < crops; i++) {
		struct crop *c = build_crop(b, build_name(b, "crop %d", i).p);
		c->loss[STAGE_BENCH] = build_fig(bench[dice(seed, 0, 4)]);
		c->loss[STAGE_STORAGE] = build_fig(storage[dice(seed, 0, 3)]);
		if (dice(seed, 0, 5) == 0) {
			c->reserve = build_fig(dice(seed, 1, 9));
			*reserve = true;
		}
		if (dice(seed, 0, 4) == 0)
			c->keeps = build_fig(dice(seed, 3, 7));
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
		random_needs(b, p->needs, &p->nneeds, 4, seed, 0);
	}
	random_boxes(b, seed);
	int orders = dice(seed, 0, 4), alike_days = dice(seed, 0, 2);
	for (int i = 0; i < orders; i++)
		build_order(b, &f->pieces[dice(seed, 0, pieces - 1)], dice(seed, 1, 4), NULL)->due =
		    build_day(days[alike_days == 0 ? 2 : dice(seed, 0, 5)]);
	build_done(b);
	for (size_t i = 0; i < f->nparts; i++) { /* a part is made of later ones only */
		f->part_order[i] = (uint32_t)i;
		f->parts[i].level = (uint32_t)i + 1;
	}
}

static void assert_same(const struct pull *a, const struct pull *b)
{
	assert_true(a->state == b->state && a->nruns == b->nruns && a->nlines == b->nlines);
	for (size_t i = 0; i < a->nlines; i++) {
		const struct pull_line *x = &a->lines[i], *y = &b->lines[i];
		assert_true(x->run == y->run && x->need == y->need && x->option == y->option);
		assert_true(x->box == y->box && x->stems == y->stems && x->makings == y->makings);
	}
}

struct tally {
	int lists, met, few, pieces, orders, many_days, none;
};

static void pull_and_check(struct built *b, const struct stock *stock, const struct making *making,
			   bool no_buying, bool reserve, bool want, struct tally *tally)
{
	struct pull pull, again;
	struct pull_options options = { .no_buying = no_buying };
	bool twice = tally->lists++ % 4 == 0;
	for (int i = 0; i < 1 + twice; i++)
		assert_int_equal(pull_reckon(i ? &again : &pull, &b->farm, stock, making,
					     making ? 1 : 0, &options, &b->arena, NULL, &b->diag),
				 0);
	assert_int_equal(pull.state, want ? PULL_MET : PULL_SHORT);
	check(&b->farm, &pull, making, no_buying, reserve);
	if (twice)
		assert_same(&pull, &again);
	tally->met += pull.state == PULL_MET;
	tally->few += pull.state == PULL_SHORT;
	tally->none += pull.state == PULL_SHORT && pull.nruns == 0;
	tally->many_days += pull.nruns > 0 && pull.runs[0].on != pull.runs[pull.nruns - 1].on;
}

static void check_farm(uint64_t seed, struct tally *tally)
{
	struct built b;
	struct stock stock;
	struct reach reach;
	bool reserve;
	random_farm(&b, &seed, &reserve);
	struct reach_options options = { .no_buying = dice(&seed, 0, 2) == 0 };
	stock_take(&stock, &b.farm, build_day(TODAY), false, &b.arena, &b.remarks);
	assert_int_equal(
	    reach_reckon(&reach, &b.farm, &stock, &options, &b.arena, &b.remarks, &b.diag), 0);
	bool orders = true;
	for (uint32_t i = 0; i < b.farm.npieces; i++) {
		const struct reach_piece *most = &reach.pieces[i];
		orders = orders && most->state != REACH_ORDERS_SHORT;
		if (most->state == REACH_STOPPED)
			continue;
		bool endless = most->state == REACH_ENDLESS,
		     none = most->state == REACH_ORDERS_SHORT;
		struct making making = { i, endless ? 7 : most->most, DAY_NONE };
		tally->pieces++;
		if (!endless && !none && making.count > 0)
			pull_and_check(&b, &stock, &making, options.no_buying, reserve, true, tally);
		making.count++;
		if (!endless)
			pull_and_check(&b, &stock, &making, options.no_buying, reserve, false,
				       tally);
	}
	bool endless = false;
	for (uint32_t i = 0; i < b.farm.npieces; i++)
		endless = endless || reach.pieces[i].state == REACH_ENDLESS ||
			  reach.pieces[i].state == REACH_STOPPED;
	if (!endless) {
		tally->orders++;
		pull_and_check(&b, &stock, NULL, options.no_buying, reserve, orders, tally);
	}
	build_end(&b);
}

enum { FARMS = 400 };

static void random_lists_can_be_pulled(void **state)
{
	(void)state;
	struct tally t = { 0 };
	for (uint64_t i = 0; i < FARMS; i++)
		check_farm(0x2545f491u + i * 7919, &t);
	print_message("%d lists met, %d short (%d without a plan), %d over several days\n", t.met,
		      t.few, t.none, t.many_days);
	assert_true(t.met > FARMS / 2 && t.few > FARMS / 2 && t.many_days > FARMS / 10);
	assert_true(t.orders > FARMS / 4 && t.none < FARMS);
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
	check(&t.b.farm, &t.pull, &making, false, false);
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
		cmocka_unit_test(nothing_to_do_and_nothing_there),
		cmocka_unit_test(random_lists_can_be_pulled),
		cmocka_unit_test(the_checker_sees_what_is_wrong),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

/* help_pull.c - see help_pull.h. */
#include "help_pull.h"

#include <math.h>

enum { DAYS_MOST = 16, BOXES_MOST = 64, PARTS_MOST = 8 };
#define MONTH (365.25 / 12)
#define NEAR  1e-6

struct checking {
	const struct farm *f;
	const struct pull *pull;
	day on;
	bool no_buying;
	double leave; /* stems of the first crop, as by --leave */
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

static bool may_serve(const struct farm *f, const struct box *b, const struct need_option *o,
		      day on)
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
		double reserve = fmax(f->crops[crop].reserve.v, crop == 0 ? c->leave : 0);
		assert_true(aside == 0 || aside <= counted - ceil(reserve));
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
		assert_true((double)sum <= b->count);            /* never more than is in it */
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

/* What is wrong whatever the list is for. */
static void check_lines(struct checking *c, bool reserve)
{
	const struct pull *pull = c->pull;
	assert_true(c->f->nboxes <= BOXES_MOST && c->f->nparts <= PARTS_MOST);
	assert_true((pull->state == PULL_MET) == (pull->nshorts == 0));
	if (pull->nruns == 0 && pull->state != PULL_MET)
		return;
	for (size_t r = 0; r < pull->nruns; r++) {
		const struct pull_run *run = &pull->runs[r];
		for (size_t i = run->first; i < run->first + run->nlines; i++)
			check_line(c, r, &pull->lines[i]);
		check_run(c, run);
	}
	check_boxes(c);
	check_parts(c);
	check_supplies(c);
	check_sums(c);
	if (c->ndays == 1 && !reserve)
		check_taste(c);
}

void help_check_pull(const struct farm *f, const struct pull *pull, const struct making *making,
		     bool no_buying, bool reserve)
{
	struct checking c = {
		.f = f, .pull = pull, .on = build_day(HELP_PULL_DAY), .no_buying = no_buying
	};
	check_lines(&c, reserve);
	if (pull->nruns > 0 || pull->state == PULL_MET)
		check_pieces(&c, making);
}

/* ---- the list of a mix ---- */

static int64_t cannot(const struct mix *mix, uint32_t piece, day on)
{
	int64_t n = 0;
	for (size_t i = 0; i < mix->nshorts; i++)
		n += mix->shorts[i].piece == piece && mix->shorts[i].due == on
			 ? mix->shorts[i].count
			 : 0;
	return n;
}

/* Made are the orders that can be, on their days, and today what is sold beyond the
 * shelf; of the shelf no more than lies there. */
static void check_sold(struct checking *c, const struct mix *mix)
{
	const struct farm *f = c->f;
	const struct pull *p = c->pull;
	for (uint32_t piece = 0; piece < f->npieces; piece++) {
		int64_t sold = 0, shelf_ = 0, taken = 0;
		bool counted;
		for (size_t i = 0; i < mix->nlines; i++)
			if (mix->lines[i].piece == piece) {
				sold += mix->lines[i].count - mix->lines[i].finished;
				taken += mix->lines[i].finished;
			}
		for (size_t i = 0; i < p->norders; i++) {
			const struct pull_order *o = &p->orders[i];
			if (f->orders[o->order].piece == piece)
				taken += o->finished;
		}
		shelf_ = (int64_t)shelf(f, KIND_PIECE, piece, &counted);
		assert_true(taken <= shelf_);
		for (day on = c->on; on < c->on + 400; on++) {
			int64_t ordered = due(f, piece, on, c->on) - cannot(mix, piece, on);
			int64_t want = ordered + (on == c->on ? sold : 0), made = 0;
			for (size_t r = 0; r < p->nruns; r++) {
				const struct pull_run *run = &p->runs[r];
				if (run->item.kind != KIND_PIECE || run->item.index != piece ||
				    run->on != on)
					continue;
				assert_true(run->listed);
				assert_int_equal(run->ordered, ordered);
				made += run->count;
			}
			assert_int_equal(made, want);
		}
	}
}

/* Each makes and way of the mix stands there, and nothing else. */
static void check_ways(struct checking *c, const struct mix *mix)
{
	const struct pull *p = c->pull;
	int64_t makings = 0, counted = 0;
	for (size_t r = 0; r < p->nruns; r++)
		counted += p->runs[r].count;
	for (size_t i = 0; i < mix->nmakings; i++)
		makings += mix->makings[i].makings;
	assert_int_equal(makings, counted);
	for (size_t i = 0; i < mix->nways; i++) {
		const struct mix_way *w = &mix->ways[i];
		size_t found = 0;
		for (size_t k = 0; k < p->nlines; k++) {
			const struct pull_line *line = &p->lines[k];
			const struct pull_run *run = &p->runs[line->run];
			if (run->item.kind != w->maker.kind || run->item.index != w->maker.index ||
			    run->on != w->on || line->need != w->need ||
			    line->option != w->option ||
			    (w->colour != NONE && line->colour != w->colour))
				continue;
			assert_int_equal(line->makings, w->makings);
			found++;
		}
		assert_true(found > 0);
	}
}

static double keep_value(const struct checking *c, const struct box *b)
{
	const struct crop *crop = &c->f->crops[b->item.index];
	day then = date_add_months(c->on, 12), first = b->boxed;
	for (size_t i = 0; i < c->f->nboxes; i++) /* a month's stems are as old as the oldest */
		if (alike(b, &c->f->boxes[i]) && !too_old(c->f, &c->f->boxes[i], c->on) &&
		    c->f->boxes[i].boxed < first)
			first = c->f->boxes[i].boxed;
	bool good = !(crop->keeps.v > 0) || (then - first) / MONTH <= crop->keeps.v;
	return good ? crop->carries.v : 0;
}

/* As many stems, worth as much, and as many supplies as the mix says. */
static void check_counted_on(struct checking *c, const struct mix *mix)
{
	const struct pull *p = c->pull;
	for (size_t i = 0; i < mix->nleft; i++) {
		const struct mix_left *left = &mix->left[i];
		int64_t stems = 0;
		double money = 0;
		for (size_t k = 0; k < p->nlines; k++) {
			if (p->lines[k].kind != PULL_STEMS ||
			    p->lines[k].item.index != left->crop)
				continue;
			stems += p->lines[k].stems;
			money += (double)p->lines[k].stems *
				 keep_value(c, &c->f->boxes[p->lines[k].box]);
		}
		assert_int_equal(stems, left->used);
		assert_near_by(money, left->spent, 1e-6, 1e-6);
	}
	for (size_t i = 0; i < mix->nbuys; i++) {
		double needed = 0;
		for (size_t k = 0; k < p->nsupplies; k++)
			if (p->supplies[k].supply == mix->buys[i].supply)
				needed = rat_double(p->supplies[k].needed);
		assert_near_by(needed, mix->buys[i].used, 1e-9, 1e-9);
	}
}

void help_check_pull_mix(const struct farm *f, const struct pull *pull, const struct mix *mix,
			 bool no_buying, double leave, bool reserve)
{
	struct checking c = { .f = f,
			      .pull = pull,
			      .on = build_day(HELP_PULL_DAY),
			      .no_buying = no_buying,
			      .leave = leave };
	bool carries = false;
	for (size_t i = 0; i < f->ncrops; i++)
		carries = carries || f->crops[i].carries.v > 0;
	assert_int_equal(pull->state, PULL_MET);
	check_lines(&c, reserve || leave > 0 || carries);
	check_sold(&c, mix);
	check_ways(&c, mix);
	check_counted_on(&c, mix);
}

/* ---- farms by chance ---- */

int help_dice(uint64_t *seed, int lo, int hi)
{
	return lo + (int)floor(build_random(seed) * (hi - lo + 1));
}

static void random_way(struct built *b, struct need *need, uint64_t *seed, size_t first_part)
{
	static const int64_t counts[][2] = { { 1, 1 }, { 2, 1 }, { 5, 1 }, { 12, 1 },
					     { 1, 3 }, { 2, 3 }, { 3, 2 }, { 7, 4 } };
	const struct farm *f = &b->farm;
	const int64_t *count = counts[help_dice(seed, 0, 7)];
	int what = help_dice(seed, 0, 9);
	if (what == 0 && f->nsupplies > 0) {
		build_or(b, need, (struct item){ KIND_SUPPLY, 0 }, count[0], count[1]);
		return;
	}
	if (what <= 3 && first_part < f->nparts) {
		uint32_t part = (uint32_t)help_dice(seed, (int)first_part, (int)f->nparts - 1);
		build_or(b, need, (struct item){ KIND_PART, part }, count[0], count[1]);
		return;
	}
	uint32_t crop = (uint32_t)help_dice(seed, 0, (int)f->ncrops - 1);
	struct need_option *o =
	    build_or(b, need, (struct item){ KIND_CROP, crop }, count[0], count[1]);
	int colours = help_dice(seed, 0, 6), lengths = help_dice(seed, 0, 5);
	o->ncolours = colours == 3 || colours == 4 ? 1 : colours == 5 ? 2 : 0;
	o->colours = ARENA_ARRAY(&b->arena, 2, uint32_t);
	o->colours[0] = (uint32_t)help_dice(seed, 0, 2);
	o->colours[1] = (o->colours[0] + 1) % 3;
	o->one_colour = colours >= 5;
	o->from = lengths == 4 ? 250 : lengths == 5 ? 350 : 0;
	o->to = lengths == 3 ? 350 : 0;
}

static void random_needs(struct built *b, struct need *needs, size_t *n, int most, uint64_t *seed,
			 size_t first_part)
{
	*n = (size_t)help_dice(seed, 1, most);
	for (size_t i = 0; i < *n; i++)
		do
			random_way(b, &needs[i], seed, first_part);
		while (needs[i].noptions < 3 && help_dice(seed, 0, 2) == 0);
}

static void random_boxes(struct built *b, uint64_t *seed)
{
	static const char *const boxed[] = { "2026-07-03", "2026-08-10", "2026-08-20", "2026-08-31",
					     "2026-09-15" };
	static const char *const counted[] = { "2026-10-05", "2026-10-20", "2026-11-25" };
	struct farm *f = &b->farm;
	for (uint32_t c = 0; c < f->ncrops; c++) {
		int n = help_dice(seed, 1, 12), most = help_dice(seed, 0, 1) ? 12 : 60;
		for (int i = 0; i < n; i++) {
			struct box *box =
			    build_box(b, "box", (struct item){ KIND_CROP, c }, help_dice(seed, 1, most),
				      boxed[help_dice(seed, 0, 4)], counted[help_dice(seed, 0, 2)]);
			box->colour = help_dice(seed, 0, 4) ? (uint32_t)help_dice(seed, 0, 2) : NONE;
			box->length =
			    (float)(help_dice(seed, 0, 2) * 100 + 200) * (help_dice(seed, 0, 5) ? 1 : 0);
		}
	}
	for (uint32_t p = 0; p < f->nparts; p++)
		if (help_dice(seed, 0, 1))
			build_box(b, "parts", (struct item){ KIND_PART, p },
				  help_dice(seed, 0, 12) / 2.0, NULL, HELP_PULL_DAY);
	for (uint32_t p = 0; p < f->npieces; p++)
		if (help_dice(seed, 0, 2) == 0)
			build_box(b, "pieces", (struct item){ KIND_PIECE, p }, help_dice(seed, 1, 3),
				  NULL, HELP_PULL_DAY);
	if (f->nsupplies && help_dice(seed, 0, 2))
		build_box(b, "wire", (struct item){ KIND_SUPPLY, 0 }, help_dice(seed, 0, 30), NULL,
			  HELP_PULL_DAY);
}

void help_pull_farm(struct built *b, uint64_t *seed, bool *reserve)
{
	static const double bench[] = { 0, 0.04, 0.1, 0.125, 0.333 },
			    storage[] = { 0, 0.01, 0.05, 0.1 };
	static const char *const days[] = { NULL,         "2026-11-01", "2026-11-25",
					    "2026-12-20", "2027-02-10", "2027-03-01" };
	static const int64_t makes[][2] = { { 1, 1 }, { 1, 1 }, { 2, 1 }, { 3, 1 }, { 3, 2 } };
	build_start(b);
	struct farm *f = &b->farm;
	f->ncolours = 3;
	int crops = help_dice(seed, 1, 3), parts = help_dice(seed, 0, 3), pieces = help_dice(seed, 1, 4);
	*reserve = false;
	for (int i = 0; i < crops; i++) {
		struct crop *c = build_crop(b, build_name(b, "crop %d", i).p);
		c->loss[STAGE_BENCH] = build_fig(bench[help_dice(seed, 0, 4)]);
		c->loss[STAGE_STORAGE] = build_fig(storage[help_dice(seed, 0, 3)]);
		if (help_dice(seed, 0, 5) == 0) {
			c->reserve = build_fig(help_dice(seed, 1, 9));
			*reserve = true;
		}
		if (help_dice(seed, 0, 4) == 0)
			c->keeps = build_fig(help_dice(seed, 3, 7));
	}
	if (help_dice(seed, 0, 1))
		build_supply(b, "wire", 1);
	for (int i = 0; i < parts; i++)
		build_part(b, build_name(b, "part %d", i).p);
	for (int i = 0; i < parts; i++) {
		const int64_t *m = makes[help_dice(seed, 0, 4)];
		assert_true(rat_make(&f->parts[i].makes, m[0], m[1]));
		random_needs(b, f->parts[i].needs, &f->parts[i].nneeds, 2, seed, (size_t)i + 1);
	}
	for (int i = 0; i < pieces; i++) {
		struct piece *p = build_piece(b, build_name(b, "piece %d", i).p);
		random_needs(b, p->needs, &p->nneeds, 4, seed, 0);
	}
	random_boxes(b, seed);
	int orders = help_dice(seed, 0, 4), alike_days = help_dice(seed, 0, 2);
	for (int i = 0; i < orders; i++)
		build_order(b, &f->pieces[help_dice(seed, 0, pieces - 1)], help_dice(seed, 1, 4), NULL)->due =
		    build_day(days[alike_days == 0 ? 2 : help_dice(seed, 0, 5)]);
	build_done(b);
	for (size_t i = 0; i < f->nparts; i++) { /* a part is made of later ones only */
		f->part_order[i] = (uint32_t)i;
		f->parts[i].level = (uint32_t)i + 1;
	}
}

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

void help_check_pull(const struct farm *f, const struct pull *pull, const struct making *making,
		     bool no_buying, bool reserve)
{
	struct checking c = {
		.f = f, .pull = pull, .on = build_day(HELP_PULL_DAY), .no_buying = no_buying
	};
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

/* help_mix.c - see help_mix.h. */
#include "help_mix.h"

#include <math.h>

enum { WANTS = 64, MAKERS = 24, SALES = 8, DAYS = 3 };

struct want {                  /* whole stems wanted on a day */
	uint32_t crop, colour; /* colour: of `one colour of`; else NONE */
	int day;
	const struct need_option *o;
	int64_t stems;
};
struct maker {
	bool piece;
	uint32_t index;
	int day;
	int64_t made;
};
struct trying {
	const struct farm *farm;
	const struct stock *stock;
	const struct try_options *o;
	struct tried *out;
	day days[DAYS];
	int ndays;
	int64_t fixed[8][DAYS]; /* orders' pieces still to be made */
	int64_t finished[8], packed[8][DAYS]; /* packed: finished pieces that orders take */
	const struct piece *sale_piece[SALES];
	const struct offer *sale[SALES];
	int nsales;
	int64_t n[SALES], gone[4]; /* gone: days per outlet */
	struct want wants[WANTS];
	int nwants;
	struct maker makers[MAKERS];
	int nmakers, npieces;
	double supplies[4];
	double gross[4][DAYS];
	double money, seconds; /* of what is laid out so far */
	double carried;
};

static double wage(const struct trying *t)
{
	const struct business *b = &t->farm->business;
	return t->o->own_labour ? 0 : b->wage.v * (1 + b->wage_burden.v) / 3600;
}

/* ---- rules of docs/reckoning.md, written down a second time ---- */

/* Forgives 1e-9 of the number, a thousandth at most. */
static double forgiven(double x)
{
	return fmin(1e-9 * fmax(1, fabs(x)), 1e-3);
}

static double months_after(day a, day b)
{
	return b > a ? (double)(b - a) / (365.25 / 12) : 0;
}

/* Stems that n makings of so many each draw; bench losses are in thousandths. */
static int64_t drawn(struct rat each, int64_t n, double bench)
{
	int64_t good = 1000 - (int64_t)llround(bench * 1000);
	int64_t num = each.num * n * 1000, den = each.den * good;
	return (num + den - 1) / den;
}

/* Stems of a class as counted, and the share of them that is good on a day. */
static double counted_of(const struct trying *t, const struct stock_class *c, day on, double *share)
{
	double all = 0, good = 0;
	for (size_t i = 0; i < t->farm->nboxes; i++) {
		const struct box *b = &t->farm->boxes[i];
		if (b->item.kind != KIND_CROP || b->item.index != c->crop ||
		    b->colour != c->colour || fabs(b->length - c->length) > 0.01 ||
		    b->boxed != c->boxed)
			continue;
		all += b->count;
		good += b->count * pow(1 - t->farm->crops[c->crop].loss[STAGE_STORAGE].v,
				       months_after(b->counted, on));
	}
	*share = all > 0 ? good / all : 1;
	return all;
}

/* ---- stems ---- */

static bool usable(const struct trying *t, const struct stock_class *c, int d)
{
	double keeps = t->farm->crops[c->crop].keeps.v;
	return keeps <= 0 || (months_after(c->boxed, t->stock->on) <= keeps &&
			      months_after(c->boxed, t->days[d]) <= keeps);
}

static bool fits(const struct trying *t, const struct want *w, const struct stock_class *c)
{
	bool colour = w->o->ncolours == 0;
	if (c->crop != w->crop || !usable(t, c, w->day))
		return false;
	for (size_t i = 0; i < w->o->ncolours; i++)
		colour = colour || (c->colour != NONE && w->o->colours[i] == c->colour);
	if (!colour || (w->o->one_colour && (c->colour == NONE || c->colour != w->colour)))
		return false;
	if (w->o->from > 0 && !(c->length > 0 && c->length >= w->o->from - 0.01))
		return false;
	return !(w->o->to > 0) || (c->length > 0 && c->length <= w->o->to + 0.01);
}

static double carries(const struct trying *t, const struct stock_class *c)
{
	const struct crop *crop = &t->farm->crops[c->crop];
	day then = date_add_months(t->stock->on, 12);
	bool good = !(crop->keeps.v > 0) || c->boxed == DAY_NONE ||
		    months_after(c->boxed, then) <= crop->keeps.v;
	return good ? crop->carries.v : 0;
}

struct taking {
	const struct trying *t;
	uint32_t crop;
	int64_t used[16][DAYS]; /* per class */
	double best;
};

/* Stems set aside so that what is used is there on each day: all days within the count. */
static bool enough(const struct taking *k)
{
	int64_t all = 0, counted = 0;
	for (size_t c = 0; c < k->t->stock->nclasses; c++) {
		const struct stock_class *s = &k->t->stock->classes[c];
		int64_t aside = 0, whole;
		double keep;
		if (s->crop != k->crop || !usable(k->t, s, 0))
			continue;
		whole = (int64_t)counted_of(k->t, s, k->t->days[0], &keep);
		for (int d = 0; d < k->t->ndays; d++) {
			counted_of(k->t, s, k->t->days[d], &keep);
			int64_t z = k->used[c][d];
			while (z <= whole && (double)z * keep + forgiven((double)z * keep) <
						 (double)k->used[c][d])
				z++;
			aside += z;
		}
		if (aside > whole)
			return false;
		all += aside;
		counted += whole;
	}
	double reserve =
	    fmax(k->t->farm->crops[k->crop].reserve.v, k->crop == 0 ? k->t->o->reserve : 0);
	int64_t keep = (int64_t)ceil(reserve - forgiven(reserve));
	return all <= (counted > keep ? counted - keep : 0);
}

static void take(struct taking *k, int w, int64_t left, size_t class_, double cost)
{
	const struct trying *t = k->t;
	while (left < 0 || (left == 0 && w < t->nwants)) {
		w++;
		class_ = 0;
		if (w == t->nwants)
			break;
		left = t->wants[w].crop == k->crop ? t->wants[w].stems : 0;
	}
	if (w == t->nwants) {
		if (cost < k->best && enough(k))
			k->best = cost;
		return;
	}
	if (class_ == t->stock->nclasses || cost >= k->best || k->best == 0)
		return;
	const struct want *want = &t->wants[w];
	const struct stock_class *s = &t->stock->classes[class_];
	int64_t most = fits(t, want, s) ? left : 0, *used = &k->used[class_][want->day];
	double share, counted = counted_of(t, s, t->days[0], &share);
	if (most > (int64_t)counted - *used)
		most = (int64_t)counted - *used;
	for (int64_t n = most; n >= 0; n--) {
		*used += n;
		if (n == 0 || enough(k))
			take(k, w, left - n, class_ + 1, cost + (double)n * carries(t, s));
		*used -= n;
	}
}

/* Keep value of the stems taken at the least; INFINITY: not enough. */
static double stems(const struct trying *t)
{
	double sum = 0;
	for (uint32_t c = 0; c < t->farm->ncrops; c++) {
		struct taking k = { .t = t, .crop = c, .best = INFINITY };
		take(&k, -1, -1, 0, 0);
		sum += k.best;
	}
	return sum;
}

/* ---- money ---- */

static const struct outlet *outlet_of(const struct trying *t, int i)
{
	return &t->farm->outlets[t->sale[i]->outlet];
}

static double one_sold(const struct trying *t, const struct piece *p, const struct outlet *o,
		       double paid)
{
	double tax = p->tax.given ? p->tax.v : o->tax.v, net = paid / (1 + tax);
	double fee = o->fee.v * (o->fee_of_net ? net : paid) + o->fee_fixed.v;
	return net - fee - p->carton.v - p->packing.v * wage(t);
}

static bool has_stall(const struct outlet *o)
{
	return o->stall.v > 0 || o->stall_hours.v > 0;
}

static int64_t stall_days(const struct outlet *o)
{
	return has_stall(o) ? (int64_t)o->stall_days.v : 0;
}

static void curve(const struct offer *o, double *likely, double *upto)
{
	*likely = o->likely.given ? o->likely.v : o->upto.v;
	*upto = o->upto.given ? o->upto.v : o->likely.v;
}

/* Pieces that sell of n, of the season's curve drawn in small. */
static double sell(const struct offer *o, double n, double part)
{
	double likely, upto, sum = 0, at = 0;
	curve(o, &likely, &upto);
	for (double k = 0; k <= upto - likely && at < n; k++) {
		double width = (k == 0 ? likely : 1) * part,
		       chance = k == 0 ? 1 : (upto - likely + 1 - k) / (upto - likely + 1);
		double step = fmin(width, n - at);
		sum += step * chance;
		at += step;
	}
	return sum;
}

static double revenue(const struct trying *t)
{
	double sum = 0;
	for (int i = 0; i < t->nsales; i++) {
		const struct outlet *o = outlet_of(t, i);
		double part =
		    stall_days(o) ? (double)t->gone[t->sale[i]->outlet] / (double)stall_days(o) : 1;
		sum += sell(t->sale[i], (double)t->n[i], part) * (1 - o->spoils.v) *
		       one_sold(t, t->sale_piece[i], o, t->sale[i]->price.v);
	}
	for (size_t i = 0; i < t->farm->noutlets; i++) {
		const struct outlet *o = &t->farm->outlets[i];
		sum -= (double)t->gone[i] * (o->stall.v + o->stall_hours.v * 3600 * wage(t));
	}
	for (size_t i = 0; i < t->farm->norders; i++) {
		const struct order *o = &t->farm->orders[i];
		const struct piece *p = &t->farm->pieces[o->piece];
		sum += o->count * one_sold(t, p, &t->farm->outlets[p->offers[0].outlet],
					   isnan(o->price) ? p->offers[0].price.v : o->price);
	}
	return sum;
}

static void judge(struct trying *t)
{
	double cost = 0, packing = 0;
	t->out->plans++;
	for (size_t i = 0; i < t->farm->nsupplies; i++) {
		double on_hand = isnan(t->stock->supplies[i]) ? 0 : t->stock->supplies[i];
		double buy = fmax(0, t->supplies[i] - on_hand);
		if (t->o->no_buying && !isnan(t->stock->supplies[i]) && buy > 1e-9)
			return;
		if (!t->o->no_buying)
			cost += buy * t->farm->supplies[i].cost.v;
	}
	for (int i = 0; i < t->nsales; i++)
		packing += (double)t->n[i] * t->sale_piece[i]->packing.v;
	for (uint32_t p = 0; p < t->farm->npieces; p++)
		for (int d = 0; d < t->ndays; d++)
			if (d == 0 || t->days[d] <= t->farm->business.bench_until)
				packing += (double)(t->fixed[p][d] + t->packed[p][d]) *
					   t->farm->pieces[p].packing.v;
	if (t->farm->business.bench_hours.given &&
	    t->seconds + packing > t->farm->business.bench_hours.v * 3600 + 1e-6)
		return;
	double money = revenue(t) - t->money - cost;
	if (t->out->any && money <= t->out->best)
		return;
	money -= stems(t);
	if (money == -INFINITY || (t->out->any && money <= t->out->best))
		return;
	t->out->best = money;
	t->out->any = true;
}

/* ---- ways ---- */

static void lay_maker(struct trying *t, int m);

static void lay_need(struct trying *t, int m, const struct need *needs, size_t nneeds, size_t at);

static void with_option(struct trying *t, int m, const struct need *needs, size_t nneeds, size_t at,
			size_t option, size_t colour, int64_t left)
{
	const struct need *need = &needs[at];
	if (option == need->noptions) {
		if (left == 0)
			lay_need(t, m, needs, nneeds, at + 1);
		return;
	}
	const struct need_option *o = &need->options[option];
	size_t ncolours = o->item.kind == KIND_CROP && o->one_colour
			      ? (o->ncolours ? o->ncolours : t->farm->ncolours)
			      : 1;
	bool last = option + 1 == need->noptions && colour + 1 == ncolours;
	size_t next = colour + 1 == ncolours ? option + 1 : option;
	size_t next_colour = colour + 1 == ncolours ? 0 : colour + 1;
	for (int64_t n = last ? left : 0; n <= left; n++) {
		int d = t->makers[m].day;
		double units = rat_double(o->count) * (double)n;
		int wants = t->nwants;
		if (n > 0 && o->item.kind == KIND_CROP) {
			double bench = t->farm->crops[o->item.index].loss[STAGE_BENCH].v;
			assert_true(t->nwants < WANTS);
			t->wants[t->nwants++] =
			    (struct want){ o->item.index, NONE, d, o, drawn(o->count, n, bench) };
			if (o->one_colour)
				t->wants[t->nwants - 1].colour =
				    o->ncolours ? o->colours[colour] : (uint32_t)colour;
		} else if (o->item.kind == KIND_SUPPLY) {
			t->supplies[o->item.index] += units;
		} else if (o->item.kind == KIND_PART) {
			t->gross[o->item.index][d] += units;
		}
		with_option(t, m, needs, nneeds, at, next, next_colour, left - n);
		t->nwants = wants;
		if (o->item.kind == KIND_SUPPLY)
			t->supplies[o->item.index] -= units;
		else if (o->item.kind == KIND_PART)
			t->gross[o->item.index][d] -= units;
	}
}

static void lay_need(struct trying *t, int m, const struct need *needs, size_t nneeds, size_t at)
{
	if (at == nneeds)
		lay_maker(t, m + 1);
	else
		with_option(t, m, needs, nneeds, at, 0, 0, t->makers[m].made);
}

/* From one part and day to the next: at least what stock leaves to make, at most what
 * the day takes by itself, in whole makings. */
static void add_parts(struct trying *t, uint32_t part, int d, double pool)
{
	if (part == t->farm->nparts) {
		lay_maker(t, t->npieces);
		return;
	}
	if (d == t->ndays) {
		add_parts(t, part + 1, 0,
			  part + 1 < t->farm->nparts ? floor(t->stock->parts[part + 1] + 1e-9) : 0);
		return;
	}
	double makes = rat_double(t->farm->parts[part].makes), gross = t->gross[part][d];
	double least = fmax(0, ceil((gross - pool) / makes - 1e-9)),
	       most = ceil(gross / makes - 1e-9);
	assert_true(t->nmakers < MAKERS);
	int m = t->nmakers++;
	for (double n = least; n <= (t->ndays > 1 ? fmax(least, most) : least); n++) {
		t->makers[m] = (struct maker){ false, part, d, (int64_t)n };
		add_parts(t, part, d + 1, pool + n * makes - gross);
	}
	t->nmakers = m;
}

static void lay_maker(struct trying *t, int m)
{
	if (m == t->npieces && t->nmakers == t->npieces && t->farm->nparts > 0) {
		add_parts(t, 0, 0, floor(t->stock->parts[0] + 1e-9));
		return;
	}
	if (m == t->nmakers) {
		judge(t);
		return;
	}
	const struct maker *k = &t->makers[m];
	const struct piece *piece = &t->farm->pieces[k->piece ? k->index : 0];
	const struct part *part = &t->farm->parts[k->piece ? 0 : k->index];
	const struct task *tasks = k->piece ? piece->tasks : part->tasks;
	size_t ntasks = k->piece ? piece->ntasks : part->ntasks;
	double seconds = 0, was = t->money, had = t->seconds;
	for (size_t i = 0; i < ntasks; i++)
		seconds += tasks[i].seconds.v * (tasks[i].batch.given
						     ? ceil((double)k->made / tasks[i].batch.v)
						     : (double)k->made);
	t->money += seconds * wage(t);
	if (k->day == 0 || t->days[k->day] <= t->farm->business.bench_until)
		t->seconds += seconds;
	lay_need(t, m, k->piece ? piece->needs : part->needs,
		 k->piece ? piece->nneeds : part->nneeds, 0);
	t->money = was;
	t->seconds = had;
}

/* ---- counts ---- */

static void lay_out(struct trying *t)
{
	t->nmakers = 0;
	for (uint32_t p = 0; p < t->farm->npieces; p++) {
		int64_t sold = 0;
		for (int i = 0; i < t->nsales; i++)
			if (t->sale_piece[i] == &t->farm->pieces[p])
				sold += t->n[i];
		sold = sold > t->finished[p] ? sold - t->finished[p] : 0;
		for (int d = 0; d < t->ndays; d++)
			t->makers[t->nmakers++] =
			    (struct maker){ true, p, d, t->fixed[p][d] + (d == 0 ? sold : 0) };
	}
	t->npieces = t->nmakers;
	lay_maker(t, 0);
}

static void counts(struct trying *t, int i)
{
	if (i == t->nsales) {
		lay_out(t);
		return;
	}
	double likely, upto;
	curve(t->sale[i], &likely, &upto);
	int64_t n = stall_days(outlet_of(t, i)), most = (int64_t)upto;
	if (n)
		most = most * t->gone[t->sale[i]->outlet] / n;
	for (t->n[i] = 0; t->n[i] <= most; t->n[i]++)
		counts(t, i + 1);
	t->n[i] = 0;
}

static void stalls(struct trying *t, size_t i)
{
	if (i == t->farm->noutlets) {
		counts(t, 0);
		return;
	}
	for (t->gone[i] = 0; t->gone[i] <= stall_days(&t->farm->outlets[i]); t->gone[i]++)
		stalls(t, i + 1);
	t->gone[i] = 0;
}

static void orders(struct trying *t)
{
	const struct farm *f = t->farm;
	t->days[t->ndays++] = t->stock->on;
	for (size_t p = 0; p < f->npieces; p++)
		t->finished[p] = (int64_t)t->stock->pieces[p];
	for (int later = 0; later < 2; later++)
		for (size_t i = 0; i < f->norders; i++) {
			const struct order *o = &f->orders[i];
			bool now = o->due == DAY_NONE || o->due <= t->stock->on;
			if (now == later)
				continue;
			int d = 0;
			if (!now) {
				for (d = 1; d < t->ndays && t->days[d] != o->due;)
					d++;
				if (d == t->ndays)
					t->days[t->ndays++] = o->due;
			}
			int64_t n = (int64_t)o->count;
			int64_t use = n < t->finished[o->piece] ? n : t->finished[o->piece];
			t->finished[o->piece] -= use;
			t->packed[o->piece][d] += use;
			t->fixed[o->piece][d] += n - use;
		}
}

void try_all(struct tried *out, const struct farm *farm, const struct stock *stock,
	     const struct try_options *o)
{
	struct trying t = { .farm = farm, .stock = stock, .o = o, .out = out };
	*out = (struct tried){ .best = -INFINITY };
	orders(&t);
	for (uint32_t p = 0; p < farm->npieces; p++)
		for (size_t i = 0; i < farm->pieces[p].noffers && p != o->excluded; i++) {
			t.sale_piece[t.nsales] = &farm->pieces[p];
			t.sale[t.nsales++] = &farm->pieces[p].offers[i];
		}
	stalls(&t, 0);
}

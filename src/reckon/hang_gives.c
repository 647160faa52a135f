/* hang_gives.c - where a limit is passed, and how much of what would have kept it. */
#include "reckon/hang.h"

#include <math.h>

#include "reckon/calendar.h"

enum { EARLIER_MOST = 21, SOONER_MOST = 28, PARTS = 1000, FEWER_SHOWN = 3 };
#define EPS 1e-9

struct trial {
	struct hang *h;
	struct hang_peak *peak;
	const double *before;   /* points as they are */
	double *after;          /* as tried */
	size_t n, from, to;     /* points; those of the peak, `to` past it */
	struct arena *arena;
	size_t cap;
};

static bool over(double x, double limit)
{
	return x > limit + EPS * fmax(1, limit);
}

/* The limit holds throughout the peak, and nothing is pushed over it elsewhere. */
static bool holds(const struct trial *t)
{
	for (size_t i = 0; i < t->n; i++) {
		bool inside = i >= t->from && i < t->to;
		if (over(t->after[i], t->peak->limit) && (inside || over(t->after[i], t->before[i])))
			return false;
	}
	return true;
}

/* Its place is taken at some time of the peak. */
static bool there(const struct trial *t, const struct hang_lot *lot)
{
	return lot->hung <= t->peak->to && lot->boxed > t->peak->from;
}

static bool takes(enum hang_what what, const struct hang_lot *lot)
{
	switch (what) {
	case HANG_LINE:
		return lot->line > 0;
	case HANG_RACKS:
		return lot->racks > 0;
	case HANG_BOXES:
		return lot->more_boxes > 0;
	default:
		return lot->cut_hours + lot->hang_hours + lot->box_hours > 0;
	}
}

/* Changes lots of one crop (NONE: of all), all of them or those that are there. */
static bool try_change(struct trial *t, uint32_t crop, bool all, const struct hang_change *change)
{
	const struct hang *h = t->h;
	size_t from = crop == NONE ? 0 : h->crop_first[crop];
	size_t to = crop == NONE ? h->nlots : h->crop_first[crop + 1];
	memcpy(t->after, t->before, t->n * sizeof *t->after);
	for (size_t i = from; i < to; i++) {
		struct hang_lot lot = h->lots[i];
		if (!takes(t->peak->what, &lot) || (!all && !there(t, &lot)))
			continue;
		hang_lay(h, t->peak->what, &lot, -1, t->after);
		hang_change(&lot, change, h->farm);
		hang_lay(h, t->peak->what, &lot, 1, t->after);
	}
	return holds(t);
}

static struct hang_give *give(struct trial *t, enum hang_way way, uint32_t crop, double amount)
{
	struct hang_give *g = ARENA_PUSH(t->arena, t->peak->gives, t->peak->ngives, t->cap);
	*g = (struct hang_give){ .way = way, .crop = crop, .amount = amount, .metres = NAN, .of = NAN };
	return g;
}

static bool concerned(const struct trial *t, uint32_t crop)
{
	for (size_t i = t->h->crop_first[crop]; i < t->h->crop_first[crop + 1]; i++) {
		if (takes(t->peak->what, &t->h->lots[i]) && there(t, &t->h->lots[i]))
			return true;
	}
	return false;
}

/* The crop that has to be cut fewest days earlier. */
static void earlier(struct trial *t)
{
	uint32_t best = NONE;
	int days = EARLIER_MOST + 1;
	for (uint32_t c = 0; c < t->h->farm->ncrops; c++) {
		for (int k = 1; k < days && concerned(t, c); k++) {
			struct hang_change change = { .earlier = k, .keep = 1, .place = 1 };
			if (try_change(t, c, false, &change)) {
				days = k;
				best = c;
			}
		}
	}
	give(t, HANG_EARLIER, best, best == NONE ? (double)NAN : (double)days);
}

static void sooner(struct trial *t)
{
	for (int k = 1; k <= SOONER_MOST; k++) {
		struct hang_change change = { .sooner = k, .keep = 1, .place = 1 };
		if (try_change(t, NONE, false, &change)) {
			give(t, HANG_SOONER, NONE, k);
			return;
		}
	}
	give(t, HANG_SOONER, NONE, NAN);
}

/* The least share, in thousandths, of a crop's stems (NONE: of all crops) that must not
 * be there; PARTS + 1 when without all of it the limit is still passed. */
static int share_less(struct trial *t, uint32_t crop)
{
	int low = 1, high = PARTS;
	struct hang_change change = { .keep = 0, .place = 1 };
	if (!try_change(t, crop, true, &change))
		return PARTS + 1;
	while (low < high) { /* whole bundles only ever become fewer */
		int middle = (low + high) / 2;
		change.keep = 1 - (double)middle / PARTS;
		if (try_change(t, crop, true, &change))
			high = middle;
		else
			low = middle + 1;
	}
	return low;
}

/* Metres of bed of a crop's lots, each bed once; NaN when one is not known. */
static double metres_of(const struct trial *t, uint32_t crop)
{
	double sum = 0;
	const struct hang *h = t->h;
	for (size_t i = h->crop_first[crop]; i < h->crop_first[crop + 1]; i++) {
		bool seen = false;
		if (h->lots[i].bed == NONE || isnan(h->lots[i].metres))
			return NAN;
		for (size_t k = h->crop_first[crop]; k < i && !seen; k++)
			seen = h->lots[k].bed == h->lots[i].bed;
		sum += seen ? 0 : h->lots[i].metres;
	}
	return sum;
}

static void fewer_of(struct trial *t, uint32_t crop, int parts)
{
	const struct hang *h = t->h;
	double share = (double)parts / PARTS, stems = 0;
	size_t from = crop == NONE ? 0 : h->crop_first[crop];
	size_t to = crop == NONE ? h->nlots : h->crop_first[crop + 1];
	for (size_t i = from; i < to; i++)
		stems += h->lots[i].cut_stems;
	struct hang_give *g = give(t, HANG_FEWER, crop, share);
	g->stems = share * stems;
	if (crop == NONE)
		return;
	g->of = metres_of(t, crop);
	g->metres = share * g->of;
}

/* The crops of which alone fewest stems less are enough; else all crops alike. */
static void fewer(struct trial *t)
{
	struct {
		uint32_t crop;
		int parts;
		double stems;
	} best[FEWER_SHOWN + 1];
	size_t n = 0;
	for (uint32_t c = 0; c < t->h->farm->ncrops; c++) {
		int parts = concerned(t, c) || t->peak->what > HANG_RACKS ? share_less(t, c) : PARTS + 1;
		if (parts > PARTS)
			continue;
		double stems = 0;
		for (size_t i = t->h->crop_first[c]; i < t->h->crop_first[c + 1]; i++)
			stems += t->h->lots[i].cut_stems * parts / PARTS;
		size_t k = n < FEWER_SHOWN ? n++ : FEWER_SHOWN;
		for (; k > 0 && best[k - 1].stems > stems; k--)
			best[k] = best[k - 1];
		best[k].crop = c;
		best[k].parts = parts;
		best[k].stems = stems;
	}
	for (size_t i = 0; i < n; i++)
		fewer_of(t, best[i].crop, best[i].parts);
	int parts = n ? 0 : share_less(t, NONE);
	if (!n && parts <= PARTS)
		fewer_of(t, NONE, parts);
	else if (!n)
		give(t, HANG_FEWER, NONE, NAN);
}

static void find_ways(struct trial *t)
{
	double most = t->peak->most, limit = t->peak->limit;
	give(t, HANG_MORE, NONE, most - limit);
	if (t->peak->what == HANG_LINE || t->peak->what == HANG_RACKS) {
		earlier(t);
		sooner(t);
		give(t, HANG_CLOSER, NONE, limit > 0 ? 1 - limit / most : NAN);
	}
	fewer(t);
}

static struct hang_peak peak_of(const struct hang *h, enum hang_what what, const double *points,
                                size_t from, size_t to)
{
	day step = what == HANG_LINE || what == HANG_RACKS ? 1 : WEEK_DAYS;
	struct hang_peak p = { .what = what, .limit = h->limit[what] };
	p.from = h->first + (day)from * step;
	p.to = h->first + (day)to * step - 1;
	for (size_t i = from; i < to; i++) {
		if (i > from && !(points[i] > p.most))
			continue;
		p.most = points[i];
		p.fullest = h->first + (day)i * step;
	}
	return p;
}

void hang_peaks(struct hang *h, const double *const points[HANG_WHATS], struct arena *a)
{
	size_t cap = 0;
	for (int what = 0; what < HANG_WHATS; what++) {
		size_t n = hang_points(h, (enum hang_what)what);
		for (size_t from = 0, to; from < n && !isnan(h->limit[what]); from = to) {
			to = from + 1;
			if (!over(points[what][from], h->limit[what]))
				continue;
			while (to < n && over(points[what][to], h->limit[what]))
				to++;
			*ARENA_PUSH(a, h->peaks, h->npeaks, cap) =
			    peak_of(h, (enum hang_what)what, points[what], from, to);
			struct trial t = { .h = h,
				           .peak = &h->peaks[h->npeaks - 1],
				           .before = points[what],
				           .after = ARENA_ARRAY(a, n + 1, double),
				           .n = n,
				           .from = from,
				           .to = to,
				           .arena = a };
			find_ways(&t);
		}
	}
}

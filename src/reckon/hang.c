/* hang.c - what lots take of line, racks, boxes and hours, day by day and week by week. */
#include "reckon/hang.h"

#include <math.h>

#include "reckon/calendar.h"
#include "reckon/loss.h"
#include "reckon/stemcost.h"

enum { MARGIN_WEEKS = 4, WEEKS_MOST = 53 };
#define SECONDS_PER_HOUR 3600.0

/* ---- one lot ---- */

static double whole(double count, const struct fig *size)
{
	return size->v > 0 ? (double)loss_cover(count / size->v) : 0;
}

void hang_lot_fill(struct hang_lot *lot, const struct farm *farm)
{
	const struct crop *c = &farm->crops[lot->crop];
	double cut = lot->cut_stems, hung = lot->hung_stems, boxed = lot->boxed_stems;
	lot->bundles = whole(hung, &c->bundle);
	lot->line = lot->bundles * c->bundle_line.v;
	lot->racks = c->per_area.v > 0 ? hung / c->per_area.v : 0;
	lot->boxes = whole(boxed, &c->per_box);
	if (lot->in_parts && c->per_box.v > 0)
		lot->boxes = boxed / c->per_box.v;
	double more = fmax(boxed - lot->shed_stems, 0);
	lot->more_boxes = more >= boxed ? lot->boxes : whole(more, &c->per_box);
	double bundles = lot->bundles, boxes = lot->boxes;
	double hang = work_seconds(c, WORK_STRIP, cut, whole(cut, &c->bundle), boxes) +
	              work_seconds(c, WORK_BUNDLE, hung, bundles, boxes) +
	              work_seconds(c, WORK_HANG, hung, bundles, boxes);
	double box = work_seconds(c, WORK_BOX, boxed, bundles, boxes);
	if (!isnan(lot->dry_seconds)) { /* counted: shared as the rates would have it */
		double part = hang + box > 0 ? hang / (hang + box) : 1;
		hang = lot->dry_seconds * part;
		box = lot->dry_seconds - hang;
	}
	lot->cut_hours = work_seconds(c, WORK_CUT, cut, whole(cut, &c->bundle), boxes) / SECONDS_PER_HOUR;
	lot->hang_hours = hang / SECONDS_PER_HOUR;
	lot->box_hours = box / SECONDS_PER_HOUR;
}

void hang_change(struct hang_lot *lot, const struct hang_change *change, const struct farm *farm)
{
	lot->cut -= change->earlier;
	lot->hung -= change->earlier;
	lot->boxed -= change->earlier + change->sooner;
	if (lot->boxed <= lot->hung)
		lot->boxed = lot->hung + 1;
	lot->cut_stems *= change->keep;
	lot->hung_stems *= change->keep;
	lot->boxed_stems *= change->keep;
	lot->shed_stems *= change->keep;
	lot->dry_seconds *= change->keep;
	hang_lot_fill(lot, farm);
	lot->line *= change->place;
	lot->racks *= change->place;
}

/* ---- points ---- */

size_t hang_points(const struct hang *h, enum hang_what what)
{
	return what == HANG_LINE || what == HANG_RACKS ? h->ndays : h->ndays / WEEK_DAYS;
}

static void add_days(const struct hang *h, const struct hang_lot *lot, double amount, double *points)
{
	for (day d = lot->hung > h->first ? lot->hung : h->first;
	     d < lot->boxed && (size_t)(d - h->first) < h->ndays; d++)
		points[d - h->first] += amount;
}

static void add_in_week(const struct hang *h, day d, double amount, double *points)
{
	if (d >= h->first && (size_t)(d - h->first) < h->ndays)
		points[(d - h->first) / WEEK_DAYS] += amount;
}

/* Boxes stay filled from their day on. */
static void add_from(const struct hang *h, day d, double amount, double *points)
{
	size_t w = d > h->first ? (size_t)(d - h->first) / WEEK_DAYS : 0;
	for (; w < h->ndays / WEEK_DAYS; w++)
		points[w] += amount;
}

void hang_lay(const struct hang *h, enum hang_what what, const struct hang_lot *lot, double sign,
              double *points)
{
	switch (what) {
	case HANG_LINE:
		add_days(h, lot, sign * lot->line, points);
		break;
	case HANG_RACKS:
		add_days(h, lot, sign * lot->racks, points);
		break;
	case HANG_BOXES:
		add_from(h, lot->boxed, sign * lot->more_boxes, points);
		break;
	case HANG_HOURS:
		add_in_week(h, lot->cut, sign * lot->cut_hours, points);
		add_in_week(h, lot->hung, sign * lot->hang_hours, points);
		add_in_week(h, lot->boxed, sign * lot->box_hours, points);
		break;
	case HANG_WHATS:
		break;
	}
}

/* ---- the whole ---- */

static int by_crop(const void *x, const void *y)
{
	const struct hang_lot *a = x, *b = y;
	if (a->crop != b->crop)
		return a->crop < b->crop ? -1 : 1;
	if (a->cut != b->cut)
		return a->cut < b->cut ? -1 : 1;
	return (a->batch > b->batch) - (a->batch < b->batch);
}

static void take_lots(struct hang *h, const struct hang_lots *lots, struct arena *a)
{
	h->nlots = lots->n;
	h->lots = ARENA_ARRAY(a, lots->n + 1, struct hang_lot);
	h->crop_first = ARENA_ARRAY(a, h->farm->ncrops + 1, size_t);
	for (size_t i = 0; i < lots->n; i++) {
		h->lots[i] = lots->lots[i];
		hang_lot_fill(&h->lots[i], h->farm);
		h->crop_first[h->lots[i].crop + 1]++;
	}
	for (size_t c = 0; c < h->farm->ncrops; c++)
		h->crop_first[c + 1] += h->crop_first[c];
	if (h->nlots)
		qsort(h->lots, h->nlots, sizeof *h->lots, by_crop);
}

/* Days and weeks from the first cut to the last boxing. */
static void set_span(struct hang *h, struct remarks *r)
{
	day first = h->lots[0].cut, last = h->lots[0].boxed;
	for (size_t i = 0; i < h->nlots; i++) {
		first = h->lots[i].cut < first ? h->lots[i].cut : first;
		last = h->lots[i].boxed > last ? h->lots[i].boxed : last;
	}
	day begin = week_monday(first), end = week_monday(last) + WEEK_DAYS;
	if (end - begin > WEEKS_MOST * WEEK_DAYS) {
		begin = end - WEEKS_MOST * WEEK_DAYS;
		remark(r, REMARK_ASSUMED, "Only the last %d weeks are shown.", WEEKS_MOST);
	}
	h->first = begin - MARGIN_WEEKS * WEEK_DAYS;
	h->ndays = (size_t)(end - h->first);
	h->nweeks = (size_t)(end - begin) / WEEK_DAYS;
}

/* Boxes of the shed stay in use to the end: when they are emptied is not known. */
static void add_stock(struct hang *h, const struct stock *stock, double *boxes)
{
	const struct farm *farm = h->farm;
	for (size_t i = 0; stock && i < stock->nboxes; i++) {
		const struct box *box = &farm->boxes[i];
		if (box->item.kind != KIND_CROP || !(stock->boxes[i].count > 0))
			continue;
		double n = fmax(whole(stock->boxes[i].count, &farm->crops[box->item.index].per_box), 1);
		add_from(h, box->boxed == DAY_NONE ? h->first : box->boxed, n, boxes);
		h->before += n;
	}
}

static void set_limits(struct hang *h, const struct hang_options *options)
{
	const struct business *b = &h->farm->business;
	h->limit[HANG_LINE] = b->line.given ? b->line.v : NAN;
	h->limit[HANG_RACKS] = b->racks.given ? b->racks.v : NAN;
	h->limit[HANG_BOXES] = b->boxes.given ? b->boxes.v : NAN;
	h->limit[HANG_HOURS] = options->hours;
}

static void fill_week(struct hang *h, size_t w, double *const points[HANG_WHATS])
{
	struct hang_week *week = &h->weeks[w];
	size_t at = w + MARGIN_WEEKS, from = at * WEEK_DAYS;
	week->monday = h->first + (day)from;
	week->fullest = DAY_NONE;
	for (size_t d = from; d < from + WEEK_DAYS; d++) {
		week->racks = fmax(week->racks, h->racks[d]);
		/* Bundles without a known length of line still hang. */
		bool fuller = h->line[d] > week->line || (h->line[d] >= week->line && h->bundles[d] > week->bundles);
		if (!fuller)
			continue;
		week->fullest = h->first + (day)d;
		week->line = h->line[d];
		week->bundles = h->bundles[d];
	}
	week->used = points[HANG_BOXES][at];
	week->hours = points[HANG_HOURS][at];
}

static void add_to_weeks(struct hang *h, const struct hang_lot *lot)
{
	day begin = h->first + MARGIN_WEEKS * WEEK_DAYS;
	if (lot->cut >= begin)
		h->weeks[(lot->cut - begin) / WEEK_DAYS].cut += lot->cut_stems;
	if (lot->boxed >= begin)
		h->weeks[(lot->boxed - begin) / WEEK_DAYS].filled += lot->boxes;
}

/* What no figure tells is counted as 0, aloud. */
static void say_missing(const struct hang *h, struct arena *a, struct remarks *r)
{
	struct said nowhere = { 0 }, no_line = { 0 }, no_box = { 0 }, no_work = { 0 };
	for (size_t i = 0; i < h->nlots; i++) {
		const struct crop *c = &h->farm->crops[h->lots[i].crop];
		if (!(c->bundle.v > 0) && !(c->per_area.v > 0))
			said_add(&nowhere, a, c->head.name);
		else if (c->bundle.v > 0 && !(c->bundle_line.v > 0))
			said_add(&no_line, a, c->head.name);
		if (!(c->per_box.v > 0))
			said_add(&no_box, a, c->head.name);
		if (c->works[WORK_CUT].per == PER_NOTHING && c->works[WORK_BUNDLE].per == PER_NOTHING &&
		    c->works[WORK_HANG].per == PER_NOTHING)
			said_add(&no_work, a, c->head.name);
	}
	if (nowhere.n)
		remark(r, REMARK_DOUBT, "No `hangs` and no `lies` line, so no room is counted for: %s.",
		       said_text(&nowhere));
	if (no_line.n)
		remark(r, REMARK_DOUBT, "No line per bundle given, so no line is counted for: %s.",
		       said_text(&no_line));
	if (no_box.n)
		remark(r, REMARK_DOUBT, "No stems per box given, so no boxes are counted for: %s.",
		       said_text(&no_box));
	if (no_work.n)
		remark(r, REMARK_DOUBT, "No rates of work given, so few or no hours are counted for: %s.",
		       said_text(&no_work));
}

void hang_reckon(struct hang *out, const struct farm *farm, const struct stock *stock,
                 const struct hang_lots *lots, const struct hang_options *options, struct arena *a,
                 struct remarks *r)
{
	*out = (struct hang){ .farm = farm };
	set_limits(out, options);
	take_lots(out, lots, a);
	if (!out->nlots)
		return;
	set_span(out, r);
	double *points[HANG_WHATS];
	for (int what = 0; what < HANG_WHATS; what++)
		points[what] = ARENA_ARRAY(a, out->ndays + 1, double);
	out->bundles = ARENA_ARRAY(a, out->ndays + 1, double);
	out->line = points[HANG_LINE];
	out->racks = points[HANG_RACKS];
	add_stock(out, stock, points[HANG_BOXES]);
	for (size_t i = 0; i < out->nlots; i++) {
		for (int what = 0; what < HANG_WHATS; what++)
			hang_lay(out, (enum hang_what)what, &out->lots[i], 1, points[what]);
		add_days(out, &out->lots[i], out->lots[i].bundles, out->bundles);
	}
	out->weeks = ARENA_ARRAY(a, out->nweeks, struct hang_week);
	for (size_t w = 0; w < out->nweeks; w++)
		fill_week(out, w, points);
	for (size_t i = 0; i < out->nlots; i++)
		add_to_weeks(out, &out->lots[i]);
	if (!options->no_peaks)
		hang_peaks(out, (const double *const *)points, a);
	say_missing(out, a, r);
}

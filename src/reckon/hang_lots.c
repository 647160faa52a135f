/* hang_lots.c - batches as lots: days and counts made whole, and which season is meant. */
#include "reckon/hang.h"

#include <math.h>

#include "reckon/bench.h"
#include "reckon/calendar.h"
#include "reckon/drying.h"
#include "reckon/measured.h"
#include "reckon/plan_season.h"

enum { IDLE_WEEKS = 8, SEASON_WEEKS = 53, FORGOTTEN_DAYS = 60 };

struct batching {
	const struct farm *farm;
	const struct rates *rates;
	day on;
	struct arena *arena;
	day *counted, last_count; /* per crop: last count of its boxes; of all; DAY_NONE */
	double *noted;          /* per batch: stems that the log put into boxes by its name */
	double *unnamed;        /* per crop: without a batch, after its last count */
	struct said no_day, no_stems, reckoned, no_drying, forgotten;
};

static int drying_days(struct batching *t, const struct crop *crop)
{
	if (!crop->drying_days.given)
		said_add(&t->no_drying, t->arena, crop->head.name);
	return season_drying_days(crop);
}

/* False when the batch says no day at all. */
static bool set_days(struct batching *t, struct hang_lot *lot, const struct batch *b)
{
	const struct crop *crop = &t->farm->crops[b->crop];
	lot->waiting = b->boxed_on == DAY_NONE;
	lot->hung = b->hung_on != DAY_NONE ? b->hung_on : b->cut_on;
	if (lot->hung == DAY_NONE && lot->waiting)
		return false;
	if (lot->hung == DAY_NONE)
		lot->hung = b->boxed_on - drying_days(t, crop);
	lot->cut = b->cut_on != DAY_NONE ? b->cut_on : lot->hung;
	lot->boxed = b->boxed_on;
	if (lot->waiting) {
		struct drying dry;
		drying_of_batch(&dry, t->farm, lot->batch, t->on, t->arena);
		lot->boxed = dry.expected;
		if (lot->boxed == DAY_NONE)
			lot->boxed = lot->hung + drying_days(t, crop);
		if (lot->boxed + FORGOTTEN_DAYS < t->on)
			said_add(&t->forgotten, t->arena, b->id);
		if (lot->boxed <= t->on)
			lot->boxed = t->on + 1;
	}
	if (lot->boxed <= lot->hung)
		lot->boxed = lot->hung + 1;
	return true;
}

/* False when the batch says no count at all. */
static bool set_stems(struct batching *t, struct hang_lot *lot, const struct batch *b)
{
	double field = 1 - rates_at(t->rates, b->crop, STAGE_FIELD);
	double drying = 1 - rates_at(t->rates, b->crop, STAGE_DRYING);
	lot->hung_stems = b->hung;
	if (isnan(lot->hung_stems))
		lot->hung_stems = isnan(b->cut) ? b->boxed / drying : b->cut * field;
	if (!isfinite(lot->hung_stems))
		return false;
	lot->cut_stems = isnan(b->cut) ? lot->hung_stems / field : b->cut;
	lot->boxed_stems = isnan(b->boxed) ? lot->hung_stems * drying : b->boxed;
	if (isnan(b->cut) || isnan(b->hung) || (isnan(b->boxed) && !lot->waiting))
		said_add(&t->reckoned, t->arena, b->id);
	return true;
}

static bool lot_of(struct batching *t, struct hang_lot *lot, uint32_t i)
{
	const struct batch *b = &t->farm->batches[i];
	double metres = b->bed != NONE ? t->farm->beds[b->bed].metres : 0;
	*lot = (struct hang_lot){ .crop = b->crop, .batch = i, .bed = b->bed };
	lot->metres = metres > 0 ? metres : NAN;
	lot->dry_seconds = b->minutes * 60;
	if (!set_days(t, lot, b)) {
		said_add(&t->no_day, t->arena, b->id);
		return false;
	}
	if (!set_stems(t, lot, b)) {
		said_add(&t->no_stems, t->arena, b->id);
		return false;
	}
	return true;
}

/* ---- which of them are in boxes of the shed ---- */

static day count_of(const struct batching *t, uint32_t crop)
{
	return t->counted[crop] != DAY_NONE ? t->counted[crop] : t->last_count;
}

/* Boxes that the log opened were never counted. */
static void find_counts(struct batching *t)
{
	t->counted = ARENA_ARRAY(t->arena, t->farm->ncrops + 1, day);
	t->last_count = DAY_NONE;
	for (size_t c = 0; c < t->farm->ncrops; c++)
		t->counted[c] = DAY_NONE;
	for (size_t i = 0; i < t->farm->nboxes; i++) {
		const struct box *box = &t->farm->boxes[i];
		if (box->item.kind != KIND_CROP || !box->line)
			continue;
		day on = box->counted == DAY_NONE ? box->boxed : box->counted;
		day *of_crop = &t->counted[box->item.index];
		*of_crop = on > *of_crop ? on : *of_crop;
		t->last_count = on > t->last_count ? on : t->last_count;
	}
}

static void find_noted(struct batching *t)
{
	const struct farm *farm = t->farm;
	size_t *lines, n = bench_lines(&lines, farm, t->on, NULL, t->arena);
	t->noted = ARENA_ARRAY(t->arena, farm->nbatches + 1, double);
	t->unnamed = ARENA_ARRAY(t->arena, farm->ncrops + 1, double);
	for (size_t i = 0; i < n; i++) {
		const struct log_entry *e = &farm->log[lines[i]];
		if (e->event != EVENT_BOXED || e->item.kind != KIND_CROP || e->box == NONE || !(e->count > 0))
			continue;
		if (e->batch != NONE)
			t->noted[e->batch] += e->count;
		else if (e->on > count_of(t, e->item.index))
			t->unnamed[e->item.index] += e->count;
	}
}

/* What was boxed by its crop's last count is in the boxes that were counted, what the log
 * boxed is in those that it named.  Where it named no batch, the first ones boxed since the
 * count are meant. */
static void find_in_shed(struct hang_lots *out, struct batching *t)
{
	find_counts(t);
	find_noted(t);
	for (size_t i = 0; i < out->n; i++) {
		struct hang_lot *lot = &out->lots[i];
		day counted = count_of(t, lot->crop);
		if (lot->waiting || lot->boxed > t->on)
			continue;
		if (counted != DAY_NONE && lot->boxed <= counted) {
			lot->shed_stems = lot->boxed_stems;
			continue;
		}
		double noted = t->noted[lot->batch];
		if (!(noted > 0)) {
			noted = fmin(t->unnamed[lot->crop], lot->boxed_stems);
			t->unnamed[lot->crop] -= noted;
		}
		lot->shed_stems = fmin(noted, lot->boxed_stems);
	}
}

static int by_cut(const void *x, const void *y)
{
	const struct hang_lot *a = x, *b = y;
	if (a->cut != b->cut)
		return a->cut < b->cut ? -1 : 1;
	return (a->batch > b->batch) - (a->batch < b->batch);
}

/* Keeps the lots of the season that is meant; they are sorted by cut. */
static void keep_season(struct hang_lots *out, const struct business *b, day on)
{
	size_t from = 0, to = 0, kept = 0;
	day end = DAY_NONE, before = DAY_NONE;
	for (size_t i = 0; i < out->n; i++) {
		const struct hang_lot *lot = &out->lots[i];
		bool anew = i == 0 || (lot->cut > end + IDLE_WEEKS * WEEK_DAYS &&
		                       season_of(b, lot->cut) != season_of(b, out->lots[i - 1].cut));
		if (anew && i > 0 && lot->cut > on)
			break;
		if (anew) {
			from = i;
			before = end;
			end = lot->boxed;
		}
		end = lot->boxed > end ? lot->boxed : end;
		to = i + 1;
	}
	for (size_t i = from; i < to; i++) {
		if (out->lots[i].boxed > week_monday(end) - (SEASON_WEEKS - 1) * WEEK_DAYS)
			out->lots[kept++] = out->lots[i];
	}
	out->earlier = from;
	out->earlier_on = before;
	out->later = out->n - to;
	out->beyond = to - from - kept;
	out->n = kept;
}

static void gather(struct hang_lots *out, struct batching *t, bool waiting)
{
	const struct farm *farm = t->farm;
	*out = (struct hang_lots){ .lots = ARENA_ARRAY(t->arena, farm->nbatches + 1, struct hang_lot) };
	for (uint32_t i = 0; i < farm->nbatches; i++) {
		if (!waiting || farm->batches[i].boxed_on == DAY_NONE)
			out->n += lot_of(t, &out->lots[out->n], i);
	}
	if (out->n)
		qsort(out->lots, out->n, sizeof *out->lots, by_cut);
	find_in_shed(out, t);
}

/* What is left out, and the day that shows it. */
static void say_seasons(const struct hang_lots *out, struct remarks *r)
{
	char text[11];
	if (out->earlier) {
		date_print(out->earlier_on, text);
		remark(r, REMARK_ASSUMED,
		       "Of batches.csv %zu %s of an earlier season and left out; --on %s shows %s.", out->earlier,
		       out->earlier == 1 ? "batch is" : "batches are", text,
		       out->earlier == 1 ? "it" : "the season before");
	}
	if (out->later)
		remark(r, REMARK_ASSUMED, "Of batches.csv %zu %s of a later season and left out.", out->later,
		       out->later == 1 ? "batch is" : "batches are");
	if (out->beyond)
		remark(r, REMARK_ASSUMED,
		       "Only the last %d weeks of cutting and drying are looked at: %zu of batches.csv %s left out.",
		       SEASON_WEEKS, out->beyond, out->beyond == 1 ? "is" : "are");
}

static void say(struct batching *t, struct remarks *r)
{
	if (t->no_day.n)
		remark(r, REMARK_DOUBT, "batches.csv says no day, so these are left out: %s.",
		       said_text(&t->no_day));
	if (t->no_stems.n)
		remark(r, REMARK_DOUBT, "batches.csv says no number of stems, so these are left out: %s.",
		       said_text(&t->no_stems));
	if (t->reckoned.n)
		remark(r, REMARK_ASSUMED,
		       "Not every count is in batches.csv; the rest is reckoned with the usual losses: %s.",
		       said_text(&t->reckoned));
	if (t->no_drying.n)
		remark(r, REMARK_ASSUMED, "No drying days given, counted as %d: %s.", SEASON_DRYING_DAYS,
		       said_text(&t->no_drying));
	if (t->forgotten.n)
		remark(r, REMARK_DOUBT,
		       "Hung long ago and by batches.csv never boxed, so still counted as hanging: %s.",
		       said_text(&t->forgotten));
}

void hang_batches(struct hang_lots *out, const struct farm *farm, const struct rates *rates, day on,
                  struct arena *a, struct remarks *r)
{
	struct batching t = { .farm = farm, .rates = rates, .on = on, .arena = a };
	gather(out, &t, false);
	keep_season(out, &farm->business, on);
	say_seasons(out, r);
	say(&t, r);
}

void hang_waiting(struct hang_lots *out, const struct farm *farm, const struct rates *rates, day on,
                  struct arena *a, struct remarks *r)
{
	struct batching t = { .farm = farm, .rates = rates, .on = on, .arena = a };
	gather(out, &t, true);
	say(&t, r);
}

/* hang_lots.c - batches as lots: days and counts made whole, and which season is meant. */
#include "reckon/hang.h"

#include <math.h>

#include "reckon/calendar.h"
#include "reckon/drying.h"

enum { IDLE_WEEKS = 8, SEASON_WEEKS = 53, FORGOTTEN_DAYS = 60 };

struct batching {
	const struct farm *farm;
	const struct rates *rates;
	day on;
	struct arena *arena;
	day *counted, last_count; /* per crop: last count of its boxes; of all; DAY_NONE */
	struct said no_day, no_stems, reckoned, no_drying, forgotten;
};

static int drying_days(struct batching *t, const struct crop *crop)
{
	if (crop->drying_days.given)
		return (int)fmax(ceil(crop->drying_days.v - 1e-9), 1);
	said_add(&t->no_drying, t->arena, crop->head.name);
	return HANG_DRYING_DAYS;
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
	day counted = t->counted[b->crop] != DAY_NONE ? t->counted[b->crop] : t->last_count;
	lot->in_stock = !lot->waiting && lot->boxed <= t->on && counted != DAY_NONE && lot->boxed <= counted;
	return true;
}

/* What was boxed by its crop's last count is in the boxes that were counted. */
static void find_counts(struct batching *t)
{
	t->counted = ARENA_ARRAY(t->arena, t->farm->ncrops + 1, day);
	t->last_count = DAY_NONE;
	for (size_t c = 0; c < t->farm->ncrops; c++)
		t->counted[c] = DAY_NONE;
	for (size_t i = 0; i < t->farm->nboxes; i++) {
		const struct box *box = &t->farm->boxes[i];
		if (box->item.kind != KIND_CROP)
			continue;
		day on = box->counted == DAY_NONE ? box->boxed : box->counted;
		day *of_crop = &t->counted[box->item.index];
		*of_crop = on > *of_crop ? on : *of_crop;
		t->last_count = on > t->last_count ? on : t->last_count;
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
static void keep_season(struct hang_lots *out, day on)
{
	size_t from = 0, to = 0, kept = 0;
	day end = DAY_NONE, last = DAY_NONE;
	for (size_t i = 0; i < out->n; i++) {
		const struct hang_lot *lot = &out->lots[i];
		bool anew = i == 0 || lot->cut > end + IDLE_WEEKS * WEEK_DAYS;
		if (anew && i > 0 && lot->cut > on)
			break;
		if (anew) {
			from = i;
			end = lot->boxed;
		}
		end = lot->boxed > end ? lot->boxed : end;
		last = end;
		to = i + 1;
	}
	for (size_t i = from; i < to; i++) {
		if (out->lots[i].boxed > week_monday(last) - (SEASON_WEEKS - 1) * WEEK_DAYS)
			out->lots[kept++] = out->lots[i];
	}
	out->left_out = out->n - kept;
	out->n = kept;
}

static void gather(struct hang_lots *out, struct batching *t, bool waiting)
{
	const struct farm *farm = t->farm;
	*out = (struct hang_lots){ .lots = ARENA_ARRAY(t->arena, farm->nbatches + 1, struct hang_lot) };
	find_counts(t);
	for (uint32_t i = 0; i < farm->nbatches; i++) {
		if (!waiting || farm->batches[i].boxed_on == DAY_NONE)
			out->n += lot_of(t, &out->lots[out->n], i);
	}
	if (out->n)
		qsort(out->lots, out->n, sizeof *out->lots, by_cut);
}

static void say(struct batching *t, struct remarks *r, size_t left_out)
{
	if (left_out)
		remark(r, REMARK_ASSUMED, "Of batches.csv %zu %s in other seasons and %s left out.", left_out,
		       left_out == 1 ? "batch is" : "batches are", left_out == 1 ? "is" : "are");
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
		remark(r, REMARK_ASSUMED, "No drying days given, counted as %d: %s.", HANG_DRYING_DAYS,
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
	keep_season(out, on);
	say(&t, r, out->left_out);
}

void hang_waiting(struct hang_lots *out, const struct farm *farm, const struct rates *rates, day on,
                  struct arena *a, struct remarks *r)
{
	struct batching t = { .farm = farm, .rates = rates, .on = on, .arena = a };
	gather(out, &t, true);
	say(&t, r, 0);
}

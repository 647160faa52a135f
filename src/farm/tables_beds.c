/* tables_beds.c - beds of the season and batches that hung. */
#include "base/buf.h"
#include "farm/tables_in.h"

static double or_zero(const struct value *v)
{
	return given(v) ? v->number : 0;
}

/* An error when the cell holds more than there was to take it from. */
static void no_more_than(struct table_reader *t, size_t column, double most, const char *of_what)
{
	const struct value *v = &t->values[column];
	if (!given(v) || !(v->number > most))
		return;
	struct buf b;
	buf_init(&b, 64);
	number_print_short(&b, most, 3);
	cell_error(t, column, "%s is more than the %s stems that were %s.", cell_quote(t, column),
	           b.data, of_what);
	buf_release(&b);
}

/* ---- beds ---- */

void beds_begin(struct table_reader *t, size_t lines)
{
	t->l->farm->beds = ARENA_ARRAY(t->l->arena, lines + 1, struct bed);
}

static void check_bed(struct table_reader *t, const struct bed *bed)
{
	const struct value *v = t->values;
	cell_colour_of(t, BEDS_COLOUR, bed->crop);
	no_more_than(t, BEDS_FRESH, bed->cut, "cut");
	if (bed->fresh <= bed->cut)
		no_more_than(t, BEDS_BOXED, bed->cut - bed->fresh, "cut and not sold fresh");
	if (bed->establishment > 0 && !given(&v[BEDS_BEARS])) {
		cell_error(t, BEDS_BEARS, "Over how many years to spread the establishment is not said.");
		diag_hint(t->l->diag, "fill column `bears` with the years that the bed bears");
	}
}

void beds_row(struct table_reader *t)
{
	const struct value *v = t->values;
	struct farm *farm = t->l->farm;
	struct bed *bed = &farm->beds[farm->nbeds++];
	*bed = (struct bed){
		.id = text_of(&v[BEDS_BED]),
		.crop = v[BEDS_CROP].ref,
		.colour = v[BEDS_COLOUR].ref,
		.metres = or_zero(&v[BEDS_METRES]),
		.plants = or_zero(&v[BEDS_PLANTS]),
		.planted = v[BEDS_PLANTED].date,
		.money = or_zero(&v[BEDS_MONEY]),
		.hours = or_zero(&v[BEDS_HOURS]),
		.cut_hours = v[BEDS_CUT_HOURS].number,
		.dry_hours = v[BEDS_DRY_HOURS].number,
		.cut = v[BEDS_CUT].number,
		.fresh = or_zero(&v[BEDS_FRESH]),
		.boxed = v[BEDS_BOXED].number,
		.establishment = or_zero(&v[BEDS_ESTABLISHMENT]),
		.bears = or_zero(&v[BEDS_BEARS]),
		.line = t->csv->line,
	};
	row_id(t, BEDS_BED);
	if (!t->bad)
		check_bed(t, bed);
}

/* ---- batches ---- */

const char *cause_name(enum cause c)
{
	static const char *const name[] = { "mould", "shatter", "colour", "breakage", "pest", "other" };
	return c < CAUSE_COUNT ? name[c] : "cause";
}

void batches_begin(struct table_reader *t, size_t lines)
{
	t->all->cap_batches = lines + 1;
	t->l->farm->batches = ARENA_ARRAY(t->l->arena, t->all->cap_batches, struct batch);
}

static struct str next_bed(void *context, size_t i)
{
	const struct farm *farm = context;
	return i < farm->nbeds ? farm->beds[i].id : STR_NONE;
}

enum { LISTED_MOST = 8 };

static void hint_beds(const struct farm *farm, struct diag *diag)
{
	struct buf b;
	buf_init(&b, 4000);
	for (size_t i = 0; i < farm->nbeds && i < LISTED_MOST; i++)
		buf_printf(&b, "%s%s", i ? ", " : "", diag_quote(diag, farm->beds[i].id));
	if (farm->nbeds)
		diag_hint(diag, "its beds are %s%s", b.data, farm->nbeds > LISTED_MOST ? " and more" : "");
	buf_release(&b);
}

static uint32_t find_bed(struct table_reader *t, uint32_t crop)
{
	const struct value *v = &t->values[BATCHES_BED];
	struct farm *farm = t->l->farm;
	struct diag *diag = t->l->diag;
	uint32_t bed;
	if (!given(v) || t->all->failed[TABLE_BEDS])
		return NONE;
	if (!farm->has_beds) {
		cell_warn(t, BATCHES_BED, "There is no beds.csv that would tell of the bed %s.",
		          cell_quote(t, BATCHES_BED));
		return NONE;
	}
	if (!ids_find(&t->all->ids[TABLE_BEDS], t->l->arena, text_of(v), &bed)) {
		cell_error(t, BATCHES_BED, "beds.csv has no bed %s.", cell_quote(t, BATCHES_BED));
		struct str near = diag_nearest(text_of(v), next_bed, farm);
		if (near.n)
			diag_hint(diag, "did you mean %s?", diag_quote(diag, near));
		else
			hint_beds(farm, diag);
		return NONE;
	}
	if (farm->beds[bed].crop != crop) {
		const struct csv_cell *id = &t->all->ids[TABLE_BEDS].keys[bed];
		cell_error(t, BATCHES_BED, "In the bed %s grows %s, not %s.", cell_quote(t, BATCHES_BED),
		           diag_quote(diag, farm->crops[farm->beds[bed].crop].head.name),
		           diag_quote(diag, farm->crops[crop].head.name));
		diag_also(diag, (struct span){ t->all->source[TABLE_BEDS], id->off, id->len },
		          "the bed's row");
	}
	return bed;
}

/* One `2026-08-01 412` of the cell. */
static bool read_weighing(struct table_reader *t, struct str part, double tare, struct weighing *w)
{
	struct diag *diag = t->l->diag;
	const char *blank = memchr(part.p, ' ', part.n);
	struct str date = { part.p, blank ? (size_t)(blank - part.p) : part.n };
	if (!blank || !date_parse(date, &w->on)) {
		cell_error(t, BATCHES_WEIGHINGS, "%s is no day and weight.", diag_quote(diag, part));
		diag_hint(diag, "weighings look like this: 2026-08-01 412; 2026-08-03 388");
		return false;
	}
	struct str grams = str_trim((struct str){ blank, part.n - date.n });
	if (!cell_number(t, BATCHES_WEIGHINGS, grams, &w->grams))
		return false;
	if (w->grams <= tare) {
		cell_error(t, BATCHES_WEIGHINGS, "%s is no more than the tare.", diag_quote(diag, part));
		return false;
	}
	return true;
}

static void read_weighings(struct table_reader *t, struct batch *batch)
{
	struct str rest = text_of(&t->values[BATCHES_WEIGHINGS]), part;
	size_t cap = 0;
	while (cell_part(&rest, &part)) {
		struct weighing w;
		if (part.n == 0) /* a `;` at the end */
			continue;
		if (!read_weighing(t, part, batch->tare, &w))
			return;
		if (batch->nweighings && w.on <= batch->weighings[batch->nweighings - 1].on) {
			cell_error(t, BATCHES_WEIGHINGS, "%s does not come later than the weighing before it.",
			           diag_quote(t->l->diag, part));
			return;
		}
		*ARENA_PUSH(t->l->arena, batch->weighings, batch->nweighings, cap) = w;
	}
}

/* Causes rank what went wrong, the rate comes from hung and boxed: so a sum that is
 * a little too high is said and no more; one above what hung cannot be. */
static void check_losses(struct table_reader *t, const struct batch *batch)
{
	double sum = 0;
	struct buf b;
	for (size_t i = 0; i < CAUSE_COUNT; i++)
		sum += batch->lost[i];
	bool over_hung = sum > batch->hung;
	if (!over_hung && !(sum > batch->hung - batch->boxed))
		return;
	buf_init(&b, 128);
	buf_text(&b, "The causes make ");
	number_print_short(&b, sum, 3);
	buf_text(&b, " stems lost, but ");
	number_print_short(&b, over_hung ? batch->hung : batch->hung - batch->boxed, 3);
	if (over_hung)
		cell_error(t, BATCHES_HUNG, "%s were hung.", b.data);
	else
		cell_warn(t, BATCHES_BOXED, "%s are missing between hung and boxed.", b.data);
	buf_release(&b);
}

static void check_batch(struct table_reader *t, struct batch *batch)
{
	const struct value *v = t->values;
	cell_colour_of(t, BATCHES_COLOUR, batch->crop);
	batch->bed = find_bed(t, batch->crop);
	cells_in_order(t, BATCHES_CUT_ON, BATCHES_HUNG_ON);
	cells_in_order(t, BATCHES_HUNG_ON, BATCHES_BOXED_ON);
	if (!given(&v[BATCHES_HUNG_ON]))
		cells_in_order(t, BATCHES_CUT_ON, BATCHES_BOXED_ON);
	no_more_than(t, BATCHES_HUNG, batch->cut, "cut");
	no_more_than(t, BATCHES_BOXED, batch->hung, "hung");
	if (!given(&v[BATCHES_HUNG]))
		no_more_than(t, BATCHES_BOXED, batch->cut, "cut");
	if (!(batch->boxed > batch->hung))
		check_losses(t, batch);
	if (given(&v[BATCHES_WEIGHINGS]))
		read_weighings(t, batch);
}

void batches_row(struct table_reader *t)
{
	const struct value *v = t->values;
	struct farm *farm = t->l->farm;
	struct batch *batch = &farm->batches[farm->nbatches++];
	*batch = (struct batch){
		.id = text_of(&v[BATCHES_BATCH]),
		.crop = v[BATCHES_CROP].ref,
		.bed = NONE,
		.colour = v[BATCHES_COLOUR].ref,
		.length = given(&v[BATCHES_LENGTH]) ? v[BATCHES_LENGTH].number : 0,
		.cut_on = v[BATCHES_CUT_ON].date,
		.hung_on = v[BATCHES_HUNG_ON].date,
		.boxed_on = v[BATCHES_BOXED_ON].date,
		.cut = v[BATCHES_CUT].number,
		.hung = v[BATCHES_HUNG].number,
		.boxed = v[BATCHES_BOXED].number,
		.minutes = v[BATCHES_MINUTES].number,
		.tare = or_zero(&v[BATCHES_TARE]),
		.line = t->csv->line,
	};
	for (size_t i = 0; i < CAUSE_COUNT; i++)
		batch->lost[i] = or_zero(&v[BATCHES_LOST + i]);
	row_id(t, BATCHES_BATCH);
	if (!t->bad)
		check_batch(t, batch);
}

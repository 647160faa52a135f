/* help_small.c - see help_small.h. */
#include "help_small.h"

#include <math.h>

#include "help_farm.h"
#include "reckon/calendar.h"

enum { DAYS = 798 };

void small_load(struct small *s, const char *text, const char *stock, const char *orders)
{
	struct load_options options = { 0 };
	s->folder = help_folder();
	help_write(help_path(s->folder, "farm.txt"), text);
	if (stock)
		help_write(help_path(s->folder, "stock.csv"), stock);
	if (orders)
		help_write(help_path(s->folder, "orders.csv"), orders);
	arena_init(&s->arena);
	diag_init(&s->diag, &s->arena);
	if (farm_load(&s->farm, &s->arena, s->folder, &options, &s->diag))
		fail_msg("%.*s\n%s", STR_ARG(s->diag.items[0].text), text);
	assert_int_equal(reckon(&s->now, s->farm, build_day("2026-11-25"), RECKON_PRICES, false, NULL,
				&s->arena, &s->diag),
			 0);
}

void small_text(struct small *s, const char *text)
{
	small_load(s, text, NULL, NULL);
}

void small_unload(struct small *s)
{
	help_remove(s->folder);
	arena_release(&s->arena);
}

int small_pick(uint64_t *rng, int low, int high)
{
	return low + (int)(build_random(rng) * (high - low + 1));
}

/* Sown in spring (standing -1), or standing (1; 0: by chance); on the line, or on racks.  rich: in
 * colours. */
void small_crop(struct buf *b, uint64_t *rng, int c, bool rich, int standing)
{
	bool stands = standing ? standing > 0 : small_pick(rng, 0, 3) == 0;
	buf_printf(b, "crop C%d\n  loses %d%% field, %d%% drying, 1%% storage per month\n", c,
		   small_pick(rng, 0, 15), small_pick(rng, 0, 15));
	if (small_pick(rng, 0, 3))
		buf_printf(b, "  hangs %d stem per bundle, %d cm of line per bundle, %d days\n", small_pick(rng, 5, 20),
			   small_pick(rng, 5, 12), small_pick(rng, 7, 16));
	else
		buf_printf(b, "  lies %d stem per m2 of rack, %d days\n", small_pick(rng, 100, 400), small_pick(rng, 5, 12));
	buf_printf(b, "  boxes %d stem per box\n  works cut %d, strip 400, bundle 300 stem per h; box 90 s per box\n",
		   small_pick(rng, 20, 60), small_pick(rng, 100, 500));
	if (stands)
		buf_printf(b,
			   "  stands %d m of bed, planted 2024-05-10, bears 6 years, 30 to plant\n"
			   "  plants on 2024-05-10, 25 cm apart, %d rows, 90%% live\n"
			   "  cuts on 2027-07-0%d, over %d weeks, %d stem per plant%s\n",
			   standing ? 1 : small_pick(rng, 1, 3), small_pick(rng, 1, 3), small_pick(rng, 1, 9), small_pick(rng, 1, 5),
			   small_pick(rng, 3, 9), small_pick(rng, 0, 3) ? "" : ", usually 2 to 12");
	else
		buf_printf(b,
			   "  sows 7 weeks before last frost, germinates 80%%, 50 cells per tray, 3 per %d seeds\n"
			   "  plants %d weeks after last frost, 25 cm apart, %d rows, 90%% live\n"
			   "  cuts from 10 weeks after planting, over %d weeks, %d stem per plant%s\n",
			   small_pick(rng, 10, 100), small_pick(rng, 1, 4), small_pick(rng, 2, 5), small_pick(rng, 2, 6), small_pick(rng, 3, 9),
			   small_pick(rng, 0, 3) ? "" : ", usually 2 to 12");
	if (rich)
		buf_text(b, small_pick(rng, 0, 1) ? "  colours rust 50%, gold 30%, white 20%\n"
					    : "  colours rust, gold, white\n");
}

static double seconds(const struct crop *c, enum work w, double stems, double boxes)
{
	return c->works[w].seconds.v * (c->works[w].per == PER_BOX ? boxes : stems);
}

/* Stems that a standing bed bears in a usual season: whole plants in each row. */
static double bears(const struct crop *c)
{
	const struct planting *p = &c->plantings[0];
	return floor(floor(c->standing.metres.v / p->apart.v + 1e-9) * p->rows.v * p->live.v * c->cutting.per_plant.v +
		     1e-9);
}

/* What a plan takes, counted anew: day by day, week by week, lot by lot. */
struct by_hand small_room(const struct farm *farm, const struct plan *plan)
{
	struct by_hand out = { .beyond = 0 };
	double line[DAYS] = { 0 }, racks[DAYS] = { 0 }, work[DAYS / 7 + 1] = { 0 };
	day zero = build_day("2026-12-28"); /* a Monday */
	for (size_t c = 0; c < farm->ncrops; c++) {
		const struct crop *crop = &farm->crops[c];
		out.room.metres += crop->standing.metres.v;
		if (crop->standing.metres.given)
			out.beyond += fmax(0, (double)plan->crops[c].cut - bears(crop));
		for (size_t i = 0; i < plan->crops[c].nsowings; i++) {
			const struct plan_sowing *s = &plan->crops[c].sowings[i];
			out.room.metres += s->planned && !crop->standing.metres.given ? s->metres : 0;
			for (size_t w = 0; s->planned && w < s->nweeks; w++) {
				double hung = s->weeks[w].stems * (1 - crop->loss[STAGE_FIELD].v);
				double boxed = hung * (1 - crop->loss[STAGE_DRYING].v), boxes = boxed / crop->per_box.v;
				day from = s->weeks[w].monday > s->first_cut ? s->weeks[w].monday : s->first_cut;
				day to = from + (day)crop->drying_days.v;
				for (day d = from; d < to && crop->bundle.v > 0; d++)
					line[d - zero] += ceil(hung / crop->bundle.v - 1e-9) * crop->bundle_line.v;
				for (day d = from; d < to && crop->per_area.v > 0; d++)
					racks[d - zero] += hung / crop->per_area.v;
				work[(from - zero) / 7] += seconds(crop, WORK_CUT, s->weeks[w].stems, 0) +
							   seconds(crop, WORK_STRIP, s->weeks[w].stems, 0) +
							   seconds(crop, WORK_BUNDLE, hung, 0);
				work[(to - zero) / 7] += seconds(crop, WORK_BOX, boxed, boxes);
				out.room.boxes += boxes;
			}
		}
	}
	for (size_t d = 0; d < DAYS; d++) {
		out.room.line = fmax(out.room.line, line[d]);
		out.room.racks = fmax(out.room.racks, racks[d]);
		out.room.hours = fmax(out.room.hours, work[d / 7] / 3600);
	}
	for (size_t i = 0; i < plan->nlines; i++)
		out.beyond += plan->lines[i].lacking;
	return out;
}

bool small_holds(const struct plan_room *used, const struct plan_room *limits)
{
	return used->metres <= limits->metres * (1 + 1e-9) && used->line <= limits->line * (1 + 1e-9) &&
	       used->racks <= limits->racks * (1 + 1e-9) && used->hours <= limits->hours * (1 + 1e-9) &&
	       ceil(used->boxes - 1e-6) <= limits->boxes;
}

/* What the targets bring less what growing costs. */
double small_earned(const struct plan *plan, size_t targets)
{
	double sum = -plan->money.total;
	for (size_t t = 0; t < targets; t++)
		sum += plan->lines[t].contribution;
	return sum;
}

void small_plan(struct plan *plan, const struct small *s, size_t number, struct arena *a)
{
	struct remarks aside;
	struct diag diag;
	struct plan_wish wishes[TARGETS_MOST];
	remarks_init(&aside, a);
	diag_init(&diag, a);
	for (size_t t = 0; t < s->farm->ntargets; t++) {
		const struct target *from = &s->farm->targets[t];
		size_t most = (size_t)from->count.v + 1;
		wishes[t] = (struct plan_wish){ from->piece, from->outlet, (double)(number % most), from->by,
						from->sure.given ? from->sure.v : (double)NAN };
		number /= most;
	}
	struct plan_options options = { .wishes = wishes, .nwishes = s->farm->ntargets, .has_wishes = true };
	assert_int_equal(plan_reckon(plan, s->farm, &s->now.stock, &s->now.costs, &s->now.prices, &options, a,
				     &aside, &diag),
			 0);
}

size_t small_plans(const struct small *s)
{
	size_t total = 1;
	for (size_t t = 0; t < s->farm->ntargets; t++)
		total *= (size_t)s->farm->targets[t].count.v + 1;
	return total;
}

/* Limits between nothing and what all targets would take; each of them now and then none. */
struct plan_room small_limits(struct small *s, uint64_t *rng)
{
	struct plan plan;
	struct plan_room limits;
	small_plan(&plan, s, small_plans(s) - 1, &s->arena);
	struct plan_room all = small_room(s->farm, &plan).room;
	assert_near(all.metres, plan.metres);
	limits.metres = small_pick(rng, 0, 2) ? floor(all.metres * (0.2 + build_random(rng))) : (double)NAN;
	limits.line = small_pick(rng, 0, 2) ? floor(all.line * (0.2 + build_random(rng))) : (double)NAN;
	limits.racks = small_pick(rng, 0, 2) ? floor(all.racks * (0.2 + build_random(rng))) : (double)NAN;
	limits.boxes = small_pick(rng, 0, 2) ? floor(all.boxes * (0.2 + build_random(rng)) + 0.5) : (double)NAN;
	limits.hours = small_pick(rng, 0, 1) ? all.hours * (0.3 + build_random(rng)) : (double)NAN;
	return limits;
}

/* Every limit counts. */
struct plan_room small_every(struct plan_room l)
{
	double *all[] = { &l.metres, &l.line, &l.racks, &l.boxes, &l.hours };
	for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
		*all[i] = isnan(*all[i]) ? INFINITY : *all[i];
	return l;
}


/* variance.c - see variance.h. */
#include "reckon/variance.h"

#include <math.h>

#include "reckon/bench.h"
#include "reckon/cost.h"

struct input_variance variance_input(double actual, double actual_price, double standard,
                                     double standard_price)
{
	double price = (actual_price - standard_price) * actual;
	double usage = (actual - standard) * standard_price;
	return (struct input_variance){ price, usage, price + usage };
}

struct mix_variance variance_mix(struct mix_input *inputs, size_t n, double standard_output,
                                 double actual_output)
{
	struct mix_variance v = { 0 };
	double actual = 0, standard = 0;
	for (size_t i = 0; i < n; i++) {
		actual += inputs[i].actual;
		standard += inputs[i].standard;
	}
	for (size_t i = 0; i < n; i++) {
		struct mix_input *in = &inputs[i];
		double blend = actual * in->standard / standard;
		double allowed = in->standard * actual_output / standard_output;
		in->mix = (in->actual - blend) * in->price;
		in->yield = (blend - allowed) * in->price;
		v.mix += in->mix;
		v.yield += in->yield;
		v.standard += allowed * in->price;
	}
	return v;
}

struct overhead_taken overhead_take(double money, double hours_meant, double hours_worked)
{
	struct overhead_taken o = { .rate = hours_meant > 0 ? money / hours_meant : 0 };
	o.taken = o.rate * hours_worked;
	o.short_by = money - o.taken;
	return o;
}

/* ---- from the bench log ---- */

struct reading {
	struct variances *out;
	const struct farm *farm;
	struct arena *arena;
	const struct stemcosts *stems;
	double wage, paid;
	double *recipe, *drawn; /* per crop: stems of the line at hand */
};

static double standard_price(const struct reading *r, uint32_t crop)
{
	const struct crop *c = &r->farm->crops[crop];
	if (c->cost.given)
		return c->cost.v;
	if (c->bought.given)
		return c->bought.v;
	return r->stems ? r->stems->crops[crop].per_boxed : (double)NAN;
}

static struct stem_use *use_of(struct reading *r, struct made *m, uint32_t crop)
{
	for (size_t i = 0; i < m->nuses; i++) {
		if (m->uses[i].crop == crop)
			return &m->uses[i];
	}
	struct stem_use *use = ARENA_PUSH(r->arena, m->uses, m->nuses, m->cap);
	*use = (struct stem_use){ .crop = crop, .at = standard_price(r, crop) };
	return use;
}

static void add_stems(struct reading *r, struct made *m, const struct log_entry *e)
{
	for (uint32_t crop = 0; crop < r->farm->ncrops; crop++) {
		if (!(r->drawn[crop] > 0))
			continue;
		struct stem_use *use = use_of(r, m, crop);
		use->drawn += r->drawn[crop];
		use->recipe += r->recipe[crop];
	}
	for (size_t i = 0; i < e->ndrawn; i++) {
		const struct box *box = &r->farm->boxes[e->drawn[i].box];
		if (box->item.kind != KIND_CROP || isnan(box->price) || !(e->drawn[i].stems > 0))
			continue;
		struct stem_use *use = use_of(r, m, box->item.index);
		use->bought += e->drawn[i].stems;
		use->paid += box->price * e->drawn[i].stems;
		if (!isnan(use->at))
			use->price += (box->price - use->at) * e->drawn[i].stems;
	}
}

static void add_labour(struct reading *r, struct made *m, const struct log_entry *e)
{
	double recipe = bench_recipe_seconds(r->farm, e) / 60;
	if (isnan(e->minutes) || !(recipe > 0))
		return;
	m->timed++;
	m->minutes += e->minutes;
	m->recipe_minutes += recipe;
	struct input_variance v = variance_input(e->minutes / 60, r->paid, recipe / 60, r->wage);
	m->rate += v.price;
	m->efficiency += v.usage;
}

static void add_line(struct reading *r, struct made *m, const struct log_entry *e, bool told)
{
	m->lines++;
	m->unsaid += isnan(e->minutes) != 0;
	m->count += e->count;
	add_labour(r, m, e);
	if (told)
		add_stems(r, m, e);
}

static void split_usage(struct reading *r, struct made *m)
{
	struct mix_input *in = ARENA_ARRAY(r->arena, m->nuses, struct mix_input);
	size_t n = 0, with_recipe = 0;
	for (size_t i = 0; i < m->nuses; i++) {
		struct stem_use *use = &m->uses[i];
		m->price += use->price;
		if (isnan(use->at))
			continue;
		use->usage = (use->drawn - use->recipe) * use->at;
		m->usage += use->usage;
		with_recipe += use->recipe > 0;
		in[n++] = (struct mix_input){ use->recipe, use->at, use->drawn, 0, 0 };
	}
	m->mixed = with_recipe >= 2;
	if (!m->mixed)
		return;
	struct mix_variance v = variance_mix(in, n, 1, 1);
	m->mix = v.mix;
	m->yield = v.yield;
	n = 0;
	for (size_t i = 0; i < m->nuses; i++) {
		if (isnan(m->uses[i].at))
			continue;
		m->uses[i].mix = in[n].mix;
		m->uses[i].yield = in[n++].yield;
	}
}

/* ---- by item and month ---- */

struct made_line {
	struct item item;
	int year, month;
	size_t order;
	const struct log_entry *e;
};

static int by_item(const void *x, const void *y)
{
	const struct made_line *a = x, *b = y;
	if (a->item.kind != b->item.kind)
		return a->item.kind < b->item.kind ? -1 : 1;
	if (a->item.index != b->item.index)
		return a->item.index < b->item.index ? -1 : 1;
	return (a->order > b->order) - (a->order < b->order);
}

static void read_lines(struct reading *r, const struct made_line *lines, size_t n)
{
	struct variances *out = r->out;
	out->months = ARENA_ARRAY(r->arena, n, struct made);
	out->items = ARENA_ARRAY(r->arena, n, struct made);
	out->lines = ARENA_ARRAY(r->arena, n, const struct log_entry *);
	out->nlines = n;
	for (size_t i = 0; i < n; i++) {
		const struct made_line *l = &lines[i];
		out->lines[i] = l->e;
		bool same = i > 0 && same_item(l[-1].item, l->item);
		if (!same)
			out->items[out->nitems++] = (struct made){ .item = l->item, .first = i };
		if (!same || l[-1].year != l->year || l[-1].month != l->month)
			out->months[out->nmonths++] =
			    (struct made){ .item = l->item, .year = l->year, .month = l->month, .first = i };
		bool told = bench_stems(r->farm, l->e, r->drawn, r->recipe);
		out->left_out += !told;
		add_line(r, &out->months[out->nmonths - 1], l->e, told);
		add_line(r, &out->items[out->nitems - 1], l->e, told);
	}
	for (size_t i = 0; i < out->nmonths; i++)
		split_usage(r, &out->months[i]);
	for (size_t i = 0; i < out->nitems; i++)
		split_usage(r, &out->items[i]);
}

void variances_reckon(struct variances *out, const struct farm *farm, day from, day on, double paid,
                      const struct stemcosts *stems, struct arena *a)
{
	const struct business *b = &farm->business;
	struct reading r = { .out = out, .farm = farm, .arena = a, .stems = stems,
		             .wage = burdened_wage(b),
		             .paid = isnan(paid) ? burdened_wage(b) : paid,
		             .recipe = ARENA_ARRAY(a, farm->ncrops, double),
		             .drawn = ARENA_ARRAY(a, farm->ncrops, double) };
	size_t *order, n = bench_lines(&order, farm, on, NULL, a), made = 0;
	struct made_line *lines = ARENA_ARRAY(a, n, struct made_line);
	*out = (struct variances){ .first = DAY_NONE };
	for (size_t i = 0; i < n; i++) {
		const struct log_entry *e = &farm->log[order[i]];
		if (from != DAY_NONE && e->on < from)
			continue;
		if (out->first == DAY_NONE)
			out->first = e->on;
		if (!isnan(e->minutes))
			out->hours += e->minutes / 60;
		if (e->event != EVENT_MADE || isnan(e->count) ||
		    (e->item.kind != KIND_PART && e->item.kind != KIND_PIECE))
			continue;
		struct civil c = date_civil(e->on);
		lines[made++] = (struct made_line){ e->item, c.year, c.month, i, e };
	}
	if (made)
		qsort(lines, made, sizeof *lines, by_item);
	read_lines(&r, lines, made);
	out->overhead = overhead_take(b->overhead.v, b->overhead_hours.v, out->hours);
}

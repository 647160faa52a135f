/* cost.c - parts from the deepest up, then pieces. */
#include "reckon/cost.h"

#include <math.h>

double burdened_wage(const struct business *b)
{
	return b->wage.v * (1 + b->wage_burden.v);
}

double overhead_rate(const struct business *b)
{
	return b->overhead_hours.v > 0 ? b->overhead.v / b->overhead_hours.v : 0;
}

/* k of `for each batch of up to k`; 0 when the task is for each. */
static int64_t batch_of(const struct task *task)
{
	if (!task->batch.given)
		return 0;
	return task->batch.v >= 1 ? (int64_t)fmin(task->batch.v, 1e15) : 1;
}

double labour_run_seconds(const struct task *tasks, size_t ntasks, int64_t n)
{
	double sum = 0;
	if (n <= 0)
		return 0;
	for (size_t i = 0; i < ntasks; i++) {
		int64_t k = batch_of(&tasks[i]);
		int64_t times = k ? n / k + (n % k != 0) : n;
		sum += tasks[i].seconds.v * (double)times;
	}
	return sum;
}

double labour_unit_seconds(const struct task *tasks, size_t ntasks, double *setup)
{
	double each = 0, batches = 0;
	for (size_t i = 0; i < ntasks; i++) {
		int64_t k = batch_of(&tasks[i]);
		if (k)
			batches += tasks[i].seconds.v / (double)k;
		else
			each += tasks[i].seconds.v;
	}
	if (setup)
		*setup = batches;
	return each + batches;
}

/* ---- one maker ---- */

struct maker {                  /* a part or piece, as far as its cost goes */
	const struct need *needs;
	size_t nneeds;
	const struct task *tasks;
	size_t ntasks;
	double makes;
};

struct costing {
	struct costs *out;
	const struct farm *farm;
	const struct stemcosts *stems;
	struct arena *arena;
	struct said priceless, timeless;
};

static void cost_crop(struct costing *c, struct cost_line *line)
{
	const struct stem_cost *stem = &c->stems->crops[line->item.index];
	line->known = !isnan(stem->per_usable);
	line->each = line->known ? stem->per_usable : 0;
	line->source = stem->source;
	line->money = line->stems = line->count * line->each;
}

static void cost_supply(struct costing *c, struct cost_line *line)
{
	const struct supply *supply = &c->farm->supplies[line->item.index];
	line->known = supply->cost.given;
	line->each = line->known ? supply->cost.v : 0;
	line->money = line->supplies = line->count * line->each;
	if (!line->known)
		said_add(&c->priceless, c->arena, supply->head.name);
}

static void cost_part(struct costing *c, struct cost_line *line, double *setup)
{
	const struct make_cost *part = &c->out->parts[line->item.index];
	line->known = part->complete;
	line->each = part->total;
	line->money = line->count * part->total;
	line->stems = line->count * part->stems;
	line->supplies = line->count * part->supplies;
	line->seconds = line->count * part->seconds;
	*setup += line->count * part->setup_seconds;
}

static struct cost_line cost_need(struct costing *c, const struct need *need, uint32_t index,
                                  double *setup)
{
	const struct need_option *o = &need->options[0];
	struct cost_line line = { .need = index, .item = o->item, .count = rat_double(o->count) };
	switch (o->item.kind) {
	case KIND_CROP:
		cost_crop(c, &line);
		break;
	case KIND_SUPPLY:
		cost_supply(c, &line);
		break;
	default:
		cost_part(c, &line, setup);
		break;
	}
	return line;
}

static int64_t run_meant(const struct maker *m)
{
	int64_t run = 1;
	for (size_t i = 0; i < m->ntasks; i++) {
		int64_t k = batch_of(&m->tasks[i]);
		if (k > run)
			run = k;
	}
	return run;
}

static void cost_maker(struct costing *c, struct make_cost *out, const struct maker *m)
{
	double setup;
	*out = (struct make_cost){ .complete = true, .makes = m->makes, .run = run_meant(m) };
	out->lines = ARENA_ARRAY(c->arena, m->nneeds, struct cost_line);
	out->seconds = labour_unit_seconds(m->tasks, m->ntasks, &setup);
	out->setup_seconds = setup;
	for (size_t i = 0; i < m->nneeds; i++) {
		if (m->needs[i].noptions == 0)
			continue;
		struct cost_line *line = &out->lines[out->nlines++];
		*line = cost_need(c, &m->needs[i], (uint32_t)i, &out->setup_seconds);
		out->stems += line->stems;
		out->supplies += line->supplies;
		out->seconds += line->seconds;
		out->complete &= line->known;
	}
	out->stems /= m->makes;
	out->supplies /= m->makes;
	out->seconds /= m->makes;
	out->setup_seconds /= m->makes;
	out->labour = out->seconds / SECONDS_PER_HOUR * c->out->wage;
	out->overhead = out->seconds / SECONDS_PER_HOUR * c->out->overhead_rate;
	out->total = out->stems + out->supplies + out->labour + out->overhead;
}

/* ---- the farm ---- */

static void say_rates(const struct business *b, struct remarks *r)
{
	if (!b->wage.given)
		remark(r, REMARK_ASSUMED, "No wage given: labour is counted as 0.");
	else if (!b->wage_burden.given && b->wage.v > 0)
		remark(r, REMARK_ASSUMED,
		       "Nothing given on top of the wage (taxes, insurance): counted as 0.");
	if (!b->overhead.given)
		remark(r, REMARK_ASSUMED, "No overhead given: counted as 0.");
	else if (b->overhead.v > 0 && !(b->overhead_hours.v > 0))
		remark(r, REMARK_DOUBT,
		       "Overhead is given without the hours at the bench it is for: counted as 0.");
}

void costs_reckon(struct costs *out, const struct farm *farm, const struct stemcosts *stems,
                  struct arena *a, struct remarks *r)
{
	struct costing c = { .out = out, .farm = farm, .stems = stems, .arena = a };
	out->wage = burdened_wage(&farm->business);
	out->overhead_rate = overhead_rate(&farm->business);
	out->parts = ARENA_ARRAY(a, farm->nparts, struct make_cost);
	out->pieces = ARENA_ARRAY(a, farm->npieces, struct make_cost);
	for (size_t i = farm->nparts; i-- > 0;) {
		uint32_t index = farm->part_order[i];
		const struct part *p = &farm->parts[index];
		cost_maker(&c, &out->parts[index],
		           &(struct maker){ p->needs, p->nneeds, p->tasks, p->ntasks,
			                    p->makes.num > 0 ? rat_double(p->makes) : 1 });
	}
	for (size_t i = 0; i < farm->npieces; i++) {
		const struct piece *p = &farm->pieces[i];
		cost_maker(&c, &out->pieces[i],
		           &(struct maker){ p->needs, p->nneeds, p->tasks, p->ntasks, 1 });
		if (!(out->pieces[i].seconds > 0))
			said_add(&c.timeless, a, p->head.name);
	}
	say_rates(&farm->business, r);
	if (c.priceless.n)
		remark(r, REMARK_DOUBT, "No price known for %s: every figure with it is too low.",
		       said_text(&c.priceless));
	if (c.timeless.n)
		remark(r, REMARK_ASSUMED, "No time said for making %s: counted as 0.",
		       said_text(&c.timeless));
}

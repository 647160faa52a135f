/* bench.c - see bench.h. */
#include "reckon/bench.h"

#include "reckon/cost.h"
#include "reckon/loss.h"

struct dated {
	day on;
	size_t index;
};

static int by_day(const void *x, const void *y)
{
	const struct dated *a = x, *b = y;
	if (a->on != b->on)
		return a->on < b->on ? -1 : 1;
	return (a->index > b->index) - (a->index < b->index);
}

size_t bench_lines(size_t **out, const struct farm *farm, day on, size_t *later, struct arena *a)
{
	bool *struck = log_struck(farm, a);
	struct dated *order = ARENA_ARRAY(a, farm->nlog, struct dated);
	size_t n = 0, after = 0;
	for (size_t i = 0; i < farm->nlog; i++) {
		const struct log_entry *e = &farm->log[i];
		if (struck[i] || e->event == EVENT_STRUCK)
			continue;
		if (e->on > on)
			after++;
		else
			order[n++] = (struct dated){ e->on, i };
	}
	if (later)
		*later = after;
	if (n)
		qsort(order, n, sizeof *order, by_day);
	*out = ARENA_ARRAY(a, n, size_t);
	for (size_t i = 0; i < n; i++)
		(*out)[i] = order[i].index;
	return n;
}

struct recipe recipe_of(const struct farm *farm, struct item item)
{
	if (item.kind == KIND_PIECE) {
		const struct piece *p = &farm->pieces[item.index];
		return (struct recipe){ p->needs, p->nneeds, p->tasks, p->ntasks, 1 };
	}
	if (item.kind == KIND_PART) {
		const struct part *p = &farm->parts[item.index];
		return (struct recipe){ p->needs, p->nneeds, p->tasks, p->ntasks,
			                p->makes.num > 0 ? rat_double(p->makes) : 1 };
	}
	return (struct recipe){ .makes = 1 };
}

bool same_item(struct item a, struct item b)
{
	return a.kind == b.kind && a.index == b.index;
}

bool bench_drew(const struct farm *farm, const struct log_entry *e, struct item item)
{
	for (size_t i = 0; i < e->ndrawn; i++) {
		if (same_item(farm->boxes[e->drawn[i].box].item, item))
			return true;
	}
	return false;
}

static bool takes_crop(struct recipe recipe, uint32_t crop)
{
	for (size_t i = 0; i < recipe.nneeds; i++) {
		for (size_t k = 0; k < recipe.needs[i].noptions; k++) {
			struct item item = recipe.needs[i].options[k].item;
			if (item.kind == KIND_CROP && item.index == crop)
				return true;
		}
	}
	return false;
}

bool bench_on_the_spot(const struct farm *farm, const struct log_entry *e, struct item part)
{
	struct recipe inner = recipe_of(farm, part), outer = recipe_of(farm, e->item);
	for (size_t i = 0; i < e->ndrawn; i++) {
		struct item item = farm->boxes[e->drawn[i].box].item;
		if (item.kind == KIND_CROP && takes_crop(inner, item.index) &&
		    !takes_crop(outer, item.index))
			return true;
	}
	return false;
}

static bool recipe_takes_only(const struct farm *farm, struct item maker, uint32_t crop, int depth)
{
	struct recipe recipe = recipe_of(farm, maker);
	for (size_t i = 0; i < recipe.nneeds; i++) {
		for (size_t k = 0; k < recipe.needs[i].noptions; k++) {
			struct item item = recipe.needs[i].options[k].item;
			if (item.kind == KIND_CROP && item.index != crop)
				return false;
			if (item.kind == KIND_PART && depth < PART_LEVELS_MOST &&
			    !recipe_takes_only(farm, item, crop, depth + 1))
				return false;
		}
	}
	return true;
}

static uint32_t first_crop(const struct farm *farm, struct item maker, int depth)
{
	struct recipe recipe = recipe_of(farm, maker);
	for (size_t i = 0; i < recipe.nneeds; i++) {
		for (size_t k = 0; k < recipe.needs[i].noptions; k++) {
			struct item item = recipe.needs[i].options[k].item;
			uint32_t crop = item.kind == KIND_CROP ? item.index : NONE;
			if (item.kind == KIND_PART && depth < PART_LEVELS_MOST)
				crop = first_crop(farm, item, depth + 1);
			if (crop != NONE)
				return crop;
		}
	}
	return NONE;
}

uint32_t bench_sole_crop(const struct farm *farm, const struct log_entry *e)
{
	uint32_t crop = NONE;
	for (size_t i = 0; i < e->ndrawn; i++) {
		struct item item = farm->boxes[e->drawn[i].box].item;
		if (item.kind != KIND_CROP || (crop != NONE && crop != item.index))
			return NONE;
		crop = item.index;
	}
	if (e->drawn_gone > 0) {
		if (crop == NONE)
			crop = first_crop(farm, e->item, 0);
		if (crop != NONE && !recipe_takes_only(farm, e->item, crop, 0))
			return NONE;
	}
	return crop;
}

double bench_makings(const struct farm *farm, const struct log_entry *e)
{
	return e->count / recipe_of(farm, e->item).makes;
}

static double making_seconds(const struct farm *farm, const struct log_entry *e, struct item maker,
                             double makings, int depth)
{
	struct recipe recipe = recipe_of(farm, maker);
	double sum = labour_run_seconds(recipe.tasks, recipe.ntasks, loss_cover(makings));
	for (size_t i = 0; i < recipe.nneeds && depth < PART_LEVELS_MOST; i++) {
		if (recipe.needs[i].noptions == 0)
			continue;
		const struct need_option *o = &recipe.needs[i].options[0];
		if (o->item.kind != KIND_PART || !bench_on_the_spot(farm, e, o->item))
			continue;
		double parts = makings * rat_double(o->count) / recipe_of(farm, o->item).makes;
		sum += making_seconds(farm, e, o->item, parts, depth + 1);
	}
	return sum;
}

double bench_recipe_seconds(const struct farm *farm, const struct log_entry *e)
{
	return making_seconds(farm, e, e->item, bench_makings(farm, e), 0);
}

struct stems_line {
	const struct farm *farm;
	const struct log_entry *e;
	const double *drawn;
	double *recipe;
};

/* What one need calls for, shared among its options by what was drawn of each. */
static void need_stems(struct stems_line *l, const struct need *need, double makings)
{
	double enough = 0; /* makings that the stems drawn for this need would do */
	for (size_t k = 0; k < need->noptions; k++) {
		const struct need_option *o = &need->options[k];
		if (o->item.kind == KIND_CROP && rat_sign(o->count) > 0)
			enough += l->drawn[o->item.index] / rat_double(o->count);
	}
	for (size_t k = 0; k < need->noptions && enough > 0; k++) {
		const struct need_option *o = &need->options[k];
		if (o->item.kind == KIND_CROP && rat_sign(o->count) > 0)
			l->recipe[o->item.index] +=
			    makings * l->drawn[o->item.index] / enough *
			    rat_double(loss_bench_allowance(&l->farm->crops[o->item.index]));
	}
}

static void making_stems(struct stems_line *l, struct item maker, double makings, int depth)
{
	struct recipe recipe = recipe_of(l->farm, maker);
	for (size_t i = 0; i < recipe.nneeds && depth < PART_LEVELS_MOST; i++) {
		const struct need *need = &recipe.needs[i];
		need_stems(l, need, makings);
		if (need->noptions == 0 || need->options[0].item.kind != KIND_PART ||
		    !bench_on_the_spot(l->farm, l->e, need->options[0].item))
			continue;
		struct item part = need->options[0].item;
		double parts = makings * rat_double(need->options[0].count);
		making_stems(l, part, parts / recipe_of(l->farm, part).makes, depth + 1);
	}
}

bool bench_stems(const struct farm *farm, const struct log_entry *e, double *drawn, double *recipe)
{
	for (size_t i = 0; i < farm->ncrops; i++)
		recipe[i] = drawn[i] = 0;
	for (size_t i = 0; i < e->ndrawn; i++) {
		const struct box *box = &farm->boxes[e->drawn[i].box];
		if (box->item.kind == KIND_CROP)
			drawn[box->item.index] += e->drawn[i].stems;
	}
	if (e->drawn_gone > 0) {
		uint32_t crop = bench_sole_crop(farm, e);
		if (crop == NONE)
			return false;
		drawn[crop] += e->drawn_gone;
	}
	struct stems_line l = { farm, e, drawn, recipe };
	making_stems(&l, e->item, bench_makings(farm, e), 0);
	return true;
}

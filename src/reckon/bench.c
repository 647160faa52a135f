/* bench.c - see bench.h. */
#include "reckon/bench.h"

struct dated {
	day on;
	size_t index;
};

static bool *struck_lines(const struct farm *farm, struct arena *a)
{
	bool *struck = ARENA_ARRAY(a, farm->nlog, bool);
	for (size_t i = farm->nlog; i-- > 0;) {
		const struct log_entry *e = &farm->log[i];
		if (e->event != EVENT_STRUCK || struck[i] || e->strikes.n == 0)
			continue;
		for (size_t k = i; k-- > 0;) {
			if (str_eq(farm->log[k].id, e->strikes))
				struck[k] = true;
		}
	}
	return struck;
}

static int by_day(const void *x, const void *y)
{
	const struct dated *a = x, *b = y;
	if (a->on != b->on)
		return a->on < b->on ? -1 : 1;
	return (a->index > b->index) - (a->index < b->index);
}

size_t bench_lines(size_t **out, const struct farm *farm, day on, size_t *later, struct arena *a)
{
	bool *struck = struck_lines(farm, a);
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

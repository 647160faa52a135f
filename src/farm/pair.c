/* pair.c - see pair.h. */
#include "farm/pair.h"

static size_t count_of(const struct farm *f, enum kind kind)
{
	switch (kind) {
	case KIND_CROP:
		return f->ncrops;
	case KIND_SUPPLY:
		return f->nsupplies;
	case KIND_PART:
		return f->nparts;
	case KIND_PIECE:
		return f->npieces;
	case KIND_OUTLET:
		return f->noutlets;
	default:
		return 0;
	}
}

const struct head *pair_head(const struct farm *farm, enum kind kind, uint32_t index)
{
	return kind == KIND_OUTLET ? &farm->outlets[index].head
				   : farm_head(farm, (struct item){ kind, index });
}

static struct str name_at(const struct head *h, size_t i)
{
	return i ? h->also_folds[i - 1] : h->fold;
}

static bool share_a_name(const struct head *a, const struct head *b)
{
	for (size_t i = 0; i <= a->nalso; i++) {
		for (size_t k = 0; k <= b->nalso; k++) {
			if (str_eq(name_at(a, i), name_at(b, k)))
				return true;
		}
	}
	return false;
}

struct pair *farm_pairs(const struct farm *first, const struct farm *second, enum kind kind,
			struct arena *a, size_t *n)
{
	size_t here = count_of(first, kind), there = count_of(second, kind);
	struct pair *out = ARENA_ARRAY(a, here + there + 1, struct pair);
	bool *taken = ARENA_ARRAY(a, there + 1, bool);
	for (uint32_t i = 0; i < here; i++)
		out[i] = (struct pair){ i, NONE };
	for (int also = 0; also < 2; also++) { /* a full name comes before any `also` */
		for (uint32_t i = 0; i < here; i++) {
			const struct head *h = pair_head(first, kind, i);
			for (uint32_t k = 0; k < there && out[i].second == NONE; k++) {
				const struct head *o = pair_head(second, kind, k);
				if (taken[k] ||
				    !(also ? share_a_name(h, o) : str_eq(h->fold, o->fold)))
					continue;
				out[i].second = k;
				taken[k] = true;
			}
		}
	}
	*n = here;
	for (uint32_t k = 0; k < there; k++) {
		if (!taken[k])
			out[(*n)++] = (struct pair){ NONE, k };
	}
	return out;
}

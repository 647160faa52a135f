/* rates.c - which rate of loss is in use, and where it comes from. */
#include "reckon/rates.h"

#include <math.h>

#include "base/buf.h"
#include "reckon/loss.h"
#include "reckon/measured.h"

enum { SENTENCE_MOST = 1 << 16 };

static struct rate_used of_line(const struct fig *line)
{
	enum rate_source source = line->supposed ? RATE_SUPPOSED : line->given ? RATE_LINE : RATE_NONE;
	return (struct rate_used){ line->v, line->q, source };
}

static struct rate_used of_records(const struct stage_measured *s, const struct fig *line)
{
	struct rate_used out = of_line(line);
	/* Even where all was lost some of the next may live: the largest rate that a line takes. */
	double steps = fmin(fmax(round(s->plan.rate * RATE_STEP), 0), RATE_STEP - 1);
	if (line->supposed || s->m.lots == 0 || isnan(s->plan.rate))
		return out;
	rat_make(&out.q, (int64_t)steps, RATE_STEP);
	out.v = rat_double(out.q);
	out.source = line->given && s->weight > 0 ? RATE_BLEND : RATE_RECORDS;
	return out;
}

void rates_of_lines(struct rates *out, const struct farm *farm, struct arena *a)
{
	*out = (struct rates){ .crops = arena_alloc(a, farm->ncrops, sizeof *out->crops),
		               .assumed = true };
	remarks_init(&out->said, a);
	for (uint32_t i = 0; i < farm->ncrops; i++) {
		for (int stage = 0; stage < STAGE_COUNT; stage++)
			out->crops[i][stage] = of_line(&farm->crops[i].loss[stage]);
	}
}

void rates_reckon(struct rates *out, const struct farm *farm, day on, bool assumed, struct arena *a)
{
	rates_of_lines(out, farm, a);
	out->assumed = assumed;
	out->measures = ARENA_ARRAY(a, 1, struct measures);
	measures_reckon(out->measures, farm, on, a, &out->said);
	for (uint32_t i = 0; i < farm->ncrops && !assumed; i++) {
		for (int stage = 0; stage < STAGE_COUNT; stage++)
			out->crops[i][stage] = of_records(&out->measures->crops[i].stages[stage],
			                                  &farm->crops[i].loss[stage]);
	}
}

bool rates_moved(const struct rates *r, const struct farm *farm, uint32_t crop, enum stage stage)
{
	const struct rate_used *u = &r->crops[crop][stage];
	return (u->source == RATE_BLEND || u->source == RATE_RECORDS) &&
	       fabs(u->v - farm->crops[crop].loss[stage].v) > 1e-12;
}

struct rat rates_allowance(const struct rates *r, uint32_t crop)
{
	const struct rate_used *u = &r->crops[crop][STAGE_BENCH];
	return loss_allowance(u->v, u->q);
}

/* Records that --assumed leaves aside. */
static bool left_aside(const struct rates *r, uint32_t crop, enum stage stage)
{
	return r->assumed && r->measures && r->measures->crops[crop].stages[stage].m.lots > 0 &&
	       r->crops[crop][stage].source != RATE_SUPPOSED;
}

void rates_say(const struct rates *r, const struct farm *farm, unsigned stages, struct arena *a,
               struct remarks *out)
{
	static const char *const where[] = { "in the field", "in drying", "in the box", "at the bench" };
	bool aside = false;
	struct buf b;
	buf_init(&b, SENTENCE_MOST);
	for (int stage = 0; stage < STAGE_COUNT; stage++) {
		struct said moved = { 0 };
		for (uint32_t i = 0; i < farm->ncrops && (stages & 1u << stage); i++) {
			aside |= left_aside(r, i, (enum stage)stage);
			if (rates_moved(r, farm, i, (enum stage)stage))
				said_add(&moved, a, farm->crops[i].head.name);
		}
		if (moved.n)
			buf_printf(&b, "%s%s for %s", b.len ? "; " : "", where[stage], said_text(&moved));
	}
	if (b.len)
		remark(out, REMARK_ASSUMED,
		       "Losses go by your records and the `loses` lines together, %s. `thrave loss` "
		       "shows them; --assumed goes by the lines alone.",
		       b.data);
	else if (aside)
		remark(out, REMARK_ASSUMED,
		       "Losses go by the `loses` lines alone, as --assumed says; your records are left "
		       "aside.");
	buf_release(&b);
}

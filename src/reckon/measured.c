/* measured.c - gathers lots from the records, then measures them stage by stage. */
#include "reckon/measured.h"

#include <limits.h>
#include <math.h>

#include "reckon/bench.h"
#include "reckon/blend.h"
#include "reckon/loss.h"

struct gathering {
	struct measures *out;
	const struct farm *farm;
	struct arena *arena;
	day on;
	struct measured_lot *samples;
	size_t n, cap;
	double bench_drawn, bench_assumed; /* stems drawn, and stems x assumed rate */
	double *drew, *takes;   /* per crop: of a line */
	struct said odd_batches, odd_lines, full_boxes, soon_boxes;
};

/* ---- seasons ---- */

static bool frost_spans_summer(const struct business *b)
{
	struct civil last = date_civil(b->last_frost), first = date_civil(b->first_frost);
	return last.month > first.month || (last.month == first.month && last.mday > first.mday);
}

static bool across_new_year(const struct business *b)
{
	return b->last_frost != DAY_NONE && b->first_frost != DAY_NONE && frost_spans_summer(b);
}

int season_of(const struct business *b, day d)
{
	if (d == DAY_NONE)
		return INT_MIN;
	struct civil c = date_civil(d);
	if (!across_new_year(b))
		return c.year;
	/* The frost time of a year that has both ends in it, and its middle. */
	struct civil last = date_civil(b->last_frost), first = date_civil(b->first_frost);
	day from = date_from_civil(2001, first.month, first.mday > 28 ? 28 : first.mday);
	day to = date_from_civil(2001, last.month, last.mday > 28 ? 28 : last.mday);
	struct civil middle = date_civil(from + (to - from) / 2);
	bool begun = c.month > middle.month || (c.month == middle.month && c.mday >= middle.mday);
	return begun ? c.year : c.year - 1;
}

/* ---- gathering ---- */

static struct str line_name(struct gathering *g, uint32_t line)
{
	char text[48];
	int n = snprintf(text, sizeof text, "row %lu", (unsigned long)line);
	return (struct str){ arena_copy(g->arena, text, (size_t)n), (size_t)n };
}

static struct str batch_name(struct gathering *g, const struct batch *b)
{
	return b->id.n ? b->id : line_name(g, b->line);
}

static struct stage_measured *stage_at(struct gathering *g, uint32_t crop, enum stage stage)
{
	return crop == NONE ? &g->out->bench : &g->out->crops[crop].stages[stage];
}

/* A lot, or a remark that it cannot be one. */
static bool add_lot(struct gathering *g, enum stage stage, uint32_t crop, struct str name, day when,
                    double lost, double of, double months)
{
	if (!(lost >= 0 && lost <= of)) {
		stage_at(g, crop, stage)->left_out++;
		return false;
	}
	if (of > 0) {
		struct measured_lot s = { .stage = stage,
			                  .crop = crop,
			                  .year = season_of(&g->farm->business, when),
			                  .on = when,
			                  .order = g->n,
			                  .name = name,
			                  .months = months,
			                  .lot = { lost, of } };
		*ARENA_PUSH(g->arena, g->samples, g->n, g->cap) = s;
	}
	return true;
}

static void add_cause(struct stage_measured *s, enum cause cause, double stems)
{
	s->causes[cause].stems += stems;
}

static void gather_batches(struct gathering *g)
{
	for (size_t i = 0; i < g->farm->nbatches; i++) {
		const struct batch *b = &g->farm->batches[i];
		day when = b->cut_on != DAY_NONE ? b->cut_on : b->hung_on != DAY_NONE ? b->hung_on : b->boxed_on;
		struct str name = batch_name(g, b);
		bool sound = true;
		if (!isnan(b->cut) && !isnan(b->hung) && !(b->hung_on != DAY_NONE && b->hung_on > g->on))
			sound &= add_lot(g, STAGE_FIELD, b->crop, name, when, b->cut - b->hung, b->cut, 0);
		if (!isnan(b->hung) && !isnan(b->boxed) &&
		    !(b->boxed_on != DAY_NONE && b->boxed_on > g->on)) {
			sound &= add_lot(g, STAGE_DRYING, b->crop, name, when, b->hung - b->boxed, b->hung, 0);
			for (size_t c = 0; c < CAUSE_COUNT && b->boxed <= b->hung; c++)
				add_cause(stage_at(g, b->crop, STAGE_DRYING), (enum cause)c, b->lost[c]);
		}
		if (!sound)
			said_add(&g->odd_batches, g->arena, name);
	}
}

/* ---- storage: a box between two counts ---- */

#define SOON 14 /* days: a count sooner after another is the same count */

struct spell {                  /* since a count of a box */
	day since;
	double start;           /* stems then */
	double in, out;         /* since then */
	double in_days, out_days; /* sum of stems x days since the count */
};
struct stay {                   /* a spell, closed by a count; stems 0: none */
	day since;
	double lost, stems, months;
};
struct counted {                /* a box */
	bool open;
	day table;              /* of its count in stock.csv: what came before is in that */
	struct spell now;       /* since the last count that was not soon after another */
	struct spell joined;    /* since the one before that */
	struct stay done;       /* between these two */
	struct stay extended;   /* from the one before to a count soon after the last */
	bool soon;              /* such a count was all there is */
};

static struct spell spell_from(day since, double stems)
{
	return (struct spell){ .since = since, .start = stems };
}

static struct stay stay_of(const struct spell *s, day when, double counted)
{
	double days = when - s->since, stems = s->start + s->in;
	/* Stem-days to the count: what came later or left earlier was there for less. */
	double kept = stems * days - s->in_days - (s->out * days - s->out_days);
	if (!(days > 0) || !(stems > 0) || !(kept > 0))
		return (struct stay){ 0 };
	return (struct stay){ s->since, stems - s->out - counted, stems, kept / stems / DAYS_PER_MONTH };
}

static struct str box_name(const struct box *box)
{
	return box->id.n ? box->id : STR("a box without a name");
}

static void add_stay(struct gathering *g, const struct box *box, const struct stay *s)
{
	if (!(s->stems > 0))
		return;
	if (s->lost < 0)
		said_add(&g->full_boxes, g->arena, box_name(box));
	add_lot(g, STAGE_STORAGE, box->item.index, box_name(box),
	        box->boxed != DAY_NONE ? box->boxed : s->since, fmax(0, s->lost), s->stems, s->months);
}

static void move_in(struct spell *s, double stems, day when)
{
	double days = when - s->since;
	if (stems >= 0) {
		s->in += stems;
		s->in_days += stems * days;
	} else {
		s->out -= stems;
		s->out_days -= stems * days;
	}
}

static void move_stems(struct counted *c, double stems, day when)
{
	if (!c->open || when <= c->table)
		return;
	move_in(&c->now, stems, when);
	move_in(&c->joined, stems, when);
}

/* Soon after another count it ends no span of its own: the next one takes it in or, as
 * long as there is no next one, the one before. */
static void recount(struct gathering *g, uint32_t box, struct counted *c, const struct log_entry *e)
{
	if (isnan(e->count) || e->on <= c->table)
		return;
	day days = c->open ? e->on - c->now.since : 0;
	bool had_one = c->done.stems > 0;
	if (c->open && days >= SOON) {
		add_stay(g, &g->farm->boxes[box], &c->done);
		c->done = stay_of(&c->now, e->on, e->count);
		c->joined = c->now;
		c->extended = (struct stay){ 0 };
		c->now = spell_from(e->on, e->count);
	} else if (days == 0) { /* on the day itself: the later count is the count */
		if (had_one)
			c->done = stay_of(&c->joined, e->on, e->count);
		c->now = spell_from(e->on, e->count);
	} else if (had_one) {
		c->extended = stay_of(&c->joined, e->on, e->count);
	}
	c->soon = !(c->done.stems > 0) && days > 0;
	c->open = true;
}

static void add_last_stays(struct gathering *g, const struct counted *counted)
{
	for (size_t i = 0; i < g->farm->nboxes; i++) {
		const struct counted *c = &counted[i];
		add_stay(g, &g->farm->boxes[i], c->extended.stems > 0 ? &c->extended : &c->done);
		if (c->soon)
			said_add(&g->soon_boxes, g->arena, box_name(&g->farm->boxes[i]));
	}
}

/* A line that moves stems in its own box, or counts them. */
static void box_line(struct gathering *g, struct counted *counted, const struct log_entry *e)
{
	if (e->item.kind != KIND_CROP || e->box == NONE ||
	    !same_item(g->farm->boxes[e->box].item, e->item))
		return;
	switch (e->event) {
	case EVENT_COUNTED:
		recount(g, e->box, &counted[e->box], e);
		break;
	case EVENT_BOXED:
		move_stems(&counted[e->box], isnan(e->count) ? 0 : e->count, e->on);
		break;
	case EVENT_SOLD:
		move_stems(&counted[e->box], isnan(e->count) ? 0 : -e->count, e->on);
		break;
	case EVENT_TOSSED: /* lost stems: the next count misses them */
		if (e->cause < CAUSE_COUNT && e->count > 0)
			add_cause(stage_at(g, e->item.index, STAGE_STORAGE), (enum cause)e->cause,
			          e->count);
		break;
	default:
		break;
	}
}

/* ---- bench ---- */

#define TOLD_WITHIN 0.01 /* of the stems drawn: pieces are not made by the scales */

/* Stems of a `made` line that are neither spoiled nor in what was made; 0 where they are
 * told, NaN where the line does not say how many were made, or of what. */
static double untold_stems(struct gathering *g, const struct log_entry *e)
{
	double left = -e->spoiled, drawn = 0;
	if (!bench_stems(g->farm, e, g->drew, g->takes))
		return (double)NAN;
	for (size_t i = 0; i < g->farm->ncrops; i++) {
		/* Without the loss that the recipe's stems hold. */
		double net = g->takes[i] / rat_double(loss_bench_allowance(&g->farm->crops[i]));
		left += g->drew[i] - (isnan(net) ? net : (double)loss_cover(net));
		drawn += g->drew[i];
	}
	/* Nothing said of spoiled stems: one too many is as likely spoiled as not. */
	bool said = e->spoiled_said || e->spoiled > 0;
	double within = said ? fmax(1, TOLD_WITHIN * drawn) * (1 + 1e-9) : 1e-9 * drawn;
	return left <= within ? 0 : left;
}

static void bench_lot(struct gathering *g, const struct log_entry *e, struct str name, uint32_t crop,
                      double drawn, double untold)
{
	struct stage_measured *s = stage_at(g, crop, STAGE_BENCH);
	if (untold <= 0) {
		add_lot(g, STAGE_BENCH, crop, name, e->on, e->spoiled, drawn, 0);
		return;
	}
	s->untold++;
	s->untold_stems += isnan(untold) ? drawn - e->spoiled : untold;
}

static void made_line(struct gathering *g, const struct log_entry *e, struct counted *counted)
{
	const struct farm *farm = g->farm;
	uint32_t crop = bench_sole_crop(farm, e);
	double drawn = e->drawn_gone;
	for (size_t i = 0; i < e->ndrawn; i++) {
		const struct drawn *d = &e->drawn[i];
		struct item item = farm->boxes[d->box].item;
		if (item.kind != KIND_CROP)
			continue;
		drawn += d->stems;
		move_stems(&counted[d->box], -d->stems, e->on);
		if (farm->crops[item.index].loss[STAGE_BENCH].given) {
			g->bench_drawn += d->stems;
			g->bench_assumed += d->stems * farm->crops[item.index].loss[STAGE_BENCH].v;
		}
	}
	if (!(drawn > 0))
		return;
	bool sound = e->spoiled <= drawn;
	double untold = sound ? untold_stems(g, e) : 0;
	struct str name = line_name(g, e->line);
	bench_lot(g, e, name, NONE, drawn, untold);
	if (crop != NONE)
		bench_lot(g, e, name, crop, drawn, untold);
	if (!sound)
		said_add(&g->odd_lines, g->arena, name);
}

static void gather_log(struct gathering *g)
{
	const struct farm *farm = g->farm;
	struct counted *counted = ARENA_ARRAY(g->arena, farm->nboxes, struct counted);
	for (size_t i = 0; i < farm->nboxes; i++) {
		const struct box *b = &farm->boxes[i];
		counted[i] = (struct counted){ .table = b->counted };
		if (b->item.kind == KIND_CROP && b->counted != DAY_NONE) {
			counted[i].open = true;
			counted[i].now = spell_from(b->counted, b->count);
		}
	}
	size_t *lines;
	size_t n = bench_lines(&lines, farm, g->on, NULL, g->arena);
	for (size_t i = 0; i < n; i++) {
		const struct log_entry *e = &farm->log[lines[i]];
		if (e->event == EVENT_MADE)
			made_line(g, e, counted);
		else
			box_line(g, counted, e);
	}
	add_last_stays(g, counted);
}

/* ---- storage: fit and footing ---- */

static double per_month(double loss, double months)
{
	return -expm1(log1p(-loss) / months);
}

static double over(double rate, double months)
{
	return -expm1(log1p(-rate) * months);
}

/* Expected less observed score at the hazard h = -log(1-s): falls as h grows. */
static double storage_score(const struct lot *lots, const double *months, size_t n, double h)
{
	double score = 0;
	for (size_t i = 0; i < n; i++)
		score += lots[i].lost * months[i] / expm1(h * months[i]) -
		         (lots[i].of - lots[i].lost) * months[i];
	return score;
}

double storage_fit(const struct lot *lots, const double *months, size_t n)
{
	double lost = 0, of = 0, low = 0, high = 1;
	for (size_t i = 0; i < n; i++) {
		lost += lots[i].lost;
		of += lots[i].of;
	}
	if (!(of > 0))
		return (double)NAN;
	if (lost == 0 || lost == of)
		return lost == 0 ? 0 : 1;
	while (high < 1e6 && storage_score(lots, months, n, high) > 0)
		high *= 2;
	for (int i = 0; i < 200 && high - low > 1e-15 * high; i++) {
		double mid = low + (high - low) / 2;
		if (storage_score(lots, months, n, mid) > 0)
			low = mid;
		else
			high = mid;
	}
	return -expm1(-(low + high) / 2);
}

/* Lots as if all had been kept for the mean time; returns that time. */
static double one_footing(struct lot *lots, const double *months, size_t n, double rate)
{
	double stems = 0, stem_months = 0;
	for (size_t i = 0; i < n; i++) {
		stems += lots[i].of;
		stem_months += lots[i].of * months[i];
	}
	double mean = stem_months / stems, p = over(rate, mean);
	for (size_t i = 0; i < n && rate > 0 && rate < 1; i++) {
		double pi = over(rate, months[i]), excess = lots[i].lost / lots[i].of - pi;
		double q = pi < 1 ? p + excess * sqrt(p * (1 - p) / (pi * (1 - pi))) : p;
		lots[i].lost = fmin(fmax(q, 0), 1) * lots[i].of;
	}
	return mean;
}

static struct interval interval_per_month(struct interval i, double months)
{
	return (struct interval){ per_month(i.low, months), per_month(i.high, months) };
}

/* ---- measuring ---- */

/* Samples stand by stage, crop and season, so that each is a stretch of them. */
static int by_place(const void *x, const void *y)
{
	const struct measured_lot *a = x, *b = y;
	if (a->stage != b->stage)
		return a->stage < b->stage ? -1 : 1;
	if (a->crop != b->crop)
		return a->crop < b->crop ? -1 : 1;
	if (a->year != b->year)
		return a->year < b->year ? -1 : 1;
	return (a->order > b->order) - (a->order < b->order);
}

struct stretch {
	const struct measured_lot *first;
	size_t n;
};

static struct stretch stretch_of(const struct gathering *g, enum stage stage, uint32_t crop)
{
	size_t low = 0, high = g->n;
	while (low < high) {
		size_t mid = low + (high - low) / 2;
		const struct measured_lot *s = &g->samples[mid];
		if (s->stage < stage || (s->stage == stage && s->crop < crop))
			low = mid + 1;
		else
			high = mid;
	}
	while (high < g->n && g->samples[high].stage == stage && g->samples[high].crop == crop)
		high++;
	return (struct stretch){ g->n ? &g->samples[low] : NULL, high - low };
}

struct picked {
	struct lot *lots;
	double *months;
	size_t n;
};

static struct picked pick(const struct gathering *g, struct stretch s)
{
	struct picked p = { ARENA_ARRAY(g->arena, s.n, struct lot), ARENA_ARRAY(g->arena, s.n, double),
		            s.n };
	for (size_t i = 0; i < s.n; i++) {
		p.lots[i] = s.first[i].lot;
		p.months[i] = s.first[i].months;
	}
	return p;
}

/* Returns the months that the rates of storage are over, 0 for the other stages. */
static double measure_picked(struct measured *m, struct picked *p, enum stage stage,
                             const struct borrowed *b)
{
	double lost = 0, rate = (double)NAN, months = 0;
	for (size_t i = 0; i < p->n; i++)
		lost += p->lots[i].lost;
	if (stage == STAGE_STORAGE && p->n) {
		double s = storage_fit(p->lots, p->months, p->n);
		months = one_footing(p->lots, p->months, p->n, s);
		rate = over(s, months);
	}
	measure(m, p->lots, p->n, rate, b);
	m->lost = lost; /* as counted, not as put on one footing */
	return months;
}

static void rates_per_month(struct measured *m, double months)
{
	if (months <= 0)
		return;
	m->rate = per_month(m->rate, months);
	m->i80 = interval_per_month(m->i80, months);
	m->i95 = interval_per_month(m->i95, months);
}

static bool outside(double x, struct interval i)
{
	return x < i.low || x > i.high;
}

static void judge(struct stage_measured *s)
{
	if (isnan(s->assumed) || s->m.few)
		return;
	s->judged = outside(s->assumed, s->m.i95)   ? ASSUMED_OFF
	            : outside(s->assumed, s->m.i80) ? ASSUMED_DOUBTFUL
	                                            : ASSUMED_FITS;
	s->too_low = s->judged != ASSUMED_FITS && s->assumed < s->m.rate;
}

/* The latest season of a stretch, cut off its end; none are left when it has no date. */
static struct stretch cut_season(struct stretch *s)
{
	size_t n = s->n;
	if (n == 0 || s->first[n - 1].year == INT_MIN)
		return (struct stretch){ NULL, 0 };
	while (s->n > 0 && s->first[s->n - 1].year == s->first[n - 1].year)
		s->n--;
	return (struct stretch){ s->first + s->n, n - s->n };
}

static void compare_seasons(struct gathering *g, struct stage_measured *s, enum stage stage,
                            struct stretch all)
{
	struct season_rate *rates[] = { &s->last, &s->before };
	/* A season may be short of batches, but fares as alike as all of them do. */
	struct borrowed b = { s->m.rho * s->m.freedom, s->m.freedom, s->m.source != RHO_STATED };
	for (int i = 0; i < 2; i++) {
		struct stretch season = cut_season(&all);
		if (season.n == 0)
			return;
		struct picked p = pick(g, season);
		rates[i]->year = season.first->year;
		rates_per_month(&rates[i]->m, measure_picked(&rates[i]->m, &p, stage, &b));
	}
	s->change80 = rate_change(s->before.m.rate, s->before.m.i80, s->last.m.rate, s->last.m.i80);
	s->change95 = rate_change(s->before.m.rate, s->before.m.i95, s->last.m.rate, s->last.m.i95);
	s->trend = s->change80.low > 0    ? TREND_WORSE
	           : s->change80.high < 0 ? TREND_BETTER
	                                  : TREND_UNSURE;
}

static int most_stems_first(const void *x, const void *y)
{
	const struct cause_count *a = x, *b = y;
	if (a->stems != b->stems)
		return a->stems > b->stems ? -1 : 1;
	return (a->cause > b->cause) - (a->cause < b->cause);
}

static void order_causes(struct stage_measured *s)
{
	double said = 0;
	for (size_t c = 0; c < CAUSE_COUNT; c++) {
		s->causes[c].cause = (enum cause)c;
		said += s->causes[c].stems;
	}
	qsort(s->causes, CAUSE_COUNT, sizeof s->causes[0], most_stems_first);
	while (s->ncauses < CAUSE_COUNT && s->causes[s->ncauses].stems > 0)
		s->ncauses++;
	s->unsaid = fmax(0, s->m.lost - said);
}

/* The line over the time of the lots. */
static double assumed_over(const struct stage_measured *s, double months)
{
	return months > 0 ? over(s->assumed, months) : s->assumed;
}

static void plan_per_month(struct planned *p, double months)
{
	p->i80 = interval_per_month(p->i80, months);
	p->i95 = interval_per_month(p->i95, months);
}

static void plan_stage(struct stage_measured *s, enum stage stage)
{
	double months = stage == STAGE_STORAGE ? (s->months > 0 ? s->months : 1) : 0;
	plan_rate(&s->plan, &s->m, assumed_over(s, months), s->weight);
	if (months > 0) {
		s->plan.rate = per_month(s->plan.rate, months);
		plan_per_month(&s->plan, months);
	}
}

static void be_sure(struct gathering *g, enum stage stage, uint32_t crop)
{
	struct stage_measured *s = &g->out->crops[crop].stages[stage];
	struct picked p = pick(g, stretch_of(g, stage, crop));
	struct planned *plan = &s->plan;
	if (!p.n || isfinite(plan->i80.low)) /* the line alone, or the records alone */
		return;
	if (stage == STAGE_STORAGE)
		one_footing(p.lots, p.months, p.n, storage_fit(p.lots, p.months, p.n));
	struct borrowed others = g->out->borrowed[stage];
	borrow_less(&others, p.lots, p.n);
	struct planned over_time = *plan;
	over_time.rate = s->months > 0 ? over(plan->rate, s->months) : plan->rate;
	blend_intervals(&over_time, p.lots, p.n, assumed_over(s, s->months), s->weight,
	                borrow_rho(&others));
	plan->i80 = over_time.i80;
	plan->i95 = over_time.i95;
	if (s->months > 0)
		plan_per_month(plan, s->months);
}

void measures_be_sure(struct measures *m, const struct farm *farm, struct arena *a)
{
	struct gathering g = { .out = m, .farm = farm, .arena = a, .samples = m->lots, .n = m->nlots };
	for (uint32_t crop = 0; crop < farm->ncrops; crop++) {
		for (int stage = 0; stage < STAGE_COUNT; stage++)
			be_sure(&g, (enum stage)stage, crop);
	}
}

static void measure_stage(struct gathering *g, struct stage_measured *s, enum stage stage,
                          uint32_t crop)
{
	struct stretch all = stretch_of(g, stage, crop);
	struct picked p = pick(g, all);
	s->months = measure_picked(&s->m, &p, stage, &g->out->borrowed[stage]);
	plan_stage(s, stage); /* on the footing of the lots */
	rates_per_month(&s->m, s->months);
	judge(s);
	order_causes(s);
	compare_seasons(g, s, stage, all);
}

static void borrow_from_all(struct gathering *g)
{
	for (int stage = 0; stage < STAGE_COUNT; stage++) {
		struct borrowed *b = &g->out->borrowed[stage];
		borrow_start(b);
		for (uint32_t crop = 0; crop < g->farm->ncrops; crop++) {
			struct picked p = pick(g, stretch_of(g, (enum stage)stage, crop));
			if (stage == STAGE_STORAGE && p.n)
				one_footing(p.lots, p.months, p.n, storage_fit(p.lots, p.months, p.n));
			borrow_add(b, p.lots, p.n);
		}
	}
}

static void say_left_out(struct gathering *g, struct remarks *r)
{
	if (g->odd_batches.n)
		remark(r, REMARK_DOUBT,
		       "More came out of these batches than went in, so they are left out of the "
		       "measured losses: %s.",
		       said_text(&g->odd_batches));
	if (g->odd_lines.n)
		remark(r, REMARK_DOUBT,
		       "bench.csv has more spoiled than drawn, so the measured losses leave out: %s.",
		       said_text(&g->odd_lines));
	if (g->full_boxes.n)
		remark(r, REMARK_DOUBT,
		       "These boxes held more than the count before leaves, taken as nothing lost: %s.",
		       said_text(&g->full_boxes));
	if (g->soon_boxes.n)
		remark(r, REMARK_DOUBT,
		       "Counted again less than two weeks after the count before, too soon to tell a loss "
		       "by the month, so the next count will: %s.",
		       said_text(&g->soon_boxes));
	if (g->out->bench.untold)
		remark(r, REMARK_DOUBT,
		       "The bench loss leaves out %zu line%s of bench.csv: %.0f stems drawn are neither "
		       "spoiled nor in the recipe. Write in `drawn` what did not go back into its box, "
		       "and in `spoiled` all of that which is in no piece.",
		       g->out->bench.untold, g->out->bench.untold == 1 ? "" : "s",
		       g->out->bench.untold_stems);
}

static void set_assumed(struct stage_measured *s, const struct fig *rate, const struct fig *weight)
{
	s->assumed = rate->given ? rate->v : (double)NAN;
	s->weight = weight->given ? weight->v : LOSS_WEIGHT;
}

void measures_reckon(struct measures *out, const struct farm *farm, day on, struct arena *a,
                     struct remarks *r)
{
	struct gathering g = { .out = out, .farm = farm, .arena = a, .on = on };
	*out = (struct measures){ .crops = ARENA_ARRAY(a, farm->ncrops, struct crop_measured),
		                  .across_new_year = across_new_year(&farm->business) };
	g.drew = ARENA_ARRAY(a, farm->ncrops, double);
	g.takes = ARENA_ARRAY(a, farm->ncrops, double);
	gather_batches(&g);
	gather_log(&g);
	if (g.n)
		qsort(g.samples, g.n, sizeof *g.samples, by_place);
	out->lots = g.samples;
	out->nlots = g.n;
	borrow_from_all(&g);
	for (uint32_t i = 0; i < farm->ncrops; i++) {
		const struct crop *crop = &farm->crops[i];
		for (int stage = 0; stage < STAGE_COUNT; stage++) {
			struct stage_measured *s = &out->crops[i].stages[stage];
			set_assumed(s, &crop->loss[stage], &crop->loss_weight);
			measure_stage(&g, s, (enum stage)stage, i);
		}
	}
	out->bench.assumed = g.bench_drawn > 0 ? g.bench_assumed / g.bench_drawn : (double)NAN;
	out->bench.weight = LOSS_WEIGHT;
	measure_stage(&g, &out->bench, STAGE_BENCH, NONE);
	say_left_out(&g, r);
}

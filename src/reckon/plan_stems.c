/* plan_stems.c - stems to cut for each pool: every day, certainty and length that it owes
 * asks for a number, and the largest one is planned. */
#include <math.h>
#include <stdlib.h>

#include "reckon/loss.h"
#include "reckon/plan_in.h"

struct asked {                  /* one demand on the number of stems */
	double rank;            /* of the lines that it is for, and their day */
	day by;
	double chance;          /* NaN: the plain number */
	size_t date;            /* into pool_work.dates */
	int64_t need;
	double from, to, fits;
	double got, plain_got;  /* chances */
};
struct pool_work {
	struct plan_work *w;
	struct plan_pool *pool;
	const struct plan_source_of *src;
	struct plan_demand *d;
	size_t nd;
	day *dates;             /* distinct, rising */
	size_t ndates;
	double *in_time, *kept; /* per date: share of the cut boxed; survival of these in the box */
	double *plants_share, *batches; /* per date: that have a part in what is boxed by then */
	struct sure **sure;     /* per date */
	struct asked *asked;
	size_t nasked, cap_asked;
	double *shares;         /* per sowing of the crop */
};

static int by_day(const void *x, const void *y)
{
	const struct plan_demand *a = x, *b = y;
	if (a->by != b->by)
		return a->by < b->by ? -1 : 1;
	return (a->line > b->line) - (a->line < b->line);
}

/* ---- which sowings ---- */

static bool days_known(const struct plan_source_of *src)
{
	for (size_t i = 0; i < src->nsowings; i++) {
		if (src->sowings[i].first_boxed != DAY_NONE)
			return true;
	}
	return false;
}

static bool can_by(const struct plan_source_of *src, day by, bool past_too)
{
	for (size_t i = 0; i < src->nsowings; i++) {
		if ((past_too || !src->sowings[i].past) && season_in_time(&src->sowings[i], by) > 0)
			return true;
	}
	return false;
}

/* Takes out what no sowing can give in time, or no record is long enough for.  True when
 * sowings whose day is over are needed. */
static bool drop_lacking(struct pool_work *p)
{
	bool known = days_known(p->src), past = false;
	size_t kept = 0;
	for (size_t i = 0; i < p->nd; i++) {
		struct plan_demand *d = &p->d[i];
		bool late = known && !can_by(p->src, d->by, true);
		if (late || !(plan_fits(p->w, p->pool->crop, d->from, d->to) > 0)) {
			p->pool->lacking += d->stems;
			p->w->out->lines[d->line].lacking += d->stems;
			continue;
		}
		past = past || (known && !can_by(p->src, d->by, false));
		p->d[kept++] = *d;
	}
	p->nd = kept;
	return past;
}

static void set_dates(struct pool_work *p)
{
	struct arena *a = p->w->a;
	p->dates = ARENA_ARRAY(a, p->nd + 1, day);
	for (size_t i = 0; i < p->nd; i++) {
		if (p->ndates == 0 || p->dates[p->ndates - 1] != p->d[i].by)
			p->dates[p->ndates++] = p->d[i].by;
	}
	p->in_time = ARENA_ARRAY(a, p->ndates + 1, double);
	p->kept = ARENA_ARRAY(a, p->ndates + 1, double);
	p->plants_share = ARENA_ARRAY(a, p->ndates + 1, double);
	p->batches = ARENA_ARRAY(a, p->ndates + 1, double);
	p->sure = ARENA_ARRAY(a, p->ndates + 1, struct sure *);
	p->shares = ARENA_ARRAY(a, p->src->nsowings + 1, double);
}

/* What is owed by a date, in stems as they are on that date. */
static double *owed(const struct pool_work *p)
{
	double *sum = ARENA_ARRAY(p->w->a, p->ndates + 1, double);
	for (size_t j = 0, i = 0; j < p->ndates; j++) {
		if (j > 0)
			sum[j] = sum[j - 1] * loss_storage(p->src->storage,
							   date_months(p->dates[j - 1], p->dates[j]));
		for (; i < p->nd && p->d[i].by == p->dates[j]; i++)
			sum[j] += p->d[i].stems;
	}
	return sum;
}

/* One stem cut in sowing i gives so much on date j, before all other losses. */
static double gives(const struct pool_work *p, size_t i, size_t j, bool past)
{
	const struct plan_sowing *s = &p->src->sowings[i];
	double in_time = season_in_time(s, p->dates[j]);
	if ((s->past && !past) || !(in_time > 0))
		return 0;
	return in_time * season_kept(s, p->src->storage, p->dates[j]);
}

/* Moves stems to the sowing that gives most by date j until what is owed is there. */
static void meet_date(struct pool_work *p, size_t j, double owes, bool past)
{
	size_t n = p->src->nsowings, best = 0;
	double have = 0;
	for (size_t i = 0; i < n; i++) {
		have += p->shares[i] * gives(p, i, j, past);
		if (gives(p, i, j, past) > gives(p, best, j, past))
			best = i;
	}
	double top = gives(p, best, j, past);
	while (owes - have > 1e-9 * owes && top > 0) {
		size_t worst = best;
		for (size_t i = 0; i < n; i++) {
			if (p->shares[i] > 0 && gives(p, i, j, past) < gives(p, worst, j, past))
				worst = i;
		}
		double gain = top - gives(p, worst, j, past);
		if (worst == best || gain < 1e-9 * top) {
			p->shares[best] += (owes - have) / top;
			return;
		}
		double move = fmin(p->shares[worst], (owes - have) / gain);
		p->shares[worst] = move >= p->shares[worst] ? 0 : p->shares[worst] - move;
		p->shares[best] += move;
		have += move * gain;
	}
}

/* Even shares of the sowings that are in time for the last date; then, date by date, as
 * much more of the early ones as is owed. */
static void share_sowings(struct pool_work *p, bool past)
{
	size_t n = p->src->nsowings, last = p->ndates - 1, some = 0;
	double *sum = owed(p), all = 0;
	for (size_t i = 0; i < n; i++) {
		p->shares[i] = gives(p, i, last, past) > 0;
		some += p->shares[i] > 0;
		all += gives(p, i, last, past);
	}
	if (!some) { /* without days */
		for (size_t i = 0; i < n; i++)
			p->shares[i] = 1 / (double)n;
		return;
	}
	for (size_t i = 0; i < n; i++)
		p->shares[i] *= sum[last] / all;
	for (size_t j = 0; j < p->ndates; j++)
		meet_date(p, j, sum[j], past);
	all = 0;
	for (size_t i = 0; i < n; i++)
		all += p->shares[i];
	for (size_t i = 0; i < n; i++)
		p->shares[i] /= all;
}

/* Of sowings that give unlike shares of their cut by a date, fewer plants and batches even
 * one another out: so many alike ones as have the same spread of their sum (L. Kish, Survey
 * Sampling, 1965, (sum)^2 / sum of squares, from memory).  Within a sowing every plant gives
 * alike, and a batch is all there or is not. */
static void set_parts(struct pool_work *p, size_t j)
{
	double sum = 0, plants = 0, batches = 0;
	for (size_t i = 0; i < p->src->nsowings; i++) {
		double t = season_in_time(&p->src->sowings[i], p->dates[j]), share = p->shares[i];
		sum += share * t;
		plants += share * t * t;
		batches += share * share * t;
	}
	p->plants_share[j] = sum > 0 ? sum * sum / plants : 1;
	p->batches[j] = p->src->batches * (sum > 0 ? sum * sum / batches : 1);
}

static void set_times(struct pool_work *p)
{
	bool known = days_known(p->src);
	for (size_t j = 0; j < p->ndates; j++) {
		double kept = 0;
		p->in_time[j] = 0;
		for (size_t i = 0; known && i < p->src->nsowings; i++) {
			double t = p->shares[i] * season_in_time(&p->src->sowings[i], p->dates[j]);
			p->in_time[j] += t;
			if (t > 0)
				kept += t * season_kept(&p->src->sowings[i], p->src->storage,
							p->dates[j]);
		}
		p->kept[j] = known ? kept / p->in_time[j] : 1;
		if (!known)
			p->in_time[j] = 1;
		set_parts(p, j);
	}
}

/* ---- what is asked ---- */

/* How sure the grower wants the line to be: in a bad year the surest are served first, of
 * equally sure ones the earliest.  Not said: last. */
static double rank_of(const struct pool_work *p, const struct plan_demand *d)
{
	double sure = p->w->out->lines[d->line].wish.sure;
	return isnan(sure) ? -1 : sure;
}

static bool same_turn(const struct pool_work *p, const struct plan_demand *a, const struct plan_demand *b)
{
	double x = rank_of(p, a), y = rank_of(p, b);
	return a->by == b->by && !(x < y) && !(x > y);
}

static bool served_by(const struct pool_work *p, const struct plan_demand *d, const struct plan_demand *turn)
{
	double x = rank_of(p, d), y = rank_of(p, turn);
	return x > y || (!(x < y) && d->by <= turn->by);
}

static void ask(struct pool_work *p, const struct plan_demand *turn, double chance, size_t date,
		double stems, const struct plan_demand *length)
{
	double from = length ? length->from : 0, to = length ? length->to : 0;
	if (!(stems > PLAN_CRUMB))
		return;
	*ARENA_PUSH(p->w->a, p->asked, p->nasked, p->cap_asked) =
	    (struct asked){ rank_of(p, turn), turn->by, chance, date, loss_cover(stems), from, to,
			    plan_fits(p->w, p->pool->crop, from, to), 1, 1 };
}

static bool within(const struct plan_demand *d, const struct plan_demand *length)
{
	return !length ||
	       (d->from >= length->from && (!(length->to > 0) || (d->to > 0 && d->to <= length->to)));
}

/* On the day of a turn and on later days of those served before it: what is owed by then to
 * all of these; of stems of a length (NULL: of all). */
static void ask_turn(struct pool_work *p, const struct plan_demand *turn, double chance,
		     const struct plan_demand *length)
{
	double sum = 0;
	for (size_t j = 0, i = 0; j < p->ndates; j++) {
		double more = 0;
		if (j > 0)
			sum *= loss_storage(p->src->storage,
					    date_months(p->dates[j - 1], p->dates[j]));
		for (; i < p->nd && p->d[i].by == p->dates[j]; i++) {
			if (within(&p->d[i], length) && served_by(p, &p->d[i], turn))
				more += p->d[i].stems;
		}
		sum += more;
		if (more > 0 && p->dates[j] >= turn->by)
			ask(p, turn, chance, j, sum, length);
	}
}

/* The first demand of its turn, so that each is taken once; the surest chance of them. */
static bool first_of_turn(const struct pool_work *p, size_t i, double *chance)
{
	*chance = p->d[i].chance;
	for (size_t k = 0; k < p->nd; k++) {
		if (!same_turn(p, &p->d[k], &p->d[i]))
			continue;
		if (k < i)
			return false;
		*chance = fmax(*chance, p->d[k].chance);
	}
	return true;
}

static bool first_length(const struct pool_work *p, size_t i)
{
	if (!(p->d[i].from > 0) && !(p->d[i].to > 0))
		return false;
	for (size_t k = 0; k < i; k++) {
		if (p->d[k].from == p->d[i].from && p->d[k].to == p->d[i].to)
			return false;
	}
	return true;
}

static void ask_all(struct pool_work *p)
{
	double chance;
	for (size_t i = 0; i < p->nd; i++) {
		if (!first_of_turn(p, i, &chance))
			continue;
		ask_turn(p, &p->d[i], chance, NULL);
		for (size_t k = 0; k < p->nd; k++) {
			if (first_length(p, k))
				ask_turn(p, &p->d[i], chance, &p->d[k]);
		}
	}
}

/* ---- numbers ---- */

static double months_of(const struct pool_work *p, size_t date)
{
	double s = p->src->storage;
	if (!(s > 0) || !(p->kept[date] < 1))
		return 0;
	return log(p->kept[date]) / log1p(-s);
}

static double share_of(const struct pool_work *p, const struct asked *q)
{
	return p->in_time[q->date] * q->fits;
}

/* Number without any certainty: for the order of search, and how many plants there are. */
static double about(const struct pool_work *p, const struct asked *q)
{
	const struct plan_source_of *s = p->src;
	double kept = p->kept[q->date] * share_of(p, q);
	for (int i = 0; i < STAGE_COUNT; i++)
		kept *= i == STAGE_STORAGE ? 1 : 1 - s->loss[i].rate;
	return (double)q->need / fmax(kept, 1e-9);
}

static void add_stage(struct sure *s, const struct plan_source_of *src, enum stage stage, double batches,
		      double months, struct arena *a)
{
	const struct plan_loss *l = &src->loss[stage];
	struct sure_rate rate = sure_of(l->rate, l->stems, l->rho, batches);
	struct sure before = *s;
	sure_stage(s, &before, &rate, months, a);
}

void plan_sure_base(struct sure *out, const struct plan_work *w, const struct plan_source_of *src, double batches,
		    struct arena *a)
{
	struct sure_yield one = { 1, 1, 1 };
	bool grown = src->yield.usual > 0 && src->nsowings;
	bool lives = grown && !w->options->rates_sure;
	sure_start(out, grown ? &src->yield : &one, lives ? src->live : 1, a);
	add_stage(out, src, STAGE_FIELD, batches, 1, a);
	add_stage(out, src, STAGE_DRYING, batches, 1, a);
	add_stage(out, src, STAGE_BENCH, batches, 1, a);
}

void plan_sure_stored(struct sure *out, const struct plan_source_of *src, double batches, double months,
		      struct arena *a)
{
	add_stage(out, src, STAGE_STORAGE, batches, months / src->storage_months, a);
}

/* Dates with as many batches share what does not hang on the months in the box. */
static void set_sure(struct pool_work *p)
{
	struct arena *a = p->w->a;
	struct sure base = { .n = 0 };
	for (size_t j = 0; j < p->ndates; j++) {
		if (j == 0 || fabs(p->batches[j] - p->batches[j - 1]) > 1e-6)
			plan_sure_base(&base, p->w, p->src, p->batches[j], a);
		p->sure[j] = ARENA_NEW(a, struct sure);
		*p->sure[j] = base;
		p->sure[j]->plants_share = p->plants_share[j];
		plan_sure_stored(p->sure[j], p->src, p->batches[j], months_of(p, j), a);
	}
}

static int64_t number_for(const struct pool_work *p, const struct asked *q)
{
	if (isnan(q->chance))
		return sure_plain(p->sure[q->date], share_of(p, q), q->need);
	return sure_smallest(p->sure[q->date], share_of(p, q), q->need, q->chance);
}

/* Most likely the largest number first: then most others need one look. */
static int largest_first(const void *x, const void *y)
{
	const struct asked *a = x, *b = y;
	double left = a->got, right = b->got;
	return (left < right) - (left > right);
}

static void decide(struct pool_work *p, const struct asked *q)
{
	struct plan_pool *pool = p->pool;
	const struct plan_source_of *s = p->src;
	pool->by = p->dates[q->date];
	pool->chance_wanted = q->chance;
	pool->need = q->need;
	pool->plain_need = sure_plain(p->sure[q->date], share_of(p, q), q->need);
	pool->in_time = p->in_time[q->date];
	pool->from = q->from;
	pool->to = q->to;
	pool->fits = q->fits;
	pool->months = months_of(p, q->date);
	for (int i = 0; i < STAGE_COUNT; i++)
		pool->kept[i] = i == STAGE_STORAGE ? p->kept[q->date] : 1 - s->loss[i].rate;
}

static void find_number(struct pool_work *p)
{
	struct plan_pool *pool = p->pool;
	for (size_t i = 0; i < p->nasked; i++)
		p->asked[i].got = about(p, &p->asked[i]) *
				  (isnan(p->asked[i].chance) ? 1 : 1 + p->asked[i].chance);
	qsort(p->asked, p->nasked, sizeof *p->asked, largest_first);
	set_sure(p);
	for (size_t i = 0; i < p->nasked; i++) {
		const struct asked *q = &p->asked[i];
		const struct sure *s = p->sure[q->date];
		int64_t plain = sure_plain(s, share_of(p, q), q->need);
		if (plain > pool->plain) {
			pool->plain = plain;
			pool->plain_for = q->need;
			pool->plain_by = p->dates[q->date];
		}
		if (i > 0 && pool->cut >= plain &&
		    (isnan(q->chance) ||
		     sure_chance(s, pool->cut, share_of(p, q), q->need) >= q->chance))
			continue;
		int64_t n = number_for(p, q);
		if (n < 0) { /* some years bring nothing at all */
			pool->out_of_reach = true;
			n = plain;
		}
		if (i == 0 || n > pool->cut) {
			pool->cut = n;
			decide(p, q);
		}
	}
}

/* The chance of so many stems where the plain number of cells is sown: that all plants come up and it does, or
 * that it does with the stems of those that come up in the mean; the first errs on the low side, the second by
 * little where years differ much.  sown_sure: cells are sown for a chance, which plan_beds counts. */
static double chance_of(const struct pool_work *p, const struct asked *q, int64_t stems, bool sown_sure)
{
	const struct sure *s = p->sure[q->date];
	size_t sowings = 0;
	double sure = sure_chance(s, stems, share_of(p, q), q->need);
	if (sown_sure || !p->src->trays)
		return sure;
	for (size_t i = 0; i < p->src->nsowings; i++)
		sowings += p->shares[i] > 0;
	struct plan_even even = plan_even(p->w, p->pool->crop, (double)stems, sowings);
	return fmax(sure * even.all,
		    sure_chance(s, loss_whole((double)stems * even.share), share_of(p, q), q->need));
}

/* The chance that a line gets its stems from the pool: the least of what is owed to it and
 * to those served before it, by its day and theirs.  there: no more stems can be cut. */
static void set_chances(struct pool_work *p, int64_t there)
{
	struct plan_pool *pool = p->pool;
	int64_t cut = pool->cut < there ? pool->cut : there, even = pool->plain < there ? pool->plain : there;
	bool sown_sure = plan_asks_sure(p->w, pool->crop);
	for (size_t i = 0; i < p->nasked; i++) {
		struct asked *q = &p->asked[i];
		q->got = chance_of(p, q, cut, sown_sure);
		q->plain_got = chance_of(p, q, even, false);
		pool->chance = fmin(pool->chance, q->got);
		pool->plain_chance = fmin(pool->plain_chance, q->plain_got);
	}
	for (size_t i = 0; i < p->nd; i++) {
		struct plan_line *l = &p->w->out->lines[p->d[i].line];
		double got = 1, plain = 1, rank = rank_of(p, &p->d[i]);
		if (i > 0 && p->d[i - 1].line == p->d[i].line)
			continue;
		for (size_t k = 0; k < p->nasked; k++) {
			const struct asked *q = &p->asked[k];
			if (q->by != p->d[i].by || q->rank < rank || q->rank > rank)
				continue;
			got = fmin(got, q->got);
			plain = fmin(plain, q->plain_got);
		}
		l->chance *= got;
		l->plain_chance *= plain;
	}
}

static void share_stems(struct pool_work *p)
{
	for (size_t i = 0; i < p->src->nsowings; i++) {
		if (!(p->shares[i] > 0))
			continue;
		p->src->sowings[i].planned = true;
		p->src->stems[i] += p->shares[i] * (double)p->pool->cut;
	}
}

struct open_pool {              /* what is only needed meanwhile */
	struct plan_work own;   /* with an arena of its own */
	struct pool_work p;
};

/* Its number; NULL: nothing is asked of it, or nothing can be there. */
static struct open_pool *number_pool(const struct plan_work *all, size_t index, struct arena *scratch)
{
	struct open_pool *o = ARENA_NEW(scratch, struct open_pool);
	o->own = *all;
	o->own.a = scratch;
	struct plan_pool *pool = &all->out->pools[index];
	struct pool_work *p = &o->p;
	*p = (struct pool_work){ .w = &o->own, .pool = pool, .src = &all->crops[pool->crop],
				 .d = all->demands[index].items, .nd = all->demands[index].n };
	if (p->nd == 0)
		return NULL;
	qsort(p->d, p->nd, sizeof *p->d, by_day);
	bool past = drop_lacking(p);
	if (p->nd == 0)
		return NULL;
	set_dates(p);
	if (p->src->nsowings)
		share_sowings(p, past);
	set_times(p);
	ask_all(p);
	find_number(p);
	share_stems(p);
	return o;
}

/* A bed gives no more than it bears: where more is asked, each pool gets its share of that. */
static void standing_chances(const struct plan_work *w, struct open_pool **pools, size_t n)
{
	double *asked = ARENA_ARRAY(w->a, w->farm->ncrops, double);
	for (size_t i = 0; i < n; i++)
		asked[pools[i]->p.pool->crop] += (double)pools[i]->p.pool->cut;
	for (size_t i = 0; i < n; i++) {
		const struct plan_pool *pool = pools[i]->p.pool;
		int64_t bears = plan_bears(w, pool->crop);
		bool enough = bears < 0 || (double)bears >= asked[pool->crop];
		set_chances(&pools[i]->p, enough ? INT64_MAX : loss_whole((double)bears * (double)pool->cut /
									  asked[pool->crop]));
	}
}

void plan_stems(struct plan_work *w)
{
	struct arena standing;
	arena_init(&standing);
	struct open_pool **stand = ARENA_ARRAY(&standing, w->out->npools, struct open_pool *);
	size_t nstand = 0;
	for (size_t i = 0; i < w->out->npools; i++) {
		bool stands = w->out->crops[w->out->pools[i].crop].source == PLAN_STANDING;
		struct arena scratch;
		arena_init(&scratch);
		struct open_pool *o = number_pool(w, i, stands ? &standing : &scratch);
		if (o && stands)
			stand[nstand++] = o;
		else if (o)
			set_chances(&o->p, INT64_MAX);
		arena_release(&scratch);
	}
	standing_chances(w, stand, nstand);
	arena_release(&standing);
	for (size_t i = 0; i < w->out->nlines; i++) {
		if (w->out->lines[i].lacking > 0)
			w->out->lines[i].chance = w->out->lines[i].plain_chance = 0;
	}
}

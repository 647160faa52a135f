/* learning.c - see learning.h. */
#include "reckon/learning.h"

#include <math.h>

#include "reckon/bench.h"
#include "reckon/cost.h"
#include "reckon/loss.h"

enum { SUMMED = 100 }; /* units added one by one; beyond, the sum goes as an integral */

double curve_exponent(double rate)
{
	return log2(rate);
}

/* Sum of i^b for i = 1..n, by Euler and Maclaurin beyond SUMMED: to 1e-11 or better. */
static double power_sum(double n, double b)
{
	double sum = 0, m = fmin(n, SUMMED);
	for (double i = 1; i <= m; i++)
		sum += pow(i, b);
	if (n <= SUMMED)
		return sum;
	double fm = pow(m, b), fn = pow(n, b);
	double area = fabs(b + 1) < 1e-12 ? log(n / m) : (n * fn - m * fm) / (b + 1);
	double bends = b * (fn / n - fm / m) / 12;
	double twists = b * (b - 1) * (b - 2) * (fn / (n * n * n) - fm / (m * m * m)) / 720;
	return sum + area + (fn - fm) / 2 + bends - twists;
}

/* The n after `done`. */
static double power_between(double done, double n, double b)
{
	double sum = 0;
	if (n > SUMMED)
		return power_sum(done + n, b) - power_sum(done, b);
	for (double i = 1; i <= n; i++)
		sum += pow(done + i, b);
	return sum;
}

double curve_total(const struct curve *c, double n)
{
	double b = curve_exponent(c->rate);
	if (!(n > 0))
		return 0;
	return c->first * (c->model == LEARN_UNIT ? power_sum(n, b) : pow(n, b + 1));
}

double curve_between(const struct curve *c, double done, double n)
{
	if (c->model == LEARN_UNIT)
		return c->first * power_between(done, n, curve_exponent(c->rate));
	return curve_total(c, done + n) - curve_total(c, done);
}

double curve_unit(const struct curve *c, double n)
{
	if (c->model == LEARN_UNIT)
		return c->first * pow(n, curve_exponent(c->rate));
	return curve_between(c, n - 1, 1);
}

/* ---- fitting ---- */

struct line {                   /* y = mean_y + slope (x - mean_x) */
	double mean_x, mean_y, sxx, sxy, syy;
};

static struct line fit_line(const double *x, const double *y, size_t n)
{
	struct line l = { 0 };
	for (size_t i = 0; i < n; i++) {
		l.mean_x += x[i] / (double)n;
		l.mean_y += y[i] / (double)n;
	}
	for (size_t i = 0; i < n; i++) {
		double dx = x[i] - l.mean_x, dy = y[i] - l.mean_y;
		l.sxx += dx * dx;
		l.sxy += dx * dy;
		l.syy += dy * dy;
	}
	return l;
}

static bool counts(const struct work_run *r)
{
	return r->count > 0 && r->time > 0 && r->recipe > 0;
}

/* The unit of a run at which n^b is the mean over its units; their geometric mean when
 * b is nothing. */
static double middle_unit(double done, double count, double b)
{
	if (fabs(b) >= 1e-9)
		return pow(power_between(done, count, b) / count, 1 / b);
	if (count > SUMMED) /* as an integral */
		return exp(((done + count) * log(done + count) - done * log(fmax(done, 1))) / count - 1);
	double sum = 0;
	for (double i = 1; i <= count; i++)
		sum += log(done + i);
	return exp(sum / count);
}

/* Where the points of a run stand on the x axis, for a slope of b. */
static size_t lay_points(enum learning_model model, const struct work_run *runs, size_t n, double b,
                         double *x, double *y)
{
	double done = 0, time = 0, recipe = 0;
	size_t k = 0;
	for (size_t i = 0; i < n; i++) {
		if (!counts(&runs[i]))
			continue;
		time += runs[i].time;
		recipe += runs[i].recipe;
		if (model == LEARN_UNIT) {
			x[k] = log(middle_unit(done, runs[i].count, b));
			y[k] = log(runs[i].time / runs[i].recipe);
		} else {
			x[k] = log(done + runs[i].count);
			y[k] = log(time / recipe);
		}
		done += runs[i].count;
		k++;
	}
	return k;
}

static struct interval no_interval(void)
{
	return (struct interval){ (double)NAN, (double)NAN };
}

/* Slopes beyond these are no learning that anyone has seen. */
#define SLOPE_MOST 1.0
#define RUNS_APART 1e-6 /* least sum of squares of log units that fits a slope */

static void judge_fit(struct curve_fit *out, double b)
{
	if (out->runs < LEARN_RUNS)
		return;
	double freedom = (double)out->runs - 2;
	double rest = out->syy - 2 * b * out->sxy + b * b * out->sxx;
	out->error = sqrt(fmax(0, rest) / freedom);
	double half = stat_t_quantile(0.9, freedom) * out->error / sqrt(out->sxx);
	out->rate80 = (struct interval){ exp2(b - half), exp2(b + half) };
	out->clear = out->rate80.high < 1;
}

void curve_fit(struct curve_fit *out, enum learning_model model, const struct work_run *runs, size_t n)
{
	double b = 0;
	*out = (struct curve_fit){ .curve = { model, (double)NAN, (double)NAN }, .error = (double)NAN,
		                   .rate80 = no_interval() };
	if (n == 0)
		return;
	double *x = mem_alloc(n, sizeof *x), *y = mem_alloc(n, sizeof *y);
	for (int turn = 0; turn < 50; turn++) {
		out->runs = lay_points(model, runs, n, b, x, y);
		struct line l = fit_line(x, y, out->runs);
		out->mean_x = l.mean_x;
		out->mean_y = l.mean_y;
		out->sxx = l.sxx;
		out->sxy = l.sxy;
		out->syy = l.syy;
		if (out->runs < 2 || !(l.sxx > RUNS_APART))
			break;
		double next = fmin(fmax(l.sxy / l.sxx, -SLOPE_MOST), SLOPE_MOST);
		bool settled = fabs(next - b) < 1e-12;
		b = next;
		out->curve.rate = exp2(b);
		out->curve.first = exp(l.mean_y - b * l.mean_x);
		if (settled || model == LEARN_AVERAGE)
			break;
	}
	mem_free(x);
	mem_free(y);
	if (!isnan(out->curve.rate))
		judge_fit(out, b);
}

void off_reckon(struct off *out, const double *ratios, size_t n)
{
	double sum = 0, squares = 0;
	*out = (struct off){ .ratio = (double)NAN, .i80 = no_interval() };
	for (size_t i = 0; i < n; i++) {
		if (!(ratios[i] > 0) || !isfinite(ratios[i]))
			continue;
		sum += log(ratios[i]);
		out->runs++;
	}
	if (out->runs == 0)
		return;
	double mean = sum / (double)out->runs, k = (double)out->runs;
	out->ratio = exp(mean);
	if (out->runs < 2)
		return;
	for (size_t i = 0; i < n; i++) {
		if (ratios[i] > 0 && isfinite(ratios[i]))
			squares += (log(ratios[i]) - mean) * (log(ratios[i]) - mean);
	}
	double half = stat_t_quantile(0.9, k - 1) * sqrt(squares / (k - 1) / k);
	out->i80 = (struct interval){ exp(mean - half), exp(mean + half) };
	out->clear = out->runs >= LEARN_RUNS && (out->i80.low > 1 || out->i80.high < 1) &&
	             fabs(out->ratio - 1) >= CLEARLY_OFF;
}

/* ---- the next run ---- */

static struct interval times(struct interval i, double by)
{
	return (struct interval){ i.low * by, i.high * by };
}

/* exp(log_ratio +- t x error) */
static struct interval about(double log_ratio, double error, double freedom)
{
	if (!(freedom > 0))
		return no_interval();
	double half = stat_t_quantile(0.9, freedom) * error;
	return (struct interval){ exp(log_ratio - half), exp(log_ratio + half) };
}

/* Spread of log y about a given slope: sum of squares left, k - 1 degrees of freedom. */
static double spread_about(const struct curve_fit *fit, double b)
{
	double k = (double)fit->runs, rest = fit->syy - 2 * b * fit->sxy + b * b * fit->sxx;
	return k > 1 ? sqrt(fmax(0, rest) / (k - 1)) : (double)NAN;
}

struct forecast learning_next(const struct curve_fit *fit, const struct work_run *runs, size_t n,
                              double farm, double count, double recipe)
{
	struct forecast f = { .time = (double)NAN, .i80 = no_interval() };
	double done = 0, time = 0, said = 0, k = (double)fit->runs;
	for (size_t i = 0; i < n; i++) {
		if (!counts(&runs[i]))
			continue;
		done += runs[i].count;
		time += runs[i].time;
		said += runs[i].recipe;
	}
	if (fit->runs == 0 || !(count > 0))
		return f;
	bool own = fit->clear && fit->curve.model == LEARN_UNIT;
	/* Its own runs, where there are enough, speak against the farm's rate. */
	bool denied = fit->rate80.low > farm || fit->rate80.high < farm;
	if (!own && (isnan(farm) || denied)) {
		f.time = recipe * time / said;
		f.i80 = times(about(fit->mean_y, spread_about(fit, 0) * sqrt(1 + 1 / k), k - 1), recipe);
		return f;
	}
	double b = own ? curve_exponent(fit->curve.rate) : curve_exponent(farm);
	double x = log(middle_unit(done, count, b)), ratio = fit->mean_y + b * (x - fit->mean_x);
	double away = own ? (x - fit->mean_x) * (x - fit->mean_x) / fit->sxx : 0;
	f.from = own ? LEARNED_OWN : LEARNED_FARM;
	f.time = recipe * exp(ratio);
	f.i80 = times(about(ratio, (own ? fit->error : spread_about(fit, b)) * sqrt(1 + 1 / k + away),
	                    own ? k - 2 : k - 1),
	              recipe);
	return f;
}

double learning_round(double seconds)
{
	double step = seconds >= 600 ? 60 : seconds >= 120 ? 30 : 5;
	return fmax(step, round(seconds / step) * step);
}

/* ---- from the bench log ---- */

struct made_line {
	struct item item;
	size_t order;
	const struct log_entry *e;
};
struct drill {
	struct skills *out;
	const struct farm *farm;
	struct arena *arena;
	double *drawn, *recipe; /* per crop */
	double *ratios;         /* room for one per line */
	const struct made_line *lines;
	size_t n;
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

static int by_size(const void *x, const void *y)
{
	double a = *(const double *)x, b = *(const double *)y;
	return (a > b) - (a < b);
}

static void read_runs(struct drill *d, struct skill *s)
{
	size_t counted = 0;
	s->runs = ARENA_ARRAY(d->arena, d->n, struct work_run);
	for (size_t i = 0; i < d->n; i++) {
		const struct log_entry *e = d->lines[i].e;
		struct work_run run = { (double)loss_cover(bench_makings(d->farm, e)), e->minutes,
			                bench_recipe_seconds(d->farm, e) / 60 };
		if (!counts(&run))
			continue;
		s->runs[s->nruns++] = run;
		s->units += run.count;
		d->ratios[counted++] = run.count;
	}
	struct recipe recipe = recipe_of(d->farm, s->item);
	if (counted) {
		qsort(d->ratios, counted, sizeof *d->ratios, by_size);
		s->next_count = floor((d->ratios[(counted - 1) / 2] + d->ratios[counted / 2]) / 2);
	}
	s->next_recipe = labour_run_seconds(recipe.tasks, recipe.ntasks, (int64_t)s->next_count) / 60;
	s->recipe_seconds = labour_unit_seconds(recipe.tasks, recipe.ntasks, NULL) / recipe.makes;
	for (size_t i = 0; i < s->nruns; i++)
		d->ratios[i] = s->runs[i].time / s->runs[i].recipe;
	off_reckon(&s->off, d->ratios, s->nruns);
	curve_fit(&s->unit, LEARN_UNIT, s->runs, s->nruns);
	curve_fit(&s->average, LEARN_AVERAGE, s->runs, s->nruns);
}

/* Every crop that any line drew, against the recipe, line by line. */
static void read_stems(struct drill *d, struct skill *s)
{
	size_t cap = 0;
	double *all = ARENA_ARRAY(d->arena, d->farm->ncrops * d->n, double);
	for (size_t i = 0; i < d->n; i++) {
		if (!bench_stems(d->farm, d->lines[i].e, d->drawn, d->recipe))
			continue;
		for (size_t c = 0; c < d->farm->ncrops; c++)
			all[c * d->n + i] = d->recipe[c] > 0 ? d->drawn[c] / d->recipe[c] : 0;
	}
	for (size_t c = 0; c < d->farm->ncrops; c++) {
		struct off off;
		off_reckon(&off, &all[c * d->n], d->n);
		if (off.clear)
			*ARENA_PUSH(d->arena, s->stems, s->nstems, cap) =
			    (struct stem_hint){ (uint32_t)c, off };
	}
}

static void read_skills(struct drill *d, const struct made_line *lines, size_t n)
{
	for (size_t from = 0, to; from < n; from = to) {
		for (to = from; to < n && same_item(lines[from].item, lines[to].item); to++)
			;
		struct skill *s = &d->out->items[d->out->n++];
		s->item = lines[from].item;
		d->lines = &lines[from];
		d->n = to - from;
		read_runs(d, s);
		read_stems(d, s);
	}
}

/* One slope for all that were run often enough, each about its own mean. */
static void pool_rates(struct skills *out)
{
	double sxx = 0, sxy = 0, syy = 0, freedom = -1;
	out->farm_rate = (double)NAN;
	out->farm80 = no_interval();
	for (size_t i = 0; i < out->n; i++) {
		const struct curve_fit *f = &out->items[i].unit;
		if (f->runs < LEARN_RUNS || isnan(f->curve.rate))
			continue;
		out->farm_items++;
		sxx += f->sxx;
		sxy += f->sxy;
		syy += f->syy;
		freedom += (double)f->runs - 1;
	}
	if (out->farm_items == 0)
		return;
	double b = fmin(fmax(sxy / sxx, -SLOPE_MOST), SLOPE_MOST);
	double half = stat_t_quantile(0.9, freedom) * sqrt(fmax(0, syy - b * sxy) / freedom / sxx);
	out->farm80 = (struct interval){ exp2(b - half), exp2(b + half) };
	if (out->farm80.high < 1)
		out->farm_rate = exp2(b);
}

/* The task that bears a difference: of those done for each, the longest. */
static uint32_t bearer(const struct recipe *r)
{
	uint32_t best = NONE;
	for (uint32_t i = 0; i < r->ntasks; i++) {
		const struct task *t = &r->tasks[i], *b = best == NONE ? NULL : &r->tasks[best];
		if (!b || (b->batch.given && !t->batch.given) ||
		    (b->batch.given == t->batch.given && t->seconds.v > b->seconds.v))
			best = i;
	}
	return best;
}

/* `more`: seconds of one making beyond the recipe's. */
static void hint_task(struct skill *s, const struct recipe *r, double more)
{
	uint32_t i = bearer(r);
	double share = i != NONE && r->tasks[i].batch.given ? r->tasks[i].batch.v : 1;
	if (i == NONE || !(r->tasks[i].seconds.v + more * share > 0))
		return;
	double seconds = learning_round(r->tasks[i].seconds.v + more * share);
	if (fabs(seconds - r->tasks[i].seconds.v) > 0.5)
		s->hint = (struct task_hint){ i, seconds };
}

static void suggest(struct skill *s, const struct farm *farm)
{
	s->suggests = (double)NAN;
	s->hint.task = NONE;
	if (!s->off.clear || !(s->recipe_seconds > 0))
		return;
	/* Where work gets quicker, next season's recipe is what the next run will take. */
	double ratio = s->next.from == LEARNED_OWN && s->next_recipe > 0 ? s->next.time / s->next_recipe
	                                                                 : s->off.ratio;
	double seconds = learning_round(s->recipe_seconds * ratio);
	if (!(fabs(seconds - s->recipe_seconds) > 0.5))
		return;
	s->suggests = seconds;
	struct recipe recipe = recipe_of(farm, s->item);
	hint_task(s, &recipe, s->recipe_seconds * (ratio - 1) * recipe.makes);
}

/* The curves run over makings, relative to the recipe's time of one. */
static void let_say(struct skill *s)
{
	const struct curve *curves[] = { &s->unit.curve, &s->average.curve };
	double one = s->next_count > 0 ? s->next_recipe / s->next_count : (double)NAN;
	for (size_t i = 0; i < 2; i++) {
		const struct curve *c = curves[i];
		s->says[c->model] = (struct curve_says){
			one * curve_unit(c, 1), one * curve_unit(c, 2),
			one * curve_between(c, s->units, s->next_count)
		};
	}
}

void skills_reckon(struct skills *out, const struct farm *farm, day on, struct arena *a)
{
	size_t *order, n = bench_lines(&order, farm, on, NULL, a), made = 0;
	struct made_line *lines = ARENA_ARRAY(a, n, struct made_line);
	struct drill d = { .out = out, .farm = farm, .arena = a,
		           .drawn = ARENA_ARRAY(a, farm->ncrops, double),
		           .recipe = ARENA_ARRAY(a, farm->ncrops, double),
		           .ratios = ARENA_ARRAY(a, n, double) };
	*out = (struct skills){ .items = ARENA_ARRAY(a, n, struct skill) };
	for (size_t i = 0; i < n; i++) {
		const struct log_entry *e = &farm->log[order[i]];
		if (e->event == EVENT_MADE && e->count > 0 &&
		    (e->item.kind == KIND_PART || e->item.kind == KIND_PIECE))
			lines[made++] = (struct made_line){ e->item, i, e };
	}
	if (made)
		qsort(lines, made, sizeof *lines, by_item);
	read_skills(&d, lines, made);
	pool_rates(out);
	for (size_t i = 0; i < out->n; i++) {
		struct skill *s = &out->items[i];
		s->next = learning_next(&s->unit, s->runs, s->nruns, out->farm_rate, s->next_count,
		                        s->next_recipe);
		suggest(s, farm);
		let_say(s);
	}
}

/* test_plan_seasons.c - plans made up by chance, tried in seasons drawn one by one: each
 * target as a whole is met as often as it was to be, within three standard errors.
 *
 *     test_plan_seasons [PLANS SEASONS]     make check-plans: 300 20000
 *
 * Of 300 plans, some with two targets, that only just reach what was asked, one in two
 * whole runs would fall short by three standard errors by chance alone (0.13% each).  So
 * a target that does is tried once more: other seasons, ten times as many.  Falling short
 * by three standard errors of these, a third of the first ones, is a failure; a plan that
 * is short in truth does so all the more surely.  Both counts are printed. */
#include <math.h>
#include <stdio.h>
#include <sys/wait.h>
#include <unistd.h>

#include "help.h"
#include "help_plans.h"
#include "help_simulate.h"

#define SHORT 3.0 /* standard errors */

static size_t plans = 24, seasons = 2000;

struct tried {
	size_t number, nlines;
	double sure[LINES_MOST], met[LINES_MOST], plain[LINES_MOST], said[LINES_MOST];
	bool again[LINES_MOST];
};

static double error_of(double sure, double times)
{
	return sqrt(sure * (1 - sure) / times);
}

static void try_plan(struct tried *t, size_t number)
{
	struct made_plan p;
	double met[LINES_MOST];
	uint64_t state = plan_seed(number, 1), other = plan_seed(number, 2);
	bool again = false;
	make_plan(&p, number);
	*t = (struct tried){ .number = number, .nlines = p.farm.nlines };
	seasons_met(t->met, &p.farm, p.done, seasons, &state);
	seasons_met(t->plain, &p.farm, p.plain, seasons / 10 + 1, &state);
	for (size_t j = 0; j < t->nlines; j++) {
		t->sure[j] = p.farm.lines[j].sure;
		t->said[j] = p.said[j];
		t->again[j] = t->met[j] < t->sure[j] - SHORT * error_of(t->sure[j], (double)seasons);
		again = again || t->again[j];
	}
	if (again)
		seasons_met(met, &p.farm, p.done, 10 * seasons, &other);
	for (size_t j = 0; j < t->nlines; j++)
		t->met[j] = t->again[j] ? met[j] : t->met[j];
}

/* A share of the plans in a child of its own; it writes one record for each. */
static void try_some(int out, size_t from, size_t step)
{
	for (size_t i = from; i < plans; i += step) {
		struct tried t;
		try_plan(&t, i);
		if (write(out, &t, sizeof t) != (ssize_t)sizeof t)
			_exit(4);
	}
	_exit(0);
}

struct outcome {
	size_t plans, lines, again, failed;
	double worst, asked, plain;
	struct tried worst_of;
	size_t worst_line;
};

static void judge(struct outcome *o, const struct tried *t)
{
	o->plans++;
	for (size_t j = 0; j < t->nlines; j++) {
		double se = error_of(t->sure[j], (double)(t->again[j] ? 10 * seasons : seasons));
		double off = (t->met[j] - t->sure[j]) / se;
		o->lines++;
		o->again += t->again[j];
		o->failed += off < -SHORT;
		o->asked += t->sure[j];
		o->plain += t->plain[j];
		if (off < -SHORT || t->again[j])
			printf("plan %zu, target %zu: asked %.2f, said %.4f, met %.4f, %+.1f standard "
			       "errors%s\n",
			       t->number, j, t->sure[j], t->said[j], t->met[j], off,
			       t->again[j] ? " in ten times as many seasons" : "");
		if (off < o->worst) {
			o->worst = off;
			o->worst_of = *t;
			o->worst_line = j;
		}
	}
}

static void targets_are_met_as_often_as_asked(void **state)
{
	(void)state;
	struct outcome o = { .worst = INFINITY };
	struct tried t;
	int ends[2], status;
	size_t children = 2;
	assert_int_equal(pipe(ends), 0);
	fflush(NULL);
	for (size_t i = 0; i < children; i++) {
		pid_t child = fork();
		assert_true(child >= 0);
		if (child == 0)
			try_some(ends[1], i, children);
	}
	close(ends[1]);
	while (read(ends[0], &t, sizeof t) == (ssize_t)sizeof t)
		judge(&o, &t);
	close(ends[0]);
	while (wait(&status) > 0)
		assert_int_equal(status, 0);
	assert_int_equal(o.plans, plans);
	size_t w = o.worst_line;
	double times = (double)(o.worst_of.again[w] ? 10 * seasons : seasons);
	printf("%zu plans, %zu targets, %zu seasons each: worst is plan %zu, asked %.2f, met %.4f, "
	       "standard error %.4f; %zu tried again, %zu short\n",
	       o.plans, o.lines, seasons, o.worst_of.number, o.worst_of.sure[w], o.worst_of.met[w],
	       error_of(o.worst_of.sure[w], times), o.again, o.failed);
	assert_int_equal(o.failed, 0);
	/* The plain numbers would not do: the test above can fail. */
	assert_true(o.plain < 0.7 * o.asked);
}

/* The quick draw of a binomial count, which the seasons hang on, against its terms (and,
 * at 1 in 100, A. Kolmogorov's bound for the largest gap between two distributions). */
static void counts_are_binomial(void **state)
{
	(void)state;
	static const double cases[][2] = { { 3, .8 }, { 20, .05 }, { 60, .3 }, { 60, .7 }, { 900, .93 },
					   { 4000, .02 } };
	enum { DRAWS = 20000 };
	uint64_t random = plan_seed(0, 3);
	for (size_t i = 0; i < COUNT(cases); i++) {
		static int times[4001];
		double n = cases[i][0], p = cases[i][1], drawn = 0, all = 0;
		for (double k = 0; k <= n; k++)
			times[(size_t)k] = 0;
		for (int k = 0; k < DRAWS; k++)
			times[(size_t)simulate_count(n, p, &random)]++;
		for (double k = 0; k <= n; k++) {
			drawn += times[(size_t)k] / (double)DRAWS;
			all += exp(lgamma(n + 1) - lgamma(k + 1) - lgamma(n - k + 1) + k * log(p) +
				   (n - k) * log1p(-p));
			assert_true(fabs(drawn - all) < 1.63 / sqrt(DRAWS));
		}
	}
}

static size_t number(const char *text)
{
	size_t n = 0;
	for (; *text >= '0' && *text <= '9'; text++)
		n = n * 10 + (size_t)(*text - '0');
	return n;
}

int main(int argc, char **argv)
{
	if (argc > 2) {
		plans = number(argv[1]);
		seasons = number(argv[2]);
	}
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(counts_are_binomial),
		cmocka_unit_test(targets_are_met_as_often_as_asked),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

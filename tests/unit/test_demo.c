/* test_demo.c - recipes-demo/ says what it is meant to: it is clean, it uses every
 * statement and every kind of entry, and its tables agree with each other. */
#include <math.h>
#include <stdlib.h>

#include "base/file.h"
#include "farm/statements.h"
#include "help.h"
#include "reckon/remark.h"
#include "reckon/sense.h"
#include "reckon/stock.h"

#define DEMO "recipes-demo"

struct demo {
	struct arena arena;
	struct farm *farm;
	struct diag diag;
	day on;
};

static int open_demo(void **state)
{
	static const struct load_options none = { 0 };
	struct demo *d = calloc(1, sizeof *d);
	*state = d;
	if (!d || !date_parse(str_of("2026-11-10"), &d->on))
		return -1;
	arena_init(&d->arena);
	diag_init(&d->diag, &d->arena);
	return farm_load(&d->farm, &d->arena, DEMO, &none, &d->diag);
}

static int close_demo(void **state)
{
	struct demo *d = *state;
	arena_release(&d->arena);
	free(d);
	return 0;
}

/* The one thing to look at is there to be found: a supply that nothing needs. */
static void test_clean(void **state)
{
	struct demo *d = *state;
	struct findings f = { 0 };
	assert_int_equal(d->diag.nitems, 0);
	sense_check(&f, d->farm, d->on, &d->arena);
	assert_int_equal(f.n, 1);
	assert_int_equal(f.items[0].level, FINDING_NOTE);
	assert_text(f.items[0].about, "Stem wire #22");
}

/* Nothing doubtful: every box has its colour, its length, its day; every stem that
 * the log took came from somewhere. */
static void test_no_doubts(void **state)
{
	struct demo *d = *state;
	struct remarks r;
	struct stock s;
	remarks_init(&r, &d->arena);
	stock_take(&s, d->farm, d->on, false, NULL, &d->arena, &r);
	for (size_t i = 0; i < r.n; i++) {
		if (r.items[i].kind == REMARK_DOUBT)
			fail_msg("%s", r.items[i].text);
	}
}

static struct str first_word(struct str line)
{
	line = str_trim(line);
	size_t n = 0;
	while (n < line.n && line.p[n] != ' ' && line.p[n] != '\t' && line.p[n] != '\r')
		n++;
	return (struct str){ line.p, n };
}

/* Marks the statements of one text. */
static void mark(struct str text, bool *used)
{
	enum kind kind = KIND_COUNT;
	for (size_t from = 0, to; from < text.n; from = to + 1) {
		for (to = from; to < text.n && text.p[to] != '\n';)
			to++;
		struct str line = { text.p + from, to - from }, word = first_word(line);
		if (word.n == 0 || word.p[0] == '#')
			continue;
		if (line.p[0] != ' ') {
			kind = kind_of(word, true);
			continue;
		}
		const struct statement *s = statement_find(kind, word);
		assert_non_null(s);
		used[statement_index(s)] = true;
	}
}

static void test_every_statement(void **state)
{
	struct demo *d = *state;
	bool used[STATEMENTS_MOST] = { false };
	struct file_error err;
	struct str *names;
	size_t n;
	assert_int_equal(file_list(&d->arena, DEMO, ".txt", &names, &n, &err), 0);
	assert_true(n > 5);
	for (size_t i = 0; i < n; i++) {
		const char *name = arena_copy(&d->arena, names[i].p, names[i].n);
		struct str text;
		assert_int_equal(
		    file_read(&d->arena, file_join(&d->arena, DEMO, name), &text, &err), 0);
		mark(text, used);
	}
	for (size_t i = 0; statement_at(i); i++) {
		if (!used[i])
			fail_msg("the demo has no `%s`", statement_at(i)->syntax);
	}
}

static void test_every_event(void **state)
{
	const struct demo *d = *state;
	bool used[EVENT_COUNT] = { false };
	for (size_t i = 0; i < d->farm->nlog; i++)
		used[d->farm->log[i].event] = true;
	for (int i = 0; i < EVENT_COUNT; i++) {
		if (!used[i])
			fail_msg("the demo's bench log has no `%s`", event_name((enum event)i));
	}
}

static double lost(const struct batch *b)
{
	double sum = 0;
	for (int i = 0; i < CAUSE_COUNT; i++)
		sum += b->lost[i];
	return sum;
}

/* Stems cut of a bed are sold fresh or in a batch; what hung was boxed or lost. */
static void test_beds_and_batches_agree(void **state)
{
	const struct demo *d = *state;
	const struct farm *farm = d->farm;
	for (size_t i = 0; i < farm->nbeds; i++) {
		double cut = 0, boxed = 0;
		for (size_t k = 0; k < farm->nbatches; k++) {
			const struct batch *b = &farm->batches[k];
			if (b->bed != i)
				continue;
			assert_int_equal(b->crop, farm->beds[i].crop);
			assert_int_equal(b->colour, farm->beds[i].colour);
			cut += b->cut;
			boxed += isnan(b->boxed) ? 0 : b->boxed;
		}
		assert_near(farm->beds[i].fresh + cut, farm->beds[i].cut);
		if (!isnan(farm->beds[i].boxed))
			assert_near(boxed, farm->beds[i].boxed);
	}
	for (size_t k = 0; k < farm->nbatches; k++) {
		const struct batch *b = &farm->batches[k];
		assert_true(b->hung <= b->cut);
		if (!isnan(b->boxed))
			assert_near(b->hung - lost(b), b->boxed);
	}
}

/* This season's boxes of a crop hold no more than its batches gave. */
static void test_boxes_and_batches_agree(void **state)
{
	const struct demo *d = *state;
	const struct farm *farm = d->farm;
	day new_year;
	assert_true(date_parse(str_of("2026-01-01"), &new_year)); /* older boxes have no batches */
	for (uint32_t c = 0; c < farm->ncrops; c++) {
		double batches = 0, boxes = 0;
		for (size_t i = 0; i < farm->nbatches; i++) {
			if (farm->batches[i].crop == c && !isnan(farm->batches[i].boxed))
				batches += farm->batches[i].boxed;
		}
		for (size_t i = 0; i < farm->nboxes; i++) {
			const struct box *b = &farm->boxes[i];
			if (b->item.kind == KIND_CROP && b->item.index == c &&
			    b->boxed >= new_year && isnan(b->price))
				boxes += b->count;
		}
		if (batches == 0)
			continue; /* gathered or bought */
		if (boxes > batches)
			fail_msg("%.*s: %g stems in boxes of %g", STR_ARG(farm->crops[c].head.name),
				 boxes, batches);
		assert_true(boxes > 0);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_clean),
		cmocka_unit_test(test_no_doubts),
		cmocka_unit_test(test_every_statement),
		cmocka_unit_test(test_every_event),
		cmocka_unit_test(test_beds_and_batches_agree),
		cmocka_unit_test(test_boxes_and_batches_agree),
	};
	return cmocka_run_group_tests(tests, open_demo, close_demo);
}

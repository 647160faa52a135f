/* help_texts.h - a farm from texts in memory, by the steps of farm_load() without
 * the folder: reading, resolving and, when both went well, the checks.
 *
 *     struct texts t;
 *     texts_start(&t);
 *     texts_add(&t, "crops.txt", "crop Statice\n  bunch 10 stem\n");
 *     assert_int_equal(texts_done(&t), 0);
 *     ... t.farm
 *     texts_end(&t);
 */
#ifndef TESTS_HELP_TEXTS_H
#define TESTS_HELP_TEXTS_H

#include "farm/load.h"
#include "help.h"

struct texts {
	struct arena arena;
	struct diag diag;
	struct farm farm;
	struct loader loader;
	int bad;
};

void texts_start(struct texts *t);
void texts_add(struct texts *t, const char *name, const char *text);
void texts_add_str(struct texts *t, struct str name, struct str text);
int texts_done(struct texts *t);
/* What diag_print() writes; good until texts_end(). */
const char *texts_said(struct texts *t);
void texts_end(struct texts *t);

/* One text that must load without any message. */
void texts_load(struct texts *t, const char *text);

#endif

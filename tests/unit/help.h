/* help.h - what the unit tests share: cmocka, comparing doubles, a temporary
 * folder, running a piece of code in a child process. */
#ifndef TESTS_HELP_H
#define TESTS_HELP_H

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/str.h"

#define COUNT(a) (sizeof(a) / sizeof((a)[0]))

/* |a - b| <= absolute, or <= relative * the larger magnitude.  NaN is near
 * nothing, an infinity only itself. */
bool help_is_near(double a, double b, double relative, double absolute);
void help_near(double got, double want, double relative, double absolute, const char *file, int line);
#define assert_near_by(got, want, relative, absolute) \
	help_near((got), (want), (relative), (absolute), __FILE__, __LINE__)
/* To 1e-12 of the value, or 1e-12 near zero. */
#define assert_near(got, want) assert_near_by((got), (want), 1e-12, 1e-12)

/* A slice against a C string, both shown when they differ. */
void help_text(struct str got, const char *want, const char *file, int line);
#define assert_text(got, want) help_text((got), (want), __FILE__, __LINE__)

/* A new empty folder; the caller frees the name by help_remove(), which removes
 * the folder and all below it. */
char *help_folder(void);
void help_remove(char *folder);
/* "folder/name" in one of a few static buffers: good until four calls later. */
const char *help_path(const char *folder, const char *name);
void help_write(const char *path, const char *text);
/* Text of a file; the caller frees. NULL when it cannot be read. */
char *help_read(const char *path);

/* Runs f(arg) in a child, whose status is 0 unless f ends it.  Returns the exit
 * status, or 128 + signal.  What it wrote on stderr goes to said (may be NULL). */
int help_child(void (*f)(void *arg), void *arg, char *said, size_t size);

#endif

/* watch.h - long work on a terminal: a line of progress on stderr, and Ctrl-C that ends
 * the search with the best answer so far instead of the program.
 *
 *     struct watch w;
 *     watch_open(&w, quiet);
 *     ... options.stop = watch_stop(), options.progress = ..., calling watch_say(&w, ...)
 *     watch_close(&w);
 *
 * A second Ctrl-C ends the program at once. */
#ifndef COMMANDS_WATCH_H
#define COMMANDS_WATCH_H

#include <signal.h>
#include <stdbool.h>
#include <time.h>

struct watch {
	bool shows;           /* stderr is a terminal */
	bool shown;           /* a line stands there */
	struct timespec last; /* when it was written */
	struct sigaction before;
};
void watch_open(struct watch *w, bool quiet);
void watch_close(struct watch *w); /* takes the line away, gives Ctrl-C back */
/* Not 0 once Ctrl-C was pressed. */
const volatile sig_atomic_t *watch_stop(void);
/* Replaces the line; at most five times a second, the rest are passed over. */
void watch_say(struct watch *w, const char *fmt, ...) __attribute__((format(printf, 2, 3)));

#endif

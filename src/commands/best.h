/* best.h - the best mix with the options of `mix`, looked for under the eyes of the user:
 * a line of progress on a terminal, Ctrl-C for the best so far. */
#ifndef COMMANDS_BEST_H
#define COMMANDS_BEST_H

#include "commands/session.h"

/* What the command line says of the mix; 0 or an exit status.  Lives as long as s. */
int best_options(struct session *s, struct mix_options *o);
/* The mix now and, with --suppose, today; with --worth, what more would bring.  s must
 * have been opened with RECKON_PRICES.  0 or an exit status. */
int best_mix(struct session *s, struct mix_view *view, struct mix_options *o);
/* Not proven: exit status 5. */
bool best_unproven(const struct mix *m);
/* Of what is written of both mix and reach: EXIT_STOPPED where a search was stopped, and a
 * sentence on it; else EXIT_DONE. */
int best_stopped(const struct session *s, const struct mix *m);

#endif

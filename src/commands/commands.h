/* commands.h - what each command does with a request: reads, calls, prints.
 * All return an exit status (options.h). */
#ifndef COMMANDS_COMMANDS_H
#define COMMANDS_COMMANDS_H

#include "commands/options.h"

int command_start(const struct request *req);
int command_check(const struct request *req);
int command_stock(const struct request *req);
int command_loss(const struct request *req);
int command_cost(const struct request *req);
int command_price(const struct request *req);
int command_reach(const struct request *req);
int command_beside(const struct request *req);
int command_mix(const struct request *req);
int command_pull(const struct request *req);
int command_took(const struct request *req);
int command_dry(const struct request *req);
int command_hang(const struct request *req);
int command_dates(const struct request *req);
int command_plant(const struct request *req);
int command_note(const struct request *req);
int command_book(const struct request *req);
int command_sway(const struct request *req);
int command_page(const struct request *req);
int command_help(const struct request *req);

#endif

/* matters.h - which figure matters most, for the workbook and the page. */
#ifndef COMMANDS_MATTERS_H
#define COMMANDS_MATTERS_H

#include "commands/session.h"
#include "reckon/sway.h"

/* Each figure is reckoned with twice; a farm in which that would take longer than all the
 * rest is left to `sway`, and NULL.  Prices and stock must have been reckoned. */
const struct sway *what_matters(struct session *s, const struct mix *mix);

#endif

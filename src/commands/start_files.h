/* start_files.h - the folder that `start` writes: a small invented farm.
 *
 * `@-75@` in a line is the day 75 days before today, `@S@` the year of the next
 * growing season. */
#ifndef COMMANDS_START_FILES_H
#define COMMANDS_START_FILES_H

#include <stddef.h>

struct start_file {
	const char *name;         /* below the folder; at most one folder deep */
	const char *const *lines; /* without line ends; NULL ends */
};
const struct start_file *start_file_at(size_t i); /* NULL past the end */

#endif

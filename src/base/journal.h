/* journal.h - a text file that lines are added to and none is ever lost from.
 *
 * Whoever adds holds a lock on a file of its own beside the journal, which is never
 * removed: removing it would let two in.  Under the lock the journal is read, the line
 * made from what was read, and added:
 *
 *     if (journal_lock(&lock, "farm/.bench.csv.lock", &err))
 *             say why, exit 4
 *     read the journal: its whole lines are `size` bytes, `all` are there
 *     if (all > size)
 *             journal_set_aside("farm/bench.csv", size, "farm/bench.csv.torn", &err)
 *     journal_append("farm/bench.csv", size, line, &err)
 *     journal_unlock(&lock)
 *
 * What may be in the file after a crash at any moment: all of it as before, with or
 * without the line; or as before with a beginning of the line (or zeros in its place)
 * behind it, without its line feed.  The reader of the journal knows such a torn line by
 * that and passes it over.  The first line of a new journal comes with its header line,
 * written beside it and renamed, so that a journal is never without its header.
 *
 * All functions return 0, or -1 with err; a file that was not written is as it was.
 */
#ifndef BASE_JOURNAL_H
#define BASE_JOURNAL_H

#include "base/file.h"

enum { JOURNAL_WAIT = 20 }; /* seconds for the lock before giving up */

struct journal_lock {
	int fd; /* -1: not held */
};
/* Makes the lock file if it is not there.  A lock dies with its process. */
int journal_lock(struct journal_lock *lock, const char *path, struct file_error *err);
void journal_unlock(struct journal_lock *lock);

/* Adds the text, in one write, to a journal of exactly `size` bytes: it is an error when
 * somebody without the lock has changed the file since it was read, or puts another in
 * its place meanwhile.  Synced when it returns 0; cut back to `size` when it does not. */
int journal_append(const char *path, size_t size, struct str text, struct file_error *err);
/* All of a journal anew, which must still hold `was`: written beside it, synced and
 * renamed, so that a crash leaves the old or the new one. */
int journal_replace(const char *path, struct str was, struct str text, struct file_error *err);
/* A new journal with that text; no file may be there. */
int journal_create(const char *path, struct str text, struct file_error *err);
/* Moves what stands behind the first `size` bytes of `all` to the end of the file
 * `aside`, as a line of its own.  A crash in between leaves it in both. */
int journal_set_aside(const char *path, size_t size, size_t all, const char *aside,
		      struct file_error *err);

#endif

/* file.h - reading folders and files, and writing files all new or untouched.
 *
 * Writing: file_begin() opens a temporary file beside the target (same folder,
 * random name, O_EXCL, mode of the old file or 0666 less the umask);
 * file_commit() checks, syncs, closes and renames it over the target and syncs
 * the folder.  On any failure, or at exit, or on SIGINT/SIGTERM/SIGHUP, the
 * temporary is removed and the old file stays as it was.  A target that exists
 * and is no regular file (/dev/stdout, a pipe) is written directly.  A link is
 * followed: its target is replaced, the link stays.  A write-protected target is
 * refused.
 *
 * file_begin() and file_stdout() ignore SIGXFSZ and SIGPIPE from then on, so that
 * a size limit and a closed pipe come back as errors.  SIGINT, SIGTERM and SIGHUP
 * get a cleaning handler only where nothing else is installed; a command with its
 * own handler has to leave by exit().
 */
#ifndef BASE_FILE_H
#define BASE_FILE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "base/mem.h"
#include "base/str.h"

enum { FILE_SIZE_MOST = 256 * 1024 * 1024, FILE_DEPTH_MOST = 16 };

/* Why the last call failed goes to err (a sentence, no newline; capped). */
struct file_error {
	char text[512];
};

/* Whole file into the arena.  0, or -1 with err; a folder, a device, a file over
 * FILE_SIZE_MOST and a read error each have their own sentence. */
int file_read(struct arena *a, const char *path, struct str *text, struct file_error *err);
bool file_exists(const char *path);
bool file_is_folder(const char *path);
/* folder/name; in the arena. */
char *file_join(struct arena *a, const char *folder, const char *name);

/* All regular files below the folder whose name ends in `ending`, sub-folders
 * included, names that start with '.' left out, as paths relative to the folder in
 * byte order.  Links to files are followed, links to folders are not.  Folders
 * more than FILE_DEPTH_MOST deep are an error, as is one that cannot be read. */
int file_list(struct arena *a, const char *folder, const char *ending, struct str **names,
              size_t *n, struct file_error *err);

/* Owned by file_begin() to file_commit() or file_abandon(), which both empty it;
 * abandoning an empty one does nothing. */
struct file_out {
	char *path; /* the temporary: hand it to libraries that open by name */
	char *target;
	bool direct; /* target is no regular file: path is the same */
	int slot;    /* clean-up slot, -1 when direct */
};
int file_begin(struct file_out *out, const char *target, struct file_error *err);
/* The temporary has been written and closed by the caller. On -1 it is gone. */
int file_commit(struct file_out *out, struct file_error *err);
void file_abandon(struct file_out *out);
/* begin, write all of data, commit. */
int file_write(const char *target, struct str data, struct file_error *err);

/* Write all to stdout and flush; -1 with err when it cannot be written
 * (full disk, closed). Broken pipe counts as an error. */
int file_stdout(struct str data, struct file_error *err);

/* ---- for journal.c ---- */
/* "`path` what: why." into err, the path made safe to show; code is an errno or 0.
 * Always -1. */
int file_fail(struct file_error *err, const char *path, const char *what, int code);
/* From now on a file-size limit and a closed pipe come back as errors of write(). */
void file_ignore_signals(void);
/* Syncs the folder that the path lies in: 0, or an errno when that is known to fail. */
int file_sync_folder(const char *path);

#endif

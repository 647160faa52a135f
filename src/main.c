/* main.c - reads the command line and hands it to a command. */
#include <fcntl.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/version.h"
#include "commands/commands.h"
#include "commands/options.h"
#include "commands/session.h"

enum { TEXT_MOST = 1 << 16 };

static int run(const struct request *req, struct buf *text)
{
	if (req->version) {
		buf_text(text, "thrave " THRAVE_VERSION "\n");
		return session_print(text);
	}
	if (req->help) {
		if (req->command->run == command_help && !req->topic)
			help_program(text);
		else
			help_command(text, req->command);
		return session_print(text);
	}
	return req->command->run(req);
}

/* A descriptor that was closed at the start would be given to the next file that
 * is opened, and messages would end up in it.  Read-only, so that writing to a
 * closed standard output still fails and is reported. */
static bool fill_descriptors(void)
{
	int fd = open("/dev/null", O_RDONLY);
	while (fd >= 0 && fd <= STDERR_FILENO)
		fd = open("/dev/null", O_RDONLY);
	if (fd < 0)
		return false;
	close(fd);
	return true;
}

int main(int argc, char **argv)
{
	if (!fill_descriptors())
		return EXIT_SYSTEM;
	struct request req;
	struct buf text;
	buf_init(&text, TEXT_MOST);
	int status = request_parse(&req, argc, argv, &text);
	if (status)
		fwrite(text.data, 1, text.len, stderr);
	else
		status = run(&req, &text);
	buf_release(&text);
	request_release(&req);
	return status;
}

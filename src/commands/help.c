/* help.c - help, made from the tables of options.c. */
#include "commands/commands.h"

#include "base/file.h"
#include "base/str.h"
#include "commands/session.h"
#include "report/report.h"
#include "report/text.h"

enum { HELP_MOST = 1 << 16, LEFT = 19 };

/* `  name  ` and then the meaning, wrapped beside it. */
static void entry(struct buf *out, const char *name, const char *value, const char *meaning)
{
	size_t start = out->len;
	buf_printf(out, "  %s%s%s", name, value ? " " : "", value ? value : "");
	struct str rest = str_of(meaning);
	bool first = true;
	do {
		size_t used = first ? out->len - start : 0;
		buf_fill(out, ' ', used < LEFT ? LEFT - used : 1);
		buf_str(out, text_wrap(&rest, REPORT_WIDTH - LEFT));
		buf_char(out, '\n');
		first = false;
	} while (rest.n);
}

static void paragraph(struct buf *out, const char *text)
{
	struct str rest = str_of(text);
	while (rest.n) {
		buf_str(out, text_wrap(&rest, REPORT_WIDTH));
		buf_char(out, '\n');
	}
}

void help_program(struct buf *out)
{
	buf_text(out, "thrave COMMAND [FOLDER] [OPTIONS]\n\nCommands\n");
	for (size_t i = 0; command_at(i); i++)
		entry(out, command_at(i)->name, NULL, command_at(i)->meaning);
	buf_text(out, "\nOptions\n");
	for (size_t i = 0; option_at(i); i++)
		entry(out, option_at(i)->name, option_at(i)->value, option_at(i)->meaning);
	buf_text(out, "\nExit statuses\n");
	for (int i = 0; exit_meaning(i); i++)
		entry(out, (const char[]){ (char)('0' + i), '\0' }, NULL, exit_meaning(i));
	buf_text(out, "\n");
	paragraph(out,
		  "The folder is the current one when none is named. Options may stand anywhere; "
		  "what follows `--` is no option. `thrave help COMMAND` says more.");
}

void kinds_text(struct buf *out, unsigned kinds)
{
	bool first = true;
	for (unsigned k = 0; k < KIND_COUNT; k++) {
		if (!(kinds & 1u << k))
			continue;
		bool last = !(kinds >> k >> 1);
		buf_printf(out, "%s%s", first ? "" : last ? " or " : ", ", kind_name((enum kind)k));
		first = false;
	}
}

void help_command(struct buf *out, const struct command *c)
{
	struct buf meaning;
	buf_printf(out, "thrave %s %s [OPTIONS]\n\n", c->name, c->takes);
	entry(out, c->name, NULL, c->meaning);
	buf_text(out, "\n");
	if (*c->more) {
		paragraph(out, c->more);
		buf_text(out, "\n");
	}
	buf_init(&meaning, HELP_MOST);
	buf_text(&meaning, "only this ");
	kinds_text(&meaning, c->of);
	buf_text(&meaning, ", with its details");
	buf_text(out, "Options\n");
	for (size_t i = 0; option_at(i); i++) {
		if (!(option_at(i)->commands & c->bit))
			continue;
		bool of = strcmp(option_at(i)->name, "--of") == 0;
		entry(out, option_at(i)->name, option_at(i)->value,
		      of ? meaning.data : option_at(i)->meaning);
	}
	buf_release(&meaning);
	bool forms = c->run == command_note;
	buf_text(out, forms ? "\nFor example\n" : "");
	for (size_t i = 0; forms && note_form_at(i); i++)
		buf_printf(out, "  thrave note %s\n", note_form_at(i));
	bool first = true;
	for (size_t i = 0; report_def_at(i); i++) {
		const struct table_def *def = report_def_at(i);
		if (strcmp(def->command, c->name) != 0)
			continue;
		buf_text(out, first ? "\nTables, the main one first\n" : "");
		first = false;
		entry(out, def->name, NULL, def->title);
	}
}

int command_help(const struct request *req)
{
	struct buf out;
	buf_init(&out, HELP_MOST);
	const struct command *topic = NULL;
	for (size_t i = 0; req->topic && command_at(i); i++) {
		if (strcmp(command_at(i)->name, req->topic) == 0)
			topic = command_at(i);
	}
	if (topic)
		help_command(&out, topic);
	else
		help_program(&out);
	int status = session_print(&out);
	buf_release(&out);
	return status;
}

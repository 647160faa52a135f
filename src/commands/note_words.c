/* note_words.c - the command line of `note`: the folder and the event among the words,
 * and the options that go with it. */
#include "base/file.h"
#include "base/str.h"
#include "commands/options.h"
#include "farm/tables.h"

const char *note_form_at(size_t i)
{
	static const char *const forms[] = {
		"made 4 Tideline wreath --minutes 190 --spoiled 6",
		"made 2 Tideline wreath --drawn \"SF01 48; ST02 60\"",
		"boxed 210 --batch ST-4 --box ST9 --colour white --length 40",
		"tossed 12 --box ST06 --cause mould",
		"counted 85 --box ST06",
		"sold 2 Tideline wreath --outlet market --price 68",
		"weighed 412 --batch ST-3",
		"cut 28 bunch Statice --batch ST-4",
		"hung 260 --batch ST-4 --minutes 40",
		"strike 57",
	};
	return i < sizeof forms / sizeof forms[0] ? forms[i] : NULL;
}

static struct str next_event(void *ctx, size_t i)
{
	(void)ctx;
	if (i == EVENT_STRUCK)
		return STR("strike");
	return i < EVENT_COUNT ? str_of(event_name((enum event)i)) : STR_NONE;
}

/* EVENT_COUNT: none of them. */
static unsigned event_of(const char *word)
{
	unsigned e = 0;
	while (e < EVENT_COUNT && !str_is(next_event(NULL, e), word))
		e++;
	return strcmp(word, event_name(EVENT_STRUCK)) == 0 ? EVENT_STRUCK : e;
}

static const char words_hint[] =
    "it is one of these: made, cut, hung, boxed, tossed, counted, sold, weighed, strike";

/* The event is the first word, or the second behind the folder. */
static int find_event(struct request *req, struct buf *err)
{
	const char **w = req->words;
	if (req->nwords == 0 || (req->nwords == 1 && file_is_folder(w[0]) && event_of(w[0]) == EVENT_COUNT)) {
		buf_printf(err, "error: What happened is missing.\n  hint: %s\n", words_hint);
		return EXIT_USAGE;
	}
	req->event = event_of(w[0]);
	size_t used = 1;
	if (req->event == EVENT_COUNT && req->nwords > 1) {
		req->event = event_of(w[1]);
		used = 2;
	}
	if (req->event == EVENT_COUNT) {
		bool second = req->nwords > 1 && file_is_folder(w[0]);
		return request_unknown(err, str_of(w[second]), "event", next_event, words_hint);
	}
	req->folder = used == 2 ? w[0] : NULL;
	if (req->folder && !*req->folder) {
		buf_text(err, "error: The name of the folder is empty.\n");
		return EXIT_USAGE;
	}
	req->nwords -= used;
	memmove(w, w + used, req->nwords * sizeof *w);
	return 0;
}

struct cell_option {
	const char *name;
	bool given;
	unsigned column;
};

static void list_options(struct buf *err, const struct cell_option *options, size_t n, unsigned goes)
{
	bool first = true;
	for (size_t i = 0; i < n; i++) {
		if (!(goes >> options[i].column & 1))
			continue;
		buf_printf(err, "%s%s", first ? "" : ", ", options[i].name);
		first = false;
	}
	buf_text(err, first ? "none but --on, --say, --id, --try and --sure" : "");
}

static int check_options(const struct request *req, struct buf *err)
{
	enum event e = (enum event)req->event;
	bool weighed = e == EVENT_WEIGHED;
	/* The batch of a weighing stands in the column of the box, that of other events in its own. */
	const struct cell_option options[] = {
		{ "--minutes", req->minutes != NULL, BENCH_MINUTES },
		{ "--spoiled", req->spoiled != NULL, BENCH_SPOILED },
		{ "--drawn", req->ndrawn > 0, BENCH_DRAWN },
		{ "--box", req->box != NULL, weighed ? BENCH_COLUMNS : BENCH_BOX },
		{ "--batch", req->nbatches > 0, weighed ? BENCH_BOX : BENCH_BATCH },
		{ "--colour", req->colour != NULL, BENCH_COLOUR },
		{ "--length", req->length != NULL, BENCH_LENGTH },
		{ "--cause", req->cause != NULL, BENCH_CAUSE },
		{ "--outlet", req->outlet != NULL, BENCH_OUTLET },
		{ "--price", req->price != NULL, BENCH_PRICE },
	};
	const size_t n = sizeof options / sizeof options[0];
	struct event_columns rule = event_columns(e);
	const char *word = e == EVENT_STRUCK ? "strike" : event_name(e);
	if (req->nbatches > 1) {
		buf_text(err, "error: `--batch` stands twice.\n");
		return EXIT_USAGE;
	}
	for (size_t i = 0; i < n; i++) {
		const struct cell_option *o = &options[i];
		if (o->given && !((rule.needs | rule.may) >> o->column & 1)) {
			buf_printf(err, "error: `%s` says nothing with `%s`.\n  hint: with `%s` go: ",
				   o->name, word, word);
			list_options(err, options, n, rule.needs | rule.may);
			buf_char(err, '\n');
			return EXIT_USAGE;
		}
		if (!o->given && (rule.needs >> o->column & 1)) {
			buf_printf(err, "error: `%s` is missing: `%s` needs it.\n", o->name, word);
			return EXIT_USAGE;
		}
	}
	return 0;
}

int note_settle(struct request *req, struct buf *err)
{
	int status = find_event(req, err);
	return status ? status : check_options(req, err);
}

/* session.c - loading, reckoning and writing, the same for every command. */
#include "commands/session.h"

#include <sys/stat.h>
#include <unistd.h>

#include "base/date.h"
#include "base/file.h"
#include "base/str.h"

enum { MESSAGE_MOST = 1 << 20 };

int session_failure(const char *sentence)
{
	fprintf(stderr, "thrave: %s\n", sentence);
	return EXIT_SYSTEM;
}

int session_print(const struct buf *text)
{
	struct file_error err;
	if (text->full)
		return session_failure("The text is too large.");
	return file_stdout(buf_slice(text), &err) ? session_failure(err.text) : EXIT_DONE;
}

int session_stands(const struct request *req, const char *what, const char *path)
{
	if (req->quiet)
		return EXIT_DONE;
	struct buf line;
	buf_init(&line, MESSAGE_MOST);
	buf_printf(&line, "The %s stands in ", what);
	buf_visible(&line, str_of(path), MESSAGE_MOST);
	buf_text(&line, ".\n");
	int status = session_print(&line);
	buf_release(&line);
	return status;
}

int session_usage(struct session *s, const char *fmt, ...)
{
	struct buf b;
	va_list ap;
	buf_init(&b, MESSAGE_MOST);
	va_start(ap, fmt);
	buf_vprintf(&b, fmt, ap);
	va_end(ap);
	diag_error(&s->diag, SPAN_NONE, "%s", b.data);
	buf_release(&b);
	return EXIT_USAGE;
}

/* ---- loading ---- */

static int load(struct farm **farm, struct arena *a, struct diag *diag, const struct request *req,
		const char *folder, bool supposing)
{
	struct load_options options = { 0 };
	if (supposing)
		options =
		    (struct load_options){ .suppose = req->suppose, .nsuppose = req->nsuppose };
	int code = farm_load(farm, a, folder ? folder : ".", &options, diag);
	return code == 0 ? 0 : code == -2 ? EXIT_SYSTEM : EXIT_INPUT;
}

static void add_changes(struct report *r, const struct farm *farm)
{
	for (size_t i = 0; i < farm->nsupposed; i++) {
		const struct supposed *s = &farm->supposed[i];
		struct report_change *c =
		    ARENA_PUSH(r->arena, r->changes, r->nchanges, r->cap_changes);
		*c = (struct report_change){
			.path = s->path,
			.unit = of_figure_unit(r, farm, s->kind, s->path),
			.today = figure_shown(s->kind, s->before),
			.supposed = figure_shown(s->kind, s->after),
			.digits = 4,
		};
	}
}

static struct str next_name(void *ctx, size_t i)
{
	return of_name_at(ctx, i);
}

/* The name as the farm's texts have it, capitals and all. */
static struct str as_written(const struct farm *farm, struct str fold)
{
	struct item item;
	uint32_t outlet = farm_find_outlet(farm, fold);
	if (farm_find(farm, fold, &item))
		return farm_head(farm, item)->name;
	return outlet != NONE ? farm->outlets[outlet].head.name : fold;
}

/* Names that begin with these words: `Garland` where there is a `Garland 2 m`. */
static void hint_longer(struct session *s, struct str fold)
{
	enum { SHOWN_MOST = 4 };
	struct buf b;
	struct str name;
	size_t found = 0;
	buf_init(&b, MESSAGE_MOST);
	for (size_t i = 0; (name = of_name_at(s->farm, i)).n > 0; i++) {
		if (name.n <= fold.n || name.p[fold.n] != ' ' || !str_eq((struct str){ name.p, fold.n }, fold) ||
		    found == SHOWN_MOST)
			continue;
		struct str full = as_written(s->farm, name);
		buf_printf(&b, "%s%s", found++ ? " or " : "", diag_quote(&s->diag, full));
	}
	if (found)
		diag_hint(&s->diag, "did you mean %s?", b.data);
	buf_release(&b);
}

int session_unknown(struct session *s, struct str name)
{
	session_usage(s, "The farm has no %s.", diag_quote(&s->diag, name));
	struct str near = diag_nearest(str_fold(&s->arena, name), next_name, s->farm);
	if (near.n)
		diag_hint(&s->diag, "did you mean %s?",
			  diag_quote(&s->diag, as_written(s->farm, near)));
	else
		hint_longer(s, str_fold(&s->arena, name));
	return EXIT_USAGE;
}

/* Names of --of, looked up. */
static int choose(struct session *s)
{
	const struct request *req = s->req;
	struct choice *c = &s->view.choice;
	c->items = ARENA_ARRAY(&s->arena, req->nof + 1, struct item);
	c->outlets = ARENA_ARRAY(&s->arena, req->nof + 1, uint32_t);
	for (size_t i = 0; i < req->nof; i++) {
		struct str name = str_of(req->of[i]);
		uint32_t outlet = farm_find_outlet(s->farm, name);
		if (farm_find(s->farm, name, &c->items[c->nitems])) {
			c->nitems++;
		} else if (outlet != NONE) {
			c->outlets[c->noutlets++] = outlet;
		} else {
			return session_unknown(s, name);
		}
	}
	return 0;
}

/* --table must be one that this command has. */
static int known_table(struct session *s)
{
	const char *wanted = s->req->table;
	struct buf names;
	buf_init(&names, MESSAGE_MOST);
	bool found = !wanted;
	for (size_t i = 0; report_def_at(i); i++) {
		const struct table_def *def = report_def_at(i);
		if (strcmp(def->command, s->req->command->name) != 0)
			continue;
		found = found || strcmp(def->name, wanted) == 0;
		buf_printf(&names, "%s%s", names.len ? ", " : "", def->name);
	}
	if (!found) {
		session_usage(s, "`thrave %s` has no table %s.", s->req->command->name,
			      diag_quote(&s->diag, str_of(wanted)));
		diag_hint(&s->diag, "its tables are %s", names.data);
	}
	buf_release(&names);
	return found ? 0 : EXIT_USAGE;
}

/* --output must not replace a file that a farm is read from: the sources from `from` on,
 * in that folder. */
static int spare_input(struct session *s, const char *folder, size_t from)
{
	struct stat target, source;
	if (!s->req->output || stat(s->req->output, &target) || !S_ISREG(target.st_mode))
		return 0;
	for (size_t i = from; i < s->diag.nsources; i++) {
		struct str name = s->diag.sources[i].name;
		char *one = file_join(&s->arena, folder ? folder : ".",
				      arena_copy(&s->arena, name.p, name.n));
		if (!stat(one, &source) && source.st_dev == target.st_dev &&
		    source.st_ino == target.st_ino)
			return session_usage(s, "`--output` names %s, which the farm is read from.",
					     diag_quote(&s->diag, name));
	}
	return 0;
}

int session_load(struct session *s, const struct request *req)
{
	*s = (struct session){ .req = req };
	arena_init(&s->arena);
	arena_init(&s->before);
	diag_init(&s->diag, &s->arena);
	diag_init(&s->before_diag, &s->before);
	day on = req->on != DAY_NONE ? req->on : date_today();
	report_init(&s->report, &s->arena, req->command->name, NULL, on);
	int status = known_table(s);
	if (!status)
		status = load(&s->farm, &s->arena, &s->diag, req, req->folder, true);
	if (status)
		return status;
	report_init(&s->report, &s->arena, req->command->name, s->farm, on);
	add_changes(&s->report, s->farm);
	status = choose(s);
	if (!status)
		status = spare_input(s, req->folder, 0);
	return status;
}

static int reckon_farm(struct session *s, struct reckoning *r, struct farm *farm, day on,
		       unsigned what, struct arena *a, struct diag *diag)
{
	struct reach_options options = { .no_buying = s->req->no_buying };
	what |= s->req->assumed ? RECKON_ASSUMED : 0;
	if ((what & RECKON_COSTS) && sense_prices(farm, diag))
		return EXIT_INPUT;
	return reckon(r, farm, on, what, s->req->with_past, &options, a, diag)
		   ? EXIT_INPUT
		   : 0;
}

/* A loss that is supposed takes the place of the rate in use, not of the line. */
static void changes_in_use(struct session *s)
{
	struct figure *all;
	size_t n;
	figures_list(s->farm, &s->arena, &all, &n);
	for (size_t i = 0; i < n; i++) {
		for (int stage = 0; stage < STAGE_COUNT && all[i].fig->supposed; stage++) {
			uint32_t crop = all[i].subject.index;
			if (all[i].kind->subject != KIND_CROP ||
			    all[i].fig != &s->farm->crops[crop].loss[stage] ||
			    !rates_moved(&s->today.rates, s->today.farm, crop, (enum stage)stage))
				continue;
			double today = rates_at(&s->today.rates, crop, (enum stage)stage);
			for (size_t k = 0; k < s->report.nchanges; k++)
				if (str_eq(s->report.changes[k].path, all[i].path))
					s->report.changes[k].today = figure_shown(all[i].kind, today);
		}
	}
}

int session_open(struct session *s, const struct request *req, unsigned what)
{
	int status = session_load(s, req);
	if (status)
		return status;
	status = reckon_farm(s, &s->now, s->farm, s->report.on, what, &s->arena, &s->diag);
	if (status)
		return status;
	s->view.now = &s->now;
	if (req->nsuppose) {
		struct farm *today;
		status = load(&today, &s->before, &s->before_diag, req, req->folder, false);
		if (!status)
			status =
			    reckon_farm(s, &s->today, today, s->report.on, what, &s->before,
					&s->before_diag);
		if (status) { /* what is wrong today may be mended by what is supposed: say so */
			s->diag = s->before_diag;
			return status;
		}
		s->view.today = &s->today;
		changes_in_use(s);
	}
	s->opened = true;
	return 0;
}

int session_again(struct session *s, struct farm **farm)
{
	struct diag diag; /* all that is wrong has been said */
	diag_init(&diag, &s->arena);
	return load(farm, &s->arena, &diag, s->req, s->req->folder, true);
}

/* With two folders a message must say of which it speaks. */
static void name_folder(struct session *s, const char *folder, size_t from, size_t to)
{
	for (size_t i = from; i < to; i++) {
		struct str *name = &s->diag.sources[i].name;
		if (str_is(*name, "--suppose"))
			*name = report_printf(&s->arena, "%s, --suppose", folder ? folder : ".");
		else
			*name = str_of(file_join(&s->arena, folder ? folder : ".",
						 arena_copy(&s->arena, name->p, name->n)));
	}
}

/* The other folder, into the same diagnostics. */
static int load_other(struct session *s, struct farm **other)
{
	const struct request *req = s->req;
	size_t own = s->diag.nsources;
	int status = load(other, &s->arena, &s->diag, req, req->other, true);
	if (!status)
		status = spare_input(s, req->other, own);
	name_folder(s, req->other, own, s->diag.nsources);
	return status;
}

int session_open_beside(struct session *s, const struct request *req, unsigned what)
{
	int status = session_load(s, req);
	if (req->other)
		name_folder(s, req->folder, 0, s->diag.nsources);
	struct farm *other = s->farm; /* read-only: one load serves two days */
	if (!status && req->other)
		status = load_other(s, &other);
	if (!status)
		status = reckon_farm(s, &s->now, s->farm, s->report.on, what, &s->arena, &s->diag);
	if (!status)
		status = reckon_farm(s, &s->beside, other,
				     req->and_on != DAY_NONE ? req->and_on : s->report.on, what,
				     &s->arena, &s->diag);
	s->opened = !status;
	return status;
}

/* `--of` of another kind of thing: which commands speak of that. */
static int other_kind(struct session *s, struct str name, enum kind kind)
{
	struct buf b;
	buf_init(&b, MESSAGE_MOST);
	for (size_t i = 0; command_at(i); i++) {
		if (command_at(i)->of & 1u << kind)
			buf_printf(&b, "%s`thrave %s`", b.len ? ", " : "", command_at(i)->name);
	}
	session_usage(s, "`thrave %s` does not speak of %s, which is %s %s.", s->req->command->name,
		      diag_quote(&s->diag, name), kind == KIND_OUTLET ? "an" : "a",
		      kind_name(kind));
	if (b.len)
		diag_hint(&s->diag, "that do: %s", b.data);
	buf_release(&b);
	return EXIT_USAGE;
}

int session_takes(struct session *s)
{
	const struct choice *c = &s->view.choice;
	unsigned kinds = s->req->command->of;
	for (size_t i = 0; i < c->nitems; i++) {
		if (!(kinds & 1u << c->items[i].kind))
			return other_kind(s, of_item_name(s->farm, c->items[i]), c->items[i].kind);
	}
	if (!c->noutlets || (kinds & 1u << KIND_OUTLET))
		return 0;
	return other_kind(s, s->farm->outlets[c->outlets[0]].head.name, KIND_OUTLET);
}

void session_cautions(struct session *s, unsigned whens)
{
	const struct caution *c;
	for (size_t i = 0; (c = caution_at(i)) != NULL; i++) {
		if ((whens & 1u << c->when) && caution_applies(c, s->farm))
			remark_caution(&s->now.remarks, c->text, c->source);
	}
}

/* ---- writing ---- */

static bool says_utf8(void)
{
	static const char *const names[] = { "LC_ALL", "LC_CTYPE", "LANG" };
	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
		const char *v = getenv(names[i]);
		if (v && *v)
			return strstr(v, "UTF-8") || strstr(v, "utf8") || strstr(v, "UTF8") ||
			       strstr(v, "utf-8");
	}
	return false;
}

static struct text_style style_of(const struct request *req)
{
	struct text_style style = { .quiet = req->quiet };
	if (req->output || !isatty(STDOUT_FILENO))
		return style;
	const char *none = getenv("NO_COLOR"), *term = getenv("TERM");
	bool dumb = !term || !*term || strcmp(term, "dumb") == 0;
	style.bold = !(none && *none) && !dumb;
	style.thin = says_utf8() && !dumb;
	return style;
}

static int render(struct session *s, const struct table_def *only, struct buf *out)
{
	struct text_style style = style_of(s->req);
	report_finish(&s->report);
	if (s->req->json)
		return report_json(&s->report, only, out);
	if (s->req->csv)
		return report_csv(&s->report, only ? only : report_find(&s->report, NULL)->def,
				  out);
	return report_text(&s->report, &style, only, out);
}

static int write_out(struct session *s, struct buf *out)
{
	struct file_error err;
	const char *path = s->req->output;
	if (!path)
		return session_print(out);
	return file_write(path, buf_slice(out), &err) ? session_failure(err.text) : EXIT_DONE;
}

/* The table of --table; NULL with a line on stderr when this report is without it. */
static const struct table_def *wanted_table(const struct session *s)
{
	const struct table *t = report_find(&s->report, s->req->table);
	for (size_t i = 0; !t && report_def_at(i); i++) {
		const struct table_def *def = report_def_at(i);
		if (strcmp(def->command, s->req->command->name) == 0 &&
		    strcmp(def->name, s->req->table) == 0)
			fprintf(stderr,
				"error: The table `%s` is not in this report.\n  hint: it is: %s\n",
				def->name, def->title);
	}
	return t ? t->def : NULL;
}

static int deliver(struct session *s, int status)
{
	bool answer =
	    s->opened && (status == EXIT_DONE || status == EXIT_NO || status == EXIT_STOPPED);
	if (!answer && !(s->req->json && status == EXIT_INPUT))
		return status;
	const struct table_def *only = NULL;
	if (answer && s->req->table) {
		only = wanted_table(s);
		if (!only)
			return EXIT_USAGE;
	}
	struct buf out;
	buf_init(&out, REPORT_SIZE_MOST);
	s->report.status = status;
	s->report.diag = &s->diag;
	int failed = render(s, only, &out) ? session_failure("The report is too large.")
					   : write_out(s, &out);
	buf_release(&out);
	return failed ? failed : status;
}

/* Errors always; warnings and notes unless --quiet. */
static void print_diag(struct session *s)
{
	diag_sort(&s->diag);
	struct diag shown = s->diag;
	if (s->req->quiet) {
		shown.warnings = 0;
		while (shown.nitems && shown.items[shown.nitems - 1].level != DIAG_ERROR)
			shown.nitems--;
	}
	struct buf text;
	buf_init(&text, MESSAGE_MOST);
	diag_print(&shown, &text);
	fwrite(text.data, 1, text.len, stderr);
	buf_release(&text);
}

int session_close(struct session *s, int status)
{
	print_diag(s);
	status = deliver(s, status);
	arena_release(&s->before);
	arena_release(&s->arena);
	return status;
}

/* figures.c - the figures of a farm, and laying suppositions over them. */
#include "farm/figures_in.h"

#include <math.h>

#include "base/buf.h"
#include "base/unit.h"

/* ---- the list ---- */

/* A figure and what its path is made of. */
struct entry {
	struct figure figure;
	const struct figure_row *row;
	const struct head *head;  /* of the subject; NULL: none */
	const struct head *place; /* the outlet of an offer; NULL */
	struct str words;         /* behind the names */
	const struct tariff *step; /* of sending, found by its weight in any unit; NULL */
};

struct lister {
	struct farm *farm;
	struct arena *arena;   /* for the paths */
	struct arena *scratch; /* for all else */
	struct entry *entries;
	size_t n, cap;
	const struct figure_row *row;
	struct item subject;
	const struct head *head;
};

static struct str arena_printf(struct arena *a, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));
static struct str arena_printf(struct arena *a, const char *fmt, ...)
{
	struct buf b;
	va_list ap;
	va_start(ap, fmt);
	buf_init(&b, 4096);
	buf_vprintf(&b, fmt, ap);
	va_end(ap);
	struct str s = { arena_copy(a, b.data, b.len), b.len };
	buf_release(&b);
	return s;
}

static void add(struct lister *l, void *holder, const struct head *place, struct str words)
{
	struct fig *fig = (struct fig *)(void *)((char *)holder + l->row->offset);
	if (!fig->given && !l->row->anew)
		return;
	struct entry *e = ARENA_PUSH(l->scratch, l->entries, l->n, l->cap);
	*e = (struct entry){ .row = l->row, .head = l->head, .place = place, .words = words };
	struct str subject = l->head ? l->head->name : STR_NONE, at = place ? place->name : STR_NONE;
	e->figure = (struct figure){
		.kind = &l->row->kind,
		.subject = l->subject,
		.path = arena_printf(l->arena, "%.*s%s%.*s%s%.*s", STR_ARG(subject), l->head ? " " : "",
		                     STR_ARG(at), place ? " " : "", STR_ARG(words)),
		.fig = fig,
	};
}

static struct str label_of(const struct task *task)
{
	return task->label.n ? task->label : STR("work");
}

/* `wiring`, and `wiring 2` for the second of that label; `work` without one. */
static struct str task_label(struct lister *l, const struct task *tasks, size_t i)
{
	size_t same = 1;
	struct str label = label_of(&tasks[i]);
	for (size_t k = 0; k < i; k++)
		same += str_eq(str_fold(l->scratch, label_of(&tasks[k])), str_fold(l->scratch, label));
	return same == 1 ? label : arena_printf(l->scratch, "%.*s %zu", STR_ARG(label), same);
}

static void add_tasks(struct lister *l, struct task *tasks, size_t n)
{
	bool batch = l->row->offset == offsetof(struct task, batch);
	for (size_t i = 0; i < n; i++) {
		struct str label = task_label(l, tasks, i);
		add(l, &tasks[i], NULL,
		    batch ? arena_printf(l->scratch, "%.*s batch", STR_ARG(label)) : label);
	}
}

/* `OUTLET price`: the outlet's own name stands in the path. */
static void add_offers(struct lister *l, struct piece *piece)
{
	struct str words = str_of(l->row->kind.words + strlen("OUTLET "));
	for (size_t i = 0; i < piece->noffers; i++) {
		struct offer *offer = &piece->offers[i];
		add(l, offer, &l->farm->outlets[offer->outlet].head, words);
	}
}

#define SENDING "sending up to "

static void add_tariffs(struct lister *l, struct outlet *outlet)
{
	for (size_t i = 0; i < outlet->ntariffs; i++) {
		struct buf b;
		buf_init(&b, 64);
		size_t before = l->n;
		buf_text(&b, SENDING);
		number_print_short(&b, outlet->tariffs[i].upto.v / 1000, 3);
		buf_text(&b, " kg");
		add(l, &outlet->tariffs[i], NULL, arena_printf(l->scratch, "%s", b.data));
		buf_release(&b);
		if (l->n > before)
			l->entries[before].step = &outlet->tariffs[i];
	}
}

static void add_target(struct lister *l, uint32_t piece)
{
	struct target *found = NULL;
	for (size_t i = 0; i < l->farm->ntargets; i++) {
		if (l->farm->targets[i].piece != piece)
			continue;
		if (found)
			return;
		found = &l->farm->targets[i];
	}
	if (found)
		add(l, found, NULL, str_of(l->row->kind.words));
}

static void add_of_crop(struct lister *l, struct crop *crop)
{
	struct str words = str_of(l->row->kind.words);
	if (l->row->holder == IN_CROP)
		add(l, crop, NULL, words);
	else if (l->row->holder == IN_SOWING && crop->nsowings == 1)
		add(l, crop->sowings, NULL, words);
	else if (l->row->holder == IN_PLANTING && crop->nplantings == 1)
		add(l, crop->plantings, NULL, words);
}

static void add_of_piece(struct lister *l, uint32_t i)
{
	struct piece *piece = &l->farm->pieces[i];
	if (l->row->holder == IN_PIECE)
		add(l, piece, NULL, str_of(l->row->kind.words));
	else if (l->row->holder == IN_PIECE_TASK)
		add_tasks(l, piece->tasks, piece->ntasks);
	else if (l->row->holder == IN_OFFER)
		add_offers(l, piece);
	else
		add_target(l, i);
}

static void add_of_outlet(struct lister *l, struct outlet *outlet)
{
	if (l->row->holder == IN_TARIFF)
		add_tariffs(l, outlet);
	else
		add(l, outlet, NULL, str_of(l->row->kind.words));
}

/* All figures of the row's kind that the subject i has. */
static void add_subject(struct lister *l, uint32_t i)
{
	struct farm *farm = l->farm;
	l->subject = (struct item){ l->row->kind.subject, i };
	switch (l->row->kind.subject) {
	case KIND_CROP:
		l->head = &farm->crops[i].head;
		add_of_crop(l, &farm->crops[i]);
		break;
	case KIND_SUPPLY:
		l->head = &farm->supplies[i].head;
		add(l, &farm->supplies[i], NULL, str_of(l->row->kind.words));
		break;
	case KIND_PART:
		l->head = &farm->parts[i].head;
		add_tasks(l, farm->parts[i].tasks, farm->parts[i].ntasks);
		break;
	case KIND_PIECE:
		l->head = &farm->pieces[i].head;
		add_of_piece(l, i);
		break;
	case KIND_OUTLET:
		l->head = &farm->outlets[i].head;
		add_of_outlet(l, &farm->outlets[i]);
		break;
	default:
		l->head = NULL;
		add(l, &farm->business, NULL, str_of(l->row->kind.words));
		break;
	}
}

static size_t count_of(const struct farm *farm, enum kind kind)
{
	switch (kind) {
	case KIND_CROP:
		return farm->ncrops;
	case KIND_SUPPLY:
		return farm->nsupplies;
	case KIND_PART:
		return farm->nparts;
	case KIND_PIECE:
		return farm->npieces;
	case KIND_OUTLET:
		return farm->noutlets;
	default:
		return 1;
	}
}

static void list_all(struct lister *l)
{
	for (size_t k = 0; (l->row = figure_row_at(k)); k++) {
		size_t n = count_of(l->farm, l->row->kind.subject);
		for (uint32_t i = 0; i < n; i++)
			add_subject(l, i);
	}
}

void figures_list(struct farm *farm, struct arena *arena, struct figure **out, size_t *n)
{
	struct arena scratch;
	arena_init(&scratch);
	struct lister l = { .farm = farm, .arena = arena, .scratch = &scratch };
	list_all(&l);
	*out = ARENA_ARRAY(arena, l.n, struct figure);
	for (size_t i = 0; i < l.n; i++)
		(*out)[i] = l.entries[i].figure;
	*n = l.n;
	arena_release(&scratch);
}

/* ---- finding one by its path ---- */

/* The fold behind `name` and a blank at the start of the path, or an empty slice. */
static struct str behind(struct str path, struct str name)
{
	if (path.n <= name.n || memcmp(path.p, name.p, name.n) != 0 || path.p[name.n] != ' ')
		return STR_NONE;
	return (struct str){ path.p + name.n + 1, path.n - name.n - 1 };
}

static struct str name_at(const struct head *head, size_t i)
{
	return i == 0 ? head->fold : i <= head->nalso ? head->also_folds[i - 1] : STR_NONE;
}

/* `sending up to 2 lb`: the step of that weight, in whatever unit either is said. */
static bool same_step(const struct tariff *step, struct str words)
{
	struct rat q;
	size_t used;
	if (!step || !str_starts(words, SENDING))
		return false;
	words = (struct str){ words.p + strlen(SENDING), words.n - strlen(SENDING) };
	if (number_quantity(words, &q, &used) != NUMBER_OK)
		return false;
	const struct unit *u = unit_find(str_trim((struct str){ words.p + used, words.n - used }));
	return u && u->dim == DIM_WEIGHT && rat_mul(&q, q, u->factor) &&
	       fabs(rat_double(q) - step->upto.v) <= 1e-9 * step->upto.v;
}

/* Any name of the subject, any of the outlet, then the words. */
static bool goes_by(const struct entry *e, struct str path, struct str words)
{
	if (!e->head)
		return str_eq(path, words);
	for (size_t i = 0; name_at(e->head, i).n; i++) {
		struct str rest = behind(path, name_at(e->head, i));
		if (!e->place && rest.n && (str_eq(rest, words) || same_step(e->step, rest)))
			return true;
		for (size_t k = 0; rest.n && e->place && name_at(e->place, k).n; k++) {
			struct str last = behind(rest, name_at(e->place, k));
			if (last.n && str_eq(last, words))
				return true;
		}
	}
	return false;
}

static struct str next_path(void *context, size_t i)
{
	const struct lister *l = context;
	return i < l->n ? str_fold(l->arena, l->entries[i].figure.path) : STR_NONE;
}

static struct span part_span(uint32_t source, const char *text, struct str part)
{
	return (struct span){ source, (uint32_t)(part.p - text), (uint32_t)part.n };
}

/* A weight that no step has: the steps that there are. */
static bool hint_steps(const struct lister *l, struct diag *diag, struct str path)
{
	struct buf b;
	buf_init(&b, 1024);
	for (size_t i = 0; i < l->n; i++) {
		const struct entry *e = &l->entries[i];
		bool meant = false;
		for (size_t k = 0; e->step && name_at(e->head, k).n; k++)
			meant = meant || str_starts(behind(path, name_at(e->head, k)), SENDING);
		if (meant)
			buf_printf(&b, "%s`%.*s`", b.len ? ", " : "", STR_ARG(e->words));
	}
	bool any = b.len > 0;
	if (any)
		diag_hint(diag, "its steps are %s", b.data);
	buf_release(&b);
	return any;
}

static struct entry *find(struct lister *l, struct diag *diag, struct str path, struct span at)
{
	struct str fold = str_fold(l->arena, path);
	struct entry *found = NULL;
	for (size_t i = 0; i < l->n; i++) {
		struct entry *e = &l->entries[i];
		if (!goes_by(e, fold, str_fold(l->arena, e->words)))
			continue;
		if (found) {
			diag_error(diag, at, "%s could be two figures: `%s` and `%s`.", diag_quote(diag, path),
			           found->row->kind.id, e->row->kind.id);
			diag_hint(diag, "give one of the things that are named another name");
			return NULL;
		}
		found = e;
	}
	if (found)
		return found;
	diag_error(diag, at, "%s is no figure of this farm.", diag_quote(diag, path));
	if (hint_steps(l, diag, fold))
		return NULL;
	struct str near = diag_nearest(fold, next_path, l);
	for (size_t i = 0; near.n && i < l->n; i++) {
		if (str_eq(next_path(l, i), near)) {
			diag_hint(diag, "did you mean %s?", diag_quote(diag, l->entries[i].figure.path));
			return NULL;
		}
	}
	diag_hint(diag, "`thrave check --figures` lists them all");
	return NULL;
}

/* ---- reading the value ---- */

/* Dimension of the unit that must stand behind the number; DIM_COUNT: none. */
static enum dimension dimension_of(enum figure_unit unit)
{
	switch (unit) {
	case FU_LENGTH_M:
		return DIM_LENGTH;
	case FU_AREA_M2:
		return DIM_AREA;
	case FU_GRAMS:
		return DIM_WEIGHT;
	case FU_HOURS:
	case FU_MINUTES:
	case FU_SECONDS:
	case FU_DAYS:
	case FU_MONTHS:
		return DIM_TIME;
	case FU_MONEY:
	case FU_PERCENT:
	case FU_NUMBER:
		break;
	}
	return DIM_COUNT;
}

/* Base units of base/unit.h in one of the model's. */
static struct rat base_of(enum figure_unit unit)
{
	const char *name = unit == FU_HOURS ? "h" : unit == FU_DAYS ? "day" : "month";
	if (unit == FU_HOURS || unit == FU_DAYS || unit == FU_MONTHS)
		return unit_find(str_of(name))->factor;
	return RAT_ONE;
}

struct supposing {
	struct diag *diag;
	const struct entry *entry;
	struct str value; /* as written */
	struct span at;
};

static void print_value(struct buf *b, const struct figure_kind *kind, double v)
{
	number_print_short(b, figure_shown(kind, v), 4);
	const char *unit = kind->unit == FU_MONEY ? "" : figure_unit_name(kind->unit);
	buf_printf(b, "%s%s", *unit && *unit != '%' ? " " : "", unit);
}

/* Shows how the value is to be written. */
static int wrong_form(const struct supposing *s)
{
	const struct figure_kind *kind = s->entry->figure.kind;
	struct buf b;
	diag_error(s->diag, s->at, "%s is no value for %s.", diag_quote(s->diag, s->value),
	           diag_quote(s->diag, s->entry->figure.path));
	buf_init(&b, 1024);
	buf_visible(&b, s->entry->figure.path, 200);
	buf_text(&b, " = ");
	const struct fig *fig = s->entry->figure.fig;
	print_value(&b, kind, fig->given ? fig->v : fmax(kind->low, 0));
	diag_hint(s->diag, "write it like `%s`%s%s", b.data,
	          kind->unit == FU_MONEY ? ", plain money " : "",
	          kind->unit == FU_MONEY ? kind->per : "");
	buf_release(&b);
	return -1;
}

static int wrong_number(const struct supposing *s, enum number_fault fault)
{
	const char *value = diag_quote(s->diag, s->value);
	switch (fault) {
	case NUMBER_DECIMAL_COMMA:
		diag_error(s->diag, s->at, "%s has a decimal comma.", value);
		diag_hint(s->diag, "write a point");
		return -1;
	case NUMBER_TOO_LONG:
		return diag_error(s->diag, s->at, "%s has more than 15 digits.", value);
	case NUMBER_ZERO_DIV:
		return diag_error(s->diag, s->at, "%s divides by zero.", value);
	default:
		return wrong_form(s);
	}
}

/* The number in the model's unit, from what stands behind it. */
static bool scale(const struct figure_kind *kind, struct str unit, struct rat *q)
{
	struct rat factor;
	enum dimension dim = dimension_of(kind->unit);
	if (kind->unit == FU_PERCENT)
		return str_is(unit, "%") && rat_make(&factor, 1, 100) && rat_mul(q, *q, factor);
	if (dim == DIM_COUNT) {
		const struct figure_row *row = NULL;
		for (size_t i = 0; (row = figure_row_at(i)) && &row->kind != kind; i++)
			;
		if (unit.n)
			return false;
		return !row || row->shown <= 0 ||
		       (rat_make(&factor, (int64_t)row->shown, 1) && rat_div(q, *q, factor));
	}
	const struct unit *u = unit_find(unit);
	return u && u->dim == dim && rat_mul(q, *q, u->factor) && rat_div(q, *q, base_of(kind->unit));
}

static int check_range(const struct figure *f, double v, struct str value, struct span at,
                       struct diag *diag)
{
	const struct figure_kind *kind = f->kind;
	if (v >= kind->low && v <= kind->high)
		return 0;
	struct buf b;
	buf_init(&b, 256);
	print_value(&b, kind, kind->low);
	buf_text(&b, " to ");
	print_value(&b, kind, kind->high);
	diag_error(diag, at, "%s is out of range for %s, which is %s.", diag_quote(diag, value),
	           diag_quote(diag, f->path), b.data);
	buf_release(&b);
	return -1;
}

void figures_check(struct farm *farm, struct diag *diag)
{
	struct figure *list;
	struct arena scratch;
	size_t n;
	arena_init(&scratch);
	figures_list(farm, &scratch, &list, &n);
	for (size_t i = 0; i < n; i++) {
		const struct fig *fig = list[i].fig;
		if (!fig->given || !fig->at.file)
			continue;
		const char *text = diag->sources[fig->at.file - 1].text.p;
		struct str value = { text + fig->at.off, fig->at.len };
		check_range(&list[i], fig->v, value, fig->at, diag);
	}
	arena_release(&scratch);
}

/* `19`, `25%`, `40 min`; `19 per h` as the list of figures shows it. */
static int read_value(const struct supposing *s, struct rat *q)
{
	const struct figure_kind *kind = s->entry->figure.kind;
	size_t used;
	enum number_fault fault = number_quantity(s->value, q, &used);
	if (fault != NUMBER_OK)
		return wrong_number(s, fault);
	struct str unit = str_trim((struct str){ s->value.p + used, s->value.n - used });
	size_t per = strlen(kind->per);
	if (per && unit.n >= per && memcmp(unit.p + unit.n - per, kind->per, per) == 0)
		unit = str_trim((struct str){ unit.p, unit.n - per });
	if (!scale(kind, unit, q))
		return wrong_form(s);
	return check_range(&s->entry->figure, rat_double(*q), s->value, s->at, s->diag);
}

/* ---- laying it over the farm ---- */

static void record(struct farm *farm, const struct entry *e, double after)
{
	size_t cap = farm->nsupposed;
	farm->supposed = arena_grow(farm->arena, farm->supposed, farm->nsupposed, farm->nsupposed + 1,
	                            &cap, sizeof *farm->supposed);
	struct fig *fig = e->figure.fig;
	farm->supposed[farm->nsupposed++] = (struct supposed){
		.path = e->figure.path,
		.kind = e->figure.kind,
		.before = fig->given ? fig->v : NAN,
		.after = after,
	};
}

static int lay(struct farm *farm, struct diag *diag, const struct entry *e, struct span path,
               struct str value, struct span at)
{
	struct supposing s = { diag, e, value, at };
	struct fig *fig = e->figure.fig;
	struct rat q;
	if (fig->supposed) {
		diag_error(diag, path, "%s is supposed twice.", diag_quote(diag, e->figure.path));
		diag_also(diag, fig->at, "here already");
		return -1;
	}
	if (read_value(&s, &q) < 0)
		return -1;
	record(farm, e, rat_double(q));
	*fig = (struct fig){ .v = rat_double(q), .q = q, .at = at, .given = true, .supposed = true };
	return 0;
}

int figures_suppose(struct farm *farm, const char *text, struct diag *diag)
{
	struct str all = { arena_copy(farm->arena, text, strlen(text)), strlen(text) };
	uint32_t source = diag_source(diag, STR("--suppose"), all);
	size_t sign = all.n;
	while (sign && all.p[sign - 1] != '=')
		sign--;
	struct str path = str_trim((struct str){ all.p, sign ? sign - 1 : all.n });
	struct str value = str_trim((struct str){ all.p + sign, all.n - sign });
	if (!sign || path.n == 0 || value.n == 0) {
		diag_error(diag, ((struct span){ source, 0, (uint32_t)all.n }), "%s supposes nothing.",
		           diag_quote(diag, all));
		diag_hint(diag, "write a figure and its value, like `wage = 19`");
		return -1;
	}
	struct lister l = { .farm = farm, .arena = farm->arena, .scratch = farm->arena };
	list_all(&l);
	struct span at = part_span(source, all.p, path);
	const struct entry *e = find(&l, diag, path, at);
	return e ? lay(farm, diag, e, at, value, part_span(source, all.p, value)) : -1;
}

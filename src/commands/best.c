/* best.c - the best mix, with the options of `mix`: for `mix`, `pull` and `book`. */
#include "commands/best.h"

#include <math.h>

#include "base/number.h"
#include "commands/watch.h"
#include "farm/measure.h"

enum { SENTENCE_MOST = 300 };

struct mixing_watch { /* what the progress line needs */
	struct watch watch;
	int digits;
};

static void show_progress(void *context, const struct mix_progress *p)
{
	struct mixing_watch *w = context;
	double over = (p->bound - p->best) / fmax(fabs(p->best), 0.01);
	if (isfinite(p->best) && isfinite(p->bound))
		watch_say(
		    &w->watch,
		    "best mix so far %.*f, none above %.*f (%.2f%%), %ld steps; Ctrl-C: enough",
		    w->digits, p->best, w->digits, p->bound, over * 100, p->nodes);
	else
		watch_say(&w->watch, "looking for the best mix, %ld steps; Ctrl-C: enough",
			  p->nodes);
}

/* ---- names ---- */

static struct str next_piece(void *context, size_t i)
{
	const struct farm *f = context;
	return i < f->npieces ? f->pieces[i].head.fold : STR_NONE;
}

static struct str next_crop(void *context, size_t i)
{
	const struct farm *f = context;
	return i < f->ncrops ? f->crops[i].head.fold : STR_NONE;
}

static int no_such(struct session *s, const char *kind, struct str name,
		   struct str (*next)(void *, size_t))
{
	session_usage(s, "The farm has no %s %s.", kind, diag_quote(&s->diag, name));
	struct str near = diag_nearest(str_fold(&s->arena, name), next, s->farm);
	struct item item;
	if (near.n && farm_find(s->farm, near, &item))
		diag_hint(&s->diag, "did you mean %s?",
			  diag_quote(&s->diag, farm_head(s->farm, item)->name));
	return EXIT_USAGE;
}

static int take_without(struct session *s, struct mix_options *o)
{
	const struct request *req = s->req;
	uint32_t *pieces = ARENA_ARRAY(&s->arena, req->nwithout + 1, uint32_t);
	for (size_t i = 0; i < req->nwithout; i++) {
		struct item item;
		struct str name = str_of(req->without[i]);
		if (!farm_find(s->farm, name, &item) || item.kind != KIND_PIECE)
			return no_such(s, "piece", name, next_piece);
		pieces[i] = item.index;
	}
	o->excluded = pieces;
	o->nexcluded = req->nwithout;
	return 0;
}

/* The first word of s; the rest, trimmed, in *rest. */
static struct str first_word(struct str s, struct str *rest)
{
	struct str word = { s.p, 0 };
	while (word.n < s.n && s.p[word.n] != ' ' && s.p[word.n] != '\t')
		word.n++;
	*rest = str_trim((struct str){ s.p + word.n, s.n - word.n });
	return word;
}

static int no_quantity(struct session *s, const char *text)
{
	session_usage(s, "`--leave` needs a number of stems and a crop, not %s.",
		      diag_quote(&s->diag, str_of(text)));
	if (memchr(text, '%', strlen(text)))
		diag_hint(&s->diag, "a share is not known here: write so many stems, as in \"40 Statice\"");
	else
		diag_hint(&s->diag, "write it as \"40 Statice\" or \"4 bunches Statice\"");
	return EXIT_USAGE;
}

static bool find_crop(const struct session *s, struct str name, struct item *crop)
{
	return farm_find(s->farm, name, crop) && crop->kind == KIND_CROP;
}

/* "40 Statice", "4 bunches Statice": a number, a word that the crop knows, its name. */
static int take_reserve(struct session *s, const char *text, struct mix_reserve *out)
{
	struct str rest = str_trim(str_of(text)), name;
	struct rat n, factor = RAT_ONE;
	struct item crop;
	size_t used;
	if (number_quantity(rest, &n, &used) != NUMBER_OK || rat_sign(n) < 0 || used >= rest.n)
		return no_quantity(s, text);
	rest = str_trim((struct str){ rest.p + used, rest.n - used });
	if (!find_crop(s, rest, &crop)) {
		struct str word = first_word(rest, &name);
		if (*rest.p == '%')
			return no_quantity(s, text);
		if (!name.n)
			return no_such(s, "crop", rest, next_crop);
		if (!find_crop(s, name, &crop)) {
			int status = no_such(s, "crop", name, next_crop);
			if (memchr(rest.p, ',', rest.n))
				diag_hint(&s->diag, "`--leave` takes one crop; give it once more for each other one");
			return status;
		}
		struct str unit = measure_word(&s->arena, str_fold(&s->arena, word));
		if (!measure_factor(s->farm, crop, unit, &factor))
			return session_usage(s, "%s is not counted in %s.",
					     diag_quote(&s->diag, name),
					     diag_quote(&s->diag, word));
	}
	*out = (struct mix_reserve){ crop.index, rat_double(n) * rat_double(factor) };
	return 0;
}

static int take_leave(struct session *s, struct mix_options *o)
{
	const struct request *req = s->req;
	struct mix_reserve *reserves = ARENA_ARRAY(&s->arena, req->nleave + 1, struct mix_reserve);
	for (size_t i = 0; i < req->nleave; i++) {
		if (take_reserve(s, req->leave[i], &reserves[i]))
			return EXIT_USAGE;
	}
	o->reserves = reserves;
	o->nreserves = req->nleave;
	return 0;
}

int best_options(struct session *s, struct mix_options *o)
{
	const struct request *req = s->req;
	*o = (struct mix_options){
		.own_labour = req->own_labour,
		.no_buying = req->no_buying,
		.without_carries = req->no_keep_value,
		.stall_in_hours = req->stall_hours,
		.has_hours = !isnan(req->hours),
		.hours = isnan(req->hours) ? 0 : req->hours,
		.gap = isnan(req->within) ? 0 : req->within,
		.to_the_end = req->to_the_end || req->within <= 0,
		.nodes = (long)req->nodes,
		.seconds = (int)req->seconds,
		.stop = watch_stop(),
	};
	int status = take_without(s, o);
	return status ? status : take_leave(s, o);
}

/* ---- solving ---- */

static int mix_of(struct mix *out, struct reckoning *k, const struct mix_options *o,
		  struct diag *diag)
{
	return mix_reckon(out, k->farm, &k->stock, &k->costs, &k->prices, o, k->arena, &k->remarks,
			  diag)
		   ? EXIT_INPUT
		   : 0;
}

static int solve(struct session *s, struct mix_view *view, const struct mix_options *o)
{
	struct mix *now = ARENA_ARRAY(&s->arena, 2, struct mix), *today = now + 1;
	struct reckoning *k = &s->now;
	view->now = now;
	view->options = o;
	int status = mix_of(now, k, o, &s->diag);
	if (!status && s->view.today) {
		status = mix_of(today, &s->today, o, &s->before_diag);
		view->today = today;
		if (status)
			s->diag = s->before_diag;
	}
	if (status || !s->req->worth || now->state == MIX_NOTHING)
		return status;
	struct mix_worths *worths = ARENA_ARRAY(&s->arena, 1, struct mix_worths);
	view->worths = worths;
	rates_say(&k->rates, k->farm, 1u << STAGE_FIELD | 1u << STAGE_DRYING, &s->arena, &k->remarks);
	if (mix_worth(worths, now, k->farm, &k->stock, &k->costs, &k->prices, o, &s->arena,
		      &s->diag))
		return EXIT_INPUT;
	view->worth_stopped = *o->stop && !now->interrupted;
	return 0;
}

int best_mix(struct session *s, struct mix_view *view, struct mix_options *o)
{
	struct mixing_watch w = { .digits = s->now.farm->business.digits };
	watch_open(&w.watch, s->req->quiet);
	o->progress = show_progress;
	o->context = &w;
	int status = solve(s, view, o);
	watch_close(&w.watch);
	return status;
}

bool best_unproven(const struct mix *m)
{
	return m && m->state != MIX_PROVEN;
}

static int say(const struct session *s, const char *sentence)
{
	struct buf line;
	if (s->req->quiet)
		return 0;
	buf_init(&line, SENTENCE_MOST);
	buf_printf(&line, "%s\n", sentence);
	int status = session_print(&line);
	buf_release(&line);
	return status;
}

int best_stopped(const struct session *s, const struct mix *m)
{
	bool reach = false;
	for (size_t i = 0; i < s->farm->npieces; i++)
		reach = reach || s->now.reach.pieces[i].state == REACH_STOPPED;
	if (!reach && !best_unproven(m))
		return EXIT_DONE;
	if (reach && say(s, "How many can be made of some pieces is `at least`: their search was stopped."))
		return EXIT_SYSTEM;
	if (best_unproven(m) &&
	    say(s, "The best mix in it is the best found before the search was stopped; "
		   "it says by how much another could be better."))
		return EXIT_SYSTEM;
	return EXIT_STOPPED;
}

/* test_figures.c - the figures of a farm, and suppositions laid over them. */
#include "help_texts.h"

#include <math.h>

#include "base/buf.h"
#include "farm/figures.h"

/* Every statement that holds a figure, so that each kind turns up. */
static const char everything[] =
    "farm Marram Yard\n"
    "  currency EUR\n"
    "  wage 16.50 per h, plus 21%\n"
    "  overhead 3900 per year over 850 h at the bench\n"
    "  growing 2.40 per m of bed\n"
    "  bench 120 h until 2026-12-12\n"
    "  frost last 2027-04-24\n"
    "  line 84 m\n"
    "  racks 6 m2\n"
    "  beds 46 m\n"
    "  boxes 60 of 80 x 40 x 20 cm\n"
    "crop Statice\n"
    "  also limonium\n"
    "  costs 0.24 per stem boxed\n"
    "  buys at 0.55 per stem\n"
    "  loses 8% field, 25% drying, 1.5% storage per month, 4% bench, weighs 20 stem\n"
    "  keeps 14 months from boxing\n"
    "  carries 0.10 per stem into next season\n"
    "  reserve 30 stem\n"
    "  worth 0.60 per stem fresh, 0.45 per stem to hang, 0.80 per stem dried\n"
    "  hangs 10 stem per bundle, 9 cm of line per bundle, 14 days\n"
    "  boxes 250 stem per box\n"
    "  works cut 400, strip 250, bundle 300 stem per h; hang 20 s per bundle; box 60 s per bundle\n"
    "  spends 0.03 per bundle, 1.20 per box\n"
    "  sows 7 weeks before last frost, germinates 78%, 128 cells per tray, 2 seeds per cell, 4.95 per 250 seeds\n"
    "  plants 1 week after last frost, 25 cm apart, 4 rows, bed 1.2 m wide, 92% live\n"
    "  cuts from 10 weeks after planting, over 9 weeks, 14 stem per plant, usually 10 to 18\n"
    "crop Sea lavender\n"
    "  lies 250 stem per m2 of rack, 9 days\n"
    "  stands 6 m of bed, planted 2024-04-01, bears 6 years, 140 to plant\n"
    "supply Willow ring 35 cm\n"
    "  costs 2.10 per each\n"
    "  pack 25 each\n"
    "part Grass tuft\n"
    "  needs 5 stem Sea lavender\n"
    "  takes 40 s tying\n"
    "  takes 5 min, for each batch of up to 20\n"
    "piece Tideline wreath\n"
    "  also wreath\n"
    "  needs 24 stem Statice\n"
    "  needs 1 each Willow ring 35 cm\n"
    "  takes 35 min wiring\n"
    "  takes 20 min setting up, for each batch of up to 6\n"
    "  takes 4 min wiring\n"
    "  packs 42 x 42 x 14 cm, 0.8 kg, 6 min, carton 1.35\n"
    "  sells market at 68, likely 14, up to 20\n"
    "  sells online at 84, up to 12\n"
    "  tax 7% in the price\n"
    "outlet online\n"
    "  also web\n"
    "  fee 6.5%, plus 0.45 per order\n"
    "  orders 1.4 pieces each\n"
    "  sends 7.20 up to 2 kg, 9.80 up to 5 kg, volume divisor 5000; charges 6.90 per order\n"
    "  spoils 3%\n"
    "  tax 19% in the price\n"
    "  aim markup 120%\n"
    "outlet market\n"
    "  stall 45 per day, 9 h, 6 days, travel 38 km at 0.30\n"
    "  fee 1.7%\n"
    "  aim margin 50%\n"
    "outlet studio\n"
    "  aim flowers x 3.5, supplies x 2, labour 25% of price\n"
    "target Tideline wreath\n"
    "  sell 40 by 2027-11-20 at market, 80% sure\n";

/* ---- the table ---- */

static void kinds_are_sound(void **state)
{
	(void)state;
	const struct figure_kind *a, *b;
	for (size_t i = 0; (a = figure_kind_at(i)); i++) {
		assert_true(a->low < a->high);
		assert_true(isfinite(a->low) && isfinite(a->high) && a->low >= 0);
		assert_true(strlen(a->meaning) > 8 && a->meaning[strlen(a->meaning) - 1] == '.');
		assert_true(*a->words != '\0');
		for (size_t k = 0; k < i; k++) {
			b = figure_kind_at(k);
			assert_string_not_equal(a->id, b->id);
			if (a->subject == b->subject)
				assert_string_not_equal(a->words, b->words);
		}
	}
}

static struct figure *figure_of(struct texts *t, const char *path)
{
	struct figure *list;
	size_t n;
	figures_list(&t->farm, &t->arena, &list, &n);
	for (size_t i = 0; i < n; i++) {
		if (str_is(list[i].path, path))
			return &list[i];
	}
	print_error("no figure %s\n", path);
	return NULL;
}

static void every_kind_turns_up(void **state)
{
	struct texts t;
	struct figure *list;
	size_t n;
	(void)state;
	texts_load(&t, everything);
	figures_list(&t.farm, &t.arena, &list, &n);
	const struct figure_kind *kind;
	for (size_t k = 0; (kind = figure_kind_at(k)); k++) {
		bool found = false;
		for (size_t i = 0; i < n; i++)
			found = found || (list[i].kind == kind && list[i].fig->given);
		if (!found)
			print_error("%s is in no farm\n", kind->id);
		assert_true(found);
	}
	/* In the order of the table. */
	size_t at = 0;
	for (size_t i = 0; i < n; i++) {
		while (figure_kind_at(at) != list[i].kind)
			assert_non_null(figure_kind_at(++at));
	}
	texts_end(&t);
}

static void paths_and_values(void **state)
{
	static const struct {
		const char *path, *id;
		double shown;
	} figures[] = {
		{ "wage", "wage", 16.5 },
		{ "wage burden", "wage.burden", 21 },
		{ "bench hours", "bench", 120 },
		{ "line", "line", 84 },
		{ "racks", "racks", 6 },
		{ "Statice drying loss", "loss.drying", 25 },
		{ "Statice storage loss", "loss.storage", 1.5 },
		{ "Statice keeping time", "crop.keeps", 14 },
		{ "Statice line per bundle", "hang.line", 0.09 },
		{ "Sea lavender stems per m2", "lie.stems", 250 },
		{ "Statice cutting time", "work.cut", 9 },
		{ "Statice hanging time", "work.hang", 20 },
		{ "Statice germination", "sow.germination", 78 },
		{ "Statice spacing", "plant.apart", 0.25 },
		{ "Statice cutting days", "cut.days", 63 },
		{ "Willow ring 35 cm cost", "supply.cost", 2.1 },
		{ "Grass tuft tying", "part.task", 40.0 / 60 },
		{ "Grass tuft work", "part.task", 5 },
		{ "Grass tuft work batch", "part.batch", 20 },
		{ "Tideline wreath wiring", "piece.task", 35 },
		{ "Tideline wreath wiring 2", "piece.task", 4 },
		{ "Tideline wreath setting up batch", "piece.batch", 6 },
		{ "Tideline wreath weight", "piece.weight", 800 },
		{ "Tideline wreath packing", "piece.packing", 6 },
		{ "Tideline wreath market price", "offer.price", 68 },
		{ "Tideline wreath online up to", "offer.upto", 12 },
		{ "Tideline wreath target certainty", "target.sure", 80 },
		{ "online fee", "outlet.fee", 6.5 },
		{ "online sending up to 5 kg", "outlet.sending", 9.8 },
		{ "market aim margin", "aim.margin", 50 },
		{ "market travel rate", "stall.rate", 0.3 },
	};
	struct texts t;
	(void)state;
	texts_load(&t, everything);
	for (size_t i = 0; i < COUNT(figures); i++) {
		const struct figure *f = figure_of(&t, figures[i].path);
		assert_non_null(f);
		assert_string_equal(f->kind->id, figures[i].id);
		assert_near(figure_shown(f->kind, f->fig->v), figures[i].shown);
	}
	assert_int_equal(figure_of(&t, "market aim margin")->subject.kind, KIND_OUTLET);
	assert_int_equal(figure_of(&t, "market aim margin")->subject.index, 1);
	texts_end(&t);
}

/* What says nothing is no figure, unless it makes sense to give it. */
static void only_what_can_be_supposed(void **state)
{
	struct texts t;
	struct figure *list;
	size_t n;
	struct buf b;
	(void)state;
	texts_load(&t, "crop Statice\nsupply Ring\npiece Wreath\n  needs 2 stem Statice\n  takes 4 min\n"
	               "  sells market\noutlet market\n"
	               "crop Twice\n  sows on 2027-03-01, germinates 80%\n  sows on 2027-04-01, germinates 70%\n");
	figures_list(&t.farm, &t.arena, &list, &n);
	buf_init(&b, 4096);
	for (size_t i = 0; i < n; i++)
		buf_printf(&b, "%.*s%s, ", STR_ARG(list[i].path), list[i].fig->given ? "" : "*");
	assert_text(buf_slice(&b),
	            "wage*, wage burden*, overhead*, overhead hours*, growing*, bench hours*, Statice cost*, Twice cost*, "
	            "Statice field loss*, Twice field loss*, Statice drying loss*, Twice drying loss*, "
	            "Statice storage loss*, Twice storage loss*, Statice bench loss*, Twice bench loss*, "
	            "Ring cost*, Wreath work, Wreath market price*, market fee*, market fixed fee*, market spoiled share*, ");
	buf_release(&b);
	texts_end(&t);
}

/* ---- supposing ---- */

static void suppositions(void **state)
{
	static const struct {
		const char *text, *path;
		double v; /* in the model's unit */
	} cases[] = {
		{ "wage = 19", "wage", 19 },
		{ "Statice drying loss = 20%", "Statice drying loss", 0.2 },
		{ "LIMONIUM  bench   loss=7.5 %", "Statice bench loss", 0.075 },
		{ "online fee = 8%", "online fee", 0.08 },
		{ "market aim margin = 45%", "market aim margin", 0.45 },
		{ "Tideline wreath market price = 72", "Tideline wreath market price", 72 },
		{ "wreath web price = 90", "Tideline wreath online price", 90 },
		{ "Tideline wreath wiring = 40 min", "Tideline wreath wiring", 2400 },
		{ "Grass tuft tying = 1/2 min", "Grass tuft tying", 30 },
		{ "Willow ring 35 cm cost = 2.50", "Willow ring 35 cm cost", 2.5 },
		{ "growing = 3 per m of bed", "growing", 3 },
		{ "overhead hours = 900 h per year", "overhead hours", 900 },
		{ "bench hours = 5 days", "bench hours", 120 },
		{ "line = 100 m", "line", 100000 },
		{ "Statice line per bundle = 4 in", "Statice line per bundle", 101.6 },
		{ "racks = 8 m2", "racks", 8e6 },
		{ "Sea lavender stems per m2 = 300", "Sea lavender stems per m2", 300e-6 },
		{ "Statice keeping time = 10 months", "Statice keeping time", 10 },
		{ "Statice drying days = 3 weeks", "Statice drying days", 21 },
		{ "Tideline wreath weight = 1.2 kg", "Tideline wreath weight", 1200 },
		{ "market travel = 40 km", "market travel", 40 },
		{ "online sending up to 2000 g = 8", "online sending up to 2 kg", 8 },
		{ "web sending up to 5 kilograms = 9.5", "online sending up to 5 kg", 9.5 },
		{ "Statice loss weight = 35 stems", "Statice loss weight", 35 },
	};
	struct texts t;
	(void)state;
	texts_load(&t, everything);
	for (size_t i = 0; i < COUNT(cases); i++) {
		const struct figure *f = figure_of(&t, cases[i].path);
		assert_non_null(f);
		double before = f->fig->v;
		if (figures_suppose(&t.farm, cases[i].text, &t.diag) < 0)
			print_error("%s", texts_said(&t));
		assert_int_equal(t.diag.errors, 0);
		assert_near(f->fig->v, cases[i].v);
		assert_near(rat_double(f->fig->q), cases[i].v);
		assert_true(f->fig->given && f->fig->supposed);
		assert_int_equal(t.farm.nsupposed, i + 1);
		const struct supposed *s = &t.farm.supposed[i];
		assert_text(s->path, cases[i].path);
		assert_true(s->kind == f->kind);
		assert_near(s->before, before);
		assert_near(s->after, cases[i].v);
		struct place place = diag_place(&t.diag, f->fig->at);
		assert_text(place.text, cases[i].text);
	}
	texts_end(&t);
}

static void new_figures(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "crop Statice\n");
	assert_int_equal(figures_suppose(&t.farm, "wage = 19", &t.diag), 0);
	assert_near(t.farm.business.wage.v, 19);
	assert_true(isnan(t.farm.supposed[0].before));
	assert_int_equal(figures_suppose(&t.farm, "statice drying loss = 10%", &t.diag), 0);
	assert_near(t.farm.crops[0].loss[STAGE_DRYING].v, 0.1);
	texts_end(&t);
}

/* Whatever the list shows can be supposed as it is shown, and changes nothing. */
static void every_figure_as_it_is_shown(void **state)
{
	struct texts t;
	struct figure *list;
	size_t n;
	(void)state;
	texts_load(&t, everything);
	figures_list(&t.farm, &t.arena, &list, &n);
	for (size_t i = 0; i < n; i++) {
		struct buf b;
		double v = list[i].fig->v;
		if (!list[i].fig->given)
			continue;
		buf_init(&b, 1024);
		buf_printf(&b, "%.*s = ", STR_ARG(list[i].path));
		number_print_short(&b, figure_shown(list[i].kind, v), 12);
		if (list[i].kind->unit != FU_MONEY)
			buf_printf(&b, " %s", figure_unit_name(list[i].kind->unit));
		buf_printf(&b, " %s", list[i].kind->per);
		if (figures_suppose(&t.farm, b.data, &t.diag) < 0)
			print_error("%s\n%s", b.data, texts_said(&t));
		assert_int_equal(t.diag.errors, 0);
		assert_near_by(list[i].fig->v, v, 1e-9, 0);
		buf_release(&b);
	}
	assert_true(n > 90);
	texts_end(&t);
}

static void wrong_suppositions(void **state)
{
	static const struct {
		const char *text, *said;
	} cases[] = {
		{ "wage",
		  "--suppose:1:1: error: `wage` supposes nothing.\n"
		  "  wage\n"
		  "  ^~~~\n"
		  "  hint: write a figure and its value, like `wage = 19`\n" },
		{ "= 19",
		  "--suppose:1:1: error: `= 19` supposes nothing.\n"
		  "  = 19\n"
		  "  ^~~~\n"
		  "  hint: write a figure and its value, like `wage = 19`\n" },
		{ "",
		  "--suppose:1:1: error: `` supposes nothing.\n"
		  "  hint: write a figure and its value, like `wage = 19`\n" },
		{ "Statice dryng loss = 20%",
		  "--suppose:1:1: error: `Statice dryng loss` is no figure of this farm.\n"
		  "  Statice dryng loss = 20%\n"
		  "  ^~~~~~~~~~~~~~~~~~\n"
		  "  hint: did you mean `Statice drying loss`?\n" },
		{ "web sending up to 3 lb = 9",
		  "--suppose:1:1: error: `web sending up to 3 lb` is no figure of this farm.\n"
		  "  web sending up to 3 lb = 9\n"
		  "  ^~~~~~~~~~~~~~~~~~~~~~\n"
		  "  hint: its steps are `sending up to 2 kg`, `sending up to 5 kg`\n" },
		{ "the weather = 20%",
		  "--suppose:1:1: error: `the weather` is no figure of this farm.\n"
		  "  the weather = 20%\n"
		  "  ^~~~~~~~~~~\n"
		  "  hint: `thrave check --figures` lists them all\n" },
		{ "Statice drying loss = 0.2",
		  "--suppose:1:23: error: `0.2` is no value for `Statice drying loss`.\n"
		  "  Statice drying loss = 0.2\n"
		  "                        ^~~\n"
		  "  hint: write it like `Statice drying loss = 25%`\n" },
		{ "wage = 19%",
		  "--suppose:1:8: error: `19%` is no value for `wage`.\n"
		  "  wage = 19%\n"
		  "         ^~~\n"
		  "  hint: write it like `wage = 16.5`, plain money per h\n" },
		{ "Tideline wreath wiring = 40",
		  "--suppose:1:26: error: `40` is no value for `Tideline wreath wiring`.\n"
		  "  Tideline wreath wiring = 40\n"
		  "                           ^~\n"
		  "  hint: write it like `Tideline wreath wiring = 35 min`\n" },
		{ "line = 40 g",
		  "--suppose:1:8: error: `40 g` is no value for `line`.\n"
		  "  line = 40 g\n"
		  "         ^~~~\n"
		  "  hint: write it like `line = 84 m`\n" },
		{ "boxes = 12 kg",
		  "--suppose:1:9: error: `12 kg` is no value for `boxes`.\n"
		  "  boxes = 12 kg\n"
		  "          ^~~~~\n"
		  "  hint: write it like `boxes = 60`\n" },
		{ "wage = much",
		  "--suppose:1:8: error: `much` is no value for `wage`.\n"
		  "  wage = much\n"
		  "         ^~~~\n"
		  "  hint: write it like `wage = 16.5`, plain money per h\n" },
		{ "wage = 19,50",
		  "--suppose:1:8: error: `19,50` has a decimal comma.\n"
		  "  wage = 19,50\n"
		  "         ^~~~~\n"
		  "  hint: write a point\n" },
		{ "wage = 1/0",
		  "--suppose:1:8: error: `1/0` divides by zero.\n"
		  "  wage = 1/0\n"
		  "         ^~~\n" },
		{ "wage = 12345678901234567",
		  "--suppose:1:8: error: `12345678901234567` has more than 15 digits.\n"
		  "  wage = 12345678901234567\n"
		  "         ^~~~~~~~~~~~~~~~~\n" },
		{ "wage = -1",
		  "--suppose:1:8: error: `-1` is out of range for `wage`, which is 0 to 1000000000.\n"
		  "  wage = -1\n"
		  "         ^~\n" },
		{ "online fee = 100%",
		  "--suppose:1:14: error: `100%` is out of range for `online fee`, which is 0% to 99.9%.\n"
		  "  online fee = 100%\n"
		  "               ^~~~\n" },
		{ "Statice keeping time = 0 months",
		  "--suppose:1:24: error: `0 months` is out of range for `Statice keeping time`, which is 0.1 "
		  "months to 600 months.\n"
		  "  Statice keeping time = 0 months\n"
		  "                         ^~~~~~~~\n" },
	};
	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct texts t;
		texts_load(&t, everything);
		assert_int_equal(figures_suppose(&t.farm, cases[i].text, &t.diag), -1);
		assert_string_equal(texts_said(&t), cases[i].said);
		assert_int_equal(t.farm.nsupposed, 0);
		texts_end(&t);
	}
}

/* Said in pounds, shown in kilograms, found by both; costs that no line says. */
static void found_by_other_units(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "crop Lunaria\nsupply Raffia\noutlet Web\n  sends 7 up to 2 lb, 9 up to 5 lb\n"
	               "piece Posy\n  takes 4 min\n  takes 5 min work\n");
	assert_int_equal(figures_suppose(&t.farm, "Web sending up to 2 lb = 8", &t.diag), 0);
	assert_near(t.farm.outlets[0].tariffs[0].money.v, 8);
	assert_int_equal(figures_suppose(&t.farm, "Web sending up to 2.268 kg = 10", &t.diag), 0);
	assert_near(t.farm.outlets[0].tariffs[1].money.v, 10);
	assert_int_equal(figures_suppose(&t.farm, "Lunaria cost = 0.3", &t.diag), 0);
	assert_near(t.farm.crops[0].cost.v, 0.3);
	assert_true(t.farm.crops[0].cost.given);
	assert_int_equal(figures_suppose(&t.farm, "Raffia cost = 1.2", &t.diag), 0);
	assert_near(t.farm.supplies[0].cost.v, 1.2);
	assert_int_equal(figures_suppose(&t.farm, "Posy work = 6 min", &t.diag), 0);
	assert_int_equal(figures_suppose(&t.farm, "Posy work 2 = 7 min", &t.diag), 0);
	assert_near(t.farm.pieces[0].tasks[0].seconds.v, 360);
	assert_near(t.farm.pieces[0].tasks[1].seconds.v, 420);
	texts_end(&t);
}

static void supposed_twice(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, everything);
	assert_int_equal(figures_suppose(&t.farm, "limonium drying loss = 20%", &t.diag), 0);
	assert_int_equal(figures_suppose(&t.farm, "Statice drying loss = 22%", &t.diag), -1);
	assert_string_equal(texts_said(&t), "--suppose:1:1: error: `Statice drying loss` is supposed twice.\n"
	                                    "  Statice drying loss = 22%\n"
	                                    "  ^~~~~~~~~~~~~~~~~~~\n"
	                                    "--suppose:1:24: note: here already\n");
	assert_near(t.farm.crops[0].loss[STAGE_DRYING].v, 0.2);
	texts_end(&t);
}

static void one_path_two_figures(void **state)
{
	struct texts t;
	(void)state;
	texts_load(&t, "piece Wreath\n  takes 5 min carton\n  packs carton 1.20\n");
	assert_int_equal(figures_suppose(&t.farm, "Wreath carton = 2", &t.diag), -1);
	assert_string_equal(texts_said(&t),
	                    "--suppose:1:1: error: `Wreath carton` could be two figures: `piece.task` and "
	                    "`piece.carton`.\n"
	                    "  Wreath carton = 2\n"
	                    "  ^~~~~~~~~~~~~\n"
	                    "  hint: give one of the things that are named another name\n");
	texts_end(&t);
}

/* ---- docs/figures.md ---- */

static void doc_row(struct buf *b, const struct figure_kind *k)
{
	static const char *const subjects[] = {
		[KIND_FARM] = "", [KIND_CROP] = "CROP ", [KIND_SUPPLY] = "SUPPLY ", [KIND_PART] = "PART ",
		[KIND_PIECE] = "PIECE ", [KIND_OUTLET] = "OUTLET ",
	};
	buf_printf(b, "| `%s%s` | %s", subjects[k->subject], k->words,
	           k->unit == FU_MONEY ? "money" : figure_unit_name(k->unit));
	buf_printf(b, "%s%s | ", *k->per && (k->unit == FU_MONEY || *figure_unit_name(k->unit)) ? " " : "",
	           k->per);
	number_print_short(b, figure_shown(k, k->low), 4);
	buf_text(b, " to ");
	double high = figure_shown(k, k->high);
	number_print_short(b, high >= 1e6 ? high / 1e6 : high, 4);
	buf_printf(b, "%s | %s |\n", high >= 1e6 ? " million" : "", k->meaning);
}

static void doc_has_every_kind(void **state)
{
	struct buf want, got;
	(void)state;
	buf_init(&want, 1 << 20);
	buf_init(&got, 1 << 20);
	for (size_t i = 0; figure_kind_at(i); i++)
		doc_row(&want, figure_kind_at(i));
	char *doc = help_read("docs/figures.md");
	assert_non_null(doc);
	struct str rest = str_of(doc);
	while (rest.n) {
		const char *lf = memchr(rest.p, '\n', rest.n);
		size_t n = lf ? (size_t)(lf - rest.p) + 1 : rest.n;
		if (str_starts(rest, "| `"))
			buf_add(&got, rest.p, n);
		rest = (struct str){ rest.p + n, rest.n - n };
	}
	assert_text(buf_slice(&got), want.data);
	free(doc);
	buf_release(&want);
	buf_release(&got);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(kinds_are_sound),
		cmocka_unit_test(every_kind_turns_up),
		cmocka_unit_test(paths_and_values),
		cmocka_unit_test(only_what_can_be_supposed),
		cmocka_unit_test(suppositions),
		cmocka_unit_test(new_figures),
		cmocka_unit_test(every_figure_as_it_is_shown),
		cmocka_unit_test(wrong_suppositions),
		cmocka_unit_test(found_by_other_units),
		cmocka_unit_test(supposed_twice),
		cmocka_unit_test(one_path_two_figures),
		cmocka_unit_test(doc_has_every_kind),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}

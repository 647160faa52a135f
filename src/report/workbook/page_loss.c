/* page_loss.c - what the records say of losses, with the limits drawn. */
#include <math.h>

#include "reckon/measured.h"
#include "report/workbook/pages.h"

enum {
	LOSS_LABEL,
	LOSS_BATCHES,
	LOSS_STEMS,
	LOSS_LOST,
	LOSS_ALIKE,
	LOSS_WORTH,
	LOSS_LINE,
	LOSS_LOW95,
	LOSS_LOW80,
	LOSS_FOUND,
	LOSS_HIGH80,
	LOSS_HIGH95,
	LOSS_IN_USE,
	LOSS_VERDICT,
	LOSS_CAUSES
};
enum { SPANS_MOST = 40, SPAN_WIDTH = 24, CHART_LEAST = 620, CHART_HIGH = 480 };

static const struct book_column columns[] = {
	[LOSS_LABEL] = { "what", "Crop and step", "", SHAPE_TEXT, 30, ORIGIN_VALUE,
			 "Storage is for a month in the box." },
	[LOSS_BATCHES] = { "batches", "Batches", "", SHAPE_WHOLE, 9, ORIGIN_VALUE,
			   "Batches, boxes between two counts, or lines of the bench log." },
	[LOSS_STEMS] = { "stems", "Stems", "", SHAPE_WHOLE, 9, ORIGIN_VALUE, "That went in." },
	[LOSS_LOST] = { "lost", "Lost", "", SHAPE_WHOLE, 8, ORIGIN_VALUE, NULL },
	[LOSS_ALIKE] = { "alike", "Alike", "", SHAPE_TWO, 8, ORIGIN_VALUE,
			 "How much stems of one batch share their fate: 0 each for itself, 1 all or "
			 "none." },
	[LOSS_WORTH] = { "worth", "Worth stems", "", SHAPE_WHOLE, 9, ORIGIN_VALUE,
			 "Separate stems that would tell as much." },
	[LOSS_LINE] = { "line", "Line says", "", SHAPE_PERCENT, 9, ORIGIN_LIVE,
			"The crop's loses line; what is typed over on the sheet Inputs." },
	[LOSS_LOW95] = { "low95", "95% sure from", "", SHAPE_PERCENT, 9, ORIGIN_VALUE,
			 "Two-sided: the true rate lies between in 19 of 20 such cases." },
	[LOSS_LOW80] = { "low80", "80% sure from", "", SHAPE_PERCENT, 9, ORIGIN_VALUE,
			 "Two-sided: the true rate lies between in 4 of 5 such cases." },
	[LOSS_FOUND] = { "found", "Found", "", SHAPE_PERCENT, 9, ORIGIN_VALUE,
			 "Lost of what went in, up to the day of writing." },
	[LOSS_HIGH80] = { "high80", "80% sure to", "", SHAPE_PERCENT, 9, ORIGIN_VALUE, NULL },
	[LOSS_HIGH95] = { "high95", "95% sure to", "", SHAPE_PERCENT, 9, ORIGIN_VALUE, NULL },
	[LOSS_IN_USE] = { "in_use", "In use", "", SHAPE_PERCENT, 9, ORIGIN_LIVE,
			  "Records and line together, as measured on the day of writing; what is "
			  "typed over on the sheet Inputs counts as it stands." },
	[LOSS_VERDICT] = { "verdict", "The line", "", SHAPE_LABEL, 16, ORIGIN_LIVE,
			   "fits; doubtful: outside what is 80% sure; off: outside what is 95% sure; "
			   "too few batches: fewer than three. Rough: few batches with rare or very "
			   "uneven losses, the limits are likely too wide." },
	[LOSS_CAUSES] = { "causes", "Causes", "", SHAPE_WRAP, 44, ORIGIN_VALUE,
			  "Stems lost, most first." },
};
const struct book_table loss_table = { "Losses",
				       "What batches, boxes counted twice and the bench log say was lost, and "
				       "between which limits the true rate lies.",
				       columns, sizeof columns / sizeof columns[0] };

/* Where the line lies among the limits. */
static void verdict(struct pages *p, uint32_t row, const struct stage_measured *s)
{
	static const char *const words[] = { "", "fits", "doubtful", "off" };
	const struct page *g = &p->losses;
	const char *line = HERE(*g, row, LOSS_LINE), *rough = s->m.rough ? ", rough" : "";
	if (s->m.few) {
		page_words(g, row, LOSS_VERDICT, text_of(p, "too few batches%s", rough));
		return;
	}
	const char *word = text_of(p, "%s%s", words[s->judged], rough);
	page_live_text(g, row, LOSS_VERDICT, *words[s->judged] ? word : s->m.rough ? "rough" : "",
		       "IF(ISNUMBER(%s),IF(AND(%s>=%s,%s<=%s),\"fits%s\",IF(AND(%s>=%s,%s<=%s),\"doubtful%s\","
		       "\"off%s\")),\"%s\")",
		       line, line, HERE(*g, row, LOSS_LOW80), line, HERE(*g, row, LOSS_HIGH80), rough, line,
		       HERE(*g, row, LOSS_LOW95), line, HERE(*g, row, LOSS_HIGH95), rough, rough,
		       s->m.rough ? "rough" : "");
}

static const char *causes(struct pages *p, const struct stage_measured *s)
{
	const char *text = "";
	for (size_t i = 0; i < s->ncauses; i++)
		text = text_of(p, "%s%s%s %.0f", text, *text ? ", " : "",
			       cause_name(s->causes[i].cause), s->causes[i].stems);
	if (*text && s->unsaid >= 0.5)
		text = text_of(p, "%s, no cause given %.0f", text, s->unsaid);
	return text;
}

static void rates(struct pages *p, uint32_t row, uint32_t crop, enum stage stage)
{
	const struct page *g = &p->losses;
	const struct fig *fig = &p->farm->crops[crop].loss[stage];
	if (!fig_is_input(p, fig)) {
		page_number(g, row, LOSS_LINE, fig->given ? fig->v : (double)NAN);
		page_number(g, row, LOSS_IN_USE, rates_at(p->r->stock.rates, crop, stage));
		return;
	}
	const char *cell = fig_ref(p, fig);
	if (fig->given)
		page_live(g, row, LOSS_LINE, fig->v, "%s", loss_line_ref(p, crop, stage));
	else /* no line says it: empty until something is typed in */
		page_live_text(g, row, LOSS_LINE, "", "IF(%s=%s,\"\",%s)", cell, fig_written_ref(p, fig),
			       cell);
	page_live(g, row, LOSS_IN_USE, rates_at(p->r->stock.rates, crop, stage), "%s",
		  loss_used_ref(p, crop, stage));
}

static void loss_row(struct pages *p, uint32_t row, uint32_t crop, enum stage stage,
		     const struct stage_measured *s)
{
	static const char *const stages[] = { "field", "drying", "storage", "bench" };
	const struct page *g = &p->losses;
	const struct measured *m = &s->m;
	page_words(g, row, LOSS_LABEL,
		   text_of(p, "%.*s, %s", STR_ARG(p->farm->crops[crop].head.name), stages[stage]));
	page_number(g, row, LOSS_BATCHES, (double)m->lots);
	page_number(g, row, LOSS_STEMS, m->stems);
	page_number(g, row, LOSS_LOST, m->lost);
	page_number(g, row, LOSS_ALIKE, m->rho);
	page_number(g, row, LOSS_WORTH, m->effective);
	page_number(g, row, LOSS_LOW95, m->i95.low);
	page_number(g, row, LOSS_LOW80, m->i80.low);
	page_number(g, row, LOSS_FOUND, m->rate);
	page_number(g, row, LOSS_HIGH80, m->i80.high);
	page_number(g, row, LOSS_HIGH95, m->i95.high);
	rates(p, row, crop, stage);
	verdict(p, row, s);
	const char *texts[LOSS_CAUSES + 1] = { [LOSS_CAUSES] = causes(p, s) };
	page_words(g, row, LOSS_CAUSES, texts[LOSS_CAUSES]);
	page_heighten(g, row, texts);
}

/* One wet batch has limits up to 99%: the scale is for the others, but holds what was found
 * and what the lines say of all. */
static double top_of(const struct stage_measured *s)
{
	double top = fmax(s->m.rate, isnan(s->assumed) ? 0 : s->assumed);
	return s->m.few || s->m.rough ? top : fmax(top, s->m.i95.high);
}

static void draw_spans(struct pages *p, uint32_t n, double top)
{
	enum { PALE = 0xC9D6C9, GREEN = 0x4F7A55, INK = 0x2C3A31, CLAY = 0xB4552D };
	uint32_t shown = n < SPANS_MOST ? n : SPANS_MOST;
	double end = fmin(1, fmax(0.05, ceil(top * 20 - 1e-9) / 20));
	struct chart c = {
		.kind = CHART_SPANS,
		.title = text_of(p, "Losses found, and their limits%s; limits above %.0f%% are in the table",
				 shown < n ? text_of(p, " (the first %u of %u)", (unsigned)shown,
						     (unsigned)n)
					   : "",
				 end * 100),
		.top = end,
		.percent = true,
		.values = "lost of what went in",
		.from = p->losses.s,
		.first = ROW_FIRST,
		.last = ROW_FIRST + shown - 1,
		.name_col = LOSS_LABEL,
		.nseries = 6,
		.series = { { "95% sure", LOSS_LOW95, PALE },
			    { "80% sure", LOSS_LOW80, GREEN },
			    { "found", LOSS_FOUND, INK },
			    { "line says", LOSS_LINE, CLAY },
			    { NULL, LOSS_HIGH80, GREEN },
			    { NULL, LOSS_HIGH95, PALE } },
		.width = fmax(CHART_LEAST, SPAN_WIDTH * (double)shown),
		.height = CHART_HIGH,
	};
	sheet_chart(p->losses.s, ROW_FIRST + n + 1, 0, &c);
}

void losses_page(struct pages *p)
{
	const struct measures *m = p->r->stock.rates->measures;
	uint32_t n = 0;
	double top = 0;
	for (uint32_t crop = 0; m && crop < p->farm->ncrops; crop++) {
		for (int stage = 0; stage < STAGE_COUNT; stage++) {
			const struct stage_measured *s = &m->crops[crop].stages[stage];
			if (!s->m.lots)
				continue;
			loss_row(p, ROW_FIRST + n++, crop, (enum stage)stage, s);
			top = n <= SPANS_MOST ? fmax(top, top_of(s)) : top;
		}
	}
	if (!n)
		page_nothing(&p->losses, "Nothing has been counted of losses yet (batches.csv, second "
					 "counts and made lines of bench.csv).");
	else
		draw_spans(p, n, top);
	page_end(&p->losses, ROW_FIRST + n, 1);
}

/* book.c - lays the sheets out, has them written, and puts the file in its place. */
#include "report/workbook/book.h"

#include "base/file.h"
#include "report/workbook/pages.h"
#include "report/workbook/verify.h"

/* In the order of the sheets. */
static const struct book_table *const tables[] = {
	&summary_table, &inputs_table, &charts_table,  &prices_table, &build_table, &lines_table,
	&stems_table,   &beds_table,   &drying_table,  &loss_table,   &stock_table,  &boxes_table, &moves_table,
	&plan_table,    &calendar_table, &growing_table, &targets_table,
	&hang_table,    &reach_table,  &mix_table,    &pull_table,    &sway_table,   &orders_table, &outlets_table, &sold_table,
	&aims_table,    &took_table,   &log_table,     &next_table,   &dry_table,     &weigh_table,
	&happened_table, &cautions_table,
};

const struct book_table *book_table(size_t i)
{
	return i < sizeof tables / sizeof tables[0] ? tables[i] : NULL;
}

enum { TAB_READ = 0x7FA37F, TAB_INPUT = 0xE8C766, TAB_WORK = 0xB8C4BA, TAB_CAUTION = 0xC08562 };

static void begin_pages(struct pages *p)
{
	struct {
		struct page *page;
		unsigned tab;
	} all[] = {
		{ &p->summary, TAB_READ }, { &p->inputs, TAB_INPUT }, { &p->charts, TAB_READ },
		{ &p->prices, TAB_READ },  { &p->build, TAB_READ },   { &p->lines, TAB_WORK },
		{ &p->stems, TAB_READ },   { &p->beds, TAB_WORK },    { &p->drying, TAB_WORK },
		{ &p->losses, TAB_READ },
		{ &p->stock, TAB_READ },   { &p->boxes, TAB_WORK },   { &p->moves, TAB_WORK },
		{ &p->plan, TAB_READ },    { &p->calendar, TAB_READ },
		{ &p->growing, TAB_READ }, { &p->targets, TAB_READ },
		{ &p->hang, TAB_READ },    { &p->reach, TAB_READ },   { &p->mix, TAB_READ },     { &p->pull, TAB_READ },
		{ &p->sway, TAB_READ },
		{ &p->orders, TAB_READ },  { &p->outlets, TAB_WORK },
		{ &p->sold, TAB_WORK },    { &p->aims, TAB_WORK },    { &p->took, TAB_READ },
		{ &p->log, TAB_WORK },     { &p->next, TAB_READ },    { &p->dry, TAB_READ },
		{ &p->weigh, TAB_WORK },   { &p->happened, TAB_READ }, { &p->cautions, TAB_CAUTION },
	};
	for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
		*all[i].page = page_begin(p, tables[i]);
		sheet_tab(all[i].page->s, all[i].tab);
	}
}

/* Where everything stands, then the pages; the inputs last, when it is known what rests on each. */
static void write_pages(struct pages *p)
{
	static void (*const parts[])(struct pages *) = {
		begin_pages, inputs_lay_out, stock_lay_out, beds_lay_out, build_lay_out,
		prices_lay_out, stock_pages, beds_pages, build_pages, prices_pages,
		plan_page, calendar_page, growing_page, targets_page, hang_page,
		losses_page, reach_page, mix_page, pull_page, sway_page, orders_page,
		took_pages, dry_pages, happened_page, cautions_page, summary_page,
		charts_page, inputs_page,
	};
	for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
		parts[i](p);
		book_forget(p->book);
	}
}

static int fail(struct diag *diag, const char *path, const char *why)
{
	return diag_error(diag, SPAN_NONE, "The workbook %s has not been written. %s",
			  diag_quote(diag, str_of(path)), why);
}

int book_write(const struct reckoning *r, const struct book_solved *solved, const char *path,
	       struct diag *diag)
{
	struct file_out out;
	struct file_error err;
	struct arena arena;
	char why[300], said[400];
	if (file_begin(&out, path, &err))
		return diag_error(diag, SPAN_NONE, "%s", err.text);
	if (out.direct) {
		file_abandon(&out);
		return fail(diag, path, "A workbook needs a file to stand in.");
	}
	arena_init(&arena);
	struct str currency = r->farm->business.currency;
	struct str name = r->farm->business.head.name;
	struct book_style style = { .on = r->on,
				    .title = arena_copy(&arena, name.p ? name.p : "", name.n),
				    .farm = name,
				    .currency = arena_copy(&arena, currency.p ? currency.p : "",
							   currency.n),
				    .digits = r->farm->business.digits };
	struct pages p = {
		.r = r, .solved = solved, .farm = r->farm, .diag = diag
	};
	p.book = book_begin(&arena, out.path, &style);
	p.arena = book_arena(p.book);
	p.texts = book_texts(p.book);
	write_pages(&p);
	int rc = book_finish(p.book);
	if (rc) {
		fail(diag, path, book_why(p.book));
	} else if ((rc = verify_file(out.path, why, sizeof why))) {
		/* A full disk or folder for temporaries: the library does not notice. */
		snprintf(said, sizeof said, "Read back, %s. Is the disk full?", why);
		fail(diag, path, said);
	} else if ((rc = file_commit(&out, &err))) {
		diag_error(diag, SPAN_NONE, "%s", err.text);
	}
	file_abandon(&out); /* does nothing after a commit */
	arena_release(&arena);
	return rc;
}

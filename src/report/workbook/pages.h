/* pages.h - inside src/report/workbook only: what the sheets share.
 *
 * book.c lays out first - which row of which sheet a crop, a bed, a piece takes -
 * and then each page writes its cells, so that any page can point at any other.
 * Every page has its title in row 1, a sentence in row 2, the heads of its columns
 * in row 4 and its rows from row 5 on.
 */
#ifndef REPORT_WORKBOOK_PAGES_H
#define REPORT_WORKBOOK_PAGES_H

#include "farm/figures.h"
#include "report/workbook/book.h"

enum { ROW_TITLE = 0, ROW_SAYS = 1, ROW_STALE = 2, ROW_HEAD = 3, ROW_FIRST = 4 };
#define MINUTE     60.0
#define HOUR       3600.0
#define MONTH_TEXT "(365.25/12)" /* DAYS_PER_MONTH, as a formula */
/* Of what is counted, 1e-9 of it is rounding error and no stem: loss_whole(). */
#define WHOLE_GUARD "1E-9"

/* Columns of the pages that other pages point at. */
enum {
	BEDS_BED,
	BEDS_CROP,
	BEDS_METRES,
	BEDS_CUT,
	BEDS_MONEY,
	BEDS_HOURS,
	BEDS_LABOUR,
	BEDS_LAND,
	BEDS_CUT_HOURS,
	BEDS_CUTTING,
	BEDS_PLANTING,
	BEDS_BEARS,
	BEDS_ESTABLISHMENT,
	BEDS_JOINT
};
enum {
	DRY_BED,
	DRY_CROP,
	DRY_FRESH,
	DRY_TO_HANG,
	DRY_HUNG,
	DRY_NORMAL,
	DRY_SHARE,
	DRY_BORNE,
	DRY_HOURS,
	DRY_LABOUR,
	DRY_MONEY,
	DRY_COST,
	DRY_PER_BOXED,
	DRY_COUNTED,
	DRY_LOST,
	DRY_LOST_MONEY,
	DRY_FRESH_MONEY
};
enum {
	STEMS_CROP,
	STEMS_SOURCE,
	STEMS_GROWN,
	STEMS_BOXED,
	STEMS_MONEY,
	STEMS_USABLE,
	STEMS_PER_BOXED,
	STEMS_PER_USABLE,
	STEMS_LEFT,
	STEMS_LOST,
	STEMS_LOST_MONEY,
	STEMS_FIELD,
	STEMS_DRYING,
	STEMS_STORAGE,
	STEMS_BENCH
};
enum {
	BOX_ID,
	BOX_WHAT,
	BOX_COLOUR,
	BOX_LENGTH,
	BOX_PLACE,
	BOX_BOXED,
	BOX_COUNTED_ON,
	BOX_BASE,
	BOX_MOVED,
	BOX_NOW,
	BOX_LEFT,
	BOX_WORTH,
	BOX_PAST,
	BOX_USABLE,
	BOX_AS_BOXED,
	BOX_EACH,
	BOX_COST
};
enum { MOVE_BOX, MOVE_WHAT, MOVE_ON, MOVE_STEMS, MOVE_BY_NOW, MOVE_LEFT, MOVE_WORTH };
enum {
	STOCK_CROP,
	STOCK_COLOUR,
	STOCK_LENGTH,
	STOCK_MONTH,
	STOCK_BOXES,
	STOCK_NOW,
	STOCK_LEFT,
	STOCK_WORTH,
	STOCK_WHOLE,
	STOCK_PAST
};
enum {
	BUILD_WHAT,
	BUILD_KIND,
	BUILD_STEMS,
	BUILD_SUPPLIES,
	BUILD_LABOUR,
	BUILD_OVERHEAD,
	BUILD_TOTAL,
	BUILD_MINUTES,
	BUILD_SETTING,
	BUILD_RUN,
	BUILD_PRICE_LOW,
	BUILD_PRICE_HIGH,
	BUILD_KNOWN
};
enum {
	LINE_MAKER,
	LINE_WHAT,
	LINE_KIND,
	LINE_COUNT,
	LINE_UNIT,
	LINE_EACH,
	LINE_STEMS,
	LINE_SUPPLIES,
	LINE_MINUTES,
	LINE_SETTING,
	LINE_COST,
	LINE_RESTS
};
enum {
	OUT_NAME,
	OUT_FEE,
	OUT_FIXED,
	OUT_PIECES,
	OUT_FIXED_EACH,
	OUT_CHARGED,
	OUT_SPOILS,
	OUT_TAX,
	OUT_STALL,
	OUT_HOURS,
	OUT_DAYS,
	OUT_LIKELY,
	OUT_A_DAY
};
enum {
	SOLD_PIECE,
	SOLD_OUTLET,
	SOLD_MADE,
	SOLD_SPOILS,
	SOLD_RATIO,
	SOLD_MINUTES,
	SOLD_LABOUR,
	SOLD_OVERHEAD,
	SOLD_CARTON,
	SOLD_GRAMS,
	SOLD_PARCEL,
	SOLD_SENDING,
	SOLD_COST,
	SOLD_LIKELY
};
enum {
	AIM_PIECE,
	AIM_OUTLET,
	AIM_COST,
	AIM_RULE,
	AIM_RATE,
	AIM_TAX,
	AIM_FEE,
	AIM_DUES,
	AIM_LEFT,
	AIM_WANTED,
	AIM_NET,
	AIM_PAID,
	AIM_TAG,
	AIM_MINOR,
	AIM_POINT,
	AIM_POINT_PAID
};
enum {
	PRICE_PIECE,
	PRICE_OUTLET,
	PRICE_COST,
	PRICE_POINT,
	PRICE_ASKED,
	PRICE_NET,
	PRICE_FEES,
	PRICE_PROFIT,
	PRICE_MARGIN,
	PRICE_CONTRIBUTION,
	PRICE_STALL,
	PRICE_HOURS,
	PRICE_PER_HOUR,
	PRICE_EVEN,
	PRICE_RANK,
	PRICE_VERDICT
};
enum {
	PLAN_CROP,
	PLAN_FROM,
	PLAN_USABLE,
	PLAN_THERE,
	PLAN_CUT,
	PLAN_PLANTS,
	PLAN_CELLS,
	PLAN_TRAYS,
	PLAN_SEEDS,
	PLAN_PACKETS,
	PLAN_METRES,
	PLAN_SOW,
	PLAN_OUT,
	PLAN_FIRST,
	PLAN_LAST,
	PLAN_BOXED
};
enum {
	ORDER_ID,
	ORDER_PIECE,
	ORDER_OUTLET,
	ORDER_COUNT,
	ORDER_DUE,
	ORDER_DAYS,
	ORDER_PRICE,
	ORDER_MONEY,
	ORDER_COST,
	ORDER_PROFIT
};

/* Below the pieces of the mix: stems by crop, pieces by outlet. */
enum {
	MIX_LEFT_USED = 3,
	MIX_LEFT_LEFT,
	MIX_MADE_ORDERS = 2,
	MIX_MADE_FIRST,
	MADE_OUTLETS_MOST = CHART_SERIES_MOST - 2
};

struct page {
	struct sheet *s;
	const struct book_table *table;
	enum style style; /* of the cells that follow; STYLE_PLAIN */
	double *widest;   /* per column: its widest word or name so far, in characters */
};

struct input { /* a figure on the sheet of inputs */
	const struct figure *figure;
	const char *name; /* defined name of its cell */
	uint32_t row, kind; /* kind: into pages.kinds */
	bool live;   /* a formula rests on it */
	bool solved; /* what a solver found of each piece alone rests on it, so the mix too */
};

struct input_kind { /* what is the same for all inputs of a kind, found once */
	const struct figure_kind *kind;
	bool mix, mix_alone; /* the mix rests on it: where a formula does, or always */
	bool plan;           /* so does the planting plan, where its crop is in it */
	const char *limits;  /* what is said of a value out of range; NULL: not needed yet */
};

enum { INPUT_REACH = 1, INPUT_MIX = 2, INPUT_PLAN = 4, INPUT_FORMULAS = 8, INPUT_MOVES = 16 }; /* what a solver found, as bits */

enum { /* Drying line */
	HUNG_SEASON,
	HUNG_WEEK,
	HUNG_BEGINS,
	HUNG_CUT,
	HUNG_BUNDLES,
	HUNG_LINE,
	HUNG_THERE,
	HUNG_WITHIN,
	HUNG_OVER,
	HUNG_FREE,
	HUNG_RACKS,
	HUNG_FILLED,
	HUNG_USED,
	HUNG_BOXES,
	HUNG_HOURS
};

struct rows { /* of a page; last < first: none */
	uint32_t first, last;
};

struct pages {
	const struct reckoning *r;
	const struct book_solved *solved; /* NULL: nothing of it */
	const struct farm *farm;
	struct diag *diag;
	struct arena *arena; /* of what one page finds out and others need */
	struct arena *texts; /* gone when the page is done: text_of(), addresses */
	struct book *book;
	struct page summary, inputs, charts, prices, build, lines, stems, beds, drying, losses, stock,
	    boxes, moves, plan, calendar, growing, targets, hang, reach, mix, pull, sway, orders, outlets, sold, aims, took, log,
	    next, dry, weigh, happened, cautions;

	struct input *inputs_list;
	size_t ninputs;
	struct input_kind *kinds;
	size_t nkinds, cap_kinds;
	uint32_t *input_slots; /* from a fig's address, open addressing; NONE */
	size_t cap_slots;
	uint32_t date_row, wage_row, overhead_row, changed_row;

	uint32_t *box_order, *box_row; /* boxes as the page lists them; per farm->boxes */
	struct rows *box_moves;        /* per farm->boxes, on the moves' page */
	struct rows *crop_boxes;       /* per crop */
	uint32_t *move_order;          /* into r->stock.moves */
	uint32_t *bed_order, *bed_row;
	struct rows *crop_beds;         /* per crop; the same rows on Beds and Dried share */
	struct rows *crop_plan;         /* per crop, on Planting plan; none where nothing is grown or bought */
	uint32_t growing_sum;           /* row of the sum on Growing costs; 0: nothing is grown */
	uint32_t *part_row, *piece_row; /* on the cost build-up */
	uint32_t *order_row;            /* per farm->orders: of open ones, on Orders */
	uint32_t *part_sum, *piece_sum; /* on the cost lines: the row of one making */
	struct rows *piece_prices;      /* per piece: the same rows on Prices, Aims, Cost sold */
	double *ranks;                  /* per line of r->prices: its place by earnings; NaN none */
	uint32_t *rank_line;            /* per place less 1: into r->prices.lines */
	size_t nranked;
	struct rows mix_left, mix_made; /* on the mix's page, for the charts */
	struct rows hung[2];            /* on Drying line, likewise: this season, the planned one */
	uint32_t made_outlets[MADE_OUTLETS_MOST];
	size_t nmade_outlets;
	bool more_made_outlets; /* one column for the rest of them */
	bool unasked;           /* some piece is sold without an asked price */
};

/* ---- a page ---- */
struct page page_begin(struct pages *p, const struct book_table *table);
void page_text(const struct page *g, uint32_t row, uint32_t col, struct str text);
void page_words(const struct page *g, uint32_t row, uint32_t col, const char *text);
/* Makes the row as high as its wrapped texts need: one text for each column, or NULL. */
void page_heighten(const struct page *g, uint32_t row, const char *const *texts);
void page_number(const struct page *g, uint32_t row, uint32_t col, double x); /* NaN: empty */
void page_date(const struct page *g, uint32_t row, uint32_t col, day d);
void page_blank(const struct page *g, uint32_t row, uint32_t col);
void page_live(const struct page *g, uint32_t row, uint32_t col, double value, const char *fmt, ...)
    __attribute__((format(printf, 5, 6)));
/* A formula that gives a number, or the words where there is none (value NaN). */
void page_live_or(const struct page *g, uint32_t row, uint32_t col, double value, const char *words,
		  const char *fmt, ...) __attribute__((format(printf, 6, 7)));
void page_live_text(const struct page *g, uint32_t row, uint32_t col, const char *value,
		    const char *fmt, ...) __attribute__((format(printf, 5, 6)));
/* A figure as it stands: live where it is an input, a number where it is not. */
struct pages;
void page_figure(struct pages *p, const struct page *g, uint32_t row, uint32_t col,
		 const struct fig *fig);
/* Freezes, filters and limits what stands in rows ROW_FIRST..last. */
void page_end(const struct page *g, uint32_t next_row, uint32_t still_columns);
/* In row 3: what it holds was solved for the inputs and counts as they stand, or not.
 * solvers: INPUT_REACH, INPUT_MIX or INPUT_PLAN. */
void page_stale(struct pages *p, const struct page *g, unsigned solver);
/* A sentence where a page has no rows. */
void page_nothing(const struct page *g, const char *sentence);

/* ---- what formulas point at ---- */
const char *text_of(struct pages *p, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
/* The figure in the model's unit (percentages as fractions): the name of its input
 * cell, with what turns it into that unit; its number where it is no input. */
const char *fig_ref(struct pages *p, const struct fig *fig);
/* Its value; a loss from box to use as it is in use. */
double fig_value(struct pages *p, const struct fig *fig);
bool fig_is_input(struct pages *p, const struct fig *fig);
/* As the sheet Inputs shows a figure: units in the cell for one of the model; decimals; unit. */
double figure_scale(const struct figure_kind *kind);
enum shape figure_shape(const struct pages *p, const struct figure_kind *kind, double shown);
const char *figure_unit(struct pages *p, const struct figure_kind *kind);
/* The value that an input had when the workbook was written. */
const char *fig_written_ref(struct pages *p, const struct fig *fig);
/* Of a loss: what the `loses` line says, and what is in use.  Records move the one off the other; a
 * loss that is typed over is both, as --suppose has it. */
const char *loss_line_ref(struct pages *p, uint32_t crop, enum stage stage);
const char *loss_used_ref(struct pages *p, uint32_t crop, enum stage stage);
void fig_solved(struct pages *p, const struct fig *fig); /* a solver's result rests on it */
const char *number_ref(struct pages *p, double x);
struct str item_name(const struct farm *farm, struct item item);
struct str box_name(struct pages *p, const struct box *b); /* its mark, or its row in stock.csv */
struct str colour_name(const struct farm *farm, uint32_t colour); /* "" for NONE */
/* Words of a cell address on another page. */
#define AT(page, row, col)   cell_far((page).s, (row), (col))
#define HERE(page, row, col) cell((page).s, (row), (col))

#define NAME_DATE     "in_date"
#define NAME_WAGE     "wage_full"
#define NAME_OVERHEAD "overhead_hour"

/* ---- the pages ---- */
/* Each has first to say where its rows stand (lay_out), then to write them. */
void inputs_lay_out(struct pages *p);
void stock_lay_out(struct pages *p);
void beds_lay_out(struct pages *p);
void build_lay_out(struct pages *p);
void prices_lay_out(struct pages *p);
void stock_pages(struct pages *p);  /* Stock, Boxes, Moves */
void beds_pages(struct pages *p);   /* Beds, Dried share, Stem costs */
void build_pages(struct pages *p);  /* Cost build-up, Cost lines */
void prices_pages(struct pages *p); /* Prices, Aims, Cost sold, Outlets */
void plan_page(struct pages *p);
void growing_page(struct pages *p); /* Growing costs: after the plan */
void targets_page(struct pages *p);
void calendar_page(struct pages *p);
void hang_page(struct pages *p);
void losses_page(struct pages *p);
void reach_page(struct pages *p);
void mix_page(struct pages *p);
void pull_page(struct pages *p);
void sway_page(struct pages *p);
void orders_page(struct pages *p);
void took_pages(struct pages *p); /* Took, Log, Next runs */
void dry_pages(struct pages *p);  /* Is it dry, Weighings */
void happened_page(struct pages *p); /* What happened */
void cautions_page(struct pages *p);
void summary_page(struct pages *p);
void charts_page(struct pages *p);
void inputs_page(struct pages *p); /* last: knows by then what is live */
/* Of stems kept to hang, hung and boxed: seconds from stripping to boxing ("" or "+...") and what bands and
 * boxes cost (NULL: nothing that can change); reckon/stemcost.c. */
const char *drying_seconds(struct pages *p, const struct crop *crop, const char *hang, const char *hung,
			   const char *boxed);
const char *cutting_seconds(struct pages *p, const struct crop *crop, const char *cut);
const char *drying_spends(struct pages *p, const struct crop *crop, const char *hung, const char *boxed);
/* The line `sows` that all sowings of a crop share; NULL: none, or several. */
const struct sowing *plan_one_line(const struct plan_crop *of, const struct crop *c);
/* A formula: how many inputs that what was solved rests on differ from what the farm has. */
const char *inputs_stale(struct pages *p, unsigned solver);

extern const struct book_table summary_table, inputs_table, charts_table, prices_table, build_table,
    lines_table, stems_table, beds_table, drying_table, loss_table, stock_table, boxes_table, moves_table,
    plan_table, calendar_table, growing_table, targets_table, hang_table, reach_table, mix_table, pull_table, sway_table, orders_table, outlets_table, sold_table, aims_table,
    took_table, log_table, next_table, dry_table, weigh_table, happened_table,
    cautions_table;

#endif

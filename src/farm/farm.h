/* farm.h - the model of one farm folder: the manual of the whole program.
 *
 * farm_load() reads the folder's texts (notation, docs/notation.md) and tables
 * (docs/tables.md), resolves names, lays suppositions over the figures, checks
 * everything and hands out a struct farm that nobody changes afterwards.  All
 * of it lives in one arena; farm_release() frees it.
 *
 *     struct farm *farm;
 *     struct diag diag;
 *     if (farm_load(&farm, &arena, "folder", &options, &diag) < 0)
 *             print diag, exit 3
 *
 * Conventions
 *   - An index into farm->crops etc. is a uint32_t; NONE means "none".
 *   - Quantities of a material are kept in its base unit: stems for a crop, the
 *     base unit of a supply (farm/measure.h), what it `makes` for a part, each
 *     for a piece.  Lengths mm, weights g, times s, areas mm2 - the bases of
 *     base/unit.h.  Money is in major units of the farm's currency.
 *   - A rate or share is a fraction: 8% is 0.08.
 *   - A number that the grower can set, suppose or see as a workbook input is a
 *     struct fig.  `given` false means that the input said nothing; the value
 *     is then the documented default (mostly 0) and reports say so.
 */
#ifndef FARM_FARM_H
#define FARM_FARM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/diag.h"
#include "base/mem.h"
#include "base/number.h"
#include "base/str.h"

#define NONE UINT32_MAX

enum kind { /* block kinds of the notation, in the order of the docs */
	KIND_FARM,
	KIND_CROP,
	KIND_SUPPLY,
	KIND_PART,
	KIND_PIECE,
	KIND_OUTLET,
	KIND_TARGET,
	KIND_COUNT
};
const char *kind_name(enum kind k); /* "crop" */

/* A settable number. v == rat_double(q) unless set by arithmetic. */
struct fig {
	double v;
	struct rat q;
	struct span at;
	bool given, supposed;
};

/* What a need, a stock line or an order speaks of. */
struct item {
	enum kind kind; /* CROP, SUPPLY, PART or PIECE */
	uint32_t index;
};

/* ---- words that a material defines: 1 `word` = q `unit` (measure.h) ---- */
struct measure {
	struct str word;        /* folded: "sprig" */
	struct rat q;
	struct str unit;        /* folded count word, or a unit's name */
	struct span at;
};

/* Fields that every named block has. */
struct head {
	struct str name;        /* as the grower wrote it */
	struct str fold;        /* compared by this */
	struct str *also;       /* further names, as written */
	struct str *also_folds;
	size_t nalso;
	struct str *cautions, *notes;
	size_t ncautions, nnotes;
	struct measure *measures;
	size_t nmeasures;
	struct span at;         /* the name in the block's first line */
};

/* ---- farm ---- */
enum share_rule { /* how a bed's joint cost is shared, fresh against hung */
	SHARE_BY_STEMS,
	SHARE_BY_FRESH_PRICE,   /* by what they sell for at that point */
	SHARE_BY_DRIED_PRICE    /* by what is left of the dried price after drying */
};

struct business { /* the `farm` block */
	struct head head;
	struct str currency;    /* "EUR"; three capitals, ISO 4217; empty: not said */
	int digits;             /* decimals of the minor unit: 2, for JPY 0 ... */
	struct fig wage;        /* money per h */
	struct fig wage_burden; /* fraction on top of the wage */
	struct fig overhead, overhead_hours; /* money per year, h per year */
	struct fig growing;     /* money per metre of bed */
	struct fig bench_hours; /* h */
	day bench_until;        /* DAY_NONE when not said */
	day last_frost, first_frost;
	struct fig line;        /* mm of drying line */
	struct fig racks;       /* mm2 */
	struct fig beds;        /* mm of bed */
	struct fig boxes;       /* count */
	double box_size[3];     /* mm; 0 when not said */
	enum share_rule share;
};

/* ---- crop ---- */
enum stage { STAGE_FIELD, STAGE_DRYING, STAGE_STORAGE, STAGE_BENCH, STAGE_COUNT };
enum work { WORK_CUT, WORK_STRIP, WORK_BUNDLE, WORK_HANG, WORK_BOX, WORK_COUNT };
enum per { PER_NOTHING, PER_STEM, PER_BUNDLE, PER_BOX };

struct rate {                   /* a `works` clause: seconds for one ... */
	struct fig seconds;
	enum per per;
};

/* A date said from another: 7 weeks before last frost. */
enum anchor { ANCHOR_NONE, ANCHOR_DATE, ANCHOR_LAST_FROST, ANCHOR_FIRST_FROST, ANCHOR_PLANTING };
struct when {
	enum anchor anchor;
	day date;               /* ANCHOR_DATE */
	struct fig days;        /* after the anchor; negative is before */
};

struct sowing {                 /* `sows`, one for each succession */
	struct when when;
	bool direct;            /* sown where it grows, no tray */
	struct fig germinates;  /* fraction */
	struct fig cells;       /* per tray */
	struct fig seeds_per_cell;
	struct fig seed_price, seed_count; /* money per packet of so many seeds */
	struct span at;
};
struct planting {               /* `plants`, one for each succession */
	struct when when;
	struct fig apart;       /* mm in the row */
	struct fig rows;
	struct fig bed_width;   /* mm */
	struct fig live;        /* fraction */
	struct span at;
};
struct cutting {                /* `cuts` */
	struct when from;       /* from planting, or a date */
	struct fig over;        /* days */
	struct fig per_plant, low, high; /* stems; low..high is an 80% range */
	struct span at;
};
struct standing {               /* `stands`: a perennial already there */
	struct fig metres;      /* mm of bed */
	day planted;            /* DAY_NONE when not said */
	struct fig bears;       /* years */
	struct fig establishment; /* money, once */
	struct span at;
};
struct colour_share {
	uint32_t colour;
	struct fig share;       /* of what is planted; given false when not said */
};

struct crop {
	struct head head;
	struct fig cost;        /* money per stem boxed (`costs`) */
	struct fig bought;      /* money per stem bought in (`buys at`) */
	struct fig loss[STAGE_COUNT]; /* fractions; storage is per month */
	struct fig loss_weight; /* effective stems behind the `loses` line */
	struct fig keeps;       /* months from boxing; 0 when not said */
	struct fig carries;     /* keep value, money per stem for next season */
	struct fig reserve;     /* stems not to be used this season */
	struct fig fresh_price, hung_price, dried_price; /* money per stem (`worth`) */
	struct fig bundle;      /* stems per bundle (`hangs`) */
	struct fig bundle_line; /* mm of line per bundle */
	struct fig per_area;    /* stems per mm2 of rack (`lies`) */
	struct fig drying_days;
	struct fig per_box;     /* stems per box */
	struct rate works[WORK_COUNT];
	struct fig spend_bundle, spend_box; /* money: band, box (`spends`) */
	struct sowing *sowings;
	struct planting *plantings;
	size_t nsowings, nplantings;
	struct cutting cutting;
	struct standing standing;
	struct colour_share *colours; /* `colours`; empty: any colour may be named */
	size_t ncolours;
};

/* ---- supply ---- */
struct supply {
	struct head head;
	struct fig cost;        /* money per base unit; given false: no price known */
	struct str unit;        /* base unit: "each", "m", "g" ... (fold) */
	struct fig pack;        /* base units in a pack; 0: sold loose */
};

/* ---- needs of parts and pieces ---- */
struct need_option {            /* one way to meet a need */
	struct item item;
	struct rat count;       /* of the item's base unit, for one making */
	struct rat written;     /* as written, with `word` */
	struct str word;        /* "bunch"; for the reports */
	uint32_t *colours;      /* acceptable colours; empty: any */
	size_t ncolours;
	bool one_colour;        /* all stems of a piece alike in colour */
	double from, to;        /* mm; 0: no limit */
	struct span at;
};
struct need {                   /* options in the order written; [0] is the usual one */
	struct need_option *options;
	size_t noptions;
};
struct task {                   /* `takes` */
	struct str label;       /* "wiring" */
	struct fig seconds;
	struct fig batch;       /* for each batch of up to; given false: for each */
	struct span at;
};

struct part {
	struct head head;
	struct rat makes;       /* base units that one making gives; default 1 each */
	struct str unit;        /* "each" */
	struct need *needs;
	size_t nneeds;
	struct task *tasks;
	size_t ntasks;
	uint32_t level;         /* low-level code: 1 + the deepest thing that needs it */
};

struct offer {                  /* `sells` */
	uint32_t outlet;
	struct fig price;       /* what the customer pays, tax included */
	struct fig likely, upto; /* pieces a season; given false: not said */
	struct span at;
};
struct piece {
	struct head head;
	struct need *needs;
	size_t nneeds;
	struct task *tasks;
	size_t ntasks;
	double size[3];         /* mm packed; 0 when not said */
	struct fig weight;      /* g packed */
	struct fig packing;     /* s */
	struct fig carton;      /* money */
	struct offer *offers;
	size_t noffers;
	struct fig tax;         /* overrides the outlet's when given */
	bool tax_on_top;
};

/* ---- outlet ---- */
struct tariff {                 /* sending: money up to that weight */
	struct fig money;
	struct fig upto;        /* g */
};
enum aim_kind { AIM_NONE, AIM_MARGIN, AIM_MARKUP, AIM_RATIO };
enum labour_rule { LABOUR_NONE, LABOUR_OF_PRICE, LABOUR_ON_TOP };

struct outlet {
	struct head head;
	struct fig fee;         /* fraction */
	bool fee_of_net;        /* of the price before tax, else of what the customer pays */
	struct fig fee_fixed;   /* money per order */
	struct fig per_order;   /* pieces in an order; default 1 */
	struct tariff *tariffs; /* rising weights */
	size_t ntariffs;
	struct fig volume_divisor; /* cm3 per kg; 0: by weight only */
	struct fig charges;     /* money that the customer pays for sending, per order */
	struct fig spoils;      /* fraction broken on the way or brought back */
	struct fig tax;
	bool tax_on_top;        /* the tag shows the price before tax */
	enum aim_kind aim;
	struct fig margin, markup;       /* fractions */
	struct fig ratio_stems, ratio_supplies, ratio_labour;
	enum labour_rule labour_rule;
	int64_t *endings;       /* minor units a tag may end in, rising: .95 -> 95 */
	size_t nendings;
	bool nearest;           /* nearest price point, else the next one up */
	struct fig stall;       /* money per day */
	struct fig stall_hours, stall_days;
	struct fig travel_km, travel_rate;
};

/* ---- target ---- */
struct target {                 /* one for each `sell` */
	const struct head *head; /* name, notes and cautions of its block */
	uint32_t piece;
	struct fig count;
	day by;
	uint32_t outlet;        /* NONE when not said */
	struct fig sure;        /* chance; default 0.5 is not assumed: given says */
	struct span at;
};

/* ---- counted tables ---- */
struct box {                    /* a line of stock.csv */
	struct str id;          /* "" when the table has none */
	struct item item;
	uint32_t colour;        /* NONE: not said */
	uint32_t line;          /* of stock.csv, from 1; 0: opened by the bench log */
	double count;           /* base units of the item, on the counted day */
	double price;           /* money per base unit paid; NaN: grown or not said */
	double length;          /* mm; 0 not said */
	day boxed;              /* DAY_NONE: not said (not a crop) */
	day counted;            /* end of that day */
	uint32_t place;         /* into farm->words, NONE: not said */
};

struct bed {                    /* a line of beds.csv */
	struct str id;
	uint32_t crop, colour;
	double metres;          /* of bed; 0 not said */
	double plants;
	day planted;
	double money;           /* seed, plugs, feed, netting: spent on this bed */
	double hours;           /* growing, without cutting */
	double cut_hours;       /* NaN: not said, then from `works cut` */
	double dry_hours;       /* stripping to boxing; NaN: from `works` */
	double cut, fresh;      /* stems cut; of these sold fresh */
	double boxed;           /* stems boxed; NaN: from the batches, else not known */
	double establishment, bears; /* money once, bearing years; 0 annual */
	uint32_t line;
};

enum cause { CAUSE_MOULD, CAUSE_SHATTER, CAUSE_COLOUR, CAUSE_BREAKAGE, CAUSE_PEST, CAUSE_OTHER, CAUSE_COUNT };
const char *cause_name(enum cause c);
struct weighing {
	day on;
	double grams;
};
struct batch {                  /* a line of batches.csv, and what bench.csv adds to it */
	struct str id;
	uint32_t crop, bed, colour; /* NONE: not said */
	double length;
	day cut_on, hung_on, boxed_on; /* DAY_NONE: not yet, not said */
	double cut, hung, boxed;       /* stems; NaN: not counted */
	double lost[CAUSE_COUNT];      /* stems lost in drying by cause; 0 */
	double minutes;                /* NaN */
	double tare;                   /* g */
	struct weighing *weighings;
	size_t nweighings;
	bool logged;                   /* not in batches.csv: what bench.csv says of it */
	uint32_t line;                 /* of the table that it comes from */
};

struct order {                  /* a line of orders.csv */
	struct str id;
	uint32_t piece, outlet; /* outlet NONE: not said */
	double count;           /* whole pieces */
	day due;                /* DAY_NONE: as soon as possible */
	double price;           /* a piece, what the customer pays; NaN: the asked price */
	day sent;               /* DAY_NONE: open */
	uint32_t line;
};

enum event { EVENT_MADE, EVENT_CUT, EVENT_HUNG, EVENT_BOXED, EVENT_TOSSED, EVENT_COUNTED, EVENT_SOLD,
	     EVENT_WEIGHED, EVENT_STRUCK, EVENT_COUNT };
const char *event_name(enum event e);
struct drawn {                  /* stems taken from a box */
	uint32_t box;           /* into farm->boxes */
	double stems;
};
struct log_entry {              /* a line of bench.csv */
	struct str id;
	day on;
	enum event event;
	struct item item;       /* of a struck entry: what it strikes is about */
	double count, minutes;  /* NaN: not said; count of weighed: grams */
	double spoiled;         /* stems or pieces spoiled; 0 */
	bool spoiled_said;      /* a 0 too */
	struct drawn *drawn;
	size_t ndrawn;
	double drawn_gone;      /* drawn from boxes that stock.csv no longer has */
	uint32_t box;           /* NONE */
	uint32_t batch;         /* of weighed; of cut, hung, boxed where it is said; else NONE */
	uint32_t cause;         /* enum cause, NONE */
	uint32_t outlet;        /* NONE */
	double price;           /* money per base unit, of sold; NaN */
	struct str strikes;     /* id of the entry that this one reverses */
	uint32_t line;
};

/* How bench.csv is written, for one who adds to it (log_line.h). */
struct log_form {
	char delimiter, decimal;
	bool crlf;
	bool open_end;          /* the last whole line has no line end */
	const uint32_t *columns; /* of its cells: enum bench_column, BENCH_COLUMNS for others */
	size_t ncolumns;        /* 0: no file, or no header that could be read */
	size_t size, whole;     /* bytes; of its whole lines: what follows is torn */
	size_t added;           /* where load_options.log_line begins in what was read */
	int64_t last;           /* the largest id that is a whole number; 0 */
	unsigned digits;        /* its digits where it begins with 0; else 0 */
};

enum { PART_LEVELS_MOST = 20 };

struct farm {
	struct arena *arena;
	struct str folder;
	struct business business;
	bool has_business;      /* a `farm` block was there */
	struct crop *crops;
	struct supply *supplies;
	struct part *parts;
	struct piece *pieces;
	struct outlet *outlets;
	struct target *targets;
	size_t ncrops, nsupplies, nparts, npieces, noutlets, ntargets;
	struct str *colours;    /* names as first written; index is the colour */
	struct str *colour_folds;
	size_t ncolours;
	struct str *words;      /* places of boxes */
	size_t nwords;
	uint32_t *part_order;   /* parts, shallowest level first */

	struct box *boxes;
	struct bed *beds;
	struct batch *batches;
	struct order *orders;
	struct log_entry *log;
	size_t nboxes, nbeds, nbatches, norders, nlog;
	bool has_stock, has_beds, has_batches, has_orders, has_log; /* the file is there */
	struct log_form log_form;

	struct supposed *supposed; /* what --suppose changed, in order (figures.h) */
	size_t nsupposed;
};

struct load_options {
	const char *const *suppose; /* texts of --suppose */
	size_t nsuppose;
	struct str log_line;    /* read as if it stood behind the whole lines of bench.csv ... */
	struct str log_text;    /* ... or of this text in its place; empty: of the file */
};

/* 0, or -1 with errors in diag (already initialised on `arena`).  The folder
 * that cannot be read is a system error: -2 with its sentence in diag. */
int farm_load(struct farm **out, struct arena *arena, const char *folder,
              const struct load_options *options, struct diag *diag);

/* Name to thing, by fold, `also` names included. Item kinds only / outlets. */
bool farm_find(const struct farm *farm, struct str name, struct item *out);
uint32_t farm_find_outlet(const struct farm *farm, struct str name);
const struct head *farm_head(const struct farm *farm, struct item item);

/* Per entry of farm->log: a strike that is not struck itself takes it back. */
bool *log_struck(const struct farm *farm, struct arena *a);

#endif

/* notation.h - inside src/farm: what the readers of the blocks share.
 *
 * Reading fills the model except for what needs other blocks or other lines:
 * names stay texts, counting words stay words.  They wait in struct notation for
 * notation_resolve().
 */
#ifndef FARM_NOTATION_H
#define FARM_NOTATION_H

#include "farm/lexer.h"

enum { /* the most of each in one block (kinds: in a farm) */
	ERRORS_MOST = 1000, /* in one file */
	KIND_MOST = 1000 * 1000,
	ALSO_MOST = 100,
	NOTES_MOST = 1000,
	NEEDS_MOST = 10 * 1000,
	OPTIONS_MOST = 100, /* ways to meet one need */
	TASKS_MOST = 1000,
	OFFERS_MOST = 1000,
	SUCCESSIONS_MOST = 200,
	COLOURS_MOST = 100,
	TARIFFS_MOST = 100,
	ENDINGS_MOST = 100,
	ENDING_MOST = 99999 /* whole money at the end of a price, where there are no coins */
};

/* A need's option whose unit and name are not known yet. */
struct pending_need {
	struct item maker;      /* PART or PIECE */
	uint32_t need, option;
	uint32_t file;
	struct str text;        /* "bunch Statice" */
	struct str *colours;    /* as written */
	size_t ncolours;
};
/* A figure of a crop or supply that is said in some counting word. */
struct pending_unit {
	struct item item;
	size_t offset;          /* of the struct fig in struct crop or struct supply */
	struct str word;        /* in the form of measure_word() */
	struct span at;         /* the word */
	bool per;               /* money per word: divide */
};
struct pending_name {
	struct str name;
	struct span at;
};
struct pending_ending {
	uint32_t outlet;
	struct rat q;
	struct span at;
};

struct notation {
	size_t nblocks;         /* opened in all files */
	size_t cap_crops, cap_supplies, cap_parts, cap_pieces, cap_outlets, cap_targets;
	size_t unread;          /* texts that could not be read: what they define is not known */
	struct str unread_file; /* the first */
	size_t unknown;         /* names that may stand there */
	struct pending_need *needs;
	struct pending_unit *units;
	struct pending_name *names; /* offers and targets hold an index into these */
	struct pending_ending *endings;
	size_t nneeds, cap_needs, nunits, cap_units, nnames, cap_names, nendings, cap_endings;

	/* Lists of the block that is being read; copied to their size at its end. */
	struct need_option *options;
	uint32_t *first_option; /* of each need */
	struct task *tasks;
	struct offer *offers;
	size_t noptions, cap_options, nstarts, cap_starts, ntasks, cap_tasks, noffers, cap_offers;
};

struct reader {
	struct loader *l;
	struct notation *n;
	struct farm *farm;
	uint32_t file;
	enum kind kind;         /* KIND_COUNT: before the first block, or in one that is left out */
	struct item item;
	struct head *head;
	struct span seen[STATEMENTS_MOST];
	const struct statement *before; /* the statement above; NULL after the header */
	struct pending_name target; /* piece and place of a target's header */
	/* room in the lists of the block's own */
	size_t cap_also, cap_also_folds, cap_notes, cap_cautions, cap_measures, cap_a, cap_b, cap_c;
	bool skip;              /* lines of a block that could not be opened */
	bool need_open;         /* a need was read that `or` may follow */
};

static inline struct crop *r_crop(struct reader *r)
{
	return &r->farm->crops[r->item.index];
}
static inline struct supply *r_supply(struct reader *r)
{
	return &r->farm->supplies[r->item.index];
}
static inline struct part *r_part(struct reader *r)
{
	return &r->farm->parts[r->item.index];
}
static inline struct piece *r_piece(struct reader *r)
{
	return &r->farm->pieces[r->item.index];
}
static inline struct outlet *r_outlet(struct reader *r)
{
	return &r->farm->outlets[r->item.index];
}

/* A named block's struct with every figure at its default (notation_new.c). */
void business_init(struct business *b);
struct head *block_new(struct reader *r, enum kind kind);
void figs_clear(struct fig *const *figs, size_t n);
#define FIGS_CLEAR(...)                                                                          \
	figs_clear((struct fig *const[]){ __VA_ARGS__ },                                         \
	           sizeof((struct fig *const[]){ __VA_ARGS__ }) / sizeof(struct fig *))

/* "a", or "an" before a vowel. */
const char *article(struct str word);
/* The error that a block holds more than `most` of something. */
int too_many(struct cursor *c, size_t most, const char *what);

/* `QTY UNIT` (per: `M per UNIT`, behind `per`) for a figure that needs the
 * material's own words. */
int read_count(struct reader *r, struct cursor *c, struct fig *fig, enum sense sense);
int read_per_count(struct reader *r, struct cursor *c, struct fig *fig);
int read_when(struct cursor *c, struct when *when, bool frost);
int read_tax(struct cursor *c, struct fig *tax, bool *on_top);

/* At the end of a block: checks between its statements, lists to their size. */
void crop_end(struct reader *r);
void supply_end(struct reader *r);
void maker_end(struct reader *r); /* part and piece */
void outlet_end(struct reader *r);
void target_end(struct reader *r);

struct notation *notation_of(struct loader *l);

/* ---- readers of the statements ---- */
#define READS(name) int name(struct reader *r, struct cursor *c)
READS(read_also);
READS(read_note);
READS(read_caution);
READS(read_measure); /* stem, head, sprig, bunch, each */
READS(read_calls);

READS(farm_currency);
READS(farm_wage);
READS(farm_overhead);
READS(farm_growing);
READS(farm_bench);
READS(farm_frost);
READS(farm_line);
READS(farm_racks);
READS(farm_beds);
READS(farm_boxes);
READS(farm_share);

READS(crop_costs);
READS(crop_buys);
READS(crop_loses);
READS(crop_keeps);
READS(crop_carries);
READS(crop_reserve);
READS(crop_worth);
READS(crop_hangs);
READS(crop_lies);
READS(crop_boxes);
READS(crop_works);
READS(crop_spends);
READS(crop_sows);
READS(crop_plants);
READS(crop_cuts);
READS(crop_stands);
READS(crop_colours);

READS(supply_costs);
READS(supply_pack);

READS(part_makes);
READS(read_needs);
READS(read_or);
READS(read_takes);
READS(piece_packs);
READS(piece_sells);
READS(piece_tax);

READS(outlet_fee);
READS(outlet_orders);
READS(outlet_sends);
READS(outlet_spoils);
READS(outlet_tax);
READS(outlet_aim);
READS(outlet_prices);
READS(outlet_stall);

READS(target_sell);

#endif

/* options.c - the tables of commands and options, and reading a command line. */
#include "commands/options.h"

#include <math.h>

#include "base/diag.h"
#include "base/mem.h"
#include "base/number.h"
#include "commands/commands.h"
#include "farm/farm.h"

enum {
	START = 1,
	CHECK = 2,
	STOCK = 4,
	COST = 8,
	PRICE = 16,
	REACH = 32,
	BOOK = 64,
	HELP = 128,
	MIX = 256,
	PULL = 512,
	DRY = 1024,
	HANG = 2048,
	TOOK = 4096,
	PAGE = 8192,
	DATES = 16384,
	PLANT = 32768,
	LOSS = 65536,
	NOTE = 131072,
	BESIDE = 262144,
	SWAY = 1 << 20,
	/* commands that print tables; commands that read a farm */
	TABLES = CHECK | STOCK | COST | PRICE | REACH | MIX | PULL | DRY | HANG | TOOK | PLANT | LOSS |
		 SWAY | BESIDE,
	FARMS = TABLES | BOOK | PAGE | DATES,
	DAYS = START | FARMS | NOTE, /* that go by a day */
	ANY = START | FARMS | NOTE | HELP
};

enum { /* what --of takes */
       CROPS = 1 << KIND_CROP,
       SUPPLIES = 1 << KIND_SUPPLY,
       PARTS = 1 << KIND_PART,
       PIECES = 1 << KIND_PIECE,
       OUTLETS = 1 << KIND_OUTLET
};

static const struct command commands[] = {
	{ "start", "[FOLDER]", "write a commented new farm folder to overwrite",
	  "Files that are there already are left alone: then nothing is written.", command_start,
	  START, 0 },
	{ "check", "[FOLDER]", "read the folder and say what was read and what is wrong",
	  "Exit status 1 when something in it makes no sense, 3 when it cannot be read.",
	  command_check, CHECK, 0 },
	{ "stock", "[FOLDER]", "what the shed holds: stems, supplies, parts, pieces, open orders",
	  "Stems are worth less each month in the box; boxes past keeping are not counted as "
	  "good.",
	  command_stock, STOCK, CROPS | SUPPLIES | PARTS | PIECES },
	{ "loss", "[FOLDER]", "what is lost at each step, how sure that is, and why",
	  "From batches.csv, boxes counted twice and the bench log, against the `loses` lines. Also "
	  "the losses that everything else is reckoned with. With --of: batch by batch.",
	  command_loss, LOSS, CROPS },
	{ "cost", "[FOLDER]", "what a stem, a part and a piece cost",
	  "With --of: what goes in a piece, or how the money of a crop's beds was shared.",
	  command_cost, COST, CROPS | PARTS | PIECES },
	{ "price", "[FOLDER]", "what to ask at each outlet, and what is left of it",
	  "With --of: where the price goes, and how many pieces pay a stall day.", command_price,
	  PRICE, PIECES | OUTLETS },
	{ "reach", "[FOLDER]", "how many of each piece the stock supports, and what stops it",
	  "Each piece is looked at alone, with all open orders still met. With --of NAME --for N: "
	  "what N of it take, and what is still to cut, make or buy. With --of a crop: which "
	  "pieces want it.",
	  command_reach, REACH, CROPS | PIECES },
	{ "beside", "[FOLDER] [OTHER]", "two farm folders, or one on two days, side by side",
	  "Prices, costs, what can be made, stems and supplies; the difference is the second less the "
	  "first. Two folders are shown on the same day, or the other on the day of --and; one folder on "
	  "the days of --on and --and. Things go together by name, `also` names included; what stands on "
	  "one side only is shown as that. Only what differs is shown, unless --all is given. --suppose "
	  "is laid over both sides. Exit status 1 when nothing stands on both sides.",
	  command_beside, BESIDE, 0 },
	{ "mix", "[FOLDER]", "which pieces to make, and for which outlet, so that most is earned",
	  "From the stems in the shed, the hours at the bench and what each outlet can sell, with "
	  "all open orders met. Stems in the shed are paid for and cost nothing here; overhead is "
	  "there anyway. The answer is proven to be within 0.1% of the best there is unless the "
	  "search "
	  "is stopped: by Ctrl-C, by --nodes or by --seconds. Then the best found so far is shown, "
	  "with what is proven of it, and the exit status is 5.",
	  command_mix, MIX, 0 },
	{ "pull", "[FOLDER]", "what to take from which box, for open orders, a number or the mix",
	  "For the open orders, each by its day; with --of NAME --for N: for N of it today, "
	  "besides "
	  "finished ones, with the open orders still met. Oldest boxes first, then the shortest "
	  "stems "
	  "that fit. Exit status 1 when something is short. With --mix: for the best mix, exactly "
	  "as `thrave mix` counted on the stems.",
	  command_pull, PULL, PIECES },
	{ "note", "[FOLDER] EVENT ...", "write down what happened: made, boxed, tossed, sold, weighed",
	  "One line is added to bench.csv, the only file that thrave adds to, and what it says "
	  "moves the stock from then on. What is made takes its stems out of the boxes by the rule "
	  "of the pull list, unless --drawn names the boxes. More than is in a box is refused, with "
	  "exit status 1; so is what looks like a slip, such as ten times the price, unless --sure "
	  "says that it is so. Nothing is ever deleted: `strike` adds a line that takes another back.",
	  command_note, NOTE, 0 },
	{ "took", "[FOLDER]", "what making really took: minutes and stems against the recipe",
	  "From the `made` lines of the bench log, by part or piece and month: what took longer, what "
	  "was paid more an hour, which stems went over, what the next run will take, and a recipe line "
	  "where the log clearly says another time. With --of: stems crop by crop, and how the work gets "
	  "quicker. Above 0 cost more than the recipe says, below 0 less.",
	  command_took, TOOK, PARTS | PIECES },
	{ "dry", "[FOLDER]", "which hanging batches are dry by their weighings, and when the others will be",
	  "Dry is three weighings or more, the last two within 1% of the first weight, and next to no "
	  "water left to go by the curve; then snap a stem before you box it. With --of a crop or "
	  "--batch: every weighing. A batch that is boxed is shown when its box deserves a look. "
	  "Exit status 1 when none is dry.",
	  command_dry, DRY, CROPS },
	{ "hang", "[FOLDER]", "the drying line, the boxes and the hours, week by week",
	  "This season by its batches; with --next, the next by the planting plan. Where more is wanted than there is, what gives is reckoned: how "
	  "much more line, or how many days earlier a crop is cut, or how many metres less are planted, "
	  "each by itself. With --of: the batches of a crop. Exit status 1 when from that day on "
	  "something is over what there is.",
	  command_hang, HANG, CROPS },
	{ "plant", "[FOLDER]", "what to sow and plant for what you want to sell next season",
	  "Counted backward from the targets and the open orders, less what is in the shed: stems, "
	  "plants, seed, bed and days, what it costs and what the targets bring. Where a target says how "
	  "sure it is to be, so many more are planted. With --why: how a crop's numbers come about, "
	  "one step a line. Exit status 1 when something cannot be there in time or a standing bed gives "
	  "too little.",
	  command_plant, PLANT, CROPS },
	{ "dates", "[FOLDER]", "write a calendar file (.ics) of the days to keep, for a phone",
	  "Sowing, planting out and cutting by the planting plan, open orders when they are due, targets, "
	  "frosts, and when what hangs is expected to be dry, as "
	  "days, by RFC 5545. Read in again, the same date is the same event. With --suppose each date says "
	  "what is supposed and what it is today, and is another event than today's. Written to thrave.ics in "
	  "the current folder unless --output names another file, which must end in .ics. Exit status 1 "
	  "when there is no date: then nothing is written.",
	  command_dates, DATES, 0 },
	{ "sway", "[FOLDER]", "which figure matters most for the season and for each margin",
	  "One figure at a time is set to both ends of what it may be: of a loss with records the "
	  "range that they leave, else a tenth less and a tenth more. With --of a piece: more "
	  "figures of its margins.",
	  command_sway, SWAY, PIECES },
	{ "book", "[FOLDER]", "write a workbook (.xlsx) with live formulas",
	  "Written to thrave.xlsx in the current folder unless --output names another file, which "
	  "must end in .xlsx. The best mix in it is that of `thrave mix`: when the search for it is "
	  "stopped before proof the workbook says so, and the exit status is 5.",
	  command_book, BOOK, 0 },
	{ "page", "[FOLDER]", "write one page (.html) to read on a phone or print",
	  "Written to thrave.html in the current folder unless --output names another file. It "
	  "needs nothing else: no network, no scripts. Printed, it becomes cost cards, a price list "
	  "and a pull list with boxes to tick.",
	  command_page, PAGE, 0 },
	{ "help", "[COMMAND]", "this help, or that of a command", "", command_help, HELP, 0 },
};

enum {
	ON,
	AND,
	FROM,
	PAID,
	SUPPOSE,
	OF,
	WHY,
	BATCH,
	FOR,
	NO_BUYING,
	MIX_TOO,
	NO_STOCK,
	WITHOUT,
	LEAVE,
	HOURS,
	NEXT,
	FIT,
	OWN_LABOUR,
	STALL_HOURS,
	NO_KEEP_VALUE,
	WORTH,
	WITHIN,
	TO_THE_END,
	NODES,
	SECONDS,
	MINUTES,
	SPOILED,
	DRAWN,
	BOX,
	COLOUR,
	LENGTH,
	CAUSE,
	OUTLET,
	PRICE_EACH,
	SAY,
	ID,
	TRY,
	SURE,
	ROWS,
	WITH_PAST,
	ASSUMED,
	FIGURES,
	ALL,
	TABLE,
	CSV,
	JSON,
	OUTPUT,
	QUIET,
	HELP_ME,
	VERSION
};
static const struct option options[] = {
	[ON] = { "--on", "DATE", "what is today, as YYYY-MM-DD", DAYS, false },
	[AND] = { "--and", "DATE", "the day of the second side, as YYYY-MM-DD", BESIDE, false },
	[FROM] = { "--from", "DATE", "leave out what was made before that day", TOOK, false },
	[PAID] = { "--paid", "MONEY",
		   "the wage really paid for an hour, where it was not the farm's; the employer's share "
		   "comes on top",
		   TOOK, false },
	[SUPPOSE] = { "--suppose", "TEXT",
		      "lay another figure over the farm, such as \"wage = 19\"", FARMS, true },
	[OF] = { "--of", "NAME", "only this crop, supply, part, piece or outlet, with its details",
		 STOCK | LOSS | COST | PRICE | REACH | PULL | DRY | HANG | TOOK | SWAY, true },
	[WHY] = { "--why", "CROP", "how the numbers of this crop come about, one step a line", PLANT,
		  true },
	[BATCH] = { "--batch", "NAME", "only this batch, with every weighing; the batch that was weighed",
		    DRY | NOTE, true },
	[FOR] = { "--for", "N", "with --of: for so many pieces, and what is missing", REACH | PULL,
		  false },
	[NO_BUYING] = { "--no-buying", NULL, "only supplies that are in the shed",
			REACH | MIX | PULL | BESIDE, false },
	[MIX_TOO] = { "--mix", NULL, "for the best mix, found with the options of `thrave mix`",
		      PULL, false },
	[WITHOUT] = { "--without", "PIECE", "make none of this piece but for open orders",
		      MIX | PULL, true },
	[LEAVE] = { "--leave", "TEXT", "stems to leave alone, such as \"40 Statice\"", MIX | PULL,
		    true },
	[NO_STOCK] = { "--no-stock", NULL,
		       "count nothing that is in the shed or on the line now", PLANT, false },
	[HOURS] = { "--hours", "N", "hours at the bench, in place of the farm's; hang and plant: hours that there are a week",
		    MIX | PULL | HANG | PLANT, false },
	[FIT] = { "--fit", NULL,
		  "shrink targets until beds, line, racks, boxes and hours suffice, to the most that earns",
		  PLANT, false },
	[NEXT] = { "--next", NULL, "the next season, by the planting plan", HANG, false },
	[OWN_LABOUR] = { "--own-labour", NULL, "nobody is paid for hours: they only run out",
			 MIX | PULL, false },
	[STALL_HOURS] = { "--stall-hours", NULL, "hours at stalls come out of the bench hours",
			  MIX | PULL, false },
	[NO_KEEP_VALUE] = { "--no-keep-value", NULL,
			    "stems left over are worth nothing next season", MIX | PULL, false },
	[WORTH] = { "--worth", NULL,
		    "what one and five more bunches of each crop, or hours, would bring", MIX,
		    false },
	[WITHIN] = { "--within", "P%", "how near to the best the answer must be proven: 0.1%; plant: 2%",
		     MIX | PULL | BOOK | PLANT, false },
	[TO_THE_END] = { "--to-the-end", NULL, "search until nothing better can be left",
			 MIX | PULL | PLANT, false },
	[NODES] = { "--nodes", "N", "steps of the search before it stops: 6000; plant: plans looked at, 200",
		    MIX | PULL | BOOK | PLANT,
		    false },
	[SECONDS] = { "--seconds", "N", "time before the search stops; such runs may not repeat",
		      MIX | PULL | BOOK, false },
	[MINUTES] = { "--minutes", "N", "how long it took", NOTE, false },
	[SPOILED] = { "--spoiled", "N", "how many spoiled in doing it", NOTE, false },
	[DRAWN] = { "--drawn", "TEXT", "stems taken from boxes, such as \"B12 24; B13 10\", or `none`",
		    NOTE, true },
	[BOX] = { "--box", "NAME", "the box that it happened to", NOTE, false },
	[COLOUR] = { "--colour", "NAME", "colour of the stems boxed, for a new box", NOTE, false },
	[LENGTH] = { "--length", "N", "their length in cm, for a new box", NOTE, false },
	[CAUSE] = { "--cause", "WORD", "why it was tossed: mould, shatter, colour, breakage, pest, other",
		    NOTE, false },
	[OUTLET] = { "--outlet", "NAME", "where it was sold", NOTE, false },
	[PRICE_EACH] = { "--price", "N", "what the customer paid for one", NOTE, false },
	[SAY] = { "--say", "TEXT", "a remark for yourself", NOTE, false },
	[ID] = { "--id", "NAME", "number of the entry: noting it again changes nothing", NOTE, false },
	[TRY] = { "--try", NULL, "show what would be written, and write nothing", NOTE, false },
	[SURE] = { "--sure", NULL, "it is so: write it though it looks like a slip", NOTE, false },
	[ROWS] = { "--rows", "N", "so many figures at most: 12", SWAY, false },
	[WITH_PAST] = { "--with-past", NULL, "count boxes past keeping as good",
			STOCK | REACH | MIX | PULL | NOTE | PLANT | BOOK | PAGE | BESIDE, false },
	[ASSUMED] = { "--assumed", NULL, "losses by the `loses` lines alone, without the records",
		      FARMS, false },
	[FIGURES] = { "--figures", NULL, "list every figure that can be supposed", CHECK, false },
	[ALL] = { "--all", NULL, "what is the same on both sides too", BESIDE, false },
	[TABLE] = { "--table", "NAME", "only this table", TABLES, false },
	[CSV] = { "--csv", NULL, "one table as CSV: the main one, or that of --table", TABLES,
		  false },
	[JSON] = { "--json", NULL, "everything as one JSON document", TABLES, false },
	[OUTPUT] = { "--output", "FILE", "write there instead, all or nothing", FARMS, false },
	[QUIET] = { "--quiet", NULL, "no remarks and no warnings", FARMS | NOTE, false },
	[HELP_ME] = { "--help", NULL, "help for the command", ANY, false },
	[VERSION] = { "--version", NULL, "print the version", ANY, false },
};
enum {
	NCOMMANDS = sizeof commands / sizeof commands[0],
	NOPTIONS = sizeof options / sizeof options[0]
};

const struct command *command_at(size_t i)
{
	return i < NCOMMANDS ? &commands[i] : NULL;
}

const struct option *option_at(size_t i)
{
	return i < NOPTIONS ? &options[i] : NULL;
}

const char *exit_meaning(int status)
{
	switch (status) {
	case EXIT_DONE:
		return "done";
	case EXIT_NO:
		return "the answer is no";
	case EXIT_USAGE:
		return "wrong usage";
	case EXIT_INPUT:
		return "bad input";
	case EXIT_SYSTEM:
		return "file, memory or system failure";
	case EXIT_STOPPED:
		return "the solver stopped before proof";
	default:
		return NULL;
	}
}

/* ---- mistakes ---- */

static struct str next_command(void *ctx, size_t i)
{
	(void)ctx;
	return i < NCOMMANDS ? str_of(commands[i].name) : STR_NONE;
}

static struct str next_option(void *ctx, size_t i)
{
	(void)ctx;
	return i < NOPTIONS ? str_of(options[i].name) : STR_NONE;
}

static void quote(struct buf *err, struct str s)
{
	enum { LONG = 40 };
	buf_char(err, '`');
	buf_visible(err, s, LONG);
	buf_char(err, '`');
}

int request_unknown(struct buf *err, struct str word, const char *what,
		    struct str (*next)(void *, size_t), const char *else_hint)
{
	buf_text(err, "error: ");
	quote(err, word);
	buf_printf(err, " is no %s.\n", what);
	struct str near = diag_nearest(word, next, NULL);
	if (near.n)
		buf_printf(err, "  hint: did you mean `%.*s`?\n", STR_ARG(near));
	else
		buf_printf(err, "  hint: %s\n", else_hint);
	return EXIT_USAGE;
}

static int unknown(struct buf *err, struct str word, const char *what,
		   struct str (*next)(void *, size_t))
{
	return request_unknown(err, word, what, next, "`thrave help` lists what there is");
}

static int wrong(struct buf *err, const struct option *o, const char *sentence)
{
	buf_printf(err, "error: `%s` %s\n", o->name, sentence);
	return EXIT_USAGE;
}

/* ---- reading ---- */

static const struct command *find_command(struct str word)
{
	for (size_t i = 0; i < NCOMMANDS; i++) {
		if (str_is(word, commands[i].name))
			return &commands[i];
	}
	return NULL;
}

static int take_date(day *slot, const char *value, struct buf *err)
{
	if (date_parse(str_of(value), slot))
		return 0;
	buf_text(err, "error: ");
	quote(err, str_of(value));
	if (date_form(str_of(value)))
		buf_printf(err, " is no day of the calendar.\n  hint: %s\n",
			   memcmp(value + 5, "12", 2) > 0 ? "it stands for year, month, day: 2026-11-25"
							  : "the month has fewer days");
	else
		buf_text(err, " is no date.\n  hint: write it as 2026-11-25\n");
	return EXIT_USAGE;
}

enum { COUNT_MOST = 1000000, HOURS_MOST = 100000, PAID_MOST = 1000000 };

static int take_count(int64_t *slot, const char *value, struct buf *err)
{
	struct rat q;
	if (number_decimal_all(str_of(value), '.', &q) == NUMBER_OK && q.den == 1 && q.num >= 1 &&
	    q.num <= COUNT_MOST) {
		*slot = q.num;
		return 0;
	}
	buf_text(err, "error: ");
	quote(err, str_of(value));
	buf_printf(err, " is no whole number from 1 to %d.\n", COUNT_MOST);
	return EXIT_USAGE;
}

/* `20h`, `20,5`: the number in it, as it is to be written. */
static void hint_number(struct buf *err, struct str s, const char *end, int most)
{
	struct rat q;
	size_t used;
	enum number_fault fault = number_quantity(s, &q, &used);
	if (fault == NUMBER_DECIMAL_COMMA) {
		buf_text(err, "  hint: write decimals with a point: 2.5\n");
		return;
	}
	struct str digits = number_head(s);
	bool ended = str_is((struct str){ s.p + digits.n, s.n - digits.n }, end);
	if (!ended && number_quantity_all(digits, &q) == NUMBER_OK && rat_double(q) <= most)
		buf_printf(err, "  hint: write the number%s: %.*s%s\n", *end ? "" : " alone", STR_ARG(digits), end);
}

/* A number from 0 to most with this end, "%" say. */
static int take_number(double *slot, const char *value, const char *end, int most, struct buf *err)
{
	struct str s = str_of(value);
	struct rat q;
	size_t n = strlen(end);
	bool ends = s.n > n && strcmp(value + s.n - n, end) == 0;
	s.n -= ends ? n : 0;
	if (ends && number_quantity_all(s, &q) == NUMBER_OK && rat_sign(q) >= 0 &&
	    rat_double(q) <= most) {
		*slot = rat_double(q);
		return 0;
	}
	buf_text(err, "error: ");
	quote(err, str_of(value));
	buf_printf(err, " is no number from 0%s to %d%s.\n", end, most, end);
	hint_number(err, str_of(value), end, most);
	return EXIT_USAGE;
}

static int take_within(struct request *req, const char *value, struct buf *err)
{
	int status = take_number(&req->within, value, "%", 100, err);
	req->within /= 100;
	return status;
}

static int take_text(const char **slot, const struct option *o, const char *value, struct buf *err)
{
	if (!*value)
		return wrong(err, o, "needs a text that is not empty.");
	*slot = value;
	return 0;
}

static void take_flag(struct request *req, size_t option)
{
	bool *const flags[] = {
		[NO_BUYING] = &req->no_buying,
		[MIX_TOO] = &req->mix,
		[NEXT] = &req->next,
		[FIT] = &req->fit,
		[NO_STOCK] = &req->no_stock,
		[OWN_LABOUR] = &req->own_labour,
		[STALL_HOURS] = &req->stall_hours,
		[NO_KEEP_VALUE] = &req->no_keep_value,
		[WORTH] = &req->worth,
		[TRY] = &req->try_only,
		[SURE] = &req->sure,
		[TO_THE_END] = &req->to_the_end,
		[WITH_PAST] = &req->with_past,
		[ASSUMED] = &req->assumed,
		[FIGURES] = &req->figures,
		[ALL] = &req->all,
		[CSV] = &req->csv,
		[JSON] = &req->json,
		[QUIET] = &req->quiet,
		[HELP_ME] = &req->help,
		[VERSION] = &req->version,
	};
	*flags[option] = true;
}

/* Where the text of an option of `note` goes; NULL for other options. */
static const char **note_slot(struct request *req, size_t option)
{
	switch (option) {
	case MINUTES:
		return &req->minutes;
	case SPOILED:
		return &req->spoiled;
	case DRAWN:
		return &req->drawn[req->ndrawn++];
	case BOX:
		return &req->box;
	case COLOUR:
		return &req->colour;
	case LENGTH:
		return &req->length;
	case CAUSE:
		return &req->cause;
	case OUTLET:
		return &req->outlet;
	case PRICE_EACH:
		return &req->price;
	case SAY:
		return &req->say;
	case ID:
		return &req->id;
	default:
		return NULL;
	}
}

static int take(struct request *req, size_t option, const char *value, struct buf *err)
{
	const struct option *o = &options[option];
	const char **slot = note_slot(req, option);
	if (slot)
		return take_text(slot, o, value, err);
	switch (option) {
	case ON:
		return take_date(&req->on, value, err);
	case AND:
		return take_date(&req->and_on, value, err);
	case FROM:
		return take_date(&req->from, value, err);
	case PAID:
		return take_number(&req->paid, value, "", PAID_MOST, err);
	case FOR:
		return take_count(&req->count, value, err);
	case NODES:
		return take_count(&req->nodes, value, err);
	case SECONDS:
		return take_count(&req->seconds, value, err);
	case ROWS:
		return take_count(&req->rows, value, err);
	case HOURS:
		return take_number(&req->hours, value, "", HOURS_MOST, err);
	case WITHIN:
		return take_within(req, value, err);
	case WITHOUT:
		return take_text(&req->without[req->nwithout++], o, value, err);
	case LEAVE:
		return take_text(&req->leave[req->nleave++], o, value, err);
	case SUPPOSE:
		return take_text(&req->suppose[req->nsuppose++], o, value, err);
	case BATCH:
		return take_text(&req->batches[req->nbatches++], o, value, err);
	case OF:
	case WHY:
		return take_text(&req->of[req->nof++], o, value, err);
	case OUTPUT:
		if (strcmp(value, "-") == 0)
			return wrong(err, o,
				     "needs the name of a file; without it the report is printed.");
		return take_text(&req->output, o, value, err);
	case TABLE:
		return take_text(&req->table, o, value, err);
	default:
		take_flag(req, option);
	}
	return 0;
}

/* An option at argv[*i], its value in the same word behind `=` or in the next. */
static int read_option(struct request *req, int argc, char **argv, int *i, uint64_t *seen,
		       struct buf *err)
{
	const char *word = argv[*i];
	struct str name = { word, strcspn(word, "=") };
	size_t o = 0;
	while (o < NOPTIONS && !str_is(name, options[o].name))
		o++;
	if (o == NOPTIONS)
		return unknown(err, name, "option", next_option);
	const struct option *option = &options[o];
	if ((*seen & (uint64_t)1 << o) && !option->many)
		return wrong(err, option, "stands twice.");
	*seen |= (uint64_t)1 << o;
	const char *value = word[name.n] == '=' ? word + name.n + 1 : NULL;
	if (!option->value && value)
		return wrong(err, option, "takes no value.");
	if (option->value && !value) {
		if (*i + 1 >= argc) {
			buf_printf(err, "error: `%s` needs a value: %s %s\n", option->name,
				   option->name, option->value);
			return EXIT_USAGE;
		}
		value = argv[++*i];
	}
	return take(req, o, value, err);
}

static int read_word(struct request *req, const char *word, struct buf *err)
{
	if (!req->command) {
		req->command = find_command(str_of(word));
		return req->command ? 0 : unknown(err, str_of(word), "command", next_command);
	}
	if (req->command->bit == NOTE) {
		req->words[req->nwords++] = word;
		return 0;
	}
	const char **slot = req->command->bit == HELP ? &req->topic : &req->folder;
	if (*slot && req->command->bit == BESIDE)
		slot = &req->other;
	if (*slot) {
		buf_text(err, "error: ");
		quote(err, str_of(word));
		buf_printf(err, " is one word too many: thrave %s takes %s.\n", req->command->name,
			   req->command->takes);
		return EXIT_USAGE;
	}
	if (!*word) {
		buf_text(err, "error: The name of the folder is empty.\n");
		return EXIT_USAGE;
	}
	*slot = word;
	return 0;
}

/* What a command that writes a file of its own calls it. */
static const struct {
	unsigned command;
	const char *ending, *what;
} files[] = { { BOOK, ".xlsx", "a workbook" }, { DATES, ".ics", "a calendar" } };

/* A name such as b.txt would be hidden from the program that opens the file, and be read
 * as a text of the farm. */
static int check_ending(const struct request *req, struct buf *err)
{
	for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
		struct str name = str_of(req->output), ending = str_of(files[i].ending);
		if (!req->output || req->help || !(req->command->bit & files[i].command) ||
		    (name.n > ending.n &&
		     str_eq((struct str){ name.p + name.n - ending.n, ending.n }, ending)))
			continue;
		buf_text(err, "error: ");
		quote(err, name);
		buf_printf(err, " is no name for %s: it must end in %s.\n"
				"  hint: for example `--output farm%s`\n",
			   files[i].what, files[i].ending, files[i].ending);
		return EXIT_USAGE;
	}
	return 0;
}

/* What only the whole line shows. */
static int settle(struct request *req, uint64_t seen, struct buf *err)
{
	if (req->version)
		return 0;
	if (!req->command) {
		req->command = find_command(STR("help"));
		if (req->help)
			return 0;
		buf_text(err, "error: A command is missing.\n"
			      "  hint: `thrave help` lists what there is\n");
		return EXIT_USAGE;
	}
	for (size_t o = 0; o < NOPTIONS; o++) {
		if (!(seen & (uint64_t)1 << o) || (options[o].commands & req->command->bit))
			continue;
		buf_printf(err, "error: `%s` is no option of `thrave %s`.\n", options[o].name,
			   req->command->name);
		if (o == SUPPOSE)
			buf_printf(err, "  hint: it is for what is reckoned and shown; `thrave %s` reckons nothing\n",
				   req->command->name);
		return EXIT_USAGE;
	}
	if (req->topic && !find_command(str_of(req->topic)))
		return unknown(err, str_of(req->topic), "command", next_command);
	if (req->command->bit == BESIDE && !req->other && req->and_on == DAY_NONE && !req->help) {
		buf_text(err, "error: A second side is missing.\n"
			      "  hint: name a second folder, or a second day with `--and DATE`\n");
		return EXIT_USAGE;
	}
	if (req->csv && req->json)
		return wrong(err, &options[CSV], "and `--json` cannot stand together.");
	if (check_ending(req, err))
		return EXIT_USAGE;
	if (req->count && req->nof != 1 && !req->help)
		return wrong(err, &options[FOR], "needs one `--of PIECE`.");
	if (req->mix && (req->nof || req->count))
		return wrong(err, &options[MIX_TOO], "and `--of` cannot stand together.");
	if (req->command->bit == PULL && !req->mix && !req->help) {
		for (size_t o = WITHOUT; o <= SECONDS; o++)
			if (seen & (uint64_t)1 << o)
				return wrong(err, &options[o], "needs `--mix` with `thrave pull`.");
	}
	if (req->to_the_end && seen & (uint64_t)1 << WITHIN)
		return wrong(err, &options[WITHIN], "and `--to-the-end` cannot stand together.");
	if (req->command->bit == NOTE && !req->help)
		return note_settle(req, err);
	return 0;
}

int request_parse(struct request *req, int argc, char **argv, struct buf *err)
{
	*req = (struct request){ .on = DAY_NONE, .from = DAY_NONE, .and_on = DAY_NONE, .paid = (double)NAN, .hours = (double)NAN, .within = (double)NAN };
	req->suppose = mem_alloc((size_t)argc + 1, sizeof *req->suppose);
	req->of = mem_alloc((size_t)argc + 1, sizeof *req->of);
	req->batches = mem_alloc((size_t)argc + 1, sizeof *req->batches);
	req->without = mem_alloc((size_t)argc + 1, sizeof *req->without);
	req->leave = mem_alloc((size_t)argc + 1, sizeof *req->leave);
	req->words = mem_alloc((size_t)argc + 1, sizeof *req->words);
	req->drawn = mem_alloc((size_t)argc + 1, sizeof *req->drawn);
	uint64_t seen = 0;
	bool ended = false;
	for (int i = 1; i < argc; i++) {
		int status;
		if (!ended && strcmp(argv[i], "--") == 0) {
			ended = true;
			continue;
		}
		if (!ended && argv[i][0] == '-' && argv[i][1])
			status = read_option(req, argc, argv, &i, &seen, err);
		else
			status = read_word(req, argv[i], err);
		if (status)
			return status;
	}
	return settle(req, seen, err);
}

void request_release(struct request *req)
{
	mem_free(req->suppose);
	mem_free(req->of);
	mem_free(req->batches);
	mem_free(req->without);
	mem_free(req->leave);
	mem_free(req->words);
	mem_free(req->drawn);
}

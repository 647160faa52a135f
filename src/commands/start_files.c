/* start_files.c - the text of a new farm folder.  An invented farm: every figure
 * is there to be overwritten. */
#include "commands/start_files.h"

static const char *const farm_txt[] = {
	"# Welcome.  This folder is your farm in plain text: everything in it was made up to",
	"# show how it is written.  Put your own crops and figures in its place, a little",
	"# at a time, and run `thrave check` after each step.",
	"#",
	"# A line that starts in the first column opens a block: a kind (farm, crop, supply,",
	"# part, piece, outlet, target), then its name.  Indented lines below it say more.",
	"# What follows a # and a blank is a comment.  Blocks may stand in any .txt file.",
	"#",
	"# What you count stands in tables, which any spreadsheet opens:",
	"#   stock.csv   what is in the shed: boxes of stems, supplies, finished pieces",
	"#   beds.csv    this season's beds: money, hours, stems cut",
	"#   orders.csv  pieces that are promised",
	"#",
	"# First things to try:",
	"#   thrave check      what was read, and what makes no sense",
	"#   thrave stock      what is in the shed",
	"#   thrave cost       what a stem and a piece cost",
	"#   thrave price      what to ask, and what is left of it",
	"#   thrave reach      how many of each the stock supports",
	"#   thrave book       all of it as a workbook",
	"",
	"farm My flower farm",
	"  currency    EUR",
	"  wage        16 per h, plus 20%          # 20%: what an employer pays on top",
	"  overhead    900 per year over 300 h at the bench    # workshop, insurance, phone",
	"  growing     2 per m of bed              # the field's share: land, water, tools",
	"  bench       60 h until @+60@     # hours left for making",
	"  frost       last @S@-05-05, first @S@-10-15",
	"  line        20 m                        # to hang bundles on",
	"  beds        20 m",
	"  boxes       12 of 60 x 40 x 20 cm",
	NULL,
};

static const char *const crops_txt[] = {
	"# Crops that you dry, grown or bought in.  A line that you leave out counts as 0",
	"# or \"not known\", and the reports say so at their foot.",
	"",
	"crop Strawflower",
	"  also        everlasting daisy           # further names for the same thing",
	"  bunch       10 stem                     # words to count with",
	"  costs       0.22 per stem boxed         # used only where beds.csv knows no better",
	"  loses       8% field, 10% drying, 1% storage per month, 4% bench",
	"  keeps       14 months from boxing",
	"  hangs       10 stem per bundle, 9 cm of line per bundle, 14 days",
	"  boxes       200 stem per box",
	"  works       cut 400, strip 250, bundle 300 stem per h; box 60 s per bundle",
	"  spends      0.02 per bundle, 1.50 per box           # a band, a carton",
	"  sows        7 weeks before last frost, germinates 78%, 128 cells per tray, 4.95 per 250 "
	"seeds",
	"  plants      1 week after last frost, 25 cm apart, 4 rows, bed 1.2 m wide, 92% live",
	"  cuts        from 10 weeks after planting, over 9 weeks, 14 stem per plant, usually 10 "
	"to 18",
	"  colours     gold, rust",
	"",
	"crop Statice",
	"  bunch       10 stem",
	"  costs       0.18 per stem boxed",
	"  loses       6% field, 8% drying, 0.5% storage per month, 3% bench",
	"  keeps       18 months from boxing",
	"  hangs       10 stem per bundle, 9 cm of line per bundle, 12 days",
	"  boxes       220 stem per box",
	"  works       cut 450, strip 300, bundle 300 stem per h; box 60 s per bundle",
	"",
	"crop Hare's-tail grass",
	"  bunch       25 stem",
	"  sprig       1/2 stem                    # a stem gives two sprigs",
	"  buys at     0.07 per stem               # bought in, not grown",
	"  loses       5% bench",
	"  keeps       24 months from boxing",
	NULL,
};

static const char *const supplies_txt[] = {
	"# What you buy by the piece, the metre, the gram.",
	"",
	"supply Willow ring 25 cm",
	"  costs       1.45 per each",
	"  pack        10 each",
	"",
	"supply Paddle wire #26                    # no blank behind the #: it is part of the name",
	"  costs       5.40 per 100 m",
	"  pack        100 m",
	"",
	"supply Linen ribbon",
	"  costs       12.90 per 50 m",
	"  pack        50 m",
	"",
	"supply Kraft sheet",
	"  costs       17.00 per 100 each",
	"  pack        100 each",
	NULL,
};

static const char *const outlets_txt[] = {
	"# Where you sell.  Prices in `sells` lines and in orders.csv are what the customer",
	"# pays; tax and fees come off here.",
	"",
	"outlet market",
	"  stall       35 per day, 8 h, 4 days     # what a day costs you, and how long it is",
	"  fee         1.7%                        # the card reader",
	"  aim         margin 20%",
	"  prices      end in .00 or .50",
	"",
	"outlet online",
	"  fee         6.5%, plus 0.45 per order",
	"  orders      1.4 pieces each             # pieces in a parcel",
	"  sends       5.40 up to 2 kg, 9.80 up to 5 kg, volume divisor 5000; charges 5.90 per "
	"order",
	"  spoils      3%                          # broken on the way",
	"  aim         margin 25%",
	"  prices      end in .95",
	NULL,
};

static const char *const pieces_wreath_txt[] = {
	"# A recipe: what goes in, how long it takes, where it is sold.",
	"",
	"part Grass tuft                           # made ahead, by the dozen",
	"  makes       1 each",
	"  needs       5 stem Hare's-tail grass",
	"  takes       40 s tying",
	"",
	"piece Small wreath",
	"  needs       16 stem Strawflower, colour gold or rust",
	"  needs       6 each Grass tuft",
	"  needs       1 bunch Statice",
	"     or       8 stem Hare's-tail grass    # another way to meet the need above",
	"  needs       1 each Willow ring 25 cm",
	"  needs       2 m Paddle wire #26",
	"  takes       20 min wiring",
	"  takes       15 min setting up, for each batch of up to 6",
	"  packs       30 x 30 x 12 cm, 0.4 kg, 5 min, carton 1.10",
	"  sells       market at 36, likely 12, up to 18",
	"  sells       online at 42, up to 10",
	NULL,
};

static const char *const pieces_bouquet_txt[] = {
	"piece Everlasting bouquet",
	"  needs       8 stem Strawflower",
	"  needs       10 stem Statice",
	"  needs       12 sprig Hare's-tail grass",
	"  needs       0.6 m Linen ribbon",
	"  needs       1 each Kraft sheet",
	"  takes       9 min tying",
	"  packs       45 x 15 x 12 cm, 250 g, 3 min, carton 0.90",
	"  sells       market at 18, likely 20, up to 30",
	"  sells       online at 22, up to 12",
	NULL,
};

static const char *const targets_txt[] = {
	"# What the next season is to bring.",
	"",
	"target Small wreath",
	"  sell        20 by @S@-11-20 at market, 80% sure",
	"",
	"target Everlasting bouquet",
	"  sell        40 by @S@-11-20",
	NULL,
};

static const char *const stock_csv[] = {
	"box,what,count,unit,colour,length,boxed,counted,price,place,note",
	"B1,Strawflower,160,stem,gold,30 cm,@-95@,@-6@,,top shelf,",
	"B2,Strawflower,120,stem,rust,30 cm,@-80@,@-6@,,top shelf,",
	"B3,Statice,200,stem,,40 cm,@-100@,@-6@,,top shelf,",
	"B4,Hare's-tail grass,400,stem,,35 cm,@-120@,@-6@,0.07,low shelf,bought in",
	"R1,Willow ring 25 cm,14,each,,,,@-6@,,drawer,",
	"W1,Paddle wire #26,80,m,,,,@-6@,,drawer,",
	"L1,Linen ribbon,25,m,,,,@-6@,,drawer,",
	"K1,Kraft sheet,60,each,,,,@-6@,,drawer,",
	"P1,Grass tuft,12,each,,,,@-6@,,tray,",
	"F1,Everlasting bouquet,2,each,,,,@-6@,,window,",
	NULL,
};

static const char *const beds_csv[] = {
	"bed,crop,colour,metres,plants,planted,money,hours,cut hours,dry "
	"hours,cut,fresh,boxed,establishment,bears,note",
	"Bed 1,Strawflower,,4,60,@-200@,18.50,5,2,,820,300,430,,,",
	"Bed 2,Statice,,3,45,@-200@,14.00,3.5,1,,460,100,310,,,",
	NULL,
};

static const char *const orders_csv[] = {
	"order,piece,count,outlet,due,price,sent,customer,note",
	"1,Small wreath,2,online,@+14@,,,A. Miller,",
	"2,Everlasting bouquet,4,market,@+21@,17,,C. Baker,fetched at the stall",
	NULL,
};

static const struct start_file files[] = {
	{ "farm.txt", farm_txt },
	{ "crops.txt", crops_txt },
	{ "supplies.txt", supplies_txt },
	{ "outlets.txt", outlets_txt },
	{ "pieces/wreath.txt", pieces_wreath_txt },
	{ "pieces/bouquet.txt", pieces_bouquet_txt },
	{ "targets.txt", targets_txt },
	{ "stock.csv", stock_csv },
	{ "beds.csv", beds_csv },
	{ "orders.csv", orders_csv },
};

const struct start_file *start_file_at(size_t i)
{
	return i < sizeof files / sizeof files[0] ? &files[i] : NULL;
}

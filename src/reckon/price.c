/* price.c - the price that an aim asks for, what an asked price leaves, and the
 * price point of a tag. */
#include "reckon/price.h"

#include <math.h>

#include "reckon/loss.h"

#define MINOR_MOST 9e15 /* below 2^53 */

/* ---- plain numbers ---- */

/* 1/(1-spoils): pieces made for one that is sold.  Nothing is sold when all spoil. */
static double made_per_sold(const struct price_in *in)
{
	return in->spoils < 1 ? 1 / (1 - in->spoils) : INFINITY;
}

static double cost_made(const struct price_in *in)
{
	return in->stems + in->supplies + in->labour + in->overhead;
}

static double cost_sold(const struct price_in *in)
{
	return cost_made(in) * made_per_sold(in) + in->packing_labour + in->packing_overhead +
	       in->carton + in->sending;
}

static double charged_net(const struct price_in *in)
{
	return in->charged / (1 + in->tax);
}

/* e': the fee as a fraction of P. */
static double fee_of_p(const struct price_in *in)
{
	return in->fee_of_net ? in->fee_rate : in->fee_rate * (1 + in->tax);
}

/* What P has to bring besides the aim: F + fees on Z - Z/(1+t). */
static double dues(const struct price_in *in)
{
	double on_charged = in->fee_rate * (in->fee_of_net ? charged_net(in) : in->charged);
	return in->fee_fixed + on_charged - charged_net(in);
}

/* Stems and supplies by their multiples, labour laid on. */
static double by_ratio(const struct price_in *in)
{
	double x = in->ratio_stems * in->stems + in->ratio_supplies * (in->supplies + in->carton);
	if (in->labour_rule == LABOUR_OF_PRICE)
		return in->ratio_labour < 1 ? x / (1 - in->ratio_labour) : INFINITY;
	if (in->labour_rule == LABOUR_ON_TOP)
		return x * (1 + in->ratio_labour);
	return x;
}

static double aim_net(const struct price_in *in)
{
	double left = 1 - fee_of_p(in), wanted;
	if (in->aim == AIM_MARGIN) {
		left -= in->margin;
		wanted = cost_sold(in);
	} else if (in->aim == AIM_MARKUP) {
		wanted = cost_sold(in) * (1 + in->markup);
	} else {
		wanted = by_ratio(in) + in->sending;
	}
	if (!(left > 0) || !isfinite(wanted))
		return NAN;
	return fmax((wanted + dues(in)) / left, 0);
}

static double power10(int n)
{
	double p = 1;
	while (n-- > 0)
		p *= 10;
	return p;
}

void price_aim(struct price_out *out, const struct price_in *in)
{
	*out = (struct price_out){ .made = cost_made(in), .c = cost_sold(in),
		                   .has_aim = in->aim != AIM_NONE, .aim_net = NAN, .aim_paid = NAN,
		                   .aim_tag = NAN, .point = NAN, .point_paid = NAN };
	if (!out->has_aim)
		return;
	double net = aim_net(in);
	out->collide = isnan(net);
	if (out->collide)
		return;
	double paid = 1 + in->tax;
	out->aim_net = net;
	out->aim_paid = net * paid;
	out->aim_tag = in->tax_on_top ? net : out->aim_paid;
	out->point = (double)price_point(out->aim_tag, in->endings, in->nendings, in->digits,
	                                 in->nearest) /
	             power10(in->digits);
	out->point_paid = in->tax_on_top ? out->point * paid : out->point;
}

static double overhead_sold(const struct price_in *in)
{
	return in->overhead * made_per_sold(in) + in->packing_overhead;
}

static double labour_sold(const struct price_in *in)
{
	return in->labour * made_per_sold(in) + in->packing_labour;
}

/* Whole pieces whose contribution pays a day at the stall. */
static double stall_break_even(const struct price_in *in, double contribution)
{
	double cost = in->stall_money + in->stall_hours * in->wage;
	if (!(in->stall_money > 0 || in->stall_hours > 0) || isnan(contribution))
		return NAN;
	if (contribution <= 0)
		return cost > 0 ? INFINITY : 0;
	return (double)loss_cover(cost / contribution);
}

void price_judge(struct price_at *out, const struct price_in *in, double paid)
{
	double net = paid / (1 + in->tax), per_day = in->stall_pieces > 0 ? 1 / in->stall_pieces : 0;
	*out = (struct price_at){ .paid = paid, .net = net };
	out->fee = in->fee_rate *
	                   (in->fee_of_net ? net + charged_net(in) : paid + in->charged) +
	           in->fee_fixed;
	out->profit = net + charged_net(in) - out->fee - cost_sold(in);
	out->margin = net != 0 ? out->profit / net : NAN; /* NaN stays NaN */
	out->contribution = out->profit + overhead_sold(in);
	out->stall_share = in->stall_money * per_day;
	out->hours = (in->seconds * made_per_sold(in) + in->packing_seconds) / SECONDS_PER_HOUR +
	             in->stall_hours * per_day;
	out->per_hour = out->hours > 0 ? (out->profit + labour_sold(in) - out->stall_share) / out->hours
	                               : NAN;
	out->break_even = stall_break_even(in, out->contribution);
}

/* ---- price points ---- */

/* The power of ten that endings repeat at: 100 for .95 and two decimals. */
static int64_t repeat_of(int64_t ending_most, int digits)
{
	int64_t power = (int64_t)power10(digits);
	while (power <= ending_most && power < 100000000000000)
		power *= 10;
	return power;
}

/* First point at or above a whole number of minor units. */
static int64_t point_from(int64_t minor, const int64_t *endings, size_t n, int64_t repeat)
{
	int64_t base = minor / repeat * repeat;
	for (size_t i = 0; i < n; i++) {
		if (base + endings[i] >= minor)
			return base + endings[i];
	}
	return base + repeat + endings[0];
}

/* Last point at or below; 0 when there is none. */
static int64_t point_to(int64_t minor, const int64_t *endings, size_t n, int64_t repeat)
{
	int64_t base = minor / repeat * repeat;
	for (size_t i = n; i-- > 0;) {
		if (base + endings[i] <= minor)
			return base + endings[i];
	}
	return base >= repeat ? base - repeat + endings[n - 1] : 0;
}

int64_t price_point(double tag, const int64_t *endings, size_t n, int digits, bool nearest)
{
	double x = tag * power10(digits);
	if (!(x > 0))
		x = 0;
	if (x > MINOR_MOST)
		x = MINOR_MOST;
	/* loss_cover takes x within 1e-9 above a whole number as that number: a tag
	 * reckoned to 67.95 by a long way round is still 67.95. */
	int64_t up = loss_cover(x), down = loss_whole(x);
	if (up == down)
		x = (double)up;
	if (n == 0) {
		int64_t near = nearest ? money_minor(x / power10(digits), digits) : up;
		return near > 0 ? near : up; /* nothing is given away */
	}
	int64_t repeat = repeat_of(endings[n - 1], digits);
	int64_t above = point_from(up, endings, n, repeat);
	int64_t below = point_to(down, endings, n, repeat);
	if (!nearest || below <= 0)
		return above;
	return x - (double)below < (double)above - x ? below : above;
}

/* ---- a farm's pieces at its outlets ---- */

static double parcel_grams(const struct piece *p, const struct outlet *o)
{
	double volume = p->size[0] * p->size[1] * p->size[2]; /* mm3: /1000 cm3, g/kg 1000 */
	double by_volume = o->volume_divisor.v > 0 ? volume / o->volume_divisor.v : 0;
	return fmax(p->weight.v, by_volume);
}

/* Money for a parcel of that weight; the dearest step, and *beyond, past the last. */
static double tariff_for(const struct outlet *o, double grams, bool *beyond)
{
	*beyond = false;
	for (size_t i = 0; i < o->ntariffs; i++) {
		if (grams <= o->tariffs[i].upto.v * (1 + 1e-12))
			return o->tariffs[i].money.v;
	}
	*beyond = true;
	return o->tariffs[o->ntariffs - 1].money.v;
}

static double pieces_per_order(const struct outlet *o)
{
	return o->per_order.v > 0 ? o->per_order.v : 1;
}

/* An order goes as one parcel when it fits the last step, else piece by piece. */
static void reckon_sending(struct price_line *line, const struct piece *p, const struct outlet *o)
{
	double n = pieces_per_order(o), each = parcel_grams(p, o);
	bool beyond;
	line->billed_grams = n * each;
	line->in.charged = o->charges.v / n;
	if (o->ntariffs == 0)
		return;
	line->in.sending = tariff_for(o, n * each, &beyond) / n;
	if (beyond)
		line->in.sending = tariff_for(o, each, &line->no_tariff);
}

/* Pieces of all kinds sold on a day at each stall: what is likely to sell (or may
 * at most, where that is all that is said) over its days; 0 not known. */
static double *stall_pieces(const struct farm *farm, struct arena *a)
{
	double *pieces = ARENA_ARRAY(a, farm->noutlets, double);
	for (size_t i = 0; i < farm->npieces; i++) {
		const struct piece *p = &farm->pieces[i];
		for (size_t k = 0; k < p->noffers; k++) {
			const struct offer *offer = &p->offers[k];
			pieces[offer->outlet] += offer->likely.given ? offer->likely.v : offer->upto.v;
		}
	}
	for (size_t i = 0; i < farm->noutlets; i++) {
		double days = farm->outlets[i].stall_days.v;
		pieces[i] = days > 0 ? pieces[i] / days : 0;
	}
	return pieces;
}

static void take_costs(struct price_in *in, const struct piece *p, const struct make_cost *made,
                       const struct costs *costs)
{
	in->stems = made->stems;
	in->supplies = made->supplies;
	in->labour = made->labour;
	in->overhead = made->overhead;
	in->seconds = made->seconds;
	in->packing_seconds = p->packing.v;
	in->packing_labour = p->packing.v / SECONDS_PER_HOUR * costs->wage;
	in->packing_overhead = p->packing.v / SECONDS_PER_HOUR * costs->overhead_rate;
	in->carton = p->carton.v;
	in->wage = costs->wage;
}

static void take_terms(struct price_in *in, const struct piece *p, const struct outlet *o)
{
	in->spoils = o->spoils.v;
	in->fee_rate = o->fee.v;
	in->fee_fixed = o->fee_fixed.v / pieces_per_order(o);
	in->fee_of_net = o->fee_of_net;
	in->tax = p->tax.given ? p->tax.v : o->tax.v;
	in->tax_on_top = p->tax.given ? p->tax_on_top : o->tax_on_top;
	in->aim = o->aim;
	in->margin = o->margin.v;
	in->markup = o->markup.v;
	in->ratio_stems = o->ratio_stems.v;
	in->ratio_supplies = o->ratio_supplies.v;
	in->ratio_labour = o->ratio_labour.v;
	in->labour_rule = o->labour_rule;
	in->stall_money = o->stall.v + o->travel_km.v * o->travel_rate.v;
	in->stall_hours = o->stall_hours.v;
	in->endings = o->endings;
	in->nendings = o->nendings;
	in->nearest = o->nearest;
}

struct pricing {
	const struct farm *farm;
	const struct costs *costs;
	const double *stall_pieces;
	struct prices *out;
};

static void add_line(struct pricing *w, size_t piece, uint32_t outlet, uint32_t offer)
{
	const struct piece *p = &w->farm->pieces[piece];
	const struct outlet *o = &w->farm->outlets[outlet];
	struct price_line *line = &w->out->lines[w->out->n++];
	line->piece = (uint32_t)piece;
	line->outlet = outlet;
	line->offer = offer;
	line->in.digits = w->farm->business.digits;
	if (offer != NONE && (p->offers[offer].likely.given || p->offers[offer].upto.given))
		line->in.stall_pieces = w->stall_pieces[outlet];
	take_costs(&line->in, p, &w->costs->pieces[piece], w->costs);
	take_terms(&line->in, p, o);
	reckon_sending(line, p, o);
	price_aim(&line->aim, &line->in);
	line->asked = offer != NONE && p->offers[offer].price.given;
	price_judge(&line->at, &line->in,
	            line->asked ? p->offers[offer].price.v : line->aim.point_paid);
}

static void add_piece(struct pricing *w, size_t piece)
{
	const struct piece *p = &w->farm->pieces[piece];
	for (size_t i = 0; i < p->noffers; i++)
		add_line(w, piece, p->offers[i].outlet, (uint32_t)i);
	if (p->noffers)
		return;
	for (size_t i = 0; i < w->farm->noutlets; i++) {
		if (w->farm->outlets[i].aim != AIM_NONE)
			add_line(w, piece, (uint32_t)i, NONE);
	}
}

/* ---- what is said about it ---- */

/* Which of the aims leave nothing, in words. */
static void say_collision(const struct price_line *line, const struct farm *farm, struct arena *a,
                          struct remarks *r)
{
	const struct price_in *in = &line->in;
	struct said outlet = { 0 };
	said_add(&outlet, a, farm->outlets[line->outlet].head.name);
	const char *name = said_text(&outlet);
	double fee = 100 * fee_of_p(in);
	if (in->spoils >= 1)
		remark(r, REMARK_DOUBT, "No price at %s: everything spoils there.", name);
	else if (in->aim == AIM_MARGIN)
		remark(r, REMARK_DOUBT,
		       "No price at %s: a margin of %.6g%% and fees of %.6g%% of the price before tax "
		       "leave nothing.",
		       name, 100 * in->margin, fee);
	else if (in->aim == AIM_RATIO && in->labour_rule == LABOUR_OF_PRICE && in->ratio_labour >= 1)
		remark(r, REMARK_DOUBT, "No price at %s: labour of %.6g%% of the price leaves nothing.",
		       name, 100 * in->ratio_labour);
	else
		remark(r, REMARK_DOUBT,
		       "No price at %s: fees of %.6g%% of the price before tax leave nothing.", name,
		       fee);
}

struct price_said {
	struct said heavy, weightless, unpacked, taxless, crowdless, uncounted, orderless;
};

/* stall_pieces: of each outlet, as stall_pieces() gives them. */
static void note_line(struct price_said *said, const struct price_line *line,
                      const struct farm *farm, const double *stall_pieces, struct arena *a)
{
	const struct piece *p = &farm->pieces[line->piece];
	const struct outlet *o = &farm->outlets[line->outlet];
	bool sized = p->size[0] > 0 && o->volume_divisor.v > 0;
	if (line->no_tariff)
		said_add(&said->heavy, a, p->head.name);
	if (o->ntariffs && !p->weight.given && !sized)
		said_add(&said->weightless, a, p->head.name);
	if (o->ntariffs && !p->packing.given)
		said_add(&said->unpacked, a, p->head.name);
	if (!o->per_order.given && (o->fee_fixed.v > 0 || o->charges.v > 0 || o->ntariffs))
		said_add(&said->orderless, a, o->head.name);
	if (!o->tax.given && !p->tax.given)
		said_add(&said->taxless, a, o->head.name);
	if (!(line->in.stall_money > 0 || line->in.stall_hours > 0) || line->in.stall_pieces > 0)
		return;
	if (stall_pieces[line->outlet] > 0)
		said_add(&said->uncounted, a, p->head.name);
	else
		said_add(&said->crowdless, a, o->head.name);
}

static void say_lines(const struct prices *prices, const struct farm *farm,
                      const double *stall_pieces, struct arena *a, struct remarks *r)
{
	struct price_said s = { 0 };
	for (size_t i = 0; i < prices->n; i++) {
		if (prices->lines[i].aim.collide)
			say_collision(&prices->lines[i], farm, a, r);
		note_line(&s, &prices->lines[i], farm, stall_pieces, a);
	}
	if (s.heavy.n)
		remark(r, REMARK_DOUBT,
		       "Heavier than the last `up to` of sending, counted at its dearest step: %s.",
		       said_text(&s.heavy));
	if (s.weightless.n)
		remark(r, REMARK_DOUBT,
		       "No packed weight known, sending is counted at the lightest step: %s.",
		       said_text(&s.weightless));
	if (s.unpacked.n)
		remark(r, REMARK_ASSUMED, "No time for packing given: counted as 0 for %s.",
		       said_text(&s.unpacked));
	if (s.orderless.n)
		remark(r, REMARK_ASSUMED,
		       "Not said how many pieces an order holds at %s: counted as 1.",
		       said_text(&s.orderless));
	if (s.taxless.n)
		remark(r, REMARK_ASSUMED, "No tax given for sales at %s: counted as 0.",
		       said_text(&s.taxless));
	if (s.crowdless.n)
		remark(r, REMARK_ASSUMED,
		       "Not known how many pieces a day sells at %s: the stall is left out of earnings "
		       "per hour.",
		       said_text(&s.crowdless));
	if (s.uncounted.n)
		remark(r, REMARK_ASSUMED,
		       "Not known how many of %s sell at a stall: it is left out of their earnings "
		       "per hour.",
		       said_text(&s.uncounted));
}

void prices_reckon(struct prices *out, const struct farm *farm, const struct costs *costs,
                   struct arena *a, struct remarks *r)
{
	struct pricing w = { farm, costs, stall_pieces(farm, a), out };
	size_t most = 0;
	for (size_t i = 0; i < farm->npieces; i++)
		most += farm->pieces[i].noffers ? farm->pieces[i].noffers : farm->noutlets;
	out->lines = ARENA_ARRAY(a, most, struct price_line);
	out->n = 0;
	for (size_t i = 0; i < farm->npieces; i++)
		add_piece(&w, i);
	say_lines(out, farm, w.stall_pieces, a, r);
}

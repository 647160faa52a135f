/* reach_program.c - laying out a question: makers, ways, and bounds on all of them. */
#include "reckon/reach_program.h"

#include <math.h>

#include "reckon/loss.h"

enum { SCALE_MOST = 1000000000 };

/* ---- what limits nothing ---- */

static bool supply_limited(const struct question *q, uint32_t supply)
{
	return q->no_buying && q->supplies[supply] == MATERIAL_LIMITED &&
	       !isnan(q->stock->supplies[supply]);
}

static bool class_counts(const struct question *q, const struct stock_class *c)
{
	return c->counted_stems > 0 && (!c->past || q->stock->with_past);
}

/* On any day at all. */
static bool something_fits(const struct question *q, const struct need_option *o)
{
	for (size_t i = 0; i < q->stock->nclasses; i++) {
		const struct stock_class *c = &q->stock->classes[i];
		if (c->crop == o->item.index && class_counts(q, c) &&
		    stem_fits(o, NONE, c->colour, c->length))
			return true;
	}
	const struct extra *e = q->extra;
	return e && e->item.kind == KIND_CROP && e->item.index == o->item.index && e->count > 0 &&
	       stem_fits(o, NONE, e->colour, e->length);
}

static bool option_open(const struct program *p, const struct need_option *o)
{
	uint32_t i = o->item.index;
	if (rat_sign(o->count) <= 0)
		return true;
	switch (o->item.kind) {
	case KIND_CROP:
		return p->q->crops[i] == MATERIAL_FREE ||
		       (p->q->crops[i] == MATERIAL_SLACK && something_fits(p->q, o));
	case KIND_SUPPLY:
		return !supply_limited(p->q, i);
	case KIND_PART:
		return p->free_parts[i];
	default:
		return false;
	}
}

static bool need_open(const struct program *p, const struct need *need)
{
	if (need->noptions == 0)
		return true;
	for (size_t i = 0; i < need->noptions; i++)
		if (option_open(p, &need->options[i]))
			return true;
	return false;
}

static bool all_open(const struct program *p, const struct need *needs, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if (!need_open(p, &needs[i]))
			return false;
	return true;
}

static void find_free(struct program *p)
{
	const struct farm *farm = p->q->farm;
	p->free_parts = ARENA_ARRAY(p->a, farm->nparts, unsigned char);
	for (size_t i = farm->nparts; i-- > 0;) {
		uint32_t k = farm->part_order[i]; /* deepest first */
		p->free_parts[k] = all_open(p, farm->parts[k].needs, farm->parts[k].nneeds);
	}
	if (p->q->piece != NONE) {
		const struct piece *piece = &farm->pieces[p->q->piece];
		p->free_piece = all_open(p, piece->needs, piece->nneeds);
	}
	if (p->q->choices)
		memset(p->free_parts, 0, farm->nparts); /* they are laid out all the same */
}

/* ---- rooms, buckets, piles, batches ---- */

static void add_class(struct room *room, struct stems stems)
{
	room->classes[room->nclasses++] = stems;
	room->usable = plenty_add(room->usable, stems.counted);
}

static const struct rat *extra_keep(const struct program *p)
{
	const struct question *q = p->q;
	const struct extra *e = q->extra;
	struct rat *keep = ARENA_ARRAY(p->a, q->ndays, struct rat);
	double s = rates_at(q->stock->rates, e->item.index, STAGE_STORAGE);
	for (uint32_t d = 0; d < q->ndays; d++)
		keep[d] =
		    fraction_below(loss_storage(s, date_months(q->days[0], q->days[d])), e->count);
	return keep;
}

static struct room *room_for(struct program *p, uint32_t crop)
{
	const struct question *q = p->q;
	if (p->room_of[crop] != NONE)
		return &p->rooms[p->room_of[crop]];
	p->room_of[crop] = (uint32_t)p->nrooms;
	struct room *room = ARENA_PUSH(p->a, p->rooms, p->nrooms, p->cap_rooms);
	*room = (struct room){ .crop = crop };
	size_t n = 1;
	for (size_t i = 0; i < q->stock->nclasses; i++)
		n += q->stock->classes[i].crop == crop;
	room->classes = ARENA_ARRAY(p->a, n, struct stems);
	for (size_t i = 0; i < q->stock->nclasses; i++) {
		const struct stock_class *c = &q->stock->classes[i];
		if (c->crop == crop && class_counts(q, c))
			add_class(room,
				  (struct stems){ (uint32_t)i, c->colour, c->length,
						  c->counted_stems, &q->keep[i * q->ndays], 0 });
	}
	const struct extra *e = q->extra;
	if (e && e->item.kind == KIND_CROP && e->item.index == crop)
		add_class(room,
			  (struct stems){ NONE, e->colour, e->length, e->count, extra_keep(p), 0 });
	int64_t reserve = loss_cover(q->farm->crops[crop].reserve.v);
	room->reserve = reserve > 0;
	room->usable = room->usable > reserve ? room->usable - reserve : 0;
	return room;
}

uint32_t program_bucket(struct program *p, uint32_t crop, uint32_t day_,
			const struct need_option *o, uint32_t colour)
{
	struct room *room = room_for(p, crop);
	uint32_t index = p->room_of[crop];
	unsigned char *fits = ARENA_ARRAY(p->a, room->nclasses + 1, unsigned char);
	bool any = false, later = false;
	for (size_t c = 0; c < room->nclasses; c++) {
		const struct stems *s = &room->classes[c];
		bool fit = stem_fits(o, colour, s->colour, s->length);
		fits[c] = fit && s->keep[day_].num > 0;
		any = any || fits[c];
		later = later || fit;
	}
	p->unfit[crop] |= !any;
	if (!any && !p->q->elastic) {
		room->never_slack = room->never_slack || later;
		return NONE;
	}
	for (size_t i = 0; i < p->nbuckets; i++) {
		const struct bucket *b = &p->buckets[i];
		if (b->room == index && b->day == day_ &&
		    memcmp(b->fits, fits, room->nclasses) == 0)
			return (uint32_t)i;
	}
	for (size_t c = 0; c < room->nclasses; c++)
		room->classes[c].rank += fits[c];
	struct bucket *b = ARENA_PUSH(p->a, p->buckets, p->nbuckets, p->cap_buckets);
	*b = (struct bucket){ .room = index, .day = day_, .fits = fits };
	return (uint32_t)(p->nbuckets - 1);
}

static uint32_t pile_for(struct program *p, uint32_t supply)
{
	if (p->pile_of[supply] == NONE) {
		struct pile *pile = ARENA_PUSH(p->a, p->piles, p->npiles, p->cap_piles);
		*pile = (struct pile){ .supply = supply, .scale = 1 };
		p->pile_of[supply] = (uint32_t)(p->npiles - 1);
	}
	return p->pile_of[supply];
}

static uint32_t batch_for(struct program *p, uint32_t part)
{
	if (p->batch_of[part] == NONE) {
		struct batch_of *b = ARENA_PUSH(p->a, p->batches, p->nbatches, p->cap_batches);
		uint32_t n = p->q->ndays;
		*b = (struct batch_of){ .part = part, .scale = 1 };
		b->makers = ARENA_ARRAY(p->a, n, uint32_t);
		b->gross_lo = ARENA_ARRAY(p->a, n, int64_t);
		b->gross_hi = ARENA_ARRAY(p->a, n, int64_t);
		for (uint32_t d = 0; d < n; d++)
			b->makers[d] = NONE;
		p->batch_of[part] = (uint32_t)(p->nbatches - 1);
	}
	return p->batch_of[part];
}

/* ---- makers and their ways ---- */

static int too_fine(struct program *p, const struct head *maker, struct span at)
{
	return diag_error(p->q->diag, at.file ? at : maker->at,
			  "The amounts in %s are too fine or too large to be pooled exactly.",
			  diag_quote(p->q->diag, maker->name));
}

static struct variant *add_variant(struct program *p, uint32_t maker, uint32_t need,
				   uint32_t option, const struct need_option *o)
{
	struct variant *v = ARENA_PUSH(p->a, p->variants, p->nvariants, p->cap_variants);
	*v = (struct variant){ .maker = maker,
			       .need = need,
			       .option = option,
			       .colour = NONE,
			       .kind = o->item.kind,
			       .where = NONE,
			       .count = o->count };
	p->makers[maker].nvariants++;
	return v;
}

/* Stems that one making takes, bench allowance included. */
static int stems_each(const struct program *p, struct variant *v, const struct need_option *o)
{
	struct rat allowance = rates_allowance(p->q->stock->rates, o->item.index);
	if (!rat_mul(&v->stems, o->count, allowance))
		return -1;
	return rat_floor(v->stems) > SCALE_MOST ? -1 : 0;
}

static int add_stems(struct program *p, uint32_t maker, uint32_t need, uint32_t option,
		     const struct need_option *o, uint32_t colour)
{
	uint32_t crop = o->item.index;
	uint32_t bucket = program_bucket(p, crop, p->makers[maker].day, o, colour);
	if (bucket == NONE)
		return 0;
	struct variant *v = add_variant(p, maker, need, option, o);
	v->where = bucket;
	v->colour = colour;
	return stems_each(p, v, o);
}

/* One way for each colour that may be chosen. */
static int add_one_coloured(struct program *p, uint32_t maker, uint32_t need, uint32_t option,
			    const struct need_option *o)
{
	for (uint32_t i = 0; i < o->ncolours; i++)
		if (add_stems(p, maker, need, option, o, o->colours[i]) < 0)
			return -1;
	if (o->ncolours > 0)
		return 0;
	size_t n = room_for(p, o->item.index)->nclasses;
	for (size_t c = 0; c < n; c++) {
		const struct stems *classes = room_for(p, o->item.index)->classes;
		bool seen = classes[c].colour == NONE;
		for (size_t k = 0; k < c; k++)
			seen = seen || classes[k].colour == classes[c].colour;
		if (!seen && add_stems(p, maker, need, option, o, classes[c].colour) < 0)
			return -1;
	}
	return 0;
}

static int add_option(struct program *p, uint32_t maker, uint32_t need, uint32_t option)
{
	const struct need_option *o = &p->makers[maker].needs[need].options[option];
	uint32_t i = o->item.index;
	if (option_open(p, o)) {
		struct variant *v = add_variant(p, maker, need, option, o);
		return o->item.kind == KIND_CROP ? stems_each(p, v, o) : 0;
	}
	switch (o->item.kind) {
	case KIND_CROP:
		if (p->q->crops[i] == MATERIAL_SLACK) {
			p->unfit[i] = 1; /* it suffices for others, but nothing fits here */
			return 0;
		}
		return o->one_colour ? add_one_coloured(p, maker, need, option, o)
				     : add_stems(p, maker, need, option, o, NONE);
	case KIND_SUPPLY: {
		uint32_t where = pile_for(p, i);
		add_variant(p, maker, need, option, o)->where = where;
		return 0;
	}
	case KIND_PART: {
		uint32_t where = batch_for(p, i);
		add_variant(p, maker, need, option, o)->where = where;
		return 0;
	}
	default:
		return 0;
	}
}

static int add_maker(struct program *p, struct item item, uint32_t day_, int64_t fixed, bool wanted)
{
	const struct farm *farm = p->q->farm;
	bool piece = item.kind == KIND_PIECE;
	uint32_t index = (uint32_t)p->nmakers;
	struct maker *m = ARENA_PUSH(p->a, p->makers, p->nmakers, p->cap_makers);
	*m = (struct maker){ .item = item,
			     .day = day_,
			     .fixed = fixed,
			     .wanted = wanted,
			     .first = p->nvariants,
			     .col = -1 };
	m->needs = piece ? farm->pieces[item.index].needs : farm->parts[item.index].needs;
	m->nneeds = piece ? farm->pieces[item.index].nneeds : farm->parts[item.index].nneeds;
	for (uint32_t i = 0; i < m->nneeds; i++) {
		size_t before = p->nvariants;
		if (!p->q->choices && need_open(p, &m->needs[i]))
			continue;
		for (uint32_t k = 0; k < m->needs[i].noptions; k++)
			if (add_option(p, index, i, k) < 0)
				return too_fine(p, farm_head(farm, item),
						m->needs[i].options[k].at);
		m = &p->makers[index]; /* parts may have been added */
		m->impossible =
		    m->impossible || (before == p->nvariants && m->needs[i].noptions > 0);
	}
	return 0;
}

static int add_pieces(struct program *p)
{
	const struct question *q = p->q;
	for (size_t i = 0; i < q->npromises; i++) {
		const struct promise *o = &q->promises[i];
		bool wanted = o->day == 0 && o->piece == q->piece;
		if (add_maker(p, (struct item){ KIND_PIECE, o->piece }, o->day, o->count, wanted) <
		    0)
			return -1;
		if (wanted)
			p->wanted = (ptrdiff_t)p->nmakers - 1;
	}
	if (q->piece == NONE || p->wanted >= 0)
		return 0;
	p->wanted = (ptrdiff_t)p->nmakers;
	return add_maker(p, (struct item){ KIND_PIECE, q->piece }, 0, 0, true);
}

/* Shallowest first: all that wants a part is there before the part. */
static int add_parts(struct program *p)
{
	const struct farm *farm = p->q->farm;
	for (size_t i = 0; i < farm->nparts; i++) {
		uint32_t part = farm->part_order[i], batch = p->batch_of[part];
		if (batch == NONE)
			continue;
		for (uint32_t d = 0; d < p->q->ndays; d++) {
			bool used = false;
			for (size_t k = 0; k < p->nvariants && !used; k++) {
				const struct variant *v = &p->variants[k];
				used = v->kind == KIND_PART && v->where == batch &&
				       p->makers[v->maker].day == d;
			}
			if (!used)
				continue;
			p->batches[batch].makers[d] = (uint32_t)p->nmakers;
			p->batches[batch].ndays++;
			if (add_maker(p, (struct item){ KIND_PART, part }, d, 0, false) < 0)
				return -1;
		}
	}
	return 0;
}

/* ---- common denominators ---- */

static bool widen(int64_t *scale, int64_t den)
{
	int64_t a = *scale, b = den;
	while (b) {
		int64_t t = a % b;
		a = b;
		b = t;
	}
	if (*scale / a > SCALE_MOST / den)
		return false;
	*scale = *scale / a * den;
	return true;
}

static bool scaled(int64_t *out, struct rat r, int64_t scale)
{
	struct rat n;
	if (!rat_mul(&n, r, (struct rat){ scale, 1 }) || n.den != 1 || n.num > SCALE_MOST)
		return false;
	*out = n.num;
	return true;
}

static int64_t counted(double x, int64_t scale)
{
	double n = fmin(x * (double)scale, (double)PLENTY);
	return n > 0 ? loss_whole(n) : 0;
}

static struct rat makes_of(const struct part *part)
{
	return rat_sign(part->makes) > 0 ? part->makes : RAT_ONE;
}

static int set_scales(struct program *p)
{
	const struct question *q = p->q;
	for (size_t i = 0; i < p->nbatches; i++)
		if (!widen(&p->batches[i].scale, makes_of(&q->farm->parts[p->batches[i].part]).den))
			return too_fine(p, &q->farm->parts[p->batches[i].part].head, SPAN_NONE);
	for (int pass = 0; pass < 2; pass++)
		for (size_t i = 0; i < p->nvariants; i++) {
			struct variant *v = &p->variants[i];
			if (v->where == NONE || v->kind == KIND_CROP)
				continue;
			int64_t *scale = v->kind == KIND_PART ? &p->batches[v->where].scale
							      : &p->piles[v->where].scale;
			if (pass == 0 ? !widen(scale, v->count.den)
				      : !scaled(&v->scaled, v->count, *scale))
				return too_fine(p, farm_head(q->farm, p->makers[v->maker].item),
						SPAN_NONE);
		}
	for (size_t i = 0; i < p->nbatches; i++) {
		struct batch_of *b = &p->batches[i];
		if (!scaled(&b->makes, makes_of(&q->farm->parts[b->part]), b->scale))
			return too_fine(p, &q->farm->parts[b->part].head, SPAN_NONE);
		b->stock = counted(q->stock->parts[b->part], b->scale);
	}
	for (size_t i = 0; i < p->npiles; i++) {
		struct pile *pile = &p->piles[i];
		const struct extra *e = q->extra;
		bool more = e && e->item.kind == KIND_SUPPLY && e->item.index == pile->supply;
		pile->on_hand = counted(q->stock->supplies[pile->supply], pile->scale);
		if (more)
			pile->on_hand =
			    plenty_add(pile->on_hand, plenty_times(e->count, pile->scale));
	}
	return 0;
}

/* ---- what all the stock could ever give ---- */

static int64_t variant_cap(const struct program *p, const struct variant *v)
{
	if (v->where == NONE)
		return PLENTY;
	if (v->kind == KIND_PART) {
		const struct batch_of *b = &p->batches[v->where];
		int64_t units = b->stock;
		for (uint32_t d = 0; d < p->q->ndays; d++)
			if (b->makers[d] != NONE)
				units = plenty_add(
				    units, plenty_times(b->makes, p->makers[b->makers[d]].cap));
		return units >= PLENTY ? PLENTY : units / v->scaled;
	}
	if (p->q->elastic)
		return PLENTY;
	if (v->kind == KIND_SUPPLY)
		return p->piles[v->where].on_hand / v->scaled;
	const struct bucket *b = &p->buckets[v->where];
	const struct room *room = &p->rooms[b->room];
	int64_t stems = 0;
	for (size_t c = 0; c < room->nclasses; c++)
		if (b->fits[c])
			stems = plenty_add(stems, times_down(room->classes[c].counted,
							     room->classes[c].keep[b->day]));
	return times_down(stems, (struct rat){ v->stems.den, v->stems.num });
}

/* Deepest parts first. */
static void set_caps(struct program *p)
{
	for (size_t i = p->nmakers; i-- > 0;) {
		struct maker *m = &p->makers[i];
		m->cap = m->impossible ? 0 : PLENTY;
		for (size_t k = m->first, next; k < m->first + m->nvariants; k = next) {
			int64_t sum = 0;
			for (next = k; next < m->first + m->nvariants &&
				       p->variants[next].need == p->variants[k].need;
			     next++) {
				p->variants[next].cap = variant_cap(p, &p->variants[next]);
				sum = plenty_add(sum, p->variants[next].cap);
			}
			if (sum < m->cap)
				m->cap = sum;
		}
	}
	p->cap = PLENTY;
	if (p->wanted >= 0) {
		const struct maker *m = &p->makers[p->wanted];
		p->cap = m->cap >= PLENTY ? PLENTY : m->cap > m->fixed ? m->cap - m->fixed : 0;
	}
}

static uint32_t *none_each(struct arena *a, size_t n)
{
	uint32_t *out = ARENA_ARRAY(a, n, uint32_t);
	for (size_t i = 0; i < n; i++)
		out[i] = NONE;
	return out;
}

int program_build(struct program *p, const struct question *q, struct arena *a)
{
	*p = (struct program){ .q = q, .a = a, .wanted = -1 };
	p->room_of = none_each(a, q->farm->ncrops);
	p->pile_of = none_each(a, q->farm->nsupplies);
	p->batch_of = none_each(a, q->farm->nparts);
	p->unfit = ARENA_ARRAY(a, q->farm->ncrops, unsigned char);
	find_free(p);
	if (add_pieces(p) < 0 || add_parts(p) < 0 || set_scales(p) < 0)
		return -1;
	set_caps(p);
	return 0;
}

/* ---- bounds ---- */

static void add_demand(struct program *p, const struct variant *v)
{
	uint32_t d = p->makers[v->maker].day;
	if (v->where == NONE)
		return;
	if (v->kind == KIND_CROP) {
		struct bucket *b = &p->buckets[v->where];
		b->lo = plenty_add(b->lo, times_up(v->lo, v->stems));
		b->hi = plenty_add(b->hi, times_up(v->hi, v->stems));
	} else if (v->kind == KIND_PART) {
		struct batch_of *b = &p->batches[v->where];
		b->gross_lo[d] = plenty_add(b->gross_lo[d], plenty_times(v->lo, v->scaled));
		b->gross_hi[d] = plenty_add(b->gross_hi[d], plenty_times(v->hi, v->scaled));
	} else {
		struct pile *pile = &p->piles[v->where];
		pile->lo = plenty_add(pile->lo, plenty_times(v->lo, v->scaled));
		pile->hi = plenty_add(pile->hi, plenty_times(v->hi, v->scaled));
	}
}

static void clear_demands(struct program *p)
{
	for (size_t i = 0; i < p->nbuckets; i++)
		p->buckets[i].lo = p->buckets[i].hi = 0;
	for (size_t i = 0; i < p->npiles; i++)
		p->piles[i].lo = p->piles[i].hi = 0;
	for (size_t i = 0; i < p->nbatches; i++)
		for (uint32_t d = 0; d < p->q->ndays; d++)
			p->batches[i].gross_lo[d] = p->batches[i].gross_hi[d] = 0;
}

static int64_t divide_up(int64_t n, int64_t by)
{
	return n <= 0 ? 0 : n / by + (n % by != 0);
}

/* Parts may come from stock and from what makings of earlier days leave over. */
static void part_bounds(struct program *p, struct maker *m)
{
	const struct batch_of *b = &p->batches[p->batch_of[m->item.index]];
	int64_t over = 0;
	for (uint32_t d = 0; d < m->day; d++)
		if (b->makers[d] != NONE)
			over = plenty_add(over, b->makes - 1);
	m->lo = divide_up(b->gross_lo[m->day] - b->stock - over, b->makes);
	m->hi = divide_up(b->gross_hi[m->day] - (b->ndays == 1 ? b->stock : 0), b->makes);
}

/* Of one need: its variants are `n` from `first` on. */
static void need_bounds(struct program *p, const struct maker *m, size_t first, size_t n, bool caps)
{
	int64_t sum = 0;
	for (size_t k = first; k < first + n; k++)
		sum = plenty_add(sum, p->variants[k].cap);
	for (size_t k = first; k < first + n; k++) {
		struct variant *v = &p->variants[k];
		v->lo = n == 1 ? m->lo : 0;
		v->hi = m->hi;
		if (caps && n > 1) {
			if (sum < PLENTY && m->lo > sum - v->cap)
				v->lo = m->lo - (sum - v->cap);
			if (v->hi > v->cap)
				v->hi = v->cap;
			if (v->lo > v->hi)
				v->lo = v->hi; /* the maker's own cap says that it cannot be */
		}
		add_demand(p, v);
	}
}

void program_evaluate(struct program *p, int64_t lo, int64_t hi, bool caps)
{
	clear_demands(p);
	for (size_t i = 0; i < p->nmakers; i++) {
		struct maker *m = &p->makers[i];
		if (m->item.kind == KIND_PART) {
			part_bounds(p, m);
		} else {
			m->lo = m->wanted ? plenty_add(m->fixed, lo) : m->fixed;
			m->hi = m->wanted ? plenty_add(m->fixed, hi) : m->fixed;
		}
		if (caps && m->hi > m->cap && m->lo <= m->cap)
			m->hi = m->cap;
		size_t end = m->first + m->nvariants;
		for (size_t k = m->first, next; k < end; k = next) {
			for (next = k; next < end && p->variants[next].need == p->variants[k].need;)
				next++;
			need_bounds(p, m, k, next - k, caps);
		}
	}
}

bool program_possible(struct program *p, int64_t n)
{
	program_evaluate(p, n, n, true);
	for (size_t i = 0; i < p->nmakers; i++)
		if (p->makers[i].lo > p->makers[i].cap)
			return false;
	for (size_t i = 0; i < p->npiles; i++)
		if (p->piles[i].lo > p->piles[i].on_hand)
			return false;
	for (size_t i = 0; i < p->nrooms; i++)
		if (!room_possible(p, i))
			return false;
	return true;
}

size_t program_slack(struct program *p, int64_t hi, unsigned char *crops, unsigned char *supplies)
{
	size_t n = 0;
	program_evaluate(p, 0, hi, false);
	for (size_t i = 0; i < p->nrooms; i++) {
		struct room *room = &p->rooms[i];
		if (room->never_slack)
			continue;
		allot_start(p, room);
		if (allot_all(room->by_hand, true)) {
			crops[room->crop] = MATERIAL_SLACK;
			n++;
		}
	}
	for (size_t i = 0; i < p->npiles; i++)
		if (p->piles[i].hi <= p->piles[i].on_hand) {
			supplies[p->piles[i].supply] = MATERIAL_SLACK;
			n++;
		}
	return n;
}

int program_strip(struct program *p, struct question *q, int64_t hi, struct arena *a)
{
	unsigned char *crops = ARENA_ARRAY(a, q->farm->ncrops, unsigned char);
	unsigned char *supplies = ARENA_ARRAY(a, q->farm->nsupplies, unsigned char);
	memcpy(crops, q->crops, q->farm->ncrops);
	memcpy(supplies, q->supplies, q->farm->nsupplies);
	q->crops = crops;
	q->supplies = supplies;
	while (program_slack(p, hi, crops, supplies) > 0)
		if (program_build(p, q, a) < 0)
			return -1;
	return 0;
}

/* ---- a plan by hand ---- */

/* Ways that only differ in stems are chosen when the rest has its stems. */
static bool all_stems(const struct program *p, size_t first, size_t n)
{
	for (size_t k = first; k < first + n; k++)
		if (p->variants[k].kind != KIND_CROP || p->variants[k].where == NONE)
			return false;
	return true;
}

static void plan_need(struct program *p, const struct maker *m, size_t first, size_t n)
{
	size_t take = first;
	for (size_t k = first; k < first + n; k++)
		p->variants[k].lo = p->variants[k].hi = 0;
	if (n > 1 && all_stems(p, first, n))
		return;
	while (take < first + n - 1 && p->variants[take].cap < m->got)
		take++;
	p->variants[take].lo = m->got;
	add_demand(p, &p->variants[take]);
}

/* The first option that still has stems, then the next. */
static bool choose_stems(struct program *p, const struct maker *m, size_t first, size_t n)
{
	int64_t left = m->got;
	for (size_t k = first; k < first + n && left > 0; k++) {
		struct variant *v = &p->variants[k];
		const struct bucket *b = &p->buckets[v->where];
		int64_t stems = allot(p->rooms[b->room].by_hand, b, times_up(left, v->stems));
		int64_t made = times_down(stems, (struct rat){ v->stems.den, v->stems.num });
		left -= made < left ? made : left;
	}
	return left == 0;
}

static void plan_makings(struct program *p, struct maker *m, int64_t n, int64_t *pools)
{
	if (m->item.kind == KIND_PIECE) {
		m->got = m->wanted ? m->fixed + n : m->fixed;
		return;
	}
	const struct batch_of *b = &p->batches[p->batch_of[m->item.index]];
	int64_t *pool = &pools[b - p->batches], gross = b->gross_lo[m->day];
	m->got = divide_up(gross - *pool, b->makes);
	*pool += plenty_times(m->got, b->makes) - gross;
}

static bool plan_first(struct program *p, int64_t n, int64_t *pools)
{
	for (size_t i = 0; i < p->nbatches; i++)
		pools[i] = p->batches[i].stock;
	for (size_t i = 0; i < p->nmakers; i++) {
		struct maker *m = &p->makers[i];
		plan_makings(p, m, n, pools);
		if (m->impossible && m->got > 0)
			return false;
		for (size_t k = m->first, next; k < m->first + m->nvariants; k = next) {
			for (next = k; next < m->first + m->nvariants &&
				       p->variants[next].need == p->variants[k].need;)
				next++;
			plan_need(p, m, k, next - k);
		}
	}
	for (size_t i = 0; i < p->npiles; i++)
		if (p->piles[i].lo > p->piles[i].on_hand)
			return false;
	for (size_t i = 0; i < p->nrooms; i++) {
		allot_start(p, &p->rooms[i]);
		if (!allot_all(p->rooms[i].by_hand, false))
			return false;
	}
	return true;
}

bool program_plan(struct program *p, int64_t n)
{
	clear_demands(p);
	if (!plan_first(p, n, ARENA_ARRAY(p->a, p->nbatches, int64_t)))
		return false;
	for (size_t i = 0; i < p->nmakers; i++) {
		const struct maker *m = &p->makers[i];
		for (size_t k = m->first, next; k < m->first + m->nvariants; k = next) {
			for (next = k; next < m->first + m->nvariants &&
				       p->variants[next].need == p->variants[k].need;)
				next++;
			if (next - k > 1 && all_stems(p, k, next - k) &&
			    !choose_stems(p, m, k, next - k))
				return false;
		}
	}
	return true;
}

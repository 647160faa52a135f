/* reach_again.c - programs that were asked before, and how they ended. */
#include "reckon/reach_again.h"

enum { BYTES_MOST = 32 << 20 };

struct asked {
	struct asked *next;
	struct solve m;
	long nodes;
	bool plain;
	enum outcome outcome;
};

static bool same_columns(const struct solve *x, const struct solve *y)
{
	for (size_t j = 0; j < x->ncols; j++) {
		const struct solve_column_def *a = &x->cols[j], *b = &y->cols[j];
		if (a->lo != b->lo || a->hi != b->hi || a->gain != b->gain || a->whole != b->whole)
			return false;
	}
	return true;
}

static bool same_rows(const struct solve *x, const struct solve *y)
{
	for (size_t i = 0; i < x->nrows; i++)
		if (x->rows[i].lo != y->rows[i].lo || x->rows[i].hi != y->rows[i].hi)
			return false;
	return true;
}

static bool same_entries(const struct solve *x, const struct solve *y)
{
	for (size_t k = 0; k < x->nentries; k++) {
		const struct solve_entry_def *a = &x->entries[k], *b = &y->entries[k];
		if (a->row != b->row || a->col != b->col || a->value != b->value)
			return false;
	}
	return true;
}

bool again_known(const struct again *again, const struct solve *m, const struct solve_options *o,
		 enum outcome *outcome)
{
	for (const struct asked *p = again->first; p; p = p->next) {
		const struct solve *x = &p->m;
		if (x->ncols != m->ncols || x->nrows != m->nrows || x->nentries != m->nentries ||
		    p->nodes != o->nodes || p->plain != o->plain || !same_columns(x, m) ||
		    !same_rows(x, m) || !same_entries(x, m))
			continue;
		*outcome = p->outcome;
		return true;
	}
	return false;
}

void again_keep(struct again *again, const struct solve *m, const struct solve_options *o,
		enum outcome outcome)
{
	size_t bytes = m->ncols * sizeof *m->cols + m->nrows * sizeof *m->rows +
		       m->nentries * sizeof *m->entries;
	if (again->bytes + bytes > BYTES_MOST || m->ncols == 0)
		return;
	again->bytes += bytes;
	struct asked *p = ARENA_NEW(again->a, struct asked);
	*p = (struct asked){ again->first, *m, o->nodes, o->plain, outcome };
	p->m.cols = ARENA_ARRAY(again->a, m->ncols, struct solve_column_def);
	p->m.rows = ARENA_ARRAY(again->a, m->nrows + 1, struct solve_row_def);
	p->m.entries = ARENA_ARRAY(again->a, m->nentries + 1, struct solve_entry_def);
	memcpy(p->m.cols, m->cols, m->ncols * sizeof *m->cols);
	if (m->nrows)
		memcpy(p->m.rows, m->rows, m->nrows * sizeof *m->rows);
	if (m->nentries)
		memcpy(p->m.entries, m->entries, m->nentries * sizeof *m->entries);
	again->first = p;
}

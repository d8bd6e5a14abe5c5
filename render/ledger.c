/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The ledger: what was drawn where, so that a test can find overlaps.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "render/canvas_private.h"

bp_box bp_canvas_to_page(const bp_canvas *canvas, bp_box box) {
    double x1 = box.x, y1 = box.y, x2 = box.x + box.w, y2 = box.y + box.h;
    cairo_user_to_device(canvas->cr, &x1, &y1);
    cairo_user_to_device(canvas->cr, &x2, &y2);
    return (bp_box){fmin(x1, x2), fmin(y1, y2), fabs(x2 - x1), fabs(y2 - y1)};
}

void bp_canvas_note_ink(bp_canvas *canvas, bp_box box) {
    bp_box *all = &canvas->inked[canvas->n_pages - 1];
    bp_box b = bp_canvas_to_page(canvas, box);
    if (all->w < 0) {
        *all = b;
        return;
    }
    double right = fmax(all->x + all->w, b.x + b.w), low = fmax(all->y + all->h, b.y + b.h);
    all->x = fmin(all->x, b.x);
    all->y = fmin(all->y, b.y);
    all->w = right - all->x;
    all->h = low - all->y;
}

bp_box bp_canvas_inked(const bp_canvas *canvas, size_t page) { return canvas->inked[page]; }

size_t bp_ledger_add(bp_canvas *canvas, bp_ink ink, bp_box page_box, const char *label) {
    if (canvas->n_entries == canvas->room) {
        size_t room = canvas->room ? 2 * canvas->room : 256;
        bp_ledger_entry *grown = realloc(canvas->entries, room * sizeof *grown);
        if (!grown) {
            bp_canvas_fail(canvas, BP_ERR_MEMORY, "out of memory");
            return 0;
        }
        canvas->entries = grown;
        canvas->room = room;
    }
    char *copy = strdup(label ? label : "");
    if (!copy) {
        bp_canvas_fail(canvas, BP_ERR_MEMORY, "out of memory");
        return 0;
    }
    size_t owner = canvas->n_owners ? canvas->owners[canvas->n_owners - 1] : 0;
    canvas->entries[canvas->n_entries++] =
        (bp_ledger_entry){ink, canvas->n_pages - 1, page_box, owner, copy};
    return canvas->n_entries;
}

void bp_ledger_clear(bp_canvas *canvas) {
    for (size_t i = 0; i < canvas->n_entries; i++)
        free((char *)canvas->entries[i].label);
    free(canvas->entries);
    canvas->entries = NULL;
    canvas->n_entries = canvas->room = 0;
}

size_t bp_ledger_begin(bp_canvas *canvas, bp_ink ink, bp_box box, const char *label) {
    if (canvas->status != BP_OK)
        return 0;
    if (canvas->n_owners == BP_MAX_OWNERS) {
        bp_canvas_fail(canvas, BP_ERR_USAGE, "too many frames within frames");
        return 0;
    }
    size_t number = bp_ledger_add(canvas, ink, bp_canvas_to_page(canvas, box), label);
    canvas->owners[canvas->n_owners++] = number;
    return number;
}

void bp_ledger_end(bp_canvas *canvas) {
    if (canvas->n_owners > 0)
        canvas->n_owners--;
}

void bp_ledger_wire(bp_canvas *canvas, double x1, double y1, double x2, double y2,
                    const char *label) {
    if (canvas->status != BP_OK)
        return;
    bp_box box = {fmin(x1, x2), fmin(y1, y2), fabs(x2 - x1), fabs(y2 - y1)};
    bp_ledger_add(canvas, BP_INK_WIRE, bp_canvas_to_page(canvas, box), label);
}

size_t bp_ledger_count(const bp_canvas *canvas) { return canvas->n_entries; }

const bp_ledger_entry *bp_ledger_at(const bp_canvas *canvas, size_t index) {
    return &canvas->entries[index];
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Switch: one contact for each pair of pins that any position joins.
 *
 * Slots: the pairs in the order of the positions, each where it is named for the first time.
 */
#include "circuits/kinds/switch.h"
#include "sim/model.h"

static bool same_pair(const size_t a[2], const size_t b[2]) {
    return (a[0] == b[0] && a[1] == b[1]) || (a[0] == b[1] && a[1] == b[0]);
}

/* Does this position join the pair, in its first `n` entries? */
static bool joins(const bp_position *position, size_t n, const size_t pair[2]) {
    for (size_t i = 0; i < n; i++)
        if (same_pair(position->pairs[i], pair))
            return true;
    return false;
}

static bool named_before(const bp_part *part, size_t position, size_t entry) {
    const size_t *pair = part->positions[position].pairs[entry];
    for (size_t i = 0; i < position; i++)
        if (joins(&part->positions[i], part->positions[i].n_pairs, pair))
            return true;
    return joins(&part->positions[position], entry, pair);
}

static void elements(bp_builder *b, const bp_part *part) {
    for (size_t i = 0; i < part->n_positions; i++)
        for (size_t k = 0; k < part->positions[i].n_pairs; k++)
            if (!named_before(part, i, k))
                bp_build_resistor(b, bp_build_own(b, part, part->positions[i].pairs[k][0]),
                                  bp_build_own(b, part, part->positions[i].pairs[k][1]));
}

/* Where it stands: where it was put, unless it is stuck. */
static const bp_position *stands_at(const bp_view *view) {
    size_t at = (size_t)view->setting;
    for (size_t i = 0; i < 4 && i < view->part->n_positions; i++)
        if (bp_view_fault(view, BP_SWITCH_STUCK_FIRST + (int)i, BP_NONE))
            at = i;
    return &view->part->positions[at];
}

static void values(const bp_view *view, double *value) {
    const bp_part *part = view->part;
    const bp_position *now = stands_at(view);
    const bp_fault *burnt = bp_view_fault(view, BP_SWITCH_RESISTANCE, BP_NONE);
    const bp_fault *leak = bp_view_fault(view, BP_SWITCH_LEAK, BP_NONE);
    bool dead = bp_view_fault(view, BP_SWITCH_OPEN, BP_NONE);
    double closed = view->param[BP_SWITCH_OHM] + (burnt ? burnt->severity : 0);
    double open = leak ? leak->severity : BP_OPEN_OHM;
    for (size_t i = 0; i < part->n_positions; i++)
        for (size_t k = 0; k < part->positions[i].n_pairs; k++)
            if (!named_before(part, i, k))
                *value++ =
                    !dead && joins(now, now->n_pairs, part->positions[i].pairs[k]) ? closed : open;
}

const bp_model bp_model_switch = {
    .elements = elements,
    .values = values,
    .kelvin_per_watt = 15,
};

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How far a reading may stray in good parts: each toleranced parameter in turn, and the pin
 * contacts of each part, are moved to both ends of their 95 % range and solved again, contacts of
 * relays frozen. Independent spreads add by the root of their squares, upwards and downwards by
 * themselves.
 */
#include <math.h>
#include <string.h>

#include "sim/bench.h"

/* The squares of the moves so far stand in low and high until the end. */
static void add_squares(const bp_bench *b, size_t first, size_t last, bp_raw *raw) {
    for (size_t i = first; i < last; i++) {
        if (raw[i].status != BP_READING_OK)
            continue;
        const bp_raw *ends[2] = {&b->first[i], &b->second[i]};
        double up = 0, down = 0;
        for (int k = 0; k < 2; k++) {
            if (ends[k]->status != BP_READING_OK)
                continue; /* off the display's end: it bounds nothing */
            up = fmax(up, ends[k]->value - raw[i].value);
            down = fmax(down, raw[i].value - ends[k]->value);
        }
        raw[i].low += down * down;
        raw[i].high += up * up;
    }
}

/* Is anything of the part's values another one than before? Leaves the new ones in the rig. */
static bool values_differ(bp_bench *b, size_t part, double *before, size_t room) {
    const bp_deck *d = b->deck;
    const size_t n_contacts = d->contact[part + 1] - d->contact[part];
    const size_t n_own = bp_deck_n_part_values(d, part);
    if (n_contacts + n_own > room) {
        bp_case_part_values(b->c, part, b->rig.values);
        return true;
    }
    memcpy(before, &b->rig.values[d->contact[part]], n_contacts * sizeof *before);
    memcpy(before + n_contacts, &b->rig.values[d->first[part]], n_own * sizeof *before);
    bp_case_part_values(b->c, part, b->rig.values);
    return memcmp(before, &b->rig.values[d->contact[part]], n_contacts * sizeof *before) != 0 ||
           memcmp(before + n_contacts, &b->rig.values[d->first[part]], n_own * sizeof *before) != 0;
}

/* Moves one parameter (BP_NONE: the part's contacts) both ways and adds what that does to each
 * reading. */
static bool move(bp_bench *b, size_t part, size_t param, size_t pair, bp_raw *raw) {
    double before[64];
    const size_t first = pair == BP_NONE ? 0 : pair;
    const size_t last = pair == BP_NONE ? b->deck->plan.n_pairs : pair + 1;
    bool good = true, moved = false;
    for (int k = 0; k < 2 && good; k++) {
        bp_raw *end = k == 0 ? b->first : b->second;
        b->c->moved = (bp_moved){.part = part, .param = param, .direction = k == 0 ? 1 : -1};
        if (values_differ(b, part, before, sizeof before / sizeof *before)) {
            good = bp_read_frozen(b, pair, end);
            moved = true;
        } else
            memcpy(&end[first], &raw[first], (last - first) * sizeof *end);
        b->c->moved.direction = 0;
        bp_case_part_values(b->c, part, b->rig.values);
    }
    if (moved && good)
        add_squares(b, first, last, raw);
    return good;
}

static bool move_part(bp_bench *b, const bp_part *part, size_t pair, bp_raw *raw) {
    for (size_t k = 0; part->kind->params && part->kind->params[k].key; k++)
        if (bp_case_tolerance(part, k) > 0 && !move(b, part->index, k, pair, raw))
            return false;
    const bool contacts = b->deck->contact[part->index + 1] > b->deck->contact[part->index];
    return !contacts || move(b, part->index, BP_NONE, pair, raw);
}

bool bp_find_ranges(bp_bench *b, size_t pair, bp_raw *raw) {
    const size_t first = pair == BP_NONE ? 0 : pair;
    const size_t last = pair == BP_NONE ? b->deck->plan.n_pairs : pair + 1;
    bool good = true, any = false;
    for (size_t i = first; i < last; i++) {
        raw[i].low = raw[i].high = 0;
        any = any || raw[i].status == BP_READING_OK;
    }
    for (size_t p = 0; p < b->circuit->n_parts && good && any; p++)
        good = move_part(b, &b->circuit->parts[p], pair, raw);
    for (size_t i = first; i < last; i++) {
        const bool known = raw[i].status == BP_READING_OK;
        raw[i].low = known ? raw[i].value - sqrt(raw[i].low) : NAN;
        raw[i].high = known ? raw[i].value + sqrt(raw[i].high) : NAN;
    }
    return good;
}

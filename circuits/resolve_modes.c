/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Failure modes whose range follows from the part: a copy of the kind's table that is its own.
 */
#include <stdlib.h>
#include <string.h>

#include "circuits/building.h"

static size_t length_of(const bp_mode_decl *modes) {
    size_t n = 0;
    while (modes[n].id)
        n++;
    return n;
}

void bp_resolve_modes(bp_circuit *circuit) {
    for (size_t i = 0; i < circuit->n_parts; i++) {
        bp_part *part = &circuit->parts[i];
        if (!part->kind || !part->kind->fit_modes || part->n_pins == 0)
            continue;
        const size_t n = length_of(part->kind->modes) + 1;
        part->modes = bp_build_got(circuit, calloc(n, sizeof *part->modes));
        if (!part->modes)
            continue;
        memcpy(part->modes, part->kind->modes, n * sizeof *part->modes);
        part->kind->fit_modes(part, part->modes);
    }
}

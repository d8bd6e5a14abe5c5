/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/symbol.h"

const bp_symbol *const bp_symbols[BP_N_KINDS] = {
#define X(name) &bp_symbol_##name,
    BP_KIND_LIST(X)
#undef X
};

const bp_symbol *bp_symbol_of(const bp_part *part) { return bp_symbols[bp_kind_index(part->kind)]; }

size_t bp_symbol_pieces(const bp_part *part) {
    const bp_symbol *symbol = bp_symbol_of(part);
    return symbol->pieces ? symbol->pieces(part) : 1;
}

size_t bp_symbol_paths(const bp_part *part, size_t (*pairs)[2]) {
    const bp_symbol *symbol = bp_symbol_of(part);
    if (symbol->paths)
        return symbol->paths(part, pairs);
    if (part->n_pins < 2)
        return 0;
    pairs[0][0] = 0;
    pairs[0][1] = 1;
    return 1;
}

bool bp_pin_is_drawn(const bp_part *part, size_t pin) {
    const bp_pin *p = &part->pins[pin];
    if (!p->optional || p->n_wires > 0)
        return true;
    const bp_circuit *circuit = part->circuit;
    for (size_t i = 0; circuit && i < circuit->n_points; i++)
        if (circuit->points[i].face == p->harness || circuit->points[i].face == p->own)
            return true;
    return false;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/contact.h"

#include "sim/deck.h"

bool bp_contact_exists(const bp_part *part, size_t pin) {
    const bp_pin *p = &part->pins[pin];
    /* A wire's pins borrow the faces of the pins it ends on: those contacts are not the wire's. */
    return (p->sort == BP_PIN_PLUG || p->sort == BP_PIN_BOLTED) && p->harness != p->own &&
           part->circuit->faces[p->own].part == part->index &&
           part->circuit->faces[p->own].node != part->circuit->faces[p->harness].node;
}

double bp_contact_ohm(const bp_part *part, size_t pin, const bp_contact_case *c) {
    const bool bolted = part->pins[pin].sort == BP_PIN_BOLTED;
    if (bolted ? c->bolts_apart : c->apart)
        return BP_OPEN_OHM;
    double ohm = (bolted ? BP_BOLTED_OHM : BP_PLUG_OHM) * c->factor;
    for (size_t i = 0; i < c->n_faults; i++) {
        const bp_fault *f = &c->faults[i];
        if (f->part != part->index || f->sub != pin ||
            bp_fault_mode(part->circuit, f)->scope != BP_SCOPE_PIN)
            continue;
        if (f->mode == BP_PIN_OPEN)
            return BP_OPEN_OHM;
        ohm += f->severity;
    }
    return ohm;
}

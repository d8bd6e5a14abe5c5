/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the contact between a harness terminal and a part's own terminal fails.
 */
#include "circuits/fault_parts.h"

/* What modes of one place cannot set in two ways at once. */
enum { TOUCH = 1, SPRING = 2 };

const bp_mode_decl bp_pin_modes[] = {
    /* Weights and ranges: common practice. A backed-out or corroded terminal is about as likely as
       a chafed wire. */
    [BP_PIN_OPEN] = {.id = "open",
                     .sets = TOUCH | SPRING,
                     .words = "%s open: terminal backed out or broken",
                     .scope = BP_SCOPE_PIN,
                     .weight = 0.5,
                     .intermittent = true},
    [BP_PIN_RESISTANCE] = {.id = "resistance",
                           .sets = TOUCH,
                           .words = "%s corroded or loose: high resistance",
                           .scope = BP_SCOPE_PIN,
                           .scale = BP_SCALE_LOG,
                           .unit = BP_UNIT_OHM,
                           .lo = 0.05,
                           .hi = 1000.0,
                           .typical = 1.0,
                           .weight = 0.5,
                           .intermittent = true},
    /* The severity is what the contact becomes when it is hot or moved. */
    [BP_PIN_SPREAD] = {.id = "spread",
                       .sets = SPRING,
                       .words = "%s spread: good when cold and still, bad when hot or moved",
                       .scope = BP_SCOPE_PIN,
                       .scale = BP_SCALE_LOG,
                       .unit = BP_UNIT_OHM,
                       .lo = 0.2,
                       .hi = 1e6,
                       .typical = 20.0,
                       .weight = 0.3,
                       .intermittent = true},
    {0}};

/* The same for posts and studs, under the same numbers and names. Weights and ranges: common
 * practice; a loose or crusted battery clamp is an everyday find. */
static const bp_mode_decl bolted_modes[] = {
    [BP_PIN_OPEN] = {.id = "open",
                     .sets = TOUCH | SPRING,
                     .words = "%s open: off its post or broken",
                     .scope = BP_SCOPE_PIN,
                     .weight = 0.3,
                     .seen_by_eye = true,
                     .intermittent = true},
    [BP_PIN_RESISTANCE] = {.id = "resistance",
                           .sets = TOUCH,
                           .words = "%s corroded: high resistance between post and clamp",
                           .scope = BP_SCOPE_PIN,
                           .scale = BP_SCALE_LOG,
                           .unit = BP_UNIT_OHM,
                           .lo = 1e-3,
                           .hi = 100.0,
                           .typical = 0.05,
                           .weight = 1.0,
                           .intermittent = true},
    [BP_PIN_SPREAD] = {.id = "spread",
                       .sets = SPRING,
                       .words = "%s loose: good when still, bad when hot or moved",
                       .scope = BP_SCOPE_PIN,
                       .scale = BP_SCALE_LOG,
                       .unit = BP_UNIT_OHM,
                       .lo = 0.01,
                       .hi = 1e6,
                       .typical = 1.0,
                       .weight = 0.6,
                       .intermittent = true},
    {0}};

size_t bp_fault_n_cavities(const bp_part *part) {
    for (size_t i = 0; part->kind->modes && part->kind->modes[i].id; i++)
        if (part->kind->modes[i].scope == BP_SCOPE_CAVITY)
            return part->n_pins / 2;
    return 0;
}

const bp_mode_decl *bp_fault_modes(const bp_part *part, size_t sub) {
    if (sub == BP_NONE || bp_fault_n_cavities(part) > 0)
        return part->modes ? part->modes : part->kind->modes;
    return part->pins[sub].sort == BP_PIN_BOLTED ? bolted_modes : bp_pin_modes;
}

const bp_mode_decl *bp_fault_mode(const bp_circuit *circuit, const bp_fault *fault) {
    return &bp_fault_modes(&circuit->parts[fault->part], fault->sub)[fault->mode];
}

bool bp_fault_pin_fails(const bp_part *part, size_t pin) {
    /* A joined pin is ideal: its contact belongs to the pin that it is joined to. */
    return part->pins[pin].sort == BP_PIN_PLUG || part->pins[pin].sort == BP_PIN_BOLTED;
}

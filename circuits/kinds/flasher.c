/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Flasher: switches the lamps of a turn signal on and off.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/flasher.h"

static const char *const sorts[] = {"electronic", "thermal", NULL};

static const bp_param_decl params[] = {
    [BP_FLASHER_SORT] = {.key = "sort",
                         .type = BP_PARAM_WORD,
                         .def = BP_FLASHER_ELECTRONIC,
                         .choices = sorts,
                         .words = "electronic (three terminals, flashes twice as fast when a lamp "
                                  "is out) or thermal (two terminals, stays lit when a lamp is "
                                  "out)",
                         .source = "common practice"},
    [BP_FLASHER_LOAD] = {.key = "load",
                         .unit = BP_UNIT_WATT,
                         .def = 42,
                         .lo = 1,
                         .hi = 500,
                         .words = "power of the lamps of one side that it is made for",
                         .source = "two lamps of 21 W: UN R37 and common practice"},
    [BP_FLASHER_WORKS_FROM] = {.key = "works-from",
                               .unit = BP_UNIT_VOLT,
                               .def = 8,
                               .lo = 4,
                               .hi = 12,
                               .tol = 0.5,
                               .tol_sort = BP_TOL_ABSOLUTE,
                               .words = "least voltage between 49 and 31 for its electronics",
                               .source = "works from 9 V: data-sheet typical, from memory"},
    [BP_FLASHER_CONTACT] = {.key = "contact",
                            .unit = BP_UNIT_OHM,
                            .def = 0.02,
                            .lo = 1e-3,
                            .hi = 0.5,
                            .tol = 0.5,
                            .tol_sort = BP_TOL_RELATIVE,
                            .words = "resistance from 49 to 49a while lit, with what measures the "
                                     "lamps' current",
                            .source = "at most 0.2 V at its load: data-sheet typical, from "
                                      "memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { CONTACT = 1, STICKS = 2 };

static const bp_mode_decl modes[] = {
    [BP_FLASHER_CONTACT_OPEN] = {.id = "contact-open",
                                 .sets = CONTACT | STICKS,
                                 .words = "contact of %s does not close",
                                 .weight = 2,
                                 .intermittent = true},
    [BP_FLASHER_CONTACT_RESISTANCE] = {.id = "contact-resistance",
                                       .sets = CONTACT,
                                       .words = "contact of %s burnt: high resistance",
                                       .scale = BP_SCALE_LOG,
                                       .unit = BP_UNIT_OHM,
                                       .lo = 0.1,
                                       .hi = 50,
                                       .typical = 1,
                                       .weight = 1,
                                       .intermittent = true},
    [BP_FLASHER_CONTACT_WELDED] = {.id = "contact-welded",
                                   .sets = STICKS,
                                   .words = "contact of %s welded: the lamps stay lit",
                                   .weight = 1},
    [BP_FLASHER_WRONG_LOAD] = {.id = "wrong-load",
                               .words = "flasher for lamps of another power fitted as %s",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_WATT,
                               .lo = 2,
                               .hi = 200,
                               .typical = 84,
                               .weight = 0.5,
                               .seen_by_eye = true},
    {.id = NULL}};

static void make_pins(bp_part *part, bp_report *report) {
    (void)report;
    const bool thermal = part->param[BP_FLASHER_SORT] == BP_FLASHER_THERMAL;
    bp_part_add_pin(part, "49", BP_PIN_PLUG, false);
    bp_part_add_pin(part, "49a", BP_PIN_PLUG, false);
    bp_part_add_pin(part, "31", BP_PIN_PLUG, thermal);
}

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_FLASHER_PIN_49, BP_FLASHER_PIN_49A, "as it flashes"},
    {BP_BRANCH_LOAD, BP_FLASHER_PIN_49, BP_FLASHER_PIN_31, NULL},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_flasher = {
    .id = "flasher",
    .words = "flasher",
    .note = "Turn-signal flasher, terminals by DIN 72552: 49 feed, 49a output, 31 ground. It "
            "starts when lamps are switched to 49a and tells by their current whether one is out: "
            "an electronic one flashes twice as fast, a thermal one stops flashing.",
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 4,
    .fit = 5,
    .price = 20,
    .make_pins = make_pins,
};

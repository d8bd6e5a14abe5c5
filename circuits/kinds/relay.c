/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Plug-in relay, make or change-over, with or without suppression.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/relay.h"

static const char *const terminals[] = {"din", "numbered", NULL};
static const char *const contacts[] = {"make", "change-over", "break", NULL};
static const char *const diodes[] = {"none", "cathode-86", "cathode-85", NULL};
static const char *const places[] = {"cabin", "engine", NULL};

static const bp_param_decl params[] = {
    [BP_RELAY_COIL] = {.key = "coil",
                       .unit = BP_UNIT_OHM,
                       .def = 85,
                       .lo = 10,
                       .hi = 2000,
                       .tol = 0.10,
                       .tol_sort = BP_TOL_RELATIVE,
                       .words = "resistance of the coil at 20 °C",
                       .source = "12 V plug-in relays, data-sheet typical: 85 ohm +-10 %"},
    [BP_RELAY_TERMINALS] = {.key = "terminals",
                            .type = BP_PARAM_WORD,
                            .def = BP_RELAY_DIN,
                            .choices = terminals,
                            .words = "how the terminals are printed: din (30, 85, 86, 87, 87a) or "
                                     "numbered (3, 2, 1, 5, 4 in the same order)",
                            .source = "DIN 72552; ISO 7588 numbers from memory"},
    [BP_RELAY_CONTACTS] = {.key = "contacts",
                           .type = BP_PARAM_WORD,
                           .def = BP_RELAY_MAKE,
                           .choices = contacts,
                           .words = "which contacts must have a wire: make (87), break (87a) or "
                                    "change-over (both)",
                           .source = "unless told, what its wires say"},
    [BP_RELAY_SUPPRESSION_RESISTOR] = {.key = "suppression.resistor",
                                       .unit = BP_UNIT_OHM,
                                       .def = BP_UNSET,
                                       .lo = 50,
                                       .hi = 1e4,
                                       .tol = 0.05,
                                       .tol_sort = BP_TOL_RELATIVE,
                                       .words = "resistor across the coil",
                                       .source =
                                           "470 to 1000 ohm, 5 % carbon film: data-sheet typical"},
    [BP_RELAY_SUPPRESSION_DIODE] = {.key = "suppression.diode",
                                    .type = BP_PARAM_WORD,
                                    .def = BP_RELAY_DIODE_NONE,
                                    .choices = diodes,
                                    .words =
                                        "diode across the coil and the terminal of its cathode",
                                    .source = "cathode at 86, the fed terminal: common practice"},
    [BP_RELAY_PULL_IN] = {.key = "pull-in",
                          .unit = BP_UNIT_VOLT,
                          .def = 7.2,
                          .lo = 1,
                          .hi = 24,
                          .tol = 0.8,
                          .tol_sort = BP_TOL_ABSOLUTE,
                          .words = "voltage at which it pulls in, coil at 20 °C",
                          .source = "data-sheet typical: pulls in at 54 to 67 % of 12 V, 8 V at "
                                    "most"},
    [BP_RELAY_DROP_OUT] = {.key = "drop-out",
                           .unit = BP_UNIT_VOLT,
                           .def = 2.2,
                           .lo = 0.2,
                           .hi = 12,
                           .tol = 0.7,
                           .tol_sort = BP_TOL_ABSOLUTE,
                           .words = "voltage at which it drops out, coil at 20 °C",
                           .source = "data-sheet typical: not below 1.5 V; the middle value from "
                                     "memory"},
    [BP_RELAY_CONTACT] = {.key = "contact",
                          .unit = BP_UNIT_OHM,
                          .def = 1.5e-3,
                          .lo = 1e-4,
                          .hi = 0.1,
                          .tol = 0.6,
                          .tol_sort = BP_TOL_RELATIVE,
                          .words = "resistance of a closed contact",
                          .source = "data-sheet typical: 15 mV at 10 A; spread from memory"},
    [BP_RELAY_PLACE] = {.key = "place",
                        .type = BP_PARAM_WORD,
                        .def = 0,
                        .choices = places,
                        .words = "where it sits, for the temperature of its coil: cabin or engine",
                        .source = "common practice: relays sit in a box on the body"},
    {.key = NULL}};

static bool has_resistor_or_diode(const bp_part *part) {
    return !isnan(part->param[BP_RELAY_SUPPRESSION_RESISTOR]) ||
           part->param[BP_RELAY_SUPPRESSION_DIODE] != BP_RELAY_DIODE_NONE;
}

static bool has_diode(const bp_part *part) {
    return part->param[BP_RELAY_SUPPRESSION_DIODE] != BP_RELAY_DIODE_NONE;
}

static bool uses_87a(const bp_part *part) { return part->pins[BP_RELAY_PIN_87A].n_wires > 0; }

static bool uses_87(const bp_part *part) { return part->pins[BP_RELAY_PIN_87].n_wires > 0; }

/* What modes of one place cannot set in two ways at once. */
enum { CONTACT = 1, STICKS = 2, STAYS = 4, PLACE = 8, CONTACT_87A = 16, ACROSS_COIL = 32 };

static const bp_mode_decl modes[] = {
    [BP_RELAY_COIL_OPEN] = {.id = "coil-open", .words = "coil of %s open", .weight = 2},
    [BP_RELAY_COIL_SHORTED_TURNS] = {.id = "coil-shorted-turns",
                                     .words = "turns of the coil of %s shorted",
                                     .scale = BP_SCALE_LINEAR,
                                     .unit = BP_UNIT_FRACTION,
                                     .lo = 0.1,
                                     .hi = 0.98,
                                     .typical = 0.6,
                                     .weight = 0.4},
    [BP_RELAY_COIL_RESISTANCE] = {.id = "coil-resistance",
                                  .words = "high resistance in the coil circuit of %s",
                                  .scale = BP_SCALE_LOG,
                                  .unit = BP_UNIT_OHM,
                                  .lo = 10,
                                  .hi = 1e4,
                                  .typical = 150,
                                  .weight = 0.4,
                                  .intermittent = true},
    [BP_RELAY_CONTACT_OPEN] = {.id = "contact-open",
                               .sets = CONTACT | STICKS,
                               .words = "contact of %s does not make: it clicks and passes nothing",
                               .weight = 2,
                               .intermittent = true,
                               .applies = uses_87},
    [BP_RELAY_CONTACT_RESISTANCE] = {.id = "contact-resistance",
                                     .sets = CONTACT,
                                     .words = "contact of %s burnt",
                                     .scale = BP_SCALE_LOG,
                                     .unit = BP_UNIT_OHM,
                                     .lo = 0.02,
                                     .hi = 50,
                                     .typical = 0.5,
                                     .weight = 3,
                                     .intermittent = true,
                                     .applies = uses_87},
    [BP_RELAY_CONTACT_WELDED] = {.id = "contact-welded",
                                 .sets = STICKS | STAYS,
                                 .words = "contact of %s welded: it stays in",
                                 .weight = 1,
                                 .applies = uses_87},
    [BP_RELAY_CONTACT_LEAK] = {.id = "contact-leak",
                               .words = "damp or burnt track across the open contact of %s",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_OHM,
                               .lo = 10,
                               .hi = 1e5,
                               .typical = 1000,
                               .weight = 0.3,
                               .applies = uses_87},
    [BP_RELAY_STUCK_OUT] = {.id = "stuck-out",
                            .sets = STAYS | PLACE,
                            .words = "armature of %s jammed: it does not pull in",
                            .weight = 0.5},
    [BP_RELAY_STUCK_IN] = {.id = "stuck-in",
                           .sets = PLACE,
                           .words = "armature of %s jammed: it does not drop out",
                           .weight = 0.5},
    [BP_RELAY_PULLS_IN_LATE] = {.id = "pulls-in-late",
                                .words = "%s needs more volts than it should to pull in",
                                .scale = BP_SCALE_LINEAR,
                                .unit = BP_UNIT_VOLT,
                                .lo = 8,
                                .hi = 16,
                                .typical = 11,
                                .weight = 0.5,
                                .intermittent = true},
    [BP_RELAY_CONTACT_87A_OPEN] = {.id = "contact-87a-open",
                                   .sets = CONTACT_87A,
                                   .words = "rest contact of %s does not make (or a relay without "
                                            "87a is fitted)",
                                   .weight = 1.5,
                                   .intermittent = true,
                                   .applies = uses_87a},
    [BP_RELAY_CONTACT_87A_RESISTANCE] = {.id = "contact-87a-resistance",
                                         .sets = CONTACT_87A,
                                         .words = "rest contact of %s burnt",
                                         .scale = BP_SCALE_LOG,
                                         .unit = BP_UNIT_OHM,
                                         .lo = 0.02,
                                         .hi = 50,
                                         .typical = 0.5,
                                         .weight = 2,
                                         .intermittent = true,
                                         .applies = uses_87a},
    [BP_RELAY_SUPPRESSION_OPEN] =
        {.id = "suppression-open",
         .sets = ACROSS_COIL,
         .words =
             "suppression of %s open: it shows in the instant of switching off, hardly to a meter",
         .weight = 0.3,
         .applies = has_resistor_or_diode},
    [BP_RELAY_DIODE_SHORTED] = {.id = "diode-shorted",
                                .sets = ACROSS_COIL,
                                .words = "suppression diode of %s shorted",
                                .scale = BP_SCALE_LOG,
                                .unit = BP_UNIT_OHM,
                                .lo = 0.02,
                                .hi = 10,
                                .typical = 0.1,
                                .weight = 0.7,
                                .applies = has_diode},
    [BP_RELAY_DIODE_REVERSED] = {.id = "diode-reversed",
                                 .words = "relay with its suppression diode the wrong way round "
                                          "fitted as %s",
                                 .weight = 0.5,
                                 .applies = has_diode},
    [BP_RELAY_WRONG_VOLTAGE] = {.id = "wrong-voltage",
                                .words = "24 V relay fitted as %s",
                                .weight = 0.3,
                                .seen_by_eye = true},
    [BP_RELAY_WRONG_PATTERN] = {.id = "wrong-pattern",
                                .words = "relay of the other pin pattern fitted as %s: 30 and 86 "
                                         "change places",
                                .weight = 0.3,
                                .seen_by_eye = true},
    {.id = NULL}};

static void make_pins(bp_part *part, bp_report *report) {
    static const char *const names[2][5] = {{"30", "85", "86", "87", "87a"},
                                            {"3", "2", "1", "5", "4"}};
    (void)report;
    int numbered = part->param[BP_RELAY_TERMINALS] == BP_RELAY_NUMBERED;
    int wired = (int)part->param[BP_RELAY_CONTACTS];
    bool told = part->given[BP_RELAY_CONTACTS]; /* else its wires say */
    for (size_t pin = 0; pin < 5; pin++) {
        bool spare = (pin == BP_RELAY_PIN_87A && (!told || wired == BP_RELAY_MAKE)) ||
                     (pin == BP_RELAY_PIN_87 && (!told || wired == BP_RELAY_BREAK));
        bp_part_add_pin(part, names[numbered][pin], BP_PIN_PLUG, spare);
    }
}

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_RELAY_DROP_OUT] >= part->param[BP_RELAY_PULL_IN])
        bp_part_mistake(part, report,
                        "%s drops out at %g V and pulls in at %g V: a relay drops out at a lower "
                        "voltage than it pulls in at",
                        part->id, part->param[BP_RELAY_DROP_OUT], part->param[BP_RELAY_PULL_IN]);
    if (!isnan(part->param[BP_RELAY_SUPPRESSION_RESISTOR]) && has_diode(part))
        bp_part_mistake(part, report,
                        "%s has a resistor and a diode across its coil: a relay has one of them",
                        part->id);
}

static void check_wires(const bp_part *part, bp_report *report) {
    if (!uses_87(part) && !uses_87a(part))
        bp_part_mistake(part, report,
                        "no wire goes to pin %s of relay %s, which it makes when it pulls in, nor "
                        "to %s, which it breaks: it switches nothing",
                        part->pins[BP_RELAY_PIN_87].name, part->id,
                        part->pins[BP_RELAY_PIN_87A].name);
}

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_RELAY_PIN_30, BP_RELAY_PIN_87, "while pulled in"},
    {BP_BRANCH_SWITCHED, BP_RELAY_PIN_30, BP_RELAY_PIN_87A, "while released"},
    {BP_BRANCH_LOAD, BP_RELAY_PIN_86, BP_RELAY_PIN_85, "the coil of"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_relay = {
    .id = "relay",
    .words = "relay",
    .note =
        "Plug-in relay, make (30-87) or change-over (30-87/87a). Pull-in and drop-out are "
        "decided by the coil's current, "
        "so a hot coil, whose copper has more resistance, needs more volts. Terminals as in DIN "
        "72552, or numbered 1 to 5.",
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 2,
    .fit = 2,
    .price = 10,
    .make_pins = make_pins,
    .check = check,
    .check_wires = check_wires,
};

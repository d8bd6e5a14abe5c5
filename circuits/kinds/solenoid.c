/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Solenoid: a winding that pulls a plunger or opens a valve.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/solenoid.h"

static const bp_pin_decl pins[] = {
    [BP_SOLENOID_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_SOLENOID_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "ground side"},
    {.name = NULL}};

static const char *const places[] = {"cabin", "engine", NULL};

static const bp_param_decl params[] = {
    [BP_SOLENOID_WINDING] = {.key = "resistance",
                             .unit = BP_UNIT_OHM,
                             .def = BP_UNSET,
                             .required = true,
                             .lo = 0.05,
                             .hi = 1e4,
                             .tol = 0.10,
                             .tol_sort = BP_TOL_RELATIVE,
                             .words = "resistance at 20 °C",
                             .source = "10 % for copper windings: data-sheet typical"},
    [BP_SOLENOID_INDUCTANCE] = {.key = "inductance",
                                .unit = BP_UNIT_HENRY,
                                .def = BP_UNSET,
                                .lo = 1e-6,
                                .hi = 100,
                                .words = "inductance; steady readings do not depend on it",
                                .source = "no default"},
    [BP_SOLENOID_PULL_IN] = {.key = "pull-in",
                             .unit = BP_UNIT_VOLT,
                             .def = 7.5,
                             .lo = 1,
                             .hi = 24,
                             .tol = 0.13,
                             .tol_sort = BP_TOL_RELATIVE,
                             .words = "voltage at which it pulls, winding at 20 °C",
                             .source = "works down to 8 to 9 V, 7.5 V +- 1 V: data-sheet typical, "
                                       "from memory; the same share for one of few volts"},
    [BP_SOLENOID_DROP_OUT] = {.key = "drop-out",
                              .unit = BP_UNIT_VOLT,
                              .def = 2,
                              .lo = 0.2,
                              .hi = 12,
                              .tol = 0.4,
                              .tol_sort = BP_TOL_RELATIVE,
                              .words = "voltage at which it lets go, winding at 20 °C",
                              .source = "data-sheet typical, from memory"},
    [BP_SOLENOID_PULL_TIME] = {.key = "pull-time",
                               .unit = BP_UNIT_SECOND,
                               .def = 0.015,
                               .lo = 1e-4,
                               .hi = 1,
                               .words = "how long its plunger takes to pull, once it has the "
                                        "current for it",
                               .source = "a plunger with its spring, data-sheet typical, from "
                                         "memory; an injector's needle takes about 1 ms: common "
                                         "practice"},
    [BP_SOLENOID_RELEASE_TIME] = {.key = "release-time",
                                  .unit = BP_UNIT_SECOND,
                                  .def = 0.020,
                                  .lo = 1e-4,
                                  .hi = 1,
                                  .words = "how long its plunger takes to let go",
                                  .source = "as above"},
    [BP_SOLENOID_PLACE] = {.key = "place",
                           .type = BP_PARAM_WORD,
                           .def = 0,
                           .choices = places,
                           .words = "where it sits, for its temperature: cabin or engine",
                           .source = "common practice"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { PATH = 1, PLACE = 2 };

static const bp_mode_decl modes[] = {
    [BP_SOLENOID_OPEN] = {.id = "open",
                          .sets = PATH,
                          .words = "winding of %s open",
                          .weight = 2,
                          .intermittent = true},
    [BP_SOLENOID_SHORTED_TURNS] = {.id = "shorted-turns",
                                   .words = "turns of %s shorted",
                                   .scale = BP_SCALE_LINEAR,
                                   .unit = BP_UNIT_FRACTION,
                                   .lo = 0.1,
                                   .hi = 0.98,
                                   .typical = 0.5,
                                   .weight = 0.7},
    [BP_SOLENOID_RESISTANCE] = {.id = "resistance",
                                .sets = PATH,
                                .words = "high resistance inside %s",
                                .scale = BP_SCALE_LOG,
                                .unit = BP_UNIT_OHM,
                                .lo = 0.5,
                                .hi = 1e4,
                                .typical = 20,
                                .weight = 0.5,
                                .intermittent = true},
    [BP_SOLENOID_GROUND_LEAK] = {.id = "ground-leak",
                                 .words = "winding of %s leaks to ground",
                                 .scale = BP_SCALE_LOG,
                                 .unit = BP_UNIT_OHM,
                                 .lo = 0.1,
                                 .hi = 1e4,
                                 .typical = 10,
                                 .weight = 0.4},
    [BP_SOLENOID_STUCK_OUT] = {.id = "stuck-out",
                               .sets = PLACE,
                               .words = "plunger of %s stuck: it does not pull",
                               .weight = 1.5},
    [BP_SOLENOID_STUCK_PULLED] = {.id = "stuck-pulled",
                                  .sets = PLACE,
                                  .words = "plunger of %s stuck: it does not let go",
                                  .weight = 0.7},
    [BP_SOLENOID_STIFF] = {.id = "stiff",
                           .words = "%s needs more volts than it should to pull",
                           .scale = BP_SCALE_LINEAR,
                           .unit = BP_UNIT_VOLT,
                           .lo = 8.5,
                           .hi = 16,
                           .typical = 11.5,
                           .weight = 1,
                           .intermittent = true},
    {.id = NULL}};

static void check(const bp_part *part, bp_report *report) {
    if (part->param[BP_SOLENOID_DROP_OUT] >= part->param[BP_SOLENOID_PULL_IN])
        bp_part_mistake(part, report,
                        "%s lets go at %g V and pulls at %g V: a solenoid lets go at a lower "
                        "voltage than it pulls at",
                        part->id, part->param[BP_SOLENOID_DROP_OUT],
                        part->param[BP_SOLENOID_PULL_IN]);
}

const bp_kind bp_kind_solenoid = {
    .id = "solenoid",
    .words = "solenoid",
    .note = "Winding that pulls a plunger or a valve; it moves on its current, so a hot winding "
            "needs more volts. Terminals 1 feed and 2 ground.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .access = 6,
    .fit = 20,
    .price = 45,
    .check = check,
};

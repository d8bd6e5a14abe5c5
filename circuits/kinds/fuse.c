/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fuse: a blade fuse (ISO 8820-3) in its socket.
 */
#include "circuits/kind.h"
#include "circuits/kinds/fuse.h"

static const bp_pin_decl pins[] = {
    [BP_FUSE_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "feed side"},
    [BP_FUSE_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "load side"},
    {0}};

static const bp_param_decl params[] = {
    [BP_FUSE_RATING] =
        {.key = "rating",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_AMPERE,
         .def = BP_UNSET,
         .required = true,
         .lo = 0.5,
         .hi = 500,
         .tol = 0.08,
         .tol_sort = BP_TOL_RELATIVE,
         .words = "rated current; its cold resistance and opening times follow from it",
         .source = "spread of elements inside the window of ISO 8820-3, which lets a fuse open "
                   "anywhere between 1.10 and 1.35 times its rating"},
    [BP_FUSE_RESISTANCE] =
        {.key = "resistance",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_OHM,
         .def = BP_UNSET,
         .lo = 1e-5,
         .hi = 10,
         .tol = 0.15,
         .tol_sort = BP_TOL_RELATIVE,
         .words = "cold resistance, blade to blade",
         .source = "when not given: data-sheet typical of blade fuses of its rating (from memory)"},
    {0}};

/* What modes of one place cannot set in two ways at once. */
enum { STRIP = 1 };

static const bp_mode_decl modes[] = {
    [BP_FUSE_BLOWN] = {.id = "blown",
                       .sets = STRIP,
                       .words = "%s blown",
                       .scope = BP_SCOPE_PART,
                       .weight = 1.5,
                       .seen_by_eye = true},
    [BP_FUSE_HAIRLINE] = {.id = "hairline",
                          .sets = STRIP,
                          .words = "%s cracked: shows voltage, carries little current",
                          .scope = BP_SCOPE_PART,
                          .scale = BP_SCALE_LOG,
                          .unit = BP_UNIT_OHM,
                          .lo = 0.1,
                          .hi = 100e3,
                          .typical = 20.0,
                          .weight = 0.3,
                          .intermittent = true},
    [BP_FUSE_WRONG_RATING] = {.id = "wrong-rating",
                              .words = "%s: fuse of the wrong rating fitted",
                              .scope = BP_SCOPE_PART,
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_AMPERE,
                              .lo = 1.0,
                              .hi = 40.0,
                              .typical = 3.0,
                              .weight = 0.2,
                              .seen_by_eye = true},
    {0}};

static const bp_branch ways[] = {{BP_BRANCH_GUARDS, 0, 1, NULL}, {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_fuse = {
    .id = "fuse",
    .words = "fuse",
    .note = "A blade fuse. It opens above 1.35 times its rating, the sooner the more, by the "
            "opening times of ISO 8820-3; between 1.10 and 1.35 times it is overloaded. Corroded "
            "or spread blades are faults of its pins.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 1,
    .fit = 1,
    .price = 1,
};

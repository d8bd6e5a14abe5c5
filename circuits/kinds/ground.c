/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ground: an eyelet bolted to the metal of the body or the engine.
 */
#include <math.h>

#include "circuits/circuit.h"
#include "circuits/kinds/ground.h"
#include "circuits/kinds/wire.h"

static const char *const metals[] = {"body", "engine", NULL};

static const bp_param_decl params[] = {
    [BP_GROUND_ON] = {.key = "on",
                      .type = BP_PARAM_WORD,
                      .def = BP_GROUND_ON_BODY,
                      .choices = metals,
                      .words = "the metal it is bolted to: body or engine",
                      .source = "common practice"},
    [BP_GROUND_OHM] =
        {.key = "resistance",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_OHM,
         .def = 0.3e-3,
         .lo = 1e-6,
         .hi = 1,
         .tol = 0.7,
         .tol_sort = BP_TOL_RELATIVE,
         .words = "from the eyelet through bolt and paint into the metal",
         .source = "a clean, tight ring terminal measures 0.1 to 0.5 mohm: common practice"},
    {0}};

/* What modes of one place cannot set in two ways at once. */
enum { BOLT = 1 };

static const bp_mode_decl modes[] = {
    [BP_GROUND_OPEN] = {.id = "open",
                        .sets = BOLT,
                        .words = "ground %s open",
                        .scope = BP_SCOPE_PART,
                        .weight = 0.8,
                        .seen_by_eye = true,
                        .intermittent = true},
    [BP_GROUND_RESISTANCE] = {.id = "resistance",
                              .sets = BOLT,
                              .words = "ground %s corroded or loose: high resistance",
                              .scope = BP_SCOPE_PART,
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 0.05,
                              .hi = 100.0,
                              .typical = 1.0,
                              .weight = 2.0,
                              .intermittent = true},
    {0}};

/* The pin carries the name of the metal: "G3/body", "G5/engine". */
static void make_pins(bp_part *part, bp_report *report) {
    (void)report;
    int on = (int)part->param[BP_GROUND_ON];
    bp_part_add_pin(part, metals[on], BP_PIN_EYELET, false);
}

/* Cross-section of a wire that has one of its ends on this face, m2; 0: it has none, or no end
 * there. */
static double size_at(const bp_part *wire, size_t face) {
    const bool here = wire->kind == &bp_kind_wire && wire->n_pins == 2 &&
                      (wire->pins[0].harness == face || wire->pins[1].harness == face);
    return here ? fmax(wire->param[BP_WIRE_SIZE], 0) : 0; /* of NAN and 0 it is 0 */
}

static double thickest_at(const bp_circuit *c, size_t face) {
    double size = 0;
    for (size_t i = 0; i < c->n_parts; i++)
        size = fmax(size, size_at(&c->parts[i], face));
    return size;
}

/* Thickest wire on the posts and studs of the part that has one of them on this face. */
static double thickest_of_part(const bp_circuit *c, size_t face) {
    double size = 0;
    for (size_t i = 0; i < c->n_parts; i++) {
        const bp_part *part = &c->parts[i];
        bool here = false;
        for (size_t k = 0; k < part->n_pins; k++)
            here = here || (part->pins[k].sort == BP_PIN_BOLTED && part->pins[k].harness == face);
        for (size_t k = 0; here && k < part->n_pins; k++)
            if (part->pins[k].sort == BP_PIN_BOLTED)
                size = fmax(size, thickest_at(c, part->pins[k].harness));
    }
    return size;
}

/* The copper that leads to the eyelet. A part whose housing is bolted to the ground (starter,
 * alternator) has an ideal wire to it: as much comes through it as through the thickest cable of
 * that part. */
static double copper_to(const bp_circuit *c, size_t face) {
    double size = thickest_at(c, face);
    for (size_t i = 0; i < c->n_parts; i++) {
        const bp_part *wire = &c->parts[i];
        if (wire->kind != &bp_kind_wire || wire->n_pins != 2 || !isnan(wire->param[BP_WIRE_SIZE]))
            continue;
        for (size_t end = 0; end < 2; end++)
            if (wire->pins[end].harness == face)
                size = fmax(size, thickest_of_part(c, wire->pins[!end].harness));
    }
    return size;
}

static void fit_modes(const bp_part *part, bp_mode_decl *mode) {
    bp_fit_to_cable(&mode[BP_GROUND_RESISTANCE], copper_to(part->circuit, part->pins[0].harness));
}

const bp_kind bp_kind_ground = {
    .id = "ground",
    .words = "ground",
    .note = "A ring terminal on bare metal. All grounds of the body share its metal, and so do "
            "those of the engine; the sheet metal itself (well under 1 mohm) is taken as none. "
            "Several wires on one eyelet share its fault.",
    .params = params,
    .modes = modes,
    .passive = true,
    .access = 10,
    .fit = 15,
    .price = 3,
    .make_pins = make_pins,
    .fit_modes = fit_modes,
};

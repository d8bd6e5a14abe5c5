/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/model.h"

const bp_model *const bp_models[BP_N_KINDS] = {
#define X(name) [BP_KIND_INDEX_##name] = &bp_model_##name,
    BP_KIND_LIST(X)
#undef X
};

bool bp_part_lasts(const bp_part *part) {
    const bp_model *model = bp_models[bp_kind_index(part->kind)];
    return model->lasting && !(model->comes_back && model->comes_back(part));
}

const char *bp_gone_word(const bp_circuit *circuit, const char *id) {
    const bp_part *part = &circuit->parts[bp_part_find(circuit, id)];
    return bp_models[bp_kind_index(part->kind)]->positions[1];
}

const bp_fault *bp_view_fault(const bp_view *view, int mode, size_t sub) {
    for (size_t i = 0; i < view->n_faults; i++)
        if (view->faults[i].mode == mode && (sub == BP_NONE || view->faults[i].sub == sub))
            return &view->faults[i];
    return NULL;
}

double bp_view_pin_volts(const bp_view *view, size_t pin) {
    return view->volts[bp_deck_node_of_face(view->deck, view->part->pins[pin].own)];
}

double bp_view_value(const bp_view *view, size_t slot) {
    return view->values[bp_deck_first_value(view->deck, view->part->index) + slot];
}

double bp_view_current(const bp_view *view, size_t slot) {
    const size_t value = bp_deck_first_value(view->deck, view->part->index) + slot;
    const bp_element *e = bp_deck_element_of_value(view->deck, value);
    return (view->volts[e->plus] - view->volts[e->minus]) / view->values[value];
}

double bp_copper_at(double ohm20, double celsius) { return ohm20 * (1 + 0.00393 * (celsius - 20)); }

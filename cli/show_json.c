/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "circuits/cautions.h"
#include "circuits/explain.h"
#include "circuits/kinds/wire.h"
#include "cli/json.h"
#include "cli/show.h"
#include "sim/model.h"

static json_t *face_json(const bp_circuit *circuit, size_t face) {
    char name[96];
    bp_face_name(circuit, face, name, sizeof name);
    return bp_json_text(name);
}

static json_t *param_json(const bp_part *part, size_t i) {
    const bp_param_decl *decl = &part->kind->params[i];
    json_t *object = bp_json_object(), *value = NULL;
    if (decl->type == BP_PARAM_TEXT)
        value = bp_json_text(part->text[i]);
    else if (decl->type == BP_PARAM_WORD && !isnan(part->param[i]))
        value = bp_json_text(decl->choices[(size_t)part->param[i]]);
    else
        value = bp_json_number(part->param[i]);
    bp_json_set(object, "value", value);
    bp_json_set(object, "unit",
                decl->type == BP_PARAM_QUANTITY ? bp_json_unit(decl->unit) : json_null());
    bp_json_set(object, "given", json_boolean(part->given[i]));
    return object;
}

static json_t *params_json(const bp_part *part) {
    json_t *object = bp_json_object();
    for (size_t i = 0; part->kind->params && part->kind->params[i].key; i++)
        bp_json_set(object, part->kind->params[i].key, param_json(part, i));
    return object;
}

static json_t *parts_json(const bp_circuit *circuit) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if (part->kind == &bp_kind_wire)
            continue;
        json_t *object = bp_json_object(), *pins = bp_json_array();
        for (size_t k = 0; k < part->n_pins; k++)
            bp_json_append(pins, bp_json_text(part->pins[k].name));
        bp_json_set(object, "part", bp_json_text(part->id));
        bp_json_set(object, "kind", bp_json_text(part->kind->id));
        bp_json_set(object, "label", bp_json_text(part->label));
        bp_json_set(object, "in", bp_json_text(part->unit));
        bp_json_set(object, "pins", pins);
        bp_json_set(object, "values", params_json(part));
        bp_json_append(array, object);
    }
    return array;
}

static json_t *wires_json(const bp_circuit *circuit) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *wire = &circuit->parts[i];
        if (wire->kind != &bp_kind_wire)
            continue;
        json_t *object = bp_json_object();
        bp_json_set(object, "wire", bp_json_text(wire->id));
        bp_json_set(object, "from", face_json(circuit, wire->pins[0].harness));
        bp_json_set(object, "to", face_json(circuit, wire->pins[1].harness));
        bp_json_set(object, "resistance", bp_json_number(bp_wire_ohms(wire)));
        bp_json_set(object, "values", params_json(wire));
        bp_json_append(array, object);
    }
    return array;
}

static json_t *settings_json(const bp_circuit *circuit, const bp_state *state) {
    json_t *object = bp_json_object();
    for (size_t i = 0; i < state->n_settings; i++) {
        const bp_part *part = &circuit->parts[state->settings[i].part];
        bp_json_set(object, part->id,
                    bp_json_text(bp_part_setting_name(part, state->settings[i].setting)));
    }
    return object;
}

static json_t *states_json(const bp_circuit *circuit) {
    static const char *const supplies[] = {
        [BP_SUPPLY_REST] = "rest",
        [BP_SUPPLY_CHARGING] = "charging",
        [BP_SUPPLY_CRANKING] = "cranking",
        [BP_SUPPLY_VOLTS] = "volts",
    };
    json_t *array = bp_json_array();
    for (size_t i = 0; i < circuit->n_states; i++) {
        const bp_state *state = &circuit->states[i];
        const char *from = state->from == BP_NONE ? NULL : circuit->states[state->from].id;
        json_t *object = bp_json_object();
        bp_json_set(object, "state", bp_json_text(state->id));
        bp_json_set(object, "label", bp_json_text(state->label));
        bp_json_set(object, "from", bp_json_text(from));
        bp_json_set(object, "settings", settings_json(circuit, state));
        bp_json_set(object, "supply", bp_json_text(supplies[state->supply]));
        bp_json_set(object, "speed", bp_json_number(state->speed));
        bp_json_set(object, "ambient", bp_json_number(state->ambient));
        bp_json_set(object, "engine", bp_json_number(state->engine));
        bp_json_set(object, "lasts", bp_json_number(state->lasts));
        bp_json_append(array, object);
    }
    return array;
}

static json_t *points_json(const bp_circuit *circuit) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < circuit->n_points; i++) {
        const bp_point *point = &circuit->points[i];
        json_t *object = bp_json_object();
        bp_json_set(object, "point", bp_json_text(point->id));
        bp_json_set(object, "at", face_json(circuit, point->face));
        bp_json_set(object, "reach", bp_json_text(bp_reach_name(point->reach)));
        bp_json_set(object, "access", bp_json_number(point->access));
        bp_json_set(object, "note", bp_json_text(point->note));
        bp_json_set(object, "automatic", json_boolean(point->automatic));
        bp_json_append(array, object);
    }
    return array;
}

static json_t *cautions_json(const bp_circuit *circuit) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < circuit->n_cautions; i++) {
        const char *text = bp_caution_text(circuit->cautions[i]);
        bp_json_append(array, bp_json_text(text ? text : circuit->cautions[i]));
    }
    return array;
}

static json_t *route_json(const bp_circuit *circuit, const bp_route *route) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < route->n; i++) {
        const bp_stop *stop = &route->stops[i];
        const bp_part *part = &circuit->parts[stop->part];
        json_t *object = bp_json_object();
        bp_json_set(object, "part", bp_json_text(part->id));
        bp_json_set(object, "from", bp_json_text(part->pins[stop->from].name));
        bp_json_set(object, "to", bp_json_text(part->pins[stop->to].name));
        bp_json_set(object, "when", bp_json_text(stop->when[0] ? stop->when : NULL));
        bp_json_append(array, object);
    }
    return array;
}

static json_t *routes_json(const bp_circuit *circuit, const bp_route *routes, size_t n) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < n; i++)
        bp_json_append(array, route_json(circuit, &routes[i]));
    return array;
}

static json_t *explanation_json(const bp_circuit *circuit) {
    bp_explanation all;
    json_t *array = bp_json_array();
    if (bp_explain(circuit, &all) != BP_OK)
        bp_must(NULL);
    for (size_t i = 0; i < all.n; i++) {
        const bp_explained *e = &all.item[i];
        const bp_part *part = &circuit->parts[e->part];
        const size_t guard = bp_explained_guard(e);
        char *words = bp_must(bp_explained_words(circuit, e, NULL));
        json_t *object = bp_json_object();
        bp_json_set(object, "part", bp_json_text(part->id));
        bp_json_set(object, "pin", bp_json_text(part->pins[e->pin[0]].name));
        bp_json_set(object, "other_pin", bp_json_text(part->pins[e->pin[1]].name));
        bp_json_set(object, "sort",
                    bp_json_text(e->listens             ? "input"
                                 : e->source != BP_NONE ? "spark"
                                                        : "load"));
        bp_json_set(object, "feeds", routes_json(circuit, e->feed, e->n_feeds));
        bp_json_set(object, "grounds", routes_json(circuit, e->ground, e->n_grounds));
        bp_json_set(object, "guard",
                    bp_json_text(guard == BP_NONE ? NULL : circuit->parts[guard].id));
        bp_json_set(object, "words", bp_json_text(words));
        bp_json_append(array, object);
        free(words);
    }
    bp_explanation_clear(&all);
    return array;
}

void bp_show_json(const bp_screen *out, const bp_circuit *circuit) {
    json_t *object = bp_json_object();
    bp_json_set(object, "circuit", bp_json_text(circuit->id));
    bp_json_set(object, "title", bp_json_text(circuit->title));
    bp_json_set(object, "scenario", bp_json_text(circuit->scenario));
    bp_json_set(object, "reference", face_json(circuit, circuit->reference));
    bp_json_set(object, "works", explanation_json(circuit));
    bp_json_set(object, "parts", parts_json(circuit));
    bp_json_set(object, "wires", wires_json(circuit));
    bp_json_set(object, "states", states_json(circuit));
    bp_json_set(object, "points", points_json(circuit));
    bp_json_set(object, "cautions", cautions_json(circuit));
    bp_json_print(out, object);
}

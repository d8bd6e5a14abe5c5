/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/notices.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/case.h"

typedef struct teller {
    bp_store *store;
    const bp_circuit *circuit;
    const bp_case *c;
    const bp_phase *phase;
    const double *values;
    bp_state_answer *out;
} teller;

static const bp_model *model_of(const teller *t, size_t part) {
    return bp_models[bp_kind_index(t->circuit->parts[part].kind)];
}

/* Adds to a list that has room for one entry a part. */
static void add(const teller *t, const char ***list, size_t *n, char *text) {
    if (!*list)
        *list = bp_store_get(t->store, 2 * t->circuit->n_parts + 2, sizeof **list);
    if (*list && text)
        (*list)[(*n)++] = text;
}

static const char *chatter_of(const bp_model *model) {
    for (size_t i = 0; model->says && model->says[i]; i++)
        if (strcmp(model->says[i], "chatter") == 0)
            return model->says[i];
    return NULL;
}

static void notice(const teller *t, size_t part, const bp_behaviour *b) {
    const char *id = t->circuit->parts[part].id;
    bp_notice *n = &t->out->notices[t->out->n_notices++];
    *n = (bp_notice){.part = bp_store_copy(t->store, id),
                     .says = b->says,
                     .words = bp_store_print(t->store, "%s %s", id, b->words),
                     .value = b->value,
                     .unit = b->unit};
}

/* Wiring and fuses speak up only when something is wrong with them: that is worth a sentence of its
 * own. */
static bool is_remark(const teller *t, size_t part, const bp_behaviour *b) {
    const bp_model *model = model_of(t, part);
    if (t->circuit->parts[part].kind->passive)
        return true;
    return model->lasting && t->phase->position[part] == 0 && strcmp(b->says, model->says[0]) != 0;
}

static void tell_part(const teller *t, size_t part) {
    const bp_model *model = model_of(t, part);
    bp_behaviour b = {.says = NULL, .value = NAN};
    if (t->phase->moves[part]) {
        add(t, &t->out->chatter, &t->out->n_chatter,
            bp_store_copy(t->store, t->circuit->parts[part].id));
        b = (bp_behaviour){.says = chatter_of(model), .words = "chatters", .value = NAN};
    } else if (model->behave) {
        const bp_view view = bp_case_view(t->c, part, t->values, t->phase->volts);
        if (!(view.apart && model->lasting)) /* a fuse that was taken out has nothing to hold */
            model->behave(&view, &b);
    }
    if (model->lasting && t->phase->position[part] != 0)
        add(t, &t->out->blown, &t->out->n_blown,
            bp_store_copy(t->store, t->circuit->parts[part].id));
    if (!b.says || !t->out->notices)
        return;
    notice(t, part, &b);
    if (is_remark(t, part, &b))
        add(t, &t->out->remarks, &t->out->n_remarks,
            bp_store_print(t->store, "%s %s", t->circuit->parts[part].id, b.words));
}

/* Between the clamps of the battery's own posts. */
static double supply_volts(const teller *t, const bp_deck *deck) {
    if (t->circuit->feed == BP_NONE)
        return NAN;
    const bp_part *battery = &t->circuit->parts[t->circuit->faces[t->circuit->feed].part];
    const size_t plus = bp_pin_find(battery, "+"), minus = bp_pin_find(battery, "-");
    if (plus == BP_NONE || minus == BP_NONE)
        return NAN;
    return t->phase->volts[bp_deck_node_of_face(deck, battery->pins[plus].harness)] -
           t->phase->volts[bp_deck_node_of_face(deck, battery->pins[minus].harness)];
}

void bp_make_notices(bp_store *store, const bp_task *task, const bp_deck *deck,
                     const bp_phase *phase, bp_state_answer *out) {
    const bp_circuit *circuit = deck->circuit;
    bp_case *c = bp_case_new(circuit, deck);
    double *values = calloc(deck->n_values + 1, sizeof *values);
    if (c && values) {
        c->faults = task->faults;
        memcpy(c->done, task->done, circuit->n_parts * sizeof *c->done);
        memcpy(c->position, phase->position, circuit->n_parts * sizeof *c->position);
        bp_case_enter(c, phase->state, &task->conditions);
        bp_case_values(c, values);
        const teller t = {store, circuit, c, phase, values, out};
        out->supply_volts = supply_volts(&t, deck);
        out->notices = bp_store_get(store, circuit->n_parts, sizeof *out->notices);
        for (size_t i = 0; i < circuit->n_parts; i++)
            tell_part(&t, i);
    } else
        store->failed = true;
    free(values);
    bp_case_free(&c);
}

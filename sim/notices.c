/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/notices.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/leads.h"
#include "sim/scene.h"
#include "sim/warmth.h"

typedef struct teller {
    bp_store *store;
    const bp_circuit *circuit;
    const bp_deck *deck;
    const bp_scene *scene;
    const bp_phase *phase;
    bp_state_answer *out;
    /* Scratch lists with room for every part; what is used of them is kept in the answer. */
    bp_notice *notice;
    const char **blown, **chatter, **remark;
} teller;

static const bp_model *model_of(const teller *t, size_t part) {
    return bp_models[bp_kind_index(t->circuit->parts[part].kind)];
}

static const char *chatter_of(const bp_model *model) {
    for (size_t i = 0; model->says && model->says[i]; i++)
        if (strcmp(model->says[i], "chatter") == 0)
            return model->says[i];
    return NULL;
}

static void notice(const teller *t, size_t part, const bp_behaviour *b) {
    const char *id = t->circuit->parts[part].id;
    bp_notice *n = &t->notice[t->out->n_notices++];
    *n = (bp_notice){.part = bp_store_copy(t->store, id),
                     .says = b->says,
                     .words = bp_store_print(t->store, "%s %s", id, b->words),
                     .value = b->value,
                     .unit = b->unit,
                     .senses = b->senses};
}

/* Wiring and fuses speak up only when something is wrong with them: that is worth a sentence of its
 * own. */
static bool is_remark(const teller *t, size_t part, const bp_behaviour *b) {
    const bp_model *model = model_of(t, part);
    if (t->circuit->parts[part].kind->passive)
        return true;
    const bool told = t->phase->position[part] != 0 && bp_part_lasts(&t->circuit->parts[part]);
    return model->lasting && !told && strcmp(b->says, model->says[0]) != 0;
}

static void tell_part(const teller *t, size_t part) {
    const bp_model *model = model_of(t, part);
    bp_behaviour b = {.says = NULL, .value = NAN, .senses = model->senses};
    if (t->phase->moves[part] && model->to_and_fro) {
        const bp_view view = bp_scene_view(t->scene, part);
        model->to_and_fro(&view, &b);
    } else if (t->phase->moves[part]) {
        t->chatter[t->out->n_chatter++] = bp_store_copy(t->store, t->circuit->parts[part].id);
        b = (bp_behaviour){
            .says = chatter_of(model), .words = "chatters", .value = NAN, .senses = BP_HEARD};
    } else if (model->behave) {
        const bp_view view = bp_scene_view(t->scene, part);
        if (!(view.apart && model->lasting)) /* a fuse that was taken out has nothing to hold */
            model->behave(&view, &b);
    }
    if (bp_part_lasts(&t->circuit->parts[part]) && t->phase->position[part] != 0)
        t->blown[t->out->n_blown++] = bp_store_copy(t->store, t->circuit->parts[part].id);
    if (!b.says)
        return;
    notice(t, part, &b);
    if (is_remark(t, part, &b))
        t->remark[t->out->n_remarks++] =
            bp_store_print(t->store, "%s %s", t->circuit->parts[part].id, b.words);
}

/* What a lead or lamp of an action shows. */
static void tell_lead(const teller *t, size_t i) {
    char label[160];
    bp_behaviour b = {.says = NULL, .value = NAN};
    bp_lead_behave(t->deck, t->phase->volts, i, &b);
    bp_lead_label(t->circuit, &t->deck->plan.lead[i], label, sizeof label);
    t->notice[t->out->n_notices++] =
        (bp_notice){.part = bp_store_copy(t->store, label),
                    .says = b.says,
                    .words = bp_store_print(t->store, "%s %s", label, b.words),
                    .value = b.value,
                    .unit = b.unit,
                    .senses = b.senses};
}

static bool teller_open(teller *t) {
    const size_t n = t->circuit->n_parts + t->deck->plan.n_leads + 1;
    t->notice = malloc(n * sizeof *t->notice);
    t->blown = malloc(n * sizeof *t->blown);
    t->chatter = malloc(n * sizeof *t->chatter);
    t->remark = malloc(n * sizeof *t->remark);
    return t->notice && t->blown && t->chatter && t->remark;
}

static void teller_close(teller *t) {
    bp_state_answer *out = t->out;
    out->notices = bp_store_keep(t->store, t->notice, out->n_notices, sizeof *t->notice);
    out->blown = bp_store_keep(t->store, t->blown, out->n_blown, sizeof *t->blown);
    out->chatter = bp_store_keep(t->store, t->chatter, out->n_chatter, sizeof *t->chatter);
    out->remarks = bp_store_keep(t->store, t->remark, out->n_remarks, sizeof *t->remark);
    free(t->notice);
    free(t->blown);
    free(t->chatter);
    free(t->remark);
}

void bp_make_notices(bp_store *store, bp_scene *scene, const bp_task *task, const bp_deck *deck,
                     const bp_phase *phase, bp_state_answer *out) {
    const bp_circuit *circuit = deck->circuit;
    const bool set = bp_scene_set(scene, task, deck, phase);
    teller t = {.store = store,
                .circuit = circuit,
                .deck = deck,
                .scene = scene,
                .phase = phase,
                .out = out};
    if (teller_open(&t) && set) {
        for (size_t i = 0; i < circuit->n_parts; i++)
            tell_part(&t, i);
        for (size_t i = 0; i < deck->plan.n_leads; i++)
            tell_lead(&t, i);
        bp_make_warmth(store, scene, out);
    } else
        store->failed = true;
    teller_close(&t);
}

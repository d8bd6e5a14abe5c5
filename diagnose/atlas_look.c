/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What one case shows: from the lab's answers into the atlas's arrays.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"

size_t bp_look_bytes(const bp_atlas *a) {
    const size_t n_states = a->circuit->n_states, n = n_states * a->n_places;
    const size_t chars = n + n_states * a->circuit->n_parts;
    return n * sizeof(double) + n_states * (sizeof(double) + sizeof(uint64_t)) +
           (chars + sizeof(double) - 1) / sizeof(double) * sizeof(double);
}

void bp_look_lay(const bp_atlas *a, unsigned char *memory, bp_look *look) {
    const size_t n_states = a->circuit->n_states, n = n_states * a->n_places;
    *look = (bp_look){.volts = (double *)(void *)memory};
    look->supply = look->volts + n;
    look->condition = (uint64_t *)(void *)(look->supply + n_states);
    look->sort = (unsigned char *)(look->condition + n_states);
    look->says = look->sort + n;
}

bool bp_look_new(const bp_atlas *a, bp_look *look) {
    unsigned char *memory = calloc(1, bp_look_bytes(a) + 1);
    *look = (bp_look){0};
    if (memory)
        bp_look_lay(a, memory, look);
    return memory != NULL;
}

void bp_look_free(bp_look *look) {
    if (!look->borrowed)
        free(look->volts);
    *look = (bp_look){0};
}

uint64_t bp_look_condition(const bp_atlas *a, const bp_look *look) {
    uint64_t h = 14695981039346656037u;
    for (size_t s = 0; s < a->circuit->n_states; s++)
        h = (h ^ look->condition[s]) * 1099511628211u;
    return h;
}

/* A place for a face unless one that reads the same is there. */
static void add_place(bp_atlas *a, size_t face, size_t point, bool open) {
    const size_t node = bp_face_node(a->circuit, face);
    for (size_t i = 0; i < a->n_places && !open; i++)
        if (!a->place[i].open && bp_face_node(a->circuit, a->place[i].face) == node)
            return;
    a->place[a->n_places++] = (bp_place){face, point, open};
}

bool bp_is_supply(const bp_part *part) {
    return strcmp(part->kind->id, "battery") == 0 || strcmp(part->kind->id, "source") == 0;
}

bool bp_atlas_find_places(bp_atlas *a) {
    const bp_circuit *c = a->circuit;
    a->place = calloc(c->n_points + c->n_faces + 1, sizeof *a->place);
    if (!a->place)
        return false;
    for (size_t i = 0; i < c->n_points; i++) {
        const bp_reach reach = c->points[i].reach;
        add_place(a, c->points[i].face, i, reach == BP_PLUG_OPEN || reach == BP_SOCKET_PART_OUT);
    }
    for (size_t i = 0; i < c->n_faces; i++) {
        const bp_part *part = &c->parts[c->faces[i].part];
        if (bp_is_supply(part) || strcmp(part->kind->id, "ground") == 0)
            add_place(a, i, BP_NONE, false);
    }
    a->supply_place = BP_NONE;
    for (size_t i = 0; i < a->n_places && c->feed != BP_NONE; i++)
        if (!a->place[i].open && bp_face_node(c, a->place[i].face) == bp_face_node(c, c->feed))
            a->supply_place = i;
    return true;
}

size_t bp_atlas_word(bp_atlas *a, const char *word) {
    for (size_t i = 0; i < a->n_words; i++)
        if (strcmp(a->word[i], word) == 0)
            return i;
    char *own =
        a->n_words < sizeof a->word / sizeof *a->word ? bp_store_copy(&a->store, word) : NULL;
    if (!own)
        return 0;
    a->word[a->n_words] = own;
    return a->n_words++;
}

void bp_atlas_fault_text(const bp_atlas *a, size_t fault, double severity, char *text,
                         size_t size) {
    bp_fault_case faults = {.n = 0};
    if (fault != BP_NONE) {
        faults.n = 1;
        faults.fault[0] = a->fault[fault].fault;
        faults.fault[0].severity = severity;
    }
    bp_fault_write(a->circuit, &faults, text, size);
}

/* A state that a slow fuse splits has two entries; the last of a state is what stays. */
static void take_state(bp_atlas *a, const bp_state_answer *from, size_t s, bp_look *look) {
    const size_t n_parts = a->circuit->n_parts;
    look->supply[s] = from->supply_volts;
    look->condition[s] = from->condition;
    for (size_t i = 0; i < a->n_places && i < from->n_readings; i++) {
        const bp_reading *r = &from->readings[i];
        static const bp_cell_sort sorts[] = {[BP_READING_OK] = BP_CELL_VALUE,
                                             [BP_READING_OVER] = BP_CELL_OVER,
                                             [BP_READING_UNSTEADY] = BP_CELL_UNSTEADY,
                                             [BP_READING_NONE] = BP_CELL_NONE};
        look->volts[s * a->n_places + i] = r->value;
        look->sort[s * a->n_places + i] =
            (unsigned char)(sorts[r->status] | (r->firm ? BP_CELL_FIRM : 0));
    }
    memset(&look->says[s * n_parts], 0, n_parts);
    for (size_t i = 0; i < from->n_notices; i++) {
        const size_t part = bp_part_find(a->circuit, from->notices[i].part);
        if (part != BP_NONE)
            look->says[s * n_parts + part] = (unsigned char)bp_atlas_word(a, from->notices[i].says);
    }
}

static bool take_answer(bp_atlas *a, const bp_answer *answer, bp_look *look) {
    bool any = false;
    if (!bp_look_new(a, look))
        return false;
    memset(look->sort, BP_CELL_NONE, a->circuit->n_states * a->n_places);
    for (size_t i = 0; i < answer->n_states; i++) {
        const size_t s = bp_state_find(a->circuit, answer->states[i].state);
        if (s == BP_NONE || answer->states[i].why)
            continue;
        take_state(a, &answer->states[i], s, look);
        look->slow = look->slow || answer->states[i].phase;
        any = true;
    }
    if (!any)
        bp_look_free(look);
    return true;
}

bp_pair *bp_atlas_core_pairs(bp_atlas *a) {
    bp_pair *pairs = calloc(a->n_places + 1, sizeof *pairs);
    for (size_t i = 0; pairs && i < a->n_places; i++) {
        char name[128];
        const bp_place *place = &a->place[i];
        bp_face_name(a->circuit, place->face, name, sizeof name);
        pairs[i].red =
            place->open ? a->circuit->points[place->point].id : bp_store_copy(&a->store, name);
        if (!pairs[i].red) {
            free(pairs);
            return NULL;
        }
    }
    return pairs;
}

typedef struct batch {
    bp_question *question;
    bp_answer **answer;
    char (*fault)[600];
    bp_pair *pairs;
} batch;

static void batch_clear(batch *b, size_t n) {
    for (size_t i = 0; b->answer && i < n; i++)
        bp_answer_free(&b->answer[i]);
    free(b->question);
    free(b->answer);
    free(b->fault);
    free(b->pairs);
}

static bool batch_make(bp_atlas *a, const bp_draft *draft, size_t n, batch *b) {
    *b = (batch){.question = calloc(n + 1, sizeof *b->question),
                 .answer = calloc(n + 1, sizeof *b->answer),
                 .fault = calloc(n + 1, sizeof *b->fault),
                 .pairs = bp_atlas_core_pairs(a)};
    if (!b->question || !b->answer || !b->fault || !b->pairs)
        return false;
    for (size_t i = 0; i < n; i++) {
        bp_question *q = &b->question[i];
        bp_atlas_fault_text(a, draft[i].fault, draft[i].severity, b->fault[i], sizeof b->fault[i]);
        *q = (bp_question)BP_QUESTION_INIT;
        q->faults = b->fault[i];
        q->pairs = b->pairs;
        q->n_pairs = a->n_places;
        q->draw = draft[i].draw;
        q->ambient = a->options.ambient;
        q->engine = a->options.engine;
    }
    return true;
}

bp_status bp_atlas_solve(bp_atlas *a, bp_draft *draft, size_t n, bp_report *report) {
    batch b;
    bp_status status = BP_ERR_MEMORY;
    if (batch_make(a, draft, n, &b))
        status = bp_atlas_ask(a, b.question, n, b.answer, report);
    for (size_t i = 0; i < n && status == BP_OK; i++)
        if (b.answer[i] && !take_answer(a, b.answer[i], &draft[i].look))
            status = BP_ERR_MEMORY;
    batch_clear(&b, n);
    return status;
}

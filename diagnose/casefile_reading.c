/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One reading or observation of a case file.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/text.h"
#include "diagnose/casefile_parts.h"
#include "sim/actions.h"
#include "sim/instrument.h"
#include "sim/model.h"

static const char *const keys[] = {"state", "red",     "black", "at",    "instrument",
                                   "value", "observe", "says",  "after", "present"};
enum { N_KEYS = sizeof keys / sizeof *keys };

/* A reading as it stands in the file: the node of each key, by its place in `keys`. */
enum { STATE, RED, BLACK, AT, INSTRUMENT, VALUE, OBSERVE, SAYS, AFTER, PRESENT };

typedef struct entry {
    bp_yaml *l;
    bp_casefile *file;
    yaml_node_t *whole, *node[N_KEYS];
    bool good;
} entry;

static void note(bp_yaml *l, const char *whose, const yaml_node_t *key_node, const char *key,
                 yaml_node_t *value) {
    (void)whose;
    (void)value;
    for (size_t i = 0; i < N_KEYS; i++)
        if (strcmp(keys[i], key) == 0)
            return;
    const char *near = bp_near_miss(key, keys, N_KEYS);
    BP_YAML_MISTAKE(l, key_node,
                    "unknown key \"%s\" in a reading%s%s%s: expected state, red, black, at, "
                    "instrument, value, observe, says, after or present",
                    key, near ? "; did you mean \"" : "", near ? near : "", near ? "\"?" : "");
}

static const char *text_of(entry *e, size_t key) {
    if (!e->node[key])
        return NULL;
    const char *text = bp_yaml_scalar(e->l, e->node[key], keys[key], BP_YAML_LONGEST_VALUE);
    e->good = e->good && text;
    return text ? bp_store_copy(&e->file->store, text) : NULL;
}

static void wrong(entry *e, size_t key, const char *text) {
    BP_YAML_MISTAKE(e->l, e->node[key] ? e->node[key] : e->whole, "%s", text);
    e->good = false;
}

/* "there is no WHAT "WORD" in CIRCUIT; did you mean ...?" */
static void not_there(entry *e, size_t key, const char *what, const char *word,
                      const char *const *names, size_t n) {
    char text[400], list[200] = "";
    const char *near = bp_near_miss(word, names, n);
    for (size_t i = 0, at = 0; i < n && at < sizeof list - 1; i++)
        at += (size_t)snprintf(list + at, sizeof list - at, "%s%s", i ? ", " : "", names[i]);
    if (near)
        snprintf(text, sizeof text, "there is no %s \"%.60s\" in %s; did you mean \"%s\"?", what,
                 word, bp_circuit_id(e->file->circuit), near);
    else
        snprintf(text, sizeof text, "there is no %s \"%.60s\" in %s; there are %s", what, word,
                 bp_circuit_id(e->file->circuit), list);
    wrong(e, key, text);
}

static void take_state(entry *e, bp_case_reading *r) {
    const bp_circuit *c = e->file->circuit;
    r->state = text_of(e, STATE);
    if (!r->state && c->n_states == 1)
        r->state = c->states[0].id;
    if (!r->state && !e->node[STATE])
        wrong(e, STATE, "the reading has no state: expected, for instance, state: running");
    if (!r->state || bp_state_find(c, r->state) != BP_NONE)
        return;
    const char **names = calloc(c->n_states + 1, sizeof *names);
    for (size_t i = 0; names && i < c->n_states; i++)
        names[i] = c->states[i].id;
    not_there(e, STATE, "state", r->state, names, names ? c->n_states : 0);
    free(names);
}

static void take_lead(entry *e, size_t key, const char **lead) {
    const bp_circuit *c = e->file->circuit;
    *lead = text_of(e, key);
    if (!*lead || bp_point_find(c, *lead) != BP_NONE || bp_face_find(c, *lead) != BP_NONE)
        return;
    const char **names = calloc(c->n_points + 1, sizeof *names);
    for (size_t i = 0; names && i < c->n_points; i++)
        names[i] = c->points[i].id;
    not_there(e, key, "pin or point", *lead, names, names ? c->n_points : 0);
    free(names);
}

static size_t take_part(entry *e, size_t key, const char **id) {
    const bp_circuit *c = e->file->circuit;
    *id = text_of(e, key);
    const size_t part = *id ? bp_part_find(c, *id) : BP_NONE;
    if (!*id || part != BP_NONE)
        return part;
    const char **names = calloc(c->n_parts + 1, sizeof *names);
    for (size_t i = 0; names && i < c->n_parts; i++)
        names[i] = c->parts[i].id;
    not_there(e, key, "part", *id, names, names ? c->n_parts : 0);
    free(names);
    return BP_NONE;
}

static void take_instrument(entry *e, bp_case_reading *r) {
    const char *names[BP_N_INSTRUMENTS], *text = text_of(e, INSTRUMENT);
    r->instrument = BP_VOLTS;
    for (int i = 0; i < BP_N_INSTRUMENTS; i++)
        names[i] = bp_instrument_name((bp_instrument)i);
    if (text && !bp_instrument_find(text, &r->instrument))
        not_there(e, INSTRUMENT, "instrument", text, names, BP_N_INSTRUMENTS);
    r->unit = bp_instruments[r->instrument]->unit;
}

bool bp_casefile_number(const char *text, bp_unit unit, double *value, double *digit, char *why,
                        size_t size) {
    char one[64];
    double scale = NAN;
    if (bp_quantity_parse(text, unit, value, why, size) != BP_OK)
        return false;
    const size_t length = bp_number_length(text);
    int decimals = 0;
    for (size_t i = 0, dot = 0; i < length && text[i] != 'e' && text[i] != 'E'; i++) {
        decimals += dot != 0;
        dot = dot || text[i] == '.';
    }
    const char *exponent = memchr(text, 'e', length);
    /* What one of the unit as written is worth. */
    snprintf(one, sizeof one, "1%.40s", text + length);
    if (bp_quantity_parse(one, unit, &scale, why, size) != BP_OK)
        return false;
    *digit =
        0.5 * scale * pow(10, (double)((exponent ? strtol(exponent + 1, NULL, 10) : 0) - decimals));
    return true;
}

/* What the instrument's display can show at all; *most in its unit. */
static void range_of(bp_instrument instrument, double *least, double *most) {
    switch (bp_instruments[instrument]->unit) {
    case BP_UNIT_VOLT:
        *most = instrument == BP_MILLIVOLTS ? 0.6 : instrument == BP_DIODE_TEST ? 3 : 600;
        *least = -*most;
        break;
    case BP_UNIT_AMPERE:
        *most = instrument == BP_AMPS ? 10 : 1000;
        *least = -*most;
        break;
    case BP_UNIT_OHM:
        *least = 0;
        *most = 60e6;
        break;
    default:
        *least = -INFINITY;
        *most = INFINITY;
    }
}

static bool is_lamp(bp_instrument instrument) {
    return instrument == BP_TEST_LAMP || instrument == BP_LED_LAMP;
}

static void take_word(entry *e, bp_case_reading *r, const char *text) {
    static const char *const lights[] = {"off", "dim", "bright"};
    r->sort = BP_SEEN_WORD;
    r->word = text;
    for (size_t i = 0; i < 3; i++)
        if (strcmp(text, lights[i]) == 0)
            return;
    wrong(e, VALUE, "a test lamp is off, dim or bright: expected one of these words");
}

static void take_value(entry *e, bp_case_reading *r) {
    char why[200], text[400], most_text[40];
    r->text = text_of(e, VALUE);
    r->value = r->digit = NAN;
    if (!r->text)
        return;
    if (strcmp(r->text, "OL") == 0)
        r->sort = BP_SEEN_OVER;
    else if (strcmp(r->text, "unsteady") == 0)
        r->sort = BP_SEEN_UNSTEADY;
    else if (is_lamp(r->instrument))
        take_word(e, r, r->text);
    else if (!bp_casefile_number(r->text, r->unit, &r->value, &r->digit, why, sizeof why)) {
        snprintf(text, sizeof text, "%s; a value is a number with its unit, OL or unsteady", why);
        wrong(e, VALUE, text);
    } else {
        double least, most;
        range_of(r->instrument, &least, &most);
        if (r->value >= least && r->value <= most)
            return;
        bp_quantity_format(most, r->unit, 3, most_text, sizeof most_text);
        snprintf(text, sizeof text, "%.40s cannot be read with %s: it shows no more than %s%s",
                 r->text, bp_instrument_name(r->instrument), most_text,
                 least == 0 ? ", and nothing below 0" : "");
        wrong(e, VALUE, text);
    }
}

/* What people say, for what the parts' own words are. */
static const char *own_word(const bp_model *model, const char *word) {
    static const char *const said[][2] = {
        {"dim", "weak"},    {"faint", "weak"},   {"slow", "weak"},  {"dark", "off"},
        {"silent", "off"},  {"dead", "off"},     {"still", "off"},  {"lit", "normal"},
        {"runs", "normal"}, {"works", "normal"}, {"good", "normal"}};
    for (size_t i = 0; model->says && model->says[i]; i++)
        if (strcmp(model->says[i], word) == 0)
            return word;
    for (size_t k = 0; k < sizeof said / sizeof *said; k++)
        for (size_t i = 0; model->says && model->says[i] && strcmp(said[k][0], word) == 0; i++)
            if (strcmp(model->says[i], said[k][1]) == 0)
                return said[k][1];
    return word;
}

static void take_says(entry *e, size_t part, bp_case_reading *r) {
    r->sort = BP_SEEN_WORD;
    r->value = r->digit = NAN;
    r->word = r->text = text_of(e, SAYS);
    if (!e->node[SAYS])
        wrong(e, SAYS, "what was seen of the part is missing: expected, for instance, says: off");
    if (!r->word || part == BP_NONE)
        return;
    const bp_model *model = bp_models[bp_kind_index(e->file->circuit->parts[part].kind)];
    size_t n = 0;
    r->word = own_word(model, r->word);
    while (model->says && model->says[n])
        n++;
    for (size_t i = 0; i < n; i++)
        if (strcmp(model->says[i], r->word) == 0)
            return;
    if (n == 0)
        wrong(e, OBSERVE, "nothing is seen or heard of this part: observe what it drives");
    else
        not_there(e, SAYS, "such thing to be seen as", r->word, model->says, n);
}

/* Actions must be ones that the circuit has room for. */
static void take_after(entry *e, bp_case_reading *r) {
    yaml_node_t *node = e->node[AFTER];
    bp_task task;
    char why[400] = "";
    if (!node)
        return;
    if (node->type == YAML_SCALAR_NODE) {
        const char **one = bp_store_get(&e->file->store, 1, sizeof *one);
        if (one && (one[0] = text_of(e, AFTER)))
            r->n_after = 1;
        r->after = one;
    } else {
        const char **list = bp_yaml_texts(e->l, node, "after", &r->n_after);
        const char **kept = bp_store_get(&e->file->store, r->n_after, sizeof *kept);
        for (size_t i = 0; list && kept && i < r->n_after; i++)
            kept[i] = bp_store_copy(&e->file->store, list[i]);
        if (!list || !kept)
            r->n_after = 0;
        r->after = kept;
        free(list);
    }
    if (!bp_task_init(&task, e->file->circuit))
        return;
    for (size_t i = 0; r->after && i < r->n_after && !e->file->store.failed; i++)
        if (bp_action_add(&task, e->file->circuit, r->after[i], why, sizeof why) != BP_OK)
            wrong(e, AFTER, why);
    bp_task_clear(&task);
}

static void take_present(entry *e, bp_case_reading *r) {
    static const char *const words[] = {"unknown", "yes", "no"};
    const char *text = text_of(e, PRESENT);
    /* What is complained of and seen was there when it was seen. */
    r->present = r->observe ? BP_PRESENT_YES : BP_PRESENT_UNKNOWN;
    for (int i = 0; text && i < 3; i++)
        if (strcmp(text, words[i]) == 0) {
            r->present = (bp_present)i;
            return;
        }
    if (text)
        wrong(e, PRESENT, "was the trouble there at that moment? expected yes, no or unknown");
}

static void take_parts(entry *e, bp_case_reading *r) {
    take_state(e, r);
    take_after(e, r);
    const size_t part = take_part(e, OBSERVE, &r->observe);
    take_present(e, r);
    if (e->node[OBSERVE]) {
        for (size_t i = RED; i <= VALUE; i++)
            if (e->node[i])
                wrong(e, i,
                      "an observation has no leads, no instrument and no value: expected "
                      "observe and says");
        take_says(e, part, r);
        return;
    }
    take_instrument(e, r);
    take_lead(e, RED, &r->red);
    take_lead(e, BLACK, &r->black);
    take_part(e, AT, &r->at);
    if (e->node[SAYS])
        wrong(e, SAYS, "\"says\" goes with \"observe\": a meter's reading has a value");
    if (!e->node[RED] && !e->node[AT])
        wrong(e, RED, "the red lead is nowhere: expected, for instance, red: K2.30");
    if (!e->node[VALUE])
        wrong(e, VALUE, "the reading has no value: expected, for instance, value: 12.4 V");
    take_value(e, r);
}

void bp_casefile_take_reading(bp_yaml *l, yaml_node_t *node) {
    bp_casefile *file = l->building;
    entry e = {.l = l, .file = file, .whole = node, .good = true};
    if (node->type != YAML_MAPPING_NODE) {
        BP_YAML_MISTAKE(l, node, "a reading is written as {state: running, red: E, value: 12.1 V}");
        return;
    }
    if (file->n_readings == BP_MOST_READINGS) {
        BP_YAML_MISTAKE(l, node, "more than %d readings: a case that takes so many is two cases",
                        BP_MOST_READINGS);
        return;
    }
    bp_yaml_each(l, node, "a reading", note);
    for (size_t i = 0; i < N_KEYS; i++)
        e.node[i] = bp_yaml_find(l, node, keys[i]);
    bp_case_reading r = {.line = node->start_mark.line + 1, .column = node->start_mark.column + 1};
    take_parts(&e, &r);
    if (e.good)
        file->reading[file->n_readings++] = r;
}

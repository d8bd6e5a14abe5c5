/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <backprobe/casefile.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <backprobe/load.h>

#include "circuits/memory.h"
#include "circuits/report.h"
#include "diagnose/casefile_parts.h"

static const char *const onsets[] = {
#define X(code, name) [code] = name,
    BP_ONSET_LIST(X)
#undef X
};

const char *bp_onset_name(bp_onset onset) { return onsets[onset]; }

static const char *const sections[] = {"case",     "circuit", "complaint", "onset",
                                       "replaced", "by",      "battery",   "meter",
                                       "ambient",  "engine",  "readings"};
enum { N_SECTIONS = sizeof sections / sizeof *sections };

static const char *keep(bp_yaml *l, const yaml_node_t *node, const char *what) {
    bp_casefile *file = l->building;
    const char *text = bp_yaml_scalar(l, node, what, BP_YAML_LONGEST_VALUE);
    return text ? bp_store_copy(&file->store, text) : NULL;
}

static void take_onset(bp_yaml *l, yaml_node_t *node) {
    bp_casefile *file = l->building;
    const char *text = bp_yaml_scalar(l, node, "onset", BP_YAML_LONGEST_VALUE);
    for (int i = 0; text && i < BP_N_ONSETS; i++)
        if (strcmp(onsets[i], text) == 0) {
            file->onset = (bp_onset)i;
            return;
        }
    const char *near = text ? bp_near_miss(text, onsets, BP_N_ONSETS) : NULL;
    if (text)
        BP_YAML_MISTAKE(l, node,
                        "onset is \"%.40s\"%s%s%s: expected sudden, gradual, after-work, "
                        "after-rain, when-hot, when-cold or unknown",
                        text, near ? "; did you mean \"" : "", near ? near : "", near ? "\"?" : "");
}

static void take_by(bp_yaml *l, yaml_node_t *node) {
    bp_casefile *file = l->building;
    const char *text = bp_yaml_scalar(l, node, "by", BP_YAML_LONGEST_VALUE);
    file->by_other = text && strcmp(text, "other") == 0;
    if (text && !file->by_other && strcmp(text, "self") != 0)
        BP_YAML_MISTAKE(l, node, "by is \"%.40s\": who measured? expected self or other", text);
}

static void take_replaced(bp_yaml *l, yaml_node_t *node) {
    bp_casefile *file = l->building;
    size_t n = 0;
    if (bp_yaml_is_empty(node))
        return;
    const char **list = bp_yaml_texts(l, node, "replaced", &n);
    file->replaced = bp_store_get(&file->store, n, sizeof *file->replaced);
    for (size_t i = 0; list && file->replaced && i < n; i++) {
        if (bp_part_find(file->circuit, list[i]) == BP_NONE)
            BP_YAML_MISTAKE(l, node, "replaced names \"%.60s\", and there is no such part in %s",
                            list[i], bp_circuit_id(file->circuit));
        else
            file->replaced[file->n_replaced++] = bp_store_copy(&file->store, list[i]);
    }
    free(list);
}

static void take_celsius(bp_yaml *l, yaml_node_t *node, const char *what, double *value) {
    const char *text = bp_yaml_scalar(l, node, what, BP_YAML_LONGEST_VALUE);
    char why[200];
    if (text && bp_quantity_parse(text, BP_UNIT_CELSIUS, value, why, sizeof why) != BP_OK)
        BP_YAML_MISTAKE(l, node, "%s: %s", what, why);
    else if (text && !(*value >= -60 && *value <= 250))
        BP_YAML_MISTAKE(l, node, "%s is \"%.40s\": expected -60 to 250 degC", what, text);
}

static void take_battery(bp_yaml *l, const char *whose, const yaml_node_t *key_node,
                         const char *key, yaml_node_t *value) {
    bp_casefile *file = l->building;
    char why[200];
    (void)whose;
    if (strcmp(key, "rest") != 0) {
        BP_YAML_MISTAKE(l, key_node, "unknown key \"%s\" of battery: expected rest", key);
        return;
    }
    const char *text = bp_yaml_scalar(l, value, "rest", BP_YAML_LONGEST_VALUE);
    if (text && !bp_casefile_number(text, BP_UNIT_VOLT, &file->rest_volts, &file->rest_digit, why,
                                    sizeof why))
        BP_YAML_MISTAKE(l, value, "rest: %s", why);
    else if (text && !(file->rest_volts >= 0 && file->rest_volts <= 60))
        BP_YAML_MISTAKE(l, value, "rest is \"%.40s\": a battery at rest has 0 to 60 V", text);
}

static void take_readings(bp_yaml *l, yaml_node_t *node) {
    if (bp_yaml_is_empty(node))
        return;
    if (node->type != YAML_SEQUENCE_NODE) {
        BP_YAML_MISTAKE(l, node, "readings is not a list: each one begins with a dash");
        return;
    }
    for (yaml_node_item_t *i = node->data.sequence.items.start; i < node->data.sequence.items.top;
         i++)
        bp_casefile_take_reading(l, yaml_document_get_node(l->document, *i));
}

static void take_section(bp_yaml *l, const char *whose, const yaml_node_t *key_node,
                         const char *key, yaml_node_t *value) {
    bp_casefile *file = l->building;
    (void)whose;
    if (strcmp(key, "case") == 0 || strcmp(key, "circuit") == 0)
        return; /* read before */
    if (strcmp(key, "complaint") == 0)
        file->complaint = keep(l, value, key);
    else if (strcmp(key, "meter") == 0)
        file->meter = keep(l, value, key);
    else if (strcmp(key, "onset") == 0)
        take_onset(l, value);
    else if (strcmp(key, "by") == 0)
        take_by(l, value);
    else if (strcmp(key, "replaced") == 0)
        take_replaced(l, value);
    else if (strcmp(key, "battery") == 0)
        bp_yaml_each(l, value, "battery", take_battery);
    else if (strcmp(key, "ambient") == 0)
        take_celsius(l, value, key, &file->ambient);
    else if (strcmp(key, "engine") == 0)
        take_celsius(l, value, key, &file->engine);
    else if (strcmp(key, "readings") == 0)
        take_readings(l, value);
    else {
        const char *near = bp_near_miss(key, sections, N_SECTIONS);
        BP_YAML_MISTAKE(l, key_node,
                        "unknown key \"%s\"%s%s%s: expected case, circuit, complaint, onset, "
                        "replaced, by, battery, meter, ambient, engine or readings",
                        key, near ? "; did you mean \"" : "", near ? near : "", near ? "\"?" : "");
    }
}

/* A path with a slash lies beside the case file first, then where we stand. */
static bp_status load_circuit(bp_yaml *l, const yaml_node_t *node, const char *name) {
    bp_casefile *file = l->building;
    const char *slash = strrchr(l->file, '/');
    char *beside = NULL;
    const size_t before = bp_report_count_of(l->report, BP_MISTAKE);
    bp_status status = BP_ERR_FILE;
    const size_t length = strlen(name);
    const bool is_path =
        strchr(name, '/') || (length > 5 && strcmp(name + length - 5, ".yaml") == 0);
    if (is_path && name[0] != '/' && slash &&
        asprintf(&beside, "%.*s/%s", (int)(slash - l->file), l->file, name) > 0 &&
        access(beside, F_OK) == 0)
        status = bp_load_file(beside, &file->circuit, l->report);
    else
        status = bp_load(name, &file->circuit, l->report);
    free(beside);
    if (status != BP_OK && status != BP_ERR_MEMORY) {
        BP_YAML_MISTAKE(l, node, "the circuit \"%.100s\" cannot be used%s", name,
                        bp_report_count_of(l->report, BP_MISTAKE) > before ? ": see its mistakes"
                                                                           : "");
        status = BP_ERR_INPUT;
    }
    return status;
}

/* Version and circuit, without which nothing else can be judged. */
static bp_status read_head(bp_yaml *l, yaml_node_t *root) {
    const yaml_node_t *version = bp_yaml_find(l, root, "case");
    const yaml_node_t *circuit = bp_yaml_find(l, root, "circuit");
    const char *number = version ? bp_yaml_scalar(l, version, "case", BP_YAML_LONGEST_VALUE) : NULL;
    if (!version)
        BP_YAML_MISTAKE(l, root, "this is no case file: it has no line case: 1");
    else if (number && strcmp(number, "1") != 0)
        BP_YAML_MISTAKE(l, version, "case is \"%.40s\": this program reads case files of format 1",
                        number);
    const char *name =
        circuit ? bp_yaml_scalar(l, circuit, "circuit", BP_YAML_LONGEST_VALUE) : NULL;
    if (!circuit)
        BP_YAML_MISTAKE(l, root,
                        "the case has no circuit: expected, for instance, circuit: "
                        "fuel-pump; 'backprobe circuits' lists them");
    return name ? load_circuit(l, circuit, name) : BP_ERR_INPUT;
}

static bp_status walk(yaml_document_t *document, const char *name, bp_casefile *file,
                      bp_report *report) {
    bp_yaml l = {.document = document, .file = name, .report = report, .building = file};
    yaml_node_t *root = yaml_document_get_root_node(document);
    if (!root || root->type != YAML_MAPPING_NODE) {
        bp_report_add(report, BP_MISTAKE, name, root ? root->start_mark.line + 1 : 1, 1,
                      "this is no case file: expected case: 1, circuit, readings ...");
        return BP_ERR_INPUT;
    }
    const bp_status status = read_head(&l, root);
    if (status == BP_OK)
        bp_yaml_each(&l, root, "the file", take_section);
    return l.no_memory || file->store.failed ? BP_ERR_MEMORY : status;
}

bp_status bp_casefile_text(const char *text, size_t size, const char *name, bp_casefile **file,
                           bp_report *report) {
    /* Whether a case may be handed out is read from the report, so there has to be one. */
    bp_report *own = report ? NULL : bp_report_new();
    bp_report *used = report ? report : own;
    bp_casefile *f = calloc(1, sizeof *f);
    yaml_document_t document;
    *file = NULL;
    if (!f || !used) {
        free(f);
        bp_report_free(&own);
        return BP_ERR_MEMORY;
    }
    f->rest_volts = f->rest_digit = f->ambient = f->engine = NAN;
    f->path = bp_copy(name);
    const size_t first = bp_report_count(used), before = bp_report_count_of(used, BP_MISTAKE);
    bp_status status = bp_yaml_parse(text, size, name, &document, used);
    if (status == BP_OK) {
        status = walk(&document, name, f, used);
        yaml_document_delete(&document);
    }
    if (status == BP_OK && bp_report_count_of(used, BP_MISTAKE) > before)
        status = BP_ERR_INPUT;
    bp_report_sort(used, first);
    if (status == BP_OK)
        status = bp_casefile_check_live(f, used);
    if (bp_report_failed(used) || !f->path)
        status = BP_ERR_MEMORY;
    bp_report_free(&own);
    if (status == BP_OK)
        *file = f;
    else
        bp_casefile_free(&f);
    return status;
}

bp_status bp_casefile_load(const char *path, bp_casefile **file, bp_report *report) {
    char *text = NULL;
    size_t size = 0;
    *file = NULL;
    bp_status status = bp_yaml_read(path, &text, &size, report);
    if (status == BP_OK)
        status = bp_casefile_text(text, size, path, file, report);
    free(text);
    return status;
}

void bp_casefile_free(bp_casefile **file) {
    if (!file || !*file)
        return;
    bp_circuit_free(&(*file)->circuit);
    bp_store_clear(&(*file)->store);
    free((*file)->path);
    free(*file);
    *file = NULL;
}

bool bp_casefile_is(const char *text, size_t size) {
    /* A line of its own that begins with the key, as the format's first line is written. */
    for (size_t i = 0; i + 5 <= size; i++)
        if ((i == 0 || text[i - 1] == '\n') && memcmp(text + i, "case:", 5) == 0)
            return true;
    return false;
}

const bp_circuit *bp_casefile_circuit(const bp_casefile *file) { return file->circuit; }
const char *bp_casefile_path(const bp_casefile *file) { return file->path; }
const char *bp_casefile_complaint(const bp_casefile *file) { return file->complaint; }
bp_onset bp_casefile_onset(const bp_casefile *file) { return file->onset; }
bool bp_casefile_by_other(const bp_casefile *file) { return file->by_other; }
size_t bp_casefile_n_replaced(const bp_casefile *file) { return file->n_replaced; }
const char *bp_casefile_replaced(const bp_casefile *file, size_t i) { return file->replaced[i]; }
double bp_casefile_rest_volts(const bp_casefile *file, double *digit) {
    *digit = file->rest_digit;
    return file->rest_volts;
}
double bp_casefile_ambient(const bp_casefile *file) { return file->ambient; }
double bp_casefile_engine(const bp_casefile *file) { return file->engine; }
size_t bp_casefile_n_readings(const bp_casefile *file) { return file->n_readings; }
const bp_case_reading *bp_casefile_reading(const bp_casefile *file, size_t i) {
    return &file->reading[i];
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From a file, a text or a name to a checked circuit.
 */
#include <backprobe/load.h>

#include <stdlib.h>
#include <string.h>

#include "circuits/circuit.h"
#include "circuits/folders.h"
#include "circuits/load_yaml.h"
#include "circuits/memory.h"
#include "circuits/report.h"
#include "circuits/text.h"
#include "circuits/yaml_walk.h"

static bp_status build(const char *text, size_t size, const char *name, bp_circuit **circuit,
                       bp_report *report) {
    yaml_document_t document;
    bp_status status = bp_yaml_parse(text, size, name, &document, report);
    if (status != BP_OK)
        return status;
    status = bp_load_document(&document, name, circuit, report);
    yaml_document_delete(&document);
    return status == BP_OK ? bp_circuit_finish(*circuit) : status;
}

bp_status bp_load_text(const char *text, size_t size, const char *name, bp_circuit **circuit,
                       bp_report *report) {
    /* Whether a circuit may be handed out is read from the report, so there has to be one. */
    bp_report *own = report ? NULL : bp_report_new();
    bp_report *used = report ? report : own;
    *circuit = NULL;
    if (!used)
        return BP_ERR_MEMORY;
    size_t first = bp_report_count(used), before = bp_report_count_of(used, BP_MISTAKE);
    bp_status status = build(text, size, name, circuit, used);
    if (bp_report_failed(used))
        status = BP_ERR_MEMORY;
    else if (status == BP_OK && bp_report_count_of(used, BP_MISTAKE) > before)
        status = BP_ERR_INPUT;
    bp_report_sort(used, first);
    bp_report_free(&own);
    if (status != BP_OK)
        bp_circuit_free(circuit);
    return status;
}

bp_status bp_load_file(const char *path, bp_circuit **circuit, bp_report *report) {
    char *text = NULL;
    size_t size = 0;
    *circuit = NULL;
    bp_status status = bp_yaml_read(path, &text, &size, report);
    if (status == BP_OK)
        status = bp_load_text(text, size, path, circuit, report);
    free(text);
    return status;
}

bp_status bp_load(const char *circuit_or_path, bp_circuit **circuit, bp_report *report) {
    const char *name = circuit_or_path;
    size_t length = strlen(name);
    *circuit = NULL;
    if (strchr(name, '/') || (length > 5 && strcmp(name + length - 5, ".yaml") == 0))
        return bp_load_file(name, circuit, report);
    char *path = NULL;
    bp_status status = bp_folders_find(name, &path, report);
    if (status == BP_OK)
        status = bp_load_file(path, circuit, report);
    free(path);
    return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which circuits there are.
 */
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>

#include "circuits/folders.h"
#include "circuits/memory.h"

/* Says as a warning what keeps a file from being listed: its first mistake. */
static void note_failure(const bp_found *found, const bp_report *mistakes, bp_report *report) {
    for (size_t i = 0; i < bp_report_count(mistakes); i++) {
        const bp_message *m = bp_report_at(mistakes, i);
        if (m->severity != BP_MISTAKE)
            continue;
        size_t more = bp_report_count_of(mistakes, BP_MISTAKE) - 1;
        bp_report_add(report, BP_WARNING, found->path, m->line, m->column,
                      more ? "left out: %s (and %zu more)" : "left out: %s", m->text, more);
        return;
    }
}

/* Loads one file into a row; BP_ERR_MEMORY, or BP_OK with *listed telling whether it is a circuit.
 */
static bp_status list_one(const bp_found *found, bp_listing *row, bool *listed, bp_report *report) {
    bp_report *mistakes = bp_report_new();
    bp_circuit *circuit = NULL;
    bp_status status = mistakes ? bp_load_file(found->path, &circuit, mistakes) : BP_ERR_MEMORY;
    *listed = status == BP_OK;
    if (*listed) {
        if (strcmp(bp_circuit_id(circuit), found->id) != 0)
            bp_report_add(report, BP_WARNING, found->path, 0, 0,
                          "the circuit in this file has the id %s, but is found by the file's "
                          "name: give both the same name",
                          bp_circuit_id(circuit));
        *row = (bp_listing){bp_copy(found->id), bp_copy(bp_circuit_title(circuit)),
                            bp_copy(found->path), found->own};
        status = row->id && row->title && row->path ? BP_OK : BP_ERR_MEMORY;
    } else if (status != BP_ERR_MEMORY) {
        note_failure(found, mistakes, report);
        status = BP_OK;
    }
    bp_circuit_free(&circuit);
    bp_report_free(&mistakes);
    return status;
}

bp_status bp_list_circuits(bp_listing **list, size_t *n, bp_report *report) {
    bp_found *found;
    size_t n_found;
    *list = NULL;
    *n = 0;
    bp_status status = bp_folders_list(&found, &n_found);
    if (status == BP_OK)
        *list = bp_zeroed(n_found, sizeof **list);
    if (!*list)
        status = BP_ERR_MEMORY;
    for (size_t i = 0; i < n_found && status == BP_OK; i++) {
        bool listed;
        status = list_one(&found[i], &(*list)[*n], &listed, report);
        *n += listed;
    }
    bp_found_free(&found, n_found);
    if (status != BP_OK) {
        bp_listing_free(list, *n);
        *n = 0;
    }
    return status;
}

void bp_listing_free(bp_listing **list, size_t n) {
    for (size_t i = 0; *list && i < n; i++) {
        free((*list)[i].id);
        free((*list)[i].title);
        free((*list)[i].path);
    }
    free(*list);
    *list = NULL;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Circuit files (YAML) and the folders they are found in.
 */
#ifndef BACKPROBE_LOAD_H
#define BACKPROBE_LOAD_H

#include <backprobe/circuit.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Reads a circuit file. On success *circuit is a checked circuit owned by the caller, and the
 * report may hold warnings. On failure *circuit is NULL: BP_ERR_INPUT (mistakes, with line and
 * column), BP_ERR_FILE. Files over 1 MB are refused. */
bp_status bp_load_file(const char *path, bp_circuit **circuit, bp_report *report);

/* The same from memory; `name` stands for the file in messages. */
bp_status bp_load_text(const char *text, size_t size, const char *name, bp_circuit **circuit,
                       bp_report *report);

/* CIRCUIT as people write it: a path to a file (holds a '/' or ends in .yaml), or an id looked up
 * in the user's folder, then in the library. A near miss is suggested. */
bp_status bp_load(const char *circuit_or_path, bp_circuit **circuit, bp_report *report);

/* The library folder in use (BACKPROBE_LIBRARY, else beside the program, else as installed) and the
 * user's own. Strings are owned by the caller (free); NULL when there is none. */
char *bp_library_folder(void);
char *bp_user_folder(void);

/* One row for `circuits`: strings owned by the list. */
typedef struct bp_listing {
    char *id, *title, *path;
    bool own; /* from the user's folder */
} bp_listing;

/* Every circuit file in both folders, by id; those that do not load are noted in the report as
 * warnings and left out. *list has *n rows; free with bp_listing_free. */
bp_status bp_list_circuits(bp_listing **list, size_t *n, bp_report *report);
void bp_listing_free(bp_listing **list, size_t n);

#ifdef __cplusplus
}
#endif
#endif

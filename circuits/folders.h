/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The folders in which circuits are found by their ids.
 */
#ifndef BP_CIRCUITS_FOLDERS_H
#define BP_CIRCUITS_FOLDERS_H

#include <stdbool.h>

#include <backprobe/report.h>

/* One circuit file in a folder. */
typedef struct bp_found {
    char *id; /* the file's name without .yaml */
    char *path;
    bool own; /* in the user's folder */
} bp_found;

/* The circuit files of the user's folder and of the library, by id; a file of the user's hides the
 * library's of the same name. BP_OK or BP_ERR_MEMORY; free with bp_found_free. A folder that is not
 * there holds nothing. */
bp_status bp_folders_list(bp_found **list, size_t *n);
void bp_found_free(bp_found **list, size_t n);

/* The path of the circuit file `id`, owned by the caller; BP_ERR_FILE, with a near miss in the
 * report, when there is none. */
bp_status bp_folders_find(const char *id, char **path, bp_report *report);

/* The path of something in the program's own folder of the XDG data folder ("circuits"), owned by
 * the caller; NULL when there is no home, or no memory. */
char *bp_data_path(const char *name);

#endif

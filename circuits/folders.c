/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/folders.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <backprobe/load.h>

#include "circuits/circuit.h"
#include "circuits/memory.h"

static const char suffix[] = ".yaml";

/* "a" + "b" + "c", owned by the caller. */
static char *joined(const char *a, const char *b, const char *c) {
    size_t size = strlen(a) + strlen(b) + strlen(c) + 1;
    char *text = malloc(size);
    if (text)
        snprintf(text, size, "%s%s%s", a, b, c);
    return text;
}

static bool is_folder(const char *path) {
    struct stat facts;
    return path && stat(path, &facts) == 0 && S_ISDIR(facts.st_mode);
}

/* The folder of the running program with a trailing slash, or NULL. */
static char *program_folder(void) {
    char path[4096];
    ssize_t length = readlink("/proc/self/exe", path, sizeof path - 1);
    if (length <= 0)
        return NULL;
    path[length] = '\0';
    char *slash = strrchr(path, '/');
    return slash ? bp_copy_part(path, (size_t)(slash - path) + 1) : NULL;
}

char *bp_library_folder(void) {
    const char *told = getenv("BACKPROBE_LIBRARY");
    if (told && told[0])
        return bp_copy(told);
    char *program = program_folder();
    char *installed = program ? joined(program, BP_INSTALLED_LIBRARY, "") : NULL;
    free(program);
    if (is_folder(installed))
        return installed;
    free(installed);
    return is_folder(BP_SOURCE_LIBRARY) ? bp_copy(BP_SOURCE_LIBRARY) : NULL;
}

char *bp_data_path(const char *name) {
    /* XDG base directory specification: a relative path is to be ignored. */
    const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
    if (data && data[0] == '/')
        return joined(data, "/backprobe/", name);
    if (home && home[0] == '/')
        return joined(home, "/.local/share/backprobe/", name);
    return NULL;
}

char *bp_user_folder(void) { return bp_data_path("circuits"); }

static bool is_there(const bp_found *list, size_t n, const char *id, size_t length) {
    for (size_t i = 0; i < n; i++)
        if (strlen(list[i].id) == length && strncmp(list[i].id, id, length) == 0)
            return true;
    return false;
}

/* Adds a file, unless one of that name is there already. False when memory is out. */
static bool add(bp_found **list, size_t *n, const char *folder, const char *name, bool own) {
    size_t length = strlen(name), end = sizeof suffix - 1;
    if (name[0] == '.' || length <= end || strcmp(name + length - end, suffix) != 0 ||
        is_there(*list, *n, name, length - end))
        return true;
    bp_found *room = bp_room(*list, *n, sizeof *room);
    if (!room)
        return false;
    *list = room;
    room[*n] = (bp_found){bp_copy_part(name, length - end), joined(folder, "/", name), own};
    (*n)++;
    return room[*n - 1].id && room[*n - 1].path;
}

static bool add_folder(bp_found **list, size_t *n, const char *folder, bool own) {
    DIR *entries = folder ? opendir(folder) : NULL;
    bool good = true;
    for (struct dirent *entry; good && entries && (entry = readdir(entries));)
        good = add(list, n, folder, entry->d_name, own);
    if (entries)
        closedir(entries);
    return good;
}

static int by_id(const void *a, const void *b) {
    return strcmp(((const bp_found *)a)->id, ((const bp_found *)b)->id);
}

bp_status bp_folders_list(bp_found **list, size_t *n) {
    char *own = bp_user_folder(), *library = bp_library_folder();
    *list = NULL;
    *n = 0;
    bool good = add_folder(list, n, own, true) && add_folder(list, n, library, false);
    free(own);
    free(library);
    if (!good) {
        bp_found_free(list, *n);
        *n = 0;
        return BP_ERR_MEMORY;
    }
    if (*n > 0)
        qsort(*list, *n, sizeof **list, by_id);
    return BP_OK;
}

void bp_found_free(bp_found **list, size_t n) {
    for (size_t i = 0; *list && i < n; i++) {
        free((*list)[i].id);
        free((*list)[i].path);
    }
    free(*list);
    *list = NULL;
}

static void not_found(const char *id, const bp_found *list, size_t n, bp_report *report) {
    const char **names = bp_zeroed(n, sizeof *names);
    for (size_t i = 0; i < n && names; i++)
        names[i] = list[i].id;
    const char *near = names ? bp_near_miss(id, names, n) : NULL;
    char *own = bp_user_folder(), *library = bp_library_folder();
    if (near)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                      "there is no circuit \"%.60s\"; did you mean \"%s\"?", id, near);
    else
        bp_report_add(
            report, BP_MISTAKE, NULL, 0, 0,
            "there is no circuit \"%.60s\" in %s or %s: the subcommand circuits lists those "
            "there are, and a file is named with a / or ends in .yaml",
            id, own ? own : "a folder of your own", library ? library : "a library");
    free(own);
    free(library);
    free(names);
}

bp_status bp_folders_find(const char *id, char **path, bp_report *report) {
    bp_found *list;
    size_t n;
    bp_status status = bp_folders_list(&list, &n);
    *path = NULL;
    if (status != BP_OK)
        return status;
    status = BP_ERR_FILE;
    for (size_t i = 0; i < n; i++)
        if (strcmp(list[i].id, id) == 0) {
            *path = bp_copy(list[i].path);
            status = *path ? BP_OK : BP_ERR_MEMORY;
        }
    if (status == BP_ERR_FILE)
        not_found(id, list, n, report);
    bp_found_free(&list, n);
    return status;
}

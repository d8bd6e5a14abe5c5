/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an atlas took long to work out, in files. They are named by what they depend on, so a file
 * is right or it is not found; a torn or foreign one is told by its check sum and worked out anew.
 * They are written beside and renamed: two programs at once never see half a file, and the later
 * one wins. Whatever fails here costs time and nothing else.
 */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "diagnose/atlas_parts.h"
#include "diagnose/replace_file.h"
#include "sim/task.h"

#define MAGIC "backprobe atlas 2\n"
enum { MAGIC_SIZE = sizeof MAGIC - 1, SUM_SIZE = 8 };
/* No file is larger than this, so that a garbled one does not ask for all the memory there is. */
#define MOST_BYTES ((size_t)1 << 30)

static uint64_t sum_of(const unsigned char *data, size_t size) {
    uint64_t h = 14695981039346656037u;
    size_t i = 0;
    for (; i + 8 <= size; i += 8) {
        uint64_t word;
        memcpy(&word, data + i, 8);
        h = (h ^ word) * 1099511628211u;
        h ^= h >> 29;
    }
    for (; i < size; i++)
        h = (h ^ data[i]) * 1099511628211u;
    return h;
}

/* Makes every folder of a path. */
static bool make_folders(char *path) {
    for (char *slash = strchr(path + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        const bool bad = mkdir(path, 0700) != 0 && errno != EEXIST;
        *slash = '/';
        if (bad)
            return false;
    }
    return mkdir(path, 0700) == 0 || errno == EEXIST;
}

void bp_atlas_cache_open(bp_atlas *a) {
    /* XDG base directory specification: a relative path is to be ignored. */
    const char *told = a->options.cache, *xdg = getenv("XDG_CACHE_HOME"), *home = getenv("HOME");
    char *folder = NULL;
    int length = -1;
    if (told)
        length = told[0] ? asprintf(&folder, "%s", told) : -1;
    else if (xdg && xdg[0] == '/')
        length = asprintf(&folder, "%s/backprobe", xdg);
    else if (home && home[0] == '/')
        length = asprintf(&folder, "%s/.cache/backprobe", home);
    a->folder = length > 0 ? folder : NULL;
    if (a->folder && !make_folders(a->folder)) {
        free(a->folder);
        a->folder = NULL;
    }
}

static char *path_of(const bp_atlas *a, const unsigned char key[16]) {
    char hex[33];
    char *path = NULL;
    for (size_t i = 0; i < 16; i++)
        snprintf(&hex[2 * i], 3, "%02x", key[i]);
    return a->folder && asprintf(&path, "%s/%s.atlas", a->folder, hex) > 0 ? path : NULL;
}

/* The whole file without its head and sum; data NULL when there is none that is whole. */
static bp_bytes read_file(const bp_atlas *a, const unsigned char key[16]) {
    bp_bytes all = {0};
    struct stat facts;
    char *path = path_of(a, key);
    FILE *file = path ? fopen(path, "rb") : NULL;
    free(path);
    if (!file)
        return all;
    if (fstat(fileno(file), &facts) == 0 && S_ISREG(facts.st_mode) &&
        facts.st_size > MAGIC_SIZE + SUM_SIZE && (size_t)facts.st_size < MOST_BYTES) {
        all.size = all.room = (size_t)facts.st_size;
        all.data = malloc(all.size);
    }
    uint64_t sum = 0;
    bool good = all.data && fread(all.data, 1, all.size, file) == all.size &&
                memcmp(all.data, MAGIC, MAGIC_SIZE) == 0;
    fclose(file);
    if (good) {
        all.size -= SUM_SIZE;
        all.at = MAGIC_SIZE;
        memcpy(&sum, all.data + all.size, SUM_SIZE);
        good = sum == sum_of(all.data, all.size);
    }
    if (!good)
        bp_bytes_clear(&all);
    return all;
}

/* Appends the sum and puts the file in its place; a cache that cannot be written costs only time.
 */
static void write_file(const bp_atlas *a, const unsigned char key[16], bp_bytes *all) {
    char *path = path_of(a, key);
    const uint64_t sum = sum_of(all->data, all->size);
    bp_bytes_add(all, &sum, sizeof sum);
    if (path && !all->failed)
        bp_replace_file(path, all->data, all->size, S_IRUSR | S_IWUSR, false);
    free(path);
    bp_bytes_clear(all);
}

/* What the folder may hold, bytes; the files not written for longest go first. */
#define MOST_FOLDER ((off_t)256 << 20)

/* Takes out the oldest file; false when there is none. *total: bytes of all. */
static bool drop_oldest(const char *folder, off_t *total) {
    DIR *entries = opendir(folder);
    char oldest[300] = "";
    struct timespec when = {0};
    *total = 0;
    for (struct dirent *e; entries && (e = readdir(entries));) {
        struct stat facts;
        if (strlen(e->d_name) >= sizeof oldest || !strstr(e->d_name, ".atlas") ||
            fstatat(dirfd(entries), e->d_name, &facts, AT_SYMLINK_NOFOLLOW) != 0)
            continue;
        *total += facts.st_size;
        if (!oldest[0] || facts.st_mtim.tv_sec < when.tv_sec) {
            when = facts.st_mtim;
            snprintf(oldest, sizeof oldest, "%s", e->d_name);
        }
    }
    const bool gone = oldest[0] && *total > MOST_FOLDER && unlinkat(dirfd(entries), oldest, 0) == 0;
    if (entries)
        closedir(entries);
    return gone;
}

static void tidy(const bp_atlas *a) {
    off_t total = 0;
    for (int i = 0; i < 1000 && drop_oldest(a->folder, &total); i++)
        ;
}

/* Zeroed room for n items that the rest of the file can hold at all. */
static void *get_room(bp_bytes *from, size_t n, size_t item, size_t in_file) {
    if (from->failed || n > (from->size - from->at) / (in_file ? in_file : 1)) {
        from->failed = true;
        return NULL;
    }
    void *room = calloc(n + 1, item);
    from->failed = room == NULL;
    return room;
}

static void words_write(const bp_atlas *a, bp_bytes *to) {
    bp_bytes_add(to, &a->n_words, sizeof a->n_words);
    for (size_t i = 0; i < a->n_words; i++) {
        char word[64] = "";
        strncpy(word, a->word[i], sizeof word - 1);
        bp_bytes_add(to, word, sizeof word);
    }
}

/* The words of the file as the atlas counts them. */
static void words_read(bp_atlas *a, bp_bytes *from, unsigned char map[256]) {
    size_t n = 0;
    bp_bytes_get(from, &n, sizeof n);
    from->failed = from->failed || n > 256;
    for (size_t i = 0; i < n && !from->failed; i++) {
        char word[64];
        bp_bytes_get(from, word, sizeof word);
        word[sizeof word - 1] = '\0';
        map[i] = (unsigned char)bp_atlas_word(a, word);
    }
}

static void kins_write(const bp_kins *k, bp_bytes *to) {
    bp_bytes_add(to, &k->n, sizeof k->n);
    bp_bytes_add(to, k->moves, k->n * k->width * sizeof *k->moves);
}

static void kins_read(bp_kins *k, size_t width, bp_bytes *from) {
    bp_bytes_get(from, &k->n, sizeof k->n);
    k->width = width;
    k->moves = get_room(from, k->n, width * sizeof *k->moves, width * sizeof *k->moves);
    if (k->moves)
        bp_bytes_get(from, k->moves, k->n * width * sizeof *k->moves);
}

static void sets_write(const bp_atlas *a, bp_bytes *to) {
    const bp_kin_sets *k = &a->kins;
    bp_bytes_add(to, &k->n, sizeof k->n);
    bp_bytes_add(to, &k->n_moves, sizeof k->n_moves);
    bp_bytes_add(to, k->first, (k->n * a->n_places + 1) * sizeof *k->first);
    bp_bytes_add(to, k->quantity, k->n_moves * sizeof *k->quantity);
    bp_bytes_add(to, k->move, k->n_moves * sizeof *k->move);
    bp_bytes_add(to, k->volts, k->n * a->n_places * sizeof *k->volts);
}

static bool sets_are_sane(const bp_atlas *a) {
    const bp_kin_sets *k = &a->kins;
    const size_t n = k->n * a->n_places;
    for (size_t i = 0; i < n; i++)
        if (k->first[i] > k->first[i + 1])
            return false;
    for (size_t i = 0; i < k->n_moves; i++)
        if (k->quantity[i] >= a->n_spreads)
            return false;
    return k->first[n] == k->n_moves;
}

static void sets_read(bp_atlas *a, bp_bytes *from) {
    bp_kin_sets *k = &a->kins;
    size_t n = 0, n_moves = 0;
    bp_bytes_get(from, &n, sizeof n);
    bp_bytes_get(from, &n_moves, sizeof n_moves);
    const size_t left = from->size - from->at;
    from->failed = from->failed || a->n_places == 0 || n > left / a->n_places || n_moves > left ||
                   !bp_kin_sets_make(a, n, n_moves, k);
    if (from->failed)
        return;
    bp_bytes_get(from, k->first, (n * a->n_places + 1) * sizeof *k->first);
    bp_bytes_get(from, k->quantity, n_moves * sizeof *k->quantity);
    bp_bytes_get(from, k->move, n_moves * sizeof *k->move);
    bp_bytes_get(from, k->volts, n * a->n_places * sizeof *k->volts);
    from->failed = from->failed || !sets_are_sane(a);
}

void bp_atlas_cache_write(const bp_atlas *a) {
    bp_bytes to = {0};
    if (!a->folder)
        return;
    bp_bytes_add(&to, MAGIC, MAGIC_SIZE);
    bp_bytes_add(&to, a->key, sizeof a->key);
    words_write(a, &to);
    bp_bytes_add(&to, &a->n_rows, sizeof a->n_rows);
    bp_bytes_add(&to, a->row, a->n_rows * sizeof *a->row);
    for (size_t r = 0; r < a->n_rows; r++)
        bp_bytes_add(&to, a->look[r].volts, bp_look_bytes(a));
    bp_bytes_add(&to, a->kin, a->n_rows * a->circuit->n_states * sizeof *a->kin);
    sets_write(a, &to);
    write_file(a, a->key, &to);
    tidy(a);
}

/* A check sum tells accidents; this keeps even a forged file from leading outside the arrays. */
static bool rows_are_sane(const bp_atlas *a) {
    const size_t n_states = a->circuit->n_states;
    for (size_t r = 0; r < a->n_rows; r++) {
        if (a->row[r].fault != BP_NONE && a->row[r].fault >= a->n_faults)
            return false;
        for (size_t i = 0; i < n_states * a->n_places; i++)
            if ((a->look[r].sort[i] & ~BP_CELL_FIRM) > BP_CELL_NONE)
                return false;
        for (size_t s = 0; s < n_states; s++)
            if (a->kin[r * n_states + s] > a->kins.n)
                return false;
    }
    return a->n_rows > 0 && a->row[0].fault == BP_NONE;
}

static void forget(bp_atlas *a) {
    for (size_t r = 0; a->look && r < a->n_rows; r++)
        bp_look_free(&a->look[r]);
    free(a->row);
    free(a->look);
    free(a->kin);
    bp_kin_sets_clear(&a->kins);
    a->row = NULL;
    a->look = NULL;
    a->kin = NULL;
    a->n_rows = 0;
}

bool bp_atlas_cache_read(bp_atlas *a) {
    unsigned char key[16], map[256] = {0};
    bp_bytes from = read_file(a, a->key);
    if (!from.data)
        return false;
    bp_bytes_get(&from, key, sizeof key);
    from.failed = from.failed || memcmp(key, a->key, sizeof key) != 0;
    words_read(a, &from, map);
    bp_bytes_get(&from, &a->n_rows, sizeof a->n_rows);
    a->row = get_room(&from, a->n_rows, sizeof *a->row, sizeof *a->row);
    a->look = get_room(&from, a->n_rows, sizeof *a->look, bp_look_bytes(a));
    if (a->row && a->look)
        bp_bytes_get(&from, a->row, a->n_rows * sizeof *a->row);
    for (size_t r = 0; r < a->n_rows && !from.failed; r++) {
        from.failed = !bp_look_new(a, &a->look[r]);
        if (!from.failed)
            bp_bytes_get(&from, a->look[r].volts, bp_look_bytes(a));
        for (size_t i = 0; i < a->circuit->n_states * a->circuit->n_parts && !from.failed; i++)
            a->look[r].says[i] = map[a->look[r].says[i]];
    }
    a->kin = get_room(&from, a->n_rows * a->circuit->n_states, sizeof *a->kin, sizeof *a->kin);
    if (a->kin)
        bp_bytes_get(&from, a->kin, a->n_rows * a->circuit->n_states * sizeof *a->kin);
    sets_read(a, &from);
    const bool good = !from.failed && from.at == from.size && rows_are_sane(a);
    bp_bytes_clear(&from);
    if (!good)
        forget(a);
    return good;
}

/* A column's file is named by the atlas and the test in words. */
static void column_key(const bp_atlas *a, const bp_test *t, unsigned char key[16]) {
    char *text = NULL;
    size_t size = 0;
    FILE *f = open_memstream(&text, &size);
    memcpy(key, a->key, 16);
    if (!f)
        return;
    for (size_t i = 0; i < t->n_after; i++)
        fprintf(f, "%s;", t->after[i]);
    fprintf(f, "%zu %d %zu %zu %zu %zu %zu %zu", t->state, (int)t->instrument, t->part, t->at,
            t->red, t->black, t->red_point, t->black_point);
    if (fclose(f) == 0) {
        const uint64_t sum = sum_of((unsigned char *)text, size);
        const uint64_t sums[2] = {sum, sum * 1099511628211u + size};
        unsigned char bytes[16];
        memcpy(bytes, sums, sizeof bytes);
        for (size_t i = 0; i < 16; i++)
            key[i] ^= bytes[i];
    }
    free(text);
}

void bp_column_cache_write(bp_atlas *a, bp_column_home *home) {
    bp_column *c = home->column;
    bp_bytes to = {0};
    if (!a->folder || !c || !c->changed)
        return;
    unsigned char key[16];
    column_key(a, &home->test, key);
    bp_bytes_add(&to, MAGIC, MAGIC_SIZE);
    bp_bytes_add(&to, key, sizeof key);
    words_write(a, &to);
    bp_bytes_add(&to, &c->n, sizeof c->n);
    bp_bytes_add(&to, c->rows, c->n * sizeof *c->rows);
    bp_bytes_add(&to, &c->spread, sizeof c->spread);
    kins_write(&c->kins, &to);
    write_file(a, key, &to);
    c->changed = false;
}

static bool take_column_row(const bp_atlas *a, const bp_column_row *from, const unsigned char *map,
                            bp_column *c) {
    bp_column_row *to =
        from->row < a->n_rows && !bp_column_find(c, from->row) ? bp_column_put(c, from->row) : NULL;
    if (!to || from->sort > BP_CELL_NONE)
        return false;
    *to = *from;
    to->says = map[from->says];
    return true;
}

bool bp_column_cache_read(bp_atlas *a, bp_column_home *home) {
    unsigned char key[16], own[16], map[256] = {0};
    size_t n = 0;
    column_key(a, &home->test, key);
    bp_bytes from = read_file(a, key);
    bp_column *c = from.data ? bp_column_new(a->n_rows) : NULL;
    if (!c) {
        bp_bytes_clear(&from);
        return false;
    }
    bp_bytes_get(&from, own, sizeof own);
    words_read(a, &from, map);
    bp_bytes_get(&from, &n, sizeof n);
    from.failed = from.failed || memcmp(own, key, sizeof own) != 0;
    for (size_t i = 0; i < n && !from.failed; i++) {
        bp_column_row row;
        bp_bytes_get(&from, &row, sizeof row);
        from.failed = from.failed || !take_column_row(a, &row, map, c);
    }
    bp_bytes_get(&from, &c->spread, sizeof c->spread);
    kins_read(&c->kins, a->n_spreads, &from);
    bool good = !from.failed && from.at == from.size;
    for (size_t i = 0; i < c->n && good; i++)
        good = c->rows[i].kin <= c->kins.n;
    bp_bytes_clear(&from);
    if (good)
        home->column = c;
    else
        bp_column_free(&c);
    return good;
}

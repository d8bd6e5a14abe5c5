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
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include "diagnose/atlas_parts.h"
#include "diagnose/replace_file.h"
#include "sim/task.h"

#define MAGIC "backprobe atlas 4\n"
enum { MAGIC_SIZE = sizeof MAGIC - 1, SUM_SIZE = 8 };
/* No file is larger than this, so that a garbled one does not ask for all the memory there is. */
#define MOST_BYTES ((size_t)1 << 30)

/* Four sums side by side: a processor then need not wait for one product to begin the next. */
static uint64_t sum_of(const unsigned char *data, size_t size) {
    const size_t sides = 4;
    uint64_t side[4] = {14695981039346656037u, 1, 2, 3}, h = size;
    size_t i = 0;
    for (; i + 8 * sides <= size; i += 8 * sides)
        for (size_t k = 0; k < sides; k++) {
            uint64_t word;
            memcpy(&word, data + i + 8 * k, 8);
            side[k] = (side[k] ^ word) * 1099511628211u;
            side[k] ^= side[k] >> 29;
        }
    for (size_t k = 0; k < sides; k++) {
        h = (h ^ side[k]) * 1099511628211u;
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

/* Room for a file, in large pages where the system has some: thousands of small ones take longer to
 * be handed out than to be filled. */
static unsigned char *room_for(size_t size) {
    const size_t page = (size_t)2 << 20, whole = (size + page - 1) / page * page;
    if (size < page)
        return malloc(size);
    unsigned char *room = aligned_alloc(page, whole);
    if (room)
        (void)madvise(room, whole, MADV_HUGEPAGE);
    return room;
}

/* What is used where it lies in a file begins at a multiple of this. */
enum { LINE_UP = 8 };

static size_t gap_at(size_t at) { return (LINE_UP - at % LINE_UP) % LINE_UP; }

static void add_lined_up(bp_bytes *to, const void *what, size_t size) {
    static const unsigned char zeros[LINE_UP] = {0};
    bp_bytes_add(to, zeros, gap_at(to->size));
    bp_bytes_add(to, what, size);
}

/* n items where they lie; NULL, and a failed buffer, when there are fewer. */
static void *get_lined_up(bp_bytes *from, size_t n, size_t item) {
    from->at += gap_at(from->at);
    if (from->failed || from->at > from->size || n > (from->size - from->at) / item) {
        from->failed = true;
        return NULL;
    }
    void *here = from->data + from->at;
    from->at += n * item;
    return here;
}

static bool read_all(int file, unsigned char *to, size_t size) {
    for (size_t done = 0; done < size;) {
        const ssize_t got = read(file, to + done, size - done);
        if (got <= 0 && !(got < 0 && errno == EINTR))
            return false;
        done += got > 0 ? (size_t)got : 0;
    }
    return true;
}

/* The whole file without its head and sum; data NULL when there is none that is whole. */
static bp_bytes read_file(const bp_atlas *a, const unsigned char key[16]) {
    bp_bytes all = {0};
    struct stat facts;
    char *path = path_of(a, key);
    const int file = path ? open(path, O_RDONLY | O_CLOEXEC) : -1;
    free(path);
    if (file < 0)
        return all;
    if (fstat(file, &facts) == 0 && S_ISREG(facts.st_mode) &&
        facts.st_size > MAGIC_SIZE + SUM_SIZE && (size_t)facts.st_size < MOST_BYTES) {
        all.size = all.room = (size_t)facts.st_size;
        all.data = room_for(all.size);
    }
    uint64_t sum = 0;
    bool good =
        all.data && read_all(file, all.data, all.size) && memcmp(all.data, MAGIC, MAGIC_SIZE) == 0;
    close(file);
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
    add_lined_up(to, k->first, (k->n * a->n_places + 1) * sizeof *k->first);
    add_lined_up(to, k->quantity, k->n_moves * sizeof *k->quantity);
    add_lined_up(to, k->move, k->n_moves * sizeof *k->move);
    add_lined_up(to, k->volts, k->n * a->n_places * sizeof *k->volts);
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
    /* No more than the file holds at all, so that no product below is too large for its type. */
    if (from->failed || a->n_places == 0 || n > from->size / a->n_places) {
        from->failed = true;
        return;
    }
    *k = (bp_kin_sets){.n = n, .n_moves = n_moves, .borrowed = true};
    k->first = get_lined_up(from, n * a->n_places + 1, sizeof *k->first);
    k->quantity = get_lined_up(from, n_moves, sizeof *k->quantity);
    k->move = get_lined_up(from, n_moves, sizeof *k->move);
    k->volts = get_lined_up(from, n * a->n_places, sizeof *k->volts);
    from->failed = from->failed || !sets_are_sane(a);
}

static void pulses_write(const bp_atlas *a, bp_bytes *to) {
    const size_t n = a->circuit->n_states;
    bp_bytes_add(to, a->pulses.shift, n * a->n_places * sizeof *a->pulses.shift);
    bp_bytes_add(to, a->pulses.works, n * a->circuit->n_parts);
}

static void pulses_read(bp_atlas *a, bp_bytes *from) {
    const size_t n = a->circuit->n_states;
    from->failed = from->failed || !bp_pulses_new(a, &a->pulses);
    if (from->failed)
        return;
    bp_bytes_get(from, a->pulses.shift, n * a->n_places * sizeof *a->pulses.shift);
    bp_bytes_get(from, a->pulses.works, n * a->circuit->n_parts);
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
    add_lined_up(&to, NULL, 0);
    for (size_t r = 0; r < a->n_rows; r++)
        bp_bytes_add(&to, a->look[r].volts, bp_look_bytes(a));
    bp_bytes_add(&to, a->kin, a->n_rows * a->circuit->n_states * sizeof *a->kin);
    sets_write(a, &to);
    pulses_write(a, &to);
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
    bp_pulses_clear(&a->pulses);
    a->row = NULL;
    a->look = NULL;
    a->kin = NULL;
    a->n_rows = 0;
}

/* The looks stay where they lie in the file. */
static void looks_read(bp_atlas *a, bp_bytes *from, const unsigned char map[256]) {
    const size_t each = bp_look_bytes(a), n_says = a->circuit->n_states * a->circuit->n_parts;
    unsigned char *here = get_lined_up(from, a->n_rows, each);
    for (size_t r = 0; here && r < a->n_rows; r++) {
        bp_look_lay(a, here + r * each, &a->look[r]);
        a->look[r].borrowed = true;
        for (size_t i = 0; i < n_says; i++)
            a->look[r].says[i] = map[a->look[r].says[i]];
    }
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
    looks_read(a, &from, map);
    a->kin = get_room(&from, a->n_rows * a->circuit->n_states, sizeof *a->kin, sizeof *a->kin);
    if (a->kin)
        bp_bytes_get(&from, a->kin, a->n_rows * a->circuit->n_states * sizeof *a->kin);
    sets_read(a, &from);
    pulses_read(a, &from);
    const bool good = !from.failed && from.at == from.size && rows_are_sane(a);
    if (good) {
        a->file = from.data;
        return true;
    }
    forget(a);
    bp_bytes_clear(&from);
    return false;
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

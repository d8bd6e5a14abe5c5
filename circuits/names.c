/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * "Did you mean": the nearest of the names that there are.
 */
#include "circuits/circuit.h"

#include <string.h>

/* Longer words get no suggestion: they are no misspelt name. */
enum { LONGEST = 40 };

static char lower(char c) { return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c; }

static size_t least(size_t a, size_t b) { return a < b ? a : b; }

/* Edit distance counting a letter added, dropped, changed, or swapped with its neighbour as one;
 * capitals do not count. */
static size_t distance(const char *a, size_t n_a, const char *b, size_t n_b) {
    size_t row[3][LONGEST + 1];
    for (size_t j = 0; j <= n_b; j++)
        row[0][j] = j;
    for (size_t i = 1; i <= n_a; i++) {
        size_t *now = row[i % 3], *last = row[(i + 2) % 3], *before = row[(i + 1) % 3];
        now[0] = i;
        for (size_t j = 1; j <= n_b; j++) {
            char x = lower(a[i - 1]), y = lower(b[j - 1]);
            now[j] = least(least(last[j], now[j - 1]) + 1, last[j - 1] + (x != y));
            if (i > 1 && j > 1 && x == lower(b[j - 2]) && lower(a[i - 2]) == y)
                now[j] = least(now[j], before[j - 2] + 1);
        }
    }
    return row[n_a % 3][n_b];
}

const char *bp_near_miss(const char *word, const char *const *names, size_t n) {
    size_t length = strlen(word);
    if (length == 0 || length > LONGEST)
        return NULL;
    size_t most = length / 3;
    const char *best = NULL;
    for (size_t i = 0; i < n; i++) {
        size_t other = names[i] ? strlen(names[i]) : 0;
        if (other == 0 || other > LONGEST || other > length + most || length > other + most)
            continue;
        size_t d = distance(word, length, names[i], other);
        if (d > most || d >= length)
            continue;
        best = names[i];
        if (d == 0)
            break;
        most = d - 1; /* only a nearer one takes its place */
    }
    return best;
}

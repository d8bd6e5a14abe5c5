/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/progress.h"

enum { TENTHS_BEFORE_FIRST = 10, TENTHS_BETWEEN = 2 };

bp_progress bp_progress_new(const bp_cli *cli, const char *what) {
    bp_progress progress = {.cli = cli, .what = what};
    clock_gettime(CLOCK_MONOTONIC, &progress.start);
    return progress;
}

void bp_progress_step(void *data, size_t done, size_t of) {
    bp_progress *progress = data;
    const bp_screen *err = &progress->cli->err;
    if (!err->is_terminal || of == 0)
        return;
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    long tenths = (now.tv_sec - progress->start.tv_sec) * 10 +
                  (now.tv_nsec - progress->start.tv_nsec) / 100000000;
    if (tenths < TENTHS_BEFORE_FIRST || tenths < progress->shown + TENTHS_BETWEEN)
        return;
    progress->shown = tenths;
    fprintf(err->file, "\r\033[K%zu of %zu %s, %zu %%", done, of, progress->what, done * 100 / of);
    fflush(err->file);
}

void bp_progress_end(bp_progress *progress) {
    const bp_screen *err = &progress->cli->err;
    if (progress->shown == 0)
        return;
    fputs("\r\033[K", err->file);
    fflush(err->file);
    progress->shown = 0;
}

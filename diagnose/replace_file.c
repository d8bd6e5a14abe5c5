/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/replace_file.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

static bool write_all(int fd, const unsigned char *data, size_t size) {
    while (size > 0) {
        const ssize_t n = write(fd, data, size);
        if (n < 0 && errno != EINTR)
            return false;
        if (n > 0) {
            data += n;
            size -= (size_t)n;
        }
    }
    return true;
}

static bool fill(const char *beside, int fd, const char *path, const void *data, size_t size,
                 mode_t mode, bool lasting) {
    bool good = write_all(fd, data, size) && fchmod(fd, mode) == 0 && (!lasting || fsync(fd) == 0);
    const int why = errno;
    if (close(fd) != 0)
        good = false;
    else if (!good)
        errno = why;
    return good && rename(beside, path) == 0;
}

bool bp_replace_file(const char *path, const void *data, size_t size, mode_t mode, bool lasting) {
    const struct sigaction ignore = {.sa_handler = SIG_IGN};
    struct sigaction before;
    char *beside = NULL;
    if (asprintf(&beside, "%s.XXXXXX", path) < 0) {
        errno = ENOMEM;
        return false;
    }
    sigaction(SIGXFSZ, &ignore, &before);
    const int fd = mkstemp(beside);
    const bool good = fd >= 0 && fill(beside, fd, path, data, size, mode, lasting);
    const int why = errno;
    if (fd >= 0 && !good)
        unlink(beside);
    sigaction(SIGXFSZ, &before, NULL);
    free(beside);
    errno = good ? 0 : why;
    return good;
}

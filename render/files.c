/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/files.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

bool bp_file_append(bp_file *file, const void *data, size_t size) {
    if (size > file->room - file->size) {
        size_t room = file->room ? file->room : 65536;
        while (room - file->size < size)
            room *= 2;
        unsigned char *grown = realloc(file->data, room);
        if (!grown)
            return false;
        file->data = grown;
        file->room = room;
    }
    memcpy(file->data + file->size, data, size);
    file->size += size;
    return true;
}

void bp_file_clear(bp_file *file) {
    free(file->path);
    free(file->data);
    memset(file, 0, sizeof *file);
}

/* What a person can do about it, by the system's reason. */
static const char *advice(int reason) {
    switch (reason) {
    case ENOENT:
        return "make the folder first, or name another one with -o";
    case EACCES:
    case EPERM:
    case EROFS:
        return "name a folder that you may write to with -o";
    case ENOSPC:
    case EDQUOT:
    case EFBIG:
        return "free some space, or name a folder on another disk with -o";
    case EISDIR:
        return "that is a folder: add a file name to it";
    case ENAMETOOLONG:
        return "choose a shorter name";
    default:
        return "nothing was changed there";
    }
}

static bp_status refuse(const char *path, int reason, bp_report *report) {
    bp_report_add(report, BP_MISTAKE, path, 0, 0, "cannot be written: %s; %s", strerror(reason),
                  advice(reason));
    return reason == ENOMEM ? BP_ERR_MEMORY : BP_ERR_FILE;
}

/* Where the file really goes: what a link points to is replaced, not the link. NULL with errno set.
 */
static char *goal_of(const char *path) {
    struct stat there;
    if (stat(path, &there) != 0)
        return strdup(path);
    if (S_ISDIR(there.st_mode)) {
        errno = EISDIR;
        return NULL;
    }
    return realpath(path, NULL);
}

/* A new file in the same folder, open for writing: *beside is its name. -1 with errno set. */
static int open_beside(const char *goal, char **beside) {
    const char *slash = strrchr(goal, '/');
    int folder = slash ? (int)(slash - goal) + 1 : 0;
    for (unsigned attempt = 0; attempt < 1000; attempt++) {
        if (asprintf(beside, "%.*s.backprobe-%ld-%u.part", folder, goal, (long)getpid(), attempt) <
            0) {
            *beside = NULL;
            errno = ENOMEM;
            return -1;
        }
        int fd = open(*beside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (fd >= 0 || errno != EEXIST)
            return fd;
        free(*beside);
        *beside = NULL;
    }
    errno = EEXIST;
    return -1;
}

static bool write_all(int fd, const unsigned char *data, size_t size) {
    while (size > 0) {
        ssize_t n = write(fd, data, size);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return false;
        data += n;
        size -= (size_t)n;
    }
    return fsync(fd) == 0 || errno == EINVAL; /* EINVAL: a pipe or a file system without fsync */
}

typedef struct job {
    char *goal, *beside;
} job;

/* The whole file beside its goal; 0 or the system's reason. */
static int stage(const bp_file *file, job *j) {
    j->goal = goal_of(file->path);
    if (!j->goal)
        return errno;
    int fd = open_beside(j->goal, &j->beside);
    if (fd < 0) {
        int reason = errno;
        free(j->beside);
        j->beside = NULL;
        return reason;
    }
    int reason = write_all(fd, file->data, file->size) ? 0 : errno;
    if (close(fd) != 0 && !reason)
        reason = errno;
    return reason;
}

/* Where files may only grow so large (ulimit -f), a longer one raises a signal that ends the
 * program and would leave a half file behind. Held back, it is an error like any other. */
static void hold_back(sigset_t *before) {
    sigset_t held;
    sigemptyset(&held);
    sigaddset(&held, SIGXFSZ);
    pthread_sigmask(SIG_BLOCK, &held, before);
}

static void let_go(const sigset_t *before) {
    sigset_t held;
    sigemptyset(&held);
    sigaddset(&held, SIGXFSZ);
    if (!sigismember(before, SIGXFSZ))
        sigtimedwait(&held, NULL, &(struct timespec){0});
    pthread_sigmask(SIG_SETMASK, before, NULL);
}

bp_status bp_files_write(const bp_file *files, size_t n, bp_report *report) {
    job *jobs = calloc(n ? n : 1, sizeof *jobs);
    if (!jobs)
        return refuse(n ? files[0].path : NULL, ENOMEM, report);
    bp_status status = BP_OK;
    sigset_t before;
    hold_back(&before);
    for (size_t i = 0; i < n && status == BP_OK; i++) {
        int reason = stage(&files[i], &jobs[i]);
        if (reason)
            status = refuse(files[i].path, reason, report);
    }
    let_go(&before);
    for (size_t i = 0; i < n && status == BP_OK; i++) {
        if (rename(jobs[i].beside, jobs[i].goal) != 0) {
            status = refuse(files[i].path, errno, report);
        } else {
            free(jobs[i].beside);
            jobs[i].beside = NULL;
        }
    }
    for (size_t i = 0; i < n; i++) {
        if (jobs[i].beside)
            unlink(jobs[i].beside);
        free(jobs[i].beside);
        free(jobs[i].goal);
    }
    free(jobs);
    return status;
}

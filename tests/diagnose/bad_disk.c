/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/diagnose/bad_disk.h"

#include <signal.h>
#include <sqlite3.h>
#include <string.h>
#include <unistd.h>

/* Our part of an open file; the real one's follows. */
typedef struct bad_file {
    sqlite3_file base;
    sqlite3_file *real;
} bad_file;

static struct {
    sqlite3_vfs *real;
    bad_disk_sort sort;
    size_t left;
    bool struck;
} disk;

/* SQLITE_OK, or what goes wrong at this moment. */
static int moment(void) {
    if (!disk.struck && (disk.left == 0 || --disk.left > 0))
        return SQLITE_OK;
    disk.struck = true;
    return disk.sort == BAD_DISK_FULL ? SQLITE_FULL : SQLITE_IOERR;
}

static void end_if_killed(void) {
    if (disk.sort == BAD_DISK_KILL)
        kill(getpid(), SIGKILL);
}

static sqlite3_file *real(sqlite3_file *file) { return ((bad_file *)file)->real; }

static int close_file(sqlite3_file *f) { return real(f)->pMethods->xClose(real(f)); }

static int read_file(sqlite3_file *f, void *to, int size, sqlite3_int64 at) {
    return real(f)->pMethods->xRead(real(f), to, size, at);
}

static int write_file(sqlite3_file *f, const void *from, int size, sqlite3_int64 at) {
    const int code = moment();
    if (code == SQLITE_OK)
        return real(f)->pMethods->xWrite(real(f), from, size, at);
    if (disk.sort == BAD_DISK_KILL)
        real(f)->pMethods->xWrite(real(f), from, size / 2, at);
    end_if_killed();
    return code;
}

static int truncate_file(sqlite3_file *f, sqlite3_int64 size) {
    const int code = moment();
    if (code == SQLITE_OK)
        return real(f)->pMethods->xTruncate(real(f), size);
    end_if_killed();
    return code == SQLITE_FULL ? SQLITE_IOERR_TRUNCATE : code;
}

static int sync_file(sqlite3_file *f, int flags) {
    const int code = moment();
    if (code == SQLITE_OK)
        return real(f)->pMethods->xSync(real(f), flags);
    end_if_killed();
    return code;
}

static int size_of_file(sqlite3_file *f, sqlite3_int64 *size) {
    return real(f)->pMethods->xFileSize(real(f), size);
}

static int lock(sqlite3_file *f, int level) { return real(f)->pMethods->xLock(real(f), level); }

static int unlock(sqlite3_file *f, int level) { return real(f)->pMethods->xUnlock(real(f), level); }

static int check_lock(sqlite3_file *f, int *taken) {
    return real(f)->pMethods->xCheckReservedLock(real(f), taken);
}

static int control(sqlite3_file *f, int what, void *data) {
    return real(f)->pMethods->xFileControl(real(f), what, data);
}

static int sector_size(sqlite3_file *f) { return real(f)->pMethods->xSectorSize(real(f)); }

static int characteristics(sqlite3_file *f) {
    return real(f)->pMethods->xDeviceCharacteristics(real(f));
}

static const sqlite3_io_methods methods = {.iVersion = 1,
                                           .xClose = close_file,
                                           .xRead = read_file,
                                           .xWrite = write_file,
                                           .xTruncate = truncate_file,
                                           .xSync = sync_file,
                                           .xFileSize = size_of_file,
                                           .xLock = lock,
                                           .xUnlock = unlock,
                                           .xCheckReservedLock = check_lock,
                                           .xFileControl = control,
                                           .xSectorSize = sector_size,
                                           .xDeviceCharacteristics = characteristics};

static int open_file(sqlite3_vfs *vfs, const char *name, sqlite3_file *f, int flags, int *out) {
    (void)vfs;
    bad_file *file = (bad_file *)f;
    file->real = (sqlite3_file *)(file + 1);
    const int code = disk.real->xOpen(disk.real, name, file->real, flags, out);
    file->base.pMethods = file->real->pMethods ? &methods : NULL;
    return code;
}

static int delete_file(sqlite3_vfs *vfs, const char *name, int sync) {
    (void)vfs;
    const int code = moment();
    if (code == SQLITE_OK)
        return disk.real->xDelete(disk.real, name, sync);
    end_if_killed();
    return code == SQLITE_FULL ? SQLITE_IOERR_DELETE : code;
}

void bad_disk_install(void) {
    static sqlite3_vfs vfs;
    disk.real = sqlite3_vfs_find(NULL);
    vfs = *disk.real;
    vfs.zName = "bad-disk";
    vfs.pNext = NULL;
    vfs.szOsFile = (int)sizeof(bad_file) + disk.real->szOsFile;
    vfs.xOpen = open_file;
    vfs.xDelete = delete_file;
    sqlite3_vfs_register(&vfs, 1);
}

void bad_disk_set(bad_disk_sort sort, size_t at) {
    disk.sort = sort;
    disk.left = at;
    disk.struck = false;
}

bool bad_disk_struck(void) { return disk.struck; }

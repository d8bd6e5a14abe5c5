/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A reading beside the good one at the same place.
 */
#include <math.h>
#include <string.h>

#include "sim/instrument.h"

/* Beyond an end of the range so far that the display tells the two apart: nobody should chase a
 * last digit, or a test lamp that is a little brighter. */
static bool is_told_apart(const bp_reading *good, double value, double end) {
    char shown[24], limit[24];
    bp_instruments[good->instrument]->show(value, shown, sizeof shown);
    bp_instruments[good->instrument]->show(end, limit, sizeof limit);
    return strcmp(shown, limit) != 0;
}

int bp_reading_mark(const bp_reading *good, const bp_reading *fault) {
    if (!good || !fault)
        return 0;
    if (good->status == BP_READING_OVER || fault->status == BP_READING_OVER)
        return (fault->status == BP_READING_OVER) - (good->status == BP_READING_OVER);
    bool unsteady = fault->status == BP_READING_UNSTEADY;
    if ((!unsteady && fault->status != BP_READING_OK) || isnan(good->low) || isnan(good->high))
        return 0;
    double top = unsteady ? fault->high : fault->value, low = unsteady ? fault->low : fault->value;
    if (top > good->high && is_told_apart(good, top, good->high))
        return 1;
    return low < good->low && is_told_apart(good, low, good->low) ? -1 : 0;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Feeds the circuit loader with whatever libFuzzer makes of the library files. A crash, a leak,
 * undefined behaviour, a circuit handed back with a failure, or a failure without a message ends
 * the run.
 */
#include <stdint.h>
#include <stdlib.h>

#include <backprobe/load.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    bp_status status = bp_load_text((const char *)data, size, "fuzz.yaml", &circuit, report);
    if ((status == BP_OK) != (circuit != NULL))
        abort();
    if (status == BP_ERR_INPUT && bp_report_count_of(report, BP_MISTAKE) == 0)
        abort();
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return 0;
}

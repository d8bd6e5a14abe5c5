/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * backprobe doctor: is everything here that the program needs, and how is it mended?
 */
#include "cli/doctor.h"
#include "cli/arguments.h"
#include "cli/columns.h"
#include "cli/json.h"

static const struct argp_option options[] = {BP_OPTION_JSON, {0}};

static const bp_syntax syntax = {
    .options = options,
    .names = "",
    .words = "Checks the circuit simulator, the fonts and the folders, and says how to mend what "
             "is amiss.\vThe exit "
             "status is 1 when something is amiss.",
};

static const struct {
    const char *name;
    void (*check)(bp_cli *cli, bp_finding *finding);
} checks[] = {
    {"simulator", bp_doctor_solver}, {"sandbox", bp_doctor_sandbox},
    {"fonts", bp_doctor_fonts},      {"library", bp_doctor_library},
    {"own circuits", bp_doctor_own}, {"temporary files", bp_doctor_temporary},
};
enum { N_CHECKS = sizeof checks / sizeof *checks };

static void print_json(const bp_screen *out, const bp_finding *findings) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < N_CHECKS; i++) {
        json_t *object = bp_json_object();
        bp_json_set(object, "check", bp_json_text(checks[i].name));
        bp_json_set(object, "good", json_boolean(findings[i].good));
        bp_json_set(object, "found", bp_json_text(findings[i].found));
        bp_json_set(object, "mend", bp_json_text(findings[i].mend[0] ? findings[i].mend : NULL));
        bp_json_append(array, object);
    }
    bp_json_print(out, array);
}

static void print_text(const bp_screen *out, const bp_finding *findings) {
    bp_columns *table = bp_columns_new(out, 3);
    bp_columns_head(table, 2, "", BP_CELL_LEFT, true);
    for (size_t i = 0; i < N_CHECKS; i++) {
        const bp_finding *f = &findings[i];
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", checks[i].name);
        bp_columns_cell(table, BP_TONE_STRONG, "%s", f->good ? "ok" : "amiss");
        bp_columns_cell(table, BP_TONE_PLAIN, "%s%s%s", f->found, f->mend[0] ? ". " : "", f->mend);
    }
    bp_columns_print(table);
    bp_columns_free(&table);
}

static bp_exit run(bp_cli *cli, int argc, char **argv) {
    bp_arguments arguments;
    bp_exit end = bp_arguments_read(&arguments, cli, &syntax, argc, argv, NULL);
    if (end == BP_EXIT_CARRY_ON) {
        bp_finding findings[N_CHECKS] = {0};
        end = BP_EXIT_DONE;
        for (size_t i = 0; i < N_CHECKS; i++) {
            checks[i].check(cli, &findings[i]);
            if (!findings[i].good)
                end = BP_EXIT_NO;
        }
        if (arguments.json)
            print_json(&cli->out, findings);
        else
            print_text(&cli->out, findings);
    }
    bp_arguments_free(&arguments);
    return end;
}

const bp_subcommand bp_subcommand_doctor = {
    "doctor", "checks what the program needs and says how to mend it", run};

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Options and arguments of the subcommands, read by argp. What several subcommands share is here;
 * what only one takes, it reads in its own function.
 */
#ifndef BP_CLI_ARGUMENTS_H
#define BP_CLI_ARGUMENTS_H

#include <argp.h>

#include <backprobe/predict.h>

#include "cli/subcommand.h"

enum {
    BP_KEY_JSON = 0x100,
    BP_KEY_CSV,
    BP_KEY_UNITS,
    BP_KEY_STATE,
    BP_KEY_FAULT,
    BP_KEY_AMBIENT,
    BP_KEY_ENGINE,
    BP_KEY_SUPPLY,
    BP_KEY_OWN = 0x200 /* first key of a subcommand's own options */
};

#define BP_OPTION_JSON                                                                             \
    { "json", BP_KEY_JSON, 0, 0, "print JSON; the keys are described in docs/json.md", 0 }
#define BP_OPTION_CSV                                                                              \
    { "csv", BP_KEY_CSV, 0, 0, "print comma-separated values", 0 }
#define BP_OPTION_UNITS                                                                            \
    {                                                                                              \
        "units", BP_KEY_UNITS, "SYSTEM", 0,                                                        \
            "metric (default) or us: AWG, feet, degrees Fahrenheit", 0                             \
    }
#define BP_OPTION_STATE                                                                            \
    { "state", BP_KEY_STATE, "STATE", 0, "only this state of the circuit", 0 }
#define BP_OPTION_FAULT                                                                            \
    {                                                                                              \
        "fault", BP_KEY_FAULT, "FAULT", 0,                                                         \
            "inject a fault, such as W7:open or G3:resistance=1.5ohm; several times for several "  \
            "faults at once",                                                                      \
            0                                                                                      \
    }
#define BP_OPTIONS_CONDITIONS                                                                      \
    {                                                                                              \
        "ambient",                                                                                 \
        BP_KEY_AMBIENT,                                                                            \
        "T",                                                                                       \
        0,                                                                                         \
        "temperature around the vehicle, such as 30degC or 86degF",                                \
        0},                                                                                        \
        {"engine", BP_KEY_ENGINE, "T", 0, "temperature of the engine", 0}, {                       \
        "supply", BP_KEY_SUPPLY, "V", 0, "open-circuit voltage of the battery, such as 12.2V", 0   \
    }

typedef struct bp_arguments {
    bp_cli *cli;
    const char **names; /* the arguments that are no options: circuits or files; owned, the strings
                           are not */
    size_t n_names;
    bool json, csv, us_units;
    const char *state;
    char *faults;                   /* joined by '+'; owned; NULL = healthy */
    double ambient, engine, supply; /* degC, degC, V; NAN = not given */
} bp_arguments;

typedef struct bp_syntax {
    const struct argp_option *options;
    const char *names;  /* for the usage line: "CIRCUIT" */
    size_t least, most; /* how many of them */
    const char *words;  /* for --help; what follows a \v is printed after the options */
    /* Reads one of the subcommand's own options into `own`; NULL when it has none. */
    bp_exit (*read_own)(const bp_arguments *arguments, int key, const char *value, void *own);
} bp_syntax;

/* Reads argv. BP_EXIT_CARRY_ON, or BP_EXIT_INPUT after it was said what is wrong. Free the
 * arguments either way. */
bp_exit bp_arguments_read(bp_arguments *arguments, bp_cli *cli, const bp_syntax *syntax, int argc,
                          char **argv, void *own);
void bp_arguments_free(bp_arguments *arguments);

/* For read_own: a word out of n, or a message with a near miss. *index is set on success. */
bp_exit bp_read_word(const bp_arguments *arguments, const char *option, const char *value,
                     const char *const *words, size_t n, size_t *index);

#endif

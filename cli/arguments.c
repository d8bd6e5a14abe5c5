/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/circuit.h"
#include "cli/arguments.h"
#include "cli/messages.h"

/* What argp adds to every list. */
static const struct argp_option always[] = {
    {"help", '?', 0, 0, 0, 0}, {"usage", 0x1fe, 0, 0, 0, 0}, {0, 0, 0, 0, 0, 0}};

typedef struct input {
    bp_arguments *arguments;
    const bp_syntax *syntax;
    void *own;
} input;

typedef struct match {
    const struct argp_option *option; /* NULL: none of this name */
    bool several;                     /* more than one begins like this */
} match;

/* The option that `word` (n bytes, no dashes) names: itself or, as getopt allows, the only one that
 * begins like it. */
static match find_option(const bp_syntax *syntax, const char *word, size_t n) {
    const struct argp_option *const lists[] = {syntax->options, always};
    match found = {NULL, false};
    for (size_t l = 0; l < 2; l++) {
        for (const struct argp_option *o = lists[l]; o->name; o++) {
            if (strncmp(o->name, word, n) != 0)
                continue;
            if (o->name[n] == '\0')
                return (match){o, false};
            found.several = found.option != NULL;
            found.option = o;
        }
    }
    return found;
}

static bp_exit no_such_option(const bp_cli *cli, const bp_syntax *syntax, const char *word,
                              size_t n) {
    const char *names[32];
    size_t count = 0;
    const struct argp_option *const lists[] = {syntax->options, always};
    for (size_t l = 0; l < 2; l++)
        for (const struct argp_option *o = lists[l]; o->name && count < 32; o++)
            names[count++] = o->name;
    char *name = bp_must(strndup(word, n));
    const char *near = bp_near_miss(name, names, count);
    bp_exit end =
        near ? bp_wrong_usage(cli, "there is no option '--%s'; did you mean '--%s'?", name, near)
             : bp_wrong_usage(cli, "there is no option '--%s'", name);
    free(name);
    return end;
}

/* getopt's own messages know no near misses, so option names are looked at before it sees them.
 * *value_next is set when the option's value is the next argument. */
static bp_exit check_long(const bp_cli *cli, const bp_syntax *syntax, const char *word,
                          bool *value_next) {
    size_t n = strcspn(word, "=");
    match found = find_option(syntax, word, n);
    if (!found.option)
        return no_such_option(cli, syntax, word, n);
    if (found.several)
        return bp_wrong_usage(cli, "more than one option begins with '--%.*s': write it out",
                              (int)n, word);
    if (word[n] == '=' && !found.option->arg)
        return bp_wrong_usage(cli, "'--%s' takes no value", found.option->name);
    *value_next = found.option->arg && word[n] != '=';
    return BP_EXIT_CARRY_ON;
}

static bp_exit check_short(const bp_cli *cli, const bp_syntax *syntax, const char *word,
                           bool *value_next) {
    if (word[0] == '?')
        return BP_EXIT_CARRY_ON;
    for (const struct argp_option *o = syntax->options; o->name; o++)
        if (o->key == word[0]) {
            *value_next = o->arg && word[1] == '\0';
            return BP_EXIT_CARRY_ON;
        }
    return bp_wrong_usage(cli, "there is no option '-%c'", word[0]);
}

static bp_exit check_options(const bp_cli *cli, const bp_syntax *syntax, int argc, char **argv) {
    for (int i = 1; i < argc && strcmp(argv[i], "--") != 0; i++) {
        bool value_next = false;
        bp_exit end = BP_EXIT_CARRY_ON;
        if (strncmp(argv[i], "--", 2) == 0)
            end = check_long(cli, syntax, argv[i] + 2, &value_next);
        else if (argv[i][0] == '-' && argv[i][1])
            end = check_short(cli, syntax, argv[i] + 1, &value_next);
        if (end != BP_EXIT_CARRY_ON)
            return end;
        if (value_next && i + 1 == argc)
            return bp_wrong_usage(cli, "'%s' needs a value", argv[i]);
        i += value_next;
    }
    return BP_EXIT_CARRY_ON;
}

static bp_exit read_quantity(const bp_arguments *a, const char *option, const char *value,
                             bp_unit unit, double *to) {
    char why[256];
    if (bp_quantity_parse(value, unit, to, why, sizeof why) == BP_OK)
        return BP_EXIT_CARRY_ON;
    return bp_wrong_usage(a->cli, "--%s: %s", option, why);
}

bp_exit bp_read_word(const bp_arguments *arguments, const char *option, const char *value,
                     const char *const *words, size_t n, size_t *index) {
    for (*index = 0; *index < n; ++*index)
        if (strcmp(words[*index], value) == 0)
            return BP_EXIT_CARRY_ON;
    char *all = NULL;
    size_t size;
    FILE *f = bp_must(open_memstream(&all, &size));
    for (size_t i = 0; i < n; i++)
        fprintf(f, "%s%s", i == 0 ? "" : i + 1 == n ? " or " : ", ", words[i]);
    if (fclose(f) != 0)
        bp_must(NULL);
    const char *near = bp_near_miss(value, words, n);
    bp_exit end =
        near ? bp_wrong_usage(arguments->cli, "--%s: '%s' is none of %s; did you mean '%s'?",
                              option, value, all, near)
             : bp_wrong_usage(arguments->cli, "--%s: '%s' is none of %s", option, value, all);
    free(all);
    return end;
}

static void add_fault(bp_arguments *a, const char *fault) {
    char *joined = a->faults ? bp_format("%s+%s", a->faults, fault) : bp_format("%s", fault);
    free(a->faults);
    a->faults = joined;
}

static bp_exit read_shared(bp_arguments *a, int key, const char *value) {
    static const char *const systems[] = {"metric", "us"};
    size_t index = 0;
    bp_exit end = BP_EXIT_CARRY_ON;
    switch (key) {
    case BP_KEY_JSON:
        a->json = true;
        break;
    case BP_KEY_CSV:
        a->csv = true;
        break;
    case BP_KEY_UNITS:
        end = bp_read_word(a, "units", value, systems, 2, &index);
        a->us_units = index == 1;
        break;
    case BP_KEY_STATE:
        a->state = value;
        break;
    case BP_KEY_FAULT:
        add_fault(a, value);
        break;
    case BP_KEY_AMBIENT:
        return read_quantity(a, "ambient", value, BP_UNIT_CELSIUS, &a->ambient);
    case BP_KEY_ENGINE:
        return read_quantity(a, "engine", value, BP_UNIT_CELSIUS, &a->engine);
    case BP_KEY_SUPPLY:
        return read_quantity(a, "supply", value, BP_UNIT_VOLT, &a->supply);
    }
    return end;
}

static error_t parse(int key, char *value, struct argp_state *state) {
    input *r = state->input;
    bp_arguments *a = r->arguments;
    bp_exit end = BP_EXIT_CARRY_ON;
    if (key == ARGP_KEY_ARG && a->n_names == r->syntax->most)
        end = bp_wrong_usage(a->cli, "'%s' is one argument too many", value);
    else if (key == ARGP_KEY_ARG)
        a->names[a->n_names++] = value;
    else if (key == ARGP_KEY_END && a->n_names < r->syntax->least)
        end = bp_wrong_usage(
            a->cli, "%s is missing%s", r->syntax->names,
            strncmp(r->syntax->names, "CIRCUIT", 7) == 0
                ? ": an id that 'backprobe circuits' lists, or the path of a YAML file"
                : "");
    else if (key >= BP_KEY_OWN && key < ARGP_KEY_END)
        end = r->syntax->read_own(a, key, value, r->own);
    else if (key >= BP_KEY_JSON && key < BP_KEY_OWN)
        end = read_shared(a, key, value);
    else if (key > 0 && key < BP_KEY_JSON)
        end = r->syntax->read_own(a, key, value, r->own);
    else
        return ARGP_ERR_UNKNOWN;
    return end == BP_EXIT_CARRY_ON ? 0 : EINVAL;
}

bp_exit bp_arguments_read(bp_arguments *arguments, bp_cli *cli, const bp_syntax *syntax, int argc,
                          char **argv, void *own) {
    *arguments = (bp_arguments){.cli = cli, .ambient = NAN, .engine = NAN, .supply = NAN};
    arguments->names = bp_must(calloc((size_t)argc + 1, sizeof *arguments->names));
    bp_exit end = check_options(cli, syntax, argc, argv);
    if (end != BP_EXIT_CARRY_ON)
        return end;
    char *name = bp_format("backprobe %s", cli->name);
    char **named = bp_must(calloc((size_t)argc + 1, sizeof *named));
    memcpy(named, argv, (size_t)argc * sizeof *named);
    named[0] = name; /* argp's usage line begins with it */
    argp_err_exit_status = BP_EXIT_INPUT;
    /* argp forgets a byte over a list without anything in it. */
    const struct argp argp = {syntax->options->name ? syntax->options : NULL,
                              parse,
                              *syntax->names ? syntax->names : NULL,
                              syntax->words,
                              NULL,
                              NULL,
                              NULL};
    input read = {arguments, syntax, own};
    error_t failed = argp_parse(&argp, argc, named, 0, NULL, &read);
    free(named);
    free(name);
    if (!failed && arguments->json && arguments->csv)
        return bp_wrong_usage(cli, "--json and --csv do not go together");
    return failed ? BP_EXIT_INPUT : BP_EXIT_CARRY_ON;
}

void bp_arguments_free(bp_arguments *arguments) {
    free(arguments->names);
    free(arguments->faults);
    *arguments = (bp_arguments){0};
}

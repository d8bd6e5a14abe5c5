/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/proof/gnucap.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "tests/proof/mna.h"

enum { table_points = 8001 };
static const double table_reach = 40; /* V to both sides */

/* Current of a law with control k at `v` and all others at 0, less its current with everything at
 * 0. */
static double part_of_law(const bp_element *e, const double *values, size_t k, double v) {
    bp_element alone = *e;
    double volts[2 * BP_MAX_CONTROLS + 1] = {0};
    for (size_t c = 0; c < e->law->n_controls; c++) {
        alone.control[c][0] = c + 1;
        alone.control[c][1] = 0;
    }
    double rest = mna_element_current(&alone, values, volts);
    volts[k + 1] = v;
    return mna_element_current(&alone, values, volts) - rest;
}

/* Is the law a sum of functions of one control each, nothing at 0? Tried at places of no special
 * meaning. */
static bool law_is_a_sum(const bp_element *e, const double *values) {
    bp_element alone = *e;
    double volts[2 * BP_MAX_CONTROLS + 1] = {0};
    for (size_t c = 0; c < e->law->n_controls; c++) {
        alone.control[c][0] = c + 1;
        alone.control[c][1] = 0;
    }
    if (!(fabs(mna_element_current(&alone, values, volts)) <= 1e-9))
        return false;
    static const double places[4][BP_MAX_CONTROLS] = {
        {7.3, 0.61, 1.7, 3.1}, {-4.1, 1.2, 0.4, -2}, {12.2, -0.3, 5, 0.2}, {0.4, 0.9, -7, 11}};
    for (size_t t = 0; t < 4; t++) {
        double sum = 0;
        for (size_t c = 0; c < e->law->n_controls; c++) {
            volts[c + 1] = places[t][c];
            sum += part_of_law(e, values, c, places[t][c]);
        }
        double whole = mna_element_current(&alone, values, volts);
        if (!(fabs(whole - sum) <= 1e-9 * (1 + fabs(whole))))
            return false;
    }
    return true;
}

static void write_law(FILE *f, size_t k, const bp_element *e, const double *values) {
    for (size_t c = 0; c < e->law->n_controls; c++) {
        fprintf(f, "G%zu_%zu %zu %zu %zu %zu pwl(", k, c, e->plus, e->minus, e->control[c][0],
                e->control[c][1]);
        for (int i = 0; i < table_points; i++) { /* close together near 0, where laws bend most */
            double t = 2.0 * i / (table_points - 1) - 1, v = table_reach * sinh(6 * t) / sinh(6);
            fprintf(f, "\n+ %.15e,%.15e", v,
                    part_of_law(e, values, c, v)); /* its lines are short */
        }
        fprintf(f, ")\n");
    }
}

static const char *write_deck(FILE *f, const bp_deck *deck, const double *values, double shunt) {
    fprintf(f,
            "second opinion\n.options reltol=1e-7 vntol=1e-9 abstol=1e-12 numdgt=15 itl1=2000\n");
    for (size_t k = 0; k < bp_deck_n_elements(deck); k++) {
        const bp_element *e = bp_deck_element(deck, k);
        double value = e->n_values ? values[e->first_value] : 0;
        if (e->sort == BP_EL_LAW && !law_is_a_sum(e, values))
            return "a law that is no sum of functions of one voltage each";
        if (e->sort == BP_EL_LAW)
            write_law(f, k, e, values);
        else if (e->sort == BP_EL_DIODE)
            fprintf(f, "D%zu %zu %zu model%zu\n.model model%zu d(is=%.15e n=%.15e)\n", k, e->plus,
                    e->minus, k, k, e->is, e->n);
        else
            fprintf(f, "%c%zu %zu %zu %.15e\n", "RVI"[e->sort], k, e -> plus, e -> minus, value);
    }
    for (size_t node = 1; node < bp_deck_n_nodes(deck); node++)
        fprintf(f, "Rs%zu %zu 0 %.15e\n", node, node, shunt);
    for (size_t node = 1; node < bp_deck_n_nodes(deck); node++)
        fprintf(f, ".print op v(%zu)\n.op\n", node);
    fprintf(f, ".end\n");
    return NULL;
}

/* "900.u" and the like: SPICE's letters behind the number. */
static bool read_number(const char *text, double *value) {
    char *end;
    *value = strtod(text, &end);
    static const struct {
        const char *letter;
        double factor;
    } letters[] = {{"Meg", 1e6}, {"K", 1e3},   {"m", 1e-3}, {"u", 1e-6},
                   {"n", 1e-9},  {"p", 1e-12}, {"f", 1e-15}};
    for (size_t i = 0; i < sizeof letters / sizeof *letters; i++)
        if (strncmp(end, letters[i].letter, strlen(letters[i].letter)) == 0)
            *value *= letters[i].factor;
    return end != text;
}

/* Each answer is a heading line "# v(n)" and a line " 27. value". */
static const char *read_answer(FILE *p, size_t n_nodes, double *volts) {
    char line[4096];
    size_t node = 0, n_read = 0;
    while (fgets(line, sizeof line, p)) {
        if (line[0] == '#') {
            const char *v = strstr(line, "v(");
            node = v ? strtoul(v + 2, NULL, 10) : 0;
        } else if (node && node < n_nodes) {
            char *after;
            strtod(line, &after);
            while (*after == ' ')
                after++;
            if (!read_number(after, &volts[node]))
                return "an answer that is no number";
            n_read++;
            node = 0;
        }
    }
    return n_read + 1 == n_nodes ? NULL : "gnucap did not answer for every node";
}

const char *gnucap_solve(const bp_deck *deck, const double *values, double shunt, double *volts) {
    char folder[] = "/tmp/gnucap-deck-XXXXXX", path[64], command[128];
    if (!mkdtemp(folder))
        return "no temporary folder";
    snprintf(path, sizeof path, "%s/deck.ckt", folder);
    snprintf(command, sizeof command, "gnucap -b %s 2>&1", path);
    FILE *f = fopen(path, "w");
    const char *why = f ? write_deck(f, deck, values, shunt) : "no temporary file";
    if (f && fclose(f) != 0)
        why = "the deck cannot be written";
    FILE *p = why ? NULL : popen(command, "r");
    if (!why)
        why = p ? read_answer(p, bp_deck_n_nodes(deck), volts) : "gnucap cannot be started";
    if (p)
        pclose(p);
    volts[0] = 0;
    unlink(path);
    rmdir(folder);
    return why;
}

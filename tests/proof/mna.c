/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/proof/mna.h"

#include <lapacke.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "tests/proof/expression.h"

/* kT/q at 27 degC, the solver's own temperature for semiconductor models (CODATA k and q). */
static const double thermal_volt = 1.380649e-23 * 300.15 / 1.602176634e-19;
static const double branch_below = 1e3; /* ohm: see the header */
static const double small_step = 1e-7;  /* V: the last one, where nothing moves any more */
static const double balanced = 1e-10;   /* A at every node */
enum { most_iterations = 400 };

typedef struct system {
    const bp_deck *deck;
    const double *values;
    double shunt;
    size_t n_nodes;   /* unknown voltages: all but the reference */
    size_t n;         /* with the branch currents */
    double *matrix;   /* n x n, row by row: the Jacobian */
    double *residual; /* n */
    double *x;        /* n: voltages of nodes 1.., then branch currents */
} system_t;

static bool has_branch(const bp_element *e, const double *values) {
    return e->sort == BP_EL_VOLTAGE ||
           (e->sort == BP_EL_RESISTOR && values[e->first_value] < branch_below);
}

static double voltage(const system_t *s, size_t node) { return node == 0 ? 0 : s->x[node - 1]; }

static void add(system_t *s, size_t row, size_t column, double value) {
    s->matrix[row * s->n + column] += value;
}

/* Current `i` leaves node `plus` and enters `minus`; di/dv of the node voltage `by` is `slope`. */
static void add_current(system_t *s, size_t plus, size_t minus, double i) {
    if (plus)
        s->residual[plus - 1] += i;
    if (minus)
        s->residual[minus - 1] -= i;
}

static void add_slope(system_t *s, size_t plus, size_t minus, size_t by, double slope) {
    if (!by)
        return;
    if (plus)
        add(s, plus - 1, by - 1, slope);
    if (minus)
        add(s, minus - 1, by - 1, -slope);
}

static void add_conductance(system_t *s, size_t plus, size_t minus, double g) {
    add_current(s, plus, minus, g * (voltage(s, plus) - voltage(s, minus)));
    add_slope(s, plus, minus, plus, g);
    add_slope(s, plus, minus, minus, -g);
}

/* A row v+ - v- - r i = emf, and its current in the two nodes' sums. */
static void add_branch(system_t *s, const bp_element *e, size_t k) {
    double value = s->values[e->first_value];
    double r = e->sort == BP_EL_RESISTOR ? value : 0, emf = e->sort == BP_EL_VOLTAGE ? value : 0;
    double i = s->x[k];
    add_current(s, e->plus, e->minus, i);
    if (e->plus) {
        add(s, e->plus - 1, k, 1);
        add(s, k, e->plus - 1, 1);
    }
    if (e->minus) {
        add(s, e->minus - 1, k, -1);
        add(s, k, e->minus - 1, -1);
    }
    add(s, k, k, -r);
    s->residual[k] = voltage(s, e->plus) - voltage(s, e->minus) - r * i - emf;
}

static double diode_current(const bp_element *e, double v) {
    double most =
        80 * e->n * thermal_volt; /* continued as a straight line, so that no step overflows */
    double reach = fmin(v, most);
    double i = e->is * expm1(reach / (e->n * thermal_volt));
    double slope = e->is / (e->n * thermal_volt) * exp(reach / (e->n * thermal_volt));
    return i + slope * (v - reach) + 1e-12 * v; /* gmin, as every SPICE has across a junction */
}

double mna_element_current(const bp_element *e, const double *values, const double *volts) {
    if (e->sort == BP_EL_DIODE)
        return diode_current(e, volts[e->plus] - volts[e->minus]);
    double control[BP_MAX_CONTROLS] = {0};
    for (size_t k = 0; k < e->law->n_controls; k++)
        control[k] = volts[e->control[k][0]] - volts[e->control[k][1]];
    const char *error;
    double i = expression_value(e->law->spice, control, values + e->first_value, &error);
    return error ? NAN : i;
}

static double law_current(const bp_element *e, const double *control, const double *parameter) {
    const char *error;
    double i = expression_value(e->law->spice, control, parameter, &error);
    return error ? NAN : i;
}

static void add_law(system_t *s, const bp_element *e) {
    double control[BP_MAX_CONTROLS] = {0};
    const double *parameter = s->values + e->first_value;
    for (size_t k = 0; k < e->law->n_controls; k++)
        control[k] = voltage(s, e->control[k][0]) - voltage(s, e->control[k][1]);
    add_current(s, e->plus, e->minus, law_current(e, control, parameter));
    for (size_t k = 0; k < e->law->n_controls; k++) {
        double h = 1e-6 * (1 + fabs(control[k])), middle = control[k];
        control[k] = middle + h;
        double above = law_current(e, control, parameter);
        control[k] = middle - h;
        double slope = (above - law_current(e, control, parameter)) / (2 * h);
        control[k] = middle;
        add_slope(s, e->plus, e->minus, e->control[k][0], slope);
        add_slope(s, e->plus, e->minus, e->control[k][1], -slope);
    }
}

static void add_diode(system_t *s, const bp_element *e) {
    double v = voltage(s, e->plus) - voltage(s, e->minus), h = 1e-6;
    double slope = (diode_current(e, v + h) - diode_current(e, v - h)) / (2 * h);
    add_current(s, e->plus, e->minus, diode_current(e, v));
    add_slope(s, e->plus, e->minus, e->plus, slope);
    add_slope(s, e->plus, e->minus, e->minus, -slope);
}

static void assemble(system_t *s) {
    memset(s->matrix, 0, s->n * s->n * sizeof *s->matrix);
    memset(s->residual, 0, s->n * sizeof *s->residual);
    for (size_t node = 1; node <= s->n_nodes; node++)
        add_conductance(s, node, 0, 1 / s->shunt);
    size_t branch = s->n_nodes;
    for (size_t k = 0; k < bp_deck_n_elements(s->deck); k++) {
        const bp_element *e = bp_deck_element(s->deck, k);
        double value = e->n_values ? s->values[e->first_value] : 0;
        if (has_branch(e, s->values))
            add_branch(s, e, branch++);
        else if (e->sort == BP_EL_RESISTOR)
            add_conductance(s, e->plus, e->minus, 1 / value);
        else if (e->sort == BP_EL_CURRENT)
            add_current(s, e->plus, e->minus, value);
        else if (e->sort == BP_EL_DIODE)
            add_diode(s, e);
        else
            add_law(s, e);
    }
}

static double largest_residual(const system_t *s) {
    double most = 0;
    for (size_t k = 0; k < s->n; k++)
        most = isnan(s->residual[k]) ? INFINITY : fmax(most, fabs(s->residual[k]));
    return most;
}

/* Solves J dx = residual; dx takes the place of the residual. */
static bool newton_step(system_t *s, lapack_int *pivots) {
    lapack_int n = (lapack_int)s->n;
    return LAPACKE_dgesv(LAPACK_ROW_MAJOR, n, 1, s->matrix, n, pivots, s->residual, 1) == 0;
}

static mna_result iterate(system_t *s) {
    mna_result result = {.linear = true};
    for (size_t k = 0; k < bp_deck_n_elements(s->deck); k++) {
        bp_element_sort sort = bp_deck_element(s->deck, k)->sort;
        if (sort == BP_EL_DIODE || sort == BP_EL_LAW)
            result.linear = false;
    }
    lapack_int *pivots = calloc(s->n, sizeof *pivots);
    double reach = 4; /* V a step at most, unless the deck is linear */
    result.why = "did not converge";
    while (pivots && result.iterations++ < most_iterations) {
        assemble(s);
        if (!newton_step(s, pivots)) {
            result.why = "singular matrix";
            break;
        }
        double step = 0;
        for (size_t k = 0; k < s->n_nodes; k++)
            step = fmax(step, fabs(s->residual[k]));
        double damp = result.linear || step < reach ? 1 : reach / step;
        for (size_t k = 0; k < s->n; k++)
            s->x[k] -= damp * s->residual[k];
        if (result.iterations > 60)
            reach = 0.3; /* a cycle between two guesses: creep */
        if (damp == 1 && step < small_step) {
            result.solved = true;
            result.why = NULL;
            break;
        }
    }
    assemble(s);
    result.residual = largest_residual(s);
    /* What nothing but the shunts ties to the rest (all behind a battery that was taken off) has a
     * level that rounding moves about for ever; currents that balance everywhere are a solution. */
    if (pivots && !result.solved && result.residual <= balanced) {
        result.solved = true;
        result.why = NULL;
    }
    free(pivots);
    return result;
}

mna_result mna_solve(const bp_deck *deck, const double *values, double shunt, const double *start,
                     double *volts) {
    system_t s = {
        .deck = deck, .values = values, .shunt = shunt, .n_nodes = bp_deck_n_nodes(deck) - 1};
    s.n = s.n_nodes;
    for (size_t k = 0; k < bp_deck_n_elements(deck); k++)
        s.n += has_branch(bp_deck_element(deck, k), values);
    s.matrix = calloc(s.n * s.n, sizeof *s.matrix);
    s.residual = calloc(s.n, sizeof *s.residual);
    s.x = calloc(s.n, sizeof *s.x);
    mna_result result = {.why = "out of memory"};
    if (s.matrix && s.residual && s.x) {
        for (size_t k = 0; start && k < s.n_nodes; k++)
            s.x[k] = start[k + 1];
        result = iterate(&s);
        volts[0] = 0;
        memcpy(volts + 1, s.x, s.n_nodes * sizeof *volts);
    }
    free(s.matrix);
    free(s.residual);
    free(s.x);
    return result;
}

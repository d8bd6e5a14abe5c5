/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A number for everything that a prediction depends on: the circuit, the conditions, the program.
 */
#include <math.h>
#include <string.h>
#include <sys/stat.h>

#include "diagnose/atlas_parts.h"

/* Two FNV-1a sums that begin differently; 128 bits in all, against chance and not against malice:
 * the cache is the user's own. */
typedef struct print {
    uint64_t sum[2];
} print;

static void bytes(print *p, const void *what, size_t size) {
    const unsigned char *b = what;
    for (size_t i = 0; i < size; i++) {
        p->sum[0] = (p->sum[0] ^ b[i]) * 1099511628211u;
        p->sum[1] = (p->sum[1] ^ (unsigned char)(b[i] + 89)) * 1099511628211u;
    }
}

static void text(print *p, const char *t) { bytes(p, t ? t : "\1", t ? strlen(t) + 1 : 2); }
static void number(print *p, size_t n) { bytes(p, &n, sizeof n); }
static void value(print *p, double v) {
    if (isnan(v)) /* one sort of it, whatever its bits */
        text(p, "nan");
    else
        bytes(p, &v, sizeof v);
}

static void part_print(print *p, const bp_part *part) {
    text(p, part->id);
    text(p, part->kind->id);
    text(p, part->unit);
    number(p, part->n_pins);
    for (size_t i = 0; i < part->n_pins; i++) {
        text(p, part->pins[i].name);
        number(p, part->pins[i].harness);
        number(p, part->pins[i].own);
        number(p, (size_t)part->pins[i].sort);
        number(p, part->pins[i].n_wires);
    }
    for (size_t i = 0; part->kind->params && part->kind->params[i].key; i++) {
        value(p, part->param[i]);
        text(p, part->text[i]);
    }
    for (size_t i = 0; part->modes && part->modes[i].id; i++) { /* fitted to it: their ranges */
        value(p, part->modes[i].lo);
        value(p, part->modes[i].hi);
        value(p, part->modes[i].typical);
    }
    number(p, part->n_positions);
    for (size_t i = 0; i < part->n_positions; i++) {
        text(p, part->positions[i].name);
        number(p, part->positions[i].n_pairs);
        bytes(p, part->positions[i].pairs,
              part->positions[i].n_pairs * sizeof *part->positions[i].pairs);
    }
}

static void state_print(print *p, const bp_state *s) {
    text(p, s->id);
    number(p, s->from);
    number(p, (size_t)s->supply);
    value(p, s->supply_value);
    value(p, s->speed);
    value(p, s->ambient);
    value(p, s->engine);
    value(p, s->lasts);
    number(p, s->n_settings);
    for (size_t i = 0; i < s->n_settings; i++) {
        number(p, s->settings[i].part);
        number(p, (size_t)s->settings[i].setting);
    }
}

static void rule_print(print *p, const bp_fault_rule *r) {
    number(p, r->part);
    number(p, r->sub);
    number(p, (size_t)r->mode);
    number(p, r->partner);
    number(p, r->partner_sub);
    value(p, r->weight);
    value(p, r->how_bad);
    text(p, r->when);
}

/* The version, and which build of it: its own file's size and time. */
static void program_print(print *p) {
    struct stat own;
    text(p, BP_VERSION);
    if (stat("/proc/self/exe", &own) != 0)
        return;
    number(p, (size_t)own.st_size);
    number(p, (size_t)own.st_mtim.tv_sec);
    number(p, (size_t)own.st_mtim.tv_nsec);
}

void bp_fingerprint(const bp_circuit *c, double ambient, double engine, unsigned char key[16]) {
    print p = {{14695981039346656037u, 1099511628211u * 31}};
    program_print(&p);
    value(&p, ambient);
    value(&p, engine);
    for (size_t i = 0; i < c->n_parts; i++)
        part_print(&p, &c->parts[i]);
    for (size_t i = 0; i < c->n_faces; i++)
        number(&p, c->faces[i].node);
    for (size_t i = 0; i < c->n_points; i++) {
        text(&p, c->points[i].id);
        number(&p, c->points[i].face);
        number(&p, (size_t)c->points[i].reach);
    }
    for (size_t i = 0; i < c->n_states; i++)
        state_print(&p, &c->states[i]);
    for (size_t i = 0; i < c->n_rules; i++)
        rule_print(&p, &c->rules[i]);
    number(&p, c->reference);
    number(&p, c->feed);
    number(&p, c->body);
    number(&p, c->engine);
    memcpy(key, p.sum, 16);
}

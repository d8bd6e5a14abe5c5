/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a file says about faults: which are likelier, how bad they usually are, when they are there.
 */
#include "circuits/building.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/fault_parts.h"
#include "circuits/memory.h"

enum { LONGEST_NOTE = 200 };

static void set_weight(bp_circuit *circuit, bp_fault_rule *rule, const bp_build_note *note) {
    char why[200];
    double weight;
    if (bp_quantity_parse(note->c, BP_UNIT_NONE, &weight, why, sizeof why) != BP_OK)
        bp_build_mistake(circuit, &note->place, "weight of %.60s: %s", note->a, why);
    else if (!(weight >= 0 && weight <= 1000))
        bp_build_mistake(circuit, &note->place,
                         "weight of %.60s is \"%.40s\": expected 0 (never) to 1000, 1 is ordinary",
                         note->a, note->c);
    else
        rule->weight = weight;
}

static void set_how_bad(bp_circuit *circuit, bp_fault_rule *rule, const bp_build_note *note) {
    char why[200];
    if (rule->mode < 0) {
        bp_build_mistake(circuit, &note->place,
                         "how-bad of %.60s: name one failure, as in %.60s:resistance", note->a,
                         note->a);
        return;
    }
    const bp_part *part = &circuit->parts[rule->part];
    const bp_mode_decl *mode = &bp_fault_modes(part, rule->sub)[rule->mode];
    if (bp_fault_parse_severity(mode, note->c, &rule->how_bad, why, sizeof why) != BP_OK)
        bp_build_mistake(circuit, &note->place, "how-bad of %.60s: %s", note->a, why);
}

static void set_when(bp_circuit *circuit, bp_fault_rule *rule, const bp_build_note *note) {
    char why[400];
    bp_fault fault;
    bp_status status = bp_fault_parse_when(note->c, &fault, why, sizeof why);
    if (status != BP_OK) {
        bp_building_of(circuit)->no_memory |= status == BP_ERR_MEMORY;
        bp_build_mistake(circuit, &note->place, "when of %.60s: %s", note->a, why);
        return;
    }
    free(rule->when);
    rule->when = bp_build_copy(circuit, note->c);
}

static void set_key(bp_circuit *circuit, bp_fault_rule *rule, const bp_build_note *note) {
    static const char *const keys[] = {"weight", "note", "when", "how-bad"};
    char where[100];
    if (strcmp(note->b, "weight") == 0) {
        set_weight(circuit, rule, note);
    } else if (strcmp(note->b, "note") == 0) {
        free(rule->note);
        rule->note =
            bp_build_sentence(circuit, &note->place, "note of a fault", note->c, LONGEST_NOTE);
    } else if (strcmp(note->b, "when") == 0) {
        set_when(circuit, rule, note);
    } else if (strcmp(note->b, "how-bad") == 0) {
        set_how_bad(circuit, rule, note);
    } else {
        const bp_names names = {.name = (const char **)keys, .n = sizeof keys / sizeof *keys};
        snprintf(where, sizeof where, " in fault %.60s", note->a);
        bp_build_unknown(circuit, &note->place, "key", note->b, where, &names);
    }
}

/* A part that is wrong itself: what is said about its faults cannot be judged. */
static bool is_about_broken_part(const bp_circuit *circuit, const char *subject) {
    char id[64];
    snprintf(id, sizeof id, "%.*s", (int)strcspn(subject, ".:"), subject);
    size_t part = bp_part_find(circuit, id);
    return part != BP_NONE && bp_building_of(circuit)->drafts[part].broken;
}

/* A new rule for the note's subject; NULL when that cannot be read or memory is out. */
static bp_fault_rule *new_rule(bp_circuit *circuit, const bp_build_note *note) {
    char why[600];
    bp_fault fault;
    if (is_about_broken_part(circuit, note->a))
        return NULL;
    bp_status status = bp_fault_parse_rule(circuit, note->a, &fault, why, sizeof why);
    if (status != BP_OK) {
        bp_building_of(circuit)->no_memory |= status == BP_ERR_MEMORY;
        bp_build_mistake(circuit, &note->place, "%s", why);
        return NULL;
    }
    bp_fault_rule *room =
        bp_build_got(circuit, bp_room(circuit->rules, circuit->n_rules, sizeof *room));
    if (!room)
        return NULL;
    circuit->rules = room;
    bp_fault_rule *rule = &room[circuit->n_rules++];
    *rule = (bp_fault_rule){.part = fault.part,
                            .sub = fault.sub,
                            .mode = fault.mode,
                            .partner = fault.partner,
                            .partner_sub = fault.partner_sub,
                            .weight = NAN,
                            .how_bad = NAN,
                            .line = note->place.line,
                            .column = note->place.column};
    return rule;
}

void bp_resolve_rules(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    const char *last = NULL;
    bp_fault_rule *rule = NULL;
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++) {
        const bp_build_note *note = &b->notes[i];
        if (note->sort != BP_NOTE_FAULT_SET)
            continue;
        /* Calls about one fault follow each other and make one rule. */
        if (!last || strcmp(last, note->a) != 0) {
            if (circuit->n_rules == BP_MOST_RULES) {
                bp_build_mistake(circuit, &note->place, "there are more than %d rules about faults",
                                 BP_MOST_RULES);
                return;
            }
            rule = new_rule(circuit, note);
            last = note->a;
        }
        if (rule)
            set_key(circuit, rule, note);
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "tests/render/symbol_page.h"

/* What a kind cannot do without, and what makes its symbol say more. */
static const struct {
    const char *kind, *key, *value;
} wanted[] = {
    {"battery", "charge", "90 %"},
    {"source", "emf", "13.5 V"},
    {"resistor", "resistance", "1.2 ohm"},
    {"fuse", "rating", "15 A"},
    {"connector", "cavities", "2"},
    {"relay", "coil", "85 ohm"},
    {"relay", "suppression.resistor", "680 ohm"},
    {"lamp", "power", "21 W"},
    {"motor", "current", "6 A"},
    {"motor", "load", "pump"},
    {"coil", "resistance", "12 ohm"},
    {"solenoid", "resistance", "14 ohm"},
    {"thermal_switch", "closes", "95 degC"},
    {"thermal_switch", "opens", "88 degC"},
    {"ignition_coil", "primary", "0.6 ohm"},
};

static const char *const kind_names[] = {
#define X(name) #name,
    BP_KIND_LIST(X)
#undef X
};

static void add_parts(bp_circuit *circuit) {
    for (size_t i = 0; i < BP_N_KINDS; i++) {
        if (i == BP_KIND_INDEX_wire)
            continue;
        bp_circuit_part(circuit, kind_names[i], bp_kinds[i]->id);
        for (size_t k = 0; k < sizeof wanted / sizeof wanted[0]; k++)
            if (strcmp(wanted[k].kind, kind_names[i]) == 0)
                bp_circuit_set(circuit, kind_names[i], wanted[k].key, wanted[k].value);
    }
    bp_circuit_position(circuit, "switch", "released", NULL, 0);
    bp_circuit_position(circuit, "switch", "pressed", (const char *const[]){"1", "2"}, 1);
    bp_circuit_part(circuit, "selector", "switch");
    bp_circuit_position(circuit, "selector", "off", NULL, 0);
    bp_circuit_position(circuit, "selector", "slow", (const char *const[]){"53a", "53"}, 1);
    bp_circuit_position(circuit, "selector", "fast",
                        (const char *const[]){"53a", "53b", "53e", "53"}, 2);
    bp_circuit_part(circuit, "relay2", "relay");
    bp_circuit_set(circuit, "relay2", "coil", "100 ohm");
    bp_circuit_set(circuit, "relay2", "suppression.diode", "cathode-86");
}

/* Every pin that a fresh circuit of these parts has is wired: to a joint of its own, so that
 * nothing is shorted. */
static void wire_all(bp_circuit *circuit) {
    static const char *const pins[] = {"battery.+",
                                       "battery.-",
                                       "source.+",
                                       "source.-",
                                       "resistor.1",
                                       "resistor.2",
                                       "fuse.1",
                                       "fuse.2",
                                       "connector.a1",
                                       "connector.a2",
                                       "connector.b1",
                                       "connector.b2",
                                       "ground.body",
                                       "switch.1",
                                       "switch.2",
                                       "ignition_switch.30",
                                       "ignition_switch.75",
                                       "ignition_switch.15",
                                       "ignition_switch.15x",
                                       "ignition_switch.50",
                                       "inertia_switch.1",
                                       "inertia_switch.2",
                                       "thermal_switch.1",
                                       "thermal_switch.2",
                                       "relay.30",
                                       "relay.85",
                                       "relay.86",
                                       "relay.87",
                                       "relay.87a",
                                       "lamp.1",
                                       "lamp.2",
                                       "motor.1",
                                       "motor.2",
                                       "wiper_motor.53",
                                       "wiper_motor.53b",
                                       "wiper_motor.53a",
                                       "wiper_motor.53e",
                                       "wiper_motor.31",
                                       "coil.1",
                                       "coil.2",
                                       "solenoid.1",
                                       "solenoid.2",
                                       "diode.A",
                                       "diode.K",
                                       "low_side_driver.out",
                                       "low_side_driver.31",
                                       "low_side_driver.15",
                                       "ignition_coil.15",
                                       "ignition_coil.1",
                                       "ignition_coil.4",
                                       "selector.53a",
                                       "selector.53",
                                       "selector.53b",
                                       "selector.53e",
                                       "relay2.30",
                                       "relay2.85",
                                       "relay2.86",
                                       "relay2.87"};
    for (size_t i = 0; i < sizeof pins / sizeof pins[0]; i++) {
        char id[16], joint[16] = "splice";
        snprintf(id, sizeof id, "W%zu", i + 1);
        if (i > 0) {
            snprintf(joint, sizeof joint, "J%zu", i + 1);
            bp_circuit_part(circuit, joint, "splice");
        }
        bp_circuit_wire(circuit, id, pins[i], joint);
        bp_circuit_set(circuit, id, "colour", "GN");
        bp_circuit_set(circuit, id, "size", "1.5 mm2");
        bp_circuit_set(circuit, id, "length", "1 m");
    }
}

bp_circuit *every_kind(void) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = bp_circuit_new("every-kind", report);
    add_parts(circuit);
    wire_all(circuit);
    if (bp_circuit_finish(circuit) != BP_OK) {
        for (size_t i = 0; i < bp_report_count(report); i++)
            fprintf(stderr, "%s\n", bp_report_at(report, i)->text);
        bp_circuit_free(&circuit);
    }
    bp_report_free(&report);
    return circuit;
}

/* One symbol with a stub at each terminal, its box in hairlines, and its name below. */
static void show(bp_canvas *canvas, const bp_part *part, size_t piece, double x, double y,
                 const bp_look *look, double scale) {
    bp_shape shape;
    bp_wish wish = {.scale = scale, .name_w = 5, .name_h = 2};
    const bp_symbol *symbol = bp_symbol_of(part);
    symbol->shape(part, piece, &wish, &shape);
    bp_canvas_push(canvas, x, y, 0, scale);
    bp_rect(canvas, (bp_box){0, 0, shape.w * BP_CELL, shape.h * BP_CELL}, 0, 0.3, BP_GREY_RULE,
            false, BP_PAPER_WHITE);
    for (size_t i = 0; i < shape.n_terminals; i++) {
        const bp_terminal *t = &shape.terminal[i];
        double out = t->side == BP_TOP ? -1 : 1;
        bp_line(canvas, t->x * BP_CELL, t->y * BP_CELL, t->x * BP_CELL, (t->y + out) * BP_CELL,
                1.1 / scale, BP_ACCENT);
    }
    symbol->draw(canvas, part, &shape, look);
    bp_canvas_pop(canvas);
    char text[120];
    int n = snprintf(text, sizeof text, "%s ", part->id);
    int more = symbol->caption(part, text + n, sizeof text - (size_t)n);
    const char *says = symbol->says ? symbol->says(part, look) : NULL;
    bp_font small = {.size = BP_SMALL_TEXT, .colour = BP_GREY_TEXT};
    double below = y + (shape.h + 1.2) * BP_CELL * scale;
    bp_text(canvas, x, below, text, &small, BP_LEFT, 0);
    if (says)
        bp_text(canvas, x, below + 9, says, &small, BP_LEFT, 0);
    (void)more;
}

bool write_symbol_page(const bp_circuit *circuit, const char *path) {
    bp_report *report = bp_report_new();
    bp_canvas *canvas = bp_canvas_new(path, BP_PAPER_A4, "Symbols", report);
    double x = 40, y = 50, row = 0;
    for (size_t i = 0; canvas && i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if ((part->kind == &bp_kind_wire && strcmp(part->id, "W1") != 0) ||
            (part->kind == &bp_kind_splice && part->id[0] == 'J'))
            continue;
        for (int setting = 0; setting < 3; setting++) {
            bool known = setting == 0 || bp_part_setting_name(part, setting) != NULL;
            bp_look look = {.setting = setting, .position = setting};
            bool moves = part->kind == &bp_kind_relay || part->kind == &bp_kind_fuse ||
                         part->kind == &bp_kind_thermal_switch;
            if (setting && !(moves ? setting == 1 : known && setting < 3))
                continue;
            bp_shape shape;
            bp_symbol_of(part)->shape(part, 0, &(bp_wish){.scale = 0.8, .name_w = 5, .name_h = 2},
                                      &shape);
            double w = (shape.w * BP_CELL) * 0.8 + 60, h = (shape.h * BP_CELL) * 0.8 + 45;
            if (x + w > 570) {
                x = 40;
                y += row;
                row = 0;
            }
            show(canvas, part, 0, x, y, &look, 0.8);
            x += w;
            row = h > row ? h : row;
        }
    }
    bool done = canvas && bp_canvas_finish(canvas, report) == BP_OK;
    bp_canvas_free(&canvas);
    bp_report_free(&report);
    return done;
}

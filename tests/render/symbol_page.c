/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
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
    {"fusible_link", "size", "0.5 mm2"},
    {"circuit_breaker", "rating", "20 A"},
    {"two_way_motor", "current", "8 A"},
    {"two_way_motor", "load", "window"},
    {"heater", "power", "160 W"},
    {"capacitor", "capacitance", "2.2 uF"},
    {"zener", "volts", "12 V"},
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
                                       "fusible_link.1",
                                       "fusible_link.2",
                                       "circuit_breaker.1",
                                       "circuit_breaker.2",
                                       "resistor_pack.1",
                                       "resistor_pack.2",
                                       "resistor_pack.3",
                                       "resistor_pack.4",
                                       "two_way_motor.1",
                                       "two_way_motor.2",
                                       "horn.1",
                                       "horn.2",
                                       "flasher.49",
                                       "flasher.49a",
                                       "flasher.31",
                                       "heater.1",
                                       "heater.2",
                                       "glow_plug.1",
                                       "glow_plug.31",
                                       "capacitor.1",
                                       "capacitor.2",
                                       "zener.A",
                                       "zener.K",
                                       "module_input.in",
                                       "module_input.31",
                                       "module_input.15",
                                       "regulator.15",
                                       "regulator.31",
                                       "regulator.out",
                                       "thermistor.1",
                                       "thermistor.2",
                                       "potentiometer.1",
                                       "potentiometer.2",
                                       "potentiometer.3",
                                       "high_side_driver.30",
                                       "high_side_driver.out",
                                       "high_side_driver.31",
                                       "high_side_driver.15",
                                       "pressure_switch.1",
                                       "pressure_switch.2",
                                       "level_switch.1",
                                       "level_switch.2",
                                       "bus_terminator.H",
                                       "bus_terminator.L",
                                       "sender.1",
                                       "sender.2",
                                       "gauge.15",
                                       "gauge.G",
                                       "gauge.31",
                                       "solid_state_relay.30",
                                       "solid_state_relay.87",
                                       "solid_state_relay.86",
                                       "solid_state_relay.85",
                                       "ignition_driver.out",
                                       "ignition_driver.31",
                                       "ignition_driver.15",
                                       "spark_plug.4",
                                       "spark_plug.31",
                                       "ignition_lead.1",
                                       "ignition_lead.2",
                                       "distributor.4",
                                       "distributor.out",
                                       "breaker_points.1",
                                       "breaker_points.31",
                                       "ignition_coil.4b",
                                       "hall_sensor.+",
                                       "hall_sensor.out",
                                       "hall_sensor.-",
                                       "reluctance_sensor.1",
                                       "reluctance_sensor.2",
                                       "speed_input.in",
                                       "speed_input.return",
                                       "speed_input.31",
                                       "speed_input.15",
                                       "starter.30",
                                       "starter.50",
                                       "starter.31",
                                       "alternator.B+",
                                       "alternator.D+",
                                       "alternator.S",
                                       "alternator.31",
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
    symbol->caption(part, text + n, sizeof text - (size_t)n);
    const char *says = symbol->says ? symbol->says(part, look) : NULL;
    bp_font small = {.size = BP_SMALL_TEXT, .colour = BP_GREY_TEXT};
    double below = y + (shape.h + 1.2) * BP_CELL * scale;
    bp_text(canvas, x, below, text, &small, BP_LEFT, 0);
    if (says)
        bp_text(canvas, x, below + 9, says, &small, BP_LEFT, 0);
}

/* In which settings a part is shown: all that it has, two for what moves by itself. */
static bool is_shown(const bp_part *part, int setting) {
    bool moves = part->kind == &bp_kind_relay || part->kind == &bp_kind_fuse ||
                 part->kind == &bp_kind_thermal_switch || part->kind == &bp_kind_fusible_link ||
                 part->kind == &bp_kind_circuit_breaker || part->kind == &bp_kind_resistor_pack ||
                 part->kind == &bp_kind_flasher || part->kind == &bp_kind_solid_state_relay;
    if (setting == 0)
        return true;
    return moves ? setting == 1 : bp_part_setting_name(part, setting) != NULL;
}

static bool is_listed(const bp_part *part) {
    return !(part->kind == &bp_kind_wire && strcmp(part->id, "W1") != 0) &&
           !(part->kind == &bp_kind_splice && part->id[0] == 'J');
}

/* Where the next symbol goes. */
typedef struct pen {
    double x, y, row;
} pen;

static void show_next(bp_canvas *canvas, const bp_part *part, int setting, pen *at) {
    static const double scale = 0.8;
    bp_shape shape;
    bp_symbol_of(part)->shape(part, 0, &(bp_wish){.scale = scale, .name_w = 5, .name_h = 2},
                              &shape);
    char text[120];
    int n = snprintf(text, sizeof text, "%s ", part->id);
    bp_symbol_of(part)->caption(part, text + n, sizeof text - (size_t)n);
    bp_font small = {.size = BP_SMALL_TEXT, .colour = BP_GREY_TEXT};
    double name = bp_text_size(canvas, text, &small, 0).w;
    double w = fmax(shape.w * BP_CELL * scale, name) + 24, h = shape.h * BP_CELL * scale + 45;
    if (at->x + w > 570)
        *at = (pen){40, at->y + at->row, 0};
    if (at->y + h > 800) {
        bp_canvas_next_page(canvas);
        *at = (pen){40, 50, 0};
    }
    show(canvas, part, 0, at->x, at->y, &(bp_look){.setting = setting, .position = setting}, scale);
    at->x += w;
    at->row = fmax(at->row, h);
}

bool write_symbol_page(const bp_circuit *circuit, const char *path) {
    bp_report *report = bp_report_new();
    bp_canvas *canvas = bp_canvas_new(path, BP_PAPER_A4, "Symbols", report);
    pen at = {40, 50, 0};
    for (size_t i = 0; canvas && i < circuit->n_parts; i++)
        for (int setting = 0; setting < 4; setting++)
            if (is_listed(&circuit->parts[i]) && is_shown(&circuit->parts[i], setting))
                show_next(canvas, &circuit->parts[i], setting, &at);
    bool done = canvas && bp_canvas_finish(canvas, report) == BP_OK;
    bp_canvas_free(&canvas);
    bp_report_free(&report);
    return done;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The list of part kinds: one line adds a kind. Each NAME has circuits/kinds/NAME.c (bp_kind_NAME:
 * what it is), sim/models/NAME.c (bp_model_NAME: how it behaves) and render/symbols/NAME.c
 * (bp_symbol_NAME: how it looks). The order is the order of `kind->index`.
 */
#ifndef BP_CIRCUITS_KINDS_H
#define BP_CIRCUITS_KINDS_H

/* clang-format off */
#define BP_KIND_LIST(X) \
    X(wire)             \
    X(connector)        \
    X(splice)           \
    X(ground)           \
    X(battery)          \
    X(source)           \
    X(resistor)         \
    X(fuse)             \
    X(switch)           \
    X(ignition_switch)  \
    X(inertia_switch)   \
    X(thermal_switch)   \
    X(relay)            \
    X(lamp)             \
    X(motor)            \
    X(wiper_motor)      \
    X(coil)             \
    X(solenoid)         \
    X(diode)            \
    X(low_side_driver)  \
    X(ignition_coil)    \
    X(fusible_link)     \
    X(circuit_breaker)  \
    X(resistor_pack)    \
    X(two_way_motor)    \
    X(horn)             \
    X(flasher)          \
    X(heater)           \
    X(glow_plug)        \
    X(capacitor)        \
    X(zener)            \
    X(module_input)     \
    X(regulator)        \
    X(thermistor)       \
    X(potentiometer)    \
    X(high_side_driver) \
    X(pressure_switch)  \
    X(level_switch)     \
    X(bus_terminator)   \
    X(sender)           \
    X(gauge)            \
    X(solid_state_relay) \
    X(ignition_driver) \
    X(spark_plug) \
    X(ignition_lead) \
    X(distributor) \
    X(breaker_points) \
    X(hall_sensor) \
    X(reluctance_sensor) \
    X(speed_input) \
    X(starter) \
    X(alternator)
/* clang-format on */

#endif

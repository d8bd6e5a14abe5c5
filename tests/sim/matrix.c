/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/sim/matrix.h"

#define FEED "BAT: {kind: battery}, F: {kind: fuse, rating: 10 A}, "
#define FED "W1: {from: BAT.+, to: F.1}, "
#define KEY "S: {kind: switch, positions: {off: [], on: [[1, 2]]}}, "
#define LAMP "L: {kind: lamp, power: 21 W}"
#define GROUNDS ", G0: {kind: ground}, G1: {kind: ground}"
#define GROUNDED ", W9: {from: BAT.-, to: G0, size: 25 mm2, length: 40 cm}"
#define COPPER ", size: 1.5 mm2, length: 1 m}"

/* A load between a switched feed and the body. */
#define LOAD(x) FEED KEY x GROUNDS
#define LOADED(plus, minus)                                                                        \
    FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: X." plus COPPER                    \
        ", W4: {from: X." minus ", to: G1" COPPER GROUNDED
#define ON_OFF "off: {}, on: {S: on, from: off}"

/* A contact between the fuse and a lamp. */
#define SWITCHES(x) FEED x ", " LAMP GROUNDS
#define SWITCHED(in, out)                                                                          \
    FED "W2: {from: F.2, to: X." in COPPER ", W3: {from: X." out ", to: L.1" COPPER                \
        ", W4: {from: L.2, to: G1" COPPER GROUNDED

/* A relay with a lamp, its coil behind a switch to ground. */
#define RELAY(x) FEED KEY "X: {kind: " x "}, " LAMP GROUNDS
#define RELAYED                                                                                    \
    FED "W2: {from: F.2, to: X.30" COPPER ", W3: {from: X.87, to: L.1" COPPER                      \
        ", W4: {from: L.2, to: G1" COPPER ", W5: {from: F.2, to: X.86" COPPER                      \
        ", W6: {from: X.85, to: S.1" COPPER ", W7: {from: S.2, to: G1" COPPER GROUNDED

/* A sensor on a pull-up of 5 V. */
#define SENSED(x) FEED "A: {kind: regulator}, R: {kind: resistor, resistance: 1 kohm}, " x GROUNDS
#define SENSOR                                                                                     \
    FED "W2: {from: F.2, to: A.15" COPPER ", W3: {from: A.31, to: G1" COPPER                       \
        ", W4: {from: A.out, to: R.1" COPPER ", W5: {from: R.2, to: X.1" COPPER                    \
        ", W6: {from: X.2, to: G1" COPPER GROUNDED

/* An ignition: key, coil, what switches it, lead, rotor and plug. */
#define SPARK(more) FEED KEY more GROUNDS
#define ENGINE_METAL ", W8: {from: P.31, to: G1}"

const matrix_row matrix_rows[] = {
    {"wire",
     FEED KEY "T: {kind: switch, positions: {off: [], on: [[1, 2]]}}, " LAMP
              ", M: {kind: lamp, power: 5 W}" GROUNDS,
     FED
     "W2: {from: F.2, to: S.1" COPPER
     ", X: {from: S.2, to: L.1, size: 1.5 mm2, length: 2 m, loom: a}, W4: {from: L.2, to: G1" COPPER
     ", W5: {from: F.2, to: T.1" COPPER ", W6: {from: T.2, to: M.1, size: 1.5 mm2, length: 2 m, "
     "loom: a}, W7: {from: M.2, to: G1" COPPER GROUNDED,
     "off: {}, first: {S: on}, second: {T: on}"},
    {"connector",
     FEED KEY "T: {kind: switch, positions: {off: [], on: [[1, 2]]}}, X: {kind: connector, "
              "cavities: 2}, " LAMP ", M: {kind: lamp, power: 5 W}" GROUNDS,
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: X.a1" COPPER
         ", W4: {from: X.b1, to: L.1" COPPER ", W5: {from: L.2, to: G1" COPPER
         ", W6: {from: F.2, to: T.1" COPPER ", W7: {from: T.2, to: X.a2" COPPER
         ", W8: {from: X.b2, to: M.1" COPPER ", W10: {from: M.2, to: G1" COPPER GROUNDED,
     "off: {}, first: {S: on}, second: {T: on}"},
    {"splice", LOAD("X: {kind: splice}, " LAMP),
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: X" COPPER
         ", W4: {from: X, to: L.1" COPPER ", W5: {from: L.2, to: G1" COPPER GROUNDED,
     ON_OFF},
    {"ground", FEED LAMP ", G0: {kind: ground}, X: {kind: ground}",
     FED "W2: {from: F.2, to: L.1" COPPER ", W3: {from: L.2, to: X" COPPER GROUNDED, "on: {}"},
    {"battery", "X: {kind: battery}, F: {kind: fuse, rating: 10 A}, " LAMP,
     "W1: {from: X.+, to: F.1}, W2: {from: F.2, to: L.1}, W3: {from: L.2, to: X.-}",
     "rest: {}, cranking: {supply: cranking}"},
    {"source", "X: {kind: source, emf: 12 V}, " LAMP,
     "W1: {from: X.+, to: L.1}, W2: {from: L.2, to: X.-}", "on: {}"},
    {"resistor", LOAD("X: {kind: resistor, resistance: 5 ohm}"), LOADED("1", "2"), ON_OFF},
    {"fuse", "BAT: {kind: battery}, X: {kind: fuse, rating: 10 A}, " KEY LAMP,
     "W1: {from: BAT.+, to: X.1}, W2: {from: X.2, to: S.1}, W3: {from: S.2, to: L.1}, W4: {from: "
     "L.2, to: BAT.-}",
     ON_OFF},
    {"switch",
     FEED
     "X: {kind: switch, positions: {off: [], one: [[1, 2]], two: [[1, 3]], three: [[1, 4]]}}, " LAMP
     ", M: {kind: lamp, power: 5 W}, N: {kind: lamp, power: 10 W}",
     FED "W2: {from: F.2, to: X.1}, W3: {from: X.2, to: L.1}, W4: {from: X.3, to: M.1}, W5: {from: "
         "X.4, to: N.1}, W6: {from: L.2, to: BAT.-}, W7: {from: M.2, to: BAT.-}, W8: {from: N.2, "
         "to: BAT.-}",
     "off: {}, one: {X: one}, two: {X: two}, three: {X: three}"},
    {"ignition-switch",
     FEED "X: {kind: ignition-switch}, K: {kind: lamp, power: 5 W}, L: {kind: lamp, power: 5 W}, "
          "M: {kind: lamp, power: 5 W}, N: {kind: lamp, power: 5 W}",
     FED "W2: {from: F.2, to: X.30}, W3: {from: X.75, to: K.1}, W4: {from: X.15, to: L.1}, W5: "
         "{from: X.15x, to: M.1}, W6: {from: X.50, to: N.1}, W7: {from: K.2, to: BAT.-}, W8: "
         "{from: L.2, to: BAT.-}, W9: {from: M.2, to: BAT.-}, W10: {from: N.2, to: BAT.-}",
     "off: {}, accessory: {X: accessory}, run: {X: run}, crank: {X: crank}"},
    {"inertia-switch", SWITCHES("X: {kind: inertia-switch}"), SWITCHED("1", "2"),
     "set: {}, tripped: {X: tripped}"},
    {"thermal-switch", SWITCHES("X: {kind: thermal-switch}"), SWITCHED("1", "2"),
     "cold: {}, hot: {engine: 100 degC, from: cold}, warm: {engine: 85 degC, from: cold}"},
    {"relay", RELAY("relay, suppression: {resistor: 330 ohm}"), RELAYED,
     ON_OFF ", weak: {S: on, supply: 8 V, from: off}"},
    {"relay", RELAY("relay, suppression: {diode: cathode-86}"), RELAYED, ON_OFF},
    {"relay",
     FEED KEY "X: {kind: relay, contacts: change-over}, " LAMP ", M: {kind: lamp, power: 5 W}",
     FED "W2: {from: F.2, to: X.30}, W3: {from: X.87, to: L.1}, W4: {from: L.2, to: BAT.-}, W5: "
         "{from: F.2, to: X.86}, W6: {from: X.85, to: S.1}, W7: {from: S.2, to: BAT.-}, W8: {from: "
         "X.87a, to: M.1}, W9: {from: M.2, to: BAT.-}",
     ON_OFF},
    {"lamp", LOAD("X: {kind: lamp, power: 21 W}"), LOADED("1", "2"), ON_OFF},
    {"motor", LOAD("X: {kind: motor, current: 5 A, stall: 20 A, load: fan}"), LOADED("1", "2"),
     ON_OFF},
    {"wiper-motor",
     FEED "X: {kind: wiper-motor}, S: {kind: switch, positions: {off: [[\"53e\", \"53\"]], slow: "
          "[[\"15\", \"53\"]], fast: [[\"15\", \"53b\"]]}}",
     FED "W2: {from: F.2, to: S.15}, W3: {from: F.2, to: X.53a}, W4: {from: S.53, to: X.53}, W5: "
         "{from: S.53b, to: X.53b}, W6: {from: S.53e, to: X.53e}, W7: {from: X.31, to: BAT.-}",
     "parked: {}, slow: {S: slow, X: sweeping, from: parked}, fast: {S: fast, X: sweeping, from: "
     "slow}, returning: {S: off, X: sweeping, from: slow}"},
    {"coil", LOAD("X: {kind: coil, resistance: 12 ohm}"), LOADED("1", "2"), ON_OFF},
    {"solenoid", LOAD("X: {kind: solenoid, resistance: 8 ohm}"), LOADED("1", "2"),
     ON_OFF ", weak: {S: on, supply: 8 V, from: off}"},
    {"diode", LOAD("X: {kind: diode}, " LAMP),
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: X.A" COPPER
         ", W4: {from: X.K, to: L.1" COPPER ", W5: {from: L.2, to: G1" COPPER GROUNDED,
     ON_OFF},
    {"low-side-driver", FEED "X: {kind: low-side-driver}, L: {kind: lamp, power: 5 W}",
     FED "W2: {from: F.2, to: L.1}, W3: {from: L.2, to: X.out}, W4: {from: X.31, to: BAT.-}, W5: "
         "{from: F.2, to: X.15}",
     "off: {}, on: {X: on}"},
    {"high-side-driver", FEED "X: {kind: high-side-driver}, L: {kind: lamp, power: 5 W}",
     FED "W2: {from: F.2, to: X.30}, W3: {from: X.out, to: L.1}, W4: {from: L.2, to: BAT.-}, W5: "
         "{from: X.31, to: BAT.-}, W6: {from: F.2, to: X.15}",
     "off: {}, on: {X: on}"},
    {"solid-state-relay", RELAY("solid-state-relay"), RELAYED, ON_OFF},
    {"ignition-coil", SPARK("X: {kind: ignition-coil}, P: {kind: spark-plug}"),
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: X.15" COPPER
         ", W4: {from: X.1, to: G1" COPPER ", W5: {from: X.4, to: P.4}" ENGINE_METAL GROUNDED,
     ON_OFF},
    {"ignition-driver",
     SPARK("T: {kind: ignition-coil}, X: {kind: ignition-driver}, P: {kind: spark-plug}"),
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: T.15" COPPER
         ", W4: {from: T.1, to: X.out" COPPER ", W5: {from: X.31, to: G1" COPPER
         ", W6: {from: S.2, to: X.15" COPPER ", W7: {from: T.4, to: P.4}" ENGINE_METAL GROUNDED,
     "off: {}, open: {S: on}, dwell: {S: on, X: on}"},
    {"hall-sensor",
     FEED "A: {kind: regulator, volts: 8 V}, M: {kind: speed-input, sensor: hall, resistance: 1 "
          "Mohm, pull-resistance: 2.2 kohm}, X: {kind: hall-sensor}" GROUNDS,
     FED "W2: {from: F.2, to: A.15" COPPER ", W3: {from: A.31, to: G1" COPPER
         ", W4: {from: A.out, to: X.+" COPPER ", W5: {from: X.out, to: M.in" COPPER
         ", W6: {from: X.-, to: M.return" COPPER ", W7: {from: M.31, to: G1" COPPER GROUNDED,
     "gap: {}, tooth: {X: low, from: gap}"},
    {"reluctance-sensor", FEED "X: {kind: reluctance-sensor}, M: {kind: speed-input}" GROUNDS,
     FED "W2: {from: F.2, to: M.15" COPPER ", W3: {from: M.31, to: G1" COPPER
         ", W4: {from: X.1, to: M.in" COPPER ", W5: {from: X.2, to: M.return" COPPER GROUNDED,
     "standing: {}"},
    {"speed-input", FEED "B: {kind: reluctance-sensor}, X: {kind: speed-input}" GROUNDS,
     FED "W2: {from: F.2, to: X.15" COPPER ", W3: {from: X.31, to: G1" COPPER
         ", W4: {from: B.1, to: X.in" COPPER ", W5: {from: B.2, to: X.return" COPPER GROUNDED,
     "standing: {}"},
    {"starter", "BAT: {kind: battery}, " KEY "X: {kind: starter}" GROUNDS,
     "W2: {from: BAT.+, to: S.1" COPPER ", W3: {from: S.2, to: X.50" COPPER
     ", W4: {from: BAT.+, to: X.30, size: 35 mm2, length: 1 m}, W5: {from: X.31, to: G1}"
     ", W9: {from: BAT.-, to: G0, size: 35 mm2, length: 40 cm}",
     "off: {}, weak: {S: on, supply: 10 V, from: off}, cranking: {S: on, from: off}"},
    {"alternator",
     "BAT: {kind: battery}, " KEY "L: {kind: lamp, power: 3 W}, X: {kind: alternator}, T: {kind: "
     "switch, positions: {off: [], on: [[1, 2]]}}, E: {kind: heater, power: 500 W}" GROUNDS,
     "W1: {from: BAT.+, to: X.B+, size: 16 mm2, length: 1 m}, W2: {from: BAT.+, to: S.1" COPPER
     ", W3: {from: S.2, to: L.1" COPPER ", W4: {from: L.2, to: X.D+" COPPER
     ", W5: {from: X.S, to: BAT.+" COPPER ", W6: {from: X.31, to: G1}, W7: {from: BAT.+, to: T.1, "
     "size: 10 mm2, length: 1 m}, W8: {from: T.2, to: E.1, size: 10 mm2, length: 1 m}, W10: {from: "
     "E.2, to: G1, size: 10 mm2, length: 1 m}, W9: {from: BAT.-, to: G0, size: 35 mm2, length: 40 "
     "cm}",
     "off: {}, on: {S: on}, idle: {S: on, speed: 800 rpm, from: on}, loaded: {S: on, T: on, speed: "
     "800 rpm, from: idle}, fast: {S: on, T: on, speed: 3000 rpm, from: loaded}"},
    {"breaker-points",
     SPARK("T: {kind: ignition-coil}, X: {kind: breaker-points}, P: {kind: spark-plug}"),
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: T.15" COPPER
         ", W4: {from: T.1, to: X.1" COPPER ", W5: {from: X.31, to: G1" COPPER
         ", W7: {from: T.4, to: P.4}" ENGINE_METAL GROUNDED,
     "off: {}, dwell: {S: on}, open: {S: on, X: open}"},
    {"ignition-lead",
     SPARK("T: {kind: ignition-coil}, X: {kind: ignition-lead}, P: {kind: spark-plug}"),
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: T.15" COPPER
         ", W4: {from: T.1, to: G1" COPPER
         ", W5: {from: T.4, to: X.1}, W6: {from: X.2, to: P.4}" ENGINE_METAL GROUNDED,
     ON_OFF},
    {"distributor",
     SPARK("T: {kind: ignition-coil}, X: {kind: distributor}, P: {kind: spark-plug}"),
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: T.15" COPPER
         ", W4: {from: T.1, to: G1" COPPER
         ", W5: {from: T.4, to: X.4}, W6: {from: X.out, to: P.4}" ENGINE_METAL GROUNDED,
     ON_OFF},
    {"spark-plug", SPARK("T: {kind: ignition-coil}, X: {kind: spark-plug}"),
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: T.15" COPPER
         ", W4: {from: T.1, to: G1" COPPER
         ", W5: {from: T.4, to: X.4}, W6: {from: X.31, to: G1}" GROUNDED,
     ON_OFF},
    {"fusible-link", "BAT: {kind: battery}, X: {kind: fusible-link, size: 0.5 mm2}, " LAMP,
     "W1: {from: BAT.+, to: X.1}, W2: {from: X.2, to: L.1}, W3: {from: L.2, to: BAT.-}", "on: {}"},
    {"circuit-breaker",
     "BAT: {kind: battery}, X: {kind: circuit-breaker, rating: 10 A}, " KEY
     "R: {kind: resistor, resistance: 1.4 ohm}, T: {kind: switch, positions: {off: [], on: [[1, "
     "2]]}}, Q: {kind: resistor, resistance: 0.3 ohm}",
     "W1: {from: BAT.+, to: X.1}, W2: {from: X.2, to: S.1}, W3: {from: S.2, to: R.1}, W4: {from: "
     "R.2, to: BAT.-}, W5: {from: X.2, to: T.1}, W6: {from: T.2, to: Q.1}, W7: {from: Q.2, to: "
     "BAT.-}",
     "off: {}, on: {S: on}, short: {T: on}"},
    {"resistor-pack",
     FEED "X: {kind: resistor-pack}, S: {kind: switch, positions: {off: [], low: [[p, l]], third: "
          "[[p, m]], second: [[p, n]], high: [[p, h]]}}, M: {kind: motor, current: 8 A, stall: 40 "
          "A, load: fan}",
     FED "W2: {from: F.2, to: S.p}, W3: {from: S.l, to: X.1}, W4: {from: S.n, to: X.2}, W5: {from: "
         "S.m, to: X.3}, W6: {from: S.h, to: X.4}, W7: {from: X.4, to: M.1}, W8: {from: M.2, to: "
         "BAT.-}",
     "off: {}, low: {S: low}, second: {S: second}, third: {S: third}, high: {S: high}"},
    {"two-way-motor",
     FEED "X: {kind: two-way-motor, current: 5 A, stall: 20 A, load: window}, S: {kind: switch, "
          "positions: {off: [], up: [[p, a], [n, b]], down: [[p, b], [n, a]]}}" GROUNDS,
     FED "W2: {from: F.2, to: S.p}, W3: {from: S.n, to: G1}, W4: {from: S.a, to: X.1}, W5: {from: "
         "S.b, to: X.2}" GROUNDED,
     "off: {}, up: {S: up}, down: {S: down}"},
    {"horn", LOAD("X: {kind: horn}"), LOADED("1", "2"), ON_OFF ", weak: {S: on, supply: 10 V}"},
    {"flasher",
     FEED "X: {kind: flasher}, S: {kind: switch, positions: {off: [], left: [[1, 2]]}}, " LAMP
          ", M: {kind: lamp, power: 21 W}",
     FED "W2: {from: F.2, to: X.49}, W3: {from: X.49a, to: S.1}, W4: {from: S.2, to: L.1}, W5: "
         "{from: S.2, to: M.1}, W6: {from: L.2, to: BAT.-}, W7: {from: M.2, to: BAT.-}, W8: {from: "
         "X.31, to: BAT.-}",
     "off: {}, left: {S: left}"},
    {"heater", LOAD("X: {kind: heater, power: 60 W}"), LOADED("1", "2"), ON_OFF},
    {"glow-plug",
     "BAT: {kind: battery}, F: {kind: fuse, rating: 30 A}, " KEY "X: {kind: glow-plug}" GROUNDS,
     LOADED("1", "31"), ON_OFF},
    {"capacitor", LOAD(LAMP ", X: {kind: capacitor, capacitance: 2.2 uF}"),
     FED "W2: {from: F.2, to: S.1" COPPER ", W3: {from: S.2, to: L.1" COPPER
         ", W4: {from: L.2, to: G1" COPPER ", W5: {from: L.1, to: X.1" COPPER
         ", W6: {from: X.2, to: G1" COPPER GROUNDED,
     ON_OFF},
    {"zener", FEED "R: {kind: resistor, resistance: 220 ohm}, X: {kind: zener, volts: 5.6 V}",
     FED "W2: {from: F.2, to: R.1}, W3: {from: R.2, to: X.K}, W4: {from: X.A, to: BAT.-}",
     "on: {}"},
    {"module-input", FEED KEY "X: {kind: module-input}",
     FED "W2: {from: F.2, to: X.15}, W3: {from: X.31, to: BAT.-}, W4: {from: X.in, to: S.1}, W5: "
         "{from: S.2, to: BAT.-}",
     ON_OFF},
    {"module-input", FEED "T: {kind: thermistor}, X: {kind: module-input, reads: voltage}",
     FED "W2: {from: F.2, to: X.15}, W3: {from: X.31, to: BAT.-}, W4: {from: X.in, to: T.1}, W5: "
         "{from: T.2, to: BAT.-}",
     "cold: {}, hot: {engine: 90 degC}"},
    {"regulator", FEED "X: {kind: regulator}, R: {kind: resistor, resistance: 150 ohm}",
     FED "W2: {from: F.2, to: X.15}, W3: {from: X.31, to: BAT.-}, W4: {from: X.out, to: R.1}, W5: "
         "{from: R.2, to: BAT.-}",
     "on: {}"},
    {"thermistor", SENSED("X: {kind: thermistor}"), SENSOR, "cold: {}, hot: {engine: 90 degC}"},
    {"potentiometer",
     FEED
     "A: {kind: regulator}, X: {kind: potentiometer}, R: {kind: resistor, resistance: 100 kohm}",
     FED "W2: {from: F.2, to: A.15}, W3: {from: A.31, to: BAT.-}, W4: {from: A.out, to: X.1}, W5: "
         "{from: X.3, to: BAT.-}, W6: {from: X.2, to: R.1}, W7: {from: R.2, to: BAT.-}",
     "rest: {}, quarter: {X: quarter}, half: {X: half}, more: {X: three-quarters}, full: {X: "
     "full}"},
    {"pressure-switch", SWITCHES("X: {kind: pressure-switch}"), SWITCHED("1", "2"),
     "without: {}, with: {X: pressure}"},
    {"level-switch", SWITCHES("X: {kind: level-switch}"), SWITCHED("1", "2"),
     "full: {}, low: {X: low}"},
    {"bus-terminator",
     FEED "X: {kind: bus-terminator}, T: {kind: bus-terminator}, R: {kind: resistor, resistance: 1 "
          "kohm}",
     FED "W2: {from: X.H, to: T.H}, W3: {from: X.L, to: T.L}, W4: {from: X.L, to: BAT.-}, W5: "
         "{from: F.2, to: R.1}, W6: {from: R.2, to: BAT.-}}\npoints: {H: {at: T.H}",
     "off: {}"},
    {"sender", FEED "X: {kind: sender}, G: {kind: gauge}",
     FED "W2: {from: F.2, to: G.15}, W3: {from: G.G, to: X.1}, W4: {from: X.2, to: BAT.-}, W5: "
         "{from: G.31, to: BAT.-}",
     "empty: {X: empty}, half: {X: half}, full: {X: full}"},
    {"gauge", FEED "T: {kind: sender}, X: {kind: gauge}",
     FED "W2: {from: F.2, to: X.15}, W3: {from: X.G, to: T.1}, W4: {from: T.2, to: BAT.-}, W5: "
         "{from: X.31, to: BAT.-}",
     "empty: {T: empty}, half: {T: half}, full: {T: full}"},
};
const size_t n_matrix_rows = sizeof matrix_rows / sizeof *matrix_rows;

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/cautions.h"

#include <string.h>

const bp_caution bp_cautions[] = {
    {.key = "ignition-voltage",
     .text = "Ignition voltage can kill, and keeps anyone with a pacemaker away. Never let a coil "
             "fire without a spark gap to ground.",
     .calls = {&bp_kind_ignition_coil}},
    {.key = "high-voltage",
     .text = "Orange cables carry high voltage: never probe or open them without the training and "
             "the lock-out that they ask for.",
     .always = true},
    {.key = "airbag",
     .text = "Never probe airbag or belt-tensioner circuits, often but not always in yellow plugs: "
             "a meter or test lamp can set them off.",
     .always = true},
    {.key = "fuel",
     .text =
         "Fuel vapour burns: no sparks, no flames, fresh air, an extinguisher at hand. The fuel "
         "line stays under pressure after the pump stops; relieve it before it is opened."},
    {.key = "battery",
     .text = "Batteries give off explosive gas, and a spanner across the posts welds itself fast: "
             "rings and watch off, negative cable off first and on last. Ask first what settings "
             "are lost without supply.",
     .calls = {&bp_kind_battery}},
    {.key = "moving-parts",
     .text = "Fans, wipers and motors can start by themselves, even with the key off: hands, hair "
             "and sleeves clear before anything is connected or unplugged.",
     .calls = {&bp_kind_wiper_motor}},
    {.key = "cranking",
     .text = "Before cranking: out of gear or in park, brake on, wheels chocked, hands and tools "
             "clear of belts and fans."},
    {.key = "running-engine",
     .text = "A running engine needs an exhaust hose or open doors: its gases kill without a "
             "warning."},
    {.key = "hot-parts",
     .text = "Lamps, resistors, coils and engine parts burn skin while they work and for minutes "
             "after.",
     .calls = {&bp_kind_lamp}},
    {.key = "fuse-size",
     .text = "A blown fuse is replaced by the same rating only, never by a larger one or by wire: "
             "the fuse is what keeps the wire from burning.",
     .calls = {&bp_kind_fuse}},
    {.key = "meter-amps",
     .text = "Never put a meter's amps range across a battery or a feed: it is a short circuit. "
             "Move the lead back to volts after each current reading.",
     .always = true},
    {.key = "probing",
     .text = "Back-probe from the wire side. Do not pierce insulation, and do not force a probe "
             "into the front of a terminal: it spreads and becomes the next fault.",
     .always = true},
    {.key = "first-source",
     .text = "The vehicle maker's service information and local rules come before this sheet; when "
             "in doubt, leave the work to a qualified technician.",
     .always = true},
    {0}};

const char *bp_caution_text(const char *key) {
    for (const bp_caution *c = bp_cautions; c->key; c++)
        if (strcmp(c->key, key) == 0)
            return c->text;
    return NULL;
}

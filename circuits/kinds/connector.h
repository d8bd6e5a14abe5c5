/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the connector's parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_CONNECTOR_H
#define BP_CIRCUITS_KINDS_CONNECTOR_H

enum { BP_CONNECTOR_CAVITIES, BP_CONNECTOR_OHM };
enum {
    BP_CONNECTOR_OPEN,
    BP_CONNECTOR_RESISTANCE,
    BP_CONNECTOR_SPREAD,
    BP_CONNECTOR_BRIDGE_TO,
    BP_CONNECTOR_LEAK_TO,
    BP_CONNECTOR_CROSSED_WITH
};

#endif

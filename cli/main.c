/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/subcommand.h"

int main(int argc, char **argv) { return bp_cli_main(argc, argv); }

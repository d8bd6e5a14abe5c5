# SPDX-License-Identifier: GPL-3.0-or-later
#
# The Debian and Ubuntu packages that backprobe needs, and how they get onto the machine. This is the one place
# that lists them; examples/first-sheet.sh, tests/run.sh and .ci/run read it in (". tests/packages.sh").

packages_build="gcc libc6-dev cmake ninja-build pkg-config libyaml-dev libngspice0-dev libseccomp-dev libgsl-dev
    libcairo2-dev libpango1.0-dev libjansson-dev libsqlite3-dev fonts-dejavu-core fonts-dejavu-extra"
packages_test="$packages_build libcmocka-dev liblapacke-dev gnucap gnucap-default-plugins0 poppler-utils binutils
    ngspice"
packages_bench="$packages_build ngspice"
packages_check="$packages_test ccache clang-14 clang-format-14 clang-tidy-14"

# need_packages NAME... - installs what is missing, as root or with sudo; where neither is possible, prints the
# one line to run and ends the script.
need_packages() {
    missing=
    if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
        echo "This is not Debian or Ubuntu, so nothing was installed. Needed are the equivalents of:" "$@" >&2
        return
    fi
    for package in "$@"; do
        case $(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) in
        installed) ;;
        *) missing="$missing $package" ;;
        esac
    done
    [ -n "$missing" ] || return 0
    if [ "$(id -u)" = 0 ]; then
        as_root=env
    elif command -v sudo >/dev/null && { sudo -n true 2>/dev/null || [ -t 0 ]; }; then
        as_root="sudo env"
    else
        echo "Some packages are missing. As root, run this line, then start again:" >&2
        echo "apt-get update && apt-get install -y --no-install-recommends$missing" >&2
        exit 2
    fi
    echo "Installing:$missing" >&2
    # Words are meant to be split here: as_root and the package names are lists.
    # shellcheck disable=SC2086
    $as_root apt-get update -q >&2 &&
        $as_root DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing >&2 || {
        echo "apt-get could not install:$missing" >&2
        exit 2
    }
}

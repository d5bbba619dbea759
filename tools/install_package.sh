#!/bin/sh
# Installs a Debian package where the machine has none of its programs: install_package.sh PACKAGE NEEDED-BY PROGRAM...
# A program is a name on the path, or a place such as '/usr/lib/postgresql/*/bin/postgres'.
set -eu
package=$1 needed_by=$2
shift 2
for program in "$@"; do
    for place in $program; do
        if command -v "$place" >/dev/null 2>&1; then exit 0; fi
    done
done
if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$package" >/dev/null
else
    echo "$needed_by need $package: install it with your system's package manager." >&2
    exit 1
fi

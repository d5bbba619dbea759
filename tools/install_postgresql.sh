#!/bin/sh
# Installs PostgreSQL for the long tests of the store where the machine has none and can install Debian packages.
set -eu
if command -v postgres >/dev/null 2>&1 || ls /usr/lib/postgresql/*/bin/postgres >/dev/null 2>&1; then
    exit 0
fi
if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends postgresql >/dev/null
else
    echo "The long tests of the store need PostgreSQL: install it with your system's package manager." >&2
    exit 1
fi

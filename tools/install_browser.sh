#!/bin/sh
# Installs Chromium for the tests of the web page where the machine has none and can install Debian packages.
set -eu
if command -v chromium >/dev/null 2>&1 || command -v chromium-browser >/dev/null 2>&1 || command -v google-chrome >/dev/null 2>&1; then
    exit 0
fi
if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium >/dev/null
else
    echo "The tests of the web page need Chromium: install it with your system's package manager." >&2
    exit 1
fi

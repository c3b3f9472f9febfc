#!/usr/bin/env bash
# Installs what the tests need and runs them all; arguments go on to pytest.
#
# From a fresh Debian 12 machine, as root or with sudo. What is there already is
# left alone, so later runs go straight to the tests. The environment is .venv in
# the checkout, or the folder that FRAME3D_VENV names.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

export DEBIAN_FRONTEND=noninteractive PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_ROOT_USER_ACTION=ignore
venv=${FRAME3D_VENV:-$PWD/.venv}
log=$(mktemp)
trap 'rm -f "$log"' EXIT

say() { printf '%s\n' "$*" >&2; }

# Runs a command without its chatter, which is shown only if the command fails.
quietly() {
    if ! "$@" >"$log" 2>&1; then
        cat "$log" >&2
        say "tests/run.sh: this failed: $*"
        exit 1
    fi
}

# The Debian packages that are missing, one a line.
missing_packages() {
    local package
    for package in python3-venv fontconfig libegl1 libgl1 libglu1-mesa libgomp1 libosmesa6 \
        libx11-6 libxcursor1 libxext6 libxfixes3 libxft2 libxinerama1 libxrender1 \
        admesh chromium firefox-esr xvfb libreoffice-calc-nogui librecad poppler-utils; do
        [[ $(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) == installed ]] ||
            echo "$package"
    done
    # These may well have come from elsewhere.
    command -v node >/dev/null || echo nodejs
    command -v npm >/dev/null || echo npm
}

install_packages() {
    local as_root=()
    local missing
    mapfile -t missing < <(missing_packages)
    ((${#missing[@]})) || return 0
    if ((EUID)); then
        if ! command -v sudo >/dev/null; then
            say "tests/run.sh: run it as root, or install: ${missing[*]}"
            exit 1
        fi
        as_root=(sudo env DEBIAN_FRONTEND=noninteractive)
    fi
    say "Installing ${missing[*]}"
    quietly "${as_root[@]}" apt-get update -qq
    quietly "${as_root[@]}" apt-get install -y -qq --no-install-recommends "${missing[@]}"
}

check_commands() {
    local command missing=()
    for command in admesh chromium firefox-esr Xvfb librecad soffice pdftotext node npm; do
        command -v "$command" >/dev/null || missing+=("$command")
    done
    if ((${#missing[@]})); then
        say "tests/run.sh: this is not Debian; please install these commands: ${missing[*]}"
        exit 1
    fi
}

# Whether the environment was made for this checkout as it is now.
stamp() { { pwd; cat pyproject.toml tests/tools/package.json; } | sha256sum; }

install_environment() {
    local done=$venv/frame3d-tests.stamp
    [[ -f $done && $(<"$done") == "$(stamp)" ]] && return 0
    say "Installing into $venv (several minutes the first time)"
    rm -f "$done"
    [[ -x $venv/bin/python ]] || quietly "$python" -P -m venv "$venv"
    quietly "$venv/bin/python" -P -m pip install --quiet -e '.[test]'
    mkdir -p "$venv/test-tools"
    cp tests/tools/package.json "$venv/test-tools/"
    quietly npm install --prefix "$venv/test-tools" --no-audit --no-fund --loglevel=error
    stamp >"$done"
}

if command -v apt-get >/dev/null && command -v dpkg-query >/dev/null; then
    install_packages
else
    check_commands
fi
python=python3
command -v python3.11 >/dev/null && python=python3.11
install_environment

# Each process takes tests that lie together, so that what a module makes is made once; one
# that has none left takes some of the other's.
# Helper processes would compile the package each time if nobody kept what they compile.
unset PYTHONDONTWRITEBYTECODE
export NODE_PATH=$venv/test-tools/node_modules${NODE_PATH:+:$NODE_PATH}
"$venv/bin/python" -P -m pytest -n 3 --dist worksteal "$@"

# Sourced by the scripts: goes to the repository, makes .venv when it is missing or out of date.
# Wants Python 3.11 or newer and pip; Debian's python3 without python3-venv is enough.
# shellcheck shell=bash

cd -P "$(dirname "${BASH_SOURCE[0]}")/../.."
ROOT="$PWD"
VENV="$ROOT/.venv"

new_enough() {
    "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1
}

# The Python to make the environment with: $PYTHON when set, else the first one new enough.
find_python() {
    local candidate
    for candidate in ${PYTHON:+"$PYTHON"} python3 python3.13 python3.12 python3.11 python; do
        if new_enough "$candidate"; then
            echo "$candidate"
            return
        fi
    done
    echo "No Python 3.11 or newer was found. Install it, or name it: PYTHON=/path/to/python3 $0" >&2
    return 1
}

# pip for the environment: its own, or the system's working on it from outside.
pip_install() {
    local pip=("$VENV/bin/python" -m pip) python
    if ! "${pip[@]}" --version >/dev/null 2>&1; then
        python="$(find_python)"
        pip=("$python" -m pip --python "$VENV/bin/python")
    fi
    "${pip[@]}" install --quiet --disable-pip-version-check --constraint scripts/constraints.txt "$@"
}

# What the environment was made from; it is made again when any of this changes.
fingerprint() {
    { echo "$ROOT"; cat pyproject.toml scripts/constraints.txt; } | sha256sum | cut -d ' ' -f 1
}

make_environment() {
    local made_from="$VENV/made-from" wanted python
    wanted="$(fingerprint)"
    if ! new_enough "$VENV/bin/python"; then # missing, half made, or its Python is gone
        python="$(find_python)"
        echo "Making .venv with $("$python" --version) ..."
        rm -rf "$VENV"
        if "$python" -c 'import ensurepip' 2>/dev/null; then
            "$python" -m venv "$VENV"
        else
            "$python" -m venv --without-pip "$VENV"
        fi
    fi
    if [[ ! -f "$made_from" || "$(<"$made_from")" != "$wanted" ]]; then
        echo "Installing into .venv (a few minutes the first time) ..."
        # The build tool comes first and from the constraints too, so that nothing unpinned is fetched.
        pip_install hatchling
        pip_install --no-build-isolation --editable '.[dev]'
        echo "$wanted" >"$made_from"
    fi
}

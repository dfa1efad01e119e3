#!/bin/sh
# Makes .venv and installs Eavewell into it, with what its tests need.
# Does nothing when that was done already for this pyproject.toml in this folder.
# PYTHON=python3.12 chooses the interpreter; otherwise the newest suitable one is taken.
set -eu
unset CDPATH
cd "$(dirname "$0")/.."

venv=.venv
stamp=$venv/installed
wanted="$(pwd) $(cksum < pyproject.toml)"

say() { printf '%s\n' "$*"; }
stop() { printf 'Eavewell: %s\n' "$*" >&2; exit 1; }
has() { command -v "$1" > /dev/null 2>&1; }
recent() { "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' > /dev/null 2>&1; }
makes_venv() { "$1" -c 'import venv, ensurepip' > /dev/null 2>&1; }
version() { "$1" -c 'import sys; print("%d.%d" % sys.version_info[:2])' 2> /dev/null; }

# The Debian package that brings a Python of 3.11 or newer; the plain name where apt cannot tell.
debian_package() {
    for number in 3.13 3.12 3.11; do
        if apt-cache show "python$number-venv" > /dev/null 2>&1; then
            say "python$number-venv"
            return
        fi
    done
    say python3-venv
}

no_python() {
    found=""
    if has python3; then found=" (python3 here is $(version python3 || say unusable))"; fi
    if has apt-get; then
        stop "no Python 3.11 or newer found$found: sudo apt-get install $(debian_package)"
    elif [ "$(uname)" = Darwin ]; then
        stop "no Python 3.11 or newer found$found: brew install python@3.13, or python.org."
    fi
    stop "no Python 3.11 or newer found$found: install your system's package python3."
}

# Debian splits ensurepip off; without it a virtual environment has no pip.
no_venv() {
    if has apt-get; then
        stop "$1 lacks its venv piece: sudo apt-get install python$(version "$1")-venv"
    fi
    stop "$1 lacks the modules venv and ensurepip: install your system's package python3-venv."
}

choose_python() {
    without_venv=""
    for python in ${PYTHON:-python3.13 python3.12 python3.11 python3}; do
        if ! has "$python" || ! recent "$python"; then continue; fi
        if makes_venv "$python"; then return; fi
        without_venv=${without_venv:-$python}
    done
    if [ -n "$without_venv" ]; then no_venv "$without_venv"; fi
    no_python
}

make_venv() {
    if recent "$venv/bin/python" && "$venv/bin/python" -m pip --version > /dev/null 2>&1; then
        return
    fi
    choose_python
    say "Making $venv with $python ($(version "$python"))"
    "$python" -m venv --clear "$venv" > /dev/null 2>&1 || no_venv "$python"
}

install() {
    say "Installing Eavewell and what its tests need into $venv (a minute or two, once)"
    log=$venv/install.log
    if "$venv/bin/python" -m pip install --quiet --retries 2 -e '.[test]' > "$log" 2>&1; then
        return
    fi
    if grep -Eqi 'connection|resolution|timed out|unreachable|proxy' "$log"; then
        stop "packages could not be fetched: connect to the network, or name a folder of wheels in PIP_FIND_LINKS (log: $log)."
    fi
    tail -n 5 "$log" >&2
    stop "packages could not be installed (log: $log)."
}

moved() { [ -f "$stamp" ] && [ "$(cut -d ' ' -f 1 < "$stamp")" != "$(pwd)" ]; }

if [ -x "$venv/bin/python" ] && [ -f "$stamp" ] && [ "$(cat "$stamp")" = "$wanted" ]; then
    exit 0
fi
# The programs inside a virtual environment carry its full path, so a moved one is made afresh.
if moved; then rm -rf "$venv"; fi
make_venv
install
printf '%s\n' "$wanted" > "$stamp"

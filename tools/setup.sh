# Sourced by the scripts in script/: steps with a log, and packages that are missing.
# shellcheck shell=bash

LOG_DIR=$ROOT/build/log
mkdir -p "$LOG_DIR"
BUILD_PACKAGES="gcc libc6-dev cmake ninja-build pkg-config libsqlite3-dev libjansson-dev
  libmicrohttpd-dev zlib1g-dev libcairo2-dev libpango1.0-dev libqrencode-dev libnlopt-dev libxml2-dev
  libsodium-dev libgnutls28-dev
  fonts-inter fonts-noto-core fonts-droid-fallback"
# shellcheck disable=SC2034 # used by script/test
TEST_PACKAGES="libcmocka-dev liblcms2-dev libsundials-dev clang clang-tidy clang-format libclang-rt-dev chromium
  poppler-utils zbar-tools curl groff-base"

fail() { # fail LINE...: one plain reason on the standard error, then status 1
    printf '%s\n' "$@" >&2
    exit 1
}

# step NAME LOG COMMAND...: runs it with its output in build/log/LOG.log, prints one line with
# the seconds it took; when it fails, the end of the log and where the rest is.
step() {
    local name=$1 log=$LOG_DIR/$2.log begun=$SECONDS
    shift 2
    printf '  %-34s ' "$name"
    if "$@" >"$log" 2>&1 </dev/null; then
        printf '%4d s\n' $((SECONDS - begun))
        return 0
    fi
    printf '%4d s  FAILED\n' $((SECONDS - begun))
    {
        echo "--- the end of ${log#"$ROOT"/}:"
        tail -n 30 "$log"
        echo "--- failed: $name"
    } >&2
    return 1
}

# The node that the web app is built with; Debian's own will do.
node_is_there() {
    local major
    command -v npm >/dev/null && command -v node >/dev/null || return 1
    major=$(node --version | sed 's/^v\([0-9]*\).*/\1/')
    [ "$major" -ge 18 ]
}

is_installed() {
    dpkg-query -W -f '${Status}' "$1" 2>/dev/null | grep -q '^install ok installed$'
}

install_packages() { # with $1 = "" or "sudo ..."
    # shellcheck disable=SC2086 # a list of names
    $1 apt-get update -q && $1 env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -q --no-install-recommends $MISSING
}

# need PACKAGE...: installs those that are missing.
need() {
    local package sudo=""
    MISSING=""
    command -v dpkg-query >/dev/null || fail "This script knows Debian and its kin (dpkg-query is not here)." \
        "Install by your own means:" "  $BUILD_PACKAGES" "and node 18 or newer with npm."
    for package in "$@"; do
        is_installed "$package" || MISSING="$MISSING $package"
    done
    node_is_there || MISSING="$MISSING nodejs npm"
    [ -n "$MISSING" ] || return 0
    if [ "$(id -u)" -ne 0 ]; then
        command -v sudo >/dev/null || fail "These packages are missing, and you are neither root nor is there sudo:" \
            " $MISSING" "Ask somebody who may to run:" "  apt-get install --no-install-recommends$MISSING"
        if ! sudo -n true 2>/dev/null; then
            echo "  These packages are missing:$MISSING"
            sudo -v || fail "sudo was refused. Ask somebody who may to run:" \
                "  apt-get install --no-install-recommends$MISSING"
        fi
        sudo="sudo"
    fi
    echo "  packages:$MISSING"
    step "installing packages" packages install_packages "$sudo" ||
        fail "The packages could not be installed (offline? no space?). When you can, run:" \
            "  apt-get update && apt-get install --no-install-recommends$MISSING" "and then this script again."
    node_is_there || fail "node $(node --version 2>/dev/null || echo 'is missing') is too old: the web app needs node 18 or newer, with npm."
}

# build PRESET: configures and builds; two compilers at once are enough for a small machine.
build() {
    step "configuring $1" "configure-$1" cmake --preset "$1" &&
        step "building $1" "build-$1" cmake --build --preset "$1"
}

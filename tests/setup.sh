# SPDX-License-Identifier: GPL-3.0-or-later
# Sourced by tests/run and demo/run: installs the Debian packages they need, if any is missing.

# What the program is built with.
packages_build="gcc libc6-dev cmake ninja-build pkg-config liblua5.4-dev libsqlite3-dev libsodium-dev
  libgsl-dev libjansson-dev libedit-dev"
# What its tests hold it against, and drive it with.
packages_tests="$packages_build libcmocka-dev glpk-utils units sqlite3 tmux libxml2-utils python3
  python3-uncertainties python3-scipy coreutils file"

need_packages() {
  case $1 in
  build) wanted=$packages_build ;;
  tests) wanted=$packages_tests ;;
  *) echo "need_packages: build or tests" >&2; return 2 ;;
  esac
  missing=
  for package in $wanted; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q '^install ok installed' ||
      missing="$missing $package"
  done
  [ -z "$missing" ] && return 0
  command -v apt-get >/dev/null || {
    echo "These Debian packages are needed; install their like here:$missing" >&2
    return 1
  }
  as_root=
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null || {
      echo "Install these first, as root: apt-get install$missing" >&2
      return 1
    }
    as_root=sudo
  fi
  echo "Installing:$missing"
  $as_root apt-get update -q >/dev/null
  # shellcheck disable=SC2086
  DEBIAN_FRONTEND=noninteractive $as_root apt-get install -qy --no-install-recommends $missing >/dev/null
}

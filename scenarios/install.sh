#!/usr/bin/env bash
# Installs the Debian 12 packages that holdground is built from, as root or through sudo.
# Does nothing, at once, when they are all there.
#
#   scenarios/install.sh [build] [view] [tests]     default: all three sets
#
#   build   compiler and libraries of the program holdground
#   view    what holdground-view needs for pictures, charts and films
#   tests   what the tests need on top
#
# HOLDGROUND_SKIP_INSTALL=1 skips it: for machines whose packages are somebody else's business.
set -euo pipefail

build=(g++ cmake ninja-build pkg-config libeigen3-dev libhdf5-dev zlib1g-dev libfmt-dev
  nlohmann-json3-dev libcli11-dev libtomlplusplus-dev libassimp-dev ca-certificates git)
view=(libvtk9-dev xvfb xauth libgl1-mesa-dri ffmpeg librsvg2-bin fonts-dejavu-core)
tests=(libpng-dev libgtest-dev libgmock-dev libudunits2-dev clang-format python3)

fail() {
  echo "install.sh: error: $*" >&2
  exit 1
}

if [[ "${HOLDGROUND_SKIP_INSTALL:-0}" == 1 ]]; then
  exit 0
fi

wanted=()
for set_name in "${@:-all}"; do
  case "$set_name" in
    build) wanted+=("${build[@]}") ;;
    view) wanted+=("${view[@]}") ;;
    tests) wanted+=("${tests[@]}") ;;
    all) wanted+=("${build[@]}" "${view[@]}" "${tests[@]}") ;;
    *) fail "unknown set '$set_name'; allowed: build, view, tests" ;;
  esac
done

distribution=unknown
if [[ -r /etc/os-release ]]; then
  distribution=$(. /etc/os-release && echo "${ID:-unknown} ${VERSION_ID:-}")
fi
if ! command -v dpkg-query >/dev/null || [[ "$distribution" != "debian 12" ]]; then
  fail "this script knows Debian 12, this is '$distribution'." \
    "Install the counterparts of: ${wanted[*]}; then run again with HOLDGROUND_SKIP_INSTALL=1"
fi

installed=" $(dpkg-query -W -f '${db:Status-Status}:${Package} ' "${wanted[@]}" 2>/dev/null || true)"
missing=()
for package in "${wanted[@]}"; do
  [[ "$installed" == *" installed:$package "* ]] || missing+=("$package")
done
if [[ ${#missing[@]} == 0 ]]; then
  exit 0
fi

as_root=()
if [[ $(id -u) != 0 ]]; then
  command -v sudo >/dev/null ||
    fail "these packages are missing and there is no sudo; ask for them to be installed: ${missing[*]}"
  as_root=(sudo)
fi

log=$(mktemp)
trap 'rm -f "$log"' EXIT
apt_get() {
  if ! "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
    apt-get -q -y -o Dpkg::Use-Pty=0 -o DPkg::Lock::Timeout=300 -o Acquire::Retries=3 "$@" \
    >>"$log" 2>&1 </dev/null; then
    tail -n 15 "$log" >&2
    fail "apt-get $1 failed; its last lines are above"
  fi
}

echo "Installing ${#missing[@]} packages with what they need, a few minutes at most: ${missing[*]}" >&2
apt_get update
apt_get install --no-install-recommends "${missing[@]}"

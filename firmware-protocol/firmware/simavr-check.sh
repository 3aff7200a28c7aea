#!/usr/bin/env bash
# Runs the committed image in a second, independent emulator (Debian's simavr); installs what it needs.
set -euo pipefail
cd "$(dirname "$0")"

need=()
[ -e /usr/include/simavr/sim_avr.h ] || need+=(libsimavr-dev)
command -v cc >/dev/null || need+=(gcc libc6-dev)
if [ ${#need[@]} -gt 0 ]; then
  as_root=""
  [ "$(id -u)" = 0 ] || as_root="sudo"
  $as_root apt-get update -qq
  $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${need[@]}"
fi

folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cc -O2 -Wall -Wextra -o "$folder/simavr-check" simavr-check.c -lsimavr
timeout 300 "$folder/simavr-check" throwbench-rig.hex

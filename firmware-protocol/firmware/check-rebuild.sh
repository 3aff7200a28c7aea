#!/usr/bin/env bash
# Proves that the committed image is what the sources build: builds in a temporary folder, compares byte by byte, prints sizes.
set -euo pipefail
cd "$(dirname "$0")"

need=()
command -v avr-gcc >/dev/null || need+=(gcc-avr)
[ -e /usr/lib/avr/include/avr/io.h ] || need+=(avr-libc)
command -v avr-objcopy >/dev/null || need+=(binutils-avr)
command -v make >/dev/null || need+=(make)
if [ ${#need[@]} -gt 0 ]; then
  as_root=""
  [ "$(id -u)" = 0 ] || as_root="sudo"
  $as_root apt-get update -qq
  $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${need[@]}"
fi

folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
avr-gcc --version | head -1
make --silent BUILD="$folder" IMAGE="$folder/throwbench-rig.hex"
if ! cmp throwbench-rig.hex "$folder/throwbench-rig.hex"; then
  echo "the committed image is not what the sources build; run: make -C firmware-protocol/firmware" >&2
  exit 1
fi
echo "the committed image is what the sources build ($(sha256sum < throwbench-rig.hex | cut -c1-16))"

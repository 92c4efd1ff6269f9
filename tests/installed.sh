#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# installed.sh ROOT: a small program of somebody else's compiles against what was installed under ROOT.
set -eu
root=$1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cat >"$work/use.c" <<'END'
#include <stdio.h>
#include <fitwright/fitwright.h>

int main(void)
{
	struct fw_error error = {0};
	struct fw_quantity q;
	char text[64];

	if (fw_quantity_parse(&q, "1 3/8 in", NULL, &error) != FW_OK)
		return 1;
	printf("%s %s\n", fw_version(), fw_quantity_text_in(&q, fw_unit_find("mm", 2), false, text, sizeof text));
	return 0;
}
END
config=$(find "$root" -name fitwright.pc)
PKG_CONFIG_PATH=$(dirname "$config")
export PKG_CONFIG_PATH
flags=$(pkg-config --cflags --libs --static fitwright)
# shellcheck disable=SC2086
cc -std=c11 "$work/use.c" -o "$work/use" $flags
said=$("$work/use")
[ "$said" = "$("$root/usr/bin/fitwright" --version | sed -n '1s/.* //p') 34.925 mm" ] || {
  echo "installed.sh: got '$said'" >&2
  exit 1
}
echo "installed: $said"

#!/bin/sh
# An upgrade stops it in the new package's preinst, once everything is copied.
set -e
if [ "$1" = remove ] && [ -d /run/systemd/system ]; then
  deb-systemd-invoke stop brumal.service >/dev/null || true
fi

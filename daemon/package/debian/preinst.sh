#!/bin/sh
# Before an upgrade: the Brumal that is there copies everything while it still watches, and only then stops.
set -e

if [ "$1" = upgrade ] && [ -x /usr/bin/brumal ]; then
  data=$(brumal check 2>/dev/null | sed -n 's/^data = "\(.*\)"  (.*$/\1/p')
  if [ -z "$data" ]; then
    echo "brumal: the settings have a mistake (brumal check shows it): no copy is made before the upgrade." >&2
  elif [ -e "$data/brumal.db" ] && [ "${BRUMAL_UPGRADE_WITHOUT_COPY:-}" = 1 ]; then
    echo "brumal: no copy is made before the upgrade, as asked for." >&2
  elif [ -e "$data/brumal.db" ]; then
    brumal backup --to "$data/before-upgrade" --keep 3 || {
      echo "brumal: the copy before the upgrade failed, so there is no upgrade; Brumal watches on." >&2
      echo "brumal: to upgrade without one: BRUMAL_UPGRADE_WITHOUT_COPY=1 dpkg -i …" >&2
      exit 1
    }
  fi
  if [ -d /run/systemd/system ]; then deb-systemd-invoke stop brumal.service >/dev/null || true; fi
fi

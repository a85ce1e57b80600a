#!/bin/sh
# Removing keeps settings and data. Purging takes the settings, but never the data: the log of an animal's winters is
# worth more than the room, and no command that is typed in haste may take it.
set -e
if [ -d /run/systemd/system ]; then systemctl --system daemon-reload >/dev/null || true; fi
if [ "$1" = purge ]; then
  if [ -x /usr/bin/deb-systemd-helper ]; then deb-systemd-helper purge brumal.service >/dev/null || true; fi
  if [ -d /var/lib/brumal ] && ! rmdir /var/lib/brumal 2>/dev/null; then
    echo "Brumal's data stay in /var/lib/brumal. To let them go, too:  rm -r /var/lib/brumal && userdel brumal"
  elif getent passwd brumal >/dev/null; then
    userdel brumal 2>/dev/null || true
  fi
fi

#!/bin/sh
set -e

# Also where an upgrade, a removal or a configuring went wrong half-way: the watch begins again.
case "$1" in configure | abort-upgrade | abort-remove | abort-deconfigure) ;; *) exit 0 ;; esac

if ! getent passwd brumal >/dev/null; then
  useradd --system --user-group --home-dir /var/lib/brumal --no-create-home --shell /usr/sbin/nologin brumal
fi
[ -d /var/lib/brumal ] || install -d -o brumal -g brumal -m 0750 /var/lib/brumal
# Passwords may stand in it.
chown root:brumal /etc/brumal/brumal.yaml
chmod 0640 /etc/brumal/brumal.yaml

# What the administrator switched off stays off.
deb-systemd-helper unmask brumal.service >/dev/null || true
if deb-systemd-helper --quiet was-enabled brumal.service; then
  deb-systemd-helper enable brumal.service >/dev/null || true
else
  deb-systemd-helper update-state brumal.service >/dev/null || true
fi

if [ -d /run/systemd/system ]; then
  systemctl --system daemon-reload >/dev/null || true
  if deb-systemd-helper --quiet was-enabled brumal.service; then
    deb-systemd-invoke start brumal.service >/dev/null || {
      echo "brumal: it did not start. Why:  systemctl status brumal" >&2
    }
  fi
  if [ -z "$2" ]; then
    echo "Brumal watches at http://$(hostname):8420 . The set-up code:  journalctl -u brumal | grep 'set-up code'"
  fi
fi

#!/bin/sh
# The brumal command of the Debian package. As root it works as the user brumal, so that nothing in the data folder ever
# belongs to root, where the service could not write it.
set -e
: "${BRUMAL_SETTINGS=/etc/brumal/brumal.yaml}"
export BRUMAL_SETTINGS
set -- /usr/bin/node /usr/lib/brumal/dist/daemon/cli/brumal.js "$@"
if [ "$(id -u)" = 0 ] && id brumal >/dev/null 2>&1; then
  exec setpriv --reuid=brumal --regid=brumal --init-groups -- "$@"
fi
exec "$@"

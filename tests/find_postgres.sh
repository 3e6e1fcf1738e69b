#!/bin/sh
# The pages are tested on PostgreSQL, too: use the one that is there, else ask the system's packages for it.
# Without it those tests say that they were skipped; RILLBED_EVERY_TEST=1 makes that a failure.
found() { command -v postgres >/dev/null 2>&1 || ls /usr/lib/postgresql/*/bin/postgres >/dev/null 2>&1; }
found && exit 0
if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
  echo "No PostgreSQL found: installing it from the system's packages ..."
  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends postgresql >/dev/null
  found && exit 0
fi
echo "No PostgreSQL, and it could not be installed: the tests on it are skipped. Install a package named postgresql." >&2
[ "${RILLBED_EVERY_TEST:-}" = 1 ] && exit 1
exit 0

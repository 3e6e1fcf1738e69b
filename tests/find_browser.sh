#!/bin/sh
# The page tests drive a real browser: use the one that is there, else ask the system's packages for it.
for name in chromium chromium-browser google-chrome; do
  command -v "$name" >/dev/null 2>&1 && exit 0
done
echo "No Chromium found: installing it from the system's packages (needs root) ..."
if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium >/dev/null && exit 0
fi
echo "Could not install Chromium. Install a package named chromium, then run make test again." >&2
exit 1

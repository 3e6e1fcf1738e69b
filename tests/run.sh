#!/bin/sh
# All tests on two cores: the journeys in a browser and the pages on PostgreSQL run beside the rest.
# Takes the folder of the programs of the virtual environment.
set -u
bin=$1
beside=$(mktemp)
{
    "$bin/pytest" tests/e2e && RILLBED_TEST_DATABASE=postgresql "$bin/pytest" tests/web
} > "$beside" 2>&1 &
second=$!
trap 'kill "$second" 2> /dev/null; rm -f "$beside"' EXIT
trap 'exit 130' INT TERM
"$bin/pytest" --ignore=tests/e2e
here=$?
echo "Beside them, the journeys in a browser and the pages on PostgreSQL ..."
wait "$second"
there=$?
cat "$beside"
exit $((here || there))

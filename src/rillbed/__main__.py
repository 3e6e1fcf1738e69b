"""Run the command line with ``python -m rillbed``."""

import sys

from rillbed.cli import main

sys.exit(main())

"""`python -m chartc` is the command `chartc`."""

import sys

from chartc.cli import command

sys.exit(command())

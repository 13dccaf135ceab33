"""`python -m chartc` is the command `chartc`."""

import sys

from chartc.cli import main

sys.exit(main())

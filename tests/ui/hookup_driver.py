"""``gatepost`` as it is typed, for tests in a terminal of their own.

``python -m tests.ui.hookup_driver FOLDER ARGUMENTS...`` runs with FOLDER as the place to be in.
"""

from __future__ import annotations

import os
import sys

from expert.cli import main

if __name__ == "__main__":
    os.chdir(sys.argv[1])
    sys.exit(main(sys.argv[2:]))

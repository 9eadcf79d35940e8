"""``gatepost knowledge add`` on a small invented folder, for tests in a terminal of their own.

``python -m tests.ui.add_driver BASE ARGUMENTS...``
"""

from __future__ import annotations

import sys
from pathlib import Path

from expert.cli import main
from expert.workbench.add import target

if __name__ == "__main__":
    base = Path(sys.argv[1])
    target.shipped_folder = lambda: base
    sys.exit(main(["knowledge", "add", *sys.argv[2:]]))

"""Settings for every test."""

from __future__ import annotations

import os

# The matrices of one car are small: threads in the linear algebra only get in each other's way.
# Set before numpy is imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

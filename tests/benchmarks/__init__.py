"""Measured figures, each with its limit, run on request: ``python -m tests.benchmarks [NAME...]``.

One module a figure. Speed is always a ratio to something measured in the same run, so that a slow
or busy machine slows both sides; pytest does not collect any of this.
"""

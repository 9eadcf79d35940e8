"""Logs of pulls: read, measured, and turned into findings with the seconds that prove them."""

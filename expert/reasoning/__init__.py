"""Exact reasoning over arrays: who is to blame, what to check next, and why."""

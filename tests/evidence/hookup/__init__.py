"""Tests of the hook-up."""

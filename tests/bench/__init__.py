"""Tests of the physics."""

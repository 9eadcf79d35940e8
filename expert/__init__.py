"""Gatepost: find out why a turbocharged petrol car makes the wrong boost."""

__version__ = "0.1.0"

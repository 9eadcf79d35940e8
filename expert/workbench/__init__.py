"""The tuner's tools: what the knowledge is worth, and where it falls short."""

"""Rules for what a knowledge file may say but should not: one rule a module."""

"""The dialogue with the owner: one loop, and the windows it runs in."""

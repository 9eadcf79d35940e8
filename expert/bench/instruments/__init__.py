"""Virtual instruments: what a person with a tool finds at a simulated car."""

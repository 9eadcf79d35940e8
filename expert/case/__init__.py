"""One car's story: events in a journal, the state they add up to, and what follows from it."""

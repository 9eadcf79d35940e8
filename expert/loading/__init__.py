"""From the files of the knowledge to the frozen model, with every mistake in its place."""

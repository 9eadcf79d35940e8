"""Messages read and understood: facts with their exact words, and nothing more."""

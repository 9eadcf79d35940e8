"""What must fit together across the entries of the knowledge, one topic a module."""

"""New entries for the knowledge files: questions, text, places in files, and safe writing."""

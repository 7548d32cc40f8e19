"""Is this water fit to use now? No files here."""

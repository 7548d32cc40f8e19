"""What to buy, by when, how much. No files here."""

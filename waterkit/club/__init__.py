"""The folder on disk: a club's plain text files read into records, every problem told at once."""

from waterkit.club.reading import inspect_club, read_club, read_scenario

__all__ = ["inspect_club", "read_club", "read_scenario"]

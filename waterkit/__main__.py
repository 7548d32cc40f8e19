"""``python -m waterkit``."""

from waterkit.cli import main

if __name__ == "__main__":
    main()

"""``python -m expert`` is the same as the command ``gatepost``."""

from expert.cli import main

if __name__ == "__main__":
    raise SystemExit(main())

"""`python -m airweft`, for where the command itself is not on the path."""

from __future__ import annotations

from airweft.cli import main

if __name__ == "__main__":
    raise SystemExit(main())

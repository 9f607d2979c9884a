"""The one limit that every way into the program shares."""

from __future__ import annotations

MOST_BUBBLES = 100_000
"""Largest piece that is planned (assumption: forty times the largest piece that we know of)."""

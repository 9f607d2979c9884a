"""For every test: generated cases are the same on every run, and no machine is too slow."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("airweft", deadline=None, derandomize=True)
settings.load_profile("airweft")

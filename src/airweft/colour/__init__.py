"""Palettes and patterns."""

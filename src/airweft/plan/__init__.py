"""Bounds, trails and the build order."""

"""Balloon sizes and their shipped assumptions."""

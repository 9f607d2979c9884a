"""Errors, findings, units, progress: what every stage may use."""

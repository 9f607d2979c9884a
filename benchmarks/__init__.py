"""Measured numbers: `make bench` runs these and prints tables. Never part of the tests."""

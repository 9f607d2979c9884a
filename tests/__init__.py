"""Tests of airweft; the folders mirror the package."""

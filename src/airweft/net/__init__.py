"""Meshes turned into bubbles and joints."""

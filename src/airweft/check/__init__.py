"""Replays a plan by the making rules; shares nothing with the planner."""

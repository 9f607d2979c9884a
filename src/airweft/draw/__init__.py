"""Pictures of bubbles, charts and gauges."""

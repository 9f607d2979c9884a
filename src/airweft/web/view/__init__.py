"""The view of a piece: canvas, text twin, and what travels from here to the browser."""

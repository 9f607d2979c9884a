"""The bench: what a maker with both hands full sees and touches while the piece is made."""

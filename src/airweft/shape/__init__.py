"""The shape a piece will take: prediction, rigidity, standing and weight."""

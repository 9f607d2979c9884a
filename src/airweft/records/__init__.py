"""The frozen records that pass between the stages, and the plan file."""

"""What the line does: pure functions over a score."""

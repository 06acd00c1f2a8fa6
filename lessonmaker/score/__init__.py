"""Scores: reading, positions, transposition to an edition, engraving."""

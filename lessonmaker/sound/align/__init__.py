"""A take fitted to its score: which bar and which note sounds when."""

from lessonmaker.sound.align.fit import fit_take

__all__ = ["fit_take"]

"""What words say by weights that were learned: stems as clues, and what each says for each of some things."""

from lessonmaker.script.plain.learned.clues import Clue, clues_of, stem
from lessonmaker.script.plain.learned.weights import Weights, read_weights

__all__ = ["Clue", "Weights", "clues_of", "read_weights", "stem"]

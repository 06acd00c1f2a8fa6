"""What a sentence states in words of its own, put in plain words, by weights learned from many ways of saying it."""

from lessonmaker.script.plain.restated.restate import Restated, restated

__all__ = ["Restated", "restated"]

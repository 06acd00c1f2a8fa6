"""Which note of the line each name in a sentence means, by weights learned from sentences whose readings are known."""

from lessonmaker.script.plain.reference.facts import Facts
from lessonmaker.script.plain.reference.refer import Referent, facts_in_sight, refer
from lessonmaker.script.plain.reference.settle import settle

__all__ = ["Facts", "Referent", "facts_in_sight", "refer", "settle"]

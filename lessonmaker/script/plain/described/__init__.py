"""What a sentence describes in words that are no term of the trade, by weights learned from many ways of saying it."""

from lessonmaker.script.plain.described.sentences import may_describe, names_a_row, names_a_term
from lessonmaker.script.plain.described.tell import Described, described
from lessonmaker.script.plain.described.things import claim_of, things_in

__all__ = [
    "Described",
    "claim_of",
    "described",
    "may_describe",
    "names_a_row",
    "names_a_term",
    "things_in",
]

"""Words and parts of patterns that every module shares which reads degrees by their names.

Common practice, no source.
"""

from __future__ import annotations

from lessonmaker.script.plain.claim import number_said
from lessonmaker.script.plain.verbs import ENDING, LANDING, LEANING, MOVING, SOUNDING, STARTING
from lessonmaker.script.plain.vocabulary import (
    ACCIDENTALS,
    CARDINALS,
    ORDINALS,
)

__all__ = ["AS_EVER", "FAR", "MOVES", "NOTE_DOES", "NOT_A_NOTE", "ROW_WORDS", "SIGN", "SPOKEN", "step_number"]

SIGN = "|".join(word for word in ACCIDENTALS if word not in ("b", "#"))

SPOKEN = "|".join(sorted([*ORDINALS, *CARDINALS], key=len, reverse=True))

NOT_A_NOTE = (
    # "The fourth and fifth bars".
    rf"(?:(?:,? and|,? or|,) (?:the )?(?:{'|'.join(ORDINALS)})(?= (?:bars?|measures?|beats?)\b))?"
    r"(?: (?:full |whole |long |short |little |more |of the |complete )*(?:bars?|measures?"
    r"|beats?|notes?|times?|phrases?|chords?|lines?|spaces?|fingers?|valves?|strings?|slide(?! (?:up|down|in|on|to)\b)"
    r"|positions?|sections?|choruses|chorus|halves|half(?!-)|endings?|statements?|groups?|degrees?"
    r"|choices?|steps?(?! (?:down|up|to|out|back)\b)|voices?|thing|one|ones|eighths?|quarters?|triplets?"
    r"|(?:leaps?|jumps?)(?! (?:down|up|to|over)\b)"
    r"|semitones?|tones?|seconds?|minutes?|of all|part|parts|place|point|attempt"
    r"|apart|wide|motion|idea|figure|shape|cell|motif"
    r"|motive|interval|nature|o'clock|octave|octaves|position|scale|mode|sequence|enclosure"
    r"|arpeggio|thought|listen|look|try|go(?! (?:up|down|to|into|back|on)\b)|take(?! turns)"
    r"|time|hand|page|pages|years?|days?|keys?"
    r"|accidentals?|flats?|sharps?|two[- ]fives?(?:[- ]ones?)?"
    r"|of (?:january|february|march|april|may|june|july|august|september|october|november|december)(?! \w+ chord)"
    r"|of (?:him|us|you|(?:my|our|your|his|her|their) (?:\w+ )?\w+s)(?! (?:chord|key)))\b)"
)

# "A third up".
FAR = r" (?:higher|lower|up(?! (?:top|high|there|here)\b)|down(?! (?:low|below|there|here)\b)|above|below|away)\b"

MOVES = (
    r"(?:up|down|by|of|in|into|falls?|falling|drops?|dropping|rises?|rising|jumps?|jumping"
    r"|leaps?|leaping|climbs?|skips?|moves?|descends?|ascends?|interval of|leap of|jump of"
    r"|distance of|another|higher by|lower by|stack(?:s|ed)? of)"
)

NOTE_DOES = f"{SOUNDING}|{LEANING}|{MOVING}|{LANDING}|{STARTING}|{ENDING}"

ROW_WORDS = (
    "and|then|in|on|over|of|up|down|at|to|with|for|is|are|before|again|here|there|straight|through|across"
    "|right|all|just"
    "|like|off|from|every|each|once|twice|where|which|while|as|but|or|throughout|both|whatever|bar after|chord after"
    "|repeats?|repeated|keeps?|returns?|comes|goes|gets|runs|works|moves|falls|climbs|recurs|appears|happens"
    "|(?:two|three|four|five|six|[2-6]) times"
)


def step_number(word: str) -> int:
    """The number of a step by its word: 1 for "root", 9 for "ninth" and "nine"."""
    return 1 if word == "root" else number_said(word)


AS_EVER = ("plain",)  # before a row nothing is natural by it: "a plain three five seven nine"

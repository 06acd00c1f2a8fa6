"""A question that the speaker answers: both are read as the one statement that they make.

"How many sharp elevens have we got here? Three of them." is "three sharp elevens have we got here". Common practice,
no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.vocabulary import NUMBER

__all__ = ["statement"]

LEAD = r"\s*(?:(?:and|so|now|ok|okay|but|then|well),? )*"
IN_A_PLACE = pattern_of(r" (?:in|over|across) (?:this|that|the|these|those|bars?|measures?)\b[^,;:]*$")
DENIED = pattern_of(r"\s*(?:not|no|nowhere|never|none)\b")
WHERE = pattern_of(rf"{LEAD}where(?:'s| is| are| was| were| do| does| did) (?!(?:you|he|she|they)\b)")
# "What do we have on beat two? The ninth."
WHAT = pattern_of(
    rf"{LEAD}(?:what|which|who|guess (?:what|which|who))(?: (?:note|degree|pitch|tone|one))?(?:'s| is| are"
    r"| was| have| has| do| does|"
    r" did| sits| stands| comes| lands| falls| starts| begins| ends| can)\b(?: (?:we|you|i|it|he|she|they))?"
    r"(?: (?:got|have|get|hear|find|see|play|meet|land|end up|sitting|hiding|waiting|playing|hearing|there))?(?= )"
)
# "E flat? The third."
A_NOTE = pattern_of(rf"{LEAD}(?:the |that |this )?[a-g](?: flat| sharp|b|#)?\?\s*$")
HERE = pattern_of(r"\b(?:here|there|th(?:is|at)|(?:bar|measure|beat)s? [\w-]+)\b")
NAMED = pattern_of(
    r"\s*(?:(?:well|why|yes|right|of course|only|just|none other than|nothing but|simply),? )*(?:(?:it's"
    r"|that's|it is|that is)"
    r" )?(?:(?:the|an?|our|its|your)\b|[a-g](?: flat| sharp)?(?=[,.!])) ?"
)
HOW_MANY = pattern_of(rf"{LEAD}how many(?= (?!of (?:you|us)\b|times\b|people\b))")
HOW_OFTEN = pattern_of(rf"{LEAD}how (?:many(?P<times> times)|often)(?: do| does| did| is| are)?(?= )")
NUMBERED = pattern_of(
    rf"(?:\s*(?:well,? )?(?:(?:i|we|you) (?:can )?(?:count|find|get|got|have|hear|make it|see)|there(?:'s| are|'re)) )?"
    rf"(?:exactly |just |only |precisely |all of |a total of )?(?P<count>{NUMBER}(?: (?:long|short|big|little"
    rf"|quick))?)"
    r"(?: (?:ones|of (?:them|those|these)|in all|altogether))?\b(?! (?:bars?|beats?)\b)"
)
TIMES = pattern_of(rf"(?:exactly |just |only )?(?P<count>(?:{NUMBER} times|once|twice))\b")


# What is asked of the harmony, and an answer that begins with a chord.
CHORD_ASKED = pattern_of(
    rf"{LEAD}(?:(?:what|which)(?:'s| is| are| do(?:es)?| chord| harmony)+|what kind of chord)(?= )"
    r"(?![^?]*\b(?:your|my|his|her|their|favou?rite|best|would|could|should)\b)(?=[^?]* (?:chords?|harmony|bar"
    r"|measure|progression|under\w*|beneath|playing (?:over|on)|here|band|piano"
    r"|(?:we|you) (?:land|arrive|end|start|begin|get|have"
    r"|hear|hit|reach))\b)"
    r"(?P<rest> [^?]*)\?"
)
# "Where are we? In F major": "we are in F major"; "what key is this? F": "key is F".
KEY_ASKED = (
    pattern_of(
        rf"{LEAD}(?:where|(?:what|which) key)(?P<second>'re| are)(?P<first> (?:we|you))"
        r"(?P<third> in(?! (?:bar|measure)))?\b[^?]*\?"
    ),
    pattern_of(
        rf"{LEAD}(?:what|which) (?P<first>key)(?P<second>'s| is)(?P<third>) (?:it|this|that)\b[^?]*\?"
    ),
    pattern_of(rf"{LEAD}what(?P<second>'s| is) (?:the|our) (?P<first>key)(?P<third>)\b[^?]*\?"),
)
ROOT_ASKED = pattern_of(rf"{LEAD}what(?P<second>'s| is) (?P<first>(?:the|its|our) root)(?P<third>)\b[^?]*\?")
KEY_TOLD = pattern_of(
    r"\s*(?:(?:well|why|easy|oh|still|just|it's|that's),? )*(?P<within>in )?(?:the key of )?"
    r"[a-g](?:b|#|[ -]flat|[ -]sharp)?(?: major| minor)?\s*(?:[.!,;]|$)"
)
THE_CHORD = pattern_of(
    rf"{LEAD}(?:\w+ the way,? )?(?:and )*(?P<rest>(?:the|this) (?:chord|harmony|progression|comping"
    rf"|accompaniment|band|piano|changes)\b[^?]{{0,24}})\?"
)
AN_ARTICLE = pattern_of(r"\s*an? (?=minor|major|dominant|half|dim|aug|alt|sus)")
# "What sort of chord is this? A dominant": "this is a dominant".
IT_IS_ASKED = pattern_of(
    rf"{LEAD}(?:(?:do|can|did) (?:you (?:hear|tell|guess|see) )?)?(?:what|which)\b[^?]{{0,30}}?"
    r"(?:(?P<verb>'s| is)(?P<it> (?:it|this|that))|(?P<it_2> (?:it|this|that))(?P<verb_2>'s| is))\b[^?]*\?"
)
CHORD_TOLD = pattern_of(
    r"\s*(?:(?:well|why|easy|it's|it is|that's|we're on|you're on|an?|the|our|good old|plain|pure|just|simply),? )*"
    r"(?:[a-g](?:b|#|[ -]flat|[ -]sharp)? ?(?:\d|m|maj|dim|half|dominant|six|seven|alt|sus|aug)"
    r"|(?:flat |sharp )?(?:one|two|three|four|five|six) chord\b|(?:\w+ )?two[- ]five\b|tonic\b|(?:sub)?dominant\b"
    r"|(?:minor|major|half[- ]diminished|diminished|augmented|altered)(?: chord| seven\w*)?(?= ?[.,!;]|$))"
)


def statement(asked: str, answer: str) -> Sequence[tuple[int, int]]:
    """The stretches of a question and its answer, one after the other, that make one statement; none if they do not.

    Args:
        asked: a sentence that may be a question, in lower case.
        answer: the sentence after it; its places are counted on from the first.
    """
    end = asked.rfind("?")
    if end < 0 or "?" in answer or DENIED.match(answer):
        return ()
    chord = THE_CHORD.match(asked) or CHORD_ASKED.match(asked)
    if chord is not None and CHORD_TOLD.match(answer):
        return ((chord.start("rest"), end + 1), (len(asked) - 1, len(asked) + len(answer)))
    it_is = IT_IS_ASKED.match(asked) if CHORD_TOLD.match(answer) else None
    if it_is is not None:
        first, second = ("it", "verb") if it_is["it"] else ("it_2", "verb_2")
        article = AN_ARTICLE.match(answer)  # no chord on A
        skipped = article.end() if article is not None else 0
        return (it_is.span(first), it_is.span(second), (len(asked) + skipped - 1, len(asked) + len(answer)))
    told = KEY_TOLD.match(answer)
    keys = [pattern.match(asked) for pattern in (*KEY_ASKED, ROOT_ASKED)] if told is not None else []
    for key in filter(None, keys):
        if key["third"] == "" or bool(key["third"]) != bool(told and told["within"]):
            spans = [key.span(name) for name in ("first", "second", "third") if key[name]]
            return (*spans, (len(asked) - 1, len(asked) + len(answer)))
    begins = _named_from(asked, answer)
    return ((begins, len(asked) + len(answer)),) if begins >= 0 else _counted(asked, answer, end)


def _named_from(asked: str, answer: str) -> int:
    """Where the statement of a question where or what, and of the note that answers it, begins; -1 for none."""
    where, what = WHERE.match(asked), WHAT.match(asked)
    if where is not None:
        return where.end()
    if not NAMED.match(answer):
        return -1
    if what is not None and HERE.search(asked):
        return what.end()
    return 0 if A_NOTE.match(asked) else -1


def _counted(asked: str, answer: str, end: int) -> Sequence[tuple[int, int]]:
    """The stretches of a question how many, which ends before `end`, and of the number that answers it."""
    after, whole = len(asked), len(asked) + len(answer)
    often, many = HOW_OFTEN.match(asked), HOW_MANY.match(asked)
    times, number = TIMES.match(answer), NUMBERED.match(answer)
    place = IN_A_PLACE.search(asked[:end])
    told = place.start() if place is not None else end
    if often is not None and times is not None:
        return (
            (often.end(), told),
            (after - 1, after + times.end()),
            (told, end + 1),
            (after + times.end(), whole),
        )
    if often is not None and often["times"] and number is not None:
        return (
            (often.end(), told),
            (after - 1, after + number.end("count")),
            often.span("times"),
            (told, end),
        )
    if many is None or number is None:
        return ()
    count = (after + number.start("count"), after + number.end("count"))
    return (count, (many.end(), end + 1), (after + number.end(), whole))

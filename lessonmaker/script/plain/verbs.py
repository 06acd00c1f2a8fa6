"""What teachers say that a line does: verbs by what they mean, in all their forms. Common practice, no source.

A verb stands in its base form; its forms are made here, so that one row is a verb in every tense. What a verb takes
along ("falls gently down a step to") is passed over by `GAP`.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.script.pattern_store import pattern_of

__all__ = [
    "AROUND",
    "ENDING",
    "FALLING",
    "GAP",
    "GOING",
    "GOING_ROUND",
    "LANDING",
    "LEANING",
    "MOVING",
    "RISING",
    "SOUNDING",
    "STARTING",
    "inflected",
    "way_of",
]

IRREGULAR = {
    "be": ("is", "are", "was", "were", "been", "being"),
    "begin": ("begins", "began", "begun", "beginning"),
    "bite": ("bites", "bit", "bitten", "biting"),
    "break": ("breaks", "broke", "broken", "breaking"),
    "bring": ("brings", "brought", "bringing"),
    "burn": ("burns", "burned", "burnt", "burning"),
    "come": ("comes", "came", "coming"),
    "creep": ("creeps", "crept", "creeping"),
    "draw": ("draws", "drew", "drawn", "drawing"),
    "fall": ("falls", "fell", "fallen", "falling"),
    "find": ("finds", "found", "finding"),
    "fly": ("flies", "flew", "flown", "flying"),
    "get": ("gets", "got", "gotten", "getting"),
    "give": ("gives", "gave", "given", "giving"),
    "go": ("goes", "went", "gone", "going"),
    "hang": ("hangs", "hung", "hanging"),
    "have": ("has", "had", "having", "'s got", "'ve got"),
    "hear": ("hears", "heard", "hearing"),
    "hide": ("hides", "hid", "hidden", "hiding", "hidin'"),
    "hit": ("hits", "hitting"),
    "hold": ("holds", "held", "holding"),
    "lead": ("leads", "led", "leading"),
    "leave": ("leaves", "left", "leaving"),
    "let": ("lets", "letting"),
    "lie": ("lies", "lay", "lain", "lying"),
    "make": ("makes", "made", "making"),
    "play": ("plays", "played", "playing"),
    "put": ("puts", "putting"),
    "ring": ("rings", "rang", "rung", "ringing"),
    "rise": ("rises", "rose", "risen", "rising"),
    "run": ("runs", "ran", "running"),
    "say": ("says", "said", "saying"),
    "see": ("sees", "saw", "seen", "seeing"),
    "set": ("sets", "setting"),
    "shine": ("shines", "shone", "shining"),
    "sing": ("sings", "sang", "sung", "singing"),
    "sink": ("sinks", "sank", "sunk", "sinking"),
    "sit": ("sits", "sat", "sitting"),
    "slide": ("slides", "slid", "sliding"),
    "spring": ("springs", "sprang", "sprung", "springing"),
    "stand": ("stands", "stood", "standing"),
    "stick": ("sticks", "stuck", "sticking"),
    "sting": ("stings", "stung", "stinging"),
    "strike": ("strikes", "struck", "striking"),
    "swing": ("swings", "swung", "swinging"),
    "take": ("takes", "took", "taken", "taking"),
}
DOUBLING = pattern_of(r"(?:[^aeiou]|^)[aeiou][bdgklmnprtz]$")


def inflected(verbs: str, form: str = "") -> str:
    """A pattern of all forms of some verbs, parted by commas: "drop" is drop, drops, dropped, dropping.

    Of several words the first bends: "come down" is comes down, came down. With a `form` only the base form and
    those that it matches.
    """
    found = [
        each + verb[len(verb.split()[0]) :]
        for verb in verbs.split(", ")
        for each in _forms(verb.split()[0])
        if not form or each == verb.split()[0] or pattern_of(form).fullmatch(each)
    ]
    return rf"(?:{'|'.join(sorted(dict.fromkeys(found), key=len, reverse=True))})"


def _forms(verb: str) -> Sequence[str]:
    if verb in IRREGULAR:
        return (verb, *IRREGULAR[verb])
    if pattern_of(r"[^aeiou]y$").search(verb):
        return (verb, f"{verb[:-1]}ies", f"{verb[:-1]}ied", f"{verb}ing")
    if verb.endswith("e"):
        return (verb, f"{verb}s", f"{verb}d", f"{verb[:-1]}ing")
    stem = verb + verb[-1] if DOUBLING.search(verb) and verb not in UNDOUBLED else verb
    third = f"{verb}es" if pattern_of(r"(?:s|x|ch|sh|z|o)$").search(verb) else f"{verb}s"
    return (verb, third, f"{stem}ed", f"{stem}ing")


UNDOUBLED = {"open", "enter", "linger", "shimmer", "hover", "travel", "happen", "flower", "quiver", "answer"}

# To another note: down, up, or just there.
FALL = (
    "fall, drop, sink, descend, dip, tumble, plunge, plummet, collapse, cascade, sag, droop, subside, come down, "
    "go down, step down, move down, slide down, slip down, walk down, run down, head down, lower, sigh"
)
RISE = (
    "rise, climb, ascend, lift, soar, mount, come up, go up, step up, move up, slide up, slip up, walk up, run "
    "up, head up, push up, shoot up"
)
MOVE = (
    "resolve, move, go, step, slide, slip, glide, lead, pass, travel, head, proceed, push, pull, ease, melt, "
    "relax, settle, dissolve, release, give way, give, let go, let, crawl, creep, inch, pour, flow, fold, yield, "
    "bend, continue, bring, carry, take, drift, run, walk, skip, jump, leap, hop, nudge, tip, turn, come, sneak, "
    "swing, return, make, find, want, connect, fade, clear, lean, discharge, unwind, loosen, steer, draw, feed, "
    "spill, squeeze, shift, tighten, deliver, land, arrive, work, get, end up, wind up, hook, bounce, snap, "
    "break, open, hand over, point, aim, target, reach"
)
FALLING, RISING = inflected(FALL), inflected(RISE)
MOVING = inflected(f"{MOVE}, {FALL}, {RISE}")
# To go on, some way that other words tell: "jumps up".
GOING = inflected(
    "resolve, move, go, step, slide, slip, leap, jump, skip, hop, spring, head, pull, push, come, creep, crawl, inch, "
    "continue, travel, ease, turn, swing, lead, run, race, sweep, walk, spill, tumble, shoot, fly, roll"
)
# To be there, to begin, to end, to stay.
SOUND = (
    "sound, ring, glow, sing, shimmer, burn, bite, sting, shine, appear, arrive, happen, occur, show up, turn up, "
    "pop up, pop out, stick out, stand out, peek out, come in, come up, come, crop up, jump out, colour, color, "
    "spice, bloom, flash, strike, hit, lie, hide, stand, rub, clash, grind, ache, hurt, cut, jab, poke, sparkle, "
    "gleam, hum, whisper, shout, cry, scream, speak, shiver, tremble, quiver, throb, lurk, sneak in, creep in, "
    "enter, feature, hover, float"
)
LEAN = (
    "lean, sit, hang, dwell, hold, sustain, stress, accent, rest, stay, wait, linger, park, camp, perch, hang "
    "out, hover, stick, plant"
)
LAND = (
    "land, end, finish, settle, arrive, stop, close, conclude, come to rest, come to land, touch down, come home, "
    "come down, end up, wind up, alight, come to a stop, come to a halt, cadence"
)
START = (
    "start, begin, open, set off, enter, kick off, jump in, take off, set out, launch, lead off, come in, start "
    "off, start out, begin life, set sail, commence, get going, get started"
)
END = (
    "end, finish, close, stop, conclude, sign off, wind up, end up, wrap up, bow out, finish up,"
    " finish off, say goodbye, "
    "come to an end, come to its end, take its leave, peter out, run out, fade out, die away"
)
# What goes round a note: "walks around the third", "an enclosure of the C".
GO_ROUND = (
    "go, dance, wind, loop, skirt, circle, walk, step, run, move, tiptoe, creep, twist, curl, swing, spin, turn, come, "
    "crawl, weave, slide, orbit, wander"
)
GOING_ROUND = inflected(GO_ROUND)
AROUND = (
    rf"(?:enclosures?(?: (?:is|goes))?|approach(?:es)?|{GOING_ROUND}|wrap\w*|gather\w*|enclos\w+) a?round"
)
SOUNDING = inflected(SOUND)
LEANING = inflected(LEAN)
LANDING = inflected(LAND)
STARTING = inflected(START)
ENDING = inflected(END)

# Some words between a verb and what it leads to, which open no other part of the sentence.
GAP = (
    r"(?: (?!(?:and|but|or|then|before|until|after|while|so|because|not|without|if|when|where|which|that|from)\b)"
    r"[a-z][a-z'-]*){0,5}?"
)

UPWARD = pattern_of(rf"\b(?:{RISING}|up|upwards?|higher|above|rocket\w*)\b")
DOWNWARD = pattern_of(rf"\b(?:{FALLING}|down|downwards?|downhill|lower|below|div\w+)\b")


def way_of(text: str) -> int:
    """Up (1), down (-1), or not said (0)."""
    up, down = UPWARD.search(text), DOWNWARD.search(text)
    return 0 if bool(up) == bool(down) else 1 if up else -1

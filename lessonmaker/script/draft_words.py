"""The sentences of a draft: several for each thing worth saying, in a teacher's plain words.

`{link:words}` is linked to what was found; `{chord}` stands for the braces that name the chord there, `{next}` for
those of the chord that follows. After a colon stands what has to be so for sentences of their own (`draft_facts`).
The words around the links claim nothing by themselves.
"""

from __future__ import annotations

__all__ = [
    "CLOSINGS",
    "COMPARISONS",
    "FORMS",
    "KEYS",
    "OPENINGS",
    "PEAKS",
    "PRACTICE",
    "SENTENCES",
    "TITLES",
    "WORTH",
]

# How much a kind of device is worth saying, from 0 to 10.
WORTH: dict[str, float] = {
    "tritone-substitute triad": 10,
    "upper-structure triad": 9,
    "cross rhythm": 9,
    "sequence": 9,
    "substitute dominant": 6,
    "oblique motion": 8,
    "delayed resolution": 7,
    "resolution": 7,
    "anticipation": 6,
    "suspension": 7,
    "guide-tone line": 7,
    "enclosure": 6,
    "double approach": 5,
    "angular leaps": 7,
    "chromatic run": 6,
    "scale": 6.5,
    "arpeggio": 4.5,
    "over-the-barline phrase": 5.5,
    "register peak": 5.5,
    "diatonic passage": 5,
    "minor cadence": 5,
    "deceptive cadence": 8,
    "plagal cadence": 5,
    "two five one": 3.5,
    "landing note": 4,
    "displacement": 5,
    "density": 4,
}
SENTENCES: dict[str, tuple[str, ...]] = {
    "tritone-substitute triad": (
        (
            "Against {chord} the line spells {link:a triad from the other side of the circle}: dark "
            "notes, plainly stacked."
        ),
        "Over {chord} comes {link:a plain major chord from as far away as can be}. Play it as calmly as a tonic.",
    ),
    "upper-structure triad": (
        "Over {chord} the line borrows {link:a simple triad} from elsewhere.",
        "Think of {link:this triad} as a chord of its own, laid on top of {chord}.",
        "{link:Three notes} that everybody knows, put where nobody looks for them: on top of {chord}.",
    ),
    "upper-structure triad:of colours": (
        "Over {chord} the line borrows {link:a simple triad}, and every note of it is a colour.",
        "Think of {link:this triad} as a chord of its own, laid on top of {chord}: three colours in one.",
        "{link:Three notes} that everybody knows, put where nobody looks for them: on top of {chord}.",
    ),
    "sequence:exact": (
        "{link:One shape}, {times}: the fingers know it before the ear does.",
        "Here is {link:one small shape}, {times}, moved exactly.",
    ),
    "sequence:diatonic": (
        "{link:One shape}, {times}, without leaving its scale. Sing it before you play it.",
        "The line takes {link:a short idea} and moves it inside the scale, {times}.",
    ),
    "sequence:through the changes": (
        "{link:One shape}, {times}, fitted to each chord as it comes. The steps give way, the shape stays.",
        "The chords move and {link:the shape} moves with them, {times}.",
    ),
    "sequence:rhythmic": (
        "{link:The rhythm} comes {times}; only the notes change.",
        "Clap {link:this rhythm} first. It comes {times}.",
    ),
    "cross rhythm": (
        "Count aloud through {link:these groups}: their starts wander through the bar, and the pulse must not.",
        "{link:The groups} are of another length than the bar. Tap your foot and let them drift.",
    ),
    "cross rhythm:grouped bars": (
        "Count eighths through {link:this grouping}: three, three, two. The beats go on under it.",
        "{link:Three, three, two}: the accents leave the beats and come home with the bar line.",
    ),
    "oblique motion": (
        "One voice stays while {link:the other} moves. Play it as two players would.",
        "{link:Two voices} in one line: one holds still, the other walks.",
    ),
    "resolution": (
        "Lean on the {first}, and let it {move} to the {second}.",
        "The {first} over {chord} wants to move, and it does: to the {second}.",
        "Give the {first} a little weight. The {second} answers it.",
        "Here the {first} {moves} to the {second}: a small step that says where you are.",
    ),
    "resolution:of two chords": (
        "Lean on the {first} of {chord}, and let it {move} to the {second} of {next}.",
        "The {first} over {chord} wants to move, and it does: to the {second} of {next}.",
        "Give the {first} a little weight. The {second} of {next} answers it.",
        "From {chord} to {next} the {first} {moves} to the {second}: a small step that says where you are.",
    ),
    "delayed resolution": (
        "The {first} has to wait. Only after a detour does it reach the {second}.",
        "Keep the {first} in your ear: the line goes round before the {second} answers.",
    ),
    "delayed resolution:of two chords": (
        "The {first} of {chord} has to wait. Only after a detour does it reach the {second} of {next}.",
        "Keep the {first} of {chord} in your ear: the line goes round before the {second} of {next} answers.",
    ),
    "anticipation": (
        "The {note} comes early, before its chord. Do not wait for the downbeat.",
        "Place the {note} ahead of {chord}, and trust it.",
    ),
    "suspension": (
        "The {note} hangs over from before. Hold it until it hurts a little.",
        "Do not hurry the {note}: it belongs to the chord that has just gone.",
    ),
    "guide-tone line": (
        "Listen underneath the notes for {link:the slow line} that leads from chord to chord by step.",
        "{link:These few notes} carry the harmony. Play only them once.",
    ),
    "enclosure": (
        "{link:From both sides} the line closes in on its goal.",
        "The goal is plain, but {link:its neighbours} are heard first.",
    ),
    "enclosure:two neighbours": (
        "{link:From both sides} the line closes in on its goal.",
        "Hear how {link:the two neighbours} come first, and the note they mean comes last.",
        "The goal is plain, but {link:its neighbours} are heard first.",
    ),
    "double approach": (
        "{link:Two small steps from one side} lead in.",
        "The line slips in by {link:two steps the same way}.",
    ),
    "angular leaps": (
        "Now {link:wide leaps}. Hear each landing before you jump.",
        "The line opens out into {link:wide leaps}; keep the rhythm even and the rest follows.",
    ),
    "chromatic run": (
        "{link:Half steps in a row}: keep them even, and know where they end.",
        "The line slides along by {link:half steps} to where it wants to be.",
    ),
    "scale": (
        "{link:These notes} all come from {scale}. Listen for the ones that give it away.",
        "Over {chord} the notes are those of {scale}, and {link:this is where you hear it}.",
        "{link:Every note here} belongs to {scale}. Say its name while you play it slowly.",
    ),
    "scale:one note decides": (
        "{link:These notes} all come from {scale}. Listen for the one that gives it away.",
        "Over {chord} the notes are those of {scale}, and {link:this is where you hear it}.",
        "{link:Every note here} belongs to {scale}. Say its name while you play it slowly.",
    ),
    "arpeggio": (
        "{link:The chord itself}, one note after the other, says {chord} without a piano.",
        "Nothing hidden here: {link:the tones of the chord}, stacked.",
        "{link:These notes} spell {chord} from the inside.",
    ),
    "arpeggio:beyond the chord": (
        "Over {chord}, note by note: {link:{degrees}}.",
        "The line spells {chord} and goes on: {link:{degrees}}.",
    ),
    "arpeggio:without the root": (
        "Over {chord}, note by note: {link:{degrees}}. No root: somebody else has it.",
        "The line leaves the root of {chord} to others and plays {link:{degrees}}.",
    ),
    "arpeggio:the root elsewhere": (
        "Over {chord}, note by note: {link:{degrees}}.",
        "A figure on {chord}, one note after the other: {link:{degrees}}.",
    ),
    "over-the-barline phrase": (
        "{link:The line} does not stop where you expect it to. Do not breathe there.",
        "Keep {link:the line} going over the bar line.",
    ),
    "over-the-barline phrase:section": (
        "{link:The line} does not stop where the section does. Do not breathe there.",
        "Keep {link:the line} going where the form would let you rest.",
    ),
    "register peak": (
        "{link:This} is as high as the etude goes. Save something for it.",
        "Nothing lies higher than {link:this one note}. Know where you are going.",
    ),
    "diatonic passage": (
        "{link:These bars} have no note from outside. After colours, plain notes sound new.",
        "Nothing foreign in {link:these bars}: let the tune speak.",
    ),
    "minor cadence": (
        "{link:The chords} come to rest on a minor chord here, but it is not home.",
        "Hear {link:the harmony} close in minor, away from home.",
    ),
    "minor cadence:home": (
        "{link:The chords} go home to a minor chord here, and the line knows it.",
        "Hear {link:the harmony} close in minor.",
    ),
    "deceptive cadence": (
        "{link:The dominant} promises to go home and turns aside.",
        "Hear {link:the harmony} turn aside just before it is home.",
    ),
    "plagal cadence": (
        "{link:The chords} go home from the fourth step here.",
        "Hear {link:the harmony} come home by way of the fourth step.",
    ),
    "two five one": (
        "Underneath, {link:three chords} lead in the oldest way there is, but not home.",
        "{link:The harmony} goes the usual way to a place that is not home. Hear it first without the line.",
    ),
    "two five one:home": (
        "Underneath, {link:three chords} lead home in the oldest way there is.",
        "{link:The harmony} goes home here. Hear it first without the line.",
    ),
    "substitute dominant": (
        "{link:The chord here} stands in for the dominant, and falls by a half step.",
        "The bass slides down a half step out of {link:this chord}.",
    ),
    "landing note": (
        "The phrase comes to rest on the {note}.",
        "Where does it land? On the {note}. Stay there.",
    ),
    "displacement": (
        "{link:The same figure} again, but elsewhere in the bar. Count.",
        "Watch the beat: {link:the figure} comes back in another place.",
    ),
    "displacement:rhythm": ("{link:The rhythm} comes again elsewhere in the bar, on other notes. Count.",),
    "density": (
        "{link:This} is the busiest spot. Take it slowly until it is easy.",
        "Most notes to the bar come {link:here}: light fingers.",
    ),
}
TITLES: dict[str, tuple[str, ...]] = {
    "tritone-substitute triad": ("From across the circle", "A chord from far away"),
    "upper-structure triad": ("A triad on top", "One chord over another"),
    "sequence": ("One shape, again and again", "The shape that moves", "A shape on the move"),
    "cross rhythm": ("Against the bar", "Groups across the beat"),
    "oblique motion": ("One voice stays", "Two voices in one"),
    "resolution": (
        "Lean, then let go",
        "A colour and its answer",
        "Where the colour goes",
        "Tension and rest",
    ),
    "delayed resolution": ("The long way home", "An answer that waits"),
    "anticipation": ("Early is on time", "Ahead of the chord"),
    "suspension": ("Held over", "Not yet"),
    "motif": ("An old acquaintance", "It comes back", "Heard before"),
    "guide-tone line": ("The line underneath", "Step by step"),
    "enclosure": ("From both sides", "Closing in"),
    "double approach": ("Two steps in", "Slipping in"),
    "angular leaps": ("Wide open", "Leaps"),
    "chromatic run": ("By half steps", "Sliding"),
    "scale": ("The scale behind it", "Where the notes come from"),
    "arpeggio": ("The chord, note by note", "Spelling the changes", "Chord tones first"),
    "over-the-barline phrase": ("No breath at the bar line", "Over the edge"),
    "register peak": ("The top", "As high as it goes"),
    "diatonic passage": ("Plain notes", "Inside the key"),
    "minor cadence": ("Home, in minor", "A dark close"),
    "deceptive cadence": ("Turned aside", "Not home yet"),
    "plagal cadence": ("By the fourth step", "A gentle close"),
    "two five one": ("Going home", "Three chords"),
    "substitute dominant": ("A stand-in", "By the back stairs"),
    "landing note": ("Where it lands", "Coming to rest"),
    "displacement": ("Elsewhere in the bar", "Shifted"),
    "density": ("Many notes", "The busy bar"),
    "": ("Bars {bars}",),
}
OPENINGS = (
    "Play the whole etude through once, slowly, before you read on.",
    "First listen from beginning to end. Then we take it apart.",
    "Before we look at anything, play it once from top to bottom, however slowly.",
    "Listen to all of it first, with the page in front of you and your hands still.",
    "Read it through without playing, then play it without reading ahead.",
)
# What is said of the whole etude, of what is there.
FORMS = (
    "There are {bars} bars, in {sections}.",
    "The form is {bars} bars long, in {sections}.",
    "Count {bars} bars, in {sections}.",
)
KEYS = (
    "It begins and ends in {key}, and goes elsewhere in between.",
    "It starts from {key}, leaves it, and comes back.",
)
PEAKS = (
    "Two places to wait for: {dissonant} rubs most, and the top of the line is in {highest}.",
    "Keep two places in mind: the sharpest sound is in {dissonant}, the top of the line in {highest}.",
)
# What is said of two statements of a motif, one above the other.
COMPARISONS: dict[str, tuple[str, ...]] = {
    "the same": (
        "Put {one} beside {other}: the very same notes, with a good deal between them.",
        "You have played {one} before you come to {other}. Let the second time sound as if you remembered the first.",
    ),
    "moved": (
        "Put {one} beside {other}: one figure, at another pitch.",
        "You know {one} when you come to {other}, only from another place. Play both without what lies between.",
    ),
    "changed": (
        "Put {one} beside {other}: an idea, and what has become of it.",
        "You know {one} when you come to {other}, but not all of it is as it was. Find out what is new.",
    ),
    "inverted": ("Put {one} beside {other}: what rose falls, and what fell rises.",),
    "other rhythm": ("Put {one} beside {other}: the same steps in another rhythm.",),
}
CLOSINGS = (
    "Listen to these bars once more, and sing the line before you play it.",
    "Play these bars slowly until you can hear the next note before it comes.",
    "Nothing much to explain here: make it sing.",
)
PRACTICE: dict[str, tuple[str, ...]] = {
    "sequence": (
        "Take {link:this shape} through all twelve keys, and keep the rhythm as it is.",
        "Play {link:this shape} in every key until you need not think of the notes.",
    ),
    "sequence:through the changes": (
        "Take {link:this shape} through all twelve keys: it will fit under your hand wherever the changes go.",
        "Play {link:this shape} over the chords of other tunes: it fits itself to each.",
    ),
    "upper-structure triad": (
        "Take {link:this triad} through all twelve keys. Say the chord, then play the triad over it.",
        "Keep the chord in your ear, or let somebody hold it, and put {link:this triad} over it, in every key.",
    ),
    "tritone-substitute triad": (
        "Take {link:this triad} through all twelve keys: it works over every chord of its kind.",
    ),
    "enclosure": (
        "Put {link:these notes} round every chord tone, in all twelve keys.",
        "Close in on each tone of each chord as {link:these notes} do, slowly, in all twelve keys.",
    ),
    "resolution": (
        "Take the {first} and the {second} through all twelve keys: two notes are enough to hear the chords move.",
        "Play only the {first} and the {second}, in all twelve keys, until your ear asks for the second.",
    ),
    "delayed resolution": (
        "Take {link:this detour} through all twelve keys, and keep its goal in your ear.",
    ),
    "cross rhythm": (
        "Play {link:these groups} on one note with a metronome first, then with the notes as they stand.",
        "Clap {link:these groups} while your foot keeps the beat. Only then add the notes.",
    ),
    "chromatic run": ("Start {link:this run} on other notes, and always know where it ends.",),
    "arpeggio": (
        "Play {link:these notes} on the chords of the whole etude, up and down.",
        "Find {link:these notes} over every chord of its kind, in all twelve keys.",
    ),
    "guide-tone line": ("Find {link:this slow line} in other keys: it holds the changes together.",),
    "scale": (
        "Take {scale} through all twelve keys, starting where {link:the line} starts.",
        "Play {scale} in all twelve keys, then make {link:a line} like this one in each.",
    ),
    "oblique motion": ("Hold one voice and move {link:the other} in all twelve keys.",),
    "angular leaps": ("Practise {link:these leaps} slowly, one landing at a time, in several keys.",),
}

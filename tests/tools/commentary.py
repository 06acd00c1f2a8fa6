"""Commentary of the trade, made up, as it is written and as it is said, for measuring word times.

A written word that is not said as it stands carries what is said in braces. "ay" is the name of the note A, so
that a synthesiser does not take it for the article.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

__all__ = ["SENTENCES", "Sentence"]


@dataclass(frozen=True)
class Sentence:
    """Written words with their punctuation, and what is said for each."""

    written: tuple[str, ...]
    said: tuple[str, ...]


TEXT = """
In bar 12{twelve} the bass leans on the flat thirteen, then the sharp nine.
The first phrase answers B♭7{B flat seven} with a rising triad from the third.
A{ay} is the third of the chord, and it falls to A♭{ay flat} in the next bar.
Bars 3-4{three to four} hold the tritone against the pedal, and nobody minds.
This is a two five one in the key of F{F} sharp minor.
Listen to the sharp eleven: it floats above the chord for two beats.
The ♭9{flat nine} resolves down by step; the #9{sharp nine} does not.
We count in 7/4{seven four}, so every phrase comes out one beat short.
An enclosure surrounds the G{G} from above and below before it lands.
Here the pianist borrows a chord from the Lied{leed} tradition.
Play it cantabile{cantahbilay}, and let the last note ring.
A rallentando leads into the coda, where the band stops.
Cmaj7{C major seven} is only a resting place. Then comes E♭m7{E flat minor seven}.
Count four bars, rest, and come in on the and of three.
My teacher Ondra{ondra} Velkamp{velkamp} used to sing this line on the bus.
The melody begins on D{D}, skips to F♯{F sharp}, and circles back to D{D}.
Note how bar 17{seventeen} repeats bar 9{nine} a minor third higher.
Nothing happens in the second ending. That is the point of it.
Swing the eighths, e.g.{for example} in bars 5{five} and 6{six}, but play the triplets straight.
The guide tones are B{B} and F{F}, a tritone apart, and they swap places.
Over G7alt{G seven altered} he plays the altered scale, every note of it.
I hear a suspension, a release, and a question mark.
Approach notes come from a half step below, almost always on an offbeat.
Take the chord D/F♯{D over F sharp} and put it on top of the pedal.
At bar 33{thirty three} the key changes to E♭{E flat}, and so does the mood.
Six notes, two hands, one breath.
The bridge opens with ii-V-I{two five one} in the relative major.
Try to hear the bass line first. It walks, it skips, it waits.
A short line, a long silence, a surprise.
The 13{thirteen} sits at the top of the voicing; the 3{third} is below it.
Dorian is the colour here, with a natural sixth that brightens the line.
Ghost the second note, lean on the third, and drop the fourth.
That chromatic run from C{C} to E{E} is only decoration.
Back to the A{ay} section for the last time, now an octave lower.
Augmented triads split the octave in three equal parts.
Nearly 80%{eighty percent} of this solo is built out of four notes.
The pickup has three eighths; the downbeat is tied over.
Diminished chords move in minor thirds, so one shape does it all.
Vs.{versus} the first chorus, the second is busier and louder.
When you practise this, take it at 120{one hundred twenty} first, and then at 96{ninety six}.
What would happen if we played F♯{F sharp} instead? It would clash.
Mixolydian over the dominant, lydian over the four chord, and blues over everything.
Brekkovar{breckovar} and Siltz{silts} recorded nothing of the kind.
The backdoor progression goes from A♭{ay flat} to B♭7{B flat seven} and home to C{C}.
He quotes himself in bar 25{twenty five}, upside down.
Anticipation: the chord arrives an eighth note early.
Keep the tempo; keep the pulse; keep breathing.
Sixteen bars later, the same shape returns with a different ending.
It goes up. It comes down. It stops.
A pentatonic scale has no half steps, which is why it sounds open.
The clash between the ninth and the tenth is deliberate.
Watch the lit notes: root, fifth, seventh, ninth.
Chord tones fall on strong beats, passing tones on weak ones.
Should you get lost, listen for the bass drum.
The turnaround in bars 31{thirty one} and 32{thirty two} is a plain three six two five.
Voice leading makes the jump from D♭{D flat} to G7{G seven} feel small.
Tension builds through the sequence, each step a third higher than the last.
Play the C♯°7{C sharp diminished seven} as a passing chord, nothing more.
Half the charm is in the rhythm: long, short, short, long.
Octave displacement turns a scale into a melody.
The cadence is deceptive; instead of one we hear six minor.
Every phrase ends on an upbeat, except for this one.
And that is all there is to it, from the top.
"""

_TOKEN = re.compile(r"([^\s{]+)(?:\{([^}]*)\}(\S*))?")


def _sentence(line: str) -> Sentence:
    written, said = [], []
    for word, spoken, mark in _TOKEN.findall(line):
        written.append(word + mark)
        said.append(spoken + mark if spoken else word)
    return Sentence(tuple(written), tuple(said))


SENTENCES = tuple(_sentence(line) for line in TEXT.strip().splitlines())

"""Further situations of the trade: odd metres, pickups, slash chords, every family of chords, counter-examples.

Common practice, no source. They were written before the analysis was tried on them, in the notation of
`test_situations`, in other keys than those there; 163 of the first 172 were right at first sight.
"""

__all__ = ["DEVICES_HEARD", "DEVICES_HEARD_OTHERWISE", "HARMONY_HEARD", "NOTES"]

NOTES = {
    # Metres, pickups, ties, triplets
    "a passing note in five": ("{5/4}[Gm7] D5q C5 Bb4 G4h", "1=11 passing>2"),
    "passing notes in seven eight": (
        "{7/8}[Gm7] D5e C5 Bb4 G4 A4 Bb4 D5 | Bb4h. D5e",
        "1=11 passing>2; 4=9 tension>5",  # on a beat: two, two, three
    ),
    "a neighbour in nine eight": ("{9/8}[Fmaj7] A4e Bb4 A4 C5 A4 F4 E4q. | F4h. A4q.", "1=4 neighbour>2"),
    "the last of a triplet approaches": ("[Bb7] F4q Bb4 Ab4t F4 C#4 D4q", "4=#9 approach>5"),
    "a pickup by half step has no chord": (
        "{pickup}G4e G#4 | [Am7] A4w",
        "0=none none; 1=none none; 2=1 chord",
    ),
    "a pickup tied into its chord": ("{pickup}re D5e~ | [Gm7] D5h Bb4", "0=5 anticipation"),
    "a tie within a bar": ("[Eb7] G4q Bb4~ Bb4e Db5 Eb5q | Bb4w", "1=5 chord; 2=b7 chord; 3=1 chord"),
    "a tie over a bar line of one chord": ("[Fm7] Ab4h C5~ | C5h Bb4", "1=5 chord"),
    "the seventh held becomes the fourth": ("[Am7] C5h G4~ | [D7] G4 F#4", "1=b7 suspension>2"),
    "a suspension in five": ("{5/4}[Am7] C5h. G4h~ | [D7] G4h F#4h.", "1=b7 suspension>2"),
    "a ninth held becomes the fifth": ("[Fmaj7] A4h G4~ | [Cmaj7] G4 E4", "1=9 tension"),
    "the third of the next chord, leapt to": ("[Gm7] G4q Bb4 D5 F5e E5~ | [C7] E5h C5", "4=3 anticipation"),
    "the thirteenth of the next chord": ("[Gm7] G4q Bb4 D5 F5e A5~ | [C7] A5h G5", "4=13 anticipation>5"),
    "the flat thirteen of the next chord": (
        "[Gm7] G4q Bb4 D5 F5e Ab5~ | [C7] Ab5h G5",
        "4=b13 anticipation>5",
    ),
    "the third of the next chord in seven eight": (
        "{7/8}[Gm7] G4q Bb4 D5 E5e~ | [C7] E5h. C5e",
        "3=3 anticipation",
    ),
    "a tension on the last beat in three": ("{3/4}[C7] E4q G4 Db5 | [Fmaj7] C5h.", "2=b9 tension>3"),
    "a flat nine in six eight": ("{6/8}[C7] Bb4q. Db5 | [Fm7] C5h.", "1=b9 tension>2"),
    "a chord under a held note": ("[Dm7] D5h~ [G7] D5h | B4w", "0=1 chord"),
    "silence of the chords within a bar": ("[C7] E4q G4 [N.C.] B4h", "1=5 chord; 2=none none"),
    "a tension struck twice": ("[Cmaj7] D5q D5 C5h", "0=9 tension>2"),
    # Slash chords
    "the third of a dominant in the bass": ("[G7/B] B4q F5h.", "0=3 chord; 1=b7 chord"),
    "a minor triad over its seventh": ("[Cm/Bb] Eb5q Bb4h.", "0=b3 chord; 1=b7 chord"),
    "a triad over the note a step above": (
        "[Bb/C] D5q F4 Bb4 C5",
        "0=9 .; 1=4 chord; 2=b7 chord; 3=1 chord",
    ),
    "a minor seventh over its fourth step": ("[Gm7/C] F4q D5 A4h", "0=4 chord; 1=9 .; 2=13 tension"),
    "a minor triad over its fifth": ("[Dm/A] F4q A4h.", "0=b3 chord; 1=5 chord"),
    "a major triad over its third": ("[F/A] A4q F4h.", "0=3 chord; 1=1 chord"),
    "a secondary dominant over its third": ("[E7/G#] G#4q D5h.", "0=3 chord; 1=b7 chord"),
    "a flat triad over its second": ("[Eb/F] G4q Bb4 Eb4 C5", "0=9 .; 1=4 chord; 2=b7 chord; 3=5 chord"),
    "half-diminished over its flat five": ("[Am7b5/Eb] C5q Eb5h.", "0=b3 chord; 1=b5 chord"),
    "a major seventh in the bass": ("[Cmaj7/B] B4q E5h.", "0=7 chord; 1=3 chord"),
    "a triad over its minor seventh": ("[D/C] F#4q C5h.", "0=3 chord; 1=b7 chord"),
    "a diminished chord in inversion": ("[C°7/Eb] Gb4q A4h.", "0=b5 chord; 1=bb7 chord"),
    "a sixth chord in inversion": ("[F6/A] D5q F4h.", "0=6 chord; 1=1 chord"),
    # Suspended
    "the fourth of suspended": ("[D7sus] G4q A4h.", "0=4 chord; 1=5 chord"),
    "the ninth of suspended": ("[D9sus] G4q E5h.", "0=4 chord; 1=9 ."),
    "the flat nine of suspended falls": ("[G7sus] F4q Ab4 G4h", "1=b9 tension>2"),
    "the third of suspended": ("[A7sus] D5q C#5h.", "0=4 chord; 1=3 ."),
    "suspended, written in full": ("[C7sus4] F4q Bb4h.", "0=4 chord; 1=b7 chord"),
    "a suspended triad": ("[Gsus4] C5q D5h.", "0=4 chord; 1=5 chord"),
    "the fourth before the chord lets go": ("[G7sus] D5h C5 | [G7] B4w", "1=4 chord; 2=3 chord"),
    "thirteen on a printed thirteen suspended": ("[Bb13sus] Eb5q G4h.", "0=4 chord; 1=13 ."),
    # Altered and other dominants
    "altered: flat nine": ("[F7alt] A4q Gb5h.", "0=3 chord; 1=b9 tension"),
    "altered: sharp nine by another name": ("[F7alt] A4q Ab4h.", "1=#9 tension"),
    "altered: sharp eleven": ("[F7alt] A4q B4h.", "1=#11 tension"),
    "altered: flat thirteen": ("[F7alt] Eb5q Db5h.", "0=b7 chord; 1=b13 tension"),
    "altered: a natural nine contradicts": ("[F7alt] Eb5q G4h.", "1=9 none"),
    "altered: a natural thirteen contradicts": ("[F7alt] Eb5q D5h.", "1=13 none"),
    "a printed sharp eleven": ("[Bb7#11] D5q E5h.", "1=#11 tension"),
    "a printed flat nine": ("[Bb7b9] D5q B4h.", "1=b9 tension"),
    "a printed sharp five": ("[Bb7#5] D5q F#4h.", "1=#5 chord"),
    "a printed flat five": ("[Bb7(b5)] D5q E5h.", "1=b5 chord"),
    "a printed thirteen": ("[Eb13] G4q C5h.", "1=13 tension"),
    "a printed nine": ("[Eb9] G4q F4h.", "1=9 ."),
    "a printed sharp nine": ("[E7#9] G#4q G4h.", "1=#9 tension"),
    "a plain dominant's flat thirteen by another name": ("[Eb7] G4q B4h.", "1=b13 tension"),
    "a plain dominant's fifth": ("[Eb7] G4q Bb4h.", "1=5 chord"),
    "a whole-tone dominant": ("[Ab7#5] C5q E5h.", "1=#5 chord"),
    "flat thirteen and flat nine": ("[D7] F#4q Bb4h Eb5q | [Gm7] D5w", "1=b13 tension; 2=b9 tension>3"),
    # Minor, half-diminished, diminished
    "the seventh of minor-major": ("[Fm(maj7)] Ab4q E5h.", "1=7 chord"),
    "the sixth of a minor sixth": ("[Fm6] Ab4q D5h.", "1=6 chord"),
    "the ninth of a minor sixth": ("[Fm6] Ab4q G4h.", "1=9 tension"),
    "the thirteenth of minor-major": ("[Fm(maj7)] Ab4q D5h.", "1=13 tension"),
    "a printed minor ninth": ("[Fm9] Ab4q G4h.", "1=9 ."),
    "a major seventh over minor seven": ("[Fm7] C5q E4h.", "1=7 ."),
    "the sixth of a minor triad": ("[Fm] Ab4q D5h.", "1=6 ."),
    "eleven of half-diminished": ("[Bm7b5] D5q E5h.", "1=11 tension"),
    "flat nine of half-diminished": ("[Bm7b5] D5q C5h.", "1=b9 tension"),
    "flat thirteen of half-diminished": ("[Bm7b5] D5q G5h.", "1=b13 tension"),
    "nine of diminished": ("[G°7] Bb4q A4h.", "1=9 tension"),
    "eleven of diminished": ("[G°7] Bb4q C5h.", "1=11 tension"),
    "seven of diminished": ("[G°7] Bb4q F#5h.", "1=7 tension"),
    "the diminished seventh": ("[G°7] Bb4q E5h.", "1=bb7 chord"),
    # Major
    "sharp eleven of major": ("[Abmaj7] C5q D5h.", "1=#11 tension"),
    "thirteen of major": ("[Abmaj7] C5q F5h.", "1=13 tension"),
    "six of a sixth chord": ("[Ab6] C5q F5h.", "1=6 chord"),
    "nine of a triad": ("[Ab] C5q Bb4h.", "1=9 tension"),
    "nine of six nine": ("[Ab6/9] C5q Bb4h.", "1=9 ."),
    "four passes on major": ("[Abmaj7] Eb5q Db5e C5 Ab4q C5", "1=4 passing>2"),
    "sharp five of major": ("[Abmaj7] C5q E5h.", "1=#5 tension"),
    # Lines
    "a sharp five that falls to the fifth": ("[Cmaj7] E4h re Ab4e G4q", "1=#5 approach>2"),
    "two half steps down to a third off the beat": (
        "[Cmaj7] C5q re F#4 F4 E4q.",
        "1=#11 approach>3; 2=4 approach>3",
    ),
    "thirteen as a neighbour": ("[F7] C5e D5 C5 A4 F4h", "1=13 neighbour>2"),
    "a half step under the seventh": ("[Ebmaj7] D5e C#5 D5 Bb4 G4h", "1=b7 neighbour>2"),
    "half steps from the root to the seventh and on": (
        "[Bb7] Bb4e A4 Ab4 G4 F4h",
        "1=7 passing>2; 3=13 passing>4",
    ),
    "a dominant scale": (
        "[D7] D4e E4 F#4 G4 A4 B4 C5 A4 | D4w",
        "1=9 passing>2; 3=11 passing>4; 5=13 passing>6",
    ),
    "from five to six by half step": ("[F6] C5e C#5 D5 C5 A4h", "1=#5 passing>2; 2=6 chord"),
    "two half steps down to the root": ("[Gm7] Bb4q D5 A4e Ab4 G4q", "2=9 approach>4; 3=b9 approach>4"),
    "an enclosure of a minor chord's fifth": (
        "[Cm7] C4q Eb4 Ab4e F#4 G4q",
        "2=b13 approach>4; 3=#11 approach>4",
    ),
    "an enclosure of a third, from below first": (
        "[F7] F4q C5 G#4e Bb4 A4q",
        "2=#9 approach>4; 3=11 approach>4",
    ),
    "chord tones round the next root are chord tones": (
        "[F7] A4q F4 Eb5 C5e A4 | [Bbmaj7] Bb4w",
        "3=5 chord; 4=3 chord",
    ),
    "flat thirteen to five": ("[C7] Ab4q G4 E4h", "0=b13 tension>1"),
    "sharp nine slides to the third": ("[F7] Ab4q A4 C5h", "0=#9 .>1"),
    "sharp eleven slides to the fifth": ("[C7] F#4e G4 Bb4 G4 C5h", "0=#11 .>1"),
}

DEVICES_HEARD = {
    "an enclosure of a dominant's fifth": (
        "[Bb7] D5q Bb4 G4e E4 F4q",
        "enclosure@1.3-1.4:5 -double approach",
    ),
    "an enclosure in five": ("{5/4}[Gm7] G4q Bb4 D5 C5e A4 Bb4q | G4w~ G4q", "enclosure@1.4-1.5:b3"),
    "an enclosure in triplets": ("[C7] G4q C5 F4t D#4 E4 E4q | [Fmaj7] F4w", "enclosure:3"),
    "two half steps up to a minor chord's fifth": (
        "[Fm7] F4q Ab4 Bb4e B4 C5q",
        "double approach@1.3-1.4:5 -enclosure",
    ),
    "a turn is no enclosure": ("[F7] A4e Bb4 A4 G4 A4h", "-enclosure -double approach"),
    "a pentatonic line is neither": ("[Am7] A4e C5 D5 E5 G5 E5 D5 C5 | A4w", "-chromatic run -enclosure"),
    "one three five seven": (
        "[Abmaj7] Ab4e C5 Eb5 G5 F5h",
        "arpeggio@1.1-1.2&:1-3-5-7 -upper-structure triad",
    ),
    "nine seven five three": ("[Gm7] A5e F5 D5 Bb4 C5h", "arpeggio@1.1-1.2&:9-7-5-3"),
    "a relative triad is the chord's own": ("[Gm7] Bb4e D5 F5 D5 Bb4h", "-upper-structure triad"),
    "the sixth of a sixth chord": ("[F6] F4e A4 C5 D5 C5h", "arpeggio@1.1-1.2&:1-3-5-6"),
    "five and six to and fro are no arpeggio": ("[F6] A4e C5 D5 C5 D5 C5 A4q | G4w", "-arpeggio"),
    "a suspended chord in its order": ("[G7sus] G4e C5 D5 F5 D5h", "arpeggio@1.1-1.2&:1-4-5-7"),
    "the tones of an altered dominant": ("[G7alt] B4e D#5 F5 A#5 G5h", "arpeggio@1.1-1.2&:3-b13-7-#9"),
    "a raised fifth and a seventh": ("[G7#5] G4e B4 D#5 F5 D#5h", "arpeggio@1.1-1.2&:1-3-5-7"),
    "whole tones are no arpeggio": ("[G7#5] B4e C#5 D#5 F5 G5h", "-arpeggio"),
    "bVI after the third and a rest": (
        "[C7] E4q re Ab4 C5 Eb5 rq | [Fmaj7] A4w",
        "upper-structure triad@1.2&-1.3&:bVI",
    ),
    "VI after its own third and a rest": (
        "[C7] E4q re A4 C#5 E5 rq | [Fmaj7] A4w",
        "upper-structure triad@1.2&-1.3&:VI",
    ),
    "II over a dominant": ("[F7] G4e B4 D5 G5 F5h | [Bbmaj7] D5w", "upper-structure triad:II"),
    "bIII over a dominant": ("[F7] Ab4e C5 Eb5 C5 Ab4h | [Bbmaj7] F4w", "upper-structure triad:bIII"),
    "bVI over a dominant": ("[F7] Db4e F4 Ab4 Db5 C5h | [Bbmaj7] D5w", "upper-structure triad:bVI"),
    "VI over a dominant": ("[F7] D5e F#5 A5 D6 C6h | [Bbmaj7] D6w", "upper-structure triad:VI"),
    "bII minor over a dominant": (
        "[F7] Gb4e A4 Db5 A4 Gb4h | [Bbmaj7] F4w",
        "upper-structure triad:bII minor",
    ),
    "bIII minor over a dominant": (
        "[F7] Ab4e B4 Eb5 B4 Ab4h | [Bbmaj7] F4w",
        "upper-structure triad:bIII minor",
    ),
    "bV minor over a dominant": ("[F7] B4e D5 F#5 D5 B4h | [Bbmaj7] D5w", "upper-structure triad:bV minor"),
    "bV over a dominant": (
        "[F7] B4e D#5 F#5 D#5 B4h | [Bbmaj7] A4w",
        "tritone-substitute triad -upper-structure triad",
    ),
    "a printed substitute's own triad": (
        "[Eb7] Eb4e G4 Bb4 G4 Eb4h | [Dmaj7] F#4w",
        "arpeggio -tritone-substitute triad -upper-structure triad",
    ),
    "triads down by whole steps in triplets": (
        "[Cmaj7] G4t E4 C4 F4 D4 Bb3 Eb4 C4 Ab3 Db4 Bb3 Gb3 | C4w",
        "sequence:exact",
    ),
    "three notes down the scale in three": (
        "{3/4}[Fmaj7] A4e C5 Bb4 G4 Bb4 A4 | F4 A4 G4 E4 G4 F4 | C4h.",
        "sequence:diatonic",
    ),
    "three five one through other changes": (
        "[Gm7] Bb4e D5 G5q [C7] E5e G5 C6q | [Fmaj7] A4e C5 F5q [Bbmaj7] D5e F5 Bb5q | [Em7b5] G5w",
        "sequence:through the changes",
    ),
    "a bar again is no sequence": (
        "[Gm7] G4e A4 Bb4 D5 C5 Bb4 A4 F4 | G4e A4 Bb4 D5 C5 Bb4 A4 F4 | G4w",
        "-sequence",
    ),
    "threes over four, falling": ("[F7] C5e A4 Eb4 C5 A4 Eb4 C5 A4 | Eb4 C5 A4 Eb4 F4h", "cross rhythm:3"),
    "fives over four": (
        "[F7] F4e A4 C5 Eb5 D5 F4 A4 C5 | Eb5 D5 F4 A4 C5 Eb5 D5 r | C5w",
        "cross rhythm:3+2",
    ),
    "two in the time of three": ("{3/4}[Gm7] G4q. D5q. | F4q. D5q. | G4q. Bb4q. | G4h.", "cross rhythm"),
    "three in the time of two": ("{6/8}[Dm7] D4q F4 A4 | D4q F4 A4 | D4q F4 A4 | D4h.", "cross rhythm"),
    "fours over four": ("[Gm7] G4e Bb4 D5 F5 G4 Bb4 D5 F5 | G4 Bb4 D5 F5 G4h", "-cross rhythm"),
    "half steps from five to one": ("[C7] G4e Gb4 F4 E4 Eb4 D4 Db4q | [Fmaj7] C4w", "chromatic run"),
    "three, three and two eighths against the beats, bar by bar": (
        "[C7] G4q. E4 C4q | Bb4q. G4 E4q | C5w",
        "cross rhythm@1.1-2.4:3+3+2",
    ),
    "threes with a rest in each": ("[C7] G4q re Bb4q re G4q | re Bb4q re G4q rq | C5w", "cross rhythm:3"),
    "two notes and a rest over four": (
        "[C7] G4e Bb4 r G4 Bb4 r G4 Bb4 | r G4 Bb4 r C5h",
        "cross rhythm@1.1-2.2:1+2",
    ),
    "falling thirds in threes that leap on by other intervals": (
        "[G7] D5e B4 G4 F5 D5 B4 E5 C5 | A4 D5 B4 G4 rh | [Cmaj7] C4w",
        "cross rhythm@1.1-2.2&:3",
    ),
    "two half steps down to a long third off the beat": (
        "[Cmaj7] C5q re F#4 F4 E4q. | G4w",
        "double approach@1.2&-1.3&:3 -enclosure",
    ),
    "sevenths up and down": ("[Fmaj7] F4e E5 G4 F5 A4 G5 Bb4 A5 | [Gm7] G4w", "angular leaps"),
    "a top note over a falling line": ("[C7] G5e C5 G5 B4 G5 Bb4 G5 A4 | [Fmaj7] A4w", "oblique motion"),
    "guide tones in another key": (
        "[Gm7] F4w | [C7] E4w | [Fmaj7] E4w | [Bbmaj7] D4w",
        "guide-tone line:7-3-7-3",
    ),
    "flat thirteen resolves to five": ("[C7] Ab4q G4 E4h", "resolution:b13 -> 5"),
    "sharp eleven resolves to five": ("[Fmaj7] B4q C5 A4h", "resolution:#11 -> 5"),
    "flat nine resolves late": ("[F7] Gb4q Eb4e A3 F4h", "delayed resolution:b9 -> 1"),
    "a seventh held resolves to the third": ("[Am7] C5h G4~ | [D7] G4 F#4", "resolution:b7 -> 3"),
    "a scale over two bars is diatonic": (
        "[Cmaj7] C4e D4 E4 F4 G4 A4 B4 C5 | D5e C5 B4 A4 G4 F4 E4 D4 | C4w",
        "single-scale passage:major, -diatonic passage",  # nothing round it is anything else
    ),
    "running eighths": (
        "[Dm7] D4e F4 A4 C5 E5 D5 C5 A4 | [G7] B4 D5 F5 E5 D5 B4 G4 F4 | [Cmaj7] E4w",
        "eighth-note line",
    ),
    "the highest note": ("[Cmaj7] C4q E4 G4 C5 | E5q G5 C6h | A4q G4 E4h", "register peak"),
    "a figure comes back three bars later": (
        "[Gm7] re D5 Bb4q F4h | [C7] rw | [Fmaj7] rw | [Gm7] re D5 Bb4q F4h | [C7] rw | rw",
        "motif",
    ),
    "a figure of five even notes an eighth later": (
        "[Dm7] F4e A4 C5 E5 D5h | re F4e A4 C5 E5 D5q. | rw",
        "displacement@1.1-2.3&, arpeggio:3-5-7-9",
    ),
    "a plain figure a beat and a half later, then two": (
        "[Cmaj7] E4e G4 A4 G4 rh | re E4e G4 A4 G4 rq. | rh E4e G4 A4 G4 | C5w",
        "displacement@1.1-2.3",
    ),
    "three even notes an eighth later": (
        "[Dm7] F4e A4 C5q rh | re F4e A4 C5q rq. | [G7] rq F4e A4 B4q rq | [Cmaj7] G4w",
        "displacement@1.1-2.2&",
    ),
    "five even notes that end long come back": (
        "[Cmaj7] G4e A4 C5 E5 D5h | [Am7] A4q C5 B4h | [Dm7] D4q F4e E4 C4h | [G7] B4q. A4e F4h | "
        "[Cmaj7] G4e A4 C5 E5 D5h | C5w",
        "motif@1.1-5.3",
    ),
    "five even notes that run on are anybody's": (
        "[Cmaj7] G4e A4 C5 E5 D5 C5 A4q | [Am7] A4q C5 B4h | [Dm7] D4q F4e E4 C4h | [G7] B4q. A4e F4h | "
        "[Cmaj7] G4e A4 C5 E5 D5 B4 G4q | C5w",
        "-motif",
    ),
    "long notes do nothing": (
        "[Cmaj7] E4w | [Am7] C5w | [Dm7] F4w | [G7] B4w",
        "-enclosure -sequence -cross rhythm -chromatic run",
    ),
}

HARMONY_HEARD = {
    "a minor two five one in flats": ("Am7b5|D7b9|Gm7|Gm7", "G minor: iiø7 V7 i7", "minor cadence, -cadence"),
    "major and then its relative": (
        "Cm7|F7|Bbmaj7|Ebmaj7|Am7b5|D7|Gm6|Gm6",
        "Bb major, G minor:",
        "two five one, minor cadence",
    ),
    "two five one in F": ("Gm7|C7|Fmaj7|Fmaj7", "F major: ii7 V7 Imaj7", "two five one:ii-V-I"),
    "a turnaround with a dominant": (
        "Fmaj7 D7|Gm7 C7|Fmaj7 D7|Gm7 C7|Fmaj7",
        "F major:",
        "turnaround:I-VI-II-V",
    ),
    "a plain turnaround": ("Fmaj7 Dm7|Gm7 C7|Fmaj7 Dm7|Gm7 C7|Fmaj7", "F major:", "turnaround"),
    "a turnaround of substitutes": (
        "Fmaj7 Ab7|Gm7 Gb7|Fmaj7|Fmaj7",
        "F major: Imaj7 subV7/ii ii7 bII7 Imaj7",
        "substitute dominant",
    ),
    "a substitute of the sixth step's dominant": (
        "Cmaj7|Bb7|Am7|D7|G7|Cmaj7",
        "C major: Imaj7 subV7/vi vi7 V7/V V7 Imaj7",
        "substitute dominant:subV7/vi, -backdoor dominant",
    ),
    "a turnaround in minor": ("Cm7 Am7b5|Dm7b5 G7|Cm7 Am7b5|Dm7b5 G7|Cm7", "C minor:", "turnaround"),
    "a line within a minor chord": (
        "Am|Am(maj7)|Am7|Am6|Dm7|E7|Am|Am",
        "A minor:",
        "-key change",
    ),
    "a blues in flats": (
        "Bb7|Eb7|Bb7|Bb7|Eb7|E°7|Bb7|G7|Cm7|F7|Bb7 G7|Cm7 F7",
        "Bb blues:",
        "blues form",
    ),
    "a two five into the fourth step of a blues": (
        "F7|Bb7|F7|Cm7 F7|Bb7|B°7|F7|Am7b5 D7|Gm7|C7|F7|Gm7 C7",
        "F blues:",
        "blues form, two five one:ii-V-I, secondary dominant:V7/IV, -key change",
    ),
    "a minor blues with a minor two five": (
        "Cm7|Fm7|Cm7|Cm7|Fm7|Fm7|Cm7|Cm7|Dm7b5|G7|Cm7|G7",
        "C minor:",
        "minor cadence, -key change",
    ),
    "four dominants of two bars": (
        "D7|D7|G7|G7|C7|C7|F7|F7|Bbmaj7|Bbmaj7",
        "Bb major:",
        "cycle of dominants",
    ),
    "one minor chord for eight bars": (
        "Ebm7|Ebm7|Ebm7|Ebm7|Ebm7|Ebm7|Ebm7|Ebm7",
        "Eb minor:",
        "modal stretch:dorian",
    ),
    "a lydian vamp": ("Bbmaj7|C|Bbmaj7|C|Bbmaj7|C|Bbmaj7|C", "Bb lydian:", "modal stretch:lydian"),
    "a mixolydian vamp": ("D7|C|D7|C|D7|C|D7|C", "D mixolydian:", "modal stretch:mixolydian"),
    "a phrygian vamp": (
        "Bm7|Cmaj7|Bm7|Cmaj7|Bm7|Cmaj7|Bm7|Cmaj7",
        "B phrygian:",
        "modal stretch:phrygian",
    ),
    "a dorian vamp": ("Gm7|C7|Gm7|C7|Gm7|C7|Gm7|C7", "G dorian:", "modal stretch:dorian, -two five"),
    "a vamp that goes home": (
        "Gm7 C7|Gm7 C7|Gm7 C7|Gm7 C7|Fmaj7|Fmaj7",
        "F major:",
        "two five one, -modal stretch",
    ),
    "a dominant that goes to the sixth step": (
        "Dm7|G7|Am7|Am7|Dm7|G7|Cmaj7|Cmaj7",
        "C major: ii7 V7 vi7 ii7 V7 Imaj7",
        "two five one",
    ),
    "a minor fourth step": ("Cmaj7|Fmaj7|Fm6|Cmaj7", "C major: Imaj7 IVmaj7 iv6 Imaj7", "-backdoor dominant"),
    "a minor two five of the third step": (
        "Cmaj7|F#m7b5 B7|Em7|A7|Dm7|G7|Cmaj7|Cmaj7",
        "C major: Imaj7 iiø7/iii V7/iii iii7 V7/ii ii7 V7 Imaj7",
        "secondary dominant:V7/iii",
    ),
    "slashes that suspend": (
        "Am7/D|Gmaj7|Am7/D|Gmaj7",
        "G major: V7sus Imaj7 V7sus Imaj7",
        "-key change",
    ),
    "an inversion keeps its function": ("F|F/A|Bb|C7|F|F", "F major: I IV V7 I", "cadence"),
    "a bass that falls under the tonic": (
        "F|F/Eb|Bb/D|Bbm/Db|F/C|C7|F|F",
        "F major: I V7/IV IV iv I V7 I",
        "secondary dominant:V7/IV",
    ),
    "a key a whole step down": (
        "Dm7|G7|Cmaj7|Cmaj7|Cm7|F7|Bbmaj7|Bbmaj7",
        "C major, Bb major: ii7 V7 Imaj7 ii7 V7 Imaj7",
        "key change",
    ),
    "an augmented dominant": ("Dm7|G7#5|Cmaj7|Cmaj7", "C major:", "two five one:ii-V-I"),
    "an altered dominant to a sixth chord": (
        "Dm7|G7alt|C6|C6",
        "C major: ii7 V7alt I6",
        "two five one:ii-V-I",
    ),
    "minor with its fourth and fifth": ("Gm|Cm7|D7|Gm|Gm", "G minor: i iv7 V7 i", "-key change"),
    "a silence before the tonic": ("Gm7|C7|N.C.|Fmaj7", "F major:", "-two five one"),
    "a diminished chord between one and two": (
        "Fmaj7 F#°7|Gm7 C7|Fmaj7|Fmaj7",
        "F major: Imaj7 #i°7 ii7 V7 Imaj7",
        "two five one",
    ),
    "a diminished chord between three and two": ("Am7 Ab°7|Gm7 C7|Fmaj7|Fmaj7", "F major:", "two five one"),
    "a backdoor in F": ("Fmaj7|Bbm7|Eb7|Fmaj7", "F major: Imaj7 iv7 bVII7 Imaj7", "backdoor dominant"),
    "three six two five in sharps": (
        "Bm7|E7|Am7|D7|Gmaj7|Gmaj7",
        "G major: iii7 V7/ii ii7 V7 Imaj7",
        "two five one:ii-V-I, secondary dominant:V7/ii",
    ),
    "triads and a dominant": ("C|F|G7|C", "C major: I IV V7 I", "cadence"),
    "a substitute in F": (
        "Gm7|Gb7|Fmaj7|Fmaj7",
        "F major: ii7 bII7 Imaj7",
        "two five one:ii-subV-I, substitute dominant",
    ),
    "minor to and fro": ("Am|Dm7|Am|E7|Am|Am", "A minor: i iv7 i V7 i", "-modal stretch, -key change"),
    "one six two five in sixth chords": (
        "C6|Am7|Dm7|G7|C6|C6",
        "C major: I6 vi7 ii7 V7 I6",
        "two five one, -key change",
    ),
    "a dominant on the fourth step": ("Ebmaj7|Ab7|Ebmaj7|Ebmaj7", "Eb major: Imaj7 IV7 Imaj7", "-key change"),
    "a minor two five of the sixth step": (
        "Cmaj7|Bm7b5 E7|Am7|Dm7 G7|Cmaj7|Cmaj7",
        "C major: Imaj7 iiø7/vi V7/vi vi7 ii7 V7 Imaj7",
        "minor cadence, two five one, -key change",
    ),
    "two fives down by half steps": (
        "Em7 A7|Ebm7 Ab7|Dm7 G7|Cmaj7|Cmaj7|Cmaj7",
        "C major: iii7 VI7 biii7 bVI7 ii7 V7 Imaj7",
        "two five, two five one:ii-V-I, -key change",
    ),
}

# Where a player may hear more than is heard here: what is heard instead, and why.
DEVICES_HEARD_OTHERWISE = {
    # A figure on each half of the bar is said twice: nothing is displaced.
    "a figure of three even notes on both halves of the bar": (
        "[Dm7] F4e A4 C5 r F4 A4 C5 r | D5w",
        "-displacement",
    ),
}

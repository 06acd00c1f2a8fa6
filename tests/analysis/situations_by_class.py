"""Situations of the trade by class: labels, roles, lines, forms, scales, phrases; each line is its own name.

Common practice, no source. They were written by ear before the analysis was tried on them; 300 of 339 were right at
first sight. Those that leave room for another hearing are left out. Notation: see `test_situations`.
"""

__all__ = ["DEVICES_HEARD", "HARMONY_HEARD", "NOTES", "PHRASES_HEARD", "PROPOSALS_HEARD", "SCALES_HEARD"]

# The degree of every note, `-` where no chord sounds
_LABELS = {
    "[Cmaj7] E4q G4 G#4 A4": "3 5 #5 13",
    "[Cmaj7] E4q G4 Ab4 A4": "3 5 #5 13",
    "[C7] E5q Bb4 Ab4 G4": "3 b7 b13 5",
    "[C7] E4q G#4 A4 Bb4": "3 b13 13 b7",
    "[C7#5] E4q G#4 Bb4 C5": "3 #5 b7 1",
    "[C+7] E4q Ab4 Bb4 D5": "3 #5 b7 9",
    "[Cm7] C4q D#4 F4 G4 | Eb4q Ab4 G4 Bb4": "1 b3 11 5 b3 b13 5 b7",
    "[C7#9] E4q Eb4 C4 Bb3 | [C7b9] Db4q D#4 E4 G4": "3 #9 1 b7 b9 #9 3 5",
    "[Cm7b5] Eb4q Gb4 Bb4 Ab4 | Eb4q F#4 G#4 F4": "b3 b5 b7 b13 b3 b5 b13 11",
    "[Cm7b5] Bb4q Db5 C5 Gb4 | D5q C5 Bb4 Gb4": "b7 b9 1 b5 9 1 b7 b5",
    "[C7] E4q F#4 G4 Bb4 | E4q Gb4 F4 E4": "3 #11 5 b7 3 #11 11 3",
    "[C7b5] E4q Gb4 Bb4 C5 | E4q F#4 Bb4 C5": "3 b5 b7 1 3 b5 b7 1",
    "[C13sus] F4q A4 D5 Bb4": "4 13 9 b7",
    "[C7b9sus] G4q Bb4 Db5 F4": "5 b7 b9 4",
    "[Cdim7] Eb4q Gb4 A4 B4 | C5q Bbb4 Ab4 F4 | D5q F#4 Eb4 C4": ("b3 b5 bb7 7 1 bb7 b13 11 9 b5 b3 1"),
    "[C7alt] C5e Bb4 Ab4 Gb4 E4 Eb4 Db4 C4": "1 b7 b13 #11 3 #9 b9 1",
    "[C7alt] C5e A#4 G#4 F#4 E4 D#4 C#4 C4": "1 b7 b13 #11 3 #9 b9 1",
    "[C6/9] E4q G4 A4 D5 | B4h G4": "3 5 6 9 7 5",
    "[C6] E4q A4 F#4 G4 | [F] A4q D5 C5 A4": "3 6 #11 5 3 6 5 3",
    "[CmMaj7] Eb4q G4 B4 A4 | Ab4h G4": "b3 5 7 13 b13 5",
    "[Cm6] Eb4q G4 A4 B4 | F4h Eb4": "b3 5 6 7 11 b3",
    "[C] E4q F4 G4 E4 | [Cm] Eb4q F4 G4 Eb4": "3 4 5 3 b3 11 5 b3",
    "[F/G] F4q A4 C5 E5 | G4w": "b7 9 4 13 1",
    "[C/E] E4q G4 C5 B4 | [C/G] E4w": "3 5 1 7 3",
    "[C7/Bb] Bb4q G4 E4 C4 | [Cm7/Bb] Eb4w": "b7 5 3 1 b3",
    "[Cmaj7] E4q G4 B4 G4 | [Cmaj7/B] B4q G4 E4 D4": "3 5 7 5 7 5 3 9",
    "[Cmaj7] E4h G4 |  | [N.C.] E4h G4 | [Dm7] F4h A4": "3 5 - - b3 5",
    "[Cmaj7] E4h G4 | A4h G4 | F#4h G4": "3 5 13 5 #11 5",
    "[Caug] E4q G#4 C5 G#4 | E4q Ab4 C5 D5": "3 #5 1 #5 3 #5 1 9",
    "[Cmaj7#5] E4q G#4 B4 Ab4": "3 #5 7 #5",
    "[C13] E4q A4 Bb4 D5 | [C9] D5q Bb4 Ab4 G4": "3 13 b7 9 9 b7 b13 5",
    "[Cmaj7#11] F#4q G4 B4 E5 | Gb4h D5": "#11 5 7 3 #11 9",
    "[C7#5#9] D#4q E4 G#4 Bb4": "#9 3 #5 b7",
    "[C7b9b13] Ab4q G4 Db4 C4": "b13 5 b9 1",
    "[Dm7] A4q F4 [G7] B4 D5 | [Cmaj7] C5w": "5 b3 3 5 1",
    "{pickup}G3q A3e B3 | [Cmaj7] C4h E4": "- - - 1 3",
    "[Db7] Db5q F5 Ab5 Cb5 | [Cmaj7] B4w": "1 3 5 b7 7",
    "[Bm7b5] D5q F5 A5 C6 | [E7b9] G#5q F5 D5 B4 | [Am6] F#4h C5": "b3 b5 b7 b9 3 b9 b7 5 6 b3",
    "[Em7] F4q G4 C5 B4": "b9 b3 b13 5",
    "[G9sus] C5q D5 F5 A5 | [G7] B4w": "4 5 b7 9 3",
    "[F#dim7] F#4q A4 C5 D#5 | [G] D5w": "1 b3 b5 bb7 5",
    "[Abmaj7] C5q D5 E5 Eb5 | [Gbmaj7] C5q D5 Db5 Bb4": "3 #11 #5 5 #11 #5 5 3",
    "[Dm11] G4q A4 C5 E5 | [Dm9] E5h F5": "11 5 b7 9 9 b3",
    "[C7] G4e Gb4 F4 E4 C4h": "5 #11 11 3 1",
    "[Cm7] G4q Eb4h F4q | [F7] F4q Eb4 C4 A3": "5 b3 11 1 b7 5 3",
    "[Am7] C5q E5 re A#4e C5e B4e~ | [E7] B4h G#4h": "b3 5 b9 b3 5 3",
    "[Fmaj7] A4t C5 E5 G5e F5e D5h": "3 5 7 9 1 13",
    "[C7] E4q re D5 F#5 A5 rq | [Fmaj7] A4w": "3 9 #11 13 3",
    "[C7] E4q re Eb5 G5 Bb5 rq | [Fmaj7] A4w": "3 #9 5 b7 3",
    "[C7] E4q re Ab4 C5 Eb5 rq | [Fmaj7] A4w": "3 b13 1 #9 3",
    "[C7] E4q re A4 C#5 E5 rq | [Fmaj7] A4w": "3 13 b9 3 3",
    "[C7] E4q re Gb4 Bb4 Db5 rq | [Fmaj7] A4w": "3 #11 b7 b9 3",
    "[C7] E4q re Db5 E5 Ab5 rq | [Fmaj7] A4w": "3 b9 3 b13 3",
    "[C7] E4q re Eb5 Gb5 Bb5 rq | [Fmaj7] A4w": "3 #9 #11 b7 3",
    "[C7] E4q re Gb5 A5 Db6 rq | [Fmaj7] A4w": "3 #11 13 b9 3",
    "[C7] E4q re A5 F#5 D5 rq | [Fmaj7] A4w": "3 13 #11 9 3",
    "[C7] E4q re C#5 Bb4 F#4 rq | [Fmaj7] A4w": "3 b9 b7 #11 3",
    "[Dm7] F4q A4 C5 A4 | [Db7] Db5e F5 Ab5 Cb6 rh | [Cmaj7] E4w": "b3 5 b7 5 1 3 5 b7 3",
    "[Cmaj7] E4w |  | F#4h G4": "3 #11 5",
    "[C7b9#11] E4q Gb4 Db5 C5 | F#4q G4 A4 Bb4": "3 #11 b9 1 #11 5 13 b7",
    "[C7#9b13] D#4q E4 Ab4 G#4": "#9 3 b13 b13",
    "[C13#11] Gb4q A4 Bb4 D5 | [Cmaj9#11] Gb4q B4 D5 E5": "#11 13 b7 9 #11 7 9 3",
    "[Cmaj13] A4q B4 D5 E5 | [Cadd9] D5q E5 A4 G4 | [Cmadd9] D5q Eb5 F5 G5": ("13 7 9 3 9 3 6 5 9 b3 11 5"),
    "[C7#9] Ab4q G4 A4 Bb4 | [C7b9] A4q G4 Db4 C4": "b13 5 13 b7 13 5 b9 1",
    "[C13b9] A4q Bb4 C#5 E5": "13 b7 b9 3",
    "[C7#5] Ab4q A4 Bb4 E5": "#5 13 b7 3",
    "[Cm7] E4q Eb4 B4 Bb4 | A4q G4 Ab4 G4 | Db5q C5 D5 C5": "3 b3 7 b7 13 5 b13 5 b9 1 9 1",
    "[Cm7b5] G4q Gb4 E4 Eb4 | A4q Ab4 B4 Bb4": "5 b5 3 b3 13 b13 7 b7",
    "[Cdim7] G4q Gb4 E4 Eb4 | Bb4q A4 Db5 C5": "5 b5 3 b3 b7 bb7 b9 1",
    "[C6] Bb4q A4 G#4 G4 | F4q E4 B4 C5": "b7 6 #5 5 4 3 7 1",
    "[C7sus] E4q F4 G4 Bb4": "3 4 5 b7",
    "[CmMaj7] Bb4q B4 F4 Eb4 | [Cm6] Bb4q A4 Ab4 G4": "b7 7 11 b3 b7 6 b13 5",
    "[C7b9b5] Gb4q Db5 E5 Bb4 | F#4w": "b5 b9 3 b7 b5",
    "[Cmaj7] Bb4q B4 C#5 C5 | Cb5h B4": "b7 7 b9 1 7 7",
    "[G7/F] F4q B4 D5 G4 | [G7/B] B4h D5 | [G7/D] F4w": "b7 3 5 1 3 5 b7",
    "[Bb/C] Bb4q D5 F5 A4 | [Gm7/C] Bb4q D5 F5 E5": "b7 9 4 13",
    "[Dm7] D4t F4 A4 C5t A4 F4 [G7] B4t D5 F5 Ab5t F5 D5 | [Cmaj7] E5w": ("1 b3 5 b7 5 b3 3 5 b7 b9 b7 5 3"),
    "[Fm7] Ab4e G4 F4 Eb4 [Bb7] D4 F4 Ab4 Cb5 | [Eb] Bb4h G4": "b3 9 1 b7 3 5 b7 b9 5 3",
    "[B7] D#4q Eb4 A4 C5 | [Emaj7] G#4q Ab4 B4 D#5": "3 3 b7 b9 3 3 5 7",
    "[F#m7b5] A4q C5 E5 G4 | [B7alt] D#5q D5 C5 G4 | [Em] G4w": "b3 b5 b7 b9 3 #9 b9 b13 b3",
    "[Dm7] D4h F4q B4q~ | [G7] B4h G4h": "1 b3 13 1",
    "[C7] E4q G4 Bb4 A4 | [Fmaj7] A4h C5": "3 5 b7 13 3 5",
    "[Am7] E5h D5h~ | [D7] D5h C5h | [Gmaj7] B4w": "5 11 b7 3",
    "[G7] F5h B4e C5 D5 E5 | [Cmaj7] G4w": "b7 3 11 5 13 5",
    "[G7alt] B4e D#5 F5 A#5 G5h": "3 b13 b7 #9 1",
}

# Degrees, roles and resolutions
_NOTES = {
    "[Dm7] F4e A4 C5 E5 D5 C5 A4 B4~ | [G7] B4q A4 G4 F4": (
        "0=b3 .; 1=5 .; 2=b7 .; 3=9 .; 4=1 .; 5=b7 .; 6=5 .; 7=3 anticipation; 8=9 passing; 9=1 .; 10=b7 ."
    ),
    "[Dm7] D4e E4 F4 G4 A4 G4 F4 E4 | [G7] D4h B3": (
        "0=1 .; 1=9 passing; 2=b3 .; 3=11 passing; 4=5 .; 5=11 passing; 6=b3 .; 7=9 passing; 8=5 chord; 9=3 ."
    ),
    "[Dm7] F4q A4 C5h~ | [G7] C5h B4h | [Cmaj7] G4w": ("0=b3 .; 1=5 .; 2=b7 suspension>3; 3=3 chord; 4=5 ."),
    "[Dm7] F4q A4 C5h~ | [G7] C5q~ C5q B4h | [Cmaj7] G4w": ("0=b3 .; 1=5 .; 2=b7 suspension>3; 3=3 .; 4=5 ."),
    "[Cmaj7] C4e D4 E4 F4 G4h": "0=. chord; 1=. passing; 2=. chord; 3=. passing; 4=. chord",
    "[Cmaj7] E4e F4 E4 D4 C4h": "1=. neighbour; 3=. passing",
    "[Cmaj7] G4q re D#4e E4h": "1=. approach>2; 2=. chord",
    "[Cmaj7] C5q re F#4e F4e E4q.": "1=. approach; 2=. approach",
    "[Cmaj7] G4q re F4e D#4e E4q.": "2=. approach",
    "[Cmaj7] E4e F4 E4 D4 E4h": "1=. neighbour; 3=. neighbour",
    "[C7] G4q E4 Db5 C5": "2=. tension>3; 3=. chord",
    "[C7] E4q G4 Bb4 Db5 | [Fmaj7] C5h A4": "0=3 .; 1=5 .; 2=b7 .; 3=b9 tension>4; 4=5 .; 5=3 .",
    "[Cmaj7] E4q G4 F#5 G5 | E5w": "0=3 .; 1=5 .; 2=#11 .>3; 3=5 .; 4=3 .",
    "[C7] Bb4q Ab4h G4q | E4w": "1=. tension>2",
    "[C7] G4q Db5q Bb4 E4 | [Fmaj7] C5h A4": "1=. .>4",
    "{3/4}[Dm7] F4e A4 C5 A4 F4 F5~ | [G7] F5q D5 B4 | [Cmaj7] G4h.": (
        "0=b3 .; 1=5 .; 2=b7 .; 3=5 .; 4=b3 .; 5=b7 anticipation; 6=5 .; 7=3 .; 8=5 ."
    ),
    "{pickup}rq. G4e~ | [Cmaj7] G4q E4 C4 G4": "0=5 anticipation; 1=3 .; 2=1 .; 3=5 .",
    "[Dm7] F4h A4h~ | [G7] A4h D5h": "0=b3 .; 1=5 chord; 2=5 .",
    "[Dm7] F4q A4 C5h~ | [G7] C5h F5h": "0=b3 .; 1=5 .; 2=b7 chord; 3=b7 .",
    "[Cmaj7] E4h re Ab4e G4q": "0=3 .; 1=#5 approach>2; 2=5 .",
    "[Dm7] A4q F4 D4e C4 D4 E4~ | [Cmaj7] E4h G4": (
        "0=5 .; 1=b3 .; 2=1 .; 3=b7 .; 4=1 .; 5=3 anticipation; 6=5 ."
    ),
    "[G7] B4q D5 F5h~ | [Cmaj7] F5q E5h.": "0=3 .; 1=5 .; 2=b7 suspension>3; 3=3 .",
    "[G7] D5q B4 G4 re C5~ | [C6] C5w": "0=5 .; 1=3 .; 2=1 .; 3=1 anticipation",
    "[C7] E4q G4 re B4e Bb4q": "0=3 .; 1=5 .; 2=7 .>3; 3=b7 .",
    "[Dm7] D5e C#5 D5 E5 F5h": "0=1 .; 1=7 neighbour; 2=1 .; 3=9 passing; 4=b3 .",
    "[Cmaj7] G4q A4h G4q | E4w": "0=5 .; 1=13 .>2; 2=5 .; 3=3 .",
    "[C7] E4q re C5 E5 G5 rq | [Fmaj7] A4w": "4=3 .",
    "[C7] E4q re G5 E5 C5 rq | [Fmaj7] A4w": "4=3 .",
    "[Cmaj7] G4e E4 F4 D#4 E4 G4 C5 B4 | G4w": "3=. approach",
    "[G7] G5e F#5 F5 E5 D5 C5 B4 A4 | G4w": (
        "0=1 .; 1=7 passing; 2=b7 .; 3=13 passing; 4=5 .; 5=11 passing; 6=3 .; 7=9 passing; 8=1 ."
    ),
    "{12/8}[Dm7] D4q. F4 A4 C5q B4e~ | [G7] B4q. G4q. F4h.": (
        "0=1 .; 1=b3 .; 2=5 .; 3=b7 .; 4=3 anticipation; 5=1 .; 6=b7 ."
    ),
    "[Dm7] D4h. F4e A4s B4s~ | [G7] B4h G4h": "0=1 .; 1=b3 .; 2=5 .; 3=3 anticipation; 4=1 .",
    "[Em7] D5h~ D5h~ | [A7] D5q C#5h.~ | [Dmaj7] C#5w": "0=b7 suspension>1; 1=3 .",
    "[Cmaj7] G4e F#4 G4 A4 G4h": "1=. neighbour; 3=. neighbour",
    "[Fmaj7] A4q C5 re G#4e A4q": "0=3 .; 1=5 .; 2=. approach>3; 3=3 .",
    "[Dm7] A4q F4 re C#5e~ C#5e D5e | [G7] B4w": "0=5 .; 1=b3 .; 2=7 .>3; 3=1 .; 4=3 .",
    "[Dm7] F4e G4 G#4 A4 C5h": "0=b3 .; 1=11 passing; 2=. approach; 3=5 .; 4=b7 .",
    "[C7] Bb4e A4 Ab4 G4 E4h": "0=b7 .; 1=13 passing; 2=b13 approach; 3=5 .; 4=3 .",
    "[Cmaj7] E5h D#5e E5q. | G5w": "0=3 .; 1=. neighbour; 2=3 .; 3=5 .",
    "[G7] D5q Eb5h D5q | B4w": "0=5 .; 1=b13 .>2; 2=5 .; 3=3 .",
    "[G7] F5w~ | [Cmaj7] F5q E5 rh": "0=b7 suspension>1; 1=3 .",
    "[G7] F5h B4q. E5e~ | [Cmaj7] E5h rh": "0=b7 .; 1=3 .; 2=3 anticipation",
    "[Dm7] E5q D5 F5 E5 | [G7] D5w": "0=9 .>1; 1=1 .; 2=b3 .; 3=9 .; 4=5 .",
    "[C7] Eb5q E5q Db5q C5q": "0=#9 .>1; 1=3 .; 2=b9 .>3; 3=1 .",
    "[Cmaj7] F4q E4q A4q G4q": "0=. .>1; 1=3 .; 2=13 .>3; 3=5 .",
}

# What is heard of a line, and what is not
_DEVICES = {
    "[Cmaj7] C5q re F#4e F4e E4q.": "double approach@1.2&-1.3&:3, -enclosure",
    "[Cmaj7] G4q re F4e D#4e E4q.": "enclosure@1.2&-1.3&:3, -double approach",
    "[Cmaj7] G4q re D#4e F4e E4q.": "enclosure@1.2&-1.3&:3, -double approach",
    "[Dm7] D4q F4 C5e A4e rq | [Cmaj7] E4w": "-enclosure",
    "[Dm7] D5q F5 rq C5e A4e | [G7] B4h. rq": "enclosure@1.4-2.1:3",
    "[Cmaj7] E4e F4 E4 D4 E4h": "-enclosure, -double approach",
    "[C7] G4q E4 Db5 C5": "resolution@1.3-1.4:b9 -> 1",
    "[C7] E4q G4 Bb4 Db5 | [Fmaj7] C5h A4": "resolution@1.4-2.1:b9 -> 5",
    "[Cmaj7] E4q G4 F#5 G5 | E5w": "resolution@1.3-1.4:#11 -> 5",
    "[C7] Bb4q Ab4h G4q | E4w": "resolution@1.2-1.4:b13 -> 5",
    "[C7] G4q Db5q Bb4 E4 | [Fmaj7] C5h A4": "delayed resolution@1.2-2.1:b9 -> 5",
    "[Am7] C5q E5 re A#4e C5e B4e~ | [E7] B4h G#4h": "enclosure@1.3&-1.4&",
    "[Fmaj7] A4q C5 re G#4e Bb4e A4e~ | A4w": "enclosure@1.3&-1.4&:3",
    "[G7] D5q re Bb4e A4 C5 B4q": "enclosure@1.3-1.4:3",
    "[C] C4e D4 E4 G4 [D] D4 E4 F#4 A4 | [E] E4 F#4 G#4 B4 rh": "sequence@1.1-2.2&",
    "[Cmaj7] C4e D4 E4 G4 D4 E4 F4 A4 | E4 F4 G4 B4 C5h": "sequence@1.1-2.2&:diatonic",
    "[Dm7] F4q A4 D5 r | [G7] B4q D5 G5 r | [Cmaj7] E4q G4 C5 r | G4w": (
        "sequence@1.1-3.3:through the changes"
    ),
    "[Cmaj7] C4e E4 D4 A4 G4h | F4q E4e C4 D4h | B3q G4 C4h": "-sequence",
    "[Cmaj7] C4e E4 D4 F4 E4 G4 F4 A4 | G4 B4 A4 C5 B4h": ("sequence@1.1-2.2&:diatonic, -cross rhythm"),
    "[Cmaj7] C4e D4 E4 F4 G4 A4 B4 C5 | B4 A4 G4 F4 E4 D4 C4q": ("-sequence, -arpeggio, -cross rhythm"),
    "[Am7] E5q. C5e D5q r | D5q. B4e C5q r | C5q. A4e B4q r | A4w": "sequence@1.1-3.3:diatonic",
    "[C7] G4e Bb4 Db5 E5 rh | Bb4e Db5 E5 G5 rh | Db5e E5 G5 Bb5 rh | C5w": "sequence@1.1-3.2&",
    "[Cmaj7] E4q G4 E4 G4 | E4q G4 E4 G4 | C5w": "-sequence",
    "[Cmaj7] E5e D5 C5 r D5 C5 B4 r | C5 B4 A4 r G4h": "sequence@1.1-2.2:diatonic",
    "[Dm7] D4e E4 F4 A4 [G7] G4 A4 B4 D5 | [Cmaj7] C4 D4 E4 G4 [Fmaj7] F4 G4 A4 C5 | [Bm7b5] B4w": (
        "sequence@1.1-2.4&:through the changes"
    ),
    "[C7] C4e E4 G4 C4 E4 G4 C4 E4 | G4 C4 E4 G4 C4 E4 G4 r | C5w": "cross rhythm@1.1-2.4:3",
    "[Dm7] A4q F4q. A4q F4e~ | F4q A4q F4q. A4e~ | A4e F4q. rh | D4w": "cross rhythm@1.1-3.1&:2+3",
    "[Dm7] A4q. G4q. F4q~ | F4e E4q. D4q. C4e~ | C4q rh. | D4w": "cross rhythm@1.1-2.4&:3",
    "[C7] C4e E4 G4 Bb4 C4 E4 G4 Bb4 | C4 E4 G4 Bb4 C4 E4 G4 Bb4 | C5w": "-cross rhythm",
    "{3/4}[F6] A4h C5q~ | C5q A4h | A4h C5q~ | C5q A4h | F4h.": "cross rhythm",
    "{3/4}[F6] A4q C5 D5 | A4q C5 D5 | A4q C5 D5 | F4h.": "-cross rhythm",
    "[C7] G4q. E4e~ E4q C4q | Bb4q. G4e~ G4q E4q | C5w": "cross rhythm@1.1-2.4:3+3+2",
    "[G7] D5e B4 G4 F5 D5 B4 E5 C5 | A4 D5 B4 G4 rh | [Cmaj7] C4w": "cross rhythm@1.1-2.2&:3",
    "[Dm7] F4e A4 C5 E5 D5h": "arpeggio@1.1-1.2&:3-5-7-9",
    "[Cmaj7] B4e G4 E4 C4 D4h": "arpeggio@1.1-1.2&:7-5-3-1",
    "[G7] B4e D5 F5 Ab5 G5h": "arpeggio@1.1-1.2&:3-5-7-b9",
    "[Cm7] C4e Eb4 G4 Bb4 D5 C5 Bb4q": "arpeggio@1.1-1.3:1-3-5-7-9",
    "[Cmaj7] C4e D4 E4 F4 G4h": "-arpeggio",
    "[Am7] C5t E5 G5 A5q G5h": "arpeggio",
    "[F6] F4e A4 C5 D5 C5h": "arpeggio@1.1-1.2&:1-3-5-6",
    "[Bdim7] B3e D4 F4 Ab4 G4h": "arpeggio@1.1-1.2&:1-3-5-7",
    "[Dm7] E4e F4 A4 C5 E5 D5 C5q": "arpeggio@1.1&-1.3:3-5-7-9",
    "[Fmaj7] A4t C5 E5 G5e F5e D5h": "arpeggio@1.1-1.2:3-5-7-9",
    "[C7] E4q re D5 F#5 A5 rq | [Fmaj7] A4w": "upper-structure triad@1.2&-1.3&:II",
    "[C7] E4q re Eb5 G5 Bb5 rq | [Fmaj7] A4w": "upper-structure triad@1.2&-1.3&:bIII",
    "[C7] E4q re Ab4 C5 Eb5 rq | [Fmaj7] A4w": "upper-structure triad@1.2&-1.3&:bVI",
    "[C7] E4q re A4 C#5 E5 rq | [Fmaj7] A4w": "upper-structure triad@1.2&-1.3&:VI",
    "[C7] E4q re Gb4 Bb4 Db5 rq | [Fmaj7] A4w": "tritone-substitute triad@1.2&-1.3&:bV",
    "[C7] E4q re Db5 E5 Ab5 rq | [Fmaj7] A4w": "upper-structure triad@1.2&-1.3&:bII minor",
    "[C7] E4q re Eb5 Gb5 Bb5 rq | [Fmaj7] A4w": "upper-structure triad@1.2&-1.3&:bIII minor",
    "[C7] E4q re Gb5 A5 Db6 rq | [Fmaj7] A4w": "upper-structure triad@1.2&-1.3&:bV minor",
    "[C7] E4q re C5 E5 G5 rq | [Fmaj7] A4w": "-upper-structure triad, -tritone-substitute triad",
    "[C7] E4q re G5 E5 C5 rq | [Fmaj7] A4w": "-upper-structure triad, -tritone-substitute triad",
    "[C7] E4q re A5 F#5 D5 rq | [Fmaj7] A4w": "upper-structure triad@1.2&-1.3&:II",
    "[C7] E4q re C#5 Bb4 F#4 rq | [Fmaj7] A4w": "tritone-substitute triad@1.2&-1.3&:bV",
    "[Dm7] F4q A4 C5 A4 | [Db7] Db5e F5 Ab5 Cb6 rh | [Cmaj7] E4w": (
        "-tritone-substitute triad, -upper-structure triad"
    ),
    "[Dm7] D5q B4 r F4 | [Cmaj7] D5e B4 G4 E4 rh": ("-upper-structure triad, -tritone-substitute triad"),
    "[Dm7] C5w | [G7] B4w | [Cmaj7] B4w": "guide-tone line@1.1-3.1",
    "[Dm7] F4w | [G7] F4w | [Cmaj7] E4w": "guide-tone line@1.1-3.1",
    "[Dm7] A4w | [G7] D5w | [Cmaj7] G4w": "-guide-tone line",
    "[Cm7] G5e C5 G5 B4 G5 Bb4 G5 A4 | G5w": "oblique motion, -angular leaps, oblique motion",
    "[Am7] E4e A4 E4 B4 E4 C5 E4 D5 | E5w": "oblique motion",
    "[Cmaj7] C4e E4 D4 F4 E4 G4 F4 A4 | G4w": "-oblique motion",
    "[Cmaj7] G4e G4 G4 G4 A4 A4 G4 G4 | E4w": "-oblique motion",
    "[Cmaj7] C4q B4 D4 C5 | E4q D5 F4 E5 | C5w": "angular leaps@1.1-2.4",
    "[Cmaj7] C4q E4 G4 E4 | C4q E4 G4 C5 | G4w": "-angular leaps",
    "[Cmaj7] G4q C5e B4 Bb4 A4 Ab4 G4 | E4w": "chromatic run@1.2-1.4&",
    "[Cmaj7] E4e F4 F#4 G4 G#4 A4 B4q | C5w": "chromatic run@1.1-1.3&",
    "[Cmaj7] E4e F4 E4 F4 G4h | B4e C5 B4 C5 A4h": "-chromatic run",
    "[Cmaj7] B4e C5 D5 E5 F5h | E5w": "-chromatic run",
    "[Cmaj7] E4e G4 A4 G4 rh | E4e G4 A4 G4 rh | C5w": "-displacement",
    (
        "[Cmaj7] G4e A4 C5 E5 D5h | [Am7] A4q C5 B4h | [Dm7] D4q F4e E4 C4h | [G7] B4q. A4e F4h | "
        "[Cmaj7] E4h. D4q | C4w"
    ): ("-motif"),
    "[Dm7] F4q A4 C5 A4 | [G7] B4h. rq | [Cmaj7] E5q D5 C5 G4 | F#4h. rq": (
        "landing note@2.1-2.1:3, landing note@4.1-4.1:#11"
    ),
    "[Cmaj7] E4q G4 A4 G4 | E4h rh | [Cmaj7] C5q A4 G4 E4 | C4h rh": (
        "register peak@3.1-3.1, landing note@2.1-2.1:3, landing note@4.1-4.1:1, space"
    ),
    "[Cmaj7] E4w | G4w | E4e G4 A4 C5 E5 D5 C5 A4 | G4w | E4w": "density@3.1-3.4&",
    "[Cmaj7] E4e G4 A4 C5 E5 D5 C5 A4 | G4e F4 E4 D4 C4 D4 E4 F4 | G4w": "eighth-note line",
    "[Cmaj7] E4q G4 A4 C5 | E5q D5 C5 A4 | G4w": "-eighth-note line",
    "[Cmaj7] C4q D4 E4 F#4 | G4q Ab4 B4 C5 | Eb5w": "-diatonic passage",
    "[Cmaj7] G4e E4 F4 D#4 E4 G4 C5 B4 | G4w": "enclosure@1.2-1.3:3",
    "[Cmaj7] C5e D5 B4 C5 G4h": "enclosure@1.1&-1.2&:1",
    "[Cmaj7] G4e F#4 G4 A4 G4h": "-enclosure",
    "[Cmaj7] G4h E5e D5 C5 D5 | D5 C5 B4 C5 C5 B4 A4 B4 | G4h rh": "sequence@1.3-2.4&:diatonic",
    "[Cmaj7] C5t B4 A4 B4 A4 G4 A4 G4 F4 G4 F4 E4 | D4w": "sequence:diatonic",
    "[Cmaj7] G4q E4e F4 G4q C5 | F4q D4e E4 F4q B4 | E4w": "sequence@1.1-2.4:diatonic",
    "[Cmaj7] rh. re G4 | C5 B4 A4 F4 B4 A4 G4 E4 | A4 G4 F4 D4 C4h": "sequence:diatonic",
    "[Cmaj7] E4q. G4e C5h | [Am7] C4q. E4e A4h | [Dm7] F4q. A4e D5h | [G7] G4w": (
        "sequence@1.1-3.3:through the changes"
    ),
    "[Cmaj7] C4e E4 G4 E4 D4 F4 A4 F4 | E4 G4 B4 G4 F4 A4 C5 A4 | G4w": ("sequence@1.1-2.4&:diatonic"),
    "[Cmaj7] G4q E4 A4 F4 | E4h. D4q | [Fmaj7] C5q A4 D5 Bb4 | A4w": "-cross rhythm",
    "[C7] C4s E4 G4 C4 E4 G4 C4 E4 G4 C4 E4 G4 C4 E4 G4 r | C5w": "cross rhythm@1.1-1.4&:3",
    "{3/4}[Fmaj7] A4e C5 E5 D5 A4 C5 | E5 D5 A4 C5 E5 D5 | C5h.": "cross rhythm@1.1-2.3&:4",
    "[C7] G4q Bb4e G4q Bb4e G4q | Bb4e G4q Bb4e G4q Bb4e re | C5w": "cross rhythm",
    "[C7] G4q re Bb4q re G4q | re Bb4q re G4q rq | C5w": "cross rhythm@1.1-2.3",
    "{6/8}[C7] E4e G4 Bb4 E4 G4 Bb4 | E4 G4 Bb4 E4 G4 Bb4 | C5h.": "-cross rhythm",
    "[G7] B4e D5 B4 D5 B4 D5 B4 D5 | B4 D5 B4 D5 rh": "-cross rhythm, -sequence",
    "[Dm7] D4e F4 A4 C5 [G7] B4 D5 F5 A5 | [Cmaj7] G5w": (
        "arpeggio@1.1-1.2&:1-3-5-7, arpeggio@1.3-1.4&:3-5-7-9"
    ),
    "[Dm7] E5e C5 A4 F4 D4h": "arpeggio",
    "[Cmaj7] C4q G4 E5 B5 | A5w": "arpeggio@1.1-1.4:1-5-3-7",
    "[G7alt] B4e D#5 F5 A#5 G5h": "arpeggio",
    "[Dm7] A4e F4 D4 E4 [G7alt] Eb4 G4 Bb4 Db5 | [Cmaj7] C5h E5": (
        "upper-structure triad@1.3-1.4:bVI, -tritone-substitute triad"
    ),
    "[Dm7] A4q F4 D4 E4 | [G7] E5e C#5 A4 B4 G4h | [Cmaj7] E5w": ("upper-structure triad@2.1-2.2:II"),
    "[G7] G4e A4 B4 C5 D5 E5 F5 D5 | [Cmaj7] E5w": ("-upper-structure triad, -tritone-substitute triad"),
    "[G7] F5e Db5 Ab4 F4 [Cmaj7] E4 G4 C5q": "tritone-substitute triad:bV",
    "[Dm7] C5h A4q F4 | [G7] B4h G4q F4 | [Cmaj7] B4h G4q E4 | [Am7] G4w": "guide-tone line",
    "[Am7] E4e A4 E4 B4 E4 C5 E4 D5 | [D7] F#5w": "oblique motion@1.1-1.4&",
    "[Cmaj7] C5q G4e G#4 A4 Bb4 B4 C5 | D5 E5 G5 E5 C5h": "chromatic run@1.2-1.4&",
    "[Cmaj7] G4q A4e C5 B4q r | re G4q A4e C5 B4q re | [Cmaj7] E4w": "displacement@1.1-2.3&",
    (
        "[Cmaj7] E4q. G4e B4q A4 | F#4h rh | [Am7] C5e D5 E5 A4 G4h | [Dm7] F4q E4 D4 A4 | "
        "[G7] B4h rh | [Cmaj7] E4q. G4e B4q A4 | F#4h rh | E4w"
    ): ("motif"),
    (
        "[Cmaj7] G4e A4 C5 E5 D5 B4 G4q | [Am7] A4q C5 B4h | [Dm7] D4q F4e E4 C4h | "
        "[G7] B4q. A4e F4h | [Cmaj7] G4e A4 C5 E5 D5 B4 G4q | C5w"
    ): ("motif"),
    (
        "[Dm7] F4e E4 D4 C4 A3q rq | [G7] rh. re A4e | B4e D5 F5 A5 G5q rq | [Cmaj7] rw | "
        "rq E5q C5 G4 | E4h rh"
    ): ("landing note@1.3-1.3:5, landing note@3.3-3.3:1, landing note@6.1-6.1:3"),
}

# Bars of chords: keys (a dot leaves them open) and numerals, devices
_HARMONY = {
    "Dm7|G7|Cmaj7|Cmaj7": (
        "C major: ii7 V7 Imaj7",
        "two five one:ii-V-I, -minor cadence, -key change, -turnaround",
    ),
    "Dm7b5|G7b9|Cm6|Cm6": ("C minor:", "two five one:iiø-V-i, minor cadence"),
    "Cmaj7 A7|Dm7 G7|Cmaj7 A7|Dm7 G7|C6": ("C major:", "turnaround:I-VI-II-V, secondary dominant:V7/ii"),
    "Dm7|Db7|Cmaj7|Cmaj7": ("C major: ii7 bII7 Imaj7", "substitute dominant"),
    "Cmaj7|Fm7|Bb7|Cmaj7": ("C major:", "backdoor dominant, -key change"),
    "F7|Bb7|F7|F7|Bb7|Bb7|F7|D7|Gm7|C7|F7 D7|Gm7 C7": ("F blues:", "blues form, -key change"),
    "Dm7|Dm7|Dm7|Dm7|Dm7|Dm7|Dm7|Dm7": ("D minor:", "modal stretch"),
    "Cmaj7|E7|A7|D7|G7|Cmaj7": ("C major:", "cycle of dominants, -key change"),
    "Cmaj7|A7b9|Dm7|G7|Cmaj7": (".: Imaj7 V7/ii ii7 V7 Imaj7", ""),
    "Dm7|G7|Cmaj7|Cmaj7|Fm7|Bb7|Ebmaj7|Ebmaj7|Fm7|Bb7|Ebmaj7|Ebmaj7": ("C major, Eb major:", "key change"),
    "Cm6|Fm6|G7|Cm6": ("C minor: i6 iv6 V7 i6", "minor cadence, -two five one"),
    "Cmaj7|Dm7|G7|Em7|A7|Dm7|G7|Cmaj7": ("C major:", "two five one:ii-V-I, two five one"),
    "Cmaj7|C#dim7|Dm7|G7|Cmaj7": ("C major:", ""),
    "Cmaj7|Fm6|Cmaj7|Cmaj7": ("C major: Imaj7 iv6 Imaj7", "-cadence, -two five one, -backdoor dominant"),
    "Cm7|Fm7|Cm7|Cm7|Fm7|Fm7|Cm7|Cm7|Ab7|G7alt|Cm7|G7alt": ("C minor:", "blues form, -key change"),
    "Cmaj7|Dm7|G7|Am7|Dm7|G7|Cmaj7": ("C major:", "two five one:ii-V-I, -key change"),
    "Cmaj7|Cmaj7|Cmaj7|Cmaj7": ("C major:", "-two five one, -cadence, -turnaround, -key change, -two five"),
    "Fmaj7|Cmaj7|Fmaj7|Cmaj7": ("C major:", "-two five one, -minor cadence, -secondary dominant"),
    "Abm7|Db7|Gbmaj7|Gbmaj7": ("Gb major:", "two five one:ii-V-I"),
    "Bm7b5|E7alt|Amaj7|Amaj7": ("A major:", "two five one:iiø-V-I, -minor cadence"),
    "Em7 A7|Dm7 G7|Cmaj7|Cmaj7": ("C major:", "two five one:ii-V-I"),
    "Dm7|G9sus|G7|C6/9": ("C major: ii7 V7sus V7 I6", "two five one:ii-V-I"),
    "Dm7/G|Cmaj7|F/G|Cmaj7": ("C major:", ""),
    "Gm7|C7|F7|Bb7|Ebmaj7|Ebmaj7": ("Eb major:", "cycle of dominants"),
    "Cmaj7 Ebmaj7|Abmaj7 Dbmaj7|Cmaj7 Ebmaj7|Abmaj7 Dbmaj7|Cmaj7": ("C major:", "turnaround"),
    "Am7|D7|Dm7|G7|Cmaj7|Cmaj7": ("C major: vi7 V7/V ii7 V7 Imaj7", "two five one:ii-V-I"),
    "Dm7 G7|Cmaj7|Dm7 G7|Cm6": (".:", "two five one:ii-V-I, two five one:ii-V-i, minor cadence"),
    "C|D7|G7|C": ("C major: I V7/V V7 I", ""),
    "Cmaj7|Eb7|Dm7|G7|Cmaj7": ("C major: Imaj7 subV7/ii ii7 V7 Imaj7", ""),
    "Cmaj7|Abm7|Db7|Cmaj7": ("C major:", ""),
    "C|C7|F|Fm|C/G|G7|C": ("C major: I V7/IV IV iv I V7 I", ""),
    "Cm6 Am7b5|Dm7b5 G7b9|Cm6 Am7b5|Dm7b5 G7b9|Cm6": ("C minor:", "turnaround"),
    "Cm|CmMaj7|Cm7|Cm6|Fm7|G7|Cm": ("C minor:", "-key change"),
    "C7|F7|C7|Gm7 C7|F7|F#dim7|C7|A7|Dm7|G7|C7 A7|Dm7 G7": (".:", "blues form, -key change"),
    "Cmaj7|Am7|Dm7|G7|Em7|A7|Dm7|G7|Fmaj7|Fm6|Cmaj7|G7": (
        "C major:",
        "-blues form, -modal stretch, -key change",
    ),
    "G7|G7|G7|G7|G7|G7|G7|G7": (".:", "modal stretch, -cadence, -secondary dominant"),
    "Dm7|G7|Cmaj7|Fmaj7|Bm7b5|E7b9|Am6|Am6": (
        ".:",
        ("two five one:ii-V-I, two five one:iiø-V-i, minor cadence, -modal stretch"),
    ),
    "Cmaj7|B7|Em7|A7|Dm7|G7|Cmaj7": ("C major: Imaj7 V7/iii iii7 V7/ii ii7 V7 Imaj7", ""),
    "Am7|Dm7|E7|Am7": ("A minor: i7 iv7 V7 i7", ""),
    "Cmaj7|F#m7b5 B7b9|Em7|Dm7 G7|Cmaj7": ("C major:", "two five one:iiø-V-i, two five one:ii-V-I"),
    "Cmaj7|Gm7 C7|Fmaj7|Bb7|Cmaj7": ("C major:", "two five one:ii-V-I, -key change"),
    "Fmaj7#11|Fmaj7#11|Fmaj7#11|Fmaj7#11|Fmaj7#11|Fmaj7#11|Fmaj7#11|Fmaj7#11": (".:", "modal stretch"),
    "Cmaj7|D7|Dm7|Db7|Cmaj7": ("C major:", ""),
    "Ebmaj7|C7b9|Fm7|Bb7|Ebmaj7 Gb7|Fm7 E7|Ebmaj7": ("Eb major:", "substitute dominant, -key change"),
}

# Root and scale; `-scale` must not be named
SCALES_HEARD = {
    "[C7alt] C5e Bb4 Ab4 Gb4 E4 Eb4 Db4 C4": "C altered",
    "[C7] C4e Db4 Eb4 E4 Gb4 Ab4 Bb4 C5": "C altered",
    "[Cmaj7] C4e D4 E4 F#4 G4 A4 B4 C5": "C lydian",
    "[C7] C4e D4 E4 F#4 G4 A4 Bb4 C5": "C lydian dominant",
    "[C7#5] C4e D4 E4 F#4 G#4 Bb4 C5q": "C whole tone",
    "[C7b9] C4e Db4 Eb4 E4 F#4 G4 A4 Bb4": "C half-whole diminished",
    "[Cdim7] C4e D4 Eb4 F4 Gb4 Ab4 A4 B4": "C whole-half diminished",
    "[Dm7] D4e E4 F4 G4 A4 B4 C5 D5": "D dorian",
    "[G7] G4e A4 B4 C5 D5 E5 F5 G5": "G mixolydian",
    "[G7] G5e F#5 F5 E5 D5 C5 B4 A4 | G4w": "G bebop dominant",
    "[Cmaj7] C4e D4 E4 G4 A4 C5 A4 G4 | E4e D4 C4 A3 C4h": "C major pentatonic",
    "[C7] C4e D4 Eb4 E4 G4 A4 C5 A4 | G4e E4 Eb4 D4 C4h": "C major blues",
    "[Am7] A4e C5 D5 E5 G5 A5 G5 E5 | D5e C5 A4 G4 A4h": "A minor pentatonic",
    "[C7] C5e Bb4 G4 Gb4 F4 Eb4 C4 Bb3 | C4e Eb4 F4 Gb4 G4 Bb4 C5q": "C blues",
    "[CmMaj7] C4e D4 Eb4 F4 G4 A4 B4 C5": "C melodic minor",
    "[G7b9] G4e Ab4 B4 C5 D5 Eb5 F5 G5": "G phrygian dominant",
    "[Dm7b5] D4e E4 F4 G4 Ab4 Bb4 C5 D5": "D locrian natural 2",
    "[Dm7b5] D4e Eb4 F4 G4 Ab4 Bb4 C5 D5": "D locrian",
    "[Dm7] D4e E4 F4 G4 A4 B4 C5 A4 | [G7] G4e A4 B4 C5 D5 E5 F5 D5 | [Cmaj7] E5e D5 C5 B4 G4h": ("C major"),
    "[C7] C4q E4 G4 Bb4 | C5w": (
        "-altered, -lydian dominant, -whole tone, -blues, -half-whole diminished, -bebop dominant, "
        "-phrygian dominant"
    ),
    "[C7alt] E4e G4 A4 Bb4 C5 D5 E5q": "-altered, -whole tone",
    "[C7] C4e D4 E4 F4 G4 Ab4 Bb4 C5": (
        "C mixolydian b6, -altered, -whole tone, -lydian dominant, -mixolydian"
    ),
    "[Cmaj7] C4e D4 E4 F4 G4 G#4 A4 B4 | C5w": ("C bebop major, -lydian, -melodic minor, -lydian dominant"),
    "[Em7] E4e F4 G4 A4 B4 C5 D5 E5 | [Em7] F4q E4 G4 E4": "E phrygian",
    "[Cm7] C4e D4 Eb4 F4 G4 Ab4 Bb4 C5": "C aeolian",
    "[C7] E4e G4 Ab4 G4 F4 E4 D4 C4": ("-altered, -whole tone, -half-whole diminished, -lydian dominant"),
    "[C7#11] Bb4e A4 G4 F#4 E4 D4 C4 E4": "C lydian dominant, -lydian, -whole tone",
    "[Gm7] Bb4e C5 D5 F5 G5 F5 D5 C5 | [C7] Bb4e G4 F4 D4 C4h": "-blues",
    "[Fmaj7#5] F4e G4 A4 B4 C#5 D5 E5 F5": "F lydian augmented",
    "[C7b9] C4e Db4 E4 G4 Bb4 Db5 C5q": "-whole tone, -lydian dominant, -mixolydian",
    "[Cmaj7] E4w": "-lydian, -major pentatonic, -bebop major",
    "[Cmaj7] C4e E4 G4 A4 C5 A4 G4 E4": "-major pentatonic, -lydian",
    "[Cm7] C4e Eb4 F4 Gb4 G4 Bb4 C5 Bb4 | G4e Gb4 F4 Eb4 C4h": "C blues",
    "[Cmaj7] C4e C#4 D4 D#4 E4 F4 F#4 G4 | G#4e A4 Bb4 B4 C5h": (
        "-lydian, -major, -major blues, -bebop major"
    ),
    "[C7] C4e Db4 Eb4 E4 Gb4 G4 Ab4 Bb4": "-altered, -half-whole diminished, -phrygian dominant",
    "[C7b9] C4e Db4 Eb4 E4 F#4 G4 Ab4 Bb4": "-half-whole diminished, -altered",
    "[C7#5] C4e D4 E4 F#4 G4 G#4 Bb4 C5": "-whole tone, -lydian dominant",
    "[Cmaj7] E4e F4 F#4 G4 A4 G4 F4 E4 | D4e E4 F4 G4 C5h": "-lydian",
    "[Dm7] D4e E4 F4 F#4 G4 A4 B4 C5 | D5w": "D bebop dorian",
    "[C7] C4e D4 E4 G4 A4 Bb4 C5 A4": "-lydian dominant, -altered, -mixolydian b6",
    "[Cm7] C4e D4 Eb4 F4 G4 A4 Bb4 C5": "C dorian, -aeolian, -melodic minor",
    "[Em7b5] E4e F4 G4 A4 Bb4 C5 D5 E5": "E locrian, -locrian natural 2, -phrygian",
    "[C13sus] C4e D4 F4 G4 A4 Bb4 C5 D5": "-altered, -lydian dominant, -dorian",
    "[Gm7] G4e A4 Bb4 C5 D5 E5 F5 D5 | [C7] E5e D5 C5 Bb4 A4 G4 E4 F4 | [Fmaj7] A4w": (
        "F major, -lydian dominant, -altered"
    ),
    "[Dm7] D4e F4 A4 C5 E5 C5 A4 F4 | [G7alt] G4e Ab4 Bb4 B4 Db5 Eb5 F5 Eb5 | [Cmaj7] D5w": ("G altered"),
    "[F7] F4e G4 A4 B4 C5 D5 Eb5 D5 | [Cmaj7] E5w": "F lydian dominant",
    "[C7] G4e A4 B4 C5 D5 E5 F5 D5 | C5w": "-lydian, -lydian dominant",
}

# The kind and the chord heard; `-kind` must not be proposed
PROPOSALS_HEARD = {
    "[Dm7] Ab4e Bb4 B4 Eb5 Db5 B4 Ab4 F4 | [G7] B4e Ab4 Bb4 G4 F4 Eb4 B3q | [Cmaj7] E4w": (
        "one altered dominant:G7alt"
    ),
    "[Dm7] D4e E4 F4 A4 C5 A4 F4 E4 | [G7] B4e Ab4 Bb4 G4 F4 Eb4 B3q | [Cmaj7] E4w": (
        "-one altered dominant"
    ),
    "[Dm7] D4e E4 F4 A4 C5 A4 F4 E4 | [G7] B4e D5 F5 A5 G5 E5 D5q | [Cmaj7] E4w": (
        "-one altered dominant, -tritone substitute"
    ),
    "[Dm7] F4q A4 C5 A4 | [G7] Db5e F5 Ab5 F5 Db5 B4 Ab4 F4 | [Cmaj7] E4w": ("tritone substitute:Db7"),
    "[Dm7] F4q A4 C5 A4 | [G7] Db5e F5 Ab5 F5 D5 A4 E5 B4 | [Cmaj7] E4w": "-tritone substitute",
    "[Dm7b5] Ab4e F4 Eb4 F4 Ab4 C5 Bb4 Ab4 | [G7b9] B4e D5 F5 Ab5 G5 F5 D5q | [Cm6] Eb5w": (
        "-one altered dominant"
    ),
    "[Dm7] F4q Ab4 A4 C5 | [G7] B4q D5 F5 D5 | [Cmaj7] E5w": "-one altered dominant",
    "[Cm7] Gb4e A4 Gb4 Db5 Ab4 A4 Gb4 Eb4 | [F7] A4e Eb5 Gb5 Eb5 A4h | [Bbmaj7] D5w": (
        "one altered dominant:F7alt"
    ),
}

# The first and last note of each phrase, counted from 0
PHRASES_HEARD = {
    "[Cmaj7] C4q E4 G4 A4 | G4h rh | [Dm7] F4q A4 C5 D5 | C5h rh": "0-4, 5-9",
    "[Cmaj7] C4e r E4 r G4 r A4 r | G4h. rq | rh [Dm7] F4q A4 | C5h. rq": "0-4, 5-7",
    "[Dm7] A4q F4 D4 E4 | [G7] F4q G4 A4 B4 | [Cmaj7] C5q D5 E5 G5 | E5w": "0-12",
    "{pickup}G4e A4 B4 | [Cmaj7] C5h. rq | rh. re G4e | [Fmaj7] A4q C5 E5h | C5h. rq": "0-3, 4-8",
    "[Cmaj7] E4q G4 B4h~ | B4w~ | B4h rh | rh. G4q | [Fmaj7] A4w": "0-2, 3-4",
    (
        "[Dm7] F4e E4 D4 C4 A3q rq | [G7] rh. re A4e | B4e D5 F5 A5 G5q rq | [Cmaj7] rw | "
        "rq E5q C5 G4 | E4h rh"
    ): ("0-4, 5-10, 11-14"),
}


def _each(labels: str) -> str:
    """Labels in the notation of notes."""
    heard = ("none none" if label == "-" else f"{label} ." for label in labels.split())
    return "; ".join(f"{place}={each}" for place, each in enumerate(heard))


NOTES = {line: (line, _each(labels)) for line, labels in _LABELS.items()} | {
    line: (line, expected) for line, expected in _NOTES.items()
}
DEVICES_HEARD = {line: (line, expected) for line, expected in _DEVICES.items()}
HARMONY_HEARD = {bars: (bars, *expected) for bars, expected in _HARMONY.items()}

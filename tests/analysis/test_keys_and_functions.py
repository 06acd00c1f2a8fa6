"""Keys, functions and progressions: common practice, no source, but where a source is named."""

from dataclasses import replace

import pytest

from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Key
from lessonmaker.score.position import format_span
from lessonmaker.theory.chord import parse_chord
from lessonmaker.theory.numeral import bare_numeral, numeral_of

BAR = " C5q E5 G5 E5"


def changes(*chords: str) -> str:
    """A bar of a neutral line for each chord (or two chords, parted by a blank)."""
    bars = []
    for chord in chords:
        two = chord.split()
        bars.append(f"[{two[0]}] r" + "h" + (f"[{two[1]}] rh" if len(two) > 1 else " rh"))
    return " | ".join(bars)


@pytest.mark.parametrize(
    ("chord", "tonic", "numeral"),
    [
        ("Dm7", 0, "ii7"),
        ("G7", 0, "V7"),
        ("Cmaj7", 0, "Imaj7"),
        ("Bb7", 0, "bVII7"),
        ("Db7", 0, "bII7"),
        ("F#m7b5", 0, "#ivø7"),
        ("C#dim7", 0, "#i°7"),
        ("G7alt", 0, "V7alt"),
        ("G7sus", 0, "V7sus"),
        ("Am6", 9, "i6"),
        ("F", 0, "IV"),
        ("Fm7", 0, "iv7"),
        ("Eb6", 0, "bIII6"),
    ],
)
def test_a_chord_has_a_numeral(chord: str, tonic: int, numeral: str) -> None:
    assert numeral_of(parse_chord(chord), tonic) == numeral


def test_no_numeral_without_a_chord() -> None:
    with pytest.raises(ValueError, match="no numeral without a chord"):
        numeral_of(replace(parse_chord("C"), kind="none"), 0)


@pytest.mark.parametrize(
    ("chords", "keys"),
    [
        (["Dm7", "G7", "Cmaj7", "Cmaj7"], ["C major"]),
        (["Dm7b5", "G7b9", "Cm6", "Cm6"], ["C minor"]),
        (["Cmaj7", "Am7", "Dm7", "G7", "Cmaj7", "Bbm7", "Eb7", "Abmaj7", "Abmaj7"], ["C major", "A♭ major"]),
        (["Cmaj7", "A7", "Dm7", "G7", "Cmaj7"], ["C major"]),
        (["C7", "F7", "C7", "C7", "F7", "F7", "C7", "C7", "G7", "F7", "C7", "G7"], ["C blues"]),
        (["F7", "Bb7", "F7"], ["F blues"]),
        (["E7", "A7", "D7", "G7", "Cmaj7"], ["C major"]),
        # chords that stay side by side, each its own centre
        (["Dm7"] * 8 + ["Ebm7"] * 4 + ["Dm7"] * 4, ["D dorian", "E♭ dorian", "D dorian"]),
        (["G9sus"] * 4 + ["Bb9sus"] * 4, ["G mixolydian", "B♭ mixolydian"]),
        (["Cm7"] * 4 + ["Fm7"] * 4 + ["Cm7"] * 4, ["C minor"]),  # a fourth apart: tonic and fourth step
        (["Gm7"] * 4 + ["C7"] * 4 + ["Fmaj7"] * 4, ["F major"]),
        # what ends on the dominant of its first chord comes round to it
        (["Cmaj7", "Bm7b5 E7", "Am7 D7", "Gm7 C7", "Fmaj7", "Dm7", "Cmaj7 A7", "Dm7 G7"], ["C major"]),
        (["Gm7", "Fmaj7 D7", "Gm7 C7"], ["G minor"]),  # no blues for its last chord alone
        (["Am7", "Em7", "Fmaj7", "G", "Am7", "Em7", "F", "G", "Am"], ["A minor"]),
        (["Am7", "D7", "Gmaj7", "Cmaj7", "Am7"], ["G major"]),
        # a minor sixth chord is a tonic where its sixth is no note of the key, else the fourth step may have one
        (["Am6"] * 4 + ["Dm7 G7", "Cmaj7", "Bm7b5 E7", "Am6"], ["A minor"]),
        (["Cmaj7", "Fm6", "Cmaj7", "Dm6", "G7", "Cmaj7"], ["C major"]),
    ],
)
def test_keys_follow_the_cadences(tune, chords: list[str], keys: list[str]) -> None:
    found = analyse(tune(changes(*chords))).keys
    assert [f"{key.tonic} {key.mode}" for key in found] == keys


# A line that plays the leading notes of chords outside the key changes no key: a passing dominant stays one.
LINES_OF_CHORD_TONES = {
    "the dominant of the fourth step": "[C] E4w | [C7] Bb4w | [F] A4w | [Fm] Ab4w | [C/G] G4w | [G7] F4w | [C] E4w",
    "the dominants of the third and the second": (
        "[Cmaj7] E4w | [B7] D#4w | [Em7] G4w | [A7] C#5w | [Dm7] F4w | [G7] B4w | [Cmaj7] E4w"
    ),
    "the dominant of the fifth step, put off": (
        "[Am7] C5w | [D7] F#4w | [Dm7] F4w | [G7] B4w | [Cmaj7] E4w | C5w"
    ),
    "a two five of the third step": (
        "[Cmaj7] E4w | [F#m7b5] A4h [B7b9] D#5 | [Em7] G4w | [Dm7] F4h [G7] B4 | [Cmaj7] E4w"
    ),
}


@pytest.mark.parametrize("name", LINES_OF_CHORD_TONES)
def test_chord_tones_of_passing_chords_change_no_key(tune, name: str) -> None:
    found = analyse(tune(LINES_OF_CHORD_TONES[name])).keys
    assert [f"{key.tonic} {key.mode}" for key in found] == ["C major"]


@pytest.mark.parametrize(("fourth", "key"), [("Bb4", "F major"), ("B4", "A minor")])
def test_free_notes_of_the_line_decide_between_keys(tune, fourth: str, key: str) -> None:
    line = "[Fmaj7] A4e X C5 X A4 X C5 E5 | [Am7] C5e X A4 X C5 D5 E5 C5".replace("X", fourth)
    found = analyse(tune(line)).keys
    assert [f"{each.tonic} {each.mode}" for each in found] == [key]


def test_the_functions_of_plain_changes(tune) -> None:
    found = analyse(tune(changes("Cmaj7", "A7", "Dm7", "Db7", "Cmaj7", "Fm7", "Bb7", "Cmaj7"))).functions
    assert [each.numeral for each in found] == [
        "Imaj7",
        "V7/ii",
        "ii7",
        "bII7",
        "Imaj7",
        "iv7",
        "bVII7",
        "Imaj7",
    ]
    assert [each.function for each in found][1] == "secondary dominant"
    assert [each.function for each in found][3] == "substitute dominant"
    assert [each.function for each in found][6] == "backdoor dominant"


@pytest.mark.parametrize(
    ("chords", "function"),
    [
        (["C7", "Bb", "C7", "Bb", "C7", "Bb"], "dominant"),  # mixolydian
        (["Fmaj7", "G", "Fmaj7", "G", "Fmaj7", "G"], "dominant"),  # lydian
        (["Am", "G", "F", "E7", "Am"], "dominant"),  # the minor key's own flat seventh step
        (["Am7", "Em7", "Am7", "Dm7", "E7", "Am7"], "dominant"),  # its minor fifth step
        (["C", "Bb", "F", "C"], "borrowed"),  # a major key has no flat seventh step
    ],
)
def test_a_chord_of_the_mode_is_not_borrowed(tune, chords: list[str], function: str) -> None:
    """Persichetti, Twentieth-Century Harmony (1961), from memory: what brings out a mode stands for its dominant."""
    assert analyse(tune(changes(*chords))).functions[1].function == function


def test_a_key_begins_with_the_second_step_that_leads_into_it(tune) -> None:
    chords = ["Dbmaj7", "Dbmaj7", "Bm7", "E7", "Amaj7", "Amaj7", "Ebm7b5", "Ab7", "Dbmaj7", "Dbmaj7"]
    found = analyse(tune(changes(*chords))).functions
    assert [each.numeral for each in found] == ["Imaj7", "ii7", "V7", "Imaj7", "iiø7", "V7", "Imaj7"]


@pytest.mark.parametrize(
    ("line", "fifths", "key"),
    [
        ("C5q D5 E5 F5 | G5 F5 E5 D5", 0, "C major"),  # by the notes alone it would be D minor
        ("D5q E5 F5 A5 | D6 A5 F5 E5 | D5w", -1, "D minor"),
        ("G4q A4 B4 D5 | G5 F#5 E5 D5 | G4w", 0, "G major"),  # the signature has not all the notes
    ],
)
def test_without_chords_the_signature_tells_the_key(tune, line: str, fifths: int, key: str) -> None:
    score = tune(line)
    score = replace(score, bars=tuple(replace(bar, key=Key(fifths)) for bar in score.bars))
    assert [f"{each.tonic} {each.mode}" for each in analyse(score).keys] == [key]


@pytest.mark.parametrize(
    ("chords", "kind", "span"),
    [
        (["Dm7", "G7", "Cmaj7", "Fmaj7"], "two five one", "1-3"),
        (["Dm7", "G7", "Cmaj7", "Fmaj7"], "cadence", "2-3"),
        (["Dm7b5", "G7b9", "Cm6", "Fm7"], "minor cadence", "1-3"),
        (["Dm7", "G7", "Em7", "A7"], "two five", "1-2"),
        (["Dm7", "Db7", "Cmaj7", "Cmaj7"], "substitute dominant", "2"),
        (["E7", "A7", "D7", "G7", "Cmaj7"], "cycle of dominants", "1-4"),
        (["Cmaj7 A7", "Dm7 G7", "Cmaj7"], "turnaround", "1-2"),
        (["Cmaj7 Ebmaj7", "Abmaj7 Dbmaj7", "Cmaj7"], "turnaround", "1-2"),
        (["Am7", "D7", "Dm7", "G7", "Cmaj7", "Cmaj7"], "secondary dominant", "2"),
        (["Cmaj7", "Fm7", "Bb7", "Cmaj7"], "backdoor dominant", "3"),
        (["Dm7"] * 8 + ["Ebmaj7"], "modal stretch", "1-8"),
        (["C7", "F7", "C7", "C7", "F7", "F7", "C7", "C7", "G7", "F7", "C7", "G7"], "blues form", "all"),
        (["Cm7"] * 4 + ["Fm7", "Fm7", "Cm7", "Cm7", "Ab7", "G7alt", "Cm7", "G7alt"], "blues form", "all"),
    ],
)
def test_a_progression_is_found_where_it_is(tune, chords: list[str], kind: str, span: str) -> None:
    score = tune(changes(*chords))
    assert span in [format_span(score, d.span) for d in analyse(score).devices if d.kind == kind]


@pytest.mark.parametrize(
    "chords",
    [
        [
            "Cm7",
            "Fm7",
            "Cm7",
            "Cm7",
            "Fm7",
            "Fm7",
            "Abmaj7",
            "Abmaj7",
            "Dm7b5",
            "G7",
            "Cm7",
            "G7",
        ],  # not home at 7
        ["Cm7"] * 4
        + ["F7", "F7", "Cm7", "Cm7", "Dm7b5", "G7", "Cm7", "G7"],  # the fourth step is no minor chord
        ["Cm7"] * 4 + ["Fm7", "Fm7", "Cm7", "Cm7", "Fm7", "Fm7", "Cm7", "Cm7"],  # no dominant at the end
    ],
)
def test_twelve_bars_in_minor_are_not_always_a_blues(tune, chords: list[str]) -> None:
    assert "blues form" not in {device.kind for device in analyse(tune(changes(*chords))).devices}


def test_a_dominant_of_the_dominant_may_be_put_off(tune) -> None:
    found = analyse(tune(changes("Am7", "D7", "Dm7", "G7", "Cmaj7", "Cmaj7")))
    assert [each.numeral for each in found.functions][:3] == ["vi7", "V7/V", "ii7"]
    text = next(device.text for device in found.devices if device.kind == "secondary dominant")
    assert text == (
        "A secondary dominant put off: the dominant of the dominant, with the second step between."
    )


def test_chords_that_lead_nowhere_are_no_progression(tune) -> None:
    kinds = {device.kind for device in analyse(tune(changes("Cmaj7", "Ebmaj7", "Gbmaj7", "Amaj7"))).devices}
    assert not kinds & {"two five one", "two five", "cadence", "turnaround", "cycle of dominants"}


@pytest.mark.parametrize(
    ("numeral", "bare"),
    [("ii7", "ii"), ("bVI7", "bVI"), ("#ivø7", "#iv"), ("V7/ii", "V"), ("Imaj7", "I"), ("subV7/IV", "")],
)
def test_a_numeral_goes_without_its_figure(numeral: str, bare: str) -> None:
    assert bare_numeral(numeral) == bare

"""Situations that a device must be heard in, or must not: common practice, no source (see each finder's module).

A situation is a line, the devices to be found (kind, first note's place, last note's place, detail; "" for any) and the
kinds not to be found.
"""

import pytest

from lessonmaker.analysis.device_names import DEVICES, device_kind
from lessonmaker.analysis.model import Analysis, Device
from lessonmaker.analysis.whole import analyse
from lessonmaker.score.model import Score
from lessonmaker.score.position import format_position
from lessonmaker.theory.chord import chord_text
from lessonmaker.theory.signs import in_ascii

SITUATIONS = {
    "exact seq whole steps down": (
        "[Cmaj7] E5e C5 D5 E5 D5 Bb4 C5 D5 | C5 Ab4 Bb4 C5 Bb4 Gb4 Ab4 Bb4 | G4w",
        [("sequence", "1.1", "", "exact")],
        [],
    ),
    "diatonic seq": (
        "[Cmaj7] C5e D5 E5 C5 D5 E5 F5 D5 | E5 F5 G5 E5 F5 G5 A5 F5 | G5w",
        [("sequence", "1.1", "2.4&", "diatonic")],
        ["motif"],
    ),
    "through changes 3-5-1": (
        "[Dm7] F4e A4 D5q [G7] B4e D5 G5q | [Cmaj7] E4e G4 C5q [Am7] C5e E5 A5q | [Dm7] F5w",
        [("sequence", "1.1", "", "through the changes")],
        [],
    ),
    "rhythmic seq": (
        "[Cmaj7] E5q. D5e C5h | [Am7] G5q. E5e A4h | [Dm7] F5q. C5e A4h | [G7] B4q. D5e F5h | [Cmaj7] E5w",
        [("sequence", "1.1", "", "")],
        [],
    ),
    "plain scale no seq": (
        "[Cmaj7] C4e D4 E4 F4 G4 A4 B4 C5 | D5 E5 F5 G5 A5 B5 C6 B5 | G5w",
        [],
        ["sequence", "cross rhythm", "arpeggio", "motif"],
    ),
    "repeated note no seq": (
        "[Cmaj7] G4e G4 G4 G4 G4 G4 G4 G4 | E4w",
        [],
        ["sequence", "motif", "cross rhythm"],
    ),
    "groups of three": (
        "[C7] G4e Bb4 E5 G4 Bb4 E5 G4 Bb4 | E5 G4 Bb4 E5 G4 Bb4 E5q | C5w",
        [("cross rhythm", "1.1", "", "3")],
        [],
    ),
    "2+3 eighths": (
        "[Dm7] A4q D5q. A4q C5e~ | C5q A4q D5q. A4e~ | A4e C5q. r2 r2",
        [("cross rhythm", "", "", "")],
        [],
    ),
    "dotted quarters": (
        "[Dm7] A4q. D5q. F5q~ | F5e E5q. C5q. A4e~ | A4q D5q. A4q. | D5w",
        [("cross rhythm", "", "", "")],
        [],
    ),
    "4 groups in 4/4 no cross": (
        "[Dm7] A4e D5 F5 A5 G4 C5 E5 G5 | F4 A4 D5 F5 E4 G4 C5 E5 | D5w",
        [],
        ["cross rhythm"],
    ),
    "3-5-7-9": (
        "[G7] rq B4e D5 F5 A5 G5q | [Cmaj7] E5w",
        [("arpeggio", "1.2", "1.3&", "")],
        ["upper-structure triad"],
    ),
    "up triad no US": (
        "[G7] G4e B4 D5 G5 D5 B4 G4q | [Cmaj7] E5w",
        [("arpeggio", "1.1", "", "")],
        ["upper-structure triad"],
    ),
    "US II": (
        "[G7] A4e C#5 E5 A5 E5 C#5 A4q | [Cmaj7] G4w",
        [("upper-structure triad", "1.1", "", "II")],
        [],
    ),
    "US bVI": (
        "[G7] Eb4e G4 Bb4 Eb5 Bb4 G4 F4q | [Cmaj7] E4w",
        [("upper-structure triad", "1.1", "", "bVI")],
        [],
    ),
    "US VI": (
        "[G7] E4e G#4 B4 E5 B4 G#4 F4q | [Cmaj7] E4w",
        [("upper-structure triad", "1.1", "", "VI")],
        [],
    ),
    "tritone": (
        "[G7] Db5e Ab4 F4 Ab4 Db5 F5 Ab5q | [Cmaj7] G5w",
        [("tritone-substitute triad", "1.1", "", "")],
        [],
    ),
    "US bII minor": (
        "[G7] Ab4e B4 Eb5 Ab5 Eb5 B4 Ab4q | [Cmaj7] G4w",
        [("upper-structure triad", "1.1", "", "")],
        [],
    ),
    "printed bII7 not US": (
        "[Db7] Db5e Ab4 F4 Ab4 Db5 F5 Ab5q | [Cmaj7] G5w",
        [("arpeggio", "", "", "")],
        ["upper-structure triad", "tritone-substitute triad"],
    ),
    "encl": (
        "[Dm7] D5q C5 A4 r | [G7] rh C5e A#4 B4q | [Cmaj7] G4w",
        [("enclosure", "2.3", "2.4", "")],
        ["double approach"],
    ),
    "double approach": (
        "[Dm7] D5q C5 A4 r | [G7] rh A4e A#4 B4q | [Cmaj7] G4w",
        [("double approach", "2.3", "2.4", "")],
        ["enclosure"],
    ),
    "guide tones": (
        "[Dm7] C5h. D5q | [G7] B4h. D5q | [Cmaj7] B4h. C5q | [A7] C#5h. E5q | [Dm7] C5w",
        [("guide-tone line", "", "", "")],
        [],
    ),
    "oblique": ("[Dm7] A5e D5 A5 C#5 A5 C5 A5 B4 | [G7] A5w", [("oblique motion", "1.1", "", "")], []),
    "leaps": ("[Cmaj7] C4e B4 D4 C5 E4 D5 F4 E5 | [Am7] G4w", [("angular leaps", "1.1", "", "")], []),
    "chromatic run": (
        "[Cmaj7] G4e G#4 A4 A#4 B4 C5 C#5 D5 | E5w",
        [("chromatic run", "1.1", "", "")],
        ["enclosure"],
    ),
    "b9 to 5": (
        "[Dm7] F4q A4 C5 A4 | [G7] B4q D5 F5 Ab5 | [Cmaj7] G5w",
        [("resolution", "2.4", "3.1", "b9 -> 5")],
        [],
    ),
    "landing": (
        "[Dm7] F4e A4 C5 E5 D5 C5 A4 F4 | [G7] B4q D5 F5 A5 | [Cmaj7] E5h. rq | r4w | [Dm7] D5q F5 A5 F5 | [G7] D5w",
        [("landing note", "3.1", "3.1", "")],
        [],
    ),
    "peak": (
        "[Dm7] F4e A4 C5 E5 D5 C5 A4 F4 | [G7] B4q D5 C6 A5 | [Cmaj7] E5h. rq | r4w",
        [("register peak", "2.3", "2.3", "")],
        [],
    ),
    "two five one": (
        "[Dm7] F4q A4 C5 A4 | [G7] B4q D5 F5 D5 | [Cmaj7] E5w | [Cmaj7] G4w",
        [("two five one", "1.1", "", "ii-V-I")],
        [],
    ),
    "minor cad": (
        "[Dm7b5] F4q Ab4 C5 Ab4 | [G7b9] B4q D5 F5 Ab5 | [Cm6] G5w | [Cm6] G4w",
        [("minor cadence", "", "", "")],
        [],
    ),
    "secdom": (
        "[Cmaj7] E4q G4 B4 G4 | [A7] C#5q E5 G5 E5 | [Dm7] F5q D5 A4 F4 | [G7] B4q D5 F5 D5 | [Cmaj7] E5w",
        [("secondary dominant", "2.1", "", "")],
        [],
    ),
    "subdom": (
        "[Dm7] F4q A4 C5 A4 | [Db7] F4q Ab4 B4 Ab4 | [Cmaj7] G4w | r4w",
        [("substitute dominant", "2.1", "", "")],
        [],
    ),
    "turnaround": (
        "[Cmaj7] E4q G4 [A7] C#5 E5 | [Dm7] F5 D5 [G7] B4 D5 | "
        "[Cmaj7] E5q G5 [A7] E5 C#5 | [Dm7] D5 F4 [G7] G4 B4 | [Cmaj7] C5w",
        [("turnaround", "1.1", "", "")],
        [],
    ),
}
FURTHER = {
    "broken thirds": (
        "[Cmaj7] C4e E4 D4 F4 E4 G4 F4 A4 | G4 B4 A4 C5 B4 D5 C5 E5 | D5w",
        ["sequence"],
        ["enclosure", "cross rhythm"],
        "4/4",
    ),
    "a triplet of quarters among others": (
        "[Cmaj7] C4t E4 G4 B4q E4t~ E4 D4~ D4 C4~ C4 | D4e. F4s A4t C5 A4 F4q D4",
        [],
        ["cross rhythm"],
        "4/4",
    ),
    "an answer two bars and a beat later": (
        "[Cmaj7] E4e G4 F4 D4 E4q rq | [Am7] rw | [Dm7] rq E4e G4 F4 D4 E4q | [G7] G4w",
        ["displacement"],
        [],
        "4/4",
    ),
    "a line that crosses the note it comes back to": (
        "[Dm7] A4e C5 A4 B4 A4 G#4 A4 F4 | [G7] D4w",
        [],
        ["oblique motion"],
        "4/4",
    ),
    "short notes three eighths apart": (
        "[Dm7] F4e rq F4e rq F4e r8 | r8 F4e rq F4e rq r8 | [G7] D4w",
        ["cross rhythm"],
        [],
        "4/4",
    ),
    "three short notes only": ("[Dm7] F4e rq F4e rq F4e r8 | D4w", [], ["cross rhythm"], "4/4"),
    "short notes on every other beat": (
        "[Dm7] F4e rq r8 F4e rq r8 | F4e rq r8 F4e rq r8 | D4w",
        [],
        ["cross rhythm"],
        "4/4",
    ),
    "waltz hemiola": ("[Dm7] A4q D5 A4 | D5 A4 D5 | A4 D5 A4 | D5h.", ["cross rhythm"], [], "3/4"),
    "6/8 as 3/4": ("[Dm7] A4q D5 F5 | E5q D5 C5 | A4q G4 F4 | D4h.", ["cross rhythm"], [], "6/8"),
    "triplet quarters": ("[Dm7] A4h D5h | F5w", [], ["cross rhythm"], "4/4"),
    "4+4 pattern": (
        "[Dm7] D4e F4 A4 C5 D4 F4 A4 C5 | D4 F4 A4 C5 D4 F4 A4 C5 | D5w",
        [],
        ["sequence", "cross rhythm"],
        "4/4",
    ),
    "enclosure chromatic": ("[Cmaj7] rh F4e D#4 E4q | G4w", ["enclosure"], ["double approach"], "4/4"),
    "two from above": ("[Cmaj7] rh F#4e F4 E4q | G4w", ["double approach"], ["enclosure"], "4/4"),
    "chord triad G": (
        "[G7] B4e D5 G5 D5 B4 G4 B4q | [Cmaj7] E5w",
        ["arpeggio"],
        ["upper-structure triad"],
        "4/4",
    ),
    "US bIII": ("[G7] Bb4e D5 F5 Bb5 F5 D5 Bb4q | [Cmaj7] G4w", ["upper-structure triad"], [], "4/4"),
    "US bVmin": ("[G7] Db5e E5 Ab5 E5 Db5 Ab4 G4q | [Cmaj7] G4w", ["upper-structure triad"], [], "4/4"),
    "anticip": ("[Dm7] F4h. A4e B4e~ | [G7] B4h G4h", [], ["delayed resolution"], "4/4"),
    "chromatic desc": ("[G7] G5e F#5 F5 E5 Eb5 D5 Db5 C5 | [Cmaj7] B4w", ["chromatic run"], [], "4/4"),
    "motif far": (
        "[Dm7] re A4 D5q F5h | [G7] rw | [Cmaj7] rw | [Dm7] re A4 D5q F5h | [G7] rw | rw",
        ["motif"],
        [],
        "4/4",
    ),
    "displaced": ("[Dm7] A4q D5e F5 E5h | rq A4q D5e F5 E5q~ | E5w", ["displacement"], [], "4/4"),
    "sequence whole line rests": (
        "[Dm7] F4e A4 D5q rh | [G7] G4e B4 E5q rh | [Cmaj7] A4e C5 F5q rh",
        ["sequence"],
        [],
        "4/4",
    ),
    "over barline section": (
        "[Dm7] F4e A4 C5 E5 D5 C5 A4 F4 | E4 G4 B4 D5 C5 B4 A4 G4 | "
        "F4 A4 C5 E5 D5 C5 B4 A4 | [G7] B4 A4 G4 F4 E4 D4 F4 A4~ "
        "| [Cmaj7] A4e G4 E4 C4 rh",
        ["over-the-barline phrase"],
        [],
        "4/4",
    ),
    "oblique lower stays": ("[G7] G4e D5 G4 E5 G4 F5 G4 F#5 | G5w", ["oblique motion"], [], "4/4"),
}
PROPOSALS = {
    "alt before V": (
        "[Dm7] r4e Bb4 Ab4 Eb5 C#5 Bb4 Ab4q | [G7] Eb5e C#5 Bb4 Ab4 B4 F4 Eb4q | [Cmaj7] D4w",
        "G7alt",
    ),
    "contradiction": ("[Dm7] r4e Bb4 Ab4 A4 C5 D5 E5q | [G7] B4e D5 F5 A5 G5 F5 E5q | [Cmaj7] D5w", ""),
    "plain ii V": ("[Dm7] F4e A4 C5 E5 D5 C5 A4 F4 | [G7] B4e D5 F5 A5 G5 F5 D5 B4 | [Cmaj7] E5w", ""),
    "the substitute's triad": (
        "[Dm7] F4e A4 C5 A4 F4 D4 A4 C5 | [G7] Ab4e Db5 F5 Db5 Ab4 F4 Ab4q | [Cmaj7] G4w",
        "Db7",
    ),
    "the substitute's triad contradicted": (
        "[Dm7] F4e A4 C5 A4 F4 D4 A4 C5 | [G7] Ab4e Db5 F5 Db5 D5 A4 D5q | [Cmaj7] G4w",
        "",
    ),
    "a sharp eleven alone": ("[Dm7] F4q A4 C5 A4 | [G7] B4q Db5 F5 Db5 | [Cmaj7] E4w", ""),
    "the substitute is printed": ("[Dm7] F4q A4 C5 A4 | [Db7] Ab4e Db5 F5 Db5 Ab4 F4 Ab4q | [Cmaj7] G4w", ""),
    "a chord early": ("[Ebmaj7] G4q Bb4 E5e C#5 A4 E4 | [A7] C#5q E5 A4 E4 | [Dm7] D4w", "A7"),
    "a chord late": ("[E7] E5q D5 B4 G#4 | [Cm7] E4e G#4 B4 E5 Eb5q C5 | [Fm7] C5w", "E7"),
    "one note ahead of the chord is an anticipation": (
        "[Ebmaj7] G4q Bb4 Eb5 G4e C#5~ | [A7] C#5q E5 A4 E4 | [Dm7] D4w",
        "",
    ),
    "common tones are neither early nor late": (
        "[Cmaj7] E4q G4 C5 E5 | [Am7] C5q E5 A4 C5 | [Fmaj7] A4q C5 E5 C5",
        "",
    ),
    "one colour only": ("[Dm7] D5e C5 A4 F4 Eb4 D4 F4 A4 | [G7] B4e D5 F5 Ab5 G5 F5 D5 B4 | [Cmaj7] E5w", ""),
}


def place(score: Score, device: Device) -> tuple[str, str]:
    """Where a device's first and last notes are struck."""
    onsets = {note.id: note.onset for note in score.struck}
    last = format_position(score, onsets[device.notes[-1]]) if device.notes else ""
    return format_position(score, device.span.start), last


def fits(score: Score, device: Device, wanted: tuple[str, str, str, str]) -> bool:
    kind, first, last, detail = wanted
    here = place(score, device)
    return (
        device.kind == kind
        and first in ("", here[0])
        and last in ("", here[1])
        and (detail == device.detail or not detail or detail in device.detail.split("-"))
    )


@pytest.mark.parametrize("name", SITUATIONS)
def test_a_situation_has_its_devices(tune, name: str) -> None:
    text, wanted, unwanted = SITUATIONS[name]
    score = tune(text)
    found = analyse(score).devices
    for each in wanted:
        assert any(fits(score, device, each) for device in found), [(d.kind, place(score, d)) for d in found]
    assert not {device.kind for device in found} & set(unwanted)


@pytest.mark.parametrize("name", FURTHER)
def test_a_device_is_told_from_what_is_like_it(tune, name: str) -> None:
    text, wanted, unwanted, metre = FURTHER[name]
    kinds = {device.kind for device in analyse(tune(text, metre)).devices if device.confidence >= 0.4}
    assert set(wanted) <= kinds
    assert not kinds & set(unwanted)


@pytest.mark.parametrize("name", PROPOSALS)
def test_chords_are_heard_as_one_only_where_the_line_says_so(tune, name: str) -> None:
    text, wanted = PROPOSALS[name]
    found: Analysis = analyse(tune(text))
    assert [in_ascii(chord_text(each.hear)) for each in found.proposals] == ([wanted] if wanted else [])


@pytest.mark.parametrize(
    ("line", "metre", "text"),
    [
        (
            "[Cmaj7] C4e E4 G4 C4 E4 G4 C4 E4 | G4 C4 E4 G4 C4 E4 G4q | C4w",
            "4/4",
            "five groups of 3, which begin at another place of the bar each time.",
        ),
        (
            "[Cmaj7] C4e E4 G4 C4 E4 G4 | C4 E4 G4 C4 E4 G4 | C4h.",
            "3/4",
            "four groups of 3 against the beat, two to a bar.",
        ),
    ],
)
def test_a_cross_rhythm_says_what_it_goes_against(tune, line: str, metre: str, text: str) -> None:
    found = analyse(tune(line, metre=metre)).devices
    assert [each.text for each in found if each.kind == "cross rhythm"] == [f"A cross rhythm: {text}"]


def test_what_the_author_hears_is_not_proposed_again(tune) -> None:
    text, _ = PROPOSALS["alt before V"]
    score = tune(text)
    (found,) = analyse(score).proposals
    assert analyse(score, [(found.span.start, found.span.end, found.hear)]).proposals == ()


def test_a_cross_rhythm_ends_where_its_rhythm_does(tune) -> None:
    """Three groups of a quarter and two eighths in three four time; the triplet after them is no fourth."""
    score = tune("[Am7] C5q A4e E4 C5q | [D7] A4e F#4 C5q A4e F#4 | [Gmaj7] B4t C5 D5 F#5q A5 | G5h.", "3/4")
    (found,) = (device for device in analyse(score).devices if device.kind == "cross rhythm")
    assert found.span.end == score.bars[2].start
    assert [len(group) for group in found.groups] == [3, 3, 3]
    assert found.text.startswith("A cross rhythm: three groups of 2 plus 1 plus 1,")


def test_every_device_keeps_to_its_contract(tune) -> None:
    """Known kinds, sentences, a confidence, and notes of the score in time."""
    for text, _, _ in SITUATIONS.values():
        score = tune(text)
        onsets = {note.id: note.onset for note in score.struck}
        for device in analyse(score).devices:
            assert device.kind in DEVICES
            assert device.text.endswith(".") and device.text[0].isupper()
            assert 0 < device.confidence <= 1
            times = [onsets[name] for name in device.notes]
            assert times == sorted(times)
            assert {name for group in device.groups for name in group} <= set(device.notes)


@pytest.mark.parametrize(
    ("said", "kind"),
    [
        ("Hemiola", "cross rhythm"),
        ("guide tones", "guide-tone line"),
        ("2-5-1", "two five one"),
        ("wobble", None),
    ],
)
def test_a_device_goes_by_other_names(said: str, kind: str | None) -> None:
    assert device_kind(said) == kind


@pytest.mark.parametrize(
    "text", ["r", "C4w", "[N.C.] C4q D4 E4 F4", "[Cmaj7] r", "[G7] B4w~ | B4w", "[C] C4t D4 E4 F4 G4 A4"]
)
def test_little_or_nothing_is_no_trouble(tune, text: str) -> None:
    found = analyse(tune(text))
    assert all(device.notes or device.span.end > device.span.start for device in found.devices)

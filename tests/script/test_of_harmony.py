"""What a sentence says of keys, chords, devices and notes that all go one way is lit where it is so, else a fault."""

import pytest

from tests.tools.sentence_sets import judge_items


def read_of(score: str, bars: str, say: str) -> tuple[str, ...]:
    (judged,) = judge_items([{"score": f"{score}.musicxml", "bars": bars, "say": say, "read": []}])
    return judged.read


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "copper-weathervane-2",
            "28-31",
            "Every one of those ninths falls by step to the fifth of the chord that follows.",
            "'28.4& 29.4& 30.4&'",
        ),
        (
            "slate-harbour",
            "17-20",
            "Each seventh goes down to the third of the next chord.",
            "'18.1 19.1 20.1'",
        ),
        ("slate-harbour", "3-5", "It's a two five one in major.", "fault 'two five one in major'"),
        ("slate-harbour", "3-5", "It's a two five one in minor.", "lit 'two five one'"),
        (
            "slate-harbour",
            "4-4",
            "Without its root, bar four is a diminished seventh chord.",
            "4.2& 4.3 4.3&",
        ),
        ("slate-harbour", "1-24", "The highest note is in bar 2.", "fault 'the highest note is in bar 2'"),
        ("copper-weathervane-2", "5-6", "The G flat arpeggio climbs to the seventh.", "fault 'arpeggio'"),
        ("copper-weathervane-2", "7-9", "Most of bar eight is empty.", "'8.1-8.3'"),
        (
            "copper-ferrule-2",
            "13-17",
            "The F seven in bar sixteen goes straight to B flat.",
            "fault 'b flat'",
        ),
        ("copper-ferrule-2", "13-17", "The F seven goes straight to F minor.", "('16-17',"),
        (
            "copper-ferrule-2",
            "13-16",
            "The sequence climbs a fourth every time.",
            "fault 'sequence climbs a fourth",
        ),
        ("marl-pit-waltz", "3-5", "It's a Lydian dominant sound.", "'lydian dominant scale@4'"),
        ("marl-pit-waltz", "9-12", "Bar eleven has the motif once more.", "'11.1 11.2& 11.3'"),
        ("marl-pit-waltz", "1-16", "The tune moves to the key of B flat.", "fault 'the tune moves to"),
        ("marl-pit-waltz", "9-11", "A secondary dominant takes us to F.", "fault 'secondary dominant takes"),
        ("marl-pit-waltz", "9-11", "A secondary dominant takes us to G.", "'secondary dominant@10'"),
        (
            "gaslight-errand",
            "8-9",
            "Bar eight, a triad from a tritone away, and the thirteenth in bar nine.",
            "@8.1",
        ),
        ("gaslight-errand", "17-20", "The key goes down from B flat to A.", "('18-20',"),
        ("gaslight-errand", "17-20", "B flat major goes to A major, a semitone down.", "('17-20',"),
        (
            "the-tin-heron",
            "19",
            "The bottom note stays put while the top one walks up.",
            "fault 'bottom note stays'",
        ),
        (
            "the-tin-heron",
            "19",
            "The top note stays put while the lower one walks up.",
            "fault 'top note stays'",
        ),
        (
            "gaslight-errand",
            "37-38",
            "Groups of three over the four, a classic hemiola.",
            "fault 'groups of three'",
        ),
        ("gaslight-errand", "37-38", "Groups of five over the four, a classic hemiola.", "lit 'hemiola'"),
        ("the-tin-heron", "15", "We are in locrian natural two.", "'locrian natural 2 scale@15'"),
        (
            "gaslight-errand",
            "39-42",
            "The top note stays while the line under it creeps down.",
            "'oblique motion@40'",
        ),
    ],
)
def test_what_is_said_of_chords_and_devices_is_held_against_them(score, bars, say, found) -> None:
    assert any(found in each for each in read_of(score, bars, say))


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("slate-harbour", "13-16", "Now there are four bars of nothing but G minor seven."),
        ("slate-harbour", "21-22", "The top notes, G and G flat, slip by a half step."),
        ("copper-ferrule-2", "1-3", "It resolves to the major tonic."),
        ("copper-ferrule-2", "8-9", "From a flat-five two to the dominant, and a minor home chord."),
        ("the-tin-heron", "15", "We are in locrian natural two."),
        ("gaslight-errand", "25-26", "The line creeps up in half steps to the ninth of the next chord."),
        ("gaslight-errand", "37-38", "Groups of five over the four, a classic hemiola."),
        ("gaslight-errand", "44", "That's it for today; next week we'll look at suspensions in a ballad."),
        ("marl-pit-waltz", "3-5", "It's a major scale with its fourth raised."),
        ("marl-pit-waltz", "1-3", "A passing tone, a connector by step between two chord tones."),
    ],
)
def test_what_is_so_or_said_of_chords_and_scales_is_no_fault(score, bars, say) -> None:
    assert not any(each.startswith("fault") for each in read_of(score, bars, say))

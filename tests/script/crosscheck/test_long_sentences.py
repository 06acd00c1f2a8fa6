"""Sentences with several claims: each part is held against what it speaks of, and a true one is not called false."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("night-tram", "4-5", "F, the flat seven of G, falls to B and A flat, and then C minor starts on its third."),
        ("gatepost", "5-6", "C seven starts with E, the third, and falls to G by way of two altered notes."),
        ("kettle-street", "6", "The diminished chord goes up from its root to D flat, and then back the same way."),
        ("harbour-ledger", "10", "The A flat chord comes in on beat two with its ninth, and then goes on."),
        ("kettle-street", "9-10", "C minor dips to the root, and F seven comes in on the and of one."),
        ("salt-lantern", "4", "The third is boxed in by G and F, it holds for a beat, and then comes E flat."),
        ("thistle", "2-3", "The line goes down the chord to B, then F and D surround E flat."),
        ("heron", "10-11", "The triplet rises to the sharp nine, D comes next, and then C sharp."),
        ("ropewalk", "2", "Two long notes, D and C, each a beat and a half, and the rest of the bar is silent."),
        ("brass-umbrella", "3-4", "Bar three is bar one again, note for note, but bar four walks down to B flat."),
        ("ferry-3", "9", "You never get the F itself, since the tune starts on the third."),
        ("biscuit", "16", "The G, the third, waits till beat two, and after that a flat nine jumps out."),
        ("lantern-walk", "12-13", "A flat seven ties over into the G bar and falls to its third."),
        ("ferrystone", "26-27", "D flat major runs up to the ninth, which drops a half step to D."),
        ("gatepost", "12", "D is held for a while, and then there's a walk from C, up to D flat, down to C flat."),
        ("lamps-on-the-jetty", "11-12", "Both bars are D flat, the first starts on its third, the second on the root."),
        ("harbour-glass", "6", "Down we go through D flat, seventh, thirteenth, fifth and sharp eleven, to its third."),
        ("night-tram", "15", "This whole bar goes down from E flat to C sharp, and its highest note is the first."),
        ("paper-umbrellas", "1-2", "D flat goes up to the ninth and steps down to a long root."),
        ("ferrystone", "28", "Root, third, fifth of G7, then flat seven and flat nine, and we come back down."),
        ("tin-rooster", "4-5", "Four sixteenths fly up from G to E, and the A minor starts on its flat seven."),
        ("ferry-3", "2-3", "The E gets squeezed from F and D sharp, that's the fifth, and then B comes off the beat."),
        ("ferrystone", "3-4", "It goes from root to flat third, then B flat's thirteenth sinks to its fifth."),
        ("cobblers-lantern", "3-4", "C minor peaks on D, its ninth, and then comes down to G, and F seven follows."),
        ("pantry-window", "5", "G is a quarter note, F and D sharp then surround the third."),
        ("shutters", "1-2", "D minor climbs F, A, C, E, and the E is held for a beat and a half."),
        ("paper-lantern", "18-19", "The C is kept, but the A below goes down to A flat."),
        ("alibi", "15-16", "That C is held for a beat and a half, then it rises to G, and E flat minor begins late."),
        ("kites", "8", "B flat leaps down to the sharp eleven, and ends on an A that's tied across the bar line."),
        ("gatepost", "11", "C slides down in half steps to B flat, then A flat and F, and a triplet climbs."),
        ("paperferry", "6", "F lasts a beat and a half, E flat is just an eighth, and D is held."),
        ("paperferry", "12", "Third, ninth, root, all going down, and then an unexpected leap to D."),
        ("lantern-waltz", "12-13", "C minor strolls down to G, and F seven picks up on A and climbs to its ninth, G."),
        ("slate-roof-rain", "4-5", "Two chords, E flat minor going down and D seven climbing, and then A flat."),
        ("night-tram", "10-11", "B flat, the flat thirteen, drops to the third, and a sharp nine follows."),
        ("gatepost", "11", "From there a triplet climbs, root, flat third and fifth, to E flat."),
    ],
)  # fmt: skip
def test_what_is_true_in_all_its_parts_is_not_called_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("night-tram", "4-5", "F, the flat seven of G, falls to B flat and A flat, and then C minor starts.", "b flat"),
        ("kettle-street", "6", "The diminished chord goes down from its root to G, and back up.", "g"),
        (
            "harbour-ledger",
            "10",
            "The A flat chord comes in on beat three with its ninth, and then goes on.",
            "a flat chord comes in on beat three",
        ),
        ("kettle-street", "9-10", "C minor dips, and F seven comes in on the and of three.", "on the and of three"),
        ("thistle", "2-3", "The line goes down the chord to B, then F and C surround E flat.", "c"),
        ("heron", "10-11", "The triplet rises to the sharp nine, D, and then comes C sharp.", "d"),
        ("brass-umbrella", "3-4", "Bar three is bar two again, note for note, but bar four walks down.", "is bar two"),
        ("ferry-3", "9", "You never get the F itself, since the tune starts on the fifth.", "fifth"),
        ("ferrystone", "26-27", "D flat runs up to the ninth, which drops a whole step to D.", "drops a whole step"),
        ("gatepost", "12", "D is held for two and a half beats, then it walks.", "is held for two and a half beats"),
        ("copper-lane", "12", "C seven climbs third, fifth, flat seven and natural nine.", "natural nine"),
        ("night-tram", "1", "The melody's first E comes right on beat two.", "e comes right on beat two"),
        ("lamps-on-the-jetty", "11-12", "Both of these bars start on the third.", "third"),
        ("night-tram", "15", "This whole bar goes up from E flat to C sharp.", "goes up"),
    ],
)  # fmt: skip
def test_what_is_false_in_one_part_still_is(read, score, bars, say, fault):
    found = read(f"{score}.musicxml", bars, say)
    assert any(f"{status} '{fault}'" in found for status in ("fault", "question"))

"""What begins, ends or is longest, and which way a note goes, is lit where it is so, and else a fault."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("lamplighter", "9-9", "The E flat major measure opens on its own third.", "'9.1'"),
        ("copper-kettle-blues", "17-17", "The longest note is the flat seven.", "'17.4'"),
        ("turnstile-sprint", "23-24", "The piece comes to rest upon the root.", "'24.2'"),
        ("turnstile-sprint", "23-24", "The line comes to rest on the fifth.", "'23.3'"),
        ("herons", "12-12", "The E7 lick starts on the third.", "'12.1'"),
        ("turnstile-sprint", "11-11", "The first four notes walk down the scale, third first.", "'11.1'"),
        ("harbour-lamps", "20-20", "The diminished chord is spelled out from its root upward.", "'20.1'"),
        ("late-ferryman", "20-20", "Over the G7 we go straight up the chord from the third.", "'20.3'"),
        ("harbour-lamps", "3-3", "An arpeggio from the third, with the ninth on top.", "'3.2&'"),
    ],
)
def test_what_is_so_is_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)
    assert "fault" not in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("lamplighter", "9-9", "The E flat major measure opens on its own major seventh.", "('3@9.1'"),
        ("copper-kettle-blues", "5-5", "The fifth is the longest note of this bar.", "('3@5.1'"),
        ("kettle-2", "18-18", "The root is the very first note you play in eighteen.", "('bb7@18.2'"),
        ("turnstile-sprint", "23-24", "The piece comes to rest upon the fifth.", "('1@24.2'"),
        ("herons", "12-12", "The E7 lick starts on the flat seven.", "('3@12.1'"),
        ("turnstile-sprint", "11-11", "The first four notes walk down the scale, root first.", "('b3@11.1'"),
        ("harbour-lamps", "20-20", "The chord is spelled out from its third upward.", "('1@20.1'"),
        ("late-ferryman", "20-20", "Over the G7 we go straight up the chord from the root.", "('3@20.3'"),
        ("harbour-lamps", "3-3", "An arpeggio from the third, with the seventh on top.", "('9@3.2&'"),
        ("harbour-lamps", "5-9", "The phrase ends in measure nine on the root.", "('5@9.1'"),
        (
            "four-doors",
            "30-31",
            "At the end of bar thirty the F flat pushes up to an F.",
            "fault 'f'",
        ),
        (
            "lamplighters-round",
            "12-13",
            "The flat thirteen drops a half step into the next note.",
            "fault 'drops",
        ),
        ("lantern-weather", "8-9", "The C flat in bar eight jumps up a fourth.", "fault 'jumps up a fourth'"),
        ("lantern-at-the-weir", "7-8", "The suspension resolves upwards, to the fifth.", "fault 'resolves'"),
        ("lantern-ferry", "31-31", "The sixth goes up to the seventh in this measure.", "fault 'seventh'"),
        ("four-doors", "28-28", "Measure twenty-eight descends by thirds.", "fault 'descends by thirds'"),
        ("harbour-lamps", "3-3", "The arpeggio in the third measure descends.", "fault 'arpeggio in"),
        ("harbour-lamps", "3-3", "We come down an arpeggio in bar three.", "fault 'arpeggio'"),
        ("harbour-lamps", "3-3", "Bar three falls through an arpeggio.", "fault 'arpeggio'"),
        ("kettle-2", "13-13", "Bar thirteen is one half note on the third.", "fault 'third'"),
        ("kettle-2", "13-13", "The half note in thirteen is a ninth.", "('9@13'"),
        ("lantern-weather", "14-14", "There's a half note on the root at the end.", "('5@14.3'"),
        ("lantern-ferry-2", "31-31", "Every note over the B flat belongs to the chord.", "fault 'the chord'"),
        (
            "lantern-weather",
            "16-16",
            "There's not one altered note on the A seven.",
            "fault 'not one altered",
        ),
        ("lantern-at-the-weir", "8-8", "Nothing is altered over this A seven.", "fault 'nothing is altered'"),
        ("lantern-at-the-weir", "8-8", "Bar eight has no tensions at all.", "fault 'no tensions'"),
        ("turnstile-sprint", "17-19", "A flat ninth is heard over the D seven.", "fault 'flat ninth'"),
        (
            "turnstile-sprint",
            "3-3",
            "Bar three is full of eighth notes from beginning to end.",
            "fault 'full",
        ),
        ("kettle", "12", "Bar twelve is full of eighth notes.", "fault 'full of eighth notes'"),
        ("cobblers-lantern", "12-12", "Count five notes in bar twelve.", "fault 'five notes'"),
        ("grey-sluice", "5-5", "The G major bar has four notes.", "fault 'four notes'"),
        ("tin-rooster", "1-4", "Count bar three for me: six notes.", "fault 'six notes'"),
        ("gatepost", "9-10", "There are three rests in bar nine, so breathe!", "fault 'three rests'"),
        ("tarpaulin", "14", "Not one chord tone in the whole measure.", "fault 'not one chord tone'"),
        ("weirlamps", "19-19", "The D7 in measure nineteen is left unaltered.", "fault 'unaltered'"),
        ("tin-roof", "13-14", "Every note in thirteen and fourteen lands on the beat.", "fault 'lands on"),
        ("lampoil", "21-24", "Bar twenty-two is made entirely of triplets.", "fault 'triplets'"),
        ("ropewalk", "11-12", "And it lands on the root of F, nice and solid.", "fault 'root'"),
        ("ninthlamp", "11-11", "In this bar the sixth is the flat one.", "fault 'sixth is the flat one'"),
        ("ninthlamp", "6-6", "The upper structure is an A flat major triad.", "fault 'a flat major triad'"),
        ("kettle-2", "10-10", "This is all C altered in bar ten.", "fault 'c altered'"),
        ("kettle-2", "10-10", "We have B flat seven in bar ten.", "fault 'b flat seven'"),
        ("kettle-2", "15-15", "Fifteen is a run of straight sixteenths.", "fault 'sixteenths'"),
        ("kettle-street", "18-18", "Root of the diminished on the one, easy.", "fault 'root'"),
        (
            "kettle-street",
            "10-10",
            "The root's there on the downbeat, so you always know it.",
            "fault 'root'",
        ),
        ("four-doors", "19-20", "Measure twenty is silent throughout.", "fault 'is silent throughout'"),
        ("four-doors", "2-2", "The line climbs to the eleventh before turning back.", "fault 'eleventh'"),
        (
            "lantern-at-the-weir",
            "20-20",
            "The chord here is an ordinary F sharp minor.",
            "fault 'f sharp minor'",
        ),
    ],
)
def test_what_is_not_so_is_a_fault(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("harbour-lamps", "20-20", "Root first, then the third."),
        ("four-doors", "30-31", "At the end of bar thirty the F flat falls to the E flat."),
        ("lamplighters-round", "12-13", "Does the flat thirteen drop a half step into the next note?"),
        ("lantern-weather", "8-9", "The C flat in bar eight falls into place."),
        ("lantern-at-the-weir", "7-8", "The suspension resolves downwards."),
        ("elevator", "2-3", "Then the elevator goes down."),
        ("harbour-lamps", "3-3", "After the fall there is an arpeggio in bar three."),
        ("harbour-lamps", "3-3", "The arpeggio falls on beat one."),
        ("harbour-lamps", "3-3", "She drops a quick arpeggio here."),
        ("kettle-2", "13-13", "Bar thirteen is one half note on the fifth, then silence."),
        ("lantern-at-the-weir", "8-8", "There are no altered notes until the last beat."),
        ("lantern-at-the-weir", "7-7", "No altered notes in bar seven."),
        ("lantern-at-the-weir", "8-8", "You don't need altered notes here."),
        ("ninthlamp", "11-11", "The sixth here is the natural one."),
        ("slow_kettle_harbour", "9-12", "Bar ten has the only triplet in the whole piece."),
        ("rivet", "15-16", "And we finally land on the third of B flat."),
        ("cobblers-lantern", "12-12", "Count six notes in bar twelve."),
        ("kettle", "6", "There is one rest in bar six."),
        ("tin-roof", "13-14", "Not every note in thirteen and fourteen lands on the beat."),
        ("kettle-2", "10-10", "It's C seven in bar ten."),
        ("kettle-2", "10-10", "We have B flat seven just before bar ten."),
        ("four-doors", "2-2", "The line climbs to the ninth."),
        ("four-doors", "1-1", "The line climbs to the third."),
    ],
)
def test_what_is_so_asked_or_of_something_else_is_never_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)

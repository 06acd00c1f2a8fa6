"""What a sentence says of a bar's ends, its chord, its notes and a note's name is lit where it is so, else a fault."""

import pytest


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("late-ferryman", "1-1", "In bar one you come in on two.", "'1.2'"),
        ("late-ferryman", "13-14", "The new phrase begins on the second beat of fourteen.", "'14.2'"),
        ("slate-and-candle", "9-9", "Then a new phrase kicks off on three.", "'9.3'"),
        ("slate-and-candle", "19-19", "Measure nineteen has five notes.", "'19.1 19.1& 19.2 19.2& 19.3'"),
        ("late-ferryman", "4-5", "The F sharp goes up a half step to the G.", "'5.1'"),
        ("estuary-lamps", "19-19", "The seventh alternates with the fifth.", "'19.1 19.2& 19.4'"),
        ("estuary-lamps", "19-19", "The fifth and the seventh take turns.", "'19.1& 19.3 19.4&'"),
        (
            "estuary-lamps",
            "19-19",
            "Accents off the beat: one, then the and of two, then four.",
            "'19.1 19.2& 19.4'",
        ),
        ("biscuit-tin-parade", "8-8", "Both kinds of ninth are here.", "('9,b9@8',"),
        ("lamplighter", "22-24", "The G seven resolves to C minor in bar twenty-three.", "('22-23',"),
        ("biscuit", "7-7", "E flat is in the bass.", "('7.1-7.2',"),
        ("lamplighter", "3-4", "We have the two and the five here.", "('3-4',"),
        ("lamplighter", "7-8", "The melody climbs a half step to the third.", "'7.2'"),
        ("lamplighter", "1-5", "The first phrase is short, it's over by the end of bar two.", "('1-2',"),
        ("lamplighter", "1-2", "The first two bars are one phrase.", "('1-2',"),
        ("lamplighter", "21-22", "Does the seventh sound tired to you?", "'22.3&'"),
        ("lamplighter", "3-4", "And over the G, third, fifth, seventh, flat nine.", "'4.1 4.1& 4.2 4.2&'"),
        ("lamplighter", "3-4", "The G7 here wants C harmonic minor.", "'harmonic minor scale@4'"),
        ("lamplighter", "22-23", "The third of G7 goes up a half step to C.", "'23.1'"),
        ("lamplighter", "22-23", "The leading tone at the end of twenty-two goes home to C.", "'23.1'"),
        ("lamplighter", "12-13", "F is held over the bar line.", "'12.4&'"),
        ("lamplighter", "12-13", "The seventh of the five falls to the third of the one.", "'13.2'"),
        ("copper-kettle-blues", "18-19", "B flat seven is the back door into C.", "('18',"),
        ("lantern-waltz", "9-12", "The flat nine begins bar nine and, an octave down, ends it.", "'9.1 9.3'"),
        (
            "slate-and-candle",
            "14-14",
            "We meet the sharp ninth and then, at once, the flat ninth.",
            "'14.2&'",
        ),
        (
            "lanterns",
            "4-5",
            "In bar four we lean on the flat nine on beat four, and that flat nine falls.",
            "'4.4'",
        ),
    ],
)
def test_what_is_so_is_lit(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("biscuit", "7-7", "C is in the bass in bar seven.", "fault 'c is in the bass'"),
        (
            "cellar-blues",
            "19-19",
            "The highest note is the B flat, flat nine in bar ninety, and you hear it twice.",
            "fault 'bar ninety'",
        ),
        ("lamplighter", "4-4", "Nothing altered in bar four.", "fault 'nothing altered'"),
        (
            "lamplighter",
            "17-20",
            "There's a flat thirteenth hidden in this sequence.",
            "fault 'flat thirteenth'",
        ),
        ("lamplighter", "7-8", "The line leaps up an octave to the root.", "fault 'leaps up an octave"),
        ("lamplighter", "21-21", "Here the second beat is split into a triplet.", "fault 'triplet'"),
        ("lamplighter", "16-16", "Count the three rests in bar sixteen.", "fault 'three rests'"),
        ("lamplighter", "14-14", "In bar fourteen it runs up to the ninth and comes back.", "fault 'ninth'"),
        ("lampoil", "9-10", "The B flat chord is a half diminished, hear the C.", "fault 'half diminished'"),
        ("lampoil", "5-8", "The natural thirteenth on the G seven wants some warmth.", "('13@7'"),
        ("ropewalk", "11-12", "It lands on the third of F.", "('3@12'"),
        ("jetty", "13-13", "In bar thirteen there's a thirteenth on the and of one.", "('13@13'"),
        ("kites", "3-3", "Root's on beat four.", "('1@3'"),
        ("jetty", "14-14", "The D in bar fourteen is the root.", "fault 'root'"),
        ("jetty", "14-14", "B is the ninth of G seven.", "fault 'ninth'"),
        ("jetty", "2-2", "The ninth comes right before the minor third.", "fault 'minor third'"),
        (
            "lamplighters-stair",
            "16-17",
            "The sharp nine goes directly to the root of the one chord.",
            "fault 'root'",
        ),
        ("jetty", "10-10", "In bar ten you're playing over D minor seven.", "fault 'd minor seven'"),
        (
            "harbour-glass",
            "5-6",
            "That's a D flat seven, by the way, for both of these bars.",
            "fault 'd flat seven'",
        ),
        ("the-tin-heron", "4-4", "Bar four is made of nine notes.", "fault 'nine notes'"),
        ("the-tin-heron", "1-2", "In bar two we're on G minor seven.", "fault 'g minor seven'"),
        ("the-tin-heron", "3-3", "And the flat thirteen is followed by the root.", "fault 'root'"),
        ("gaslight-errand", "5-8", "In bar five the line droops a third.", "fault 'droops a third'"),
        ("tarpaulin", "17-17", "The pickup at the tail end is the root.", "('1@17'"),
        ("rivet", "4-4", "The G right at the end of the measure is the thirteenth.", "('9@4.4&'"),
        ("late-ferryman", "9-9", "And the bar finishes on the thirteenth.", "('#11@9.4'"),
        ("late-ferryman", "12-12", "The D altered bar begins on the root.", "('#9@12.1'"),
        ("slate-and-candle", "14-14", "Altered again, and we start it on the flat thirteen.", "('3@14.1'"),
        ("slate-and-candle", "20-20", "On the D flat chord the first note is the root.", "('b7@20.3'"),
        ("late-ferryman", "22-22", "The A natural on beat four is the flattened thirteenth.", "('13@22.4'"),
        ("late-ferryman", "20-21", "The flat nine of G seven resolves upward to the fifth.", "('1@21.1'"),
        ("pigeon-loft", "17-17", "We arrive in bar seventeen on the root.", "fault 'root'"),
        ("pepper-alley", "17-20", "Bar twenty opens squarely on the downbeat.", "('20.3'"),
        ("late-ferryman", "7-7", "Bar seven holds five notes, and no more.", "fault 'five notes'"),
        (
            "ladder-street",
            "29-32",
            "Bar thirty is nothing but eighths.",
            "fault 'nothing but eighths'",
        ),
        (
            "marzipan-weather",
            "1-6",
            "The first phrase is nine bars long.",
            "fault 'first phrase is nine bars long'",
        ),
        ("corner-blues", "9-12", "Bar nine is a major chord.", "fault 'major chord'"),
        ("corner-blues", "9-12", "Bar nine is B half-diminished.", "fault 'b half-diminished'"),
    ],
)
def test_what_is_not_so_is_a_fault(read, score, bars, say, fault):
    assert "fault" in read(f"{score}.musicxml", bars, say)
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("marzipan-weather", "1-6", "The first phrase is about nine bars long."),
        ("late-ferryman", "9-9", "Does the bar finish on the thirteenth?"),
        ("late-ferryman", "7-7", "Bar seven holds two notes leading into eight."),
        ("late-ferryman", "7-7", "Bar seven has about five notes."),
        ("corner-blues", "9-12", "Is bar nine a major chord?"),
        ("corner-blues", "9-12", "Bar nine is a major event."),
        ("pepper-alley", "17-20", "The phrase before starts on the downbeat of twenty."),
        ("copper-lane", "21-24", "The tied E flat is a sus four over the next chord."),
    ],
)
def test_what_is_asked_hedged_or_of_something_else_is_never_false(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("kites", "3", "Root's on beat four.", "fault 'root'"),
        ("kettle-street", "15", "The enclosure goes home to the root on beat four.", "fault 'root'"),
        ("biscuit-2", "5", "There's a high F sharp on the last beat of bar five.", "fault 'f sharp'"),
        ("gatepost", "6", "We hit a lovely D natural on the and of one.", "fault 'd natural'"),
    ],
)
def test_a_note_that_is_not_on_the_beat_right_after_it_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize("say", ["A big ninth on beat four.", "There's a high C on beat four."])
def test_a_note_that_sounds_on_into_its_beat_is_not_false(read, say):
    assert "fault" not in read("orchard-clock.musicxml", "9", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("kites", "6-7", "Flat nine goes up to D in the next bar.", "fault 'd'"),
        ("kites", "8-9", "The suspended A resolves upward to B flat.", "fault 'b flat'"),
        (
            "lamplighters-stair",
            "16-17",
            "The sharp nine goes directly to the root of the one chord.",
            "fault",
        ),
        ("orchard-clock", "2", "The sharp eleven falls straight to the third.", "fault 'third'"),
    ],
)
def test_a_note_that_goes_elsewhere_than_is_said_is_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say"),
    [
        ("rivet", "1", "Over the G7 we come in on the flat nine and walk straight down to the third."),
        ("harbour-glass", "3-4", "On the E minor eleven we open with the five and run up to the eleventh."),
        ("gatepost", "3", "The eleventh falls by way of the ninth to the third."),
    ],
)
def test_a_run_to_a_note_need_not_go_there_at_once(read, score, bars, say):
    assert "fault" not in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("bars", "say", "fault"),
    [
        ("1-8", "You hear three flat nines before we're done.", "fault 'flat nines'"),
        ("6", "Two sharp elevens over the B flat seven.", "fault 'sharp elevens'"),
        ("1-2", "The root comes three times.", "fault 'root'"),
    ],
)
def test_a_count_that_all_that_is_shown_falls_short_of_is_false(read, bars, say, fault):
    assert fault in read("orchard-clock.musicxml", bars, say)


@pytest.mark.parametrize(
    "say", ["Maybe two sharp elevens over the B flat seven.", "Are there two sharp elevens?"]
)
def test_a_count_in_doubt_is_never_false(read, say):
    assert "fault" not in read("orchard-clock.musicxml", "6", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("weir", "7-8", "The flat nine falls a whole step to the fifth.", "fault 'fifth'"),
        ("weir", "7-8", "The flat nine goes down a minor third to the D.", "fault 'd'"),
        ("paperclip", "6", "The sharp eleven jumps up a third to the fifth.", "fault 'fifth'"),
        ("weir", "10", "From the flat thirteen it's a whole step down to the fifth.", "fault 'fifth'"),
        ("kites", "10", "The third of the A chord is lowered in this bar.", "fault 'third'"),
        ("kites", "8", "The fourth degree is natural here.", "fault 'fourth degree is natural'"),
        ("weir", "1-2", "You never hear the root in these two bars.", "fault 'root'"),
        ("pantry-light", "14", "They give you the natural nine on the F7.", "fault 'natural nine'"),
    ],
)
def test_how_far_a_note_goes_and_how_a_degree_is_altered_may_be_false(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("weir", "7-8", "The flat nine drops a half step to the fifth of G minor.", "'8.1'"),
        ("kites", "12", "The sharp nine drops to the flat nine, and the flat nine to the root.", "'12.4'"),
        ("kites", "1-2", "The ninth appears between the third and the seventh in bar one.", "'1.3&'"),
        ("kites", "12", "Two ninths, a flat one and a sharp one.", "'12.3'"),
        ("weir", "1", "We open on the tonic, G, and climb.", "'1.1'"),
        ("glasshouse-letter", "11", "A minor seven flat five, so watch out.", ""),
        (
            "lantern-quay",
            "4",
            "Flat nine, flat seven, flat thirteen: the three of them fall.",
            "'4.2 4.2& 4.3'",
        ),
    ],
)
def test_a_note_by_what_stands_round_it(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told
    assert "minor seven" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "under-the-slipway",
            "13",
            "Above that the tune goes three, nine, one, nine.",
            "'13.1 13.2 13.3 13.4'",
        ),
        ("paperclip", "9-10", "Every D in bar nine is the third.", "'9.2 9.3&'"),
        ("kites", "6", "D over G minor is the fifth, E over C is the third.", "'6.3'"),
        ("kites", "6", "The D natural over G minor, the D flat over C.", "'6.4&'"),
        ("marmalade_ferry", "9", "The seventh comes last.", "'9.4'"),
        (
            "late-ferry",
            "9-12",
            "The C sharp over G major is the lydian note, the raised fourth.",
            "raised fourth' ('#11@9.2&'",
        ),
    ],
)
def test_notes_over_a_pedal_over_a_chord_and_each_of_a_name(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("kites", "7", "There isn't an A in this bar.", "fault 'a'"),
        ("kites", "7", "No A in bar seven.", "fault 'a'"),
        ("marmalade_ferry", "9", "The root comes last.", "fault 'root'"),
    ],
)
def test_a_note_that_is_denied_or_said_to_be_last(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize("say", ["There's no F in this bar.", "You won't hear an F sharp here."])
def test_a_note_that_is_rightly_denied_is_nothing(read, say):
    assert "'" not in read("kites.musicxml", "7", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("paperclip", "4", "The first note is the flat nine and the last one is the fifth.", "'4.3&'"),
        ("pretzel-avenue", "6", "The thirteenth is on the first beat, and again on the third.", "'6.1 6.3'"),
        ("kites", "10", "Third on one, flat nine on two, root on four.", "'10.4'"),
        ("kites", "3-4", "Two notes to know: C in bar three, B flat in the next bar.", "'3.3'"),
    ],
)
def test_places_and_ends_that_are_said_in_short(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


def test_a_denial_over_a_chord_that_is_named_twice_may_be_false(read):
    say = "There's the seventh of C, the third of C, and no fifth."
    assert "fault 'fifth'" in read("glasshouse-letter.musicxml", "12", say)


def test_a_double_flat_stands_in_a_row(read):
    say = "The diminished chord, from the bottom: root, flat three, flat five, double flat seven."
    assert "'root, flat three, flat five, double flat seven'" in read("copper-otter.musicxml", "6", say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        (
            "copper-lane",
            "14",
            "With respect to B flat seven, the E flat functions as the major third.",
            "major third",
        ),
        ("copper-lane", "14-16", "Honestly, that eleventh in bar fourteen is a D and I love it.", "d"),
        ("pantry-light", "5", "Put your finger on the C. It's the root of B flat minor seven.", "root"),
        ("pantry-light", "17", "G against F major seven makes the major seventh.", "major seventh"),
        (
            "ropewalk",
            "14",
            "F on beat two. What's that? That's the raised eleventh of D flat.",
            "raised eleventh",
        ),
        (
            "pantry-light",
            "22",
            "Of all the notes here, it's the sharp eleven that reaches the highest.",
            "sharp eleven",
        ),
        ("pantry-light", "18", "The bottom of bar eighteen belongs to the fifth.", "fifth"),
        ("ropewalk", "8", "Stay on the thirteenth, it's the longest of the bar.", "thirteenth"),
        ("ropewalk", "3", "By the time bar three is over you have arrived at the fifth.", "fifth"),
        ("ropewalk", "9-12", "Right off the bat bar nine gives you the thirteenth.", "thirteenth"),
        ("copper-lane", "1", "Bar one gets going with the fifth, and that's how it should be.", "fifth"),
        (
            "copper-lane",
            "22",
            "What have we got on beat one in bar twenty-two? The flat seven, of course.",
            "flat seven",
        ),
        (
            "copper-lane",
            "13-14",
            "Nobody expects a flat six on beat two of bar fourteen, but there it is.",
            "flat six",
        ),
        ("ropewalk", "5", "You can't play bar five without bumping into the flat six.", "flat six"),
        ("ropewalk", "4", "The flat ninth is above the major third that comes before it.", "major third"),
        (
            "ropewalk",
            "24",
            "A perfect fifth separates the ninth from the major third that comes next.",
            "major third",
        ),
        ("ropewalk", "4", "From the flat seven, the line skips up to the thirteenth.", "thirteenth"),
        ("ropewalk", "6", "Look what follows the root: it's the fifth!", "fifth"),
        (
            "kettle-3",
            "11",
            "The root is worth a beat and a half and not more.",
            "is worth a beat and a half",
        ),
    ],
)
def test_what_is_said_of_a_note_in_any_words_is_false_where_it_is_not_so(read, score, bars, say, fault):
    told = read(f"{score}.musicxml", bars, say)
    assert f"fault '{fault}'" in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "copper-lane",
            "2",
            "Sandwiched between the raised eleventh and the ninth there is the major third.",
            "'2.2&'",
        ),
        (
            "copper-lane",
            "22",
            "Nobody expects a flat three on beat two of bar twenty-two, but there it is.",
            "'22.2'",
        ),
        ("ropewalk", "15", "Notice that the fifth isn't on the and of one but on beat two.", "'15.2'"),
        ("ropewalk", "4", "Look what follows the root: it's the seventh!", "'4.2&'"),
        ("ropewalk", "19", "The ninth, by the way, is worth an eighth.", "'19.2&'"),
        ("pantry-light", "17", "There, the and of two: G.", "'17.2&'"),
    ],
)
def test_what_is_said_of_a_note_in_any_words_is_lit_where_it_is_so(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("night-tram", "6", "I'd call that G in bar six the fifth, no doubt about it.", "fifth"),
        ("night-tram", "15", "The A you're looking at is, relative to F, the ninth.", "ninth"),
        (
            "harbour-lamps",
            "15",
            "The note G flat plays the part of the flat seven over this E flat minor seven.",
            "flat seven",
        ),
        ("night-tram", "16", "Sing the fifth of B flat major seven: it's a C.", "c"),
        ("night-tram", "6", "Nothing in this bar goes higher than the flat seven.", "flat seven"),
        (
            "harbour-lamps",
            "21",
            "The thirteenth gets more time than any other note in this bar.",
            "thirteenth",
        ),
        ("paper-lantern", "1-4", "I leave bar one on the third so the ear wants more.", "third"),
        ("night-tram", "8", "The gap from major seventh to ninth is an octave.", "ninth"),
        ("night-tram", "15", "The ninth and then, a major sixth lower, the root.", "root"),
        ("night-tram", "9", "The seventh owes its charm to the root right before it.", "root"),
        ("harbour-lamps", "17", "Bar seventeen has me going down from the fifth to the ninth.", "ninth"),
    ],
)
def test_what_is_said_of_two_names_or_of_an_end_is_false_where_it_is_not_so(read, score, bars, say, fault):
    assert f"fault '{fault}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        (
            "night-tram",
            "7",
            "Nobody told the third it could go up to the raised eleventh, but it did.",
            "'7.2&'",
        ),
        ("weir", "18", "An eighth, that's how long the fifth stays with us.", "'18.2'"),
        ("night-tram", "6", "The root owes its charm to the ninth right before it.", "'6.3'"),
    ],
)
def test_what_is_said_of_two_names_in_any_words_is_lit_where_it_is_so(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("grey-sluice", "8", "Beginners often ask me about this A. Simple: it's the root.", "root"),
        ("grey-sluice", "2", "So the flat seven moves up and becomes the thirteenth.", "thirteenth"),
        ("grey-sluice", "11", "The bar dips to the sharp eleven and no deeper.", "sharp eleven"),
    ],
)
def test_how_far_a_bar_goes_and_what_it_is_not_without(read, score, bars, say, fault):
    assert f"fault '{fault}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("grey-sluice", "5", "On beat one I hear a third, on the and of two a fifth.", "'5.1'"),
        ("grey-sluice", "8", "The only third of this bar is on beat one.", "'8.1'"),
    ],
)
def test_beats_that_are_named_first_stand_with_what_follows_them(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("jetty", "1-2", "The line opens on the downbeat with a big fat root.", "root"),
        ("jetty", "4", "See the root on the G chord in bar four?", "root"),
        ("jetty", "8", "The major seventh of C is held at the end.", "major seventh"),
        ("kettle", "12", "In bar twelve the tension resolves into the root.", "root"),
        ("kettle", "7", "There's a root in bar seven.", "root"),
        ("kettle", "16", "This bar falls right at the end.", "falls right at the end"),
        ("kettle", "14", "Eight eighth notes fill bar fourteen.", "eight eighth notes"),
        (
            "jetty",
            "9-12",
            "The D7 is left plain, not a single colour note on it.",
            "not a single colour note",
        ),
        ("copper", "3-4", "Over the A flat seven, the ninth is the first thing you hear.", "ninth"),
    ],
)
def test_what_is_said_to_be_there_in_any_words_is_false_where_it_is_not(read, score, bars, say, fault):
    assert f"fault '{fault}'" in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("jetty", "5-6", "The fifth of E minor drops to the third of the following A7.", "'6.2'"),
        ("tram", "9-10", "The D flat line begins with its third.", "'10.1'"),
        ("tram", "9-10", "The D flat arpeggio starts on its third.", "'10.1'"),
        ("jetty", "9", "After a beat of silence, the first thing I hear is the root.", "'9.2'"),
        ("jetty", "1-2", "There are only four attacks in measure one.", "'1.1& 1.2 1.2& 1.3'"),
        ("copper", "10", "Two nines in this bar, both on the beat.", "'10.2 10.3&'"),
        ("kettle", "10", "How many thirds do you hear in bar ten? I hear three.", "'10.1 10.3 10.4&'"),
        ("kettle", "10", "There's one third in bar ten I like best.", "question 'third'"),
    ],
)
def test_places_counts_and_ends_that_are_said_in_any_words(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("herons", "2", "The bar ends on a sour little third.", "('b5@2.4'"),
        ("weir", "2", "The last thing we play here is the fifth.", "('b3@2.3'"),
        ("herons", "3", "Over the B seven you'll find the third, E.", "fault 'third'"),
        ("herons", "3", "The seventh, C, sounds on the third beat.", "fault 'seventh'"),
        ("herons", "2", "The D in bar two lasts two beats.", "fault 'lasts two beats'"),
        ("cellar-steps", "3", "The triplet goes down.", "fault 'goes down'"),
        ("herons", "2", "Count the notes in this bar: there are six.", "there are six'"),
        ("herons", "2", "Four notes fill this bar.", "fault 'four notes'"),
        ("herons", "3", "Bar three keeps the eighth notes running throughout.", "fault"),
    ],
)
def test_what_is_said_by_the_way_is_false_where_it_is_not_so(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "lit"),
    [
        ("herons", "2", "Bar two opens with a real gloomy third.", "lit 'third' ('b3@2.1&'"),
        ("herons", "3", "Over the B seven you'll find the third, D sharp.", "lit 'd sharp' ('3@3.1'"),
        ("weir", "5", "Bar five keeps up the stream of eighths.", "5.1 5.1& 5.2 5.2& 5.3 5.3& 5.4 5.4&"),
        ("weir", "5", "Now we're in eighths.", "5.1 5.1& 5.2 5.2& 5.3 5.3& 5.4 5.4&"),
        ("weir", "5", "Every time the root comes round, lean on it.", "'5.2 5.3&'"),
        ("herons", "2", "Count the notes in this bar and you'll find five.", "'2.1& 2.2 2.2& 2.3 2.4'"),
        ("weir", "4", "We rest on the downbeat and come in on the eleventh.", "lit 'eleventh' ('11@4.3'"),
        ("herons", "1-4", "Give the held root its time.", "lit 'root' ('1@1.1'"),
    ],
)
def test_what_is_said_by_the_way_is_lit_where_it_is_so(read, score, bars, say, lit):
    assert lit in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    "say",
    [
        "The fifth, F sharp, is what I hear in my head.",
        "Three notes would be enough for this bar.",
        "The flattened third is, on the whole, the property of the blues.",
        "In the old books the word triplet meant something else.",
    ],
)
def test_what_is_thought_of_or_said_of_a_word_is_no_claim(read, say):
    assert read("herons.musicxml", "3", say) == ""


@pytest.mark.parametrize(
    ("score", "bars", "say", "told"),
    [
        ("weir", "3", "The arpeggio here goes one, three, five, seven.", "fault 'one, three, five, seven'"),
        ("weir", "3", "The arpeggio here goes three, five, seven, nine.", "3.1 3.1& 3.2 3.2&"),
        ("weir", "1-2", "Each of these two bars ends on the third.", "fault 'third'"),
        ("herons", "3-4", "You did it in bar three, now over E minor it lands on the ninth.", "('9@4.1'"),
        ("weir", "5", "Here are groups of three eighths against the four.", "5.1"),
        (
            "herons",
            "3-4",
            "The B seven gives way to E minor, and we land on the ninth of that chord.",
            "('9@4.1'",
        ),
    ],
)
def test_a_figure_that_is_spelt_out_and_each_of_some_bars(read, score, bars, say, told):
    assert told in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "fault"),
    [
        ("lantern-waltz", "2", "The bar ends with a jump to the third.", "fault 'third' ('#11@2.3'"),
        ("copper", "7", "It ends with a nice step up to the fifth.", "fault 'fifth' ('3@7.4'"),
        ("copper", "21-24", "There's a sharp nine right at the end.", "fault 'sharp nine'"),
        ("copper", "23", "We hit bar twenty-three right on the downbeat.", "('23.2'"),
        ("copper", "4", "Here's A flat seven, with a flat nine in it.", "fault 'flat nine'"),
        ("lantern-waltz", "7", "Stay on the A for two beats.", "fault 'for two beats'"),
        ("lantern-waltz", "14", "Bar fourteen is rests from start to finish.", "fault 'is rests"),
        ("lantern-waltz", "8", "The third, which is D flat, comes first.", "fault 'third'"),
        ("copper-lane", "13-14", "It's a sequence, and the last time it starts on the root.", "('3@14.3'"),
        ("copper", "4-5", "Bar four is already C minor.", "fault 'c minor'"),
        ("copper", "6-7", "We go through four chords in these two bars.", "fault 'four chords'"),
        ("copper", "14", "Bar fourteen takes us to B flat minor.", "fault 'takes us to b flat minor'"),
        ("copper", "12", "We resolve the E flat on beat three.", "fault 'resolve the e flat on beat three'"),
    ],
)
def test_one_half_of_a_sentence_is_not_read_without_the_other(read, score, bars, say, fault):
    assert fault in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("lantern-waltz", "4-5", "Bar four ends with a drop to the root.", "lit 'root' ('1@4.3'"),
        ("copper", "12", "It's the flat nine that gets us going at the start.", "('b9@12.2'"),
        ("copper", "23", "Hit bar twenty-three on beat two.", "('5@23.2'"),
        ("copper", "4", "Here's A flat seven, with a sharp eleven in it.", "('#11@4.2&'"),
        ("lantern-waltz", "8", "What we want to hear is the third, which is D.", "lit 'd' ('b3@8.1&'"),
        ("copper-lane", "13-14", "The second time it starts on the eleventh.", "('11@13.3'"),
        ("copper", "6-7", "D minor, D flat seven, C: that's two, flat two, one in C.", "('6-7',"),
        ("copper", "4-5", "Hold the D over the bar and it rings as the fifth of G.", "lit 'fifth' ('5@4.4&'"),
        ("lamps-on-the-jetty", "19", "You walk it down by half steps from the G to the E.", "('19.1&-19.3',"),
        ("lamps-on-the-jetty", "19", "The line falls by half steps all the way.", "('19.1-19.4',"),
        ("coalshed", "7", "It climbs by half steps from B flat to C.", "'7.3 7.3& 7.4'"),
        ("lantern-waltz", "4", "An arpeggio from the third up to the seventh.", "'4.1 4.1& 4.2'"),
        ("lantern-waltz", "4", "The B flat, if you like, is the flat nine.", "lit 'flat nine' ('b9@4.2&'"),
        ("copper", "17-18", "A whole beat on the fifth, and then it moves on.", "lit 'fifth' ('5@17.4'"),
        ("copper", "12", "We resolve that E flat on the and of two.", "lit 'e flat' ('b9@12.2'"),
        ("kettle", "3-4", "Bar three leads us down to the lowest note, the A.", "('3@4.4&'"),
    ],
)
def test_what_stands_beside_a_claim_says_which_note_it_is(read, score, bars, say, found):
    told = read(f"{score}.musicxml", bars, say)
    assert found in told
    assert "fault" not in told


def test_what_a_scale_is_by_its_name_is_no_claim(read):
    assert read("copper.musicxml", "1-4", "Dorian, remember, is the minor scale with a natural six.") == ""


@pytest.mark.parametrize(
    ("score", "bars", "true", "false", "there"),
    [
        ("copper", "4-5", "The D comes early.", "The E flat comes early.", "'e flat' ('5@4.4&'"),
        (
            "copper",
            "4-5",
            "I push the D into the next bar.",
            "I push the A into the next bar.",
            "'a' ('5@4.4&'",
        ),
        (
            "lamplighter",
            "12-13",
            "The F jumps the gun.",
            "The last E flat jumps the gun.",
            "'e flat' ('11@12.4&'",
        ),
        (
            "slate-and-candle",
            "6-7",
            "It's an anticipation, already the third of the next chord.",
            "It's an anticipation, already the fifth of the next chord.",
            "'fifth' ('b3@6.4&'",
        ),
        (
            "slate-and-candle",
            "17-18",
            "The A flat is tied over the bar line.",
            "The B flat is tied over the bar line.",
            "'b flat' ('b7@17.3'",
        ),
        (
            "late-ferryman",
            "21-22",
            "We hold the F across into the next chord.",
            "We hold the D across into the next chord.",
            "'d' ('b7@21.3'",
        ),
        (
            "copper",
            "14-15",
            "The G hangs over as a suspension.",
            "The A hangs over as a suspension.",
            "'a' ('",
        ),
        (
            "copper",
            "4-5",
            "That anticipated note is the fifth of G.",
            "That anticipated note is the third of G.",
            "'third' ('5@4.4&'",
        ),
    ],
)
def test_a_note_that_alone_does_what_is_said_has_its_own_name(read, score, bars, true, false, there):
    assert "fault" not in read(f"{score}.musicxml", bars, true)
    told = read(f"{score}.musicxml", bars, false)
    assert f"fault {there}" in told
    assert told.count("fault") == 1


@pytest.mark.parametrize(
    ("bars", "say"),
    [
        ("4-5", "The third of C minor doesn't come early."),
        ("4-5", "If the E flat came early, I'd hear C minor too soon."),
        ("3-4", "I never push the A here."),
        ("4-5", "The fifth of G comes early, it is the fifth."),
    ],
)
def test_a_name_is_not_false_where_it_is_denied_or_another_of_the_note(read, bars, say):
    assert "fault" not in read("copper.musicxml", bars, say)


@pytest.mark.parametrize(
    ("score", "bars", "say", "there"),
    [
        ("copper-lantern-steps", "12-13", "The sharp eleven is tied over the bar line.", "'12.4&'"),
        ("tin-roof", "14-15", "The minor third comes early.", "'14.4&'"),
        ("tin-roof", "22-23", "The eleventh at the end of bar 22 is held over.", "'22."),
    ],
)
def test_a_held_note_is_called_by_its_name_over_either_chord(read, score, bars, say, there):
    told = read(f"{score}.musicxml", bars, say)
    assert there in told
    assert "fault" not in told

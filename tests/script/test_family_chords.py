"""What a sentence says of chords, their number and length, their roots, keys and progressions, against the score."""

import pytest

from lessonmaker.script.check import examine_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.theory.pitch import Interval

WHOLE_STEP = Interval(1, 2)
TRUE = [
    # what a chord is: by name, kind, step and what it does
    ("copper-lane", "21-24", "The second half of twenty-one belongs to C altered.", "21.3-21.4"),
    ("marmalade_ferry", "9-12", "What sits in measure ten is a G sharp dominant.", "10"),
    ("pepper-alley", "1-4", "We set off on the tonic chord.", "1"),
    ("kettle-on-the-landing", "5-8", "That D seven is really the five of two.", "6"),
    ("marmalade_ferry", "17-20", "Bar twenty uses a B flat seven instead of E seven.", "20"),
    ("lantern-waltz", "9-12", "C minor is on loan from the minor key.", "12"),
    ("marzipan-weather", "17-20", "Both dominants are altered.", "18-20"),
    ("paperferry", "18-20", "A7 isn't from the key; it's the five of three.", "19"),
    ("four-doors", "18-18", "This chord is the five of F minor.", "18"),
    ("kettle-street", "6-6", "Here the chord turns diminished.", "6"),
    ("revolving-door-minutes", "14-16", "The four chord turns minor in bar sixteen.", "16"),
    ("revolving-door-minutes", "16-16", "This is the minor subdominant.", "16"),
    ("kettle-street", "16-17", "We come back to the four chord in bar seventeen.", "17"),
    ("kettle-3", "6-7", "Listen for the five of six.", "6"),
    ("ninthlamp", "13-14", "Bar fourteen, B flat seven, is the flat two of A minor.", "14"),
    ("paper-lighthouse", "12-12", "C7 flat nine, five of F minor.", "12"),
    ("weir", "11-12", "The four chord is a dominant here.", "11-12"),
    ("tuesday", "15-17", "Two-five to the four chord.", "15-16"),
    ("tuesday", "17-17", "We're on the four chord.", "17"),
    ("kites", "4-5", "The dominant resolves home to D minor.", "4-5"),
    ("kites", "1-20", "We're in D minor from start to finish.", "all"),
    ("quince", "3-5", "E seven resolves to A major.", "4-5"),
    ("lampoil", "20-23", "G flat seven is really C seven in disguise.", "21"),
    ("kites", "18-19", "The E flat seven is standing where A seven should be.", "18"),
    ("weir", "15-16", "E flat seven to D7, that's the old tritone sub.", "15"),
    ("lantern-at-the-weir", "15-15", "We've got D over A here.", "15"),
    ("kettle-2", "4-4", "The second half of this is F altered.", "4.3-4.4"),
    # one that becomes another on its root
    ("quince", "6-8", "Here the four goes minor.", "7"),
    ("quince", "6-7", "The D turns minor in bar seven.", "7"),
    ("revolving-door-minutes", "15-16", "The major turns minor, how sad.", "15-16"),
    ("turnstile-sprint", "2-3", "F major turns into F minor.", "2-3"),
    # chords by their names, one after the other
    ("kettle", "20-20", "Bar twenty goes A minor seven, then A flat diminished.", "20"),
    ("paperclip", "17-24", "The bridge is four dominants, two bars apiece, D, G, C, F.", "17-24"),
    ("gravel-road-supper", "23-25", "F seven, A flat seven, G seven, G flat seven.", "23-24"),
    ("lamplighters-stair", "9-14", "Descending two-fives, each pair a whole step under the last.", "9-14"),
    ("paper-ferry", "1-2", "From B flat major seven we go to G minor seven.", "1-2"),
    ("paper-ferry", "9-10", "You hear F minor seven and right after it B flat seven.", "9-10"),
    ("paper-ferry", "9-10", "F minor seven, then B flat seven in the next bar.", "9-10"),
    ("lantern-weather", "16-17", "A seven goes to D minor seven.", "16-17"),
    ("paper-ferry", "19-20", "B seven slides down to B flat.", "19-20"),
    ("paper-ferry", "19-20", "B seven slides down to B flat in bar twenty.", "19-20"),
    # bare steps, where the chords stand on them and the line does not
    ("paper-ferry", "18-20", "Two, flat two, one.", "18-20"),
    ("pantry-light", "9-12", "Three, flat three, two, five.", "9-12"),
    ("lamplighters-coat", "19-20", "The flat six falls to the five.", "19-20"),
    ("slate-roof-rain", "23-24", "Flat six to one, no dominant in sight.", "23-24"),
    ("paper-ferry", "12-13", "A flat seven is flat seven in this key.", "12"),
    ("paper-ferry", "15-16", "D seven, the five of six, resolves to G minor.", "15"),
    # a bass that stays
    ("under-the-slipway", "13-15", "Underneath you there's a pedal on the five.", "13-15"),
    ("under-the-slipway", "1-4", "See how the bass stays on C sharp in bar two.", "2"),
    ("under-the-slipway", "13-14", "Both chords have G sharp in the bass.", "13-14"),
    ("under-the-slipway", "1-4", "That's a pedal point.", "1-4"),
    # a chord that is all that is spoken of
    ("kettle-and-steam", "1-1", "We're on F seven here.", "1"),
    ("kettle-and-steam", "14-14", "The piano plays B flat seven under this.", "14"),
    ("paper-ferry", "13-15", "The half-diminished chord in bar fourteen wants to move.", "14"),
    ("copper-lane", "3-3", "What's underneath us? E flat major seven.", "3"),
    ("copper-lane", "17-17", "The band is laying down a G minor seven while all this goes on.", "17"),
    ("copper-lane", "13-14", "We slide out of F minor seven and straight into B flat seven.", "13-14"),
    ("copper-lane", "17-18", "C seven follows G minor seven.", "17-18"),
    ("copper-lane", "20-20", "The root of this one is B flat.", "20"),
    ("copper-lane", "20-20", "The lead sheet says B flat seven.", "20"),
    ("copper-lane", "13-13", "By the way, the chord? F minor seven.", "13"),
    ("copper-lane", "17-17", "What sort of chord is it? A minor seventh chord.", "17"),
    ("copper-lane", "13-14", "That F minor seven is just setting up the B flat seven.", "13-14"),
    ("copper-lane", "13-14", "In these bars, the roots go F, then B flat.", "13-14"),
    ("copper-lane", "2-2", "Root: B flat.", "2"),
    ("copper-lane", "2-2", "With B flat as its root, this chord is quite dark.", "2"),
    ("copper-lane", "3-3", "We're on a major chord now.", "3"),
    ("copper-lane", "13-14", "The F minor seven pulls towards B flat seven.", "13-14"),
    ("copper-lane", "13-14", "F minor seven hands over to B flat seven.", "13-14"),
    ("copper-lane", "13-14", "The roots go up a fourth here.", "13-14"),
    ("copper-lane", "2-2", "We have B flat in the bass, the root of the chord.", "2"),
    ("copper-lane", "2-2", "You're looking at the five chord here.", "2"),
    # how many, and how long
    ("slow_kettle_harbour", "1-8", "Eight bars and only two chords.", "1-8"),
    ("biscuit", "1-4", "The harmony moves every two beats.", "1-4"),
    ("brass-umbrella", "17-20", "B flat seven for two bars.", "17-18"),
    ("corner-blues", "9-12", "The changes come twice as fast in the last two bars.", "11-12"),
    ("the-tin-heron", "3-3", "The harmony changes on beat five.", "3"),
    ("revolving-door-minutes", "12-12", "B seven comes in on beat three.", "12.3-12.4"),
    ("revolving-door-minutes", "12-12", "The chord changes halfway through the bar.", "12"),
    ("copper-stairs", "9-16", "Two bars per chord here.", "9-16"),
    # roots
    ("tin-roof", "17-19", "The roots are marching round the circle of fifths.", "17-19"),
    ("ladder-street", "17-24", "From seventeen to twenty-four the roots fall in fifths.", "17-24"),
    ("slate-and-candle", "20-21", "D flat drops a half step home to C minor.", "20.3-21.4"),
    ("lanterns", "20-22", "Measure twenty-one is a tritone away from the chord before it.", "21"),
    ("postcard-for-the-stoker", "8-10", "The A flat seven connects C minor with the G seven.", "8-10"),
    ("harbour-lamps", "22-22", "That's a tritone away from A flat.", "22"),
    ("quince", "21-23", "C seven? Tritone away from F sharp.", "22"),
    ("kettle-2", "16-17", "The B seven is a sub, it slips down a half step to B flat.", "16.3-17.4"),
    # keys
    ("slate-and-candle", "9-12", "We're in the relative major for these four bars.", "9-12"),
    ("kettle-on-the-landing", "25-28", "And at twenty-five we're back in the home key.", "25"),
    ("night-tram", "5-8", "This is all in the relative major.", "5-8"),
    ("grey-sluice", "7-9", "The tune has slipped into the relative minor.", "7-9"),
    ("turnstile-sprint", "1-16", "The tonal center descends by whole steps.", "1-14"),
    ("turnstile-sprint", "1-14", "Key centres: F, E flat, D flat, B.", "1-14"),
    ("turnstile-sprint", "3-5", "A new key here, E flat major.", "3-5"),
    ("grey-sluice", "1-16", "The tune starts in G major.", "1-2"),
    ("copper-lane", "9-9", "What key are we in? E flat major.", "9"),
    ("copper-lane", "9-9", "We're hanging out in E flat major in this bar.", "9"),
    ("copper-lane", "9-9", "Bar nine belongs to E flat major.", "9"),
    # progressions
    ("seven_borrowed_umbrellas", "1-6", "We string three two-fives together.", "1-5"),
    ("late-ferryman", "9-12", "Ten is a two-five that doesn't get where it's going.", "10"),
    ("ladder-street", "1-4", "Then three six two five.", "3-4"),
    ("harbour-lamps", "10-12", "Four major becomes four minor here.", "10-12"),
    ("kettle-3", "15-18", "We go three minor, six dominant, two minor, five.", "15-18"),
    ("harbour-ledger", "13-16", "That's a turnaround.", "13-16"),
    ("harbour-ledger", "1-4", "One six two five in A flat.", "1-4"),
    ("lamplighter-2", "20-20", "We have the two and the five of C minor here.", "20"),
    ("paper-lighthouse", "11-12", "The one chord becomes the five of four in bar twelve.", "11-12"),
    ("kettle-2", "11-12", "A chromatic turnaround, sliding down.", "turnaround@11-12"),
    ("herons", "22-24", "The cadence is half-diminished two, altered five, one.", "22-24"),
]
FALSE = [
    ("kettle", "20-20", "Bar twenty goes C seven, then F minor.", "the chords are Am7 and A♭°7"),
    ("lantern", "6-6", "This is an E flat major seven.", "bar 6 has Gm7"),
    ("lantern-at-the-weir", "20-20", "The F seven in bar twenty has a nasty sound.", "bar 20 has F°7"),
    (
        "lantern-at-the-weir",
        "20-20",
        "The chord in bar twenty is an ordinary F sharp minor.",
        "bar 20 has F°7",
    ),
    ("paper-lanterns-waltz", "16-17", "Two bars of E flat seven here.", "bars 16-17 have E♭maj7"),
    ("kettle-street", "14-14", "By fourteen we're back on the one chord.", "bar 14 has E♭7"),
    ("paperferry", "18-20", "A7 is the five of two.", "bar 19 has A7"),
    ("harbour-lamps", "22-22", "That's a tritone away from G.", "D7 stands a fifth up"),
    ("kettle-3", "13-14", "Major four to minor four, with a big sigh.", "the chords are Fmaj7 and B♭7"),
    ("ladder-street", "17-20", "This bridge kicks off on G seven.", "bars 17-18 have D7"),
    ("slate-and-candle", "1-4", "Bar two's chord is an F seven.", "bar 2 has Fm7"),
    ("night-tram", "5-8", "Bar seven is the subdominant.", "bar 7 has B♭maj7, bIIImaj7 (tonic)"),
    ("late-ferryman", "11-13", "Bar twelve is the dominant of the four.", "bar 12 has D7alt, V7/ii"),
    ("ash_on_the_windowsill", "5-8", "The G seven in bar six works as a tritone sub.", "bar 6 has G7"),
    ("lanterns", "5-8", "Every chord of this line is minor.", "bar 8 has F7"),
    ("marmalade_ferry", "1-4", "There's no dominant anywhere in this line.", "bar 2 has F♯7"),
    ("brass-umbrella", "5-8", "Bar seven packs in three chords.", "bar 7 has F7"),
    ("gaslight-errand", "37-40", "Three bars of B flat seven.", "it lasts 2 bars, 37-38"),
    ("brass-umbrella", "8-8", "The chord changes on four.", "bar 8 changes on beat 3"),
    ("night-tram", "7-8", "Seven to eight is up a fifth.", "from B♭maj7 to E♭maj7 is a fourth up"),
    (
        "salt-flat-signal",
        "7-10",
        "The G sus slips down a minor third to E flat minor.",
        "is a major third down",
    ),
    ("marzipan-weather", "13-16", "This whole stretch sits in D minor.", "bars 13-16 are in F major"),
    ("pepper-alley", "9-12", "There are three two-fives in these four bars.", "there is one, in 12"),
    ("glasshouse-letter", "9-12", "Bar eleven is a two-five that never gets home.", "go to Gm7"),
    ("harbour-ledger", "14-15", "F turns minor in bar fifteen.", "bar 15 has B♭7"),
    ("lantern-at-the-weir", "15-15", "Bar fifteen is D over F sharp.", "bar 15 has D/A"),
    ("grey-sluice", "1-4", "Bars one and two are a plain two-five.", "there is no two five in bars 1-2"),
    ("tuesday", "15-17", "Two-five to the five chord.", "go to A♭maj7"),
    ("tuesday", "17-17", "We're on the six chord.", "bar 17 has A♭maj7"),
    ("quince", "22-22", "That C7 is subbing for E 7.", "bar 22 has C7"),
    ("quince", "3-5", "E seven resolves to F sharp minor.", "E7 goes to Amaj7"),
    ("harbour-ledger", "1-4", "One six two five in E flat.", "are not in that key"),
    ("quince", "19-25", "Key change up to E flat in twenty-one.", "bar 21 is in A major"),
    ("tuesday", "23-24", "We end in C minor.", "bars 23-24 are in E♭ major"),
    ("ninthlamp", "21-21", "We land in the relative minor.", "bar 21 has Cmaj7"),
    ("revolving-door-minutes", "12-12", "The B seven arrives on beat two.", "bar 12 has B7 from beat 3"),
    (
        "copper-lane",
        "5-8",
        "Bars five to seven are a two-five-one in F minor.",
        "Fm7 and B♭7alt go to E♭maj7",
    ),
    ("paper-ferry", "1-2", "From B flat major seven we go to C minor seven.", "B♭maj7 and Gm7"),
    ("paper-ferry", "9-10", "You hear F minor seven and right after it C seven.", "Fm7 and B♭7"),
    ("under-the-slipway", "5-8", "The bass stays on F sharp the whole time.", "the bass moves"),
    ("under-the-slipway", "13-15", "It's a tonic pedal.", "stays on one note under C♯m/G♯"),
    ("slate-roof-rain", "23-23", "E major seven is four.", "bar 23 has Emaj7"),
    ("paper-ferry", "14-14", "That's a diminished chord.", "bar 14 has Am7(♭5)"),
    (
        "copper-lane",
        "15-15",
        "A dominant seventh chord, that's what bar fifteen is made of.",
        "bar 15 has E♭6/9",
    ),
    ("copper-lane", "2-2", "This is the three chord of the key.", "bar 2 has B♭7"),
    ("copper-lane", "18-18", "We slide out of B flat seven and straight into C seven.", "the chords are C7"),
    ("copper-lane", "8-9", "After E flat seven comes G minor.", "E♭7 and A♭maj7"),
    ("copper-lane", "10-11", "And the five chord comes home to the one, ahhh.", "D♭7 and E♭maj7"),
    ("copper-lane", "10-11", "There's a two five hiding in these two bars.", "there is no two five"),
    ("copper-lane", "20-20", "Its root, should you wonder, is C.", "bar 20 has B♭7"),
    ("copper-lane", "3-3", "This chord is built on F.", "bar 3 has E♭maj7"),
    ("copper-lane", "12-12", "For the nerds: bar twelve is harmonised with G minor seven.", "bar 12 has C7"),
    ("copper-lane", "15-15", "A minor chord sits under bar fifteen.", "bar 15 has E♭6/9"),
    ("copper-lane", "15-15", "Now that's a dominant if ever I heard one.", "bar 15 has E♭6/9"),
    ("copper-lane", "11-11", "Here comes a two five, keep your ears open.", "there is no two five"),
    ("copper-lane", "11-11", "Here's a perfect cadence.", "falls a fifth"),
    ("copper-lane", "9-9", "Key of A minor, folks.", "in E♭ major"),
    ("copper-lane", "3-3", "We get a half-diminished chord at this point.", "bar 3 has E♭maj7"),
    ("copper-lane", "3-3", "What's the root? G.", "bar 3 has E♭maj7"),
    ("copper-lane", "13-13", "See how F minor seven carries us into G minor seven?", "Fm7 and B♭7"),
    ("copper-lane", "13-14", "The roots slip down a half step.", "from Fm7 to B♭7 is a fourth up"),
    ("copper-lane", "3-3", "You're looking at the six chord here.", "bar 3 has E♭maj7"),
    ("copper-lane", "3-3", "We find ourselves in D minor.", "in E♭ major"),
    ("paper-ferry", "13-15", "The minor chord in bar fourteen wants to move.", "bar 14 has Am7(♭5)"),
]
NOTHING = [
    ("copper-lane", "3-4", "I once played a G seven so loud the cat ran away."),
    ("copper-lane", "3-3", "That's a major step forward for you."),
    ("copper-lane", "3-3", "What is your favourite chord? G seven."),
    ("copper-lane", "3-3", "What would you play? B flat seven."),
    ("lantern-at-the-weir", "20-20", "Over F seven, then F minor, I would play something else."),
    ("lamplighters-stair", "9-14", "Descending two-fives, each a half step lower."),
    ("corner-blues", "1-4", "The line leads us to the four chord."),
    ("kettle-street", "1-4", "The third, then the five, then the one."),
    ("late-ferryman", "1-4", "A two-five is about the most common thing in this music, you know."),
    ("orchard-clock", "29-32", "You could reharmonise this with a tritone sub if you like."),
    ("copper-lane", "5-8", "Roots are for pianists and bass players."),
    ("marzipan-weather", "9-12", "It isn't in F, whatever the signature tells you."),
    ("orchard-clock", "1-4", "Moving everything up a half step is a good way to practise."),
    ("slate-and-candle", "5-8", "Is there a two-five in here somewhere?"),
    ("late-ferryman", "1-4", "The roots move in some way."),
    ("late-ferryman", "5-8", "We go to F in the end."),
    ("weir", "13-14", "These could form a two-five."),
    ("revolving-door-minutes", "22-23", "Plagal cadence, like in church."),
    ("lampoil", "17-20", "Harmonic rhythm: one chord per bar, then two."),
    ("tuesday", "17-19", "It's a tritone away from G, if anyone asks."),
    ("paper-ferry", "20-21", "Five to one as the two chord comes in."),
    ("under-the-slipway", "5-8", "A pedal point is when the bass refuses to move, whatever the chords do."),
    ("paper-ferry", "15-16", "Save the D seven lick for G minor."),
]


@pytest.mark.parametrize(("score", "bars", "say", "target"), TRUE)
def test_what_is_so_of_the_chords_lights_them(understood, score, bars, say, target):
    assert target in [each.target for each in understood(score, bars, say) if each.status == "lit"]


@pytest.mark.parametrize(("score", "bars", "say", "what"), FALSE)
def test_what_is_not_so_is_a_fault_that_says_what_is_there(understood, score, bars, say, what):
    (each,) = understood(score, bars, say)
    assert each.status == "fault"
    assert what in each.what


SCALES = [
    ("rivet", "14", "I'd call this A flat Lydian dominant.", "lydian dominant scale@14.3-14.4&"),
    ("tuesday", "1-2", "This is the Lydian sound.", "lydian scale@1.1-2.2"),
    ("biscuit-2", "16", "This whole bar is the altered scale.", "altered scale@16"),
]


@pytest.mark.parametrize(("score", "bars", "say", "target"), SCALES)
def test_a_scale_is_lit_over_its_own_root_and_where_only_its_sound_is_named(
    understood, score, bars, say, target
):
    assert [(each.status, each.target) for each in understood(score, bars, say)] == [("lit", target)]


@pytest.mark.parametrize(("score", "bars", "say"), NOTHING)
def test_what_only_sounds_like_a_claim_of_chords_is_left_alone(understood, score, bars, say):
    assert not understood(score, bars, say)


@pytest.mark.parametrize(
    ("say", "status", "target"),
    [
        ("Bar two is an A seven.", "lit", "2"),
        ("Bar two is a G seven.", "fault", "2"),
        ("Then A seven falls a fifth to D major seven.", "lit", "2.1-3.2"),
        ("Bar two's chord is a fifth above D.", "lit", "2"),
        ("Bars one to three are a two-five-one in D.", "lit", "1.1-3.2"),
        ("The key here is D major.", "lit", "1-4"),
        ("Four bars of E seven.", "fault", "3.3-3.4"),
    ],
)
def test_chords_and_keys_have_the_names_that_the_part_prints(score_of, script, say, status, target):
    path = script(f"lesson: L\nscore: etude.musicxml\ncues:\n  - bars: 1-4\n    say: {say}\n")
    checked = examine_lesson(load_lesson(path), score_of(WHOLE_STEP)).checked
    assert (status, target) in [(each.status, each.target) for each in checked.cues[0].understood]


def test_a_progression_that_comes_twice_is_asked_about(understood):
    (each,) = understood("gaslight-errand", "13-17", "Here's a two-five that gets home.")
    assert each.status == "question"
    assert each.choices == ("14-15", "16-17")


@pytest.mark.parametrize(
    ("score", "bars", "say", "found"),
    [
        ("seven_borrowed_umbrellas", "1-6", "The two-fives come down by half steps.", "lit 'two-fives come"),
        ("seven_borrowed_umbrellas", "1-6", "The two-fives climb by half steps.", "fault 'two-fives climb"),
        ("seven_borrowed_umbrellas", "1-4", "The second two-five is a half step below the first.", "3 to 3"),
        ("seven_borrowed_umbrellas", "1-4", "The second two-five is a whole step below the first.", "fault"),
        ("copper-lane", "6-6", "I'd call this B flat altered.", "lit 'b flat altered'"),
        ("turnstile-sprint", "20-20", "Instead of C seven we get G flat seven.", "lit 'g flat seven'"),
        ("turnstile-sprint", "20-21", "The substitute slides down a half step.", "20 to 20"),
    ],
)
def test_chords_that_move_or_are_called_something_are_judged(read, score, bars, say, found):
    assert found in read(f"{score}.musicxml", bars, say)


@pytest.mark.parametrize("say", ["My students call this an altered chord.", "Call it what you like."])
def test_what_others_call_it_is_left_alone(read, say):
    assert "lit" not in read("copper-lane.musicxml", "6-6", say)


@pytest.mark.parametrize(
    "say", ["The four chord turns from major to minor.", "Major to minor on the four, an old trick."]
)
def test_a_chord_that_becomes_one_of_another_kind_is_lit_with_it(read, say):
    assert "6 to 7" in read("quince.musicxml", "6-7", say)
    assert "lit" not in read("quince.musicxml", "1-2", say)

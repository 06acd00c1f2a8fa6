import re
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonmaker.faults import MaterialError
from lessonmaker.score.position import Span
from lessonmaker.script.check import check_lesson
from lessonmaker.script.load import load_lesson
from lessonmaker.script.model import Lit
from lessonmaker.theory.pitch import Interval

HEAD = "lesson: Night Ferry\nscore: etude.musicxml\n"
SECOND_UP = Interval.parse("M2")
B_FLAT = (SimpleNamespace(id="concert"), SimpleNamespace(id="b-flat"))


@pytest.fixture
def check(script, score):
    """Checks a script (its cues, and what stands before them) against the small score."""

    def run(cues, head="", score=score, editions=()):
        return check_lesson(load_lesson(script(f"{HEAD}{head}cues:\n{cues}")), score, editions)

    return run


def saying(text, bars="1-4"):
    return f"  - bars: {bars}\n    say: '{text}'\n"


def mention(checked):
    (cue,) = checked.cues
    (found,) = cue.mentions
    return found


def lit(checked):
    return [(each.note, each.label, each.tension) for each in mention(checked).notes]


# Targets ------------------------------------------------------------------------------------------------


def test_a_span_lights_bars(check):
    found = mention(check(saying("[x](1-2)")))
    assert (found.kind, found.span, found.notes) == ("span", Span(0, 8), ())
    assert mention(check(saying("[x](B)"))).span == Span(8, 16)


def test_a_span_inside_bars_lights_its_notes(check):
    assert lit(check(saying("[x](2.2-2.3)"))) == [("n5", None, False), ("n6", None, False)]


def test_a_position_lights_its_note(check):
    assert lit(check(saying("[x](2.3&)"))) == [("n6", "#9", False)]


def test_a_degree_lights_the_one_note_that_has_it(check):
    assert mention(check(saying("[x](#9@2)"))).kind == "notes"
    assert lit(check(saying("[x](#9@2)"))) == [("n6", "#9", True)]
    assert lit(check(saying("[x](♯9@2.3)"))) == [("n6", "#9", True)]
    assert lit(check(saying("[x](3@2)"))) == [("n7", "3", False)]


def test_an_anticipation_belongs_to_the_bar_it_anticipates(check):
    assert lit(check(saying("[x](b9@1)")))[0][0] == "n4"
    with pytest.raises(MaterialError, match=r"two notes in bar 2 are a b9; write b9@1\.4& or b9@2\.2$"):
        check(saying("[x](b9@2)"))
    assert lit(check(saying("[x](b9@2.2)"))) == [("n5", "b9", True)]


def test_several_degrees_are_found_by_their_order(check):
    assert [each[0] for each in lit(check(saying("[x](b9,#9,3@2.2-2.4)")))] == ["n5", "n6", "n7"]
    assert [each[0] for each in lit(check(saying("[x](b9,b9,#9@2)")))] == ["n4", "n5", "n6"]


def test_a_chord_target_names_the_symbols_that_count(check):
    assert mention(check(saying("[x](chord@2)"))).changes == ("c1",)
    assert mention(check(saying("[x](chord@3)"))).changes == ("c2", "c3")
    assert mention(check(saying("[x](chord@3.4)"))).changes == ("c3",)


@pytest.mark.parametrize(
    ("target", "message"),
    [
        (
            "b9@4",
            r"there is no b9 in bar 4: it has 5 #5 over Cmaj7; the nearest is b9@3\.4; !b9@4 overrules$",
        ),
        (
            "b13@2",
            r"there is no b13 in bar 2: it has b9 b9 #9 3 over G7; the nearest is b13@4\.3; !b13@2",
        ),
        ("b9@2.4", r"there is no b9 in 2\.4: it has 3 over G7; the nearest is b9@2\.2"),
        ("1@3", r"it has 3 over Cmaj7, 3 b9 over D7; the nearest is 1@1\.1"),
        (
            "b9@9",
            r"there is no bar or section '9' \(bars run from 1 to 4, with a pickup \(0\); sections are A, B\)",
        ),
        ("9", r"there is no bar or section '9'.*; a degree needs a place, as in 9@3$"),
        ("b9@", r"'b9@' is no target; a target is bars \(1-8, A\), a note"),
        ("@3", r"no degree stands here; a target is"),
        ("b9@3@4", r"'b9@3@4' is no target"),
        ("b2@2", r"'b2' is no degree; write b9@2"),
        ("b99@2", r"'b99' names nothing; did you mean b9@2\?"),
        ("chords@2", r"'chords' names nothing; did you mean chord@2\?"),
        ("wobble@1-2", r"'wobble' cannot be looked for; a target is bars .*; degrees are 1 b9 9"),
        (
            "sequence@1-2",
            r"there is no sequence in bars 1-2: it has .*; none is found .*!sequence@1-2 overrules",
        ),
        ("2.1", r"no note is struck at 2\.1: one from 1\.4& is held there; write 1\.4&"),
        (
            "4.2",
            r"no note is struck at 4\.2: there is a rest; the notes next to it are struck at 4\.1 and 4\.3",
        ),
        ("2.9", r"there is no '2\.9': bar 2 has 4 quarters"),
        ("4-2", r"'4-2' runs backwards"),
    ],
)
def test_a_false_target_says_what_there_is(check, target, message):
    with pytest.raises(MaterialError, match=r"lesson\.yaml:5:12: .*" + message):
        check(saying(f"[x]({target})"))


def test_messages_name_chords_as_the_part_does(check, score_of):
    with pytest.raises(MaterialError, match="it has 5 #5 over Dmaj7"):
        check(saying("[x](b9@4)"), score=score_of(SECOND_UP))


def test_what_is_pasted_from_a_message_holds(check):
    for target in ("b9@1.4&", "b9@2.2", "b9@3.4", "1.4&", "4.1", "4.3"):
        assert mention(check(saying(f"[x]({target})"))).kind == "notes"


def test_another_name_of_the_pitch_is_true_with_a_remark(check):
    checked = check(saying("[x](b13@4)"))
    assert lit(checked) == [("n12", "#5", True)]
    (remark,) = checked.remarks
    assert str(remark).endswith(
        "5:12: the b13 at 4.3 is labelled #5 (over Cmaj7); both name the pitch; #5@4.3 names it so"
    )


def test_an_exact_name_has_no_remark(check):
    assert check(saying("[x](#5@4)")).remarks == ()


@pytest.mark.parametrize(
    ("target", "notes"),
    [
        ("!b9@4.1", (Lit("n11", "b9", True),)),
        ("!b13@4", (Lit("n12", "b13", True),)),
        ("!b9@4", ()),
        ("!sequence@1-2", ()),
        ("!4.2", ()),
    ],
)
def test_an_author_may_overrule(check, target, notes):
    found = mention(check(saying(f"[x]({target})")))
    assert found.notes == notes
    assert found.kind == ("notes" if notes else "span")


@pytest.mark.parametrize(
    ("link", "message"),
    [
        ("[flat nine](#9@2)", "“flat nine”: #9@2 lights #9; change the words or the target; !#9@2 overrules"),
        ("[the raised eleventh](2.2)", "“raised eleventh”: 2.2 lights b9"),
        ("[the fifth](3@2)", "“fifth”: 3@2 lights 3"),
        ("[flat nine, fifth, third](b9,#9,3@2.2-2.4)", "“fifth”: b9,#9,3@2.2-2.4 lights b9, #9, 3"),
    ],
)
def test_a_link_is_false_where_its_words_are_another_degree(check, link, message):
    with pytest.raises(MaterialError, match=re.escape(f"5:12: {message}")):
        check(saying(link))


@pytest.mark.parametrize(
    ("link", "label"),
    [
        ("[flat nine](b9@2.2)", "b9"),
        ("[the ninth](b9@2.2)", "b9"),  # as it is altered
        ("[sharp five](#5@4)", "#5"),
        ("[flat sixth](#5@4)", "#5"),  # another name of the pitch
        ("[the third](b9@2.2)", "b9"),  # the third note of something
        ("[flat nine](!#9@2)", "#9"),
        ("[flat nine again](#9@2)", "#9"),
    ],
)
def test_a_link_holds_where_its_words_are_no_other_degree(check, link, label):
    assert [each[1] for each in lit(check(saying(link)))] == [label]


def test_overruling_makes_no_bar(check):
    with pytest.raises(MaterialError, match="there is no bar or section '9'"):
        check(saying("[x](!b9@9)"))


# Cues ---------------------------------------------------------------------------------------------------


def test_a_target_has_to_be_in_sight(check):
    message = (
        r"#9@2 lights bar 2, but the cue shows bars 3-4; write `bars: 2-4`, or say it in a cue of its own"
    )
    with pytest.raises(MaterialError, match=message):
        check(saying("[x](#9@2)", bars="3-4"))
    with pytest.raises(MaterialError, match=r"b9@1\.4& lights bar 1, but the cue shows bar 2"):
        check(saying("[x](b9@1.4&)", bars="2"))
    with pytest.raises(MaterialError, match=r"chord@4 lights bar 4, but the cue shows bars 1-2"):
        check(saying("[x](chord@4)", bars="1-2"))
    with pytest.raises(MaterialError, match=r"1-2 lights bars 1-2, but the cue shows no bars"):
        check("  - say: '[x](1-2)'\n")


def test_a_cue_without_bars_keeps_what_is_shown(check):
    cues = check(
        "  - say: welcome\n  - bars: 1-2\n  - say: '[x](2)'\n  - compare: [1, 3]\n  - say: '[x](3)'\n"
        "  - play: {bars: 3-4}\n  - say: '[x](4)'\n  - play: all\n  - say: done\n"
    ).cues
    assert [(cue.bars, cue.compare) for cue in cues] == [
        (None, ()),
        (Span(0, 8), ()),
        (Span(0, 8), ()),
        (None, (Span(0, 4), Span(8, 12))),
        (None, (Span(0, 4), Span(8, 12))),
        (None, ()),
        (Span(8, 16), ()),
        (None, ()),
        (None, ()),
    ]
    assert [cue.play for cue in cues if cue.play] == [Span(8, 16), Span(-1, 16)]


def test_play_takes_the_cues_own_bars_or_nothing(check):
    cues = check("  - bars: 1-2\n    play: {tempo: 60%}\n  - bars: 3\n    play: no\n").cues
    assert [cue.play for cue in cues] == [Span(0, 8), None]


def test_all_faults_come_in_one_run(check):
    cues = (
        "  - bars: 9\n    say: '[x](b9@4) [y](2.9)'\n  - play: Z\n  - compare: [1, 8]\n    say: '{chord 3}'\n"
    )
    with pytest.raises(MaterialError) as caught:
        check(cues, head="hear: {7: G7}\n")
    assert [(fault.place.line, fault.place.column) for fault in caught.value.faults] == [
        (3, 8),
        (5, 11),
        (6, 12),
        (6, 22),
        (7, 11),
        (8, 14),
        (9, 12),
    ]


# Chords of the script's own -----------------------------------------------------------------------------


def test_a_hearing_changes_the_degrees_and_not_the_print(check, score):
    assert lit(check(saying("[x](b3@1.2)"))) == [("n2", "b3", False)]
    checked = check(saying("[x](b7@1.2)"), head="hear: {1-2: G7alt}\n")
    assert lit(checked) == [("n2", "b7", False)]
    assert checked.score == score


def test_a_hearing_is_named_as_on_the_parts_page(check, score_of):
    assert lit(check(saying("[x](b7@1.2)"), "hear: {1-2: A7alt}\n", score_of(SECOND_UP))) == [
        ("n2", "b7", False)
    ]


def test_changes_stand_in_the_script_for_a_score_without(check, score_of):
    bare = score_of(chords=False)
    checked = check(saying("[x](#9@2)"), "changes: {1: Dm7, 2: G7, 3-3.2: Cmaj7, 3.3: D7, 4: N.C.}\n", bare)
    assert lit(checked) == [("n6", "#9", True)]
    assert [(change.bar, change.onset) for change in checked.score.changes] == [
        (1, 0),
        (2, 4),
        (3, 8),
        (3, 10),
        (4, 12),
    ]
    with pytest.raises(MaterialError, match="notes without a chord; no note of the score is a #9"):
        check(saying("[x](#9@2)"), score=bare)
    with pytest.raises(MaterialError, match="no chord symbol stands in or before bar 2; add the changes"):
        check(saying("[x](chord@2)"), score=bare)


@pytest.mark.parametrize(
    ("head", "message"),
    [
        (
            "changes: {1: G7}\n",
            r":3:11: the score has chord symbols of its own; for another chord over them use `hear`",
        ),
        ("hear: {1-2: G7, 2-3: C7}\n", r":3:17: two chords for one place: 2-3 and 1-2; keep one"),
        ("hear: {1: N.C.}\n", r":3:8: a hearing without a chord"),
        ("hear: {1x1: G7}\n", r":3:8: 1x1 names one time round; a chord holds for every time"),
    ],
)
def test_a_faulty_chord_of_the_script_says_so(check, head, message):
    with pytest.raises(MaterialError, match=message):
        check(saying("x"), head=head)


# Braces -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("brace", "message"),
    [
        ("chord 3", r"bar 3 has 2 chords; write {chord 3\.1} \(Cmaj7\) or {chord 3\.3} \(D7\)"),
        ("chord", r"{chord} does not say where; write {chord 3}"),
        ("chord 9", r"there is no bar or section '9'"),
        ("chrod 3", r"{chrod 3} names nothing; did you mean chord\?"),
        ("note 2.1", r"no note is struck at 2\.1; write {note 1\.4&}"),
        ("note 4.2", r"no note is struck at 4\.2; name a position with a note"),
        ("note 2", r"4 notes are struck in bar 2; say which"),
        ("heard 1", r"no chord of its own is heard in bar 1; say so with `hear`, or write {chord 1}"),
        ("key lydian", r"'lydian' is no mode"),
        ("key minor", r"the score says that the key is major, not minor"),
        ("edition x", r"nothing follows edition"),
    ],
)
def test_a_faulty_brace_says_so(check, brace, message):
    with pytest.raises(MaterialError, match=r"lesson\.yaml:5:\d+: " + message):
        check(saying(f"{{{brace}}}"))


def test_a_key_needs_a_mode(check, score_of):
    with pytest.raises(
        MaterialError, match=r"the score does not say major or minor; write {key major} or {key minor}"
    ):
        check(saying("{key}"), score=score_of(mode=""))
    assert check(saying("{key minor}"), score=score_of(mode="")).cues[0].names[0].mode == "minor"


def test_a_note_with_its_octave_is_no_chord_where_the_score_has_the_note(check, score_of):
    text = "We reach A6 in bar one."
    with pytest.raises(MaterialError, match="“a6”: bar 1 has Dm7; name the chord that is there"):
        check(saying(text))
    assert check(saying(text), score=score_of(Interval(7, 12))).remarks == ()
    with pytest.raises(MaterialError, match="“a6”: bar 1 has Dm7; name the chord that is there"):
        check(saying("We reach the A6 chord in bar one."), score=score_of(Interval(7, 12)))


@pytest.mark.parametrize(
    "text",
    [
        "Twice a [flat nine](b9@3.4) that leads to the fifth.",
        "Twice a flat nine that goes to the fifth.",
    ],
)
def test_how_often_something_comes_is_said_of_nothing_that_it_goes_to(check, text):
    check(saying(text, "2-4"))


def test_what_comes_less_often_than_is_said_is_a_fault(check):
    with pytest.raises(MaterialError, match="“sharp five”: bars 2-4 has it once"):
        check(saying("Three times you hear a sharp five.", "2-4"))


# Words of one edition -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("over Dm7 to G7alt and F/G7", ["Dm7", "G7alt", "G7"]),
        ("a low D to a high A, a low B to G", ["D", "A", "B", "G"]),
        ("B flat, B-flat, B♭, Bb and F#", ["B flat", "B-flat", "B♭", "Bb", "F#"]),
        ("in D minor, or G major", ["D minor", "G major"]),
        ("on the second line, above the staff", ["second line", "above the staff"]),
        ("the first finger, an alternate fingering", ["first finger", "fingering"]),
        ("three flats", ["three flats"]),
        ("the E natural, concert B flat, C sharp minor lines", ["E natural", "B flat", "C sharp minor"]),
        ("an octave above middle C, the E in bar three, in the key of D", ["C", "E", "D"]),
        ("ledger lines, the third space, on the bottom line", ["ledger lines", "third space", "bottom line"]),
        (
            "the A string, third valve, open G, with the side key",
            ["A string", "third valve", "G", "side key"],
        ),
        ("over the break, on the second fret", ["over the break", "fret"]),
        ("a plain G, across the break, the index finger", ["G", "across the break", "index finger"]),
        ("it drops to D4, then F#5", ["D4", "F#5"]),
        ("G, F and A spell it, F over G, a long G", ["G, F and A", "F over G", "G"]),
        ("a string of eighths. A string of fifths. Two five, two fives, one sharp nine.", []),
        ("read it in bass clef, on top of the staff", ["bass clef", "on top of the staff"]),
        ("I am, be natural, F.X., an A B A form, letter A to C, back to A, the C part, D.C. al fine", []),
        (
            "A minor third. A natural place to breathe. A major triad. A seventh falls. A flat five? A line.",
            [],
        ),
        ("the top line moves, a second line answers, the first position of the phrase", []),
        ("Play a C scale up to the top space, or on a ledger line.", ["C", "top space", "ledger line"]),
        ("Take it from A. In bar one the A on beat three is the fifth.", ["A"]),  # the section, and the note
        ("The first position you take matters. On the one hand it is easy.", []),
        ("A minor is home in my version. It would stay in A minor.", ["A minor", "A minor"]),
        ("A flat nine always leans. A line in section B, from A to B; Great, I mean the A section.", []),
        ("[over Dm7](1) and {chord 1}", ["Dm7"]),
    ],
)
def test_words_of_one_edition_are_pointed_at(check, text, words):
    checked = check(saying(text), editions=B_FLAT)
    assert [str(remark).split("'")[1] for remark in checked.remarks] == words
    for remark, word in zip(checked.remarks, words, strict=True):
        assert saying(text).splitlines()[1][remark.place.column - 1 :].startswith(word)


def test_one_edition_may_say_anything(check):
    assert check(saying("over Dm7 to a low D")).remarks == ()
    assert check(saying("over Dm7 to a low D"), editions=B_FLAT[:1]).remarks == ()


PARTS = st.sampled_from([*"01234 9ABb#.-&ea+/x@,!♭٣", "b13", "chord", "all", "of"])


@settings(max_examples=400)
@given(
    st.lists(PARTS, min_size=1, max_size=8),
    st.sampled_from(["[x]({})", "{{chord {}}}", "{{note {}}}", "{{{}}}"]),
)
def test_any_target_is_found_or_a_fault(check, parts, form):
    try:
        checked = check(saying(form.format("".join(parts))))
    except MaterialError as error:
        assert error.faults
    else:
        unread = form.startswith("[") and "".join(parts).strip() == "-"
        assert len(checked.cues[0].mentions) + len(checked.cues[0].names) == (0 if unread else 1)


def test_playing_without_a_take_is_remarked_on(script, score):
    path = script("lesson: L\nscore: etude.musicxml\ncues:\n  - play: 1-2\n  - play: no\n    bars: 1\n")
    (remark,) = check_lesson(load_lesson(path), score).remarks
    assert "there is no take to play from" in remark.what
    assert (remark.place.line, remark.place.column) == (4, 11)

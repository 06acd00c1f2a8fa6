from dataclasses import asdict
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonmaker.cli.parser import parse
from lessonmaker.faults import MaterialError
from lessonmaker.script.load import load_book, load_lesson
from lessonmaker.script.overlay_style import OverlayStyle

HEAD = "lesson: Night Ferry\nscore: etude.musicxml\n"
CUE = HEAD + "cues:\n  - "

WHOLE = """\
lesson: Night Ferry
composer: Somebody
score: etude.musicxml
part: Solo
written_for: b-flat
take: take.flac
hear: {17-18: G7alt}
changes: {1-2: Cmaj7, 3.3: G7}
cues:
  - play: all
  - bars: 1-8
    title: First eight
    say: |
      In bar three the line leans on the [flat thirteen](b13@3), then the
      [sharp nine over {chord 3}](#9@3), over {chord 3}.
    show: [phrases]
  - compare: [3-4, 27-28]
    say: Twice \\[the\\] same.
  - play: {bars: 3-4, tempo: 60%, times: 2}
  - bars: 5
    play: no
"""


def test_a_whole_script_is_loaded(script):
    path = script(WHOLE)
    lesson = load_lesson(path)
    assert (lesson.title, lesson.composer, lesson.part, lesson.written_for) == (
        "Night Ferry",
        "Somebody",
        "Solo",
        "b-flat",
    )
    assert lesson.score == path.parent / "etude.musicxml"
    assert lesson.take == path.parent / "take.flac"
    assert [(h.bars, h.chord.kind) for h in lesson.hear] == [("17-18", "altered")]
    assert [(h.bars, str(h.chord.root)) for h in lesson.changes] == [("1-2", "C"), ("3.3", "G")]
    play, talk, compare, slow, silent = lesson.cues
    assert (play.play.bars, play.play.tempo, play.play.times) == ("all", 1, 1)
    assert (talk.bars, talk.title, talk.show) == ("1-8", "First eight", ("phrases",))
    assert compare.compare == ("3-4", "27-28")
    assert (slow.play.bars, slow.play.tempo, slow.play.times) == ("3-4", Fraction(3, 5), 2)
    assert silent.play.times == 0


def test_commentary_is_taken_apart_with_places(script):
    cues = load_lesson(script(WHOLE)).cues
    pieces = cues[1].say.pieces
    assert [(p.kind, p.text, p.target) for p in pieces] == [
        ("text", "In bar three the line leans on the ", ""),
        ("link", "flat thirteen", "b13@3"),
        ("text", ", then the\n", ""),
        ("link", "sharp nine over {chord 3}", "#9@3"),
        ("text", ", over ", ""),
        ("brace", "", "chord 3"),
        ("text", ".\n", ""),
    ]
    assert [(p.kind, p.text or p.target) for p in pieces[3].inside] == [
        ("text", "sharp nine over "),
        ("brace", "chord 3"),
    ]
    lines = WHOLE.split("\n")
    for piece in pieces:
        first = (piece.text or piece.target)[0]
        assert lines[piece.place.line - 1][piece.place.column - 1] == first
    assert "".join(piece.text for piece in cues[2].say.pieces) == "Twice [the] same."


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("cues: [{play: all}]", r"lesson.yaml:1:1: the lesson script has no lesson; add `lesson: ...`"),
        (HEAD, "the lesson script has no cues"),
        ("just text", "the lesson script is text, not `key: value` lines"),
        (HEAD + "takes: x\ncues: []", r":3:1: 'takes' is no key of the lesson script; did you mean take\?"),
        (HEAD + "cues: []", "the list is empty; write a list of cues"),
        (HEAD + "cues: all", r":3:7: text stands where a list is expected"),
        (
            "lesson: x\nscore: etude.musicxm\ncues: [{play: all}]",
            r":2:8: there is no file etude.musicxm; did you mean etude",
        ),
        ("lesson: x\nscore: away/x.xml\ncues: [{play: all}]", "there is no folder .*away either"),
        (f"lesson: x\nscore: {'x' * 5000}\ncues: [{{play: all}}]", "there is no file xxx"),
        (
            "lesson: ''\nscore: etude.musicxml\ncues: [{play: all}]",
            r":1:9: nothing stands here; write the etude's title",
        ),
        (
            HEAD + "written_for: M9M\ncues: [{play: all}]",
            r":3:14: 'M9M' is neither an edition nor an interval; there are: concert, b-flat",
        ),
        (HEAD + "narration: voices\ncues: [{play: all}]", r":3:12: there is no folder voices"),
        (HEAD + "hear: {17: H7}\ncues: [{play: all}]", r":3:12: 'H7' is no chord symbol"),
        (HEAD + "hear: {17:G7}\ncues: [{play: all}]", r":3:8: no chord stands after 17:G7"),
        (HEAD + "hear: G7\ncues: [{play: all}]", r":3:7: this is no map of bars to chords"),
        (CUE + "bars: 1\n    titel: x", r":5:5: 'titel' is no key of a cue; did you mean title\?"),
        (
            CUE + "title: x",
            r":4:5: the cue shows, plays and says nothing; add one of say, play, bars, compare",
        ),
        (CUE + "bars: 1\n    compare: [1, 2]", r":5:14: the cue has both bars and compare; keep one"),
        (CUE + "compare: [1]", r":4:14: a comparison is of two places"),
        (CUE + "bars: 1\n    show: [phrase]", r":5:12: 'phrase' is not known here; did you mean phrases\?"),
        (CUE + "play: {tempo: 60%}", r":4:11: nothing says which bars to play"),
        (CUE + "play: {bars: 1, tempo: 60}", r":4:28: '60' is no tempo; write a percentage from 25% to 200%"),
        (CUE + "play: {bars: 1, tempo: 6000%}", r"'6000%' is no tempo"),
        (CUE + "play: {bars: 1, times: 0}", r":4:28: '0' is no number of times; write a number from 1 to 20"),
        (CUE + "play: {bar: 1}", r"'bar' is no key of play; did you mean bars\?"),
        (
            CUE + "say: {chord 3}",
            r":4:10: a map stands where text is expected; .*belongs in quotes or after |",
        ),
        (CUE + 'say: "[a (b@3)"', r":4:11: a \[ that is not closed; write \[words\]\(target\)"),
        (CUE + 'say: "[a] (b9@3)"', r":4:11: no target follows \[a\]"),
        (CUE + 'say: "[a](b9@3"', r":4:14: a \( that is not closed"),
        (CUE + 'say: "[a]()"', r":4:14: a link without a target"),
        (CUE + 'say: "[ ](b9@3)"', r":4:11: a link without words"),
        (CUE + 'say: "[a [b](3)](4)"', r":4:14: a link inside a link"),
        (CUE + 'say: "a {chord 3"', r":4:13: a { that is not closed"),
        (CUE + 'say: "a {} b"', r":4:13: nothing stands between the braces"),
        (CUE + 'say: "a ] b"', r":4:13: a \] that closes nothing"),
        (CUE + "say: |\n      line one\n      and [two", r":6:11: a \[ that is not closed"),
        (CUE + "say: " + "word " * 5000, "more than 20,000 characters; divide it"),
    ],
)
def test_each_fault_says_where_and_what_to_do(script, text, message):
    with pytest.raises(MaterialError, match=message):
        load_lesson(script(text))


def test_all_faults_come_in_one_run_in_order(script):
    text = HEAD + "hear: {1: X}\ntakes: y\ncues:\n  - bar: 1\n  - say: over #9\n    say: twice\n"
    with pytest.raises(MaterialError) as caught:
        load_lesson(script(text))
    assert [fault.place.line for fault in caught.value.faults] == [3, 4, 6, 7, 8]


@pytest.fixture
def book(tmp_path):
    (tmp_path / "scripts").mkdir()
    (tmp_path / "shared").mkdir()
    (tmp_path / "scripts" / "one.yaml").write_text("")
    (tmp_path / "shared" / "look.yaml").write_text("")

    def write(text):
        (tmp_path / "scripts" / "book.yaml").write_text(text)
        return tmp_path

    return write


def test_a_book_is_loaded_from_its_folder(book):
    folder = book(
        "book: Ten Etudes\nauthor: Me\nlessons: [one.yaml]\neditions: [concert, b-flat]\n"
        "look: ../shared/look.yaml\nsize: 1280x720\nrate: 30000/1001\nvoice: anna\n"
    )
    loaded = load_book(folder)
    assert (loaded.title, loaded.author, loaded.editions, loaded.voice) == (
        "Ten Etudes",
        "Me",
        ("concert", "b-flat"),
        "anna",
    )
    assert loaded.lessons == (folder / "scripts" / "one.yaml",)
    assert (loaded.size, loaded.rate, loaded.folder) == ((1280, 720), Fraction(30000, 1001), folder)
    assert loaded.look is not None
    assert load_book(folder / "scripts" / "book.yaml") == loaded


def test_a_book_has_usual_sizes_and_its_own_editions(book):
    folder = book("book: x\nlessons: [one.yaml]\neditions: [tuba]\n")
    (folder / "shared" / "editions.yaml").write_text("tuba: {interval: P1}\n")
    loaded = load_book(folder)
    assert (loaded.size, loaded.rate, loaded.editions) == ((1920, 1080), 30, ("tuba",))


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("editions: [bflat]", r":3:12: there is no edition 'bflat'; did you mean b-flat\?"),
        ("editions: [concert, concert]", r"concert stands twice; keep one"),
        ("editions: [concert]\nrate: 29.97", r":4:7: '29.97' is no frame rate; write 30000/1001"),
        ("editions: [concert]\nrate: 31", r"'31' is no frame rate; write one of 24, 25, 30"),
        ("editions: [concert]\nsize: 1921x1080", r":4:7: '1921x1080' is no picture size"),
        ("editions: [concert]\nlook: none.yaml", r":4:7: there is no file none.yaml"),
        ("edition: [concert]", r"'edition' is no key of the book file; did you mean editions\?"),
    ],
)
def test_a_faulty_book_says_so(book, line, message):
    with pytest.raises(MaterialError, match=message):
        load_book(book(f"book: x\nlessons: [one.yaml]\n{line}\n"))


OVERLAYS = "book: x\nlessons: [one.yaml]\neditions: [concert]\noverlays:\n  - film: walk.mov\n"


@pytest.fixture
def filmed(book):
    def write(text):
        folder = book(OVERLAYS + text)
        for name in ("walk.mov", "walk.musicxml"):
            (folder / "scripts" / name).touch()
        return folder

    return write


def test_a_book_lists_films_with_the_options_of_the_command(filmed):
    folder = filmed(
        "    score: walk.musicxml\n    part: Solo\n    written_for: b-flat\n    name: The walk\n    side: left\n"
        "    beside: yes\n    systems: 3\n    paper: 80%\n    form: yes\n    labels: yes\n    chords: no\n"
        "    from: 0:12.5\n    to: 1:05\n"
    )
    (overlay,) = load_book(folder).overlays
    scripts = folder / "scripts"
    assert (overlay.film, overlay.score) == (scripts / "walk.mov", scripts / "walk.musicxml")
    assert (overlay.name, overlay.part, overlay.written_for) == ("The walk", "Solo", "b-flat")
    assert overlay.style == OverlayStyle("left", True, 3, 80, True, True, False)
    assert (overlay.start_s, overlay.end_s) == (12.5, 65.0)
    assert (overlay.place.line, overlay.place.column) == (5, 5)


def test_a_film_needs_nothing_but_its_score(filmed):
    (overlay,) = load_book(filmed("    score: walk.musicxml\n")).overlays
    assert (overlay.name, overlay.style, overlay.lesson) == ("walk-film", OverlayStyle(), None)
    arguments = parse(["overlay", "walk.mov", "walk.musicxml"])
    assert {name: getattr(arguments, name) for name in asdict(overlay.style)} == asdict(overlay.style)


def test_a_layer_has_a_name_a_container_and_a_code_of_its_own(filmed):
    lines = "    score: walk.musicxml\n    layer: yes\n    container: webm\n    code: 10:00:00:00\n"
    (overlay,) = load_book(filmed(lines)).overlays
    assert (overlay.name, overlay.layer, overlay.container, overlay.code) == (
        "walk-layer",
        True,
        "webm",
        "10:00:00:00",
    )


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ("    sde: top", r":6:5: 'sde' is no key of an overlay; did you mean side\?"),
        (
            "    lesson: one.yaml\n    part: Solo",
            r":7:11: the lesson says which part it has; take part out here",
        ),
        ("    side: top", r":5:5: the film has neither a score nor a lesson"),
        (
            "    score: walk.musicxml\n    beside: maybe",
            r":7:13: 'maybe' is not known here; there are: yes, no",
        ),
        ("    score: walk.musicxml\n    systems: 9", r":7:14: '9' is no number of systems; write 1 to 6"),
        (
            "    score: walk.musicxml\n    paper: 0.8",
            r":7:12: '0.8' is no share of the paper; write 0% to 100%",
        ),
        ("    score: walk.musicxml\n    from: noon", r":7:11: 'noon' is no time in the film"),
        (
            "    score: walk.musicxml\n    layer: yes\n    beside: yes",
            r":8:13: a layer holds no film to make smaller; take `beside` out here",
        ),
        (
            "    score: walk.musicxml\n    layer: yes\n    container: mkv",
            r":8:16: a layer is not written into mkv files; write one of mov, webm",
        ),
        (
            "    score: walk.musicxml\n    container: webm",
            r":7:16: a film is not written into webm files; write one of mp4, mov, mkv",
        ),
        (
            "    score: walk.musicxml\n    container: avi",
            r":7:16: 'avi' is not known here",
        ),
        ("    score: walk.musicxml\n    from: 0:30\n    to: 12", r":8:9: nothing of the film is kept"),
    ],
)
def test_a_faulty_film_says_so(filmed, lines, message):
    with pytest.raises(MaterialError, match=message):
        load_book(filmed(f"{lines}\n"))


def test_a_folder_without_a_book_says_so(tmp_path):
    with pytest.raises(MaterialError, match=r"this folder holds no book; a book has a scripts/book\.yaml"):
        load_book(tmp_path)


YAMLISH = st.text(alphabet="abcueslrp:-[]{}()#&*!|>'\"%@`\\ \n\t0123.,~?é♭\x00\u2028", max_size=80)
KEYS = st.sampled_from(
    [
        *[
            "lesson",
            "score",
            "cues",
            "hear",
            "changes",
            "take",
            "bars",
            "say",
            "play",
            "compare",
            "show",
            "title",
            "narration",
        ]
    ]
)


@settings(max_examples=400)
@given(text=st.one_of(st.text(max_size=80), YAMLISH, st.lists(st.tuples(KEYS, YAMLISH), max_size=6)))
def test_any_text_loads_or_is_a_fault(script, text):
    source = text if isinstance(text, str) else CUE + "\n    ".join(f"{key}: {value}" for key, value in text)
    for load in (load_lesson, load_book):
        try:
            load(script(source.encode("utf-8", "surrogatepass")))
        except MaterialError as error:
            assert error.faults

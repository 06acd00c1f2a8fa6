import pickle
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from lessonmaker.faults import MaterialError
from lessonmaker.picture.look import Card, standard_look
from lessonmaker.picture.own_look import PERCENTAGES, read_own_look
from lessonmaker.picture.painter import Painter
from lessonmaker.picture.text import set_text
from tests.tools.font_packages import install, square_font
from tests.tools.own_looks import DARK, draw_logo, make_look
from tests.tools.picture_lesson import lesson, score_in
from tests.tools.wcag import ratio

BOOK = {"book": "Night Ferry Studies", "author": "Odo Plinth"}


@pytest.fixture
def read(tmp_path):
    """Reads a look file of a book's shared folder."""

    def reading(text):
        path = tmp_path / "shared" / "look.yaml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return read_own_look(path, tmp_path, BOOK)

    return reading


@pytest.fixture
def faults(read):
    """The faults of a look file, each as "line:column what; todo"."""

    def found(text):
        with pytest.raises(MaterialError) as caught:
            read(text)
        return [f"{one.place.line}:{one.place.column} {one.what}; {one.todo}" for one in caught.value.faults]

    return found


# Colours


def test_what_a_file_does_not_name_is_as_in_the_standard_look(read) -> None:
    own = read("sizes: {titles: 100%}\n")
    assert own.look == standard_look()
    assert own.look.digest == standard_look().digest
    assert own.remarks == ()


def test_greys_and_lights_follow_from_paper_and_ink(read) -> None:
    colours = read(DARK).look.colours
    assert colours["paper"] == (0x17, 0x1B, 0x20)
    assert colours["second"] == (179, 177, 172)  # 0.72 of the way from #171B20 to #F0ECE2, by hand
    assert colours["light"] == (64, 53, 26)  # a fifth of the way to #E69F00
    assert ratio(colours["played"], colours["cell"]) == pytest.approx(
        ratio(colours["played"], colours["ink"]), rel=0.05
    )
    assert colours["rest"] == colours["now"] == (0x6F, 0xB7, 0xE9)


def test_a_light_file_with_one_colour_keeps_the_other_greys(read) -> None:
    colours = read('colours: {tension: "#8A3300"}\n').look.colours
    assert {use for use in colours if colours[use] != standard_look().colour(use)} == {"tension"}


def test_a_colour_that_is_too_faint_is_a_fault_with_the_ratio_and_a_better_one(faults, read) -> None:
    (fault,) = faults('colours:\n  tension: "#E08040"\n')
    reached = ratio((0xE0, 0x80, 0x40), standard_look().colour("light"))
    what = f"tension on light has a contrast of {reached:.2f}: text needs 4.5 (WCAG 1.4.3)"
    assert fault.startswith(f'2:12 {what}; make it "#')
    better = fault.rpartition(" ")[2]
    assert read(f"colours: {{tension: {better}}}\n").remarks == ()


def test_a_colour_that_follows_is_blamed_on_the_paper(faults) -> None:
    found = faults('colours:\n  paper: "#202020"\n')
    assert len(found) == len({one.split()[1] for one in found})  # one fault a use
    assert all(one.startswith("2:10 ") for one in found)
    assert any("second on paper" in one and "name second yourself, as in" in one for one in found)


def test_a_light_that_could_flash_is_a_fault_with_one_that_cannot(faults, read) -> None:
    bright = DARK.replace("#6FB7E9", "#DDEEFF").replace("#F0925A", "#FFE8DC")
    bright += '  staff: "#FFFFFF"\n  second: "#FFFFFF"\n'
    (fault,) = faults(f'{bright}  light: "#606060"\n')
    assert "light that comes and goes on paper could flash: they differ too much (WCAG 2.3.1)" in fault
    assert fault.startswith("8:10 ")
    read(f"{bright}  light: {fault.rpartition(' ')[2]}\n")


def test_a_saturated_red_that_comes_and_goes_could_flash(faults) -> None:
    found = faults(f'{DARK}  light: "#700000"\n')
    assert any("could flash" in one for one in found)


def test_colours_that_colour_blind_eyes_confuse_are_remarked(read) -> None:
    own = read('colours:\n  now: "#006B3F"\n  tension: "#AC4200"\n')
    assert [(one.what, one.place.line) for one in own.remarks] == [
        ("red-blind eyes hardly tell tension from now", 3),
        ("red-blind eyes hardly tell tension from rest", 3),
    ]


def test_a_colour_that_cannot_be_read_is_the_only_fault(faults) -> None:
    (fault,) = faults(DARK.replace("paper:", "papre:"))
    assert fault == "2:3 'papre' is no key of the colours; did you mean paper?"
    (fault,) = faults(DARK.replace("#171B20", "dark"))
    assert fault.startswith("2:10 'dark' is no colour")


# Keys and values


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("colors: {}\n", "1:1 'colors' is no key of the look file; did you mean colours?"),
        ('colours: {papre: "#FFFFFF"}\n', "1:11 'papre' is no key of the colours; did you mean paper?"),
        ("colours:\n  paper: #FFFFFF\n", '2:9 no colour stands here; put it in quotes, as in "#1A1A1A"'),
        ("colours: {paper: white}\n", "1:18 'white' is no colour; write red, green and blue in hexadecimal"),
        ("fonts: {text: ../fonts}\n", "1:15 '../fonts' is no package's name; write it as pip has it"),
        (
            "fonts: {text: no-such-fonts}\n",
            "1:15 no package no-such-fonts is installed here; pip install no-such-fonts",
        ),
        (
            "fonts: {text: fontpkg-source-sans}\n",
            "1:15 no package fontpkg-source-sans is installed here; did you mean fontpkg-source-sans-3? Otherwise: pip",
        ),
        ("fonts: {text: pytest}\n", "1:15 pytest holds no upright font with Latin letters; name another"),
        (
            "sizes: {captions: 60%}\n",
            "1:19 '60%' is no size of captions; write 85% to 120% of the usual size",
        ),
        ("sizes: {chords: big}\n", "1:17 'big' is no size of chords; write 100% to 115%"),
        ("logo: {height: 80}\n", "1:7 the logo has no picture; add `picture: ...`"),
        ("logo: {picture: lgo.png}\n", "1:17 there is no file lgo.png; did you mean logo.png?"),
        ("logo: {picture: logo.png, height: 900}\n", "1:35 '900' is no height of a logo; write 40 to 200"),
        (
            "logo: {picture: logo.png, place: middle}\n",
            "1:34 'middle' is not known here; there are: top left",
        ),
        ("logo: {picture: logo.png, on: [cover]}\n", "1:32 'cover' is not known here; there are: title, end"),
        ('title_card: {lines: ["{editon}"]}\n', "1:22 a card knows no {editon}; did you mean edition?"),
        ('title_card: {under: "by {author"}\n', "1:21 a brace without its partner; write names as {title}"),
        ("title_card: {lines: [a, b, c, d, e, f, g]}\n", "1:21 7 lines are 1 more than a card has room for"),
        ("end_card: {lines: [{edition}]}\n", "1:20 a map stands where text is expected"),
        ("- colours\n", "1:1 the look file is a list, not `key: value` lines"),
    ],
)
def test_a_faulty_file_says_what_and_where(faults, tmp_path, text, fault) -> None:
    (tmp_path / "shared").mkdir()
    Image.new("RGB", (40, 20)).save(tmp_path / "shared" / "logo.png")
    assert [one for one in faults(text) if one.startswith(fault)], faults(text)


def test_all_faults_come_in_one_run(faults) -> None:
    text = 'colours: {ink: "#999999", nwo: "#000000"}\nfonts: {titles: no-such-fonts}\nsizes: {labels: 1%}\n'
    found = faults(text)
    assert {one.split(":")[0] for one in found} == {"1", "2", "3"}


# Faces


def test_titles_and_text_are_set_in_the_packages_named(read, tmp_path, monkeypatch) -> None:
    monkeypatch.syspath_prepend(tmp_path)
    install(tmp_path, "squares-of-looks", {"Squares.ttf": square_font()})
    own = read("fonts: {titles: fontpkg-source-sans-3, text: squares-of-looks}\n")
    packages = {use: (face.file.package, face.weight) for use, face in own.look.faces.items()}
    assert packages == {
        "title": ("fontpkg-source-sans-3", 600),
        "symbol": ("fontpkg-source-sans-3", 500),
        "text": ("squares-of-looks", 400),
        "strong": ("squares-of-looks", 400),
    }
    (remark,) = own.remarks
    assert "squares-of-looks has no semibold weight" in remark.what
    assert remark.place.line == 1


def test_titles_in_capitals_alone_are_refused_for_the_chords_sake(faults, tmp_path, monkeypatch) -> None:
    monkeypatch.syspath_prepend(tmp_path)
    install(
        tmp_path, "squares-of-looks", {"Squares.ttf": square_font()}
    )  # every letter is as high as the others
    (fault,) = faults("fonts: {titles: squares-of-looks}\n")
    assert "1:17 squares-of-looks has capitals only: a minor chord would look like a major one" in fault


# Sizes


@pytest.mark.parametrize("end", [0, 1])
def test_no_text_of_a_film_becomes_too_small_and_lines_stay_apart(read, end) -> None:
    sizes = "".join(f"  {name}: {bounds[end]}%\n" for name, bounds in PERCENTAGES.items())
    look = read(f"sizes:\n{sizes}").look
    for size in ((1920, 1080), (1080, 1920), (1080, 1080)):
        fitted = look.fitted(size)
        caption = fitted.sizes["caption"]
        assert min(caption["size"], fitted.size("header", "title_size")) >= 40
        assert caption["second"] - caption["first"] >= 1.25 * caption["size"]
        for kind in fitted.kinds.values():
            assert min(kind.label_size, kind.chord_size * fitted.size("chord", "super_size")) >= 40
        for name in ("analysis", "tension"):
            assert fitted.kinds[name].bottom <= caption["first"] - 0.7 * caption["size"]


# Cards


def test_cards_take_the_book_s_names_at_once_and_the_film_s_later(read) -> None:
    own = read(
        'title_card: {under: "by {composer}", lines: ["{edition}", "from {book} by {author}"]}\n'
        'end_card: {heading: "Well done", lines: []}\n'
    )
    assert own.look.cards["title"] == Card(
        "{title}", "by {composer}", ("{edition}", "from Night Ferry Studies by Odo Plinth")
    )
    assert own.look.cards["end"] == Card("Well done", "{composer}", ())


def test_what_does_not_fit_on_a_card_is_remarked_once_and_by_how_much(read, tmp_path) -> None:
    (tmp_path / "shared").mkdir()
    Image.new("RGB", (60, 60)).save(tmp_path / "shared" / "logo.png")
    line = (
        "Played slowly at first, then at the tempo that is printed, then in every key that you know by heart"
    )
    text = f'end_card: {{lines: ["{line}", "{{edition}}", "{{edition}}", "{{edition}}", "{{edition}}"]}}\n'
    look = read(f"{text}logo: {{picture: logo.png, height: 200, place: bottom left, on: [end]}}\n").look
    painter = Painter(lesson(), score_in("gaslight-errand", "b-flat"), look, (1920, 1080))
    excess = set_text(line, look.face("text"), look.size("card", "small_size")).advance - (1824 - 96)
    assert [remark.what for remark in painter.remarks] == [
        f"the end card's line {line!r} is {excess:.0f} pixels too long: it is cut",
        "B♭ edition: the logo stands on a line of the end card",
    ]


# Logo


def test_the_logo_is_laid_where_it_is_asked_for_in_both_colour_spaces(read, tmp_path) -> None:
    (tmp_path / "shared").mkdir()
    Image.new("RGBA", (60, 60), (255, 0, 255, 255)).save(tmp_path / "shared" / "logo.png")
    own = read("logo: {picture: logo.png, height: 108, place: bottom left, on: [end, pages]}\n")
    painter = Painter(lesson(), score_in("gaslight-errand", "b-flat"), own.look, (640, 360))
    plain = Painter(lesson(), score_in("gaslight-errand", "b-flat"), size=(640, 360))
    grounds = {name: painter.ground(name, "rgb") for name in ("title", "end", "header")}
    assert np.array_equal(grounds["title"], plain.ground("title", "rgb"))
    assert (grounds["end"][:, 290, 40] == (255, 0, 255)).all()  # 36 pixels high above the form strip
    magenta = [(np.moveaxis(one, 0, 2) == (255, 0, 255)).all(axis=2).sum() for one in grounds.values()]
    assert magenta == [0, 36 * 36, 20 * 20]  # 60 of 1080 lines in the header
    # BT.709: magenta is Y' 78, Cb 214, Cr 230 in 8 bits limited range (from ITU-R BT.709-6, by hand)
    assert np.abs(painter.ground("end", "yuv")[:, 290, 40].astype(int) - (78, 214, 230)).max() <= 1


def test_the_header_s_texts_make_room_for_the_logo(read, tmp_path) -> None:
    (tmp_path / "shared").mkdir()
    Image.new("RGB", (60, 60), (255, 0, 255)).save(tmp_path / "shared" / "logo.png")
    own = read("logo: {picture: logo.png, on: [pages]}\n")
    painter = Painter(lesson(), score_in("gaslight-errand", "b-flat"), own.look, (1920, 1080))
    header = np.moveaxis(painter.ground("header", "rgb"), 0, 2)[:128]
    paper = np.array(own.look.colour("paper"))
    inked = np.flatnonzero((np.abs(header.astype(int) - paper).max(axis=2) > 40).any(axis=0))
    assert inked.max() == 1823  # the logo's right edge is the measure's
    gap = np.flatnonzero(np.diff(inked[inked > 1400]) > 1)
    assert np.diff(inked[inked > 1400])[gap[-1]] >= 30  # and the edition ends well before it


def test_a_logo_elsewhere_than_in_the_book_is_refused(faults, tmp_path) -> None:
    outside = tmp_path.parent / "outside.png"
    Image.new("RGB", (40, 20)).save(outside)
    for name in (f"../../{outside.name}", str(outside)):
        (fault,) = faults(f'logo: {{picture: "{name}"}}\n')
        assert "1:17 the logo lies outside the book's folder; copy it into shared/" in fault
    link = tmp_path / "shared" / "link.png"
    link.symlink_to(outside)
    assert "outside the book's folder" in faults("logo: {picture: link.png}\n")[0]


@pytest.mark.parametrize(
    ("name", "make", "fault"),
    [
        ("a.png", lambda path: path.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(60)), "a.png is no whole PNG or JPEG"),
        ("a.png", lambda path: Image.new("RGB", (9, 9)).save(path, format="GIF"), "a.png is no whole PNG or JPEG"),
        ("a.png", lambda path: Image.new("1", (8000, 4000)).save(path), "8000 x 4000 pixels, a logo at most 16 mil"),
        ("a.png", lambda path: Image.new("1", (20000, 10000)).save(path), "a.png has far too many pixels; make"),
        ("a.png", lambda path: Image.new("1", (10000, 9000)).save(path), "10000 x 9000 pixels, a logo at most 16"),
        ("a.png", lambda path: Image.new("I;16", (9, 9)).save(path), "has more than 8 bits a channel; save it with 8"),
        ("a.jpg", lambda path: path.write_bytes(bytes(10_000_001)), "a.jpg has 10.0 MB, a logo at most 10"),
        ("a.png", lambda path: Image.new("L", (900, 60)).save(path), "1350 wide, 550 more than there is room for"),
    ],
)  # fmt: skip
def test_a_picture_that_cannot_serve_is_refused(faults, tmp_path, name, make, fault) -> None:
    (tmp_path / "shared").mkdir()
    make(tmp_path / "shared" / name)
    (found,) = faults(f"logo: {{picture: {name}}}\n")
    assert found.startswith("1:17 ")
    assert fault in found


def test_a_truncated_picture_is_refused(faults, tmp_path) -> None:
    (tmp_path / "shared").mkdir()
    whole = tmp_path / "shared" / "a.png"
    Image.effect_noise((200, 200), 50).save(whole)
    whole.write_bytes(whole.read_bytes()[:9000])
    assert "a.png is no whole PNG or JPEG picture; save it again" in faults("logo: {picture: a.png}\n")[0]


def test_a_large_picture_is_held_small_and_keeps_its_shape(read, tmp_path) -> None:
    (tmp_path / "shared").mkdir()
    Image.new("CMYK", (4000, 2000)).save(tmp_path / "shared" / "logo.jpg")
    logo = read("logo: {picture: logo.jpg, height: 60}\n").look.logo
    assert logo is not None
    assert (logo.width, logo.height, logo.place, logo.on) == (120, 60, "top right", ("title", "end"))
    assert len(logo.picture) < 100_000


# Together


KEYS = st.sampled_from(
    [
        "colours",
        "fonts",
        "sizes",
        "logo",
        "title_card",
        "paper",
        "now",
        "titles",
        "text",
        "picture",
        "on",
        "lines",
        "x",
    ]
)
VALUES = st.sampled_from(
    ["", "#000000", '"#FFFFFF"', "100%", "logo.png", "../..", "title", "{", '"{title}"', '"\\0"', "*a", "1e9"]
)
TEXTS = st.recursive(
    VALUES,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]"),
        st.dictionaries(KEYS, inner, max_size=4).map(
            lambda items: "{" + ", ".join(f"{key}: {value}" for key, value in items.items()) + "}"
        ),
    ),
    max_leaves=12,
)


@given(st.dictionaries(KEYS, TEXTS, min_size=1, max_size=4))
@settings(max_examples=60)
def test_whatever_a_file_holds_it_is_a_look_or_has_faults_with_places(read, tmp_path, sections) -> None:
    try:
        read("".join(f"{key}: {value}\n" for key, value in sections.items()))
    except MaterialError as error:
        assert error.faults
        assert all(fault.place.path == tmp_path / "shared" / "look.yaml" for fault in error.faults)


def test_the_readme_s_example_is_such_a_file_and_its_fault_is_what_is_said(read, faults, tmp_path) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    example = next(one for one in readme.split("```yaml\n") if one.startswith("colours:")).split("```")[0]
    (tmp_path / "shared").mkdir()
    draw_logo(tmp_path / "shared" / "logo.png")
    own = read(example)
    assert own.look.logo is not None
    assert own.look.cards["title"].lines[-1] == "From Night Ferry Studies"
    (fault,) = faults(example.replace("#F0925A", "#C06A3A"))
    assert f"shared/look.yaml:{fault.replace(' ', ': ', 1)}" in readme


def test_a_look_travels_whole_and_is_known_by_its_content(tmp_path) -> None:
    path = make_look(tmp_path)
    look = read_own_look(path, tmp_path, BOOK).look
    again = read_own_look(path, tmp_path, BOOK).look
    sent = pickle.loads(pickle.dumps(look))
    assert look == again == sent
    assert look.digest == again.digest == sent.digest != standard_look().digest


def test_a_card_s_texts_count_for_its_own_pictures_only(read, tmp_path) -> None:
    (tmp_path / "shared").mkdir()
    Image.new("RGB", (40, 20)).save(tmp_path / "shared" / "logo.png")

    def contents(text):
        painter = Painter(lesson(), score_in("gaslight-errand", "b-flat"), read(text).look, (640, 360))
        keys = [painter.key(page.start) for page in lesson().pages]
        return dict(zip([page.kind for page in lesson().pages], map(painter.content, keys), strict=True))

    def differing(text):
        plain, other = contents("sizes: {titles: 100%}\n"), contents(text)
        return {kind for kind in plain if plain[kind] != other[kind]}

    assert differing("end_card: {heading: Well done}\n") == {"end"}
    assert differing("logo: {picture: logo.png, on: [title]}\n") == {"title"}
    assert differing("logo: {picture: logo.png, on: [pages]}\n") == {"play", "analysis", "tension"}
    assert differing('colours: {tension: "#8A3300"}\n') == {"title", "play", "analysis", "tension", "end"}

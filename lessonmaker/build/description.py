"""The text that goes with a film where it is put on show: what it is, and its chapters with their times."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["About", "description"]


@dataclass(frozen=True)
class About:
    """A film in words.

    Attributes:
        title, edition, composer: as they stand on its title card; `composer` may be empty.
        book, author: the book it belongs to; `author` may be empty.
        number: the how-manieth of the book's lessons it is.
        seconds: how long it plays.
        played: whether it has a performance of the etude.
        filmed: whether it is a film of the performance, with the score laid over it.
        layer: whether it is such a film's score alone.
        captioned: whether captions come with it.
        chapters: a line a chapter, with its time and title.
    """

    title: str
    edition: str
    composer: str
    book: str
    author: str
    number: int
    seconds: float
    played: bool
    captioned: bool
    chapters: str
    filmed: bool = False
    layer: bool = False


def description(about: About) -> str:
    """The text as plain lines, each paragraph on one, to be pasted anywhere."""
    by_author = f", by {about.author}" if about.author else ""
    what = described(about)
    captions = " Captions come with the film." if about.captioned else ""
    kind = "Layer" if about.layer else "Film" if about.filmed else "Lesson"
    paragraphs = [
        f"{about.title} ({about.edition})\n{kind} {about.number} of {about.book}{by_author}",
        f"{what}{captions}",
    ]
    if about.chapters:
        paragraphs.append(f"Chapters\n{about.chapters.rstrip()}")
    return "\n\n".join(paragraphs) + "\n"


def described(about: About) -> str:
    """What it is."""
    if about.layer:
        return alone(about)
    return filmed(about) if about.filmed else explained(about)


def alone(about: About) -> str:
    """What a layer is."""
    return (
        f"The score of an etude{by_composer(about)} alone, transparent round it{length(about.seconds)}, to be laid "
        "over its film in an editor: each bar and each note lights up as it sounds."
    )


def explained(about: About) -> str:
    """What a lesson is."""
    playing = "while it is played, and " if about.played else ""
    return (
        f"An etude{by_composer(about)}, explained over its score{length(about.seconds)}. "
        f"Each bar lights up {playing}while it is spoken of; notes that make tension light up, "
        "with their degree over the chord, when they are named."
    )


def filmed(about: About) -> str:
    """What a film of a performance is."""
    told = " What happens in the music is told as it is played." if about.captioned else ""
    return (
        f"An etude{by_composer(about)}, filmed while it is played{length(about.seconds)}, with its score: "
        f"each bar and each note lights up as it sounds.{told}"
    )


def by_composer(about: About) -> str:
    """Whose etude it is, if that is known."""
    return f" by {about.composer}" if about.composer else ""


def length(seconds: float) -> str:
    """How long a film is, in words; nothing of one that is shorter than a minute."""
    minutes = round(seconds / 60)
    return f" in {minutes} minute{'' if minutes == 1 else 's'}" if minutes else ""

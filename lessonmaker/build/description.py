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


def description(about: About) -> str:
    """The text as plain lines, each paragraph on one, to be pasted anywhere."""
    by_author = f", by {about.author}" if about.author else ""
    by_composer = f" by {about.composer}" if about.composer else ""
    playing = "while it is played, and " if about.played else ""
    captions = " Captions come with the film." if about.captioned else ""
    paragraphs = [
        f"{about.title} ({about.edition})\nLesson {about.number} of {about.book}{by_author}",
        f"An etude{by_composer}, explained over its score{length(about.seconds)}. "
        f"Each bar lights up {playing}while it is spoken of; notes that make tension light up, "
        f"with their degree over the chord, when they are named.{captions}",
    ]
    if about.chapters:
        paragraphs.append(f"Chapters\n{about.chapters.rstrip()}")
    return "\n\n".join(paragraphs) + "\n"


def length(seconds: float) -> str:
    """How long a film is, in words; nothing of one that is shorter than a minute."""
    minutes = round(seconds / 60)
    return f" in {minutes} minute{'' if minutes == 1 else 's'}" if minutes else ""

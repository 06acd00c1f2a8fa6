"""The texts that go with a film: captions as WebVTT and SubRip, chapters as plain lines.

WebVTT follows the W3C recommendation of 2019 (cue text: `&` and `<` escaped); SubRip is the customary form.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonmaker.timeline.model import TICKS_PER_SECOND, Caption, Chapter

__all__ = ["chapter_lines", "subrip", "webvtt"]


def clock(ticks: int, separator: str) -> str:
    """Hours, minutes, seconds and milliseconds of a time in ticks."""
    milliseconds = ticks * 1000 // TICKS_PER_SECOND
    seconds, milliseconds = divmod(milliseconds, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}:{seconds:02}{separator}{milliseconds:03}"


def webvtt(captions: Sequence[Caption]) -> str:
    """The captions as a WebVTT file."""
    cues = ("\n".join([timing(caption, "."), *map(escaped, caption.lines)]) for caption in captions)
    return "\n\n".join(["WEBVTT", *cues]) + "\n"


def subrip(captions: Sequence[Caption]) -> str:
    """The captions as a SubRip file."""
    cues = (
        "\n".join([str(number), timing(caption, ","), *caption.lines])
        for number, caption in enumerate(captions, 1)
    )
    return "\n\n".join(cues) + "\n"


def timing(caption: Caption, separator: str) -> str:
    """The line that says when a caption is in sight."""
    return f"{clock(caption.start, separator)} --> {clock(caption.end, separator)}"


def escaped(line: str) -> str:
    """A line as WebVTT cue text."""
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def chapter_lines(chapters: Sequence[Chapter]) -> str:
    """One line a chapter: its time and title, the first at 0:00."""
    return "".join(f"{short_clock(chapter.start)} {chapter.title}\n" for chapter in chapters)


def short_clock(ticks: int) -> str:
    """Minutes and seconds, with hours where there are any."""
    minutes, seconds = divmod(ticks // TICKS_PER_SECOND, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"

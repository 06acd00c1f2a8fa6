"""The commands, their arguments and their help."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path

from lessonmaker import __version__
from lessonmaker.script.overlay_style import MOST_SYSTEMS, PERCENT, SIDES, STANDARD_STYLE

__all__ = ["parse"]

DESCRIPTION = "Narrated video lessons from a score, a recording and a lesson script, in every key edition."


def command(module: str) -> Callable[[argparse.Namespace], int]:
    """The command of a module of `lessonmaker.cli`, imported when it is called."""

    def run(arguments: argparse.Namespace) -> int:
        return int(import_module(f"lessonmaker.cli.{module}").run(arguments))

    return run


def parse(argv: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line; wrong usage ends the program with status 2."""
    parser = argparse.ArgumentParser(
        prog="lessonmaker", description=DESCRIPTION, epilog="Start with: lessonmaker new --demo ferry-book"
    )
    parser.add_argument("--version", action="version", version=f"lessonmaker {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    add_new(commands)
    add_check(commands)
    add_build(commands)
    add_release(commands)
    add_clean(commands)
    add_overlay(commands)
    add_sync(commands)
    add_analyse(commands)
    add_draft(commands)
    return parser.parse_args(argv)


def add(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, help_: str, *examples: str
) -> argparse.ArgumentParser:
    """One command, with an example or several under its help."""
    parser = commands.add_parser(
        name,
        help=help_,
        description=help_[0].upper() + help_[1:] + ".",
        epilog="Example: " + "\n         ".join(examples),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--json", action="store_true", help="print JSON, for programs")
    parser.set_defaults(run=command(name))
    return parser


def add_new(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`new`."""
    parser = add(commands, "new", "start a book in a new folder", "lessonmaker new --demo ferry-book")
    parser.add_argument("folder", type=Path, help="the folder to make")
    parser.add_argument(
        "--demo", action="store_true", help="fill it with the demo book: two etudes, takes and lessons"
    )


def add_check(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`check`."""
    parser = add(
        commands,
        "check",
        "read a book or lessons and report every fault",
        "lessonmaker check scripts/night-walk.yaml",
        "lessonmaker check night-walk --explain",
        "lessonmaker check night-walk --to-record > read-this.txt",
    )
    add_lessons(parser)
    parser.add_argument(
        "--explain",
        action="store_true",
        help="show each sentence with what was understood: what it lights, what is false, what is not clear",
    )
    parser.add_argument(
        "--listen",
        action="store_true",
        help="listen to the author's recordings too: report what is said otherwise than the script has it",
    )
    parser.add_argument(
        "--to-record",
        action="store_true",
        help="list the sentences that the author still has to record, and how long each is",
    )


def add_build(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`build`."""
    parser = add(
        commands,
        "build",
        "make the videos of a book or of single lessons: those that are not as they should be",
        "lessonmaker build --edition b-flat",
        "lessonmaker build --dry-run",
        "lessonmaker build --cluster tcp://10.0.0.5:8786",
    )
    add_lessons(parser)
    parser.add_argument(
        "--edition", action="append", metavar="E", help="only this edition (may be given several times)"
    )
    parser.add_argument(
        "--output", type=Path, metavar="FOLDER", help="where the files go (default: out/ in the book)"
    )
    parser.add_argument(
        "--allow-code",
        action="store_true",
        help="run the book's own Python files for the scenes that a lesson names by their functions",
    )
    parser.add_argument(
        "--cluster",
        metavar="ADDRESS",
        help="have the parts made by the workers of this Dask scheduler (a cluster that you trust)",
    )
    parser.add_argument("--explain", action="store_true", help="say of each film why it is made again")
    parser.add_argument(
        "--dry-run",
        action="store_true",
        help="make nothing: say what would be made, why, and how long it takes",
    )


def add_release(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`release`."""
    parser = add(
        commands,
        "release",
        "gather the finished films and their texts for customers, and say which files they need again",
        "lessonmaker release",
        "lessonmaker release ferry-book --edition b-flat",
    )
    add_book(parser)
    parser.add_argument(
        "--edition", action="append", metavar="E", help="only this edition (may be given several times)"
    )
    parser.add_argument(
        "--films", type=Path, metavar="FOLDER", help="where `build` put the films (default: out/ in the book)"
    )
    parser.add_argument(
        "--output",
        type=Path,
        metavar="FOLDER",
        help="where releases are kept (default: release/ in the book)",
    )


def add_clean(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`clean`."""
    parser = add(
        commands,
        "clean",
        "keep the store of finished parts within the size that the book file sets, oldest use first",
        "lessonmaker clean",
        "lessonmaker clean ferry-book",
    )
    add_book(parser)
    parser.add_argument(
        "--output",
        type=Path,
        metavar="FOLDER",
        help="where `build` put the films (default: out/ in the book)",
    )


def add_overlay(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`overlay`."""
    parser = add(
        commands,
        "overlay",
        "lay the score with its lit bars over a film of the performance",
        "lessonmaker overlay night-walk.mov media/night-walk.musicxml --edition b-flat",
        "lessonmaker overlay night-walk.mov media/night-walk.musicxml --side right --beside",
        "lessonmaker overlay night-walk.mov media/night-walk.musicxml --layer --paper 60",
        "lessonmaker overlay night-walk.mov scripts/night-walk.yaml",
    )
    parser.add_argument("film", type=Path, help="a film with the sound of the performance")
    parser.add_argument(
        "score", type=Path, help="a score, or a lesson script whose commentary is to be read over the film"
    )
    add_part(parser)
    parser.add_argument(
        "--edition", default="concert", metavar="E", help="the edition to show (default: concert)"
    )
    parser.add_argument(
        "--output",
        type=Path,
        metavar="FILE",
        help="the film to write, as .mp4, .mov or .mkv, or the layer, as .mov or .webm (default: the film's name and "
        "the edition's, here)",
    )
    parser.add_argument(
        "--layer",
        action="store_true",
        help="write the score alone, transparent round it, to be laid over the film in an editor",
    )
    parser.add_argument(
        "--side",
        choices=SIDES,
        default=STANDARD_STYLE.side,
        help=f"where the score lies (default: {STANDARD_STYLE.side})",
    )
    parser.add_argument(
        "--beside", action="store_true", help="make the film smaller, so that the score covers nothing of it"
    )
    parser.add_argument(
        "--systems",
        type=int,
        choices=range(1, MOST_SYSTEMS + 1),
        metavar="N",
        help="how many systems are in sight (default: 1 below or above, 4 at a side)",
    )
    parser.add_argument(
        "--paper",
        type=int,
        choices=range(PERCENT + 1),
        default=STANDARD_STYLE.paper,
        metavar="PERCENT",
        help=f"how much the paper covers what is behind it (default: {STANDARD_STYLE.paper})",
    )
    parser.add_argument("--form", action="store_true", help="show the form strip under the systems")
    parser.add_argument("--labels", action="store_true", help="label each note with its degree as it sounds")
    parser.add_argument(
        "--no-chords", dest="chords", action="store_false", help="leave out the chord symbols"
    )
    parser.add_argument("--look", type=Path, metavar="FILE", help="a book's look, as in shared/look.yaml")
    parser.add_argument("--from", dest="start", metavar="TIME", help="begin here in the film, as in 0:12.5")
    parser.add_argument("--to", dest="end", metavar="TIME", help="end here in the film")
    parser.add_argument(
        "--code",
        metavar="CODE",
        help="the time code of the first frame, as in 01:00:00:00 (default: the film's)",
    )
    parser.add_argument(
        "--bar-chapters", action="store_true", help="a chapter for each bar, instead of one for each section"
    )


def add_book(parser: argparse.ArgumentParser) -> None:
    """The book a command works on."""
    parser.add_argument(
        "book",
        nargs="?",
        type=Path,
        default=Path(),
        metavar="BOOK",
        help="a book's folder (default: this one)",
    )


def add_lessons(parser: argparse.ArgumentParser) -> None:
    """The lessons a command works on."""
    parser.add_argument(
        "lessons",
        nargs="*",
        metavar="LESSON",
        help="a lesson script, a lesson's name in the book here, or a book's folder (default: the whole book here)",
    )


def add_sync(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`sync`."""
    parser = add(
        commands,
        "sync",
        "fit a take to its score and say how sure it is",
        "lessonmaker sync night-ferry --plot take.png",
        "lessonmaker sync etude.musicxml take.flac",
    )
    parser.add_argument(
        "names",
        nargs="+",
        metavar="NAME",
        help="a score and its take; or a lesson: its script, its name in the book here, or a book's folder",
    )
    parser.add_argument(
        "--plot", type=Path, metavar="FILE", help="draw what was found into a .png or .svg file"
    )
    add_part(parser)


def add_analyse(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`analyse`."""
    parser = add(
        commands,
        "analyse",
        "say what each note is to its chord, and what the line does",
        "lessonmaker analyse etude.musicxml",
        'lessonmaker analyse scripts/book.yaml --find "b9 -> 5 over V"',
    )
    add_score(parser)
    parser.add_argument(
        "--find",
        metavar="WHAT",
        help="where something happens, in the score or in a whole book: a device, a degree or a resolution, "
        "over a function; or bars whose devices are to be found elsewhere",
    )


def add_draft(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """`draft`."""
    parser = add(
        commands,
        "draft",
        "write a first lesson script for a score",
        "lessonmaker draft media/night-walk.musicxml --output scripts/night-walk.yaml",
        "lessonmaker draft media/night-walk.musicxml --from words.vtt --output scripts/night-walk.yaml",
    )
    add_score(parser)
    parser.add_argument(
        "--from",
        dest="transcript",
        type=Path,
        metavar="FILE",
        help="take the words from a timed transcript: WebVTT, SRT, or words with times (JSON, CSV, TSV)",
    )
    parser.add_argument("--output", type=Path, metavar="FILE", help="the script to write (default: print it)")


def add_score(parser: argparse.ArgumentParser) -> None:
    """The score a command works on."""
    parser.add_argument("score", type=Path, help="a score: MusicXML, compressed MusicXML or MEI")
    add_part(parser)


def add_part(parser: argparse.ArgumentParser) -> None:
    """Which part of a score, and what it is written for."""
    parser.add_argument("--part", help="the part to read (default: the first)")
    parser.add_argument(
        "--written-for",
        metavar="E",
        help="edition or interval the part is written for, if the file does not say",
    )

"""`release`: gather the finished films for customers, and say which files they need again."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from lessonmaker.build.order import find_order
from lessonmaker.build.release import Release, Released, again_lines, changes_data, release_book
from lessonmaker.cli.report import print_json, size_text

__all__ = ["run"]


def run(arguments: argparse.Namespace) -> int:
    """Release a book's editions."""
    order = find_order((), arguments.edition, arguments.book)
    folder = order.book.folder
    release = release_book(
        order, arguments.films or folder / "out", arguments.output or folder / "release", say_step
    )
    if arguments.json:
        print_json(release_json(release))
    else:
        print("\n".join(lines(release)))
    return 0


def say_step(text: str) -> None:
    """Say what is being done."""
    print(text, file=sys.stderr, flush=True)


def lines(release: Release) -> list[str]:
    """What was released, for people."""
    if not release.made:
        return [f"Nothing has changed for customers since release {release.number}: nothing was written."]
    made = [f"{one.zip_path} ({size_text(one.zip_bytes)})" for one in release.packages]
    news = f"Release {release.number} stands in {release.folder}. What customers need:"
    return [*made, news, *again_lines(release)]


def release_json(release: Release) -> dict[str, Any]:
    """A release as plain data."""
    return {
        "release": release.number,
        "folder": str(release.folder),
        "made": release.made,
        "packages": [package_json(one) for one in release.packages],
        "left_out": [
            {"edition": edition, "product": product, "picture": picture, "last": last}
            for (edition, product, picture), last in release.left_out.items()
        ],
    }


def package_json(released: Released) -> dict[str, Any]:
    """A package as plain data."""
    return {
        "edition": released.package.edition.id,
        "product": released.package.product,
        "folder": str(released.zip_path.with_suffix("")),
        "zip": str(released.zip_path),
        "bytes": released.zip_bytes,
        "sha256": released.zip_digest,
        **changes_data(released),
    }

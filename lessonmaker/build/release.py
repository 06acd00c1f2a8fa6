"""Releases of a book: its packages in a numbered folder, whole or not there, with what customers need again.

A release is refused while a lesson has faults, or while a film is not what its sources and these tools make of it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias

from lessonmaker.build.archive import pack_folder
from lessonmaker.build.check import check_order
from lessonmaker.build.customers import Changes, changes_between
from lessonmaker.build.order import Order
from lessonmaker.build.overlay_plan import overlays_of
from lessonmaker.build.package import MANIFEST, Package, packages_of
from lessonmaker.build.plan import PlannedFilm, plan_of
from lessonmaker.faults import Fault, MaterialError, Place
from lessonmaker.files import file_digest, finished_folder, remove_abandoned

__all__ = ["Release", "Released", "again_lines", "changes_data", "release_book"]

AGAIN = "again.txt"
FOLDER_NAME = re.compile(r"[0-9]{3,}")

Kind: TypeAlias = tuple[str, str, str]
"""A package's edition, product and size of pictures."""


@dataclass(frozen=True)
class Released:
    """A package of a release.

    Attributes:
        package: what it holds.
        zip_path: its ZIP file; its folder has the same name without the ending.
        zip_bytes, zip_digest: the ZIP file's size and SHA-256 digest.
        since: the number of the earlier release that it is compared with, None where it is the first of its kind.
        changes: what has changed since.
    """

    package: Package
    zip_path: Path
    zip_bytes: int
    zip_digest: str
    since: int | None
    changes: Changes


@dataclass(frozen=True)
class Release:
    """A release: its number, its folder, its packages.

    Where nothing has changed since the last one it is that, not `made` and without packages. `left_out` has the
    packages that only earlier releases have, with the number of the last.
    """

    number: int
    folder: Path
    packages: tuple[Released, ...]
    made: bool
    left_out: Mapping[Kind, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Compared:
    """A package, and what has changed in it since an earlier release."""

    package: Package
    since: int | None
    changes: Changes

    @property
    def is_news(self) -> bool:
        """Whether a customer has something to do, or there was none before."""
        return self.since is None or bool(self.changes)


def release_book(order: Order, films: Path, place: Path, tell: Callable[[str], None]) -> Release:
    """Gather the finished films of a book's editions, with all that goes with them.

    Args:
        order: the book's lessons, all of them, in the editions that are to be released.
        films: the folder that the films were built into.
        place: the folder that holds the book's releases.
        tell: told what is being done.

    Raises:
        MaterialError: a lesson has faults; a film is not as it should be; an earlier release's manifest is damaged.
        OSError: a file cannot be read or written.
    """
    packages = packages_of(order.book, order.editions, finished_films(order, films))
    earlier = earlier_releases(place)
    compared = [compare(package, earlier) for package in packages]
    last = max(earlier, default=0)
    if not any(one.is_news for one in compared):
        return Release(last, folder_of(place, last), (), made=False)
    remove_abandoned(place)
    number = last + 1
    place.mkdir(parents=True, exist_ok=True)
    folder = folder_of(place, number)
    with finished_folder(folder) as fragment:
        written = [write_package(one, fragment, folder, tell) for one in compared]
        write_json(
            fragment / MANIFEST, {"release": number, "packages": [package_data(one) for one in written]}
        )
        release = Release(number, folder, tuple(written), True, left_out_of(packages, earlier))
        (fragment / AGAIN).write_text(again_text(release), encoding="utf-8")
    return release


def finished_films(order: Order, films: Path) -> list[PlannedFilm]:
    """The films of an order, all of them as they should be.

    Raises:
        MaterialError: a lesson has faults, or a film is to be made first.
    """
    check_order(order)
    planned: list[PlannedFilm] = [*plan_of(order, films), *overlays_of(order, films)]
    faults = [
        Fault(
            f"this film is not as it should be: {'; '.join(one.why)}", "build first", Place(one.outputs.film)
        )
        for one in planned
        if not one.is_done
    ]
    if faults:
        raise MaterialError(faults)
    refuse_mixed(planned)
    return planned


def refuse_mixed(planned: Sequence[PlannedFilm]) -> None:
    """Films that share a source show it in one state, and one version of the tools has made them.

    Raises:
        MaterialError: a source or the tools changed between two films.
    """
    known: dict[str, str] = {}
    for one in planned:
        assert one.before is not None  # of a film that is as it should be
        sources = one.before.sources
        held = {path: digest for some in sources.digests.values() for path, digest in some.items()}
        for name, digest in {**held, "this program": sources.tools}.items():
            if known.setdefault(name, digest) != digest:
                what = f"another film was made from another state of {name}"
                raise MaterialError(Fault(what, "build again, and release then", Place(one.outputs.film)))


def folder_of(place: Path, number: int) -> Path:
    """Where a release lies: names that sort."""
    return place / f"{number:03}"


def earlier_releases(place: Path) -> dict[int, Mapping[Kind, Mapping[str, str]]]:
    """Earlier releases by number: of each kind of package, the digests of its files by name.

    Raises:
        MaterialError: a manifest cannot be read.
    """
    folders = place.iterdir() if place.is_dir() else ()
    numbered = [folder for folder in folders if FOLDER_NAME.fullmatch(folder.name) and folder.is_dir()]
    return {int(folder.name): files_of_release(folder / MANIFEST) for folder in numbered}


def files_of_release(path: Path) -> dict[Kind, dict[str, str]]:
    """What a release's manifest says its packages hold."""
    try:
        packages = json.loads(path.read_text(encoding="utf-8"))["packages"]
        return {
            (str(one["edition"]), str(one["product"]), str(one["picture"])): {
                str(file["name"]): str(file["sha256"]) for film in one["films"] for file in film["files"]
            }
            for one in packages
        }
    except (OSError, ValueError, LookupError, TypeError, RecursionError) as error:
        what = "the manifest of this earlier release cannot be read, so what customers have is not known"
        todo = "put it back, or move the release's folder away"
        raise MaterialError(Fault(what, todo, Place(path))) from error


def compare(package: Package, earlier: Mapping[int, Mapping[Kind, Mapping[str, str]]]) -> Compared:
    """A package against the last release that had it."""
    kind = kind_of(package)
    since = max((number for number, packages in earlier.items() if kind in packages), default=None)
    before = earlier[since][kind] if since is not None else {}
    return Compared(package, since, changes_between(before, package.digests))


def kind_of(package: Package) -> Kind:
    """What tells a package from the others of its book."""
    return package.edition.id, package.product, package.picture


def left_out_of(
    packages: Sequence[Package], earlier: Mapping[int, Mapping[Kind, Mapping[str, str]]]
) -> dict[Kind, int]:
    """The packages that only earlier releases have, and the last that has each."""
    last = {kind: number for number in sorted(earlier) for kind in earlier[number]}
    return {kind: number for kind, number in last.items() if kind not in map(kind_of, packages)}


def write_package(compared: Compared, fragment: Path, folder: Path, tell: Callable[[str], None]) -> Released:
    """Write a package's folder and its ZIP file into the fragment that will be the release's folder."""
    package = compared.package
    tell(f"gathering {package.name}")
    place, zip_name = fragment / package.name, f"{package.name}.zip"
    place.mkdir()
    for piece in package.pieces:
        piece.write(place)
    pack_folder(place, fragment / zip_name)
    size, digest = (fragment / zip_name).stat().st_size, file_digest(fragment / zip_name)
    return Released(package, folder / zip_name, size, digest, compared.since, compared.changes)


def write_json(path: Path, data: Mapping[str, Any]) -> None:
    """Write plain data as JSON."""
    path.write_text(json.dumps(data, indent=1) + "\n", encoding="utf-8")


def package_data(released: Released) -> dict[str, Any]:
    """What the release's manifest says of a package."""
    return {
        **released.package.manifest,
        "zip": {
            "name": released.zip_path.name,
            "bytes": released.zip_bytes,
            "sha256": released.zip_digest,
        },
        **changes_data(released),
    }


def changes_data(released: Released) -> dict[str, Any]:
    """What customers need again, as plain data."""
    changes = released.changes
    return {
        "since": released.since,
        "again": list(changes.again),
        "renamed": [{"before": before, "now": now} for before, now in changes.renamed],
        "gone": list(changes.gone),
    }


def again_text(release: Release) -> str:
    """What customers need again, for people."""
    return "\n".join([f"Release {release.number}", *again_lines(release)]) + "\n"


def again_lines(release: Release) -> list[str]:
    """What customers need again, package by package, and which packages are not there."""
    return [
        *(line for one in release.packages for line in package_lines(one)),
        *(
            f"{edition} {product}, {picture}: not in this release; release {last} is the last that has it"
            for (edition, product, picture), last in release.left_out.items()
        ),
    ]


def package_lines(released: Released) -> list[str]:
    """What the customers of a package need again."""
    name, changes = released.package.name, released.changes
    if released.since is None:
        return [f"{name}: new, all of it"]
    if not changes:
        return [f"{name}: as in release {released.since}"]
    return [
        f"{name}: since release {released.since}",
        *(f"  again    {one}" for one in changes.again),
        *(f"  renamed  {before} -> {now}" for before, now in changes.renamed),
        *(f"  gone     {one}" for one in changes.gone),
    ]

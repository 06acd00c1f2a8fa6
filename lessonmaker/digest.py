"""One digest for any plain value: what it was made from, in 64 hexadecimal digits.

Equal values have equal digests on every machine and in every process, whatever the order of their sets and mappings.
SHA-256 (FIPS 180-4) over an unambiguous spelling of the value, in which each part is led by its type and length.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Set
from dataclasses import fields, is_dataclass
from fractions import Fraction
from functools import cache
from typing import Any

import numpy as np

__all__ = ["digest_of"]


def digest_of(*values: object) -> str:
    """The digest of some values.

    Numbers, texts, bytes, None, fractions and arrays have one, and tuples, sets, mappings and data classes of them.

    Raises:
        TypeError: a value of another type; a path, for one: what counts is what a file holds, not its name.
    """
    return hashlib.sha256(spelt(values)).hexdigest()


def spelt(value: Any) -> bytes:
    """A value's spelling."""
    if isinstance(value, str):
        return framed(b"s", value.encode())
    if isinstance(value, tuple | list):
        return framed(b"t", b"".join(map(spelt, value)))
    if value is None or isinstance(value, bool | int | float):
        return framed(b"n", f"{type(value).__name__} {value!r}".encode())
    if isinstance(value, bytes):
        return framed(b"b", value)
    if is_dataclass(value) and not isinstance(value, type):
        names = compared_fields(type(value))
        return framed(
            b"d", spelt(type(value).__name__) + spelt(tuple(getattr(value, name) for name in names))
        )
    return framed(*spelt_structure(value))


@cache
def compared_fields(kind: type[Any]) -> tuple[str, ...]:
    """The fields of a data class by which its values are equal or not."""
    return tuple(one.name for one in fields(kind) if one.compare)


def spelt_structure(value: Any) -> tuple[bytes, bytes]:
    """The sign and the content of a fraction, a mapping, a set or an array."""
    if isinstance(value, Fraction):
        return b"n", f"{type(value).__name__} {value!r}".encode()
    if isinstance(value, Mapping):
        return b"m", in_order(spelt(pair) for pair in value.items())
    if isinstance(value, Set):
        return b"u", in_order(map(spelt, value))
    if isinstance(value, np.ndarray):
        about = spelt((str(value.dtype), value.shape))
        return b"a", about + np.ascontiguousarray(value).tobytes()
    raise TypeError(f"{type(value).__name__} has no digest")


def framed(sign: bytes, content: bytes) -> bytes:
    """Content led by its sign and length."""
    return sign + str(len(content)).encode() + b":" + content


def in_order(parts: Iterable[bytes]) -> bytes:
    """Parts in an order of their own."""
    return b"".join(sorted(parts))

"""How an entry is sealed: one text, byte for byte, and its SHA-256, which the next entry carries.

An entry is the JSON object::

    {"aircraft_file": "<SHA-256 of the aircraft file's bytes>", "check": "<name>", "local": "<time with offset>",
     "number": 17, "previous": "<hash of entry 16>", "replaces": null, "saved": "<time, UTC>", "work": {...}}

written in the canonical form of RFC 8785 (keys in the order of their UTF-16 units, no space, UTF-8, numbers in the
shortest form that reads back the same, `canonical`). Its hash is the SHA-256 of those bytes, in 64 lower-case
hexadecimal digits. ``previous`` of entry 1 is the record's own name, 64 random hexadecimal digits. Any program with a
SHA-256 can check a record: the database holds ``work`` as those very bytes, and a line of an export holds the whole
object as those very bytes.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping, Sequence
from json.encoder import encode_basestring as _quoted
from typing import Any, NamedTuple

LARGEST_WHOLE = 2**53


class Sealed(NamedTuple):
    """The parts of an entry as they are sealed. work: its canonical text."""

    number: int
    check: str
    saved: str
    local: str
    aircraft_file: str
    replaces: int | None
    previous: str
    work: str

    @property
    def text(self) -> str:
        """The bytes that are hashed, as text. ``work`` sorts last, so that it can be put in as it stands."""
        return self.before_work + self.work + "}"

    @property
    def before_work(self) -> str:
        """All that stands before ``work``."""
        return (
            f'{{"aircraft_file":{_quoted(self.aircraft_file)},"check":{_quoted(self.check)},"local":{_quoted(self.local)},'
            f'"number":{self.number},"previous":{_quoted(self.previous)},'
            f'"replaces":{"null" if self.replaces is None else self.replaces},"saved":{_quoted(self.saved)},"work":'
        )


def hash_of(sealed: Sealed) -> str:
    """The hash of an entry."""
    return hash_of_bytes(sealed.text.encode("utf-8"))


def hash_of_bytes(data: bytes) -> str:
    """SHA-256 in hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def is_hash(text: object) -> bool:
    """Whether a text has the form of a hash: 64 lower-case hexadecimal digits."""
    return isinstance(text, str) and len(text) == 64 and not set(text) - set("0123456789abcdef")


def canonical(value: Any) -> str:
    """A value of text, numbers, truth values, None, sequences and mappings in the canonical form of RFC 8785.

    Raises `ValueError` for a number that JSON cannot hold exactly and `TypeError` for any other type.

    >>> canonical({"b": [1e21, 0.1, -0.0], "a": "50 %\\n"})
    '{"a":"50 %\\\\n","b":[1e+21,0.1,0]}'
    """
    if isinstance(value, str):
        return _quoted(value)
    if value is None or value is True or value is False:
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int):
        if abs(value) > LARGEST_WHOLE:
            raise ValueError(f"{value} is too large a whole number for every program to keep exactly")
        return str(int(value))
    if isinstance(value, float):
        return number(value)
    if isinstance(value, Mapping):
        keys = sorted(value, key=lambda key: key.encode("utf-16-be"))
        return "{" + ",".join([_quoted(key) + ":" + canonical(value[key]) for key in keys]) + "}"
    if isinstance(value, Sequence) and not isinstance(value, (bytes, bytearray)):
        return "[" + ",".join([canonical(one) for one in value]) + "]"
    raise TypeError(f"a {type(value).__name__} cannot be kept in a record")


def number(value: float) -> str:
    """A number as RFC 8785, 3.2.2.3 (ECMAScript) writes it: shortest digits; plain from 1e-6 up to below 1e21."""
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be kept in a record")
    if value == 0:
        return "0"
    sign, text = ("-", repr(-value)) if value < 0 else ("", repr(value))
    mantissa, _, exponent = text.partition("e")
    whole, _, part = mantissa.partition(".")
    part = "" if part == "0" and not exponent else part
    digits = whole + part
    point = len(whole) + int(exponent or 0)
    point -= len(digits) - len(digits.lstrip("0"))
    digits = digits.strip("0")
    if 0 < point <= 21:
        plain = digits.ljust(point, "0")
        return sign + plain[:point] + (f".{plain[point:]}" if plain[point:] else "")
    if -6 < point <= 0:
        return f"{sign}0.{'0' * -point}{digits}"
    rest = f".{digits[1:]}" if digits[1:] else ""
    return f"{sign}{digits[0]}{rest}e{point - 1:+d}"

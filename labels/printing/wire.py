"""Write and read IPP messages (RFC 8010, section 3), collections included."""

from __future__ import annotations

import struct
from dataclasses import dataclass, field
from typing import Final

from labels import LabelError

OPERATION: Final = 0x01
JOB: Final = 0x02
_END: Final = 0x03
PRINTER: Final = 0x04
UNSUPPORTED: Final = 0x05
# RFC 8010 section 3.5.2, value tags
INTEGER: Final = 0x21
BOOLEAN: Final = 0x22
ENUM: Final = 0x23
RESOLUTION: Final = 0x32
RANGE: Final = 0x33
COLLECTION: Final = 0x34
_COLLECTION_END: Final = 0x37
TEXT: Final = 0x41
NAME: Final = 0x42
KEYWORD: Final = 0x44
URI: Final = 0x45
CHARSET: Final = 0x47
LANGUAGE: Final = 0x48
MIME: Final = 0x49
_MEMBER: Final = 0x4A
_WITH_LANGUAGE: Final = (0x35, 0x36)
_WORDS: Final = range(0x40, 0x60)
_LONGEST: Final = 0x7FFF  # RFC 8010 section 3.1: lengths are signed shorts
_MOST: Final = 1_000  # groups of an answer; choice, a list of jobs has some hundred
_DEEPEST: Final = 8  # collections within collections; choice, printers use 3


class AnswerGarbled(LabelError):
    """A message is no sound IPP: cut short, wrong lengths, or something else altogether."""


@dataclass(frozen=True, slots=True)
class Attribute:
    """A name with its values, all of one kind.

    A value is an int (INTEGER, ENUM), bool (BOOLEAN), str (words), tuple of ints (RANGE: low, high;
    RESOLUTION: across, along, unit), tuple of attributes (COLLECTION), or bytes for other kinds.
    """

    name: str
    tag: int
    values: tuple[Value, ...]


Value = int | bool | str | bytes | tuple[int, ...] | tuple[Attribute, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Attributes of one thing: the operation, the printer, one job."""

    tag: int
    attributes: tuple[Attribute, ...]

    def values(self, name: str) -> tuple[Value, ...]:
        """Return the values of an attribute; none where it is missing. The first of a name counts,
        as printers exist that send one twice.
        """  # noqa: D205 - one thought
        return next((each.values for each in self.attributes if each.name == name), ())

    def numbers(self, name: str) -> tuple[int, ...]:
        """Return the whole numbers among an attribute's values."""
        return tuple(each for each in self.values(name) if isinstance(each, int))

    def words(self, name: str) -> tuple[str, ...]:
        """Return the texts among an attribute's values."""
        return tuple(each for each in self.values(name) if isinstance(each, str))


@dataclass(frozen=True, slots=True)
class Message:
    """A request (code is the operation) or an answer (code is the status)."""

    code: int
    number: int
    groups: tuple[Group, ...] = ()
    version: tuple[int, int] = (2, 0)
    data: bytes = field(default=b"", repr=False)

    def first(self, tag: int) -> Group:
        """Return the first group of a kind, empty where there is none."""
        return next((group for group in self.groups if group.tag == tag), Group(tag, ()))


def encode(message: Message) -> bytes:
    """Return a message as bytes.

    Raises:
        ValueError: a text or value is longer than IPP can carry, 32,767 bytes.
    """
    parts = [struct.pack(">BBHI", *message.version, message.code, message.number)]
    for group in message.groups:
        parts.append(bytes([group.tag]))
        parts += [_attribute(each) for each in group.attributes]
    return b"".join([*parts, bytes([_END]), message.data])


def _field(tag: int, name: bytes, value: bytes) -> bytes:
    if max(len(name), len(value)) > _LONGEST:
        raise ValueError("a text is too long for a print request; use at most 32,767 bytes")
    return struct.pack(">BH", tag, len(name)) + name + struct.pack(">H", len(value)) + value


def _attribute(attribute: Attribute) -> bytes:
    parts, name = [], attribute.name.encode()
    for value in attribute.values:
        parts.append(_one(attribute.tag, name, value))
        name = b""  # RFC 8010 section 3.1.4: further values have no name
    return b"".join(parts)


def _one(tag: int, name: bytes, value: Value) -> bytes:
    if tag != COLLECTION:
        return _field(tag, name, _plain(tag, value))
    parts = [_field(tag, name, b"")]
    for member in value if isinstance(value, tuple) else ():
        if isinstance(member, Attribute):
            parts.append(_field(_MEMBER, b"", member.name.encode()))
            parts += [_one(member.tag, b"", each) for each in member.values]
    return b"".join([*parts, _field(_COLLECTION_END, b"", b"")])


def _plain(tag: int, value: Value) -> bytes:
    if isinstance(value, bytes):
        return value
    if isinstance(value, str):
        return value.encode()
    if isinstance(value, bool):
        return bytes([value])
    if isinstance(value, int):
        return struct.pack(">i", value)
    numbers = [each for each in value if isinstance(each, int)]
    return struct.pack(">iib" if tag == RESOLUTION else ">ii", *numbers)


def decode(raw: bytes) -> Message:
    """Read a message.

    Raises:
        AnswerGarbled: whatever is wrong with it.
    """
    try:
        return _Reader(raw).message()
    except (struct.error, IndexError, UnicodeDecodeError) as error:
        raise AnswerGarbled("The printer's answer cannot be understood.") from error


class _Reader:
    """Walks through a message once."""

    def __init__(self, raw: bytes) -> None:
        self._raw, self._at = raw, 0

    def message(self) -> Message:
        major, minor, code, number = struct.unpack(">BBHI", self._take(8))
        groups: list[Group] = []
        tag = self._take(1)[0]
        while tag != _END:
            if not 0 < tag <= 0x0F:
                raise AnswerGarbled("The printer's answer has a value outside any group.")
            if len(groups) == _MOST:
                raise AnswerGarbled("The printer's answer does not come to an end.")
            attributes, following = self._attributes()
            groups.append(Group(tag, attributes))
            tag = following
        return Message(code, number, tuple(groups), (major, minor), self._raw[self._at :])

    def _take(self, count: int) -> bytes:
        end = self._at + count
        if end > len(self._raw):
            raise AnswerGarbled("The printer's answer is cut short.")
        taken, self._at = self._raw[self._at : end], end
        return taken

    def _sized(self) -> bytes:
        return self._take(struct.unpack(">H", self._take(2))[0])

    def _attributes(self) -> tuple[tuple[Attribute, ...], int]:
        """Read a group's attributes; return them and the tag that ends the group."""
        found: list[tuple[str, int, list[Value]]] = []
        while (tag := self._take(1)[0]) > 0x0F:
            name = self._sized().decode()
            value = self._value(tag, self._sized(), 1)
            if name:
                found.append((name, tag, [value]))
            elif found:
                found[-1][2].append(value)
            else:
                raise AnswerGarbled("The printer's answer has a value without a name.")
        return tuple(Attribute(name, kind, tuple(values)) for name, kind, values in found), tag

    def _value(self, tag: int, raw: bytes, depth: int) -> Value:
        if tag == COLLECTION:
            return self._collection(depth)
        if tag in (INTEGER, ENUM):
            number: int = struct.unpack(">i", raw)[0]
            return number
        if tag == BOOLEAN:
            return bool(struct.unpack(">B", raw)[0])
        if tag in (RANGE, RESOLUTION):
            return tuple(struct.unpack(">iib" if tag == RESOLUTION else ">ii", raw))
        if tag in _WITH_LANGUAGE:  # RFC 8010 section 3.9: language, then words, each with its size
            inner = _Reader(raw)
            inner._sized()
            return inner._sized().decode("utf-8", "replace")
        # shop printers do send texts that are no UTF-8; a wrong letter is better than no answer
        return raw.decode("utf-8", "replace") if tag in _WORDS else raw

    def _collection(self, depth: int) -> tuple[Attribute, ...]:
        if depth > _DEEPEST:
            raise AnswerGarbled("The printer's answer is nested too deeply.")
        found: list[tuple[str, int, list[Value]]] = []
        while True:
            tag, name, raw = self._take(1)[0], self._sized(), self._sized()
            if tag == _COLLECTION_END:
                return tuple(Attribute(word, kind, tuple(all_)) for word, kind, all_ in found)
            if tag == _MEMBER:
                found.append((raw.decode(), 0, []))
                continue
            if name or not found or tag <= 0x0F:
                raise AnswerGarbled("The printer's answer has a collection that makes no sense.")
            word, _, values = found[-1]
            values.append(self._value(tag, raw, depth + 1))
            found[-1] = (word, tag, values)

"""The elements of an SVG file, read behind limits: no document type of its own, no entity, no network, no depth."""

from __future__ import annotations

import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass

from traywright.base.errors import PartError

BYTES_MOST = 32_000_000  # source: ours: drawings of trays have some 10 kB to 5 MB
ELEMENTS_MOST = 50_000  # source: ours: drawings of trays have some 10 to 10 000 elements
DEPTH_MOST = 100  # source: ours: groups in groups go some 10 deep
CHUNK = 65_536
NAMESPACE = "http://www.w3.org/2000/svg"
ENCODINGS = ("utf-8", "utf8", "us-ascii", "ascii", "iso-8859-1", "latin-1", "windows-1252")
GZIP = b"\x1f\x8b"
BOM = b"\xef\xbb\xbf"

_DECLARED = re.compile(rb"<\?xml\s[^>]*?encoding\s*=\s*[\"']([A-Za-z0-9._-]+)[\"']")
_PLAIN_TYPE = re.compile(
    rb"<!DOCTYPE\s+[\w:.-]+(?:\s+PUBLIC\s+(?:\"[^\"]*\"|'[^']*')|\s+SYSTEM)?(?:\s+(?:\"[^\"]*\"|'[^']*'))?\s*>"
)
_NAMED_ENTITY = re.compile(rb"&(?!(?:amp|lt|gt|quot|apos);)[A-Za-z_:][\w:.-]*;")


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """One element: ``name`` is its local name, empty where it is none of SVG; ``number`` its place in the file.

    ``attributes`` carry their plain names; of those with a prefix only ``label`` and ``href`` are kept.
    """

    number: int
    name: str
    attributes: Mapping[str, str]
    children: tuple[Node, ...]
    text: str

    @property
    def told(self) -> str:
        """How a message names the element: by its id, else by its place in the file."""
        return f"{self.name} {self.attributes.get('id', self.number)}"


class _Open:
    """An element whose end has not come yet."""

    def __init__(self, number: int, name: str, attributes: Mapping[str, str]) -> None:
        self.number, self.name, self.attributes = number, name, attributes
        self.children: list[Node] = []
        self.text: list[str] = []


def _local(tag: str) -> str:
    space, _, name = tag.rpartition("}")
    return name if space in {"", f"{{{NAMESPACE}"} else ""


def _attributes(given: Mapping[str, str]) -> dict[str, str]:
    plain = {key: value for key, value in given.items() if not key.startswith("{")}
    for key, value in given.items():
        if key.startswith("{") and key.rpartition("}")[2] in {"label", "href"}:
            plain.setdefault(key.rpartition("}")[2], value)
    return plain


class _Gatherer:
    """What the parser calls at each start and end of an element."""

    def __init__(self) -> None:
        self.open: list[_Open] = []
        self.count = 0
        self.root: Node | None = None
        self.data = self.words  # the parser calls it by this name

    def start(self, tag: str, attributes: Mapping[str, str]) -> None:
        """An element begins.

        Raises
        ------
        PartError
            PART-052: too many elements, or too deep.
        """
        self.count += 1
        if self.count > ELEMENTS_MOST:
            raise PartError("PART-052", most=ELEMENTS_MOST, of="elements")
        if len(self.open) >= DEPTH_MOST:
            raise PartError("PART-052", most=DEPTH_MOST, of="levels")
        self.open.append(_Open(number=self.count, name=_local(tag), attributes=_attributes(attributes)))

    def end(self, _tag: str) -> None:
        """An element ends."""
        done = self.open.pop()
        node = Node(
            number=done.number,
            name=done.name,
            attributes=done.attributes,
            children=tuple(done.children),
            text="".join(done.text),
        )
        if self.open:
            self.open[-1].children.append(node)
        else:
            self.root = node

    def words(self, text: str) -> None:
        """Text between elements; only that of a style sheet is kept."""
        if self.open and self.open[-1].name == "style":
            self.open[-1].text.append(text)

    def close(self) -> Node | None:
        """The root."""
        return self.root


def _unpacked(content: bytes) -> bytes:
    """The file's text, unpacked where it is packed with gzip.

    Raises
    ------
    PartError
        PART-050 if it cannot be unpacked, PART-052 if it is too long.
    """
    if content.startswith(GZIP):
        unpacker = zlib.decompressobj(wbits=31)
        try:
            content = unpacker.decompress(content, BYTES_MOST + 1)
        except zlib.error as fault:
            raise PartError("PART-050") from fault
    if len(content) > BYTES_MOST:
        raise PartError("PART-052", most=BYTES_MOST, of="bytes")
    return content.removeprefix(BOM)


def _without_remarks(content: bytes) -> bytes:
    """The text from its first element or document type on: remarks and instructions before it are passed over."""
    place = 0
    while True:
        while content[place : place + 1].isspace():
            place += 1
        closer = next(
            (end for start, end in ((b"<?", b"?>"), (b"<!--", b"-->")) if content.startswith(start, place)), b""
        )
        found = content.find(closer, place + 2) if closer else -1
        if found < 0:
            return content[place:]
        place = found + len(closer)


def _checked(content: bytes) -> None:
    """Refuse what could hide or multiply text, before a parser sees it.

    Raises
    ------
    PartError
        PART-050 for an encoding that is not read, PART-051 for a document type with declarations or for entities.
    """
    told = _DECLARED.match(content)
    if b"\0" in content or not content.lstrip().startswith(b"<"):  # two or four bytes a letter, or other letters
        raise PartError("PART-050")
    if told and told[1].decode("ascii").lower() not in ENCODINGS:
        raise PartError("PART-050")
    body = _without_remarks(content)
    if body.startswith(b"<!"):
        plain = _PLAIN_TYPE.match(body)
        if not plain or _NAMED_ENTITY.search(body):
            raise PartError("PART-051")


def read_nodes(content: bytes) -> Node:
    """The root element of an SVG file, with all that is in it.

    Parameters
    ----------
    content
        The file, plain or packed with gzip.

    Raises
    ------
    PartError
        PART-050 if it is no SVG text, PART-051 if it declares entities, PART-052 if it is beyond a limit.
    """
    from lxml import etree  # noqa: PLC0415  # reason: waits until an SVG file is read

    text = _unpacked(content)
    _checked(text)
    parser = etree.XMLParser(
        target=_Gatherer(), resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False, recover=False
    )
    try:
        for start in range(0, len(text), CHUNK):
            parser.feed(text[start : start + CHUNK])
        root: Node | None = parser.close()
    except etree.LxmlError as fault:
        raise PartError("PART-050") from fault
    if root is None or root.name != "svg":
        raise PartError("PART-050")
    return root

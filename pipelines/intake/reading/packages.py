"""The parts of an XLSX file (ECMA-376, part 1) around its rows: its sheets, shared texts and date formats.

Read as a stream, so that memory does not grow with the sheet, and without any library of spreadsheets: DEVELOPERS.md
says what the two that were compared do not tell.
"""

import posixpath
import re
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import IO
from xml.parsers import expat

from pipelines.intake.reading.number_formats import style_meanings

# No cell that refers to a shared text is written in fewer bytes: <c t="s"><v>1</v></c>.
_BYTES_OF_REFERENCE, _FREE_TEXTS = 20, 100_000
_CHUNK = 1 << 16
_ESCAPED = re.compile("_x([0-9A-Fa-f]{4})_")


class WorkbookError(ValueError):
    """What is wrong with a workbook as a whole."""


@dataclass(frozen=True)
class Sheet:
    """A sheet's name, its part in the zip file, and whether a reader of the workbook does not see it."""

    name: str
    part: str
    is_hidden: bool


@dataclass(frozen=True)
class Package:
    """An opened workbook. meanings: style number -> what its format shows numbers as (number_formats.py)."""

    packed: zipfile.ZipFile
    sheets: tuple[Sheet, ...]
    texts: list[str] = field(repr=False)
    meanings: dict[int, str]
    is_1904: bool


def open_package(file: IO[bytes]) -> Package:
    """Read all parts but the sheets. Raises WorkbookError, and what zipfile and expat raise."""
    packed = zipfile.ZipFile(file)
    book = {kind: target for _, kind, target in _relations(packed, "")}.get("officeDocument", "xl/workbook.xml")
    targets = {name: target for name, _, target in _relations(packed, book)}
    tags = list(_tags(packed, book))
    is_1904 = any(name == "workbookPr" and tag.get("date1904") in ("1", "true", "on") for _, name, tag in tags)
    sheets = [
        Sheet(tag.get("name", ""), targets[tag["id"]], tag.get("state", "visible") != "visible")
        for _, name, tag in tags
        if name == "sheet" and "worksheets" in targets.get(tag.get("id", ""), "")
    ]
    kinds = {kind: target for _, kind, target in _relations(packed, book)}
    styles = list(_tags(packed, kinds["styles"])) if kinds.get("styles") in packed.namelist() else []
    room = sum(member.file_size for member in packed.infolist() if "worksheets/" in member.filename)
    has_texts = kinds.get("sharedStrings") in packed.namelist()
    texts = list(_texts(packed, kinds["sharedStrings"], room)) if has_texts else []
    return Package(packed, tuple(sheets), texts, style_meanings(styles), is_1904)


def _relations(packed: zipfile.ZipFile, part: str) -> Iterator[tuple[str, str, str]]:
    """Identifier, kind and part of what a part refers to."""
    folder, name = posixpath.split(part)
    listed = posixpath.join(folder, "_rels", f"{name}.rels")
    if listed not in packed.namelist():
        return
    for _, tag_name, tag in _tags(packed, listed):
        if tag_name == "Relationship" and tag.get("TargetMode") != "External":
            target = tag.get("Target", "")
            absolute = target.lstrip("/") if target.startswith("/") else posixpath.join(folder, target)
            yield tag.get("Id", ""), tag.get("Type", "").rpartition("/")[2], posixpath.normpath(absolute)


def _tags(packed: zipfile.ZipFile, part: str) -> Iterator[tuple[str, str, dict[str, str]]]:
    """Each tag of a small part: the name of the one around it, its own, its attributes without their name spaces."""
    around: list[str] = [""]
    found: list[tuple[str, str, dict[str, str]]] = []

    def begin(name: str, attributes: dict[str, str]) -> None:
        own = local(name)
        found.append((around[-1], own, {local(key): value for key, value in attributes.items()}))
        around.append(own)

    with packed.open(part) as stream:
        for _ in parsed(stream, begin, lambda name: around.pop(), None):
            yield from found
            found.clear()


def local(name: str) -> str:
    """A tag's name without its name space."""
    return name.rpartition(" ")[2]


def parsed(
    stream: IO[bytes],
    begin: Callable[[str, dict[str, str]], object],
    end: Callable[[str], object],
    text: Callable[[str], object] | None,
) -> Iterator[None]:
    """Parse a part, pausing after each chunk. Raises WorkbookError for a document type: only an attack has one."""
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler = begin, end
    parser.CharacterDataHandler = text
    parser.StartDoctypeDeclHandler = _refuse_document_type
    while chunk := stream.read(_CHUNK):
        parser.Parse(chunk, False)
        yield
    parser.Parse(b"", True)
    yield


def _refuse_document_type(*declared: object) -> None:
    raise WorkbookError("it declares a document type")


def _texts(packed: zipfile.ZipFile, part: str, room: int) -> Iterator[str]:
    """The shared texts; of rich text all runs, without their reading aids (rPh)."""
    found: list[str] = []
    runs: list[str] = []
    state = {"is_text": False, "is_aid": False}
    most, count = max(_FREE_TEXTS, room // _BYTES_OF_REFERENCE), 0

    def begin(name: str, attributes: dict[str, str]) -> None:
        own = local(name)
        if own == "si":
            runs.clear()
        state["is_aid"] = state["is_aid"] or own == "rPh"
        state["is_text"] = own == "t" and not state["is_aid"]

    def end(name: str) -> None:
        own = local(name)
        state["is_text"] = False
        if own == "si":
            found.append(unescaped("".join(runs)))
        elif own == "rPh":
            state["is_aid"] = False

    with packed.open(part) as stream:
        for _ in parsed(stream, begin, end, lambda said: runs.append(said) if state["is_text"] else None):
            count += len(found)
            if count > most:
                raise WorkbookError(f"it holds more than {most:,} shared texts, more than its cells can refer to")
            yield from found
            found.clear()


def unescaped(text: str) -> str:
    """Text with its characters written as `_x000D_` (ECMA-376 part 1, 22.9.2.19)."""
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text) if "_x" in text else text

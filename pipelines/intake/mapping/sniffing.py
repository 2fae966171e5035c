"""Format and encoding of a file, found by looking at its first bytes."""

from __future__ import annotations

import codecs
import json

_WIDE_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def encoding_of(start: bytes) -> str:
    """`utf-16` by its mark, `utf-8` where the bytes are that, else `windows-1252`, which knows nearly every byte."""
    if start.startswith(_WIDE_MARKS):
        return "utf-16"
    try:
        codecs.getincrementaldecoder("utf-8")().decode(start)
    except UnicodeDecodeError:
        return "windows-1252"
    return "utf-8"


def format_of(start: bytes, encoding: str) -> str:
    """csv, xlsx, json, jsonl or parquet."""
    if start.startswith(b"PAR1"):
        return "parquet"
    if start.startswith(b"PK\x03\x04"):
        return "xlsx"
    text = readable(start, encoding).lstrip()
    if not text.startswith(("{", "[")):
        return "csv"
    return "jsonl" if _is_json_lines(text) else "json"


def readable(start: bytes, encoding: str) -> str:
    """The text of the first bytes; the last character may be cut."""
    text = codecs.getincrementaldecoder(encoding)("replace").decode(start)
    return text.removeprefix("\ufeff").replace("\x00", "")


def _is_json_lines(text: str) -> bool:
    """Whether the first line is an object by itself, and does not just wrap the list of records."""
    first, _, rest = text.partition("\n")
    try:
        found = json.loads(first)
    except (ValueError, RecursionError):
        return False
    wraps = isinstance(found, dict) and any(isinstance(value, list) for value in found.values())
    return isinstance(found, dict) and (bool(rest.strip()) or not wraps)

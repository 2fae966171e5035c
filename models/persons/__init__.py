"""Persons in free text: what a row's own columns say of them, and what looks like a name or a street by itself."""

from models.persons.doubts import Doubts, doubtful
from models.persons.repeated import BLANKED_NAME, BLANKED_STREET, without_repeated
from models.persons.words import folded, spellings

__all__ = ["BLANKED_NAME", "BLANKED_STREET", "Doubts", "doubtful", "folded", "spellings", "without_repeated"]

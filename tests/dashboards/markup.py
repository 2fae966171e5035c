"""A small reading of HTML for tests: elements with attributes, text and parents."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"meta", "link", "br", "img", "input", "hr"}


@dataclass
class Element:
    """One element; text stands in `parts` between the children."""

    tag: str
    attributes: dict[str, str]
    parent: Element | None
    parts: list[Element | str] = field(default_factory=list)

    def walk(self) -> Iterator[Element]:
        """The element and all below it, in order of the page."""
        yield self
        for part in self.parts:
            if isinstance(part, Element):
                yield from part.walk()

    def all(self, tag: str) -> list[Element]:
        """All elements below with the tag."""
        return [element for element in self.walk() if element.tag == tag]

    def text(self) -> str:
        """All text below, blanks joined."""
        whole = "".join(part if isinstance(part, str) else part.text() for part in self.parts)
        return " ".join(whole.split())

    def ancestry(self) -> Iterator[Element]:
        """The element and its parents, upwards."""
        at: Element | None = self
        while at is not None:
            yield at
            at = at.parent

    def stated(self, name: str) -> str:
        """The attribute where it stands nearest: on the element or around it."""
        return next(each.attributes[name] for each in self.ancestry() if name in each.attributes)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("document", {}, None)
        self.at = self.root

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs}, self.at)
        self.at.parts.append(element)
        if tag not in VOID:
            self.at = element

    def handle_endtag(self, tag: str) -> None:
        assert self.at.tag == tag, f"</{tag}> closes <{self.at.tag}>"
        assert self.at.parent is not None
        self.at = self.at.parent

    def handle_data(self, text: str) -> None:
        self.at.parts.append(text)


def parsed(page: str) -> Element:
    """The page as a tree. AssertionError where a tag is closed out of turn or left open."""
    reader = _Reader()
    reader.feed(page)
    reader.close()
    assert reader.at is reader.root, f"<{reader.at.tag}> is left open"
    return reader.root


def by_id(root: Element, name: str) -> Element:
    """The one element with the id."""
    (found,) = [element for element in root.walk() if element.attributes.get("id") == name]
    return found

"""Templates to self-contained pages: everything escaped, everything inline, nothing fetched."""

import base64
import hashlib
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from dashboards import formats, palette
from dashboards.pictures.svg import both_widths
from models import columns

HERE = Path(__file__).parent


def page(template: str, scripts: Mapping[str, str], **content: Any) -> str:
    """The page from the named template. scripts: our own script texts by their name in the template."""
    kept = {name: script.replace("\r\n", "\n") for name, script in scripts.items()}
    return (
        _environment()
        .get_template(template)
        .render(
            policy=policy(*kept.values()),
            style=Markup(style_sheet()),
            **{name: Markup(script) for name, script in kept.items()},
            **content,
        )
    )


def rendered(template: str, **content: Any) -> str:
    """The named template with everything escaped; for what needs no style sheet and no script."""
    return _environment().get_template(template).render(**content)


def policy(*scripts: str) -> str:
    """The page's content policy: nothing from elsewhere, and no script but these."""
    digests = " ".join(_digest(script) for script in scripts if script) or "'none'"
    return (
        f"default-src 'none'; script-src {digests}; style-src 'unsafe-inline'; img-src data: blob:; "
        "base-uri 'none'; form-action 'none'"
    )


@cache
def _digest(script: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"


def style_sheet() -> str:
    """Colours from the palette, then the page's rules. Paper is always light."""
    light, dark = (_variables(tones) for tones in (palette.LIGHT, palette.DARK))
    colours = (
        f":root {{ color-scheme: light dark; {light} }}\n"
        f"@media screen and (prefers-color-scheme: dark) {{ :root {{ {dark} }} }}\n"
        "@media print { :root { color-scheme: light; --ground: #fff; } }\n"
    )
    return colours + "".join(map(text, ("page.css", "pictures/pictures.css", "pictures/marks.css")))


def _variables(tones: Mapping[str, str]) -> str:
    return " ".join(f"--{name}: {tone};" for name, tone in tones.items())


@cache
def text(name: str) -> str:
    """A file of this folder, whole."""
    return (HERE / name).read_text(encoding="utf-8")


def unbroken(text: str) -> Markup:
    """The text escaped, no amount broken behind its minus or the letters of its currency."""
    return Markup(
        re.sub(
            r"(?<![^\s(])(?:-?[A-Z]{3} \d\S*|-\S+)", r'<span style="white-space:nowrap">\g<0></span>', str(escape(text))
        )
    )


def address(name: str) -> str:
    """A link to a file beside the page: it can name no other scheme and no other place."""
    return f"./{quote(Path(name).name)}"


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {
        "plain": formats.plain,
        "month": formats.month,
        "instant": formats.instant,
        "drawn": both_widths,
        "address": address,
        "unbroken": unbroken,
        "label": columns.label,
        "is_figure": columns.is_figure,
    }
    return environment

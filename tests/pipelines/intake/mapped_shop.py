"""A shop's folder without files, whose invoices are mapped by the command."""

from __future__ import annotations

import argparse
from pathlib import Path

from pipelines.commands import map as command
from pipelines.shop import settings

IN_EUROS = '[shop]\ncurrency = "EUR"\n'


def made_in(folder: Path, stated: str = IN_EUROS) -> Path:
    """The folder as a shop's, with these settings."""
    (folder / settings.FILE_NAME).write_text(stated)
    for name in ("inbox", "archive", "rejects"):
        (folder / name).mkdir()
    return folder


def map_invoice(shop: Path, file: Path, *more: str) -> int:
    """The exit code of `dunnage map --write` for an invoice of Northline."""
    parser = argparse.ArgumentParser()
    command.arguments(parser)
    args = parser.parse_args([str(file), "--constant", "carrier=Northline", "--write", *more])
    args.shop = shop
    return command.run(args)


def load_source(shop: Path, said: str) -> settings.Settings:
    """The settings with one source of which this is said; of charges, where it names no kind."""
    kind = "" if "kind" in said else 'kind = "charges"\n'
    text = f'[[source]]\nname = "x"\nfiles = "x*"\n{kind}{said}\n[source.columns]\nsale_id = "A"\n'
    (shop / settings.FILE_NAME).write_text(text)
    return settings.load(shop)

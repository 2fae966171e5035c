"""`dunnage demo`: the invented shop, from nothing to the page."""

from __future__ import annotations

import argparse
from pathlib import Path

SUMMARY = "Set up the invented demo shop and write its latest review"
EXAMPLE = "dunnage demo"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", nargs="?", type=Path, default=Path("demo-shop"), help="where (default: demo-shop)")


def run(args: argparse.Namespace) -> int:
    from pipelines import demonstration
    from pipelines.commands import intake, review

    demonstration.set_up(args.folder)
    args.shop = args.folder
    print(f"demo shop in {args.folder}: Fernmoor Optics, an invented pair who sell refurbished telescopes")
    intake.run(argparse.Namespace(shop=args.folder, files=[], source=None))
    review.run(argparse.Namespace(shop=args.folder, month=None))
    return 0

"""`dunnage demo`: the invented shop, from nothing to the page."""

import argparse
from pathlib import Path

from pipelines import options

SUMMARY = "Set up the invented demo shop and write its latest review"
EXAMPLE = "dunnage demo"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "folder", nargs="?", type=options.path, default=Path("demo-shop"), help="where (default: demo-shop)"
    )


def run(args: argparse.Namespace) -> int:
    from pipelines.cli import main
    from pipelines.shop import demonstration

    demonstration.set_up(args.folder)
    print(f"demo shop in {args.folder}: Fernmoor Optics, an invented pair who sell refurbished telescopes")
    shop = ["--shop", str(args.folder)]
    return max(main([*shop, *command]) for command in (["intake"], ["review"], ["send", "--dry-run"]))

"""`dunnage backup`: everything that cannot be made again, in one file."""

import argparse

from pipelines import options, progress
from pipelines.printing import say
from pipelines.shop import backup, settings

EXAMPLE = "dunnage backup /media/stick"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", nargs="?", type=options.path, help="where to (default: the shop's folder backups)")


def run(args: argparse.Namespace) -> None:
    shop = options.shop_of(args)
    with progress.shown(shop.folder, "backup", "copying and comparing every table"):
        made = backup.backup(shop, args.folder, settings.now_at(shop))
    say(f"{made.path}: {len(made.hashes)} files, {made.path.stat().st_size:,} bytes, verified")
    lock = "encrypted; without its passphrase it is lost" if shop.backup.encrypted else "not encrypted"
    say(f"keep a copy on another machine; the file is {lock}")

"""`dunnage restore`: a backup back into a shop's folder."""

import argparse
from datetime import datetime
from pathlib import Path

from pipelines import options, progress
from pipelines.printing import say
from pipelines.shop import backup

EXAMPLE = "dunnage --shop again restore dunnage-my-shop-2026-11-20-091500.zip"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", type=options.path, help="a file that `dunnage backup` wrote")
    parser.add_argument("--force", action="store_true", help="set aside what is there, into a folder replaced-...")
    parser.add_argument(
        "--inside", action="store_true", help="put folders that its settings have elsewhere into the shop's folder"
    )


def run(args: argparse.Namespace) -> None:
    folder = (args.shop or Path()).resolve()
    with progress.shown(folder, "restore", "unpacking the backup and comparing it"):
        done = backup.restore(folder, args.file, is_forced=args.force, now=datetime.now(), is_taken_in=args.inside)
    say(f"{done.file_count} files of {done.backup.shop_name}, as of {done.backup.made_at}, are back in {folder}")
    for name in done.moved_in:
        say(f"[folders] {name} lay elsewhere; it is now inside the shop's folder, and dunnage.toml says so")
    if done.trouble:
        say(f"its settings cannot be used yet: {done.trouble}")
    if done.set_aside:
        say(f"what was there lies in {done.set_aside}")

"""`dunnage demo`: the invented shop, from nothing to the page."""

import argparse
import shutil
from pathlib import Path

import models
from models.errors import NotFoundError
from pipelines import options
from pipelines.cli import main

EXAMPLE = "dunnage demo"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "folder", nargs="?", type=options.path, default=Path("demo-shop"), help="where (default: demo-shop)"
    )


def run(args: argparse.Namespace) -> int:
    set_up(args.folder)
    print(f"demo shop in {args.folder}: Fernmoor Optics, an invented pair who sell refurbished telescopes")
    shop = ["--shop", str(args.folder)]
    return max(main([*shop, *command]) for command in (["intake"], ["review"], ["send", "--dry-run"]))


def set_up(folder: Path) -> None:
    """Copy the demo shop's records into FOLDER. A second time changes nothing but files that differ.

    Raises NotFoundError where dunnage was installed without its sample_data folder.
    """
    source = Path(models.__file__).parent.parent / "sample_data"
    if not (source / "dunnage.toml").exists():
        raise NotFoundError(
            str(source), "does not hold the demo shop", "`dunnage demo`", "run it from a checkout of the project"
        )
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(source / "dunnage.toml", folder / "dunnage.toml")
    if not (folder / "decisions.toml").exists():  # the shop may have logged changes of its own
        shutil.copyfile(source / "decisions.toml", folder / "decisions.toml")
    for records in ("inbox", "tariffs"):
        (folder / records).mkdir(exist_ok=True)
        for path in (source / records).iterdir():
            shutil.copyfile(path, folder / records / path.name)

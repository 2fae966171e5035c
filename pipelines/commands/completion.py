"""`dunnage completion`: commands and options completed by the shell."""

import argparse

SUMMARY = "Print what lets bash or zsh complete commands, options and choices"
EXAMPLE = "dunnage completion bash > ~/.local/share/bash-completion/completions/dunnage"


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    parser.add_argument("shell", choices=("bash", "zsh"), help="for which shell")


def run(args: argparse.Namespace) -> int:
    """Print the script. Returns 0."""
    from pipelines.cli import parser_of_all
    from pipelines.completion import script

    print(script(parser_of_all(), args.shell), end="")
    return 0

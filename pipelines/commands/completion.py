"""`dunnage completion`: what a shell completes, written from the parser: commands, actions, options and choices."""

import argparse
from collections.abc import Iterator
from shlex import quote

from pipelines.cli import parser_of_all

EXAMPLE = "dunnage completion bash > ~/.local/share/bash-completion/completions/dunnage"
# zsh runs functions written for bash.
FOR_ZSH = "autoload -U +X bashcompinit && bashcompinit\n"
SCRIPT = """_dunnage() {{
  local current="${{COMP_WORDS[COMP_CWORD]}}" before="" named="" word words=""
  for word in "${{COMP_WORDS[@]:1:COMP_CWORD-1}}"; do
    if [[ $before != --shop ]]; then
      case "$named $word" in
        {steps}) named="${{named:+$named }}$word" ;;
      esac
    fi
    before="$word"
  done
  case "$named" in
{offered}
  esac
  case "$named $before" in
{chosen}
  esac
  COMPREPLY=($(compgen -W "$words" -- "$current"))
}}
complete -o bashdefault -o default -F _dunnage dunnage
"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    parser.add_argument("shell", choices=("bash", "zsh"), help="for which shell")


def run(args: argparse.Namespace) -> None:
    """Print the script."""
    print(script(parser_of_all(), args.shell), end="")


def script(parser: argparse.ArgumentParser, shell: str) -> str:
    """The script for a shell, bash or zsh. parser: with the arguments of every command."""
    parsers = dict(_named(parser, ()))
    steps = "|".join(quote(f"{' '.join(names[:-1])} {names[-1]}") for names in parsers if names)
    offered = [_case(" ".join(names), _offered(each)) for names, each in parsers.items()]
    chosen = [
        _case(f"{' '.join(names)} {option}", [str(choice) for choice in action.choices or ()])
        for names, each in parsers.items()
        for action in _options(each)
        if action.choices
        for option in action.option_strings
    ]
    made = SCRIPT.format(steps=steps, offered="\n".join(offered), chosen="\n".join(chosen))
    return FOR_ZSH + made if shell == "zsh" else made


def _named(
    parser: argparse.ArgumentParser, names: tuple[str, ...]
) -> Iterator[tuple[tuple[str, ...], argparse.ArgumentParser]]:
    """Every parser with the words that lead to it."""
    yield names, parser
    for name, inner in _actions(parser).items():
        yield from _named(inner, (*names, name))


def _actions(parser: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    found = [each for each in parser._actions if isinstance(each, argparse._SubParsersAction)]
    return dict(found[0].choices) if found else {}


def _options(parser: argparse.ArgumentParser) -> list[argparse.Action]:
    return [each for each in parser._actions if each.option_strings and each.help != argparse.SUPPRESS]


def _offered(parser: argparse.ArgumentParser) -> list[str]:
    """What may follow: actions, choices of arguments without a name, options."""
    bare = [each for each in parser._actions if not each.option_strings and each.choices]
    choices = [str(choice) for each in bare for choice in each.choices or ()]
    return [*choices, *(option for each in _options(parser) for option in each.option_strings[-1:])]


def _case(pattern: str, words: list[str]) -> str:
    return f"    {quote(pattern)}) words={quote(' '.join(words))} ;;"

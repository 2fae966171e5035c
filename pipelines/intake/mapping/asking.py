"""The questions a file leaves open: asked at a terminal, or printed with the option that answers each."""

import shlex
from collections.abc import Callable, Iterator, Sequence

from models.column_map import Question
from models.visible import visible

Ask = Callable[[str], str]


# What Enter does to a question that the map waits for, and to one that it does not.
UNWRITTEN = "Enter leaves it open, and the map unwritten"
UNKNOWN = "Enter leaves it open: of unknown kind until you say"


def answers(questions: Sequence[Question], ask: Ask, enter: str = UNWRITTEN) -> list[str]:
    """Ask each question; returns what the answers add to the command line. An empty answer leaves a question open.

    A number chooses from the list; anything else is the answer itself. enter: what an empty answer does, in words.
    """
    said: list[str] = []
    for question in questions:
        answer = ask(prompt(question, enter)).strip()
        if answer.isdigit() and 0 < int(answer) <= len(question.choices):
            answer = question.choices[int(answer) - 1]
        if answer:
            said += question.answered(answer)
    return said


def prompt(question: Question, enter: str = UNWRITTEN) -> str:
    """The question with its choices numbered, on one line each, and what Enter does."""
    listed = (f"  {number}  {visible(choice)}" for number, choice in enumerate(question.choices, start=1))
    return "\n".join([visible(question.words), *listed, f"number or answer ({enter}): "])


def as_options(questions: Sequence[Question]) -> Iterator[str]:
    """Each question with the option that answers it."""
    for question in questions:
        choices = f" ({', '.join(map(visible, question.choices))})" if question.choices else ""
        yield f"? {visible(question.words)}{choices}"
        yield f"    {visible(question.example)}"


def typed(words: Sequence[str]) -> str:
    """The words as they are typed in a shell, so that a dialogue can be repeated by a script."""
    return shlex.join(words)

"""The questions a file leaves open: asked at a terminal, or printed with the option that answers each."""

import shlex
from collections.abc import Callable, Iterator, Sequence

from models.column_map import Question
from models.visible import visible

Ask = Callable[[str], str]


def answers(questions: Sequence[Question], ask: Ask) -> list[str]:
    """Ask each question; returns what the answers add to the command line. An empty answer leaves a question open.

    A number chooses from the list; anything else is the answer itself.
    """
    said: list[str] = []
    for question in questions:
        answer = ask(prompt(question)).strip()
        if answer.isdigit() and 0 < int(answer) <= len(question.choices):
            answer = question.choices[int(answer) - 1]
        if answer:
            said += question.answered(answer)
    return said


def prompt(question: Question) -> str:
    """The question with its choices numbered, on one line each."""
    listed = (f"  {number}  {visible(choice)}" for number, choice in enumerate(question.choices, start=1))
    return "\n".join([visible(question.words), *listed, "number or answer (empty: leave open): "])


def as_options(questions: Sequence[Question]) -> Iterator[str]:
    """Each question with the option that answers it."""
    for question in questions:
        choices = f" ({', '.join(map(visible, question.choices))})" if question.choices else ""
        yield f"? {visible(question.words)}{choices}"
        yield f"    {visible(question.example)}"


def typed(words: Sequence[str]) -> str:
    """The words as they are typed in a shell, so that a dialogue can be repeated by a script."""
    return shlex.join(words)

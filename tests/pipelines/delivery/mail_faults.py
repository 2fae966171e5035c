"""Letters through a server that says odd things, each held to what the server really received."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from models.delivery_attempts import Answer, Letter, State
from pipelines import delivery
from pipelines.delivery import outbox
from pipelines.shop import warehouse
from tests.pipelines.delivery.letters import Clock, mail_of, queued, settle_by
from tests.pipelines.delivery.odd_mailbox import HARMLESS, Oddity, OddMailbox, odd_mail_server, random_oddities

PATIENT_SECONDS, HASTY_SECONDS = 60.0, 0.4
# Kinds that a client may take for a refusal for good.
SAY_NO = ("5xx", "contradiction")


@dataclass
class Found:
    """What became of the letters: how many in each state, how many talks, and what was wrong."""

    states: Counter[str] = field(default_factory=Counter)
    talks: int = 0
    wrong: list[str] = field(default_factory=list)


def tried(letters: int, seed: int, folder: Path) -> Found:
    """Send that many letters, each through one to three odd talks, until the outbox comes to rest."""
    chance, clock, found = random.Random(seed), Clock(), Found()
    sent: list[tuple[Letter, list[Oddity]]] = []
    with odd_mail_server() as mailbox, warehouse.scratch() as connection:
        for number in range(letters):
            mailbox.oddities = oddities = random_oddities(chance)
            planned = list(oddities)
            outbox.queue(connection, folder, f"report {number}", 1, [queued(number)], clock.now)
            (outcome,) = settle_by(connection, folder, partial(_delivered, mailbox), clock)
            sent.append((outcome, planned[: len(planned) - len(oddities)]))
    # Only now has the server read all that was sent to it.
    for outcome, met in sent:
        found.states[outcome.state] += 1
        whole, kept = mailbox.whole[outcome.message_id], mailbox.kept[outcome.message_id]
        if fault := fault_of(outcome.state, whole, kept, met):
            found.wrong.append(f"{fault}: {outcome} came whole {whole}, kept {kept}, {met}")
    found.talks = mailbox.talks
    return found


def _delivered(mailbox: OddMailbox, text: bytes, recipient: str, on_text: Callable[[], None]) -> Answer:
    """Only a talk that would never end is given a short deadline: the others hold on a busy machine."""
    is_slow = bool(mailbox.oddities) and mailbox.oddities[0].is_slow
    mail = mail_of(mailbox, HASTY_SECONDS if is_slow else PATIENT_SECONDS)
    return delivery.deliver(mail, text, recipient, on_text)


def fault_of(state: State, whole: int, kept: int, met: list[Oddity]) -> str:
    """What is wrong with this outcome, from the server's own book and the odd talks met; empty where nothing is."""
    is_early = any(odd.stage == "MIDDLE" for odd in met)
    is_refused = is_early or any(odd.kind in SAY_NO for odd in met)
    is_harmless = not is_early and all(odd.kind in HARMLESS for odd in met)
    faults = {
        "received twice": kept > 1,
        "called sent and not received": state is State.SENT and kept != 1,
        "called failed and received": state is State.FAILED and kept > 0,
        "unsure without one whole text": state is State.UNSURE and whole != 1 and not is_early,
        "given up without a refusal": state is State.FAILED and not is_refused,
        "not sent though the server said yes in its own way": is_harmless and state is not State.SENT,
        "not settled": state in (State.QUEUED, State.SENDING),
    }
    return "; ".join(fault for fault, is_so in faults.items() if is_so)

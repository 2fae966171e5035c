"""A mail server written by hand for tests: it says odd things at any moment, and keeps its own book of what it took.

A letter counts as received where its text came whole, dot and all, and the server decided to keep it, whatever it said
about that. Codes and grammar are those of RFC 5321, sections 4.2 and 4.3.2.
"""

from __future__ import annotations

import random
import socket
import struct
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field

from tests.pipelines.delivery.mailbox import HOST

# MIDDLE: after some of the text, before its dot. DOT: in answer to the whole text.
STAGES = ("GREETING", "EHLO", "MAIL", "RCPT", "DATA", "MIDDLE", "DOT", "QUIT")
USUAL = {"GREETING": b"220", "DATA": b"354", "QUIT": b"221"}
# What means the same as the usual answer, said otherwise.
HARMLESS = ("many lines", "long line", "high bytes", "no words", "bare line feed", "another code", "slow drip")
REFUSALS = ("4xx", "5xx", "421")
SLOW = ("hang", "endless drip", "endless line and hang")
MUDDLED = (
    *("mixed codes", "garbage", "no digits", "four digits", "code 999", "code 000", "code 150", "empty line"),
    *("endless reply", "half a line", "drop", "reset", "twice", "contradiction", "wrong first digit"),
)
DRIPS = 600


@dataclass(frozen=True)
class Oddity:
    """What is odd in one talk, and when. keeps: whether the server keeps a text whose answer leaves that open."""

    stage: str
    kind: str
    keeps: bool = False

    @property
    def is_slow(self) -> bool:
        """Whether only the client's deadline ends it."""
        return self.kind in SLOW


def random_oddities(chance: random.Random) -> list[Oddity]:
    """One to three, for as many talks; the answer to the whole text is odd most often, and slow ones are few."""
    kinds = (*HARMLESS, *REFUSALS, *SLOW, *MUDDLED)
    weights = [1 if kind in SLOW else 3 for kind in kinds]
    stages = chance.choices(STAGES, [1, 1, 1, 1, 1, 2, 6, 1], k=chance.randint(1, 3))
    return [Oddity(stage, chance.choices(kinds, weights)[0], chance.random() < 0.5) for stage in stages]


def said(kind: str, usual: bytes) -> bytes:
    """The bytes of an odd answer where `usual` is the code of the ordinary one."""
    return {
        "many lines": usual + b"-one\r\n" + usual + b"-\r\n" + usual + b" three\r\n",
        "long line": usual + b" " + b"x" * 9_000 + b"\r\n",
        "high bytes": usual + b" \xff\xfe\x80 \xc3\xa4\r\n",
        "no words": usual + b"\r\n",
        "bare line feed": usual + b" ok\n",
        "another code": usual[:1] + b"07 fine\r\n",
        "4xx": b"451 4.3.0 not now\r\n",
        "5xx": b"550-5.7.1 not\r\n550 5.7.1 ever\r\n",
        "421": b"421 4.3.2 closing\r\n",
        "mixed codes": usual + b"-yes\r\n550 no\r\n",
        "garbage": b"\x00\x17\xf0 hello\r\n",
        "no digits": b"2x0 ok\r\n",
        "four digits": usual + b"0 ok\r\n",
        "code 999": b"999 ok\r\n",
        "code 000": b"000 ok\r\n",
        "code 150": b"150 ok\r\n",
        "empty line": b"\r\n",
        "endless reply": (usual + b"-more and more\r\n") * 20_000,
        "half a line": usual[:2],
        "twice": (usual + b" ok\r\n") * 2,
        "contradiction": usual + b" ok\r\n550 no\r\n",
        "wrong first digit": b"354 go on\r\n" if usual != b"354" else b"250 ok\r\n",
        "endless line and hang": usual + b" " + b"x" * 200_000,
    }.get(kind, b"")


class TalkOverError(Exception):
    """The talk is over."""


@dataclass
class OddMailbox:
    """What the server will do and has seen. oddities: one for each talk to come; an empty list for none.

    whole: how many whole texts came that were not clearly refused, by Message-ID. kept: how many of them it has.
    gate: what the answer to a whole text waits for; reached is set meanwhile.
    """

    oddities: list[Oddity] = field(default_factory=list)
    whole: Counter[str] = field(default_factory=Counter)
    kept: Counter[str] = field(default_factory=Counter)
    talks: int = 0
    port: int = 0
    is_over: bool = False
    gate: threading.Event | None = None
    reached: threading.Event = field(default_factory=threading.Event)


class _Talk:
    """One conversation."""

    def __init__(self, mailbox: OddMailbox, connection: socket.socket) -> None:
        self.mailbox, self.connection, self.heard = mailbox, connection, b""
        self.odd = mailbox.oddities.pop(0) if mailbox.oddities else None
        mailbox.talks += 1

    def run(self) -> None:
        with suppress(TalkOverError, OSError):
            self.answer("GREETING")
            while True:
                command = self.line()[:4].upper()
                self.answer({b"HELO": "EHLO"}.get(command, command.decode()))
                if command == b"QUIT":
                    return
                if command == b"DATA":
                    self.take_text()

    def answer(self, stage: str) -> None:
        usual = USUAL.get(stage, b"250")
        if self.odd and self.odd.stage == stage:
            self.speak_oddly(self.odd.kind, usual)
        else:
            self.connection.sendall(usual + b" ok\r\n")

    def speak_oddly(self, kind: str, usual: bytes) -> None:
        self.connection.sendall(said(kind, usual))
        if kind in ("slow drip", "endless drip"):
            self.drip(usual + b" ok and well\r\n" if kind == "slow drip" else usual + b" " + b"x" * DRIPS + b"\r\n")
        if kind.endswith("hang"):
            self.wait_for_the_end()
        if kind == "reset":
            self.connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        if kind in ("drop", "reset", "half a line", "421"):
            raise TalkOverError

    def drip(self, text: bytes) -> None:
        for byte in text:
            self.connection.sendall(bytes([byte]))
            time.sleep(0.001 if len(text) < DRIPS else 0.02)

    def wait_for_the_end(self) -> None:
        while self.connection.recv(1 << 16):
            pass
        raise TalkOverError

    def line(self) -> bytes:
        while b"\r\n" not in self.heard:
            self.hear()
        line, self.heard = self.heard.split(b"\r\n", 1)
        return line

    def hear(self) -> None:
        chunk = self.connection.recv(1 << 16)
        if not chunk:
            raise TalkOverError
        self.heard += chunk

    def take_text(self) -> None:
        """Read to the dot. A server that refuses in DATA gets no text, and a client that sends one none the less is in
        the wrong."""
        if self.odd and self.odd.stage == "DATA" and self.odd.kind not in HARMLESS:
            return
        if self.odd and self.odd.stage == "MIDDLE":
            self.hear()
            self.speak_oddly(self.odd.kind, b"250")
        while not self.heard.endswith(b"\r\n.\r\n"):
            self.hear()
        text, self.heard = self.heard, b""
        named = text.split(b"Message-ID: ", 1)[1].split(b"\r\n", 1)[0].decode()
        self.mailbox.whole[named] += not (self.odd and self.odd.stage == "DOT" and self.odd.kind in REFUSALS)
        self.mailbox.kept[named] += self.is_kept()
        self.mailbox.reached.set()
        if self.mailbox.gate:
            self.mailbox.gate.wait(60)
        self.answer_to_text()

    def is_kept(self) -> bool:
        """Whether the server keeps the text: as it will say, where it says it clearly."""
        if self.odd and self.odd.stage == "DOT":
            if self.odd.kind in REFUSALS:
                return False
            return self.odd.keeps or self.odd.kind in (*HARMLESS, "twice")
        return self.odd.keeps if self.odd and self.odd.stage == "MIDDLE" else True

    def answer_to_text(self) -> None:
        if self.odd and self.odd.stage == "MIDDLE":
            self.connection.sendall(b"250 ok\r\n" if self.odd.keeps else b"554 no\r\n")
        else:
            self.answer("DOT")


@contextmanager
def odd_mail_server(mailbox: OddMailbox | None = None) -> Iterator[OddMailbox]:
    """The running server; it takes one talk at a time."""
    mailbox = mailbox or OddMailbox()
    with socket.create_server((HOST, 0)) as listening:
        mailbox.port = listening.getsockname()[1]
        serving = threading.Thread(target=_serve, args=(mailbox, listening), daemon=True)
        serving.start()
        yield mailbox
        mailbox.is_over = True
        # A last, silent call ends the wait for another.
        listening.settimeout(0.0)
        with suppress(OSError), socket.create_connection((HOST, mailbox.port), timeout=5):
            pass
    serving.join(timeout=30)


def _serve(mailbox: OddMailbox, listening: socket.socket) -> None:
    with suppress(OSError):
        while True:
            connection, _ = listening.accept()
            with connection:
                if mailbox.is_over:
                    return
                connection.settimeout(60)
                _Talk(mailbox, connection).run()

"""A mail server that says given lines in order, one for each command, whatever it is told; and what it was told."""

from __future__ import annotations

import socket
import ssl
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field

from tests.pipelines.delivery.mailbox import HOST

HELLO = (b"220 mail.fernmoor.example", b"250 mail.fernmoor.example")


@dataclass
class Script:
    """Where it listens, and the lines it was told, without their ends; a text counts as one line."""

    port: int = 0
    reported: list[bytes] = field(default_factory=list)


@contextmanager
def scripted(lines: Sequence[bytes], context: ssl.SSLContext | None = None) -> Iterator[Script]:
    """A server for one talk. context: for encryption after the first line that begins with 220 but the greeting."""
    script = Script()
    with socket.create_server((HOST, 0)) as listening:
        listening.settimeout(60)
        script.port = listening.getsockname()[1]
        serving = threading.Thread(target=_serve, args=(script, listening, list(lines), context), daemon=True)
        serving.start()
        yield script
    serving.join(timeout=60)


def _serve(script: Script, listening: socket.socket, lines: list[bytes], context: ssl.SSLContext | None) -> None:
    connection, _ = listening.accept()
    connection.settimeout(60)
    try:
        for at, line in enumerate(lines):
            if at:
                script.reported.append(
                    _heard(connection, b"\r\n.\r\n" if lines[at - 1].startswith(b"354") else b"\r\n")
                )
            connection.sendall(line + b"\r\n")
            if at and line.startswith(b"220") and context:
                connection = context.wrap_socket(connection, server_side=True)
    except OSError:
        pass  # the client has ended the talk
    finally:
        connection.close()


def _heard(connection: socket.socket, end: bytes) -> bytes:
    heard = b""
    while not heard.endswith(end):
        chunk = connection.recv(1 << 16)
        if not chunk:
            raise OSError("the client is gone")
        heard += chunk
    return heard.removesuffix(end)

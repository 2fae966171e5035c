"""Questions to the system's name service under a deadline: the call itself takes none and may last for minutes.

Each is asked on a thread of its own. One that has no answer in time is left behind: it holds nothing that anybody waits
for, ends with its answer, and keeps no process from ending.
"""

import re
import socket
import threading
from collections.abc import Callable
from concurrent.futures import Future
from typing import Any, TypeVar

Found = TypeVar("Found")
# Family, kind, protocol, canonical name, address: as getaddrinfo of POSIX gives them.
Address = tuple[int, int, int, str, Any]
# The own name only greets the server; a literal does as well.
OWN_NAME_SECONDS = 5.0


def addresses(host: str, port: int, seconds: float) -> list[Address]:
    """Where a host can be reached. Raises TimeoutError, or OSError where the name is not known."""
    return _within(seconds, lambda: list(socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)))


def own_name(seconds: float) -> str:
    """What this machine calls itself: RFC 5321, section 4.1.3 has the number in brackets for one without a name."""
    try:
        name = _within(min(seconds, OWN_NAME_SECONDS), socket.getfqdn)
    except TimeoutError:
        name = ""
    return name if re.fullmatch(r"[A-Za-z0-9.-]+\.[A-Za-z0-9-]+", name) else "[127.0.0.1]"


def _within(seconds: float, ask: Callable[[], Found]) -> Found:
    answer: Future[Found] = Future()

    def answered() -> None:
        try:
            answer.set_result(ask())
        except BaseException as wrong:
            answer.set_exception(wrong)

    threading.Thread(target=answered, name="name look-up", daemon=True).start()
    return answer.result(timeout=seconds)

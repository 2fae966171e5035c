"""Where the orchestrator keeps its record: at the server that PREFECT_API_URL names, else in the shop's folder.

Without a server its application runs in this process and is spoken to by function calls. No port is opened, so nobody
else on the machine can speak to it: there is no secret to keep and nothing to start, wait for or end.
"""

import os
from collections.abc import Awaitable, Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import httpx
from anyio.from_thread import BlockingPortal, start_blocking_portal

from pipelines.shop.settings import Settings

ADDRESS = "PREFECT_API_URL"
# A name that exists nowhere (RFC 2606): requests to it never reach a network.
IN_PROCESS = "http://record.invalid/api"
# The orchestrator sends usage figures to its makers unless told not to.
QUIET = {"PREFECT_SERVER_ANALYTICS_ENABLED": "false", "DO_NOT_TRACK": "1", "PREFECT_UI_ENABLED": "0"}
# On a slow machine an answer of the user's own server takes its time; the minute that is usual would lose the run.
PATIENT = {"PREFECT_API_REQUEST_TIMEOUT": "900"}
# Without a server, events and logs would be sent over sockets; a key without an address turns events off.
CLOSED = {
    "PREFECT_SERVER_EPHEMERAL_ENABLED": "false",
    "PREFECT_API_KEY": "none",
    "PREFECT_LOGGING_TO_API_ENABLED": "false",
}
# The command line says in its own words what became of a run; with a traceback only for faults of the program.
SPARING = {"PREFECT_LOGGING_LEVEL": "CRITICAL", "PREFECT_LOGGING_SERVER_LEVEL": "CRITICAL"}


def prepare(settings: Settings, environment: Mapping[str, str] = os.environ) -> dict[str, str]:
    """What the environment must say before the orchestrator is loaded; what is set already stays, but for the doors."""
    is_here = ADDRESS not in environment
    wanted = {**QUIET, **PATIENT, **(SPARING if is_here else {}), "PREFECT_HOME": str(settings.folder / ".prefect")}
    kept = {name: text for name, text in wanted.items() if name not in environment}
    return kept | (CLOSED if is_here else {})


def set_up(settings: Settings) -> None:
    """Prepare this process's environment."""
    os.environ.update(prepare(settings))


class _Transport(httpx.BaseTransport):
    """Hands a client's requests to an application on an event loop of another thread."""

    def __init__(self, portal: BlockingPortal, application: httpx.ASGITransport) -> None:
        self.portal, self.application = portal, application

    def handle_request(self, request: httpx.Request) -> httpx.Response:
        request.read()
        return self.portal.call(self._answered, request)

    async def _answered(self, request: httpx.Request) -> httpx.Response:
        asked = httpx.Request(request.method, request.url, headers=request.headers, content=request.content)
        answer = await self.application.handle_async_request(asked)
        kept = {name: text for name, text in answer.headers.items() if name != "content-encoding"}
        return httpx.Response(answer.status_code, headers=kept, content=await answer.aread())


@contextmanager
def in_process(application: Any, lay_out: Callable[[], Awaitable[None]]) -> Iterator[httpx.BaseTransport]:
    """A transport to this ASGI application, which lives on a thread of this process until the block ends.

    lay_out: makes its database ready. What else a server starts with the application (triggers, clean-up, streams) is
    left out: a record needs none of it.
    """
    with start_blocking_portal() as portal:
        portal.call(lay_out)
        yield _Transport(portal, httpx.ASGITransport(application, raise_app_exceptions=False))

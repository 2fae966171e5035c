"""Another user of the machine, who tries every door of the orchestrator and every file of a schedule at work."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from tests.pipelines.served import ports

# What a user without rights tries: every door of the orchestrator, on every port it finds, and the files themselves.
STRANGER = """
import json, os, pathlib, socket, sys
asked = json.loads(sys.argv[1])
os.setgroups([]); os.setgid(65534); os.setuid(65534)
answers = []
for port in asked["ports"]:
    for text in asked["requests"]:
        try:
            with socket.create_connection(("127.0.0.1", port), 20) as talk:
                talk.sendall(text.encode())
                answers.append(talk.recv(200).decode(errors="replace"))
        except OSError:
            pass
for path in asked["paths"]:
    try:
        answers.append(str(list(pathlib.Path(path).iterdir()) if pathlib.Path(path).is_dir()
                           else pathlib.Path(path).read_bytes()[:20]))
    except OSError:
        pass
print(json.dumps({"tried": len(asked["ports"]) * len(asked["requests"]) + len(asked["paths"]), "answers": answers}))
"""
HEAD = "Host: 127.0.0.1\r\nOrigin: http://elsewhere.example\r\nConnection: close\r\n"
REQUESTS = [
    *(f"GET {path} HTTP/1.1\r\n{HEAD}\r\n" for path in ("/docs", "/openapi.json", "/ui-settings", "/api/docs")),
    *(
        f"GET {path} HTTP/1.1\r\n{HEAD}\r\n"
        for path in ("/api/admin/settings", "/api/admin/version", "/api/csrf-token")
    ),
    f"POST /api/deployments/filter HTTP/1.1\r\n{HEAD}Content-Type: application/json\r\nContent-Length: 2\r\n\r\n{{}}",
    f"OPTIONS /api/flow_runs/ HTTP/1.1\r\n{HEAD}Access-Control-Request-Method: POST\r\n\r\n",
    "GET /api/events/in HTTP/1.1\r\nHost: 127.0.0.1\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
    "Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n",
]


def nobody_is_answered(folder: Path, processes: list[int]) -> None:
    """Another user of the machine tries all doors; only root can be somebody else."""
    if os.geteuid() != 0:
        return
    paths = [str(folder), *(f"/proc/{each}/environ" for each in processes)]
    asked = {"ports": sorted(ports(processes)), "requests": REQUESTS, "paths": paths}
    reported = subprocess.run(
        [sys.executable, "-c", STRANGER, json.dumps(asked)], check=True, capture_output=True, text=True
    )
    said = json.loads(reported.stdout)
    assert said["tried"] >= 3
    assert said["answers"] == []

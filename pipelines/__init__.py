"""What is done: reading, importing, building, sending; time and orchestration; the command line."""

import os

# Where no server is named, Prefect would start one of its own for a run: a port without a secret, open to every user of
# the machine. It is told not to; pipelines/flows.py records such runs in this process instead.
os.environ.setdefault("PREFECT_SERVER_EPHEMERAL_ENABLED", "false")

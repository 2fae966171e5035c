"""Commands that find everything built load no library that only a build, an import or a schedule needs, and those that
only tell what is built no frames either: to load pandas takes as long as all else that they do."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from pipelines.shop import warehouse

# Each takes a fifth of a second to a second and a half of the processor.
SLOW_TO_LOAD = ["openpyxl", "pandera", "plotly", "prefect", "scipy", "sqlglot", "statsmodels"]
CODE = """
import json, sys
from pipelines.cli import main
loaded = {}
for command in json.loads(sys.argv[2]):
    done = main(["--shop", sys.argv[1], *command])
    loaded[command[0]] = [done, sorted(set(json.loads(sys.argv[3])) & set(sys.modules)), "pandas" in sys.modules]
print(json.dumps(loaded))
"""


def test_reading_commands_load_only_what_they_use(
    demo_folder: Path, demo: warehouse.Connection, tmp_path: Path
) -> None:
    """In one process one after the other, so what one loads is seen at the next, too."""
    ((parcel,),) = demo.execute("select min(parcel_id) from core.parcels").fetchall()
    orders = tmp_path / "orders.csv"
    orders.write_text("Order number,Ordered at,Item type,Quantity,Shipping charged\nA-1,2026-10-01,tripod,1,9.50\n")
    commands = [
        ["claim", parcel],
        ["map", str(orders)],
        ["status"],
        ["disputes"],
        ["explain", parcel],
        ["trace", "marts.item_type_costs", "--item-type", "tripod", "--month", "2026-10"],
        ["watch"],
    ]
    given = [str(demo_folder), json.dumps(commands), json.dumps(SLOW_TO_LOAD)]
    done = subprocess.run([sys.executable, "-c", CODE, *given], capture_output=True, text=True, check=True)
    loaded = json.loads(done.stdout.splitlines()[-1])
    ends = {"map": 3}  # it asks, and nobody answers
    assert {name: found[:2] for name, found in loaded.items()} == {
        command[0]: [ends.get(command[0], 0), []] for command in commands
    }
    assert [name for name, (_, _, is_framed) in loaded.items() if is_framed] == ["watch"]

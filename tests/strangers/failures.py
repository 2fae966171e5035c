"""What fails, by cause, each with the smallest file that still does.

`python -m tests.strangers.failures FOLDER PART ...`: PART is cells, faults or messy. FOLDER gets the files, and
failures.txt with the column map and the answer of each.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from tests.strangers import campaign
from tests.strangers.judging import Fault, Finding, Verdict, judge
from tests.strangers.landing import land
from tests.strangers.trials import Trial

PARTS: dict[str, Callable[[], Verdict]] = {"cells": campaign.cells, "faults": campaign.faults, "messy": campaign.messy}
_LINE = re.compile(rb"[^\r\n]*(?:\r\n|\r|\n|$)")


def by_cause(verdict: Verdict) -> dict[tuple[Fault, str, str], list[Finding]]:
    """Findings by fault, group and the reason that the oracle gives; the worst faults first."""
    causes: dict[tuple[Fault, str, str], list[Finding]] = {}
    for finding in sorted(verdict.findings, key=lambda one: list(Fault).index(one.fault)):
        why = finding.row.why if finding.row else ""
        causes.setdefault((finding.fault, finding.trial.group, why), []).append(finding)
    return causes


def smallest(finding: Finding) -> Trial:
    """The finding's file with every line left out that it does not need; a packed or binary file as it is."""
    trial = finding.trial
    if trial.form.partition(" ")[0] not in {"csv", "tsv", "jsonl", "bill", "stock", "codes"} or not _is_plain(trial):
        return trial
    for line in list(dict.fromkeys(_LINE.findall(trial.content))):
        kept = b"".join(one for one in _LINE.findall(trial.content) if one != line)
        smaller = replace(trial, content=kept, rows=tuple(row for row in trial.rows if row.mark.encode() in kept))
        if line and _fails(smaller, finding):
            trial = smaller
    return trial


def _is_plain(trial: Trial) -> bool:
    return not trial.file_name.endswith((".gz", ".zip")) and b"\0" not in trial.content[:40]


def _fails(trial: Trial, finding: Finding) -> bool:
    same_row = finding.row.mark if finding.row else None
    found = judge(land([trial])).findings
    return any(one.fault is finding.fault and (one.row.mark if one.row else None) == same_row for one in found)


def report(verdict: Verdict) -> Iterator[tuple[str, Trial]]:
    """A paragraph for each cause, and the smallest file of its first finding."""
    for (fault, group, why), findings in by_cause(verdict).items():
        first = findings[0]
        trial = smallest(first)
        source = {name: said for name, said in trial.source.columns.items() if said.column}
        yield (
            f"{len(findings)} x {fault}: {group} ({first.trial.form}): {why}\n"
            f"  row: {first.row.mark if first.row else ''} {first.row.shown if first.row else ''}\n"
            f"  may be stored: {first.row.allowed if first.row else ''}\n"
            f"  answer: {first.reported[-600:]}\n"
            f"  map: {source}, decimal {trial.source.decimal}, delimiter {trial.source.delimiter!r}\n",
            trial,
        )


def main(folder: Path, parts: Sequence[str]) -> None:
    """Write the files and the list."""
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "failures.txt").open("w", encoding="utf-8", errors="backslashreplace") as reported:
        for part in parts or PARTS:
            for number, (paragraph, trial) in enumerate(report(PARTS[part]())):
                name = f"{part}-{number:03}-{re.sub('[^A-Za-z0-9.]+', '-', trial.file_name)[-60:]}"
                (folder / name).write_bytes(trial.content)
                reported.write(f"{name}: {paragraph}\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])

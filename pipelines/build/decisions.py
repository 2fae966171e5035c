"""The shop's log of changes: decisions.toml in its folder.

A file and no table: it is the shop's own record, small, readable, edited by hand, it outlives the warehouse, and it
can lie beside dunnage.toml in a backup. Verdicts are not kept in it: they follow from the records at each month end.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any, ClassVar

from pydantic import AfterValidator, Field

from models.columns.changes import CHANGE_REASONS, NOT_STATED
from models.contracts import validated
from models.errors import SettingsError
from models.settings.damage import EXPECTED_RATIO
from models.settings.types import Day, Plain, RefusedError, Section, Words, among
from models.tables import TABLES
from pipelines.build.loading import frame, load_rows
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from pipelines.shop.toml_files import stated_as
from pipelines.shop.toml_logs import Log

TABLE = "shop.decisions"
HEAD = """\
# What the shop changed in its packing, when and why. `dunnage decide` adds an entry; edit it as you like.
"""


def _a_change(ratio: float) -> float:
    if ratio == 1:
        raise RefusedError("expects no change", "state the damage hoped for as a share of today's, such as 0.5")
    return ratio


ItemTypes = Annotated[
    tuple[Words, ...], Field(strict=False, min_length=1), AfterValidator(lambda names: tuple(dict.fromkeys(names)))
]


@dataclass(frozen=True)
class Decision(Section):
    """One logged change. because: what led to it, of CHANGE_REASONS. expected_ratio: damage hoped for, as a share of
    that before. verdict: of an older version, read and not used."""

    affected: ClassVar[str] = "verdicts on changes; nothing was written"

    id: Words
    item_types: ItemTypes
    changed_on: Day
    change: Annotated[Plain, Field(min_length=1)]
    reason: Plain = ""
    expected_ratio: Annotated[float, Field(gt=0, le=100), AfterValidator(_a_change)] = EXPECTED_RATIO
    because: Annotated[str, among(CHANGE_REASONS)] = NOT_STATED
    verdict: dict[str, Any] = field(default_factory=dict)


def _named_once(found: tuple[Decision, ...]) -> tuple[Decision, ...]:
    for number, each in enumerate(found):
        if each.id in (other.id for other in found[:number]):
            raise RefusedError(f"several entries are named {each.id}", "give each an id of its own", (number, "id"))
    return found


Decisions = Annotated[tuple[Decision, ...], Field(strict=False), AfterValidator(_named_once)]
LOG = Log("decisions.toml", HEAD, {"decision": Decisions}, Decision.affected)


def logged(settings: Settings) -> list[Decision]:
    """The decisions in the order of the file; none where there is no file. Raises SettingsError for a wrong entry."""
    return list(LOG.read(settings)["decision"])


def _wrong(where: object, what: str, next_step: str) -> SettingsError:
    return SettingsError(str(where), what, "verdicts on changes; nothing was written", next_step)


def record(settings: Settings, decision: Decision) -> Decision:
    """Add a decision to the log; an empty id is made from the change. Raises SettingsError for a wrong entry."""
    known = {each.id for each in logged(settings)}
    name = decision.id or _free_name(f"{'-'.join(decision.item_types)}-{decision.change}", known)
    entry = {"id": name, "item_types": list(decision.item_types), "changed_on": decision.changed_on}
    entry |= {"change": decision.change, "reason": decision.reason, "because": decision.because}
    entry |= {"expected_ratio": decision.expected_ratio}
    checked: Decision = stated_as(Decision, entry, f"decision {name}")
    if name in known:
        raise _wrong(LOG.path(settings), f"has an entry named {name}", "choose another --id")
    validated(frame(TABLES[TABLE], _rows([checked])), TABLES[TABLE], "verdicts on changes")
    LOG.append(settings, "decision", entry)
    return checked


def _free_name(text: str, known: set[str]) -> str:
    plain = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:60].strip("-") or "change"
    return next(name for name in (plain, *(f"{plain}-{n}" for n in range(2, 1000))) if name not in known)


def load(connection: warehouse.Connection, settings: Settings) -> None:
    """Put the log into shop.decisions, for the analyses to read."""
    load_rows(connection, TABLES[TABLE], frame(TABLES[TABLE], _rows(logged(settings))))


def _rows(found: Sequence[Decision]) -> list[dict[str, Any]]:
    return [
        {
            "decision_id": each.id,
            "item_type": item_type,
            "change_made": each.change,
            "reason_given": each.reason,
            "change_reason": each.because,
            "changed_on": each.changed_on,
            "expected_ratio": each.expected_ratio,
        }
        for each in found
        for item_type in each.item_types
    ]

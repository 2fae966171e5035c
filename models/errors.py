"""One error tree. Every message says where, what is wrong, who is affected and what to do next."""

# The way out of a damaged warehouse.
RESTORE = "run `dunnage restore` with a backup, or move warehouse.duckdb away and run `dunnage replay --keep`"

# What an empty shop does first.
BEGIN = "put exports into the inbox, then `dunnage map FILE --write` and `dunnage intake`"


class DunnageError(Exception):
    """A mistake that a user can correct; the command line prints it without a traceback and exits with 1.

    where: the file, table, setting or record concerned. what: what is wrong there.
    affected: which rows, parcels or figures suffer. next_step: what to do about it.
    """

    def __init__(self, where: str, what: str, affected: str, next_step: str) -> None:
        self.where, self.what, self.affected, self.next_step = where, what, affected, next_step
        super().__init__(f"{where}: {what}. Affected: {affected}. Next: {next_step}.")


class SettingsError(DunnageError):
    """The shop's dunnage.toml cannot be used as it stands."""


class SourceFileError(DunnageError):
    """A source file cannot be read as the format its column map states."""


class ColumnMapError(DunnageError):
    """A column map names a column, unit or field that does not exist."""


class IntakeError(DunnageError):
    """A delivery cannot be imported; nothing of it was kept."""


class WarehouseBusyError(DunnageError):
    """Another command is writing to the warehouse."""


class WarehouseError(DunnageError):
    """The warehouse file is missing, damaged or of another version."""


class BuildError(DunnageError):
    """A SQL model cannot be built."""


class ContractError(DunnageError):
    """A table does not keep its contract."""


class CheckFailedError(DunnageError):
    """A check that stops the run returned rows."""


class TariffError(DunnageError):
    """A tariff file is incomplete or contradicts itself."""


class NotFoundError(DunnageError):
    """A parcel, month, table or item type that was asked for is not in the warehouse."""


class DeliveryError(DunnageError):
    """A report could not be sent."""


class InfeasibleError(DunnageError):
    """What was asked for contradicts itself: no choice can satisfy it."""


class BackupError(DunnageError):
    """A backup cannot be made, or is damaged, foreign or in the way of files that are there."""


class EvidenceError(DunnageError):
    """A picture or document of a claim cannot be taken up or handed on."""


class ArchiveError(DunnageError):
    """An archived file is missing, or is not what was archived."""


class MachineError(DunnageError):
    """The machine cannot do it: disk full, no right to write, too little memory."""

"""Backup and restore: one zip file with the warehouse, the archive and what the shop wrote itself.

A backup is made while the writer's lock is held, so that all its parts are of one moment; readers go on meanwhile. The
warehouse in it is a fresh copy, proven alike row by row; a manifest names every member with its SHA-256 and every table
with its digest. The file is read back before it gets its name, and again before anything of it is restored. Inbox and
reviews are left out: the one is the shop's own, the others can be drawn again.
"""

from pipelines.shop.backup.contents import Backup, checked
from pipelines.shop.backup.making import Scheduled, backup, scheduled_backup
from pipelines.shop.backup.restoring import Restored, restore

__all__ = ["Backup", "Restored", "Scheduled", "backup", "checked", "restore", "scheduled_backup"]

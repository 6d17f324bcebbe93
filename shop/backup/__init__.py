"""A back-up of everything a shop keeps, in one file, and its restoring: the same file for SQLite and PostgreSQL.

The file is a zip: ``manifest.json``, ``rows/<table>.jsonl`` with one row a line, ``papers/<hash>.pdf`` and the secret
key. Log-ins that are open (sessions) are left out: after a restore everyone logs in again.
"""

from shop.backup.archive import BackupRefused
from shop.backup.restore import Restored, restore
from shop.backup.save import Saved, backup

__all__ = ["BackupRefused", "Restored", "Saved", "backup", "restore"]

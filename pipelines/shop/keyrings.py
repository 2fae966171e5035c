"""The system's own keyring, where its library is installed: the mail password, the passphrase of backups."""

SERVICE = "dunnage"


def from_keyring(user: str) -> str | None:
    """What it keeps for a user of ours; None without the library, a keyring or an entry, or where it is locked."""
    try:
        import keyring
        from keyring.errors import KeyringError
    except ImportError:
        return None
    try:
        return keyring.get_password(SERVICE, user) or None
    except KeyringError:
        return None

"""Encrypts a backup by a passphrase, in the age format (C2SP, "age-encryption.org/v1"): any age program opens it too.

A file of one's own making would be lost with the program that made it. Keys: scrypt of the passphrase wraps a random
file key; HKDF of that gives the keys for the header's code and for the content, which is sealed in chunks of 64 KiB
with their number and a mark on the last, so that none can be altered, moved, left out or cut off unseen.
"""

import base64
import hmac
import os
import re
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import IO, Any

from models.errors import BackupError
from pipelines.shop.keyrings import from_keyring

PASSPHRASE_VARIABLE = "DUNNAGE_BACKUP_PASSPHRASE"
KEYRING_USER = "backup"
SEALED = ".age"
_INTRO = b"age-encryption.org/v1\n"
_CHUNK, _TAG = 64 << 10, 16
# 2^18 rounds take about a second and 256 MB; a file that asks for more than 2^22 is not one of ours.
_WORK, _MOST_WORK = 18, 22
_HEADER = re.compile(
    rb"age-encryption\.org/v1\n-> scrypt ([A-Za-z0-9+/]{22}) ([1-9][0-9]?)\n([A-Za-z0-9+/]{43})\n---"
    rb" ([A-Za-z0-9+/]{43})\n"
)
_LONGEST_HEADER = 256


def passphrase(where: str) -> str:
    """The passphrase from the environment or, if that library is installed, the keyring. Raises BackupError."""
    if find_spec("cryptography") is None:
        raise BackupError(
            where, "needs the library cryptography", "this command", "run `pip install 'dunnage[encryption]'`"
        )
    found = os.environ.get(PASSPHRASE_VARIABLE) or from_keyring(KEYRING_USER)
    if not found:
        raise BackupError(
            where, "needs a passphrase, and none is known", "this command", f"set {PASSPHRASE_VARIABLE}, or the keyring"
        )
    return found


def is_sealed(path: Path) -> bool:
    """Whether a file is encrypted in this format."""
    with path.open("rb") as opened:
        return opened.read(len(_INTRO)) == _INTRO


def seal(source: Path, target: Path, secret: str, work: int = _WORK) -> None:
    """Write the source encrypted into the target. work: scrypt's rounds as a power of two."""
    key, salt, nonce = os.urandom(16), os.urandom(16), os.urandom(16)
    wrapped = _cipher(_wrapping_key(secret, salt, work)).encrypt(bytes(12), key, None)
    head = _INTRO + b"-> scrypt %s %d\n%s\n---" % (_text(salt), work, _text(wrapped))
    with source.open("rb") as plain, target.open("wb") as sealed:
        sealed.write(head + b" " + _text(_code(key, head)) + b"\n" + nonce)
        cipher = _cipher(_derived(key, nonce, b"payload"))
        for number, (chunk, is_last) in enumerate(_chunks(plain, _CHUNK)):
            sealed.write(cipher.encrypt(_nonce(number, is_last), chunk, None))


def unseal(source: Path, target: Path, secret: str) -> None:
    """Write the source decrypted into the target. Raises BackupError for a wrong passphrase or an altered file."""
    with source.open("rb") as sealed, target.open("wb") as plain:
        key = _file_key(source, sealed, secret)
        nonce = sealed.read(16)
        if len(nonce) != 16:
            raise _altered(source)
        cipher = _cipher(_derived(key, nonce, b"payload"))
        for number, (chunk, is_last) in enumerate(_chunks(sealed, _CHUNK + _TAG)):
            opened = _opened(cipher, _nonce(number, is_last), chunk)
            if opened is None or (number and not opened):
                raise _altered(source)
            plain.write(opened)


def _file_key(source: Path, sealed: IO[bytes], secret: str) -> bytes:
    start = sealed.read(_LONGEST_HEADER)
    found = _HEADER.match(start)
    if not found or int(found[2]) > _MOST_WORK:
        raise _altered(source)
    sealed.seek(found.end())
    salt, wrapped, code = (base64.b64decode(found[part] + b"=" * (-len(found[part]) % 4)) for part in (1, 3, 4))
    if [_text(salt), _text(wrapped), _text(code)] != [found[part] for part in (1, 3, 4)]:
        raise _altered(source)
    key = _opened(_cipher(_wrapping_key(secret, salt, int(found[2]))), bytes(12), wrapped)
    if key is None:
        raise BackupError(
            str(source),
            "does not open by this passphrase",
            "this restore; nothing was changed",
            f"set the passphrase that it was made by as {PASSPHRASE_VARIABLE}",
        )
    if not hmac.compare_digest(_code(key, found[0][: found[0].rindex(b" ")]), code):
        raise _altered(source)
    return key


def _altered(source: Path) -> BackupError:
    what = "is damaged: it was cut off or altered after it was encrypted"
    return BackupError(str(source), what, "this restore; nothing was changed", "use another backup")


def _chunks(stream: IO[bytes], size: int) -> Iterator[tuple[bytes, bool]]:
    """The stream in pieces of this size, each with whether it is the last; an empty stream is one empty piece."""
    chunk = stream.read(size)
    while following := stream.read(size):
        yield chunk, False
        chunk = following
    yield chunk, True


def _nonce(number: int, is_last: bool) -> bytes:
    return number.to_bytes(11, "big") + bytes([is_last])


def _opened(cipher: Any, nonce: bytes, sealed: bytes) -> bytes | None:
    """What was sealed; None where another key sealed it, or another hand changed it."""
    from cryptography.exceptions import InvalidTag

    try:
        return bytes(cipher.decrypt(nonce, sealed, None))
    except InvalidTag:
        return None


def _cipher(key: bytes) -> Any:
    from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305

    return ChaCha20Poly1305(key)


def _wrapping_key(secret: str, salt: bytes, work: int) -> bytes:
    from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

    return Scrypt(salt=b"age-encryption.org/v1/scrypt" + salt, length=32, n=1 << work, r=8, p=1).derive(secret.encode())


def _derived(key: bytes, salt: bytes | None, purpose: bytes) -> bytes:
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.hazmat.primitives.kdf.hkdf import HKDF

    return HKDF(algorithm=SHA256(), length=32, salt=salt, info=purpose).derive(key)


def _code(key: bytes, head: bytes) -> bytes:
    return hmac.digest(_derived(key, None, b"header"), head, "sha256")


def _text(raw: bytes) -> bytes:
    return base64.b64encode(raw).rstrip(b"=")

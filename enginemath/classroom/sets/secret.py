"""The class secret: from it come every student's engine and the seals that show a wrong one."""

from __future__ import annotations

import hashlib
import hmac
import json
import os
import secrets
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from enginemath.sheets.plain_file import plain_file
from enginemath.sheets.text_file import write_atomically
from enginemath.units import Refused

VARIABLE = "ENGINEMATH_CLASS_SECRET"
FILE = "class-secret.txt"
_LONGEST = 1000
_ROUNDS = 100_000
"""Of key stretching: a short secret cannot be tried out quickly from a student's page."""
_LONG_ENOUGH, _WORDS_ENOUGH, _SIGNS_ENOUGH = 20, 4, 10
SALT_FILE = "class-salt.txt"


class ClassSecret:
    """One class's secret.

    The same secret and id give the same numbers, for everyone and for ever:

    >>> one, again = ClassSecret("heron"), ClassSecret("heron")
    >>> one.number("engine", "1042") == again.number("engine", "1042")
    True
    """

    def __init__(self, text: str, salt: str = ""):
        """Take a secret as it was given, and a salt where one was drawn for the class set."""
        text = text.strip()
        if not text:
            raise Refused("class secret: empty; write a few words")
        if len(text) > _LONGEST:
            raise Refused(f"class secret: longer than {_LONGEST} letters")
        self._text, self._salt = text, salt

    @property
    def is_guessable(self) -> bool:
        """Whether somebody could come upon it by trying words: then it needs a salt.

        >>> ClassSecret("heron").is_guessable, ClassSecret("four words, but long ones").is_guessable
        (True, False)
        """
        words, signs = set(self._text.casefold().split()), set(self._text)
        drawn = {c.isupper() for c in signs} == {c.isdigit() for c in signs} == {True, False}
        told = len(words) >= _WORDS_ENOUGH or (drawn and len(signs) >= _SIGNS_ENOUGH)
        return len(self._text) < _LONG_ENOUGH or not told

    def salted(self, salt: str) -> ClassSecret:
        """The same secret with a salt: it makes other engines and other seals.

        >>> ClassSecret("heron").salted("a").tag("x") == ClassSecret("heron").tag("x")
        False
        """
        return ClassSecret(self._text, salt)

    @property
    def salt(self) -> str:
        """Empty where there is none."""
        return self._salt

    @cached_property
    def _key(self) -> bytes:
        words = self._text.encode("utf-8", "surrogateescape")
        salt = b"enginemath class set" + self._salt.encode()
        return hashlib.pbkdf2_hmac("sha256", words, salt, _ROUNDS)

    def _digest(self, *words: str) -> hmac.HMAC:
        # Lengths in front keep ("a", "bc") and ("ab", "c") apart.
        message = "".join(f"{len(word)}:{word}" for word in words)
        return hmac.new(self._key, message.encode(), "sha256")

    def number(self, *words: str) -> int:
        """A large number that belongs to these words, to seed a draw with."""
        return int.from_bytes(self._digest("number", *words).digest(), "big")

    def tag(self, *words: str, length: int = 64) -> str:
        """A seal of these words, which only the secret can make."""
        return self._digest("tag", *words).hexdigest()[:length]

    def seal(self, content: Mapping[str, Any]) -> str:
        """A seal of a key file's content."""
        return self.tag("key", json.dumps(content, sort_keys=True, ensure_ascii=True))

    def fits(self, tag: str, *words: str) -> bool:
        """Whether a tag is the one that this secret makes of these words."""
        return hmac.compare_digest(tag.encode(), self.tag(*words, length=len(tag)).encode())


def find_secret(
    text: str | None, file: str | os.PathLike[str] | None, beside: Path
) -> ClassSecret | None:
    """The class secret from where it was given, in this order.

    Args:
        text: as given.
        file: that holds it.
        beside: folder of the key, which holds a secret that was made there.

    Returns:
        The secret; None where none is given, nor in the variable `ENGINEMATH_CLASS_SECRET`.

    Raises:
        Refused: two are given, an empty one, or a file that cannot be read.
    """
    if text is not None and file is not None:
        raise Refused("class secret: give --secret or --secret-file, not both")
    if text is not None:
        return ClassSecret(text)
    if file is not None:
        return ClassSecret(_read(Path(file)))
    if os.environ.get(VARIABLE):
        return ClassSecret(os.environ[VARIABLE])
    kept = beside / FILE
    return ClassSecret(_read(kept)) if os.path.isfile(kept) else None


def make_secret(folder: Path) -> ClassSecret:
    """Draw a secret and keep it in a folder, for its owner's eyes alone."""
    return ClassSecret(_draw(folder / FILE))


def make_salt(folder: Path) -> str:
    """Draw a salt and keep it in a folder."""
    return _draw(folder / SALT_FILE)


def kept_salt(folder: Path) -> str:
    """The salt that was kept in a folder; empty where there is none."""
    file = folder / SALT_FILE
    return _read(file).strip() if os.path.exists(file) else ""


def _draw(file: Path) -> str:
    """A file with something drawn in it, whole or not at all."""
    if os.path.lexists(file):
        raise Refused(f"{file}: cannot be written (there already)")
    text = secrets.token_urlsafe(24)
    write_atomically(file, text + "\n", for_owner_alone=True)
    return text


def _read(file: Path) -> str:
    try:
        with plain_file(file) as handle:
            return handle.read(4 * _LONGEST).decode("utf-8-sig")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        if isinstance(error, UnicodeDecodeError):
            reason = "not a text file"
        raise Refused(f"{file}: the class secret cannot be read ({reason})") from None

"""Join codes: short enough to type, read without mistakes, and not to be guessed in the time they last."""

from __future__ import annotations

import hashlib
import re
import secrets
from typing import Final

ALPHABET: Final = "CDFHJKMNPRTWXY3479"
"""No sign that is taken for another, on paper or by ear; no vowel, so that no word comes out."""

LENGTH: Final = 8
LASTS_S: Final = 15 * 60


def new_code() -> str:
    """A code nobody can foresee: 18⁸, about 11 thousand million, are equally likely."""
    return "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))


def shown(code: str) -> str:
    """A code as it is read aloud: ``CDFH-JKMN``."""
    return f"{code[: LENGTH // 2]}-{code[LENGTH // 2 :]}"


def typed(text: str) -> str:
    """A code as it was meant: gaps, dashes and small letters do not matter."""
    return re.sub(r"[\s\-–—_.]", "", text).upper()


def hashed(secret: str) -> str:
    """What the store keeps in place of a secret."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()

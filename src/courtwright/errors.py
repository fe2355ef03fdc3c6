"""Every error the product raises on purpose.

::

    CourtwrightError
     ├── WordError (ValueError)         a word that is not in the vocabulary
     ├── DocumentError (ValueError)     a file with problems, all of them listed
     │    └── NewerFormatError          written by a later version of the product
     ├── CannotPlayError (ValueError)   a sound game that the trial does not play
     ├── RotaError (ValueError)         no rota exists for this request
     ├── JoinError (ValueError)         a device is not let in
     ├── NotYoursError                  a device asks for what its role may not have
     ├── StoreError (RuntimeError)      the store cannot do it
     │    ├── NotFoundError (LookupError)
     │    └── ConflictError             somebody else saved first
     └── CancelledError                 the person asked to stop

The text of an error tells the reader what to do next.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with a document: where it is, what is wrong, how to mend it."""

    place: str
    what: str
    mend: str

    def __str__(self) -> str:
        return f"{self.place}: {self.what}. {self.mend}"

    def to_json(self) -> dict[str, str]:
        """Give the problem as plain JSON data."""
        return {"place": self.place, "what": self.what, "mend": self.mend}


class CourtwrightError(Exception):
    """Base of every deliberate error."""


class WordError(CourtwrightError, ValueError):
    """A word that is not in the vocabulary."""


class DocumentError(CourtwrightError, ValueError):
    """A document with problems; all of them are in ``problems``."""

    def __init__(self, source: str, problems: list[Problem]) -> None:
        self.source = source
        self.problems = problems
        count = "1 problem" if len(problems) == 1 else f"{len(problems)} problems"
        super().__init__("\n".join([f"{source}: {count}", *(f"  {problem}" for problem in problems)]))


class NewerFormatError(DocumentError):
    """A document written by a later version of the product; it is refused unread."""


class CannotPlayError(CourtwrightError, ValueError):
    """A sound game that the trial does not play; it can still be drawn and run on the floor."""


class RotaError(CourtwrightError, ValueError):
    """No rota exists for this request."""


class JoinError(CourtwrightError, ValueError):
    """A device is not let in: the code is wrong, used up or too old."""


class NotYoursError(CourtwrightError):
    """A device asks for what its role may not have."""


class StoreError(CourtwrightError, RuntimeError):
    """The store cannot do what was asked."""


class NotFoundError(StoreError, LookupError):
    """Nothing is kept under that name."""


class ConflictError(StoreError):
    """Somebody else saved first; ``current`` is the revision now in the store."""

    def __init__(self, what: str, current: int) -> None:
        self.current = current
        super().__init__(f"{what} was changed elsewhere (now revision {current}); load it again and repeat the change")


class CancelledError(CourtwrightError):
    """The person asked to stop; nothing was kept."""

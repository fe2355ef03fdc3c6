"""What the roles may tell of a run, and what they are told: the limits of a player are the coach's to see."""

from __future__ import annotations

from typing import Any, Final

from courtwright.errors import DocumentError, Problem
from courtwright.live.calls import PLAY
from courtwright.vocabulary import Fact, FactKind, Role

SCORERS_TELL: Final = PLAY | {FactKind.CLAIM, FactKind.CLOCK, FactKind.EDIT, FactKind.POSSESSION, FactKind.UNDO}
"""What happens on the floor, the clock, and putting it right; the game and who plays are not a scorer's."""
LIMITED: Final = "limited"


def check_may_tell(fact: Fact, role: Role | None) -> None:
    """Raise `DocumentError` for a fact that is not this role's to tell."""
    if role is Role.SCORER and fact.kind not in SCORERS_TELL:
        mend = "Ask the coach or an assistant to do it."
        raise DocumentError("fact", [Problem("kind", f"“{fact.kind.value}” is not a scorer's to tell", mend)])
    if role is not Role.COACH and is_private(fact.to_json()):
        mend = "Tell it on the coach's device."
        raise DocumentError("fact", [Problem("detail.state", "who is limited is the coach's to tell", mend)])


def is_private(fact: dict[str, Any]) -> bool:
    """Whether a fact says something about a player's fitness."""
    detail = fact["detail"]
    return fact["kind"] == FactKind.ATTENDANCE.value and (detail["state"] == LIMITED or bool(detail.get("note")))


def told_to(fact: dict[str, Any], role: Role | None) -> dict[str, Any]:
    """A fact as this role may see it: whoever is limited is simply here."""
    if role is Role.COACH or not is_private(fact):
        return fact
    state = fact["detail"]["state"]
    detail = {"player": fact["detail"]["player"], "state": "here" if state == LIMITED else state}
    return fact | {"detail": detail}

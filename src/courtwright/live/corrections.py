"""Facts put in order, with what was undone taken out and what was edited put right. Nothing is ever deleted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Final

from courtwright.vocabulary import Fact, FactKind

CORRECTIONS: Final = frozenset({FactKind.UNDO, FactKind.EDIT})


def corrected(facts: Iterable[Fact]) -> list[Fact]:
    """The facts that hold, in their total order, whatever order they came in; corrections are used up."""
    known: dict[str, Fact] = {}
    for fact in sorted(facts, key=_told):
        known.setdefault(fact.event_id, fact)
    void = undone(known)
    held = {event: fact for event, fact in known.items() if event not in void}
    for edit in sorted((fact for fact in held.values() if fact.kind is FactKind.EDIT), key=_told):
        target = held.get(edit.detail["event"])
        if target is not None and target.kind not in CORRECTIONS and _told(target) < _told(edit):
            held[target.event_id] = _edited(target, edit.detail)
    return sorted((fact for fact in held.values() if fact.kind not in CORRECTIONS), key=_order)


def undone(known: dict[str, Fact]) -> set[str]:
    """Events that do not hold: each is named by a later undo that itself holds."""
    void: set[str] = set()
    # from the last told backwards, so that whether an undo holds is settled before what it undoes
    for fact in sorted(known.values(), key=_told, reverse=True):
        if fact.kind is not FactKind.UNDO or fact.event_id in void:
            continue
        target = known.get(fact.detail["event"])
        if target is not None and _told(target) < _told(fact):
            void.add(target.event_id)
    return void


def _edited(fact: Fact, edit: dict[str, Any]) -> Fact:
    changed = fact.detail | edit.get("detail", {})
    detail = {key: value for key, value in changed.items() if value is not None}
    return replace(fact, possession=edit.get("possession") or fact.possession, detail=detail)


def _told(fact: Fact) -> tuple[int, int, str, int, str]:
    """When a fact was told: the order of corrections and of the clock."""
    return (fact.time.wall_ms, fact.time.counter, fact.device, fact.sequence, fact.event_id)


def _order(fact: Fact) -> tuple[int, tuple[int, int, str, int, str]]:
    return (fact.possession, _told(fact))

"""Runs on the floor and their facts. A fact is taken once, whoever sends it and however often, and never changed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection, func, insert, select, update

from courtwright.errors import ConflictError, NotFoundError
from courtwright.live.opening import Opening
from courtwright.store.moments import Transaction
from courtwright.store.schema import FACT, RUN
from courtwright.vocabulary import Fact

MOST_LISTED: Final = 200


@dataclass(frozen=True, slots=True)
class ListedRun:
    """A run as a list shows it."""

    run: str
    game_id: str
    name: str
    basket: str
    made_at: str
    facts: int


@dataclass(frozen=True, slots=True)
class Arrived:
    """Facts in the order they arrived, and the number of the last."""

    facts: list[dict[str, Any]]
    last: int


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of facts that were sent."""

    taken: list[str]
    """events that are kept now, or were already"""
    differing: list[str]
    """events that are kept with another content; what is kept stays"""
    new: list[dict[str, Any]]
    last: int


class Runs:
    """The runs of a store."""

    def __init__(self, reading: Transaction, writing: Transaction) -> None:
        self._reading = reading
        self._writing = writing

    def add(self, opening: Opening, facts: Sequence[Fact] = ()) -> None:
        """Keep a new run, with the facts it already has; raise `ConflictError` where it is kept already."""
        row = {
            "id": opening.run,
            "game_id": opening.game_id,
            "opening": json.dumps(opening.to_json(), allow_nan=False),
            "made_at": opening.made_at,
            "last": 0,
        }
        with self._writing() as connection:
            if connection.execute(select(RUN.c.id).where(RUN.c.id == opening.run)).first() is not None:
                raise ConflictError(f"the run {opening.run}", 1)
            connection.execute(insert(RUN).values(row))
            if facts:
                _append(connection, opening.run, facts)

    def listed(self) -> list[ListedRun]:
        """The newest runs, newest first."""
        with self._reading() as connection:
            rows = connection.execute(select(RUN).order_by(RUN.c.made_at.desc(), RUN.c.id).limit(MOST_LISTED)).all()
        return [_listed(row) for row in rows]

    def opening(self, run: str) -> dict[str, Any]:
        """How a run opened."""
        with self._reading() as connection:
            text = connection.execute(select(RUN.c.opening).where(RUN.c.id == run)).scalar()
        if text is None:
            raise _unknown(run)
        opening: dict[str, Any] = json.loads(text)
        return opening

    def since(self, run: str, after: int = 0) -> Arrived:
        """The facts that arrived after a number."""
        wanted = select(FACT.c.fact).where(FACT.c.run_id == run, FACT.c.arrival > after).order_by(FACT.c.arrival)
        with self._reading() as connection:
            last = connection.execute(select(RUN.c.last).where(RUN.c.id == run)).scalar()
            if last is None:
                raise _unknown(run)
            # the number first: on PostgreSQL facts may arrive between the two, and are then sent again, never missed
            facts = [json.loads(text) for text in connection.execute(wanted).scalars()]
        return Arrived(facts, max(last, 0))

    def append(self, run: str, facts: Sequence[Fact]) -> Taken:
        """Take facts, all or none: those that are kept already are left as they are."""
        with self._writing() as connection:
            return _append(connection, run, facts)

    def count(self) -> int:
        """How many facts are kept in all."""
        with self._reading() as connection:
            return connection.execute(select(func.count()).select_from(FACT)).scalar_one()


def _append(connection: Connection, run: str, facts: Sequence[Fact]) -> Taken:
    # the row of the run is locked first, so that numbers are given in the order in which they will be seen
    last = connection.execute(select(RUN.c.last).where(RUN.c.id == run).with_for_update()).scalar()
    if last is None:
        raise _unknown(run)
    sent = {fact.event_id: json.dumps(fact.to_json(), allow_nan=False, sort_keys=True) for fact in facts}
    known = select(FACT.c.event_id, FACT.c.fact).where(FACT.c.run_id == run, FACT.c.event_id.in_(sent))
    kept = {row.event_id: row.fact for row in connection.execute(known)}
    rows = [
        {"run_id": run, "arrival": last + number, "event_id": event, "fact": sent[event]}
        for number, event in enumerate((event for event in sent if event not in kept), start=1)
    ]
    if rows:
        connection.execute(insert(FACT), rows)
        connection.execute(update(RUN).where(RUN.c.id == run).values(last=last + len(rows)))
    differing = [event for event, text in kept.items() if text != sent[event]]
    taken = [event for event in sent if event not in differing]
    return Taken(taken, differing, [json.loads(sent[row["event_id"]]) for row in rows], last + len(rows))


def _unknown(run: str) -> NotFoundError:
    return NotFoundError(f"there is no run “{run}”; it may be in another store")


def _listed(row: Any) -> ListedRun:
    opening = json.loads(row.opening)
    return ListedRun(row.id, row.game_id, opening["game"]["name"], opening["basket"], row.made_at, row.last)

"""Runs and facts in the store, on both databases: taken once, in order, never changed."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest
from tests.logs import Device, opening_of

from courtwright.errors import ConflictError, NotFoundError
from courtwright.live.opening import Opening
from courtwright.store import Store


@pytest.fixture
def club(store_url: str) -> Iterator[Store]:
    with Store.open(store_url) as store:
        store.runs.add(Opening.model_validate(opening_of()))
        yield store


def test_an_opening_comes_back_as_it_was_kept(club: Store) -> None:
    assert club.runs.opening("run-1") == opening_of()
    (row,) = club.runs.listed()
    assert (row.run, row.basket, row.facts) == ("run-1", "main basket", 0)
    with pytest.raises(ConflictError):
        club.runs.add(Opening.model_validate(opening_of()))


def test_a_fact_is_taken_once_however_often_it_is_sent(club: Store) -> None:
    coach = Device()
    first, second = coach.tell("make", 1, zone="rim"), coach.tell("turnover", 2)

    one = club.runs.append("run-1", [first])
    again = club.runs.append("run-1", [first, second, second])

    assert (one.taken, one.last) == ([first.event_id], 1)
    assert (again.taken, again.last) == ([first.event_id, second.event_id], 2)
    assert [fact["event_id"] for fact in again.new] == [second.event_id]
    assert club.runs.since("run-1").facts == [first.to_json(), second.to_json()]
    assert club.runs.since("run-1", 1).facts == [second.to_json()]
    assert club.runs.since("run-1", 2).facts == []


def test_another_fact_under_a_known_id_is_named_and_what_is_kept_stays(club: Store) -> None:
    coach, forger = Device(), Device()
    kept, other = coach.tell("make", 1, zone="rim"), forger.tell("make", 1, zone="three")
    club.runs.append("run-1", [kept])

    done = club.runs.append("run-1", [other])

    assert (done.taken, done.differing, done.new) == ([], [kept.event_id], [])
    assert club.runs.since("run-1").facts == [kept.to_json()]


def test_a_run_nobody_knows_is_refused(club: Store) -> None:
    for ask in (club.runs.opening, club.runs.since, lambda run: club.runs.append(run, [])):
        with pytest.raises(NotFoundError):
            ask("elsewhere")


def test_writers_at_once_lose_nothing_and_a_reader_sees_every_number(club: Store) -> None:
    devices = [Device(f"d{number}") for number in range(4)]
    told = {device.name: [device.tell("paint touch", 1) for _ in range(25)] for device in devices}
    seen: list[str] = []

    def send(name: str) -> None:
        for fact in told[name]:
            club.runs.append("run-1", [fact])

    with ThreadPoolExecutor(5) as pool:
        sending = [pool.submit(send, name) for name in told]
        last = 0
        while last < 100:
            arrived = club.runs.since("run-1", last)
            seen += [fact["event_id"] for fact in arrived.facts]
            last = last + len(arrived.facts)
        for done in sending:
            done.result()

    assert sorted(seen) == sorted(fact.event_id for facts in told.values() for fact in facts)
    assert club.runs.count() == 100

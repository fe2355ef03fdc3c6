"""Moments kept with a game, on both databases: named, changed, removed, brought back, never overwritten."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from sqlalchemy import create_engine, inspect, text

from courtwright.errors import ConflictError, NotFoundError
from courtwright.game.document import Game
from courtwright.game.moment import Moment, moment_from_json, moment_of
from courtwright.game.starters import starters
from courtwright.store import Store, documents
from courtwright.store.documents import Content
from courtwright.store.opening import address_of, migrate
from courtwright.store.schema import MIGRATIONS, VERSION_TABLE


def a_game() -> Game:
    return starters()["low-mans-call"]


def a_moment(name: str = "low man late", **changes: Any) -> Moment:
    return moment_from_json(moment_of(a_game()).to_json() | {"name": name, **changes})


@pytest.fixture
def store(store_url: str) -> Iterator[Store]:
    with Store.open(store_url) as store:
        yield store


@pytest.fixture
def key(store: Store) -> str:
    """A kept game."""
    return store.add_game(a_game()).id


def test_moment_comes_back_as_it_went_in(store: Store, key: str) -> None:
    moment = a_moment("سلة 🏀 'x'", cue="Meet it outside the arc.", held_s=0.35)
    kept = store.moments.add(key, moment, who="tablet")

    assert (kept.game_id, kept.revision) == (key, 1)
    assert kept.moment == moment
    assert kept.hash == moment.hash == store.moments.get(key, kept.id).moment.hash
    assert [revision.who for revision in store.moments.history(key, kept.id)] == ["tablet"]


def test_a_game_lists_its_own_moments_oldest_first(store: Store, key: str) -> None:
    other = store.add_game(a_game()).id
    for name in ("second half", "a later one"):
        store.moments.add(key, a_moment(name, cue=f"cue of {name}"))
    store.moments.add(other, a_moment("elsewhere"))

    assert [(row.name, row.cue) for row in store.moments.of(key)] == [
        ("second half", "cue of second half"),
        ("a later one", "cue of a later one"),
    ]
    assert [row.name for row in store.moments.of(other)] == ["elsewhere"]
    assert len(store.games()) == 2, "a moment is no game"


def test_every_state_is_kept(store: Store, key: str) -> None:
    moment = store.moments.add(key, a_moment("one")).id
    assert store.moments.save(key, moment, a_moment("one", cue="Now a cue."), 1) == 2
    assert store.moments.rename(key, moment, "two", 2) == 3

    assert [(row.revision, row.name) for row in store.moments.history(key, moment)] == [
        (3, "two"),
        (2, "one"),
        (1, "one"),
    ]
    assert store.moments.get(key, moment).moment == a_moment("two", cue="Now a cue.")
    assert store.moments.save(key, moment, a_moment("two", cue="Now a cue."), 1) == 3, "the same again is no conflict"


def test_later_writer_is_told_and_changes_nothing(store: Store, key: str) -> None:
    moment = store.moments.add(key, a_moment("one")).id
    store.moments.save(key, moment, a_moment("two"), 1)

    attempts: list[Callable[[], int]] = [
        lambda: store.moments.save(key, moment, a_moment("mine"), 1),
        lambda: store.moments.rename(key, moment, "mine", 1),
    ]
    for late in attempts:
        with pytest.raises(ConflictError, match="the moment “two” was changed elsewhere") as conflict:
            late()
        assert conflict.value.current == 2
    assert store.moments.get(key, moment).moment.name == "two"


def test_one_of_many_writers_wins(store: Store, key: str) -> None:
    moment = store.moments.add(key, a_moment("start")).id

    def save(number: int) -> int | None:
        try:
            return store.moments.save(key, moment, a_moment(f"writer {number}"), 1)
        except ConflictError:
            return None

    with ThreadPoolExecutor(6) as pool:
        outcomes = list(pool.map(save, range(6)))

    assert sorted(outcomes, key=str) == [2, *[None] * 5]
    assert store.moments.get(key, moment).moment.name == f"writer {outcomes.index(2)}"


def test_removed_moment_can_be_restored(store: Store, key: str) -> None:
    moment = store.moments.add(key, a_moment("one")).id
    store.moments.remove(key, moment)

    assert store.moments.of(key) == []
    assert [row.id for row in store.moments.of(key, removed=True)] == [moment]
    for attempt in (
        lambda: store.moments.get(key, moment),
        lambda: store.moments.remove(key, moment),
        lambda: store.moments.save(key, moment, a_moment("two"), 1),
    ):
        with pytest.raises(NotFoundError, match="the moment “one” was removed; restore it first"):
            attempt()

    assert store.moments.restore(key, moment) == 1
    assert store.moments.get(key, moment).moment == a_moment("one")


def test_a_moment_belongs_to_one_game(store: Store, key: str) -> None:
    other = store.add_game(a_game()).id
    moment = store.moments.add(key, a_moment()).id

    for attempt in (store.moments.get, store.moments.history, store.moments.remove, store.moments.restore):
        with pytest.raises(NotFoundError, match="with this game"):
            attempt(other, moment)
        with pytest.raises(NotFoundError, match="no moment “nothing”"):
            attempt(key, "nothing")
        with pytest.raises(NotFoundError, match="no game “nothing”"):
            attempt("nothing", moment)
    with pytest.raises(NotFoundError, match="with this game"):
        store.moments.get(key, key)  # a game is no moment


def test_moments_go_and_come_with_their_game(store: Store, key: str) -> None:
    moment = store.moments.add(key, a_moment()).id
    store.remove_game(key)

    for attempt in (lambda: store.moments.of(key), lambda: store.moments.get(key, moment)):
        with pytest.raises(NotFoundError, match="was removed; restore it first"):
            attempt()
    with pytest.raises(NotFoundError, match="was removed; restore it first"):
        store.moments.add(key, a_moment())

    store.restore_game(key)
    assert store.moments.get(key, moment).moment == a_moment()


def test_a_store_of_the_first_version_is_brought_up_to_date(store_url: str) -> None:
    """Made by the first migration alone, as the first version left it."""
    engine = create_engine(address_of(store_url))
    with engine.begin() as connection:
        migrate(connection, MIGRATIONS[0])
        documents.add(connection, "game", "aa", Content(a_game().to_json(), a_game().hash, "desk"))
    with engine.connect() as connection:
        assert "moment" not in inspect(connection).get_table_names()
    engine.dispose()

    with Store.open(store_url) as store:
        assert store.game("aa").game == a_game()
        assert [row.who for row in store.history("aa")] == ["desk"]
        assert store.moments.of("aa") == []
        kept = store.moments.add("aa", a_moment())
        assert store.moments.get("aa", kept.id).moment == a_moment()

    with engine.connect() as connection:
        assert connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar() == MIGRATIONS[-1]
    engine.dispose()

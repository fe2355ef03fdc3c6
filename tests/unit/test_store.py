"""The store on both databases: what goes in comes out, nothing is overwritten, the later writer is told."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from sqlalchemy import Engine, event

from courtwright.errors import ConflictError, NotFoundError
from courtwright.game.document import Game
from courtwright.game.read import game_from_json
from courtwright.squad import Squad, parse_squad
from courtwright.store import Store

ODD_NAMES = [
    'O’Neill\'s "A" & <b>B</b>',
    "سلة ١",
    "\u202eright to left",
    "篮球 🏀",
    "; DROP TABLE document;--",
]


def a_game(name: str = "Slot drive", **changes: Any) -> Game:
    placements = [{"figure": "1", "at": "left slot"}, {"figure": "X1", "at": "nail"}]
    document = {
        "format": "courtwright.game/1",
        "name": "x",
        "sides": {"offence": 1, "defence": 1},
        "start": {"placements": placements, "ball": "1"},
    }
    return game_from_json(document).model_copy(update={"name": name, **changes})


def a_squad(*names: str) -> Squad:
    return parse_squad("name,number\n" + "".join(f"{name},{index}\n" for index, name in enumerate(names)))


@pytest.fixture
def store(store_url: str) -> Iterator[Store]:
    with Store.open(store_url) as store:
        yield store


def test_new_store_is_empty(store: Store) -> None:
    assert store.empty
    assert store.squad() == (None, 0)
    assert store.games() == []
    assert store.games(removed=True) == []


def test_game_comes_back_as_it_went_in(store: Store) -> None:
    kept = store.add_game(a_game(), who="desk")

    assert not store.empty
    assert kept.revision == 1
    assert kept.game == a_game()
    assert kept.hash == a_game().hash == store.game(kept.id).game.hash


@pytest.mark.parametrize("name", ODD_NAMES)
def test_any_name_survives(store: Store, name: str) -> None:
    kept = store.add_game(a_game(name, purpose=name))

    assert store.game(kept.id).game == a_game(name, purpose=name)
    assert store.games()[0].name == name
    assert store.history(kept.id)[0].name == name


def test_games_are_listed_by_name(store: Store) -> None:
    for name in ("beta", "Alpha", "gamma"):
        store.add_game(a_game(name, purpose=f"for {name}"))

    assert [item.name for item in store.games()] == ["Alpha", "beta", "gamma"]
    assert store.games()[0].purpose == "for Alpha"
    assert store.games()[0].sides_text == "1 on 1"


def test_every_revision_is_kept(store: Store) -> None:
    key = store.add_game(a_game("one"), who="desk").id
    assert store.save_game(key, a_game("two"), 1, who="tablet") == 2
    assert store.save_game(key, a_game("three"), 2) == 3

    history = store.history(key)

    assert [(item.revision, item.name, item.who) for item in history] == [
        (3, "three", ""),
        (2, "two", "tablet"),
        (1, "one", "desk"),
    ]
    assert history[0].saved_at >= history[1].saved_at >= history[2].saved_at
    assert [store.game_at(key, item.revision).game.name for item in history] == ["three", "two", "one"]
    assert store.game(key).game.name == "three"


def test_same_content_is_no_new_revision(store: Store) -> None:
    key = store.add_game(a_game("one")).id
    assert store.save_game(key, a_game("one"), 1) == 1
    assert store.save_game(key, a_game("two"), 1) == 2

    assert store.save_game(key, a_game("two"), 1) == 2, "a repeat after a lost answer is no conflict"
    assert len(store.history(key)) == 2


def test_later_writer_is_told_and_changes_nothing(store: Store) -> None:
    key = store.add_game(a_game("one")).id
    store.save_game(key, a_game("two"), 1)

    with pytest.raises(ConflictError, match="“two” was changed elsewhere") as conflict:
        store.save_game(key, a_game("mine"), 1)

    assert conflict.value.current == 2
    assert store.game(key).game.name == "two"
    assert len(store.history(key)) == 2


def test_one_of_many_writers_wins(store: Store) -> None:
    key = store.add_game(a_game("start")).id

    def save(number: int) -> int | None:
        try:
            return store.save_game(key, a_game(f"writer {number}"), 1)
        except ConflictError:
            return None

    with ThreadPoolExecutor(8) as pool:
        outcomes = list(pool.map(save, range(8)))

    assert sorted(outcomes, key=str) == [2, *[None] * 7]
    assert store.game(key).game.name == f"writer {outcomes.index(2)}"


def test_many_writers_who_load_again_lose_nothing(store: Store) -> None:
    key = store.add_game(a_game("start")).id

    def save(number: int) -> None:
        while True:
            try:
                store.save_game(key, a_game(f"writer {number}"), store.game(key).revision)
            except ConflictError:
                continue
            return

    with ThreadPoolExecutor(6) as pool:
        list(pool.map(save, range(12)))

    assert {item.name for item in store.history(key)} == {"start", *(f"writer {number}" for number in range(12))}
    assert store.game(key).revision == 13


def test_removed_game_can_be_restored(store: Store) -> None:
    key = store.add_game(a_game("one")).id
    store.remove_game(key)

    assert store.games() == []
    assert [item.id for item in store.games(removed=True)] == [key]
    for attempt in (store.game, store.remove_game, lambda key: store.save_game(key, a_game("two"), 1)):
        with pytest.raises(NotFoundError, match="“one” was removed; restore it first"):
            attempt(key)
    assert [item.revision for item in store.history(key)] == [1]
    assert store.game_at(key, 1).game == a_game("one")

    assert store.restore_game(key) == 1
    assert store.game(key).game == a_game("one")
    assert store.games(removed=True) == []


def test_unknown_names_are_told(store: Store) -> None:
    key = store.add_game(a_game()).id
    attempts: list[Any] = [store.game, store.history, store.remove_game, store.restore_game]
    for attempt in attempts:
        with pytest.raises(NotFoundError, match="no game “nothing”"):
            attempt("nothing")
    with pytest.raises(NotFoundError, match="no revision 7"):
        store.game_at(key, 7)


def test_squad_has_revisions_too(store: Store) -> None:
    assert store.save_squad(a_squad("Ada"), 0) == 1
    assert store.save_squad(a_squad("Ada", "Bex"), 1) == 2
    assert store.save_squad(a_squad("Ada", "Bex"), 0) == 2, "the same again"

    assert store.squad() == (a_squad("Ada", "Bex"), 2)
    with pytest.raises(ConflictError) as conflict:
        store.save_squad(a_squad("Cleo"), 1)
    assert conflict.value.current == 2
    assert store.squad() == (a_squad("Ada", "Bex"), 2)


def test_squad_on_a_revision_that_never_was(store: Store) -> None:
    with pytest.raises(ConflictError) as conflict:
        store.save_squad(a_squad("Ada"), 4)

    assert conflict.value.current == 0
    assert store.squad() == (None, 0)


def test_first_squad_is_made_once(store: Store) -> None:
    def save(number: int) -> int | None:
        try:
            return store.save_squad(a_squad(f"writer {number}"), 0)
        except ConflictError:
            return None

    with ThreadPoolExecutor(6) as pool:
        outcomes = list(pool.map(save, range(6)))

    assert sorted(outcomes, key=str) == [1, *[None] * 5]


def test_club_fills_only_an_empty_store(store: Store) -> None:
    assert store.add_club(a_squad("Ada"), [a_game("one"), a_game("two")])
    assert not store.add_club(a_squad("Bex"), [a_game("three")])

    assert store.squad() == (a_squad("Ada"), 1)
    assert [item.name for item in store.games()] == ["one", "two"]


def test_club_is_all_or_nothing(store: Store) -> None:
    with pytest.raises(AttributeError):
        store.add_club(a_squad("Ada"), [a_game("one"), None])  # type: ignore[list-item]

    assert store.empty


def a_summary(seed: int, game: Game) -> dict[str, Any]:
    model = {"version": "trial/1", "calibrated": False}
    return {"game_hash": game.hash, "squad_hash": "5" * 64, "seed": seed, "model": model, "measures": [{"mean": 0.61}]}


def test_trials_are_kept_newest_first(store: Store) -> None:
    key = store.add_game(a_game()).id
    seeds = [1, 2**53 - 1, 3]
    for seed in seeds:
        store.keep_trial(key, a_summary(seed, a_game()))

    trials = store.trials(key)

    assert {trial.seed for trial in trials} == set(seeds)
    assert [trial.kept_at for trial in trials] == sorted((trial.kept_at for trial in trials), reverse=True)
    assert trials[0].summary == a_summary(trials[0].seed, a_game())
    assert (trials[0].game_hash, trials[0].model_version) == (a_game().hash, "trial/1")
    assert store.trials(store.add_game(a_game("other")).id) == []


def test_trial_of_a_game_removed_meanwhile_is_kept(store: Store) -> None:
    key = store.add_game(a_game()).id
    store.remove_game(key)

    store.keep_trial(key, a_summary(1, a_game()))

    assert len(store.trials(key)) == 1
    with pytest.raises(NotFoundError):
        store.keep_trial("nothing", a_summary(1, a_game()))


def test_store_opened_again_holds_the_same(store_url: str) -> None:
    with Store.open(store_url) as store:
        key = store.add_game(a_game("one")).id
        store.save_squad(a_squad("Ada"), 0)

    with Store.open(store_url) as again:
        assert again.game(key).game == a_game("one")
        assert again.squad() == (a_squad("Ada"), 1)


def test_no_statement_changes_or_deletes_what_was_kept(store: Store) -> None:
    statements: list[str] = []

    def note(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        statements.append(" ".join(statement.split()))

    event.listen(Engine, "before_cursor_execute", note)
    try:
        key = store.add_game(a_game("one")).id
        store.save_game(key, a_game("two"), 1)
        store.keep_trial(key, a_summary(1, a_game()))
        store.remove_game(key)
        store.restore_game(key)
    finally:
        event.remove(Engine, "before_cursor_execute", note)

    changing = [line for line in statements if not line.startswith(("SELECT", "INSERT", "BEGIN"))]
    assert changing
    assert all(line.startswith("UPDATE document SET") for line in changing)

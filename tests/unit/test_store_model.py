"""Any sequence of saves, conflicts, removals and restorations agrees with a plain list of revisions."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, invariant, rule

from courtwright.errors import ConflictError, NotFoundError
from courtwright.game.document import Game
from courtwright.game.read import game_from_json
from courtwright.store import Store

NAMES = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), min_size=1, max_size=12)


def a_game(name: str) -> Game:
    placements = [{"figure": "1", "at": "top"}, {"figure": "X1", "at": "nail"}]
    start = {"placements": placements, "ball": "1"}
    sides = {"offence": 1, "defence": 1}
    return game_from_json({"format": "courtwright.game/1", "name": "x", "sides": sides, "start": start}).model_copy(
        update={"name": name}
    )


class StoreAgainstLists(RuleBasedStateMachine):
    keys: Bundle[str] = Bundle("keys")

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.store = Store.open(Path(self.folder.name) / "club.sqlite")
        self.revisions: dict[str, list[str]] = {}
        self.removed: set[str] = set()

    def teardown(self) -> None:
        self.store.close()
        self.folder.cleanup()

    @rule(target=keys, name=NAMES)
    def add(self, name: str) -> Any:
        key = self.store.add_game(a_game(name)).id
        self.revisions[key] = [name]
        return key

    @rule(key=keys, name=NAMES, behind=st.integers(0, 2))
    def save(self, key: str, name: str, behind: int) -> None:
        names = self.revisions[key]
        base = max(1, len(names) - behind)
        if key in self.removed:
            with pytest.raises(NotFoundError):
                self.store.save_game(key, a_game(name), base)
        elif name == names[-1]:
            assert self.store.save_game(key, a_game(name), base) == len(names)
        elif base != len(names):
            with pytest.raises(ConflictError) as conflict:
                self.store.save_game(key, a_game(name), base)
            assert conflict.value.current == len(names)
        else:
            names.append(name)
            assert self.store.save_game(key, a_game(name), base) == len(names)

    @rule(key=keys)
    def remove(self, key: str) -> None:
        if key not in self.removed:
            self.store.remove_game(key)
            self.removed.add(key)

    @rule(key=keys)
    def restore(self, key: str) -> None:
        assert self.store.restore_game(key) == len(self.revisions[key])
        self.removed.discard(key)

    @rule()
    def open_again(self) -> None:
        self.store.close()
        self.store = Store.open(Path(self.folder.name) / "club.sqlite")

    @invariant()
    def same_as_the_lists(self) -> None:
        assert {item.id: item.name for item in self.store.games()} == {
            key: names[-1] for key, names in self.revisions.items() if key not in self.removed
        }
        for key, names in self.revisions.items():
            assert [item.name for item in reversed(self.store.history(key))] == names


TestStoreAgainstLists = StoreAgainstLists.TestCase
TestStoreAgainstLists.settings = settings(max_examples=15, stateful_step_count=20, deadline=None)

"""What a request leans on: the squad, a start of the game, a rota for those who are here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from courtwright.errors import NotFoundError
from courtwright.game.document import Game
from courtwright.game.read import game_from_json
from courtwright.squad import Squad
from courtwright.store import Store
from courtwright.web.context import House

if TYPE_CHECKING:
    from courtwright.rota import Rota


def club_squad(store: Store) -> Squad:
    """The club's squad; raise `NotFoundError` before there is one."""
    squad = store.squad()[0]
    if squad is None:
        raise NotFoundError("there is no squad yet; add players or load a squad file first")
    return squad


def asked_game(house: House, game_id: str, document: dict[str, Any] | None) -> Game:
    """The game as it stands on somebody's screen, or as it is kept."""
    kept = house.store.game(game_id)
    return kept.game if document is None else game_from_json(document)


def check_variant(game: Game, variant: int | None) -> None:
    """Raise `NotFoundError` for a start the game does not have."""
    count = len(game.start.variants)
    if variant is not None and variant >= count:
        raise NotFoundError(f"the game “{game.name}” has {count or 'no'} variants, so no number {variant + 1}")


def rota_json(rota: Rota) -> dict[str, Any]:
    """The rota as plain JSON data, with the sentence that says how fair it is."""
    from courtwright.rota import fairness_text  # noqa: PLC0415

    return rota.to_json() | {"sentence": fairness_text(rota)}

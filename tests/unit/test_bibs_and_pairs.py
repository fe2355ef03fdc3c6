"""Bibs, who guards whom, and what is said of splits."""

from __future__ import annotations

from itertools import pairwise

import pytest

from courtwright.errors import RotaError
from courtwright.rota.bibs import BIBS, bibs_for
from courtwright.rota.matching import matched_pairs
from courtwright.rota.team_wishes import TeamWish
from courtwright.rota.teams import ranked_teams

NAMES = ["Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus", "Hal"]


def luminance(colour: str) -> float:
    """Relative luminance (W3C, Web Content Accessibility Guidelines 2.2)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_every_bib_has_its_own_name_and_colour_and_a_readable_ink() -> None:
    assert len({bib.name for bib in BIBS}) == len({bib.colour for bib in BIBS}) == len(BIBS)
    for bib in BIBS:
        assert contrast(bib.colour, bib.ink) >= 4.5


def test_the_first_bibs_differ_in_light_too() -> None:
    first = bibs_for(4)
    for one, other in pairwise(first):
        assert contrast(one.colour, other.colour) >= 3


def test_more_teams_than_colours_are_numbered() -> None:
    assert [bib.name for bib in bibs_for(10)][7:] == ["purple", "yellow 2", "blue 2"]
    assert len({bib.name for bib in bibs_for(20)}) == 20


def test_pairs_in_words() -> None:
    heights = [170, 180, 178, 172.5, None, 160]
    matching = matched_pairs([0, 1], [2, 3, 5], heights, [60, None, 71, 58, 50, 50])
    assert matching.words(NAMES) == (
        "Ada and Dot: Ada is 2.5 cm shorter and 2 kg heavier.",
        "Bex and Cleo: Bex is 2 cm taller.",
        "Fern: nobody to match, so take turns.",
    )
    assert matched_pairs([0], [4], heights).words(NAMES) == ("Ada and Effie: sizes not known.",)
    assert matched_pairs([0], [1], [170, 170]).words(NAMES) == ("Ada and Bex: Ada is as tall.",)


def test_the_worst_pair_counts_before_the_sum() -> None:
    # by the sum 3-0 with 5 and 12 apart equals 17; the worst is less if both are 8 and 9 apart
    matching = matched_pairs([0, 1], [2, 3], [150, 160, 155, 168])
    assert [(pair.one, pair.other) for pair in matching.pairs] == [(0, 2), (1, 3)]


@pytest.mark.parametrize(("team", "other"), [([], [1]), ([0, 1], [1, 2]), ([0, 0], [1])])
def test_pairs_refused(team: list[int], other: list[int]) -> None:
    with pytest.raises(RotaError, match="two teams with different players"):
        matched_pairs(team, other, [170.0] * 3)


def test_splits_in_words() -> None:
    ranked = ranked_teams([5, 4, 3, 2, 1.5, 1], 2, how_many=3)
    assert [split.words for split in ranked] == [
        "Even to within 0.5 grade points; no split is more even.",
        "Just as even: within 0.5 grade points.",
        "Even to within 1.5 grade points, 1 more than the best.",
    ]
    assert ranked_teams([3, 3, 2, 2], 2)[0].words == "Exactly even."
    assert ranked_teams([3, 3, 2, 2], 2)[1].words == "Exactly even too."
    mean = ranked_teams([5, 5, 5, 2, 2, 2, 2], 2, even="mean")[0]
    assert mean.words == "Even to within 0.5 grade points a player; no split is more even."


def test_a_large_split_claims_no_more_than_it_knows() -> None:
    grades = [1 + (37 * place % 101) / 25.3 for place in range(24)]
    (split,) = ranked_teams(grades, 4, how_many=1)
    assert split.words.endswith("; no split was found that is more even.")
    assert not split.proven
    whole = ranked_teams([1 + place % 5 for place in range(24)], 4, how_many=1)[0]
    assert whole.words == "Even to within 1 grade point; no split is more even."  # by counting: the sum is 70


def test_contradictory_wishes_are_named() -> None:
    wishes = [
        TeamWish((4, 5), together=False),
        TeamWish((0, 1), together=True),
        TeamWish((1, 2), together=True),
        TeamWish((0, 2), together=False),
    ]
    with pytest.raises(RotaError) as refused:
        ranked_teams([3] * 8, 2, wishes=wishes, names=NAMES)
    assert str(refused.value) == (
        "no split into 2 teams of 4 can keep Ada and Bex together; Bex and Cleo together; Ada apart from Cleo. "
        "Drop “Ada and Bex together”, and the rest can be kept"
    )
    with pytest.raises(RotaError, match=r"2 teams of 3 can keep Ada, Bex and Cleo all apart\. Drop"):
        ranked_teams([3] * 6, 2, wishes=[TeamWish((0, 1, 2), together=False)], names=NAMES)


@pytest.mark.parametrize("players", [(0,), (0, 0), (0, 9), (-1, 2)])
def test_a_wish_names_two_players(players: tuple[int, ...]) -> None:
    with pytest.raises(RotaError, match="two or more different players, numbered 0 to 5"):
        ranked_teams([3] * 6, 2, wishes=[TeamWish(players, together=True)])


def test_many_wishes_still_name_a_set_that_cannot_be_thinned() -> None:
    wishes = [TeamWish((place, place + 1), together=place % 2 == 0) for place in range(23)]
    wishes += [TeamWish((place, place + 2), together=False) for place in range(4)]
    with pytest.raises(RotaError, match="Drop"):
        ranked_teams([3] * 24, 2, wishes=[*wishes, TeamWish((0, 23), together=True)])

"""An invented squad to try everything with: Harbour Lane U16."""

from __future__ import annotations

from typing import Final

from courtwright.squad.document import Player, Shots, Squad
from courtwright.vocabulary import Level, Zone

DEMO_SQUAD: Final = Squad(
    name="Harbour Lane U16",
    level=Level.U16,
    players=(
        Player(
            name="Ada",
            number=4,
            height_cm=168,
            grade=4,
            splits_s={5: 1.19, 10: 1.98, 20: 3.46},
            shooting={Zone.MID: Shots(makes=11, attempts=25), Zone.THREE: Shots(makes=8, attempts=25)},
        ),
        Player(name="Bex", number=5, height_cm=171, grade=3),
        Player(
            name="Cleo",
            number=7,
            height_cm=176,
            grade=5,
            splits_s={5: 1.14, 10: 1.92, 20: 3.34},
            shooting={Zone.RIM: Shots(makes=19, attempts=25), Zone.THREE: Shots(makes=9, attempts=25)},
        ),
        Player(name="Dot", number=8, height_cm=163, grade=2),
        Player(name="Effie", number=9, height_cm=179, grade=3, splits_s={10: 2.05, 20: 3.6}),
        Player(name="Fern", number=11, height_cm=182, grade=4),
        Player(name="Gus", number=12, height_cm=185, grade=3),
        Player(name="Hal", number=14, height_cm=174, grade=2, level=Level.U14),
        Player(name="Ivo", number=15, grade=3),
        Player(name="Jun", number=21, height_cm=188, grade=4, shooting={Zone.RIM: Shots(makes=17, attempts=25)}),
    ),
)

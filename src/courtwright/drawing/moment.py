"""A frozen moment as a picture: who stands where and moves how; with a reading, one row of the help table."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final
from xml.etree import ElementTree as ET

from courtwright.drawing.court import court_box_m, court_lines
from courtwright.drawing.figures import CROSS_SHARE, ball_dot, figure_group
from courtwright.drawing.marks import dribble_line, length_m, pass_line, run_line
from courtwright.drawing.moment_words import STILL_M_PER_S, moment_twin, say_about
from courtwright.drawing.scene import (
    CLEAR_M,
    Scene,
    defender_names,
    gap_line,
    on_page,
    place_words,
    room_for,
    widened,
    words_box,
)
from courtwright.drawing.svg import THEMES, Point, Svg, ThemeName, element, path, picture, text_width_m, written
from courtwright.drawing.words import say_distance
from courtwright.floor.court import Court
from courtwright.game.moment import Moment
from courtwright.reading import Reading, Timeline, timeline

SHOWN_S: Final = 0.35
"""An arrow of velocity is as long as the way of so many seconds."""
LEAST_ARROW_M: Final = 0.45
TOUCH_M: Final = 0.11
ROOMY_M: Final = 0.05
"""With less room than this, words are shortened."""
LEAST_RUN_M: Final = 0.25
"""A shorter run is not drawn: its arrow would be all head."""

Row = tuple[str | None, str]
"""A helper and his cue."""


def draw_moment(
    moment: Moment,
    *,
    reading: Reading | None = None,
    row: Row | None = None,
    feet: bool = False,
    theme: ThemeName = "screen",
) -> Svg:
    """A moment, to scale.

    Parameters
    ----------
    reading
        Adds the drive, dribble by dribble.
    row
        With a reading: a helper and his cue, such as ``("X2", "dribble 1")``, whose run and the answer to it are added.
    """
    if reading is not None and reading.setting.moment != moment:
        raise ValueError("the reading is of another moment")
    inks, played = THEMES[theme], timeline(reading, *(row or ())) if reading else None
    places = {figure: on_page(moment.floor, at_m) for figure, at_m in moment.placed_m().items()}
    area_m = widened(court_box_m(moment.floor), places, inks)
    key = f"moment-{moment.hash[:8]}"
    root = picture(
        title=moment.name, description=moment_twin(moment, played, feet=feet), box_m=area_m, theme=inks, key=key
    )
    root.append(court_lines(moment.floor, inks))
    scene = Scene(places, inks, room_for(moment.floor, area_m, places, inks))
    drive = None if played is None else _Played(root, scene, played, feet)
    dimensions = element("g", root, class_="dimensions")
    if drive is not None:
        drive.lines()
    _gap_on_ball(dimensions, scene, moment, feet)
    if drive is not None:
        drive.words(dimensions)
    groups = {figure: figure_group(root, figure, at, inks) for figure, at in places.items()}
    _velocities(root, scene, moment)  # over the figures: a closeout is short of room
    ball_dot(groups[moment.ball], scene.room, places[moment.ball], inks)
    defender_names(groups, scene)
    return written(root)


def _gap_on_ball(parent: ET.Element, scene: Scene, moment: Moment, feet: bool) -> None:
    holder = scene.places[moment.ball]
    on_ball = [scene.places[figure] for figure, man in moment.guards().items() if man == moment.ball]
    if on_ball:
        guard = min(on_ball, key=lambda at: math.dist(at, holder))
        gap_line(parent, scene, holder, guard, f"{say_distance(math.dist(holder, guard), feet=feet)} gap")


def _velocities(root: ET.Element, scene: Scene, moment: Moment) -> None:
    """A short arrow for everyone who moves."""
    group = element("g", root, class_="velocities")
    for item in moment.figures:
        speed = math.hypot(*item.moving_m_per_s)
        if speed < STILL_M_PER_S:
            continue
        x_m, y_m = scene.places[item.figure]
        across, down = (part / speed for part in item.moving_m_per_s)
        defends = item.figure.startswith("X")
        start_m = scene.theme.figure_m * (CROSS_SHARE if defends else 1.0) + 0.5 * CLEAR_M
        end_m = start_m + max(LEAST_ARROW_M, SHOWN_S * speed)
        line = [(x_m + across * at_m, y_m + down * at_m) for at_m in (start_m, end_m)]
        mark = run_line(line, ink=scene.theme.defence if defends else scene.theme.offence)
        mark.set("class", f"velocity {'defender' if defends else 'attacker'}")
        mark.set("data-runs", item.figure)
        group.append(mark)
        scene.room.line(line, 0.15)


class _Played:
    """One row of the help table, laid over the moment."""

    def __init__(self, root: ET.Element, scene: Scene, played: Timeline, feet: bool) -> None:
        self.scene, self.played, self.feet = scene, played, feet
        self.answers = element("g", root, class_="answers")
        self.moves = element("g", root, class_="moves")
        self._keep_basket_clear(played.moment.floor)

    def _keep_basket_clear(self, floor: Court) -> None:
        """A start has few words near the basket, a drive ends there."""
        half_m, face_m = floor.board_width.value_m / 2, floor.board_from_end_line.value_m
        self.scene.room.line([(-half_m, face_m), (half_m, face_m)], 0.1)
        self.scene.room.disc((0.0, floor.basket_from_end_line.value_m), 0.3)

    def lines(self) -> None:
        """Lines come first: words go where they leave room."""
        self._drive()
        self._kick()
        self._help()

    def words(self, dimensions: ET.Element) -> None:
        """The gap, and when each dribble touches."""
        self._gap(dimensions)
        self._touches()

    def _page(self, at_m: Point) -> Point:
        return on_page(self.played.moment.floor, at_m)

    def _drive(self) -> None:
        """The driver's way, until he stops, passes or shoots."""
        line = self._way(self.played.moment.ball, 0.0, self._drive_ends_s())
        self.moves.append(dribble_line(line, ink=self.scene.theme.offence, start_m=self._clear_m))
        self.scene.room.line(line, 0.2)

    def _drive_ends_s(self) -> float:
        ends = [event.t_s for what in ("stopped", "kick", "release") if (event := self.played.event(what))]
        return min([*ends, float(self.played.times_s[-1])])

    def _kick(self) -> None:
        kick, catch = self.played.event("kick"), self.played.event("catch")
        if kick and catch:
            line = [self._page(kick.at_m), self._page(catch.at_m)]
            self.moves.append(pass_line(line, ink=self.scene.theme.offence, start_m=0.3, end_m=self._clear_m))
            self.scene.room.line(line, 0.12)

    def _help(self) -> None:
        """The helper's run as far as it takes him from his man."""
        leaves, released = self.played.event("help leaves"), self.played.event("release")
        if leaves is None:
            return
        ends_s = released.t_s if released else float(self.played.times_s[-1])
        line = _outward(self._way(leaves.figure, leaves.t_s, ends_s))
        if length_m(line) > LEAST_RUN_M:
            self.answers.append(run_line(line, ink=self.scene.theme.defence, start_m=self._clear_m))
            self.scene.room.line(line, 0.15)

    def _touches(self) -> None:
        """Where and when each dribble touches the floor."""
        for number, event in enumerate(item for item in self.played.events if item.what == "dribble"):
            at = self._page(event.at_m)
            element("circle", self.moves, class_="touch", cx=at[0], cy=at[1], r=TOUCH_M, fill=self.scene.theme.offence)
            short, clock = event.text.split()[0], f" · {event.t_s:.1f} s"
            if number or not self._words(at, event.text + clock, ROOMY_M):
                self._words(at, short + clock)

    def _words(self, at: Point, words: str, least_m: float = -math.inf) -> bool:
        """Words beside a point, if they have so much room."""
        size_m = 0.78 * self.scene.theme.label_m
        centres = list(_around(at, text_width_m(words, size_m) / 2))
        if max(self.scene.room.score(words_box(centre, words, size_m)) for centre in centres) < least_m:
            return False
        place_words(self.moves, self.scene, centres, words, size_m, self.scene.theme.offence)
        return True

    def _gap(self, dimensions: ET.Element) -> None:
        """How far a defender is from the shooter when the ball leaves the hand; a paler cross shows where he is."""
        gap = self.played.gap
        if gap is None:
            return
        shooter, defender = self._page(gap.shooter_m), self._page(gap.defender_m)
        arm_m = 0.7 * CROSS_SHARE * self.scene.theme.figure_m
        corners = ("M", -arm_m, -arm_m, "L", arm_m, arm_m, "M", -arm_m, arm_m, "L", arm_m, -arm_m)
        ghost: dict[str, str | float | None] = {
            "stroke": self.scene.theme.defence,
            "stroke_width": self.scene.theme.stroke_m,
            "opacity": 0.55,
        }
        place = f"translate({defender[0]:.4f} {defender[1]:.4f})"
        path(self.answers, *corners, class_="ghost", transform=place, **ghost)
        self.scene.room.disc(defender, arm_m)
        gap_line(dimensions, self.scene, shooter, defender, say_about(gap.gap_m, feet=self.feet))

    def _way(self, figure: str, start_s: float, end_s: float) -> list[Point]:
        """A figure's way without the stretches in which it stands."""
        points = [self._page(at_m) for at_m in self.played.path_m(figure, start_s, end_s)]
        moved = [points[0]]
        for point in points[1:]:
            if math.dist(point, moved[-1]) > 1e-3:
                moved.append(point)
        return moved if len(moved) > 1 else [points[0], points[-1]]

    @property
    def _clear_m(self) -> float:
        return self.scene.theme.figure_m + CLEAR_M


def _outward(line: list[Point]) -> list[Point]:
    """The way to its farthest point from the start: coming back would run over itself."""
    farthest = max(range(len(line)), key=lambda index: math.dist(line[0], line[index]))
    return line[: farthest + 1]


def _around(at: Point, half_width_m: float) -> Iterator[Point]:
    """Places for words beside a point, the outer side first, so that a mirrored start gives a mirrored drawing."""
    out = 1.0 if at[0] >= 0 else -1.0
    for clear_m in (0.4, 0.75):
        for down_m in (0.0, 0.3, -0.3):
            for side in (out, -out):
                yield at[0] + side * (clear_m + half_width_m), at[1] + down_m

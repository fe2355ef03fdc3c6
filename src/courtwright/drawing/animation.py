"""A drive played through as a looped picture, GIF or WebP, drawn to scale from our own marks."""

from __future__ import annotations

import io
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Final, Literal, Protocol

from courtwright.drawing.court import court_box_m, draw_court
from courtwright.drawing.figures import BALL_M, CROSS_SHARE, figure_kind
from courtwright.drawing.marks import trimmed
from courtwright.drawing.moment import TOUCH_M
from courtwright.drawing.moment_words import say_about
from courtwright.drawing.scene import on_page
from courtwright.drawing.svg import THEMES, Point
from courtwright.drawing.typeset import svg_to_png
from courtwright.reading.timeline import STEP_S, Gap

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray
    from PIL import Image, ImageDraw, ImageFont

    from courtwright.game.moment import Moment

INKS: Final = THEMES["screen"]
FINER: Final = 2
"""Drawn so many times larger and scaled down: edges are smooth, and slow runs do not jump from pixel to pixel."""
FIRST_MS: Final = 700
LAST_MS: Final = 1800
STRIP_M: Final = 1.0
"""Below the court: the clock, and what happened last."""
IN_HAND_M: Final = (0.33, -0.26)
COLOURS: Final = 64
LEAST_PX, MOST_PX = 160, 1280

Format = Literal["gif", "webp"]


class Happening(Protocol):
    """Something that happens: when, where, in words."""

    @property
    def t_s(self) -> float: ...  # noqa: D102
    @property
    def what(self) -> str: ...  # noqa: D102
    @property
    def text(self) -> str: ...  # noqa: D102
    @property
    def at_m(self) -> Point: ...  # noqa: D102


class Played(Protocol):
    """What can be shown: everyone and the ball at even times, and what happens when."""

    @property
    def moment(self) -> Moment: ...  # noqa: D102
    @property
    def figures(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def times_s(self) -> NDArray[np.float64]: ...  # noqa: D102
    @property
    def places_m(self) -> NDArray[np.float64]: ...  # noqa: D102
    @property
    def ball_m(self) -> NDArray[np.float64]: ...  # noqa: D102
    @property
    def events(self) -> Sequence[Happening]: ...  # noqa: D102
    @property
    def gap(self) -> Gap | None: ...  # noqa: D102
    def event(self, what: str) -> Happening | None: ...  # noqa: D102


def animate(played: Played, *, format: Format = "gif", width_px: int = 640, feet: bool = False) -> bytes:  # noqa: A002
    """A timeline as a looped picture in real time, twenty frames a second; the last one stands a while."""
    from PIL import Image  # noqa: PLC0415 (large, and only animations need it)

    if not LEAST_PX <= width_px <= MOST_PX:
        raise ValueError(f"an animation is {LEAST_PX} to {MOST_PX} pixels wide, not {width_px}")
    frames = list(_Film(played, width_px, feet).frames())
    durations_ms = [FIRST_MS, *[round(1000 * STEP_S)] * (len(frames) - 2), LAST_MS]
    out = io.BytesIO()
    if format == "webp":
        options = {"method": 0, "quality": 80}
    else:
        palette = frames[-1].quantize(COLOURS)  # the last frame has every ink
        frames = [frame.quantize(palette=palette, dither=Image.Dither.NONE) for frame in frames]
        options = {"optimize": False, "disposal": 1}
    frames[0].save(out, format, save_all=True, append_images=frames[1:], duration=durations_ms, loop=0, **options)
    return out.getvalue()


@cache
def _font(size_px: int) -> ImageFont.FreeTypeFont:
    from PIL import ImageFont  # noqa: PLC0415 (as above)

    font = ImageFont.truetype(str(files("fontpkg_source_sans_3").joinpath("files", "SourceSans3[wght].ttf")), size_px)
    font.set_variation_by_axes([600])
    return font


class _Film:
    """One timeline on its court."""

    def __init__(self, played: Played, width_px: int, feet: bool) -> None:
        floor = played.moment.floor
        self.played, self.feet = played, feet
        self.left_m, self.top_m, self.width_m, self.height_m = court_box_m(floor)
        self.px = FINER * width_px / self.width_m
        self.court = self._court(FINER * width_px)

    def frames(self) -> Iterator[Image.Image]:
        """Every frame, in order."""
        for index in range(len(self.played.times_s)):
            yield self._frame(index)

    def _court(self, width_px: int) -> Image.Image:
        from PIL import Image  # noqa: PLC0415 (as above)

        court = Image.open(io.BytesIO(svg_to_png(draw_court(self.played.moment.floor), width_px))).convert("RGB")
        even = FINER * round((self.height_m + STRIP_M) * self.px / FINER)
        page = Image.new("RGB", (width_px, even), INKS.paper)
        page.paste(court)
        return page

    def _frame(self, index: int) -> Image.Image:
        from PIL import ImageDraw  # noqa: PLC0415 (as above)

        image = self.court.copy()
        pen = ImageDraw.Draw(image)
        t_s = float(self.played.times_s[index])
        self._touches(pen, t_s)
        places = dict(zip(self.played.figures, self.played.places_m[index].tolist(), strict=True))
        for figure in reversed(places):  # defenders first: a name beside a cross must not hide a number
            self._figure(pen, figure, places[figure])
        self._ball(pen, index)
        gap = self.played.gap
        release = self.played.event("release")
        if gap and release and t_s >= release.t_s:
            self._gap(pen, gap)
        self._strip(pen, t_s)
        return image.reduce(FINER)

    def _at(self, at_m: Point) -> Point:
        return self._px(on_page(self.played.moment.floor, at_m))

    def _px(self, at_m: Point) -> Point:
        x_m, y_m = at_m
        return (x_m - self.left_m) * self.px, (y_m - self.top_m) * self.px

    def _disc(self, pen: ImageDraw.ImageDraw, at: Point, radius_m: float, fill: str, ink: str | None = None) -> None:
        reach = radius_m * self.px
        box = (at[0] - reach, at[1] - reach, at[0] + reach, at[1] + reach)
        pen.ellipse(box, fill, ink, round(INKS.stroke_m * self.px) if ink else 0)

    def _touches(self, pen: ImageDraw.ImageDraw, t_s: float) -> None:
        for event in self.played.events:
            if event.what == "dribble" and event.t_s <= t_s:
                self._disc(pen, self._at(event.at_m), TOUCH_M, INKS.offence)

    def _figure(self, pen: ImageDraw.ImageDraw, figure: str, at_m: Point) -> None:
        x, y = self._at(at_m)
        reach, width = INKS.figure_m * self.px, round(INKS.stroke_m * self.px)
        if figure_kind(figure) == "defender":
            arm = CROSS_SHARE * reach
            for side in (-1, 1):
                pen.line((x - side * arm, y - arm, x + side * arm, y + arm), INKS.defence, round(1.25 * width))
            pen.text((x + 1.25 * arm, y), figure, INKS.defence, self._letters(0.42), anchor="lm")
            return
        neutral = figure_kind(figure) == "neutral"
        ink = INKS.ink if neutral else INKS.offence
        box = (x - reach, y - reach, x + reach, y + reach)
        (pen.rectangle if neutral else pen.ellipse)(box, INKS.paper, ink, width)
        pen.text((x, y), figure, ink, self._letters(0.55), anchor="mm")

    def _ball(self, pen: ImageDraw.ImageDraw, index: int) -> None:
        """On the rim of whoever holds it, else where it flies."""
        x_m, y_m = self.played.ball_m[index].tolist()
        held = any(abs(x_m - x) + abs(y_m - y) < 1e-6 for x, y in self.played.places_m[index].tolist())
        x, y = self._at((x_m + IN_HAND_M[0] * held, y_m + IN_HAND_M[1] * held))
        self._disc(pen, (x, y), BALL_M * 1.25, INKS.paper)
        self._disc(pen, (x, y), BALL_M, INKS.ink)

    def _gap(self, pen: ImageDraw.ImageDraw, gap: Gap) -> None:
        floor = self.played.moment.floor
        ends = [on_page(floor, gap.shooter_m), on_page(floor, gap.defender_m)]
        line = trimmed(ends, start_m=INKS.figure_m + 0.05, end_m=CROSS_SHARE * INKS.figure_m)
        pen.line([part for at in (line[0], line[-1]) for part in self._px(at)], INKS.ink, round(0.05 * self.px))

    def _strip(self, pen: ImageDraw.ImageDraw, t_s: float) -> None:
        y, font = (self.height_m + 0.35 * STRIP_M) * self.px, self._letters(0.62)
        pen.text((0.6 * self.px, y), f"{t_s:.1f} s", INKS.ink, font, anchor="lm")
        pen.text((2.6 * self.px, y), self._happened(t_s), INKS.ink, font, anchor="lm")

    def _happened(self, t_s: float) -> str:
        """What happened last; the shot, with the gap, stands to the end."""
        past = [event for event in self.played.events if event.t_s <= t_s and event.what != "ring"]
        if not past:
            return ""
        gap, last = self.played.gap, past[-1]
        away = f", {gap.defender} {say_about(gap.gap_m, feet=self.feet)} away" if gap and last.what == "release" else ""
        return f"{last.text}{away}"

    def _letters(self, size_m: float) -> ImageFont.FreeTypeFont:
        return _font(round(1.3 * size_m * self.px))

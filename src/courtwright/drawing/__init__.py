"""Drawing and paper: courts and marks as SVG, their text twins, pictures and printed sheets."""

from courtwright.drawing.court import draw_court
from courtwright.drawing.game import draw_game
from courtwright.drawing.sheet import game_sheet
from courtwright.drawing.svg import Svg, ThemeName
from courtwright.drawing.typeset import svg_to_png
from courtwright.drawing.words import text_twin

__all__ = ["Svg", "ThemeName", "draw_court", "draw_game", "game_sheet", "svg_to_png", "text_twin"]

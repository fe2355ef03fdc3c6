"""How the documentation is built: ``python3 run.py check docs``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

import courtwright  # noqa: E402
import tables  # noqa: E402 (found only after the line above)

project = "Courtwright"
author = "the Courtwright authors"
copyright = "the Courtwright authors, Apache-2.0"  # noqa: A001 (the name Sphinx reads)
version = release = courtwright.__version__

extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
exclude_patterns = ["_build"]
myst_heading_anchors = 3
default_role = "code"  # docstrings name things in single backticks
autodoc_default_options = {"members": True, "member-order": "bysource", "show-inheritance": True}
autodoc_typehints = "signature"
autodoc_typehints_format = "short"
napoleon_google_docstring = False

html_theme = "furo"
html_title = f"Courtwright {release}"
html_copy_source = False
html_theme_options = {
    "light_css_variables": {"color-brand-primary": "#0b5fa5", "color-brand-content": "#0b5fa5"},
    "dark_css_variables": {"color-brand-primary": "#7db7e8", "color-brand-content": "#7db7e8"},
}


def fill_in(app: Any, page: str, source: list[str]) -> None:
    """Put the generated tables into a page before it is read."""
    source[0] = tables.fill(source[0])


def setup(app: Any) -> None:
    """Hook into the build."""
    app.connect("source-read", fill_in)

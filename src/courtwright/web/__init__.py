"""The browser's side: pages, a JSON API, drawings and paper, trials in the background. Answers this computer only."""

from courtwright.web.app import create_app

__all__ = ["create_app"]

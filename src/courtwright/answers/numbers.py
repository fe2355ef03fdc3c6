"""Numbers of a trial in words: shares as per cent, differences with their sign."""

from __future__ import annotations


def amount(value: float, unit: str) -> str:
    """A value: 38 %, 0.92, 4.4."""
    if unit.startswith("share"):
        return f"{100 * value:.0f} %"
    return f"{value:.{_digits(unit, value)}f}".replace("-", "−")


def apart(change: float, unit: str) -> str:
    """A difference: +0.12; of shares, in hundredths: −7."""
    sign = "+" if change >= 0 else "−"
    if unit.startswith("share"):
        return f"{sign}{abs(100 * change):.0f}"
    return f"{sign}{abs(change):.{_digits(unit, change)}f}"


def span(low: float, high: float, unit: str) -> str:
    """An interval of a difference: −0.02 to +0.11."""
    if unit.startswith("share"):
        return f"{100 * low:+.0f} to {100 * high:+.0f}".replace("-", "−")
    digits = _digits(unit, high)
    return f"{low:+.{digits}f} to {high:+.{digits}f}".replace("-", "−")


def _digits(unit: str, value: float) -> int:
    if unit in ("seconds", "metres"):
        return 1 if abs(value) >= 1 else 2
    return 0 if abs(value) >= 10 else 2

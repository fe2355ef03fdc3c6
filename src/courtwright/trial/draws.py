"""Random numbers by counting: any draw of any possession can be made again from its names.

A possession's key mixes (seed, run, possession); a draw mixes the key with its
purpose and its count within that purpose by SplitMix64 (Steele, Lea & Flood
2014). Nothing depends on threads, chunks or the order of runs.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from courtwright.engine import inner
from courtwright.trial.layout import World

GOLDEN: Final = np.uint64(0x9E3779B97F4A7C15)
MIX_1: Final = np.uint64(0xBF58476D1CE4E5B9)
MIX_2: Final = np.uint64(0x94D049BB133111EB)
PURPOSE_STRIDE: Final = np.uint64(0xD1B54A32D192ED03)
S30, S27, S31, S11 = np.uint64(30), np.uint64(27), np.uint64(31), np.uint64(11)
ONE: Final = np.uint64(1)
TO_UNIT: Final = 1.0 / 9007199254740992.0  # 2 to the power −53


@inner
def mix(bits: np.uint64) -> np.uint64:
    """The output function of SplitMix64: every input bit reaches every output bit."""
    bits = (bits ^ (bits >> S30)) * MIX_1
    bits = (bits ^ (bits >> S27)) * MIX_2
    return bits ^ (bits >> S31)


@inner
def possession_key(seed: np.uint64, run: np.uint64, possession: np.uint64) -> np.uint64:
    """The key of one possession."""
    return mix(mix(mix(seed + GOLDEN) + run * GOLDEN) + possession * PURPOSE_STRIDE)


@inner
def draw(w: World, purpose: int) -> float:
    """The next uniform draw in [0, 1) for a purpose."""
    count = w.stream[1 + purpose]
    w.stream[1 + purpose] = count + ONE
    bits = mix(w.stream[0] + mix(np.uint64(purpose + 1) * PURPOSE_STRIDE) + (count + ONE) * GOLDEN)
    return float(bits >> S11) * TO_UNIT


@inner
def happens(w: World, purpose: int, chance: float) -> bool:
    """Whether something of that chance happens."""
    return draw(w, purpose) < chance

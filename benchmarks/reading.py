"""How long a reading takes: ``python benchmarks/reading.py``. Best of ten, warm kernels, one core."""

from __future__ import annotations

import time
from collections.abc import Callable

from courtwright.game.moment import Moment
from courtwright.reading import Reading, more_json, quick_json, read_moment
from courtwright.reading.prepare import setting
from courtwright.reading.space import space_map
from courtwright.vocabulary import Level

PLACES = {
    "1": (0.0, 7.1),
    "2": (-5.4, 4.6),
    "3": (5.4, 4.6),
    "4": (-6.95, 0.0),
    "5": (6.95, 0.0),
    "X1": (0.0, 5.8),
    "X2": (-3.0, 3.5),
    "X3": (3.0, 3.5),
    "X4": (-3.5, 0.8),
    "X5": (3.5, 0.8),
}


def moment(side: int) -> Moment:
    """So many on each side, ball at the top."""
    figures = [{"figure": name, "at": place} for name, place in PLACES.items() if int(name[-1]) <= side]
    return Moment.model_validate({"name": "benchmark", "ball": "1", "figures": figures})


def best_ms(work: Callable[[], object]) -> float:
    """Milliseconds of the quickest of ten."""
    work()
    times = []
    for _ in range(10):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return 1000 * min(times)


def main() -> None:
    """Print one line for each size and number of parameter sets."""
    for side, few in ((3, 64), (5, 32)):
        one = moment(side)
        for sets in (few, 200):
            taken = best_ms(lambda one=one, sets=sets: read_moment(one, level=Level.U16, sets=sets))  # type: ignore[misc]
            print(f"{side}-on-{side}, {sets} sets, both rotations: {taken:6.1f} ms")
        given = setting(one, level=Level.U16, sets=8)
        print(f"{side}-on-{side}, map: {best_ms(lambda given=given: space_map(given)):6.1f} ms")  # type: ignore[misc]
        reading = read_moment(one, level=Level.U16)
        print(f"{side}-on-{side}, pauses over 200 sets: {best_ms(reading.pauses):6.1f} ms")
        told = best_ms(lambda reading=reading: quick_json(Reading(reading.setting, reading.raw)))  # type: ignore[misc]
        print(f"{side}-on-{side}, estimates, map and sentences: {told:6.1f} ms")
        more = best_ms(lambda reading=reading: more_json(Reading(reading.setting, reading.raw)))  # type: ignore[misc]
        print(f"{side}-on-{side}, pauses and switch: {more:6.1f} ms")


if __name__ == "__main__":
    main()

"""Speed of the floor: how soon a fact is acknowledged and how soon screens follow, with 8 writers and 20 screens.

``python benchmarks/floor.py [--think 0.25]`` — the real server as a program of its own, on SQLite in a temporary
folder, asked over loopback by this process on the same cores. ``--think`` is how long a writer waits between facts;
0 is flat out, which no gym is.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from typing import Any

WRITERS, SCREENS, FACTS = 8, 20, 40
NAMES = ["Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus", "Hal"]


async def ask(port: int, method: str, path: str, body: Any = None) -> Any:
    """One request on a connection of its own."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    content = b"" if body is None else json.dumps(body).encode()
    head = f"{method} {path} HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nConnection: close\r\n"
    writer.write(f"{head}Content-Length: {len(content)}\r\n\r\n".encode() + content)
    answer = await reader.read()
    writer.close()
    return json.loads(answer.split(b"\r\n\r\n", 1)[1])


async def watch(port: int, run: str, kind: str, arrived: dict[int, list[float]]) -> None:
    """Note when each number of facts was seen on a stream."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port, limit=2**24)
    writer.write(f"GET /api/runs/{run}/{kind} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode())
    seen = 0
    try:
        while line := await reader.readline():
            if line.startswith(b"id: "):
                number = int(line[4:])
                for one in range(seen + 1, number + 1):
                    arrived.setdefault(one, []).append(time.perf_counter())
                seen = max(seen, number)
    finally:
        writer.close()


async def write(
    port: int, run: str, name: str, think_s: float, acknowledged: list[float], sent: dict[int, float]
) -> None:
    """Tell facts one by one."""
    for number in range(FACTS):
        await asyncio.sleep(think_s * (0.5 + (hash((name, number)) % 100) / 100))
        fact = {
            "event_id": f"{name}-{number}", "device": name, "sequence": number, "time": f"{time.time_ns() // 10**6}.0",
            "run_id": run, "possession": number + 1, "turn": 0, "game_id": "g", "game_hash": "h",
            "kind": "turnover", "detail": {},
        }  # fmt: skip
        begun = time.perf_counter()
        answer = await ask(port, "POST", f"/api/runs/{run}/facts", {"facts": [fact]})
        acknowledged.append(time.perf_counter() - begun)
        sent[answer["last"]] = begun


async def measure(port: int, think_s: float) -> None:
    """Print one line for the writers and one for the screens."""
    game = await ask(port, "POST", "/api/games", {"starter": "low-mans-call"})
    run = (await ask(port, "POST", "/api/runs", {"game_id": game["id"], "players": NAMES}))["opening"]["run"]
    arrived: dict[int, list[float]] = {}
    kinds = ["stream" if number % 2 else "screen/stream" for number in range(SCREENS)]
    screens = [asyncio.create_task(watch(port, run, kind, arrived)) for kind in kinds]
    await asyncio.sleep(0.5)
    acknowledged: list[float] = []
    sent: dict[int, float] = {}
    await asyncio.gather(*(write(port, run, f"w{n}", think_s, acknowledged, sent) for n in range(WRITERS)))
    await asyncio.sleep(1.0)
    for screen in screens:
        screen.cancel()
    await asyncio.gather(*screens, return_exceptions=True)
    lags = [seen - sent[number] for number, times in arrived.items() if number in sent for seen in times]
    print(f"facts acknowledged, {len(acknowledged)}: {_line(acknowledged)}")
    print(f"seen on a screen, {len(lags)} of {len(sent) * SCREENS}: {_line(lags)}")


def _line(seconds: list[float]) -> str:
    cuts = statistics.quantiles(seconds, n=100)
    return f"median {1000 * cuts[49]:.1f} ms, p95 {1000 * cuts[94]:.1f} ms, worst {1000 * max(seconds):.1f} ms"


def main() -> None:
    """Start the program, measure, stop it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--think", type=float, default=0.25)
    think_s = parser.parse_args().think
    with tempfile.TemporaryDirectory() as folder:
        port = 18720
        command = [sys.executable, "-m", "courtwright", "serve", "--no-open", "--port", str(port)]
        server = subprocess.Popen(
            [*command, "--store", f"{folder}/club.sqlite"], env=os.environ, stderr=subprocess.DEVNULL
        )
        try:
            for _ in range(300):
                try:
                    asyncio.run(ask(port, "GET", "/api/runs"))
                    break
                except OSError:
                    time.sleep(0.1)
            time.sleep(3)  # the kernels come from their cache meanwhile
            asyncio.run(measure(port, think_s))
        finally:
            server.kill()
            server.wait()


if __name__ == "__main__":
    main()

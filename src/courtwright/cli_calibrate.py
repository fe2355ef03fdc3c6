"""The command that holds the trial against published figures, and fits it to them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from rich.console import Console
from rich.table import Table

from courtwright.cli_parts import AsJson, print_json, write_whole, wrote

if TYPE_CHECKING:
    from courtwright.calibration.fit import Fit
    from courtwright.calibration.report import Row

Possessions = Annotated[int, typer.Option(min=500, max=1_000_000, help="possessions for each seed")]
Rounds = Annotated[int, typer.Option("--fit", min=0, max=100, help="rounds of fitting; 0 only reports")]
Output = Annotated[Path | None, typer.Option("--output", "-o", metavar="FILE", help="also write the answer as JSON")]


def calibrate(
    possessions: Possessions = 20_000,
    rounds: Rounds = 0,
    threads: Annotated[int, typer.Option(min=1, max=64, help="for time; never changes the result")] = 2,
    output: Output = None,
    as_json: AsJson = False,
) -> None:
    """Hold the trial against published figures: target, source, what the trial makes of it, gap."""
    if rounds:
        data = _fitted(rounds, possessions, threads, quiet=as_json)
    else:
        from courtwright.calibration.report import FRESH_SEEDS, report

        found = report(possessions=possessions, threads=threads)
        data = {
            "possessions": possessions,
            "seeds": list(FRESH_SEEDS),
            "rows": [row.to_json() for row in found],
        }
        if not as_json:
            Console().print(_table(found))
            _say(found)
    if as_json:
        print_json(data)
    if output is not None:
        write_whole(output, (json.dumps(data, indent=1) + "\n").encode())
        if not as_json:
            wrote(output, as_json=False)


def _fitted(rounds: int, possessions: int, threads: int, *, quiet: bool) -> dict[str, Any]:
    from courtwright.calibration.fit import fit
    from courtwright.trial.layout import KINDS

    def told(number: int, state: Fit) -> None:
        if not quiet:
            typer.echo(f"round {number + 1}: loss {state.loss:.2f}")

    state = fit(rounds, possessions=possessions, threads=threads, told=told)
    return {
        "loss": round(state.loss, 3),
        "parameters": {name: round(value, 4) for name, value in state.parameters.items()},
        "standard_error_in_steps": state.sureness,
        "experience": {
            kind: [round(float(part), 3) for part in pair] for kind, pair in zip(KINDS, state.beliefs, strict=True)
        },
    }


def _table(rows: list[Row]) -> Table:
    table = Table("", "published", "the trial", "gap", "tolerance", "")
    for row in rows:
        target = row.target
        mark = "" if row.within else "outside"
        name = target.text if target.fitted else f"{target.text} (not fitted)"
        table.add_row(
            name, f"{target.target:.3f}", f"{row.mean:.3f}", f"{row.gap:+.3f}", f"± {target.tolerance:.3f}", mark
        )
    return table


def _say(rows: list[Row]) -> None:
    fitted = [row for row in rows if row.target.fitted]
    inside = sum(row.within for row in fitted)
    typer.echo(f"{inside} of {len(fitted)} fitted rows are within their tolerance; sources: --json.")


def add_to(app: typer.Typer) -> None:
    """Give the program its command."""
    app.command()(calibrate)

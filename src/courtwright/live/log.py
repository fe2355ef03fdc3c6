"""A run as one file: JSON lines, the opening first, then a fact a line. It is read back to the same state."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any, Final

from pydantic import ValidationError

from courtwright.documents import MAX_PROBLEMS, all_told, in_words, text_of
from courtwright.errors import DocumentError, Problem
from courtwright.live.details import checked
from courtwright.live.opening import Opening
from courtwright.vocabulary import Fact

ENDING: Final = ".run.jsonl"


def written(opening: dict[str, Any], facts: Iterable[Fact]) -> str:
    """The text of a run's file."""
    rows = [opening, *(fact.to_json() for fact in facts)]
    return "".join(f"{json.dumps(row, ensure_ascii=False, allow_nan=False)}\n" for row in rows)


def read_log(raw: bytes | str, source: str = "run") -> tuple[Opening, list[Fact]]:
    """Read a run's file; raise `DocumentError` naming every line that is wrong."""
    lines = text_of(raw, source).splitlines()
    problems: list[Problem] = []
    opening, facts = None, []
    for number, line in enumerate(lines, start=1):
        try:
            data = json.loads(line)
            if number == 1:
                opening = Opening.model_validate(data)
            else:
                facts.append(checked(data, source))
        except json.JSONDecodeError as error:
            problems.append(Problem(f"line {number}", f"is not JSON ({error.msg})", "Mend it there."))
        except ValidationError as error:
            problems += [
                Problem(".".join(("line 1", *map(str, item["loc"]))), *in_words(Opening, item))
                for item in error.errors(include_url=False)
            ]
        except DocumentError as error:
            problems += [Problem(f"line {number}, {item.place}", item.what, item.mend) for item in error.problems]
        if len(problems) > MAX_PROBLEMS:
            break
    if opening is None and not problems:
        problems.append(Problem("file", "is empty", "Choose a file that this program has written."))
    if problems or opening is None:
        raise all_told(source, problems)
    return opening, facts

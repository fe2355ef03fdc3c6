"""From bytes to typed parts: what reading a game and reading a squad have in common.

Nothing here stops at the first mistake. Each step notes what is wrong, in a
coach's words, and goes on with what can still be read, so that one look at a
file finds everything.
"""

from __future__ import annotations

import hashlib
import json
import re
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Generic, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic.fields import FieldInfo

from courtwright.errors import DocumentError, NewerFormatError, Problem

MAX_BYTES: Final = 1_000_000
MAX_DEPTH: Final = 16
MAX_PROBLEMS: Final = 200

Where = tuple[int | str, ...]
Migration = Callable[[dict[str, Any]], dict[str, Any]]
M = TypeVar("M", bound=BaseModel)

UTF8_MEND: Final = "Save it as UTF-8 (spreadsheets call it “CSV UTF-8”)."
_TOO_DEEP: Final = ("is nested too deeply", "A game or a squad is a few levels deep.")


# --- from bytes to JSON data


def read_bytes(path: Path) -> bytes:
    """Read a whole file; raise `DocumentError` if it cannot be read."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise refusal(str(path), f"cannot be read ({error.strerror})", "Check the name.") from None


def text_of(raw: bytes | str, source: str) -> str:
    """The text of a file, with or without a byte order mark; raise `DocumentError` if it is none."""
    if len(raw) > MAX_BYTES:
        raise refusal(source, "is over 1 MB", "A game or a squad is a few kB; check that this is the right file.")
    if isinstance(raw, bytes):
        if raw.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\0" in raw:
            raise refusal(source, "is not UTF-8 text but looks like UTF-16", UTF8_MEND)
        try:
            raw = raw.decode("utf-8")
        except UnicodeDecodeError:
            raise refusal(source, "is not UTF-8 text", UTF8_MEND) from None
    _refuse_half_characters(raw, source)
    return raw.removeprefix("\ufeff")


def object_of(text: str, source: str) -> tuple[dict[str, Any], list[Problem]]:
    """The JSON object a text holds, and what is wrong with it as JSON; raise `DocumentError` if it holds none."""
    notes: list[Problem] = []
    try:
        data = json.loads(text, **_hooks(notes))
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise DocumentError(
            source, [Problem(place, f"is not JSON ({_lower_first(error.msg)})", "Mend it there.")]
        ) from None
    except RecursionError:
        raise refusal(source, *_TOO_DEEP) from None
    if _deeper(data, MAX_DEPTH):
        raise refusal(source, *_TOO_DEEP)
    if not isinstance(data, dict):
        raise refusal(source, "is not a JSON object", "It begins with { and names its format.")
    _refuse_half_characters(json.dumps(data, ensure_ascii=False), source)  # a \\u code may hide one
    return data, notes


def _refuse_half_characters(text: str, source: str) -> None:
    try:
        text.encode()
    except UnicodeEncodeError:
        raise refusal(source, "holds half a character", "Write the sign itself instead of its \\u code.") from None


def json_text(data: Any, source: str) -> str:
    """JSON text of data that came from elsewhere, so that it passes through the same door as a file."""
    try:
        return json.dumps(data)
    except (TypeError, ValueError, RecursionError):
        raise refusal(source, "is not JSON data", "Use text, numbers, lists and objects only.") from None


def _hooks(notes: list[Problem]) -> dict[str, Any]:
    """What the JSON reader calls. The standard reader lets NaN pass and drops doubled keys without a word."""

    def number(text: str) -> float | int | None:
        if abs(float(text)) > 1e15:
            notes.append(Problem("file", f"holds the number {shown(text)}", "Write a number of ordinary size."))
            return None
        return _number(text)  # 3.0 is a whole number, and −0 is 0

    def constant(text: str) -> None:
        notes.append(Problem("file", f"holds {text}, which is no number", "Write a number, or leave it out."))

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        doubled = [key for key, count in Counter(key for key, _ in items).items() if count > 1]
        notes.extend(Problem("file", f"{shown(key)} stands twice in one place", "Keep one.") for key in doubled)
        return dict(items)

    return {"parse_int": number, "parse_float": number, "parse_constant": constant, "object_pairs_hook": pairs}


def _deeper(data: Any, levels: int) -> bool:
    if not isinstance(data, dict | list):
        return False
    return levels == 0 or any(_deeper(item, levels - 1) for item in (data.values() if isinstance(data, dict) else data))


def up_to_date(data: dict[str, Any], format_name: str, migrations: dict[int, Migration], source: str) -> dict[str, Any]:
    """Bring a document up to today's format; raise `DocumentError` if it has another one or a newer one."""
    family, _, today = format_name.partition("/")
    stated = data.get("format")
    match = re.fullmatch(rf"{re.escape(family)}/([1-9][0-9]{{0,5}})", stated) if isinstance(stated, str) else None
    if match is None:
        what = "is missing" if stated is None else f"says {shown(stated)}"
        raise DocumentError(source, [Problem("format", what, f"Write “format”: “{format_name}”.")])
    version = int(match[1])
    if version > int(today):
        mend = "Update Courtwright, or ask for the file in an older format. Nothing was changed."
        raise NewerFormatError(source, [Problem("format", f"is {stated}, newer than this Courtwright reads", mend)])
    for step in range(version, int(today)):
        data = migrations[step](data)
    return data


# --- from JSON data to typed parts


@dataclass(frozen=True, slots=True)
class Reading(Generic[M]):
    """What could be read, what was wrong, and which top fields were not read whole."""

    value: M | None
    wrong: tuple[tuple[Where, str, str], ...] = ()
    """path, what, mend"""

    @property
    def unread(self) -> frozenset[str]:
        """Top fields with something wrong in them: nothing can be said about what they lack."""
        return frozenset(str(place[0]) for place, _, _ in self.wrong if place)


def read_leniently(model: type[M], data: dict[str, Any], stand_ins: dict[str, Any]) -> Reading[M]:
    """Read typed parts; where some are wrong, note them and read the rest.

    A wrong list item is left out whole, any other wrong part alone; where that does
    not help, what it stands in.
    ``stand_ins`` takes the place of required parts. Types are strict: text is no
    number and true is not 1.
    """
    try:
        return Reading(_read(model, data))
    except ValidationError as error:
        told = error.errors(include_url=False)[: 2 * MAX_PROBLEMS]
        wrong = tuple((item["loc"], *in_words(model, item)) for item in told)
    places = {_target(data, place) for place, _, _ in wrong}
    for targets in (places, {place[:-1] or place for place in places}, {place[:1] for place in places}):
        rest: Any = json.loads(json.dumps(data))
        for target in sorted(targets, key=_last_items_first):
            _take_out(rest, target)
        with suppress(ValidationError):
            return Reading(_read(model, _over(stand_ins, rest)), wrong)
    return Reading(None, wrong)


def _read(model: type[M], data: Any) -> M:
    return model.model_validate_json(json.dumps(data), strict=True)


def _target(data: Any, place: Where) -> Where:
    """What to leave out for a wrong place: the outermost list item on the way there, or the part itself."""
    for depth, part in enumerate(place):
        if part == "[key]" or not isinstance(data, dict | list):  # so pydantic says that a key is wrong, not its value
            return place[:depth]
        if isinstance(data, list):
            return place[: depth + 1]
        key = part if part in data else str(part).removesuffix(".0")  # a key that is a number comes back as 10.0
        place = (*place[:depth], key, *place[depth + 1 :])
        data = data.get(key)
    return place


def _last_items_first(target: Where) -> int:
    last = target[-1] if target else ""
    return -last if isinstance(last, int) else 1


def _take_out(data: Any, target: Where) -> None:
    for part in target[:-1]:
        data = data.get(part, {})
    if isinstance(data, list):
        data.pop(int(target[-1]))
    elif target:
        data.pop(target[-1], None)


def _over(under: Any, data: Any) -> Any:
    """Data laid over stand-ins, object by object."""
    if not (isinstance(under, dict) and isinstance(data, dict)):
        return data
    return {key: _over(under.get(key), data[key]) if key in data else under[key] for key in [*under, *data]}


# --- a coach's words for what the types say


def shown(value: Any) -> str:
    """A wrong value as the reader wrote it, cut short."""
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, default=str)
    return f"“{text[:40]}…”" if len(text) > 40 else f"“{text}”"


def in_words(model: type[BaseModel], error: Any) -> tuple[str, str]:
    """What is wrong and how to mend it, from one pydantic error."""
    kind, context = str(error["type"]), error.get("ctx", {})
    if kind == "value_error":  # our own words: what; mend
        what, _, mend = str(context["error"]).rpartition("; ")
        return (what, f"{mend[:1].upper()}{mend[1:]}.") if what else (mend, "Correct it.")
    if kind in ("enum", "literal_error"):
        words = re.findall(r"'([^']*)'", str(context["expected"]))
        return f"{shown(error['input'])} is not known", f"Use {_one_of(words)}."
    if kind in _COMPARED:
        word, key = _COMPARED[kind]
        return f"must be {word} {context[key]:g}", _range(_field(model, error["loc"]))
    if kind in _SAID:
        return _SAID[kind][0].format(**context), _SAID[kind][1].format(**context)
    return f"{shown(error['input'])} does not fit", "Correct it."


_COMPARED: Final = {
    "greater_than": ("more than", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("less than", "lt"),
    "less_than_equal": ("at most", "le"),
}

_NUMBER: Final = ("is not a number", "Write a number.")
_WHOLE: Final = ("is not a whole number", "Write a whole number.")
_LIST: Final = ("is not a list", "Write a list in [ ].")
_OBJECT: Final = ("is not an object", "Write an object in {{ }}.")
_SAID: Final = {
    "missing": ("is missing", "Add it."),
    "extra_forbidden": ("is not known here", "Take it out, or check its spelling."),
    "int_type": _WHOLE,
    "float_type": _NUMBER,
    "float_parsing": _NUMBER,
    "bool_type": ("is neither true nor false", "Write true or false."),
    "string_type": ("is not text", "Write it as text in quotes."),
    "string_too_long": ("is too long", "Use at most {max_length} characters."),
    "string_too_short": ("is empty", "Write something."),
    "too_long": ("has {actual_length} items", "Keep {max_length} at most."),
    "tuple_type": _LIST,
    "dict_type": _OBJECT,
    "model_type": _OBJECT,
}


def _one_of(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _range(field: FieldInfo | None) -> str:
    """The range a field allows, as an instruction."""
    limits = field.metadata if field else ()
    bound = {key: f"{getattr(item, key):g}" for item in limits for _, key in _COMPARED.values() if hasattr(item, key)}
    if "ge" in bound and "le" in bound:
        return f"Write {bound['ge']} to {bound['le']}."
    parts = [f"{word} {bound[key]}" for word, key in _COMPARED.values() if key in bound]
    return f"Write a number {' and '.join(parts)}." if parts else "Write another number."


def _field(model: type[BaseModel], place: Where) -> FieldInfo | None:
    field, here = None, [model]
    for part in place:
        if here and isinstance(part, str) and part in here[0].model_fields:
            field = here[0].model_fields[part]
            here = list(_models_in(field.annotation))
    return field


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models_in(inner)


# --- what every document's parts share


class Part(BaseModel):
    """Base of every part: unknown fields are refused, values do not change."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)


def one_line(text: str) -> str:
    """Text on one line: line breaks become spaces, other signs that cannot be printed are refused."""
    line = re.sub(r"[\t\r\n]+", " ", text)
    if any(unicodedata.category(sign) in ("Cc", "Cs") for sign in line):
        raise ValueError("holds a sign that cannot be printed; write it anew")
    return line


def content_hash(document: BaseModel) -> str:
    """Name of a document's content: SHA-256 of its canonical JSON, 64 hexadecimal digits.

    Defaults are left out, so that a part added later renames no older document;
    keys are sorted and whole numbers carry no point, so that no writer matters.
    """
    data = json.loads(json.dumps(document.model_dump(mode="json", exclude_defaults=True)), parse_float=_number)
    canonical = json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(canonical.encode()).hexdigest()


def _number(text: str) -> float | int:
    value = float(text)
    return int(value) if value.is_integer() else value


def all_told(source: str, problems: list[Problem]) -> DocumentError:
    """The error for a file with these problems; a file of thousands is the wrong file, and is not told to the end."""
    more = len(problems) - MAX_PROBLEMS
    if more > 0:
        problems = [*problems[:MAX_PROBLEMS], Problem("file", f"has {more} more problems", "Mend these first.")]
    return DocumentError(source, problems)


def refusal(source: str, what: str, mend: str) -> DocumentError:
    """The error for a file that cannot be looked into."""
    return DocumentError(source, [Problem("file", what, mend)])


def _lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]

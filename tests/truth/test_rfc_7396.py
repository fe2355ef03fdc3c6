"""JSON Merge Patch against its own standard.

Source: RFC 7396, “JSON Merge Patch” (IETF, October 2014): the fifteen cases of
Appendix A and the worked example of section 3. Written down from memory of the
RFC's text; not fetched again.
"""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from courtwright.game.patch import merge_patch

APPENDIX_A = [
    ('{"a":"b"}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"b"}', '{"b":"c"}', '{"a":"b","b":"c"}'),
    ('{"a":"b"}', '{"a":null}', "{}"),
    ('{"a":"b","b":"c"}', '{"a":null}', '{"b":"c"}'),
    ('{"a":["b"]}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"c"}', '{"a":["b"]}', '{"a":["b"]}'),
    ('{"a":{"b":"c"}}', '{"a":{"b":"d","c":null}}', '{"a":{"b":"d"}}'),
    ('{"a":[{"b":"c"}]}', '{"a":[1]}', '{"a":[1]}'),
    ('["a","b"]', '["c","d"]', '["c","d"]'),
    ('{"a":"b"}', '["c"]', '["c"]'),
    ('{"a":"foo"}', "null", "null"),
    ('{"a":"foo"}', '"bar"', '"bar"'),
    ('{"e":null}', '{"a":1}', '{"e":null,"a":1}'),
    ("[1,2]", '{"a":"b","c":null}', '{"a":"b"}'),
    ("{}", '{"a":{"bb":{"ccc":null}}}', '{"a":{"bb":{}}}'),
]

SECTION_3 = (
    """{"title":"Goodbye!","author":{"givenName":"John","familyName":"Doe"},
        "tags":["example","sample"],"content":"This will be unchanged"}""",
    '{"title":"Hello!","phoneNumber":"+01-123-456-7890","author":{"familyName":null},"tags":["example"]}',
    """{"title":"Hello!","author":{"givenName":"John"},"tags":["example"],
        "content":"This will be unchanged","phoneNumber":"+01-123-456-7890"}""",
)


@pytest.mark.parametrize(("target", "patch", "result"), [*APPENDIX_A, SECTION_3])
def test_case(target: str, patch: str, result: str) -> None:
    before: tuple[Any, Any] = (json.loads(target), json.loads(patch))
    kept = copy.deepcopy(before)

    assert merge_patch(*before) == json.loads(result)
    assert before == kept, "neither side is altered"

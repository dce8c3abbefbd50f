"""YAML that was read before is not read again, for who reads a library over and over."""

from __future__ import annotations

from rungbook.reading.yaml_values import Reading, read_yaml


class Remembered:
    """Reads as `read_yaml` does; what a text was read to is kept, and must not be changed."""

    def __init__(self) -> None:
        self._known: dict[tuple[str, int], Reading] = {}
        self._used: dict[tuple[str, int], Reading] = {}

    def __call__(self, text: str, most_nodes: int) -> Reading:
        key = (text, most_nodes)
        found = self._used.get(key) or self._known.get(key) or read_yaml(text, most_nodes)
        self._used[key] = found
        return found

    def forget_unused(self) -> None:
        """Keep only what was read since the last call of this."""
        self._known, self._used = self._used, {}

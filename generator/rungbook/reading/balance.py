"""What an exercise does to balance besides what it stands on: closed eyes, a ball to catch."""

from __future__ import annotations

import importlib.resources
from collections.abc import Mapping
from functools import cache

import yaml

from rungbook.model.library import BalanceTask, Settings


def balance_tasks(settings: Settings) -> Mapping[str, BalanceTask]:
    """All that may be named, by key: the usual ones and the library's own."""
    return {**_usual(), **settings.balance}


@cache
def _usual() -> Mapping[str, BalanceTask]:
    file = importlib.resources.files("rungbook.reading").joinpath("balance.yml")
    values = yaml.load(file.read_text("utf-8"), yaml.CSafeLoader)
    return {key: BalanceTask.model_validate(value) for key, value in values.items()}

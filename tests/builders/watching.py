"""What a module really computes, while it does."""

from __future__ import annotations

from types import ModuleType

import pytest


def watched_loads(monkeypatch: pytest.MonkeyPatch, module: ModuleType) -> list[str]:
    """The ids of all exercises whose load `module` asks for from now on, in a list that grows."""
    ids: list[str] = []
    compute = module.compute_loads

    def watched(exercises, library, **how):  # type: ignore[no-untyped-def]
        listed = list(exercises)
        ids.extend(one.id for one in listed)
        return compute(listed, library, **how)

    monkeypatch.setattr(module, "compute_loads", watched)
    return ids

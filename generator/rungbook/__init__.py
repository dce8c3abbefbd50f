"""Rungbook: exercise ladders as text, with the load of every exercise computed.

The folders are layers; each may use those below it, never those above
(the contract stands in pyproject.toml).
"""

__version__ = "0.1.0"

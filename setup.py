"""Which folders are packages, found by looking; all else stands in pyproject.toml."""

from setuptools import find_namespace_packages, setup

THEME = [
    "rungbook_theme",
    *(f"rungbook_theme.{one}" for one in find_namespace_packages("site_theme")),
]

setup(
    packages=[*find_namespace_packages("generator"), *THEME],
    package_dir={"": "generator", "rungbook_theme": "site_theme"},
)

"""Ids, names and addresses of FHIR resources, the same for the same library every time."""

from __future__ import annotations

import hashlib
import re
import uuid
from functools import lru_cache

from rungbook.model.library import Library

# An identifier, not an address: the definitions are in every Bundle that uses them.
EXTENSIONS = "https://rungbook.invalid/fhir/StructureDefinition"
UCUM = "http://unitsofmeasure.org"
LONGEST_ID = 64  # of FHIR's datatype `id`, which has letters, digits, hyphens and dots


def resource_id(id: str) -> str:
    """Our id, which fits FHIR's; long ones end in a sum of the whole."""
    if len(id) <= LONGEST_ID:
        return id
    return f"{id[: LONGEST_ID - 13].rstrip('-')}-{hashlib.sha256(id.encode()).hexdigest()[:12]}"


def computable_name(id: str) -> str:
    """`heel-raise` as `HeelRaise`: a capital, then letters and digits (FHIR's rule cnl-0)."""
    words = "".join(word.capitalize() for word in re.split(r"[^A-Za-z0-9]+", id) if word)
    return (words if words[:1].isalpha() else f"X{words}")[:250].ljust(2, "X")


def address(library: Library, kind: str, id: str) -> str:
    """The canonical address of a resource: below the site's, else a URN made from the names."""
    return _address(library.settings.site.url, library.settings.name, kind, id)


@lru_cache(maxsize=4096)
def _address(site: str | None, library: str, kind: str, id: str) -> str:
    """Of an exercise it is asked for by each of its neighbours."""
    if site:
        return f"{site.rstrip('/')}/fhir/{kind}/{resource_id(id)}"
    return f"urn:uuid:{uuid.uuid5(uuid.NAMESPACE_URL, f'rungbook/{library}/{kind}/{id}')}"


def canonical(library: Library, kind: str, id: str, version: str | None) -> str:
    """The address with the version it was at."""
    at = address(library, kind, id)
    return f"{at}|{version}" if version else at

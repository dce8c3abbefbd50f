"""Text files become records that know where each of their values was written.

The way of a file: `folder` lists it, `raw` opens it, `front_matter` decodes and cuts it,
`yaml_values` makes plain values of it, `variations` lays them on what they vary, `shape` holds
them against the models, `names`, `contradictions` and `references` against the body, each other
and the rest of the library; `read` does all of it.

Decisions that bind here:

- Values are built from the C parser's events by a builder of our own: YAML 1.2's core scalars,
  doubled keys, limits. No places are kept; `places` reads a front matter again when one is asked.
- Nothing stops at the first fault. What is left of a record without its faulty keys is checked
  further, so that all its faults are told at once; the record itself is left out.
- No fault cascades: what a faulty file defines is known, and a fault that variations inherit is
  told once, where it was written.
- Messages say what was expected and what to do. They never repeat markup or control characters.
"""

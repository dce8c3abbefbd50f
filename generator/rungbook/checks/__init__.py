"""One file a check, found by listing this folder: nothing else needs to know of it.

A check is a module `<name_with_underscores>.py` with

- a docstring: one line that names the fault; why it matters; a paragraph that begins with
  "Mend"; then `Fails:` and `Passes:`, each a small library that a test runs;
- `name` and `level` (error, warning or note);
- `check(measured)` or `check(measured, today)`, which yields findings. A finding that belongs to
  another level than the check's own says so itself. Names without a `check` function are
  reported by reading.

The small libraries are indented by four spaces. A line `[exercises/calf/low.md]` begins a file,
front matter follows, and after a line `---` the text; files that an example does not need are
left out.
"""

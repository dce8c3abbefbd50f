"""Levers, the search for a series that fills a step, drafts as data.

Decisions that bind here:

- What fills a step is a *series*: one exercise, one lever, turned by degrees. A rung costs 1, and
  so does every change of lever, exercise or helper (`route`).
- The only source of step sizes is `ladder.steps`; by whom a step is judged is said once (`judge`).
- All candidates are computed in one batch (`levers`), so that the engine settles them together.
- Nothing is proposed that the library has no means for (`means`); what it lacks is computed too,
  so that a search that fails can say what would have helped (`blocking`).
- This room writes no files: drafts and edited files are bytes (`draft`, `front`); `pipeline.adding`
  tries them as a whole and writes all or none.
"""

"""Values in, SVG out: figures, curves, ladders' rails and charts, maps.

What binds here: a drawing has classes only (no looks, no scripts, nothing from outside), so that
one style sheet serves page, sheet and export; its ids begin with its own prefix; it has a title
and a description in words; the same values give the same bytes. `figure.exercise_figures`,
`curve.moment_curve`, `rail.rail` and `rung_chart.rung_chart` return SVG text; `maps.ladder_map` and
`maps.neighbourhood` return diagrams that `diagram.draw` turns into SVG, many at a time.
Trunk, legs and what works are drawn as computed. `posing` alone changes anything: hands and soles
lie on what they rest on, idle arms go where the text has them, the head stays above the floor.
"""

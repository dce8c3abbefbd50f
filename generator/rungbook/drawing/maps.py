"""Maps of progressions: a whole ladder, or one exercise among its neighbours, drawn upward.

A map is first a `Diagram` (dot text, and the same in words); `diagram.draw` turns many into SVG
at once. Titles never become dot syntax: nodes are numbered, and words are escaped for dot here
and for SVG by the engine.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import lru_cache

import graphviz  # type: ignore[import-untyped]

from rungbook.drawing import svg
from rungbook.drawing.diagram import Diagram
from rungbook.drawing.words import width_px, wrap
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.step import Step
from rungbook.ladder.words import TITLES, size_text

Href = Callable[[str], str]
Edge = tuple[str, str]

FONT_PX = 13
NODE_MARGIN_PX = 6
NODE_ROOM_PX = 150.0
MOST_CROSSING = 150  # ways beyond one to each exercise; more take minutes, and nobody follows them
MOST_ON_A_MAP = 80  # exercises; a map of more is no map to anybody
MOST_ABREAST = 3  # two hops away, on one side; more would not fit a phone
_GRAPH = {"rankdir": "BT", "nodesep": "0.22", "ranksep": "0.42", "margin": "0.05"}
_NODE = {"shape": "box", "fontname": "Arial", "fontsize": str(FONT_PX), "margin": "0.09,0.06",
         "height": "0.3", "width": "0.5"}  # fmt: skip
_EDGE = {"fontname": "Arial", "fontsize": "12", "arrowsize": "0.7"}


def step_words(
    step: Step, say: svg.Say = svg.as_written, accepted: Collection[Edge] = ()
) -> tuple[str, bool]:
    """A step's size in words, and whether it is too large and nobody has accepted it."""
    axis = (
        ""
        if step.worst in ("", "demand")
        else say(" in {axis}").format(axis=say(TITLES.get(step.worst, step.worst)))
    )
    if step.size <= 1 + 1e-6:
        return say("{size} of a step{axis}").format(size=size_text(step.size), axis=axis), False
    taken = (step.from_id, step.to_id) in accepted
    missing = say("{number} missing").format(number=max(1, step.missing))
    return say("{size} steps{axis}, {missing}").format(
        size=size_text(step.size), axis=axis, missing=say("accepted") if taken else missing
    ), not taken


def ladder_map(
    measured: MeasuredLibrary,
    ladder_id: str,
    *,
    href: Href,
    prefix: str | None = None,
    accepted: Collection[Edge] = (),
    say: svg.Say = svg.as_written,
) -> Diagram:
    """Every rung and every progression between rungs, easier at the bottom."""
    ladder = measured.ladders[ladder_id]
    rungs = [rung for rung in ladder.rungs if rung in measured.library.exercises]
    steps = {(step.from_id, step.to_id): step for step in ladder.steps}
    entries: dict[str, list[str]] = {}
    for level, entry in ladder.ladder.entries.items():
        entries.setdefault(entry, []).append(say(level))
    marks = {
        rung: say("entry: {levels}").format(levels=", ".join(levels))
        for rung, levels in entries.items()
    }
    goal = ladder.ladder.goal
    marks[goal] = f"{marks[goal]}, {say('goal')}" if goal in marks else say("goal")
    edges = _edges(measured, rungs)
    dense = _too_dense(rungs, edges, say)
    return Diagram(
        dot=None if dense else
            _dot(measured, rungs, edges, steps, href, say, marks=marks,
                 entries=entries.keys(), goals={goal}, ladder=ladder_id, accepted=accepted),
        prefix=f"map-{prefix or ladder_id}",
        title=say("Map of the ladder: {title}").format(title=ladder.ladder.title),
        sentences=(*dense, *_sentences(measured, edges, steps, say, accepted)),
    )  # fmt: skip


def neighbourhood(
    measured: MeasuredLibrary,
    exercise_id: str,
    *,
    href: Href,
    hops: int = 2,
    prefix: str | None = None,
    accepted: Collection[Edge] = (),
    say: svg.Say = svg.as_written,
) -> Diagram | None:
    """One exercise with its easier ones below and its harder ones above, `hops` away at most.

    The second hop is left out where there would be too many; None where there is no neighbour.
    """
    nodes = _around(measured, exercise_id, hops)
    if len(nodes) < 2:
        return None
    edges = _edges(measured, nodes)
    steps = {edge: measured.judged[edge][0] for edge in edges if edge in measured.judged}
    title = measured.library.exercises[exercise_id].title
    dense = _too_dense(nodes, edges, say)
    return Diagram(
        dot=None if dense else
            _dot(measured, nodes, edges, steps, href, say, here=exercise_id, accepted=accepted),
        prefix=f"near-{prefix or exercise_id}",
        title=say("Easier and harder than: {title}").format(title=title),
        sentences=(*dense, *_sentences(measured, edges, steps, say, accepted)),
    )  # fmt: skip


def whole_map(
    measured: MeasuredLibrary,
    name: str,
    title: str,
    exercises: Sequence[str],
    *,
    href: Href,
    accepted: Collection[Edge] = (),
    say: svg.Say = svg.as_written,
) -> Diagram | None:
    """All these exercises and every progression between them, whatever ladder it is on.

    Exercises without a progression here are left out; None where nothing is left.
    """
    edges = _edges(measured, exercises)
    nodes = [one for one in exercises if any(one in edge for edge in edges)]
    if not nodes:
        return None
    steps = {edge: measured.judged[edge][0] for edge in edges if edge in measured.judged}
    dense = _too_dense(nodes, edges, say)
    many = len(nodes) > MOST_ON_A_MAP
    return Diagram(
        dot=None if dense or many else
            _dot(measured, nodes, edges, steps, href, say, accepted=accepted),
        prefix=f"all-{name}",
        title=say("Every progression: {title}").format(title=title),
        sentences=(*dense, *_sentences(measured, edges, steps, say, accepted)),
    )  # fmt: skip


def _too_dense(nodes: Sequence[str], edges: Sequence[Edge], say: svg.Say) -> tuple[str, ...]:
    """Why there is no drawing; nothing where there is one."""
    if len(edges) - len(nodes) <= MOST_CROSSING:
        return ()
    words = say(
        "Not drawn: {edges} progressions between {nodes} exercises are more than a map can show."
    )
    return (words.format(edges=len(edges), nodes=len(nodes)),)


def _around(measured: MeasuredLibrary, centre: str, hops: int) -> list[str]:
    graph, known = measured.graph, measured.library.exercises
    below, above, found = [centre], [centre], [centre]
    for hop in range(min(hops, 2)):
        below = sorted({p for node in below for p in graph.pred.get(node, ()) if p in known})
        above = sorted({s for node in above for s in graph.succ.get(node, ()) if s in known})
        more = [node for node in dict.fromkeys(below + above) if node not in found]
        if hop and max(len(below), len(above)) > MOST_ABREAST:
            break
        found += more
    return found


def _edges(measured: MeasuredLibrary, nodes: Iterable[str]) -> list[Edge]:
    order = {node: i for i, node in enumerate(nodes)}
    return [
        (easier, harder)
        for easier in order
        for harder in sorted(measured.graph.succ.get(easier, ()), key=lambda n: order.get(n, -1))
        if harder in order and harder != easier
    ]


def _dot(
    measured: MeasuredLibrary,
    nodes: Sequence[str],
    edges: Sequence[Edge],
    steps: Mapping[Edge, Step],
    href: Href,
    say: svg.Say,
    *,
    marks: Mapping[str, str] | None = None,
    entries: Collection[str] = (),
    goals: Collection[str] = (),
    here: str | None = None,
    ladder: str | None = None,
    accepted: Collection[Edge] = (),
) -> str:
    """Dot text. An entry has round corners, the goal a double outline, and both say so in words."""
    text = [_HEAD]
    names = {node: f"n{i}" for i, node in enumerate(nodes)}
    for node, name in names.items():
        lines = [*wrap(measured.library.exercises[node].title, FONT_PX, NODE_ROOM_PX)]
        load = measured.loads.get(node)
        if load is not None and load.demands:
            demand_nm = measured.demand_on(ladder, node) if ladder else load.demand_nm
            lines.append(f"{demand_nm:.3g} N·m")
        if marks and node in marks:
            lines += wrap(marks[node], FONT_PX, NODE_ROOM_PX)
        css = "map-node"
        # The engine measures in a font that a reader's system may not have.
        widest = max(width_px(line, FONT_PX) for line in lines)
        extra = {"width": f"{(widest + 2 * NODE_MARGIN_PX) / 72:.2f}"}
        if node in entries:
            css, extra["style"] = css + " map-entry", "rounded"
        if node in goals:
            css, extra["peripheries"] = css + " map-goal", "2"
        if node == here:
            css, extra["peripheries"] = css + " map-here", "2"
        else:
            extra["href"] = _words([href(node)])
        text.append(f"\t{name} {_attributes({'class': css, **extra}, _words(lines))}")
    for easier, harder in edges:
        words, too_large = _edge_words(steps.get((easier, harder)), say, accepted)
        css = "map-edge map-too-large" if too_large else "map-edge"
        style = {"style": "dashed"} if too_large else {}
        lines = [f" {line} " for part in words.split(", ") for line in wrap(part, 12, 120) if words]
        ends = f"{names[easier]} -> {names[harder]}"
        text.append(f"\t{ends} {_attributes({'class': css, **style}, _words(lines))}")
    return "\n".join([*text, "}", ""])


@lru_cache(maxsize=1 << 12)
def _quoted(word: str) -> str:
    text: str = graphviz.quoting.quote(graphviz.nohtml(word))
    return text


def _attributes(values: Mapping[str, str], label: str | None = None) -> str:
    """A bracket of attributes, the label first; the others are few and come again and again."""
    first = [] if label is None else [f"label={graphviz.quoting.quote(label)}"]
    others = [f"{name}={_quoted(values[name])}" for name in sorted(values)]
    return f"[{' '.join([*first, *others])}]"


_HEAD = "\n".join(
    ["digraph map {"]
    + [
        f"\t{kind} {_attributes(values)}"
        for kind, values in (("graph", _GRAPH), ("node", _NODE), ("edge", _EDGE))
    ]
)


def _edge_words(step: Step | None, say: svg.Say, accepted: Collection[Edge]) -> tuple[str, bool]:
    if step is None:
        return "", False
    words, too_large = step_words(step, say, accepted)
    return (words, too_large) if step.size > 1 + 1e-6 else (f"{step.size:.1f}", False)


def _words(lines: Iterable[str]) -> str:
    """Lines as a dot label: no entity, no backslash sequence and no markup keeps its meaning."""
    safe = [
        svg.FORBIDDEN.sub("", line).replace("&", "&amp;").replace("\\", "\\\\").replace("\n", " ")
        for line in lines
    ]
    return graphviz.nohtml("\\n".join(safe))  # type: ignore[no-any-return]


def _sentences(
    measured: MeasuredLibrary,
    edges: Iterable[Edge],
    steps: Mapping[Edge, Step],
    say: svg.Say,
    accepted: Collection[Edge],
) -> list[str]:
    titles = measured.library.exercises
    out = []
    for easier, harder in edges:
        step = steps.get((easier, harder))
        size = f": {step_words(step, say, accepted)[0]}" if step is not None else ""
        out.append(
            say("From {easier} to {harder}{size}.").format(
                easier=titles[easier].title, harder=titles[harder].title, size=size
            )
        )
    return out

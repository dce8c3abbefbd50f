"""Maps: dot text that nothing can break out of, one engine for many, our own SVG around."""

from __future__ import annotations

import networkx as nx
import pytest

from builders.drawings import faults, tree, with_class, words
from builders.drawn_ladders import measured_ladder
from rungbook.drawing.diagram import draw
from rungbook.drawing.engine import NoEngine, find_engine, render
from rungbook.drawing.maps import ladder_map, neighbourhood

HOSTILE = [
    '"]; evil [URL="javascript:alert(1)"]; x [label="',
    "<b>bold</b>",
    "&lt;script&gt; &amp; &#65;",
    "back\\slash \\N \\G",
    "</text><script>alert(1)</script>",
    "line\nbreak \x00 \x1b[31m",
]
RUNGS = [("Press", 4.0), ("Roll", 6.0), ("Chair", 32.0), ("Squat", 40.0)]
EDGES = [(0, 1), (1, 2), (1, 3), (2, 3)]


def href(exercise: str) -> str:
    return f"../exercises/{exercise}.html"


def drawing_of(diagram) -> str:  # type: ignore[no-untyped-def]
    result = draw([diagram])
    assert result.drawings is not None, result.reason
    return result.drawings[0]


def test_a_map_is_well_formed_and_has_classes_only() -> None:
    drawing = drawing_of(ladder_map(measured_ladder(RUNGS, edges=EDGES), "knee", href=href))
    assert faults(drawing) == []
    assert not drawing.startswith("<?xml") and "DOCTYPE" not in drawing


@pytest.mark.parametrize("title", HOSTILE)
def test_a_hostile_title_comes_out_as_words(title: str) -> None:
    measured = measured_ladder([(title, 3.0), ("b", 4.0)])
    drawing = drawing_of(ladder_map(measured, "knee", href=href))
    assert faults(drawing) == []
    root = tree(drawing)
    assert len(with_class(root, "map-node")) == 2
    seen = words(root).replace(" ", "")
    expected = "".join(c for c in title if c.isprintable() and c != " ")
    assert expected[:12] in seen.replace("\N{NO-BREAK SPACE}", "")


@pytest.mark.parametrize("title", HOSTILE)
def test_dot_text_reads_back_as_the_same_graph(title: str) -> None:
    """pydot parses the text independently: same nodes, same edges."""
    pydot = pytest.importorskip("pydot")
    measured = measured_ladder([(title, 4.0), *RUNGS[1:]], edges=EDGES)
    parsed = pydot.graph_from_dot_data(ladder_map(measured, "knee", href=href).dot)[0]
    graph = nx.DiGraph(nx.nx_pydot.from_pydot(parsed))
    graph.remove_nodes_from([n for n in graph if not n.startswith("n") or not n[1:].isdigit()])
    assert set(graph.edges) == {(f"n{a}", f"n{b}") for a, b in EDGES}


def test_easier_is_at_the_bottom() -> None:
    root = tree(drawing_of(ladder_map(measured_ladder(RUNGS, edges=EDGES), "knee", href=href)))
    y = {}
    for node in with_class(root, "map-node"):
        text = next(t for t in node.iter() if t.tag.endswith("}text"))
        y[text.text] = float(text.get("y", ""))
    assert y["Press"] > y["Roll"] > y["Chair"] > y["Squat"]


def test_nodes_are_links_without_target() -> None:
    drawing = drawing_of(ladder_map(measured_ladder(RUNGS), "knee", href=href))
    links = [e.get("href") for e in tree(drawing).iter() if e.tag.endswith("}a")]
    assert sorted(links) == [href(f"rung-{i}") for i in range(4)]


def test_step_sizes_are_on_the_edges_and_too_large_ones_in_words() -> None:
    root = tree(drawing_of(ladder_map(measured_ladder(RUNGS), "knee", href=href)))
    assert len(with_class(root, "map-edge")) == 3
    large = with_class(root, "map-too-large")
    assert len(large) == 1
    assert " ".join(t.text or "" for t in large[0].iter() if t.tag.endswith("}text")).split() == (
        ["2.6", "steps", "2", "missing"]
    )


def test_entries_and_goal_differ_in_shape_and_say_so() -> None:
    root = tree(drawing_of(ladder_map(measured_ladder(RUNGS), "knee", href=href)))
    assert len(with_class(root, "map-entry")) == 2 and len(with_class(root, "map-goal")) == 1
    assert "entry: high" in words(root) and "goal" in words(root)
    outline = [e for e in with_class(root, "map-goal")[0].iter() if e.get("d") or e.get("points")]
    assert len(outline) == 2


def test_a_neighbourhood_reaches_two_hops_at_most() -> None:
    measured = measured_ladder([(f"e{i}", 10.0 + i) for i in range(9)])
    diagram = neighbourhood(measured, "rung-4", href=href)
    assert diagram is not None
    root = tree(drawing_of(diagram))
    seen = {t.text for t in root.iter() if t.tag.endswith("}text")}
    assert {"e2", "e3", "e4", "e5", "e6"} <= seen and not {"e1", "e7"} & seen
    assert len(with_class(root, "map-here")) == 1
    assert neighbourhood(measured_ladder([("alone", 1.0)]), "rung-0", href=href) is None


def test_a_batch_equals_one_by_one() -> None:
    measured = measured_ladder(
        [(f"Exercise {i}", 4.0 + i) for i in range(230)], edges=[(i, i + 1) for i in range(229)]
    )
    diagrams = [neighbourhood(measured, f"rung-{i}", href=href) for i in range(230)]
    together = draw([d for d in diagrams if d is not None]).drawings
    assert together is not None and len(together) == 230
    for i in (0, 99, 100, 229):
        assert together[i] == drawing_of(diagrams[i])


def test_diagrams_of_one_page_share_no_id() -> None:
    measured = measured_ladder(RUNGS)
    drawn = draw(
        [
            ladder_map(measured, "knee", href=href),
            ladder_map(measured, "knee", href=href, prefix="b"),
        ]
    )
    assert drawn.drawings is not None
    ids = [e.get("id") for d in drawn.drawings for e in tree(d).iter() if e.get("id")]
    assert len(ids) == len(set(ids)) and len(ids) > 10


def test_the_same_in_sentences() -> None:
    diagram = ladder_map(measured_ladder(RUNGS), "knee", href=href)
    assert diagram.sentences[0] == "From Press to Roll: 0.2 of a step."
    assert diagram.sentences[1] == "From Roll to Chair: 2.6 steps, 2 missing."


def test_without_an_engine_there_is_a_reason_instead_of_a_drawing() -> None:
    drawn = draw([ladder_map(measured_ladder(RUNGS), "knee", href=href)], "dot-99.9")
    assert drawn.drawings is None
    assert "'dot-99.9' is not installed" in drawn.reason


@pytest.mark.parametrize(
    "name",
    ["sh", "../dot", "/usr/bin/dot", "dot;ls", "", "python3", "dotnet", "dotlockfile", "DOT"],
)
def test_a_library_cannot_name_any_program(name: str) -> None:
    with pytest.raises(NoEngine, match="not the name of a Graphviz command"):
        find_engine(name)


def test_a_graph_the_engine_cannot_read_is_a_reason() -> None:
    with pytest.raises(NoEngine, match=r"could not draw: .*syntax error in line"):
        render(["digraph a {b}", "this is no dot {"])


def test_a_map_that_nobody_could_follow_is_words_and_leaves_the_others_drawn() -> None:
    dense = measured_ladder(
        [(f"Exercise {i}", 4.0 + i) for i in range(20)],
        edges=[(i, j) for i in range(20) for j in range(i + 1, 20)],
    )
    diagrams = [
        ladder_map(dense, "knee", href=href),
        ladder_map(measured_ladder(RUNGS), "knee", href=href),
    ]
    assert diagrams[0].sentences[0] == (
        "Not drawn: 190 progressions between 20 exercises are more than a map can show."
    )
    drawn = draw(diagrams).drawings
    assert drawn is not None
    assert drawn[0] == "" and drawn[1].startswith("<svg")
    assert drawn[1] == drawing_of(diagrams[1])

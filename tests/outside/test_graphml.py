"""Graphs read back by independent readers: networkx, pydot, Graphviz; CSV by `csv`."""

from __future__ import annotations

import csv
import io
from typing import Any
from xml.etree import ElementTree

import networkx as nx
import pydot
import pytest

from builders.exports import AWKWARD, DEMO, awkward_library, measured_library
from rungbook.drawing.engine import render
from rungbook.exporting.dot import dot
from rungbook.exporting.exercise_table import exercise_table
from rungbook.exporting.graph_values import plain_graph
from rungbook.exporting.graphml import graphml
from rungbook.ladder.measured import MeasuredLibrary


@pytest.fixture(scope="module", params=["demo", "awkward"])
def measured(request: Any, tmp_path_factory: pytest.TempPathFactory) -> MeasuredLibrary:
    if request.param == "demo":
        return measured_library(DEMO)
    return awkward_library(tmp_path_factory.mktemp("library"))


def test_networkx_reads_the_same_graph_from_graphml(measured: MeasuredLibrary) -> None:
    read, graph = nx.parse_graphml(graphml(measured)), plain_graph(measured)
    assert read.is_directed()
    assert read.graph["name"] == measured.library.settings.name
    assert dict(read.nodes(data=True)) == dict(graph.nodes(data=True))
    assert list(read.edges(data=True)) == list(graph.edges(data=True))
    assert set(read.nodes) == set(measured.library.exercises)
    assert set(read.edges) == set(measured.graph.edges)


def test_graphml_declares_every_key_it_uses(measured: MeasuredLibrary) -> None:
    """GraphML primer: every data element refers to a key declared for its kind of element."""
    root = ElementTree.fromstring(graphml(measured).encode())
    name = "{http://graphml.graphdrawing.org/xmlns}"
    declared = {(key.get("for"), key.get("id")) for key in root.iter(f"{name}key")}
    assert len(declared) == len(list(root.iter(f"{name}key")))
    for kind in ("node", "edge", "graph"):
        for element in root.iter(f"{name}{kind}"):
            used = {(kind, data.get("key")) for data in element.findall(f"{name}data")}
            assert used <= declared


def test_a_step_has_its_size_on_every_axis(measured: MeasuredLibrary) -> None:
    read = nx.parse_graphml(graphml(measured))
    for edge, step in measured.steps.items():
        assert read.edges[edge]["size"] == pytest.approx(step.size, abs=1e-6)
        sizes = {n.removeprefix("size_") for n in read.edges[edge] if n.startswith("size_")}
        assert sizes == set(step.axes)


def unquoted(text: str) -> str:
    return text.strip('"').replace('\\"', '"').replace("\\\\", "\\")


def test_pydot_reads_the_same_graph_from_dot(measured: MeasuredLibrary) -> None:
    (read,) = pydot.graph_from_dot_data(dot(measured))
    assert read.get_type() == "digraph"
    titles = {
        unquoted(node.get_name()): unquoted(node.get("title"))
        for node in read.get_nodes()
        if node.get("title")
    }
    assert titles == {id: one.title for id, one in measured.library.exercises.items()}
    edges = {(unquoted(e.get_source()), unquoted(e.get_destination())) for e in read.get_edges()}
    assert edges == set(measured.graph.edges)


def test_graphviz_draws_the_dot(measured: MeasuredLibrary) -> None:
    (svg,) = render([dot(measured)])
    drawn = ElementTree.fromstring(svg)
    groups = [e.get("class") for e in drawn.iter("{http://www.w3.org/2000/svg}g")]
    assert groups.count("node") == len(measured.library.exercises)
    assert groups.count("edge") == measured.graph.number_of_edges()


def test_the_standard_reader_reads_every_cell(measured: MeasuredLibrary) -> None:
    rows = list(csv.DictReader(io.StringIO(exercise_table(measured), newline=""), strict=True))
    assert [row["id"] for row in rows] == list(measured.library.exercises)
    assert all(None not in row and None not in row.values() for row in rows)


def test_no_cell_can_run_as_a_formula(measured: MeasuredLibrary) -> None:
    """OWASP, CSV Injection (from memory): no cell begins with = + - @, tab or line break."""
    for row in csv.reader(io.StringIO(exercise_table(measured), newline="")):
        for text in row:
            if text[:1] in ("=", "+", "-", "@", "\t", "\r", "\n"):
                float(text)  # a plain number, which runs nothing


def test_awkward_words_survive_every_format(tmp_path: Any) -> None:
    measured = awkward_library(tmp_path)
    rows = csv.DictReader(io.StringIO(exercise_table(measured), newline=""))
    assert next(row for row in rows if row["id"] == "easy")["title"] == AWKWARD
    assert nx.parse_graphml(graphml(measured)).nodes["easy"]["title"] == AWKWARD
    (read,) = pydot.graph_from_dot_data(dot(measured))
    assert unquoted(read.get_node('"easy"')[0].get("title")) == AWKWARD

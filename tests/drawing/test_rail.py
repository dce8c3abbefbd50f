"""The rail of a ladder: every way runs from its rung to its rung, and none through another."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from builders.drawings import tree, with_class
from rungbook.drawing.rail import Row, lanes_of, rail, rail_rows


def test_one_way_is_one_line() -> None:
    rows = rail_rows("abc", [("a", "b"), ("b", "c")])
    assert rows == [Row(0, (), (), (0,)), Row(0, (), (0,), (0,)), Row(0, (), (0,), ())]
    assert lanes_of(rows) == 1


def test_a_way_that_passes_a_rung_has_a_lane_of_its_own() -> None:
    rows = rail_rows("abc", [("a", "b"), ("b", "c"), ("a", "c")])
    assert rows[1].passing and rows[1].lane not in {lane for lane, _ in rows[1].passing}
    assert set(rows[2].below) == {rows[1].above[0], rows[1].passing[0][0]}


@given(st.sets(st.tuples(st.integers(0, 8), st.integers(0, 8)), max_size=14))
def test_every_edge_upward_leaves_and_arrives_once(pairs: set[tuple[int, int]]) -> None:
    rungs = [str(number) for number in range(9)]
    edges = [(str(a), str(b)) for a, b in pairs]
    rows = rail_rows(rungs, edges)
    upward = [(a, b) for a, b in pairs if a < b]
    assert [len(row.above) for row in rows] == [sum(a == i for a, _ in upward) for i in range(9)]
    assert [len(row.below) for row in rows] == [sum(b == i for _, b in upward) for i in range(9)]
    for row in rows:
        lanes = [*(lane for lane, _ in row.passing), *row.above]
        assert len(lanes) == len(set(lanes))
        assert row.lane not in {lane for lane, _ in row.passing}


def test_a_row_draws_its_node_and_lines() -> None:
    (row, *_), lanes = rail_rows("ab", [("a", "b")]), 1
    drawing = tree(rail(row, lanes).replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1))
    assert len(with_class(drawing, "rail-node")) == 1
    assert with_class(drawing, "rail-line")[0].get("d") == "M9,50L9,0"

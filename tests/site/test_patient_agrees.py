"""`For this patient`: the browser's numbers are the engine's, as far as nine digits tell."""

from __future__ import annotations

import itertools
import pathlib
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from rungbook.ladder.measure import measure
from rungbook.load.compute import compute_loads
from rungbook.load.person import Person
from rungbook.load.result import ExerciseLoad
from rungbook.model.movement import Action
from rungbook.pipeline.analyse import Analysis

if TYPE_CHECKING:
    from playwright.sync_api import Browser

# A grid that reaches the ends the model allows: 20 to 350 kg, 0.9 to 2.5 m.
GRID = tuple(itertools.product((24.0, 52.0, 180.0), (1.10, 1.63)))
TABLES = ("female", "male")
# Coefficients are told with nine digits; a moment is a sum of two products of them.
TOLD = 1e-8
DEGREES = 1e-6

RESCALE = """async ([ids, people, capacities]) => {
  const out = [];
  for (const id of ids) {
    const data = await rungbook.load("exercise/" + id);
    for (const [mass, stature, body] of people) {
      if (!data.scaling) { out.push(null); continue; }
      const found = rungbook.scaling.load(data.scaling, { mass, stature, body }, new Map(capacities));
      out.push({ withheld: found.withheld, bearing: found.bearing, volume: found.volume, inertial: found.inertial,
        demands: found.demands.map((d) => [d.works, d.peak, d.peakAt, d.perMass, d.mean, d.impulse,
          d.contraction, d.curve, d.angles, d.capacity, d.basis]) });
    }
  }
  return out;
}"""


def _agree(load: ExerciseLoad, shown: dict[str, Any] | None) -> None:
    where = f"{load.id} for {load.person}"
    if shown is None:
        assert not load.demands, where
        return
    assert (load.withheld is None) == (shown["withheld"] is None), where
    assert [str(d.works) for d in load.demands.values()] == [d[0] for d in shown["demands"]], where
    for demand, (_, peak, at, per_mass, mean, impulse, shares, curve, angles, share, basis) in zip(
        load.demands.values(), shown["demands"], strict=True
    ):
        # What a peak of nothing is compared with: a little of the largest moment there is.
        size = max(float(np.abs(demand.curve_nm).max()), 1e-3)
        assert peak == pytest.approx(demand.peak_nm, rel=TOLD, abs=TOLD * size), where
        if at != pytest.approx(demand.peak_at_deg, abs=DEGREES):  # a tie: the same moment there
            tied = int(np.argmin(np.abs(demand.angle_deg - at)))
            assert demand.curve_nm[tied] == pytest.approx(demand.curve_nm.max(), abs=TOLD * size)
        assert per_mass == pytest.approx(demand.per_mass_nm_kg, rel=TOLD, abs=TOLD), where
        assert mean == pytest.approx(demand.mean_nm, rel=TOLD, abs=TOLD * size), where
        assert impulse == pytest.approx(
            demand.impulse_per_rep_nms, rel=TOLD, abs=10 * TOLD * size
        ), where
        assert shares == pytest.approx(list(demand.contraction.values()), abs=DEGREES), where
        assert curve == pytest.approx(demand.curve_nm.tolist(), rel=TOLD, abs=TOLD * size), where
        assert angles == pytest.approx(demand.angle_deg.tolist(), abs=DEGREES), where
        assert basis == demand.basis, where
        assert (share is None) == (demand.capacity_share is None), where
        if share is not None:
            assert share == pytest.approx(demand.capacity_share, rel=TOLD, abs=TOLD), where
    if load.demands:
        assert shown["bearing"] == pytest.approx(load.bearing, rel=TOLD, abs=TOLD), where
        assert shown["volume"] == pytest.approx(load.volume_nms, rel=TOLD, abs=1e-6), where
        assert shown["inertial"] == pytest.approx(load.inertial_share, rel=TOLD, abs=TOLD), where


@pytest.mark.parametrize("body", TABLES)
def test_every_demo_exercise_over_masses_and_statures(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path, body: str
) -> None:
    """Peak, angle, mean, impulse, contraction, curve, bearing, volume, inertia: all of them."""
    library = demo.measured.library
    ids = list(library.exercises)
    people = [[mass, stature, body] for mass, stature in GRID]
    page = browser.new_page()
    page.goto((demo_site / "route.html").as_uri())
    shown = page.evaluate(RESCALE, [ids, people, []])
    for number, (mass, stature) in enumerate(GRID):
        loads = compute_loads(library.exercises.values(), library, Person(mass, stature, body))
        for place, key in enumerate(ids):
            _agree(loads[key], shown[place * len(people) + number])


def test_a_measured_maximum_gives_shares_and_efforts(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """With a maximum for every action, shares appear and efforts get a moment."""
    library = demo.measured.library
    actions = {action for e in library.exercises.values() for action in e.works}
    capacities: dict[Action, float] = {a: 40.0 + 7 * n for n, a in enumerate(sorted(actions))}
    page = browser.new_page()
    page.goto((demo_site / "route.html").as_uri())
    given = [[str(action), value] for action, value in capacities.items()]
    shown = page.evaluate(RESCALE, [list(library.exercises), [[52.0, 1.63, "female"]], given])
    loads = compute_loads(
        library.exercises.values(), library, Person(52.0, 1.63, "female"), capacities
    )
    for load, one in zip(loads.values(), shown, strict=True):
        _agree(load, one)
    assert (
        sum(d.capacity_share is not None for x in loads.values() for d in x.demands.values()) > 30
    )


JOINTS = """async ([ids, people]) => {
  const out = [];
  for (const id of ids) {
    const data = await rungbook.load("exercise/" + id);
    const joints = await rungbook.load("joints/" + id).catch(() => null);
    for (const [mass, stature, body] of people) {
      const person = { mass, stature, body };
      const shown = data.scaling && joints && rungbook.scaling.load(data.scaling, person).shown.way;
      out.push(shown ? rungbook.scaling.jointPeaks(joints, shown, person).map((one) => [one.name, one.peak, one.ends]) : []);
    }
  }
  return out;
}"""


@pytest.mark.parametrize("body", TABLES)
def test_every_joint_that_carries_something(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path, body: str
) -> None:
    """Peak moment and ends of the angle at each joint axis of each demo exercise."""
    library = demo.measured.library
    ids = list(library.exercises)
    grid = (*GRID, (350.0, 2.5))
    people = [[mass, stature, body] for mass, stature in grid]
    page = browser.new_page()
    page.goto((demo_site / "route.html").as_uri())
    shown = page.evaluate(JOINTS, [ids, people])
    compared = 0
    for number, (mass, stature) in enumerate(grid):
        person = Person(mass, stature, body)
        loads = compute_loads(library.exercises.values(), library, person)
        for place, key in enumerate(ids):
            found = {name: (peak, ends) for name, peak, ends in shown[place * len(people) + number]}
            assert set(found) <= set(loads[key].joints)
            if library.exercises[key].numberless:  # its angles are judged, no moment is claimed
                assert found == {}
                continue
            for name, curve in loads[key].joints.items():
                wanted = float(np.abs(curve.moment_nm).max())
                if wanted < 0.5:  # the table leaves it out
                    assert found.get(name, (0.0,))[0] < 0.5 + 1e-9
                    continue
                where = f"{name} of {key} for {person}"
                peak, ends = found[name]
                # A difference of greater ones may be the smaller for it.
                assert peak == pytest.approx(wanted, rel=TOLD, abs=10 * TOLD), where
                assert ends == pytest.approx(curve.angle_deg[[0, -1]].tolist(), abs=DEGREES), where
                compared += 1
    assert compared > 3000


STEPS = """async (person) => {
  const library = await rungbook.load("library");
  const patient = { person, capacity: null, arc: null };
  return Promise.all(library.ladders.map(async (ladder) => {
    const ids = rungbook.patientSteps.neededFor(ladder);
    const found = await Promise.all(ids.map((id) => rungbook.load("exercise/" + id)));
    const records = new Map(ids.map((id, i) => [id, found[i]]));
    const judge = rungbook.patientSteps.rulerFor(ladder, records, patient, library);
    return [ladder.id, ladder.rungs.map((id) => rungbook.patientSteps.heightOf(judge, id)),
      ladder.steps.map(([a, b]) => {
        const ends = [records.get(ladder.rungs[a]), records.get(ladder.rungs[b])];
        const step = rungbook.patientSteps.stepFor(...ends, judge, library, patient);
        const demand = step.axes.get("demand");
        return [step.size, demand ? [demand.works, demand.prepared, demand.size] : null];
      })];
  }));
}"""


@pytest.mark.parametrize("person", [Person(52, 1.60, "female"), Person(104, 1.88, "male")])
def test_every_step_of_every_demo_ladder_on_the_patients_own_scale(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path, person: Person
) -> None:
    """Heights, the action that counts, what the way has prepared: for the person in the room."""
    library = demo.measured.library
    loads = compute_loads(library.exercises.values(), library, person)
    measured = measure(library, loads)
    page = browser.new_page()
    page.goto((demo_site / "route.html").as_uri())
    shown = page.evaluate(
        STEPS, {"mass": person.mass_kg, "stature": person.stature_m, "body": person.body}
    )
    compared = 0
    for id, heights, steps in shown:
        ladder = measured.ladders[id]
        own = {"rel": 1e-5, "abs": 1e-6}  # profiles are rounded to six decimals
        for rung, height in zip(ladder.rungs, heights, strict=True):
            wanted = ladder.height(rung)
            assert height == (None if wanted is None else pytest.approx(wanted, **own)), (id, rung)
        for step, (size, demand) in zip(ladder.steps, steps, strict=True):
            where = f"{step.from_id} to {step.to_id} on {id}"
            axis = step.axes.get("demand")
            if axis is None:
                assert demand is None, where
                continue
            assert size == pytest.approx(step.size, **own), where
            assert demand[2] == pytest.approx(axis.size, **own), where
            if axis.size:
                assert demand[0] == axis.works, where
                assert demand[1] == pytest.approx(axis.prepared, **own), where
            compared += 1
    assert compared > 80

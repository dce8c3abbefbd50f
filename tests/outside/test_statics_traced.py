"""The loads of the demo again from their trace alone: by a multi-body engine and a conic solver.

MuJoCo (mj_inverse at rest, a hinge for each axis) gives the moments; clarabel the forces of the
contacts, as a cone program of its own making: nothing here comes from the engine but the trace.
"""

from __future__ import annotations

import pathlib
from typing import Any

import numpy as np
import pytest

from builders.traces import Phase, forces, phases, trace
from rungbook.load.person import reference_person
from rungbook.reading.read import read_library

clarabel: Any = pytest.importorskip("clarabel", reason="pip install clarabel")
mujoco: Any = pytest.importorskip("mujoco", reason="pip install mujoco")
sparse: Any = pytest.importorskip("scipy.sparse", reason="pip install scipy")
DEMO = pathlib.Path(__file__).resolve().parents[2] / "library"
EVERY = 4  # phases: start, two between, end


@pytest.fixture(scope="module")
def demo() -> dict[str, Any]:
    library = read_library(DEMO)
    values = trace(library.exercises.values(), library, reference_person(library.settings))
    for exercise in values["exercises"]:
        for way in exercise["ways"]:
            way["phases"] = way["phases"][::EVERY]
    return values


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """MuJoCo writes its warnings into the current folder."""
    monkeypatch.chdir(tmp_path)


def beyond(values: dict[str, Any]) -> dict[str, set[str]]:
    """The segments that hang from each, itself among them."""
    parents = {one["name"]: one["parent"] for one in values["model"]["segments"]}
    found: dict[str, set[str]] = {name: set() for name in parents}
    for name in parents:
        above: str | None = name
        while above is not None:
            found[above].add(name)
            above = parents[above]
    return found


def engine_model(values: dict[str, Any], phase: Phase) -> Any:
    """The body as it stands in this phase, with hinges along the axes told."""
    parents = {one["name"]: one["parent"] for one in values["model"]["segments"]}
    place = {one["name"]: np.array(one["joint_m"]) for one in phase["segments"]}
    segment = {one["name"]: one for one in phase["segments"]}
    hinges: dict[str, list[tuple[int, list[float]]]] = {}
    for row, axis in enumerate(phase["axes"]):
        hinges.setdefault(axis["segment"], []).append((row, axis["axis"]))

    def body(name: str) -> str:
        parent = parents[name]
        at = place[name] - (place[parent] if parent is not None else 0.0)
        joints = (
            "<freejoint/>"
            if parent is None
            else "".join(
                f'<joint name="r{row}" type="hinge" axis="{text(axis)}"/>'
                for row, axis in hinges.get(name, ())
            )
        )
        one = segment[name]
        centre = np.array(one["centre_m"]) - place[name]
        inside = "".join(body(child) for child, above in parents.items() if above == name)
        return (
            f'<body name="{name}" pos="{text(at)}">{joints}<inertial pos="{text(centre)}" '
            f'mass="{max(one["mass_kg"], 1e-9)!r}" diaginertia="1e-3 1e-3 1e-3"/>{inside}</body>'
        )

    # Weights are among the forces told: what rests on the floor has none of its own.
    return mujoco.MjModel.from_xml_string(
        '<mujoco><compiler boundmass="0" boundinertia="0"/><option gravity="0 0 0"/>'
        f"<worldbody>{body('pelvis')}</worldbody></mujoco>"
    )


def text(values: Any) -> str:
    return " ".join(repr(float(value)) for value in values)


def engine_moments(values: dict[str, Any], phase: Phase) -> np.ndarray:
    model = engine_model(values, phase)
    data = mujoco.MjData(model)
    mujoco.mj_inverse(model, data)
    applied = np.zeros(model.nv)
    for name, at, force in forces(phase):
        body = mujoco.mj_name2id(model, mujoco.mjtObj.mjOBJ_BODY, name)
        mujoco.mj_applyFT(model, data, force, np.zeros(3), at, body, applied)
    needed = data.qfrc_inverse - applied
    rows = [
        mujoco.mj_name2id(model, mujoco.mjtObj.mjOBJ_JOINT, f"r{row}")
        for row in range(len(phase["axes"]))
    ]
    return np.array([needed[model.jnt_dofadr[row]] for row in rows])


def check_moments(values: dict[str, Any]) -> int:
    compared = 0
    for where, phase in phases(values):
        theirs = engine_moments(values, phase)
        for axis, moment in zip(phase["axes"], theirs, strict=True):
            if axis["solved"]:
                assert axis["moment_nm"] == pytest.approx(moment, abs=1e-6), (
                    f"{where} {axis['name']}"
                )
                compared += 1
    return compared


def test_every_moment_of_the_demo_follows_from_its_trace(demo: dict[str, Any]) -> None:
    # MuJoCo 3, mj_inverse with all forces told: agreement to 1e-6 N·m.
    assert check_moments(demo) > 7_000


class Program:
    """The contact forces of one phase as a program for clarabel: variables are body weights.

    Every corner has a size of nothing or more for each edge of its cone, or three free ones where
    it grips; every axis a moment for and a moment against, each with its own strength.
    """

    def __init__(self, values: dict[str, Any], phase: Phase) -> None:
        person, model = values["person"], values["model"]
        self.weight = person["mass_kg"] * model["gravity_m_s2"]
        self.phase, self.hanging = phase, beyond(values)
        self.height = person["stature_m"]
        self.shear, self.spread = model["shear"], model["spread"]
        self.corners = [
            (number, contact, corner)
            for number, contact in enumerate(phase["contacts"])
            for corner in contact["corners"]
        ]
        columns, self.owner, bounded = [], [], []
        for c, (_, _, corner) in enumerate(self.corners):
            edges = corner["edges"] or [corner["normal"], *corner["tangents"]]
            columns += edges
            self.owner += [c] * len(edges)
            bounded += [not corner["grip"]] * len(edges)
        self.edges = np.array(columns).T  # (3, n)
        self.bounded = np.array(bounded)
        self.places = np.array([corner["at_m"] for _, _, corner in self.corners])[self.owner]
        self.axes = [axis for axis in phase["axes"] if axis["solved"]]

    def moments_of(self, axis: dict[str, Any], kind: str) -> np.ndarray:
        """Of a unit of each variable, over body weight and stature."""
        joint = next(s["joint_m"] for s in self.phase["segments"] if s["name"] == axis["segment"])
        torque = np.cross(self.places - np.array(joint), self.edges.T) @ np.array(axis[kind])
        there = [self.corners[c][2]["segment"] in self.hanging[axis["segment"]] for c in self.owner]
        return -torque * np.array(there) / self.height

    def known_moment(self, axis: dict[str, Any], kind: str) -> float:
        joint = next(s["joint_m"] for s in self.phase["segments"] if s["name"] == axis["segment"])
        total = np.zeros(3)
        for force in self.phase["forces"]:
            if force["segment"] in self.hanging[axis["segment"]]:
                total += np.cross(np.array(force["at_m"]) - np.array(joint), force["force_n"])
        return -float(total @ np.array(axis[kind])) / (self.weight * self.height)

    def balance(self) -> tuple[np.ndarray, np.ndarray]:
        """Force and torque of a unit of each variable, and those of all else."""
        given = np.vstack([self.edges, np.cross(self.places, self.edges.T).T / self.height])
        known = np.zeros(6)
        for force in self.phase["forces"]:
            newtons, at = np.array(force["force_n"]), np.array(force["at_m"])
            known[:3] += newtons / self.weight
            known[3:] += np.cross(at, newtons) / (self.weight * self.height)
        rows, rest = [given], [known]
        for number, contact in enumerate(self.phase["contacts"]):
            if contact["share"] is not None:
                mine = np.array([self.corners[c][0] == number for c in self.owner])
                normals = np.array([self.corners[c][2]["normal"] for c in self.owner])
                rows.append((np.sum(normals * self.edges.T, axis=1) * mine)[None])
                rest.append(np.array([-contact["share"]]))
        return np.vstack(rows), np.concatenate(rest)

    def costs(self) -> tuple[np.ndarray, np.ndarray]:
        """Rows whose squares are shear and spread, over the variables."""
        rows = []
        for number, contact in enumerate(self.phase["contacts"]):
            mine = np.array(
                [self.corners[c][0] == number and len(self.corners[c][2]["edges"]) != 1
                 for c in self.owner]
            )  # fmt: skip
            first = contact["corners"][0]
            for tangent in first["tangents"]:
                rows.append(np.sqrt(self.shear) * (np.array(tangent) @ self.edges) * mine)
        for c, (_, _, corner) in enumerate(self.corners):
            mine = np.array(self.owner) == c
            rows += list(np.sqrt(self.spread) / corner["ease"] * self.edges * mine)
        return np.array(rows), np.zeros(0)

    def solve(self) -> tuple[np.ndarray, float]:
        """Forces (corners, 3) over body weight, and the objective."""
        count, axes = len(self.owner), len(self.axes)
        given, known = self.balance()
        rows, _ = self.costs()
        strong = np.array([axis["strength_nm"] for axis in self.axes]) / (self.weight * self.height)
        moves = np.array([self.moments_of(axis, "effort_axis") for axis in self.axes])
        still = np.array([self.known_moment(axis, "effort_axis") for axis in self.axes])
        # Moments in units of strength: M = S₊ x₊ - S₋ x₋, x ≥ 0.
        split = np.hstack([moves, -np.diag(strong[:, 0]), np.diag(strong[:, 1])])
        quadratic = np.zeros((count + 2 * axes,) * 2)
        quadratic[:count, :count] = rows.T @ rows
        quadratic[range(count, count + 2 * axes), range(count, count + 2 * axes)] = 1.0
        equal = np.vstack([np.hstack([given, np.zeros((len(given), 2 * axes))]), split])
        right = -np.concatenate([known, still])
        bounded = np.concatenate([self.bounded, np.ones(2 * axes, dtype=bool)])
        inequal = -np.eye(count + 2 * axes)[bounded]
        settings = clarabel.DefaultSettings()
        settings.verbose = False
        settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-12
        solver = clarabel.DefaultSolver(
            sparse.csc_matrix(np.triu(2 * quadratic)), np.zeros(count + 2 * axes),
            sparse.csc_matrix(np.vstack([equal, inequal])),
            np.concatenate([right, np.zeros(len(inequal))]),
            [clarabel.ZeroConeT(len(equal)), clarabel.NonnegativeConeT(len(inequal))], settings,
        )  # fmt: skip
        answer = np.array(solver.solve().x)
        per_edge = self.edges.T * answer[:count, None]
        found = np.zeros((len(self.corners), 3))
        np.add.at(found, self.owner, per_edge)
        return found, self.objective(found)

    def objective(self, found: np.ndarray) -> float:
        """Σ (moment / strength)² + shear + spread of forces (corners, 3) over body weight."""
        total = 0.0
        for axis in self.axes:
            joint = next(
                s["joint_m"] for s in self.phase["segments"] if s["name"] == axis["segment"]
            )
            moment = self.known_moment(axis, "effort_axis") * self.weight * self.height
            for (_, _, corner), force in zip(self.corners, found, strict=True):
                if corner["segment"] in self.hanging[axis["segment"]]:
                    arm = np.array(corner["at_m"]) - np.array(joint)
                    torque = np.cross(arm, force) @ np.array(axis["effort_axis"])
                    moment -= float(torque) * self.weight
            total += (moment / axis["strength_nm"][0 if moment > 0 else 1]) ** 2
        for number, contact in enumerate(self.phase["contacts"]):
            mine = [
                force
                for (n, _, corner), force in zip(self.corners, found, strict=True)
                if n == number and len(corner["edges"]) != 1
            ]
            for tangent in contact["corners"][0]["tangents"]:
                total += self.shear * sum(float(force @ np.array(tangent)) for force in mine) ** 2
        for (_, _, corner), force in zip(self.corners, found, strict=True):
            total += self.spread * float(force @ force) / corner["ease"] ** 2
        return total

    def told(self) -> np.ndarray:
        return np.array([corner["force_n"] for _, _, corner in self.corners]) / self.weight


def check_forces(values: dict[str, Any]) -> int:
    compared = 0
    for where, phase in phases(values):
        if phase["contacts"] and balanced(values, phase):
            program = Program(values, phase)
            theirs, least = program.solve()
            ours = program.told()
            assert program.objective(ours) == pytest.approx(least, rel=1e-8, abs=1e-10), where
            # On one leg the objective is nearly flat: two answers of the same effort lie as far
            # apart as this, of which nobody has told yet which is the nearer.
            assert ours == pytest.approx(theirs, abs=3e-4), where
            compared += 1
    return compared


def balanced(values: dict[str, Any], phase: Phase) -> bool:
    """Whether the forces told hold the body: else no program has an answer."""
    whole = np.sum([force for _, _, force in forces(phase)], axis=0)
    torque = np.sum([np.cross(at, force) for _, at, force in forces(phase)], axis=0)
    weight = values["person"]["mass_kg"] * values["model"]["gravity_m_s2"]
    return bool(max(np.abs(whole).max(), np.abs(torque).max()) < 1e-5 * weight)


def test_every_contact_force_of_the_demo_is_of_least_effort(demo: dict[str, Any]) -> None:
    # clarabel, an interior-point solver of conic programs (Goulart and Chen 2024).
    assert check_forces(demo) > 200

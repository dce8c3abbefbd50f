"""An exercise becomes postures, and postures become demand, dose and curves for a person.

In order: `angles` and `surfaces` read what is written, `resting` decides what carries the body
and which limbs are free, `posture` makes a posture to settle, `forces` the loads; `way_load`
solves many ways of exercises in one pass (`scene`, `applying`, `rests`, `standing`, `corners`,
`problems`, `solving`, `inertia`); `coefficients` rounds once what rescales a way (`scaling`);
`exercise_load` puts the ways of one exercise together for a person; `compute` does it for a
library.

Decisions that bind here:
- The working side is the right one inside. Lengths are fractions of stature, so that one set of
  coefficients serves everybody (`scaling`), but where furniture stands: there postures settle for
  five statures with the reference person's body table, and coefficients are read between them.
- A free limb that rests on something, or on another limb, hinges at its root (hip, shoulder), not
  at the joint of `works`: a seated heel raise has to carry the leg, not the foot alone.
- A weight written at a plural point is shared by both sides; at a singular point of an exercise
  of both sides, each side has one.
- Contacts give the forces of least effort (`body.reactions`), with friction always. A written
  share fixes what a foot carries, and lets it push sideways; a hand of written share pushes
  straight, and what is dragged carries only what is written.
- Forces are solved per body weight, and followed over the masses that people have: coefficients
  change where an outer load changes what carries (`reaction`).
- Weight borne is the working leg's, also where the other one stands (`stands-on: other`): an
  order on weight bearing is about the operated leg, and the standing leg is the sound one.
- Insteps rest lightly (`ease` in points.yml): on hands and knees the knees carry. The spread
  of forces is counted in units of a corner's ease, so that one solver serves firm and light ones.
  A limb that is dragged over a surface with friction rests as lightly: it is slid, not leaned on.
"""

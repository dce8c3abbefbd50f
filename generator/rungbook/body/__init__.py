"""The body as arrays: segment tables, joints, positions, kinematics, contacts, statics.

Knows no exercise.
"""

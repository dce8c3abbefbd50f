"""Frozen types of the trade: exercise, ladder, quantity, place, finding. Uses nothing of ours."""

"""An exercise becomes postures, and postures become demand, dose and curves for a person."""

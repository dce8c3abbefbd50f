"""Values in, SVG out: figures, curves, staircases, maps."""

"""Drawing: pure pictures; numbers and words in, SVG out; no widget and no chart library."""

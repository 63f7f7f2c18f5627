"""Start: what ``glazekit start`` and ``doctor`` need: settings of the lesson server, its patience, checks."""

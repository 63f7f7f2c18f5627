"""Water: the ingredient that leaves; slip density, dry content and what to add."""

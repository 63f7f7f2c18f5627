"""Glazekit: from a recipe to a weighed, watered and understood batch of glaze."""

"""Exercises and predictions: the bank of texts, the draw of a learner's numbers, the marking."""

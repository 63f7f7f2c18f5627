"""Exercises: the question bank and its checker."""

"""Checks of one lesson, whichever it is: each takes a lesson of the course and returns the faults it finds, in words.

The tests run them over every lesson that is there, and over a lesson that is laid beside them with one fault at a time.
"""

"""Worked sums: every formula once, as text that a machine evaluates, and the steps in which an answer follows from it."""

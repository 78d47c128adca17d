"""Whole set-ups as documents describe them: parts in order, evaluated, solved, and how uncertain they are."""

"""Answers for lenses that are known only in part: figures over an ensemble, with ranges."""

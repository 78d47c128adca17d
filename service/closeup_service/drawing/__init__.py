"""Drawings as text: side view, frame, sheet, scale bar, charts."""

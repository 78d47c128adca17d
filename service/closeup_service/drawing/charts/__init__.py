"""Charts as SVG."""

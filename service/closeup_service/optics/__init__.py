"""The physics of close-up photography: pure functions and frozen dataclasses, no I/O."""

"""Exposure and flash."""

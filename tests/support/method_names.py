"""The client's method for an operation."""

from closeup_service.published.example_forms import method_name

__all__ = ["method_name"]

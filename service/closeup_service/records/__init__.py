"""Types of loaded requests and of answers.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

"""Types of loaded requests and of answers.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

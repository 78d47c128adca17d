"""Movement and focus stacks."""

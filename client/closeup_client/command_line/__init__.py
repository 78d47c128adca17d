"""The command line, made from the table of operations: it knows no operation by name and imports nothing of the service."""

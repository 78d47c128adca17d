"""The service over HTTP: reading, negotiation, headers, problems, limits."""

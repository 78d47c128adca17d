"""Types of every request and answer, written from the schemas for the client and for the service."""

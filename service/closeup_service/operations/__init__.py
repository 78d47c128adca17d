"""The use cases: each takes a loaded request and gives its answer. No Flask."""

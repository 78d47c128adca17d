"""A bare Flask view that answers a constant: the floor of everything that is built on Flask."""

from flask import Flask

app = Flask("bare")


@app.get("/")
def constant() -> str:
    """Answer."""
    return "constant"

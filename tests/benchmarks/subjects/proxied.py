"""stub"""
from rows import Effort, NotHere, Row
def rows(effort: Effort) -> list[Row]:
    raise NotHere("x")

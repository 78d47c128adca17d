"""The power of a flash in the scale of its head: a share of the full energy, joules, stops below full, or a numbered dial.

All scales become stops, since twice the energy is one stop (by algebra: exposure goes as energy). Stops count up from full
power, from one joule, or from the dial's 0, as the scale has it; only differences mean anything.
"""

from math import exp2, floor, inf, isfinite, log2

from msgspec import Struct

FRACTION, JOULES, STOPS_BELOW_FULL, DIAL = KINDS = ("fraction", "joules", "stops-below-full", "dial")

ROUNDING = 1e-9
"""So little off, in stops or in clicks, is none."""


class Scale(Struct, frozen=True):
    """Scale of a head: its kind, its least and greatest setting, a dial's stops for each unit, and the stops between clicks."""

    kind: str
    least: float | None = None
    greatest: float | None = None
    unit_stops: float = 1.0
    step_stops: float | None = None

    def stops(self, setting: float) -> float:
        """Stops of a setting; more is brighter.

        Parameters
        ----------
        setting : float, in the unit of the scale: share of full energy, J, stops below full, or number of the dial

        Returns
        -------
        float, stops
        """
        if self.kind == STOPS_BELOW_FULL:
            return -setting
        if self.kind == DIAL:
            return setting * self.unit_stops
        return log2(setting)

    def setting(self, stops: float) -> float:
        """Return the setting of so many stops.

        Parameters
        ----------
        stops : float, as `stops` gives them, stops

        Returns
        -------
        float, in the unit of the scale
        """
        if self.kind == STOPS_BELOW_FULL:
            return -stops
        if self.kind == DIAL:
            return stops / self.unit_stops
        return exp2(stops)

    @property
    def range_stops(self) -> tuple[float, float]:
        """Least and greatest stops that the head can do; infinite where its range is not known."""
        ends = [None if end is None else self.stops(end) for end in (self.least, self.greatest)]
        low, high = ends[::-1] if self.stops(2.0) < self.stops(1.0) else ends
        full = 0.0 if self.kind in (FRACTION, STOPS_BELOW_FULL) else inf
        return -inf if low is None else low, full if high is None else high

    def clamp(self, stops: float) -> float:
        """Nearest stops within the head's range."""
        low, high = self.range_stops
        return min(max(stops, low), high)

    def shortfall(self, stops: float) -> float:
        """Stops that the range misses: positive where it is too weak, negative where its least is too strong."""
        short = stops - self.clamp(stops)
        return short if abs(short) > ROUNDING else 0.0

    def nearest_click(self, stops: float) -> float | None:
        """Nearest click within the range, counted down from the strongest; None where clicks or strongest are not known.

        Parameters
        ----------
        stops : float, as `stops` gives them, stops

        Returns
        -------
        float or None, stops
        """
        low, high = self.range_stops
        if self.step_stops is None or not isfinite(high):
            return None
        most = inf if not isfinite(low) else floor((high - low) / self.step_stops + ROUNDING)
        clicks = min(max(floor((high - stops) / self.step_stops + 0.5), 0), most)
        return high - clicks * self.step_stops

    def stops_below_full(self, stops: float) -> float | None:
        """Stops below the strongest setting; None where that is not known."""
        high = self.range_stops[1]
        return high - stops if isfinite(high) else None

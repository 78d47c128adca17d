"""closeup-optics, the service: the sums of close-up photography over HTTP."""

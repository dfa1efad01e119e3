"""The rows of a sump's days, as `sump_kernel` fills them."""

HELD, ON, CAPTURED, OVERTOPPED, STARTS, RISER = range(6)

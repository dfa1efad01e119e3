"""Storm-water around the building, before and after its roof is caught."""
